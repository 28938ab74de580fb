//! Which part of a chart is drawn, as it is asked for.

use super::Error;
use crate::chart::{Pick, Shaped, layered, one_repeat, shaped};
use crate::fabric::{Fabric, PartId, Row, RowId, RowShape};
use crate::layout::{Layout, LayoutOptions, Sizes};
use crate::symbol::Speak;
use std::ops::RangeInclusive;

/// A part of a chart.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[non_exhaustive]
pub struct PartChoice {
    /// Name of a part of the pattern.
    pub part: Option<String>,
    /// Rows or rounds by their numbers.
    pub rows: Vec<RangeInclusive<u32>>,
    /// One repeat: of rows a strip, of rounds a sector.
    pub one_repeat: bool,
    /// Shaped pieces taken apart: a disc, what is laid open beside it, and a table of rounds.
    pub shaped: bool,
    /// Layers that lie behind each other apart.
    pub layers: bool,
    /// The parts as plain shapes, with their names.
    pub placement: bool,
    /// On squares, as mesh and filet are charted.
    pub squares: bool,
}

impl PartChoice {
    /// The same of a part of the pattern.
    pub fn with_part(mut self, name: Option<String>) -> Self {
        self.part = name;
        self
    }

    /// The same of some rows.
    pub fn with_rows(mut self, rows: Vec<RangeInclusive<u32>>) -> Self {
        self.rows = rows;
        self
    }

    /// The same of one repeat.
    pub fn with_one_repeat(mut self, one: bool) -> Self {
        self.one_repeat = one;
        self
    }

    /// The same with shaped pieces taken apart.
    pub fn with_shaped(mut self, shaped: bool) -> Self {
        self.shaped = shaped;
        self
    }

    /// The same with layers apart.
    pub fn with_layers(mut self, layers: bool) -> Self {
        self.layers = layers;
        self
    }

    /// The same with the parts as plain shapes.
    pub fn with_placement(mut self, placement: bool) -> Self {
        self.placement = placement;
        self
    }

    /// The same on squares.
    pub fn with_squares(mut self, squares: bool) -> Self {
        self.squares = squares;
        self
    }

    /// A layout with shaped pieces or layers apart; none where neither is asked for.
    pub(super) fn parted(
        &self,
        fabric: &Fabric,
        whole: &Layout,
        sizes: &dyn Sizes,
        how: &LayoutOptions,
        speak: Speak,
    ) -> Result<Option<Shaped>, Error> {
        let none = |why: &str| Error::no_such(why.into());
        if self.shaped {
            let parted = shaped(fabric, whole, sizes, how, speak);
            return parted.map(Some).ok_or_else(|| none("no piece here is worked in rounds that go on beyond a disc"));
        }
        if self.layers {
            let parted = layered(fabric, whole, sizes, how, speak);
            return parted.map(Some).ok_or_else(|| none("no row here goes behind another"));
        }
        Ok(None)
    }

    /// The rows that are drawn on squares; none where stitches are drawn.
    pub(super) fn rows_on_squares(&self, fabric: &Fabric) -> Result<Option<Vec<RowId>>, Error> {
        if !self.squares {
            return Ok(None);
        }
        let part = self.part.as_deref().map(|name| part_of(fabric, name)).transpose()?;
        let rows = self.rows_of(fabric, part)?;
        let first = rows.first().map(|&r| fabric.row(r).part);
        Ok(Some(rows.into_iter().filter(|&r| Some(fabric.row(r).part) == part.or(first)).collect()))
    }

    /// What of a fabric that is; none where all of it is.
    pub(super) fn pick(&self, fabric: &Fabric, layout: &Layout) -> Result<Option<Pick>, Error> {
        let whole = self.part.is_none() && self.rows.is_empty() && !self.one_repeat;
        if self.squares || whole {
            return Ok(None);
        }
        let part = self.part.as_deref().map(|name| part_of(fabric, name)).transpose()?;
        let rows = self.rows_of(fabric, part)?;
        if !self.one_repeat {
            return Ok(Some(Pick::rows(fabric, &rows)));
        }
        // without a name the part that comes first is meant
        let first = rows.first().map(|&r| fabric.row(r).part);
        let rows: Vec<RowId> = rows.into_iter().filter(|&r| Some(fabric.row(r).part) == part.or(first)).collect();
        let none = || Error::no_such("nothing repeats here that could be drawn once".into());
        one_repeat(fabric, layout, &rows).map(Some).ok_or_else(none)
    }

    fn rows_of(&self, fabric: &Fabric, part: Option<PartId>) -> Result<Vec<RowId>, Error> {
        let of_part = |r: &&Row| part.is_none_or(|p| r.part == p);
        let rows: Vec<&Row> = fabric.rows.iter().filter(of_part).collect();
        if self.rows.is_empty() {
            return Ok(rows.iter().map(|r| r.index).collect());
        }
        for range in &self.rows {
            if !rows.iter().any(|r| number_of(r).is_some_and(|n| range.contains(&n))) {
                let told = if range.start() == range.end() {
                    format!("row {}", range.start())
                } else {
                    format!("row from {} to {}", range.start(), range.end())
                };
                let numbers = rows.iter().filter_map(|r| number_of(r));
                let last = numbers.max().map_or("no row has a number".to_owned(), |n| format!("the last is {n}"));
                return Err(Error::no_such(format!("there is no {told}; {last}")));
            }
        }
        let chosen = |r: &&&Row| number_of(r).is_some_and(|n| self.rows.iter().any(|range| range.contains(&n)));
        let mut found: Vec<RowId> = rows.iter().filter(chosen).map(|r| r.index).collect();
        // the first row brings the chain it is worked on
        for row in rows.iter().filter(|r| r.shape == RowShape::Foundation) {
            let next = RowId::new(row.index.index() + 1);
            if found.contains(&next) {
                found.push(row.index);
            }
        }
        found.sort_unstable();
        Ok(found)
    }
}

/// The number of a row or round; none for borders and rows with a name.
fn number_of(row: &Row) -> Option<u32> {
    let (kind, number) = row.label.split_once(' ')?;
    let plain = ["row", "round", "rnd"].contains(&kind.to_lowercase().as_str());
    number.trim().parse().ok().filter(|_| plain)
}

fn part_of(fabric: &Fabric, name: &str) -> Result<PartId, Error> {
    let same = |told: &str| told.trim().eq_ignore_ascii_case(name.trim());
    fabric.parts.iter().find(|p| same(&p.name)).map(|p| p.index).ok_or_else(|| {
        let names: Vec<String> = fabric.parts.iter().map(|p| format!("\"{}\"", p.name)).collect();
        Error::no_such(format!("there is no part \"{name}\"; the parts are {}", names.join(", ")))
    })
}
