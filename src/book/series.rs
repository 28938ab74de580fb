//! The index of a series: its pieces at one scale, their sizes, the yarn of all together.

use super::figured::{Figured, From, YarnOfPiece};
use crate::export::html::escaped;
use crate::face::{Chart, Pattern};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

/// What the index says of one pattern.
#[derive(Clone, Debug, Default)]
#[non_exhaustive]
pub struct Member {
    /// The file of its page.
    pub page: String,
    /// Title.
    pub title: String,
    /// Its chart as SVG.
    pub chart: String,
    /// Printed size of the chart, in millimetres, all of a series at one scale.
    pub size_mm: (f64, f64),
    /// What is told or measured of its size.
    pub size: Vec<String>,
    /// Its yarns.
    pub yarn: Vec<YarnOfPiece>,
}

impl Member {
    pub(super) fn of(pattern: &Pattern, chart: &Chart, figured: &Figured) -> Member {
        let (svg, size_mm) = chart.bare_svg();
        Member {
            page: String::new(),
            title: pattern.tree().title.clone(),
            size_mm,
            chart: svg,
            size: figured.size.clone(),
            yarn: figured.yarn.clone(),
        }
    }
}

/// Printed width of the widest chart on the index, in millimetres.
const WIDEST: f64 = 60.0;

/// The index of a series as one page of HTML: every piece at the same scale with a link to its page, its size, and the
/// yarn of all by colour.
pub fn index(members: &[Member]) -> String {
    let most = members.iter().map(|m| m.size_mm.0.max(m.size_mm.1)).fold(1.0, f64::max);
    let scale = WIDEST / most;
    let mut out = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width\">\n<title>Patterns</title>\n<style>\n{}{STYLE}</style>\n</head>\n<body>\n<main class=\"sheet\">\n<h1>Patterns</h1>\n<ul class=\"pieces\">\n",
        include_str!("sheet.css")
    );
    for member in members {
        let (width, height) = member.size_mm;
        let title = if member.title.is_empty() { "Pattern" } else { &member.title };
        let svg = sized(&member.chart, width * scale, height * scale);
        let _ = write!(
            out,
            "<li><a href=\"{}\"><span class=\"thumb\" aria-hidden=\"true\">{svg}</span><span class=\"name\">{}</span></a>",
            escaped(&member.page),
            escaped(title)
        );
        member.size.iter().for_each(|line| {
            let _ = write!(out, "<span class=\"size\">{}</span>", escaped(line));
        });
        out.push_str("</li>\n");
    }
    out.push_str("</ul>\n<p>All charts are drawn at one scale.</p>\n");
    yarn(&mut out, members);
    out.push_str("</main>\n</body>\n</html>\n");
    out
}

const STYLE: &str = ".pieces{list-style:none;padding:0;display:flex;flex-wrap:wrap;gap:1.2rem 1.6rem;align-items:flex-end}.pieces li{text-align:center;max-width:62mm;break-inside:avoid}.pieces a{color:inherit}.thumb{display:block}.thumb svg{display:block;margin:0 auto}.name{font-family:system-ui,sans-serif;font-weight:600}.size{display:block;font-size:.85rem;color:var(--soft)}td.number{text-align:right}\n";

/// The yarn of the whole series by colour.
fn yarn(out: &mut String, members: &[Member]) {
    let mut by_colour: BTreeMap<&str, ([f64; 3], usize, BTreeSet<From>)> = BTreeMap::new();
    for yarn in members.iter().flat_map(|m| &m.yarn) {
        let (sum, patterns, from) = by_colour.entry(&yarn.colour).or_default();
        sum.iter_mut().zip(yarn.metres).for_each(|(sum, metres)| *sum += metres);
        *patterns += 1;
        from.insert(yarn.from);
    }
    if by_colour.is_empty() {
        return;
    }
    out.push_str("<h2>Yarn for one of each</h2>\n<table>\n<tr><th scope=\"col\">Colour</th><th scope=\"col\">Metres</th><th scope=\"col\">From to</th><th scope=\"col\">Patterns</th><th scope=\"col\">How it is known</th></tr>\n");
    for (colour, ([metres, low, high], patterns, from)) in by_colour {
        let known = from.iter().map(|f| match f {
            From::Measured => "measured",
            From::Reckoned => "reckoned",
            From::Told => "as the pattern says",
        });
        let range = if high > low { format!("{low:.1} to {high:.1}") } else { String::new() };
        let _ = writeln!(
            out,
            "<tr><td>{}</td><td class=\"number\">{metres:.1}</td><td class=\"number\">{range}</td><td class=\"number\">{patterns}</td><td>{}</td></tr>",
            escaped(colour),
            known.collect::<Vec<_>>().join(", ")
        );
    }
    out.push_str("</table>\n");
}

/// An SVG with another size on the page.
fn sized(svg: &str, width: f64, height: f64) -> String {
    let Some(end) = svg.find('>') else { return svg.to_owned() };
    let (head, rest) = svg.split_at(end);
    let mut out = String::with_capacity(svg.len());
    for (k, piece) in head.split(' ').enumerate() {
        let piece = match piece.split_once('=') {
            Some(("width", _)) => format!("width=\"{width:.2}mm\""),
            Some(("height", _)) => format!("height=\"{height:.2}mm\""),
            _ => piece.to_owned(),
        };
        out.push_str(if k > 0 { " " } else { "" });
        out.push_str(&piece);
    }
    out.push_str(rest);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_chart_takes_another_size() {
        let svg = "<svg class=\"a\" height=\"10mm\" viewBox=\"0 0 1 1\" width=\"5mm\">\n<g/></svg>";
        assert_eq!(
            sized(svg, 2.5, 5.0),
            "<svg class=\"a\" height=\"5.00mm\" viewBox=\"0 0 1 1\" width=\"2.50mm\">\n<g/></svg>"
        );
    }
}
