//! One row line: heading, sentences, count.

use super::page::{Line, Piece};
use super::speech::{Pieces, Speech, joined, listed};
use super::tongue::Tongue;
use crate::craft::Stem;
use crate::instructions::{
    Act, Class, CountOf, JoinTo, Part, Pattern, Row, RowKind, Rows, Stated, Step, Target, Times,
};
use crate::reading::{Rereader, in_other_terms};
use crate::source::Span;
use crate::working::{Tally, Worked};
use std::collections::BTreeMap;

/// How plainly a row is said. Later ones are plainer.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Manner {
    /// Repeats found, counts stated, remarks kept.
    #[default]
    Full,
    /// The steps as the pattern groups them.
    AsGrouped,
    /// And whether the starting chain counts told beside it.
    TurningTold,
    /// And no count but those the pattern states.
    AsStated,
    /// The pattern's own words, the names of stitches in the terms spoken.
    OwnWords,
}

impl Manner {
    /// The next plainer one.
    pub fn plainer(self) -> Option<Manner> {
        Some(match self {
            Manner::Full => Manner::AsGrouped,
            Manner::AsGrouped => Manner::TurningTold,
            Manner::TurningTold => Manner::AsStated,
            Manner::AsStated => Manner::OwnWords,
            Manner::OwnWords => return None,
        })
    }
}

/// What every line of a pattern is written by.
pub(super) struct Writer<'a> {
    pub pattern: &'a Pattern,
    pub text: &'a str,
    pub worked: &'a Worked,
    pub tongue: &'a Tongue,
    /// Reads in the terms spoken.
    pub reader: &'a Rereader,
    /// Where the pattern has another number for each size, and all sizes are written at once.
    pub lists: Vec<Span>,
}

