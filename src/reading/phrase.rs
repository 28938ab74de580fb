//! The phrases of a row, one after another: the steps.

use super::cursor::Cursor;
use super::definition::{unplaced, with_name};
use super::lex::{Kind, Token};
use super::loose_groups;
use super::over::counts_and_target;
use super::place::Where;
use super::stitch::Named;
use super::words;
use crate::craft::{LoopPart, Stem, StitchForm};
use crate::instructions::{Act, Class, JoinTo, Special, Stated, Step, Target, Times};
use crate::source::{Problem, Span};

/// Reads the work of one row.
pub(super) struct RowReader<'a> {
    pub c: Cursor<'a>,
    pub text: &'a str,
    pub problems: Vec<Problem>,
    pub notes: Vec<Span>,
    pub stated: Vec<Stated>,
    pub stated_each: bool,
    pub stated_in_turn: bool,
    /// Brackets open around the cursor; bounded so that no text can exhaust the stack.
    pub depth: usize,
    /// For each opening bracket the index of its closing one.
    pub partners: Vec<Option<usize>>,
    /// The loop that "working in back loops only" asks of the stitches that follow.
    pub row_loop: Option<LoopPart>,
    /// A name found at the end of a bracket, for what stands in it or before it.
    pub pending_name: Option<String>,
    /// Special stitches the row itself names.
    pub coined: Vec<Special>,
    /// True once a word was not understood.
    pub unread: bool,
    /// True where the row closes a group by "all in" somewhere.
    pub closes_all_in: bool,
    /// Chains of a picot, where the row of an old book tells them.
    pub picot_told: Option<u32>,
}

/// Deepest nesting read. A published row nests three deep; the limit only keeps the stack safe.
pub(super) const DEEPEST: usize = 24;

impl<'a> RowReader<'a> {
    pub fn new(c: Cursor<'a>, text: &'a str) -> Self {
        let partners = super::marks::partners(c.tokens);
        let word = |t: &Token, w: &str| matches!(&t.kind, Kind::Word(have) if have == w);
        let closes_all_in =
            c.tokens.windows(2).any(|w| word(&w[0], "all") && (word(&w[1], "in") || word(&w[1], "into")));
        Self {
            c,
            text,
            problems: Vec::new(),
            notes: Vec::new(),
            stated: Vec::new(),
            stated_each: false,
            stated_in_turn: false,
            depth: 0,
            partners,
            row_loop: None,
            pending_name: None,
            coined: Vec::new(),
            unread: false,
            closes_all_in,
            picot_told: None,
        }
    }

    /// All steps up to the closing bracket or the end.
    pub fn steps(&mut self) -> Vec<Step> {
        let mut run = Run::default();
        while !self.c.done() && !matches!(self.c.kind(0), Some(Kind::Close(_))) {
            let before = self.c.at;
            self.step(&mut run);
            if self.c.at == before {
                self.c.at += 1; // OK: every rule eats or leaves; this keeps a faulty one from looping
            }
        }
        self.close_stars(&mut run);
        self.settle_row(&mut run);
        run.steps
    }

    /// One phrase; a row further down that its place is of comes before what it works or skips there.
    fn step(&mut self, run: &mut Run) {
        let (before, start) = (run.steps.len(), self.c.at);
        self.c.of_row = None;
        self.c.nth = None;
        self.phrase(run);
        self.look_back(run, before, start);
        if let Some(nth) = self.c.nth.take() {
            super::ordinals::pass_to(nth, run, before, self.depth == 0 && run.stars.is_empty());
        }
        let Some(row) = self.c.of_row.take() else { return };
        if let Some(Act::Work { .. } | Act::Group { .. } | Act::Skip { .. } | Act::Attach { .. }) =
            run.steps.get(before).map(|s| &s.act)
        {
            let span = run.steps[before].span;
            run.steps.insert(before, Step { act: Act::OfRow { row }, span });
        }
    }

