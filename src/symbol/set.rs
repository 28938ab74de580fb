use super::language::wording;
use super::{Name, Speak, Symbol, SymbolFault};
use crate::craft::{Meet, Stem, StitchForm};

/// The table of our own symbols: name, file, abbreviation and term in US and in UK terms.
const TABLE: &str = include_str!("../../symbols/table.tsv");

macro_rules! files {
    ($($name:literal),* $(,)?) => { &[$(($name, include_str!(concat!("../../symbols/", $name)))),*] };
}

/// Our own drawings, by file name.
const FILES: &[(&str, &str)] = files![
    "ch.svg",
    "sl-st.svg",
    "sc-plus.svg",
    "sc-cross.svg",
    "sc-cross-leg.svg",
    "hdc.svg",
    "dc.svg",
    "tr.svg",
    "dtr.svg",
    "trtr.svg",
    "ring.svg",
    "attach.svg",
    "cut.svg",
    "arrow.svg",
    "turn.svg",
    "loop-front.svg",
    "loop-back.svg",
    "hook.svg",
    "popcorn.svg",
    "extended.svg",
    "reverse.svg",
];

#[derive(Clone, Debug)]
struct Entry {
    key: String,
    file: String,
    symbol: Option<Symbol>,
    us: Name,
    uk: Name,
}

/// A set of symbols with their names in each dialect.
#[derive(Clone, Debug)]
pub struct SymbolSet {
    entries: Vec<Entry>,
    /// Drawings of whole makes, by the name of the make: `dc5pc`.
    wholes: Vec<(String, Symbol)>,
}

impl SymbolSet {
    /// Our own drawings, carried in the program.
    ///
    /// # Panics
    /// Never in a build whose tests pass: they read every file.
    pub fn house() -> SymbolSet {
        let find = |file: &str| FILES.iter().find(|(name, _)| *name == file).map(|(_, text)| (*text).to_owned());
        Self::read(TABLE, find).expect("the tests read every file of the house")
    }

    /// Reads a set from the text of its table, asking `find` for the text of each file it names.
    ///
    /// # Errors
    /// The first file that is missing or cannot be used, or the first row of the table that is too short.
    pub fn read(table: &str, find: impl Fn(&str) -> Option<String>) -> Result<SymbolSet, SymbolFault> {
        let mut entries = Vec::new();
        for line in table.lines().skip(1).filter(|l| !l.trim().is_empty()) {
            let cells: Vec<&str> = line.split('\t').map(str::trim).collect();
            let &[key, file, us, us_long, uk, uk_long] = cells.as_slice() else {
                return Err(SymbolFault { name: line.to_owned(), message: "a row of the table has six cells".into() });
            };
            let symbol = match file {
                "" => None,
                _ => {
                    let missing = || SymbolFault { name: file.to_owned(), message: "the file is missing".into() };
                    Some(Symbol::read(file, &find(file).ok_or_else(missing)?)?)
                }
            };
            let name = |short: &str, long: &str| Name { short: short.to_owned(), long: long.to_owned() };
            entries.push(Entry {
                key: key.to_owned(),
                file: file.to_owned(),
                symbol,
                us: name(us, us_long),
                uk: name(uk, uk_long),
            });
        }
        Ok(SymbolSet { entries, wholes: Vec::new() })
    }

    /// The set with one symbol drawn anew from the text of an SVG file.
    ///
    /// # Errors
    /// Where the file cannot be used or the set has no symbol of that key.
    pub fn with_symbol(mut self, key: &str, text: &str) -> Result<SymbolSet, SymbolFault> {
        let symbol = Symbol::read(key, text)?;
        let missing = || SymbolFault { name: key.to_owned(), message: "no symbol of this name".into() };
        let entry = self.entries.iter_mut().find(|e| e.key == key).ok_or_else(missing)?;
        entry.symbol = Some(symbol);
        Ok(self)
    }

    /// The set with one symbol drawn anew, by the name of its file: that of one of our own (`dc.svg`), or of a stitch
    /// that is otherwise put together from parts, several legs in one place (`dc3cl.svg`, `hdc5puff.svg`, `dc5pc.svg`).
    ///
    /// # Errors
    /// Where the file cannot be used, or no symbol is called so.
    pub fn with_file(mut self, name: &str, text: &str) -> Result<SymbolSet, SymbolFault> {
        if let Some(entry) = self.entries.iter_mut().find(|e| e.file == name) {
            entry.symbol = Some(Symbol::read(name, text)?);
            return Ok(self);
        }
        let make = name.strip_suffix(".svg").unwrap_or(name);
        if !is_make(make) {
            let known: Vec<&str> = self.entries.iter().map(|e| e.file.as_str()).filter(|f| !f.is_empty()).collect();
            let message = format!(
                "no symbol is called so; there are {}, and makes of 2 to 9 legs in one stitch, such as dc3cl.svg, hdc5puff.svg, dc5pc.svg",
                known.join(", ")
            );
            return Err(SymbolFault { name: name.to_owned(), message });
        }
        let symbol = Symbol::read(name, text)?;
        self.wholes.retain(|(known, _)| known != make);
        self.wholes.push((make.to_owned(), symbol));
        Ok(self)
    }

    /// The drawing of a whole make, where there is one.
    pub fn whole(&self, form: StitchForm) -> Option<&Symbol> {
        if self.wholes.is_empty() {
            return None;
        }
        let name = form.to_string();
        self.wholes.iter().find(|(make, _)| *make == name).map(|(_, symbol)| symbol)
    }

