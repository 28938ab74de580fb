//! `fanwise sheet`: the whole pattern as one printable page; of a series, pages and an index.

use super::accepted::Lists;
use super::files::{Fault, pattern_files, read_bytes, read_pattern, shown, to_stdout, write_whole};
use super::folder::write_into;
use super::look::LookArgs;
use super::measure::{gauge, swatch};
use super::settings::Told;
use super::{Command, FINE, PATTERN_ERRORS, ReadArgs, TROUBLE, batch, code_of, print};
use base64::Engine;
use base64::prelude::BASE64_STANDARD;
use clap::Args;
use fanwise::Pattern;
use fanwise::book::{Photo, Sheet, SheetOptions, index, sheet};
use fanwise::measure::MeasureOptions;
use fanwise::reading::{GaugeTold, SwatchTold};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

#[derive(Args, Clone)]
#[command(
    about = "Make the whole pattern one printable page; of several, pages and an index",
    long_about = "Make the whole pattern one printable page of HTML that needs nothing beside it: a photo or a slot for one, materials, size,\nyarn, gauge, abbreviations, notes, the words with a box to tick for every row, chart and legend beside them, figures row\nby row, finishing, and caution where small parts or cords are made. It prints on A4 and Letter. No script is needed to\nread it; where scripts run, pointing at a stitch lights its words and at words their stitches.\n\nWith --into every pattern has a page, and index.html shows them at one scale with sizes and yarn in all. A photo called\nlike its pattern, such as pear-photo.jpg beside pear.txt, is taken in.",
    after_help = "Examples:\n  fanwise sheet pear.txt -o pear.html\n  fanwise sheet pear.txt -o pear.html --speak uk --photo pear-photo.jpg --alt \"A green pear\" --credit \"The press\"\n  fanwise sheet pear.txt -o pear.html --ink-saving\n  fanwise sheet pear.txt -o test.html --tester\n  fanwise sheet examples/orchard --into sheets\n\nExit code 0: written; 1: a pattern has errors, and no page of it is made unless --draft; 2: wrong usage, or a file that\ncannot be read or written."
)]
pub(super) struct SheetArgs {
    /// Pattern files, or folders of them with --into; - for standard input
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// Page to write (.html); - for standard output
    #[arg(short, long, value_name = "OUT", required_unless_present = "into", conflicts_with = "into")]
    output: Option<PathBuf>,
    /// Folder to write a page for every pattern into, and an index of them
    #[arg(long, value_name = "DIR")]
    into: Option<PathBuf>,
    /// Photo of the finished piece (.jpg, .png, .webp), the same way up as the chart
    #[arg(long, value_name = "FILE", conflicts_with = "into")]
    photo: Option<PathBuf>,
    /// What the photo shows, for whoever cannot see it
    #[arg(long, value_name = "WORDS", requires = "photo")]
    alt: Option<String>,
    /// Who took the photo
    #[arg(long, value_name = "NAME")]
    credit: Option<String>,
    /// Small type, no photo and no figures, for home printers
    #[arg(long)]
    ink_saving: bool,
    /// Boxes for whoever tests the pattern: gauge, size, metres, time, and a query for every row
    #[arg(long)]
    tester: bool,
    /// Make a page of a pattern with errors too, and mark the doubtful places of its chart
    #[arg(long)]
    draft: bool,
    /// A gauge that stands above the pattern's own: "16 sc and 18 rows = 10 cm", or "rnds 1-3 = 5 cm across"
    #[arg(long, value_name = "WORDS", value_parser = gauge)]
    gauge: Option<GaugeTold>,
    /// A swatch of yours, stitches by rows, and the yarn it took: "20x20 sc 9.4 m"
    #[arg(long, value_name = "WORDS", value_parser = swatch)]
    swatch: Option<SwatchTold>,
    #[command(flatten)]
    pub(super) look: LookArgs,
    #[command(flatten)]
    pub(super) read: ReadArgs,
    /// Measured figures, from the settings
    #[arg(skip)]
    pub(super) measured: Vec<(String, String, String)>,
}

pub(super) fn run(args: &SheetArgs, told: &Told) -> u8 {
    let done = match (&args.output, &args.into) {
        (Some(out), _) => one(args, told, out),
        (None, Some(into)) => series(args, told, into),
        (None, None) => Err(Fault::usage("name a page with -o, or a folder with --into".into())),
    };
    done.unwrap_or_else(|fault| fault.say())
}

fn one(args: &SheetArgs, told: &Told, out: &Path) -> Result<u8, Fault> {
    let [file] = args.files.as_slice() else {
        return Err(Fault::usage("-o writes one page; --into DIR makes a page for every pattern".into()));
    };
    let (code, made) = page(args, told, file)?;
    let Some(made) = made else { return Ok(code) };
    if out == Path::new("-") {
        to_stdout(&made.html);
    } else {
        write_whole(out, made.html.as_bytes())?;
    }
    Ok(code)
}

