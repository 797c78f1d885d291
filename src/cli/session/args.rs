//! What `wedgebook session` takes.

use crate::bath::journal::GREATEST;
use crate::cli::bath::date;
use crate::cli::options::LockArgs;
use jiff::civil::Date;
use std::path::PathBuf;

/// What is mixed and done in this session, and when?
///
/// Reads a plan and gives the sheet: which films go in together, the volumes, the time of each step,
/// and the entries for the bath's journal afterwards. The plan is a TOML file; --example writes one to
/// begin with. Films of a class night that differ in pairing, aim or developer stand in one plan: the
/// sheet says which of them can share a tank.
#[derive(Debug, clap::Args)]
#[command(
    arg_required_else_help = true,
    after_help = "Examples (the pairing is made by `calibrate`):\n  wedgebook session --example > session.toml\n  wedgebook session session.toml --page session.svg\n  wedgebook session data/class-night.toml --date 2026-11-17\n\nExit status: 0 done, 1 the answer is no (not reachable, the bath is not to be used, or bath or fixer is spent), 2 wrong usage or unusable input."
)]
pub struct Args {
    /// The plan.
    #[arg(value_name = "PLAN.toml", required_unless_present = "example")]
    pub plan: Option<PathBuf>,
    /// Write a plan with every key explained, and nothing else.
    #[arg(long, conflicts_with_all = ["plan", "page", "enter", "again", "number", "temperatures", "date",
        "extrapolate", "anyway", "json", "wait"])]
    pub example: bool,
    /// Write a page with boxes to tick, A4, as SVG or PNG by the file's extension.
    #[arg(long, value_name = "FILE.svg|.png")]
    pub page: Option<PathBuf>,
    #[command(flatten)]
    pub lock: LockArgs,
    /// After the session: enter its film and replenishment in the bath's journal.
    #[arg(long, conflicts_with = "page")]
    pub enter: bool,
    /// Enter it although it, or the same on the same day, is entered already.
    #[arg(long, requires = "enter")]
    pub again: bool,
    /// Number of the first film [default: the one after the greatest in the journal].
    #[arg(long, value_name = "N", value_parser = number)]
    pub number: Option<u32>,
    /// Temperatures that were read during a batch, to be entered with it: a file as `drift` reads it.
    /// Several are those of the batches in their order.
    #[arg(long, value_name = "TEMPERATURES.csv", requires = "enter")]
    pub temperatures: Vec<PathBuf>,
    /// Day of the session [default: today].
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = date)]
    pub date: Option<Date>,
    /// Calculate also far outside what was calibrated.
    #[arg(long)]
    pub extrapolate: bool,
    /// Calculate also for a bath that is not to be used.
    #[arg(long)]
    pub anyway: bool,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
}

/// The number of a film.
pub fn number(text: &str) -> Result<u32, String> {
    let number = text.trim().parse::<u32>().ok().filter(|n| (1..=GREATEST).contains(n));
    number.ok_or_else(|| format!("the number of a film is a whole number from 1 to {GREATEST}"))
}
