//! The index of a series: its pieces at one scale, their sizes, the yarn of all together.

use super::page::SheetOptions;
use super::sections::sorted;
use crate::export::html::escaped;
use crate::face::{Error, Pattern};
use std::collections::BTreeMap;
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
    /// Metres by the name of the yarn's colour, and whether they were measured.
    pub yarn: Vec<(String, f64, bool)>,
}

impl Member {
    /// What the index says of a pattern.
    ///
    /// # Errors
    /// As for the sheet of the pattern.
    pub fn of(pattern: &Pattern, options: &SheetOptions) -> Result<Member, Error> {
        let chart = pattern.chart(&options.chart)?;
        let sections = sorted(&pattern.write(options.speak), pattern);
        let measured = |what: &'static str| options.measured.iter().filter(move |(name, _)| name.starts_with(what));
        let mut size: Vec<String> = measured("size").map(|(_, much)| format!("{much} (measured)")).collect();
        if size.is_empty() {
            size = sections.size;
        }
        let tree = pattern.tree();
        let yarn = tree.yarns.iter().filter_map(|yarn| {
            let told = measured("yarn").find(|(name, _)| {
                name.strip_prefix("yarn")
                    .is_some_and(|n| n.trim() == yarn.letter || n.trim().is_empty() && tree.yarns.len() == 1)
            });
            let line = pattern.text().get(yarn.span.start..yarn.span.end).unwrap_or("");
            let metres = told.map_or_else(|| metres_in(line), |(_, much)| metres_in(much))?;
            Some((yarn.colour.clone(), metres, told.is_some()))
        });
        let (svg, size_mm) = chart.bare_svg();
        Ok(Member { page: String::new(), title: tree.title.clone(), size_mm, chart: svg, size, yarn: yarn.collect() })
    }
}

/// "about 8 m", "12.5 metres", "9 yd": in metres.
fn metres_in(words: &str) -> Option<f64> {
    let tokens: Vec<&str> = words
        .split(|c: char| c.is_whitespace() || matches!(c, ',' | '(' | ')' | ';'))
        .filter(|t| !t.is_empty())
        .collect();
    let per = |unit: &str| match unit.trim_end_matches('.').to_lowercase().as_str() {
        "m" | "metre" | "metres" | "meter" | "meters" => Some(1.0),
        "yd" | "yds" | "yard" | "yards" => Some(0.9144),
        _ => None,
    };
    tokens.windows(2).find_map(|w| Some(w[0].parse::<f64>().ok()? * per(w[1])?)).or_else(|| {
        tokens.iter().find_map(|t| {
            let at = t.find(|c: char| c.is_alphabetic())?;
            Some(t[..at].parse::<f64>().ok()? * per(&t[at..])?)
        })
    })
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
    let mut by_colour: BTreeMap<&str, (f64, usize, bool)> = BTreeMap::new();
    for (colour, metres, measured) in members.iter().flat_map(|m| &m.yarn) {
        let entry = by_colour.entry(colour).or_insert((0.0, 0, true));
        *entry = (entry.0 + metres, entry.1 + 1, entry.2 && *measured);
    }
    if by_colour.is_empty() {
        return;
    }
    out.push_str("<h2>Yarn for one of each</h2>\n<table>\n<tr><th scope=\"col\">Colour</th><th scope=\"col\">Metres</th><th scope=\"col\">Patterns</th><th scope=\"col\">From</th></tr>\n");
    for (colour, (metres, patterns, measured)) in by_colour {
        let from = if measured { "measured" } else { "as the patterns say" };
        let _ = writeln!(
            out,
            "<tr><td>{}</td><td class=\"number\">{metres:.1}</td><td class=\"number\">{patterns}</td><td>{from}</td></tr>",
            escaped(colour)
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
    fn metres_are_read_from_yarn_lines() {
        assert_eq!(metres_in("Yarn A: apple red, medium (4), about 8 m"), Some(8.0));
        assert_eq!(metres_in("7.5m"), Some(7.5));
        assert_eq!(metres_in("10 yards"), Some(9.144));
        assert_eq!(metres_in("Hook: 3.75 mm"), None);
    }

    #[test]
    fn a_chart_takes_another_size() {
        let svg = "<svg class=\"a\" height=\"10mm\" viewBox=\"0 0 1 1\" width=\"5mm\">\n<g/></svg>";
        assert_eq!(
            sized(svg, 2.5, 5.0),
            "<svg class=\"a\" height=\"5.00mm\" viewBox=\"0 0 1 1\" width=\"2.50mm\">\n<g/></svg>"
        );
    }
}
