//! The `wedgebook` command: parse, run, map the outcome to an exit status.

use std::process::ExitCode;

fn main() -> ExitCode {
    wedgebook::cli::run()
}
