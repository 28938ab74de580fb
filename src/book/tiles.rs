//! A chart too large for a page, over several when it is printed.

use crate::chart::LEAST_MM;
use std::fmt::Write;

/// Width and height of what one page takes of a chart, in millimetres: what A4 and Letter have in common within the
/// margins, less a line of words.
const TILE_MM: (f64, f64) = (178.0, 232.0);
/// What neighbouring pages share.
const OVERLAP_MM: f64 = 10.0;
/// More pages than this are a poster, which is drawn by itself.
const MOST: usize = 40;

/// A chart with its drawing in a group that can be shown again, and the pages it is printed over at the least size its
/// symbols read well in; none where there would be too many.
pub(super) struct Tiles {
    pub chart: String,
    pub pages: String,
    pub count: usize,
}

/// Cuts the chart of an SVG into pages.
pub(super) fn tiles(svg: &str) -> Option<Tiles> {
    let head_end = svg.find('>')?;
    let head = &svg[..head_end];
    let attribute = |name: &str| head.split_once(&format!(" {name}=\""))?.1.split_once('"').map(|(value, _)| value);
    let bounds: Vec<f64> = attribute("viewBox")?.split(' ').filter_map(|n| n.parse().ok()).collect();
    let &[left, top, width, height] = bounds.as_slice() else { return None };
    let id = attribute("id")?;
    let body_end = svg.rfind("</svg>")?;
    // a unit of the drawing is the width of an sc
    let (wide, high, overlap) = (TILE_MM.0 / LEAST_MM, TILE_MM.1 / LEAST_MM, OVERLAP_MM / LEAST_MM);
    let pages = |length: f64, page: f64| ((length - overlap) / (page - overlap)).ceil().max(1.0) as usize;
    let (columns, rows) = (pages(width, wide), pages(height, high));
    let count = columns * rows;
    if !(2..=MOST).contains(&count) {
        return None;
    }
    // pages of one size, so that none is a sliver
    let even = |length: f64, pages: usize| (length + (pages - 1) as f64 * overlap) / pages as f64;
    let (wide, high) = (even(width, columns), even(height, rows));
    let mut out = String::from("<section class=\"tiles\" aria-hidden=\"true\">\n");
    for (k, (row, column)) in (0..rows).flat_map(|r| (0..columns).map(move |c| (r, c))).enumerate() {
        let x = left + column as f64 * (wide - overlap);
        let y = top + row as f64 * (high - overlap);
        let _ = writeln!(
            out,
            "<figure class=\"tile\"><svg class=\"fanwise\" viewBox=\"{x:.3} {y:.3} {wide:.3} {high:.3}\" style=\"width:{:.1}mm;height:{:.1}mm\"><use href=\"#{id}-whole\"/></svg><figcaption>Chart, page {} of {count}: row {} of {rows}, column {} of {columns}. Neighbouring pages overlap by {OVERLAP_MM:.0} mm.</figcaption></figure>",
            wide * LEAST_MM,
            high * LEAST_MM,
            k + 1,
            row + 1,
            column + 1,
        );
    }
    out.push_str("</section>\n");
    let chart = format!("{}><g id=\"{id}-whole\">{}</g>{}", head, &svg[head_end + 1..body_end], &svg[body_end..]);
    Some(Tiles { chart, pages: out, count })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_large_chart_takes_as_many_pages_as_it_is_wide_and_high() {
        let svg = |w: u32, h: u32| format!("<svg class=\"fanwise\" id=\"a\" viewBox=\"0 0 {w} {h}\">\n<g/></svg>");
        // a page takes 59 by 77 single crochet, of which 3.3 are the next one's too
        let large = tiles(&svg(100, 100)).expect("it takes several");
        assert_eq!(large.count, 4);
        assert_eq!(large.pages.matches("<figure").count(), 4);
        assert!(large.chart.contains("<g id=\"a-whole\">\n<g/></g></svg>"), "{}", large.chart);
        assert!(tiles(&svg(50, 50)).is_none() && tiles(&svg(5000, 5000)).is_none());
    }
}
