//! The sheet of a pattern as one page of HTML.

use super::ear::Ear;
use super::figured::Figured;
use super::hand::turned;
use super::sections::{Item, PartWords, Sections, sorted};
use super::series::Member;
use super::tiles::tiles;
use crate::chart::LEAST_MM;
use crate::export::html::{abbreviations, escaped, row};
use crate::face::{Chart, ChartOptions, Error, Hand, Pattern};
use crate::instructions::Terms;
use crate::measure::MeasureOptions;
use crate::write::Line;
use std::fmt::Write;

/// A photo of the finished piece.
#[derive(Clone, Debug, Default)]
pub struct Photo {
    /// The picture as a `data:` address.
    pub data: String,
    /// What it shows, for whoever cannot see it.
    pub alt: String,
    /// Who took it; empty where nobody is named.
    pub credit: String,
}

/// How a sheet is made.
#[derive(Clone, Debug, Default)]
#[non_exhaustive]
pub struct SheetOptions {
    /// Terms of the words; those of the pattern where none are told.
    pub speak: Option<Terms>,
    /// How the chart looks; the hand it is for is that of the words.
    pub chart: ChartOptions,
    /// Small type, no photo and no figures, for home printers.
    pub ink_saving: bool,
    /// The photo; a slot for one where there is none.
    pub photo: Option<Photo>,
    /// Boxes for whoever tests the pattern.
    pub tester: bool,
    /// Figures that were measured on the finished piece: what, and how much.
    pub measured: Vec<(String, String)>,
    /// What size and yarn are reckoned by, where they were not measured.
    pub measure: MeasureOptions,
}

impl SheetOptions {
    /// The same in US or UK terms.
    pub fn with_speak(mut self, speak: Option<Terms>) -> Self {
        self.speak = speak;
        self
    }

    /// The same with another look of the chart.
    pub fn with_chart(mut self, chart: ChartOptions) -> Self {
        self.chart = chart;
        self
    }

    /// The same sparing ink, or not.
    pub fn with_ink_saving(mut self, sparing: bool) -> Self {
        self.ink_saving = sparing;
        self
    }

    /// The same with a photo.
    pub fn with_photo(mut self, photo: Option<Photo>) -> Self {
        self.photo = photo;
        self
    }

    /// The same with boxes for testers, or without.
    pub fn with_tester(mut self, tester: bool) -> Self {
        self.tester = tester;
        self
    }

    /// The same, size and yarn reckoned by these.
    pub fn with_measure(mut self, measure: MeasureOptions) -> Self {
        self.measure = measure;
        self
    }

    /// The same with measured figures.
    pub fn with_measured(mut self, measured: Vec<(String, String)>) -> Self {
        self.measured = measured;
        self
    }
}

/// A page that was made, and what an index says of its pattern.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Sheet {
    /// The page.
    pub html: String,
    /// The pattern in an index.
    pub member: Member,
}

/// The whole pattern as one printable page that needs nothing beside it: no script, no font, no picture from elsewhere.
///
/// # Errors
/// Where the pattern has errors and the chart's options ask for no draft, or nothing was worked.
pub fn sheet(pattern: &Pattern, options: &SheetOptions) -> Result<Sheet, Error> {
    // the page has the title already
    let mut look = options.chart.clone();
    look.style.furniture.title = false;
    let chart = pattern.chart(&look)?;
    let written = pattern.write(options.speak);
    let sections = sorted(&written, pattern);
    let figured = Figured::of(pattern, &sections, options);
    let member = Member::of(pattern, &chart, &figured);
    let page = Page {
        sections,
        ear: Ear::of(&written.abbreviations),
        list: abbreviations(&written.list_heading, &written.abbreviations),
        figured,
        options,
    };
    let title = if written.title.is_empty() { "Pattern" } else { &written.title };
    let figures = if options.ink_saving || options.tester { Vec::new() } else { chart.figures(&options.chart.style) };
    let caution = super::caution::lines(&page.sections, pattern.text());
    let mut out = page.head(title);
    page.front(&mut out);
    page.list(&mut out, "caution", "Caution", &caution);
    if options.tester {
        page.tester(&mut out);
    }
    page.opening(&mut out, &chart);
    if figures.len() > 1 && figures.len() <= MOST_FIGURES {
        // of many, more stand in a line, so that none is left over for a page of its own
        let many = if figures.len() > MANY_FIGURES { " many" } else { "" };
        let _ = writeln!(out, "<section class=\"steps-section\">\n<h2>Row by row</h2>\n<div class=\"steps{many}\">");
        figures.iter().for_each(|(label, svg)| {
            let _ = writeln!(out, "<figure>{svg}<figcaption>{}</figcaption></figure>", escaped(label));
        });
        out.push_str("</div>\n</section>\n");
    }
    for (heading, lines) in &page.sections.behind {
        page.list(&mut out, "behind", heading, lines);
    }
    for line in &page.sections.version {
        let _ = writeln!(out, "<p class=\"version\">{}</p>", page.words(line));
    }
    let _ = write!(out, "</main>\n<script>{}</script>\n</body>\n</html>\n", include_str!("follow.js"));
    Ok(Sheet { html: out, member })
}

