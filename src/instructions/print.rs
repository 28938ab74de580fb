use super::{
    AS_EVEN, AS_NAMED, Act, Class, EndWith, JoinTo, Measure, Pick, Row, Step, Target, Times, Until, WhichPart,
};
use std::fmt;

/// Prints rows in one plain manner that reads back as the same steps, in US terms.
impl fmt::Display for Row {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write_steps(f, &self.steps)
    }
}

fn write_steps(f: &mut fmt::Formatter<'_>, steps: &[Step]) -> fmt::Result {
    for (i, step) in steps.iter().enumerate() {
        if i > 0 {
            f.write_str(", ")?;
        }
        write!(f, "{step}")?;
    }
    Ok(())
}

impl fmt::Display for Step {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.act {
            Act::Chain { n } => write!(f, "ch {n}"),
            Act::Mark { back: 0 } => f.write_str("place marker"),
            Act::Mark { back } => write!(f, "place marker {back} sts back"),
            Act::AnyChain => f.write_str("make a chain of any length"),
            Act::Ring { thread: true } => f.write_str("make a magic ring"),
            Act::Ring { thread: false } => f.write_str("join with sl st to form a ring"),
            Act::Work { each, form, at } => {
                if *each > 1 {
                    write!(f, "{each} ")?;
                }
                write!(f, "{form} {at}")
            }
            Act::Group { steps, at, .. } => {
                f.write_str("(")?;
                write_steps(f, steps)?;
                write!(f, ") {at}")
            }
            Act::Repeat { steps, times, .. } => {
                f.write_str("[")?;
                write_steps(f, steps)?;
                write!(f, "] {times}")
            }
            Act::Skip { n, class } => write!(f, "skip next {n} {}", class.words(*n)),
            Act::SkipFirst { class } => write!(f, "skip first {}", class.words(1)),
            Act::Leave { n: Some(n) } => write!(f, "leave last {n} sts unworked"),
            Act::BothLayers { next: false, folded: true } => f.write_str("folded flat, working through both layers"),
            Act::BothLayers { next: false, .. } => f.write_str("working through both layers"),
            Act::BothLayers { next: true, .. } => f.write_str("work the next row through both layers"),
            Act::Leave { n: None } => f.write_str("leave remaining sts unworked"),
            Act::Filet { n: 0, filled } => write!(f, "{} across", if *filled { "block" } else { "mesh" }),
            Act::Filet { n, filled } => write!(f, "{n} {}", if *filled { "blocks" } else { "mesh" }),
            Act::Picot { n } => write!(f, "ch {n}, sl st in {} ch from hook", ordinal(*n)),
            Act::Join { to, with } => write!(f, "join with {with} {}", to.words()),
            Act::Shape { by: 0, more, .. } => write!(f, "cont to {} as established", if *more { "inc" } else { "dec" }),
            Act::Shape { by, more, .. } => {
                write!(f, "{} {by} evenly", if *more { "inc" } else { "dec" })
            }
            Act::AsPart { part, .. } => write!(f, "as {part}"),
            Act::OnPart { noun, which: WhichPart::Numbered(n) } => write!(f, "working on {noun} {n}"),
            Act::OnPart { noun, which: WhichPart::Other } => write!(f, "working on other {noun}"),
            Act::NewEdge => f.write_str("along the edge of the piece"),
            Act::DoNotJoin => f.write_str("do not join"),
            Act::Ending => f.write_str("ending with"),
            Act::Turn => f.write_str("turn"),
            Act::DoNotTurn => f.write_str("do not turn"),
            Act::FarSide => f.write_str("working along opposite side of foundation ch"),
            Act::LoopsOf { row: Some(n), .. } => write!(f, "working in unused loops of row {n}"),
            Act::Opening { row: Some(n) } => write!(f, "working round opening of row {n}"),
            Act::Opening { row: None } => f.write_str("working round opening"),
            Act::LoopsOf { row: None, .. } => f.write_str("working in unused loops"),
            Act::OfRow { row } => write!(f, "working into row {row}"),
            Act::RowEnds => f.write_str("working in ends of rows"),
            Act::Attach { yarn, at } => {
                write!(f, "join {}", yarn.as_deref().unwrap_or("yarn"))?;
                at.iter().try_for_each(|at| write!(f, " {at}"))
            }
            Act::With { yarn } => write!(f, "with {yarn}"),
            Act::Change { yarn } => write!(f, "changing to {yarn} in last st"),
            Act::FastenOff { yarn: Some(yarn) } => write!(f, "fasten off {yarn}"),
            Act::FastenOff { yarn: None } => f.write_str("fasten off"),
            Act::Counts { stem, space, counts } => match (stem, space, counts) {
                (_, _, false) => f.write_str("(does not count as a st)"),
                (Some(stem), 0, true) => write!(f, "(counts as {stem})"),
                (Some(stem), n, true) => write!(f, "(counts as {stem}, ch {n})"),
                (None, _, true) => f.write_str("(counts as a st)"),
            },
            Act::Even { until: Some(n) } => write!(f, "work even until {n} rows"),
            Act::Even { until: None } => f.write_str("work even"),
            Act::RowsUntil { rows, until, .. } => {
                match rows.as_slice() {
                    [] => f.write_str("work even in pat")?,
                    many => write_rows(f, many)?,
                }
                write!(f, " {until}")
            }
            Act::AsRow { rows } => write_rows(f, rows),
            Act::Pattern { rows } => {
                f.write_str("pattern: ")?;
                write_rows(f, rows)
            }
            Act::Instead { of, put } if let (Act::OfRow { row: of }, Act::OfRow { row: put }) = (&of.act, &put.act) => {
                write!(f, "working in row {put} instead of row {of}")
            }
            Act::Instead { of, put } => {
                f.write_str("replacing ")?;
                write_bare(f, &of.act)?;
                f.write_str(" with ")?;
                write_bare(f, &put.act)
            }
        }
    }
}

