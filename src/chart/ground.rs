use super::trace::Segment;
use crate::fabric::RowId;
use kurbo::{Point, Rect};

/// Everything that lies on the page so far, in a grid: asked by whatever looks for a free place.
pub(super) struct Ground {
    origin: Point,
    columns: usize,
    lines: usize,
    cells: Vec<Vec<u32>>,
    segments: Vec<(Segment, Option<RowId>)>,
    boxes: Vec<Rect>,
}

/// Side of a cell in sc widths: about one symbol, so that a question meets a handful of lines.
const CELL: f64 = 1.0;
/// Most cells a side; larger charts get larger cells.
const MOST: usize = 1024;

impl Ground {
    /// Empty ground over an area; what lies outside falls into the nearest cell.
    pub fn new(area: Rect) -> Ground {
        let count = |length: f64| ((length / CELL).ceil().max(1.0) as usize).min(MOST);
        let (columns, lines) = (count(area.width()), count(area.height()));
        Ground {
            origin: area.origin(),
            columns,
            lines,
            cells: vec![Vec::new(); columns * lines],
            segments: Vec::new(),
            boxes: Vec::new(),
        }
    }

    fn span(&self, rect: Rect) -> (std::ops::RangeInclusive<usize>, std::ops::RangeInclusive<usize>) {
        let cell = |v: f64, n: usize| ((v / CELL).max(0.0) as usize).min(n - 1);
        let o = self.origin;
        let x = cell(rect.x0 - o.x, self.columns)..=cell(rect.x1 - o.x, self.columns);
        let y = cell(rect.y0 - o.y, self.lines)..=cell(rect.y1 - o.y, self.lines);
        (x, y)
    }

    /// Puts a line down, as part of a row where it is.
    pub fn add(&mut self, segment: Segment, row: Option<RowId>) {
        let index = self.segments.len() as u32;
        let (xs, ys) = self.span(segment.bounds());
        for y in ys {
            for x in xs.clone() {
                self.cells[y * self.columns + x].push(index);
            }
        }
        self.segments.push((segment, row));
    }

    /// Puts the box of a label down.
    pub fn add_box(&mut self, rect: Rect) {
        self.boxes.push(rect);
    }

    /// How many boxes have been put down.
    pub fn box_count(&self) -> usize {
        self.boxes.len()
    }

    /// Takes back every box put down after there were `count`.
    pub fn forget_boxes_after(&mut self, count: usize) {
        self.boxes.truncate(count);
    }

    /// The lines that may reach into a rectangle, each once, in the order they were put down.
    pub fn near(&self, rect: Rect) -> Vec<(Segment, Option<RowId>)> {
        let (xs, ys) = self.span(rect);
        let mut found: Vec<u32> = ys
            .flat_map(|y| xs.clone().map(move |x| (x, y)))
            .flat_map(|(x, y)| self.cells[y * self.columns + x].iter().copied())
            .collect();
        found.sort_unstable();
        found.dedup();
        found.into_iter().map(|i| self.segments[i as usize]).collect()
    }

    /// The lines that may reach into a rectangle, some more than once.
    fn about(&self, rect: Rect) -> impl Iterator<Item = &(Segment, Option<RowId>)> {
        let (xs, ys) = self.span(rect);
        let cells = ys.flat_map(move |y| xs.clone().map(move |x| y * self.columns + x));
        cells.flat_map(|cell| &self.cells[cell]).map(|&i| &self.segments[i as usize])
    }

    /// True where a rectangle keeps this far from every line and label.
    pub fn is_free(&self, rect: Rect, clearance: f64) -> bool {
        let wide = rect.inflate(clearance, clearance);
        self.boxes.iter().all(|b| !overlap(*b, wide))
            && self.about(wide).all(|(s, _)| !s.is_nearer_to_rect(rect, clearance))
    }

    /// True where a shape of lines keeps this far from every line and label.
    pub fn is_free_for(&self, shape: &[Segment], clearance: f64) -> bool {
        shape.iter().all(|s| {
            let wide = s.bounds().inflate(clearance.max(0.0), clearance.max(0.0));
            self.boxes.iter().all(|b| !s.is_nearer_to_rect(*b, clearance))
                && self.about(wide).all(|(o, _)| !o.is_nearer(s, clearance))
        })
    }

    /// True where a line lies on no label.
    pub fn is_off_labels(&self, line: &Segment) -> bool {
        self.boxes.iter().all(|b| !line.is_nearer_to_rect(*b, 0.0))
    }

    /// True where a point lies nearer to ink of a row than to any other, by this much; looks no further than `reach`.
    pub fn is_nearest_to(&self, row: RowId, p: Point, by: f64, reach: f64) -> bool {
        let about = 0.3 * reach;
        let (own, other) = self.own_and_other(p, row, about);
        // with another row this near, what lies beyond changes nothing
        if other <= about {
            return own + by < other;
        }
        let (own, other) = self.own_and_other(p, row, reach);
        own + by < other
    }

    /// Distance from a point to the nearest ink of a row, and to the nearest of any other; looks no further than `reach`.
    pub fn own_and_other(&self, p: Point, row: RowId, reach: f64) -> (f64, f64) {
        let (mut own, mut other) = (f64::INFINITY, f64::INFINITY);
        for (segment, of) in self.about(Rect::from_center_size(p, (2.0 * reach, 2.0 * reach))) {
            let Some(of) = of else { continue };
            let nearest = if *of == row { &mut own } else { &mut other };
            *nearest = nearest.min(segment.gap_to_point(p, *nearest));
        }
        (own, other)
    }
}

fn overlap(a: Rect, b: Rect) -> bool {
    a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1
}
