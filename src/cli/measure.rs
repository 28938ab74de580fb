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
    after_help = "Examples:\n  fanwise measure pear.txt\n  fanwise measure pear.txt --format json\n  fanwise measure pear.txt --gauge \"16 sc and 18 rows = 10 cm\"\n  fanwise measure apple.txt --gauge \"rnds 1-3 = 5 cm across\"\n  fanwise measure pear.txt --swatch \"20x20 sc 9.4 m\" --metres-per-100g 210\n  fanwise measure acorn-cup.txt --picture acorn-cup.svg\n  fanwise measure patterns/\n\nThe curve is that of the words alone: it holds the stitches a flat piece needs against those worked. Sizes and yarn are estimates, each with the share it may be off by. The gauge is the one given here, else the pattern's own, else that of its yarn weight and hook by the published table."
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
    /// Write a picture of the piece from the side, as SVG; of one pattern
    #[arg(long, value_name = "OUT.svg")]
    picture: Option<PathBuf>,
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
        options.with_labels(self.metres_per_100g.clone()).with_picture(self.picture.is_some())
    }
}

pub(super) fn run(args: &MeasureArgs, told: &Told) -> u8 {
    let mut worst = FINE;
    let found = files::pattern_files(&args.files);
    if let Some(fault) = args.picture.as_ref().and_then(|out| unfit(out, found.len())) {
        return Fault::usage(fault).say();
    }
    let mut desks: BTreeMap<PathBuf, Option<MeasureArgs>> = BTreeMap::new();
    let mut jobs: Vec<(PathBuf, ReadOptions, MeasureOptions)> = Vec::new();
    for file in found {
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
    if let (Some(out), Some((_, pattern, measured))) = (&args.picture, all.first()) {
        worst = worst.max(picture(out, pattern, measured));
    }
    match args.format {
        Format::Json => to_stdout(&fanwise::face::measure_document(&all)),
        Format::Human => to_stdout(&measured::report(&all)),
    }
    worst
}

/// Why a picture cannot be written so.
fn unfit(out: &Path, files: usize) -> Option<String> {
    if !out.extension().is_some_and(|e| e.eq_ignore_ascii_case("svg")) {
        return Some(format!("--picture {} does not end in .svg: the picture is an SVG", shown(out)));
    }
    (files > 1).then(|| format!("--picture is of one pattern, and there are {files}; name one file"))
}

/// Writes the picture from the side; gives the exit code.
fn picture(out: &Path, pattern: &Pattern, measured: &Measured) -> u8 {
    let Some(view) = &measured.side else {
        eprintln!("error[limit]: the piece is too large to be relaxed in space, so there is no picture of it");
        return TROUBLE;
    };
    let svg = fanwise::export::side::write(view, &pattern.tree().title, &measured::shape(measured));
    files::write_whole(out, svg.as_bytes()).err().map_or(FINE, |fault| fault.say())
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
