//! A written pattern as plain text.

use super::page::{Block, Written};

/// The pattern as text that is read again to the same fabric.
pub fn as_text(written: &Written) -> String {
    let mut text = String::new();
    if !written.title.is_empty() {
        text.push_str(&written.title);
        text.push('\n');
    }
    let mut label = String::new();
    for block in &written.blocks {
        match block {
            Block::Section(name) => paragraph(&mut text, name),
            Block::Prose { words, begins: true, .. } => paragraph(&mut text, words),
            Block::Prose { words, .. } => line(&mut text, words),
            // "Second half: Shape top", "shape sleeves": a name with a mark in it, or in small letters, is one only before
            // its first row
            Block::Part { name, copies } if name.contains(':') || name.starts_with(char::is_lowercase) => {
                label = format!("{}: ", part_heading(name, *copies))
            }
            Block::Part { name, copies } => paragraph(&mut text, &part_heading(name, *copies)),
            Block::Row(row) => {
                paragraph(&mut text, &format!("{}{}", std::mem::take(&mut label), row.text()));
                if let Some(words) = &row.unread {
                    paragraph(&mut text, &format!("Note: not understood in {}: \"{words}\"", row.heading));
                }
            }
            Block::Abbreviations if written.abbreviations.is_empty() => {}
            Block::Abbreviations => {
                paragraph(&mut text, &written.list_heading);
                written.abbreviations.iter().for_each(|a| line(&mut text, &format!("{}: {}", a.short, a.long)));
            }
        }
    }
    text
}

/// `Leaf (make 2)`.
pub(super) fn part_heading(name: &str, copies: u32) -> String {
    if copies > 1 { format!("{name} (make {copies})") } else { name.to_owned() }
}

fn paragraph(text: &mut String, words: &str) {
    if !text.is_empty() {
        text.push('\n');
    }
    line(text, words);
}

fn line(text: &mut String, words: &str) {
    text.push_str(words);
    text.push('\n');
}