impl Writer<'_> {
    /// A row in words.
    pub fn line(&self, (p, at): (usize, usize), manner: Manner) -> Line {
        let part = &self.pattern.parts[p];
        let row = &part.rows[at];
        let tallies: Vec<&Tally> = self.worked.tallies.iter().filter(|t| t.span == row.span).collect();
        let bare =
            row.heading.published.chars().all(|c| c.is_ascii_digit() || matches!(c, '-' | '–' | ',' | ' ' | ')'));
        // "R1: MR, 6 sc" is a ring and a round
        let worked = tallies.iter().find(|t| t.chains.is_none()).or(tallies.first());
        let label = worked.map_or("", |t| t.label.as_str());
        let word = word_of(row.heading.kind, if bare { label } else { "" });
        let mut line = Line {
            heading: heading(row, word),
            rows: tallies.iter().map(|t| t.row).collect(),
            span: row.span,
            from: vec![(p, at)],
            word,
            manner,
            ..Line::default()
        };
        if let Rows::Numbered(numbers) = &row.heading.rows {
            line.numbers.clone_from(numbers);
        }
        let old = self.pattern.terms.is_old();
        if manner == Manner::OwnWords || !row.read && !old {
            line.pieces = self.own_words(row);
            return line;
        }
        let mut alike = BTreeMap::new();
        let steps = self.steps(row, &tallies, manner, &mut alike);
        let mut speech = self.speech(part, at, &steps, word == "Rnd");
        let remarks = self.remarks(row);
        // the end of the yarn stands behind the count, on a line of its own
        let worked = steps.iter().rposition(|s| !matches!(s.act, Act::FastenOff { .. })).map_or(0, |k| k + 1);
        let cut = if worked == 0 { steps.len() } else { worked };
        let say = |speech: &mut Speech<'_>, remarks: &[(Span, String)], line: &mut Line| {
            let behind = steps.get(cut).map_or(usize::MAX, |s| s.span.start);
            let (here, after): (Vec<_>, Vec<_>) = remarks.iter().cloned().partition(|(s, _)| s.start < behind);
            line.pieces = sentences(speech, &steps[..cut], &here);
            line.ending = sentences(speech, &steps[cut..], &after);
        };
        say(&mut speech, &remarks, &mut line);
        let mut reader = self.reader.clone();
        let reads = |line: &Line, reader: &mut Rereader| {
            let again = reader.row(&line.text(), !line.heading.is_empty(), None);
            // a remark may read as a count, which the row does not state
            again.read && again.stated.is_empty() && super::prove::same_steps(&again.steps, &steps)
        };
        if !row.notes.is_empty() && !reads(&line, &mut reader) {
            let mut plain = line.clone();
            say(&mut speech, &[], &mut plain);
            if reads(&plain, &mut reader) {
                line = plain;
            }
        }
        line.count = self.count(row, &tallies, manner, word);
        if !row.read {
            // words of an old book that nobody understood stand beside the row as they are
            let words = self.text.get(row.body.start..row.body.end).unwrap_or("");
            line.unread = Some(words.split_whitespace().collect::<Vec<_>>().join(" "));
        }
        for piece in line.pieces.iter_mut().chain(&mut line.ending) {
            let more: Vec<Span> =
                piece.spans.iter().flat_map(|s| alike.get(s).into_iter().flatten()).copied().collect();
            piece.spans.extend(more);
        }
        line
    }

    /// What a row says, in a manner; `alike` as in `repeats::found`.
    pub(super) fn steps(
        &self,
        row: &Row,
        tallies: &[&Tally],
        manner: Manner,
        alike: &mut BTreeMap<Span, Vec<Span>>,
    ) -> Vec<Step> {
        let mut steps = self.settled(&row.steps, tallies.iter().any(|t| t.ran_out.is_some()), 0);
        let on_chain = !tallies.is_empty() && tallies.iter().all(|t| t.turning_counts == Some(true));
        let round = row.heading.kind == RowKind::Round;
        tell_joins(&mut steps, if round && on_chain { JoinTo::Chain(None) } else { JoinTo::First });
        along_branches(&mut steps);
        if manner == Manner::Full {
            steps = super::repeats::found(&steps, alike);
        }
        if manner >= Manner::TurningTold {
            tell_turning(&mut steps, tallies.first().copied());
        }
        steps
    }

    /// True where the first row of a part makes the ring it works into.
    pub(super) fn ring_to_come(&self, at: usize, steps: &[Step]) -> bool {
        let makes_ring = |s: &Step| matches!(s.act, Act::Ring { .. } | Act::Chain { .. } | Act::AnyChain);
        at == 0 && !steps.first().is_some_and(makes_ring) && !steps.iter().any(|s| matches!(s.act, Act::Ring { .. }))
    }

    fn speech(&self, part: &Part, at: usize, steps: &[Step], round: bool) -> Speech<'_> {
        let round = match part.rows[at].heading.kind {
            RowKind::Round => true,
            RowKind::Row => false,
            _ if round => true,
            _ => part.rows.iter().any(|r| r.heading.kind == RowKind::Round),
        };
        let below = at.checked_sub(1).and_then(|k| opening(&part.rows[k].steps));
        Speech {
            tongue: self.tongue,
            ring_to_come: self.ring_to_come(at, steps),
            from: self.pattern.terms,
            specials: &self.pattern.specials,
            reader: self.reader.clone(),
            round,
            first: first_kind(steps).map(|form| self.tongue.form(form)),
            opening: opening(steps),
            below,
            lists: &self.lists,
            varied: false,
            text: self.text,
            anywhere: false,
            in_space: false,
        }
    }

    /// Doubts of the words settled as they were worked; a row that ran out shows nothing.
    fn settled(&self, steps: &[Step], ran_out: bool, depth: usize) -> Vec<Step> {
        let mut steps = steps.to_vec();
        for step in &mut steps {
            let span = step.span;
            let Act::Repeat { steps, times, .. } = &mut step.act else { continue };
            if let Times::Doubt(n) = *times {
                let assumed = self.pattern.assumed.repeat_more;
                let shown = self.passes(span, depth).filter(|_| !ran_out);
                let more = assumed.or_else(|| match shown {
                    Some(passes) if passes == n => Some(false),
                    Some(passes) if passes == n + 1 => Some(true),
                    _ => None,
                });
                *times = match more {
                    Some(true) => Times::More(n),
                    Some(false) => Times::InAll(n),
                    None => Times::Doubt(n),
                };
            }
            *steps = self.settled(steps, ran_out, depth + 1);
        }
        steps
    }

    /// How often what these words say was worked, where that is the same each time.
    fn passes(&self, span: Span, depth: usize) -> Option<u32> {
        let mut rows: BTreeMap<_, u32> = BTreeMap::new();
        for stitch in self.worked.fabric.stitches.iter().filter(|s| span.holds(s.span)) {
            let pass = *stitch.pass.get(depth)?;
            let most = rows.entry(stitch.row).or_default();
            *most = (*most).max(pass);
        }
        let first = *rows.values().next()?;
        rows.values().all(|&n| n == first).then_some(first)
    }

    /// What the row says beside its work, with the place behind which it stands.
    pub(super) fn remarks(&self, row: &Row) -> Vec<(Span, String)> {
        let clean = |span: &Span| {
            let words = self.text.get(span.start..span.end).unwrap_or("");
            let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
            let words = words.trim_matches([',', ';', '.', ' ']).to_owned();
            (*span, in_other_terms(&words, self.pattern.terms, self.tongue.terms))
        };
        let mut found: Vec<(Span, String)> =
            row.notes.iter().map(clean).filter(|(_, w)| w.chars().any(char::is_alphabetic)).collect();
        if row.heading.published.is_empty() {
            // a line without a heading begins with its work, or it is no row
            let first = row.steps.first().map_or(0, |s| s.span.end);
            found.iter_mut().for_each(|(s, _)| *s = Span::new(s.start.max(first), s.end.max(first)));
        }
        found
    }

    fn own_words(&self, row: &Row) -> Vec<Piece> {
        let words = self.text.get(row.body.start..row.body.end).unwrap_or("");
        // lines stay lines: where one ends may say where a row does
        let lines = words.lines().map(|l| l.split_whitespace().collect::<Vec<_>>().join(" "));
        let words = lines.filter(|l| !l.is_empty()).collect::<Vec<_>>().join("\n");
        let words = in_other_terms(&words, self.pattern.terms, self.tongue.terms);
        let mut pieces = vec![Piece { words: upper_first(&words), spans: vec![row.body] }];
        let behind: Vec<Step> = row.steps.iter().filter(|s| !row.span.holds(s.span)).cloned().collect();
        if !behind.is_empty() && behind.iter().all(|s| s.span.start >= row.span.end) {
            let mut speech = self.speech(&Part { rows: vec![row.clone()], ..Part::default() }, 0, &behind, false);
            pieces.push(Piece { words: " ".into(), spans: Vec::new() });
            pieces.extend(sentences(&mut speech, &behind, &[]));
        }
        pieces
    }

    /// The counts stated, or what was made where none is.
    pub(super) fn count(&self, row: &Row, tallies: &[&Tally], manner: Manner, word: &str) -> String {
        let told: Vec<String> = row.stated.iter().map(|s| self.stated(s)).collect();
        if !told.is_empty() {
            let each = if row.stated_each { " each" } else { "" };
            return format!("({}{each})", told.join(", "));
        }
        let again = |s: &Step| matches!(s.act, Act::AsRow { .. } | Act::RowsUntil { .. } | Act::Even { .. });
        if row.steps.iter().any(again) {
            // rows worked again state what those rows state
            return String::new();
        }
        let Some(last) = tallies.last().filter(|_| manner < Manner::AsStated) else { return String::new() };
        let written = |t: &Tally| t.read || self.pattern.terms.is_old();
        let sound = tallies.iter().all(|t| written(t) && !t.uncertain && t.balances() && t.stated.is_empty());
        if !sound || last.made == 0 || last.chains.is_some() || word.is_empty() {
            return String::new();
        }
        let told: Vec<String> = made(last).iter().map(|s| self.stated(s)).collect();
        format!("({})", told.join(", "))
    }

    /// What the last row told in a line made.
    pub(super) fn made(&self, row: &Row) -> Vec<Stated> {
        self.worked.tallies.iter().rev().find(|t| t.span == row.span).map(made).unwrap_or_default()
    }

    fn stated(&self, stated: &Stated) -> String {
        let n = stated.count;
        let varied = self.lists.iter().any(|l| stated.span.holds(*l));
        let s = if n == 1 && !varied { "" } else { "s" };
        match &stated.of {
            CountOf::Sts => format!("{n} st{s}"),
            CountOf::Kind(kind) => format!("{n} {}", self.tongue.kind(kind)),
            CountOf::Spaces(Some(k)) => format!("{n} ch-{k} sp{s}"),
            CountOf::Spaces(None) => format!("{n} ch sp{s}"),
            CountOf::Group(name) => {
                let name = in_other_terms(name, self.pattern.terms, self.tongue.terms);
                if n == 1 { format!("{n} {name}") } else { format!("{n} {}", super::places::plural(&name)) }
            }
            CountOf::Runs(k, kind) => {
                let kind = kind.as_deref().map_or_else(|| "st".to_owned(), |k| self.tongue.kind(k));
                format!("{n} {k}-{kind} group{s}")
            }
        }
    }
}

