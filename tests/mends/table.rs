//! What became of the faults, in figures.

use super::faults::Kind;
use std::fmt;

/// What became of one fault.
#[derive(Clone, Copy, Debug, Default)]
pub struct Outcome {
    /// Something was reported; nothing is of the sound pattern.
    pub noticed: bool,
    /// Place of the row as it was among the mends shown.
    pub place: Option<usize>,
    /// Mends shown.
    pub mends: usize,
    /// Mends as good as the first.
    pub equal: usize,
}

#[derive(Default)]
pub struct Table {
    all: Vec<(Kind, Outcome)>,
}

impl Table {
    pub fn add(&mut self, kind: Kind, outcome: Outcome) {
        self.all.push((kind, outcome));
    }

    pub fn len(&self) -> usize {
        self.all.len()
    }

    /// Of the faults that `of` picks, how many there are, are first, and are among the three, in hundredths.
    fn line(&self, of: impl Fn(&(Kind, Outcome)) -> bool) -> Line {
        let picked: Vec<&Outcome> = self.all.iter().filter(|o| of(o)).map(|(_, o)| o).collect();
        let share = |n: usize| if picked.is_empty() { 100.0 } else { 100.0 * n as f64 / picked.len() as f64 };
        Line {
            faults: picked.len(),
            noticed: share(picked.iter().filter(|o| o.noticed).count()),
            first: share(picked.iter().filter(|o| o.place == Some(0)).count()),
            in_three: share(picked.iter().filter(|o| o.place.is_some()).count()),
        }
    }

    /// The figures the mends are held to.
    pub fn holds(&self) {
        let all = self.line(|_| true);
        let unique = self.line(|(_, o)| o.equal == 1);
        let few = self.line(|(_, o)| (1..=3).contains(&o.equal));
        assert!(all.noticed >= 99.0, "noticed: {}", all.noticed);
        assert!(unique.first >= 90.0, "first where one mend is the smallest: {}", unique.first);
        assert!(few.in_three >= 90.0, "in three where at most three fit equally: {}", few.in_three);
        assert!(all.first >= 70.0, "first: {}", all.first);
        assert!(all.in_three >= 88.0, "in three: {}", all.in_three);
    }
}

struct Line {
    faults: usize,
    noticed: f64,
    first: f64,
    in_three: f64,
}

impl fmt::Display for Table {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{:24} {:>6} {:>9} {:>7} {:>9}", "", "faults", "noticed", "first", "in three")?;
        let mut line = |name: &str, l: Line| {
            writeln!(f, "{name:24} {:6} {:8.1}% {:6.1}% {:8.1}%", l.faults, l.noticed, l.first, l.in_three)
        };
        for kind in Kind::ALL {
            line(kind.name(), self.line(|(k, _)| *k == kind))?;
        }
        line("no mend", self.line(|(_, o)| o.mends == 0))?;
        line("one is the smallest", self.line(|(_, o)| o.equal == 1))?;
        line("at most three equal", self.line(|(_, o)| (1..=3).contains(&o.equal)))?;
        line("two or three equal", self.line(|(_, o)| (2..=3).contains(&o.equal)))?;
        line("more than three equal", self.line(|(_, o)| o.equal > 3))?;
        line("all", self.line(|_| true))
    }
}
