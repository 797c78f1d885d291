//! What a person types: the commands.

use crate::words::did_you_mean;
use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{CommandFactory, Error, Parser, Subcommand};

/// Sensitometry for people who develop black-and-white film by hand.
///
/// Each command answers one question. `wedgebook COMMAND --help` shows its options, with examples.
#[derive(Debug, Parser)]
#[command(name = "wedgebook", version, arg_required_else_help = true)]
pub struct Args {
    #[command(subcommand)]
    pub command: Command,
    /// Leave out notes and hints on standard error. The answer, with its notes and cautions, and errors stay.
    #[arg(short, long, global = true)]
    pub quiet: bool,
    /// Answer a page: its JSON document has the answer as a piece of a page too, under `html`; refusals name
    /// the page's buttons and fields, and nothing is asked or said beside.
    #[arg(long, global = true, hide = true)]
    pub with_html: bool,
    /// Draw charts for a narrow screen: less wide, with letters as large as ever.
    #[arg(long, global = true, hide = true)]
    pub narrow: bool,
}

impl Args {
    /// What was typed. Where it is wrong, the program ends here.
    pub fn read() -> Self {
        Self::try_parse().unwrap_or_else(|mut error| {
            name_the_nearest(&mut error);
            error.exit()
        })
    }
}

/// Adds the command that was meant, where the error names none yet.
fn name_the_nearest(error: &mut Error) {
    let Some(ContextValue::String(found)) = error.get(ContextKind::InvalidSubcommand) else {
        return;
    };
    if error.kind() != ErrorKind::InvalidSubcommand
        || error.get(ContextKind::SuggestedSubcommand).is_some()
    {
        return;
    }
    // The command within which it was looked for.
    let mut within = Args::command();
    for word in std::env::args().skip(1).take_while(|word| word != found) {
        if let Some(below) = within.find_subcommand(&word) {
            within = below.clone();
        }
    }
    let names = within.get_subcommands().map(clap::Command::get_name);
    if let Some(meant) = did_you_mean(found, names) {
        let meant = ContextValue::Strings(vec![meant.to_owned()]);
        error.insert(ContextKind::SuggestedSubcommand, meant);
    }
}

#[derive(Debug, Subcommand)]
pub enum Command {
    Start(super::start::Args),
    List(super::list::Args),
    Type(super::typing::Args),
    #[cfg(feature = "pictures")]
    Read(super::read::Args),
    #[cfg(not(feature = "pictures"))]
    Read(super::no_pictures::Args),
    Curve(super::curve::Args),
    Exposure(super::exposure::Args),
    Calibrate(super::calibrate::Args),
    Adjust(super::adjust::Args),
    Compare(super::compare::Args),
    Convert(super::convert::Args),
    Drift(super::drift::Args),
    Bench(super::bench::Args),
    Verify(super::verify::Args),
    Leader(super::leader::Args),
    Bath(super::bath::Args),
    Evenness(super::evenness::Args),
    Paper(super::paper::Args),
    Proof(super::proof::Args),
    Tone(super::tone::Args),
    Report(super::report::Args),
    Session(super::session::Args),
    Trace(super::trace::Args),
    Fix(super::fix::Args),
    Wash(super::wash::Args),
    #[cfg(feature = "cli")]
    Schema(super::schema::Args),
    #[cfg(feature = "cli")]
    Completions(super::completions::Args),
    #[cfg(feature = "cli")]
    Man(super::man::Args),
}