/// What a row made, as counts say it: stitches, and spaces beside them.
fn made(last: &Tally) -> Vec<Stated> {
    let spaces = last.spaces.iter().filter_map(|(k, n)| Some((k.strip_prefix("ch-")?.parse().ok()?, *n)));
    let spaces: Vec<(u32, usize)> = spaces.collect();
    if spaces.is_empty() {
        return vec![counted(last.made, CountOf::Sts)];
    }
    // of several kinds one may be told by another's name: "sts" leaves no doubt
    let of = match last.kinds.keys().collect::<Vec<_>>().as_slice() {
        [one] => CountOf::Kind((*one).clone()),
        _ => CountOf::Sts,
    };
    let spaces = spaces.iter().map(|&(len, n)| counted(n, CountOf::Spaces(Some(len))));
    std::iter::once(counted(last.made, of)).chain(spaces).collect()
}

fn counted(n: usize, of: CountOf) -> Stated {
    Stated { count: u32::try_from(n).unwrap_or(u32::MAX), of, span: Span::default() }
}

/// `Row 5 (RS)`, `Rnds 5-8`, or the heading as published where it is of another kind.
fn heading(row: &Row, word: &str) -> String {
    let head = &row.heading;
    let side = match head.right_side {
        Some(true) => " (RS)",
        Some(false) => " (WS)",
        None => "",
    };
    // "Inc row:", "Inc row 3:", "Dec rows 2-4:"
    let published = head.published.to_lowercase();
    let own_name = head.called.as_ref().filter(|c| {
        let behind = published.strip_prefix(c.words.as_str()).map(|rest| rest.strip_prefix('s').unwrap_or(rest));
        behind.is_some_and(|rest| !rest.contains(|c: char| c.is_alphabetic()) || rest.trim_start().contains(" to "))
    });
    let side = match (&head.called, own_name) {
        // rows further on may be worked as the one of this name
        (Some(called), None) => side.replace(')', ", ") + if side.is_empty() { " (" } else { "" } + &called.words + ")",
        _ => side.to_owned(),
    };
    match &head.rows {
        _ if own_name.is_some() => format!("{}{side}", head.published),
        Rows::Numbered(numbers) if !word.is_empty() => format!("{}{side}", numbered(word, numbers)),
        Rows::Next(1) if !word.is_empty() => format!("Next {}{side}", word.to_lowercase()),
        Rows::Next(n) if !word.is_empty() => format!("Next {n} {}s{side}", word.to_lowercase()),
        _ if head.published.is_empty() => String::new(),
        _ => format!("{}{side}", head.published.split_whitespace().collect::<Vec<_>>().join(" ")),
    }
}

