//! `wedgebook completions`: a script by which a shell completes commands and options.

use super::{Failure, Outcome, args, print};
use clap::CommandFactory;
use clap_complete::{Shell, generate};

/// How does my shell complete commands and options?
///
/// Prints a script for the shell. Save it where the shell looks for completions, or read it in at its start.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  wedgebook completions bash > wedgebook.bash\n  wedgebook completions zsh > _wedgebook\n  wedgebook completions fish > wedgebook.fish\n\nIn bash, `source wedgebook.bash` reads it in; the line may stand in ~/.bashrc. In zsh, _wedgebook belongs\nin a folder of $fpath, in fish wedgebook.fish in ~/.config/fish/completions.\n\nExit status: 0 done, 2 wrong usage."
)]
pub struct Args {
    /// The shell.
    #[arg(value_enum, value_name = "SHELL")]
    shell: Shell,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let mut script = Vec::new();
    generate(args.shell, &mut args::Args::command(), "wedgebook", &mut script);
    print(&String::from_utf8_lossy(&script))?;
    Ok(Outcome::Done)
}
