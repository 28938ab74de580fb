//! An SVG measured as it is drawn: its lines from path data, its words from the outlines of the font. Nothing here
//! knows how they came to be where they are.
#![allow(dead_code)] // not every test asks everything

use kurbo::{Affine, BezPath, PathEl, Point, Rect};
use roxmltree::{Document, Node};
use ttf_parser::{Face, GlyphId, OutlineBuilder};

const FONT: &[u8] = include_bytes!("../../symbols/font/SourceSans3-Regular.ttf");

/// A straight piece of ink, with half its width.
#[derive(Clone, Copy, Debug)]
pub struct Line {
    pub a: Point,
    pub b: Point,
    pub half: f64,
}

/// A piece of text: its words, and the box of its outlines.
#[derive(Clone, Debug)]
pub struct Words {
    pub text: String,
    pub class: String,
    pub bounds: Rect,
}

pub fn has_class(node: &Node, class: &str) -> bool {
    node.attribute("class").is_some_and(|c| c.split(' ').any(|c| c == class))
}

pub fn all<'a>(document: &'a Document, class: &str) -> Vec<Node<'a, 'a>> {
    document.descendants().filter(|n| has_class(n, class)).collect()
}

/// An attribute of the node, or of the nearest one around it that has it.
fn inherited<'a>(node: &Node<'a, 'a>, name: &str) -> Option<&'a str> {
    node.ancestors().find_map(|n| n.attribute(name))
}

fn number(text: &str) -> f64 {
    text.trim().parse().unwrap_or_else(|_| panic!("{text:?} is no number"))
}

/// Every line drawn by a node and what is in it. Shared shapes are followed; definitions draw nothing by themselves.
pub fn lines<'a>(document: &'a Document<'a>, node: Node<'a, 'a>) -> Vec<Line> {
    let mut found = Vec::new();
    for part in node.descendants().filter(|n| !n.ancestors().any(|a| a.has_tag_name("defs"))) {
        let (data, to) = match part.tag_name().name() {
            "path" => (part.attribute("d").unwrap_or("").to_owned(), Affine::IDENTITY),
            "use" => {
                let link = part.attribute(("http://www.w3.org/1999/xlink", "href")).unwrap().trim_start_matches('#');
                let shape = document.descendants().find(|n| n.attribute("id") == Some(link)).expect("a link leads on");
                (shape.attribute("d").unwrap_or("").to_owned(), moved(part.attribute("transform").unwrap_or("")))
            }
            _ => continue,
        };
        let stroked = inherited(&part, "stroke").is_some_and(|s| s != "none");
        let width = if stroked { inherited(&part, "stroke-width").map_or(1.0, number) } else { 0.0 };
        let path = to * BezPath::from_svg(&data).expect("path data can be read");
        flattened(&path, width / 2.0, &mut found);
    }
    found
}

/// `translate(x y)rotate(d)` as this project writes it.
fn moved(transform: &str) -> Affine {
    let mut to = Affine::IDENTITY;
    for part in transform.split(')').filter(|p| !p.is_empty()) {
        let (name, values) = part.split_once('(').expect("a transform has values");
        let values: Vec<f64> = values.split(' ').map(number).collect();
        to *= match name.trim() {
            "translate" => Affine::translate((values[0], values[1])),
            "rotate" => Affine::rotate(values[0].to_radians()),
            "scale" => Affine::scale_non_uniform(values[0], *values.get(1).unwrap_or(&values[0])),
            other => panic!("{other} is no transform known here"),
        };
    }
    to
}

fn flattened(path: &BezPath, half: f64, found: &mut Vec<Line>) {
    let (mut start, mut last) = (Point::ZERO, Point::ZERO);
    kurbo::flatten(path.iter(), 0.004, |element| match element {
        PathEl::MoveTo(p) => (start, last) = (p, p),
        PathEl::LineTo(p) => {
            found.push(Line { a: last, b: p, half });
            last = p;
        }
        PathEl::ClosePath => {
            found.push(Line { a: last, b: start, half });
            last = start;
        }
        _ => {}
    });
}

struct Outline {
    bounds: Option<Rect>,
    to: Affine,
}

