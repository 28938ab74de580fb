//! The symbol set on one sheet.

use super::columns::{self, Entry};
use super::compose::page;
use super::metrics::Metrics;
use super::scene::{Anchor, LabelRole, MarkRole, Scene};
use super::{Style, sample};
use crate::craft::{LoopPart, Meet, PostSide, Stem, StitchForm};
use crate::symbol::{Speak, SymbolSet, name_of};
use kurbo::{Point, Rect};

/// Width of the sheet, in sc widths: two columns of long names.
const WIDTH: f64 = 26.0;

/// Every symbol with its abbreviation and term, ordered by height within each kind.
pub fn specimen(symbols: &SymbolSet, style: &Style) -> Scene {
    let metrics = Metrics::new(&style.font);
    let speak = style.speak.unwrap_or(Speak::Us);
    let entry = |form: StitchForm| {
        let name = name_of(symbols, form, speak);
        Entry {
            shapes: sample::stitch(symbols, form, style.sc),
            role: MarkRole::Symbol,
            ink: style.plain_ink,
            text: format!("{} – {}", name.short, name.long),
            label: LabelRole::Legend,
        }
    };
    let entries: Vec<Entry> = forms().into_iter().map(entry).collect();
    let title = "Symbols";
    let size = style.text_size(0.85, 11.0);
    let heading = metrics.label(LabelRole::Title, title, Point::new(0.0, -0.9), Anchor::Start, size, style.plain_ink);
    let (marks, words) = columns::set(&entries, style, &metrics, 0.0, 0.0, WIDTH);
    let boxes = words.iter().map(|l| l.bounds).chain(marks.iter().filter_map(|m| columns::bounds(&m.shapes)));
    let all: Rect = boxes.fold(heading.bounds, |a, b| a.union(b));
    let desc = entries.iter().map(|e| e.text.as_str()).collect::<Vec<_>>().join("\n");
    let mut labels = words;
    labels.insert(0, heading);
    Scene {
        frame: page(all.inflate(0.6, 0.6)),
        mm_per_sc: style.mm_per_sc,
        font: style.font.clone(),
        title: title.to_owned(),
        desc,
        lang: if speak == Speak::Uk { "en-GB" } else { "en-US" },
        prefix: "symbols".to_owned(),
        legend: marks,
        labels,
        ..Scene::default()
    }
}

fn forms() -> Vec<StitchForm> {
    let plain = StitchForm::plain;
    let with = |stem, change: fn(&mut StitchForm)| {
        let mut form = plain(stem);
        change(&mut form);
        form
    };
    vec![
        plain(Stem::SlipStitch),
        plain(Stem::Chain(1)),
        plain(Stem::Single),
        plain(Stem::HalfDouble),
        plain(Stem::DC),
        plain(Stem::TR),
        plain(Stem::DTR),
        plain(Stem::Tall(4)),
        StitchForm::together(Stem::Single, 2),
        StitchForm::together(Stem::Single, 3),
        StitchForm::together(Stem::HalfDouble, 2),
        StitchForm::together(Stem::DC, 2),
        StitchForm::together(Stem::DC, 3),
        StitchForm::together(Stem::TR, 2),
        StitchForm::cluster(Stem::DC, 3, Meet::Both),
        StitchForm::cluster(Stem::DC, 5, Meet::Both),
        StitchForm::cluster(Stem::HalfDouble, 3, Meet::Both),
        StitchForm::cluster(Stem::HalfDouble, 5, Meet::Both),
        StitchForm::cluster(Stem::DC, 4, Meet::Closed),
        StitchForm::cluster(Stem::DC, 5, Meet::Closed),
        with(Stem::Single, |f| f.extra.part = LoopPart::Back),
        with(Stem::Single, |f| f.extra.part = LoopPart::Front),
        with(Stem::Single, |f| f.extra.extended = true),
        with(Stem::Single, |f| f.extra.reverse = true),
        with(Stem::DC, |f| f.extra.post = Some(PostSide::Front)),
        with(Stem::DC, |f| f.extra.post = Some(PostSide::Back)),
    ]
}