    /// The set with lines so many times as wide.
    pub fn with_weight(mut self, weight: f64) -> SymbolSet {
        let wholes = self.wholes.iter_mut().map(|(_, symbol)| symbol);
        let symbols = self.entries.iter_mut().filter_map(|e| e.symbol.as_mut()).chain(wholes);
        symbols.flat_map(|s| &mut s.parts).for_each(|part| part.width *= weight);
        self
    }

    /// The symbol of a key of the table.
    pub fn get(&self, key: &str) -> Option<&Symbol> {
        self.entries.iter().find(|e| e.key == key)?.symbol.as_ref()
    }

    /// The name of a key of the table; the key itself where the table has none.
    pub fn name(&self, key: &str, speak: Speak) -> Name {
        if let (Speak::In(_), Some(words)) = (speak, wording(key, speak)) {
            return Name { short: words.short.to_owned(), long: words.long.to_owned() };
        }
        let Some(entry) = self.entries.iter().find(|e| e.key == key) else {
            return Name { short: key.to_owned(), long: key.to_owned() };
        };
        match speak {
            Speak::Us | Speak::In(_) => entry.us.clone(),
            Speak::Uk => entry.uk.clone(),
            Speak::Both if entry.us == entry.uk => entry.us.clone(),
            Speak::Both => Name {
                short: format!("{} / {}", entry.us.short, entry.uk.short),
                long: format!("{} / {}", entry.us.long, entry.uk.long),
            },
        }
    }

    /// The symbol of a stem. Beyond four wraps, the tallest with more strokes at the same spacing.
    pub fn stem(&self, stem: Stem, cross: bool) -> Option<Symbol> {
        let key = match stem {
            Stem::Chain(_) => "ch",
            Stem::SlipStitch => "sl st",
            Stem::Single if cross => "sc cross",
            Stem::Single => "sc plus",
            Stem::HalfDouble => "hdc",
            Stem::Tall(wraps) => ["dc", "tr", "dtr"].get(usize::from(wraps.max(1)) - 1).copied().unwrap_or("trtr"),
        };
        let symbol = self.get(key)?.clone();
        match stem {
            Stem::Tall(wraps) if wraps > 4 => Some(taller(symbol, wraps)),
            _ => Some(symbol),
        }
    }
}

/// True for the name of a make of several legs in one place.
fn is_make(name: &str) -> bool {
    let stems = [Stem::Single, Stem::HalfDouble].into_iter().chain((1..=4).map(Stem::Tall));
    let makes = stems.flat_map(|stem| {
        (2..=9).flat_map(move |n| [Meet::Both, Meet::Closed].map(|meet| StitchForm::cluster(stem, n, meet)))
    });
    makes.into_iter().any(|form| form.to_string() == name)
}

/// A symbol of `wraps` strokes from one of fewer.
fn taller(mut symbol: Symbol, wraps: u8) -> Symbol {
    use super::PartKind::{Head, Stem as StemPart, Stroke};
    use kurbo::{Affine, Shape};
    let strokes: Vec<_> = symbol.parts.iter().filter(|p| p.kind == Stroke).cloned().collect();
    let (Some(first), Some(last)) = (strokes.first(), strokes.last()) else { return symbol };
    let mid = |path: &kurbo::BezPath| path.bounding_box().center().y;
    let pitch = (mid(&last.path) - mid(&first.path)) / (strokes.len().max(2) - 1) as f64;
    let grown = f64::from(wraps) + 1.0 - symbol.height;
    let mut next = last.clone();
    for _ in strokes.len()..usize::from(wraps) {
        next.path.apply_affine(Affine::translate((0.0, pitch)));
        symbol.parts.push(next.clone());
    }
    for part in &mut symbol.parts {
        match part.kind {
            Head => part.path.apply_affine(Affine::translate((0.0, -grown))),
            StemPart => {
                let tall = -part.path.bounding_box().y0;
                part.path.apply_affine(Affine::scale_non_uniform(1.0, (tall + grown) / tall));
            }
            _ => {}
        }
    }
    let middle =
        -symbol.parts.iter().filter(|p| p.kind == Stroke).map(|p| mid(&p.path)).sum::<f64>() / f64::from(wraps);
    symbol.height += grown;
    symbol.stroke_at = middle / symbol.height;
    symbol
}

#[cfg(test)]
mod tests {
    use super::super::PartKind;
    use super::*;

    #[test]
    fn every_symbol_of_the_house_is_read_with_its_anchors() {
        let set = SymbolSet::house();
        assert!(
            set.entries
                .iter()
                .filter(|e| !["picot", "chain ring"].contains(&e.key.as_str()))
                .all(|e| e.symbol.is_some())
        );
    }

    #[test]
    fn a_tall_stitch_has_one_stroke_for_each_wrap() {
        let set = SymbolSet::house();
        for wraps in 1..=9 {
            let symbol = set.stem(Stem::Tall(wraps), false).unwrap();
            let strokes = symbol.parts.iter().filter(|p| p.kind == PartKind::Stroke).count();
            assert_eq!(strokes, usize::from(wraps));
            assert!((symbol.height - f64::from(wraps) - 1.0).abs() < 1e-9);
        }
    }

    #[test]
    fn an_artist_can_redraw_one_symbol() {
        let svg = r##"<svg xmlns="http://www.w3.org/2000/svg" stroke-width=".09">
            <path id="stem" d="M0 0V-1" stroke="#000"/>
            <circle id="anchor-foot" r=".02"/><circle id="anchor-head" cy="-1" r=".02"/></svg>"##;
        let set = SymbolSet::house().with_symbol("hdc", svg).unwrap();
        assert_eq!(set.get("hdc").unwrap().parts.len(), 1);
        assert!(SymbolSet::house().with_symbol("pear", svg).is_err());
    }
}
