//! Phrases that are no stitch: sides, skips, what a chain counts as, rows worked again.

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::stitch::Named;
use super::words;
use crate::craft::Stem;
use crate::instructions::{Act, Step, Target};

impl RowReader<'_> {
    pub(super) fn push(&mut self, run: &mut Run, start: usize, act: Act) -> bool {
        let span = self.c.since(start);
        run.steps.push(Step { act, span });
        true
    }

    /// "with RS facing", "working in back loops only": said once, of the whole row.
    pub(super) fn facing(&mut self, _run: &mut Run) -> bool {
        let start = self.c.at;
        let from = self.c.eat_any(&["working", "work"]) && self.c.eat_any(&["from", "on", "with"]);
        let led = from || self.c.eat("with");
        let _ = led && self.c.eat("the");
        let side = self.c.eat_any(&["rs", "ws"])
            || (self.c.eat_any(&["right", "wrong"]) && self.c.eat_any(&["side", "sides"]))
            || self.c.eat_all(&["same", "side"]);
        if led && side {
            let _ = self.c.eat_all(&["of", "work"]) || self.c.eat_all(&["of", "the", "work"]);
            if self.c.eat("of") {
                // "with right side of row 1 facing"
                while !self.c.at_break() && self.c.word(0) != Some("facing") {
                    self.c.at += 1;
                }
            }
            let facing = self.c.eat("facing") || from && self.c.at_break();
            if self.c.eat_any(&["tog", "together"]) || facing {
                let _ = self.c.eat("you") || self.c.eat("each") && self.c.eat("other");
                let span = self.c.since(start);
                self.notes.push(span);
                return true;
            }
        }
        self.c.at = start;
        if self.c.at_end_of_row() {
            // "at end of row 4 change to B": the words behind it are read next
            let _ = self.c.eat_kind(&Kind::Comma);
            return true;
        }
        // "in back loops only, sc in each sc": of the whole row, where it opens it
        let opens = self.c.word(0) == Some("in")
            && matches!(self.c.word(1), Some("both" | "back" | "front" | "the" | "blo" | "flo"));
        if self.c.eat_any(&["working", "work", "worked"]) || opens {
            let _ = self.c.eat_any(&["in", "into", "through"]);
            let _ = self.c.eat("the");
            if self.c.eat("both") && self.c.eat_any(&["loops", "lps"]) {
                self.row_loop = None;
                return self.c.at_break();
            }
            if let Some(part) = self.c.loop_words() {
                let of = self.c.at;
                self.end_of_chain_words();
                let _ = self.c.at > of
                    || self.c.eat_all(&["of", "each", "st"])
                    || self.c.eat_all(&["of", "sts"])
                    || self.c.eat_all(&["of", "each", "stitch"]);
                let _ = self.c.eat("throughout");
                // "in blo sc in each st": the stitch follows with no mark
                let stitch = self.c.names_a_stem() || self.c.counts_stitches();
                let marked = matches!(self.c.kind(0), Some(Kind::Colon | Kind::Open(_)));
                if stitch || self.c.at_break() || self.c.word(0) == Some("work") || marked {
                    self.row_loop = Some(part);
                    return true;
                }
            }
        }
        false
    }

    /// "working along opposite side of foundation ch", "working in ends of rows", "leave last 2 sts unworked".
    pub(super) fn side_step(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if self.slip_knot() || self.along_limb() {
            let span = self.c.since(start);
            self.notes.push(span);
            return true;
        }
        if self.rotated() {
            let span = self.c.since(start);
            self.notes.push(span);
            return true;
        }
        if self.goes_along_side() {
            self.c.row_ends = true;
            return self.push(run, start, Act::RowEnds);
        }
        let led = self.c.eat_any(&["working", "work", "continue", "continuing", "cont", "now", "rotate", "pivot"]);
        let _ = led && self.c.eat("to");
        let _ = self.c.eat_any(&["working", "work", "now", "and", "continue"]);
        let _ = self.c.eat_any(&["back"]);
        let _ = self.c.eat_any(&["along", "on", "in", "down", "up", "into", "across", "over"]);
        let _ = self.c.eat("the");
        let here = self.c.at;
        if led && self.c.eat_any(&["bottom", "underside", "base", "back"]) {
            // "working in bottom of chain": its loops that are left
            let _ = self.c.eat_any(&["loops", "lps", "side", "edge"]);
            let of = self.c.at;
            self.end_of_chain_words();
            if self.c.at > of {
                self.c.row_ends = false;
                return self.push(run, start, Act::FarSide);
            }
            self.c.at = here;
        }
        if self.c.eat_any(&["rem", "remaining", "free", "unused"]) && self.c.eat_any(&["loops", "lps", "loop"]) {
            let of = self.c.at;
            let _ = self.c.eat_any(&["on", "along"]);
            let _ = self.c.eat("the");
            if self.c.eat_any(&["opposite", "other"]) {
                let _ = self.c.eat("side");
            } else {
                self.c.at = of;
            }
            self.end_of_chain_words();
            self.c.row_ends = false;
            return self.push(run, start, Act::FarSide);
        }
        self.c.at = here;
        if self.c.eat_any(&["opposite", "other", "far", "second", "remaining", "free"]) {
            let _ = self.c.eat("long");
            if self.c.eat_any(&["side", "edge", "loops", "lps"]) {
                self.end_of_chain_words();
                return self.push(run, start, Act::FarSide);
            }
            return false;
        }
        if led && (self.c.row_end_words() || self.c.eat_all(&["flat", "edge"]) || self.c.eat_all(&["straight", "edge"]))
        {
            self.c.row_ends = true;
            // "across ends of rows of first side"
            let _ = self.c.whereabouts();
            return self.push(run, start, Act::RowEnds);
        }
        self.c.at = start;
        // "do not work last mesh"
        let not = self.c.eat_all(&["do", "not", "work"]) || self.c.eat_all(&["don't", "work"]);
        let _ = not && self.c.eat_any(words::INTO);
        if not || self.c.eat_any(&["leave", "leaving"]) {
            let _ = self.c.eat("the");
            let rest = self.c.eat_any(&["rest", "remainder", "others"]) && {
                let _ = self.c.eat_all(&["of", "the"]) || self.c.eat("of");
                true
            };
            let last = self.c.eat_any(&["last", "rem", "remaining", "final"]) || rest;
            let n = self.c.number();
            let class = self.c.class();
            let named = rest && class.is_none() && (self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND));
            self.c.end_words();
            let told = self.c.eat_any(&["unworked", "free", "unused"]);
            // "leave remaining unworked", "leave rem sts."
            let bare = last && (n.is_none() && told || class.is_some() && (not || self.c.at_break()));
            if bare || (last || n.is_some()) && (class.is_some() || rest || named) && told {
                return self.push(run, start, Act::Leave { n });
            }
        }
        false
    }

    /// "working along side, 3 sc evenly spaced", "down the left edge, sc in each row": the ends of the rows, where what
    /// follows is of rows, or spaced.
    fn goes_along_side(&mut self) -> bool {
        const MOST_WORDS: usize = 14;
        let start = self.c.at;
        while self.c.eat_any(&["working", "work", "continue", "continuing", "cont", "now", "then", "and"]) {}
        if self.c.eat_any(&["along", "down", "up", "across"]) && self.c.side_named() {
            // "working along side in row ends"
            let here = self.c.at;
            if !(self.c.eat_any(&["in", "into"]) && self.c.row_end_words() && self.c.at_break()) {
                self.c.at = here;
            }
            let ends = self.c.at_break() || matches!(self.c.word(0), Some("work" | "working" | "and"));
            let follows = (0..MOST_WORDS).map_while(|k| match self.c.kind(k)? {
                Kind::Word(w) => Some(matches!(w.as_str(), "evenly" | "row" | "rows" | "end" | "ends")),
                Kind::Semicolon | Kind::Stop => None,
                _ => Some(false),
            });
            if ends && follows.into_iter().any(|spaced| spaced) {
                return true;
            }
        }
        self.c.at = start;
        false
    }

    /// "make a slip knot and": how the yarn gets onto the hook.
    fn slip_knot(&mut self) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(&["make", "with", "place", "beginning", "starting"]);
        let _ = self.c.eat_any(&["a", "the"]);
        if (self.c.eat("slip") && self.c.eat_any(&["knot", "loop"]) || self.c.eat("slipknot")) && {
            let _ = self.c.eat_any(&["on", "onto"]) && {
                let _ = self.c.eat_any(&["the", "your"]);
                self.c.eat("hook")
            };
            self.c.at_break() || self.c.word(0) == Some("and")
        } {
            return true;
        }
        self.c.at = start;
        false
    }

    /// "working along side of point", "working up side of petal": a part of the row below, whose stitches are named next.
    fn along_limb(&mut self) -> bool {
        let start = self.c.at;
        if self.c.eat_any(&["working", "work"]) && self.c.eat_any(&["along", "up", "down", "around"]) {
            let _ = self.c.eat("the");
            let _ = self.c.eat_any(&["first", "other", "second", "next", "opposite", "same"]);
            let side = self.c.eat_any(&["side", "edge", "sides"]) && self.c.eat("of");
            let _ = side && self.c.eat_any(&["the", "each", "this", "same", "next", "first"]);
            let limb = self.c.eat_any(words::LIMBS) || self.c.eat_any(&["point", "tip", "spike", "ray", "loop"]);
            if side && limb && self.c.at_break() {
                return true;
            }
        }
        self.c.at = start;
        false
    }

    /// "counts as dc", "counts as first dc and ch 2", "does not count as a st".
    pub(super) fn counts(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        // "ch 3 counts as dc" in a remark names the chain again
        let _ = self.c.eat("this") | self.c.beginning_chain() || self.skipped_chain() || self.plain_chain();
        let _ = self.c.eat_any(&["here", "now", "throughout"]);
        let equals = matches!(run.steps.last().map(|s| &s.act), Some(Act::Chain { .. })) && self.c.equals_one();
        let Some(counts) = equals.then_some(true).or_else(|| self.c.count_verb()) else { return false };
        self.c.of_the_count();
        if !(equals || self.c.eat("as") || self.c.eat("for")) {
            self.c.throughout();
            return !counts && self.push(run, start, Act::Counts { stem: None, space: 0, counts });
        }
        if counts && self.is_leg_of_cluster(run) {
            return true;
        }
        // "ch 2, dc in first sc (counts as last ch-5 sp)"
        let _ = self.c.eat_any(&["last", "final"]);
        let (stem, space) = self.counted_as();
        self.c.throughout();
        self.push(run, start, Act::Counts { stem, space, counts })
    }

    /// ", skipped ch", "and 1 skipped ch" behind what a chain counts as: the chain under its space.
    fn skipped_chain_behind(&mut self) {
        let start = self.c.at;
        let _ = self.c.eat_kind(&Kind::Comma) | self.c.eat("and") | self.c.eat("plus");
        let _ = self.c.eat_any(&["a", "one"]) || self.c.number().is_some();
        if !(self.c.eat_any(&["skipped", "sk"]) && self.c.eat_any(words::CHAIN)) {
            self.c.at = start;
        }
    }

    /// "counts as first V-st": the stitch a shape opens with, and the chains behind that.
    fn shape_opened(&mut self) -> Option<(Option<Stem>, u32)> {
        let Some(k) = self.c.special() else {
            // what no line defines
            return self.c.shape_word().map(|_| (None, 0));
        };
        let first = match self.c.house.specials[k].steps.as_slice() {
            [Step { act: Act::Group { steps, .. }, .. }] => steps.as_slice(),
            steps => steps,
        };
        let stem = match first.first().map(|s| &s.act) {
            Some(Act::Work { form, .. }) => Some(form.stem),
            _ => None,
        };
        let space = match (stem, first.get(1).map(|s| &s.act)) {
            (Some(_), Some(Act::Chain { n })) => *n,
            _ => 0,
        };
        Some((stem, space))
    }

    /// "a st", "1 dc", "first dc and ch 2": what a chain counts as.
    fn counted_as(&mut self) -> (Option<Stem>, u32) {
        if let Some(crate::instructions::Class::Space(Some(n))) = self.c.space() {
            return (None, n);
        }
        // "counts as ch 1 and first dc": the other way about
        let chains = self.c.at;
        let before = if self.c.eat_any(words::CHAIN) { self.c.number() } else { None };
        if before.is_none() || !(self.c.eat("and") || self.c.eat("plus") || self.c.eat_kind(&Kind::Comma)) {
            self.c.at = chains;
        } else if let Some(n) = before {
            let _ = self.c.eat_any(&["a", "one", "the", "first"]) || self.c.number().is_some();
            return match self.c.stitch() {
                Some(Named::Form(form)) => (Some(form.stem), n),
                _ => (None, n),
            };
        }
        let _ = self.c.eat_any(&["a", "an", "the", "first", "one", "1st", "your"]);
        let _ = self.c.eat_kind(&Kind::Ordinal(1)) || self.c.eat_kind(&Kind::Number(1)) || self.c.eat("first");
        if let Some(crate::instructions::Class::Space(Some(n))) = self.c.space() {
            // "counts as first ch-4 loop"
            return (None, n);
        }
        // "1 dc in 4th ch from hook (counts as 2 dc)": the chain and the stitch behind it
        let two = self.c.at;
        let _ = self.c.eat_kind(&Kind::Number(2));
        let stem = match self.c.stitch() {
            Some(Named::Form(form)) => Some(form.stem),
            _ => {
                self.c.at = two;
                if let Some(opened) = self.shape_opened() {
                    return opened;
                }
                let _ = self.c.eat_any(words::STITCH);
                None
            }
        };
        let of = self.c.at;
        if self.c.eat("of") {
            // "counts as first dc of the first cluster"
            let _ = self.c.eat_any(&["the", "a", "this"]);
            let _ = self.c.eat_any(&["first", "next"]);
            if self.c.shape().is_none() {
                self.c.at = of;
            }
        }
        let here = self.c.at;
        let joined = self.c.eat("and") | self.c.eat_kind(&Kind::Comma) | self.c.eat("plus");
        let joined = joined || self.c.eat_kind(&Kind::Other('+'));
        // "(counts as 1 dc. Ch 1)": a full stop inside brackets parts no sentences
        let joined = joined || self.c.eat_kind(&Kind::Stop);
        let _ = self.c.eat("and");
        // "counts as 1tr and 1ch"
        let told = if joined { self.c.number() } else { None };
        if let Some(n) = told
            && self.c.eat_any(words::CHAIN)
        {
            let _ = self.c.eat_any(words::SPACE);
            return (stem, n);
        }
        if joined && told.is_none() && self.c.eat_any(words::CHAIN) {
            let _ = self.c.eat_kind(&Kind::Dash);
            if let Some(n) = self.c.number() {
                let _ = self.c.eat_any(words::SPACE);
                self.skipped_chain_behind();
                return (stem, n);
            }
        }
        self.c.at = here;
        if self.c.eat("of") {
            // "first dc of next shell"
            let _ = self.c.eat_any(&["the", "a", "first", "next"]);
            if self.c.special().is_none() && self.c.class().is_none() {
                self.c.at = here;
            }
        }
        (stem, 0)
    }

    /// "3 skipped ch", "skipped ch-3", "the skipped chains".
    fn skipped_chain(&mut self) -> bool {
        let start = self.c.at;
        let first = self.c.eat_any(&["the", "first"]) | self.c.eat_any(&["first", "beg", "beginning"]);
        let counted = self.c.number().is_some();
        if first && counted && self.c.eat_any(words::CHAIN) {
            // "first 2 ch count as first st"
            return true;
        }
        let skipped = self.c.eat_any(&["skipped", "missed", "unworked", "unused", "beg", "beginning", "sk", "skip"]);
        let _ = self.c.number();
        if skipped && self.c.eat_any(words::CHAIN) {
            let _ = self.c.eat_kind(&Kind::Dash);
            let _ = self.c.number();
            let _ = self.c.eat_any(words::STITCH);
            return true;
        }
        self.c.at = start;
        false
    }

    fn plain_chain(&mut self) -> bool {
        let start = self.c.at;
        if self.c.eat_any(words::CHAIN) {
            let _ = self.c.eat_kind(&Kind::Dash);
            let _ = self.c.number();
            if self.c.clone().count_verb().is_some() {
                return true;
            }
        }
        self.c.at = start;
        false
    }

    /// "make a magic ring", "magic ring".
    pub(super) fn ring(&mut self, run: &mut Run) -> bool {
        if self.wound_ring(run) {
            return true;
        }
        let start = self.c.at;
        let _ = self.c.eat_any(&["make", "start", "starting", "begin", "beginning", "commence", "form", "into", "in"]);
        let _ = self.c.eat("with");
        let _ = self.c.eat_any(&["a", "an", "the"]);
        // "Make a ring. Ch 1, 10 sc in ring."
        let bare =
            self.c.house.first_row && run.steps.is_empty() && self.c.at > start && self.c.word(0) == Some("ring");
        let ring = (bare || self.c.eat_any(&["magic", "adjustable", "thread", "sliding"]))
            && self.c.eat_any(&["ring", "circle", "loop"]);
        // "mc 6 (6)" at the head of a row is the ring, and "MC" with no number the yarn
        let opens = run.steps.is_empty()
            && matches!(self.c.kind(1), Some(Kind::Number(_)))
            && matches!(self.c.kind(2), None | Some(Kind::Open(_) | Kind::Stop | Kind::Dash));
        // "R1: MC 6sc" where no yarn is called so
        let begins = self.c.house.first_row
            && run.steps.is_empty()
            && matches!(
                (self.c.kind(1), self.c.kind(2)),
                (Some(Kind::Number(_)), _) | (Some(Kind::Comma), Some(Kind::Number(_)))
            )
            && !self.c.house.yarns.iter().any(|y| y == "mc");
        let letters = self.c.word(0) == Some("mc") && (opens || begins || self.c.word(1) == Some("of"));
        if !(ring || self.c.eat("mr") || letters && self.c.eat("mc")) {
            return false;
        }
        if self.c.eat("of") {
            // "start with a magic circle of 6 sc"
            let here = self.c.at;
            if let (Some(each), Some(super::stitch::Named::Form(form))) = (self.c.number(), self.c.stitch())
                && self.c.at_break()
            {
                self.push(run, start, Act::Ring { thread: true });
                return self.push(run, here, Act::Work { each, form, at: Target::Ring });
            }
            return false;
        }
        // "MR 6", "magic ring 6": so many of the usual stitch
        if let Some(each) = self
            .c
            .clone()
            .number()
            .filter(|_| matches!(self.c.kind(1), None | Some(Kind::Open(_) | Kind::Stop | Kind::Comma)))
        {
            self.push(run, start, Act::Ring { thread: true });
            let here = self.c.at;
            self.c.at += 1;
            let form = self.c.usual_form();
            return self.push(run, here, Act::Work { each, form, at: Target::Ring });
        }
        // "MR 6 sc"
        let here = self.c.at;
        if let (Some(each), Some(super::stitch::Named::Form(form))) = (self.c.number(), self.c.stitch())
            && (self.c.at_break() || matches!(self.c.kind(0), Some(Kind::Open(_) | Kind::Dash)))
        {
            self.push(run, start, Act::Ring { thread: true });
            return self.push(run, here, Act::Work { each, form, at: Target::Ring });
        }
        self.c.at = here;
        // "in MR ch 2": the chain stands in the ring
        let goes_on = |w: &str| words::CHAIN.contains(&w) || matches!(w, "and" | "then");
        // "magic loop with 6 dc"
        let with = self.c.word(0) == Some("with") && {
            let mut ahead = self.c.clone();
            ahead.at += 1;
            ahead.counts_stitches()
        };
        // "make an adjustable ring with red": the yarn is read next
        let behind = self.c.at;
        let yarn = matches!(self.c.word(0), Some("with" | "using" | "in")) && {
            self.c.at += 1;
            let yarn = self.yarn().is_some();
            self.c.at = behind;
            yarn
        };
        if yarn {
            return self.push(run, start, Act::Ring { thread: true });
        }
        let colon = self.c.kind(0) == Some(&Kind::Colon);
        if self.c.counts_stitches() {
            // "magic ring 6 sc"
            return self.push(run, start, Act::Ring { thread: true });
        }
        if !self.c.at_break() && !self.c.word(0).is_some_and(goes_on) && !with && !colon {
            return false;
        }
        self.c.at += usize::from(with || colon);
        self.push(run, start, Act::Ring { thread: true })
    }

    /// "i.e. 4 rounds", "for 5 rounds": the rows of the heading, told again.
    pub(super) fn rounds_told(&mut self, _run: &mut Run) -> bool {
        let start = self.c.at;
        if self.c.eat("i") {
            let _ = self.c.eat_kind(&Kind::Stop) && self.c.eat("e") && self.c.eat_kind(&Kind::Stop);
        }
        let _ = self.c.eat_any(&["for", "ie"]) || self.c.eat("a");
        let _ = self.c.eat("total") && self.c.eat("of");
        let n = self.c.number();
        let _ = self.c.eat("total");
        let named = self.c.eat_any(words::ROUND) || self.c.eat_any(words::ROW);
        let _ = self.c.eat_any(&["total", "worked"]) || self.c.eat_all(&["in", "total"]);
        let total = self.c.eat_all(&["in", "all"]) || self.c.eat("altogether");
        if named && n.is_some_and(|n| n as usize == self.c.house.rows || total && self.c.at_break()) {
            let span = self.c.since(start);
            self.notes.push(span);
            return true;
        }
        false
    }

    /// "row 2", "rows 2 and 3", "rnds 2-5", "2nd row", "4th and 5th rnds", "13th to 20th rows", "last row".
    pub(super) fn row_numbers(&mut self) -> Option<Vec<u32>> {
        if let Some(rows) = self.rows_by_name() {
            return Some(rows);
        }
        let named = self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND);
        if !named && self.c.eat_any(&["last", "previous", "prev", "these", "those", "this", "above"]) {
            let n = self.c.number().unwrap_or(1);
            let row = self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND);
            // counted back from the row that says it
            return row.then(|| (0..n.min(100)).rev().map(|k| u32::MAX - k).collect());
        }
        let here = self.c.at;
        if !named
            && let Some(n) = self.c.number()
            && (self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND))
            && self.c.eat("of")
        {
            // "rep 4 rnds of leaf pat twice more": the pattern's rows, which are the last so many
            let mut named = 0;
            let _ = self.c.eat("the");
            while named < 4 && self.c.word(0).is_some_and(|w| self.is_plain(w)) {
                let pattern = self.c.eat_any(&["pat", "patt", "pattern"]);
                if pattern {
                    return Some((0..n.min(100)).rev().map(|k| u32::MAX - k).collect());
                }
                self.c.at += 1;
                named += 1;
            }
        }
        self.c.at = here;
        let mut rows = Vec::new();
        while let Some(n) = if named { self.c.number() } else { self.c.ordinal() } {
            rows.push(n);
            let back = self.c.at;
            let range = self.c.eat_kind(&Kind::Dash) || self.c.eat_any(&["to", "through", "thru"]);
            // "repeat row 2 - 3 dc", "repeat rnd 3 - 10 petals": what stands behind the dash is a count
            let counts = self.c.counts_stitches()
                || matches!((self.c.kind(0), self.c.kind(1)), (Some(Kind::Number(_)), Some(Kind::Number(_))))
                || matches!(self.c.kind(0), Some(Kind::Number(_)))
                    && self.c.word(1).is_some_and(|w| w.ends_with('s') && !words::ROW.contains(&w) && w != "times");
            if range && counts {
                self.c.at = back;
            } else if range {
                match if named { self.c.number() } else { self.c.ordinal() } {
                    // OK: a range longer than any pattern is cut by the limit on rows when it is worked
                    Some(last) => rows.extend((n.saturating_add(1)..=last).take(10_000)),
                    None => self.c.at = back,
                }
            }
            let back = self.c.at;
            let listed = self.c.eat_kind(&Kind::Comma) | (self.c.eat("and") || self.c.eat_kind(&Kind::Other('&')));
            // "repeat round 4 and round 3"
            let _ = listed && named && (self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND));
            let more = match self.c.kind(0) {
                // "rep rows 2 and 3, 5 times"
                Some(Kind::Number(_)) if matches!(self.c.word(1), Some("times" | "time" | "x" | "more")) => false,
                Some(Kind::Number(_)) => named,
                Some(Kind::Ordinal(_)) => !named,
                _ => false,
            };
            if !(listed && more) {
                self.c.at = back;
                break;
            }
        }
        let row = named || self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND);
        (row && !rows.is_empty()).then_some(rows)
    }
}