/// Row or round, by the heading; by what it was worked as, where a number alone is the heading.
fn word_of(kind: RowKind, label: &str) -> &'static str {
    match kind {
        RowKind::Row => "Row",
        RowKind::Round => "Rnd",
        RowKind::Loose if label.starts_with("Round ") => "Rnd",
        // a foundation chain that has a number
        RowKind::Loose if label.starts_with("Row ") || label == "Foundation" => "Row",
        RowKind::Foundation | RowKind::Loose => "",
    }
}

/// `Row 5`, `Rows 5-8`, `Rows 3, 5 and 7`.
pub(super) fn numbered(word: &str, numbers: &[u32]) -> String {
    match numbers {
        [one] => format!("{word} {one}"),
        [first, .., last] if numbers.windows(2).all(|w| w[0].checked_add(1) == Some(w[1])) => {
            let mark = if numbers.len() == 2 { " and " } else { "-" };
            format!("{word}s {first}{mark}{last}")
        }
        many => format!("{word}s {}", listed(many)),
    }
}

/// Says a line as rows worked again: "Rows 4-9: Rep rows 2 and 3.".
pub(super) fn again(line: &mut Line, rows: &[u32]) {
    line.heading = numbered(line.word, &line.numbers);
    let words = super::speech::again(&line.word.to_lowercase(), rows).into_iter().next().unwrap_or_default();
    line.pieces.iter_mut().for_each(|p| p.words = format!("{}.", upper_first(&words)));
}

