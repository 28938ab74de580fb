//! Where each leg starts: a gap off what it enters, and spread where several enter one place.

use super::trace::Segment;
use crate::craft::{Meet, Stem};
use crate::fabric::{Place, Stitch, StitchId};
use crate::layout::Pose;
use crate::symbol::Stand;
use kurbo::{Point, Vec2};

/// Ink gap between a leg and what it enters, in sc widths: wide enough to see at 3 mm an sc.
pub(super) const FOOT_GAP: f64 = 0.10;
/// Ink gap between neighbouring legs of one place where they start.
const LEG_GAP: f64 = 0.045;
/// Most that feet of one place are spread to one side: they still read as one point.
const SPREAD: f64 = 0.08;
/// How far from foot and head the legs of a cluster meet: off what they enter, under their bar, in the loop that gathers
/// them.
const MEET_AT_FOOT: f64 = FOOT_GAP + 0.045;
const MEET_UNDER_BAR: f64 = 0.045;
const MEET_IN_LOOP: f64 = 0.215;
/// The outer legs of a cluster close it; those between leave this share of their length free at either end, so that the
/// ends are no blob.
const RIB: f64 = 0.15;
/// Step of the searches along a leg: a ninth of a stroke, finer than the eye parts at 3 mm an sc.
const STEP: f64 = 0.01;
/// Most of its length that a leg gives up at the foot.
const MOST_CUT: f64 = 0.42;

/// One leg of a stitch, planned.
#[derive(Clone, Debug)]
pub(super) struct LegPlan {
    pub stitch: StitchId,
    pub stem: Stem,
    pub stand: Stand,
    /// Where it stands, for legs that may share it with others.
    pub place: Option<(u8, u32)>,
    /// True where the stitch has other legs with a head in common.
    pub together: bool,
    /// True where it shares its foot with a leg of another stitch.
    pub shares_foot: bool,
}

/// The legs of a stitch that stands: none for chains and slip stitches.
pub(super) fn plan(stitch: &Stitch, pose: &Pose) -> Vec<LegPlan> {
    if stitch.is_chain() || stitch.is_slip_stitch() {
        return Vec::new();
    }
    let n = stitch.legs.len();
    let fallback = Point::new(pose.head.x, pose.head.y + 1.0);
    let one_place = n > 1 && stitch.form().one_place;
    let closed = one_place || matches!(stitch.meet, Meet::Both | Meet::Closed);
    let mean = mean(&pose.feet).unwrap_or(fallback);
    let mut legs: Vec<LegPlan> = Vec::with_capacity(n);
    for (i, leg) in stitch.legs.iter().enumerate() {
        let foot = pose.feet.get(i).copied().unwrap_or(mean);
        let foot = if closed && one_place { mean } else { foot };
        let mut stand = Stand::new(foot, pose.head);
        if closed {
            stand.bow = bow(i, n, stand.length(), stitch.meet, leg.stem);
            stand.ends = [MEET_AT_FOOT, if stitch.meet == Meet::Closed { MEET_IN_LOOP } else { MEET_UNDER_BAR }];
        }
        let place = leg.into.first().and_then(shared_key);
        if i > 0 && i + 1 < n && stand.bow != 0.0 || closed && 2 * i + 1 == n {
            let open = RIB * stand.length();
            (stand.start, stand.stop) = (open + stand.ends[0], open + stand.ends[1]);
        } else {
            stand.stop = stand.ends[1];
        }
        legs.push(LegPlan { stitch: stitch.id, stem: leg.stem, stand, place, together: n > 1, shares_foot: false });
    }
    legs
}

/// Bulge of leg `i` of `n` that meet at head and foot.
fn bow(i: usize, n: usize, length: f64, meet: Meet, stem: Stem) -> f64 {
    let step = match (meet, stem) {
        // two by themselves have the room of three
        _ if n == 2 => 0.38,
        // popcorns stand out: hollow enough that the stems part by two strokes at the middle
        (Meet::Closed, _) => 0.25,
        // strokes need their own room
        (_, Stem::Tall(_)) => 0.25,
        _ => 0.21,
    };
    let offset = (i as f64 - (n as f64 - 1.0) / 2.0) * step;
    // a cluster is at most a third as wide as it is tall to each side
    let most = 0.33 * length;
    let widest = (n as f64 - 1.0) / 2.0 * step;
    offset * (most / widest.max(1e-9)).min(1.0)
}

