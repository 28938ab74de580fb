//! Where work goes in words that name no stitch of the row below: along an edge, or to another part of the piece.

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::words;
use crate::instructions::{Act, Class, Step, Target};

/// What a piece lying flat has two of.
const LAYERS: &[&str] = &["layers", "thicknesses", "sides", "edges", "halves", "layer"];

/// What flattens a tube.
const FOLDS: &[&str] =
    &["flatten", "flattened", "flat", "fold", "folded", "folding", "press", "pinch", "squash", "squeeze", "half"];

/// Tokens of a sentence that is looked through for layers.
const LONGEST_SENTENCE: usize = 30;

impl RowReader<'_> {
    /// "ss to cup", "sl st up the side of ch-3", "sl st to center": where the yarn is carried, in words that name no
    /// stitch.
    pub(super) fn slips_to_piece(&mut self) -> bool {
        let start = self.c.at;
        if self.c.eat_any(&["through", "thru", "in", "into"]) && self.c.eat("both") {
            let both = self.c.eat_any(&["thicknesses", "layers", "pieces", "sides", "edges", "loops"]);
            let _ = self.c.eat("of") && self.c.eat("both") && self.c.eat_any(&["pieces", "layers", "edges"]);
            self.c.end_words();
            if both && (self.c.at_break() || self.joins_two_ends()) {
                return true;
            }
        }
        self.c.at = start;
        if self.c.eat_any(&["to", "up", "down", "into", "in"]) {
            let _ = self.c.eat_any(&["the", "a"]);
            let named = self.c.at;
            if self.c.eat_any(&["back", "front", "base"]) && self.c.eat("of") {
                // "to back of next petal"
                let _ = self.c.eat_any(&["the", "next", "first", "last", "same", "each"]);
                let _ = self.c.eat_any(&["next", "first", "last"]);
                if (self.c.eat_any(words::LIMBS) || self.c.class().is_some()) && self.c.at_break() {
                    return true;
                }
            }
            self.c.at = named;
            if self.c.eat_any(&["side", "edge"]) && self.c.eat("of") {
                let _ = self.c.eat("the");
                if (self.c.beginning_chain() || self.c.class().is_some()) && {
                    let _ = self.c.eat_kind(&Kind::Dash);
                    let _ = self.c.number();
                    self.c.at_break()
                } {
                    return true;
                }
            }
            self.c.at = named;
            if self.c.eat_any(&["top", "bottom", "side", "tip", "end"]) && self.c.eat("of") {
                // "to top of second cherry"
                let _ = self.c.eat_any(&["the", "a"]);
                while self.c.eat_any(&["first", "second", "next", "other", "last", "same"]) {}
                let piece = |w: &str| {
                    self.c.house.own_words.contains(w) && !words::is_of_the_craft(w) || words::LIMBS.contains(&w)
                };
                if self.c.word(0).is_some_and(piece) {
                    self.c.at += 1;
                    if self.c.at_break() {
                        return true;
                    }
                }
            }
            self.c.at = named;
            let own = |w: &str| {
                matches!(w, "center" | "centre" | "ring" | "base" | "side" | "piece")
                    || words::LIMBS.contains(&w)
                    || self.c.house.part_names.iter().any(|name| name.iter().any(|n| n == w))
                    || self.c.house.own_words.contains(w) && !words::is_of_the_craft(w)
            };
            if self.c.word(0).is_some_and(own) {
                self.c.at += 1;
                if self.c.at_break() || self.c.sees(&["and", "fasten"]) {
                    return true;
                }
            }
        }
        self.c.at = start;
        false
    }

    /// "to join last row to foundation ch", "to close side seam": what both are slip stitched for.
    fn joins_two_ends(&mut self) -> bool {
        const MOST_WORDS: usize = 10;
        if !(self.c.eat("to") && self.c.eat_any(&["join", "close", "seam", "form", "connect"])) {
            return false;
        }
        for _ in 0..MOST_WORDS {
            match self.c.word(0) {
                Some(w)
                    if self.is_plain(w) && !self.means_work(w)
                        || words::CHAIN.contains(&w)
                        || words::ROW.contains(&w) =>
                {
                    self.c.at += 1;
                }
                _ => break,
            }
        }
        self.c.at_break()
    }

    /// "sc around through both layers", "through the sts of round 6 and the back loops of round 5": the stitches go where
    /// they go, and through another layer too.
    pub(super) fn through_layers(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if self.layers_together(run) {
            return self.both_layers(run, start);
        }
        let _ = self.c.eat_any(&["working", "work", "joining"]);
        let through = self.c.eat_any(&["through", "thru"]);
        let across = |w: &str| matches!(w, "across" | "over");
        let led = start.checked_sub(1).and_then(|k| self.c.word_at(k)).is_some_and(across);
        if !(through || self.c.eat_any(&["across", "over"]) || led) {
            return false;
        }
        if self.c.sees(&["both"]) && self.c.word(1).is_some_and(|w| LAYERS.contains(&w)) {
            self.c.at += 2;
            let ends = self.c.at;
            self.c.end_words();
            if self.c.at > ends {
                to_the_end(run);
            } else if let Some(place) = self.c.place().map(|w| w.target)
                && let Some(Act::Work { each: 1, at: at @ Target::NEXT, .. }) = run.steps.last_mut().map(|s| &mut s.act)
            {
                // "sc through both layers in each st around"
                *at = place;
            } else {
                self.c.at = ends;
            }
            return self.both_layers(run, start);
        }
        if !through {
            return false;
        }
        let mut layers = self.layer();
        while layers > 0 {
            let and = self.c.at;
            let more = if self.c.eat("and") || self.c.eat_all(&["together", "with"]) { self.layer() } else { 0 };
            if more == 0 {
                self.c.at = and;
                break;
            }
            layers += more;
        }
        self.c.end_words();
        let told = layers > 1 && self.c.at_break();
        if told {
            let span = self.c.since(start);
            self.notes.push(span);
        }
        told
    }

    /// "both sides together with 6 sc", "the opening closed": what one stitch before it is worked along.
    fn layers_together(&mut self, run: &mut Run) -> bool {
        let bare = |s: &Step| matches!(s.act, Act::Work { each: 1, at: Target::NEXT, .. });
        if !run.steps.last().is_some_and(bare) {
            return false;
        }
        let start = self.c.at;
        let c = &mut self.c;
        let both = c.eat("both") && c.eat_any(LAYERS);
        let opening = !both && c.eat("the") && c.eat_any(&["opening", "top", "end", "ends", "hole", "edge", "edges"]);
        let _ = opening && c.eat_any(&["edge", "edges", "end", "ends"]);
        if !(both || opening) || !c.eat_any(&["together", "tog", "closed", "shut"]) {
            c.at = start;
            return false;
        }
        to_the_end(run);
        let with = self.c.at;
        if self.c.eat_any(&["with", "using", "in"])
            && let Some(n) = self.c.number()
            && (self.c.stitch().is_some() || self.c.eat_any(words::STITCH))
            && let Some(Act::Work { at, .. }) = run.steps.last_mut().map(|s| &mut s.act)
        {
            *at = Target::Next { n, class: Class::Any };
        } else if self.counts_layers(with, run) {
        } else {
            self.c.at = with;
            self.c.end_words();
        }
        true
    }

    /// ": 12 sc" behind "sc the top edges together": how many.
    fn counts_layers(&mut self, from: usize, run: &mut Run) -> bool {
        self.c.at = from;
        let n = self.c.eat_kind(&Kind::Colon).then(|| self.c.number()).flatten();
        let named = n.is_some() && (self.c.stitch().is_some() || self.c.eat_any(words::STITCH)) && self.c.at_break();
        match (n, run.steps.last_mut().map(|s| &mut s.act)) {
            (Some(n), Some(Act::Work { at, .. })) if named => {
                *at = Target::Next { n, class: Class::Any };
                true
            }
            _ => false,
        }
    }

    /// "the stitches of round 6", "both pieces", "all loops": how many layers that are at least; 0 for other words.
    fn layer(&mut self) -> usize {
        let start = self.c.at;
        let _ = self.c.eat("the");
        let both = self.c.eat_any(&["both", "all"]);
        let _ = self.c.eat_any(&["back", "front", "free"]);
        let ends = self.c.eat_any(&["foundation", "beginning", "starting"]) && self.c.eat_any(words::CHAIN)
            || self.c.eat_any(&["first", "last"]) && self.c.eat_any(words::ROW);
        if ends {
            return 1;
        }
        let named =
            self.c.eat_any(LAYERS) || self.c.eat_any(&["pieces", "loops", "lps"]) || self.c.eat_any(words::STITCH);
        let of = self.c.at;
        let row = self.c.eat_any(&["of", "from", "on", "in"]) && {
            let _ = self.c.eat("the");
            (self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND)) && self.c.number().is_some()
        };
        self.c.at = if row { self.c.at } else { of };
        if named && (both || row) {
            return 1 + usize::from(both);
        }
        self.c.at = start;
        0
    }

    /// ", working through both layers": no part of the remark before it.
    pub(super) fn layers_behind(&self, comma: usize) -> bool {
        let mut c = self.c.clone();
        c.at = comma + 1;
        let _ = c.eat("and");
        let _ = c.eat_any(&["working", "work"]);
        c.eat_any(&["through", "thru"]) && c.eat("both") && c.eat_any(LAYERS)
    }

    /// Behind "through both layers": how often, and what for.
    fn both_layers(&mut self, run: &mut Run, start: usize) -> bool {
        let told = |s: &Step| {
            self.text.get(s.span.start..s.span.end).is_some_and(|w| w.starts_with(|c: char| c.is_ascii_digit()))
        };
        let bare = !run.steps.last().is_some_and(told);
        let times = self.c.times();
        if bare && times.is_none() {
            // "sc through both sides": as far as they go
            to_the_end(run);
        }
        if let Some((times, _)) = times
            && let Some(Act::Work { each: 1, at: Target::Next { n, .. }, .. }) =
                run.steps.last_mut().map(|s| &mut s.act)
            && *n == 1
        {
            // "sc through both sides 5 times"
            *n = times;
        }
        let here = self.c.at;
        if self.c.eat("to") && self.c.eat_any(&["close", "seal", "join", "finish", "shut"]) {
            let _ = self.c.eat_any(&["the", "it", "up"]);
            let _ = self.c.eat_any(&["opening", "end", "ends", "top", "bottom", "edge", "hole", "piece"])
                || self.c.word(0).is_some_and(|w| self.c.house.own_words.contains(w)) && {
                    self.c.at += 1;
                    true
                };
        }
        if !(self.c.at_break() || self.c.word(0) == Some("and")) {
            self.c.at = here;
        }
        self.so_many_through(run);
        let counted = matches!(self.c.kind(0), Some(Kind::Open(_))) && matches!(self.c.kind(1), Some(Kind::Number(_)));
        let ended = counted
            || self.c.at_break()
            || matches!(self.c.word(0), Some("and" | "to"))
            || self.c.kind(0) == Some(&Kind::Dash);
        ended && self.push(run, start, Act::BothLayers { next: false, folded: self.folds_flat(start) })
    }

    /// ", working 6 sc", ", making 6 sc" behind "through both sides to close": how many.
    fn so_many_through(&mut self, run: &mut Run) {
        let start = self.c.at;
        let _ = self.c.eat_kind(&Kind::Comma);
        let n = if self.c.eat_any(&["working", "making"]) { self.c.number() } else { None };
        let named = n.is_some() && (self.c.stitch().is_some() || self.c.eat_any(words::STITCH)) && {
            let _ = self.c.eat_any(&["in", "altogether"]) && self.c.eat_any(&["all", "total"]);
            self.c.at_break()
        };
        match (n, run.steps.last_mut().map(|s| &mut s.act)) {
            (Some(n), Some(Act::Work { each: 1, at, .. })) if named => *at = Target::Next { n, class: Class::Any },
            _ => self.c.at = start,
        }
    }

    /// "Flatten the wing and work the next row through both layers": said of the row that follows.
    pub(super) fn next_through_layers(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        // no further than a sentence may go: a line without a stop would be looked through from each of its words
        let words = &self.c.tokens[start..self.c.tokens.len().min(start + LONGEST_SENTENCE)];
        let end = words.iter().position(|t| matches!(t.kind, Kind::Stop | Kind::Semicolon)).unwrap_or(words.len());
        let is = |k: usize, list: &[&str]| matches!(words.get(k).map(|t| &t.kind), Some(Kind::Word(w)) if list.contains(&w.as_str()));
        let next =
            (0..end).find(|&k| is(k, &["next", "last", "final"]) && (is(k + 1, words::ROW) || is(k + 1, words::ROUND)));
        let layers = |k: usize| is(k, &["through", "thru"]) && is(k + 1, &["both"]) && is(k + 2, LAYERS);
        if end == LONGEST_SENTENCE || !next.is_some_and(|at| (at..end).any(layers)) {
            return false;
        }
        let plain = words[..end].iter().all(|t| match &t.kind {
            Kind::Word(w) => {
                super::remarks::is_plain_word(w)
                    || self.c.house.own_words.contains(w)
                    || words::ROW.contains(&w.as_str())
                    || words::ROUND.contains(&w.as_str())
            }
            Kind::Comma => true,
            _ => false,
        });
        if !plain {
            return false;
        }
        self.c.at += end;
        self.push(run, start, Act::BothLayers { next: true, folded: self.folds_flat(start) })
    }

    /// True where the words up to here flatten a tube: "flatten and", "fold in half,", "across", "to close".
    fn folds_flat(&self, start: usize) -> bool {
        const MOST_WORDS: usize = 40;
        let folds = |w: &str| FOLDS.contains(&w) || matches!(w, "across" | "close" | "closed" | "shut");
        (start.saturating_sub(MOST_WORDS)..self.c.at).any(|k| self.c.word_at(k).is_some_and(folds))
    }

    /// "20 sc up the side", "sc across foundation chain": spaced along an edge told in words.
    pub(super) fn along_edge(&mut self, counted: bool) -> bool {
        let start = self.c.at;
        // "sc across top" with no number may be along the row below
        if self.c.along_named_edge() && (counted || self.c.word_at(start + 1).is_some_and(|w| w != "top")) {
            return true;
        }
        self.c.at = start;
        false
    }
}

/// One stitch that is told to go across goes into each place.
fn to_the_end(run: &mut Run) {
    if let Some(Act::Work { each: 1, at: at @ Target::NEXT, .. }) = run.steps.last_mut().map(|s| &mut s.act) {
        *at = Target::Each { class: Class::Stitch, less: 0, every: 1 };
    }
}
