//! The last relaxation, and the mean of the layout over the fabric's own symmetries.

use super::View;
use super::net::{LineKind, Net};
use super::plane::{angle, snapped, turned};
use super::relax::{How, relax};
use super::rest::Rest;
use crate::fabric::{Middle, Symmetry, SymmetryKind};
use kurbo::Vec2;
use std::f64::consts::TAU;

// The points times steps that a larger piece is given, and the fewest steps. Two or three are final to the eye; the rest
// make symmetry good and keep the last rows within their bounds.
const POINTS_TIMES_STEPS: usize = 24_000;
const FEWEST: usize = 10;
// Without bounds there is less to go on for.
const STEPS_UNBOUNDED: usize = 14;

// Points that are solved for at once. More, and the factor of their equations takes longer than all else.
const AT_ONCE: usize = 2000;
// Points of a band, where there are more than that, and the steps it is given each time.
const BAND: usize = 1200;
const BAND_STEPS: usize = 6;

/// Relaxes everything, in so many steps where it is small, and averages; the symmetry residuals before and after.
///
/// Rounds about a ring are relaxed and averaged by themselves, then held while what hangs on them is fitted again: a
/// stem does not bend the disc it grows out of.
///
/// `only`: lines, in ascending order, about which alone there is something to relax; heard where points are so many that
/// they are not solved for at once.
pub(super) fn relax_and_average(net: &mut Net, rest: &mut Rest, steps: usize, only: Option<&[usize]>) -> (f64, f64) {
    let symmetries = net.fabric.symmetries();
    let mirrors = mirrors_of(net, &symmetries);
    let mut free: Vec<bool> = (0..net.nodes.len()).map(|n| !net.is_held(n)).collect();
    let (mut before, mut after) = (0.0_f64, 0.0_f64);
    let mut mean_of = |net: &mut Net, orbits: &[Orbits]| {
        for orbits in orbits {
            let (b, a) = orbits.average(net);
            before = before.max(b);
            after = after.max(a);
        }
    };
    for symmetry in symmetries.iter().filter(|s| matches!(s.kind, SymmetryKind::Turn { .. })) {
        let lines: Vec<usize> = symmetry
            .rows
            .iter()
            .flat_map(|r| net.lines_of[r.index()].iter().copied())
            .filter(|&l| net.lines[l].kind == LineKind::Row)
            .collect();
        let mut own: Vec<usize> = lines.iter().flat_map(|&l| net.lines[l].nodes.iter().copied()).collect();
        own.sort_unstable();
        own.dedup();
        // the turn first: what it has made alike a reflection keeps alike
        let about = symmetries.iter().filter(|s| middle_of(s).is_some() && middle_of(s) == middle_of(symmetry));
        let orbits: Vec<Orbits> = about.filter_map(|s| Orbits::of(net, s)).collect();
        relax_in_bands(net, rest, &lines, &own, &orbits, steps, only);
        mean_of(net, &orbits);
        for node in own {
            free[node] = false;
        }
        if let SymmetryKind::Turn { about, .. } = symmetry.kind
            && let Some(node) = net.middle_of(about)
        {
            free[node] = false;
        }
    }
    let free: Vec<usize> = (0..free.len()).filter(|&n| free[n]).collect();
    if !free.is_empty() {
        let lines = net.loose_lines();
        relax_in_bands(net, rest, &lines, &free, &mirrors, steps, only);
    }
    mean_of(net, &mirrors);
    (before, after)
}

/// The middle of a symmetry of rounds.
fn middle_of(symmetry: &Symmetry) -> Option<Middle> {
    match symmetry.kind {
        SymmetryKind::Turn { about, .. } | SymmetryKind::Reflection { about } => Some(about),
        SymmetryKind::Mirror => None,
    }
}

fn mirrors_of(net: &Net, symmetries: &[Symmetry]) -> Vec<Orbits> {
    symmetries.iter().filter(|s| s.kind == SymmetryKind::Mirror).filter_map(|s| Orbits::of(net, s)).collect()
}

