use super::scene::LabelRole;
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
    /// One solid black: every other row is heavier and lies on a pale band, and letters tell yarns.
    One,
}

/// Which way loops and posts are shown that were worked on the wrong side.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Face {
    /// As the fabric looks from its right side.
    #[default]
    Right,
    /// As the hook goes when they are worked.
    Worked,
}

/// How words are written into a drawing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum TextAs {
    /// As text, in the font of the style.
    #[default]
    Font,
    /// As outlines, which look alike everywhere and cannot be searched.
    Outlines,
}

/// Printed sizes of words, in points; none for those of the house, which follow the scale.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct TypeSizes {
    /// The title.
    pub title: Option<f64>,
    /// Numbers of rows and rounds, in rings.
    pub numbers: Option<f64>,
    /// Letters of yarns.
    pub letters: Option<f64>,
    /// Legend and colour key.
    pub legend: Option<f64>,
    /// Line of credit.
    pub credit: Option<f64>,
    /// Nothing is smaller than this.
    pub least: f64,
}

/// Which words and marks stand round the stitches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Furniture {
    /// The title.
    pub title: bool,
    /// Numbers of rows and rounds.
    pub numbers: bool,
    /// The arrow of direction.
    pub arrow: bool,
    /// Triangles where yarn is attached or cut, with letters.
    pub triangles: bool,
    /// Bounds of the repeat of a multiple, with its number of stitches.
    pub repeat: bool,
    /// The legend.
    pub legend: bool,
    /// The colour key.
    pub key: bool,
    /// The line of credit.
    pub credit: bool,
}

impl Default for Furniture {
    fn default() -> Self {
        Self {
            title: true,
            numbers: true,
            arrow: true,
            triangles: true,
            repeat: true,
            legend: true,
            key: true,
            credit: true,
        }
    }
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
    /// Loops and posts as seen or as worked.
    pub face: Face,
    /// How words are written.
    pub text: TextAs,
    /// Lines are so many times as wide as the symbols have them.
    pub weight: f64,
    /// Sizes of words.
    pub sizes: TypeSizes,
    /// What stands round the stitches.
    pub furniture: Furniture,
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
            face: Face::Right,
            text: TextAs::Font,
            weight: 1.0,
            sizes: TypeSizes::default(),
            furniture: Furniture::default(),
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

    /// The same with loops and posts shown as seen or as worked.
    pub fn with_face(mut self, face: Face) -> Self {
        self.face = face;
        self
    }

    /// The same with words written otherwise.
    pub fn with_text(mut self, text: TextAs) -> Self {
        self.text = text;
        self
    }

    /// The same with lines so many times as wide. Held between a half and three.
    pub fn with_weight(mut self, weight: f64) -> Self {
        self.weight = if weight.is_finite() { weight.clamp(0.5, 3.0) } else { self.weight };
        self
    }

    /// The same with words in other sizes.
    pub fn with_sizes(mut self, sizes: TypeSizes) -> Self {
        self.sizes = sizes;
        self
    }

    /// The same with other words and marks round the stitches.
    pub fn with_furniture(mut self, furniture: Furniture) -> Self {
        self.furniture = furniture;
        self
    }

    /// The same for readers who see little: no word under 18 points, an sc of 6 mm at least, heavier lines.
    ///
    /// Source: large print is 18 points or more by the usage of its publishers; from memory.
    pub fn for_low_vision(mut self) -> Self {
        self.sizes.least = self.sizes.least.max(LARGE_POINTS);
        self.mm_per_sc = self.mm_per_sc.max(LARGE_MM);
        self.weight = self.weight.max(LARGE_WEIGHT);
        self
    }

    /// Least printed width of one sc that is not worth a word.
    pub fn least_mm(&self) -> f64 {
        if self.sizes.least >= LARGE_POINTS { LARGE_MM } else { super::LEAST_MM }
    }

    /// The style as it is drawn: in one black, all inks are that black.
    pub(super) fn settled(&self) -> Style {
        let mut style = self.clone();
        if style.ink == InkBy::One {
            style.plain_ink = Ink::SOLID;
            style.row_inks = [Ink::SOLID; 2];
        }
        style
    }

    /// Size of a kind of text in sc widths: the one told, else the one wanted, at least `points` when printed.
    pub(super) fn size_of(&self, role: LabelRole, wanted: f64, points: f64) -> f64 {
        let told = match role {
            LabelRole::Title => self.sizes.title,
            LabelRole::RowNumber | LabelRole::RingNumber => self.sizes.numbers,
            LabelRole::YarnLetter => self.sizes.letters,
            LabelRole::Legend | LabelRole::Key => self.sizes.legend,
            LabelRole::Credit => self.sizes.credit,
            _ => None,
        };
        match told {
            Some(told) => told.max(self.sizes.least) * MM_PER_POINT / self.mm_per_sc,
            None => self.text_size(wanted, points),
        }
    }

    /// Size of text in sc widths, at least `points` when printed.
    pub(super) fn text_size(&self, wanted: f64, points: f64) -> f64 {
        wanted.max(points.max(self.sizes.least) * MM_PER_POINT / self.mm_per_sc)
    }
}

/// Words, an sc and lines for readers who see little.
const LARGE_POINTS: f64 = 18.0;
const LARGE_MM: f64 = 6.0;
const LARGE_WEIGHT: f64 = 1.3;

/// One typographer's point.
pub(super) const MM_PER_POINT: f64 = 25.4 / 72.0;
