//! Charts on paper: whole on one page, or cut into pages that are joined by their marks.

use super::columns::bounds;
use super::metrics::Metrics;
use super::scene::{Anchor, Label, LabelRole, Mark, Paint, RowGroup, Scene, Shape};
use super::style::MM_PER_POINT;
use super::{Ink, Layer};
use crate::symbol::PartKind;
use kurbo::{BezPath, Circle, Point, Rect, Shape as _, Size};

/// Least printed width of one sc at which a symbol can be told without effort.
///
/// Source: common practice, no source.
pub const LEAST_MM: f64 = 3.0;

/// How far neighbouring pages show the same part of the chart.
const OVERLAP_MM: f64 = 10.0;
/// Width of the register marks' lines, and the size of their rings.
const LINE_MM: f64 = 0.25;
const RING_MM: f64 = 1.4;
/// Distance of the register marks from what is printed of the chart.
const MARK_MM: f64 = 3.2;

/// The paper a chart is printed on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Paper {
    /// Width of the sheet.
    pub width_mm: f64,
    /// Height of the sheet.
    pub height_mm: f64,
    /// True where the sheet may be turned a quarter if the chart fits it better so.
    pub turns: bool,
    /// White at each edge.
    pub margin_mm: f64,
}

impl Paper {
    /// ISO 216 A4, upright or across.
    pub const A4: Paper = Paper { width_mm: 210.0, height_mm: 297.0, turns: true, margin_mm: 10.0 };
    /// ISO 216 A5, upright or across.
    pub const A5: Paper = Paper { width_mm: 148.0, height_mm: 210.0, turns: true, margin_mm: 10.0 };
    /// North American Letter, upright or across.
    pub const LETTER: Paper = Paper { width_mm: 215.9, height_mm: 279.4, turns: true, margin_mm: 10.0 };

    /// A sheet of one's own size, as it lies.
    pub fn own(width_mm: f64, height_mm: f64) -> Paper {
        Paper { width_mm, height_mm, turns: false, margin_mm: 10.0 }
    }

    /// The same with other margins.
    pub fn with_margin_mm(mut self, margin: f64) -> Paper {
        self.margin_mm = margin;
        self
    }

    /// What can be printed on, within the margins; nothing where they take the whole sheet.
    pub fn room_mm(&self) -> Size {
        let room = |length: f64| (length - 2.0 * self.margin_mm).max(0.0);
        Size::new(room(self.width_mm), room(self.height_mm))
    }

    /// The sheet as it may lie.
    pub(super) fn ways(&self) -> Vec<Paper> {
        let across = Paper { width_mm: self.height_mm, height_mm: self.width_mm, ..*self };
        if self.turns { vec![*self, across] } else { vec![*self] }
    }

    /// How far a chart has to shrink to fit, at most 1.
    pub fn share_that_fits(&self, width_mm: f64, height_mm: f64) -> f64 {
        let share = |p: &Paper| (p.room_mm().width / width_mm).min(p.room_mm().height / height_mm);
        self.ways().iter().map(share).fold(0.0, f64::max).min(1.0)
    }

    /// True where the room is enough for pages that overlap.
    pub fn has_room(&self) -> bool {
        self.ways().iter().any(|p| p.room_mm().width >= 3.0 * OVERLAP_MM && p.room_mm().height >= 3.0 * OVERLAP_MM)
    }
}

/// A part of a chart as it lies on a sheet.
#[derive(Clone, Debug)]
pub struct View {
    /// What is shown, in sc widths.
    pub window: Rect,
    /// Where it lies on the sheet, in millimetres.
    pub to_mm: Rect,
    /// What of the chart reaches into the window.
    pub scene: Scene,
}

/// One printed page.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// Its name: `B2` is the second of the second line. Empty where there is only one.
    pub name: String,
    /// Width of the paper.
    pub width_mm: f64,
    /// Height of the paper.
    pub height_mm: f64,
    /// Parts of the chart.
    pub views: Vec<View>,
    /// Register marks and lines, in millimetres.
    pub marks: Vec<Shape>,
    /// Names of pages, in millimetres.
    pub labels: Vec<Label>,
}

/// The chart on a sheet of its own size.
pub fn whole(scene: &Scene) -> Sheet {
    let (width_mm, height_mm) = scene.size_mm();
    let view = View { window: scene.frame, to_mm: Rect::new(0.0, 0.0, width_mm, height_mm), scene: scene.clone() };
    Sheet { name: String::new(), width_mm, height_mm, views: vec![view], marks: Vec::new(), labels: Vec::new() }
}

