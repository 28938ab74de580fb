//! A chart read back: from its hooks the whole fabric, and from the lines alone nearly all of it.

mod chart;

use chart::Piece;
use fanwise::chart::{Scene, Style};
use fanwise::export::svg;
use fanwise::fabric::{Fabric, Place, StitchId};
use kurbo::{BezPath, ParamCurve, ParamCurveNearest, Point, Shape as _};
use roxmltree::Document;
use std::collections::BTreeMap;

/// What the hooks of a stitch say.
struct Hook {
    kind: String,
    row: usize,
    into: Vec<Vec<Place>>,
}

/// Every stitch of an SVG by its number.
fn hooks(text: &str, fabric: &Fabric) -> BTreeMap<usize, Hook> {
    let document = Document::parse(text).expect("XML");
    let mut found = BTreeMap::new();
    for row in document.descendants().filter(|n| n.attribute("data-row").is_some()) {
        let index = row.attribute("data-row").unwrap().parse().expect("a number");
        for node in row.children().filter(|n| n.attribute("data-stitch").is_some()) {
            let id: usize = node.attribute("data-stitch").unwrap().parse().expect("a number");
            let kind = node.attribute("class").unwrap().strip_prefix("stitch ").expect("its class").to_owned();
            let told = node.attribute("data-into").unwrap_or("");
            let leg = |leg: &str| leg.split('+').map(|p| place(p, fabric)).collect();
            let into = told.split(' ').filter(|l| !l.is_empty()).map(leg).collect();
            assert!(found.insert(id, Hook { kind, row: index, into }).is_none(), "stitch {id} is drawn twice");
        }
    }
    found
}

/// A place by its short name. Spaces and rings are told by their chains, and looked up by them.
fn place(told: &str, fabric: &Fabric) -> Place {
    let id = |text: &str| StitchId::new(text.parse().unwrap_or_else(|_| panic!("{told}")));
    let run = |text: &str| -> (StitchId, StitchId) {
        let (a, b) = text.split_once('-').unwrap_or((text, text));
        (id(a), id(b))
    };
    let json =
        |value: serde_json::Value| -> Place { serde_json::from_value(value).unwrap_or_else(|e| panic!("{told}: {e}")) };
    let (sign, rest) = told.split_at(1);
    match sign {
        "c" => Place::Chain { chain: id(rest) },
        "u" => Place::Underside { underside: id(rest) },
        "b" => Place::Bump { bump: id(rest) },
        "s" => {
            let (first, last) = run(rest);
            let k = fabric.spaces.iter().position(|s| s.ids.first() == Some(&first) && s.ids.last() == Some(&last));
            json(serde_json::json!({ "space": k.expect("its chains") }))
        }
        "r" => {
            let ends = (!rest.is_empty()).then(|| run(rest));
            let is = |r: &fanwise::fabric::Ring| r.ids.first().copied().zip(r.ids.last().copied()) == ends;
            json(serde_json::json!({ "ring": fabric.rings.iter().position(is).expect("its chains") }))
        }
        "p" => {
            let (stitch, side) = rest.split_at(rest.len() - 1);
            json(serde_json::json!({ "post": id(stitch).index(), "from": if side == "f" { "front" } else { "back" } }))
        }
        "e" => {
            let at = rest.find(['s', 'e']).expect("an edge");
            let edge = if &rest[at..=at] == "s" { "start" } else { "end" };
            let height: f64 = if rest.len() == at + 1 { 0.0 } else { rest[at + 1..].parse().expect("a height") };
            json(
                serde_json::json!({ "row_end": { "row": rest[..at].parse::<usize>().unwrap(), "edge": edge, "at": height } }),
            )
        }
        "n" | "f" => {
            let (a, b) = run(rest);
            let name = if sign == "n" { "between" } else { "face" };
            json(serde_json::json!({ name: [a.index(), b.index()] }))
        }
        "d" => {
            let (stitch, at) = rest.split_once('@').expect("a height");
            json(serde_json::json!({ "side": id(stitch).index(), "at": at.parse::<f64>().unwrap_or(0.0) }))
        }
        _ => {
            let (stitch, part) = match told.strip_suffix(['f', 'b', 't']) {
                Some(stitch) => (stitch, &told[told.len() - 1..]),
                None => (told, ""),
            };
            let part = match part {
                "f" => "front",
                "b" => "back",
                "t" => "third",
                _ => "both",
            };
            json(serde_json::json!({ "top": id(stitch).index(), "loop": part }))
        }
    }
}

fn pieces() -> Vec<(String, Piece)> {
    chart::pieces(&Style::default(), &["granny-square", "dc-row-ends", "fans-with-chains", "n-together"])
}

