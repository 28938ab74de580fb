//! `fanwise dump`.

use super::files::{read_pattern, to_stdout};
use super::look::ViewArg;
use super::{ReadArgs, TROUBLE, code_of};
use clap::{Args, ValueEnum};
use fanwise::export::json;
use fanwise::source::SourceText;
use fanwise::{ChartOptions, Pattern};
use std::path::PathBuf;

#[derive(Args)]
#[command(
    after_help = "Examples:\n  fanwise dump pear.txt --as fabric > pear.json\n  fanwise dump pear.txt --as tree\n  fanwise dump - --as layout < pear.txt"
)]
pub(super) struct DumpArgs {
    /// Pattern file; - for standard input
    pub(super) file: PathBuf,
    /// Which model
    #[arg(long = "as", value_enum)]
    model: Model,
    /// With --as layout: the energy too, term by term
    #[arg(long)]
    energy: bool,
    /// With --as layout: what the positions tell
    #[arg(long, value_enum, default_value_t = ViewArg::Chart)]
    view: ViewArg,
    #[command(flatten)]
    pub(super) read: ReadArgs,
}

#[derive(Clone, Copy, ValueEnum)]
enum Model {
    /// The instruction tree; for people, and may change
    Tree,
    /// The fabric
    Fabric,
    /// The fabric with every position, and the quality figures
    Layout,
}

pub(super) fn run(args: &DumpArgs) -> u8 {
    if args.energy && !matches!(args.model, Model::Layout) {
        eprintln!("error: only a layout has an energy: --energy goes with --as layout");
        return TROUBLE;
    }
    let read = match args.read.one_size() {
        Ok(options) => options,
        Err(fault) => return fault.say(),
    };
    let pattern = match read_pattern(&args.file, &read) {
        Ok(pattern) => pattern,
        Err(fault) => return fault.say(),
    };
    let code = code_of(&pattern, false);
    match args.model {
        Model::Tree => to_stdout(&json::document(pattern.tree())),
        Model::Fabric => to_stdout(&fabric(&pattern)),
        Model::Layout => {
            let options = ChartOptions::default().with_draft(true).with_view(args.view.view());
            match pattern.chart(&options.with_energy(args.energy)) {
                Ok(chart) => to_stdout(&chart.layout_json()),
                Err(error) => {
                    eprintln!("error: {error}");
                    return code.max(super::PATTERN_ERRORS);
                }
            }
        }
    }
    code
}

fn fabric(pattern: &Pattern) -> String {
    let source = SourceText::new(pattern.text());
    json::fabric_document(pattern.fabric(), pattern.is_sound(), pattern.problems(), &source)
}
