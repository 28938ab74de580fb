//! How a chart looks: options of every command that draws.

use super::files::{Fault, read_bytes, shown};
use super::{style_file, symbols};
use clap::{Args, ValueEnum};
use fanwise::chart::{Face, Font, Ink, InkBy, ScForm, Style, TextAs};
use fanwise::layout::View;
use fanwise::symbol::Speak;
use fanwise::{ChartOptions, Hand};
use std::path::PathBuf;

#[derive(Args, Clone)]
pub(super) struct LookArgs {
    /// Form of single crochet; default: plus, in Japanese cross
    #[arg(long, value_enum)]
    sc: Option<ScArg>,
    /// What the inks tell
    #[arg(long, value_enum, default_value_t = InkArg::Row)]
    ink: InkArg,
    /// The hand that works; a left hand's chart is mirrored, its words and symbols are not
    #[arg(long, value_enum, default_value_t = HandArg::Right)]
    hand: HandArg,
    /// Loops and posts of wrong-side rows: as seen from the right side, or as worked
    #[arg(long, value_enum, default_value_t = FaceArg::Right)]
    face: FaceArg,
    /// Words of a .svg as text in a font, or as outlines
    #[arg(long, value_enum, default_value_t = TextArg::Font)]
    text: TextArg,
    /// For readers who see little: words of 18 points, an sc of 6 mm at least, heavier lines
    #[arg(long, num_args = 0..=1, require_equals = true, default_missing_value = "true")]
    #[arg(action = clap::ArgAction::Set, value_name = "true|false", hide_possible_values = true)]
    large: Option<bool>,
    /// Style file: inks, weight of lines, sizes of words, what stands round the chart
    #[arg(long, value_name = "FILE")]
    style: Option<PathBuf>,
    /// Folder of symbols of your own, each an .svg named as the one it stands for
    #[arg(long, value_name = "DIR")]
    symbols: Option<PathBuf>,
    /// Prefix of the ids in a .svg, where one chart stands twice in a page
    #[arg(long, value_name = "NAME", value_parser = prefix)]
    prefix: Option<String>,
    /// English terms of the legend; default: as read
    #[arg(long, value_enum)]
    speak: Option<SpeakArg>,
    /// Language of legend and furniture: en-US, en-GB, de, fr, es-ES, es-MX, es-AR, nl, it, pt-PT, pt-BR, da, ja
    #[arg(long, value_name = "CODE", value_parser = language)]
    lang: Option<Speak>,
    /// Font of the words (.ttf, .otf, .ttc), for letters that the font carried along lacks
    #[arg(long, value_name = "FILE")]
    font: Option<PathBuf>,
    /// What the positions tell
    #[arg(long, value_enum, default_value_t = ViewArg::Chart)]
    view: ViewArg,
    /// Turn the piece by so many degrees, clockwise
    #[arg(long, value_name = "DEG", allow_negative_numbers = true, value_parser = degrees)]
    up: Option<f64>,
    /// Inks by the letters of yarns, from the settings
    #[arg(skip)]
    pub(super) yarns: Vec<(String, Ink)>,
}

#[derive(Clone, Copy, ValueEnum)]
enum ScArg {
    /// Upright
    Plus,
    /// Diagonal
    Cross,
}

#[derive(Clone, Copy, ValueEnum)]
enum InkArg {
    /// Rows alternate
    Row,
    /// Each yarn its own
    Yarn,
    /// One solid black: rows part by weight and pale bands, letters tell yarns
    One,
}

#[derive(Clone, Copy, ValueEnum)]
enum HandArg {
    /// The right hand
    Right,
    /// The left hand
    Left,
}

#[derive(Clone, Copy, ValueEnum)]
enum FaceArg {
    /// As the right side looks
    Right,
    /// As the hook goes
    Worked,
}

