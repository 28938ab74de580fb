//! The legend: exactly the symbols used, each beside its abbreviation and term; and the colour key.

use super::columns::{self, Entry};
use super::figure::LEAST_RING;
use super::metrics::Metrics;
use super::modifiers::{seen_loop, turned_side};
use super::post::seen_post;
use super::scene::{Label, LabelRole, Mark, MarkRole, Paint, Shape};
use super::style::Face;
use super::{ChartInfo, Ink, Style, part, sample};
use crate::craft::{LoopPart, PostSide, Stem, StitchForm, drawn_height};
use crate::fabric::{Fabric, Role, Side, Stitch};
use crate::symbol::{Name, PartKind, Speak, SymbolSet, filled, name_of, word};
use kurbo::{BezPath, Rect, Shape as _};

pub(super) struct Legend<'a> {
    pub fabric: &'a Fabric,
    pub symbols: &'a SymbolSet,
    pub style: &'a Style,
    pub info: &'a ChartInfo,
    pub metrics: &'a Metrics<'a>,
    pub speak: Speak,
    /// Letter and ink of each yarn in use.
    pub yarns: &'a [(String, Ink)],
    /// Roles of the marks that were drawn.
    pub marks: Vec<MarkRole>,
    /// True where the colour key is wanted.
    pub key: bool,
    /// What is to be said of the layers shown.
    pub layers: Vec<Entry>,
}

impl Legend<'_> {
    /// Symbols and words set in columns below `top`, from `left`, over about `width`.
    pub fn place(mut self, left: f64, top: f64, width: f64) -> (Vec<Mark>, Vec<Label>) {
        let layers = std::mem::take(&mut self.layers);
        let mut entries = self.entries();
        entries.extend(layers);
        columns::set(&entries, self.style, self.metrics, left, top, width)
    }

    fn entries(&self) -> Vec<Entry> {
        if !self.style.furniture.legend {
            return self.key_entries();
        }
        let mut entries: Vec<(f64, Entry)> = Vec::new();
        for (form, wrong) in self.forms() {
            let shapes = sample::stitch(self.symbols, form, self.style.sc);
            let more = 0.01 * f64::from(form.legs) + if form.extra == Default::default() { 0.0 } else { 0.001 };
            // slip stitch and chain lead: they are the shortest as worked
            let height = if form.stem.is_chain() { 0.5 } else { drawn_height(form.stem) };
            entries.push((height + more, self.symbol(shapes, self.text(form, wrong))));
        }
        let picots = self.fabric.stitches.iter().filter(|s| s.role == Role::Picot && s.is_chain());
        if picots.clone().next().is_some() {
            let name = self.symbols.name("picot", self.speak);
            entries.push((0.6, self.symbol(sample::picot(self.symbols, self.picot_length()), words(&name))));
        }
        entries.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut entries: Vec<Entry> = entries.into_iter().map(|(_, e)| e).collect();
        if self.fabric.rings.iter().any(|r| r.ids.is_empty()) {
            entries.extend(self.of_table("ring"));
        }
        let marks = [
            (MarkRole::Arrow, "arrow"),
            (MarkRole::Turn, "turn"),
            (MarkRole::Attach, "attach"),
            (MarkRole::Cut, "cut"),
        ];
        for (role, key) in marks {
            if self.marks.contains(&role) {
                entries.extend(self.of_table(key));
            }
        }
        if self.marks.contains(&MarkRole::Bound) {
            entries.push(self.symbol(part::sample_of_repeat(), word("repeat box", self.speak)));
        }
        if self.style.face == Face::Worked && self.fabric.stitches.iter().any(|s| s.side == Side::Wrong && turns(s)) {
            entries.push(self.symbol(Vec::new(), word("worked face", self.speak)));
        }
        entries.extend(self.key_entries());
        entries
    }

    fn key_entries(&self) -> Vec<Entry> {
        let yarns = self.yarns.iter().filter(|_| self.key);
        yarns.map(|(letter, ink)| self.swatch(letter, *ink)).collect()
    }

    fn symbol(&self, shapes: Vec<Shape>, text: String) -> Entry {
        Entry { shapes, role: MarkRole::Symbol, ink: self.style.plain_ink, text, label: LabelRole::Legend }
    }

    fn of_table(&self, key: &str) -> Option<Entry> {
        let symbol = self.symbols.get(key)?;
        debug_assert!(symbol.height > LEAST_RING, "a ring in the legend is no smaller than one in the chart");
        let shapes = sample::mark(self.symbols, key);
        Some(self.symbol(shapes, words(&self.symbols.name(key, self.speak))))
    }

    /// Makes in use as they look from the right side, with whether any was worked on the wrong side.
    fn forms(&self) -> Vec<(StitchForm, bool)> {
        let mut forms: Vec<(StitchForm, bool)> = Vec::new();
        for stitch in self.fabric.stitches.iter().filter(|s| !s.has_role(Role::Picot)) {
            let form = seen_form(stitch, self.style.face);
            let wrong = turned_side(stitch, self.style.face) == Side::Wrong;
            match forms.iter_mut().find(|(f, _)| *f == form) {
                Some((_, w)) => *w |= wrong,
                None => forms.push((form, wrong)),
            }
        }
        forms
    }

    fn text(&self, form: StitchForm, wrong: bool) -> String {
        let name = name_of(self.symbols, form, self.speak);
        let turns = form.extra.post.is_some() || form.extra.part != LoopPart::Both;
        if !(wrong && turns) {
            return words(&name);
        }
        let other = name_of(self.symbols, turned(form), self.speak);
        filled("seen", self.speak, &[("a", shortest(&name)), ("b", shortest(&other))])
    }

    fn picot_length(&self) -> usize {
        let chains = self.fabric.stitches.iter().skip_while(|s| s.role != Role::Picot || !s.is_chain());
        chains.take_while(|s| s.role == Role::Picot && s.is_chain()).count().clamp(2, 6)
    }

    fn swatch(&self, letter: &str, ink: Ink) -> Entry {
        let name = self.info.yarns.iter().find(|y| y.letter == letter).map_or("", |y| y.name.as_str());
        let text = match (letter, name) {
            (l, "") => filled("yarn", self.speak, &[("letter", l)]),
            (l, n) if l == n => n.to_owned(),
            (l, n) => format!("{l} – {n}"),
        };
        let mut shapes = Vec::new();
        if self.style.ink == super::InkBy::Yarn {
            let path: BezPath = Rect::new(0.0, 0.0, 0.7, 0.42).to_path(0.01);
            shapes.push(Shape { kind: PartKind::Dot, path, paint: Paint::Fill, placed: None });
        }
        let ink = if self.style.ink == super::InkBy::Yarn { ink } else { self.style.plain_ink };
        Entry { shapes, role: MarkRole::Swatch, ink, text, label: LabelRole::Key }
    }
}

