// Pictures of SVG files as Chromium paints them, and an accessibility check of three charts in one page.
//
//     node shoot.mjs pictures FOLDER DPI      NAME.svg to NAME.chromium.png, in FOLDER
//     node shoot.mjs page SVG SVG SVG         what axe finds in a page with these charts inline, light and dark

import { createRequire } from 'node:module';
import fs from 'node:fs';
import path from 'node:path';

const require = createRequire(path.join(process.env.FANWISE_NODE, 'package.json'));
const puppeteer = require('puppeteer-core');
const [what, ...rest] = process.argv.slice(2);
const browser = await puppeteer.launch({
  executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
  args: ['--no-sandbox', '--force-color-profile=srgb'],
});
const page = await browser.newPage();

if (what === 'pictures') {
  const [folder, dpi] = rest;
  const font = process.env.FANWISE_FONT;
  const face = `@font-face{font-family:'Source Sans 3';src:url(data:font/ttf;base64,${fs.readFileSync(font).toString('base64')})}`;
  for (const name of fs.readdirSync(folder).filter((n) => n.endsWith('.svg')).sort()) {
    const svg = fs.readFileSync(path.join(folder, name), 'utf8');
    const size = (side) => parseFloat(svg.match(new RegExp(` ${side}="([\\d.]+)mm"`))[1]);
    const [w, h] = [size("width"), size("height")];
    const css = (mm) => Math.ceil((mm * 96) / 25.4);
    await page.setViewport({ width: css(w), height: css(h), deviceScaleFactor: dpi / 96 });
    await page.setContent(`<!doctype html><style>${face}body{margin:0}svg{display:block;width:${w}mm;height:${h}mm}</style>${svg}`);
    await page.evaluate(() => document.fonts.ready);
    await page.screenshot({ path: path.join(folder, name.replace(/\.svg$/, '.chromium.png')) });
  }
} else {
  let found = 0;
  for (const scheme of ['light', 'dark']) {
    await page.emulateMediaFeatures([{ name: 'prefers-color-scheme', value: scheme }]);
    const charts = rest.map((file) => `<figure>${fs.readFileSync(file, 'utf8')}</figure>`).join('\n');
    const ground = scheme === 'dark' ? '#1d1e20;color:#eee' : '#fff;color:#222';
    await page.setContent(`<!doctype html><html lang="en"><head><title>Three charts</title></head><body style="background:${ground}"><main><h1>Three charts</h1>${charts}</main></body></html>`);
    await page.addScriptTag({ path: require.resolve('axe-core/axe.min.js') });
    const result = await page.evaluate(() => window.axe.run(document, { resultTypes: ['violations', 'incomplete'] }));
    for (const v of result.violations) {
      found += 1;
      console.log(`${scheme}: ${v.id} (${v.impact}): ${v.help}\n  ${v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160)).join('\n  ')}`);
    }
    console.log(`${scheme}: ${result.passes.length} checks passed, ${result.violations.length} failed, ${result.incomplete.length} for a person to look at`);
    const inks = await page.evaluate(() => getComputedStyle(document.querySelector('g.row[data-row="1"]')).stroke);
    const name = await page.evaluate(() => document.querySelectorAll('svg[role=img]').length);
    console.log(`${scheme}: row 1 is drawn in ${inks}; ${name} pictures with a name`);
  }
  if (found) process.exitCode = 1;
}
await browser.close();
