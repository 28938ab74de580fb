use super::{Part, PartKind, Symbol};
use kurbo::{BezPath, PathEl, Point, Shape, Vec2};

/// How one symbol, or one leg of a composed one, stands on the page.
#[derive(Clone, Copy, Debug)]
pub struct Stand {
    /// The place it is worked into.
    pub foot: Point,
    /// Where the next row stands.
    pub head: Point,
    /// The stem starts this far up from the foot.
    pub start: f64,
    /// And ends at least this far down from the head.
    pub stop: f64,
    /// Share of the way at which the strokes ride; none for the file's own.
    pub stroke_at: Option<f64>,
    /// Scale of the head bar, for neighbours that stand close.
    pub head_scale: f64,
    /// Scale of the strokes, likewise.
    pub stroke_scale: f64,
    /// How far from foot and head the legs of a cluster meet.
    pub ends: [f64; 2],
    /// Sideways bulge of the stem at its middle, for the legs of a cluster.
    pub bow: f64,
    /// True to draw it as in a mirror along its own stem.
    pub mirrored: bool,
}

/// One part as it stands, in page coordinates.
#[derive(Clone, Debug)]
pub struct Piece {
    /// What it is.
    pub kind: PartKind,
    /// Its line or outline.
    pub path: BezPath,
    /// True where it is filled.
    pub filled: bool,
    /// Stroke width, never scaled.
    pub width: f64,
}

impl Stand {
    /// From foot to head, as the file has it.
    pub fn new(foot: Point, head: Point) -> Self {
        Self {
            foot,
            head,
            start: 0.0,
            stop: 0.0,
            ends: [0.0; 2],
            stroke_at: None,
            head_scale: 1.0,
            stroke_scale: 1.0,
            bow: 0.0,
            mirrored: false,
        }
    }

    /// Length from foot to head.
    pub fn length(&self) -> f64 {
        (self.head - self.foot).hypot()
    }

    /// Unit vector from foot to head; straight up where the two fall together.
    pub fn up(&self) -> Vec2 {
        let along = self.head - self.foot;
        let length = along.hypot();
        if length > 1e-9 { along / length } else { Vec2::new(0.0, -1.0) }
    }

    /// Unit vector to the right of a stitch seen standing upright.
    pub fn right(&self) -> Vec2 {
        let up = self.up();
        Vec2::new(-up.y, up.x)
    }

    /// The point `along` up the stem and `across` to its right, the bulge included.
    pub fn at(&self, along: f64, across: f64) -> Point {
        let between = self.length() - self.ends[0] - self.ends[1];
        let t = if between > 1e-9 { ((along - self.ends[0]) / between).clamp(0.0, 1.0) } else { 0.0 };
        let bulge = self.bow * 4.0 * t * (1.0 - t);
        self.foot + self.up() * along + self.right() * (across + bulge)
    }

    /// The symbol's parts as they stand.
    pub fn pieces(&self, symbol: &Symbol) -> Vec<Piece> {
        let drawn = |part: &Part| Piece {
            kind: part.kind,
            path: self.place(symbol, part),
            filled: part.filled,
            width: part.width,
        };
        symbol.parts.iter().map(drawn).collect()
    }

    fn place(&self, symbol: &Symbol, part: &Part) -> BezPath {
        let length = self.length();
        let side = if self.mirrored { -1.0 } else { 1.0 };
        let rigid = |base: f64, own: f64, scale: f64| {
            move |p: Point| {
                self.at(base, 0.0) + self.up() * (scale * (-p.y - own)) + self.right() * (side * scale * p.x)
            }
        };
        match part.kind {
            PartKind::Head | PartKind::Dot => {
                let top = rigid(length, symbol.height, 1.0);
                // a bar is shortened along itself only, so that its distance to the head stays
                mapped(&part.path, |p| top(Point::new(p.x * self.head_scale, p.y)))
            }
            PartKind::Stroke => {
                let share = self.stroke_at.unwrap_or(symbol.stroke_at);
                let own = symbol.stroke_at * symbol.height;
                let middle = rigid(share * length, own, 1.0);
                // each stroke is shortened about its own middle, so that their spacing stays
                let centre = part.path.bounding_box().center().y;
                mapped(&part.path, |p| {
                    middle(Point::new(p.x * self.stroke_scale, centre + (p.y - centre) * self.stroke_scale))
                })
            }
            PartKind::Foot => mapped(&part.path, rigid(0.0, 0.0, 1.0)),
            PartKind::Stem | PartKind::Body => self.stretch(symbol, part),
        }
    }