/// "Join" with no word of where: to the first stitch, or to the top of the chain that stands for it.
fn tell_joins(steps: &mut [Step], untold: JoinTo) {
    for step in steps {
        match &mut step.act {
            Act::Join { to: to @ JoinTo::Untold, .. } => *to = untold,
            Act::Repeat { steps, .. } => tell_joins(steps, untold),
            _ => {}
        }
    }
}

/// Chains a row begins with: those behind a ring it makes first, and behind slip stitches that carry the yarn there.
fn opening(steps: &[Step]) -> Option<u32> {
    let ring = steps.iter().position(|s| matches!(s.act, Act::Ring { .. })).map_or(0, |k| k + 1);
    steps[ring..].iter().find_map(|s| match &s.act {
        Act::Chain { n } => Some(Some(*n)),
        Act::Turn | Act::With { .. } | Act::Attach { .. } => None,
        Act::Work { form, .. } if form.stem == Stem::SlipStitch => None,
        _ => Some(None),
    })?
}

/// The make of the first stitch of a row.
fn first_kind(steps: &[Step]) -> Option<crate::craft::StitchForm> {
    steps.iter().find_map(|s| match &s.act {
        Act::Work { form, .. } if form.stem == Stem::SlipStitch => None,
        Act::Work { form, .. } if form.legs == 1 && !form.extra.reverse => Some(*form),
        Act::Group { steps, .. } | Act::Repeat { steps, .. } => first_kind(steps),
        _ => None,
    })
}

/// Stitches worked back along a chain just made are told to go into it: "next st" would be on the row below.
fn along_branches(steps: &mut [Step]) {
    let (mut chains, mut left) = (0, 0);
    for step in steps {
        match &mut step.act {
            Act::Chain { n } => (chains, left) = (*n, 0),
            Act::Work { at: Target::FromHook { n }, .. } => left = chains.saturating_sub(*n),
            Act::Work { at: Target::Next { n, class: class @ Class::Any }, form, .. } if left > 0 && form.legs == 1 => {
                if *n <= left {
                    *class = Class::Chain;
                }
                left = left.saturating_sub(*n);
            }
            Act::Repeat { steps, .. } => along_branches(steps),
            _ => {}
        }
    }
}

