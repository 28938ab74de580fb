//! Sides of petals: chains that rise from a slip stitch to a tall stitch beside it, or come down again.

use super::View;
use super::net::Net;

// From so much higher a stitch beside a slip stitch stands at the edge of a petal: smaller and hdc beside dc count, larger
// and petals of dc do not.
const HIGH: f64 = 1.2;
/// How far aside of the tall stitch the slip stitch at the foot of a petal's side lies: smaller and its chains lie on the
/// tall stitch, larger and flowers gape.
pub(super) const ASIDE: f64 = 0.8;
// How far the chains of a side bow out, over the way between their ends: smaller and they touch the petal at its foot,
// larger and they touch the next petal's.
const BOW: f64 = 0.1;
// The same where slip stitch and tall stitch stand in one stitch, and the chains rise beside the tall one all the way.
const BOW_FROM_ONE_FOOT: f64 = 0.25;

/// How far apart a slip stitch and the tall stitch are that the space of an apex joins, where it is the side of a petal.
pub(super) fn side(net: &Net, apex: usize) -> Option<f64> {
    let (line, at) = net.seat[apex].filter(|_| net.view == View::Chart && net.is_apex(apex))?;
    let (a, b) = net.lines[line].neighbours(at);
    let low = [a, b].into_iter().find(|&n| net.is_slip_stitch(n))?;
    let rise = net.height_of(if low == a { b } else { a })? - net.height_of(low)?;
    (rise > HIGH).then(|| libm::hypot(rise, ASIDE))
}

/// How far the side of a petal bows out, over the way between its ends.
pub(super) fn bow(net: &Net, apex: usize) -> Option<f64> {
    side(net, apex)?;
    let (line, at) = net.seat[apex]?;
    let (a, b) = net.lines[line].neighbours(at);
    let foot = |node: usize| net.post_of[node].and_then(|p| net.posts[p].one_place()).filter(|p| p.stitch().is_some());
    Some(if foot(a).is_some() && foot(a) == foot(b) { BOW_FROM_ONE_FOOT } else { BOW })
}

/// True for a slip stitch at the foot of a petal: the line of its row goes down to it, and up again.
pub(super) fn is_foot(net: &Net, line: usize, node: usize) -> bool {
    let Some((_, at)) = net.seat[node].filter(|&(own, _)| own == line && net.is_slip_stitch(node)) else {
        return false;
    };
    let (previous, next) = net.lines[line].neighbours(at);
    let high = |beside: usize| net.height_of(beside).zip(net.height_of(node)).is_some_and(|(a, b)| a - b > HIGH);
    [previous, next].into_iter().any(|beside| high(beside) || side(net, beside).is_some())
}
