//! Remarks and making up: sentences in a row that work no stitch, told by how they open and by every word of them.
//!
//! "Stuff Head firmly.", "Place eyes between rounds 9 and 10.", "These 2 rows form the pattern." may hold numbers and
//! the names of stitches. They are taken only where each of their words is known: one of the table beside this file,
//! a word of the craft, or one the pattern's own title, notes and part names use. A word that is none of these is
//! pointed at, so that nothing is passed over because it stands in a sentence that looks like a remark.

use super::cursor::{Cursor, House};
use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::words;
use std::collections::BTreeSet;
use std::sync::LazyLock;

/// Words that remarks are made of, and that mean no work by themselves.
static PLAIN: LazyLock<BTreeSet<&'static str>> =
    LazyLock::new(|| include_str!("remark_words.txt").split_whitespace().collect());

/// Longest remark, in tokens: beyond it a sentence has lost its full stop.
const LONGEST: usize = 80;

/// True for a word that remarks are made of.
pub(super) fn is_plain_word(word: &str) -> bool {
    PLAIN.contains(word) && !words::WORKING_WORDS.contains(&word)
}

/// True for a verb of making up.
pub(super) fn is_making_up(word: &str) -> bool {
    static VERBS: LazyLock<BTreeSet<&'static str>> = LazyLock::new(|| MAKING.iter().copied().collect());
    VERBS.contains(word)
}

