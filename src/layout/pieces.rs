//! Pieces that are not worked onto each other lie side by side.

use super::net::Net;
use super::upright::{nodes_of, turn_upright};
use crate::fabric::Place;
use kurbo::Vec2;

// Room between two pieces on one sheet.
const BETWEEN: f64 = 3.0;

/// Turns each piece upright and sets them in a row from left to right, the first at the origin.
pub(super) fn set_upright_side_by_side(net: &mut Net, turn_deg: f64) {
    let mut x = 0.0;
    for rows in pieces(net) {
        let nodes = nodes_of(net, &rows);
        if nodes.is_empty() {
            continue;
        }
        let middle = nodes.iter().fold(Vec2::ZERO, |s, &n| s + net.heads[n]) / nodes.len() as f64;
        for &node in &nodes {
            net.heads[node] -= middle;
        }
        turn_upright(net, &rows, turn_deg);
        let left = nodes.iter().map(|&n| net.heads[n].x).fold(f64::INFINITY, f64::min);
        let right = nodes.iter().map(|&n| net.heads[n].x).fold(f64::NEG_INFINITY, f64::max);
        for &node in &nodes {
            net.heads[node].x += x - left;
        }
        x += right - left + BETWEEN;
    }
}

/// Rows that hang together, in working order.
fn pieces(net: &Net) -> Vec<Vec<usize>> {
    let mut pieces: Vec<Vec<usize>> = vec![Vec::new(); net.piece.len()];
    for (row, &piece) in net.piece.iter().enumerate() {
        pieces[piece].push(row);
    }
    pieces.retain(|p| !p.is_empty());
    pieces
}

/// Of every row the first row of its piece.
pub(super) fn piece_of_rows(net: &Net) -> Vec<usize> {
    let rows = net.fabric.rows.len();
    let mut piece: Vec<usize> = (0..rows).collect();
    let find = |piece: &[usize], mut r: usize| {
        while piece[r] != r {
            r = piece[r];
        }
        r
    };
    let join = |piece: &mut Vec<usize>, a: usize, b: usize| {
        let (a, b) = (find(piece, a), find(piece, b));
        piece[a.max(b)] = a.min(b);
    };
    let row_of = |node: usize| net.seat[node].map(|(line, _)| net.lines[line].row);
    for line in &net.lines {
        for node in line.before.iter().chain(&line.after) {
            if let Some(row) = row_of(*node) {
                join(&mut piece, line.row, row);
            }
        }
    }
    let mut ring_row: Vec<Option<usize>> = vec![None; net.fabric.rings.len()];
    for stitch in &net.fabric.stitches {
        let own = stitch.row.index();
        for place in stitch.legs.iter().flat_map(|l| &l.into).chain(&stitch.into) {
            let other = match *place {
                Place::Space { space } => net.fabric.spaces[space.index()].ids.first().copied(),
                Place::Between { between: [a, _] } | Place::Face { face: [a, _] } => Some(a),
                Place::RowEnd { row_end } => {
                    join(&mut piece, own, row_end.row.index());
                    None
                }
                Place::Ring { ring } => {
                    let first = *ring_row[ring.index()].get_or_insert(own);
                    join(&mut piece, own, first);
                    None
                }
                _ => place.stitch(),
            };
            if let Some(other) = other {
                join(&mut piece, own, net.fabric.stitch(other).row.index());
            }
        }
    }
    (0..rows).map(|row| find(&piece, row)).collect()
}
