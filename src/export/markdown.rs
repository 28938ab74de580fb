//! A written pattern as Markdown.

use crate::write::{Block, Written};
use std::fmt::Write;

/// Writes a pattern as Markdown: headings, lists, rows with their heading in bold.
///
/// Stars are escaped, so that a repeat is no emphasis. The text is read again to the same fabric.
pub fn write(written: &Written) -> String {
    let mut text = String::new();
    if !written.title.is_empty() {
        let _ = writeln!(text, "# {}", escaped(&written.title));
    }
    let mut listing = false;
    let mut label = String::new();
    for block in &written.blocks {
        let gap = if text.is_empty() { "" } else { "\n" };
        match block {
            Block::Section(name) => {
                let _ = write!(text, "{gap}## {}\n\n", escaped(name));
                listing = true;
                continue;
            }
            Block::Prose { words, begins, .. } if listing && !begins => {
                let _ = writeln!(text, "- {}", escaped(words));
                continue;
            }
            Block::Prose { words, begins: false, .. } if text.ends_with('\n') && !text.ends_with("\n\n") => {
                // two spaces keep the line before on a line of its own
                text.pop();
                let _ = writeln!(text, "  \n{}", escaped(words));
            }
            Block::Prose { words, .. } => {
                let _ = writeln!(text, "{gap}{}", escaped(words));
            }
            Block::Part { name, copies } => {
                let copies = if *copies > 1 { format!(" (make {copies})") } else { String::new() };
                if name.contains(':') || name.starts_with(char::is_lowercase) {
                    label = format!("{}{copies}: ", escaped(name));
                } else {
                    let _ = writeln!(text, "{gap}## {}{copies}", escaped(name));
                }
            }
            Block::Abbreviations if written.abbreviations.is_empty() => {}
            Block::Abbreviations => {
                let _ = write!(text, "{gap}## {}\n\n", escaped(&written.list_heading));
                for a in &written.abbreviations {
                    let _ = writeln!(text, "- {}: {}", escaped(&a.short), escaped(&a.long));
                }
            }
            Block::Row(line) => {
                let words = line.text();
                let label = std::mem::take(&mut label);
                let rest = words
                    .strip_prefix(&format!("{}: ", line.heading))
                    // a number alone in bold would be no heading
                    .filter(|_| line.heading.starts_with(char::is_alphabetic));
                // two spaces keep the end of the yarn on a line of its own
                let body = escaped(rest.unwrap_or(&words)).replace('\n', "  \n");
                let heading = if rest.is_some() { format!("**{}:** ", escaped(&line.heading)) } else { String::new() };
                let _ = writeln!(text, "{gap}{label}{heading}{body}");
                if let Some(unread) = &line.unread {
                    let _ = writeln!(text, "\nNote: not understood in {}: \"{}\"", line.heading, escaped(unread));
                }
            }
        }
        listing = false;
    }
    text
}

/// Words in which no letter is a mark of Markdown.
fn escaped(words: &str) -> String {
    let mut out = String::with_capacity(words.len() + 8);
    for c in words.chars() {
        if matches!(c, '*' | '_' | '`' | '<' | '>' | '\\' | '#' | '|' | '~') {
            out.push('\\');
        }
        out.push(c);
    }
    out
}

#[cfg(test)]
mod tests {
    #[test]
    fn a_star_of_a_repeat_is_no_emphasis() {
        assert_eq!(super::escaped("*sc, 2 sc; rep from * around"), "\\*sc, 2 sc; rep from \\* around");
    }
}