/// The chart on paper at its own scale: in the middle of one page where it fits, else a page that shows the whole
/// with its legend, and after it the work on as many pages as it takes.
pub fn sheets(scene: &Scene, paper: &Paper) -> Vec<Sheet> {
    let (width, height) = scene.size_mm();
    let fits = |p: &&Paper| p.room_mm().width + 1e-6 >= width && p.room_mm().height + 1e-6 >= height;
    let ways = paper.ways();
    if let Some(way) = ways.iter().find(fits) {
        let x = (way.width_mm - width) / 2.0;
        let y = way.margin_mm + (way.room_mm().height - height).max(0.0) * 0.382;
        let mut sheet = whole(scene);
        (sheet.width_mm, sheet.height_mm) = (way.width_mm, way.height_mm);
        sheet.views[0].to_mm = Rect::new(x, y, x + width, y + height);
        return vec![sheet];
    }
    let grids = ways.iter().map(|way| Grid::of(scene, way));
    // OK: there is always at least one way
    let grid = grids.min_by_key(Grid::pages).expect("a sheet lies in one way at least");
    let mut sheets = vec![grid.key(scene)];
    for line in 0..grid.lines {
        sheets.extend((0..grid.columns).map(|column| grid.page(scene, line, column)));
    }
    sheets
}

/// How a chart is cut into pages.
struct Grid {
    paper: Paper,
    /// What is cut up: the chart without its legend.
    work: Rect,
    columns: usize,
    lines: usize,
    mm_per_sc: f64,
}

impl Grid {
    fn of(scene: &Scene, paper: &Paper) -> Grid {
        let work = work_of(scene);
        let mm = scene.mm_per_sc;
        let count = |length: f64, room: f64| {
            let (length, room) = (length * mm - OVERLAP_MM, (room - OVERLAP_MM).max(OVERLAP_MM));
            ((length / room).ceil().max(1.0)) as usize
        };
        let room = paper.room_mm();
        let (columns, lines) = (count(work.width(), room.width), count(work.height(), room.height));
        Grid { paper: *paper, work, columns, lines, mm_per_sc: mm }
    }

    fn pages(&self) -> usize {
        self.columns * self.lines
    }

    /// What one page shows: equal parts, each reaching into its neighbours.
    fn window(&self, line: usize, column: usize) -> Rect {
        let overlap = OVERLAP_MM / self.mm_per_sc;
        let part = |k: usize, n: usize, from: f64, length: f64| {
            let own = (length + overlap * (n as f64 - 1.0)) / n as f64;
            let start = from + k as f64 * (own - overlap);
            (start, start + own)
        };
        let (x0, x1) = part(column, self.columns, self.work.x0, self.work.width());
        let (y0, y1) = part(line, self.lines, self.work.y0, self.work.height());
        Rect::new(x0, y0, x1, y1)
    }

    fn name(&self, line: usize, column: usize) -> String {
        // lines beyond the alphabet go on with two letters, as the columns of a table do
        let mut letters = String::new();
        let mut left = line;
        loop {
            letters.insert(0, char::from(b'A' + (left % 26) as u8));
            if left < 26 {
                return format!("{letters}{}", column + 1);
            }
            left = left / 26 - 1;
        }
    }

    fn page(&self, scene: &Scene, line: usize, column: usize) -> Sheet {
        let window = self.window(line, column);
        let (paper, mm) = (&self.paper, self.mm_per_sc);
        let size = Size::new(window.width() * mm, window.height() * mm);
        let at = Point::new((paper.width_mm - size.width) / 2.0, (paper.height_mm - size.height) / 2.0);
        let to_mm = Rect::from_origin_size(at, size);
        let mut marks = Vec::new();
        let half = OVERLAP_MM / 2.0;
        let beside = [(column > 0, to_mm.x0 + half), (column + 1 < self.columns, to_mm.x1 - half)];
        for (_, x) in beside.into_iter().filter(|b| b.0) {
            marks.extend([to_mm.y0 - MARK_MM, to_mm.y1 + MARK_MM].into_iter().flat_map(|y| register(x, y)));
        }
        let above = [(line > 0, to_mm.y0 + half), (line + 1 < self.lines, to_mm.y1 - half)];
        for (_, y) in above.into_iter().filter(|b| b.0) {
            marks.extend([to_mm.x0 - MARK_MM, to_mm.x1 + MARK_MM].into_iter().flat_map(|x| register(x, y)));
        }
        let name = self.name(line, column);
        let number = line * self.columns + column + 1;
        let title = if scene.title.is_empty() { String::new() } else { format!("{}  ", scene.title) };
        let words = format!("{title}{name}  ({number}/{})", self.pages());
        let metrics = Metrics::new(&scene.font);
        let at = Point::new(paper.width_mm / 2.0, paper.height_mm - 3.2);
        let label = metrics.label(LabelRole::Page, &words, at, Anchor::Middle, 8.0 * MM_PER_POINT, Ink::BLACK);
        let labels = vec![label];
        let views = vec![View { window, to_mm, scene: part_of(scene, window) }];
        Sheet { name, width_mm: paper.width_mm, height_mm: paper.height_mm, views, marks, labels }
    }