#[derive(Clone, Copy, ValueEnum)]
enum TextArg {
    /// Outlines: the same everywhere, and not to be searched
    Outlines,
    /// Text, in the reader's font where ours is not there
    Font,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum ViewArg {
    /// How the stitches join, as evenly as a chart can
    Chart,
    /// The proportions of the piece, by its gauge
    True,
}

impl ViewArg {
    /// The view of that name.
    pub(super) fn view(self) -> View {
        match self {
            ViewArg::Chart => View::Chart,
            ViewArg::True => View::True,
        }
    }
}

#[derive(Clone, Copy, ValueEnum)]
enum SpeakArg {
    /// US terms
    Us,
    /// UK terms
    Uk,
    /// Both, side by side
    Both,
}

fn prefix(told: &str) -> Result<String, String> {
    let fine = |c: char| c.is_ascii_alphanumeric() || c == '-';
    if told.starts_with(|c: char| c.is_ascii_alphabetic()) && told.chars().all(fine) {
        return Ok(told.to_owned());
    }
    Err("it begins with a letter and goes on with letters, digits and hyphens, A to Z".to_owned())
}

pub(super) fn language(told: &str) -> Result<Speak, String> {
    Speak::of_code(told).ok_or_else(|| format!("it is one of {}", Speak::codes().join(", ")))
}

fn degrees(told: &str) -> Result<f64, String> {
    told.parse().ok().filter(|up: &f64| up.is_finite()).ok_or_else(|| "it is no angle".to_owned())
}

impl LookArgs {
    /// The one dialect told; none where both or neither are.
    pub(super) fn terms(&self) -> Option<fanwise::instructions::Terms> {
        match (self.speak, self.lang) {
            (Some(SpeakArg::Us), _) | (None, Some(Speak::Us)) => Some(fanwise::instructions::Terms::Us),
            (Some(SpeakArg::Uk), _) | (None, Some(Speak::Uk)) => Some(fanwise::instructions::Terms::Uk),
            _ => None,
        }
    }

    /// The options of a chart.
    pub(super) fn options(&self) -> Result<ChartOptions, Fault> {
        let hand = match self.hand {
            HandArg::Right => Hand::Right,
            HandArg::Left => Hand::Left,
        };
        let symbols = self.symbols.as_deref().map(symbols::of_folder).transpose()?;
        let options =
            ChartOptions::default().with_style(self.style()?).with_view(self.view.view()).with_up_deg(self.up);
        Ok(options.with_hand(hand).with_symbols(symbols).with_prefix(self.prefix.clone()))
    }

    /// The language told, or the dialect; a language other than English has terms of its own.
    fn speaks(&self) -> Option<Speak> {
        let dialect = self.speak.map(|speak| match speak {
            SpeakArg::Us => Speak::Us,
            SpeakArg::Uk => Speak::Uk,
            SpeakArg::Both => Speak::Both,
        });
        match self.lang {
            Some(Speak::In(language)) => Some(Speak::In(language)),
            english => dialect.or(english),
        }
    }

    fn style(&self) -> Result<Style, Fault> {
        let speaks = self.speaks();
        let told = self.style.as_deref().map(style_file::read).transpose()?.unwrap_or_default();
        let sc = match self.sc {
            Some(ScArg::Plus) => ScForm::Plus,
            Some(ScArg::Cross) => ScForm::Cross,
            None => match (told.sc, speaks) {
                (Some(sc), _) => sc,
                (None, Some(Speak::In(language))) if language.draws_sc_as_cross() => ScForm::Cross,
                _ => ScForm::Plus,
            },
        };
        let ink = match self.ink {
            InkArg::Row => InkBy::Row,
            InkArg::Yarn => InkBy::Yarn,
            InkArg::One => InkBy::One,
        };
        let face = match self.face {
            FaceArg::Right => Face::Right,
            FaceArg::Worked => Face::Worked,
        };
        let text = match self.text {
            TextArg::Outlines => TextAs::Outlines,
            TextArg::Font => TextAs::Font,
        };
        let mut style = told.style.with_sc(sc).with_ink(ink).with_face(face).with_text(text);
        style = style.with_yarn_inks(self.yarns.clone());
        if self.large.or(told.large).unwrap_or(false) {
            style = style.for_low_vision();
        }
        if let Some(speaks) = speaks {
            style = style.with_speak(speaks);
        }
        if let Some(path) = &self.font {
            let font = Font::read(read_bytes(path)?).map_err(|e| Fault::usage(format!("{}: {e}", shown(path))))?;
            style = style.with_font(font);
        }
        Ok(style)
    }
}

pub(super) fn number(told: &str, least: f64, most: f64, of: &str) -> Result<f64, String> {
    let number: f64 = told.parse().map_err(|_| "it is no number".to_owned())?;
    if !(least..=most).contains(&number) {
        return Err(format!("{told} is out of range: {least} to {most}{of}"));
    }
    Ok(number)
}

pub(super) fn dots(told: &str) -> Result<f64, String> {
    number(told, 10.0, 2400.0, "")
}

pub(super) fn width_mm(told: &str) -> Result<f64, String> {
    number(told, 10.0, 5000.0, " mm")
}
