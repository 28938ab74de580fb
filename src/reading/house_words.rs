//! Words of the house, told by whoever reads a series: remarks, aliases of known stitches, special stitches.
//!
//! Each is read when it is added, so that what is wrong with it is said there and not in every pattern.

use super::cursor::{Cursor, House};
use super::lex::{self, Kind, Token};
use super::phrase::RowReader;
use super::specials::Specials;
use super::{definition, words};
use crate::instructions::{Special, Terms};
use crate::source::{Problem, Span};
use std::fmt;

/// Remarks, aliases and special stitches that hold for every pattern of a series.
///
/// A pattern's own definition of a name stands above the house's.
///
/// ```
/// use fanwise::reading::HouseWords;
/// use fanwise::{Pattern, ReadOptions};
///
/// let mut words = HouseWords::default();
/// words.add_stitch("bud", "3 dc in same st")?;
/// let text = "Twig\n\nCh 6.\nRow 1: Sc in 2nd ch from hook and in next 3 ch, bud in last ch. (7 sts)\n";
/// let pattern = Pattern::read_with(text, &ReadOptions::default().house_words(words));
/// assert!(pattern.is_sound());
/// # Ok::<(), fanwise::reading::WordFault>(())
/// ```
#[derive(Clone, Debug, Default)]
pub struct HouseWords {
    remarks: Vec<Vec<Kind>>,
    aliases: Vec<(Vec<Kind>, Vec<Kind>)>,
    /// Name and definition.
    stitches: Vec<(String, String)>,
}

/// What keeps a word of the house from being taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WordFault(String);

impl fmt::Display for WordFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for WordFault {}

fn fault<T>(message: String) -> Result<T, WordFault> {
    Err(WordFault(message))
}

/// Tokens of the longest name of an alias, and of the longest remark.
const LONGEST: usize = 40;

impl HouseWords {
    /// Words that say nothing to work: taken as commentary where they stand as a phrase of their own.
    ///
    /// # Errors
    /// Where the words ask for work, or hold no word.
    pub fn add_remark(&mut self, remark: &str) -> Result<(), WordFault> {
        let toks = self.tokens(remark, 0);
        if !toks.iter().any(|t| matches!(t.kind, Kind::Word(_))) || toks.len() > LONGEST {
            return fault(format!("\"{remark}\" is no remark: it should have from one word to {LONGEST}"));
        }
        let house = House::default();
        let mut reader = RowReader::new(Cursor::new(&toks, &house), remark);
        let steps = reader.steps();
        if !steps.is_empty() || !reader.stated.is_empty() {
            return fault(format!("\"{remark}\" is work, so it cannot be passed by as a remark"));
        }
        self.remarks.push(toks.into_iter().map(|t| t.kind).collect());
        Ok(())
    }

    /// Another name for a stitch that is known already, such as `hd` for `hdc`.
    ///
    /// # Errors
    /// Where the name has a meaning of its own, or the stitch is none.
    pub fn add_alias(&mut self, name: &str, stitch: &str) -> Result<(), WordFault> {
        let house = House { words: self.clone(), ..House::default() };
        let stands_for = self.tokens(stitch, 0);
        let mut c = Cursor::new(&stands_for, &house);
        if c.stitch().is_none() || !c.done() {
            let near = nearest(stitch);
            return fault(format!("there is no stitch \"{stitch}\"{near}"));
        }
        let name_toks = self.name_tokens(name, &house)?;
        self.aliases.push((name_toks, stands_for.into_iter().map(|t| t.kind).collect()));
        Ok(())
    }

    /// A special stitch: its name, a short one in brackets behind it where there is one, and how it is worked.
    ///
    /// # Errors
    /// Where the name has a meaning of its own, or the definition cannot be read to its last word.
    pub fn add_stitch(&mut self, name: &str, definition: &str) -> Result<(), WordFault> {
        let house = House { words: self.clone(), specials: self.specials(Terms::Us), ..House::default() };
        let Some(names) = definition::special_names(name) else {
            return fault(format!("\"{name}\" is no name for a stitch: it should be one word to four"));
        };
        let told = name.to_lowercase();
        for each in names.iter().filter(|n| !n.is_empty()) {
            // "loop st" is no "loop"
            let bare = told.strip_prefix(each.as_str()).is_some_and(|rest| matches!(rest.trim(), "st" | "stitch"));
            self.name_tokens(each, &house).map(drop).or_else(|fault| if bare { Ok(()) } else { Err(fault) })?;
        }
        let found = definition::define(names, definition, 0, definition, &house);
        if let Err(problem) = found {
            let why = problem.map_or_else(|| "it makes no stitch".into(), |p| p.message);
            return fault(format!("\"{definition}\" does not say how \"{name}\" is worked: {why}"));
        }
        self.stitches.push((name.to_owned(), definition.to_owned()));
        Ok(())
    }

    /// The words of a name, where they have no meaning of their own.
    fn name_tokens(&self, name: &str, house: &House) -> Result<Vec<Kind>, WordFault> {
        let toks = lex::tokens(name, 0);
        let plain = toks.iter().all(|t| matches!(t.kind, Kind::Word(_) | Kind::Number(_) | Kind::Dash));
        if !plain || !matches!(toks.first(), Some(Token { kind: Kind::Word(_), .. })) || toks.len() > LONGEST {
            return fault(format!("\"{name}\" is no name for a stitch: it should be words, numbers and dashes"));
        }
        let bare = House { specials: Specials::default(), ..house.clone() };
        let mut c = Cursor::new(&toks, &bare);
        let known = c.stitch().is_some() && c.done();
        let taken = |w: &str| {
            [words::CHAIN, words::SPACE, words::INTO, words::SKIP, words::REPEAT, words::ROUND, words::ROW]
                .iter()
                .any(|list| list.contains(&w))
                || words::STITCH.contains(&w)
                || words::TO_END.contains(&w)
                || words::BEGINNING.contains(&w)
                || words::number_word(w).is_some()
                || matches!(w, "and" | "then" | "next" | "each" | "same" | "last" | "first" | "turn" | "join" | "with")
        };
        let lone = matches!(toks.as_slice(), [Token { kind: Kind::Word(w), .. }] if taken(w));
        // the trade's own names for stitches of many makes may be defined, as a pattern may
        let open =
            matches!(toks.first(), Some(Token { kind: Kind::Word(w), .. }) if matches!(w.as_str(), "picot" | "p"));
        if known && !open || lone {
            return fault(format!("\"{name}\" has a meaning already"));
        }
        Ok(toks.into_iter().map(|t| t.kind).collect())
    }

