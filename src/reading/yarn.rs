//! Turns, joins, and yarns taken up and cut off.

use super::cursor::Cursor;
use super::lex::Kind;
use super::phrase::{RowReader, Run, join_target};
use super::stitch::Named;
use super::words;
use crate::craft::{Stem, StitchForm};
use crate::instructions::{Act, JoinTo, Step, Target};

impl Cursor<'_> {
    /// Behind "join": "rnd", "the round", "in rnd", "the end of the round", "at the end of the rnd".
    fn end_of_round(&mut self) {
        let start = self.at;
        let _ = self.eat_any(&["in", "at"]);
        let _ = self.eat("the");
        let _ = self.eat("end") && self.eat("of") && self.eat("the");
        if !(self.eat_any(words::ROUND) || self.at > start && self.eat("circle")) {
            self.at = start;
        }
    }
}

impl RowReader<'_> {
    /// "turn", "do not turn", "join with sl st to first sc", "do not join".
    pub(super) fn turn_or_join(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if self.goes_to_far_side(run) {
            return true;
        }
        if self.rotated() {
            let span = self.c.since(start);
            self.notes.push(span);
            return true;
        }
        let c = &mut self.c;
        if c.eat_all(&["do", "not", "turn", "at", "end", "of"]) {
            let _ = c.eat("the");
            let _ = c.eat_any(&["last", "this", "final", "each"]);
            let _ = c.eat_any(words::ROW) || c.eat_any(words::ROUND);
            return self.push(run, start, Act::DoNotTurn);
        }
        if c.eat_all(&["do", "not", "turn"]) || c.eat_all(&["don't", "turn"]) || c.eat_all(&["without", "turning"]) {
            return self.push(run, start, Act::DoNotTurn);
        }
        if c.eat_all(&["do", "not", "join"]) || c.eat_all(&["don't", "join"]) {
            return self.push(run, start, Act::DoNotJoin);
        }
        if c.eat_any(&["do", "don't"]) && (c.eat("not") || c.at > start) && c.eat_any(words::CHAIN) {
            // "do not ch 1": said of a chain that other rounds begin with
            let _ = c.number();
            if c.at_break() {
                let span = c.since(start);
                self.notes.push(span);
                return true;
            }
        }
        let c = &mut self.c;
        c.at = start;
        if c.eat("turn") {
            // "turn to work along opposite side": the next phrase says where
            if c.sees(&["to", "work"]) {
                c.at += 1;
            }
            let _ = c.eat("work") || c.eat_all(&["the", "work"]);
            return self.push(run, start, Act::Turn);
        }
        self.join(run)
    }

    fn join(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if self.ring_formed() {
            return self.push(run, start, Act::Ring { thread: false });
        }
        if !self.c.eat_any(&["join", "close", "joining", "connect"]) {
            return false;
        }
        if self.c.closed_to_ring(true).is_some() {
            return self.push(run, start, Act::Ring { thread: false });
        }
        self.c.end_of_round();
        if self.c.sees(&["with", "invisible", "join"]) || self.c.sees(&["with", "an", "invisible", "join"]) {
            self.c.at += 1;
            self.c.at += usize::from(self.c.eat("an")) + 1;
            return self.push(run, start, Act::Join { to: JoinTo::Untold, with: StitchForm::plain(Stem::SlipStitch) });
        }
        self.last_chain_joined();
        if self.c.eat("as") && self.c.eat_any(&["before", "established", "usual"]) {
            let with = StitchForm::plain(Stem::SlipStitch);
            return self.push(run, start, Act::Join { to: JoinTo::Untold, with });
        }
        if let Some(yarn) = self.yarn() {
            return self.attach(run, start, Some(yarn));
        }
        let new = self.c.at;
        if self.c.eat("in")
            && let Some(yarn) = self.yarn()
            && self.c.at_break()
        {
            // "join in B."
            return self.attach(run, start, Some(yarn));
        }
        self.c.at = new;
        let _ = self.c.eat_any(&["new", "the"]);
        if self.c.eat_any(THREAD) {
            return self.attach(run, start, None);
        }
        self.c.at = new;
        let mut with = StitchForm::plain(Stem::SlipStitch);
        if self.c.eat_any(&["with", "by", "using"]) {
            if let Some(yarn) = self.yarn() {
                return self.attach(run, start, Some(yarn));
            }
            let _ = self.c.eat_any(&["a", "an"]);
            match self.c.stitch() {
                Some(Named::Form(form)) => with = form,
                _ => return false,
            }
        }
        if self.c.closed_to_ring(true).is_some() {
            return self.push(run, start, Act::Ring { thread: false });
        }
        if self.as_another().is_some() {
            // "join as before", "join in same manner"
            return self.push(run, start, Act::Join { to: JoinTo::Untold, with });
        }
        let here = self.c.at;
        let opens = run.steps.iter().all(|s| matches!(s.act, Act::Turn | Act::DoNotTurn | Act::With { .. }));
        if opens && self.depth == 0 && self.loops_of_row().is_some() {
            // "join with sl st in any free front loop of rnd 2"
            self.c.at = here;
            return self.tie_on(run, start, None, Some(with));
        }
        let to = self.c.place().map(|w| w.target);
        if to.is_some() && self.ties_to_other_piece(start) {
            return true;
        }
        // "join in any ch-3 sp" where a round begins
        let any = self.c.tokens[start..self.c.at].iter().any(|t| matches!(&t.kind, Kind::Word(w) if w == "any"));
        let ties = any || with.stem != Stem::SlipStitch;
        if to.is_some() && self.depth == 0 && ties && opens {
            // "join with sc in next unworked sc on row 1": nothing to close, so the yarn is tied on
            self.c.at = here;
            return self.tie_on(run, start, None, Some(with));
        }
        if to.is_none() && self.c.whereabouts().is_some() && self.c.at_break() {
            // "join with sl st into side seam": tied to the piece, and no round closed
            let span = self.c.since(start);
            self.notes.push(span);
            return true;
        }
        if to.is_none() && self.ties_to_other_piece(start) {
            return true;
        }
        // "join to the top of the ch 3 with a sl st"
        let behind = self.c.at;
        if self.c.eat("with") {
            let _ = self.c.eat_any(&["a", "an"]);
            match self.c.stitch() {
                Some(Named::Form(form)) => with = form,
                _ => self.c.at = behind,
            }
        }
        // "join in first ch to form ring"
        if self.c.closed_to_ring(false).is_some() {
            return self.push(run, start, Act::Ring { thread: false });
        }
        if to.is_some() && self.c.eat_any(&["with", "using"]) {
            // "join to top of ch 2 with a sl st"
            let _ = self.c.eat_any(&["a", "an"]);
            match self.c.stitch() {
                Some(Named::Form(form)) => with = form,
                _ => self.c.at = behind,
            }
        }
        let to = to.map_or(JoinTo::Untold, |t| join_target(&t));
        self.push(run, start, Act::Join { to, with })
    }

    /// "last ch-3 to 3rd ch of ch-6" behind "join": what is joined, which is the end of the round in any case.
    fn last_chain_joined(&mut self) {
        let start = self.c.at;
        let _ = self.c.eat("the");
        if self.c.eat("last") {
            // "last 6 ch"
            let before = self.c.clone().number().is_some() && self.c.number().is_some();
            let _ = before && self.c.eat_kind(&Kind::Dash);
            let chain = self.c.eat_any(words::CHAIN) && {
                let _ = self.c.eat_kind(&Kind::Dash);
                let _ = self.c.number();
                let _ = self.c.eat_any(words::SPACE);
                true
            };
            if (chain || self.c.class().is_some()) && matches!(self.c.word(0), Some("to" | "in" | "into" | "with")) {
                return;
            }
        }
        self.c.at = start;
    }

    /// "B [with sl st | with sc] in first row end": attaches, and works the stitch told.
    fn attach(&mut self, run: &mut Run, start: usize, yarn: Option<String>) -> bool {
        let here = self.c.at;
        self.c.elsewhere = false;
        self.dashed_remark();
        let here = if self.c.at > here && self.c.eat_kind(&Kind::Comma) { self.c.at } else { here };
        let mut with = None;
        if self.c.eat("with") {
            let _ = self.c.eat_any(&["a", "an"]);
            let _ = self.c.eat("standing");
            match self.c.stitch() {
                Some(Named::Form(form)) => with = Some(form),
                _ => self.c.at = here,
            }
        }
        self.tie_on(run, start, yarn, with)
    }

    /// Where the yarn is tied on, and the stitch told.
    fn tie_on(&mut self, run: &mut Run, start: usize, yarn: Option<String>, with: Option<StitchForm>) -> bool {
        let mut with = with;
        if let Some(row) = self.c.at_opening() {
            let span = self.c.since(start);
            run.steps.push(Step { act: Act::Opening { row }, span });
            run.steps.push(Step { act: Act::Attach { yarn, at: Some(Target::NEXT) }, span });
            if let Some(form) = with.filter(|f| f.stem != Stem::SlipStitch) {
                run.steps.push(Step { act: Act::Work { each: 1, form, at: Target::Same }, span });
            }
            return true;
        }
        // "join pink behind petals in any sl st"
        let here = self.c.at;
        let behind = self.c.eat("behind") && {
            let _ = self.c.eat_any(&["the", "all", "any"]);
            let shape =
                |w: &str| words::LIMBS.iter().chain(words::SHAPES).any(|s| words::is_or_plural(w, s)) || w == "leaves";
            self.c.word(0).is_some_and(shape)
        };
        self.c.at = if behind { self.c.at + 1 } else { here };
        let _ = behind && self.c.eat_kind(&Kind::Comma);
        let loops = self.loops_of_row();
        let told = loops.is_some() || self.c.at_end_of_row() || super::garment::on_the_piece(&mut self.c);
        let at = if told { None } else { self.c.round_hoop().or_else(|| self.c.place().map(|w| w.target)) };
        // "to first sc at end of 2nd and 4th rnds"
        let _ = at.is_some() && self.c.at_end_of_row();
        let loops = loops.or_else(|| self.loops_of_row());
        // "in any st of Mat", "to top left corner of work": where on the piece, in words
        let _ = self.c.whereabouts();
        let elsewhere = self.c.elsewhere;
        let at = if loops.is_some() { None } else { at };
        if with.is_none() && self.c.eat_any(&["with", "by"]) {
            // "join B to any corner with sc"
            let behind = self.c.at - 1;
            let _ = self.c.eat_any(&["a", "an"]);
            let _ = self.c.eat("standing");
            match self.c.stitch() {
                Some(Named::Form(form)) => with = Some(form),
                _ => self.c.at = behind,
            }
        }
        let step_span = self.c.since(start);
        let act = Act::Attach { yarn, at: at.clone() };
        run.steps.push(Step { act, span: step_span });
        if elsewhere {
            run.steps.push(Step { act: Act::NewEdge, span: step_span });
        }
        if let Some((part, row)) = loops {
            run.steps.push(Step { act: Act::LoopsOf { part, row }, span: step_span });
        }
        // a slip stitch only ties the yarn on; anything taller is the first stitch
        if let Some(form) = with.filter(|f| f.stem != Stem::SlipStitch) {
            let at = at.map_or(Target::NEXT, |_| Target::Same);
            run.steps.push(Step { act: Act::Work { each: 1, form, at }, span: step_span });
        }
        true
    }

    /// "with B", "changing to B in last st", "fasten off", "cut A".
    pub(super) fn yarn_step(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        // "orange, ch 4, …" behind a label
        let colours = (0..3).map_while(|k| self.c.word(k).filter(|w| words::COLOURS.contains(w)));
        let colours: Vec<&str> = if run.steps.is_empty() && start == 0 { colours.collect() } else { Vec::new() };
        if !colours.is_empty() && self.c.kind(colours.len()) == Some(&Kind::Comma) {
            self.c.at += colours.len();
            return self.push(run, start, Act::With { yarn: colours.join(" ") });
        }
        let _ = self.c.eat("optionally");
        if self.c.eat_all(&["fasten", "off"])
            || self.c.eat_all(&["end", "off"])
            || self.c.eat_all(&["finish", "off"])
            || self.c.eat("fo")
            || self.c.word(0) == Some("f")
                && matches!(self.c.kind(1), Some(Kind::Other('/') | Kind::Stop))
                && self.c.word(2) == Some("o")
                && {
                    self.c.at += 3;
                    true
                }
        {
            let _ = self.c.eat_any(&["invisibly", "securely", "neatly", "here"]);
            self.piece_named();
            let yarn = self.yarn();
            let named = yarn.is_some();
            self.push(run, start, Act::FastenOff { yarn });
            while named && self.c.word(0) == Some("and") {
                let and = self.c.at;
                self.c.at += 1;
                let Some(yarn) = self.yarn() else {
                    self.c.at = and;
                    break;
                };
                self.push(run, and, Act::FastenOff { yarn: Some(yarn) });
            }
            let _ = self.c.at_end_of_row();
            self.leaving_tail();
            self.as_before();
            return true;
        }
        if self.c.eat_any(&["finish", "end", "close"]) && self.c.eat("with") {
            // "finish with a sl st": the round is closed by it
            let _ = self.c.eat_any(&["a", "an", "1"]) || self.c.eat_kind(&Kind::Number(1));
            if let Some(Named::Form(with)) = self.c.stitch()
                && with.stem == Stem::SlipStitch
                && self.c.at_break()
            {
                return self.push(run, start, Act::Join { to: JoinTo::Untold, with });
            }
            self.c.at = start;
        }
        if self.c.eat_any(&["cut", "break"]) {
            let _ = self.c.eat("off");
            let yarn = self.yarn();
            let _ = yarn.is_none() && (self.c.eat("yarn") || self.c.eat_all(&["the", "yarn"]));
            self.leaving_tail();
            return self.push(run, start, Act::FastenOff { yarn });
        }
        if self.c.eat_all(&["draw", "up", "a", "loop", "of"]) {
            let yarn = self.yarn();
            return yarn.is_some() && self.attach(run, start, yarn);
        }
        if self.c.eat_any(&["attach", "rejoin"]) {
            let yarn = self.yarn();
            let _ = yarn.is_none() && self.c.eat("yarn");
            return self.attach(run, start, yarn);
        }
        if self.c.eat("in") {
            // "in color A, sc 6": a yarn taken up
            let named = matches!(self.c.word(0), Some("color" | "colour" | "yarn"))
                || (0..2).any(|k| self.c.word(k).is_some_and(|w| words::COLOURS.contains(&w)))
                || self.c.word(0).is_some_and(|w| w.len() > 2 && self.c.house.yarns.iter().any(|y| y == w));
            // "as row 2 in A"
            let again = run.steps.last().is_some_and(|s| matches!(s.act, Act::AsRow { .. }));
            let here = self.c.at;
            let alone = again && self.yarn().is_some() && self.c.at_break();
            self.c.at = here;
            if let (true, Some(yarn)) = (named || alone, self.yarn()) {
                return self.push(run, start, Act::With { yarn });
            }
            return false;
        }
        if self.c.eat_any(&["with", "using"])
            || self.c.eat_all(&["working", "in"])
            || self.c.eat_all(&["working", "with"])
        {
            if let Some(yarn) = self.yarn().or_else(|| self.strands()).or_else(|| self.shade_before_chain(run)) {
                let _ = self.c.eat_any(&["only", "throughout"]);
                self.dashed_remark();
                self.push(run, start, Act::With { yarn });
                self.and_tool();
                return true;
            }
            if self.strands_of_thread() {
                let span = self.c.since(start);
                self.notes.push(span);
                return true;
            }
            return false;
        }
        if self.c.eat_any(&["change", "changing", "switch", "switching"]) {
            let told = self.c.eat_any(&["color", "colour", "yarn", "colors", "colours"]);
            if told && self.c.at_break() {
                // "change colour.": to the one that comes, not named here
                return self.push(run, start, Act::Attach { yarn: None, at: None });
            }
            let _ = self.c.eat("to");
            let Some(yarn) = self.yarn().or_else(|| self.shade_alone()) else { return false };
            let _ = self.c.at_end_of_row();
            self.on_last_pull();
            return self.push(run, start, Act::Change { yarn });
        }
        false
    }

    /// "as for first leg", "as before": how the end is fastened.
    fn as_before(&mut self) {
        let start = self.c.at;
        if self.c.eat("as") && self.c.eat_any(&["for", "before", "on"]) {
            for _ in 0..4 {
                let plain = self.c.word(0).is_some_and(|w| !words::WORKING_WORDS.contains(&w));
                self.c.at += usize::from(plain);
                let _ = !plain && self.c.ordinal().is_some();
            }
            if self.c.at_break() {
                let span = self.c.since(start);
                self.notes.push(span);
                return;
            }
        }
        self.c.at = start;
    }

    /// ", leaving a tail", "and weave in ends": no work, and it may hold a measure.
    fn leaving_tail(&mut self) {
        let start = self.c.at;
        let _ = self.c.eat_kind(&Kind::Comma);
        let _ = self.c.eat("and");
        if !self.c.eat_any(&["leaving", "leave", "weave"]) {
            self.c.at = start;
            return;
        }
        let from = self.c.at - 1;
        match self.remark_end(from, false).or_else(|| self.remark_end(from, true)) {
            Some(end) => self.c.at = end,
            // a word that is not known: read on its own, and pointed at where it holds a number
            None => {
                self.c.at = start;
                return;
            }
        }
        let span = self.c.since(start);
        self.notes.push(span);
    }

    /// "and a 3.5 mm hook" behind a yarn: what it is worked with says nothing of the stitches.
    fn and_tool(&mut self) {
        let start = self.c.at;
        if self.c.eat("and") {
            let from = self.c.at;
            let tool = |k: &usize| matches!(self.c.word_at(*k), Some("hook" | "hk" | "needle"));
            let plain = |k: usize| match self.c.kind_at(k) {
                Some(Kind::Word(w)) => self.is_plain(w) || matches!(w.as_str(), "mm" | "us" | "uk"),
                Some(Kind::Number(_) | Kind::Stop | Kind::Dash | Kind::Other(_)) => true,
                _ => false,
            };
            if let Some(end) = (from..from + LONGEST_TOOL).find(tool).filter(|&end| (from..end).all(plain)) {
                self.c.at = end + 1;
                let span = self.c.since(start);
                self.notes.push(span);
                return;
            }
        }
        self.c.at = start;
    }

    /// "A – the darker strand,": plain words behind a dash, which say what yarn that is.
    fn dashed_remark(&mut self) {
        let start = self.c.at;
        if self.c.eat_kind(&Kind::Dash) {
            let from = self.c.at;
            while self.c.word(0).is_some_and(|w| self.is_plain(w) && !words::STITCHES.iter().any(|n| n.words == [w])) {
                self.c.at += 1;
            }
            if self.c.at > from + 1 && self.c.at_break() {
                let span = self.c.since(start);
                self.notes.push(span);
                return;
            }
        }
        self.c.at = start;
    }

    /// "in last st", "on the last pull-through of the last sc".
    pub(super) fn on_last_pull(&mut self) {
        const WORDS: &[&str] = &[
            "in",
            "on",
            "at",
            "with",
            "the",
            "last",
            "pull",
            "through",
            "of",
            "yo",
            "final",
            "while",
            "completing",
            "loop",
            "when",
            "finishing",
            "end",
            "this",
            "row",
            "rnd",
            "round",
        ];
        loop {
            let row = (self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND)) && {
                let _ = self.c.number();
                true
            };
            let eaten = row
                || self.c.ordinal().is_some()
                || self.c.eat_any(WORDS)
                || self.c.word(0).is_some_and(|w| words::STITCH.contains(&w)) && self.c.eat_any(words::STITCH)
                || self.c.kind(0) == Some(&Kind::Dash)
                    && matches!(self.c.word(1), Some("through" | "over" | "pull"))
                    && self.c.eat_kind(&Kind::Dash)
                || self.c.stem().is_some();
            if !eaten {
                return;
            }
        }
    }

    /// "honey" of "change to honey.": a shade by the maker's name for it, and nothing behind.
    fn shade_alone(&mut self) -> Option<String> {
        let led = self.c.at.checked_sub(1).and_then(|k| self.c.word_at(k)) == Some("to");
        let shade = self.c.word(0).filter(|w| led && super::yarn_names::may_be_yarn(w))?;
        self.c.at += 1;
        let ends = self.c.at_break() || self.c.done() || matches!(self.c.word(0), Some("in" | "and"));
        ends.then(|| shade.to_owned())
    }

    /// "moss" of "with moss, ch 20", "using honey, make 6 ch": a shade by the maker's name for it, where a foundation
    /// chain follows.
    fn shade_before_chain(&mut self, run: &Run) -> Option<String> {
        let shade = self.c.word(0).filter(|w| run.steps.is_empty() && super::yarn_names::may_be_yarn(w))?;
        if self.c.kind(1) != Some(&Kind::Comma) {
            return None;
        }
        let mut ahead = self.c.clone();
        ahead.at += 2;
        let _ = ahead.eat("make");
        let before = ahead.number().is_some();
        (ahead.eat_any(words::CHAIN) && (before || ahead.number().is_some())).then(|| {
            self.c.at += 1;
            shade.to_owned()
        })
    }

    /// "2 strands of twine held together": how many, of what has no colour of its own.
    fn strands_of_thread(&mut self) -> bool {
        let _ = self.c.number();
        let strands = self.c.eat_any(&["strand", "strands", "ends"]) && self.c.eat("of");
        let _ = strands && self.c.eat_any(&["the", "same"]) && self.c.eat("same");
        let thread = |w: &str| THREAD.contains(&w) || super::yarn_names::may_be_yarn(w);
        let named = strands && self.c.word(0).is_some_and(thread);
        self.c.at += usize::from(named);
        let _ = named && self.c.eat_any(&["held", "holding", "used", "worked"]);
        named && self.c.eat_any(&["tog", "together", "throughout"]) && self.c.at_break()
    }

    /// "2 strands of A", "1 strand of each of A and B held tog", "larger hook and A": the yarn they come to.
    fn strands(&mut self) -> Option<String> {
        let start = self.c.at;
        let _ = self.c.eat_any(&["a", "the"]);
        let hook = self.c.eat_any(&["larger", "smaller", "bigger"]) && self.c.eat_all(&["hook", "and"]);
        let _ = self.c.number();
        let _ = self.c.eat_any(&["single", "double"]);
        let strands = self.c.eat_any(&["strand", "strands", "ends", "end"]) && self.c.eat("of");
        let _ = strands && self.c.eat("each") && self.c.eat("of");
        let found = if hook || strands { self.yarn() } else { None };
        let Some(mut yarn) = found else {
            self.c.at = start;
            return None;
        };
        loop {
            let and = self.c.at;
            let joined = self.c.eat("and") || self.c.eat_kind(&Kind::Other('&'));
            let _ = joined && self.c.number().is_some() && self.c.eat_any(&["strand", "strands"]) && self.c.eat("of");
            match self.yarn().filter(|_| joined) {
                Some(more) => yarn = format!("{yarn}+{more}"),
                None => {
                    self.c.at = and;
                    break;
                }
            }
        }
        let _ = self.c.eat("held") || self.c.eat("holding");
        let _ = self.c.eat_any(&["tog", "together"]);
        Some(yarn)
    }
}

/// Tokens of the longest name of a hook.
const LONGEST_TOOL: usize = 8;

/// What is joined where no colour is told.
const THREAD: &[&str] = &["yarn", "thread", "cotton", "wool", "floss", "twine", "jute", "raffia", "cord", "string"];
