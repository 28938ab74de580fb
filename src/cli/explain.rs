//! `fanwise explain`: each problem code in a paragraph, with an example.

use super::files::to_stdout;
use super::{FINE, TROUBLE};
use clap::Args;
use fanwise::source::Code;

#[derive(Args)]
#[command(after_help = "Examples:\n  fanwise explain\n  fanwise explain places-left")]
pub(super) struct ExplainArgs {
    /// Problem code, such as places-left; without one, all codes are listed
    code: Option<String>,
}

pub(super) fn run(args: &ExplainArgs) -> u8 {
    let Some(wanted) = &args.code else {
        for &code in Code::ALL {
            to_stdout(&format!("{:18} {:8} {}\n", code.as_str(), code.severity().as_str(), explanation(code).0));
        }
        return FINE;
    };
    match Code::ALL.iter().find(|c| c.as_str() == wanted.trim()) {
        Some(&code) => {
            let (short, long, example) = explanation(code);
            to_stdout(&format!(
                "{} ({}): {short}\n\n{long}\n\nExample\n{example}\n",
                code.as_str(),
                code.severity().as_str()
            ));
            FINE
        }
        None => {
            let near = Code::ALL.iter().map(|c| c.as_str()).min_by_key(|c| distance(c, wanted)).unwrap_or_default();
            eprintln!(
                "error: there is no problem code \"{wanted}\"; did you mean \"{near}\"? \"fanwise explain\" lists them all"
            );
            TROUBLE
        }
    }
}

/// Letters two words do not share: enough to propose a code.
fn distance(a: &str, b: &str) -> usize {
    let missing = |x: &str, y: &str| x.chars().filter(|c| !y.contains(*c)).count();
    missing(a, b) + missing(b, a) + a.len().abs_diff(b.len())
}