    /// The page that shows which page is where, with the legend.
    fn key(&self, scene: &Scene) -> Sheet {
        let paper = &self.paper;
        let room = paper.room_mm();
        let mut views = Vec::new();
        let mut bottom = paper.margin_mm + room.height;
        if let Some(legend) = legend_of(scene) {
            let share = (room.width / (legend.width() * self.mm_per_sc))
                .min(0.45 * room.height / (legend.height() * self.mm_per_sc));
            let scale = self.mm_per_sc * share.min(1.0);
            let size = Size::new(legend.width() * scale, legend.height() * scale);
            let at = Point::new(paper.margin_mm, bottom - size.height);
            bottom = at.y - 6.0;
            let mut words = part_of(scene, legend);
            words.labels.retain(is_legend);
            words.rows.clear();
            words.marks.clear();
            views.push(View { window: legend, to_mm: Rect::from_origin_size(at, size), scene: words });
        }
        /// Room beside the map for the names of lines and columns.
        const NAMES_MM: f64 = 7.0;
        let (width, height) = (room.width - NAMES_MM, bottom - paper.margin_mm - NAMES_MM);
        let scale = (width / self.work.width()).min(height / self.work.height()).max(1e-3);
        let size = Size::new(self.work.width() * scale, self.work.height() * scale);
        let at = Point::new(paper.margin_mm + NAMES_MM + (width - size.width) / 2.0, paper.margin_mm + NAMES_MM);
        let map = Rect::from_origin_size(at, size);
        let mut work = part_of(scene, self.work);
        work.labels.retain(|l| !is_legend(l));
        work.legend.clear();
        views.push(View { window: self.work, to_mm: map, scene: work });
        let (marks, labels) = self.map_lines(scene, map, scale);
        Sheet { name: String::new(), width_mm: paper.width_mm, height_mm: paper.height_mm, views, marks, labels }
    }

    /// Where pages meet, as lines over the map; names of columns above it, of lines beside it.
    fn map_lines(&self, scene: &Scene, map: Rect, scale: f64) -> (Vec<Shape>, Vec<Label>) {
        let metrics = Metrics::new(&scene.font);
        let half = OVERLAP_MM / 2.0 / self.mm_per_sc;
        let x = |sc: f64| map.x0 + (sc - self.work.x0) * scale;
        let y = |sc: f64| map.y0 + (sc - self.work.y0) * scale;
        let name = |text: &str, at: Point| metrics.centred(LabelRole::Page, text, at, 9.0 * MM_PER_POINT, Ink::BLACK);
        let (mut marks, mut labels) = (Vec::new(), Vec::new());
        marks.push(line(map.to_path(0.1)));
        for column in 0..self.columns {
            let own = self.window(0, column);
            labels.push(name(&(column + 1).to_string(), Point::new(x(own.center().x), map.y0 - 3.5)));
            if column > 0 {
                let at = x(own.x0 + half);
                marks.push(line(straight(Point::new(at, map.y0), Point::new(at, map.y1))));
            }
        }
        for row in 0..self.lines {
            let own = self.window(row, 0);
            let letters: String = self.name(row, 0).chars().filter(|c| c.is_ascii_alphabetic()).collect();
            labels.push(name(&letters, Point::new(map.x0 - 3.5, y(own.center().y))));
            if row > 0 {
                let at = y(own.y0 + half);
                marks.push(line(straight(Point::new(map.x0, at), Point::new(map.x1, at))));
            }
        }
        (marks, labels)
    }
}

/// A cross in a ring.
fn register(x: f64, y: f64) -> [Shape; 3] {
    let arm = 1.8 * RING_MM / 2.0;
    let across = straight(Point::new(x - arm, y), Point::new(x + arm, y));
    let down = straight(Point::new(x, y - arm), Point::new(x, y + arm));
    [line(across), line(down), line(Circle::new((x, y), RING_MM / 2.0).to_path(0.01))]
}

