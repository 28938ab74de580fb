//! Names coined inside a row: "(2 dc, ch 2, 2 dc – shell made) in next sp", "– cluster made"; and names that are
//! used though nothing defines them.

use super::cursor::{Cursor, House};
use super::definition::special_of;
use super::lex::{Kind, Token};
use super::phrase::{RowReader, Run};
use super::stitch::Named;
use super::unread::undefined_name;
use super::words;
use crate::craft::StitchForm;
use crate::instructions::{Act, CountOf, Special, Stated, Step, Target};
use crate::source::{Code, Problem, Severity, Span};

/// What is made in a row and is no stitch to be used again.
const NO_STITCH: &[&str] = &[
    "corner",
    "tip",
    "branch",
    "stem",
    "leaf",
    "inc",
    "increase",
    "dec",
    "decrease",
    "side",
    "row",
    "rnd",
    "round",
    "buttonhole",
    "ring",
    "sp",
    "space",
    "spaces",
    "point",
    "edge",
    "mesh",
    "opening",
    "loop",
    "hole",
    "end",
];

/// Words of the longest name.
const LONGEST_NAME: usize = 4;

/// The words of a row, read.
pub(super) struct Words {
    pub steps: Vec<Step>,
    pub stated: Vec<Stated>,
    pub stated_each: bool,
    pub stated_in_turn: bool,
    pub notes: Vec<Span>,
    pub problems: Vec<Problem>,
    pub read: bool,
    pub lost: bool,
}

/// Reads the words of a row. A name that the row coins may be used later in it, so then it is read again.
pub(super) fn read_words(toks: &[Token], from: usize, text: &str, house: &mut House) -> Words {
    let (mut words, mut coined) = read_once(toks, from, text, house);
    for _ in 0..MOST_NAMES {
        if !learn(house, coined) {
            break;
        }
        (words, coined) = read_once(toks, from, text, house);
    }
    if words.read {
        return words;
    }
    let house: &House = house;
    super::misspelt::put_right(toks, house, words, |toks| read_once(toks, from, text, house).0)
}

fn read_once(toks: &[Token], from: usize, text: &str, house: &House) -> (Words, Vec<Special>) {
    let mut c = Cursor::new(toks, house);
    c.at = from;
    let mut reader = RowReader::new(c, text);
    let mut steps = reader.steps();
    // a stray closing bracket ends the steps early: point at it and read on
    while !reader.c.done() {
        reader.stray_close();
        steps.extend(reader.steps());
    }
    reader.leave_counts_of_stretches(&steps);
    for special in &reader.coined {
        if let [Step { act: Act::Work { each: each @ 3.., form, .. }, .. }] = special.steps.as_slice() {
            name_alike(&mut steps, (*each, *form), &special.names[0]);
        }
    }
    let by_count: Vec<Special> = reader.stated.iter().filter_map(|s| named_by_count(&steps, s, house)).collect();
    reader.coined.extend(by_count);
    let words = Words {
        lost: reader.unread && reader.problems.iter().any(Problem::is_error),
        steps,
        stated: reader.stated,
        stated_each: reader.stated_each,
        stated_in_turn: reader.stated_in_turn,
        notes: reader.notes,
        problems: reader.problems,
        read: !reader.unread,
    };
    (words, reader.coined)
}

/// "[(2 dc, ch 2, 2 dc) in next ch-2 sp, ch 1] 6 times: 6 shells": what the row repeats has the name that it is counted by,
/// where the pattern tells no other sense of it.
fn named_by_count(steps: &[Step], stated: &Stated, house: &House) -> Option<Special> {
    let CountOf::Group(counted) = &stated.of else { return None };
    let name = counted.strip_suffix('s').unwrap_or(counted);
    if !matches!(name, "shell" | "fan" | "scallop") {
        return None;
    }
    if house.specials.is_name(name) {
        return None;
    }
    let mut groups = steps.iter().filter_map(|s| match &s.act {
        Act::Repeat { steps, .. } => Some(steps),
        _ => None,
    });
    let repeated = groups.next().filter(|_| groups.next().is_none())?;
    let mut of = repeated.iter().filter_map(|s| match &s.act {
        Act::Group { steps, name: None, .. } if steps.len() > 1 => Some((steps.clone(), s.span)),
        _ => None,
    });
    let (steps, span) = of.next().filter(|_| of.next().is_none())?;
    special_of(vec![name.to_owned()], steps, span)
}

/// "5 dc in next sc (shell made), …, 5 dc in next sc": the second is one too.
fn name_alike(steps: &mut [Step], (n, stitch): (u32, StitchForm), name: &str) {
    for step in steps {
        let span = step.span;
        match &mut step.act {
            Act::Work { each, form, at } if *each == n && *form == stitch => {
                let inner = Step { act: Act::Work { each: n, form: stitch, at: Target::NEXT }, span };
                step.act = Act::Group { steps: vec![inner], at: at.clone(), name: Some(name.to_owned()) };
            }
            Act::Repeat { steps, .. } => name_alike(steps, (n, stitch), name),
            _ => {}
        }
    }
}