#[test]
fn from_its_hooks_the_whole_fabric_comes_back() {
    for (name, piece) in pieces() {
        let read = hooks(&svg::write(&piece.scene), &piece.fabric);
        assert_eq!(read.len(), piece.fabric.stitches.len(), "{name}");
        for stitch in &piece.fabric.stitches {
            let hook = &read[&stitch.id.index()];
            assert_eq!(
                (hook.kind.as_str(), hook.row),
                (stitch.kind.replace(' ', "-").as_str(), stitch.row.index()),
                "{name}"
            );
            let told: Vec<Vec<Place>> = stitch.legs.iter().map(|l| l.into.clone()).filter(|l| !l.is_empty()).collect();
            let told = if told.is_empty() { stitch.into.iter().map(|p| vec![*p]).collect() } else { told };
            assert_eq!(hook.into, told, "{name}, stitch {}", stitch.id.index());
        }
    }
}

/// A stitch as the eye has it: its lines, its ovals, the row by whose number it stands.
struct Seen {
    id: StitchId,
    row: usize,
    paths: Vec<BezPath>,
    stems: Vec<BezPath>,
    oval: bool,
    dot: bool,
}

/// The separate lines of a drawing.
fn lines(path: &BezPath) -> Vec<BezPath> {
    let mut all: Vec<BezPath> = Vec::new();
    for element in path.elements() {
        if matches!(element, kurbo::PathEl::MoveTo(_)) {
            all.push(BezPath::new());
        }
        all.last_mut().expect("a path begins with a move").push(*element);
    }
    all
}

fn seen(scene: &Scene) -> Vec<Seen> {
    let closed = |p: &BezPath| p.elements().last() == Some(&kurbo::PathEl::ClosePath);
    let one = |row: usize, f: &fanwise::chart::Figure| {
        let paths: Vec<BezPath> = f.shapes.iter().flat_map(|s| lines(&s.path)).collect();
        let filled = f.shapes.iter().all(|s| s.paint == fanwise::chart::Paint::Fill);
        Seen {
            id: f.stitch,
            row,
            oval: paths.len() == 1 && closed(&paths[0]) && !filled,
            dot: filled,
            stems: stems(&paths),
            paths,
        }
    };
    scene.rows.iter().flat_map(|g| g.figures.iter().map(move |f| one(g.row.index(), f))).collect()
}

fn ends(path: &BezPath) -> Option<(Point, Point)> {
    Some((path.segments().next()?.start(), path.segments().last()?.end()))
}

fn distance(paths: &[BezPath], p: Point) -> f64 {
    let segments = paths.iter().flat_map(|path| path.segments().collect::<Vec<_>>());
    segments.map(|s| s.nearest(p, 1e-4).distance_sq.sqrt()).fold(f64::INFINITY, f64::min)
}

/// The stems of a symbol: its longest lines, those that are at least two thirds of the longest and stand on their own.
fn stems(paths: &[BezPath]) -> Vec<BezPath> {
    let open: Vec<&BezPath> = paths.iter().filter(|p| p.elements().last() != Some(&kurbo::PathEl::ClosePath)).collect();
    let longest = open.iter().map(|p| p.perimeter(1e-3)).fold(0.0, f64::max);
    open.into_iter().filter(|p| p.perimeter(1e-3) > 0.66 * longest).cloned().collect()
}

impl Seen {
    /// How far a foot is from it: from the outline of an oval or dot, or from an end of a stem.
    fn from(&self, foot: Point) -> f64 {
        if self.oval || self.dot {
            return distance(&self.paths, foot);
        }
        let tips: Vec<Point> = self
            .stems
            .iter()
            .filter_map(|stem| Some((stem, ends(stem)?)))
            .flat_map(|(stem, (a, b))| {
                let heads: Vec<Point> = [a, b].into_iter().filter(|&p| is_head(self, stem, p)).collect();
                if heads.is_empty() { vec![a, b] } else { heads }
            })
            .collect();
        let bars = self.paths.iter().filter(|p| {
            let middle = p.segments().next().map(|s| s.eval(0.5));
            p.perimeter(1e-3) < 0.8 && middle.is_some_and(|m| tips.iter().any(|t| (*t - m).hypot() < 0.12))
        });
        let bars: Vec<BezPath> = bars.cloned().collect();
        tips.iter().map(|tip| (*tip - foot).hypot()).fold(distance(&bars, foot), f64::min)
    }
}

/// Where a symbol ends above: the end of its stem that a bar crosses, or where its stems meet.
fn is_head(seen: &Seen, stem: &BezPath, end: Point) -> bool {
    let others = seen.paths.iter().filter(|p| *p != stem);
    others.clone().any(|p| {
        let middle = p.segments().next().map(|s| s.eval(0.5));
        let bar = p.perimeter(1e-3) < 0.8 && middle.is_some_and(|m| (m - end).hypot() < 0.12);
        let met =
            ends(p).is_some_and(|(a, b)| (a - end).hypot().min((b - end).hypot()) < 0.06) && p.perimeter(1e-3) > 0.6;
        bar || met
    })
}

