//! The vocabulary: tables only. A new wording of a known idea is a row here.

use crate::craft::Stem;
use crate::instructions::Terms;
use std::collections::BTreeSet;
use std::sync::LazyLock;

/// A stitch name: its words, what it is in US terms, what it is in UK terms.
pub(super) struct StitchName {
    pub words: &'static [&'static str],
    pub us: Option<Stem>,
    pub uk: Option<Stem>,
}

const fn name(words: &'static [&'static str], us: Option<Stem>, uk: Option<Stem>) -> StitchName {
    StitchName { words, us, uk }
}

const SL: Option<Stem> = Some(Stem::SlipStitch);
const SC: Option<Stem> = Some(Stem::Single);
const HDC: Option<Stem> = Some(Stem::HalfDouble);
const DC: Option<Stem> = Some(Stem::Tall(1));
const TR: Option<Stem> = Some(Stem::Tall(2));
const DTR: Option<Stem> = Some(Stem::Tall(3));
const TRTR: Option<Stem> = Some(Stem::Tall(4));
const QUAD: Option<Stem> = Some(Stem::Tall(5));

/// Stitch names, longest first where one begins another.
///
/// Source: Craft Yarn Council master list for the US names; funcrochetdesigns.com for US against UK.
pub(super) const STITCHES: &[StitchName] = &[
    name(&["half", "double", "crochet"], HDC, HDC),
    name(&["half", "treble", "crochet"], HDC, HDC),
    name(&["double", "treble", "crochet"], DTR, TR),
    name(&["triple", "treble", "crochet"], TRTR, DTR),
    name(&["short", "double", "crochet"], HDC, HDC),
    name(&["half", "double"], HDC, HDC),
    name(&["half", "treble"], HDC, HDC),
    name(&["half", "dc"], HDC, HDC),
    name(&["double", "treble"], DTR, TR),
    name(&["triple", "treble"], TRTR, DTR),
    name(&["quadruple", "treble"], QUAD, TRTR),
    name(&["double", "crochet"], DC, SC),
    name(&["single", "crochet"], SC, SL),
    name(&["treble", "crochet"], TR, DC),
    name(&["triple", "crochet"], TR, DC),
    name(&["slip", "stitch"], SL, SL),
    name(&["slip", "st"], SL, SL),
    name(&["sl", "st"], SL, SL),
    name(&["sl", "stitch"], SL, SL),
    name(&["s", "d", "c"], HDC, HDC),
    name(&["tr", "tr", "c"], TRTR, TRTR),
    name(&["d", "tr", "c"], DTR, DTR),
    name(&["d", "trc"], DTR, DTR),
    name(&["d", "tr"], DTR, DTR),
    name(&["tr", "tr"], TRTR, DTR),
    name(&["h", "d", "c"], HDC, HDC),
    name(&["h", "dc"], HDC, HDC),
    name(&["s", "c"], SC, SL),
    name(&["d", "c"], DC, SC),
    name(&["tr", "c"], TR, DC),
    name(&["slst"], SL, SL),
    name(&["ss"], SL, SL),
    name(&["sc"], SC, SL),
    name(&["hdc"], HDC, HDC),
    name(&["htr"], HDC, HDC),
    name(&["ht"], HDC, HDC),
    name(&["dc"], DC, SC),
    name(&["tr"], TR, DC),
    name(&["trc"], TR, DC),
    name(&["treble"], TR, DC),
    name(&["dtr"], DTR, TR),
    name(&["dtrc"], DTR, TR),
    name(&["ttr"], TRTR, DTR),
    name(&["trtr"], TRTR, DTR),
    name(&["qtr"], QUAD, TRTR),
];

impl StitchName {
    /// The stem in a dialect. The old dialects read the modern tables but for their own words.
    pub fn stem(&self, terms: Terms) -> Option<Stem> {
        match terms {
            Terms::Us | Terms::OldUs => self.us,
            Terms::Uk | Terms::OldUk => self.uk,
        }
    }
}

/// Number words.
pub(super) const NUMBERS: &[(&str, u32)] = &[
    ("one", 1),
    ("two", 2),
    ("three", 3),
    ("four", 4),
    ("five", 5),
    ("six", 6),
    ("seven", 7),
    ("eight", 8),
    ("nine", 9),
    ("ten", 10),
    ("eleven", 11),
    ("twelve", 12),
    ("thirteen", 13),
    ("fourteen", 14),
    ("fifteen", 15),
    ("sixteen", 16),
    ("seventeen", 17),
    ("eighteen", 18),
    ("nineteen", 19),
    ("twenty", 20),
    ("thirty", 30),
    ("forty", 40),
    ("fifty", 50),
    ("sixty", 60),
    ("seventy", 70),
    ("eighty", 80),
    ("ninety", 90),
    ("hundred", 100),
];

