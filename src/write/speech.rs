//! Steps in words, each in the wording that reads back as the same step.

use super::page::Piece;
use super::tongue::{Tongue, loop_words};
use crate::craft::{LoopPart, Stem, StitchForm};
use crate::instructions::{AS_EVEN, AS_NAMED, Act, Class, Special, Step, Target, Terms, Times, WhichPart, ordinal};
use crate::reading::{Rereader, in_other_terms};
use crate::source::Span;

/// Says the steps of one row.
pub(super) struct Speech<'a> {
    pub tongue: &'a Tongue,
    /// Terms the pattern was read in, for the names it gives to its own stitches.
    pub from: Terms,
    pub specials: &'a [Special],
    pub reader: Rereader,
    /// True where a ring of thread is made by the first stitches into it.
    pub ring_to_come: bool,
    /// True in a round, where work goes around and not across.
    pub round: bool,
    /// Name of the first stitch of the row.
    pub first: Option<String>,
    /// Chains the row begins with.
    pub opening: Option<u32>,
    /// Chains the row below began with.
    pub below: Option<u32>,
    /// Where the pattern has another number for each size.
    pub lists: &'a [Span],
    /// True for a step with such numbers: one is said as several are, "next 1 sts", so that the words are the same.
    pub varied: bool,
    /// The pattern's own text.
    pub text: &'a str,
    /// True for a step that may be worked anywhere: "in any ch-2 sp".
    pub anywhere: bool,
    /// True where the last place named was a space: "in same sp".
    pub in_space: bool,
}

/// True where an act names a space as its place; none where it names no place, or the one before.
fn names_space(act: &Act) -> Option<bool> {
    let at = match act {
        Act::Work { at, .. } | Act::Group { at, .. } | Act::Attach { at: Some(at), .. } => at,
        _ => return None,
    };
    let space = |class: &Class| matches!(class, Class::Space(_) | Class::Corner(_));
    match at {
        Target::Same => None,
        Target::Next { class, .. } | Target::First { class } | Target::Last { class, .. } => Some(space(class)),
        _ => Some(false),
    }
}

/// True where the words of a step leave it free where it begins.
pub(super) fn is_anywhere(text: &str, span: Span) -> bool {
    let words = text.get(span.start..span.end).unwrap_or("");
    words.split(|c: char| !c.is_alphabetic()).any(|w| w.eq_ignore_ascii_case("any"))
}

/// Words that are read as they stand, made of pieces.
pub(super) type Pieces = Vec<Piece>;

/// The pieces as one string.
pub(super) fn joined(pieces: &[Piece]) -> String {
    pieces.iter().map(|p| p.words.as_str()).collect()
}

fn glue(words: impl Into<String>) -> Piece {
    Piece { words: words.into(), spans: Vec::new() }
}

