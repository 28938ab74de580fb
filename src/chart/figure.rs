//! Every stitch of the fabric to the shapes it is drawn with.

use super::arms::{self, Armed};
use super::ground::Ground;
use super::legs::{self, LegPlan};
use super::scene::{Paint, Shape, Stamp};
use super::stamps::{Breadth, Stamps, slimmed};
use super::style::{Face, ScForm};
use super::trace::{Segment, crossing, traced};
use super::{modifiers, passing, post, touch};
use crate::craft::{Meet, Stem};
use crate::fabric::{Fabric, Place, Role, Stitch, StitchId};
use crate::layout::{Layout, Lying};
use crate::symbol::{PartKind, Piece, Stand, Symbol, SymbolSet};
use kurbo::{Affine, Point, Rect, Shape as _, Vec2};

/// Share of its length that a stroke keeps in a cluster, whose legs are a quarter sc apart.
const CLUSTER_STROKE: f64 = 0.38;
/// Where the strokes of crossed stitches ride at least: two stems cross at the middle.
const CROSSED_STROKE_AT: f64 = 0.81;
/// Close under the bar, where more than two cross higher up.
const HIGHEST_STROKE_AT: f64 = 0.865;
/// Share of the stem that strokes keep from where it is crossed.
const CLEAR_OF_CROSSING: f64 = 0.12;
/// How near a foot the ovals and dots of others are looked for.
const BESIDE: f64 = 0.4;
/// Radius of the smallest ring of thread that still shows a hole at 3 mm an sc.
pub(super) const LEAST_RING: f64 = 0.15;

/// Farthest that a joining dot is moved onto what it enters, and how far it then reaches into it.
const JOINED: f64 = 0.2;
const TOUCH: f64 = 0.02;
/// Share of its length that an oval of a picot is drawn at: where the drop bends sharply, its ends would lie on each other.
pub(super) const PICOT_SHARE: f64 = 0.88;

/// The shapes of all stitches, by id, and of all rings.
pub(super) struct Drawn {
    pub stitches: Vec<Vec<Shape>>,
    pub rings: Vec<Vec<Shape>>,
    pub stamps: Vec<Stamp>,
}

pub(super) struct Drafter<'a> {
    pub fabric: &'a Fabric,
    pub layout: &'a Layout,
    pub symbols: &'a SymbolSet,
    pub sc: ScForm,
    pub face: Face,
}