    fn phrase(&mut self, run: &mut Run) {
        let old = self.c.house.terms.is_old();
        if self.house_remark() || !old && self.stated_here(&run.steps) || self.separator() {
            return;
        }
        // the star of "*yo, draw up a loop …, rep from * once more, yo and draw through all loops" is the stitch's own
        if self.c.kind(0) == Some(&Kind::Star(1)) && self.spelled(run) || self.star(run) {
            return;
        }
        if old && self.old_step(run) {
            return;
        }
        let start = self.c.at;
        // most phrases begin with a stitch's name, and no other rule does
        if self.c.names_a_stem() {
            let rules: [fn(&mut Self, &mut Run) -> bool; 5] =
                [Self::seam, Self::along_far_side, Self::in_unused_loops, Self::in_several, Self::work];
            for rule in rules {
                if rule(self, run) {
                    return;
                }
                self.c.at = start;
                (self.c.of_row, self.c.nth) = (None, None);
            }
        }
        let rules: &[fn(&mut Self, &mut Run) -> bool] = &[
            Self::leads_on,
            Self::starts_at_hook,
            Self::held_bottom_up,
            Self::far_side_in_brackets,
            Self::hook_told,
            Self::begins_at,
            Self::foundation_stitches,
            Self::loop_pulled_up,
            Self::spelled,
            Self::closes_popcorn,
            Self::held_loops,
            Self::sides_and_corners,
            Self::along_clause,
            Self::corners_of_edging,
            Self::rows_of_stitch,
            Self::unused_loops,
            Self::along_far_side,
            Self::in_unused_loops,
            Self::in_several,
            Self::as_part,
            Self::change_told,
            Self::ends_shaped,
            Self::shaping,
            Self::instead,
            Self::instead_of_last,
            Self::colour_plan,
            Self::work_even,
            Self::shaped_remark,
            Self::pat_across,
            Self::inc_cut_short,
            Self::beg_stitch,
            Self::so_far,
            Self::name_in_brackets,
            Self::comes_to,
            Self::own_until,
            Self::mark_made,
            Self::seam,
            Self::next_through_layers,
            Self::aside,
            Self::marked_part,
            Self::working_last,
            Self::facing,
            Self::loop_of_bracket,
            Self::ending,
            Self::except_in_last,
            Self::drawn_slip,
            Self::starred_rows,
            Self::repeat,
            Self::bracket,
            Self::goes_to_part,
            Self::joins_part,
            Self::turn_or_join,
            Self::yarn_step,
            Self::last_loop_in,
            Self::through_layers,
            Self::legs_placed,
            Self::side_step,
            Self::skip,
            Self::counts,
            Self::ring,
            Self::chain,
            Self::any_chain,
            Self::having,
            Self::row_again,
            Self::again_in,
            Self::shape_of,
            Self::filet,
            Self::work,
            Self::make_clause,
            Self::place_leads_group,
            Self::placed_first,
            Self::row_of_sts,
            Self::rounds_told,
            Self::multiple,
            Self::label,
            Self::plain_by_number,
            Self::telling,
            Self::undefined,
        ];
        for rule in rules {
            if rule(self, run) {
                return;
            }
            self.c.at = start;
            (self.c.of_row, self.c.nth) = (None, None);
        }
        self.unread_phrase();
    }

    /// Marks and words between phrases.
    fn separator(&mut self) -> bool {
        let eaten = match self.c.kind(0) {
            Some(Kind::Comma | Kind::Stop | Kind::Semicolon | Kind::Colon) => true,
            Some(Kind::Word(w)) => {
                let opens = matches!(self.c.kind(1), Some(Kind::Open(_) | Kind::Star(_)));
                matches!(w.as_str(), "and" | "then" | "also" | "but") || opens && w == "work"
            }
            _ => false,
        };
        self.c.at += usize::from(eaten);
        eaten
    }