impl Speech<'_> {
    /// "twice", "3 times".
    fn how_often(&self, n: u32) -> String {
        match n {
            1 if !self.varied => "once".into(),
            2 if !self.varied => "twice".into(),
            n => format!("{n} times"),
        }
    }

    fn more(&self, n: u32) -> String {
        match n {
            1 if !self.varied => "once more".into(),
            2 if !self.varied => "twice more".into(),
            n => format!("{n} more times"),
        }
    }

    /// A name of the pattern's own in the terms spoken.
    pub(super) fn in_tongue(&self, name: &str) -> String {
        in_other_terms(name, self.from, self.tongue.terms)
    }

    fn read_in_uk(&self) -> bool {
        matches!(self.from, Terms::Uk | Terms::OldUk)
    }

    /// Steps one after another, a comma between them.
    pub fn steps(&mut self, steps: &[Step], depth: usize) -> Pieces {
        let mut found: Pieces = Vec::new();
        let mut at = 0;
        while at < steps.len() {
            let ending = at > 0 && matches!(steps[at - 1].act, Act::Ending);
            if ending || matches!(steps[at].act, Act::Counts { .. }) {
                found.push(glue(" "));
            } else if matches!(
                steps[at].act,
                Act::FarSide | Act::RowEnds | Act::LoopsOf { .. } | Act::OfRow { .. } | Act::Opening { .. }
            ) && at > 0
            {
                found.push(glue("; "));
            } else if at > 0 {
                found.push(glue(", "));
            }
            let ended = ends_of_yarns(&steps[at..]);
            if ended.len() > 1 {
                let spans = steps[at..at + ended.len()].iter().map(|s| s.span).collect();
                found.push(Piece { words: format!("fasten off {}", in_words(&ended)), spans });
                at += ended.len();
                continue;
            }
            if let Some(both) = steps.get(at + 1).and_then(|next| self.going_on(&steps[at], next)) {
                found.push(both);
                at += 2;
                continue;
            }
            found.extend(self.step(&steps[at], depth));
            at += 1;
        }
        found
    }

    /// "sc in 2nd ch from hook and in next 5 ch": one stitch along a chain, begun at the hook.
    fn going_on(&self, first: &Step, next: &Step) -> Option<Piece> {
        let (Act::Work { each: 1, form, at: at @ Target::FromHook { .. } }, Act::Work { each: 1, form: again, at: on }) =
            (&first.act, &next.act)
        else {
            return None;
        };
        let plain = matches!(on, Target::Next { .. } | Target::Each { every: 1, .. });
        if form != again || !plain || form.extra.part != LoopPart::Both {
            return None;
        }
        let (hook, on) = (self.target(at, 1, true), self.target(on, 1, true));
        let words = format!("{} {} and {}", self.tongue.form(*form), hook.first()?, on.first()?);
        Some(Piece { words, spans: vec![first.span, next.span] })
    }

    /// One step in the first of its wordings that reads back.
    pub fn step(&mut self, step: &Step, depth: usize) -> Pieces {
        if let Act::Repeat { steps, times, stop } = &step.act {
            return self.repeat(step, steps, times, *stop, depth);
        }
        self.varied = self.lists.iter().any(|l| step.span.holds(*l));
        self.anywhere = is_anywhere(self.text, step.span);
        let wordings = self.wordings(&step.act);
        self.in_space = names_space(&step.act).unwrap_or(self.in_space);
        let chosen = wordings.iter().find(|w| self.says(w, step)).or(wordings.first());
        let words = chosen.cloned().unwrap_or_default();
        vec![Piece { words, spans: vec![step.span] }]
    }

    /// True where the words alone are read as this step.
    fn says(&mut self, words: &str, step: &Step) -> bool {
        let row = self.reader.row(words, false, None);
        row.read && row.stated.is_empty() && super::prove::same_steps(&row.steps, std::slice::from_ref(step))
    }

    fn repeat(&mut self, whole: &Step, steps: &[Step], times: &Times, stop: Option<usize>, depth: usize) -> Pieces {
        let to_end = if self.round { "around" } else { "across" };
        if let (Times::Along, [first, second]) = (times, steps) {
            return self.along(first, second);
        }
        let inner = match stop.filter(|&k| k > 0 && k < steps.len()) {
            None => self.steps(steps, depth + 1),
            Some(k) => {
                let mut inner = self.steps(&steps[..k], depth + 1);
                inner.push(glue("**, "));
                inner.extend(self.steps(&steps[k..], depth + 1));
                inner
            }
        };
        let ending = stop.filter(|&k| k > 0 && k < steps.len()).map_or("", |_| ", ending last rep at **");
        let own = |l: &&Span| whole.span.holds(**l) && !steps.iter().any(|s| s.span.holds(**l));
        self.varied = self.lists.iter().any(|l| own(&l));
        let star = |tail: &str| ("*".to_owned(), format!("; rep from * {tail}{ending}"));
        let bracket = |tail: &str| ("[".to_owned(), format!("] {tail}"));
        let last = |n: u32, class: &Class| match n {
            1 if !self.varied => format!("to last {}", self.class(class, 1)),
            n => format!("to last {n} {}", self.numbered(class, n)),
        };
        let stars = depth == 0 && !holds_star(steps);
        let ways: Vec<(String, String)> = match times {
            Times::ToEnd { less: 0, .. } if stars => vec![star(to_end), bracket(to_end), bracket("to end")],
            Times::ToEnd { less: 0, .. } => vec![bracket(to_end), bracket("to end")],
            Times::ToEnd { less, class } if stars => {
                vec![star(&last(*less, class)), bracket(&last(*less, class)), bracket(&last(*less, &Class::Stitch))]
            }
            Times::ToEnd { less, class } => vec![bracket(&last(*less, class)), bracket(&last(*less, &Class::Stitch))],
            Times::InAll(n) if stop.is_some() => vec![star(&self.more(n.saturating_sub(1)))],
            Times::InAll(n) => vec![bracket(&self.how_often(*n))],
            Times::More(n) if stop.is_some() => vec![star(&self.more(*n))],
            Times::More(n) if stars => vec![star(&self.more(*n)), bracket(&self.how_often(n + 1))],
            Times::More(n) => vec![bracket(&self.how_often(n + 1))],
            Times::Doubt(n) => vec![star(&format!("{n} times"))],
            Times::UpTo { stop } => {
                let stop = self.target(stop, 1, false).into_iter().next().unwrap_or_default();
                let stop = stop.strip_prefix("in ").unwrap_or(&stop).to_owned();
                vec![bracket(&format!("to {stop}")), star(&format!("to {stop}"))]
            }
            Times::Along => vec![bracket(to_end)],
        };
        let words = joined(&inner);
        let found = ways.iter().position(|(open, close)| self.says(&format!("{open}{words}{close}"), whole));
        let (open, close) = ways[found.unwrap_or(0)].clone();
        let mut pieces = vec![glue(open)];
        pieces.extend(inner);
        pieces.push(glue(close));
        pieces
    }

    /// "sc in each sc and 3 sc in each ch-2 sp around".
    fn along(&mut self, first: &Step, second: &Step) -> Pieces {
        let to_end = if self.round { " around" } else { " across" };
        let bare = |words: String| words.trim_end_matches(" around").trim_end_matches(" across").to_owned();
        let (one, other) = (self.wordings(&first.act), self.wordings(&second.act));
        let one = bare(one.into_iter().next().unwrap_or_default());
        let other = bare(other.into_iter().next().unwrap_or_default());
        vec![
            Piece { words: one, spans: vec![first.span] },
            glue(format!("{to_end}, working ")),
            Piece { words: other, spans: vec![second.span] },
        ]
    }

    /// Wordings of a step that is no repeat, the one that is written where it reads back first.
    fn wordings(&mut self, act: &Act) -> Vec<String> {
        let one = |words: &str| vec![words.to_owned()];
        let t = self.tongue;
        match act {
            Act::Chain { n } => one(&format!("ch {n}")),
            Act::Mark { back: 0 } => vec!["place marker in last st".into(), "place marker".into()],
            Act::Mark { back } => one(&format!("place marker {back} sts back")),
            Act::AnyChain => one("make a chain of any length"),
            Act::Ring { thread: true } => one("make a magic ring"),
            Act::Ring { thread: false } => one(&format!("join with {} to form a ring", t.stem(Stem::SlipStitch))),
            Act::Work { each, form, at } => self.work(*each, *form, at),
            Act::Group { steps, at, name } => self.group(steps, at, name.as_deref()),
            Act::Repeat { .. } => Vec::new(),
            Act::Skip { n: 1, class } if !self.varied => one(&format!("{} next {}", t.skip(), self.class(class, 1))),
            Act::Skip { n, class } => one(&format!("{} next {n} {}", t.skip(), self.numbered(class, *n))),
            Act::SkipFirst { class } => one(&format!("{} first {}", t.skip(), self.class(class, 1))),
            Act::Leave { n: Some(1) } if !self.varied => one("leave last st unworked"),
            Act::Leave { n: Some(n) } => one(&format!("leave last {n} sts unworked")),
            Act::BothLayers { next: false, folded: true } => one("folded flat, working through both layers"),
            Act::BothLayers { next: false, .. } => one("working through both layers"),
            Act::BothLayers { next: true, .. } => one("work the next row through both layers"),
            Act::Leave { n: None } => one("leave remaining sts unworked"),
            Act::Picot { n } => {
                let spelled = format!("ch {n}, {} in {} ch from hook", t.stem(Stem::SlipStitch), ordinal(*n));
                let named = self.specials.iter().any(|s| s.names.iter().any(|n| n == "picot"));
                if named || *n == 3 {
                    vec!["picot".into(), format!("{n}-ch picot"), spelled]
                } else {
                    vec![format!("{n}-ch picot"), spelled]
                }
            }
            Act::Join { to, with } => {
                let with = t.form(*with);
                let to = self.joined_to(*to);
                to.into_iter().map(|to| format!("join with {with} {to}")).collect()
            }
            Act::DoNotJoin => one("do not join"),
            Act::Ending => one("ending with"),
            Act::Turn => one("turn"),
            Act::DoNotTurn => one("do not turn"),
            Act::FarSide => one("working along opposite side of foundation ch"),
            Act::LoopsOf { part, row } => loops_of(*part, *row),
            Act::OfRow { row } => vec![format!("working into row {row}"), format!("working into rnd {row}")],
            Act::Opening { row: Some(n) } => {
                vec![format!("join in first skipped st of row {n}"), format!("join in first skipped st of rnd {n}")]
            }
            Act::Opening { row: None } => one("join in first skipped st"),
            Act::RowEnds => one("working in ends of rows"),
            Act::Attach { yarn, at } => self.attach(yarn.as_deref(), at.as_ref()),
            Act::NewEdge => one("along the edge of the piece"),
            Act::With { yarn } => named(yarn).map(|y| format!("with {y}")).to_vec(),
            Act::Change { yarn } => {
                let [plain, long] = named(yarn);
                vec![
                    format!("changing to {plain} in last st"),
                    format!("changing to {long} in last st"),
                    format!("changing to {plain}"),
                    format!("changing to {long}"),
                ]
            }
            Act::FastenOff { yarn: Some(yarn) } => named(yarn).map(|y| format!("fasten off {y}")).to_vec(),
            Act::FastenOff { yarn: None } => one("fasten off"),
            Act::Counts { stem, space, counts } => one(&match (stem, space, counts) {
                (_, _, false) => "(does not count as a st)".to_owned(),
                (Some(stem), 0, true) => format!("(counts as {})", t.stem(*stem)),
                (Some(stem), n, true) => format!("(counts as {}, ch {n})", t.stem(*stem)),
                (None, _, true) => "(counts as a st)".to_owned(),
            }),
            Act::Shape { by: 0, more, .. } => {
                one(&format!("cont to {} as established", if *more { "inc" } else { "dec" }))
            }
            Act::Shape { by, more, .. } => {
                let what = if *more { "inc" } else { "dec" };
                vec![format!("{what} {by} sts evenly spaced"), format!("{what} {by} evenly")]
            }
            Act::Filet { n: 0, filled } => one(if *filled { "block across" } else { "mesh across" }),
            Act::Filet { n, filled } => one(&format!("{n} {}", if *filled { "blocks" } else { "mesh" })),
            Act::Even { until: Some(n) } => one(&format!("work even until {n} rows")),
            Act::Even { until: None } => one("work even"),
            Act::AsRow { rows } => self.as_row(rows),
            Act::Instead { of, put } => {
                let bare = |act: &Act| match act {
                    Act::Work { each: 0, form, .. } => t.form(*form),
                    Act::Work { each, form, .. } => format!("{each} {}", t.form(*form)),
                    Act::Chain { n } => format!("ch {n}"),
                    _ => String::new(),
                };
                one(&format!("replacing {} with {}", bare(&of.act), bare(&put.act)))
            }
            Act::AsPart { part, .. } => one(&format!("as {part}")),
            Act::OnPart { noun, which: WhichPart::Numbered(n) } => one(&format!("working on {noun} {n}")),
            Act::OnPart { noun, which: WhichPart::Other } => one(&format!("working on other {noun}")),
            Act::Pattern { rows } => self
                .as_row(rows)
                .into_iter()
                .filter_map(|again| Some(format!("{} form the pattern", again.strip_prefix("rep ")?)))
                .collect(),
            Act::RowsUntil { rows, until, .. } => {
                let again = match rows.as_slice() {
                    [] => vec!["work even in pat".to_owned()],
                    rows => self.as_row(rows),
                };
                again.into_iter().map(|again| format!("{again} {}", until)).collect()
            }
        }
    }

    fn work(&mut self, each: u32, form: StitchForm, at: &Target) -> Vec<String> {
        let mut names = self.own_names(form);
        names.push(self.tongue.form(form));
        let count =
            if each > 1 || self.varied && matches!(at, Target::Ring) { format!("{each} ") } else { String::new() };
        let mut found = Vec::new();
        for name in names {
            if form.places() > 1 && matches!(at, Target::Next { n: 1, class: Class::Any | Class::Stitch }) && each == 1
            {
                found.push(name.clone());
                found.push(format!("{name} over next {} sts", form.places()));
            }
            let places = self.target(at, each, false);
            for place in &places {
                let post = form.extra.post.map(|_| match place.strip_prefix("in ") {
                    Some(rest) => format!("around {rest}"),
                    None => place.clone(),
                });
                let place = post.as_ref().unwrap_or(place);
                match (loop_words(form.extra.part), place.strip_prefix("in ")) {
                    (Some(part), Some(rest)) => {
                        let short = if form.extra.part == LoopPart::Back { "BLO" } else { "FLO" };
                        found.push(format!("{count}{name} in {part} of {rest}"));
                        if form.extra.part != LoopPart::Third {
                            found.push(format!("{count}{name} {short} in {rest}"));
                            found.push(format!("{short} {count}{name} in {rest}"));
                        }
                    }
                    (Some(part), None) => found.push(format!("{count}{name} in {part} {place}")),
                    (None, _) => found.push(format!("{count}{name} {place}")),
                }
                if form.places() > 1
                    && let Some(rest) = place.strip_prefix("in ")
                {
                    found.push(format!("{count}{name} over {rest}"));
                }
            }
        }
        if each > 1 && matches!(at, Target::Next { n: 1, class: Class::Any }) {
            found.insert(0, format!("{}{} in next st", count, self.tongue.form(form)));
        }
        found
    }

    /// Names the pattern itself gives a stitch of this make, the shorter ones first.
    fn own_names(&self, form: StitchForm) -> Vec<String> {
        if form.legs < 2 {
            return Vec::new();
        }
        let same = self.read_in_uk() == self.tongue.is_uk();
        let own = self.specials.iter().filter(|s| s.form == Some(form) && (same || !s.span.is_empty()));
        let mut names: Vec<String> = own.flat_map(|s| s.names.iter()).map(|n| self.in_tongue(n)).collect();
        names.sort_by_key(String::len);
        names
    }

    fn group(&mut self, steps: &[Step], at: &Target, name: Option<&str>) -> Vec<String> {
        let places = self.target(at, 2, false);
        let inner = self.in_one_place(steps);
        let mut found = Vec::new();
        // a name of the house is read in the terms of the text: in others it would be another stitch
        let of_house = |name: &&str| {
            let named = |s: &Special| s.names.iter().any(|n| n == name);
            self.read_in_uk() != self.tongue.is_uk() && self.specials.iter().any(|s| s.span.is_empty() && named(s))
        };
        if let Some(name) = name.filter(|n| !of_house(n)) {
            let name = self.in_tongue(name);
            found.extend(places.iter().map(|p| format!("{name} {p}")));
            found.push(name);
        }
        found.extend(places.iter().map(|p| format!("({inner}) {p}")));
        found
    }

    /// "2 dc, ch 2, 2 dc": what goes into one place, its places left unsaid.
    fn in_one_place(&mut self, steps: &[Step]) -> String {
        let mut found: Vec<String> = Vec::new();
        for step in steps {
            let words = match &step.act {
                Act::Work { each, form, at: Target::Next { n, class: Class::Any | Class::Stitch } }
                    if form.places() == 1 && form.extra.post.is_none() =>
                {
                    let names = self.own_names(*form);
                    let name = names.into_iter().next().unwrap_or_else(|| self.tongue.form(*form));
                    let part = match form.extra.part {
                        LoopPart::Both => "",
                        LoopPart::Front => " FLO",
                        _ => " BLO",
                    };
                    match each * n {
                        1 if !self.lists.iter().any(|l| step.span.holds(*l)) => format!("{name}{part}"),
                        n => format!("{n} {name}{part}"),
                    }
                }
                Act::Repeat { steps, times: Times::InAll(n), stop: None } => {
                    format!("[{}] {}", self.in_one_place(steps), self.how_often(*n))
                }
                Act::Group { name: Some(name), .. } => self.in_tongue(name),
                Act::Counts { .. } => {
                    let words = self.wordings(&step.act).into_iter().next().unwrap_or_default();
                    if let Some(last) = found.last_mut() {
                        *last = format!("{last} {words}");
                        continue;
                    }
                    words
                }
                _ => joined(&self.step(step, 1)),
            };
            found.push(words);
        }
        found.join(", ")
    }

    fn attach(&mut self, yarn: Option<&str>, at: Option<&Target>) -> Vec<String> {
        let names = yarn.map_or_else(|| vec!["yarn".to_owned()], |y| named(y).to_vec());
        let slip = self.tongue.stem(Stem::SlipStitch);
        let mut places = at.map(|at| self.target(at, 1, false));
        if let (Some(places), Some(Target::Next { n: 1, class }), true) = (&mut places, at, self.anywhere) {
            places.insert(0, format!("in any {}", self.class(class, 1)));
        }
        let mut found = Vec::new();
        for yarn in names {
            for place in places.iter().flatten() {
                found.push(format!("join {yarn} with {slip} {place}"));
                found.push(format!("join {yarn} {place}"));
                found.extend(place.strip_prefix("in ").map(|rest| format!("join {yarn} to {rest}")));
            }
            if places.is_none() {
                found.push(format!("join {yarn}"));
            }
        }
        found
    }

    fn as_row(&self, rows: &[u32]) -> Vec<String> {
        again(if self.round { "rnd" } else { "row" }, rows)
    }
}

