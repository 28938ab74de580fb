use super::{Font, Ink, Show};
use crate::symbol::Speak;

/// The form single crochet (UK double crochet) is drawn in: one a chart.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ScForm {
    /// An upright cross.
    #[default]
    Plus,
    /// A diagonal cross.
    Cross,
}

/// What the inks tell.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum InkBy {
    /// Rows alternate, so that the eye finds its row.
    #[default]
    Row,
    /// Each yarn has its own.
    Yarn,
}

/// How a chart looks.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Style {
    /// Form of single crochet.
    pub sc: ScForm,
    /// What the inks tell.
    pub ink: InkBy,
    /// Dialect of legend and description; none for that of the words.
    pub speak: Option<Speak>,
    /// Printed width of one sc.
    pub mm_per_sc: f64,
    /// The two inks that alternate by row.
    pub row_inks: [Ink; 2],
    /// Inks of yarns by their letters, where they are not to be taken from the names of the yarns.
    pub yarn_inks: Vec<(String, Ink)>,
    /// Font of the words.
    pub font: Font,
    /// Ink of foundations, title, legend.
    pub plain_ink: Ink,
    /// Layers that are shown beside the chart proper.
    pub show: Vec<Show>,
}

impl Default for Style {
    fn default() -> Self {
        Self {
            sc: ScForm::Plus,
            ink: InkBy::Row,
            speak: None,
            // twice the least size at which a printed sc can be told, so that a chart keeps its legibility at half size
            mm_per_sc: 6.0,
            row_inks: [Ink::BLUE, Ink::RUST],
            yarn_inks: Vec::new(),
            font: Font::default(),
            plain_ink: Ink::BLACK,
            show: Vec::new(),
        }
    }
}

impl Style {
    /// The same with another form of single crochet.
    pub fn with_sc(mut self, sc: ScForm) -> Self {
        self.sc = sc;
        self
    }

    /// The same with inks that tell something else.
    pub fn with_ink(mut self, ink: InkBy) -> Self {
        self.ink = ink;
        self
    }

    /// The same in a dialect.
    pub fn with_speak(mut self, speak: Speak) -> Self {
        self.speak = Some(speak);
        self
    }

    /// The same at another size. Held between 1 and 100 mm.
    pub fn with_mm_per_sc(mut self, mm: f64) -> Self {
        self.mm_per_sc = if mm.is_finite() { mm.clamp(1.0, 100.0) } else { self.mm_per_sc };
        self
    }

    /// The same with other inks for the rows.
    pub fn with_row_inks(mut self, inks: [Ink; 2]) -> Self {
        self.row_inks = inks;
        self
    }

    /// The same in a font.
    pub fn with_font(mut self, font: Font) -> Self {
        self.font = font;
        self
    }

    /// The same with inks told for yarns, by letter.
    pub fn with_yarn_inks(mut self, inks: Vec<(String, Ink)>) -> Self {
        self.yarn_inks = inks;
        self
    }

    /// The same with layers shown.
    pub fn with_show(mut self, show: Vec<Show>) -> Self {
        self.show = show;
        self
    }

    /// Size of text in sc widths, at least `points` when printed.
    pub(super) fn text_size(&self, wanted: f64, points: f64) -> f64 {
        wanted.max(points * MM_PER_POINT / self.mm_per_sc)
    }
}

/// One typographer's point.
pub(super) const MM_PER_POINT: f64 = 25.4 / 72.0;
