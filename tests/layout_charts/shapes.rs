//! The shapes the layout is tried on.

use super::hand::Hand;
use fanwise::craft::Stem::{self, *};
use fanwise::fabric::*;

pub(super) fn all() -> Vec<(&'static str, Fabric)> {
    let mut all = vec![
        ("swatch-sc", swatch(Single, 12, 8)),
        ("swatch-dc", swatch(Stem::DC, 12, 6)),
        ("disc-sc", disc(Single, 6, 6)),
        ("disc-hdc", disc(HalfDouble, 8, 5)),
        ("disc-dc", disc(Stem::DC, 12, 4)),
        ("spiral", spiral(6, 6)),
        ("spiral-14", spiral(6, 14)),
        ("ball", ball(4, 3)),
        ("oval-sc", oval(Single, 10, 4)),
        ("oval-dc", oval(Stem::DC, 8, 3)),
        ("bend-plain", bend(false)),
        ("bend-row1", bend_rows(1)),
        ("pear", pear(true, Side::Right)),
        ("pear-ws", pear(true, Side::Wrong)),
        ("acorn", acorn()),
        ("branch", branch_on_swatch()),
        ("leaf", leaf()),
        ("granny", granny(4)),
        ("square-sc", square_sc(6)),
        ("hexagon", hexagon(4)),
        ("shells", shells(4, 5)),
        ("v-stitch", v_stitch(8, 5)),
        ("mesh", mesh(8, 5)),
        ("ring-60", disc(Stem::DC, 60, 1)),
        ("one", swatch(Single, 1, 1)),
        ("quadruple", quadruple()),
    ];
    all.push(("lace", lace()));
    all
}

pub(super) fn swatch(stem: Stem, n: usize, rows: usize) -> Fabric {
    let mut h = Hand::new();
    let counting = stem != Single;
    let turn = match stem {
        Single => 1,
        HalfDouble => 2,
        _ => 3,
    };
    let base = h.foundation(if counting { n - 1 } else { n }, Side::Right, if counting { 0 } else { turn });
    let mut places: Vec<Place> = base.iter().map(|&c| Place::chain(c)).collect();
    let mut first = counting;
    for r in 0..rows {
        let side = if r % 2 == 0 { Side::Right } else { Side::Wrong };
        if r > 0 && !counting {
            h.turn(0);
        }
        h.row(RowShape::Row, side);
        places.reverse();
        if counting {
            let into = if first { None } else { Some(places.remove(0)) };
            h.counting(turn, stem, into);
        } else if r > 0 {
            h.turn(turn);
        }
        first = false;
        for &p in &places {
            h.st(stem, p);
        }
        places = h.order().into_iter().map(Place::top).collect();
    }
    h.fabric
}

pub(super) fn disc(stem: Stem, k: usize, rounds: usize) -> Fabric {
    let mut h = Hand::new();
    let ring = h.ring(if stem == Stem::DC { 6 } else { 0 });
    let mut below: Vec<StitchId> = Vec::new();
    for r in 0..rounds {
        h.row(RowShape::Round, Side::Right);
        let counting = stem == Stem::DC;
        let put = |h: &mut Hand, first: bool, place: Place| {
            if first && counting {
                h.counting(3, stem, Some(place));
            } else {
                if first {
                    h.turn(1);
                }
                h.st(stem, place);
            }
        };
        if r == 0 {
            for i in 0..k {
                put(&mut h, i == 0, Place::ring(ring));
            }
        } else {
            for (i, &b) in below.iter().enumerate() {
                put(&mut h, i == 0, Place::top(b));
                if i % r == r / 2 {
                    h.st(stem, Place::top(b));
                }
            }
        }
        below = h.order();
        h.join(below[0]);
    }
    h.fabric
}