/// In a line, in a paragraph, as an example.
fn explanation(code: Code) -> (&'static str, &'static str, &'static str) {
    match code {
        Code::UnknownStitch => (
            "a word stands where a stitch should, and is none",
            "The row was read up to this word. If it is a slip of the pen, the nearest known word is offered. If it is a stitch of your own, define it once under \"Special stitches\" and use that name.",
            "  Row 2: Ch 1, scc in each st across.\n               ^^^ there is no stitch \"scc\"; did you mean \"sc\"?",
        ),
        Code::MisspeltWord => (
            "an everyday word is written wrong, and was taken as the one it is a slip of",
            "Only words that name no stitch are put right so, and only where nothing else is meant: the row is worked and counted with the word it was taken as. A misspelt stitch is never guessed; it is an error.",
            "  Row 2: Ch 1, sc in each st acros.\n                             ^^^^^ taken as \"across\"",
        ),
        Code::UnreadWords => (
            "words of a row were not understood",
            "Every word of a row is either understood or pointed at; nothing is skipped in silence. Words that hold a stitch or a number are an error. A remark is a warning: put it in a sentence of its own, outside the row.",
            "  Rnd 3: Sc in next 4 sts wobbly, 2 sc in next st.\n                          ^^^^^^",
        ),
        Code::UndefinedStitch => (
            "a special stitch is used and never defined",
            "Shell, cluster, bobble, puff, popcorn and V-stitch mean different things in different houses, so each pattern says what it means. Where one does not, its rows are read with the make that the trade commonly gives the name and with which they fit best; the message tells which. What only comes up because of that is a warning.",
            "  Special stitch\n  Shell: 5 dc in same st.",
        ),
        Code::UnclosedMark => (
            "a bracket or star is opened and not closed, or closed and not opened",
            "A bracket or star that has lost its partner leaves open what is repeated. The rest of the row is still read.",
            "  Row 2: [sc in next st, 2 sc in next st 6 times.\n         ^ this \"[\" is never closed",
        ),
        Code::PlacesLeft => (
            "a row leaves stitches of the row below unworked",
            "Each row uses exactly the stitches of the row below, worked into or skipped in words. If stitches are left on purpose, say so: \"leave last 2 sts unworked\". If not, a mend shows the row with one small change, after which it uses everything and makes the count it states.",
            "  Row 1: ... (20 sts)\n  Row 2: Ch 1, sc in next 18 sts.\n  row 2 leaves 2 sts of row 1 unworked: 20 to work into, 18 used",
        ),
        Code::PlacesShort => (
            "a row asks for more stitches than the row below has",
            "The words are counted along the row below; at the underlined phrase there is nothing left to work into.",
            "  Row 4: ... (34 sts)\n  Row 5: Ch 1, sc in next 25 sts, sc in last 11 sts.\n  row 5 runs out here: row 4 has 34 sts, these words need 36",
        ),
        Code::CountDiffers => (
            "a row makes another count than it states",
            "The row works out, stitch for stitch, but the number at its end is another. Either the number or the increases and decreases are wrong; what the next row works into often tells which. Mends are shown of both.",
            "  Rnd 3: [Sc in next st, 2 sc in next st] 6 times. (20 sts)\n  rnd 3 works out (12 used of 12, 18 made); only the count at the end is off: it says 20",
        ),
        Code::RepeatRemainder => (
            "a repeat does not come out even",
            "A repeat \"around\" or \"to end\" needs a count it divides. As a note, the code marks words that can be read in two ways, of which only one works out: \"rep from * 5 times\" is 5 times more by the trade's rule.",
            "  Rnd 7: [sc in next 5 sts, 2 sc in next st] around.\n  the repeat does not fit rnd 7: it takes 6 sts and rnd 6 has 40: 6 repeats and 4 sts over",
        ),
        Code::FoundationLength => (
            "the foundation is too long or too short for row 1",
            "The chains, less those skipped at the hook, are what row 1 is worked into; skipped chains that count are one stitch more.",
            "  Ch 54.\n  Row 1: Sc in 3rd ch from hook and in each ch across. (50 sts)\n  the foundation is 2 ch too long: ch 54 gives 52 here, row 1 says 50",
        ),
        Code::NoSuchPlace => (
            "a stitch, space or mark is named that is not there",
            "The words name a kind of place that the row below does not have, such as a ch-2 sp where only ch-3 sps were made.",
            "  Rnd 4: 3 dc in each ch-2 sp around.\n  there is no ch-2 sp to work in: rnd 3 made ch-3 sps",
        ),
        Code::NoSuchYarn => (
            "a yarn is named that the materials do not list",
            "Yarns are listed as \"Yarn A: red\"; rows then speak of A. A letter that is not listed is most often a slip.",
            "  With C, ch 1.\n  yarn C is not among the yarns listed: A, B",
        ),
        Code::TurningChain => (
            "the turning chain is lost or counted twice",
            "A turning chain that counts is a stitch: it stands on the first stitch of the row below, and the last stitch of the next row goes into its top. A row that forgets it loses a stitch at that edge, and so does every row after it.",
            "  row 3 is one dc short, 19 of 20: nothing is worked in the top of row 2's turning ch, which counts",
        ),
        Code::MissingTurn => (
            "the other rows say \"turn\" and this one does not",
            "The turn is understood and made; the words are missing.",
            "  nothing says to turn before row 4; it is worked as if it did",
        ),
        Code::TermsMixed => (
            "sure signs of US and of UK terms stand in one pattern",
            "\"hdc\" is only ever US and \"htr\" only ever UK; \"dc\" and \"tr\" are both and prove nothing. A line \"US terms\", \"UK terms\", \"old US terms\" or \"old UK terms\" decides.",
            "  Row 1: Sc in next st, htr in next st.",
        ),
        Code::Asymmetry => (
            "one edit away from being the same on both sides",
            "The piece is mirror-symmetric but for one place. It may be meant.",
            "  row 3 has 2 sc in the 8th st and 1 in the 8th from the end",
        ),
        Code::Measure => (
            "rows are told by a measure, and no gauge says how many that is",
            "Where the pattern gives a gauge with rows, a length is turned into rows. Where it does not, or the length is left to the reader, the rows are worked once, so that they can be checked and drawn.",
            "  Repeat Row 2 until piece measures 8 in.\n           ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ how many rows that is, no gauge says: 1 row is worked",
        ),
        Code::Sizes => (
            "a size does not fit its neighbours",
            "Of a list such as \"20 (22, 24)\" each size takes its own number, so a list needs one for every size the pattern lists. Each size is worked and checked by itself with --size all: a repeat may be whole in one and not in another. Where a later size has fewer stitches than an earlier one, the numbers are probably in the wrong order; that is a warning.",
            "  Sizes: S (M, L)\n  Ch 20 (22).\n     ^^^^^^^ this list has 2 numbers and there are 3 sizes: S, M, L",
        ),
        Code::Join => (
            "the join closes the round in the wrong place",
            "The slip stitch that closes a round is no stitch of it: nothing is worked into it, and the first stitch of the next round is not skipped.",
            "  Join with sl st to first sc.",
        ),
        Code::Side => (
            "a right or wrong side mark contradicts the turns",
            "Each turn changes the side that faces you. A row marked RS that follows an RS row with one turn between is a slip of the mark or of the turn.",
            "  Row 3 (RS): ...  Turn.\n  Row 4 (RS): ...",
        ),
        Code::Style => (
            "one pattern of a series is written in another manner than the rest",
            "Told only where several patterns are checked together: headings (Rnd, Round, R), where counts stand and in which brackets, one stitch or abbreviation defined in two ways, terms, and title, gauge, hook or yarn lines that one pattern lacks. The manner of most patterns is taken for that of the series.",
            "  Rnd 3: Sc in each st around. (18 sts)\n  rounds are headed \"Rnd 1:\" here and \"Round 1:\" in 4 of 5 patterns",
        ),
        Code::Accepted => (
            "an entry of the accepted problems no longer holds",
            "The file fanwise-accepted.toml beside the patterns lists problems an editor has accepted, each with its row and a fingerprint of the row's words. Where the words have changed, or the problem is gone, the entry accepts nothing any more; \"fanwise check --accept\" brings the list up to date.",
            "  count-differs was accepted in round 3, whose words are others by now",
        ),
        Code::Empty => (
            "there is nothing to read",
            "The file is empty, or holds no chain, row or round.",
            "  Ch 14.\n  Row 1: Sc in 2nd ch from hook and in each ch across.",
        ),
        Code::NotText => (
            "the file is not UTF-8 text",
            "Word processors and PDF files are not plain text. Save the pattern as plain text, UTF-8.",
            "  pear.docx is no UTF-8 text",
        ),
        Code::Unreadable => (
            "the file cannot be opened",
            "It is not there, or may not be read.",
            "  peer.txt cannot be read: there is no such file",
        ),
        Code::Limit => (
            "the pattern is larger than the limits",
            "A pattern may have 1,000,000 stitches, 20,000 rows and 24 brackets one in another, a file 32 MB. Past that it is most often a number with a digit too many.",
            "  ch 1000000000",
        ),
        _ => ("a problem of another kind", "There is no more to say about it.", "  none"),
    }
}
