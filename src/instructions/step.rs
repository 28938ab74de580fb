use super::{Pick, Until, Which};
use crate::craft::{LoopPart, Stem, StitchForm};
use crate::source::Span;
use serde::{Serialize, Serializer};

/// One thing to do, with the words that say it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Step {
    /// What to do.
    pub act: Act,
    /// The words.
    pub span: Span,
}

impl Step {
    /// The same, and all within it, said by other words.
    pub fn moved_to(mut self, span: Span) -> Step {
        self.span = span;
        if let Act::Group { steps, .. } | Act::Repeat { steps, .. } = &mut self.act {
            *steps = std::mem::take(steps).into_iter().map(|s| s.moved_to(span)).collect();
        }
        self
    }
}

/// What a step does.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Act {
    /// Make chains.
    Chain {
        /// How many.
        n: u32,
    },
    /// Make a foundation chain as long as wanted.
    AnyChain,
    /// Close the chain just made into a ring, or begin a ring of thread.
    Ring {
        /// True for a ring of thread.
        thread: bool,
    },
    /// Work `each` stitches of a form into every place of the target.
    Work {
        /// Stitches in each place.
        each: u32,
        /// Their make.
        #[serde(serialize_with = "as_text")]
        form: StitchForm,
        /// Where.
        at: Target,
    },
    /// Work everything inside into one place, for every place of the target.
    Group {
        /// What.
        steps: Vec<Step>,
        /// Where.
        at: Target,
        /// The pattern's own name for it, where it has one.
        name: Option<String>,
    },
    /// Do again.
    Repeat {
        /// What.
        steps: Vec<Step>,
        /// How often.
        times: Times,
        /// Index of the step before which the last pass stops ("ending last repeat at **").
        stop: Option<usize>,
    },
    /// Pass places by.
    Skip {
        /// How many.
        n: u32,
        /// Of what.
        class: Class,
    },
    /// Pass by the first place of the row: the one that a turning chain which counts stands on already.
    SkipFirst {
        /// What it is called.
        class: Class,
    },
    /// Leave what is left.
    Leave {
        /// How many, where told.
        n: Option<u32>,
    },
    /// Work through both layers of a piece lying flat: every stitch takes the place before it and the one behind that.
    BothLayers {
        /// True where the words say so of the row that follows.
        next: bool,
        /// True where a tube is flattened: its edge is both layers, and half of it is worked along.
        folded: bool,
    },
    /// Place a marker on what was just made.
    Mark {
        /// How far back it lies; 0 for the last stitch or chain.
        back: u32,
    },
    /// Meshes or blocks of filet, one upon each of the row below.
    Filet {
        /// How many; 0 for as many as there are.
        n: u32,
        /// True for blocks.
        filled: bool,
    },
    /// A picot: chains closed into a loop on the spot.
    Picot {
        /// Chains.
        n: u32,
    },
    /// Close the round.
    Join {
        /// Into what.
        to: JoinTo,
        /// With which stitch, where not a slip stitch.
        #[serde(serialize_with = "as_text")]
        with: StitchForm,
    },
    /// Say that the round is not joined.
    DoNotJoin,
    /// Say that what follows a repeat takes the place of the end of its last pass.
    Ending,
    /// Turn the work.
    Turn,
    /// Say that it is not turned.
    DoNotTurn,
    /// Go on along the far side of the foundation chain.
    FarSide,
    /// Go on along the ends of the rows.
    RowEnds,
    /// Go on into the loops that a row left unused.
    LoopsOf {
        /// Which loops, where told.
        part: Option<LoopPart>,
        /// The row's number, where told.
        row: Option<u32>,
    },
    /// Go on into what a row further down left open, or back to the row below.
    OfRow {
        /// The row's number.
        row: u32,
    },
    /// Go round the opening a row left: the stitches it skipped, then the chain over them from below.
    Opening {
        /// The number of the row that left it, where told.
        row: Option<u32>,
    },
    /// Attach a yarn.
    Attach {
        /// Its letter or colour; the one in hand where none is told.
        yarn: Option<String>,
        /// Where, if told.
        at: Option<Target>,
    },
    /// Go on along an edge of a piece made up of others, or of one finished before: nothing tells its places.
    NewEdge,
    /// Take up a yarn for what follows.
    With {
        /// Its letter or colour.
        yarn: String,
    },
    /// Change yarn on the last pull-through of the last stitch.
    Change {
        /// Its letter or colour.
        yarn: String,
    },
    /// Cut the yarn.
    FastenOff {
        /// Which, where told.
        yarn: Option<String>,
    },
    /// Tell of the chain just made whether it counts.
    Counts {
        /// As what, where told.
        stem: Option<Stem>,
        /// Chains of a space that it stands for beside ("counts as dc, ch 2").
        space: u32,
        /// Whether it counts.
        counts: bool,
    },
    /// Work again as an earlier row was worked.
    AsRow {
        /// Numbers of the rows, in order; counted back from `u32::MAX` for "last row", on from [`AS_NAMED`](crate::instructions::AS_NAMED) for a row by
        /// its name, and [`AS_EVEN`](crate::instructions::AS_EVEN) for a plain one.
        rows: Vec<u32>,
    },
    /// In the rows worked again before it, put one thing in the place of another: both are chains, work without a place
    /// (`each` 0 where any number of the stitch is meant), or rows worked into.
    Instead {
        /// What is not worked.
        of: Box<Step>,
        /// What is.
        put: Box<Step>,
    },
    /// Work rows of another part. Reading puts those rows in its place: no row of a pattern read holds it.
    AsPart {
        /// The part's name, lower case.
        part: String,
        /// Which rows of it.
        rows: PartRows,
    },
    /// What follows is worked on another part that ended with its edge open: "sc around first leg".
    OnPart {
        /// What the part is called, in the singular, lower case.
        noun: String,
        /// Which of those called so.
        which: WhichPart,
    },
    /// Work rows again until something is so.
    RowsUntil {
        /// Numbers of the rows as in `AsRow`; none for the rows in hand, plain or in pattern.
        rows: Vec<u32>,
        /// What ends it.
        until: Until,
        /// True where it is the row's own work that is done again.
        own: bool,
    },
    /// Nothing to work: these rows are the pattern that "in pattern" means from here on.
    Pattern {
        /// Numbers of the rows as in `AsRow`.
        rows: Vec<u32>,
    },
    /// So many increases or decreases, spaced evenly over the stitches of the step before, or of a row of their own.
    Shape {
        /// How many; 0 for as many as the row before has.
        by: u32,
        /// True for increases.
        more: bool,
        /// True where they are a row of plain stitches of their own.
        own: bool,
    },
    /// Work plain rows, one stitch in each, until there are so many rows.
    Even {
        /// Number of the last row; one more row where only a measure is told.
        until: Option<u32>,
    },
}