impl RowReader<'_> {
    /// "stuff Head", "sew Ears to Head between 3rd and 4th rnds", "drop A", "pm in first sc".
    pub(super) fn aside(&mut self, _run: &mut Run) -> bool {
        let start = self.c.at;
        if self.c.past_stitches() {
            let span = self.c.since(start);
            self.notes.push(span);
            return true;
        }
        if self.begins_piece() || self.on_so_many() {
            return true;
        }
        // "Vein: surface sl st up the middle": a label of its own
        let labelled = self.c.word(0).is_some() && self.c.kind(1) == Some(&Kind::Colon);
        self.c.at += if labelled { 2 } else { 0 };
        if self.c.eat("surface") && matches!(self.c.word(0), Some("sl" | "slip" | "ss" | "slst" | "crochet")) {
            // "surface slip stitch around the center square": on the face of the fabric, which it leaves as it is
            let end = (self.c.at..self.c.tokens.len().min(start + LONGEST))
                .find(|&k| matches!(self.c.kind_at(k), Some(Kind::Stop | Kind::Semicolon)))
                .unwrap_or(self.c.tokens.len());
            let known = (self.c.at..end).all(|k| match self.c.kind_at(k) {
                Some(Kind::Word(w)) => self.is_plain(w),
                _ => true,
            });
            if known && end - start < LONGEST {
                return self.keep_remark(start, end);
            }
        }
        self.c.at = start + if labelled { 2 } else { 0 };
        if self.opens_remark(self.c.at) && (self.take_remark(false) || self.take_remark(true)) {
            return true;
        }
        self.c.at = start;
        false
    }

    /// "working with 20 petals,", "working over all 8 points,": how many there are by now.
    fn on_so_many(&mut self) -> bool {
        let start = self.c.at;
        let led = self.c.eat_any(&["working", "work"]) && self.c.eat_any(&["with", "over", "on"]);
        let _ = led && self.c.eat_any(&["all", "the", "these"]) && self.c.eat("the");
        let counted = led && self.c.number().is_some() && self.c.counts_a_shape();
        if counted && self.c.at_break() {
            let span = self.c.since(start);
            self.notes.push(span);
            return true;
        }
        self.c.at = start;
        false
    }

    /// "Begin 2nd leg:", "start second ear": which piece comes next.
    fn begins_piece(&mut self) -> bool {
        let start = self.c.at;
        let led = self.c.eat_any(&["begin", "start", "beginning", "starting"]);
        let _ = self.c.eat("the");
        let which = led
            && (self.c.ordinal().is_some() || self.c.eat_any(&["first", "second", "third", "next", "other", "last"]));
        if which && self.c.word(0).is_some_and(|w| self.is_plain(w) && !words::WORKING_WORDS.contains(&w)) {
            self.c.at += 1;
            if self.c.at_break() || self.c.kind(0) == Some(&Kind::Colon) {
                let span = self.c.since(start);
                self.notes.push(span);
                let _ = self.c.eat_kind(&Kind::Colon);
                return true;
            }
        }
        self.c.at = start;
        false
    }

    /// "these 6 rnds form the pattern", "you will work in one st at a time", "with tip facing down": when no rule
    /// of work took the words.
    pub(super) fn telling(&mut self, _run: &mut Run) -> bool {
        let Some(first) = self.c.word(0) else { return false };
        let held = matches!(first, "with" | "using" | "without" | "by" | "if" | "when" | "while" | "so");
        let start = self.c.at;
        // "in the next rnd, we will join both legs"
        let ahead = self.c.sees(&["in", "the", "next"]);
        let Some(end) = self.remark_end(start, !ahead) else { return false };
        // "with a 3.5 mm hook", "using yarn needle": a tool, not a yarn
        let tool =
            self.c.tokens[start..end].iter().any(|t| matches!(&t.kind, Kind::Word(w) if TOOLS.contains(&w.as_str())));
        let tells = |t: &super::lex::Token| matches!(&t.kind, Kind::Word(w) if TELLING.contains(&w.as_str()));
        let told = self.c.tokens[start..end].iter().any(tells);
        let figures = self.c.tokens[start..end].iter().any(|t| match &t.kind {
            Kind::Number(_) | Kind::Ordinal(_) => true,
            Kind::Word(w) => words::WORKING_WORDS.contains(&w.as_str()),
            _ => false,
        });
        if !(told || held && (!figures || tool)) {
            return false;
        }
        self.keep_remark(start, end)
    }

    /// Where the sentence of making up that begins at a token ends.
    pub(super) fn making_up_at(&self, at: usize) -> Option<usize> {
        let note = matches!(self.c.kind_at(at), Some(Kind::Word(w)) if w == "note");
        let told = if note || self.opens_remark(at) { self.remark_end(at, false) } else { None };
        told.or_else(|| self.pat_below_end(at))
    }

    /// True where an opening of a remark, or of making up, stands at a token.
    fn opens_remark(&self, at: usize) -> bool {
        let mut ahead = self.c.clone();
        ahead.at = at;
        let asides = |first| words::ASIDES_BY_LETTER.begun_by(first).iter().any(|o| ahead.sees(o));
        ahead.word(0).is_some_and(asides) || making_up(ahead)
    }

    fn take_remark(&mut self, to_comma: bool) -> bool {
        let start = self.c.at;
        match self.remark_end(start, to_comma) {
            Some(end) => self.keep_remark(start, end),
            None => false,
        }
    }

    fn keep_remark(&mut self, start: usize, end: usize) -> bool {
        self.c.at = end;
        let span = self.span_of(start, end);
        self.notes.push(span);
        true
    }

    /// Where a remark that begins at `start` ends: at its full stop, or before a comma with work behind it. None
    /// where it holds work, or a word that is not known.
    pub(super) fn remark_end(&self, start: usize, to_comma: bool) -> Option<usize> {
        let mut c = self.c.clone();
        c.at = start;
        let left = c.eat_any(&["leave", "leaving"]) && c.eat_any(&["rem", "remaining"]);
        let _ = c.number();
        if left && c.eat_any(words::STITCH) {
            // "leave remaining sts" says what is not worked
            return None;
        }
        c.at = start;
        if c.asks_for_meshes(false) {
            return None;
        }
        let mut inside = 0;
        while c.at < c.tokens.len() && c.at - start < LONGEST {
            match c.kind(0) {
                Some(Kind::Stop) if self.is_decimal(c.at) => {}
                None | Some(Kind::Stop | Kind::Semicolon) if inside == 0 => break,
                Some(Kind::Close(_)) if inside == 0 => break,
                Some(Kind::Close(_)) => inside -= 1,
                Some(Kind::Comma) if to_comma && inside == 0 => break,
                Some(Kind::Comma) if inside == 0 && (self.works_behind(c.at) || self.layers_behind(c.at)) => break,
                // "flatten Arm and work 4 sc across"
                Some(Kind::Word(w)) if w == "and" && inside == 0 && c.at > start && self.asks_for_work(c.at + 1) => {
                    break;
                }
                Some(Kind::Star(_)) => return None,
                Some(Kind::Other(c)) if !"\"'“”‘’&%°/+…!?#¼½¾⅓⅔⅛⅜⅝⅞".contains(*c) => {
                    return None;
                }
                // "… either side of trunk - 8 sts": the row's count; "remove marker - sl st in that st": work
                Some(Kind::Dash) if inside == 0 && (self.is_count(c.at + 1) || self.works_behind(c.at)) => break,
                Some(Kind::Open(_)) => {
                    let close = self.partners.get(c.at).copied().flatten()?;
                    if self.tells_count(c.at, close) {
                        break;
                    }
                    inside += 1;
                }
                // "leave last 2 sts unworked" asks for something
                Some(Kind::Word(w)) if !self.is_plain(w) || w == "unworked" => return None,
                _ => {}
            }
            if c.at > start && self.works_at(c.at) {
                return None;
            }
            c.at += 1;
        }
        (c.at > start).then_some(c.at)
    }

    /// "[12 sts]" behind a remark is the row's count.
    fn tells_count(&self, open: usize, close: usize) -> bool {
        let number = matches!(self.c.kind_at(open + 1), Some(Kind::Number(_)));
        number && close == open + 2 || self.is_count(open + 1)
    }

    /// True for the point of "3.5".
    fn is_decimal(&self, at: usize) -> bool {
        let tokens = self.c.tokens;
        let number = |k: usize| matches!(tokens.get(k).map(|t| &t.kind), Some(Kind::Number(_)));
        at > 0
            && number(at - 1)
            && number(at + 1)
            && tokens[at - 1].span.end == tokens[at].span.start
            && tokens[at].span.end == tokens[at + 1].span.start
    }

    /// "12 sts", "8 sc" at a token.
    fn is_count(&self, at: usize) -> bool {
        let mut c = self.c.clone();
        c.at = at;
        c.number().is_some()
            && (c.word(0).is_some_and(|w| words::STITCH.contains(&w))
                || c.asks_for_meshes(true)
                || c.stitch().is_some())
    }

    /// True where a stitch with its place, or its count and place, stands at a token: work, whatever it opens with.
    fn works_at(&self, at: usize) -> bool {
        let mut c = self.c.clone();
        c.at = at;
        let counted = c.number().is_some();
        let chain = c.eat_any(words::CHAIN) && (counted || c.number().is_some()) && c.at_break();
        if chain {
            return true;
        }
        c.at = at + usize::from(counted);
        if c.asks_for_meshes(counted) {
            return true;
        }
        if c.stitch().is_none() {
            return false;
        }
        if matches!(c.word(0), Some("in" | "into" | "next" | "each" | "around" | "across" | "evenly")) {
            return true;
        }
        // "marker in last sc" points at a stitch; a name with nothing that points may be asked for
        let points = match at.checked_sub(1).and_then(|k| self.c.kind_at(k)) {
            Some(Kind::Word(w)) => POINTING.contains(&w.as_str()),
            Some(Kind::Ordinal(_)) => true,
            _ => false,
        };
        !counted && !points && c.at_break()
    }

    /// True where "work 4 sc", "sc 6", "sc across", "ch 6" stands at a token.
    fn asks_for_work(&self, at: usize) -> bool {
        let mut ahead = self.c.clone();
        ahead.at = at;
        if ahead.eat_any(words::CHAIN) {
            return ahead.number().is_some();
        }
        let asked = ahead.eat_any(&["work", "make"]);
        let counted = ahead.number().is_some();
        let leads = |w: &str| {
            words::INTO.contains(&w) || words::TO_END.contains(&w) || matches!(w, "each" | "both" | "the" | "evenly")
        };
        ahead.stitch().is_some()
            && (asked && counted || ahead.word(0).is_some_and(leads) || !counted && ahead.number().is_some())
    }

    /// True where work begins behind the comma at a token: the remark ends there.
    fn works_behind(&self, comma: usize) -> bool {
        let mut ahead = self.c.clone();
        ahead.at = comma + 1;
        let _ = ahead.eat("and");
        let _ = ahead.number();
        let acts = |w: &str| matches!(w, "turn" | "join" | "fasten" | "work" | "working" | "with");
        ahead.word(0).is_some_and(|w| {
            words::CHAIN.contains(&w) || words::SKIP.contains(&w) || words::REPEAT.contains(&w) || acts(w)
        }) || ahead.stitch().is_some()
            || matches!(ahead.kind(0), Some(Kind::Open(_) | Kind::Star(_)))
    }

    /// "Make loop:", "(optional) Hanging loop:", "Buttonhole row:" inside a row: a label, which says nothing more.
    pub(super) fn label(&mut self, _run: &mut Run) -> bool {
        let start = self.c.at;
        let mut c = self.c.clone();
        while c.at - start < 6 && c.word(0).is_some_and(|w| self.is_plain(w) && c.clone().stitch().is_none()) {
            c.at += 1;
        }
        if c.at == start || !matches!(c.kind(0), Some(Kind::Colon)) {
            return false;
        }
        self.keep_remark(start, c.at + 1)
    }

    /// "multiple of 6 ch + 7", "multiples of 4": what the foundation is a multiple of.
    pub(super) fn multiple(&mut self, _run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat("or");
        // "having an even number of sts", "making sure to have a multiple of 6 sts"
        let _ =
            self.c.eat_any(&["having", "with", "in", "working"]) || self.c.eat_all(&["making", "sure", "to", "have"]);
        let _ = self.c.eat_any(&["a", "an", "any"]);
        if self.c.at > start && self.c.eat_any(&["odd", "even", "uneven", "equal"]) && self.c.eat("number") {
            // "ch 30 or any even number"
            let _ = self.c.eat("of") && self.c.class().is_some();
            let end = self.c.at;
            return self.c.at_break() && self.keep_remark(start, end);
        }
        if !(self.c.eat_any(&["multiple", "multiples"]) && self.c.eat("of") && self.c.number().is_some()) {
            return false;
        }
        let _ = self.c.class();
        if self.c.eat("plus") || self.c.eat_kind(&Kind::Other('+')) {
            let _ = self.c.number();
            let _ = self.c.eat("more");
            let _ = self.c.class();
        }
        let end = self.c.at;
        self.keep_remark(start, end)
    }

    /// True where tokens `from..end` are plain words alone: no figure, no stitch, nothing that asks for work.
    pub(super) fn says_nothing(&self, from: usize, end: usize) -> bool {
        self.c.tokens[from..end].iter().all(|t| match &t.kind {
            Kind::Word(w) => PLAIN.contains(w.as_str()) && !words::WORKING_WORDS.contains(&w.as_str()),
            Kind::Comma | Kind::Stop | Kind::Dash => true,
            _ => false,
        }) && self.c.tokens[from..end].len() > 1
    }

    /// A word that is known: plain, of the craft, or of the pattern's own prose.
    pub(super) fn is_plain(&self, word: &str) -> bool {
        self.c.house.knows(word)
    }
}

