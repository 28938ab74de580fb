//! Places on another piece: "join with sl st to corner ch-3 of joining motif", "sl st in corresponding ch-3 sp on
//! adjacent square". What is worked there ties two pieces together and makes nothing on this one.

use super::cursor::Cursor;
use super::lex::Kind;
use super::phrase::RowReader;
use super::words;

/// Words that tell one piece from another.
const OTHER: &[&str] = &[
    "joining",
    "adjacent",
    "adjoining",
    "previous",
    "prev",
    "first",
    "second",
    "third",
    "other",
    "last",
    "next",
    "corresponding",
    "opposite",
    "completed",
    "finished",
    "preceding",
    "neighboring",
    "neighbouring",
    "previously",
    "joined",
    "worked",
    "same",
    "1st",
    "2nd",
    "3rd",
    "previously-joined",
];

/// What a piece that is joined to others is called.
const PIECES: &[&str] = &[
    "motif",
    "motifs",
    "square",
    "squares",
    "block",
    "blocks",
    "hexagon",
    "hexagons",
    "octagon",
    "triangle",
    "medallion",
    "granny",
    "panel",
    "strip",
    "flower",
    "flowers",
    "circle",
    "piece",
    "pieces",
    "wheel",
    "star",
    "rosette",
];

impl Cursor<'_> {
    /// "of joining motif", "on adjacent side of previous square", "of Motif A".
    pub(super) fn other_piece(&mut self) -> bool {
        let start = self.at;
        if !self.eat_any(&["of", "on", "in", "from", "to"]) {
            return false;
        }
        loop {
            let _ = self.eat_any(&["the", "a", "an", "any"]);
            let mut told = 0;
            while self.eat_any(OTHER) || matches!(self.kind(0), Some(Kind::Ordinal(_))) && self.ordinal().is_some() {
                told += 1;
            }
            if self.eat_any(&["side", "edge", "corner"]) && self.eat_any(&["of", "on"]) {
                continue;
            }
            if (told > 0 || self.lettered()) && self.eat_any(PIECES) {
                // "motif A", "motif #1"
                let _ = self.eat_kind(&Kind::Other('#'));
                let _ = self.number().is_some()
                    || self.word(0).is_some_and(|w| w.len() == 1) && {
                        self.at += 1;
                        true
                    };
                return true;
            }
            self.at = start;
            return false;
        }
    }

    /// "on this motif", "of current square": the piece in hand.
    pub(super) fn this_piece(&mut self) -> bool {
        let start = self.at;
        if self.eat_any(&["of", "on", "in"])
            && self.eat_any(&["this", "current", "same", "new", "present"])
            && self.eat_any(PIECES)
        {
            return true;
        }
        self.at = start;
        false
    }

    /// "motif A", "square 2": a piece told apart by its letter or number.
    fn lettered(&self) -> bool {
        self.word(0).is_some_and(|w| PIECES.contains(&w))
            && (matches!(self.kind(1), Some(Kind::Number(_) | Kind::Other('#')))
                || self.word(1).is_some_and(|w| w.len() == 1 && w != "a"))
    }
}

/// What the piece being worked is called beside another.
const IN_HAND: &[&str] = &["this", "current", "new", "present", "working", "same"];

impl RowReader<'_> {
    /// "of this square", "on new motif", and behind several stitches in one place "of second square": those are no tie, and
    /// the piece is the one in hand.
    pub(super) fn on_piece_in_hand(&mut self, several: bool) -> bool {
        let start = self.c.at;
        if self.c.eat_any(&["of", "on", "in"]) {
            let _ = self.c.eat("the");
            if self.c.eat_any(IN_HAND) && self.c.eat_any(PIECES) {
                return true;
            }
        }
        self.c.at = start;
        several && self.c.other_piece()
    }

    /// A stitch or join into another piece, from the token it began at: noted, and no stitch of this one.
    pub(super) fn ties_to_other_piece(&mut self, start: usize) -> bool {
        let here = self.c.at;
        let _ = self.c.eat_any(words::SPACE);
        if !self.c.other_piece() {
            self.c.at = here;
            return false;
        }
        let span = self.c.since(start);
        self.notes.push(span);
        true
    }
}