    /// A stitch with its count and place; "3 times" behind it repeats it.
    pub(super) fn work(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let working = self.c.eat_any(&["work", "make", "working", "do"]);
        // "start 6 sc in magic ring", "begin with 6 sc in ring"
        let _ = working
            || self.c.eat_all(&["begin", "with"])
            || self.c.eat_all(&["beg", "with"])
            || self.c.eat_all(&["start", "with"])
            || self.c.eat("start");
        if working && self.c.word(0) == Some("in") {
            // "work in reverse sc to end of rnd"
            let mut c = self.c.clone();
            c.at += 1;
            let ends =
                c.stitch().is_some() && (c.to_end_ahead() || c.word(0).is_some_and(|w| words::TO_END.contains(&w)));
            self.c.at += usize::from(ends);
        }
        // a stitch begun without a chain, where the yarn is joined
        let _ = self.c.eat("standing");
        let before = self.leading_count();
        let Some(mut named) = self.c.stitch() else { return false };
        self.short_name(&named);
        self.other_dialect();
        let after = if before.is_none() { self.trailing_count() } else { None };
        let over = self.over_next(&named);
        let over_last = over.filter(|(_, last)| *last).map(|(n, _)| Target::Last { n, class: Class::Any });
        let over = over.map(|(n, _)| n);
        let plain = before.is_none() && after.is_none() && over.is_none();
        let slips = matches!(&named, Named::Form(f) if f.stem == Stem::SlipStitch);
        let up_to = if plain && !slips { self.as_far_as_stitch() } else { None };
        let to_last = self.c.sees(&["to", "last"])
            || self.c.word(0).is_some_and(|w| words::TO_END.contains(&w))
                && self.c.word(1) == Some("to")
                && self.c.word(2) == Some("last");
        // "sc until 2 sts remain"; "sc2tog until 6 sts remain" goes on over them all
        let until = plain && !slips && matches!(self.c.word(0), Some("until" | "till" | "til"));
        let until = until && self.c.clone().until_sts();
        let single = matches!(&named, Named::Form(form) if form.places() == 1);
        let to_last = to_last || until && single;
        let around = if slips { None } else { self.c.round_hoop() };
        let around = around.or_else(|| if before.is_some() && !slips { self.c.around_chain() } else { None });
        if slips && plain && self.ties_to_part() {
            let span = self.c.since(start);
            self.notes.push(span);
            return true;
        }
        let part = self.part_told(run);
        let loops = self.c.around_in_loops();
        let mut place = match plain && !slips && to_last {
            // "sc around in back loops"; "12 sc around in back loops" is so many
            _ if let Some(loops) = loops => {
                let each = Target::Each { class: Class::Stitch, less: 0, every: 1 };
                apply_loop(&mut named, Some(loops), None);
                before.or(after).is_none_or(|n| n == 1).then_some(each).map(Where::from)
            }
            _ if until && !single => Some(Target::Each { class: Class::Stitch, less: 0, every: 1 }.into()),
            _ if part.is_some() => part.as_ref().and_then(|p| p.place(before.or(after))).map(Where::from),
            _ if around.is_some() => around.map(Where::from),
            _ if up_to.is_some() => up_to.map(Where::from),
            // "sc to last 2 sts": in each, but for the last
            true => self.c.read_to_last().map(|(less, class)| {
                let class = if class == Class::Any { Class::Stitch } else { class };
                Target::Each { class, less, every: 1 }.into()
            }),
            false if over_last.is_some() => over_last.map(Where::from),
            false if over.is_some() => None,
            false if self.along_edge(before.or(after).is_some()) => Some(Target::Evenly { n: None }.into()),
            false if self.c.to_end_ahead() => None,
            false => self.c.place(),
        };
        if place.is_none() && before.or(after).is_some() && self.c.word(0).is_some_and(|w| words::TO_END.contains(&w)) {
            // "12 sc around": as many as there are
            let here = self.c.at;
            self.c.end_words();
            let through = matches!(self.c.word(0), Some("through" | "thru"));
            if !self.c.at_break() && !through && !matches!(self.c.kind(0), Some(Kind::Open(_) | Kind::Dash)) {
                self.c.at = here;
            }
        }
        let several = !slips && before.or(after).is_some_and(|n| n > 1);
        if place.is_some() && !self.on_piece_in_hand(several) && self.ties_to_other_piece(start) {
            return true;
        }
        if slips && plain && place.is_none() && self.slips_to_piece() {
            let span = self.c.since(start);
            self.notes.push(span);
            return true;
        }
        if place.is_none() && self.c.word(0) == Some("all") && matches!(self.c.word(1), Some("around" | "across")) {
            self.c.at += 1;
        }
        let to_end = place.is_none() && before.is_none() && after.is_none() && over.is_none();
        if to_end && (self.c.word(0).is_some_and(|w| words::TO_END.contains(&w)) || self.c.to_end_ahead()) {
            // "sc2tog around": in each
            self.c.end_words();
            place = Some(Target::Each { class: Class::Stitch, less: 0, every: 1 }.into());
        }
        if let (Some(Target::Next { n, .. }), Named::Form(form)) = (place.as_ref().map(|p| &p.target), &mut named)
            && form.one_place
            && self.c.eat_any(&["together", "tog"])
        {
            // "sc next 2 sts together"
            *form = StitchForm { legs: u8::try_from(*n).unwrap_or(u8::MAX).max(1), one_place: false, ..*form };
            place = Some(Target::NEXT.into());
        }
        self.spread_over(start, &mut named, &mut place);
        if let (Some(n), Some(place)) = (after, place.as_mut())
            && place.part.is_some()
            && place.target == Target::NEXT
        {
            // "sc 18 in back loops": so many places, and how they are worked into
            place.target = Target::Next { n, class: Class::Any };
        }
        let after = after.filter(|&n| {
            !place.as_ref().is_some_and(|p| p.part.is_some() && p.target == Target::Next { n, class: Class::Any })
        });
        let part = part.or_else(|| self.part_told(run));
        self.on_part(run, part, start);
        let told = place.is_some();
        let (each, target) = counts_and_target(
            before,
            after.or(if place.is_some() { None } else { over }),
            place.as_ref().map(|w| w.target.clone()),
        );
        apply_loop(&mut named, self.row_loop, None);
        if let Some(place) = &place {
            apply_loop(&mut named, place.part, place.post);
        }
        let target = self.more_in_last(run, start, target);
        let span = self.c.since(start);
        self.push_named(run, named.clone(), each, target, told, span);
        self.read_to_join(run);
        loose_groups::gather_all(run, self.text);
        self.more_targets(run, &named, each);
        self.times_behind(run, start);
        true
    }