impl Drafter<'_> {
    /// Draws everything: plan the legs, lay down what does not change, shorten what is too close, break what is passed over.
    pub fn draw(&self) -> Drawn {
        let mut stamps = Stamps::default();
        let simple: Vec<Vec<Shape>> = self.fabric.stitches.iter().map(|s| self.simple(s, &mut stamps)).collect();
        let rings = self.rings();
        let mut plans: Vec<LegPlan> = Vec::new();
        for stitch in &self.fabric.stitches {
            plans.extend(legs::plan(stitch, self.layout.pose(stitch.id)));
        }
        self.share_places(&mut plans);
        self.start_clear(&mut plans, &simple, &rings);
        let mut armed = self.arm(&plans);
        let fixed: Vec<(usize, Segment)> = simple
            .iter()
            .enumerate()
            .flat_map(|(i, shapes)| shapes.iter().flat_map(traced).map(move |s| (i, s)))
            .collect();
        arms::shorten(&mut armed, &fixed, |a, b| touch::related(self.fabric, a, b));
        let mut stitches = simple;
        for leg in &armed {
            stitches[leg.owner].extend(leg.stand.pieces(&leg.symbol).into_iter().map(shape));
        }
        for stitch in &self.fabric.stitches {
            let pose = self.layout.pose(stitch.id);
            stitches[stitch.id.index()].extend(modifiers::of_stitch(self.symbols, stitch, pose, self.face));
        }
        self.touch_joined(&mut stitches);
        post::hook_and_break(self, &mut stitches);
        passing::break_crossed(self.fabric, &mut stitches, self.stroke());
        Drawn { stitches, rings, stamps: stamps.list }
    }

    /// A symbol of the table.
    pub fn symbol(&self, key: &str) -> Option<&Symbol> {
        self.symbols.get(key)
    }

    /// Width of the stroke of the chart's symbols.
    pub fn stroke(&self) -> f64 {
        self.symbol("sc plus").map_or(0.09, Symbol::stroke_width)
    }

    /// Chains and slip stitches: ovals and dots, straight from the layout.
    fn simple(&self, stitch: &Stitch, stamps: &mut Stamps) -> Vec<Shape> {
        let pose = self.layout.pose(stitch.id);
        if stitch.is_chain() {
            let lying = pose.lying.unwrap_or(Lying { at: pose.head, angle_rad: 0.0, length: 1.0 });
            let picot = if stitch.role == Role::Picot { PICOT_SHARE } else { 1.0 };
            let lying = Lying { length: lying.length * picot, ..lying };
            // a ring that its first round widens is larger all over
            let breadth = match () {
                () if self.fabric.rings.iter().any(|r| r.ids.contains(&stitch.id)) => Breadth::AsLong,
                () if stitch.role == Role::Turning && !self.counts(stitch) => Breadth::Slim,
                () => Breadth::Own,
            };
            return self.symbol("ch").map(|s| stamps.oval(s, lying, breadth)).into_iter().collect();
        }
        if stitch.is_slip_stitch() {
            let at = self.dot_centre(stitch);
            return self.symbol("sl st").map(|s| stamps.dot(s, at)).into_iter().collect();
        }
        Vec::new()
    }

    /// True for a chain of a turning chain that counts as a stitch.
    fn counts(&self, chain: &Stitch) -> bool {
        let run = self.fabric.stitches[chain.id.index()..].iter();
        run.take_while(|s| s.role == Role::Turning && s.is_chain() && s.row == chain.row)
            .any(|s| s.stands_for.is_some())
    }

    /// A dot that joins or travels lies on what it enters; one that is worked as a stitch stands just above it.
    fn dot_centre(&self, stitch: &Stitch) -> Point {
        let pose = self.layout.pose(stitch.id);
        match (stitch.role, pose.feet.first()) {
            (Role::Base | Role::Branch, Some(&foot)) if (pose.head - foot).hypot() > 0.05 => {
                let stand = Stand::new(foot, pose.head);
                stand.at((0.6 * stand.length()).max(0.16), 0.0)
            }
            _ => pose.head,
        }
    }

    /// Moves the dots that join rounds onto what they enter, where the two do not touch yet.
    fn touch_joined(&self, stitches: &mut [Vec<Shape>]) {
        for dot in self.fabric.stitches.iter().filter(|s| s.role == Role::Join && s.is_slip_stitch()) {
            let Some(entered) = dot.into.first().and_then(|p| p.stitch()) else { continue };
            let ink: Vec<Segment> = stitches[entered.index()].iter().flat_map(traced).collect();
            let Some(shape) = stitches[dot.id.index()].first_mut() else { continue };
            let at = shape.path.bounding_box().center();
            let Some(near) = ink.iter().min_by(|a, b| a.distance_to(at).total_cmp(&b.distance_to(at))) else {
                continue;
            };
            let radius = shape.path.bounding_box().width() / 2.0;
            let to = near.nearest(at);
            let gap = (to - at).hypot2().sqrt() - near.half - radius;
            if gap > 0.0 && gap < JOINED {
                let by = (to - at) * ((gap + TOUCH) / (to - at).hypot2().sqrt().max(1e-9));
                shape.path.apply_affine(Affine::translate(by));
                shape.placed.iter_mut().for_each(|p| p.at += by);
            }
        }
    }

    fn rings(&self) -> Vec<Vec<Shape>> {
        let circle = |i: usize| -> Option<Shape> {
            if !self.fabric.rings[i].ids.is_empty() {
                return None;
            }
            let (pose, symbol) = (self.layout.rings.get(i)?, self.symbol("ring")?);
            let part = symbol.parts.first()?;
            let radius = pose.radius.max(LEAST_RING);
            let own = symbol.height / 2.0;
            // the ring is drawn about the middle between its anchors
            let to =
                Affine::translate(pose.centre.to_vec2()) * Affine::scale(radius / own) * Affine::translate((0.0, own));
            Some(Shape { kind: PartKind::Body, path: to * &part.path, paint: Paint::Stroke(part.width), placed: None })
        };
        (0..self.fabric.rings.len()).map(|i| circle(i).into_iter().collect()).collect()
    }

    fn share_places(&self, plans: &mut [LegPlan]) {
        // what reaches down over others enters the place they enter, and keeps its stem whole
        let alone = |p: &LegPlan| !self.fabric.stitch(p.stitch).covers.is_empty();
        let cluster = |p: &LegPlan| p.stand.bow != 0.0 || (p.together && self.fabric.stitch(p.stitch).form().one_place);
        let mut keyed: Vec<((u8, u32), usize)> = plans
            .iter()
            .enumerate()
            .filter(|(_, p)| !cluster(p) && !alone(p))
            .filter_map(|(i, p)| Some((p.place?, i)))
            .collect();
        keyed.sort_unstable();
        for group in keyed.chunk_by(|a, b| a.0 == b.0).filter(|g| g.len() > 1) {
            let members: Vec<usize> = group.iter().map(|&(_, i)| i).collect();
            legs::spread(plans, &members, self.stroke());
        }
    }

    fn start_clear(&self, plans: &mut [LegPlan], simple: &[Vec<Shape>], rings: &[Vec<Shape>]) {
        let mut rough: Vec<Vec<Shape>> = simple.to_vec();
        for leg in self.arm(plans) {
            rough[leg.owner].extend(leg.stand.pieces(&leg.symbol).into_iter().map(shape));
        }
        let loose = loose_ink(simple);
        let mut at = 0;
        for stitch in &self.fabric.stitches {
            for leg in stitch.legs.iter().take(plans[at..].iter().take_while(|p| p.stitch == stitch.id).count()) {
                let plan = &mut plans[at];
                at += 1;
                let mut reach = 0.8;
                let mut entered: Vec<&Shape> = Vec::new();
                for place in &leg.into {
                    if let Place::Ring { ring } = place {
                        reach = self.layout.rings.get(ring.index()).map_or(0.8, |r| r.radius.max(LEAST_RING) + 0.8);
                        entered.extend(rings[ring.index()].iter());
                    }
                    if !matches!(place, Place::Post { .. }) {
                        let shapes = |id: StitchId| rough[id.index()].iter();
                        entered.extend(
                            touch::entered(self.fabric, place)
                                .into_iter()
                                .filter(|&id| id != stitch.id)
                                .flat_map(shapes),
                        );
                    }
                }
                let mut ink: Vec<Segment> = entered.into_iter().flat_map(traced).collect();
                // the ovals of a turning chain that shares the place stand in the way as well
                let round = Rect::from_center_size(plan.stand.foot, (2.0 * BESIDE, 2.0 * BESIDE));
                let beside = loose.near(round).into_iter().map(|(s, _)| s);
                ink.extend(beside.filter(|s| s.distance_to(plan.stand.foot) < BESIDE));
                plan.stand.start = plan.stand.start.max(legs::clear_start(&plan.stand, self.stroke(), &ink, reach));
            }
        }
    }

    /// Every leg with its symbol; of legs that meet, the bar apart and once.
    fn arm(&self, plans: &[LegPlan]) -> Vec<Armed> {
        let mut armed = Vec::new();
        for group in plans.chunk_by(|a, b| a.stitch == b.stitch) {
            let stitch = self.fabric.stitch(group[0].stitch);
            if let (true, Some(whole)) = (group.len() > 1, self.symbols.whole(stitch.form())) {
                let stand = Stand { bow: 0.0, ..group[0].stand };
                armed.push(Armed { owner: stitch.id.index(), stand, symbol: whole.clone(), least: arms::LEAST });
                continue;
            }
            for plan in group {
                if let Stem::Chain(n) = plan.stem {
                    armed.extend(self.chain_leg(plan, n));
                    continue;
                }
                let Some(mut symbol) = self.leg_symbol(plan) else { continue };
                if group.len() > 1 {
                    symbol.parts.retain(|p| p.kind != PartKind::Head);
                }
                let bare = symbol.parts.iter().all(|p| p.kind == PartKind::Stroke);
                let least = if bare { arms::LEAST_CROSS } else { arms::LEAST };
                armed.push(Armed {
                    owner: stitch.id.index(),
                    stand: self.leg_stand(plan, group, stitch),
                    symbol,
                    least,
                });
            }
            if group.len() > 1 {
                armed.extend(self.common_head(group, stitch));
            }
        }
        armed
    }

    fn leg_symbol(&self, plan: &LegPlan) -> Option<Symbol> {
        let cross = self.sc == ScForm::Cross;
        if plan.stem == Stem::Single && cross && (plan.together || plan.shares_foot) {
            return self.symbol("sc cross leg").cloned();
        }
        self.symbols.stem(plan.stem, cross)
    }

    fn leg_stand(&self, plan: &LegPlan, group: &[LegPlan], stitch: &Stitch) -> Stand {
        let mut stand = plan.stand;
        if let (Stem::Tall(_), true, Some(symbol)) = (plan.stem, plan.together, self.symbols.stem(plan.stem, false)) {
            // lower down, where the legs are apart
            stand.stroke_at = Some(symbol.stroke_at - 0.12);
        }
        if let (Stem::Tall(_), Some(at)) =
            (plan.stem, stand.stroke_at.or(self.symbols.stem(plan.stem, false).map(|s| s.stroke_at)))
        {
            stand.stroke_at = self.clear_of_crossings(stitch, at).or(stand.stroke_at);
        }
        if plan.stand.bow != 0.0 || (plan.together && plan.stem != Stem::Single && stitch.form().one_place) {
            // legs of a cluster are closer than any others: each stroke keeps to its own
            stand.stroke_scale = CLUSTER_STROKE;
        }
        if plan.stem == Stem::Single {
            // the bar moves to where the legs are apart
            if plan.together {
                stand.stroke_at = Some(0.42);
            } else if plan.shares_foot {
                stand.stroke_at = Some(0.64);
            }
            let feet: Vec<Point> = group.iter().map(|p| p.stand.foot).collect();
            let axis = if plan.together {
                legs::mean(&feet).map_or(Vec2::new(0.0, -1.0), |m| stand.head - m)
            } else {
                self.axis_of(stitch)
            };
            stand.mirrored = axis.cross(stand.up()) > 0.0;
        }
        if let (false, Some(symbol)) = (stitch.covers.is_empty(), self.symbols.stem(plan.stem, false)) {
            // what reaches down over others has its strokes in its own row
            stand.stroke_at = Some(1.0 - (1.0 - symbol.stroke_at) * symbol.height / stand.length().max(symbol.height));
        }
        let lift = modifiers::foot_marks(stitch, self.face).iter().map(|(_, height)| height).sum::<f64>();
        stand.start = (stand.start + lift).min(0.6 * stand.length());
        if lift > 0.0 && plan.stem == Stem::Single && !plan.together && !plan.shares_foot {
            // the cross gives up to the mark what the mark takes
            let room = (lift / 2.0 + 0.03) / stand.length().max(0.5);
            stand.stroke_at = Some((0.55 + room).min(0.75));
            // narrower, so that it stays taller than wide
            stand.stroke_scale *= if self.sc == ScForm::Cross { 0.78 } else { 0.82 };
        }
        stand
    }

    /// Where the strokes of a stitch ride that crosses neighbours, in front of them or behind: above the crossings. The same
    /// for all of its kind that cross one another.
    fn clear_of_crossings(&self, stitch: &Stitch, at: f64) -> Option<f64> {
        let near = |id: StitchId| {
            let from = id.index().saturating_sub(passing::WINDOW);
            self.fabric.stitches.iter().skip(from).take(2 * passing::WINDOW + 1)
        };
        let like = |s: &&Stitch| s.row == stitch.row && s.stem() == stitch.stem();
        let own = self.crossings(stitch);
        if own.is_empty() {
            return None;
        }
        let all: Vec<f64> = near(stitch.id).filter(like).flat_map(|s| self.crossings(s)).chain(own).collect();
        let room = |share: f64| all.iter().map(|c| (c - share).abs()).fold(f64::INFINITY, f64::min);
        let rides = [at.max(CROSSED_STROKE_AT), HIGHEST_STROKE_AT];
        let clear = rides.into_iter().find(|&share| room(share) >= CLEAR_OF_CROSSING);
        clear.or_else(|| rides.into_iter().reduce(|a, b| if room(b) > room(a) { b } else { a }))
    }

    /// How far up its stem a stitch is crossed by neighbours.
    fn crossings(&self, stitch: &Stitch) -> Vec<f64> {
        let line =
            |s: &Stitch| Some(Segment::new(*self.layout.pose(s.id).feet.first()?, self.layout.pose(s.id).head, 0.0));
        let Some(own) = line(stitch) else { return Vec::new() };
        let from = stitch.id.index().saturating_sub(passing::WINDOW);
        let near = self.fabric.stitches.iter().skip(from).take(2 * passing::WINDOW + 1);
        near.filter(|s| s.id != stitch.id && (s.extra.crossed || stitch.extra.crossed))
            .filter_map(|s| crossing(&own, &line(s)?))
            .map(|p| (p - own.a).hypot() / (own.b - own.a).hypot())
            .collect()
    }

    /// Direction in which a fan opens: away from its place, seen through the stitch below.
    fn axis_of(&self, stitch: &Stitch) -> Vec2 {
        let heads = self.fabric.stitches.iter().skip(stitch.id.index().saturating_sub(4)).take(9);
        let fan: Vec<Vec2> = heads
            .filter(|s| s.into == stitch.into && !s.into.is_empty())
            .map(|s| {
                Stand::new(
                    self.layout.pose(s.id).feet.first().copied().unwrap_or_default(),
                    self.layout.pose(s.id).head,
                )
                .up()
            })
            .collect();
        fan.iter().fold(Vec2::ZERO, |sum, d| sum + *d)
    }

    fn chain_leg(&self, plan: &LegPlan, n: u8) -> Vec<Armed> {
        let Some(symbol) = self.symbol("ch") else { return Vec::new() };
        let stand = plan.stand;
        let (from, to) = (stand.start, stand.length());
        let at = |k: u8| stand.at(from + (to - from) * f64::from(k) / f64::from(n.max(1)), 0.0);
        let oval = |k| Armed {
            owner: plan.stitch.index(),
            stand: Stand::new(at(k), at(k + 1)),
            symbol: slimmed(symbol, (to - from) / f64::from(n.max(1))),
            least: arms::LEAST,
        };
        (0..n).map(oval).collect()
    }

    fn common_head(&self, group: &[LegPlan], stitch: &Stitch) -> Option<Armed> {
        let feet: Vec<Point> = group.iter().map(|p| p.stand.foot).collect();
        let stem = group.iter().map(|p| p.stem).max().filter(|s| !s.is_chain())?;
        let mut symbol = match stitch.meet {
            Meet::Closed => self.symbol("popcorn").cloned()?,
            _ => self.symbols.stem(stem, false)?,
        };
        symbol.parts.retain(|p| p.kind == PartKind::Head);
        let stand = Stand::new(legs::mean(&feet)?, self.layout.pose(stitch.id).head);
        (!symbol.parts.is_empty()).then_some(Armed { owner: stitch.id.index(), stand, symbol, least: arms::LEAST })
    }
}

/// The ovals and dots on a ground of their own.
fn loose_ink(simple: &[Vec<Shape>]) -> Ground {
    let area = simple.iter().flatten().map(|s| s.path.bounding_box()).reduce(|a, b| a.union(b));
    let mut ground = Ground::new(area.unwrap_or(Rect::ZERO));
    simple.iter().flatten().flat_map(traced).for_each(|s| ground.add(s, None));
    ground
}

/// A piece as a shape of the scene.
pub(super) fn shape(piece: Piece) -> Shape {
    let paint = if piece.filled { Paint::Fill } else { Paint::Stroke(piece.width) };
    Shape { kind: piece.kind, path: piece.path, paint, placed: None }
}