pub(super) fn spiral(k: usize, rounds: usize) -> Fabric {
    let mut h = Hand::new();
    let ring = h.ring(0);
    let mut below: Vec<StitchId> = Vec::new();
    for r in 0..rounds {
        h.row(RowShape::Spiral, Side::Right);
        if r == 0 {
            for _ in 0..k {
                h.st(Single, Place::ring(ring));
            }
        } else {
            for (i, &b) in below.iter().enumerate() {
                h.st(Single, Place::top(b));
                if i % r == r - 1 {
                    h.st(Single, Place::top(b));
                }
            }
        }
        below = h.order();
    }
    h.fabric
}

pub(super) fn oval(stem: Stem, n: usize, rounds: usize) -> Fabric {
    let mut h = Hand::new();
    let base = h.foundation(n, Side::Right, 1);
    let e = if stem == Single { 3 } else { 6 };
    let mut below: Vec<StitchId> = Vec::new();
    for r in 0..rounds {
        h.row(RowShape::Round, Side::Right);
        if r == 0 {
            for &c in base[1..].iter().rev() {
                h.st(stem, Place::chain(c));
            }
            for _ in 0..e {
                h.st(stem, Place::chain(base[0]));
            }
            for &c in &base[1..n - 1] {
                h.st(stem, Place::Underside { underside: c });
            }
            for _ in 0..e - 1 {
                h.st(stem, Place::Underside { underside: base[n - 1] });
            }
        } else {
            h.turn(1);
            // increases at both ends, where the round turns
            let total = below.len();
            let side = n - 2;
            let end = total / 2 - side;
            for (i, &b) in below.iter().enumerate() {
                h.st(stem, Place::top(b));
                let at = (i + total - 1) % (total / 2);
                if at >= side && (at - side).is_multiple_of(end.div_ceil(e).max(1)) {
                    h.st(stem, Place::top(b));
                }
            }
        }
        below = h.order();
        h.join(below[0]);
    }
    h.fabric
}

/// Round both sides of a chain: `mid` in the middle chain, `end` in the last.
fn u_row(h: &mut Hand, base: &[StitchId], mid: usize, end: usize) {
    let n = base.len();
    for (i, &c) in base.iter().enumerate().skip(1).rev() {
        for _ in 0..if i == n / 2 { mid } else { 1 } {
            h.st(Single, Place::chain(c));
        }
    }
    for _ in 0..end {
        h.st(Single, Place::chain(base[0]));
    }
    for &c in &base[1..] {
        h.st(Single, Place::Underside { underside: c });
    }
}

pub(super) fn bend(_: bool) -> Fabric {
    bend_rows(3)
}

pub(super) fn bend_rows(rows: usize) -> Fabric {
    let mut h = Hand::new();
    let base = h.foundation(15, Side::Right, 1);
    h.row(RowShape::Row, Side::Right);
    u_row(&mut h, &base, 3, 4);
    for r in 1..rows {
        let below: Vec<StitchId> = h.order().into_iter().rev().collect();
        h.row(RowShape::Row, if r % 2 == 1 { Side::Wrong } else { Side::Right });
        h.turn(1);
        for b in below {
            h.st(Single, Place::top(b));
        }
    }
    h.fabric
}

/// Takes a row's places by a script: 1 plain, 2 two in one, −2 two together.
fn script(h: &mut Hand, below: &[StitchId], words: &[i32]) {
    let mut at = 0;
    for &w in words {
        match w {
            -2 => {
                h.together(Single, &[Place::top(below[at]), Place::top(below[at + 1])]);
                at += 2;
            }
            k => {
                for _ in 0..k {
                    h.st(Single, Place::top(below[at]));
                }
                at += 1;
            }
        }
    }
    for &b in &below[at.min(below.len())..] {
        h.st(Single, Place::top(b));
    }
}

pub(super) fn plain(n: usize) -> Vec<i32> {
    vec![1; n]
}