/// Wordings of rows worked again, the one that is written first where it reads back.
pub(super) fn again(word: &str, rows: &[u32]) -> Vec<String> {
    let back = |n: u32| u32::MAX - n;
    if rows.iter().any(|n| (AS_NAMED..=AS_EVEN).contains(n)) {
        // said in the row's own words
        return Vec::new();
    }
    if let Some((run, times)) = over_and_over(rows) {
        let often = if times == 2 { "twice".to_owned() } else { format!("{times} times") };
        let one = again(word, run).into_iter().map(|words| format!("{words} {often}"));
        return one.chain([format!("rep {word}s {}", listed(rows))]).collect();
    }
    match rows {
        [one] if back(*one) < 1000 => vec![format!("rep last {word}")],
        [first, ..] if back(*first) < 1000 => vec![format!("rep last {} {word}s", rows.len())],
        [one] => vec![format!("rep {word} {one}"), format!("as {word} {one}")],
        [first, .., last] if rows.len() > 2 && rows.windows(2).all(|w| w[1] == w[0] + 1) => {
            vec![format!("rep {word}s {first}-{last}"), format!("rep {word}s {}", listed(rows))]
        }
        many => vec![format!("rep {word}s {}", listed(many))],
    }
}

/// Rows worked again several times over, "2, 3, 2 and 3": those of one time, and how often.
pub(super) fn over_and_over(rows: &[u32]) -> Option<(&[u32], usize)> {
    let told = rows.first().is_some_and(|&n| u32::MAX - n >= 1000);
    let run = (2..=rows.len() / 2)
        .find(|&k| rows.len().is_multiple_of(k) && rows.chunks_exact(k).all(|run| run == &rows[..k]));
    run.filter(|_| told).map(|k| (&rows[..k], rows.len() / k))
}