impl House {
    /// True for a word that is plain, of the craft, or of the pattern's own prose.
    pub(super) fn knows(&self, word: &str) -> bool {
        let bare = word.strip_suffix("'s").or_else(|| word.strip_suffix('\'')).unwrap_or(word);
        let letter = matches!(bare, "a" | "b" | "c" | "d" | "e" | "f" | "g" | "h" | "i" | "j" | "k" | "r" | "x");
        letter
            || self.yarns.iter().any(|y| y == bare)
            || PLAIN.contains(bare)
            || words::is_of_the_craft(bare)
            || self.own_words.contains(bare)
    }
}

/// True where the words here open a sentence of making up: a verb that works no stitch, or "lightly stuff".
fn making_up(mut ahead: Cursor<'_>) -> bool {
    while ahead.eat_any(MANNERS) {}
    let Some(verb) = ahead.word(0) else { return false };
    let object = ahead.word(1).unwrap_or_default();
    if verb == "attach" {
        // "attach B in any st" takes up a yarn; "attach Ears to Head" makes up
        let yarn = ahead.house.yarns.iter().any(|y| y == object || y.starts_with(&format!("{object} ")));
        let named = matches!(object, "yarn" | "color" | "colour" | "new" | "mc" | "cc") || object.len() == 1;
        return !(yarn || named || words::COLOURS.contains(&object));
    }
    if matches!(verb, "close" | "closing" | "seal") {
        // "close up the hole"; "close the round with sl st" is work
        const OPEN: &[&str] = &["hole", "holes", "opening", "openings", "gap", "top", "end", "bottom", "seam", "up"];
        return (1..5).map_while(|k| ahead.word(k)).any(|w| OPEN.contains(&w));
    }
    if verb == "fasten" || verb == "fastening" {
        return matches!(object, "securely" | "firmly" | "the" | "to" | "at" | "in" | "with" | "yarn" | "ends" | "end");
    }
    if object == "through" && matches!(verb, "draw" | "pull" | "thread" | "run" | "pass") {
        // "draw through rem sts": the yarn's end; "draw through 2 loops on hook" makes a stitch
        let phrase: Vec<&str> = (2..10).map_while(|k| ahead.word(k)).collect();
        let loops = phrase.iter().any(|w| matches!(*w, "hook" | "loop" | "loops" | "lp" | "lps"));
        return (verb == "thread" || phrase.iter().any(|w| words::STITCH.contains(w))) && !loops;
    }
    if verb.starts_with("draw") || verb.starts_with("pull") || verb.starts_with("insert") {
        // "draw up a loop", "insert hook" make stitches
        return !matches!(object, "up" | "hook" | "through" | "a" | "loop") && !object.is_empty();
    }
    if matches!(verb, "make" | "making") {
        // "make 6 motifs": pieces, not stitches
        let _ = ahead.eat_any(&["make", "making"]) && ahead.number().is_some();
        if matches!(ahead.word(0), Some("chains" | "cords" | "ties" | "pompoms" | "tassels"))
            && ahead.clone().at_most_a_cord()
        {
            return true;
        }
        if ahead.word_at(ahead.at.wrapping_sub(1)).is_none() && ahead.at_break() {
            // "make 2"
            return true;
        }
        let another = ["second", "another"].iter().any(|w| ahead.word(0) == Some(w) || ahead.word(1) == Some(w));
        if another && !(1..4).any(|k| ahead.word(k).is_some_and(|w| words::STITCHES.iter().any(|n| n.words == [w]))) {
            // "make a second bootie to match"
            return true;
        }
        let piece = ahead.word(0).is_some_and(|w| PLAIN.contains(w) && !words::is_of_the_craft(w));
        return matches!(object, "sure" | "certain" | "up") || piece && !matches!(object, "a" | "an" | "magic");
    }
    is_making_up(verb)
}