impl Outline {
    fn point(&mut self, x: f32, y: f32) {
        let p = self.to * Point::new(f64::from(x), f64::from(y));
        let dot = Rect::from_points(p, p);
        self.bounds = Some(self.bounds.map_or(dot, |b| b.union(dot)));
    }
}

impl OutlineBuilder for Outline {
    fn move_to(&mut self, x: f32, y: f32) {
        self.point(x, y);
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.point(x, y);
    }
    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.point(x1, y1);
        self.point(x, y);
    }
    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.point(x1, y1);
        self.point(x2, y2);
        self.point(x, y);
    }
    fn close(&mut self) {}
}

/// Every piece of text with the box of its glyphs' outlines in the font carried along.
pub fn words(document: &Document) -> Vec<Words> {
    let face = Face::parse(FONT, 0).expect("the font can be read");
    let em = f64::from(face.units_per_em());
    let mut found = Vec::new();
    for node in document.descendants().filter(|n| n.has_tag_name("text")) {
        let text = node.text().unwrap_or("").to_owned();
        let (x, y, size) = (node.attribute("x"), node.attribute("y"), inherited(&node, "font-size"));
        let (x, y, size) = (number(x.unwrap()), number(y.unwrap()), number(size.unwrap()));
        let glyph = |c: char| face.glyph_index(c).unwrap_or(GlyphId(0));
        let advance = |c: char| f64::from(face.glyph_hor_advance(glyph(c)).unwrap_or(0)) / em * size;
        let whole: f64 = text.chars().map(advance).sum();
        let mut pen = if inherited(&node, "text-anchor") == Some("middle") { x - whole / 2.0 } else { x };
        let mut bounds: Option<Rect> = None;
        for c in text.chars() {
            let to = Affine::translate((pen, y)) * Affine::scale_non_uniform(size / em, -size / em);
            let mut outline = Outline { bounds: None, to };
            face.outline_glyph(glyph(c), &mut outline);
            bounds = [bounds, outline.bounds].into_iter().flatten().reduce(|a, b| a.union(b));
            pen += advance(c);
        }
        let class = node.attribute("class").unwrap_or("").to_owned();
        if let Some(bounds) = bounds {
            found.push(Words { text, class, bounds });
        }
    }
    found
}

/// The distance from the ink of a line to a box; 0 or less where they meet.
pub fn gap(line: &Line, rect: Rect) -> f64 {
    // along the line in steps finer than any stroke: a distance to a box is a distance to its nearest point
    let steps = ((line.b - line.a).hypot() / 0.02).ceil().max(1.0) as usize;
    let distance = |k: usize| {
        let p = line.a.lerp(line.b, k as f64 / steps as f64);
        let x = (rect.x0 - p.x).max(p.x - rect.x1).max(0.0);
        let y = (rect.y0 - p.y).max(p.y - rect.y1).max(0.0);
        (x * x + y * y).sqrt()
    };
    (0..=steps).map(distance).fold(f64::INFINITY, f64::min) - line.half
}

/// What a piece of text lies on: a line, or another piece of text. None where it stands free.
pub fn covered(words: &[Words], lines: &[Line]) -> Vec<String> {
    let mut found = Vec::new();
    for (i, one) in words.iter().enumerate() {
        let near = one.bounds.inflate(0.3, 0.3);
        let meets = |l: &&Line| {
            let bounds = Rect::from_points(l.a, l.b).inflate(l.half, l.half);
            bounds.x0 < near.x1 && near.x0 < bounds.x1 && bounds.y0 < near.y1 && near.y0 < bounds.y1
        };
        if let Some(line) = lines.iter().filter(meets).find(|l| gap(l, one.bounds) < 0.0) {
            found.push(format!("{:?} ({}) lies on a line at {:?}", one.text, one.class, line.a));
        }
        for other in &words[i + 1..] {
            let both = one.bounds.intersect(other.bounds);
            if both.width() > 0.0 && both.height() > 0.0 {
                found.push(format!("{:?} ({}) lies on {:?} ({})", one.text, one.class, other.text, other.class));
            }
        }
    }
    found
}
