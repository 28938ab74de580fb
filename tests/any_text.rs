//! Any text at all: reading and working never panic and soon end, and a nonsense word is always pointed at.

use fanwise::Pattern;
use fanwise::face::{check_document, note_style};
use fanwise::source::Code;
use std::time::{Duration, Instant};

/// A small generator of numbers: the same texts in every run, and a failing one can be made again from its seed.
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 >> 33).expect("31 bits fit") % n
    }

    fn of<'a>(&mut self, words: &[&'a str]) -> &'a str {
        words[self.below(words.len())]
    }
}

/// The trade's words, numbers and marks, and a few that are none.
const WORDS: &[&str] = &[
    "sc",
    "hdc",
    "dc",
    "tr",
    "sl st",
    "ch",
    "ch 3",
    "ch-2 sp",
    "sc2tog",
    "dc3tog",
    "inc",
    "dec",
    "picot",
    "shell",
    "FPdc",
    "magic ring",
    "ring",
    "in",
    "into",
    "each",
    "next",
    "last",
    "first",
    "same",
    "st",
    "sts",
    "around",
    "across",
    "to end",
    "to last",
    "from hook",
    "2nd ch from hook",
    "skip",
    "rep from *",
    "rep",
    "more times",
    "times",
    "twice",
    "turn",
    "join",
    "fasten off",
    "with B",
    "changing to B",
    "counts as dc",
    "does not count",
    "back loop only",
    "opposite side of foundation ch",
    "row ends",
    "center",
    "top of beg ch-3",
    "base of ch",
    "as row 2",
    "ending",
    "at **",
    "leave",
    "unworked",
    "evenly",
    "between",
    "post of",
    "of row 1",
    "0",
    "1",
    "2",
    "7",
    "31",
    "1000000000",
    "3rd",
    "(",
    ")",
    "[",
    "]",
    "{",
    "}",
    "*",
    "**",
    ",",
    ";",
    ".",
    ":",
    "-",
    "–",
    "=",
    "×",
    "x 3",
    "é",
    "½",
    "\"",
    "\u{feff}",
    "\t",
    "\n",
    "\n\n",
    "\nRow 2: ",
    "\nRow 3 (WS): ",
    "\nRnd 2: ",
    "\nRows 3-5: ",
    "\nRepeat rows 1 and 2. ",
    "\nLeaf (make 2)\n",
    "\nCh 12.\nRow 1: ",
    "\nNotes\n",
    "\nShell: 5 dc in same st.\n",
    "six",
    "(12 sts)",
    "[4 ch-2 sps]",
];

const SOON: Duration = Duration::from_secs(20);

#[test]
fn any_text_of_trade_words_is_read_and_worked_without_a_panic_and_soon() {
    for seed in 1..=1500_u64 {
        let mut dice = Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15));
        let head = dice.of(&[
            "Pear\n\nCh 9.\nRow 1: ",
            "Bee\n\nRnd 1: 6 sc in magic ring.\nRnd 2: ",
            "",
            "Leaf\n\n",
            "Row 1: ",
        ]);
        let mut text = head.to_owned();
        for _ in 0..dice.below(60) {
            text.push_str(dice.of(WORDS));
            text.push_str(dice.of(&[" ", " ", " ", ", ", ""]));
        }
        let start = Instant::now();
        let pattern = Pattern::read(&text);
        let document = check_document(&[("any.txt".to_owned(), pattern.clone())]);
        assert!(start.elapsed() < SOON, "seed {seed} took {:?}:\n{text}", start.elapsed());
        assert!(document.starts_with("{\"fanwise\":"), "seed {seed}");
        assert!(pattern.fabric().validate().is_ok(), "seed {seed}: {:?}\n{text}", pattern.fabric().validate());
        for problem in pattern.problems() {
            let span = problem.span;
            assert!(text.get(span.start..span.end).is_some(), "seed {seed}: {problem:?} is outside of\n{text}");
        }
    }
}

#[test]
fn any_bytes_that_are_text_are_read_without_a_panic() {
    for seed in 1..=400_u64 {
        let mut dice = Dice(seed.wrapping_mul(0xD134_2543_DE82_EF95));
        let text: String = (0..dice.below(200))
            .map(|_| char::from_u32(u32::try_from(dice.below(0x2_0000)).expect("it is small")).unwrap_or('\n'))
            .collect();
        let pattern = Pattern::read(&text);
        assert!(
            pattern.problems().iter().all(|p| text.get(p.span.start..p.span.end).is_some()),
            "seed {seed}: {text:?}"
        );
    }
}

