//! A piece seen from the side, as SVG.

use crate::measure::{SideItem, SideView};
use svg::Document;
use svg::node::element::{Description, Path, Title};

/// One sc width is drawn so wide, in millimetres, where the piece is small enough.
const MM_PER_SC: f64 = 4.0;
/// Widest picture, in millimetres.
const WIDEST_MM: f64 = 120.0;
/// Room about the piece, in sc widths.
const MARGIN: f64 = 1.0;

/// Writes a view from the side, with a title and a description for who cannot see it.
pub fn write(view: &SideView, title: &str, told: &str) -> String {
    let bounds = view.bounds.inflate(MARGIN, MARGIN);
    let scale = MM_PER_SC.min(WIDEST_MM / bounds.width().max(bounds.height()).max(1e-9));
    let number = |x: f64| (x * 1000.0).round() / 1000.0 + 0.0;
    let mm = |x: f64| format!("{}mm", number(x * scale));
    let mut document = Document::new()
        .set("class", "fanwise side")
        .set("role", "img")
        .set("width", mm(bounds.width()))
        .set("height", mm(bounds.height()))
        .set("viewBox", (number(bounds.x0), number(bounds.y0), number(bounds.width()), number(bounds.height())))
        .add(Title::new(title))
        .add(Description::new().add(svg::node::Text::new(told)));
    for item in &view.items {
        document = match *item {
            SideItem::Face { corners, light } => {
                let tone = libm::round(150.0 + 95.0 * light.clamp(0.0, 1.0)) as u8;
                let [a, b, c] = corners.map(|p| format!("{} {}", number(p.x), number(p.y)));
                let fill = format!("#{tone:02x}{tone:02x}{:02x}", tone.saturating_sub(18));
                // the edge of its own tone closes the seams between faces
                let path = Path::new().set("d", format!("M{a}L{b}L{c}Z")).set("fill", fill.clone());
                document.add(path.set("stroke", fill).set("stroke-width", 0.05).set("stroke-linejoin", "round"))
            }
            SideItem::Line([a, b]) => {
                let way = format!("M{} {}L{} {}", number(a.x), number(a.y), number(b.x), number(b.y));
                let line = Path::new().set("d", way).set("fill", "none").set("stroke", "#403830");
                document.add(line.set("stroke-width", 0.09).set("stroke-linecap", "round"))
            }
        };
    }
    format!("{document}\n")
}
