use kurbo::{BezPath, Point, Shape};
use roxmltree::{Document, Node};
use std::fmt;

/// What a part does when its symbol is stretched.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PartKind {
    /// Runs from foot to head and stretches.
    Stem,
    /// Bar, cap or arrow head: keeps its shape and its place at the head.
    Head,
    /// Stroke across the stem: keeps its shape, rides along the stem.
    Stroke,
    /// Mark at the foot: keeps its shape and its place at the foot.
    Foot,
    /// The whole symbol, stretched lengthwise: a chain's oval.
    Body,
    /// A filled shape that keeps its place at the head.
    Dot,
}

/// One part of a symbol, in the symbol's own frame: foot at the origin, head at negative y.
#[derive(Clone, Debug)]
pub struct Part {
    /// What it does under stretch.
    pub kind: PartKind,
    /// Its line or outline.
    pub path: BezPath,
    /// True where it is filled, false where it is stroked.
    pub filled: bool,
    /// Stroke width; 0 where it is filled.
    pub width: f64,
}

/// A symbol: its parts and anchors, in sc widths.
#[derive(Clone, Debug)]
pub struct Symbol {
    /// The parts, in drawing order.
    pub parts: Vec<Part>,
    /// Distance from foot to head as drawn.
    pub height: f64,
    /// Where the strokes ride, as a share of the way from foot to head.
    pub stroke_at: f64,
}

/// Why a symbol file cannot be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SymbolFault {
    /// The symbol or file.
    pub name: String,
    /// What is wrong, lower case, no full stop.
    pub message: String,
}

impl fmt::Display for SymbolFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.name, self.message)
    }
}

impl std::error::Error for SymbolFault {}

impl Symbol {
    /// Reads a symbol from the text of its SVG file.
    ///
    /// # Errors
    /// Where the text is not XML, an anchor is missing, a part is not `path`, `line`, `circle` or `ellipse`, or
    /// its numbers cannot be read.
    pub fn read(name: &str, text: &str) -> Result<Symbol, SymbolFault> {
        let fault = |message: String| SymbolFault { name: name.to_owned(), message };
        let document = Document::parse(text).map_err(|e| fault(format!("not an SVG file: {e}")))?;
        let mut parts = Vec::new();
        let mut anchors: [Option<Point>; 3] = [None; 3];
        for node in document.root_element().descendants().filter(Node::is_element) {
            let Some(id) = node.attribute("id") else { continue };
            if let Some(which) = id.strip_prefix("anchor-") {
                let slot = match which {
                    "foot" => 0,
                    "head" => 1,
                    "stroke" => 2,
                    _ => return Err(fault(format!("no anchor is called \"{which}\""))),
                };
                anchors[slot] = Some(point(node, "cx", "cy").map_err(fault)?);
            } else if let Some(kind) = kind_of(id) {
                parts.push(part(node, kind).map_err(fault)?);
            }
        }
        let foot = anchors[0].ok_or_else(|| fault("anchor-foot is missing".into()))?;
        let head = anchors[1].ok_or_else(|| fault("anchor-head is missing".into()))?;
        let height = foot.y - head.y;
        if parts.is_empty() {
            return Err(fault("no part is marked by its id".into()));
        }
        if !height.is_finite() || height <= 0.0 {
            return Err(fault("anchor-head does not lie above anchor-foot".into()));
        }
        let shift = kurbo::Affine::translate(-foot.to_vec2());
        for part in &mut parts {
            part.path.apply_affine(shift);
        }
        let stroke_at = anchors[2].map_or(0.5, |at| (foot.y - at.y) / height);
        Ok(Symbol { parts, height, stroke_at })
    }

    /// The widest stroke of the symbol, in sc widths.
    pub fn stroke_width(&self) -> f64 {
        self.parts.iter().map(|p| p.width).fold(0.0, f64::max)
    }
}

fn kind_of(id: &str) -> Option<PartKind> {
    Some(match id.split('-').next()? {
        "stem" => PartKind::Stem,
        "head" => PartKind::Head,
        "stroke" => PartKind::Stroke,
        "foot" => PartKind::Foot,
        "body" => PartKind::Body,
        "dot" => PartKind::Dot,
        _ => return None,
    })
}

fn part(node: Node, kind: PartKind) -> Result<Part, String> {
    let path = match node.tag_name().name() {
        "path" => {
            BezPath::from_svg(node.attribute("d").unwrap_or("")).map_err(|e| format!("path cannot be read: {e}"))?
        }
        "line" => {
            let mut line = BezPath::new();
            line.move_to(point(node, "x1", "y1")?);
            line.line_to(point(node, "x2", "y2")?);
            line
        }
        "circle" => oval(point(node, "cx", "cy")?, number(node, "r")?, number(node, "r")?),
        "ellipse" => oval(point(node, "cx", "cy")?, number(node, "rx")?, number(node, "ry")?),
        other => return Err(format!("a part cannot be a \"{other}\"")),
    };
    if !path.bounding_box().is_finite() {
        return Err("a number is not finite".into());
    }
    let filled = inherited(node, "fill").is_some_and(|f| f != "none");
    let stroked = inherited(node, "stroke").is_some_and(|s| s != "none");
    let width = inherited(node, "stroke-width").and_then(|w| w.parse().ok()).unwrap_or(1.0);
    Ok(Part { kind, path, filled: filled && !stroked, width: if stroked { width } else { 0.0 } })
}

/// The attribute, on the node or the nearest element round it.
fn inherited<'a>(node: Node<'a, '_>, name: &str) -> Option<&'a str> {
    node.ancestors().find_map(|n| n.attribute(name))
}

fn number(node: Node, name: &str) -> Result<f64, String> {
    let text = node.attribute(name).unwrap_or("0");
    text.trim().parse().map_err(|_| format!("{name}=\"{text}\" is not a number"))
}

fn point(node: Node, x: &str, y: &str) -> Result<Point, String> {
    Ok(Point::new(number(node, x)?, number(node, y)?))
}

/// An ellipse as four cubics.
///
/// Tolerance: the usual constant bounds the error of the radius by 0.03 %, far under a pixel of any page.
fn oval(at: Point, rx: f64, ry: f64) -> BezPath {
    const K: f64 = 0.552_284_75;
    let p = |x: f64, y: f64| Point::new(at.x + x * rx, at.y + y * ry);
    let mut path = BezPath::new();
    path.move_to(p(0.0, -1.0));
    path.curve_to(p(K, -1.0), p(1.0, -K), p(1.0, 0.0));
    path.curve_to(p(1.0, K), p(K, 1.0), p(0.0, 1.0));
    path.curve_to(p(-K, 1.0), p(-1.0, K), p(-1.0, 0.0));
    path.curve_to(p(-1.0, -K), p(-K, -1.0), p(0.0, -1.0));
    path.close_path();
    path
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_without_anchors_is_refused_in_words() {
        let text = r#"<svg xmlns="http://www.w3.org/2000/svg"><path id="stem" d="M0 0V-1"/></svg>"#;
        let fault = Symbol::read("pear", text).unwrap_err();
        assert_eq!(fault.to_string(), "pear: anchor-foot is missing");
    }

    #[test]
    fn a_broken_file_is_a_fault_and_no_panic() {
        for text in ["", "<svg", "<svg xmlns='x'><rect id='stem'/></svg>", "<svg><path id='stem' d='M0 nan'/></svg>"] {
            assert!(Symbol::read("x", text).is_err(), "{text}");
        }
    }
}
