use super::Ink;
use super::font::Font;
use super::scene::{Anchor, Label, LabelRole};
use kurbo::{Affine, BezPath, Point, Rect};
use ttf_parser::{Face, OutlineBuilder};

/// Widths of text in a font.
pub(super) struct Metrics<'a> {
    face: Face<'a>,
}

impl<'a> Metrics<'a> {
    pub(super) fn new(font: &'a Font) -> Self {
        Metrics { face: font.face() }
    }

    fn em(&self) -> f64 {
        f64::from(self.face.units_per_em())
    }

    /// Advance of the text at a size. Kerning is left out: it only narrows, and by less than a letter's gap.
    pub(super) fn width(&self, text: &str, size: f64) -> f64 {
        // half an em for a letter the font lacks: about what the reader's own font will take
        let advance = |c: char| {
            let glyph = self.face.glyph_index(c).and_then(|g| self.face.glyph_hor_advance(g));
            glyph.map_or(0.5 * self.em(), f64::from)
        };
        text.chars().map(advance).sum::<f64>() / self.em() * size
    }

    /// How far the ink reaches above and below the baseline at a size.
    fn reach(&self, text: &str, size: f64) -> (f64, f64) {
        let boxes = || text.chars().filter_map(|c| self.face.glyph_bounding_box(self.face.glyph_index(c)?));
        let up = boxes().map(|b| b.y_max).max().unwrap_or(0);
        let down = boxes().map(|b| -b.y_min).max().unwrap_or(0).max(0);
        (f64::from(up) / self.em() * size, f64::from(down) / self.em() * size)
    }

    /// A label with the box of its ink.
    pub(super) fn label(&self, role: LabelRole, text: &str, at: Point, anchor: Anchor, size: f64, ink: Ink) -> Label {
        let width = self.width(text, size);
        let (up, down) = self.reach(text, size);
        let x = match anchor {
            Anchor::Start => at.x,
            Anchor::Middle => at.x - width / 2.0,
        };
        let bounds = Rect::new(x, at.y - up, x + width, at.y + down);
        Label { role, text: text.to_owned(), at, anchor, size, ink, row: None, bounds }
    }

    /// A label whose ink is centred on a point.
    pub(super) fn centred(&self, role: LabelRole, text: &str, centre: Point, size: f64, ink: Ink) -> Label {
        let (up, down) = self.reach(text, size);
        let at = Point::new(centre.x, centre.y + (up - down) / 2.0);
        self.label(role, text, at, Anchor::Middle, size, ink)
    }
}

/// Width of a text at a size, in the font carried along.
pub fn text_width(text: &str, size: f64) -> f64 {
    Metrics::new(&Font::default()).width(text, size)
}

/// The outlines of a text from a point of its baseline on, in the font, or in the one carried along where that lacks a
/// letter. Letters stand as far apart as labels are measured.
pub fn text_outline(font: &Font, text: &str, size: f64, at: Point) -> BezPath {
    let house = Font::default();
    let (own, second) = (Metrics::new(font), Metrics::new(&house));
    let mut path = BezPath::new();
    let mut x = at.x;
    for c in text.chars() {
        let metrics = if own.face.glyph_index(c).is_some() { &own } else { &second };
        let scale = size / metrics.em();
        if let Some(glyph) = metrics.face.glyph_index(c) {
            let mut letter = Outline(BezPath::new());
            metrics.face.outline_glyph(glyph, &mut letter);
            path.extend(Affine::new([scale, 0.0, 0.0, -scale, x, at.y]) * letter.0);
        }
        x += own.width(c.encode_utf8(&mut [0; 4]), size);
    }
    path
}

/// A letter as it is read from a font.
struct Outline(BezPath);

impl OutlineBuilder for Outline {
    fn move_to(&mut self, x: f32, y: f32) {
        self.0.move_to((f64::from(x), f64::from(y)));
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.0.line_to((f64::from(x), f64::from(y)));
    }
    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.0.quad_to((f64::from(x1), f64::from(y1)), (f64::from(x), f64::from(y)));
    }
    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.0.curve_to((f64::from(x1), f64::from(y1)), (f64::from(x2), f64::from(y2)), (f64::from(x), f64::from(y)));
    }
    fn close(&mut self) {
        self.0.close_path();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_font_has_the_letters_of_western_europe_and_the_marks_of_the_trade() {
        let font = Font::default();
        let metrics = Metrics::new(&font);
        for c in "ABCabc0129×→½–—éèêëàâäåæçñöøüßœÉÅØ’“”°±≈".chars() {
            assert!(metrics.face.glyph_index(c).is_some(), "{c}");
        }
    }

    #[test]
    fn the_font_is_called_what_the_chart_calls_it() {
        let font = Font::default();
        let metrics = Metrics::new(&font);
        let names: Vec<String> = metrics.face.names().into_iter().filter_map(|n| n.to_string()).collect();
        assert!(names.iter().any(|n| n == super::super::FONT_FAMILY), "{names:?}");
    }
}