fn series(args: &SheetArgs, told: &Told, into: &Path) -> Result<u8, Fault> {
    let files = pattern_files(&args.files);
    let results = batch::each(&files, |file| match file {
        Ok(file) => page(args, told, file).map(|(code, made)| (file.clone(), code, made)),
        Err(fault) => Err(Fault { code: fault.code, message: fault.message.clone() }),
    });
    let (mut code, mut members, mut pages) = (FINE, Vec::new(), Vec::new());
    let mut names: BTreeSet<String> = BTreeSet::from(["index.html".to_owned()]);
    for result in results {
        match result {
            Ok((file, its, made)) => {
                code = code.max(its);
                let Some(mut made) = made else { continue };
                let name = format!("{}.html", stem_of(&file));
                if !names.insert(name.clone()) {
                    let message =
                        format!("{}: another page is called {name}; give one of the files another name", shown(&file));
                    code = code.max(Fault::usage(message).say());
                    continue;
                }
                made.member.page.clone_from(&name);
                members.push(made.member);
                pages.push((name, made.html.into_bytes()));
            }
            Err(fault) => code = code.max(fault.say()),
        }
    }
    if pages.is_empty() {
        return Ok(code.max(PATTERN_ERRORS));
    }
    pages.push(("index.html".to_owned(), index(&members).into_bytes()));
    write_into(into, &pages)?;
    Ok(code)
}

/// The page of one pattern; none where it has errors and no draft is asked for.
fn page(args: &SheetArgs, told: &Told, file: &Path) -> Result<(u8, Option<Sheet>), Fault> {
    // the settings beside each file are its own
    let beside = told.command_beside(file)?;
    let args = if let Command::Sheet(beside) = &beside { beside } else { args };
    let mut pattern = read_pattern(file, &args.read.one_size()?)?;
    let mut accepted = Lists::default();
    accepted.open(file)?;
    accepted.settle(file, &mut pattern);
    let code = code_of(&pattern, false);
    if code != FINE && !(args.draft && code < TROUBLE) {
        print::problems(&shown(file), &pattern);
        let draft = if code < TROUBLE { "; --draft makes it of what could be worked" } else { "" };
        eprintln!("no page is made of a pattern with errors{draft}");
        return Ok((code, None));
    }
    let stem = stem_of(file);
    let measured: Vec<(String, String)> = args
        .measured
        .iter()
        .filter(|(of, ..)| *of == stem)
        .map(|(_, what, much)| (what.clone(), much.clone()))
        .collect();
    let options = SheetOptions::default()
        .with_speak(args.look.terms())
        .with_chart(args.look.options()?.with_draft(args.draft))
        .with_ink_saving(args.ink_saving)
        .with_photo(photo(args, file, &pattern)?)
        .with_tester(args.tester)
        .with_measure(MeasureOptions::default().with_gauge(args.gauge.clone()).with_swatch(args.swatch))
        .with_measured(measured.clone());
    match sheet(&pattern, &options) {
        Ok(made) => Ok((code, Some(made))),
        Err(error) => {
            eprintln!("error: {}: {error}", shown(file));
            Ok((if error.is_about_the_pattern() { code.max(PATTERN_ERRORS) } else { TROUBLE }, None))
        }
    }
}

/// Endings a photo may have, and what they are.
const PHOTOS: &[(&str, &str)] =
    &[("jpg", "image/jpeg"), ("jpeg", "image/jpeg"), ("png", "image/png"), ("webp", "image/webp")];

/// The photo told, or the one called like the pattern.
fn photo(args: &SheetArgs, file: &Path, pattern: &Pattern) -> Result<Option<Photo>, Fault> {
    let beside = || {
        let name = |ending: &str| file.with_file_name(format!("{}-photo.{ending}", stem_of(file)));
        PHOTOS.iter().map(|(ending, _)| name(ending)).find(|p| p.is_file())
    };
    let Some(path) = args.photo.clone().or_else(beside) else { return Ok(None) };
    let ending = path.extension().and_then(|e| e.to_str()).unwrap_or("").to_lowercase();
    let Some((_, kind)) = PHOTOS.iter().find(|(e, _)| *e == ending) else {
        let known: Vec<&str> = PHOTOS.iter().map(|(e, _)| *e).collect();
        return Err(Fault::usage(format!("{} is no photo known here: {}", shown(&path), known.join(", "))));
    };
    let data = format!("data:{kind};base64,{}", BASE64_STANDARD.encode(read_bytes(&path)?));
    let alt = args.alt.clone().unwrap_or_else(|| format!("{}, finished", pattern.tree().title));
    Ok(Some(Photo { data, alt, credit: args.credit.clone().unwrap_or_default() }))
}

/// What the page of a pattern is called by.
fn stem_of(file: &Path) -> String {
    match file.file_stem() {
        Some(stem) if file != Path::new("-") => stem.to_string_lossy().into_owned(),
        _ => "pattern".to_owned(),
    }
}