pub(super) fn pear(border: bool, side: Side) -> Fabric {
    let mut h = Hand::new();
    let base = h.foundation(14, side, 1);
    h.row(RowShape::Row, side);
    // 6 sc, 3 in the middle chain, 6 sc, 4 in the last, 13 sc back
    u_row(&mut h, &base, 3, 4);
    let below: Vec<StitchId> = h.order().into_iter().rev().collect();
    h.row(RowShape::Row, side.turned());
    h.turn(1);
    // back: 5 sc, dec, 4 sc, round the end with increases, up the long side, increases at the bend
    let mut words = plain(5);
    words.extend([-2]);
    words.extend(plain(6));
    words.extend([2, 1, 1, 2, 2, 1]);
    words.extend(plain(5));
    words.extend([2, 1, 2]);
    script(&mut h, &below, &words);
    let below: Vec<StitchId> = h.order().into_iter().rev().collect();
    h.row(RowShape::Row, side);
    h.turn(1);
    let mut words = plain(6);
    words.extend([2, 1, 1, 2]);
    words.extend(plain(6));
    words.extend([2, 1, 2, 1, 1, 2, 1, 2]);
    words.extend(plain(5));
    words.extend([-2]);
    script(&mut h, &below, &words);
    if border {
        // across the open end: row 3, 2, 1, the chain, 1, 2, 3
        let ends = [
            (3, EdgeEnd::End),
            (2, EdgeEnd::Start),
            (1, EdgeEnd::End),
            (1, EdgeEnd::Start),
            (2, EdgeEnd::End),
            (3, EdgeEnd::Start),
        ];
        h.row(RowShape::Border, side);
        for (row, edge) in ends {
            let row_end = RowEnd { row: RowId::new(row), edge, at: 0.5 };
            h.st(Single, Place::RowEnd { row_end });
        }
        let below: Vec<StitchId> = h.order().into_iter().rev().collect();
        h.row(RowShape::Row, side.turned());
        h.turn(1);
        for b in below {
            h.st(Single, Place::top(b));
        }
    }
    h.fabric
}

/// A chain out of the row, sc back along it: the strand with its chain and stitches.
fn branch(h: &mut Hand, root: StitchId, n: usize) -> Strand {
    let lying: Vec<StitchId> = (0..n).map(|_| h.chain(Role::Branch)).collect();
    let turning = h.chain(Role::Branch);
    let mut order = Vec::new();
    for &c in lying.iter().rev() {
        let id = h.make("sc", Role::Branch, vec![Leg { stem: Single, into: vec![Place::chain(c)] }]);
        order.push(id);
    }
    let mut chain = lying;
    chain.push(turning);
    let strand = Strand { root, chain, order };
    h.fabric.rows.last_mut().expect("a row").strands.push(strand.clone());
    strand
}

/// Round a branch from its next stitch back to its root, as a turned row meets it.
fn round_branch(h: &mut Hand, strand: &Strand) {
    for &s in strand.order.iter().rev() {
        h.st(Single, Place::top(s));
    }
    let tip = strand.chain[strand.chain.len() - 2];
    h.st(Single, Place::Underside { underside: tip });
    h.st(Single, Place::Underside { underside: tip });
    for &c in strand.chain[..strand.chain.len() - 2].iter().rev() {
        h.st(Single, Place::Underside { underside: c });
    }
}

pub(super) fn branch_on_swatch() -> Fabric {
    let mut h = Hand::new();
    let base = h.foundation(15, Side::Right, 1);
    h.row(RowShape::Row, Side::Right);
    for &c in base.iter().rev() {
        h.st(Single, Place::chain(c));
    }
    let below: Vec<StitchId> = h.order().into_iter().rev().collect();
    h.row(RowShape::Row, Side::Wrong);
    h.turn(1);
    let mut strand = Strand::default();
    for (i, &b) in below.iter().enumerate() {
        let id = if i == 8 { h.st(SlipStitch, Place::top(b)) } else { h.st(Single, Place::top(b)) };
        if i == 7 {
            strand = branch(&mut h, id, 4);
        }
    }
    let below: Vec<StitchId> = h.order().into_iter().rev().collect();
    h.row(RowShape::Row, Side::Right);
    h.turn(1);
    for &b in &below {
        if b == strand.root {
            round_branch(&mut h, &strand);
        } else if h.fabric.stitch(b).is_slip_stitch() {
            continue;
        }
        h.st(Single, Place::top(b));
    }
    h.fabric
}