/// Width and height of a page that a chart can fill, and width of half a page, in millimetres: what A4 and Letter have
/// in common within the margins.
const PAGE_MM: (f64, f64) = (180.0, 205.0);
const HALF_PAGE_MM: f64 = 84.0;
/// Figures row by row from which on more stand in a line.
const MANY_FIGURES: usize = 12;
/// More figures than this are a book of their own.
const MOST_FIGURES: usize = 24;

struct Page<'a> {
    sections: Sections,
    figured: Figured,
    ear: Ear,
    list: String,
    options: &'a SheetOptions,
}

impl Page<'_> {
    fn head(&self, title: &str) -> String {
        let class = if self.options.ink_saving { " class=\"ink-saving\"" } else { "" };
        let title = escaped(title);
        format!(
            "<!DOCTYPE html>\n<html lang=\"en\"{class}>\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width\">\n<title>{title}</title>\n<style>\n{}</style>\n</head>\n<body>\n<main class=\"sheet\">\n<h1>{title}</h1>\n",
            include_str!("sheet.css")
        )
    }

    /// True where the words are for the left hand, as the chart is.
    fn is_left(&self) -> bool {
        self.options.chart.hand == Hand::Left
    }

    /// Prose as it is to be read: turned for the left hand, marks of HTML escaped.
    fn words(&self, words: &str) -> String {
        if self.is_left() { escaped(&turned(words)) } else { escaped(words) }
    }

    /// What stands before the rows: where it comes from, the photo, what is needed and how it is read.
    fn front(&self, out: &mut String) {
        let s = &self.sections;
        out.push_str("<div class=\"front\">\n<div>\n");
        for line in &s.intro {
            let _ = writeln!(out, "<p>{}</p>", self.words(line));
        }
        if self.is_left() {
            out.push_str("<p>Written for the left hand: edges and directions are those of left-handed work.</p>\n");
        }
        out.push_str("<div class=\"needs\">\n");
        self.list(out, "materials", "Materials", &s.materials);
        self.list(out, "size", "Size", &self.figured.size);
        let yarn: Vec<String> = s.yarn.iter().cloned().chain(self.figured.yarn_lines()).collect();
        self.list(out, "yarn", "Yarn", &yarn);
        self.list(out, "gauge", "Gauge", &s.gauge);
        if !self.list.is_empty() {
            let _ = writeln!(out, "<section>{}</section>", self.list);
        }
        self.list(out, "specials", "Special stitches", &s.specials);
        self.list(out, "notes", "Notes", &s.notes);
        out.push_str("</div>\n</div>\n");
        self.photo(out);
        out.push_str("</div>\n");
    }

    fn photo(&self, out: &mut String) {
        out.push_str("<figure class=\"photo\">");
        match &self.options.photo {
            Some(photo) => {
                let _ = write!(out, "<img src=\"{}\" alt=\"{}\">", escaped(&photo.data), escaped(&photo.alt));
                if !photo.credit.is_empty() {
                    let _ = write!(out, "<figcaption>Photo: {}</figcaption>", escaped(&photo.credit));
                }
            }
            None => out.push_str("<div class=\"slot\">Photo, the same way up as the chart</div>"),
        }
        out.push_str("</figure>\n");
    }

    fn list(&self, out: &mut String, class: &str, heading: &str, lines: &[String]) {
        if lines.is_empty() {
            return;
        }
        let _ = write!(out, "<section class=\"{class}\">\n<h2>{}</h2>\n", self.words(heading));
        if let [one] = lines {
            let _ = writeln!(out, "<p>{}</p>", self.words(one));
        } else {
            out.push_str("<ul>\n");
            lines.iter().for_each(|line| {
                let _ = writeln!(out, "<li>{}</li>", self.words(line));
            });
            out.push_str("</ul>\n");
        }
        out.push_str("</section>\n");
    }

    /// The words with chart and legend beside them, or above them where half a page would make the symbols too small.
    fn opening(&self, out: &mut String, chart: &Chart) {
        let (width, height) = chart.scene().size_mm();
        let printed = |room: f64| chart.scene().mm_per_sc * (room / width).min(PAGE_MM.1 / height).min(1.0);
        let class = if printed(HALF_PAGE_MM) < LEAST_MM { "opening wide" } else { "opening" };
        let _ = writeln!(out, "<div class=\"{class}\">\n<section class=\"words\">");
        self.sections.parts.iter().enumerate().for_each(|(k, part)| self.part(out, k, part));
        let svg = chart.to_page_svg();
        let small = printed(PAGE_MM.0) < LEAST_MM;
        let tiles = small.then(|| tiles(&svg)).flatten();
        let shown = tiles.as_ref().map_or(&svg, |t| &t.chart);
        let _ = write!(out, "</section>\n<figure class=\"chart\">\n{shown}");
        if small {
            let over = match &tiles {
                Some(tiles) => format!("printed, it stands once more over {} pages, larger", tiles.count),
                None => "it can be drawn by itself over several".to_owned(),
            };
            let _ = write!(out, "<figcaption>On one page the symbols of this chart are small; {over}.</figcaption>");
        }
        out.push_str("</figure>\n</div>\n");
        out.push_str(tiles.as_ref().map_or("", |t| &t.pages));
    }

    fn part(&self, out: &mut String, k: usize, part: &PartWords) {
        let heading = if part.heading.is_empty() { "Pattern" } else { &part.heading };
        let _ = write!(out, "<h2 id=\"part-{}\">{}</h2>\n<ol class=\"rows\">\n", k + 1, self.words(heading));
        for item in &part.items {
            match item {
                Item::Row(line) => self.row(out, line),
                Item::Between(words) => {
                    let _ = writeln!(out, "<li><p class=\"between\">{}</p></li>", self.words(words));
                }
            }
        }
        out.push_str("</ol>\n");
    }

    /// A row: a box to tick, its words for the eye, its words for the ear.
    fn row(&self, out: &mut String, line: &Line) {
        let mut line = line.clone();
        if self.is_left() {
            line.pieces.iter_mut().chain(&mut line.ending).for_each(|p| p.words = turned(&p.words));
        }
        let name = if line.heading.is_empty() { "This line".to_owned() } else { self.ear.words(&line.heading) };
        let _ = write!(
            out,
            "<li><input type=\"checkbox\" aria-label=\"{} done\"><div><p class=\"short\" aria-hidden=\"true\">{}</p><p class=\"ear\">{}</p>",
            escaped(&name),
            row(&line),
            escaped(&self.ear.row(&line))
        );
        if self.options.tester {
            out.push_str("<p class=\"query\"><span class=\"label\">Query</span></p>");
        }
        out.push_str("</div></li>\n");
    }

    /// Boxes for what a tester finds.
    fn tester(&self, out: &mut String) {
        out.push_str("<section class=\"tester\">\n<h2>For testers</h2>\n<table>\n");
        let boxes = [
            "Name and date",
            "Yarn used",
            "Hook used",
            "Gauge: stitches and rows",
            "Finished size",
            "Metres used, by colour",
            "Time taken",
        ];
        for label in boxes {
            let _ = writeln!(out, "<tr><th scope=\"row\">{label}</th><td class=\"blank\"></td></tr>");
        }
        out.push_str(
            "</table>\n<p>A line stands under every row for what was unclear or did not come out.</p>\n</section>\n",
        );
    }
}
