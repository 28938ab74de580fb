//! Places named by shape: "in 2nd dc of next shell", "in center st of next 5-dc group", "between next 2 shells",
//! "to next corner sp".

use super::cursor::Cursor;
use super::lex::Kind;
use super::stitch::Named;
use super::words;
use crate::instructions::{Class, Pick, Target, Which};

/// Words of a definition that leave its place to the row.
const INDICATED: &[&str] = &["indicated", "designated", "specified", "stated", "instructed", "given", "noted"];

impl Cursor<'_> {
    /// A part of a shape, or the gap between two.
    pub(super) fn shaped(&mut self) -> Option<Target> {
        if !self.comes_soon(|w| {
            matches!(w, "of" | "in" | "on" | "from" | "between" | "before" | "after" | "following" | "left")
        }) {
            return None;
        }
        let start = self.at;
        let mut ahead = self.clone();
        let _ = ahead.eat_any(&["the", "next", "first", "last"]);
        if matches!(ahead.class(), Some(Class::Space(_))) && ahead.beside_picot() {
            // "in loop before picot": the loop is told, whatever hangs in it
            return None;
        }
        let found = self.gap().or_else(|| {
            self.at = start;
            self.part_of_shape()
        });
        if found.is_none() {
            self.at = start;
        }
        found
    }

    /// True where one of the next few tokens is a word that fits: most places need no further look.
    fn comes_soon(&self, fits: impl Fn(&str) -> bool) -> bool {
        const SOON: usize = 10;
        (0..SOON).map_while(|k| self.kind(k)).any(|kind| matches!(kind, Kind::Word(w) if fits(w)))
    }

    fn part_of_shape(&mut self) -> Option<Target> {
        if let Some(beside) = self.beside_shape() {
            return Some(beside);
        }
        if let Some(target) = self.next_of_shape_in_hand() {
            return Some(target);
        }
        let (pick, class) = self.part()?;
        let _ = self.eat_any(&["made", "worked"]);
        if !self.eat_any(&["of", "in", "on", "from"]) {
            return None;
        }
        if class == Class::Any
            && pick == Pick::Only
            && let Some(target) = self.top_of()
        {
            return Some(target);
        }
        let bare = self.at;
        if class == Class::Any && pick == Pick::Only && self.beginning_chain() {
            // "sl st in top of ch-3": not of its space
            if !self.word(0).is_some_and(|w| words::SPACE.contains(&w)) {
                return Some(Target::TurningTop);
            }
            self.at = bare;
        }
        let (mut which, shape) = self.which_shape()?;
        if matches!(pick, Pick::Last(_)) && which == Which::Next && !self.word_at(bare).is_some_and(tells_which) {
            // "tr in last tr of pineapple": of the one in hand
            which = Which::Same;
        }
        let single = matches!(&shape, Class::Kind(_) | Class::Chain | Class::Stitch);
        if single {
            // "top of next cluster" is the cluster; a stitch has no parts
            let top = class == Class::Any && pick == Pick::Only;
            return top.then_some(match which {
                Which::Last => Target::Last { n: 1, class: shape },
                Which::First => Target::First { class: shape },
                Which::Each => Target::Each { class: shape, less: 0, every: 1 },
                Which::Next | Which::Same => Target::Next { n: 1, class: shape },
            });
        }
        // "ch-3 sp of next block": a block has one
        let block = matches!(&shape, Class::Group(name) if words::BLOCKS.contains(&name.as_str()));
        if block && pick == Pick::Only && matches!(class, Class::Space(_)) && which != Which::Same {
            return Some(match which {
                Which::Last => Target::Last { n: 1, class },
                Which::Each => Target::Each { class, less: 0, every: 1 },
                _ => Target::Next { n: 1, class },
            });
        }
        Some(Target::Within { pick, class, shape, which })
    }

    /// "first sc after any 3-sc corner", "st immediately following any corner", "last dc before next shell".
    fn beside_shape(&mut self) -> Option<Target> {
        let start = self.at;
        let first = self.eat_any(&["first", "next", "any", "the"]) || self.eat_kind(&Kind::Ordinal(1));
        let last = !first && self.eat("last");
        let found =
            self.class().filter(|c| matches!(c, Class::Stitch | Class::Kind(_) | Class::Space(_))).and_then(|class| {
                let _ = self.eat_any(&["immediately", "directly", "right", "just"]);
                if first && self.after_join() {
                    return Some(Target::Next { n: 1, class });
                }
                let pick =
                    if self.eat_any(&["after", "following", "past"]) || self.eat_all(&["to", "the", "left", "of"]) {
                        Pick::After
                    } else if self.eat_any(&["before", "preceding"]) || self.eat_all(&["to", "the", "right", "of"]) {
                        Pick::Before
                    } else {
                        return None;
                    };
                let told = if pick == Pick::After { !last } else { !first };
                let (which, shape) = self.which_shape().filter(|_| told)?;
                let whole = !matches!(shape, Class::Stitch | Class::Any | Class::Chain);
                whole.then_some(Target::Within { pick, class, shape, which })
            });
        if found.is_none() {
            self.at = start;
        }
        found
    }

    /// "after sl st", "after the joining sl st", "following join": what the next place comes after anyway.
    fn after_join(&mut self) -> bool {
        let start = self.at;
        let _ = self.eat_any(&["after", "following"]) && self.eat("the");
        let led = self.at > start;
        let _ = led && self.eat_any(&["last", "same", "beg", "beginning"]);
        let join = led && self.eat_any(&["join", "joining"]);
        let slip =
            led && (self.eat_all(&["sl", "st"]) || self.eat_all(&["slip", "st"]) || self.eat_all(&["slip", "stitch"]));
        if !(join || slip) {
            self.at = start;
        }
        join || slip
    }

    /// "next loop of pineapple", "each of next 3 dc of shell": the next ones, of the shape that is in hand.
    fn next_of_shape_in_hand(&mut self) -> Option<Target> {
        let start = self.at;
        let _ = self.eat("each") && self.eat("of") && self.eat("the");
        if self.eat_any(&["next", "foll", "following"]) {
            let by_length = self.space();
            let n = if by_length.is_some() { 1 } else { self.number().unwrap_or(1) };
            let class = by_length.or_else(|| self.class());
            let of = self.eat_any(&["of", "in", "on", "across"]);
            let _ = of && self.eat_any(&["the", "same", "this"]);
            if let (true, Some(class), Some(Class::Group(name))) = (of, class, self.shape())
                && (name == "pineapple" || matches!(class, Class::Kind(_) | Class::Stitch))
            {
                return Some(Target::Next { n, class });
            }
        }
        self.at = start;
        None
    }

    /// Behind "top of": "same dc", "last st", "each previous dc", "next sc": the stitch itself.
    fn top_of(&mut self) -> Option<Target> {
        let start = self.at;
        let _ = self.eat("the");
        let target = if self.eat("same") {
            self.class().map(|_| Target::Same)
        } else if self.eat("last") {
            self.class().map(|class| Target::Last { n: 1, class })
        } else if self.eat_any(&["each", "every"]) {
            let _ = self.eat_any(&["prev", "previous", "of"]);
            self.class().map(|class| Target::Each { class, less: 0, every: 1 })
        } else if self.eat_any(&["next", "foll", "following"]) {
            self.class().map(|class| Target::Next { n: 1, class })
        } else {
            None
        };
        if !matches!(&target, Some(Target::Same)) && target.as_ref().is_none_or(|t| !is_stitch(t)) {
            self.at = start;
            return None;
        }
        target
    }

    /// "2nd dc", "center ch-1 sp", "last 2 dc", "each st", "top", "ch-2 sp": what part.
    pub(super) fn part(&mut self) -> Option<(Pick, Class)> {
        if self.eat("top") {
            return Some((Pick::Only, Class::Any));
        }
        if self.eat_any(words::CENTRE) {
            let class = self.class().unwrap_or(Class::Any);
            return Some((Pick::Centre, class));
        }
        if self.eat_any(&["each", "every", "all"]) {
            let _ = self.eat("of") && self.eat("the");
            let n = self.number();
            let class = self.class()?;
            return Some((n.map_or(Pick::Each, Pick::First), class));
        }
        if self.eat_any(&["first", "next"]) || self.eat_kind(&Kind::Ordinal(1)) {
            let n = self.number();
            let class = self.class()?;
            return Some((n.map_or(Pick::Nth(1), Pick::First), class));
        }
        if self.eat("last") {
            let n = self.number();
            return Some((Pick::Last(n.unwrap_or(1)), self.class()?));
        }
        if let Some(n) = self.ordinal() {
            return Some((Pick::Nth(n), self.class()?));
        }
        Some((Pick::Only, self.class()?))
    }

    /// "next shell", "the same 3-dc group", "previous fan", "any corner shell": which one, and the shape.
    pub(super) fn which_shape(&mut self) -> Option<(Which, Class)> {
        let _ = self.eat_any(&["the", "a", "an"]);
        let which = if self.eat_any(&["next", "foll", "following"]) {
            Which::Next
        } else if self.eat_any(&["same", "that", "this"]) {
            Which::Same
        } else if self.eat("last") {
            Which::Last
        } else if self.eat_any(&["first", "1st"]) || self.eat_kind(&Kind::Ordinal(1)) {
            Which::First
        } else if self.eat_any(&["each", "every"]) {
            Which::Each
        } else {
            // "previous fan" is the one of the row below, the next to come to
            let prev = self.eat_any(&["prev", "previous", "any"]);
            // "previous row's block"
            let _ = prev && self.eat_any(&["row's", "rnd's", "round's"]);
            Which::Next
        };
        let shape = self.shape()?;
        Some((which, shape))
    }

    /// A shape by its name or make.
    pub(super) fn shape(&mut self) -> Option<Class> {
        let start = self.at;
        let corner = self.eat("corner");
        if let Some(k) = self.special() {
            let _ = self.eat_any(words::GROUP);
            let class = self.special_class(k);
            self.space_of_shape(&class);
            return Some(class);
        }
        if let Some(run) = self.run_of_stitches() {
            return Some(run);
        }
        if let Some(space) = self.space() {
            return Some(match space {
                Class::Space(n) if corner => Class::Corner(n),
                space => space,
            });
        }
        // "center ch of ch-3", "of next ch-5 arch"
        let chain = self.at;
        if self.eat_any(words::CHAIN)
            && self.eat_kind(&Kind::Dash)
            && let Some(n) = self.number().filter(|_| self.at_break())
        {
            return Some(Class::Space(Some(n)));
        }
        self.at = chain;
        if let Some(named) = self.shape_word() {
            return Some(named);
        }
        if self.eat_any(words::SPACE) {
            return Some(if corner { Class::Corner(None) } else { Class::Space(None) });
        }
        if let Some(Named::Form(form)) = self.stitch()
            && form.legs > 1
        {
            return Some(Class::Kind(form.to_string()));
        }
        self.at = start;
        corner.then(|| {
            self.at = start + 1;
            Class::Corner(None)
        })
    }

    /// What a special stitch is as a place: one stitch of its make, or a group.
    pub(super) fn special_class(&self, k: usize) -> Class {
        let special = &self.house.specials[k];
        match special.form {
            Some(form) => Class::Kind(form.to_string()),
            None => Class::Group(special.names[0].clone()),
        }
    }

    /// "3-dc group", "5 dc shell", "dc group", "group of 2 sc", "3-sc corner".
    pub(super) fn run_of_stitches(&mut self) -> Option<Class> {
        let shape = |w: &str| {
            let corner = matches!(w, "corner" | "corners");
            corner || words::GROUP.contains(&w) || words::SHAPES.iter().any(|s| words::is_or_plural(w, s))
        };
        if !self.comes_soon(shape) {
            return None;
        }
        let start = self.at;
        if self.eat_any(words::GROUP) {
            if !self.eat("of") {
                self.at = start;
                return None;
            }
            let n = self.number()?;
            let kind = match self.stitch() {
                Some(Named::Form(form)) => Some(form.to_string()),
                _ => {
                    if !self.eat_any(words::STITCH) {
                        self.at = start;
                        return None;
                    }
                    None
                }
            };
            return Some(Class::Run { n, kind });
        }
        let n = self.number().unwrap_or(0);
        let dashed = n > 0 && self.eat_kind(&Kind::Dash);
        if let Some(stem) = self.stem() {
            let _ = self.eat_kind(&Kind::Dash);
            // "3-sc corner": the stitches that turn it
            let corner = dashed && self.eat_any(&["corner", "corners"]);
            if corner || self.eat_any(words::GROUP) || n > 0 && self.eat_any(words::SHAPES) {
                return Some(Class::Run { n, kind: Some(stem.to_string()) });
            }
        }
        self.at = start;
        None
    }

    /// "shell", "group", "cluster" used as a place, whether the pattern defines it or not.
    pub(super) fn shape_word(&mut self) -> Option<Class> {
        if self.eat_all(&["v", "st"]) || self.eat_all(&["v", "stitch"]) || self.eat_all(&["v", "sts"]) {
            return Some(Class::Group("v-st".into()));
        }
        if self.word(0) == Some("v")
            && self.kind(1) == Some(&Kind::Dash)
            && self.word(2).is_some_and(|w| words::STITCH.contains(&w))
        {
            self.at += 3;
            return Some(Class::Group("v-st".into()));
        }
        if self.word(0) == Some("half") {
            // "to half shell": half of what the pattern names, or nobody
            let start = self.at;
            self.at += 1;
            let whole = self.special().map(|k| self.special_class(k)).or_else(|| self.shape_word());
            let Some(Class::Group(name)) = whole.filter(|_| self.word_at(self.at - 1) != Some("half")) else {
                self.at = start;
                return None;
            };
            return Some(Class::Group(format!("half {name}")));
        }
        let word = self.word(0)?;
        if matches!(word, "v" | "vs") && !matches!(self.kind(1), Some(Kind::Dash | Kind::Number(_))) {
            // "in ch-1 sp of next V"
            self.at += 1;
            return Some(Class::Group("v-st".into()));
        }
        if matches!(word, "picot" | "picots") {
            self.at += 1;
            return Some(Class::Picot);
        }
        let one =
            words::SHAPES.iter().chain(words::CLUSTERS).chain(words::GROUP).find(|s| words::is_or_plural(word, s))?;
        self.at += 1;
        let _ = self.eat_any(words::STITCH);
        // "ch-3 sp of block below"
        let _ = words::BLOCKS.contains(one) && self.eat_any(&["below", "beneath", "underneath"]);
        Some(Class::Group((*one).to_owned()))
    }

    /// "in indicated st", "in st or sp indicated", "in designated place": the place of a definition, told where it is used.
    pub(super) fn indicated(&mut self) -> Option<Target> {
        let start = self.at;
        let _ = self.eat("same");
        let before = self.eat_any(INDICATED);
        let class = self.class();
        let _ = self.eat_any(&["or", "and"]) && self.class().is_some();
        let place = class.is_some() || self.eat("place");
        let _ = self.eat_any(&["as", "where"]);
        if place && (before || self.eat_any(INDICATED)) {
            return Some(match class {
                Some(class @ (Class::Kind(_) | Class::Space(_))) => Target::Next { n: 1, class },
                _ => Target::Same,
            });
        }
        self.at = start;
        None
    }

    /// "to next corner sp", "up to next ch-3 sp", "to center sc of next 3-sc group": a place that ends what goes before.
    pub(super) fn up_to(&mut self) -> Option<Target> {
        let start = self.at;
        let _ = self.eat_any(&["across", "along", "around", "up", "only"]);
        let led = self.eat_any(&["to", "until", "till"]);
        let _ = led && self.eat_any(&["you", "reach"]);
        let _ = led && self.eat("the");
        if !led {
            self.at = start;
            return None;
        }
        let found = self.short_of_stop().or_else(|| self.stop_place());
        if found.is_none() {
            self.at = start;
        }
        found
    }

    /// "2 sts before next corner", "within 1 st of center st".
    fn short_of_stop(&mut self) -> Option<Target> {
        let start = self.at;
        let within = self.eat("within");
        let n = self.number();
        let counted = n.is_some() && matches!(self.class(), Some(Class::Stitch | Class::Kind(_)));
        let led = counted && (self.eat_any(&["before", "short"]) || within);
        let _ = led && self.eat("of");
        let _ = led && self.eat("the");
        let of = if led { self.stop_place() } else { None };
        match (n, of) {
            (Some(n), Some(of)) if n > 0 => Some(Target::Short { n, of: Box::new(of) }),
            _ => {
                self.at = start;
                None
            }
        }
    }

    /// A place that a stretch of work stops at.
    fn stop_place(&mut self) -> Option<Target> {
        self.as_far_as_marker().or_else(|| self.shaped()).or_else(|| {
            let leads = self.eat_any(&["next", "foll", "following", "first"])
                || self.word(1) == Some("corner") && self.eat_any(&["beg", "beginning", "starting"]);
            let leads = leads | self.at_corner();
            let centre = self.eat_any(words::CENTRE);
            let leads = leads | centre;
            if centre && self.eat_any(&["point", "peak"]) {
                let _ = self.eat_any(words::SPACE);
                return Some(Target::Next { n: 1, class: Class::Corner(None) });
            }
            // "to center 3 sts": as many lie on either side of the middle one
            let wide = if centre { self.number() } else { None };
            let mut class = self.shape().or_else(|| self.class())?;
            if class == Class::Corner(None) && matches!(self.clone().class(), Some(Class::Kind(_) | Class::Stitch)) {
                // "to next corner sc"
                let _ = self.class();
                class = Class::CornerStitch;
            }
            if class == Class::Corner(None) && self.clone().skips_into_corner() {
                // "to next corner, skip first corner sc": up to the first of those that turn it
                class = Class::Run { n: 0, kind: None };
            }
            if centre && matches!(class, Class::Stitch | Class::Kind(_)) {
                let centre = Target::Centre { class };
                return match wide.map_or(0, |n| n / 2) {
                    0 => Some(centre),
                    n => Some(Target::Short { n, of: Box::new(centre) }),
                };
            }
            let marks = !matches!(class, Class::Stitch | Class::Any | Class::Chain);
            // "to ch-2 sp": the one there is of that length
            let half = matches!(&class, Class::Group(name) if name.starts_with("half "));
            let leads = leads || half || matches!(class, Class::Space(Some(_)));
            // "to next group of 2 sc 2 rows below"
            if let (true, Class::Run { .. }, Some(rows)) = (leads, &class, self.rows_below()) {
                return Some(Target::Below { n: 1, class, rows });
            }
            (leads && marks).then_some(Target::Next { n: 1, class })
        })
    }

    /// "(dc or ch-1 sp)", "(hdc and ch)" behind "sts": what counts as a stitch there; true where spaces do.
    pub(super) fn stitch_or_space(&mut self) -> bool {
        let start = self.at;
        if matches!(self.kind(0), Some(Kind::Open(_))) {
            self.at += 1;
            let first = self.class();
            let joined = self.eat_any(&["or", "and"]);
            let second = self.class();
            let spaces = [&first, &second].iter().any(|c| matches!(c, Some(Class::Space(_))));
            if joined && spaces && first.is_some() && second.is_some() && matches!(self.kind(0), Some(Kind::Close(_))) {
                self.at += 1;
                return true;
            }
        }
        self.at = start;
        false
    }

    /// "sl st in next 5 sts across to tr": where so many places lead.
    pub(super) fn arrives_at(&mut self) {
        let start = self.at;
        let _ = self.eat_any(&["across", "along", "over"]);
        let told = self.eat("to") && {
            let _ = self.eat_any(&["the", "next"]);
            self.eat("center") | self.class().is_some()
        };
        if !(told && self.at_break()) {
            self.at = start;
        }
    }

    /// "and form last space", "to form last ch-5 lp", "forming last loop", "for last ch-3 sp", "and complete last shell".
    pub(super) fn forms_last_space(&mut self) -> bool {
        let start = self.at;
        loop {
            let here = self.at;
            let _ = self.eat_kind(&Kind::Comma);
            let _ = self.eat_any(&["and", "to"]);
            let formed =
                self.eat_any(&["form", "forming", "make", "making", "complete", "completing", "for", "counts"]);
            let _ = formed && self.eat_all(&["as"]);
            let _ = self.eat("the");
            if !(formed && self.eat_any(&["last", "final"]) && self.class().is_some()) {
                self.at = here;
                return self.at > start;
            }
        }
    }

    fn at_corner(&self) -> bool {
        self.word(0) == Some("corner")
    }
}

/// True for a word that tells one shape from the one in hand.
fn tells_which(word: &str) -> bool {
    matches!(word, "next" | "foll" | "following" | "prev" | "previous" | "any")
}

fn is_stitch(target: &Target) -> bool {
    match target {
        Target::Next { class, .. } | Target::Last { class, .. } | Target::Each { class, .. } => {
            matches!(class, Class::Stitch | Class::Kind(_))
        }
        _ => false,
    }
}