/// Takes coined names into the house; false where they say nothing new. What the pattern defines ahead stays.
fn learn(house: &mut House, coined: Vec<Special>) -> bool {
    let mut news = false;
    for special in coined {
        match house.specials.told(&special.names[0]) {
            Some(k) if k < house.defined || same(&house.specials[k].steps, &special.steps) => {}
            Some(k) => {
                house.specials.replace(k, special);
                news = true;
            }
            None => {
                house.specials.take(special);
                super::beginnings::derive(house, house.specials.len() - 1);
                news = true;
            }
        }
    }
    news
}

/// True where steps say the same, wherever their words stand.
fn same(a: &[Step], b: &[Step]) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| a.to_string() == b.to_string())
}

/// Names one row may coin; a published row coins two or three.
const MOST_NAMES: usize = 8;

impl RowReader<'_> {
    /// "(inc made)", "– shell made", "2nd corner made": a name for what was just worked.
    pub(super) fn make_clause(&mut self, run: &mut Run) -> bool {
        if self.row_part_made(run) {
            return true;
        }
        let start = self.c.at;
        let _ = self.c.eat_kind(&Kind::Dash);
        let Some(name) = self.coined_name() else { return false };
        let span = self.c.since(start);
        self.notes.push(span);
        if let Some(name) = name {
            self.coin(run, name);
        }
        true
    }

    /// "(beg cluster)" behind a cluster spelled out, "(first shell)" behind a group: its name.
    pub(super) fn name_in_brackets(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let shaped = run.steps.last().is_some_and(|s| match &s.act {
            Act::Work { form, .. } => form.legs > 1,
            Act::Group { .. } => true,
            _ => false,
        });
        if !shaped || !matches!(self.c.kind(0), Some(Kind::Open(_))) {
            return false;
        }
        self.c.at += 1;
        let opens = self.c.eat_any(&["beg", "beginning", "begin", "starting", "first"]);
        let word = self.c.word(0).map(str::to_owned);
        let shape = |w: &str| words::CLUSTERS.contains(&w) || words::SHAPES.contains(&w);
        if let (Some(name), Some(Kind::Close(_))) = (word.filter(|w| shape(w)), self.c.kind(1)) {
            self.c.at += 2;
            let span = self.c.since(start);
            self.notes.push(span);
            self.coin_last(run, if opens { format!("beg {name}") } else { name });
            return true;
        }
        self.c.at = start;
        false
    }

    /// The name before "made"; none inside where it is no stitch's, or a stitch's that is known already.
    pub(super) fn coined_name(&mut self) -> Option<Option<String>> {
        let start = self.c.at;
        let _ = self.c.eat_any(&["first", "a", "one", "1st", "last"]) || self.c.ordinal().is_some();
        let from = self.c.at;
        let made = (from..(from + LONGEST_NAME + 3).min(self.c.tokens.len()))
            .take_while(|&k| matches!(self.c.tokens[k].kind, Kind::Word(_) | Kind::Dash | Kind::Number(_)))
            .find(|&k| matches!(&self.c.tokens[k].kind, Kind::Word(w) if w == "made" || w == "completed"));
        let Some(made) = made else {
            self.c.at = start;
            return None;
        };
        let known = self.c.special().is_none() && self.c.stitch().is_some() && self.c.at == made;
        self.c.at = made + 1;
        // "first leg opening made—8 sc"
        if !(self.c.at_break() || self.c.kind(0) == Some(&Kind::Dash)) {
            self.c.at = start;
            return None;
        }
        // "V-st" is one word
        let glued = |k: usize| self.c.tokens[k - 1].span.end == self.c.tokens[k].span.start;
        let mut parts: Vec<String> = Vec::new();
        let mut dash = false;
        for k in from..made {
            match self.c.word_at(k) {
                Some(word) if dash && glued(k) && !parts.is_empty() => {
                    let last = parts.len() - 1;
                    parts[last] = format!("{}-{word}", parts[last]);
                }
                Some(word) => parts.push(word.to_owned()),
                None => {}
            }
            dash = k > from && self.c.tokens[k].kind == Kind::Dash && glued(k);
        }
        let words: Vec<&str> = parts.iter().map(String::as_str).collect();
        let titled = (from..made).all(|k| self.text[self.c.tokens[k].span.start..].starts_with(char::is_uppercase));
        let known_word = |w: &&str| *w == "v-st" || self.is_plain(w) || self.c.house.specials.is_name(w);
        if words.len() > 1 && !titled && !words.iter().all(known_word) {
            // "beg florp cluster made": a name of several words is of known ones
            self.c.at = start;
            return None;
        }
        let stitch = !known && !words.is_empty() && !words.iter().any(|w| NO_STITCH.contains(w));
        // "7 dc cluster made": the number tells it from the 3 dc cluster
        let number = match (self.c.kind_at(from), words.as_slice()) {
            (Some(Kind::Number(n)), [first, _, ..]) if words::WORKING_WORDS.contains(first) => format!("{n} "),
            _ => String::new(),
        };
        Some(stitch.then(|| (number + &words.join(" ")).replace("begin ", "beg ").replace("beginning ", "beg ")))
    }

    /// Gives a name to what was worked last, here or around the bracket that holds the name.
    pub(super) fn coin(&mut self, run: &mut Run, name: String) {
        if run.steps.is_empty() || self.depth > 0 && matches!(self.c.kind(0), Some(Kind::Close(_))) {
            self.pending_name = Some(name);
            return;
        }
        self.coin_last(run, name);
    }

    /// Gives a name to the last step. The chain that a "beg" stitch stands on is part of it and no stitch of its own.
    pub(super) fn coin_last(&mut self, run: &mut Run, name: String) {
        if let Some(whole) = super::beginnings::with_chain(&mut run.steps, &name) {
            return self.remember(name, whole);
        }
        let opening = name.starts_with("beg ") && run.steps.len() > 1;
        let chain = opening && matches!(run.steps[run.steps.len() - 2].act, Act::Chain { .. });
        let Some(last) = run.steps.last_mut() else { return };
        let span = last.span;
        let steps = match &mut last.act {
            Act::Group { steps, name: known, .. } => {
                known.get_or_insert_with(|| name.clone());
                steps.clone()
            }
            Act::Work { each: 1, form, .. } if form.legs > 1 => {
                vec![Step { act: Act::Work { each: 1, form: *form, at: Target::NEXT }, span }]
            }
            Act::Work { each, form, at } if *each > 1 => {
                let steps = vec![Step { act: Act::Work { each: *each, form: *form, at: Target::NEXT }, span }];
                let at = at.clone();
                last.act = Act::Group { steps: steps.clone(), at, name: Some(name.clone()) };
                steps
            }
            _ => return,
        };
        let steps = if chain {
            let at = run.steps.len() - 1;
            let chain = run.steps[at - 1].clone();
            // the chain of a cluster is its first leg, that of a shell its first stitch
            let leg = name.split(' ').any(|w| words::CLUSTERS.iter().any(|c| words::is_or_plural(w, c)));
            if leg {
                let counts = Act::Counts { stem: None, space: 0, counts: false };
                run.steps.insert(at, Step { act: counts, span: chain.span });
            }
            std::iter::once(chain).chain(steps).collect()
        } else {
            steps
        };
        self.remember(name, steps);
    }

    /// Keeps a coined name for the rest of the pattern.
    pub(super) fn remember(&mut self, name: String, steps: Vec<Step>) {
        let Some(span) = steps.first().map(|s| s.span) else { return };
        if let Some(mut special) = special_of(vec![name.clone()], steps, span) {
            if let Some(rest) = name.strip_prefix("beg ") {
                special.names.push(format!("beginning {rest}"));
            }
            self.coined.push(special);
        }
    }

    /// "shell in next st" where nothing says what a shell is: pointed at, and read on behind it.
    pub(super) fn undefined(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(&["work", "make"]);
        let number = self.c.number();
        let _ = self.c.eat_any(&["a", "an"]);
        let led = self.c.eat_any(&["beg", "beginning", "starting", "joining", "half", "small", "large"]);
        let Some((name, example, length)) = undefined_name(&self.c) else { return false };
        self.c.at += length;
        let _ = number.is_none() && !led && self.c.number().is_some();
        let place = self.c.place();
        let span = self.c.since(start);
        let hint = format!("say under \"Special stitches\" how it is made, such as \"{example}\"");
        if let Some(form) = self.together_over(start, name, place.as_ref()) {
            let message = format!("nothing says how \"{name}\" is made; over so many places it is taken as {form}");
            self.problems.push(
                Problem::new(Code::UndefinedStitch, span, message).with_severity(Severity::Warning).with_hint(hint),
            );
            run.steps.push(Step { act: Act::Work { each: 1, form, at: Target::NEXT }, span });
            return true;
        }
        self.report(
            Problem::new(Code::UndefinedStitch, span, format!("\"{name}\" is not defined in this pattern"))
                .with_hint(hint),
        );
        let at = place.map_or(Target::NEXT, |w| w.target);
        run.steps.push(Step { act: Act::Group { steps: Vec::new(), at, name: Some(name.to_owned()) }, span });
        true
    }

    /// A stitch, or a name coined for one, behind what was spelled out by its loops.
    pub(super) fn spelled_name(&mut self) -> (Option<Named>, Option<String>) {
        let start = self.c.at;
        let _ = self.c.eat_kind(&Kind::Comma) || self.c.eat_kind(&Kind::Stop);
        let open = matches!(self.c.kind(0), Some(Kind::Open(_)));
        if !(self.c.eat_kind(&Kind::Dash) || open) {
            self.c.at = start;
            return (None, None);
        }
        self.c.at += usize::from(open);
        let here = self.c.at;
        let _ = self.c.number();
        if let Some(named) = self.c.stitch()
            && self.c.eat("made")
        {
            self.c.at += usize::from(open && matches!(self.c.kind(0), Some(Kind::Close(_))));
            return (Some(named), None);
        }
        self.c.at = here;
        if let Some(name) = self.coined_name() {
            self.c.at += usize::from(open && matches!(self.c.kind(0), Some(Kind::Close(_))));
            return (None, name);
        }
        self.c.at = start;
        (None, None)
    }
}
