use super::scale::settled;
use super::{Drawing, Error, PartChoice, Pattern};
use crate::Fabric;
use crate::chart::{ChartInfo, Paper, Scene, Show, Style, compose, goes_behind, grid, overlaps, placement};
use crate::export;
use crate::fabric::StitchId;
use crate::instructions::Terms;
use crate::layout::{DrawnSizes, Layout, LayoutOptions, Sizes, TrueSizes, View, lay_out};
use crate::measure::{curve_of, outlines_of};
use crate::symbol::{Speak, SymbolSet};

/// How a chart is laid out and drawn.
#[derive(Clone, Debug, Default)]
#[non_exhaustive]
pub struct ChartOptions {
    /// Inks, form of single crochet, size.
    pub style: Style,
    /// A chart that reads well, or the piece in its true proportions.
    pub view: View,
    /// Writes the layout's energy out, term by term, in [`Chart::layout_json`].
    pub energy: bool,
    /// Degrees to turn the piece by, clockwise, beyond the way it is looked at.
    pub up_deg: Option<f64>,
    /// Draws what could be worked of a pattern with errors, and marks the doubtful places.
    pub draft: bool,
    /// Width of the drawing in millimetres; none for the style's own scale.
    pub width_mm: Option<f64>,
    /// The part that is drawn.
    pub part: PartChoice,
    /// Paper to print on; none for a page of the chart's own size.
    pub paper: Option<Paper>,
    /// Symbols to draw with; none for those of the house.
    pub symbols: Option<SymbolSet>,
    /// The hand that works: a left hand's chart is the mirror of a right hand's, its words and symbols are not.
    pub hand: Hand,
    /// Prefix of every id in an SVG; none for one made from the words.
    pub prefix: Option<String>,
}

/// The hand that holds the hook.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Hand {
    /// The right.
    #[default]
    Right,
    /// The left.
    Left,
}

impl ChartOptions {
    /// The same with another style.
    pub fn with_style(mut self, style: Style) -> Self {
        self.style = style;
        self
    }

    /// The same in another view.
    pub fn with_view(mut self, view: View) -> Self {
        self.view = view;
        self
    }

    /// The same with the layout's energy written out, or without.
    pub fn with_energy(mut self, energy: bool) -> Self {
        self.energy = energy;
        self
    }

    /// The same, turned.
    pub fn with_up_deg(mut self, degrees: Option<f64>) -> Self {
        self.up_deg = degrees;
        self
    }

    /// The same as a draft.
    pub fn with_draft(mut self, draft: bool) -> Self {
        self.draft = draft;
        self
    }

    /// The same of a part.
    pub fn with_part(mut self, part: PartChoice) -> Self {
        self.part = part;
        self
    }

    /// The same on paper: without a width of its own the chart is drawn smaller where that keeps it on one page, though
    /// never under 3 mm an sc.
    pub fn with_paper(mut self, paper: Option<Paper>) -> Self {
        self.paper = paper;
        self
    }

    /// The same with other symbols.
    pub fn with_symbols(mut self, symbols: Option<SymbolSet>) -> Self {
        self.symbols = symbols;
        self
    }

    /// The same for a hand.
    pub fn with_hand(mut self, hand: Hand) -> Self {
        self.hand = hand;
        self
    }

    /// The same with a prefix for every id. What is no letter, digit or hyphen is left out.
    pub fn with_prefix(mut self, prefix: Option<String>) -> Self {
        self.prefix = prefix;
        self
    }

    /// The same at a width.
    pub fn with_width_mm(mut self, width: Option<f64>) -> Self {
        self.width_mm = width;
        self
    }
}

/// A chart: the layout it was made from and the scene that is drawn.
#[derive(Clone, Debug)]
pub struct Chart {
    fabric: Fabric,
    layout: Layout,
    drawing: Drawing,
    overlies: bool,
}

impl Chart {
    /// The chart of a fabric that came without words.
    ///
    /// # Errors
    /// Where the fabric names a place that is not there, or holds no stitch.
    pub fn of_fabric(fabric: &Fabric, options: &ChartOptions) -> Result<Chart, Error> {
        fabric.validate().map_err(|e| Error::not_a_fabric(e.to_string()))?;
        Self::draw(fabric, TrueSizes::by_rule(), &ChartInfo::titled(fabric.title.clone()), options)
    }