    /// A stem keeps what it leaves free at the head and at the foot (at least the stand's stop and start); between, it
    /// stretches.
    fn stretch(&self, symbol: &Symbol, part: &Part) -> BezPath {
        let side = if self.mirrored { -1.0 } else { 1.0 };
        let bounds = part.path.bounding_box();
        let (low, high) = (-bounds.y1, -bounds.y0);
        let start = low.max(self.start);
        let end = (self.length() - (symbol.height - high).max(self.stop)).max(start);
        let along = |y: f64| start + (-y - low) / (high - low).max(1e-9) * (end - start);
        if self.bow == 0.0 {
            return mapped(&part.path, |p| self.at(along(p.y), side * p.x));
        }
        let mut path = BezPath::new();
        for element in part.path.elements() {
            match *element {
                PathEl::MoveTo(p) => path.move_to(self.at(along(p.y), p.x)),
                PathEl::LineTo(p) => {
                    let from = path_end(&path).unwrap_or(self.foot);
                    let to = self.at(along(p.y), p.x);
                    // OK as a parabola: three points at the ends and middle of the bulge fix it
                    let middle = self.at((along(-low) + along(-high)) / 2.0, p.x);
                    path.quad_to(middle + (middle - from.midpoint(to)), to);
                }
                _ => return mapped(&part.path, |p| self.at(along(p.y), p.x)),
            }
        }
        path
    }
}

fn path_end(path: &BezPath) -> Option<Point> {
    path.elements().last().and_then(|e| e.end_point())
}

/// The path with every point moved.
fn mapped(path: &BezPath, to: impl Fn(Point) -> Point) -> BezPath {
    let element = |e: &PathEl| match *e {
        PathEl::MoveTo(p) => PathEl::MoveTo(to(p)),
        PathEl::LineTo(p) => PathEl::LineTo(to(p)),
        PathEl::QuadTo(a, p) => PathEl::QuadTo(to(a), to(p)),
        PathEl::CurveTo(a, b, p) => PathEl::CurveTo(to(a), to(b), to(p)),
        PathEl::ClosePath => PathEl::ClosePath,
    };
    BezPath::from_vec(path.elements().iter().map(element).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::symbol::SymbolSet;

    #[test]
    fn a_stem_stretches_and_its_bar_and_strokes_do_not() {
        let set = SymbolSet::house();
        let symbol = set.get("tr").unwrap();
        let boxes = |h: f64| {
            let pieces = Stand::new(Point::ZERO, Point::new(0.0, -h)).pieces(symbol);
            let of = |kind| {
                let all = pieces.iter().filter(|p| p.kind == kind).map(|p| p.path.bounding_box());
                all.reduce(|a, b| a.union(b)).unwrap()
            };
            (of(PartKind::Stem).height(), of(PartKind::Head).width(), of(PartKind::Stroke).height())
        };
        let (short, long) = (boxes(3.0), boxes(4.5));
        assert!((long.0 - short.0 - 1.5).abs() < 1e-9);
        assert!((long.1 - short.1).abs() < 1e-9 && (long.2 - short.2).abs() < 1e-9);
    }

    #[test]
    fn strokes_slant_the_same_way_to_the_stem_wherever_it_points() {
        let set = SymbolSet::house();
        let symbol = set.get("dc").unwrap();
        for head in [Point::new(0.0, -2.0), Point::new(2.0, 0.0), Point::new(-1.4, 1.4)] {
            let stand = Stand::new(Point::ZERO, head);
            let pieces = stand.pieces(symbol);
            let stroke = pieces.iter().find(|p| p.kind == PartKind::Stroke).unwrap();
            let segment = stroke.path.segments().next().unwrap();
            let (a, b) = (segment.as_line().unwrap().p0, segment.as_line().unwrap().p1);
            let rise = (b - a).dot(stand.up()) / (b - a).dot(stand.right());
            assert!((rise - 0.105 / 0.185).abs() < 1e-6, "{rise}");
        }
    }
}
