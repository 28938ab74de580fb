//! What old books call the stitches.

use super::super::cursor::Cursor;
use super::super::lex::Kind;
use crate::craft::Stem;

/// A name, and what it is in today's US terms.
struct OldName {
    words: &'static [&'static str],
    stem: Stem,
}

const fn name(words: &'static [&'static str], stem: Stem) -> OldName {
    OldName { words, stem }
}

/// Names of the old books, longest first where one begins another. "Crochet" and "stitch" may stand behind any.
///
/// Source: Th. de Dillmont, Encyclopedia of Needlework (plain, single, half treble, treble), PG #20776; Handbook of
/// Wool Knitting and Crochet, 1918 (single, double, treble), PG #26113; American Thread Co., Star Book No. 98, 1953
/// (short double), PG #62190. The rows marked with a dot are common practice, no source.
const NAMES: &[OldName] = &[
    name(&["extra", "long", "treble"], Stem::Tall(3)), // .
    name(&["quadruple", "treble"], Stem::Tall(4)),
    name(&["triple", "treble"], Stem::Tall(3)),
    name(&["double", "treble"], Stem::Tall(2)),
    name(&["short", "treble"], Stem::HalfDouble), // .
    name(&["half", "treble"], Stem::HalfDouble),
    name(&["half", "long"], Stem::HalfDouble), // .
    name(&["short", "double"], Stem::HalfDouble),
    name(&["long", "double"], Stem::HalfDouble), // .
    name(&["long", "treble"], Stem::Tall(2)),    // .
    name(&["double", "long"], Stem::Tall(2)),    // .
    name(&["treble", "long"], Stem::Tall(3)),    // .
    name(&["s", "d", "c"], Stem::HalfDouble),
    name(&["d", "tr"], Stem::Tall(2)),
    name(&["l", "tr"], Stem::Tall(2)),    // .
    name(&["h", "tr"], Stem::HalfDouble), // .
    name(&["d", "c"], Stem::Single),
    name(&["s", "c"], Stem::SlipStitch),
    name(&["sl", "st"], Stem::SlipStitch),
    name(&["slip", "st"], Stem::SlipStitch),
    name(&["slip", "stitch"], Stem::SlipStitch),
    name(&["treble"], Stem::Tall(1)),
    name(&["double"], Stem::Single),
    name(&["single"], Stem::SlipStitch),
    name(&["plain"], Stem::Single),
    name(&["long"], Stem::Tall(1)), // .
    name(&["slip"], Stem::SlipStitch),
    name(&["htr"], Stem::HalfDouble),
    name(&["dtr"], Stem::Tall(2)),
    name(&["tr"], Stem::Tall(1)),
    name(&["dc"], Stem::Single),
    name(&["sc"], Stem::SlipStitch),
    name(&["ss"], Stem::SlipStitch),
    name(&["sl"], Stem::SlipStitch),
];

/// Words behind which "long", "plain", "single" and "double" describe a thing and name no stitch.
const THINGS: &[&str] = &[
    "loop",
    "loops",
    "thread",
    "threads",
    "end",
    "ends",
    "tail",
    "chain",
    "foundation",
    "enough",
    "as",
    "side",
    "sides",
    "edge",
    "edges",
    "piece",
    "needle",
    "cord",
    "row",
    "rows",
    "round",
    "rounds",
    "knitting",
    "hem",
    "band",
    "strip",
    "stripe",
    "material",
    "wool",
    "cotton",
    "yarn",
    "silk",
    "the",
    "way",
    "one",
    "ones",
    "piece",
    "ring",
];

impl Cursor<'_> {
    /// A stitch by an old name. Hyphens are as good as spaces.
    pub(in crate::reading) fn old_stem(&mut self) -> Option<Stem> {
        let start = self.at;
        for name in NAMES {
            self.at = start;
            if self.old_name(name.words) {
                let thing = self.word(0).is_some_and(|w| THINGS.contains(&w));
                if name.words.len() == 1 && thing && !matches!(name.words[0], "treble" | "tr" | "dc" | "sc" | "ss") {
                    break;
                }
                self.stop_of_short(name.words);
                let dashed = self.at;
                if self.eat_kind(&Kind::Dash) && !matches!(self.word(0), Some("crochet" | "stitch" | "stitches")) {
                    self.at = dashed;
                }
                let _ = self.eat("crochet");
                let _ = self.eat_any(&["stitch", "stitches"]);
                return Some(name.stem);
            }
        }
        self.at = start;
        None
    }

    /// True where the words of a name stand here, parted by spaces, hyphens or, in short names, full stops.
    fn old_name(&mut self, words: &[&str]) -> bool {
        let short = words.iter().all(|w| w.len() <= 2);
        for (i, word) in words.iter().enumerate() {
            if i > 0 && !self.eat_kind(&Kind::Dash) && short {
                let _ = self.eat_kind(&Kind::Stop);
            }
            let last = i + 1 == words.len();
            let fits = self.word(0).is_some_and(|have| have == *word || last && have.strip_suffix('s') == Some(word));
            if !fits {
                return false;
            }
            self.at += 1;
        }
        true
    }

    /// The stop behind a short name belongs to it where the phrase goes on: "1 tr. in next".
    fn stop_of_short(&mut self, words: &[&str]) {
        let short = words.iter().all(|w| w.len() <= 2);
        let goes_on = matches!(self.kind(1), Some(Kind::Comma | Kind::Semicolon))
            || self.word(1).is_some_and(|w| matches!(w, "in" | "into" | "on" | "over" | "under" | "between"));
        if short && goes_on {
            let _ = self.eat_kind(&Kind::Stop);
        }
    }
}