/// Work without its place.
fn write_bare(f: &mut fmt::Formatter<'_>, act: &Act) -> fmt::Result {
    match act {
        Act::Work { each: 0, form, .. } => write!(f, "{form}"),
        Act::Work { each, form, .. } => write!(f, "{each} {form}"),
        Act::Chain { n } => write!(f, "ch {n}"),
        _ => Ok(()),
    }
}

/// To a tenth of a millimetre: inches come out in more places than anyone measures.
fn tenths(mm: f64) -> f64 {
    libm::round(10.0 * mm) / 10.0
}

fn write_rows(f: &mut fmt::Formatter<'_>, rows: &[u32]) -> fmt::Result {
    let back = |n: u32| u32::MAX - n;
    match rows {
        [one] if (AS_NAMED..AS_EVEN).contains(one) => write!(f, "repeat row by name {}", one - AS_NAMED),
        [one] if back(*one) < 1000 => f.write_str("repeat last row"),
        [first, ..] if back(*first) < 1000 => write!(f, "repeat last {} rows", rows.len()),
        [one] => write!(f, "repeat row {one}"),
        many => {
            f.write_str("repeat rows ")?;
            for (i, n) in many.iter().enumerate() {
                write!(f, "{}{n}", if i == 0 { "" } else { " and " })?;
            }
            Ok(())
        }
    }
}

impl fmt::Display for Until {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Until { row: Some(n), .. } => write!(f, "until there are {n} rows")?,
            Until { rows: Some(n), .. } => write!(f, "for {n} rows")?,
            Until { sts: Some(n), .. } => write!(f, "until there are {n} sts")?,
            Until { measure: Some(Measure { mm: Some(mm), whole: true, .. }), .. } => {
                write!(f, "until piece measures {} mm", tenths(*mm))?;
            }
            Until { measure: Some(Measure { mm: Some(mm), .. }), .. } => write!(f, "for {} mm", tenths(*mm))?,
            _ => f.write_str("to desired length")?,
        }
        match self.end {
            Some(EndWith::Side { right }) => write!(f, ", ending with a {} row", if right { "RS" } else { "WS" }),
            Some(EndWith::Row(n)) => write!(f, ", ending with row {n}"),
            None => Ok(()),
        }
    }
}

