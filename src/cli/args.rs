//! What a person types: the commands.

use clap::{Parser, Subcommand};

/// Sensitometry for people who develop black-and-white film by hand.
///
/// Each command answers one question. `wedgebook COMMAND --help` shows its options, with examples.
#[derive(Debug, Parser)]
#[command(name = "wedgebook", version, arg_required_else_help = true)]
pub struct Args {
    #[command(subcommand)]
    pub command: Command,
    /// Add the answer as a piece of a page to its JSON document, under `html`.
    #[arg(long, global = true, hide = true)]
    pub piece: bool,
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
}
