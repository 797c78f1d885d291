//! `wedgebook read` in a build that reads no pictures, as the page of a browser is one.

use super::{Failure, Outcome};

/// Not in this build: densities from a picture.
///
/// This build reads no pictures. The program for the command line does.
#[derive(Debug, clap::Args)]
#[command(hide = true, disable_help_flag = true)]
pub struct Args {
    /// Whatever was typed.
    #[arg(value_name = "ARGUMENT", trailing_var_arg = true, allow_hyphen_values = true)]
    rest: Vec<String>,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let picture = args.rest.first().map_or(String::new(), |name| format!("{name}: "));
    Err(Failure(format!(
        "{picture}this build reads no pictures; read it by the program for the command line"
    )))
}
