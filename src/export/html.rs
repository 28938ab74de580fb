//! A written pattern as HTML: a page of its own, or the words of a sheet.

use crate::source::Span;
use crate::write::{Abbreviation, Block, Line, Piece, Written};
use std::fmt::Write;

/// Writes a pattern as one HTML page that needs nothing beside it.
pub fn write(written: &Written) -> String {
    let title = escaped(if written.title.is_empty() { "Pattern" } else { &written.title });
    let mut out = format!(
        "<!DOCTYPE html>\n<html lang=\"{}\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width\">\n<title>{title}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<main>\n<h1>{title}</h1>\n",
        written.language_code()
    );
    let mut listing = false;
    let close = |out: &mut String, listing: &mut bool| {
        if std::mem::take(listing) {
            out.push_str("</ul>\n");
        }
    };
    let mut section = false;
    for block in &written.blocks {
        if let Block::Prose { words, begins: false, .. } = block
            && section
        {
            if !listing {
                out.push_str("<ul>\n");
                listing = true;
            }
            let _ = writeln!(out, "<li>{}</li>", escaped(words));
            continue;
        }
        close(&mut out, &mut listing);
        section = matches!(block, Block::Section(_));
        match block {
            Block::Section(name) => {
                let _ = writeln!(out, "<h2>{}</h2>", escaped(name));
            }
            Block::Prose { words, .. } => {
                let _ = writeln!(out, "<p>{}</p>", escaped(words));
            }
            Block::Part { name, copies } => {
                let copies = if *copies > 1 { format!(" (make {copies})") } else { String::new() };
                let _ = writeln!(out, "<h2>{}{copies}</h2>", escaped(name));
            }
            Block::Abbreviations => out.push_str(&abbreviations(&written.list_heading, &written.abbreviations)),
            Block::Row(line) => {
                let _ = writeln!(out, "<p class=\"row\">{}</p>", row(line));
                if let Some(unread) = &line.unread {
                    let _ = writeln!(out, "<p class=\"unread\">Not understood: {}</p>", escaped(unread));
                }
            }
        }
    }
    close(&mut out, &mut listing);
    out.push_str("</main>\n</body>\n</html>\n");
    out
}

const STYLE: &str = "body{font:1rem/1.5 Georgia,serif;color:#111;background:#fff;margin:0}main{max-width:42rem;margin:0 auto;padding:1.5rem}h1,h2{font-family:system-ui,sans-serif;line-height:1.2}h2{font-size:1.15rem;margin:1.5rem 0 .4rem}.row{break-inside:avoid}.head{font-weight:700}.count{white-space:nowrap}dl{columns:2}dt{font-weight:700;float:left;clear:left;margin-right:.5em}dd{margin:0}@media print{main{max-width:none;padding:0}h2{break-after:avoid}}";

/// The list of abbreviations with its heading.
pub fn abbreviations(heading: &str, all: &[Abbreviation]) -> String {
    if all.is_empty() {
        return String::new();
    }
    let mut out = format!("<h2>{}</h2>\n<dl class=\"abbreviations\">\n", escaped(heading));
    for a in all {
        let _ = writeln!(out, "<div><dt>{}</dt><dd>{}</dd></div>", escaped(&a.short), escaped(&a.long));
    }
    out.push_str("</dl>\n");
    out
}

/// A row: its heading, its work in phrases, its count, the end of the yarn.
///
/// Phrases carry in `data-span` the places of the words they stand for, as the stitches of the chart do.
pub fn row(line: &Line) -> String {
    let mut out = String::new();
    if !line.heading.is_empty() {
        let _ = write!(out, "<span class=\"head\">{}:</span> ", escaped(&line.heading));
    }
    out.push_str(&pieces(&line.pieces));
    if !line.count.is_empty() {
        let gap = if out.is_empty() { "" } else { " " };
        let _ = write!(out, "{gap}<span class=\"count\">{}</span>", escaped(&line.count));
    }
    if !line.ending.is_empty() {
        let gap = if out.is_empty() { "" } else { "<br>" };
        let _ = write!(out, "{gap}{}", pieces(&line.ending));
    }
    out
}

fn pieces(pieces: &[Piece]) -> String {
    let one = |piece: &Piece| match piece.spans.as_slice() {
        [] => escaped(&piece.words),
        spans => {
            let spans: Vec<String> = spans.iter().map(|Span { start, end }| format!("{start},{end}")).collect();
            format!("<span class=\"phrase\" data-span=\"{}\">{}</span>", spans.join(" "), escaped(&piece.words))
        }
    };
    pieces.iter().map(one).collect()
}

/// Words in which no letter is a mark of HTML.
pub fn escaped(words: &str) -> String {
    words.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}
