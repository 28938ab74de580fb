//! What stands beside the work: base lines, remarks, tables.

use super::compose::bounds_of_work;
use super::ground::Ground;
use super::metrics::Metrics;
use super::scene::{Anchor, LabelRole, Mark, MarkRole, Paint, Scene, Shape};
use super::trace::traced;
use super::{Ink, Style};
use crate::symbol::PartKind;
use kurbo::{BezPath, Point};

const LINE: f64 = 0.05;
/// How far beyond the work a table stands, and between its columns.
const BESIDE: f64 = 1.6;
const COLUMN: f64 = 0.7;
/// From line to line, in sizes of the letters.
const LEADING: f64 = 1.35;

/// Lines, words and tables that are no stitches.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Aside {
    /// Grey lines through points: what a row stands on that is drawn elsewhere.
    pub lines: Vec<Vec<Point>>,
    /// Words that begin at a point, below it.
    pub notes: Vec<(Point, String)>,
    /// Tables right of the work, each with the height at which it begins; their first line is the head.
    pub tables: Vec<(f64, Vec<[String; 3]>)>,
}

impl Aside {
    /// True where nothing stands beside the work.
    pub(super) fn is_empty(&self) -> bool {
        self.lines.is_empty() && self.notes.is_empty() && self.tables.is_empty()
    }

    /// Draws all of it.
    pub(super) fn draw(&self, scene: &mut Scene, style: &Style, metrics: &Metrics, ground: &mut Ground) {
        for points in &self.lines {
            let Some((first, rest)) = points.split_first() else { continue };
            let mut path = BezPath::new();
            path.move_to(*first);
            rest.iter().for_each(|p| path.line_to(*p));
            let shape = Shape { kind: PartKind::Body, path, paint: Paint::Stroke(LINE), placed: None };
            traced(&shape).into_iter().for_each(|s| ground.add(s, None));
            scene.marks.push(Mark {
                role: MarkRole::Base,
                ink: Ink::PAST,
                tint: None,
                dashed: false,
                shapes: vec![shape],
                tip: None,
                stitch: None,
            });
        }
        let size = style.text_size(0.56, 7.0);
        for (at, words) in &self.notes {
            // down until it is free
            let label = |k: i32| {
                let at = Point::new(at.x, at.y + 0.3 + size + 0.1 * f64::from(k));
                metrics.label(LabelRole::Note, words, at, Anchor::Start, size, style.plain_ink)
            };
            let free = (0..60).map(label).find(|l| ground.is_free(l.bounds, 0.12)).unwrap_or_else(|| label(0));
            ground.add_box(free.bounds);
            scene.labels.push(free);
        }
        let left = bounds_of_work(scene).x1 + BESIDE;
        for (top, lines) in &self.tables {
            let mut x = left;
            for column in 0..3 {
                let wide = lines.iter().map(|l| metrics.width(&l[column], size)).fold(0.0, f64::max);
                for (k, line) in lines.iter().enumerate().filter(|(_, l)| !l[column].is_empty()) {
                    // figures end on one line
                    let own = metrics.width(&line[column], size);
                    let at = Point::new(x + wide - own, top + size + LEADING * size * k as f64);
                    let words = &line[column];
                    let label = metrics.label(LabelRole::Table, words, at, Anchor::Start, size, style.plain_ink);
                    scene.labels.push(label);
                }
                x += wide + COLUMN;
            }
        }
    }
}