    pub(super) fn of_pattern(pattern: &Pattern, options: &ChartOptions) -> Result<Chart, Error> {
        let mut info = info_of(pattern, options.draft);
        info.curve = options.style.show.contains(&Show::Curve).then(|| curve_of(pattern.tree(), pattern.worked()));
        if options.style.show.contains(&Show::Outline) {
            info.outlines = outlines_of(pattern.tree(), pattern.worked());
        }
        Self::draw(pattern.fabric(), sizes_of(pattern), &info, options)
    }

    fn draw(fabric: &Fabric, sizes: TrueSizes, info: &ChartInfo, options: &ChartOptions) -> Result<Chart, Error> {
        if fabric.stitches.is_empty() {
            return Err(Error::empty());
        }
        let house = SymbolSet::house();
        let symbols = options.symbols.as_ref().unwrap_or(&house);
        let mut how = LayoutOptions::default().with_view(options.view).with_energy(options.energy);
        if let Some(degrees) = options.up_deg {
            how = how.with_up_deg(degrees);
        }
        let mut layout = match options.view {
            View::Chart => lay_out(fabric, &DrawnSizes, &how),
            View::True => lay_out(fabric, &sizes, &how),
        };
        if options.hand == Hand::Left {
            layout = layout.mirrored();
        }
        let mut info = match &options.prefix {
            Some(prefix) => info.clone().with_prefix(prefix.clone()),
            None => info.clone(),
        };
        if options.view == View::Chart {
            info.stitch_mm = None;
        }
        info.pick = options.part.pick(fabric, &layout)?;
        let sizes: &dyn Sizes = match options.view {
            View::Chart => &DrawnSizes,
            View::True => &sizes,
        };
        if let Some(parted) =
            options.part.parted(fabric, &layout, sizes, &how, options.style.speak.unwrap_or(info.terms))?
        {
            (layout, info.aside) = (parted.layout, parted.aside);
        }
        let info = &info;
        let squares = options.part.rows_on_squares(fabric)?;
        if let Some(rows) = &squares {
            grid(fabric, rows, symbols, &options.style, info).map_err(Error::no_such)?;
        }
        let scene = settled(options, |style| match &squares {
            _ if options.part.placement => placement(fabric, &layout, symbols, style, info, &info.sewing),
            // OK: whether there are squares is no matter of style, and there are
            Some(rows) => grid(fabric, rows, symbols, style, info).unwrap_or_default(),
            None => compose(fabric, &layout, symbols, style, info),
        });
        overlaps(&scene, fabric).fill(&mut layout.quality);
        let drawing = Drawing { scene, paper: options.paper }.lettered(options)?;
        let overlies = options.part == PartChoice::default() && goes_behind(fabric);
        Ok(Chart { fabric: fabric.clone(), layout, drawing, overlies })
    }

    /// The fabric it shows.
    pub fn fabric(&self) -> &Fabric {
        &self.fabric
    }

    /// Every position.
    pub fn layout(&self) -> &Layout {
        &self.layout
    }

    /// True where all rows are drawn together and some are worked behind others: their layers apart would read better.
    pub fn overlies(&self) -> bool {
        self.overlies
    }

    /// Everything drawn.
    pub fn scene(&self) -> &Scene {
        self.drawing.scene()
    }

    /// The chart as SVG.
    pub fn to_svg(&self) -> String {
        self.drawing.to_svg()
    }

    /// The chart as SVG for a page whose readers may lack its font: words keep the width they were placed with.
    pub fn to_page_svg(&self) -> String {
        let mut scene = self.scene().clone();
        scene.fitted = true;
        export::svg::write(&scene)
    }

    /// The layout as a JSON document.
    pub fn layout_json(&self) -> String {
        export::json::layout_document(&self.fabric, &self.layout)
    }

    /// What is drawn, ready to be written.
    pub fn drawing(&self) -> &Drawing {
        &self.drawing
    }

    /// The chart as PDF, as vectors, on its paper.
    ///
    /// # Errors
    /// Where a page would be too large.
    #[cfg(feature = "pdf")]
    pub fn to_pdf(&self) -> Result<Vec<u8>, Error> {
        self.drawing.to_pdf()
    }

    /// The chart as PNG at a true size.
    ///
    /// Units: `dpi` in dots per inch.
    ///
    /// # Errors
    /// Where the picture would be too large.
    #[cfg(feature = "png")]
    pub fn to_png(&self, dpi: f64) -> Result<Vec<u8>, Error> {
        self.drawing.to_png(dpi)
    }
}

