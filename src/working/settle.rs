//! What holds for the whole pattern and is seen only when it is worked: yarns named, what counts as a stitch.

use super::Tally;
use super::bench::Bench;
use crate::fabric::{Fabric, Role};
use crate::instructions::{Act, CountOf, Pattern};
use crate::source::{Code, Problem};

/// Yarns named in the rows that the materials do not list.
pub(super) fn known_yarns(pattern: &Pattern, bench: &mut Bench) {
    if pattern.yarns.is_empty() {
        return;
    }
    let mut said: Vec<String> = Vec::new();
    for part in &pattern.parts {
        for step in part.rows.iter().flat_map(|r| &r.steps) {
            let yarn = match &step.act {
                Act::With { yarn } | Act::Change { yarn } => yarn,
                Act::Attach { yarn: Some(yarn), .. } | Act::FastenOff { yarn: Some(yarn) } => yarn,
                _ => continue,
            };
            if !pattern.yarns.iter().any(|y| y.letter == *yarn || y.colour.eq_ignore_ascii_case(yarn))
                && !said.contains(yarn)
            {
                said.push(yarn.clone());
                let listed: Vec<&str> = pattern.yarns.iter().map(|y| y.letter.as_str()).collect();
                let message = format!("yarn {yarn} is not among the yarns listed: {}", listed.join(", "));
                bench.problems.push(Problem::new(Code::NoSuchYarn, step.span, message));
            }
        }
    }
}

/// Slip stitches and chains count where the pattern says so, or where every count stated needs it.
pub(super) fn settle_conventions(pattern: &Pattern, tallies: &mut [Tally], fabric: &mut Fabric) -> (bool, bool) {
    let said = |words: &[&str]| {
        pattern.notes.iter().any(|n| {
            let text = n.text.to_lowercase();
            words.iter().any(|w| text.contains(w)) && text.contains("count") && !text.contains("not count")
        })
    };
    let slips_said = said(&["slip stitches", "sl sts", "slip sts"]);
    let agrees = |slips: bool, chains: bool| {
        let (mut needed, mut off, mut gained, mut lost) = (false, 0usize, 0usize, 0usize);
        for t in tallies.iter().filter(|t| t.read && !t.uncertain) {
            for s in t.stated.iter().filter(|s| s.of == CountOf::Sts) {
                let extra = usize::from(slips) * t.slip_stitches + usize::from(chains) * t.chain_stitches;
                needed |= extra > 0;
                let (plain, counted) = (t.made == s.count as usize, t.made + extra == s.count as usize);
                off += usize::from(!counted);
                gained += usize::from(counted && !plain);
                lost += usize::from(plain && !counted);
            }
        }
        // one row that is off besides does not undo what the others say
        needed && (off == 0 || gained >= CLEAR_GAIN && lost == 0 && off < gained)
    };
    let (slips, chains) = if agrees(false, false) {
        (slips_said, false)
    } else {
        [(true, false), (false, true), (true, true)]
            .into_iter()
            .find(|&(s, c)| agrees(s, c))
            .unwrap_or((slips_said, false))
    };
    for stitch in &mut fabric.stitches {
        let counted = match stitch.role {
            Role::Base | Role::Branch => slips && stitch.is_slip_stitch(),
            Role::Space => chains && stitch.is_chain(),
            _ => false,
        };
        stitch.counts |= counted;
    }
    count_what_counts(tallies, (slips, chains));
    (slips, chains)
}

/// Rows that only agree where chains or slip stitches count, before a row that agrees in no case is held for a fault
/// of its own. With fewer, two slips of the same size would pass for a habit of the pattern.
const CLEAR_GAIN: usize = 3;

/// Rows looked back over for that; it is asked before every row.
const MOST_BACK: usize = 400;

/// True where the rows so far only agree if chains count as stitches.
pub(super) fn chains_so_far(tallies: &[Tally]) -> bool {
    let mut gained = 0usize;
    for t in tallies.iter().rev().take(MOST_BACK).filter(|t| t.read && !t.uncertain && t.chain_stitches > 0) {
        for s in t.stated.iter().filter(|s| s.of == CountOf::Sts) {
            if t.made == s.count as usize {
                return false;
            }
            gained += usize::from(t.made + t.chain_stitches == s.count as usize);
        }
    }
    gained >= CLEAR_GAIN
}

/// Adds slip stitches and chains to the counts of rows, where they count.
pub(super) fn count_what_counts(tallies: &mut [Tally], (slips, chains): (bool, bool)) {
    for tally in tallies {
        tally.chains_count = false;
        if slips && tally.slip_stitches > 0 {
            tally.made += tally.slip_stitches;
            *tally.kinds.entry("sl st".into()).or_default() += tally.slip_stitches;
        }
        if chains && tally.chain_stitches > 0 {
            tally.made += tally.chain_stitches;
            *tally.kinds.entry("ch".into()).or_default() += tally.chain_stitches;
        }
    }
}

/// The yarn a pattern begins with.
pub(super) fn first_yarn(pattern: &Pattern) -> String {
    pattern.yarns.first().map_or_else(|| "A".into(), |y| y.letter.clone())
}