/// The points that no turn about a ring holds, and the mirrors that they keep to.
pub(super) fn free_and_mirrors(net: &Net) -> (Vec<usize>, Vec<Orbits>) {
    let symmetries = net.fabric.symmetries();
    let mut free: Vec<bool> = (0..net.nodes.len()).map(|n| !net.is_held(n)).collect();
    for symmetry in &symmetries {
        let SymmetryKind::Turn { about, .. } = symmetry.kind else { continue };
        let lines = symmetry.rows.iter().flat_map(|r| &net.lines_of[r.index()]).map(|&l| &net.lines[l]);
        for &node in lines.filter(|l| l.kind == LineKind::Row).flat_map(|l| &l.nodes) {
            free[node] = false;
        }
        if let Some(node) = net.middle_of(about) {
            free[node] = false;
        }
    }
    ((0..free.len()).filter(|&n| free[n]).collect(), mirrors_of(net, &symmetries))
}

/// The last relaxation: all at once, or where there are very many points in bands of lines that overlap by half, once
/// up and once down. Its cost and memory then grow as the points do, whatever a factor would take.
fn relax_in_bands(
    net: &mut Net,
    rest: &mut Rest,
    lines: &[usize],
    free: &[usize],
    orbits: &[Orbits],
    steps: usize,
    about: Option<&[usize]>,
) {
    if free.len() <= AT_ONCE {
        let most = if !net.bounded && net.view == View::Chart { steps.min(STEPS_UNBOUNDED) } else { steps };
        let steps = (POINTS_TIMES_STEPS / free.len().max(1)).clamp(FEWEST, most);
        relax(net, rest, lines, free, steps, How::Last(orbits));
        return;
    }
    let size = |i: usize| net.lines[lines[i]].nodes.len();
    let mut bands: Vec<(usize, usize)> = Vec::new();
    let mut from = 0;
    while from < lines.len() {
        let (mut to, mut points) = (from, 0);
        while to < lines.len() && (points < BAND || to == from) {
            points += size(to);
            to += 1;
        }
        bands.push((from, to));
        if to == lines.len() {
            break;
        }
        // the next begins half way up this one
        let (mut next, mut below) = (from + 1, size(from));
        while below < BAND / 2 && next + 1 < to {
            below += size(next);
            next += 1;
        }
        from = next;
    }
    if let Some(about) = about {
        bands.retain(|&(from, to)| lines[from..to].iter().any(|line| about.binary_search(line).is_ok()));
    }
    let back: Vec<(usize, usize)> = bands.iter().rev().skip(1).copied().collect();
    for (from, to) in bands.into_iter().chain(back) {
        let band = &lines[from..to];
        let mut own: Vec<usize> = band.iter().flat_map(|&l| net.lines[l].nodes.iter().copied()).collect();
        own.retain(|node| free.binary_search(node).is_ok());
        own.sort_unstable();
        own.dedup();
        // the rows above and below have a say, and stay where they are
        let heard = &lines[from.saturating_sub(1)..(to + 1).min(lines.len())];
        relax(net, rest, heard, &own, BAND_STEPS, How::Last(&[]));
    }
    for orbits in orbits {
        orbits.average(net);
    }
}

/// A symmetry of the fabric as it acts on the points of the net.
pub(super) struct Orbits {
    kind: SymmetryKind,
    /// The points it moves, each with its image.
    pairs: Vec<(usize, usize)>,
    image: Vec<usize>,
}

impl Orbits {
    fn of(net: &Net, symmetry: &Symmetry) -> Option<Orbits> {
        let stitches =
            symmetry.stitches.iter().filter_map(|(a, b)| Some((net.node_of[a.index()]?, net.node_of[b.index()]?)));
        let spaces =
            symmetry.spaces.iter().filter_map(|(a, b)| Some((net.apex_of[a.index()]?, net.apex_of[b.index()]?)));
        let mut pairs: Vec<(usize, usize)> = stitches.chain(spaces).collect();
        pairs.sort_unstable();
        let mut image = vec![usize::MAX; net.nodes.len()];
        for &(a, b) in &pairs {
            image[a] = b;
        }
        // every point's orbit must close, or its mean would pull it away
        let whole = !pairs.is_empty() && pairs.iter().all(|&(_, b)| image[b] != usize::MAX);
        whole.then_some(Orbits { kind: symmetry.kind, pairs, image })
    }

