//! `wedgebook fix`: from a clearing test to the fixing time.

use crate::answers::{Fixing, FixingQuestion};
use crate::bath::film::{Films, Format};
use crate::cli::args::typed;
use crate::cli::bath::{rolls, sheets};
use crate::cli::{Failure, Outcome, show};
use crate::session::fixing::ClearingTest;
use crate::units::{ClearingSeconds, FixingFactor, Millilitres};

/// Find the fixing time from a clearing test, and whether the fixer is spent.
///
/// Put a piece of undeveloped film into the fixer, in room light. Measure the time until the film is
/// clear: this is the clearing time.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  wedgebook fix --clearing-s 55 --fresh-s 40\n  wedgebook fix --clearing-s 1:10 --rolls 6 --rolls 120=3 --in-hand-ml 1000\n\nExit status: 0 done, 1 the fixer is spent, 2 wrong usage or unusable input."
)]
pub struct Args {
    /// Clearing time today, in seconds or as 0:55.
    #[arg(long, value_name = "S", allow_hyphen_values = true, value_parser = typed::<ClearingSeconds>)]
    pub clearing_s: f64,
    /// Clearing time of the same film in the fresh fixer.
    #[arg(long, value_name = "S", allow_hyphen_values = true, value_parser = typed::<ClearingSeconds>)]
    pub fresh_s: Option<f64>,
    /// Fixing time over clearing time [default: 2, for conventional emulsions].
    #[arg(long, value_name = "N", allow_hyphen_values = true, value_parser = typed::<FixingFactor>)]
    pub factor: Option<f64>,
    /// Rolls to be fixed: N of 135-36, or FORMAT=N for 135-36, 135-24, 120 or 220; may be repeated.
    #[arg(long, value_name = "N|FORMAT=N", allow_hyphen_values = true, value_parser = rolls)]
    pub rolls: Vec<(u32, Format)>,
    /// Sheets to be fixed, as 4x5in=6; may be repeated.
    #[arg(long, value_name = "WxHin=N", allow_hyphen_values = true, value_parser = sheets)]
    pub sheets: Vec<(u32, Format)>,
    /// Fresh fixer for a 135-36, in ml; others by their area [default: 20, common practice, no source].
    #[arg(long, value_name = "N", allow_hyphen_values = true, value_parser = typed::<Millilitres>)]
    pub ml_per_roll: Option<f64>,
    /// Fresh fixer that there is, in ml.
    #[arg(long, value_name = "N", allow_hyphen_values = true, value_parser = typed::<Millilitres>)]
    pub in_hand_ml: Option<f64>,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let fixing = Fixing::of(FixingQuestion {
        test: ClearingTest { seconds: args.clearing_s, fresh_seconds: args.fresh_s },
        factor: args.factor,
        films: Films(args.rolls.iter().chain(&args.sheets).copied().collect()),
        ml_per_roll: args.ml_per_roll,
        in_hand_ml: args.in_hand_ml,
    });
    show(&fixing, args.json)
}