/// "2, 3 and 5".
pub(super) fn listed(numbers: &[u32]) -> String {
    in_words(&numbers.iter().map(u32::to_string).collect::<Vec<_>>())
}

fn in_words(words: &[String]) -> String {
    match words.split_last() {
        None => String::new(),
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
    }
}

/// Yarns by their letters that these steps fasten off one after another.
fn ends_of_yarns(steps: &[Step]) -> Vec<String> {
    let yarn = |s: &Step| match &s.act {
        Act::FastenOff { yarn: Some(yarn) } if yarn.len() < 3 => Some(yarn.clone()),
        _ => None,
    };
    steps.iter().map_while(yarn).collect()
}

/// A yarn by its name alone, and with the word behind it that colours need where nothing lists them.
fn named(yarn: &str) -> [String; 2] {
    let long = if yarn.chars().all(|c| c.is_ascii_digit()) { format!("yarn {yarn}") } else { format!("{yarn} yarn") };
    [yarn.to_owned(), long]
}

fn loops_of(part: Option<LoopPart>, row: Option<u32>) -> Vec<String> {
    let loops = match part {
        Some(LoopPart::Front) => "front loops",
        Some(LoopPart::Back) => "back loops",
        _ => "unused loops",
    };
    let unused = match part {
        Some(LoopPart::Front) => "unused front loops",
        Some(LoopPart::Back) => "unused back loops",
        _ => "unused loops",
    };
    let of = |what: &str| match row {
        Some(n) => vec![format!("working in {what} of row {n}"), format!("working in {what} of rnd {n}")],
        None => vec![format!("working in {what}")],
    };
    of(unused).into_iter().chain(of(loops)).collect()
}

/// True where a repeat within these steps would be written with stars of its own.
fn holds_star(steps: &[Step]) -> bool {
    steps.iter().any(|s| match &s.act {
        Act::Repeat { steps, times, stop } => stop.is_some() || matches!(times, Times::Doubt(_)) || holds_star(steps),
        _ => false,
    })
}
