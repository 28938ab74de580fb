//! "Beg shell" where only the shell is defined: the chain that opens the round stands for its first stitch.

use super::definition::unplaced;
use super::phrase::{RowReader, Run};
use super::stitch::Named;
use crate::craft::{StitchForm, turning_chains};
use crate::instructions::{Act, Step, Target};
use crate::source::{Code, Problem, Severity, Span};

impl RowReader<'_> {
    /// "Beg shell in same sp": a defined stitch that begins a round.
    pub(super) fn beginning_of_known(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(&["work", "make"]);
        let _ = self.c.eat_any(&["a", "an", "one"]);
        let led = self.c.eat_any(&["beg", "beginning", "starting"]);
        let name = self.c.at;
        let known = if led { self.c.stitch() } else { None };
        let Some(Named::Special(k)) = known else {
            self.c.at = start;
            return false;
        };
        let said = self.c.since(name);
        let place = self.c.place();
        let span = self.c.since(start);
        let special = &self.c.house.specials[k];
        let made = match special.form {
            Some(form) => chain_and_legs(form, span),
            None => chain_and_rest(&unplaced(&special.steps), span),
        };
        let Some((chains, steps)) = made else {
            self.c.at = start;
            return false;
        };
        let shape = self.text[said.start..said.end].to_lowercase();
        let message = format!("nothing says how \"beg {shape}\" is made; taken as ch {chains} and the rest of one");
        let hint = "say under \"Special stitches\" how it is made";
        self.problems
            .push(Problem::new(Code::UndefinedStitch, span, message).with_severity(Severity::Note).with_hint(hint));
        let name = special.names.first().map(|name| format!("beg {name}"));
        let at = place.map_or(Target::Same, |w| w.target);
        run.steps.push(Step { act: Act::Group { steps, at, name }, span });
        true
    }
}

/// The chain in the place of a group's first stitch, and the stitches behind it.
fn chain_and_rest(steps: &[Step], span: Span) -> Option<(u8, Vec<Step>)> {
    let (first, rest) = steps.split_first()?;
    let Act::Work { each, form, at } = &first.act else { return None };
    let n = turning_chains(form.stem);
    if n < 2 || form.legs > 1 {
        return None;
    }
    let mut made = vec![
        Step { act: Act::Chain { n: u32::from(n) }, span },
        Step { act: Act::Counts { stem: Some(form.stem), space: 0, counts: true }, span },
    ];
    // "3 dc" in a bracket without a place of its own are so many in turn
    match at {
        Target::Next { n: n @ 2.., class } if *each == 1 => {
            let at = Target::Next { n: n - 1, class: class.clone() };
            made.push(Step { act: Act::Work { each: 1, form: *form, at }, span });
        }
        _ if *each > 1 => made.push(Step { act: Act::Work { each: each - 1, form: *form, at: at.clone() }, span }),
        _ => {}
    }
    made.extend(rest.iter().cloned());
    Some((n, made))
}

/// The chain in the place of a cluster's first leg.
fn chain_and_legs(form: StitchForm, span: Span) -> Option<(u8, Vec<Step>)> {
    let n = turning_chains(form.stem);
    if form.legs < 2 || !form.one_place || n < 2 {
        return None;
    }
    let legs = StitchForm { legs: form.legs - 1, ..form };
    Some((
        n,
        vec![
            Step { act: Act::Chain { n: u32::from(n) }, span },
            Step { act: Act::Counts { stem: None, space: 0, counts: false }, span },
            Step { act: Act::Work { each: 1, form: legs, at: Target::Same }, span },
        ],
    ))
}