/// Ordinal words.
pub(super) const ORDINALS: &[(&str, u32)] = &[
    ("second", 2),
    ("third", 3),
    ("fourth", 4),
    ("fifth", 5),
    ("sixth", 6),
    ("seventh", 7),
    ("eighth", 8),
    ("ninth", 9),
    ("tenth", 10),
];

/// Words for how often, that are one word.
pub(super) const TIMES: &[(&str, u32)] = &[("once", 1), ("twice", 2), ("thrice", 3)];

/// Chain, as a stitch and as a place.
pub(super) const CHAIN: &[&str] = &["ch", "chs", "chain", "chains"];
/// Any stitch, as a place.
pub(super) const STITCH: &[&str] = &["st", "sts", "stitch", "stitches", "st's"];
/// A chain space.
pub(super) const SPACE: &[&str] = &["sp", "sps", "space", "spaces", "loop", "loops", "lp", "lps", "arch", "arches"];
/// The middle of something.
pub(super) const CENTRE: &[&str] = &["center", "centre", "middle"];
/// Stitches that stand together.
pub(super) const GROUP: &[&str] = &["group", "groups", "grp", "gr", "set", "sets"];
/// Shapes of several stitches that a place may be named by, whether the pattern defines them or not.
pub(super) const SHAPES: &[&str] = &["shell", "fan", "scallop", "petal", "block", "tile", "pineapple"];
/// Stitches of several legs that a place may be named by.
pub(super) const CLUSTERS: &[&str] = &["cluster", "cl", "popcorn", "pc", "puff", "bobble"];
/// Words before a place.
pub(super) const INTO: &[&str] = &["in", "into", "over", "on", "through", "thru", "around", "across", "along", "to"];
/// Words that join what is worked besides to what was just told.
pub(super) const HAVING: &[&str] = &["working", "having", "with", "making", "placing", "putting"];
/// Skip.
pub(super) const SKIP: &[&str] = &["sk", "skip", "skp", "miss", "omit"];
/// Repeat.
pub(super) const REPEAT: &[&str] = &["rep", "repeat", "reps"];
/// The tool a chain hangs on; a needle to old leaflets.
pub(super) const HOOK: &[&str] = &["hook", "hk", "needle"];
/// A round.
pub(super) const ROUND: &[&str] = &["rnd", "rnds", "round", "rounds", "rd", "rds"];
/// A row.
pub(super) const ROW: &[&str] = &["row", "rows"];
/// Words that say "to the end" behind a repeat or place.
pub(super) const TO_END: &[&str] = &["around", "across", "along", "throughout"];
/// What a branch may be called.
pub(super) const LIMBS: &[&str] =
    &["branch", "stalk", "stem", "twig", "tail", "leaf", "petal", "arm", "point", "spike", "ray"];
/// Words before a number that need not be met.
pub(super) const ABOUT: &[&str] = &["approximately", "approx", "about", "roughly"];
/// What a whole piece is called, where work goes around it.
pub(super) const PIECES: &[&str] = &[
    "circle", "square", "motif", "hexagon", "triangle", "flower", "piece", "work", "granny", "disc", "disk", "oval",
    "heart", "shape",
];
/// Words of the beginning chain.
pub(super) const BEGINNING: &[&str] = &["beg", "beginning", "starting", "start", "turning", "t", "initial"];
/// Every word that means work; a phrase with one of these is never commentary.
pub(super) const WORKING_WORDS: &[&str] = &[
    "sc", "hdc", "dc", "tr", "dtr", "trtr", "htr", "ttr", "qtr", "ch", "chs", "chain", "st", "sts", "stitch",
    "stitches", "inc", "dec", "sp", "sps", "skip", "sk", "miss", "rep", "repeat", "slst", "picot", "shell", "cluster",
    "popcorn", "bobble", "puff", "tog", "together", "crochet", "treble",
];