/// The make of a stitch as its symbol shows it, seen from the right side.
fn seen_form(stitch: &Stitch, face: Face) -> StitchForm {
    let mut form = stitch.form();
    if form.stem.is_chain() {
        // a chain leg of a cluster is drawn as chains; the cluster is named by its other legs
        let tallest = stitch.legs.iter().map(|l| l.stem).max().unwrap_or(Stem::Chain(1));
        if tallest.is_chain() || stitch.is_chain() {
            return StitchForm::plain(Stem::Chain(1));
        }
        form.stem = tallest;
    }
    if stitch.is_slip_stitch() {
        return StitchForm::plain(Stem::SlipStitch);
    }
    form.extra.post = seen_post(stitch, face);
    form.extra.part = seen_loop(stitch, face);
    form.extra.crossed = false;
    form
}

/// True where the side it is worked on shows.
fn turns(stitch: &Stitch) -> bool {
    seen_post(stitch, Face::Worked).is_some() || seen_loop(stitch, Face::Worked) != LoopPart::Both
}

fn turned(mut form: StitchForm) -> StitchForm {
    form.extra.post = form.extra.post.map(|p| match p {
        PostSide::Front => PostSide::Back,
        PostSide::Back => PostSide::Front,
    });
    form.extra.part = match form.extra.part {
        LoopPart::Front => LoopPart::Back,
        LoopPart::Back => LoopPart::Front,
        other => other,
    };
    form
}

/// The abbreviation, or the term where the trade has none.
fn shortest(name: &Name) -> &str {
    if name.short.is_empty() { &name.long } else { &name.short }
}

/// Abbreviation and term on one line.
pub(super) fn words(name: &Name) -> String {
    match name.short.as_str() {
        "" => name.long.clone(),
        short if short == name.long => short.to_owned(),
        short => format!("{short} – {}", name.long),
    }
}
