//! Many charts at once, at one scale, into a folder.

use super::super::draw::no_chart;
use super::super::files::{Fault, pattern_files, shown, write_whole};
use super::super::settings::Told;
use super::super::{Command, FINE, TROUBLE, batch, folder};
use super::paper::Format;
use super::{DrawArgs, opened, remark_on};
use fanwise::{Chart, ChartOptions, Error, Pattern};
use std::path::{Path, PathBuf};

/// One pattern that is to be drawn.
struct Job {
    file: PathBuf,
    name: String,
    args: DrawArgs,
    options: ChartOptions,
    pattern: Pattern,
}

/// Draws every pattern in every format asked for. What fails is told, and the rest is drawn; the exit code is the
/// highest.
pub(super) fn run(args: &DrawArgs, told: &Told, into: &Path) -> u8 {
    let mut worst = FINE;
    let mut jobs: Vec<Job> = Vec::new();
    for found in pattern_files(&args.files) {
        let job = found.and_then(|file| job(file, told, &jobs));
        match job {
            Ok((job, code)) => {
                worst = worst.max(code);
                jobs.extend(job);
            }
            Err(fault) => worst = worst.max(fault.say()),
        }
    }
    if jobs.is_empty() {
        return worst;
    }
    if let Err(fault) = folder::make(into) {
        return fault.say();
    }
    let formats: Vec<Format> = args.formats.iter().map(|f| f.format()).collect();
    // what is printed may have another scale than what is seen on a screen
    for printed in [false, true] {
        let wanted: Vec<Format> = formats.iter().copied().filter(|f| (*f == Format::Pdf) == printed).collect();
        if wanted.is_empty() {
            continue;
        }
        let charts = at_one_scale(&jobs, wanted[0], args.own_scale);
        for (job, chart) in jobs.iter().zip(charts) {
            let code = match chart {
                Ok(chart) => write(job, &chart, &wanted, into),
                Err(error) => {
                    eprintln!("{}:", shown(&job.file));
                    no_chart(&error, FINE)
                }
            };
            worst = worst.max(code);
        }
    }
    worst
}

/// Reads a pattern with the settings beside it. None where it has errors, which are then told.
fn job(file: PathBuf, told: &Told, others: &[Job]) -> Result<(Option<Job>, u8), Fault> {
    // OK: the same words give the same command
    let Command::Draw(args) = told.command_beside(&file)? else { return Ok((None, TROUBLE)) };
    let name = match file.file_stem() {
        Some(stem) if file != Path::new("-") => stem.to_string_lossy().into_owned(),
        _ => "chart".to_owned(),
    };
    if let Some(other) = others.iter().find(|j| j.name.eq_ignore_ascii_case(&name)) {
        return Err(Fault::usage(format!(
            "{} and {} would both be drawn into a file called {name}; draw one of them by itself with -o",
            shown(&other.file),
            shown(&file)
        )));
    }
    let mut options = args.paper.told(args.look.options()?)?.with_draft(args.draft);
    options.style = args.show.apply(options.style);
    match opened(&file, &args.read, args.draft) {
        Ok((pattern, code)) => Ok((Some(Job { file, name, args, options, pattern }), code)),
        Err(code) => Ok((None, code)),
    }
}

/// The charts, all at the scale of the one that has to be smallest, unless each is to have its own.
fn at_one_scale(jobs: &[Job], format: Format, own: bool) -> Vec<Result<Chart, Error>> {
    let options = |job: &Job| job.args.paper.on(format, job.options.clone());
    let mut charts = batch::each(jobs, |job| job.pattern.chart(&options(job)));
    let scales = charts.iter().flatten().map(|c| c.scene().mm_per_sc);
    let least = scales.fold(f64::INFINITY, f64::min);
    if own || !least.is_finite() {
        return charts;
    }
    let larger: Vec<usize> =
        (0..jobs.len()).filter(|&k| charts[k].as_ref().is_ok_and(|c| c.scene().mm_per_sc > least + 1e-9)).collect();
    let again = batch::each(&larger, |&k| {
        let mut options = options(&jobs[k]).with_width_mm(None);
        options.style.mm_per_sc = least;
        jobs[k].pattern.chart(&options)
    });
    larger.into_iter().zip(again).for_each(|(k, chart)| charts[k] = chart);
    charts
}

fn write(job: &Job, chart: &Chart, formats: &[Format], into: &Path) -> u8 {
    let mut worst = FINE;
    for &format in formats {
        let path = into.join(format!("{}.{}", job.name, format.ending()));
        let paper = &job.args.paper;
        let written = paper.written(chart.drawing(), format).and_then(|bytes| write_whole(&path, &bytes));
        match written {
            Ok(()) => {
                paper.remarks(chart.drawing(), format, &path).iter().for_each(|r| eprintln!("note: {r}"));
                remark_on(chart, &path);
            }
            Err(fault) => worst = worst.max(fault.say()),
        }
    }
    worst
}