/// Rows in order, each of phrases that are understood.
const ROWS: &[&[&str]] = &[
    &["ch 1", "sc in next 3 sts", "2 sc in next st", "sc in each st across"],
    &["ch 1", "sc in first st", "[sc in next st, 2 sc in next st] twice", "sc2tog", "sc in last 2 sts"],
    &["ch 1", "*sc in next st, sc2tog; rep from * twice more", "ch 2", "skip next st", "sc in next st"],
    &["ch 1", "(sc, ch 2, sc) in next st", "sc in back loop only of next 4 sts", "sc in next 4 sts", "turn"],
    &["ch 3 (counts as dc)", "dc in next 7 sts", "dc in last st", "changing to B in last st"],
    &["ch 1", "sc in next 8 sts", "sc in last st (9 sts)", "turn"],
    &["with B", "ch 1", "reverse sc in each st across", "fasten off B"],
    &["ch 1", "sc in each st to last 2 sts", "dec over next 2 sts", "do not turn"],
    &["ch 1", "skip first st", "3-dc cluster in next st", "(dc, ch 1, dc) in each of next 2 sts", "hdc in next 5 sts"],
    &["ch 1", "FPdc around next st", "sc in next st, 3 times", "ch 3, sl st in 3rd ch from hook", "sc 5"],
    &["sl st in next 2 sts", "ch 1", "sc in same st", "hdc in next 3 sts", "leave remaining sts unworked"],
];

/// Words of no language.
const NONSENSE: &[&str] = &["florp", "glimwick", "zsc", "scx", "quonk", "brillig", "sczz", "7q", "hdcc", "tumtog", "☃"];

fn row_text(phrases: &[String]) -> String {
    format!(
        "Leaf\n\nYarn A: green\nYarn B: brown\n\nCh 10.\nRow 1: Sc in 2nd ch from hook and in each ch across. Turn. (9 sts)\nRow 2: {}.\n",
        phrases.join(", ")
    )
}

#[test]
fn a_row_of_known_phrases_is_read() {
    for row in ROWS {
        let phrases: Vec<String> = row.iter().map(|&p| p.to_owned()).collect();
        let text = row_text(&phrases);
        let pattern = Pattern::read(&text);
        assert!(pattern.worked().tallies.iter().all(|t| t.read), "{:#?}\n{text}", pattern.problems());
    }
}

#[test]
fn a_nonsense_word_in_a_row_is_always_pointed_at() {
    let mut silent = Vec::new();
    for row in ROWS {
        for word in NONSENSE {
            for phrase in 0..row.len() {
                let gaps = row[phrase].split(' ').count();
                for gap in 0..=gaps {
                    let mut phrases: Vec<String> = row.iter().map(|&p| p.to_owned()).collect();
                    let mut words: Vec<&str> = row[phrase].split(' ').collect();
                    words.insert(gap, word);
                    phrases[phrase] = words.join(" ");
                    let text = row_text(&phrases);
                    silent.extend(passed_over(&text, word));
                }
            }
        }
    }
    assert!(silent.is_empty(), "{} times:\n{}", silent.len(), silent.join("\n"));
}

/// Where the row of the word is `read`, or no problem points at words of this row: what happened, and the row.
fn passed_over(text: &str, word: &str) -> Option<String> {
    let pattern = Pattern::read(text);
    let line = text.lines().next_back().unwrap_or("");
    let at = text.len() - line.len() - 1;
    let Some(row) = pattern.worked().tallies.iter().find(|t| t.span.start == at) else {
        return Some(format!("\"{word}\" makes this no row: {line}"));
    };
    if row.read {
        return Some(format!("\"{word}\" is passed over in silence: {line}"));
    }
    let pointed = pattern.problems().iter().any(|p| row.span.start <= p.span.start && p.span.end <= row.span.end);
    (!pointed).then(|| format!("nothing points at the row of \"{word}\": {line}"))
}

#[test]
fn any_two_texts_are_compared_noted_and_accepted_without_a_panic() {
    for seed in 1..=400_u64 {
        let mut dice = Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15));
        let mut text = || {
            let mut text = dice.of(&["Pear\n\nCh 9.\nRow 1: ", "", "Gauge: 18 sc = 10 cm\n\nRnd 1: "]).to_owned();
            for _ in 0..dice.below(60) {
                text.push_str(dice.of(WORDS));
                text.push_str(dice.of(&[" ", " ", ", ", ""]));
            }
            text
        };
        let mut pair = [("a".to_owned(), Pattern::read(&text())), ("b".to_owned(), Pattern::read(&text()))];
        for (_, pattern) in &pair {
            assert!(pattern.against(pattern).is_empty(), "seed {seed}: it differs from itself");
        }
        let changes = pair[0].1.against(&pair[1].1);
        assert!(changes.iter().all(|c| !c.erratum.is_empty()), "seed {seed}: a change is not told");
        note_style(&mut pair, &[0, 1]);
        for (_, pattern) in &mut pair {
            let n = pattern.problems().len();
            let all: Vec<_> = pattern.problems().iter().filter_map(|p| pattern.as_accepted(p)).collect();
            pattern.accept(&all);
            assert!(pattern.problems().iter().all(|p| p.code == Code::Limit), "seed {seed}: {:?}", pattern.problems());
            assert_eq!(pattern.accepted_count() + pattern.problems().len(), n, "seed {seed}");
        }
    }
}