pub(super) fn acorn() -> Fabric {
    let mut h = Hand::new();
    let base = h.foundation(12, Side::Right, 1);
    h.row(RowShape::Row, Side::Right);
    u_row(&mut h, &base, 3, 4);
    let below: Vec<StitchId> = h.order().into_iter().rev().collect();
    h.row(RowShape::Row, Side::Wrong);
    h.turn(1);
    let mut strand = Strand::default();
    for (i, &b) in below.iter().enumerate() {
        let id = if i == 23 { h.st(SlipStitch, Place::top(b)) } else { h.st(Single, Place::top(b)) };
        if (11..15).contains(&i) {
            h.st(Single, Place::top(b));
        }
        if i == 22 {
            strand = branch(&mut h, id, 4);
        }
    }
    let below: Vec<StitchId> = h.order().into_iter().rev().collect();
    h.row(RowShape::Row, Side::Right);
    h.turn(1);
    for &b in &below {
        if b == strand.root {
            round_branch(&mut h, &strand);
        } else if h.fabric.stitch(b).is_slip_stitch() {
            continue;
        }
        h.st(Single, Place::top(b));
    }
    h.fabric
}

pub(super) fn leaf() -> Fabric {
    let mut h = Hand::new();
    let base = h.foundation(12, Side::Right, 1);
    h.row(RowShape::Row, Side::Right);
    let stems =
        [SlipStitch, Single, HalfDouble, Stem::DC, Stem::TR, Stem::TR, Stem::DC, HalfDouble, Single, Single, Single];
    for (i, &c) in base[1..].iter().rev().enumerate() {
        h.st(stems[i], Place::chain(c));
    }
    h.st(Single, Place::chain(base[0]));
    h.st(Single, Place::chain(base[0]));
    h.picot(3);
    h.st(Single, Place::chain(base[0]));
    for (i, &c) in base[1..].iter().enumerate() {
        h.st(stems[10 - i], Place::Underside { underside: c });
    }
    h.fabric
}

pub(super) fn granny(rounds: usize) -> Fabric {
    let mut h = Hand::new();
    let ring = h.ring(4);
    h.row(RowShape::Round, Side::Right);
    // (place, corner) in the order of the round
    let mut spaces: Vec<(SpaceId, bool)> = Vec::new();
    let mut start = StitchId::new(0);
    for side in 0..4 {
        for i in 0..3 {
            if side == 0 && i == 0 {
                start = h.counting(3, Stem::DC, Some(Place::ring(ring)));
            } else {
                h.st(Stem::DC, Place::ring(ring));
            }
        }
        spaces.push((h.space(2), true));
    }
    h.join(start);
    for _ in 1..rounds {
        h.row(RowShape::Round, Side::Right);
        let mut made = Vec::new();
        let last = spaces.len() - 1;
        spaces.rotate_right(1);
        let _ = last;
        for (i, &(s, corner)) in spaces.clone().iter().enumerate() {
            let place = Place::space(s);
            for k in 0..3 {
                if i == 0 && k == 0 {
                    start = h.counting(3, Stem::DC, Some(place));
                } else {
                    h.st(Stem::DC, place);
                }
            }
            if corner {
                made.push((h.space(2), true));
                for _ in 0..3 {
                    h.st(Stem::DC, place);
                }
            }
            made.push((h.space(1), false));
        }
        h.join(start);
        spaces = made;
        // the next round slips to the corner it started in
        spaces.rotate_left(1);
    }
    h.fabric
}

pub(super) fn square_sc(rounds: usize) -> Fabric {
    corners_of_three(4, rounds)
}

fn corners_of_three(k: usize, rounds: usize) -> Fabric {
    let mut h = Hand::new();
    let ring = h.ring(0);
    let mut below: Vec<(StitchId, bool)> = Vec::new();
    for r in 0..rounds {
        h.row(RowShape::Round, Side::Right);
        h.turn(1);
        let mut made = Vec::new();
        if r == 0 {
            for i in 0..2 * k {
                made.push((h.st(Single, Place::ring(ring)), i % 2 == 1));
            }
        } else {
            for &(b, corner) in &below {
                if corner {
                    for i in 0..3 {
                        made.push((h.st(Single, Place::top(b)), i == 1));
                    }
                } else {
                    made.push((h.st(Single, Place::top(b)), false));
                }
            }
        }
        h.join(made[0].0);
        below = made;
    }
    h.fabric
}