    /// Moves every point to the mean of where its orbit would have it; the residuals before and after.
    ///
    /// A layout that has wound itself into something else is left as it is: the mean would fold it.
    pub(super) fn average(&self, net: &mut Net) -> (f64, f64) {
        let motion = Motion::of(net, self.kind, &self.pairs);
        let before = motion.residual(net, &self.pairs);
        if before > 0.5 {
            return (before, before);
        }
        let order = match self.kind {
            SymmetryKind::Turn { order, .. } => order,
            SymmetryKind::Mirror | SymmetryKind::Reflection { .. } => 2,
        };
        let mut done = vec![false; net.nodes.len()];
        for &(start, _) in &self.pairs {
            if done[start] {
                continue;
            }
            // one mean for the whole orbit, carried round it
            let (mut sum, mut node, mut orbit) = (Vec2::ZERO, start, Vec::with_capacity(order));
            for step in 0..order {
                sum += motion.back(net.heads[node], step);
                orbit.push(node);
                done[node] = true;
                node = self.image[node];
            }
            let mean = sum / order as f64;
            for (step, &node) in orbit.iter().enumerate() {
                net.heads[node] = motion.on(mean, step);
            }
        }
        (before, motion.residual(net, &self.pairs))
    }
}

/// A symmetry as a motion of the plane.
struct Motion {
    centre: Vec2,
    /// Angle of the turn; of a mirror or reflection, twice that of its axis.
    angle: f64,
    mirror: bool,
}

impl Motion {
    fn of(net: &Net, kind: SymmetryKind, pairs: &[(usize, usize)]) -> Motion {
        match kind {
            SymmetryKind::Turn { order, about } => {
                let centre = net.middle_of(about).map_or(Vec2::ZERO, |n| net.heads[n]);
                let by = |angle: f64| Motion { centre, angle, mirror: false };
                let (one, other) = (by(TAU / order as f64), by(-TAU / order as f64));
                // rounds may run either way about their ring
                if one.residual(net, pairs) < other.residual(net, pairs) { one } else { other }
            }
            SymmetryKind::Mirror | SymmetryKind::Reflection { .. } => {
                let middle = || pairs.iter().fold(Vec2::ZERO, |s, p| s + net.heads[p.0]) / pairs.len() as f64;
                let centre = match kind {
                    SymmetryKind::Reflection { about } => net.middle_of(about).map_or(Vec2::ZERO, |n| net.heads[n]),
                    _ => snapped(middle()),
                };
                let (mut x, mut y) = (0.0, 0.0);
                for &(a, b) in pairs {
                    let (u, v) = (net.heads[a] - centre, net.heads[b] - centre);
                    x += u.x * v.x - u.y * v.y;
                    y += u.x * v.y + u.y * v.x;
                }
                Motion { centre, angle: angle(Vec2::new(x, y)), mirror: true }
            }
        }
    }

    /// Where a point came from, so many applications ago.
    fn back(&self, p: Vec2, times: usize) -> Vec2 {
        let v = p - self.centre;
        if self.mirror {
            let v = if times.is_multiple_of(2) { v } else { turned(Vec2::new(v.x, -v.y), self.angle) };
            self.centre + v
        } else {
            self.centre + turned(v, -self.angle * times as f64)
        }
    }

    /// Where a point goes in so many applications.
    fn on(&self, p: Vec2, times: usize) -> Vec2 {
        // a mirror undoes itself
        if self.mirror { self.back(p, times) } else { self.centre + turned(p - self.centre, self.angle * times as f64) }
    }

    /// Root mean square of how far images lie from where they should.
    fn residual(&self, net: &Net, pairs: &[(usize, usize)]) -> f64 {
        let square = |v: Vec2| v.x * v.x + v.y * v.y;
        let sum: f64 = pairs.iter().map(|&(a, b)| square(self.back(net.heads[b], 1) - net.heads[a])).sum();
        (sum / pairs.len() as f64).sqrt()
    }
}