impl fmt::Display for Target {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Target::Next { n: 1, class } => write!(f, "in next {}", class.words(1)),
            Target::Next { n, class } => write!(f, "in each of next {n} {}", class.words(*n)),
            Target::Each { class, less: 0, every: 1 } => write!(f, "in each {} to end", class.words(1)),
            Target::Each { class, less, every: 1 } => {
                write!(f, "in each {} to last {less} {}", class.words(1), class.words(*less))
            }
            Target::Each { class, every, .. } => write!(f, "in every {} {}", ordinal(*every), class.words(1)),
            Target::Last { n: 1, class } => write!(f, "in last {}", class.words(1)),
            Target::Last { n, class } => write!(f, "in each of last {n} {}", class.words(*n)),
            Target::Same => f.write_str("in same st"),
            Target::FromHook { n } => write!(f, "in {} ch from hook", ordinal(*n)),
            Target::Ring => f.write_str("in ring"),
            Target::TurningTop => f.write_str("in top of turning ch"),
            Target::First { class } => write!(f, "in first {}", class.words(1)),
            Target::Centre { class } => write!(f, "in center {}", class.words(1)),
            Target::Within { pick, class, shape, which } => {
                let of = match pick {
                    Pick::Only => class.words(1),
                    Pick::Nth(n) => format!("{} {}", ordinal(*n), class.words(1)),
                    Pick::First(n) => format!("first {n} {}", class.words(*n)),
                    Pick::Last(n) => format!("last {n} {}", class.words(*n)),
                    Pick::Centre => format!("center {}", class.words(1)),
                    Pick::Each => format!("each {}", class.words(1)),
                    Pick::Before => format!("last {}", class.words(1)),
                    Pick::After => format!("first {}", class.words(1)),
                };
                write!(f, "in {of} {} {} {}", pick.link(), which.word(), shape.words(1))
            }
            Target::Between { class, each: false } => write!(f, "between next 2 {}", class.words(2)),
            Target::Between { class, each: true } => write!(f, "between each {}", class.words(1)),
            Target::Below { n, class, rows } => write!(f, "in next {n} {} {rows} rows below", class.words(*n)),
            Target::Over { legs } => {
                let legs: Vec<String> = legs.iter().map(|class| format!("next {}", class.words(1))).collect();
                write!(f, "over {}", legs.join(" and "))
            }
            Target::Skipped { nth: Some(nth), .. } => write!(f, "in {} skipped st", ordinal(*nth)),
            Target::Skipped { nth: None, n: 0 } => f.write_str("in each skipped st"),
            Target::Skipped { nth: None, n } => write!(f, "in {n} skipped {}", Class::Stitch.words(*n)),
            Target::Short { n, of } => write!(f, "in {n} {} before {}", Class::Stitch.words(*n), bare(of)),
            Target::UpTo { class, stop } => write!(f, "in each {} up to {}", class.words(1), bare(stop)),
            Target::Evenly { n: Some(n) } => write!(f, "{n} evenly along edge"),
            Target::Evenly { n: None } => f.write_str("evenly along edge"),
        }
    }
}

impl fmt::Display for Times {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Times::InAll(n) => write!(f, "{n} times"),
            Times::More(n) => write!(f, "{} times", n + 1),
            Times::Doubt(n) => write!(f, "{} times", n + 1),
            Times::ToEnd { less: 0, .. } => f.write_str("to end"),
            Times::Along => f.write_str("along"),
            Times::UpTo { stop } => write!(f, "up to {}", bare(stop)),
            Times::ToEnd { less, class } => write!(f, "to last {less} {}", class.words(*less)),
        }
    }
}

/// A place without its "in".
fn bare(at: &Target) -> String {
    let words = at.to_string();
    words.strip_prefix("in ").map_or_else(|| words.clone(), str::to_owned)
}

impl Class {
    /// The class in words, for one or for several.
    pub fn words(&self, n: u32) -> String {
        let s = if n == 1 { "" } else { "s" };
        match self {
            Class::Any | Class::Stitch => format!("st{s}"),
            Class::Kind(kind) => kind.clone(),
            Class::Chain => "ch".into(),
            Class::Space(Some(k)) => format!("ch-{k} sp{s}"),
            Class::Space(None) => format!("ch sp{s}"),
            Class::RowEnd => format!("row end{s}"),
            Class::All => format!("st{s} and ch sp{s}"),
            Class::AllChains => format!("st{s} and ch"),
            Class::Tip => "tip".into(),
            Class::ChainEnd => "end of foundation ch".into(),
            Class::Group(name) => name.clone(),
            Class::Corner(None) => format!("corner sp{s}"),
            Class::Corner(Some(len)) => format!("corner ch-{len} sp{s}"),
            Class::Run { n: 0, kind } => format!("{} group{s}", kind.as_deref().unwrap_or("st")),
            Class::Run { n: many, kind } => format!("{many}-{} group{s}", kind.as_deref().unwrap_or("st")),
            Class::Marked => format!("marked st{s}"),
            Class::OpeningSpace => "turning ch sp".into(),
            Class::CornerStitch => format!("corner st{s}"),
            Class::Picot => format!("picot{s}"),
        }
    }
}

impl JoinTo {
    fn words(self) -> String {
        match self {
            JoinTo::Untold | JoinTo::First => "to first st".into(),
            JoinTo::Chain(None) => "to top of beg ch".into(),
            JoinTo::Chain(Some(n)) => format!("to {} ch of beg ch", ordinal(n)),
            JoinTo::Space => "to first ch sp".into(),
        }
    }
}

/// `1st`, `2nd`, `3rd`, `11th`.
pub(crate) fn ordinal(n: u32) -> String {
    let ending = match (n % 100, n % 10) {
        (11..=13, _) => "th",
        (_, 1) => "st",
        (_, 2) => "nd",
        (_, 3) => "rd",
        _ => "th",
    };
    format!("{n}{ending}")
}
