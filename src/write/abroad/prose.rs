//! What stands round the rows: yarn, hook, gauge, special stitches, and prose that stays as it is.

use super::Abroad;
use super::says::Says;
use crate::instructions::Special;
use crate::reading::tells_terms;
use crate::source::Span;
use crate::write::page::{Block, SIZE_WRITTEN};

/// First words of headings of sections, and the key of what they are called elsewhere.
const SECTIONS: &[(&str, &str)] = &[
    ("materials", "materials"),
    ("supplies", "materials"),
    ("special", "specials"),
    ("stitches", "specials"),
    ("notes", "notes"),
    ("note", "notes"),
    ("finishing", "finishing"),
    ("assembly", "finishing"),
    ("gauge", "gauge section"),
    ("tension", "gauge section"),
    ("yarn", "yarn section"),
    ("hook", "hook section"),
    ("size", "size section"),
    ("finished size", "size section"),
];

/// Lines and sentences that nearly every pattern has, and their keys.
const LINES: &[(&str, &str)] = &[
    ("yarn needle", "yarn needle"),
    ("tapestry needle", "yarn needle"),
    ("weave in ends", "weave in ends"),
    ("weave in all ends", "weave in ends"),
];

impl Abroad<'_> {
    /// What a pattern in another language says first.
    pub(super) fn opening(&self, blocks: &mut Vec<Block>) {
        let words = self.words.say("written in", &[]);
        blocks.push(Block::Prose { words, begins: true, span: Span::default() });
    }

    /// The heading of a section.
    pub(super) fn section(&self, name: &str) -> String {
        let bare = name.trim().trim_end_matches(':').to_lowercase();
        let known = |first: &str| bare == first || bare.strip_prefix(first).is_some_and(|r| r.starts_with(' '));
        match SECTIONS.iter().find(|(first, _)| known(first)) {
            Some((_, key)) => self.words.say(key, &[]),
            None => self.says(false).marked(name),
        }
    }

    /// A line of prose; none where it tells the terms of the English words.
    pub(super) fn prose(&self, words: &str, span: Span) -> Option<String> {
        let says = self.says(false);
        let tree = self.writer.pattern;
        if let Some(size) = words.strip_prefix(SIZE_WRITTEN) {
            return Some(self.words.say("for size", &[("w", size.trim_end_matches('.'))]));
        }
        if span.is_empty() {
            // what the English form says of itself
            return None;
        }
        if tells_terms(words) && words.split_whitespace().count() <= 5 {
            return None;
        }
        if let Some(special) = tree.specials.iter().find(|s| !s.span.is_empty() && span.holds(s.span))
            && let Some(told) = self.special(&says, words, special)
        {
            return Some(told);
        }
        if let Some(yarn) = tree.yarns.iter().find(|y| span.holds(y.span)) {
            let rest = words.split_once(':').map_or(words, |(_, rest)| rest).trim();
            return Some(self.words.say("yarn line", &[("letter", &yarn.letter), ("w", &self.kept(&says, rest))]));
        }
        if let Some(gauge) = tree.gauge.as_ref().filter(|g| span.holds(g.span)) {
            let stitches = format!("{} {}", self.words.number(gauge.sts), says.stem(gauge.stem));
            let rows = gauge.rows.map(|n| format!(", {} {}", self.words.number(n), says.row_noun(false).many));
            let over = self.words.number(gauge.over_mm / 10.0);
            let told = format!("{stitches}{}", rows.unwrap_or_default());
            let told = self.words.say("gauge", &[("w", &told), ("n", &over)]);
            return Some(self.with_rest(&says, told, span, gauge.span));
        }
        if let Some(gauge) = tree.gauge_of_rounds.as_ref().filter(|g| span.holds(g.span)) {
            let [first, last] = gauge.rows;
            let rows = says.numbered(true, &(first..=last).collect::<Vec<_>>());
            let across = self.words.number(gauge.across_mm / 10.0);
            let told = self.words.say("gauge of rounds", &[("rows", &rows), ("n", &across)]);
            return Some(self.with_rest(&says, told, span, gauge.span));
        }
        let lower = words.to_lowercase();
        if let (Some(mm), true) = (tree.hook_mm, lower.starts_with("hook") || lower.contains("crochet hook")) {
            let told = self.words.say("hook size", &[("n", &self.words.number(mm))]);
            let rest = words.split_once(':').map_or(words, |(_, rest)| rest).trim();
            let bare = rest.trim_end_matches('.').replace(' ', "");
            let plain = bare == format!("{mm}mm");
            return Some(if plain { told } else { format!("{told} {}", says.marked(rest)) });
        }
        for lead in ["finished size:", "sizes:", "size:", "finished measurements:"] {
            if lower.starts_with(lead) {
                let rest = self.kept(&says, words[lead.len()..].trim());
                return Some(self.words.say("size line", &[("w", &rest)]));
            }
        }
        Some(self.sentences(&says, words))
    }

    /// Prose whose first sentence may be one that every pattern has.
    fn sentences(&self, says: &Says<'_>, words: &str) -> String {
        let (first, rest) = words.split_once(". ").unwrap_or((words, ""));
        let bare = first.trim_end_matches('.').to_lowercase();
        match LINES.iter().find(|(line, _)| *line == bare) {
            Some((_, key)) if rest.is_empty() => self.words.say(key, &[]),
            Some((_, key)) => format!("{} {}", self.words.say(key, &[]), self.kept(says, rest)),
            None => self.kept(says, words),
        }
    }

    /// Words as they are: marked as the pattern's own, unless they are but figures and units.
    fn kept(&self, says: &Says<'_>, words: &str) -> String {
        let unit = |w: &str| ["cm", "mm", "m", "x", "g", "by"].contains(&w);
        // S, M, L and XL are the same everywhere
        let size = |w: &str| w.len() <= 3 && w.ends_with(['S', 'M', 'L']) && w.chars().all(|c| "XSML".contains(c));
        let said = words.split(|c: char| !c.is_alphabetic()).filter(|w| !w.is_empty()).any(|w| !unit(w) && !size(w));
        if said { says.marked(words) } else { words.to_owned() }
    }

    /// A line told, and behind it what the pattern's line says beyond that.
    fn with_rest(&self, says: &Says<'_>, told: String, line: Span, span: Span) -> String {
        let text = self.writer.text;
        let before = text.get(line.start..span.start).unwrap_or("");
        let after = text.get(span.end..line.end).unwrap_or("");
        let before = before.rsplit(':').next().unwrap_or("");
        let rest = format!("{before} {after}");
        let rest = rest.trim_matches(|c: char| !c.is_alphanumeric()).to_owned();
        if rest.chars().any(char::is_alphabetic) { format!("{told} {}", says.marked(&rest)) } else { told }
    }

    /// "Picot: 3 Lm, 1 Km …": a special stitch by the steps it comes down to.
    fn special(&self, says: &Says<'_>, words: &str, special: &Special) -> Option<String> {
        let (name, _) = words.split_once(':')?;
        let told = match special.form {
            Some(form) => crate::symbol::name_of(self.symbols, form, crate::symbol::Speak::In(self.language)).long,
            None if special.steps.is_empty() => return None,
            None => says.steps(&special.steps, 1).iter().map(|p| p.words.as_str()).collect(),
        };
        Some(format!("{name}{}: {told}", self.gap()))
    }
}
