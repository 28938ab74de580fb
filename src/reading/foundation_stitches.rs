//! Foundation stitches, each made with a chain of its own below it: "Fsc 72", "36 foundation hdc".

use super::cursor::Cursor;
use super::lex::{Kind, Token};
use super::phrase::{RowReader, Run};
use crate::craft::{Stem, StitchForm};
use crate::instructions::{Act, Class, Step, Target};

/// Short names, in US terms. Source: Craft Yarn Council master list of abbreviations.
const SHORT: &[(&str, &str)] = &[("fsc", "sc"), ("fhdc", "hdc"), ("fdc", "dc"), ("ftr", "tr"), ("fhtr", "htr")];

/// True where a line begins with so many foundation stitches.
pub(super) fn begins(toks: &[Token], house: &super::cursor::House) -> bool {
    read(&mut Cursor::new(toks, house)).is_some()
}

/// The stem and how many.
fn read(c: &mut Cursor<'_>) -> Option<(Stem, u32)> {
    let start = c.at;
    let _ = c.eat_any(&["work", "make"]);
    let before = c.number();
    let stem = stem(c);
    let n = before.or_else(|| c.number());
    match (stem, n) {
        (Some(stem), Some(n)) if n > 0 => Some((stem, n)),
        _ => {
            c.at = start;
            None
        }
    }
}

fn stem(c: &mut Cursor<'_>) -> Option<Stem> {
    if let Some((_, bare)) = c.word(0).and_then(|w| SHORT.iter().find(|(short, _)| *short == w)) {
        c.at += 1;
        let name = super::words::STITCHES.iter().find(|name| name.words == [*bare])?;
        return name.stem(c.house.terms).filter(|stem| *stem != Stem::SlipStitch);
    }
    (c.eat("foundation") && c.kind(0) != Some(&Kind::Colon)).then(|| c.stem()).flatten()
}

impl RowReader<'_> {
    /// "Fsc 72": so many chains, and a stitch in each of them.
    pub(super) fn foundation_stitches(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if !run.steps.is_empty() || self.depth > 0 {
            return false;
        }
        let Some((stem, n)) = read(&mut self.c) else { return false };
        let span = self.c.since(start);
        let form = StitchForm::plain(stem);
        let first = Target::FromHook { n: 1 };
        run.steps.push(Step { act: Act::Chain { n }, span });
        run.steps.push(Step { act: Act::Work { each: 1, form, at: first }, span });
        if n > 1 {
            let rest = Target::Each { class: Class::Chain, less: 0, every: 1 };
            run.steps.push(Step { act: Act::Work { each: 1, form, at: rest }, span });
        }
        true
    }
}
