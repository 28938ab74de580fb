//! Triangles where yarn is attached or cut, with the yarn's letter.

use super::Style;
use super::figure::shape;
use super::ground::Ground;
use super::metrics::Metrics;
use super::numbers::{shifted, unit};
use super::scene::{Label, LabelRole, Mark, MarkRole};
use super::trace::traced;
use crate::fabric::{Event, EventKind, Fabric, Place, Role, StitchId};
use crate::layout::Layout;
use crate::symbol::{Stand, SymbolSet};
use kurbo::{Point, Vec2};

/// Distance kept from ink, which at the tip is close by nature.
const CLEAR: f64 = 0.06;
/// Distances from the place to the tip, best first; all within the 0.1 to 0.3 that still reads as pointing at it.
const TIPS: [f64; 4] = [0.2, 0.15, 0.25, 0.12];
/// The farthest of them from the end of an oval.
const FARTHEST_OF_OVALS: f64 = 0.16;
/// Directions tried, all round.
const WAYS: usize = 48;

/// What is asked of the placing: everything it looks at.
pub(super) struct Yarns<'a> {
    pub fabric: &'a Fabric,
    pub layout: &'a Layout,
    pub symbols: &'a SymbolSet,
    pub style: &'a Style,
    pub metrics: &'a Metrics<'a>,
    /// True where the triangles carry letters.
    pub lettered: bool,
}