fn straight(from: Point, to: Point) -> BezPath {
    let mut path = BezPath::new();
    path.move_to(from);
    path.line_to(to);
    path
}

fn line(path: BezPath) -> Shape {
    Shape { kind: PartKind::Body, path, paint: Paint::Stroke(LINE_MM), placed: None }
}

fn is_legend(label: &Label) -> bool {
    matches!(label.role, LabelRole::Legend | LabelRole::Key)
}

/// The box of the legend, with some air; none where there is none.
fn legend_of(scene: &Scene) -> Option<Rect> {
    let marks = scene.legend.iter().filter_map(|m| bounds(&m.shapes));
    let words = scene.labels.iter().filter(|l| is_legend(l)).map(|l| l.bounds);
    Some(marks.chain(words).reduce(|a, b| a.union(b))?.inflate(0.2, 0.2))
}

/// The box of everything but the legend, with some air.
fn work_of(scene: &Scene) -> Rect {
    let rows = scene.rows.iter().flat_map(|g| g.figures.iter().map(|f| bounds(&f.shapes)).chain([bounds(&g.rings)]));
    let marks = scene.marks.iter().chain(&scene.tints).map(|m| bounds(&m.shapes));
    let labels = scene.labels.iter().filter(|l| !is_legend(l)).map(|l| Some(l.bounds));
    let all = rows.chain(marks).chain(labels).flatten().reduce(|a, b| a.union(b));
    all.unwrap_or(scene.frame).inflate(0.4, 0.4)
}

/// The scene with no more than what reaches into a window.
fn part_of(scene: &Scene, window: Rect) -> Scene {
    let meets = |r: Rect| r.x0 < window.x1 && window.x0 < r.x1 && r.y0 < window.y1 && window.y0 < r.y1;
    let reaches = |shapes: &[Shape]| bounds(shapes).is_some_and(meets);
    let marks = |marks: &[Mark]| marks.iter().filter(|m| reaches(&m.shapes)).cloned().collect();
    let row = |group: &RowGroup| RowGroup {
        rings: group.rings.iter().filter(|r| reaches(std::slice::from_ref(r))).cloned().collect(),
        figures: group.figures.iter().filter(|f| reaches(&f.shapes)).cloned().collect(),
        ..RowGroup {
            row: group.row,
            label: group.label.clone(),
            ink: group.ink,
            rings: Vec::new(),
            figures: Vec::new(),
        }
    };
    Scene {
        frame: window,
        tints: marks(&scene.tints),
        rows: scene.rows.iter().map(row).collect(),
        marks: marks(&scene.marks),
        legend: marks(&scene.legend),
        layers: scene
            .layers
            .iter()
            .map(|layer| Layer {
                marks: marks(&layer.marks),
                labels: layer.labels.iter().filter(|l| meets(l.bounds)).cloned().collect(),
                ..layer.clone()
            })
            .collect(),
        labels: scene.labels.iter().filter(|l| meets(l.bounds)).cloned().collect(),
        title: scene.title.clone(),
        desc: String::new(),
        prefix: scene.prefix.clone(),
        stamps: scene.stamps.clone(),
        font: scene.font.clone(),
        ..*scene
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_is_named_by_its_line_and_column() {
        let grid = Grid { paper: Paper::A4, work: Rect::ZERO, columns: 1, lines: 1, mm_per_sc: 3.0 };
        assert_eq!([grid.name(0, 0), grid.name(1, 2), grid.name(26, 0)], ["A1", "B3", "AA1"]);
    }

    #[test]
    fn neighbouring_pages_overlap_and_cover_the_whole() {
        let work = Rect::new(-10.0, -20.0, 150.0, 130.0);
        let scene = Scene { frame: work, mm_per_sc: 3.0, ..Scene::default() };
        let grid = Grid { work, ..Grid::of(&scene, &Paper::A4) };
        assert_eq!((grid.columns, grid.lines), (3, 2));
        let last = grid.window(1, 2);
        assert!((last.x1 - work.x1).abs() < 1e-9 && (last.y1 - work.y1).abs() < 1e-9);
        let shared = grid.window(0, 0).intersect(grid.window(0, 1));
        assert!((shared.width() * 3.0 - OVERLAP_MM).abs() < 1e-9);
        assert!(grid.window(0, 0).width() * 3.0 <= Paper::A4.room_mm().width + 1e-9);
    }
}