/// From the lines alone: every leg's nearest neighbour below is what it is worked into. What a program cannot tell, a
/// reader cannot either.
#[test]
fn from_its_lines_alone_at_least_99_of_100_legs_find_what_they_stand_on() {
    let (mut legs, mut lost) = (0, Vec::new());
    for (name, piece) in pieces() {
        let all = seen(&piece.scene);
        let fabric = &piece.fabric;
        for own in all.iter().filter(|s| !s.oval && !s.dot) {
            let stitch = fabric.stitch(own.id);
            // what is worked round posts, into row ends or between stitches has its hook or its gap, not a head below it
            let on_stitches = |p: &Place| {
                !matches!(
                    p,
                    Place::Post { .. }
                        | Place::Side { .. }
                        | Place::RowEnd { .. }
                        | Place::Face { .. }
                        | Place::Between { .. }
                )
            };
            if stitch.into.is_empty()
                || !stitch.into.iter().all(on_stitches)
                || stitch.legs.iter().any(|l| l.stem.is_chain())
            {
                continue;
            }
            let right: Vec<StitchId> = stitch.into.iter().flat_map(|p| stands_on(fabric, p)).collect();
            let below: Vec<&Seen> = all
                .iter()
                .filter(|s| s.id != own.id && (s.row < own.row || (s.row == own.row && s.oval && s.id < own.id)))
                // the eye knows the chain at the number of a row, and in a row below the slim one that counts for nothing
                .filter(|s| !(starts(fabric, s.id) && (s.row == own.row || !counts(fabric, s.id))))
                .collect();
            let rings: Vec<BezPath> = piece.scene.rows.iter().flat_map(|g| &g.rings).map(|r| r.path.clone()).collect();
            for stem in own.stems.clone() {
                let Some((a, b)) = ends(&stem) else { continue };
                let feet: Vec<Point> = [a, b].into_iter().filter(|&p| !is_head(own, &stem, p)).collect();
                let nearest = |p: Point| {
                    let stitches = below.iter().map(|s| (s.from(p), Some(s.id)));
                    let ring = rings.iter().map(|r| (distance(std::slice::from_ref(r), p), None));
                    stitches.chain(ring).min_by(|x, y| x.0.total_cmp(&y.0))
                };
                let Some((_, found)) = feet.into_iter().filter_map(nearest).min_by(|x, y| x.0.total_cmp(&y.0)) else {
                    continue;
                };
                legs += 1;
                let fine = match found {
                    Some(id) => right.contains(&id),
                    None => stitch.into.iter().any(|p| matches!(p, Place::Ring { .. })),
                };
                if !fine {
                    let told: Vec<usize> = right.iter().map(|i| i.index()).collect();
                    lost.push(format!(
                        "{name}: {} {} stands on {told:?}, looks as on {:?}",
                        stitch.kind,
                        own.id.index(),
                        found.map(|i| i.index())
                    ));
                }
            }
        }
    }
    println!("{legs} legs, {} lost", lost.len());
    lost.iter().for_each(|l| println!("{l}"));
    assert!(legs > 700);
    assert!(lost.len() * 100 <= legs, "{} of {legs}:\n{}", lost.len(), lost.join("\n"));
}

fn starts(fabric: &Fabric, id: StitchId) -> bool {
    fabric.stitch(id).role == fanwise::fabric::Role::Turning && fabric.stitch(id).is_chain()
}

fn counts(fabric: &Fabric, id: StitchId) -> bool {
    let run =
        fabric.stitches[id.index()..].iter().take_while(|s| starts(fabric, s.id) && s.row == fabric.stitch(id).row);
    run.into_iter().any(|s| s.stands_for.is_some())
}

/// The stitches whose drawing is the place: of a turning chain, any of its ovals; of a space or ring, its chains.
fn stands_on(fabric: &Fabric, place: &Place) -> Vec<StitchId> {
    match *place {
        Place::Space { space } => fabric.spaces[space.index()].ids.clone(),
        // the dot that closes a ring is part of it
        Place::Ring { ring } => {
            let ids = &fabric.rings[ring.index()].ids;
            let dot = ids.last().map(|last| StitchId::new(last.index() + 1));
            let dot = dot.filter(|&d| fabric.stitches.get(d.index()).is_some_and(|s| s.is_slip_stitch()));
            ids.iter().copied().chain(dot).collect()
        }
        _ => {
            let Some(id) = place.stitch() else { return Vec::new() };
            // a slip stitch or first stitch lies on the top it was joined to
            let joined =
                fabric.stitches.iter().filter(|s| s.is_slip_stitch() && s.into.iter().any(|p| p.stitch() == Some(id)));
            joined.map(|s| s.id).chain([id]).collect()
        }
    }
}
