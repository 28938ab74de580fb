//! The phases in order: draw the stitches, then find places for everything that explains them.

use super::columns::bounds;
use super::figure::{Drafter, Drawn};
use super::ground::Ground;
use super::hooks::{class_of, into_of};
use super::legend::Legend;
use super::metrics::Metrics;
use super::scene::{Figure, Label, LabelRole, Mark, MarkRole, Paint, RowGroup, Scene, Shape};
use super::style::TextAs;
use super::trace::traced;
use super::{ChartInfo, Ink, InkBy, Style, arrow, columns, furnish, inks, numbers, one, part, show, turns, yarn};
use crate::fabric::{Fabric, Role, Row, RowId, RowShape, Stitch};
use crate::layout::Layout;
use crate::symbol::{PartKind, SymbolSet};
use kurbo::{Rect, RoundedRect, Shape as _};

/// Composes a chart: every stitch drawn where the layout has it, and title, numbers, arrow, triangles and legend
/// placed where they touch nothing.
///
/// Postcondition: every stitch of the fabric, or of the part picked, has exactly one figure. Same input, same scene, on every machine.
///
/// # Panics
/// Where the layout is not one of this fabric.
pub fn compose(fabric: &Fabric, layout: &Layout, symbols: &SymbolSet, style: &Style, info: &ChartInfo) -> Scene {
    assert_eq!(fabric.stitches.len(), layout.poses.len(), "a layout has one pose for each stitch");
    let style = &style.settled();
    let weighted = symbols.clone().with_weight(style.weight);
    let symbols = &weighted;
    let furniture = style.furniture;
    let metrics = Metrics::new(&style.font);
    let speak = style.speak.unwrap_or(info.terms);
    let all_letters = letters(fabric);
    let yarns = inks::yarn_inks(info, &style.yarn_inks, &all_letters);
    let several = all_letters.len() > 1 || info.yarns.len() > 1;
    let row_inks = row_inks(fabric, style);
    let drawn = Drafter { fabric, layout, symbols, sc: style.sc, face: style.face }.draw();

    let mut scene = furnish::begun(fabric, symbols, style, info, speak);
    let heavy = if style.ink == InkBy::One { one::heavy_rows(fabric) } else { Vec::new() };
    scene.tints = one::bands(fabric, layout, &heavy);
    scene.tints.extend(doubts(info, &drawn));
    scene.rows = groups(fabric, style, &row_inks, &yarns, &drawn);
    one::thicken(&mut scene.rows, &heavy);
    scene.stamps = drawn.stamps;
    scene.outlined = style.text == TextAs::Outlines;
    // whatever stands beside the work sees no more of the fabric than is drawn
    let seen = info.pick.as_ref().map(|pick| {
        pick.apply(&mut scene.rows);
        pick.seen(fabric)
    });
    let fabric = seen.as_ref().unwrap_or(fabric);
    let used = letters(fabric);

    let mut ground = ground(&scene, fabric);
    scene.labels.extend(ring_numbers(fabric, layout, style, &metrics, &row_inks, &mut ground));
    let yarn_marks = yarn::Yarns { fabric, layout, symbols, style, metrics: &metrics, lettered: several };
    let (marks, yarn_letters) = if furniture.triangles { yarn_marks.place(&mut ground) } else { Default::default() };
    scene.labels.extend(yarn_letters);
    let told_yarns = if several && style.ink == InkBy::One { one::yarns_of_rows(fabric) } else { Vec::new() };
    if !told_yarns.is_empty() {
        scene.labels.extend(one::run_letters(fabric, layout, style, &metrics, &mut ground));
    }
    // numbers are in the ink their row is drawn in
    let seen_inks: Vec<Ink> = fabric.rows.iter().map(|r| scene.row_ink(r.index).for_words()).collect();
    if furniture.numbers {
        let numbers =
            numbers::Numbers { fabric, layout, style, speak, metrics: &metrics, inks: &seen_inks, yarns: &told_yarns };
        scene.labels.extend(numbers.place(&mut ground));
    }
    scene.marks = marks;
    let arrow = arrow::place(fabric, layout, symbols, style.plain_ink, &ground).filter(|_| furniture.arrow);
    arrow.iter().flat_map(|m| &m.shapes).flat_map(traced).for_each(|s| ground.add(s, None));
    scene.marks.extend(arrow);
    if furniture.arrow {
        scene.marks.extend(turns::place(fabric, layout, symbols, style.plain_ink, &mut ground));
    }
    let bounds = part::Bounds { fabric, layout, style, speak, metrics: &metrics };
    repeats(fabric, layout, style, info).iter().for_each(|r| bounds.draw(r, &mut ground, &mut scene));
    info.aside.draw(&mut scene, style, &metrics, &mut ground);
    let mut figures = vec![None; fabric.stitches.len()];
    scene.rows.iter().flat_map(|g| &g.figures).for_each(|f| figures[f.stitch.index()] = Some(f));
    let layers = show::place(
        &show::Work {
            fabric,
            layout,
            style,
            speak,
            metrics: &metrics,
            figures,
            curve: info.curve.as_ref(),
            outlines: if info.aside.is_empty() { &info.outlines } else { &[] },
        },
        &mut ground,
    );
    scene.layers = layers;

    let legend = Legend {
        fabric,
        symbols,
        style,
        info,
        metrics: &metrics,
        speak,
        yarns: &yarns.into_iter().filter(|(letter, _)| used.contains(letter)).collect::<Vec<_>>(),
        marks: scene.marks.iter().map(|m| m.role).collect(),
        key: furniture.key && (several || (style.ink == InkBy::Yarn && !used.is_empty())),
        layers: show::entries(&scene.layers, speak),
    };
    frame(&mut scene, style, info, &metrics, legend);
    if style.ink == InkBy::One {
        one::blacken(&mut scene);
    }
    scene
}