    /// "sc in each ch across, sc 3 more times in last ch": there is one in it already.
    fn more_in_last(&self, run: &Run, start: usize, target: Target) -> Target {
        let all = |s: &Step| matches!(&s.act, Act::Work { at: Target::Each { less: 0, every: 1, .. }, .. });
        let more = |t: &super::lex::Token| matches!(&t.kind, Kind::Word(w) if w == "more");
        match target {
            Target::Last { n: 1, class: Class::Chain | Class::Stitch | Class::Kind(_) }
                if run.steps.last().is_some_and(all) && self.c.tokens[start..self.c.at].iter().any(more) =>
            {
                Target::Same
            }
            target => target,
        }
    }

    /// "2 dc": the count before a stitch, not the "2" of "2 times".
    pub(super) fn leading_count(&mut self) -> Option<u32> {
        let start = self.c.at;
        let n = self.c.number().or_else(|| self.c.eat_any(&["a", "an"]).then_some(1))?;
        let _ = self.c.eat("more");
        let here = self.c.at;
        if self.c.stitch().is_some() {
            self.c.at = here;
            return Some(n);
        }
        self.c.at = start;
        None
    }

    /// "sc 5": the count behind a stitch.
    pub(super) fn trailing_count(&mut self) -> Option<u32> {
        let start = self.c.at;
        if matches!(self.c.word(0), Some("twice" | "thrice")) && matches!(self.c.word(1), Some("in" | "into")) {
            // "sc twice in each st"
            return self.c.times().map(|(n, _)| n);
        }
        let n = self.c.number()?;
        let more = self.c.at;
        let _ = self.c.eat("more");
        if self.c.eat_any(&["times", "time"]) && self.c.word(0).is_some_and(|w| matches!(w, "in" | "into")) {
            // "sc 3 more times in last ch"
            return Some(n);
        }
        self.c.at = more;
        // "dec 6x", not "6 x 2"
        let times = matches!(self.c.word(0), Some("times" | "time" | "more"))
            || self.c.word(0) == Some("x") && !matches!(self.c.kind(1), Some(Kind::Number(_)));
        if times {
            self.c.at = start;
            return None;
        }
        Some(n)
    }

    /// "sc2tog over next 2 sts", "dec over next 4 sts": places told in all. Also "sc next 2 sts together".
    fn over_next(&mut self, named: &Named) -> Option<(u32, bool)> {
        let Named::Form(form) = named else { return None };
        if form.one_place {
            return None;
        }
        let start = self.c.at;
        if self.c.eat_any(&["over", "across", "in", "into"]) {
            let _ = self.c.eat("the");
            let _ = self.c.eat("each") && self.c.eat("of");
            let last = self.c.eat_any(&["last", "rem", "remaining", "final"]);
            if last || self.c.eat("next") || matches!(self.c.kind(0), Some(Kind::Number(_))) {
                let one_space = self.c.space().is_some() || self.c.clone().eat_any(words::SPACE);
                let n = self.c.number().unwrap_or(u32::from(form.legs));
                let _ = self.c.class();
                self.c.end_words();
                let legs = u32::from(form.legs);
                if n.is_multiple_of(legs) && n > 0 && !one_space {
                    return Some((n / legs, last));
                }
            }
        }
        self.c.at = start;
        None
    }

