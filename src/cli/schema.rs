//! `wedgebook schema`: what stands in the JSON document of a command.

use super::{Failure, Outcome, print};
use crate::show::schema;
use crate::words::did_you_mean;

/// What stands in the JSON document of a command?
///
/// For whoever writes programs that read the documents: prints the JSON Schema (draft 2020-12) of what the
/// command prints with --json, with the meaning and the unit of each key. Without a command, lists those
/// that have one.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  wedgebook schema\n  wedgebook schema adjust > adjust.schema.json\n  wedgebook schema bath status\n\nExit status: 0 done, 2 wrong usage."
)]
pub struct Args {
    /// The command, in one word or two, as bath status.
    #[arg(value_name = "COMMAND", num_args = 0..=2)]
    command: Vec<String>,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    if args.command.is_empty() {
        let names: Vec<String> = schema::names().map(|name| name.replace('-', " ")).collect();
        print(&format!("{}\n", names.join("\n")))?;
        return Ok(Outcome::Done);
    }
    let name = args.command.join("-");
    let Some(schema) = schema::of(&name) else {
        let typed = args.command.join(" ");
        let meant = match did_you_mean(&name, schema::names()) {
            Some(meant) => format!("did you mean {}?", meant.replace('-', " ")),
            None => "wedgebook schema lists those that have one".to_owned(),
        };
        return Err(Failure(format!(
            "{typed}: no command of this name has a JSON document; {meant}"
        )));
    };
    print(&schema)?;
    Ok(Outcome::Done)
}
