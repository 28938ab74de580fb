//! `fanwise measure`.

use super::files::{self, Fault, read_pattern, shown, to_stdout};
use super::settings::{Told, folder_of};
use super::{Command, FINE, ReadArgs, TROUBLE, batch, code_of, measured, print};
use clap::{Args, ValueEnum};
use fanwise::instructions::Terms;
use fanwise::measure::Measured;
use fanwise::reading::{GaugeTold, SwatchTold, gauge_told, swatch_told};
use fanwise::{MeasureOptions, Pattern, ReadOptions};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

#[derive(Args, Clone)]
#[command(
    after_help = "Examples:\n  fanwise measure pear.txt\n  fanwise measure pear.txt --format json\n  fanwise measure pear.txt --gauge \"16 sc and 18 rows = 10 cm\"\n  fanwise measure apple.txt --gauge \"rnds 1-3 = 5 cm across\"\n  fanwise measure pear.txt --swatch \"20x20 sc 9.4 m\" --metres-per-100g 210\n  fanwise measure patterns/\n\nThe curve is that of the words alone: it holds the stitches a flat piece needs against those worked. Sizes and yarn are estimates, each with the share it may be off by. The gauge is the one given here, else the pattern's own, else that of its yarn weight and hook by the published table."
)]
pub(super) struct MeasureArgs {
    /// Pattern files or folders; - for standard input
    #[arg(required = true)]
    files: Vec<PathBuf>,
    /// How the report is written
    #[arg(long, value_enum, default_value_t = Format::Human)]
    format: Format,
    /// A gauge that stands above the pattern's own: "16 sc and 18 rows = 10 cm", or "rnds 1-3 = 5 cm across"
    #[arg(long, value_name = "WORDS", value_parser = gauge)]
    gauge: Option<GaugeTold>,
    /// A swatch of yours, stitches by rows, and the yarn it took: "20x20 sc 9.4 m"
    #[arg(long, value_name = "WORDS", value_parser = swatch)]
    swatch: Option<SwatchTold>,
    /// Metres of 100 g, from the label, for grams: 210, or by yarn A=210,B=180
    #[arg(long, value_name = "M", value_delimiter = ',', value_parser = label)]
    metres_per_100g: Vec<(Option<String>, f64)>,
    #[command(flatten)]
    pub(super) read: ReadArgs,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// For a person
    Human,
    /// One JSON document
    Json,
}

pub(super) fn gauge(told: &str) -> Result<GaugeTold, String> {
    gauge_told(told, Terms::Us).ok_or_else(|| {
        "it is no gauge: write stitches, rows and what they measure, \"16 sc and 18 rows = 10 cm\", or what rounds measure, \
         \"rnds 1-3 = 5 cm across\""
            .into()
    })
}

pub(super) fn swatch(told: &str) -> Result<SwatchTold, String> {
    swatch_told(told, Terms::Us).ok_or_else(|| {
        "it is no swatch: write stitches by rows, the stitch in US terms, and the yarn they took, \"20x20 sc 9.4 m\"".into()
    })
}

fn label(told: &str) -> Result<(Option<String>, f64), String> {
    let (letter, metres) = match told.split_once('=') {
        Some((letter, metres)) => (Some(letter.trim().to_owned()), metres),
        None => (None, told),
    };
    let metres = metres.trim().parse().ok().filter(|m| (5.0..=5000.0).contains(m));
    metres.map(|m| (letter, m)).ok_or_else(|| "metres of 100 g go from 5 to 5000: 210, or by yarn A=210".to_owned())
}

impl MeasureArgs {
    fn options(&self) -> MeasureOptions {
        let options = MeasureOptions::default().with_gauge(self.gauge.clone()).with_swatch(self.swatch);
        options.with_labels(self.metres_per_100g.clone())
    }
}

pub(super) fn run(args: &MeasureArgs, told: &Told) -> u8 {
    let mut worst = FINE;
    let mut desks: BTreeMap<PathBuf, Option<MeasureArgs>> = BTreeMap::new();
    let mut jobs: Vec<(PathBuf, ReadOptions, MeasureOptions)> = Vec::new();
    for file in files::pattern_files(&args.files) {
        let settled = file.and_then(|file| {
            let of = beside(&mut desks, told, &file)?;
            Ok((file, of.read.one_size()?, of.options()))
        });
        match settled {
            Ok(job) => jobs.push(job),
            Err(fault) => worst = worst.max(if fault.message.is_empty() { TROUBLE } else { fault.say() }),
        }
    }
    let done = batch::each(&jobs, |(file, read, options)| {
        let pattern = read_pattern(file, read)?;
        // nothing is measured of what could not be worked
        let measured = (code_of(&pattern, false) == FINE).then(|| pattern.measure(options));
        Ok::<_, Fault>((pattern, measured))
    });
    let mut all: Vec<(String, Pattern, Measured)> = Vec::new();
    for ((file, ..), result) in jobs.iter().zip(done) {
        match result {
            Ok((pattern, Some(measured))) => all.push((shown(file), pattern, measured)),
            Ok((pattern, None)) => {
                worst = worst.max(code_of(&pattern, false));
                if args.format == Format::Human {
                    print::problems(&shown(file), &pattern);
                }
                eprintln!(
                    "{}: nothing is measured of a pattern with errors; \"fanwise check\" tells them",
                    shown(file)
                );
            }
            Err(fault) => worst = worst.max(fault.say()),
        }
    }
    match args.format {
        Format::Json => to_stdout(&fanwise::face::measure_document(&all)),
        Format::Human => to_stdout(&measured::report(&all)),
    }
    worst
}

/// The command as the settings of a file's folder have it. A fault in them is told once; after that its message is empty.
fn beside(desks: &mut BTreeMap<PathBuf, Option<MeasureArgs>>, told: &Told, file: &Path) -> Result<MeasureArgs, Fault> {
    let folder = folder_of(file);
    if let Some(known) = desks.get(&folder) {
        return known.clone().ok_or_else(|| Fault::usage(String::new()));
    }
    let settled = told.command_beside(file);
    let args = match &settled {
        Ok(Command::Measure(args)) => Some(args.clone()),
        _ => None,
    };
    desks.insert(folder, args.clone());
    settled?;
    args.ok_or_else(|| Fault::usage(String::new()))
}