/// The repeat that is drawn as a part; else that of each flat piece worked over a multiple.
fn repeats(fabric: &Fabric, layout: &Layout, style: &Style, info: &ChartInfo) -> Vec<part::Repeat> {
    let picked = info.pick.as_ref().and_then(|p| p.repeat.clone());
    if picked.is_some() || !style.furniture.repeat || !info.aside.is_empty() {
        return picked.into_iter().collect();
    }
    let whole = |row: &&Row| info.pick.as_ref().is_none_or(|p| p.has_row(fabric, row.index));
    let rows: Vec<RowId> = fabric.rows.iter().filter(whole).map(|r| r.index).collect();
    part::multiples(fabric, layout, &rows)
}

/// Title above, legend and credit below, and the frame round all.
fn frame(scene: &mut Scene, style: &Style, info: &ChartInfo, metrics: &Metrics, legend: Legend) {
    let work = extent(scene).unwrap_or(Rect::new(0.0, 0.0, 1.0, 1.0));
    let bar = info.stitch_mm.and_then(|mm| super::bar::place(work, mm, style, metrics));
    let work = match bar {
        Some((mark, label)) => {
            let room = bounds(&mark.shapes).map_or(label.bounds, |b| b.union(label.bounds));
            scene.marks.push(mark);
            scene.labels.push(label);
            work.union(room)
        }
        None => work,
    };
    let below = |scene: &mut Scene| {
        let told = style.furniture.legend || style.furniture.key;
        let (marks, words) = if told { legend.place(work.x0, work.y1 + 1.1, work.width()) } else { Default::default() };
        columns::stand_below(scene, marks, words, work)
    };
    furnish::furnish(scene, style, metrics, work, below, info.credit.as_deref());
}

/// The row a stitch is seen in: of a turning chain made with the foundation, the row above.
pub(super) fn seen_row(fabric: &Fabric, stitch: &Stitch) -> RowId {
    let next = RowId::new(stitch.row.index() + 1);
    let leads = stitch.role == Role::Turning && fabric.row(stitch.row).shape == RowShape::Foundation;
    if leads && fabric.rows.get(next.index()).is_some_and(|r| r.part == fabric.row(stitch.row).part) {
        return next;
    }
    stitch.row
}

/// Letters of the yarns in the order of the work.
fn letters(fabric: &Fabric) -> Vec<String> {
    let mut letters: Vec<String> = Vec::new();
    for stitch in fabric.stitches.iter().filter(|s| !s.colour.is_empty()) {
        if !letters.contains(&stitch.colour) {
            letters.push(stitch.colour.clone());
        }
    }
    letters
}

/// The ink of each row: foundations plain, the rest alternating from the start of each part.
fn row_inks(fabric: &Fabric, style: &Style) -> Vec<Ink> {
    let mut worked = 0;
    let mut part = None;
    let ink = |row: &crate::fabric::Row| {
        if part != Some(row.part) {
            (part, worked) = (Some(row.part), 0);
        }
        if row.shape == RowShape::Foundation {
            return style.plain_ink;
        }
        // a row in which nothing is made, such as one that only joins yarn, does not change the ink
        if !row.order.is_empty() || worked == 0 {
            worked += 1;
        }
        style.row_inks[(worked - 1) % 2]
    };
    fabric.rows.iter().map(ink).collect()
}

fn groups(fabric: &Fabric, style: &Style, row_inks: &[Ink], yarns: &[(String, Ink)], drawn: &Drawn) -> Vec<RowGroup> {
    let mut groups: Vec<RowGroup> = Vec::with_capacity(fabric.rows.len());
    for row in &fabric.rows {
        let of_row = |id: &usize| fabric.rings[*id].row == row.index;
        let rings = (0..fabric.rings.len()).filter(of_row).flat_map(|i| drawn.rings[i].iter().cloned()).collect();
        groups.push(RowGroup {
            row: row.index,
            label: row.label.clone(),
            ink: row_inks[row.index.index()],
            rings,
            figures: Vec::new(),
        });
    }
    for stitch in &fabric.stitches {
        let group = &mut groups[stitch.row.index()];
        let yarn = yarns.iter().find(|(letter, _)| *letter == stitch.colour).map(|y| y.1);
        let ink = match style.ink {
            // a turning chain made with the foundation is the edge of the row it leads into
            InkBy::Row | InkBy::One => row_inks[seen_row(fabric, stitch).index()],
            InkBy::Yarn => yarn.unwrap_or(style.plain_ink),
        };
        group.figures.push(Figure {
            stitch: stitch.id,
            class: class_of(stitch),
            into: into_of(fabric, stitch),
            position: group.figures.len() + 1,
            span: stitch.span,
            ink,
            layer: stitch.layer,
            shapes: drawn.stitches[stitch.id.index()].clone(),
        });
    }
    if style.ink == InkBy::Yarn {
        // the ink of a row is that of most of its stitches, so that few have to name their own
        groups.iter_mut().for_each(|g| g.ink = commonest(&g.figures).unwrap_or(g.ink));
    }
    groups.sort_by_key(|g| (fabric.row(g.row).layer, g.row));
    groups
}