impl Act {
    /// True where it makes stitches.
    pub fn works(&self) -> bool {
        matches!(
            self,
            Act::Work { .. } | Act::Group { .. } | Act::Repeat { .. } | Act::Picot { .. } | Act::Filet { .. }
        )
    }
}

fn as_text<S: Serializer>(form: &StitchForm, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(form)
}

/// Which of the parts of one name is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum WhichPart {
    /// The first, the second, ….
    Numbered(u32),
    /// The one that is not in hand.
    Other,
}

/// Which rows of a part are worked again.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum PartRows {
    /// All of them.
    All,
    /// Those of these numbers.
    Numbered(Vec<u32>),
    /// From one mark of stars to another.
    Marked {
        /// Stars of the mark at which they begin.
        from: usize,
        /// Stars of the mark at which they end.
        to: usize,
    },
}

/// What kind of place a phrase names.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Class {
    /// Whatever comes next.
    #[default]
    Any,
    /// A stitch of any kind.
    Stitch,
    /// A stitch of this kind, by its US name.
    Kind(String),
    /// A chain.
    Chain,
    /// A chain space; of a length, where told.
    Space(Option<u32>),
    /// Stitches and spaces alike.
    All,
    /// Stitches, and the chains of spaces one by one.
    AllChains,
    /// The end of a row.
    RowEnd,
    /// The tip of a branch: the chain skipped there.
    Tip,
    /// The open end of the foundation chain, between the ends of the rows on either side of it.
    ChainEnd,
    /// A group of the pattern's own, by its name: its space, or its middle stitch.
    Group(String),
    /// A corner space: one inside a group worked into one place; of a length, where told.
    Corner(Option<u32>),
    /// A run of stitches of one kind between spaces, or worked into one place: "3-dc group".
    Run {
        /// How many stitches; 0 where untold.
        n: u32,
        /// Of which kind, by its US name, where told.
        kind: Option<String>,
    },
    /// A picot.
    Picot,
    /// The middle stitch of a group worked into one stitch: where an edging turns a corner.
    CornerStitch,
    /// A stitch or chain with a marker on it.
    Marked,
    /// The space of the chain that opened the row below: "turning ch sp".
    OpeningSpace,
}

