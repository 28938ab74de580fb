//! How good a layout is, as figures that anyone can compute again from the coordinates.

use super::net::{LineKind, Net};
use super::plane::{angle, length, wrap};
use super::positions::{Layout, Quality, RowQuality};
use super::shape::{LineShape, shape_of};
use crate::fabric::RowId;
use kurbo::Vec2;
use std::f64::consts::FRAC_PI_2;

/// Fills in the figures of a layout; the symmetry residuals stay as they are.
pub(super) fn judge(net: &Net, layout: &Layout) -> Quality {
    let mut quality = Quality {
        min_spacing: f64::INFINITY,
        stretch_p05: f64::INFINITY,
        residual_before: layout.quality.residual_before,
        residual: layout.quality.residual,
        ..Quality::default()
    };
    for row in 0..net.fabric.rows.len() {
        let mut of_row = RowQuality { row: RowId::new(row), ..RowQuality::default() };
        for &line in &net.lines_of[row] {
            if net.lines[line].kind == LineKind::Chain {
                continue;
            }
            let shape = shape_of(net, line);
            spacing(net, line, &shape, &mut of_row, &mut quality);
            of_row.kink_p95_deg = of_row.kink_p95_deg.max(kinks(net, line, &shape));
            leans(net, line, &shape, &mut of_row, &mut quality);
            stretches(net, line, layout, &mut quality);
        }
        quality.spacing_cv = quality.spacing_cv.max(of_row.spacing_cv);
        quality.kink_p95_deg = quality.kink_p95_deg.max(of_row.kink_p95_deg);
        quality.lean_p95_deg = quality.lean_p95_deg.max(of_row.lean_p95_deg);
        if net.lines_of[row].iter().any(|&l| net.lines[l].kind != LineKind::Chain) {
            quality.rows.push(of_row);
        }
    }
    quality.crossings = crossing_edges(net).len();
    for figure in [&mut quality.min_spacing, &mut quality.stretch_p05] {
        if !figure.is_finite() {
            *figure = 1.0;
        }
    }
    if quality.stretch_max == 0.0 {
        quality.stretch_p95 = 1.0;
        quality.stretch_max = 1.0;
    }
    quality
}

fn spacing(net: &Net, line: usize, shape: &LineShape, row: &mut RowQuality, all: &mut Quality) {
    let run = net.lines[line].run();
    for (i, w) in run.windows(2).enumerate() {
        let step = net.held[line] && shape.seams[i];
        if net.is_apex(w[0]) || net.is_apex(w[1]) || w[0] == w[1] || step {
            continue;
        }
        let e = length(net.heads[w[1]] - net.heads[w[0]]);
        all.min_spacing = all.min_spacing.min(e / net.pitch(w[0], w[1]));
    }
    row.spacing_cv = row.spacing_cv.max(spacing_cv(net, line, shape));
}

/// Standard deviation over mean of the distances of a line's heads; spaces, slip stitches and seams left out.
pub(super) fn spacing_cv(net: &Net, line: usize, shape: &LineShape) -> f64 {
    let run = net.lines[line].run();
    let other = |node: usize| net.is_apex(node) || net.is_slip_stitch(node);
    let plain: Vec<f64> = run
        .windows(2)
        .enumerate()
        .filter(|(i, w)| !other(w[0]) && !other(w[1]) && w[0] != w[1] && !shape.seams[*i])
        .map(|(_, w)| length(net.heads[w[1]] - net.heads[w[0]]))
        .collect();
    if plain.len() < 2 {
        return 0.0;
    }
    let mean = plain.iter().sum::<f64>() / plain.len() as f64;
    let variance = plain.iter().map(|e| (e - mean) * (e - mean)).sum::<f64>() / plain.len() as f64;
    variance.sqrt() / mean
}

fn kinks(net: &Net, line: usize, shape: &LineShape) -> f64 {
    let solid = &shape.solid;
    let n = solid.len();
    let closed = net.lines[line].closed && n > 3;
    let mut kinks: Vec<f64> = Vec::new();
    for i in 0..if closed { n } else { n.saturating_sub(3) } {
        let q: Vec<Vec2> = (0..4).map(|k| net.heads[solid[(i + k) % n]]).collect();
        let (b, c) = (shape.solid_flags[(i + 1) % n], shape.solid_flags[(i + 2) % n]);
        if b.corner || c.corner || b.uneven || c.uneven || b.seam || c.seam {
            continue;
        }
        let heading = |k: usize| angle(q[k + 1] - q[k]);
        let (first, second) = (wrap(heading(1) - heading(0)), wrap(heading(2) - heading(1)));
        kinks.push((second - first).abs().to_degrees());
    }
    percentile(&mut kinks, 0.95).unwrap_or(0.0)
}

fn leans(net: &Net, line: usize, shape: &LineShape, row: &mut RowQuality, all: &mut Quality) {
    let l = &net.lines[line];
    let mut leans: Vec<f64> = Vec::new();
    let mut lean = |rise: Vec2, previous: usize, next: usize| {
        if previous == next {
            return;
        }
        let up = angle(net.heads[next] - net.heads[previous]) + l.sign * FRAC_PI_2;
        let phi = wrap(angle(rise) - up).abs();
        all.flips += usize::from(phi > FRAC_PI_2);
        leans.push(phi.to_degrees());
    };
    let rise = |at: usize| {
        net.post_of[l.nodes[at]].map(|p| &net.posts[p]).map(|post| net.heads[post.node] - post.base.at(&net.heads))
    };
    for at in 0..l.nodes.len() {
        let (previous, next) = l.neighbours(at);
        if let Some(v) = rise(at).filter(|_| !shape.in_fan[at] && !shape.uneven[at] && !shape.at_seam[at]) {
            lean(v, previous, next);
        }
    }
    for fan in &shape.fans {
        let (previous, next) = (l.neighbours(fan[0]).0, l.neighbours(fan[fan.len() - 1]).1);
        let mean = fan.iter().filter_map(|&at| rise(at)).fold(Vec2::ZERO, |sum, v| sum + v);
        if !fan.iter().any(|&at| shape.uneven[at] || shape.at_seam[at]) {
            lean(mean, previous, next);
        }
    }
    row.lean_p95_deg = row.lean_p95_deg.max(percentile(&mut leans, 0.95).unwrap_or(0.0));
}

