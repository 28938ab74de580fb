//! Rows worked again: "rep rows 2 and 3 twice more", "as row 2, ending with …", "rep last row until piece measures 8 in",
//! "work even in pat for 10 rows".

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::words;
use crate::instructions::{AS_EVEN, AS_NAMED, Act, EndWith, Step, Until};

/// Rows told one by one at most; beyond that the limit on rows is met when they are worked.
const MOST_TOLD: usize = 25_000;

impl RowReader<'_> {
    /// "repeat row 2", "as row 2", "rep rows 2 and 3 6 times more, then row 2 once", "rep last 2 rows until …".
    pub(super) fn row_again(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if self.formed_pattern(run) {
            return true;
        }
        self.c.at = start;
        // "continue to repeat rows 2 and 3", "keep repeating rows 2 and 3", "alternate rows 2 and 3"
        let _ = self.c.eat_any(&["continue", "cont", "keep", "continuing"]) && self.c.eat("to");
        let led = self.c.eat_any(words::REPEAT) && {
            let _ = self.c.eat("as") && self.c.eat("given");
            true
        } || self.c.eat_any(&["repeating", "alternate", "alternating"])
            || self.numbered_rows_worked()
            || self.names_a_row(run)
            || {
                let _ = self.c.eat_any(&["work", "worked"]);
                let _ = self.c.eat("the") && self.c.eat("same") || self.c.eat("same");
                self.c.eat("as")
            };
        if !led {
            return false;
        }
        let _ = self.c.eat("given");
        let _ = self.c.eat("for");
        let Some(mut rows) = self.rows_times() else { return false };
        self.purpose();
        let in_pat = self.for_pat();
        // "rep last row in following sequence: 2 rows B, 2 rows C, until work measures 4 ins"
        let here = self.c.at;
        let planned = matches!(self.c.word(0), Some("in" | "with")) && self.sequence();
        if !(planned && self.c.eat_kind(&Kind::Comma) && matches!(self.c.word(0), Some("until" | "till" | "for"))) {
            self.c.at = here;
        }
        if let Some(until) = self.until_clause(start) {
            return self.push(run, start, Act::RowsUntil { rows, until, own: false });
        }
        // "then 2nd row once more"
        loop {
            let back = self.c.at;
            let _ = self.c.eat_kind(&Kind::Comma) | self.c.eat_kind(&Kind::Stop) | self.c.eat("and");
            if !(self.c.eat("then") && {
                let _ = self.c.eat_any(words::REPEAT) || self.c.eat("work");
                true
            }) {
                self.c.at = back;
                break;
            }
            match self.rows_times() {
                Some(more) if rows.len() < MOST_TOLD => rows.extend(more),
                _ => {
                    self.c.at = back;
                    break;
                }
            }
        }
        // "ending with row 3": the last time stops there
        if let Some(EndWith::Row(n)) = self.end_with()
            && let Some(at) = rows.iter().rposition(|&r| r == n)
        {
            rows.truncate(at + 1);
        }
        let _ = in_pat;
        self.push(run, start, Act::AsRow { rows })
    }

    /// "Rows 2 and 3 form the pattern. Repeat until work measures 150 cm": a note, and those rows again.
    fn formed_pattern(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat("the");
        let here = self.c.at;
        let rows = self.row_numbers().or_else(|| {
            self.c.at = here;
            let _ = self.c.eat("these") && self.c.number().is_some();
            self.row_numbers()
        });
        let Some(rows) = rows else { return false };
        if !super::heading::forms_pattern(&self.c) {
            return false;
        }
        while !self.c.at_break() {
            self.c.at += 1;
        }
        let span = self.c.since(start);
        self.notes.push(span);
        run.steps.push(Step { act: Act::Pattern { rows: rows.clone() }, span });
        let behind = self.c.at;
        let _ = self.c.eat_kind(&Kind::Stop) || self.c.eat_kind(&Kind::Comma);
        let _ = self.c.eat("and");
        let from = self.c.at;
        if self.c.eat_any(words::REPEAT) {
            let _ = self.c.eat_any(&["them", "these", "both", "all"]);
            if let Some(until) = self.until_clause(from) {
                return self.push(run, from, Act::RowsUntil { rows, until, own: false });
            }
        }
        self.c.at = behind;
        true
    }

    /// "work rows 2 and 3 another 20 times": up to the rows, which are read next.
    fn numbered_rows_worked(&mut self) -> bool {
        let start = self.c.at;
        let worked = self.c.eat_any(&["work", "working"]);
        let rows = self.c.at;
        let named = worked
            && (self.c.row_by_name().is_some()
                || (self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND))
                    && matches!(self.c.kind(0), Some(Kind::Number(_))));
        self.c.at = if named { rows } else { start };
        named
    }

    /// "dec row", "plain row and inc row": rows told by their names.
    pub(super) fn rows_by_name(&mut self) -> Option<Vec<u32>> {
        let mut rows = vec![self.c.row_by_name()?];
        loop {
            let back = self.c.at;
            let _ = self.c.eat_kind(&Kind::Comma) | self.c.eat("and");
            match self.c.row_by_name() {
                Some(row) if rows.len() < MOST_TOLD => rows.push(row),
                _ => {
                    self.c.at = back;
                    return Some(rows);
                }
            }
        }
    }

    /// "every row", "every other row", "on every 4th row": how many rows one time takes.
    fn every_so_many_rows(&mut self) -> Option<u32> {
        let start = self.c.at;
        let _ = self.c.eat_any(&["on", "in"]);
        let every = self.c.eat("every").then(|| {
            let _ = self.c.eat_any(&["following", "foll"]);
            if self.c.eat_any(&["other", "alt", "alternate"]) { 2 } else { self.c.ordinal().unwrap_or(1) }
        });
        let row = every.is_some() && (self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND));
        if !row {
            self.c.at = start;
        }
        every.filter(|n| row && (1..100).contains(n))
    }

    /// "to join opposite edge", "for second side": what rows are worked again for.
    fn purpose(&mut self) {
        let start = self.c.at;
        let led = self.c.eat("to")
            && self.c.eat_any(&["join", "form", "make", "complete", "finish", "match", "attach"])
            || self.c.eat("for") && !matches!(self.c.kind(0), Some(Kind::Number(_)));
        let mut named = false;
        let _ = led && self.c.ordinal().is_some();
        while led && self.c.word(0).is_some_and(|w| self.is_plain(w) && !self.means_work(w)) {
            named = true;
            self.c.at += 1;
        }
        if !(named && self.c.at_break()) || self.c.word_at(start + 1).is_some_and(|w| w.starts_with("pat")) {
            self.c.at = start;
            return;
        }
        let span = self.c.since(start);
        self.notes.push(span);
    }

    /// "dec row." as all that a row says.
    fn names_a_row(&mut self, run: &Run) -> bool {
        let start = self.c.at;
        let alone = run.steps.is_empty() && self.depth == 0 && self.rows_by_name().is_some() && self.c.at_break();
        self.c.at = start;
        alone
    }

    /// Rows by their numbers, and how often: "rows 2-4 twice", "2nd row once more", "last 2 rows 10 times".
    fn rows_times(&mut self) -> Option<Vec<u32>> {
        let _ = self.c.eat("the");
        let mut rows = self.row_numbers()?;
        if let ([AS_NAMED..AS_EVEN], Some(every)) = (rows.as_slice(), self.every_so_many_rows()) {
            // "dec row every 4th row": plain rows between
            rows.splice(0..0, std::iter::repeat_n(AS_EVEN, every as usize - 1));
        }
        let _ =
            self.c.eat_all(&["in", "order"]) || self.c.eat_all(&["in", "sequence"]) || self.c.eat_all(&["in", "turn"]);
        let back = self.c.at;
        let bracket = matches!(self.c.kind(0), Some(Kind::Open(_)));
        self.c.at += usize::from(bracket);
        let _ = self.c.eat_kind(&Kind::Comma);
        let _ = self.c.eat("for");
        let _ = self.c.eat("another") || self.c.eat_all(&["a", "further"]);
        let times = self.c.times();
        match times {
            Some((n, _)) if !bracket || matches!(self.c.kind(0), Some(Kind::Close(_))) => {
                self.c.at += usize::from(bracket);
                let once = rows.clone();
                for _ in 1..n.min(1000) {
                    if rows.len() < MOST_TOLD {
                        rows.extend(&once);
                    }
                }
                if n == 0 {
                    rows.clear();
                }
            }
            _ => {
                self.c.at = back;
                let _ = self.c.eat("again") || self.c.eat_all(&["once", "again"]);
            }
        }
        Some(rows)
    }

    /// "for pat", "for pattern", "to form pat", "throughout".
    fn for_pat(&mut self) -> bool {
        let start = self.c.at;
        if self.c.eat_any(&["for", "to"]) {
            let _ = self.c.eat("form");
            let _ = self.c.eat("the");
            let _ = self.c.eat("rem") || self.c.eat("remainder") && self.c.eat("of");
            // "for stripe pat": a name of its own
            let mut named = 0;
            while named < 3
                && self.c.word(0).is_some_and(|w| self.is_plain(w) && !matches!(w, "pat" | "patt" | "pattern"))
                && (1..4).any(|k| matches!(self.c.word(k), Some("pat" | "patt" | "pattern")))
            {
                self.c.at += 1;
                named += 1;
            }
            if self.c.eat_any(&["pat", "patt", "pattern"]) {
                return true;
            }
        }
        self.c.at = start;
        false
    }

    /// "work even until 12 rows", "cont in pat until piece measures 8 in", "work 4 rows even", "work even for 2 in".
    pub(super) fn work_even(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if !self.c.eat_any(&["work", "cont", "continue", "continuing", "working"]) {
            return false;
        }
        let _ = self.c.eat("to") && self.c.eat("work") || self.c.eat_any(&["work", "working"]);
        let told = self.so_many_rows();
        let even = self.c.eat("even") || self.c.eat("straight") || self.c.eat_all(&["without", "shaping"]);
        let pat = self.in_pat();
        // "continue until work is square, ending with a WS row"
        let on = self.c.word_at(start).is_some_and(|w| w.starts_with("cont")) && self.depth == 0;
        let on = on && matches!(self.c.word(0), Some("until" | "till" | "til"));
        // "With B, work 2 rows.": as those before
        let alone = told.is_some() && self.c.at_break();
        if !(even || pat || on || alone) {
            return false;
        }
        self.on_these();
        let until = match told {
            Some(n) => Some(Until::rows(n)),
            None => self.until_clause(start),
        };
        match until {
            Some(until) => self.push(run, start, Act::RowsUntil { rows: Vec::new(), until, own: false }),
            None if even => self.push(run, start, Act::Even { until: None }),
            None => false,
        }
    }

    /// "on these 29 hdc for right front", "on last 18 sts", "over rem sts": which stitches are worked on.
    fn on_these(&mut self) {
        let start = self.c.at;
        if self.c.eat_any(&["on", "over"]) && self.c.eat_any(&["these", "last", "rem", "remaining", "the", "those"]) {
            let _ = self.c.eat_any(&["last", "rem", "remaining"]);
            let _ = self.c.number();
            if self.c.class().is_some() {
                let here = self.c.at;
                let led = self.c.eat("for");
                while led && self.c.word(0).is_some_and(super::remarks::is_plain_word) {
                    self.c.at += 1;
                }
                if led && !self.c.at_break() {
                    self.c.at = here;
                }
                return;
            }
        }
        self.c.at = start;
    }

    /// "10 rows", "a further 4 rnds".
    fn so_many_rows(&mut self) -> Option<u32> {
        let start = self.c.at;
        let _ = self.c.eat("a");
        let _ = self.c.eat_any(&["further", "another", "next"]);
        let n = self.c.number();
        let _ = self.c.eat("more");
        if n.is_some() && (self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND)) {
            let _ = self.c.eat("more");
            return n;
        }
        self.c.at = start;
        None
    }

    /// "in pat", "in pattern as established", "in sc", "in same manner": what goes on being worked.
    fn in_pat(&mut self) -> bool {
        let start = self.c.at;
        if self.c.eat("as") && self.c.eat_any(&["established", "set", "before"]) {
            return true;
        }
        self.c.at = start;
        let _ = self.c.eat("in");
        let _ = self.c.eat_any(&["this", "the", "same"]);
        if self.c.at > start {
            // "in check pat"
            let here = self.c.at;
            let mut names = 0;
            while names < 3
                && self.c.word(0).is_some_and(|w| self.is_plain(w) && !matches!(w, "pat" | "patt" | "pattern"))
            {
                self.c.at += 1;
                names += 1;
            }
            if !matches!(self.c.word(0), Some("pat" | "patt" | "pattern")) {
                self.c.at = here;
            }
        }
        let named = self.c.eat_any(&["pat", "patt", "pattern", "st", "stitch"])
            || self.c.at > start && (self.c.eat_any(&["manner", "way"]) || self.c.stem().is_some());
        if named {
            let _ = self.c.eat_any(&["pat", "patt", "pattern"]);
            let _ = self.c.eat("as") && self.c.eat_any(&["established", "set", "before"]);
            let _ = self.c.eat("throughout");
            // "over these 9 dc"
            let here = self.c.at;
            let over = self.c.eat_any(&["over", "on", "across"]) && self.c.eat_any(&["these", "those", "all"]);
            let _ = over && self.c.number().is_some();
            if !(over && self.c.class().is_some()) {
                self.c.at = here;
            }
            return true;
        }
        self.c.at = start;
        false
    }

    /// "…, sc in each sc around until piece measures 8 in": the row's own work, as often as that takes.
    pub(super) fn own_until(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let worked = run.steps.last().is_some_and(|s| matches!(s.act, Act::Work { .. } | Act::Repeat { .. }));
        if self.depth > 0 || !worked || !self.c.word(0).is_some_and(|w| matches!(w, "until" | "till" | "til" | "for")) {
            return false;
        }
        match self.until_clause(start) {
            Some(until) => self.push(run, start, Act::RowsUntil { rows: Vec::new(), until, own: true }),
            None => false,
        }
    }

    /// "until there are 24 rows", "until 7 sts rem", "until piece measures 8 in", "to desired length", "for 10 rows".
    pub(super) fn until_clause(&mut self, from: usize) -> Option<Until> {
        let start = self.c.at;
        let found = self.until_here(from);
        if found.is_none() {
            self.c.at = start;
        }
        found
    }

    fn until_here(&mut self, from: usize) -> Option<Until> {
        let span = |me: &Self| me.c.since(from);
        if self.c.eat("for") {
            if let Some(n) = self.so_many_rows() {
                return Some(Until::rows(n));
            }
            let _ = self.c.eat_any(&["approx", "approximately", "about"]);
            let mm = self.c.measure_mm()?;
            let _ = self.c.eat("more");
            return Some(Until { end: self.end_with(), ..Until::measure(Some(mm), false, span(self)) });
        }
        if !self.c.eat_any(&["until", "till", "til", "to"]) {
            return None;
        }
        let _ = self.c.eat_all(&["there", "are"]) || self.c.eat_all(&["you", "have"]);
        let back = self.c.at;
        if let Some(n) = self.c.number() {
            let _ = self.c.eat("total");
            if self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND) {
                self.worked_words();
                return Some(Until { row: Some(n), end: self.end_with(), ..Until::default() });
            }
            if self.c.class().is_some() {
                let _ = self.c.eat_any(&["rem", "remain", "remaining", "are", "left", "have", "been"]);
                let _ = self.c.eat_any(&["rem", "remain", "left", "worked"]);
                self.c.end_words();
                return self.c.at_break().then(|| Until { sts: Some(n), ..Until::default() });
            }
            self.c.at = back;
        }
        let until = self.measured(from)?;
        let _ = self.or_less_than_desired();
        Some(Until { end: self.end_with(), ..until })
    }

    /// "piece measures 8 in from beg", "desired length".
    fn measured(&mut self, from: usize) -> Option<Until> {
        if let Some(until) = self.desired(from) {
            return Some(until);
        }
        let mut words = 0;
        while !self.c.eat_any(&["measures", "measure", "meas", "measuring", "is", "reaches"]) {
            let word = self.c.word(0)?;
            if words == LONGEST_SUBJECT
                || self.means_work(word) && !matches!(word, "dec" | "inc")
                || !self.is_plain(word)
            {
                return None;
            }
            self.c.at += 1;
            words += 1;
        }
        let _ = self.c.eat_any(&["approx", "approximately", "about", "at"]);
        let _ = self.c.eat_all(&["least"]);
        if let Some(until) = self.desired(from) {
            return Some(until);
        }
        let _ = self.c.eat_kind(&Kind::Stop);
        let mm = self.c.measure_mm()?;
        let from_beginning = self.measured_from();
        Some(Until::measure(Some(mm), from_beginning, self.c.since(from)))
    }

    /// "from beg", "along side edge", "long": true unless it is measured from elsewhere than the beginning.
    fn measured_from(&mut self) -> bool {
        let mut whole = true;
        while let Some(word) = self.c.word(0) {
            match word {
                "from" | "past" | "above" | "after" | "beyond" => {
                    self.c.at += 1;
                    let _ = self.c.eat_any(&["the", "first"]) | self.c.ordinal().is_some();
                    if self.c.eat_any(words::ROUND) || self.c.eat_any(words::ROW) {
                        let _ = self.c.number();
                        continue;
                    }
                    let beginning = self.c.eat_any(words::BEGINNING)
                        || self.c.eat_any(&[
                            "foundation",
                            "base",
                            "bottom",
                            "cast",
                            "cuff",
                            "top",
                            "neck",
                            "center",
                            "hem",
                        ]);
                    whole &= beginning;
                    let mut n = 0;
                    while !self.c.at_break()
                        && n < LONGEST_SUBJECT
                        && self
                            .c
                            .word(0)
                            .is_some_and(|w| !matches!(w, "ending" | "end" | "with" | "and" | "or") && self.is_plain(w))
                    {
                        self.c.at += 1;
                        n += 1;
                    }
                }
                "down" | "along" | "across" | "at" | "on" => {
                    let mut n = 0;
                    while !self.c.at_break()
                        && n < LONGEST_SUBJECT
                        && self.c.word(0).is_some_and(|w| !matches!(w, "ending" | "end" | "from" | "and" | "or"))
                    {
                        self.c.at += 1;
                        n += 1;
                    }
                }
                "long" | "wide" | "high" | "deep" | "tall" | "square" | "total" | "in" | "length" | "altogether" => {
                    self.c.at += 1;
                }
                _ => break,
            }
        }
        whole
    }

    /// "have been worked", "are completed".
    fn worked_words(&mut self) {
        let _ = self.c.eat_any(&["have", "are", "has"]);
        let _ = self.c.eat("been");
        let _ = self.c.eat_any(&["worked", "completed", "complete", "made", "done"]);
        let _ = self.c.eat_all(&["in", "all"]) || self.c.eat_all(&["in", "total"]) || self.c.eat("total");
    }

    /// "2 rows of either A or B", "1 row of MC": an end told by its yarn.
    fn rows_of_yarn(&mut self) -> bool {
        let start = self.c.at;
        let rows = self.c.number().is_some() && (self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND));
        if rows && self.c.eat_any(&["of", "in", "with"]) {
            let _ = self.c.eat("either");
            if self.yarn().is_some() {
                while self.c.eat_any(&["or", "and"]) && self.yarn().is_some() {}
                return self.c.at_break();
            }
        }
        self.c.at = start;
        false
    }

    /// ", ending with a WS row", "ending on 7th row", "end by working a row 5", "ending with RS facing for next row".
    fn end_with(&mut self) -> Option<EndWith> {
        let start = self.c.at;
        let _ = self.c.eat_kind(&Kind::Comma) || self.c.eat_kind(&Kind::Semicolon);
        let _ = self.c.eat("and");
        let found = self.c.eat_any(&["ending", "end", "ends", "finishing"]) && {
            let _ = self.c.eat_any(&["with", "on", "after", "by", "having"]);
            let _ = self.c.eat_any(&["working", "completing", "worked"]);
            let _ = self.c.eat_any(&["a", "an", "the", "after"]);
            true
        };
        if found {
            let side = if self.c.eat("rs") || self.c.eat_all(&["right", "side"]) {
                Some(true)
            } else if self.c.eat("ws") || self.c.eat_all(&["wrong", "side"]) {
                Some(false)
            } else {
                None
            };
            if let Some(right) = side {
                let next = self.c.eat_any(&["facing"]) && {
                    let _ = self.c.eat("for");
                    let _ = self.c.eat("the");
                    self.c.eat("next")
                };
                let _ = self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND);
                return Some(EndWith::Side { right: right != next });
            }
            if self.rows_of_yarn() {
                return None;
            }
            if let Some(&[.., n]) = self.row_numbers().as_deref()
                && n < u32::MAX - 1000
            {
                let _ = self.c.eat("of") && self.c.eat_any(&["pat", "pattern"]);
                return Some(EndWith::Row(n));
            }
        }
        self.c.at = start;
        None
    }
}

/// Words of the longest subject of "measures": "piece along straight side edge".
pub(super) const LONGEST_SUBJECT: usize = 8;