/// Openings of commentary: phrases that say nothing to work. Matched at the start of a phrase that
/// holds no stitch word and no number.
pub(super) const COMMENTARY: &[&[&str]] = &[
    &["this", "will", "be"],
    &["this", "forms"],
    &["this", "is"],
    &["this", "makes"],
    &["these", "are"],
    &["mark"],
    &["place", "marker"],
    &["place", "a", "marker"],
    &["place", "a", "stitch", "marker"],
    &["move", "marker"],
    &["move", "the", "marker"],
    &["pm"],
    &["working", "loosely"],
    &["working", "over", "the", "tail"],
    &["work", "loosely"],
    &["loosely"],
    &["being", "careful"],
    &["taking", "care"],
    &["be", "careful"],
    &["pull"],
    &["weave"],
    &["leave", "a"],
    &["leaving", "a"],
    &["leaving"],
    &["cut", "yarn", "leaving"],
    &["do", "not", "fasten", "off"],
    &["do", "not", "cut"],
    &["for"],
    &["tip", "made"],
    &["branch", "made"],
    &["stem", "made"],
    &["leaf", "made"],
    &["made"],
    &["inc", "made"],
    &["now"],
    &["from", "here"],
    &["see"],
    &["work", "in", "continuous", "rounds"],
    &["first", "side"],
    &["second", "side"],
    &["the", "first", "side"],
    &["carry"],
    &["carrying"],
    &["sew"],
    &["finish"],
    &["secure"],
    &["gently"],
    &["tightly"],
    &["close"],
    &["as", "shown"],
    &["this", "brings"],
    &["remember"],
];

/// Openings of remarks that may hold a stitch's name or a number and are no work all the same: taken to the end of
/// their sentence, or to the next stitch.
pub(super) const ASIDES: &[&[&str]] = &[
    &["known", "as"],
    &["beg", "at"],
    &["beginning", "at"],
    &["starting", "at"],
    &["start", "at"],
    &["if", "desired"],
    &["to", "smooth"],
    &["to", "neaten"],
    &["to", "even", "out"],
    &["to", "hide"],
    &["to", "change"],
    &["to", "adjust"],
    &["cont", "stuffing"],
    &["continue", "stuffing"],
    &["divide"],
    &["working", "behind"],
    &["working", "through", "single"],
    &["working", "through", "all"],
    &["working", "through", "sts"],
    &["working", "through", "stitches"],
    &["continue", "working", "in"],
    &["make", "a", "slip", "knot"],
    &["slk"],
    &["proceed"],
    &["beginning", "and", "ending"],
    &["surface", "sl", "st"],
    &["surface", "slip", "st"],
    &["surface", "slip", "stitch"],
    &["surface", "crochet"],
    &["working", "in", "front", "of"],
    &["working", "over"],
    &["drop"],
    &["pm"],
    &["place", "marker"],
    &["place", "a", "marker"],
    &["place", "a", "stitch", "marker"],
    &["place", "stitch", "marker"],
    &["mark"],
    &["move", "marker"],
    &["move", "the", "marker"],
    &["move", "stitch", "marker"],
    &["remove", "marker"],
    &["begin", "in", "spiral"],
    &["work", "in", "spiral"],
    &["working", "in", "spiral"],
    &["work", "in", "continuous"],
    &["working", "from", "left", "to", "right"],
    &["working", "left", "to", "right"],
    &["instead", "of", "from", "right"],
    &["as", "usual"],
    &["being", "careful"],
    &["taking", "care"],
    &["carry"],
    &["carrying"],
    &["pushing"],
    &["holding"],
    &["stuff"],
    &["continue", "to", "stuff"],
    &["continue", "stuffing"],
    &["begin", "stuffing"],
    &["begin", "to", "stuff"],
    &["start", "to", "stuff"],
    &["keep", "away"],
    &["not", "the"],
    &["and", "seam"],
    &["and", "sew"],
    &["start", "stuffing"],
    &["do", "not", "fasten", "off"],
    &["do", "not", "break"],
    &["do", "not", "cut"],
    &["picking", "up"],
    &["remove", "stitch", "marker"],
    &["remove", "the"],
    &["remove", "your"],
    &["you", "can"],
    &["you", "should"],
    &["you", "may"],
    &["if", "desired"],
    &["if", "it"],
    &["if", "your"],
    &["check", "the"],
    &["check", "your"],
    &["undo"],
    &["invisible", "join"],
    &["join", "with", "invisible"],
    &["join", "with", "an", "invisible"],
    &["join", "invisibly"],
    &["work", "in", "a", "spiral"],
    &["working", "in", "a", "spiral"],
    &["sew"],
    &["weave"],
    &["draw", "end"],
    &["draw", "yarn"],
    &["thread", "yarn"],
    &["pull", "end"],
    &["pull", "ring"],
    &["pull", "the", "ring"],
    &["pull", "yarn"],
    &["leave", "a", "long"],
    &["leave", "long"],
    &["leaving", "a", "long"],
    &["leaving", "long"],
    &["and", "fasten", "securely"],
    &["see"],
    &["optional"],
    &["for", "hanging", "loop"],
];