    pub(super) fn push_named(
        &mut self,
        run: &mut Run,
        named: Named,
        each: u32,
        target: Target,
        told: bool,
        span: Span,
    ) {
        let act = match named {
            Named::Form(form) => Act::Work { each, form, at: target },
            Named::Increase(form) => Act::Work { each: 2, form, at: target },
            Named::Picot(n) => Act::Picot { n: n.unwrap_or(3) },
            Named::Special(k) => {
                let special = &self.c.house.specials[k];
                let name = special.names.first().cloned();
                // what the pattern does not define has no words in it but these
                let ours: Option<Vec<Step>> =
                    special.span.is_empty().then(|| special.steps.iter().map(|s| s.clone().moved_to(span)).collect());
                let worked = ours.as_ref().unwrap_or(&special.steps);
                match special.form {
                    Some(form) => Act::Work { each, form, at: target },
                    None if worked.iter().all(|s| matches!(s.act, Act::Picot { .. })) => worked[0].act.clone(),
                    // "drop dc: dc in next st 2 rows below": the row tells only in front of what
                    None if let Some(act) = super::definition::in_row_below(worked, each, &target) => act,
                    None if special.placed && !told => {
                        let steps = with_name(worked, name.as_deref());
                        let n = match target {
                            Target::Next { n, .. } => n.max(1),
                            _ => 1,
                        };
                        match steps.as_slice() {
                            [step] if n == 1 => step.act.clone(),
                            _ => Act::Repeat { steps, times: Times::InAll(n), stop: None },
                        }
                    }
                    None => {
                        let steps = unplaced(worked);
                        // what opens a row begins where the yarn hangs
                        let opens = matches!(steps.first().map(|s| &s.act), Some(Act::Chain { .. })) && !told;
                        Act::Group { steps, at: if opens { Target::Same } else { target }, name }
                    }
                }
            }
        };
        run.steps.push(Step { act, span });
    }

    /// "sc in next st, twice", "(…) 3 times" without brackets: the step before, again.
    pub(super) fn times_behind(&mut self, run: &mut Run, start: usize) {
        self.yarn_behind(run);
        let from = self.c.at;
        let _ = self.c.eat_kind(&Kind::Comma);
        match self.c.times() {
            Some((n, false)) if n != 1 => {
                if let Some(step) = run.steps.pop() {
                    let span = self.c.since(start);
                    run.steps.push(Step {
                        act: Act::Repeat { steps: vec![step], times: Times::InAll(n), stop: None },
                        span,
                    });
                }
            }
            Some((1, false)) => {}
            _ => self.c.at = from,
        }
    }
}

/// Steps read so far on one level, with the stars that are open.
#[derive(Default)]
pub(super) struct Run {
    pub steps: Vec<Step>,
    /// Index of the step behind each open star, its span, the index a `**` stands before, and whether it is a single star.
    pub stars: Vec<(usize, Span, Option<usize>, bool)>,
    /// The steps of the last repeat closed, and the index its `**` stands before.
    pub last_repeat: Option<(Vec<Step>, Option<usize>)>,
    /// Where the star of a repeat stood that runs up to a place: a longer one may begin at the same star.
    pub inner: Option<(usize, Span)>,
    /// Index behind the last step of a stretch that a second single star closed, with nothing said behind it.
    pub closed: Option<usize>,
}

pub(super) fn apply_loop(named: &mut Named, part: Option<LoopPart>, post: Option<crate::craft::PostSide>) {
    if let Named::Form(form) | Named::Increase(form) = named {
        if let Some(part) = part {
            form.extra.part = part;
        }
        // "BPdc around next st": its name has told the side
        form.extra.post = form.extra.post.or(post);
    }
}

/// What a closing slip stitch goes into.
pub(super) fn join_target(at: &Target) -> JoinTo {
    match at {
        Target::TurningTop => JoinTo::Chain(None),
        Target::First { class: Class::Space(_) } | Target::Next { class: Class::Space(_), .. } => JoinTo::Space,
        Target::First { .. } => JoinTo::First,
        _ => JoinTo::Untold,
    }
}