/// Words before a stitch's name that point at one already made.
const POINTING: &[&str] = &[
    "the", "first", "last", "next", "this", "that", "each", "every", "same", "any", "your", "of", "prev", "previous",
    "beg", "a", "an", "in", "to", "into", "skipped", "unworked", "marked", "center", "top",
];

/// How something is done, before the verb.
const MANNERS: &[&str] = &[
    "don't",
    "lightly",
    "firmly",
    "carefully",
    "gently",
    "securely",
    "neatly",
    "loosely",
    "then",
    "finish",
    "begin",
    "start",
    "continue",
    "please",
    "now",
    "also",
    "finally",
    "do",
    "not",
    "firstly",
    "next",
    "temporarily",
];

/// Verbs of making up, and of handling the work: none of them makes a stitch.
const MAKING: &[&str] = &[
    "add",
    "adding",
    "seam",
    "adjust",
    "allow",
    "arrange",
    "assemble",
    "attach",
    "attaching",
    "bend",
    "block",
    "braid",
    "center",
    "centre",
    "check",
    "coil",
    "connect",
    "cover",
    "curl",
    "cut",
    "cutting",
    "darn",
    "decorate",
    "draw",
    "drawing",
    "embroider",
    "embroidering",
    "ensure",
    "ensuring",
    "fill",
    "filling",
    "fix",
    "fixing",
    "flatten",
    "flattening",
    "flip",
    "fold",
    "folding",
    "gather",
    "glue",
    "hide",
    "hold",
    "holding",
    "insert",
    "inserting",
    "keep",
    "keeping",
    "knot",
    "lay",
    "laying",
    "leave",
    "leaving",
    "line",
    "match",
    "matching",
    "measure",
    "note",
    "noting",
    "pass",
    "photo",
    "pin",
    "pinch",
    "squash",
    "squeeze",
    "place",
    "placing",
    "poke",
    "position",
    "press",
    "pull",
    "pulling",
    "push",
    "put",
    "remember",
    "reshape",
    "roll",
    "run",
    "secure",
    "securing",
    "set",
    "sew",
    "sewing",
    "shape",
    "slide",
    "space",
    "spray",
    "starch",
    "steam",
    "stiffen",
    "stitch",
    "string",
    "stuff",
    "stuffing",
    "tack",
    "thread",
    "threading",
    "tie",
    "top",
    "trim",
    "tuck",
    "twist",
    "twisting",
    "use",
    "video",
    "wash",
    "weave",
    "weaving",
    "wet",
    "whipstitch",
    "wind",
    "wrap",
];

/// Things a row is worked with that are no yarn of the pattern.
const TOOLS: &[&str] = &["hook", "needle", "pin", "pins", "scissors", "glue", "jump", "wire", "pliers", "ply"];

/// Verbs by which a sentence tells instead of asking.
const TELLING: &[&str] = &[
    "is",
    "are",
    "be",
    "was",
    "were",
    "will",
    "should",
    "would",
    "have",
    "has",
    "had",
    "can",
    "may",
    "might",
    "must",
    "need",
    "needs",
    "form",
    "forms",
    "formed",
    "look",
    "looks",
    "measures",
    "shows",
    "complete",
    "completes",
    "creates",
    "gives",
    "means",
    "proceeds",
    "becomes",
    "makes",
];