/// Words of colours, for yarns that have no letter.
pub(super) const COLOURS: &[&str] = &[
    "dark",
    "light",
    "pale",
    "bright",
    "deep",
    "red",
    "orange",
    "yellow",
    "green",
    "blue",
    "purple",
    "violet",
    "pink",
    "brown",
    "black",
    "white",
    "gray",
    "grey",
    "cream",
    "ivory",
    "beige",
    "tan",
    "gold",
    "golden",
    "silver",
    "turquoise",
    "teal",
    "navy",
    "lilac",
    "lavender",
    "rose",
    "coral",
    "peach",
    "rust",
    "olive",
    "mint",
    "aqua",
    "maroon",
];

/// The number of a number word.
pub(super) fn number_word(word: &str) -> Option<u32> {
    NUMBERS.iter().find(|(w, _)| *w == word).map(|&(_, n)| n)
}

/// The number of an ordinal word.
pub(super) fn ordinal_word(word: &str) -> Option<u32> {
    ORDINALS.iter().find(|(w, _)| *w == word).map(|&(_, n)| n)
}

/// What a table holds, by the first letter of its first word: a reader asks at every word of a text.
pub(super) struct ByLetter<T: 'static>(Vec<Vec<&'static T>>);

impl<T> ByLetter<T> {
    fn of(table: &'static [T], first: impl Fn(&T) -> &str) -> Self {
        let mut letters: Vec<Vec<&'static T>> = (0..=255).map(|_| Vec::new()).collect();
        for row in table {
            letters[usize::from(first_byte(first(row)))].push(row);
        }
        Self(letters)
    }

    /// Rows of the table that a word may begin, in the table's order.
    pub fn begun_by(&self, word: &str) -> &[&'static T] {
        &self.0[usize::from(first_byte(word))]
    }
}

fn first_byte(word: &str) -> u8 {
    word.bytes().next().unwrap_or(0)
}

/// [`STITCHES`] by letter.
pub(super) static STITCHES_BY_LETTER: LazyLock<ByLetter<StitchName>> =
    LazyLock::new(|| ByLetter::of(STITCHES, |name| name.words[0]));

/// [`ASIDES`] by letter.
pub(super) static ASIDES_BY_LETTER: LazyLock<ByLetter<&[&str]>> =
    LazyLock::new(|| ByLetter::of(ASIDES, |words| words[0]));

/// True where `word` is `base`, or its plural.
pub(super) fn is_or_plural(word: &str, base: &str) -> bool {
    word == base || word.strip_suffix('s') == Some(base) || word.strip_suffix("es") == Some(base)
}

/// True for a word that some table of the craft knows.
pub(super) fn is_of_the_craft(word: &str) -> bool {
    OF_THE_CRAFT.contains(word)
}

static OF_THE_CRAFT: LazyLock<BTreeSet<String>> = LazyLock::new(|| {
    let lists = [CHAIN, STITCH, SPACE, INTO, SKIP, REPEAT, ROUND, ROW, TO_END, LIMBS, BEGINNING, WORKING_WORDS, OTHERS];
    let mut all: BTreeSet<String> = lists.into_iter().flatten().map(|&w| w.to_owned()).collect();
    all.extend([NUMBERS, ORDINALS, TIMES].into_iter().flatten().map(|&(w, _)| w.to_owned()));
    for word in STITCHES.iter().flat_map(|name| name.words) {
        all.extend([(*word).to_owned(), format!("{word}s"), format!("{word}es")]);
    }
    all
});

/// Words of the craft that stand in no other table.
const OTHERS: &[&str] = &[
    "increase",
    "increases",
    "decrease",
    "decreases",
    "rs",
    "ws",
    "mc",
    "cc",
    "blo",
    "flo",
    "yo",
    "yoh",
    "incs",
    "decs",
];

/// Words a misspelling is held against.
pub(super) const NEAR: &[&str] = &[
    "sc", "hdc", "dc", "tr", "dtr", "trtr", "htr", "sl st", "ch", "sc2tog", "sc3tog", "hdc2tog", "dc2tog", "dc3tog",
    "tr2tog", "inc", "dec", "picot", "single", "double", "treble", "half", "crochet", "chain", "skip", "turn", "join",
    "repeat", "fasten", "shell", "cluster", "popcorn", "bobble", "puff",
];

/// Shapes that are each a few stitches beside one chain space, as in work from corner to corner.
pub(super) const BLOCKS: &[&str] = &["block", "blocks", "square", "squares", "tile", "tiles"];