/// Where something is worked.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Target {
    /// The next `n` places of a class, one after another.
    Next {
        /// How many.
        n: u32,
        /// Of what.
        class: Class,
    },
    /// Every place of a class to the end, but for the last few.
    Each {
        /// Of what.
        class: Class,
        /// How many are left at the end.
        less: u32,
        /// Every how many ("every 3rd st"); 1 for each.
        every: u32,
    },
    /// The last `n` places of a class.
    Last {
        /// How many.
        n: u32,
        /// Of what.
        class: Class,
    },
    /// The place the last stitch, or the join, went into.
    Same,
    /// The `n`th chain from the hook.
    FromHook {
        /// Counted from 1.
        n: u32,
    },
    /// The ring.
    Ring,
    /// The top of the turning or starting chain of the row below.
    TurningTop,
    /// The `n`th place of a class from the start of the edge, or of this row's own work.
    First {
        /// Of what.
        class: Class,
    },
    /// The middle place of the next group of this many.
    Centre {
        /// Of what.
        class: Class,
    },
    /// A part of a shape: "2nd dc of next shell", "ch-2 sp of each shell".
    Within {
        /// Which part.
        pick: Pick,
        /// Of what class the part is.
        class: Class,
        /// The shape.
        shape: Class,
        /// Which one of them.
        which: Which,
    },
    /// The gap between the next two places of a class, or every such gap.
    Between {
        /// What lies on both sides.
        class: Class,
        /// True for each gap to the end.
        each: bool,
    },
    /// In a row further down, in front of the next place.
    Below {
        /// How many.
        n: u32,
        /// Of what class, there below.
        class: Class,
        /// Rows down from this one.
        rows: u32,
    },
    /// Places skipped before, across what was worked since.
    Skipped {
        /// Counted from the first of them, where told.
        nth: Option<u32>,
        /// How many; 0 for all there are.
        n: u32,
    },
    /// One stitch over several places, each of its own class: "sc2tog over next sc and ch-1 sp".
    Over {
        /// What its legs go into, one after another.
        legs: Vec<Class>,
    },
    /// So many stitches short of a place, as what ends a stretch: "to 2 sts before next corner".
    Short {
        /// How many.
        n: u32,
        /// Of which place.
        of: Box<Target>,
    },
    /// Every place of a class before another place: "each st to next corner sp".
    UpTo {
        /// Of what.
        class: Class,
        /// The place that ends it, not worked into.
        stop: Box<Target>,
    },
    /// Evenly along an edge, `n` in all where told.
    Evenly {
        /// How many, where told.
        n: Option<u32>,
    },
}

impl Target {
    /// The next place, whatever it is.
    pub const NEXT: Target = Target::Next { n: 1, class: Class::Any };

    /// True where it is every place to the end.
    pub fn goes_to_end(&self) -> bool {
        matches!(
            self,
            Target::Each { .. } | Target::Between { each: true, .. } | Target::Within { which: Which::Each, .. }
        )
    }
}

/// How often a repeat is worked, the first time included.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Times {
    /// `n` in all.
    InAll(u32),
    /// Once, and `n` more.
    More(u32),
    /// "rep from * n times": n more by the trade's rule, n in all in some houses.
    Doubt(u32),
    /// To the end, or until `less` places of a class are left.
    ToEnd {
        /// Places left for what follows.
        less: u32,
        /// Of what.
        class: Class,
    },
    /// Once for every place to the end that a step names, by the step that names it most closely.
    Along,
    /// To the place told, which is left for what follows.
    UpTo {
        /// The place.
        stop: Box<Target>,
    },
}

/// What a round is joined to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum JoinTo {
    /// Not told: the round's first stitch.
    Untold,
    /// The first stitch.
    First,
    /// The top of the starting chain, or a chain of it counted from the foot.
    Chain(Option<u32>),
    /// A space: the first one.
    Space,
}
