//! A pineapple of lace as a place: the fan of stitches that is its base, and the loops or meshes above it, row by row.

use super::edge::{LiveEdge, Spot, What};
use crate::fabric::{Fabric, Place};
use std::ops::Range;

/// Stitches in one place that make the least base.
const LEAST_BASE: usize = 4;

impl LiveEdge {
    /// The pineapples along the edge: single stitches with a space between every two, else fans in one place.
    pub(super) fn pineapples(&self, fabric: &Fabric) -> Vec<Range<usize>> {
        let mut found = Vec::new();
        let mut at = 0;
        while at < self.spots.len() {
            let end = self.mesh_from(at);
            if end > at + 2 {
                found.push(at..end);
            }
            at = end.max(at + 1);
        }
        if found.is_empty() { self.fans(fabric) } else { found }
    }

    /// Where the stitches and spaces in turn end that begin at a place; the place itself where none do.
    fn mesh_from(&self, at: usize) -> usize {
        let single = |s: &Spot| matches!(s.what, What::Stitch(_)) && s.group.is_none();
        let length = |i: usize| match self.spots.get(i).map(|s| &s.what) {
            Some(What::Space(n, false)) => Some(*n),
            _ => None,
        };
        let mut end = at;
        if self.spots.get(at).is_some_and(single) {
            end = at + 1;
            let own = length(end);
            while own.is_some() && length(end) == own && self.spots.get(end + 1).is_some_and(single) {
                end += 2;
            }
        }
        end
    }

    /// Stitches in one place with no space between them.
    fn fans(&self, fabric: &Fabric) -> Vec<Range<usize>> {
        let place = |i: usize| -> Option<Place> {
            let id = self.spots[i].place.stitch().filter(|_| matches!(self.spots[i].what, What::Stitch(_)))?;
            fabric.stitch(id).into.first().copied()
        };
        let mut found: Vec<Range<usize>> = Vec::new();
        for i in 0..self.spots.len() {
            let here = place(i);
            match found.last_mut() {
                Some(fan) if here.is_some() && fan.end == i && place(fan.start) == here => fan.end = i + 1,
                _ if here.is_some() => found.push(i..i + 1),
                _ => {}
            }
        }
        found.retain(|fan| fan.len() >= LEAST_BASE);
        found
    }
}