/// The true heights: by the gauge, where the pattern tells stitches and rows.
fn sizes_of(pattern: &Pattern) -> TrueSizes {
    let gauge = pattern.tree().gauge.as_ref();
    gauge.and_then(|g| Some(TrueSizes::by_gauge(g.stem, g.sts, g.rows?))).unwrap_or_else(TrueSizes::by_rule)
}

/// Title, yarns, terms and the words of each row, for the description read aloud.
pub(super) fn info_of(pattern: &Pattern, draft: bool) -> ChartInfo {
    let tree = pattern.tree();
    let terms = match tree.terms {
        Terms::Uk | Terms::OldUk => Speak::Uk,
        Terms::Us | Terms::OldUs => Speak::Us,
    };
    let mut info = ChartInfo::titled(tree.title.clone()).with_terms(terms);
    for tally in &pattern.worked().tallies {
        let words = pattern.text().get(tally.span.start..tally.span.end).unwrap_or("");
        let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
        info = info.with_row(tally.row, words);
    }
    if let Some(version) = version_of(pattern.text()) {
        info = info.with_credit(version);
    }
    // one sc is the unit of the drawing: a gauge of another stitch says nothing of it
    let gauge = tree.gauge.as_ref().filter(|g| g.stem == crate::craft::Stem::Single && g.rows.is_some());
    info = info.with_stitch_mm(gauge.map(|g| g.over_mm / g.sts));
    for yarn in &tree.yarns {
        info = info.with_yarn(yarn.letter.clone(), yarn.colour.clone());
    }
    info.sewing = sewing(pattern);
    if draft {
        info = info.with_doubtful(doubtful(pattern));
    }
    info
}

/// The line by which the pattern tells its version, as it stands there; none where it has none.
fn version_of(text: &str) -> Option<String> {
    /// Longer than any such line.
    const LONGEST: usize = 80;
    let told = |line: &&str| {
        let words: Vec<String> = line.split_whitespace().take(2).map(str::to_lowercase).collect();
        let first = words.first().map_or("", |w| w.trim_end_matches(':'));
        // "Version 2 only:" heads rows for one of several versions of a piece
        let numbered = words.get(1).is_some_and(|w| w.starts_with(|c: char| c.is_ascii_digit()));
        matches!(first, "version" | "edition" | "revision") && numbered && !line.contains("only")
    };
    let lines = text.lines().map(str::trim).filter(|line| line.len() <= LONGEST);
    lines.filter(|l| !l.is_empty()).find(told).map(str::to_owned)
}

/// Stitches made by words that an error points at, or by a row that could not be read.
fn doubtful(pattern: &Pattern) -> Vec<StitchId> {
    let faults: Vec<_> = pattern.problems().iter().filter(|p| p.is_error()).map(|p| p.span).collect();
    let touches = |a: crate::source::Span, b: crate::source::Span| a.start < b.end && b.start < a.end;
    let rows: Vec<_> = pattern
        .worked()
        .tallies
        .iter()
        .filter(|t| !t.read || faults.iter().any(|&f| touches(t.span, f)))
        .map(|t| (t.row, t.read))
        .collect();
    pattern
        .fabric()
        .stitches
        .iter()
        .filter(|s| rows.iter().any(|&(row, _)| row == s.row) || faults.iter().any(|&f| touches(f, s.span)))
        .map(|s| s.id)
        .collect()
}

/// The pattern's words about how the parts are put together: notes behind the first row that speak of it.
fn sewing(pattern: &Pattern) -> Vec<String> {
    /// Words that say so.
    const SAYS: &[&str] = &["sew", "sewn", "attach", "stitch", "fix", "place", "position", "pin"];
    let tree = pattern.tree();
    let first = tree.parts.iter().flat_map(|p| &p.rows).map(|r| r.span.start).min().unwrap_or(0);
    let speaks = |text: &str| {
        let mut words = text.split(|c: char| !c.is_alphabetic()).map(str::to_lowercase);
        words.any(|w| SAYS.contains(&w.as_str()))
    };
    let notes = tree.notes.iter().filter(|n| n.span.start > first && speaks(&n.text));
    notes.map(|n| n.text.split_whitespace().collect::<Vec<_>>().join(" ")).collect()
}
