//! Counts a row states at its end: "(36 sts)", "[12 sc, 4 ch-2 sps]", "— 18 dc", "= 6 petals".

use super::lex::Kind;
use super::phrase::RowReader;
use super::stitch::Named;
use super::words;
use crate::craft::Stem;
use crate::instructions::{Act, Class, CountOf, Stated, Step, Target, Times};
use crate::source::Span;

impl RowReader<'_> {
    /// A count behind a dash or an equals sign, or as a sentence of its own at the row's end.
    pub(super) fn stated_here(&mut self, before: &[Step]) -> bool {
        let start = self.c.at;
        if self.depth == 0 && self.told_count() {
            return true;
        }
        // "back along the other side of the chain: 5 sc": what is worked there
        let leads = matches!(before.last().map(|s| &s.act), Some(Act::FarSide | Act::RowEnds));
        let marked = match self.c.kind(0) {
            Some(Kind::Dash | Kind::Equals) => true,
            Some(Kind::Colon) => !leads,
            _ => false,
        };
        if marked {
            self.c.at += 1;
        } else if !(matches!(self.c.kind(0), Some(Kind::Number(_)))
            && self.depth == 0
            && self.is_sentence_start(before))
        {
            return false;
        }
        let from = self.c.at;
        let mut end = self.end_of_count(from, from);
        // "[…] 4 times. 16": a number that is all there is
        let alone = !marked
            && end == from + 1
            && (end..self.c.tokens.len()).all(|k| self.c.kind_at(k) == Some(&Kind::Stop))
            && before.last().is_some_and(|s| !matches!(s.act, Act::Chain { .. } | Act::Skip { .. }));
        // "12 dc; 12 ch-1 sps."
        while matches!(self.c.kind_at(end), Some(Kind::Semicolon))
            && matches!(self.c.kind_at(end + 1), Some(Kind::Number(_)))
            && end - from < LONGEST_COUNT
        {
            let further = self.end_of_count(from, end + 1);
            if !(self.ends_row(further) && self.would_state(from, further)) {
                break;
            }
            end = further;
        }
        // behind a join nothing but a count has the whole sentence to itself
        let joined = before.last().is_some_and(|s| ends_round(&s.act))
            && (matches!(self.c.kind_at(end), None | Some(Kind::Stop)) || self.begins_line(end));
        if (marked || self.counts_sts() || joined || self.ends_row(end))
            && self.stated_in(from, end, alone || marked && self.ends_row(end))
        {
            self.c.at = end;
            return true;
        }
        self.c.at = start;
        false
    }

    /// "*sc in end of each row – 7 sc**; …": a count in front of a mark that more work stands behind is that of the
    /// stretch, and the row's own comes at its end.
    pub(super) fn leave_counts_of_stretches(&mut self, steps: &[Step]) {
        let Some(last) = steps.iter().rev().find(|s| s.act.works()).map(|s| s.span.end) else { return };
        let tokens = self.c.tokens;
        let before_mark = |end: usize| {
            let at = tokens.partition_point(|t| t.span.start < end);
            let closed = matches!(tokens.get(at).map(|t| &t.kind), Some(Kind::Close(_)));
            matches!(tokens.get(at + usize::from(closed)).map(|t| &t.kind), Some(Kind::Star(2..)))
        };
        let notes = &mut self.notes;
        self.stated.retain(|s| {
            let stretch = s.span.end < last && before_mark(s.span.end);
            notes.extend(stretch.then_some(s.span));
            !stretch
        });
    }

    /// Where a sentence of counts that began at `from` ends, looked for from `at` on.
    fn end_of_count(&self, from: usize, at: usize) -> usize {
        let mut end = at;
        while end < self.c.tokens.len()
            && end - from < LONGEST_COUNT
            && !matches!(self.c.tokens[end].kind, Kind::Stop | Kind::Semicolon | Kind::Star(_))
            && !(end > from && self.begins_line(end) && !self.names_what_is_counted(end))
        {
            end += 1;
        }
        end
    }

    /// True where tokens are a list of counts; nothing is kept of it.
    fn would_state(&mut self, from: usize, end: usize) -> bool {
        let (at, kept) = (self.c.at, (self.stated.len(), self.stated_each, self.stated_in_turn));
        let states = self.stated_in(from, end, false);
        self.c.at = at;
        self.stated.truncate(kept.0);
        (self.stated_each, self.stated_in_turn) = (kept.1, kept.2);
        states
    }

    /// "You should have 12 sc.", "Total: 12 sts.", "This round makes 16 sc."
    fn told_count(&mut self) -> bool {
        let start = self.c.at;
        let c = &mut self.c;
        let led = (c.eat("you") && c.eat_any(&["should", "will", "now"]) && {
            let _ = c.eat("now");
            c.eat("have")
        }) || c.eat_all(&["a", "total", "of"])
            || c.eat("total") && {
                let _ = c.eat_kind(&Kind::Colon);
                true
            }
            || (c.eat("this") && (c.eat_any(words::ROW) || c.eat_any(words::ROUND)) && c.eat_any(&["makes", "has"]));
        if led {
            let _ = self.c.eat_all(&["a", "total", "of"]);
            let from = self.c.at;
            let mut end = from;
            while end < self.c.tokens.len()
                && end - from < LONGEST_COUNT
                && !matches!(self.c.tokens[end].kind, Kind::Stop | Kind::Semicolon)
            {
                end += 1;
            }
            if self.stated_in(from, end, true) {
                self.c.at = end;
                return true;
            }
        }
        self.c.at = start;
        false
    }

    /// ", having 9 dc between ch-3 spaces", ", having 5 sc in each ch-4 sp": says again what each space holds.
    pub(super) fn having(&mut self, _run: &mut super::phrase::Run) -> bool {
        let start = self.c.at;
        if !self.c.eat("having") || self.c.number().is_none() || self.c.stitch().is_none() {
            return false;
        }
        let _ = self.c.eat_any(&["in", "between", "into", "over"]) && (self.c.eat("each") || self.c.eat("the"));
        if self.c.class().is_none() || !self.c.at_break() {
            return false;
        }
        let span = self.c.since(start);
        self.notes.push(span);
        true
    }

    /// "Turn. 14 sc.": only behind something that ends a row is a bare "14 sc" its count.
    fn is_sentence_start(&self, before: &[Step]) -> bool {
        let stop = self.c.at > 0 && matches!(self.c.tokens[self.c.at - 1].kind, Kind::Stop | Kind::Semicolon);
        let ended = before.last().is_some_and(|s| match &s.act {
            Act::Turn | Act::DoNotTurn | Act::Join { .. } | Act::DoNotJoin | Act::FastenOff { .. } => true,
            Act::Work { at, .. } => matches!(at, Target::Each { .. } | Target::Last { .. } | Target::TurningTop),
            Act::Repeat { times, .. } => matches!(times, Times::ToEnd { .. }),
            _ => false,
        });
        let placeless = before
            .last()
            .is_some_and(|s| matches!(&s.act, Act::Work { at: Target::Next { class: Class::Any, .. }, .. }));
        // "ch 1, sc2tog, sc in each st to last 2 sts, sc2tog. 13 sc.": the only full stop of a row of commas
        let only = || {
            let marks = &self.c.tokens[..self.c.at - 1];
            let near = |kind: Kind| marks.iter().rev().take(LONGEST_ROW).any(|t| t.kind == kind);
            marks.len() < LONGEST_ROW && near(Kind::Comma) && !near(Kind::Stop)
        };
        stop && (ended || (!placeless || only()) && !before.is_empty() || self.counts_sts())
    }

    /// True for a word with a capital at the start of a line: a sentence begins there, full stop or not.
    pub(super) fn begins_line(&self, at: usize) -> bool {
        let between = &self.text[self.c.tokens[at - 1].span.end..self.c.tokens[at].span.start];
        between.contains('\n') && self.text[self.c.tokens[at].span.start..].starts_with(char::is_uppercase)
    }

    /// "—50", and "V-sts" on the next line.
    fn names_what_is_counted(&self, at: usize) -> bool {
        let mut ahead = self.c.clone();
        ahead.at = at;
        matches!(self.c.tokens[at - 1].kind, Kind::Number(_)) && ahead.special().is_some() && ahead.at_break()
    }

    /// "14 sts" can be nothing but a count.
    fn counts_sts(&self) -> bool {
        self.c.word(1).is_some_and(|w| words::STITCH.contains(&w))
    }

    /// Reads tokens `from..end` as a list of counts; a number alone only where `bare` allows it.
    pub(super) fn stated_in(&mut self, from: usize, end: usize, bare: bool) -> bool {
        let keep = self.c.at;
        self.c.at = from;
        let mut found: Vec<Stated> = Vec::new();
        let mut each = false;
        // numbers of a list of which the last alone says what they count
        let mut listed: Vec<(u32, Span)> = Vec::new();
        while self.c.at < end {
            let start = self.c.at;
            let _ = self.c.eat_kind(&Kind::Equals) || self.c.eat_any(&["total", "of", "makes", "a"]);
            let Some(count) = self.number_of_count() else { break };
            if !found.is_empty() && self.of_a_side() {
                continue;
            }
            if found.is_empty() && listed.len() + 1 < self.c.house.rows && self.next_in_list() {
                listed.push((count, self.c.tokens[start].span));
                continue;
            }
            // "(8, petals)"
            let _ =
                self.c.at + 1 < end && matches!(self.c.kind(1), Some(Kind::Word(_))) && self.c.eat_kind(&Kind::Comma);
            // "(3 total rows)"
            let _ = self.c.word(0) == Some("total") && self.c.eat("total");
            let of = match self.count_of(end) {
                Some(of) => of,
                None if bare && self.c.at == end && found.is_empty() => CountOf::Sts,
                None => break,
            };
            // "24 sc sts total"
            let _ = self.c.eat_any(words::STITCH);
            let _ = self.c.eat_any(&[
                "total",
                "made",
                "rem",
                "remain",
                "remaining",
                "worked",
                "left",
                "inc'd",
                "decreased",
            ]) || self.c.eat_all(&["in", "all"])
                || self.c.eat_all(&["in", "total"]);
            let _ = self.c.at_end_of_row() && self.c.eat("worked");
            found.extend(listed.drain(..).map(|(count, span)| Stated { count, of: of.clone(), span }));
            let span = self.c.since(start);
            found.push(Stated { count, of, span });
            // "24 dc and ch-1 sps": as many of the one as of the other
            let here = self.c.at;
            match (self.c.eat("and"), self.c.space()) {
                (true, Some(Class::Space(n))) if self.c.at == end => {
                    // "8 dc and ch-3 sp": one of them, or as many; no number says which
                    let one = self.c.word_at(self.c.at - 1).is_some_and(|w| !w.ends_with('s'));
                    if !one {
                        found.push(Stated { count, of: CountOf::Spaces(n), span: self.c.since(here) });
                    }
                }
                _ => self.c.at = here,
            }
            each |= self.c.eat("each") && {
                let _ = self.c.eat("row") || self.c.eat("rnd") || self.c.eat("round");
                true
            };
            let _ = self.c.eat_kind(&Kind::Comma) || self.c.at < end && self.c.eat_kind(&Kind::Semicolon);
            self.chain_counted(end);
            let _ = self.c.eat("and") || self.c.eat("plus") || self.c.eat_kind(&Kind::Other('+'));
        }
        if self.c.at == end && !found.is_empty() {
            let rows = self.c.house.rows;
            self.stated_in_turn |= rows > 1 && found.len() == rows && found.iter().all(|s| s.of == found[0].of);
            self.stated.extend(found);
            self.stated_each |= each;
            return true;
        }
        self.c.at = keep;
        false
    }

    /// ", 14" behind a number, "/14", "and 14": another number of a list.
    fn next_in_list(&mut self) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_kind(&Kind::Comma) || self.c.eat_kind(&Kind::Other('/'));
        let _ = self.c.eat("and");
        if self.c.at > start && matches!(self.c.kind(0), Some(Kind::Number(_))) {
            return true;
        }
        self.c.at = start;
        false
    }

    /// Behind a count: "counting starting chain as 1 dc", "incl t-ch", "beginning ch counts as a st".
    fn chain_counted(&mut self, end: usize) {
        let start = self.c.at;
        if self.c.eat_any(&["counting", "including", "incl", "inc"]) {
            let _ = self.c.eat_any(&["the", "first"]);
            let _ = self.c.eat("skipped") && self.c.eat_any(words::CHAIN);
            if matches!(self.c.kind(0), Some(Kind::Number(_)))
                && self.c.word(1).is_some_and(|w| words::CHAIN.contains(&w))
            {
                // "49 htr incl 2ch"
                self.c.at += 2;
                return;
            }
            let _ = self.c.eat("t") && self.c.eat_kind(&Kind::Dash) && self.c.eat_any(words::CHAIN);
            if !self.c.beginning_chain() && self.c.eat_any(words::CHAIN) {
                // "counting ch-3 as 1 dc"
                let _ = self.c.eat_kind(&Kind::Dash);
                let _ = self.c.number();
            }
            let _ = self.c.eat("as") && (self.c.number().is_some() || self.c.eat_any(&["a", "one"])) && {
                let _ = self.c.stitch().is_some() || self.c.eat_any(words::STITCH);
                true
            };
            return;
        }
        if self.c.eat("not") && self.c.eat_any(&["counting", "including"]) || self.c.eat_any(&["excluding", "without"])
        {
            // "not counting the join", "excluding beg ch-3"
            let _ = self.c.eat("the");
            let named = self.c.beginning_chain()
                || self.c.eat_any(&["join", "joining"])
                || self.c.class().is_some()
                || self.c.stitch().is_some();
            let _ = named && self.c.eat_any(words::STITCH);
            if !named {
                self.c.at = start;
            }
            return;
        }
        let counts = self.c.beginning_chain() && self.c.eat_any(&["counts", "count"]);
        let _ = counts && self.c.eat("as") && {
            let _ = self.c.eat_any(&["a", "one", "the", "first"]) || self.c.number().is_some();
            self.c.class().is_some()
        };
        if !(counts && self.c.at == end) {
            self.c.at = start;
        }
    }

    /// "7 per side", "5 sts on each side" behind the whole count: a part of it, said again.
    fn of_a_side(&mut self) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(words::STITCH) || self.c.stitch().is_some();
        let each = self.c.eat("per") || {
            let _ = self.c.eat_any(&["on", "along", "in", "to"]);
            self.c.eat_any(&["each", "every"])
        };
        if each && self.c.eat_any(&["side", "edge", "point", "petal", "section", "corner"]) {
            return true;
        }
        self.c.at = start;
        false
    }

    fn number_of_count(&mut self) -> Option<u32> {
        self.c.number()
    }

    /// What is counted: a place class, a stitch, or the pattern's own word.
    fn count_of(&mut self, end: usize) -> Option<CountOf> {
        if self.c.at >= end {
            return None;
        }
        let start = self.c.at;
        if self.c.eat_any(words::STITCH) {
            return Some(CountOf::Sts);
        }
        // "2 large shells" where the pattern has both a large one and a small one
        let sized = self.c.clone().special().is_some();
        let _ = !sized && self.c.eat_any(&["large", "small", "long", "short", "open", "filled"]);
        if let Some(of) = self.bracketed_groups(end) {
            return Some(of);
        }
        let word = self.c.word(0).unwrap_or_default();
        if matches!(word, "mesh" | "meshes") {
            // a mesh is a space and the stitch before it
            self.c.at += 1;
            let _ = self.c.eat_any(words::SPACE);
            return Some(CountOf::Spaces(None));
        }
        if words::CLUSTERS.iter().any(|c| words::is_or_plural(word, c)) {
            // the one that opens the row has a chain for a leg and counts all the same
            self.c.at += 1;
            let _ = self.c.eat_any(words::STITCH);
            return Some(CountOf::Group(word.to_owned()));
        }
        if let Some(of) = self.chains_by_a_noun() {
            return Some(of);
        }
        // "(1 tile)"
        if words::BLOCKS.contains(&word) && !word.ends_with('s') && self.ends_count(self.c.at + 1, end) {
            self.c.at += 1;
            return Some(CountOf::Group(word.to_owned()));
        }
        if self.c.eat_any(&["bl", "bls", "blk", "blks"]) {
            return Some(CountOf::Group("block".into()));
        }
        if let Some(of) = self.own_noun(end) {
            return Some(of);
        }
        if let Some(class) = self.c.class() {
            return match class {
                Class::Space(n) => Some(CountOf::Spaces(n)),
                Class::OpeningSpace => Some(CountOf::Spaces(None)),
                Class::Kind(kind) => Some(CountOf::Kind(kind)),
                Class::Chain => Some(CountOf::Kind("ch".into())),
                Class::Stitch | Class::Any => Some(CountOf::Sts),
                Class::Corner(_) => Some(CountOf::Group("corners".into())),
                Class::Group(name) => Some(CountOf::Group(name)),
                Class::Run { n, kind } => Some(CountOf::Runs(n, kind)),
                Class::Picot => Some(CountOf::Group("picot".into())),
                Class::CornerStitch => Some(CountOf::Group("corners".into())),
                Class::Marked | Class::RowEnd | Class::Tip | Class::ChainEnd | Class::All | Class::AllChains => None,
            };
        }
        self.c.at = start;
        if let Some(Named::Special(k)) = self.c.stitch() {
            return Some(CountOf::Group(self.c.house.specials[k].names[0].clone()));
        }
        self.c.at = start;
        let word = self.c.word(0)?;
        let plural = word.ends_with('s') && word.len() > 2;
        let known = matches!(
            word,
            "petals" | "groups" | "clusters" | "shells" | "points" | "corners" | "picots" | "loops" | "meshes"
        );
        if plural && (known || self.ends_count(self.c.at + 1, end)) && !words::WORKING_WORDS.contains(&word) {
            self.c.at += 1;
            return Some(CountOf::Group(word.to_owned()));
        }
        None
    }

    /// "4 pineapple bases", "6 leaf tips" in a list of counts: the pattern's own words, two of them.
    fn own_noun(&mut self, end: usize) -> Option<CountOf> {
        let plain = |k: usize| match self.c.kind_at(k) {
            Some(Kind::Word(w)) if !words::is_of_the_craft(w) && w != "times" && w != "more" => {
                let mut ahead = self.c.clone();
                ahead.at = k;
                ahead.stitch().is_none().then_some(w.as_str())
            }
            _ => None,
        };
        let (first, noun) = (plain(self.c.at)?, plain(self.c.at + 1)?);
        let nouns = first.len() > 2 && noun.len() > 3 && noun.ends_with('s') && self.ends_count(self.c.at + 2, end);
        let name = format!("{first} {noun}");
        nouns.then(|| {
            self.c.at += 2;
            CountOf::Group(name)
        })
    }

    /// True where one count of a list ends.
    fn ends_count(&self, at: usize, end: usize) -> bool {
        at >= end
            || matches!(self.c.kind_at(at), Some(Kind::Comma | Kind::Semicolon))
            || self.c.word_at(at) == Some("and")
    }

    /// "2 ch-8 handles", "6 ch-3 arches": spaces, whatever they are to the piece.
    fn chains_by_a_noun(&mut self) -> Option<CountOf> {
        let start = self.c.at;
        let n = (self.c.eat_any(words::CHAIN) && self.c.eat_kind(&Kind::Dash)).then(|| self.c.number()).flatten();
        if let (Some(n), Some(noun)) = (n, self.c.word(0)) {
            let known =
                words::SPACE.iter().chain(words::SHAPES).chain(words::GROUP).any(|w| words::is_or_plural(noun, w));
            if noun.len() > 3
                && noun.ends_with('s')
                && !known
                && !words::WORKING_WORDS.contains(&noun)
                && noun != "picots"
            {
                self.c.at += 1;
                return Some(CountOf::Spaces(Some(n)));
            }
        }
        self.c.at = start;
        None
    }

    /// "13 (dc, ch 3, dc) groups".
    fn bracketed_groups(&mut self, end: usize) -> Option<CountOf> {
        let close = self.partners.get(self.c.at).copied().flatten()?;
        let named = matches!(self.c.kind_at(close + 1), Some(Kind::Word(w)) if words::GROUP.contains(&w.as_str()));
        if !named || close + 2 > end {
            return None;
        }
        self.c.at = close + 2;
        Some(CountOf::Group("groups".into()))
    }

    /// Span of tokens `from..end`.
    pub(super) fn span_of(&self, from: usize, end: usize) -> Span {
        let last = end.max(from + 1) - 1;
        self.c.tokens[from].span.to(self.c.tokens[last].span)
    }
}

/// Tokens of the longest row whose only full stop is looked for.
const LONGEST_ROW: usize = 400;

/// Tokens of the longest statement of counts: six kinds with their numbers.
const LONGEST_COUNT: usize = 40;

/// "join", "ss to top of 3ch", "fasten off".
fn ends_round(act: &Act) -> bool {
    match act {
        Act::Join { .. } | Act::DoNotJoin | Act::FastenOff { .. } => true,
        Act::Work { form, at: Target::TurningTop | Target::First { .. }, .. } => form.stem == Stem::SlipStitch,
        _ => false,
    }
}