fn commonest(figures: &[Figure]) -> Option<Ink> {
    let count = |ink: Ink| figures.iter().filter(|f| f.ink == ink).count();
    let mut inks: Vec<Ink> = figures.iter().map(|f| f.ink).collect();
    inks.sort_unstable();
    inks.dedup();
    inks.into_iter().rev().max_by_key(|&ink| count(ink))
}

/// Everything inked so far, on the ground that labels are placed on.
fn ground(scene: &Scene, fabric: &Fabric) -> Ground {
    let area = extent(scene).unwrap_or(Rect::new(0.0, 0.0, 1.0, 1.0));
    let mut ground = Ground::new(area.inflate(3.0, 3.0));
    for group in &scene.rows {
        group.rings.iter().flat_map(traced).for_each(|s| ground.add(s, Some(group.row)));
        for figure in &group.figures {
            let row = seen_row(fabric, fabric.stitch(figure.stitch));
            figure.shapes.iter().flat_map(traced).for_each(|s| ground.add(s, Some(row)));
        }
    }
    ground
}

/// Box of all ink and text.
pub(super) fn bounds_of_work(scene: &Scene) -> Rect {
    extent(scene).unwrap_or(Rect::new(0.0, 0.0, 1.0, 1.0))
}

/// Box of all ink and text so far.
fn extent(scene: &Scene) -> Option<Rect> {
    let rows = scene.rows.iter().flat_map(|g| g.figures.iter().map(|f| bounds(&f.shapes)).chain([bounds(&g.rings)]));
    let marks = scene.marks.iter().chain(&scene.tints).map(|m| bounds(&m.shapes));
    let marks = marks.chain(scene.layers.iter().flat_map(|l| &l.marks).map(|m| bounds(&m.shapes)));
    let labels = scene.labels.iter().chain(scene.layers.iter().flat_map(|l| &l.labels)).map(|l| Some(l.bounds));
    rows.chain(marks).chain(labels).flatten().reduce(|a, b| a.union(b))
}

/// The number of chains, in the middle of every ring of chains that has room for it.
fn ring_numbers(
    fabric: &Fabric,
    layout: &Layout,
    style: &Style,
    metrics: &Metrics,
    row_inks: &[Ink],
    ground: &mut Ground,
) -> Vec<Label> {
    let mut labels = Vec::new();
    for (ring, pose) in fabric.rings.iter().zip(&layout.rings) {
        let chains = ring.ids.iter().filter(|&&id| fabric.stitch(id).is_chain()).count();
        if chains == 0 {
            continue;
        }
        let size = style.size_of(LabelRole::RingNumber, 0.5, 6.0);
        let mut label =
            metrics.centred(LabelRole::RingNumber, &chains.to_string(), pose.centre, size, row_inks[ring.row.index()]);
        label.row = Some(ring.row);
        if ground.is_free(label.bounds, 0.08) {
            ground.add_box(label.bounds);
            labels.push(label);
        }
    }
    labels
}

/// A pale tint with a dashed outline round every stitch in doubt.
fn doubts(info: &ChartInfo, drawn: &Drawn) -> Vec<Mark> {
    /// How far the tint reaches past the ink.
    const ROOM: f64 = 0.14;
    let hidden = |id| info.pick.as_ref().is_some_and(|p| p.of(id) == super::Shown::Hidden);
    let tint = |shapes: &[Shape]| -> Option<Mark> {
        let outline = bounds(shapes)?.inflate(ROOM, ROOM);
        let path = RoundedRect::from_rect(outline, 0.15).to_path(0.001);
        let shape = Shape { kind: PartKind::Body, path, paint: Paint::Stroke(0.05), placed: None };
        Some(Mark {
            role: MarkRole::Doubt,
            ink: Ink::DOUBT_LINE,
            tint: Some(Ink::DOUBT_TINT),
            dashed: true,
            shapes: vec![shape],
            tip: None,
            stitch: None,
        })
    };
    let mut ids = info.doubtful.clone();
    ids.sort_unstable();
    ids.dedup();
    let marked = |id: crate::fabric::StitchId| {
        let mut mark = tint(drawn.stitches.get(id.index())?)?;
        mark.stitch = Some(id);
        Some(mark)
    };
    ids.into_iter().filter(|&id| !hidden(id)).filter_map(marked).collect()
}