impl Yarns<'_> {
    /// Places every triangle with its letter, and puts both on the ground.
    pub fn place(&self, ground: &mut Ground) -> (Vec<Mark>, Vec<Label>) {
        let (mut marks, mut labels) = (Vec::new(), Vec::new());
        for event in self.fabric.events.iter().filter(|e| e.told) {
            let (role, key) = match event.kind {
                EventKind::Attach => (MarkRole::Attach, "attach"),
                EventKind::Cut => (MarkRole::Cut, "cut"),
                _ => continue,
            };
            let Some((target, wish, stitch)) = self.target(event) else { continue };
            let Some((mark, away)) = self.triangle(role, key, target, wish, stitch, ground) else { continue };
            mark.shapes.iter().flat_map(traced).for_each(|s| ground.add(s, None));
            if let Some(letter) = event.colour.as_deref().filter(|_| self.lettered)
                && let Some(mut label) = self.letter(letter, &mark, away, ground)
            {
                label.row = Some(self.fabric.stitch(stitch).row);
                ground.add_box(label.bounds);
                labels.push(label);
            }
            marks.push(mark);
        }
        (marks, labels)
    }

    /// The point a triangle points at, the way it would best lie from there, and the stitch it belongs to.
    fn target(&self, event: &Event) -> Option<(Point, Vec2, StitchId)> {
        let pose = |id: StitchId| self.layout.pose(id);
        if event.kind == EventKind::Cut {
            let last = event.after?;
            let before = StitchId::new(last.index().checked_sub(1)?);
            let along = unit(pose(last).head - pose(before).head).unwrap_or(Vec2::new(-1.0, 0.0));
            // a dot or chain has no way up: the last stitch that stands tells it
            let rise = |s: &crate::fabric::Stitch| unit(pose(s.id).head - *pose(s.id).feet.first()?);
            let up = self.fabric.stitches[..=last.index()]
                .iter()
                .rev()
                .take(30)
                .find_map(rise)
                .unwrap_or(Vec2::new(0.0, -1.0));
            return Some((self.end_of(last, 0.5), unit(along * 0.6 + up)?, last));
        }
        let first = event.after.map_or(0, |id| id.index() + 1);
        let stitch = self.fabric.stitches.get(first)?;
        let entered = self.fabric.stitches[first..].iter().take(8).find_map(|s| pose(s.id).feet.first().copied());
        let at = match pose(stitch.id).feet.first() {
            Some(&foot) => foot,
            None if stitch.is_slip_stitch() => pose(stitch.id).head,
            // a chain begun with the new yarn is entered nowhere: its own beginning is the place
            None if stitch.role != Role::Turning && pose(stitch.id).lying.is_some() => self.end_of(stitch.id, -0.5),
            None => entered?,
        };
        let next = self.fabric.stitches.get(first + 1).map_or(pose(stitch.id).head, |s| pose(s.id).head);
        let back = unit(pose(stitch.id).head - next).unwrap_or(Vec2::new(1.0, 0.0));
        // under a chain the yarn comes from below, where the row stands
        let wish = match (stitch.into.first(), unit(pose(stitch.id).head - at)) {
            (Some(Place::Underside { .. }), Some(rise)) => unit(back + rise).unwrap_or(back),
            _ => back,
        };
        Some((at, wish, stitch.id))
    }

    fn end_of(&self, id: StitchId, along: f64) -> Point {
        let pose = self.layout.pose(id);
        match pose.lying {
            Some(l) => l.at + Vec2::new(libm::cos(l.angle_rad), libm::sin(l.angle_rad)) * (along * l.length),
            None => pose.head,
        }
    }

    fn triangle(
        &self,
        role: MarkRole,
        key: &str,
        target: Point,
        wish: Vec2,
        stitch: StitchId,
        ground: &Ground,
    ) -> Option<(Mark, Vec2)> {
        let symbol = self.symbols.get(key)?;
        let ink = self.style.plain_ink;
        let mut best: Option<(f64, Mark, Vec2)> = None;
        // the end of an oval is a point of its outline: beside it the oval is farther off than its end
        let lies = self.layout.pose(stitch).lying.is_some();
        let farthest = if lies { FARTHEST_OF_OVALS } else { f64::INFINITY };
        // where nothing is free, the triangle still has to be there: it then lies on what it least hides
        for clear in [CLEAR, 0.02, -0.05, -0.2, f64::NEG_INFINITY] {
            for way in 0..WAYS {
                let angle = std::f64::consts::TAU * way as f64 / WAYS as f64;
                let away = Vec2::new(libm::cos(angle), libm::sin(angle));
                for (k, &distance) in TIPS.iter().enumerate().filter(|(_, d)| **d <= farthest) {
                    let tip = target + away * distance;
                    let stand = Stand::new(tip, tip + away * symbol.height);
                    // filled shapes keep to the head anchor, lines stretch: both come out whole at the symbol's own height
                    let shapes: Vec<_> = stand.pieces(symbol).into_iter().map(shape).collect();
                    let cost = (1.0 - away.dot(wish)) + 0.05 * k as f64;
                    if best.as_ref().is_some_and(|(b, ..)| *b <= cost) {
                        continue;
                    }
                    let lines: Vec<_> = shapes.iter().flat_map(traced).collect();
                    if ground.is_free_for(&lines, clear) {
                        let mark =
                            Mark { role, ink, tint: None, dashed: false, shapes, tip: Some(tip), stitch: Some(stitch) };
                        best = Some((cost, mark, away));
                    }
                }
            }
            if best.is_some() {
                break;
            }
        }
        best.map(|(_, mark, away)| (mark, away))
    }

    fn letter(&self, letter: &str, mark: &Mark, away: Vec2, ground: &Ground) -> Option<Label> {
        let size = self.style.size_of(LabelRole::YarnLetter, 0.5, 6.5);
        let tip = mark.tip?;
        let centre = tip + away * 0.3;
        let label = self.metrics.centred(LabelRole::YarnLetter, letter, centre, size, self.style.plain_ink);
        let mut best: Option<(f64, Label)> = None;
        for ring in 0..14 {
            let radius = 0.35 + 0.05 * f64::from(ring);
            for way in 0..WAYS {
                let angle = std::f64::consts::TAU * way as f64 / WAYS as f64;
                let to = Vec2::new(libm::cos(angle), libm::sin(angle));
                let moved = shifted(&label, centre + to * radius);
                let cost = radius + 0.2 * (1.0 - to.dot(away));
                if best.as_ref().is_none_or(|(b, _)| cost < *b) && ground.is_free(moved.bounds, 0.07) {
                    best = Some((cost, moved));
                }
            }
        }
        best.map(|(_, label)| label)
    }
}
