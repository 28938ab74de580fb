//! How a chart looks and what it tells: the options of it.

use clap::{Args, ValueEnum};
use fanwise::ChartOptions;
use fanwise::chart::{Ink, InkBy, ScForm, Style};
use fanwise::layout::View;
use fanwise::symbol::Speak;

#[derive(Args, Clone)]
#[command(next_help_heading = "How it looks")]
pub(super) struct LookArgs {
    /// Form of single crochet
    #[arg(long, value_enum, default_value_t = ScArg::Plus)]
    sc: ScArg,
    /// What the inks tell
    #[arg(long, value_enum, default_value_t = InkArg::Row)]
    ink: InkArg,
    /// Terms of the legend; default: as read
    #[arg(long, value_enum)]
    speak: Option<SpeakArg>,
    /// What the positions tell
    #[arg(long, value_enum, default_value_t = ViewArg::Chart)]
    view: ViewArg,
    /// Turn the piece by so many degrees, clockwise
    #[arg(long, value_name = "DEG", allow_negative_numbers = true, value_parser = degrees)]
    up: Option<f64>,
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
}

#[derive(Clone, Copy, ValueEnum)]
enum ViewArg {
    /// How the stitches join, as evenly as a chart can
    Chart,
    /// The proportions of the piece, by its gauge
    True,
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

fn degrees(told: &str) -> Result<f64, String> {
    told.parse().ok().filter(|up: &f64| up.is_finite()).ok_or_else(|| "it is no angle".to_owned())
}

impl LookArgs {
    /// The options of a chart; `yarns` are the inks of yarns that the settings tell.
    pub fn options(&self, yarns: &[(String, Ink)]) -> ChartOptions {
        let view = match self.view {
            ViewArg::Chart => View::Chart,
            ViewArg::True => View::True,
        };
        ChartOptions::default().with_style(self.style(yarns)).with_view(view).with_up_deg(self.up)
    }

    fn style(&self, yarns: &[(String, Ink)]) -> Style {
        let sc = match self.sc {
            ScArg::Plus => ScForm::Plus,
            ScArg::Cross => ScForm::Cross,
        };
        let ink = match self.ink {
            InkArg::Row => InkBy::Row,
            InkArg::Yarn => InkBy::Yarn,
        };
        let style = Style::default().with_sc(sc).with_ink(ink).with_yarn_inks(yarns.to_vec());
        match self.speak {
            Some(SpeakArg::Us) => style.with_speak(Speak::Us),
            Some(SpeakArg::Uk) => style.with_speak(Speak::Uk),
            Some(SpeakArg::Both) => style.with_speak(Speak::Both),
            None => style,
        }
    }
}