    /// The tokens of a text of the pattern, its aliases read as what they stand for.
    pub(super) fn tokens(&self, text: &str, offset: usize) -> Vec<Token> {
        let toks = lex::tokens(text, offset);
        if self.aliases.is_empty() {
            return toks;
        }
        let mut told = Vec::with_capacity(toks.len());
        let mut at = 0;
        while at < toks.len() {
            let found = self.aliases.iter().filter(|(name, _)| begins(&toks[at..], name)).max_by_key(|(n, _)| n.len());
            match found {
                Some((name, stands_for)) => {
                    let span = toks[at].span.to(toks[at + name.len() - 1].span);
                    told.extend(stands_for.iter().map(|kind| Token { kind: kind.clone(), span }));
                    at += name.len();
                }
                None => {
                    told.push(toks[at].clone());
                    at += 1;
                }
            }
        }
        told
    }

    /// The special stitches of the house, read in the terms of a pattern. They have no line in it.
    pub(super) fn specials(&self, terms: Terms) -> Specials {
        let mut house = House { terms, words: self.clone(), ..House::default() };
        for (name, definition) in &self.stitches {
            let Some(names) = definition::special_names(name) else { continue };
            let names = names.into_iter().filter(|n| self.name_tokens(n, &House::default()).is_ok()).collect();
            if let Ok(special) = definition::define(names, definition, 0, definition, &house) {
                let steps = special.steps.into_iter().map(|s| s.moved_to(Span::default())).collect();
                house.specials.push(Special { steps, span: Span::default(), ..special });
            }
        }
        house.specials
    }

    /// Tokens of the longest remark that stands here as a phrase of its own; 0 where none does.
    pub(super) fn remark_length(&self, toks: &[Token]) -> usize {
        let ends = |n: usize| {
            matches!(
                toks.get(n).map(|t| &t.kind),
                None | Some(Kind::Comma | Kind::Stop | Kind::Semicolon | Kind::Close(_) | Kind::Star(_))
            )
        };
        self.remarks.iter().filter(|r| begins(toks, r) && ends(r.len())).map(Vec::len).max().unwrap_or(0)
    }
}

/// True where the tokens begin with a name; its last word may be in the plural.
fn begins(toks: &[Token], name: &[Kind]) -> bool {
    toks.len() >= name.len()
        && name.iter().enumerate().all(|(i, kind)| match (&toks[i].kind, kind) {
            (Kind::Word(have), Kind::Word(want)) if i + 1 == name.len() => words::is_or_plural(have, want),
            (have, want) => have == want,
        })
}

fn nearest(word: &str) -> String {
    let lower = word.to_lowercase();
    let near = words::NEAR.iter().map(|n| (strsim::osa_distance(&lower, n), n)).min_by_key(|(d, _)| *d);
    near.filter(|(d, _)| *d <= 2).map_or_else(String::new, |(_, n)| format!("; did you mean \"{n}\"?"))
}

impl RowReader<'_> {
    /// A remark of the house.
    pub(super) fn house_remark(&mut self) -> bool {
        let n = self.c.house.words.remark_length(&self.c.tokens[self.c.at..]);
        if n == 0 {
            return false;
        }
        let start = self.c.at;
        self.c.at += n;
        self.notes.push(self.c.since(start));
        true
    }
}

/// The first problem of a definition, where there is one.
pub(super) type Undefined = Option<Box<Problem>>;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn work_is_no_remark_and_a_known_stitch_no_alias() {
        let mut words = HouseWords::default();
        assert!(words.add_remark("sc in next st").is_err());
        assert!(words.add_remark("turn").is_err());
        assert!(words.add_remark("6").is_err());
        assert!(words.add_remark("admire the blossom").is_ok());
        assert!(words.add_alias("dc", "sc").is_err());
        assert!(words.add_alias("next", "sc").is_err());
        let near = words.add_alias("hd", "hcd").unwrap_err().to_string();
        assert_eq!(near, "there is no stitch \"hcd\"; did you mean \"hdc\"?");
        assert!(words.add_alias("hd", "hdc").is_ok());
        assert!(words.add_stitch("bud", "3 wobbles in same st").is_err());
        assert!(words.add_stitch("bud", "turn").is_err());
        assert!(words.add_stitch("bud", "3 hd in same st").is_ok());
    }

    #[test]
    fn an_alias_is_read_as_what_it_stands_for_at_its_own_place() {
        let mut words = HouseWords::default();
        words.add_alias("hd", "half double crochet").unwrap();
        let toks = words.tokens("2 hds in next st", 10);
        let kinds: Vec<_> = toks.iter().skip(1).take(3).map(|t| (&t.kind, t.span)).collect();
        let at = Span::new(12, 15);
        for (kind, want) in kinds.iter().zip(["half", "double", "crochet"]) {
            assert_eq!(*kind, (&Kind::Word(want.into()), at));
        }
    }
}
