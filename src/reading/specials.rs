//! The special stitches known while a pattern is read, found by their names however many there are.

use super::lex::{Kind, Token};
use super::words;
use crate::instructions::Special;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Deref;

/// Special stitches in the order they became known, and the ways to them by name.
///
/// Reads as a list; one whose names were all taken by others stays in its place without a name.
#[derive(Clone, Debug, Default)]
pub(super) struct Specials {
    all: Vec<Special>,
    /// Who bears a name, word for word.
    by_name: BTreeMap<String, BTreeSet<usize>>,
    /// Names part by part; a dash parts as a space does.
    by_part: Branches,
}

#[derive(Clone, Debug, Default)]
struct Branches {
    next: BTreeMap<String, Branches>,
    /// Who bears the name that ends here.
    ends: BTreeSet<usize>,
}

impl Deref for Specials {
    type Target = [Special];

    fn deref(&self) -> &[Special] {
        &self.all
    }
}

impl From<Vec<Special>> for Specials {
    fn from(all: Vec<Special>) -> Self {
        let mut specials = Self::default();
        all.into_iter().for_each(|s| specials.push(s));
        specials
    }
}

impl Specials {
    /// Adds one beside the others.
    pub fn push(&mut self, special: Special) {
        let k = self.all.len();
        special.names.iter().for_each(|name| self.enter(name, k));
        self.all.push(special);
    }

    /// Adds one that the pattern defines: its names stand above those of the house, which have no line in it.
    pub fn take(&mut self, special: Special) {
        for name in &special.names {
            let bearers = self.by_name.get(name).into_iter().flatten().copied();
            let house: Vec<usize> = bearers.filter(|&k| self.all[k].span.is_empty()).collect();
            for k in house {
                self.leave(name, k);
                self.all[k].names.retain(|n| n != name);
            }
        }
        self.push(special);
    }

    /// Puts one in the place of another.
    pub fn replace(&mut self, k: usize, special: Special) {
        for name in std::mem::take(&mut self.all[k].names) {
            self.leave(&name, k);
        }
        special.names.iter().for_each(|name| self.enter(name, k));
        self.all[k] = special;
    }

    /// The first with this name that the pattern itself tells.
    pub fn told(&self, name: &str) -> Option<usize> {
        self.by_name.get(name)?.iter().copied().find(|&k| !self.all[k].span.is_empty())
    }

    /// True for the name of one, word for word.
    pub fn is_name(&self, name: &str) -> bool {
        self.by_name.contains_key(name)
    }

    /// The longest name at the start of the tokens: its tokens, and whose it is. The last word may be in the plural.
    pub fn at_start(&self, tokens: &[Token]) -> Option<(usize, usize)> {
        let mut best = None;
        let mut here = &self.by_part;
        let mut at = 0;
        while !here.next.is_empty() {
            if at > 0 && matches!(tokens.get(at).map(|t| &t.kind), Some(Kind::Dash)) {
                at += 1;
            }
            let next = match tokens.get(at).map(|t| &t.kind) {
                Some(Kind::Word(w)) => {
                    let w = canonical(w);
                    let singulars = [Some(w), w.strip_suffix('s'), w.strip_suffix("es")];
                    let bearers = singulars.into_iter().flatten().filter_map(|s| here.next.get(s)?.ends.first());
                    if let Some(&k) = bearers.min() {
                        best = Some((at + 1, k));
                    }
                    here.next.get(w)
                }
                Some(Kind::Number(n)) => {
                    let next = here.next.get(&n.to_string());
                    if let Some(&k) = next.and_then(|b| b.ends.first()) {
                        best = Some((at + 1, k));
                    }
                    next
                }
                _ => None,
            };
            let Some(next) = next else { break };
            here = next;
            at += 1;
        }
        best
    }

    /// All that still have a name.
    pub fn into_named(self) -> Vec<Special> {
        self.all.into_iter().filter(|s| !s.names.is_empty()).collect()
    }

    fn enter(&mut self, name: &str, k: usize) {
        self.by_name.entry(name.to_owned()).or_default().insert(k);
        let mut here = &mut self.by_part;
        for part in parts(name) {
            here = here.next.entry(part.to_owned()).or_default();
        }
        here.ends.insert(k);
    }

    fn leave(&mut self, name: &str, k: usize) {
        if let Some(bearers) = self.by_name.get_mut(name) {
            bearers.remove(&k);
            if bearers.is_empty() {
                self.by_name.remove(name);
            }
        }
        let mut here = &mut self.by_part;
        for part in parts(name) {
            let Some(next) = here.next.get_mut(part) else { return };
            here = next;
        }
        here.ends.remove(&k);
    }
}

fn parts(name: &str) -> impl Iterator<Item = &str> {
    name.split(|c: char| c.is_whitespace() || c == '-').filter(|p| !p.is_empty()).map(canonical)
}

/// "seed stitch" is "seed st".
fn canonical(word: &str) -> &str {
    if words::STITCH.contains(&word) { "st" } else { word }
}

#[cfg(test)]
mod tests {
    use super::super::lex::tokens;
    use super::*;
    use crate::source::Span;

    fn special(name: &str, span: Span) -> Special {
        Special { names: vec![name.to_owned()], form: None, steps: Vec::new(), placed: false, span }
    }

    fn found(specials: &Specials, words: &str) -> Option<(usize, usize)> {
        specials.at_start(&tokens(words, 0))
    }

    #[test]
    fn the_longest_name_is_found_and_dashes_are_as_good_as_spaces() {
        let line = Span::new(1, 2);
        let specials: Specials = ["bud", "bud rose", "v-st", "bud"].map(|name| special(name, line)).to_vec().into();
        assert_eq!(found(&specials, "buds in next st"), Some((1, 0)));
        assert_eq!(found(&specials, "bud roses"), Some((2, 1)));
        assert_eq!(found(&specials, "bud-rose"), Some((3, 1)));
        assert_eq!(found(&specials, "v st"), Some((2, 2)));
        assert_eq!(found(&specials, "v stitches"), Some((2, 2)));
        assert_eq!(found(&specials, "buds rose"), Some((1, 0)), "only the last word is in the plural");
        assert_eq!(found(&specials, "rose"), None);
    }

    #[test]
    fn a_name_of_the_pattern_stands_above_that_of_the_house() {
        let mut specials = Specials::default();
        specials.push(special("bud", Span::default()));
        assert_eq!(specials.told("bud"), None);
        specials.take(special("bud", Span::new(1, 2)));
        assert_eq!(found(&specials, "bud"), Some((1, 1)));
        assert_eq!(specials.told("bud"), Some(1));
        specials.replace(1, special("knot", Span::new(1, 2)));
        assert!(!specials.is_name("bud") && specials.is_name("knot"));
        assert_eq!(specials.into_named().len(), 1);
    }
}