fn shared_key(place: &Place) -> Option<(u8, u32)> {
    let key = |tag: u8, id: StitchId| Some((tag, id.index() as u32));
    match *place {
        Place::Top { top, .. } => key(0, top),
        Place::Chain { chain } => key(1, chain),
        Place::Underside { underside } => key(2, underside),
        Place::Bump { bump } => key(1, bump),
        Place::Between { between: [a, _] } => key(3, a),
        _ => None,
    }
}

pub(super) fn mean(points: &[Point]) -> Option<Point> {
    if points.is_empty() {
        return None;
    }
    let sum = points.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2());
    Some((sum / points.len() as f64).to_point())
}

/// Spreads and shortens the legs of one place, so that they read as one point and make no blob.
pub(super) fn spread(legs: &mut [LegPlan], members: &[usize], width: f64) {
    let directions: Vec<Vec2> = members.iter().map(|&i| legs[i].stand.up()).collect();
    let sum = directions.iter().fold(Vec2::ZERO, |s, d| s + *d);
    let middle = if sum.hypot2() > 1e-6 { sum / sum.hypot() } else { directions[0] };
    let across = Vec2::new(-middle.y, middle.x);
    let lean = |d: Vec2| libm::atan2(d.dot(across), d.dot(middle));
    let mut order: Vec<usize> = (0..members.len()).collect();
    order.sort_by(|&a, &b| lean(directions[a]).total_cmp(&lean(directions[b])));
    let n = members.len();
    let step = (2.0 * SPREAD / (n as f64 - 1.0)).min(width);
    for (k, &which) in order.iter().enumerate() {
        let offset = (k as f64 - (n as f64 - 1.0) / 2.0) * step;
        legs[members[which]].stand.foot += across * offset;
        legs[members[which]].shares_foot = true;
    }
    let mut start = vec![0.0f64; n];
    for pair in order.windows(2) {
        let [a, b] = [pair[0], pair[1]].map(|k| legs[members[k]].stand);
        let cut = parting(&a, &b, width + LEG_GAP);
        pair.iter().for_each(|&k| start[k] = start[k].max(cut));
    }
    for (&member, cut) in members.iter().zip(start) {
        let stand = &mut legs[member].stand;
        stand.start = stand.start.max(cut.min(MOST_CUT * stand.length()));
    }
}

/// How far up two legs of one place are this far apart.
fn parting(a: &Stand, b: &Stand, wanted: f64) -> f64 {
    let most = MOST_CUT * a.length().max(b.length());
    let steps = (most / STEP).ceil() as usize;
    let parted = |k: &usize| (a.at(*k as f64 * STEP, 0.0) - b.at(*k as f64 * STEP, 0.0)).hypot2().sqrt() >= wanted;
    (0..steps).find(parted).map_or(most, |k| k as f64 * STEP)
}

/// How far up its stem a leg has to start to keep the foot gap off the ink of what it enters.
pub(super) fn clear_start(stand: &Stand, width: f64, ink: &[Segment], reach: f64) -> f64 {
    let least = FOOT_GAP + width / 2.0;
    let limit = reach.min(MOST_CUT * stand.length());
    let steps = (limit / STEP).ceil() as usize;
    let close = |k: usize| {
        let p = stand.at(k as f64 * STEP, 0.0);
        ink.iter().any(|s| s.distance_to(p) - s.half < least)
    };
    let last = (0..=steps).rev().find(|&k| close(k));
    let clear = last.map_or(0.0, |k| (k as f64 + 1.0) * STEP);
    // where nothing is known of the place, the gap is kept off the place itself
    if ink.is_empty() { least } else { clear.min(limit) }
}