fn stretches(net: &Net, line: usize, layout: &Layout, all: &mut Quality) {
    let mut stretches: Vec<f64> = Vec::new();
    for post in net.lines[line].nodes.iter().filter_map(|&n| net.post_of[n]).map(|p| &net.posts[p]) {
        if net.fabric.stitch(post.stitch).is_slip_stitch() {
            continue;
        }
        let feet = &layout.poses[post.stitch.index()].feet;
        let foot = feet.iter().fold(Vec2::ZERO, |sum, f| sum + f.to_vec2()) / feet.len().max(1) as f64;
        let shift = post.feet.iter().map(|f| f.shift).sum::<f64>() / post.feet.len() as f64;
        // a leg that crosses others is as long as the way across asks
        let aside = post.across.as_ref().map_or(0.0, |f| length(f.at.at(&net.heads) - post.base.at(&net.heads)));
        let tall = (post.rest - shift).max(0.05);
        stretches.push(length(net.heads[post.node] - foot) / (tall * tall + aside * aside).sqrt());
    }
    if let Some(low) = percentile(&mut stretches, 0.05) {
        all.stretch_p05 = all.stretch_p05.min(low);
        all.stretch_p95 = all.stretch_p95.max(percentile(&mut stretches, 0.95).unwrap_or(1.0));
        all.stretch_max = all.stretch_max.max(stretches.iter().copied().fold(0.0, f64::max));
    }
}

/// Nearest-rank percentile.
fn percentile(values: &mut [f64], share: f64) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    let rank = libm::ceil(share * values.len() as f64) as usize;
    values.get(rank.max(1) - 1).copied()
}

// Side of a cell in which crossings are looked for, and the most cells along an edge.
const CELL: f64 = 2.0;
const LONGEST: i64 = 64;

/// An edge of a row line, from head to head.
pub(super) type Edge = (usize, usize);

/// Proper intersections of row lines, drawn from head to head.
pub(super) fn crossing_edges(net: &Net) -> Vec<(Edge, Edge)> {
    first_crossing_edges(net, usize::MAX)
}

/// The same, but no more of them than are asked for: a tangle has no end of them.
pub(super) fn first_crossing_edges(net: &Net, most: usize) -> Vec<(Edge, Edge)> {
    let mut edges: Vec<(usize, usize)> = Vec::new();
    for line in net.lines.iter().filter(|l| l.kind != LineKind::Chain) {
        // an arch that is led over other stitches is not told by its chord
        let drawn = |node: &usize| net.space_of(*node).is_none_or(|space| !net.beneath[space].is_empty());
        let solid: Vec<usize> = line.run().into_iter().filter(drawn).collect();
        edges.extend(solid.windows(2).map(|w| (w[0], w[1])).filter(|(a, b)| a != b));
    }
    edges.sort_unstable();
    edges.dedup();
    // every edge in each cell of a grid that its box meets
    let cell = |v: f64| libm::floor(v / CELL).clamp(-1e9, 1e9) as i64;
    let span = |e: (usize, usize)| {
        let (p, q) = (net.heads[e.0], net.heads[e.1]);
        [cell(p.x.min(q.x)), cell(p.y.min(q.y)), cell(p.x.max(q.x)), cell(p.y.max(q.y))]
    };
    let mut cells: Vec<(i64, i64, usize)> = Vec::with_capacity(2 * edges.len());
    for (i, &edge) in edges.iter().enumerate() {
        let [x0, y0, x1, y1] = span(edge);
        // an edge longer than any chart has is looked at where it begins: it bounds time, not charts
        for x in x0..=x1.min(x0 + LONGEST) {
            cells.extend((y0..=y1.min(y0 + LONGEST)).map(|y| (x, y, i)));
        }
    }
    cells.sort_unstable();
    let mut found = Vec::new();
    for here in cells.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1)) {
        for (k, &(x, y, i)) in here.iter().enumerate() {
            for &(.., j) in &here[k + 1..] {
                let (a, b) = (edges[i], edges[j]);
                let (s, t) = (span(a), span(b));
                // a pair that meets in several cells counts in the first of them
                let first = (s[0].max(t[0]), s[1].max(t[1])) == (x, y);
                let shared = a.0 == b.0 || a.0 == b.1 || a.1 == b.0 || a.1 == b.1;
                if first && !shared && !net.apart(a.0, b.0) && cross(net, a, b) {
                    found.push((a, b));
                    if found.len() >= most {
                        return found;
                    }
                }
            }
        }
    }
    found
}

fn cross(net: &Net, a: (usize, usize), b: (usize, usize)) -> bool {
    let side = |from: Vec2, to: Vec2, p: Vec2| (to - from).cross(p - from);
    let [p, q, r, s] = [a.0, a.1, b.0, b.1].map(|n| net.heads[n]);
    side(p, q, r) * side(p, q, s) < -1e-12 && side(r, s, p) * side(r, s, q) < -1e-12
}