/// Says behind the starting chain whether it counts.
pub(super) fn tell_turning(steps: &mut Vec<Step>, tally: Option<&Tally>) {
    let Some(counts) = tally.and_then(|t| t.turning_counts) else { return };
    if steps.iter().any(|s| matches!(s.act, Act::Counts { .. })) {
        return;
    }
    if let Some(at) = steps.iter().position(|s| matches!(s.act, Act::Chain { .. })) {
        let span = steps[at].span;
        steps.insert(at + 1, Step { act: Act::Counts { stem: None, space: 0, counts }, span });
    }
}

/// The steps as sentences: joins, turns and endings have one each.
fn sentences(speech: &mut Speech<'_>, steps: &[Step], remarks: &[(Span, String)]) -> Pieces {
    let alone = |s: &Step| {
        matches!(
            s.act,
            Act::Join { .. } | Act::DoNotJoin | Act::Turn | Act::DoNotTurn | Act::FastenOff { .. } | Act::Leave { .. }
        )
    };
    let mut found: Pieces = Vec::new();
    let mut said = 0;
    let mut at = 0;
    while at < steps.len() {
        let mut end = at + 1;
        let cuts = |s: &Step| matches!(s.act, Act::FastenOff { .. });
        while end < steps.len() && (!alone(&steps[at]) && !alone(&steps[end]) || cuts(&steps[at]) && cuts(&steps[end]))
        {
            // a remark parts the sentence where it stands
            let between = Span::new(steps[end - 1].span.end, steps[end].span.start.max(steps[end - 1].span.end));
            if remarks.iter().any(|(s, _)| between.holds(*s)) {
                break;
            }
            end += 1;
        }
        // "for the stalk, ch 6, ...": stands before what it speaks of
        let mut sentence: Pieces = Vec::new();
        while let Some((_, words)) = remarks.get(said).filter(|(s, w)| s.start < steps[at].span.start && leads(w)) {
            said += 1;
            sentence.push(Piece { words: format!("{words}, "), spans: Vec::new() });
        }
        sentence.extend(speech.steps(&steps[at..end], 0));
        let upto = steps.get(end).map_or(usize::MAX, |s| s.span.start);
        for (_, words) in
            remarks.iter().skip(said).take_while(|(s, w)| s.start < upto && (end == steps.len() || !leads(w)))
        {
            said += 1;
            let capital = words.starts_with(|c: char| c.is_uppercase() || c == '(');
            let mark = if capital { if words.starts_with('(') { " " } else { ". " } } else { ", " };
            sentence.push(Piece { words: format!("{mark}{words}"), spans: Vec::new() });
        }
        begin(&mut sentence);
        let stopped = joined(&sentence).ends_with(['.', '!', '?']);
        sentence.push(Piece { words: if stopped { "".into() } else { ".".into() }, spans: Vec::new() });
        if !found.is_empty() {
            found.push(Piece { words: " ".into(), spans: Vec::new() });
        }
        found.extend(sentence);
        at = end;
    }
    found
}

/// True for a remark that opens what follows.
pub(super) fn leads(words: &str) -> bool {
    let lower = words.to_lowercase();
    lower.starts_with("for ") || lower.starts_with("now ")
}

/// A capital for the first letter of a sentence.
fn begin(sentence: &mut [Piece]) {
    for piece in sentence {
        if piece.words.contains(char::is_alphanumeric) {
            let at = piece.words.find(char::is_alphanumeric).unwrap_or(0);
            piece.words = format!("{}{}", &piece.words[..at], upper_first(&piece.words[at..]));
            return;
        }
    }
}

pub(super) fn upper_first(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}
