//! `fanwise completions`: what a shell needs to complete commands and options.

use super::files::to_stdout;
use super::{Cli, FINE};
use clap::{Args, CommandFactory};
use clap_complete::Shell;

#[derive(Args)]
#[command(
    after_help = "Examples:\n  fanwise completions bash > ~/.local/share/bash-completion/completions/fanwise\n  fanwise completions zsh > ~/.zfunc/_fanwise\n  fanwise completions fish > ~/.config/fish/completions/fanwise.fish"
)]
pub(super) struct CompletionsArgs {
    /// The shell
    #[arg(value_enum)]
    shell: Shell,
}

pub(super) fn run(args: &CompletionsArgs) -> u8 {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut Cli::command(), "fanwise", &mut script);
    to_stdout(&String::from_utf8_lossy(&script));
    FINE
}