pub(super) fn hexagon(rounds: usize) -> Fabric {
    // dc, two more in each corner: (2 dc, ch 1, 2 dc) in each of six corner spaces
    let mut h = Hand::new();
    let ring = h.ring(6);
    h.row(RowShape::Round, Side::Right);
    let mut below: Vec<(Place, bool)> = Vec::new();
    let mut start = StitchId::new(0);
    for side in 0..6 {
        for i in 0..2 {
            let id = if side == 0 && i == 0 {
                start = h.counting(3, Stem::DC, Some(Place::ring(ring)));
                start
            } else {
                h.st(Stem::DC, Place::ring(ring))
            };
            below.push((Place::top(id), false));
        }
        below.push((Place::space(h.space(1)), true));
    }
    h.join(start);
    for _ in 1..rounds {
        h.row(RowShape::Round, Side::Right);
        let mut made = Vec::new();
        for (i, &(p, corner)) in below.clone().iter().enumerate() {
            if corner {
                made.push((Place::top(h.st(Stem::DC, p)), false));
                made.push((Place::space(h.space(1)), true));
                made.push((Place::top(h.st(Stem::DC, p)), false));
            } else if i == 0 {
                start = h.counting(3, Stem::DC, Some(p));
                made.push((Place::top(start), false));
            } else {
                made.push((Place::top(h.st(Stem::DC, p)), false));
            }
        }
        h.join(start);
        below = made;
    }
    h.fabric
}

pub(super) fn shells(repeats: usize, rows: usize) -> Fabric {
    let mut h = Hand::new();
    let base = h.foundation(6 * repeats + 1, Side::Right, 1);
    h.row(RowShape::Row, Side::Right);
    let mut below: Vec<Place> = base.iter().rev().map(|&c| Place::chain(c)).collect();
    for r in 0..rows {
        if r > 0 {
            below = h.order().into_iter().rev().map(Place::top).collect();
            h.row(RowShape::Row, if r % 2 == 1 { Side::Wrong } else { Side::Right });
        }
        if r % 2 == 0 {
            // sc, *skip 2, 5 dc in next, skip 2, sc; the shells stand on the single stitches between
            if r > 0 {
                h.turn(1);
            }
            h.st(Single, below[0]);
            for i in 0..repeats {
                for _ in 0..5 {
                    h.st(Stem::DC, below[6 * i + 3]);
                }
                h.st(Single, below[6 * i + 6]);
            }
        } else {
            h.counting(3, Stem::DC, Some(below[0]));
            for _ in 0..2 {
                h.st(Stem::DC, below[0]);
            }
            for i in 0..repeats {
                h.st(Single, below[6 * i + 3]);
                let last = i + 1 == repeats;
                for _ in 0..if last { 3 } else { 5 } {
                    h.st(Stem::DC, below[6 * i + 6]);
                }
            }
        }
    }
    h.fabric
}

pub(super) fn v_stitch(repeats: usize, rows: usize) -> Fabric {
    let mut h = Hand::new();
    let base = h.foundation(3 * repeats + 1, Side::Right, 0);
    h.row(RowShape::Row, Side::Right);
    let mut below: Vec<Place> = base.iter().rev().skip(1).step_by(3).map(|&c| Place::chain(c)).collect();
    let mut first: Option<Place> = None;
    let mut last = Place::chain(base[0]);
    for r in 0..rows {
        if r > 0 {
            h.row(RowShape::Row, if r % 2 == 1 { Side::Wrong } else { Side::Right });
        }
        let start = h.counting(3, Stem::DC, first);
        let mut made = Vec::new();
        for &p in &below[..repeats] {
            h.st(Stem::DC, p);
            made.push(Place::space(h.space(1)));
            h.st(Stem::DC, p);
        }
        let end = h.st(Stem::DC, last);
        first = Some(Place::top(end));
        last = Place::top(start);
        made.reverse();
        below = made;
    }
    h.fabric
}

pub(super) fn mesh(cells: usize, rows: usize) -> Fabric {
    let mut h = Hand::new();
    let base = h.foundation(2 * cells + 1, Side::Right, 0);
    h.row(RowShape::Row, Side::Right);
    let mut below: Vec<Place> = base.iter().rev().step_by(2).map(|&c| Place::chain(c)).collect();
    for r in 0..rows {
        if r > 0 {
            h.row(RowShape::Row, if r % 2 == 1 { Side::Wrong } else { Side::Right });
        }
        let mut made = vec![Place::top(h.counting(3, Stem::DC, Some(below[0])))];
        for &p in &below[1..] {
            h.space(1);
            made.push(Place::top(h.st(Stem::DC, p)));
        }
        made.reverse();
        below = made;
    }
    h.fabric
}

pub(super) fn lace() -> Fabric {
    let mut h = Hand::new();
    let ring = h.ring(6);
    h.row(RowShape::Round, Side::Right);
    let mut spaces = Vec::new();
    let mut start = StitchId::new(0);
    for i in 0..8 {
        if i == 0 {
            start = h.counting(3, Stem::DC, Some(Place::ring(ring)));
        } else {
            h.st(Stem::DC, Place::ring(ring));
        }
        spaces.push(h.space(3));
    }
    h.join(start);
    for r in 1..4 {
        h.row(RowShape::Round, Side::Right);
        let mut made = Vec::new();
        for (i, &s) in spaces.iter().enumerate() {
            if r == 1 {
                for k in 0..5 {
                    if i == 0 && k == 0 {
                        start = h.counting(3, Stem::DC, Some(Place::space(s)));
                    } else {
                        h.st(Stem::DC, Place::space(s));
                    }
                }
                made.push(h.space(2));
            } else {
                let first = h.st(Single, Place::space(s));
                if i == 0 {
                    start = first;
                }
                if r == 3 {
                    h.picot(3);
                }
                made.push(h.space(if r == 2 { 7 } else { 9 }));
            }
        }
        h.join(start);
        spaces = made;
    }
    h.fabric
}

pub(super) fn quadruple() -> Fabric {
    let mut h = Hand::new();
    let base = h.foundation(6, Side::Right, 1);
    let mut below: Vec<Place> = base.iter().rev().map(|&c| Place::chain(c)).collect();
    for r in 0..3 {
        h.row(RowShape::Row, if r % 2 == 0 { Side::Right } else { Side::Wrong });
        for &p in &below {
            for _ in 0..4 {
                h.st(Single, p);
            }
        }
        below = h.order().into_iter().rev().map(Place::top).collect();
    }
    h.fabric
}

/// A ball in a spiral: six more a round, plain rounds, six less a round.
pub(super) fn ball(grow: usize, plain: usize) -> Fabric {
    let mut h = Hand::new();
    let ring = h.ring(0);
    let mut below: Vec<StitchId> = Vec::new();
    for r in 0..2 * grow + plain - 1 {
        h.row(RowShape::Spiral, Side::Right);
        if r == 0 {
            for _ in 0..6 {
                h.st(Single, Place::ring(ring));
            }
        } else if r < grow {
            for (i, &b) in below.iter().enumerate() {
                h.st(Single, Place::top(b));
                if i % r == r - 1 {
                    h.st(Single, Place::top(b));
                }
            }
        } else if r < grow + plain {
            for &b in &below {
                h.st(Single, Place::top(b));
            }
        } else {
            let group = below.len() / 6;
            for part in below.chunks(group) {
                for &b in &part[..group - 2] {
                    h.st(Single, Place::top(b));
                }
                h.together(Single, &[Place::top(part[group - 2]), Place::top(part[group - 1])]);
            }
        }
        below = h.order();
    }
    h.fabric
}
