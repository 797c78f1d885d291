//! `wedgebook fix`: from a clearing test to the fixing time.

use crate::answers::{Fixing, FixingQuestion};
use crate::bath::count::{Rolls, Sheets};
use crate::bath::film::Films;
use crate::cli::{Failure, Outcome, show};
use crate::session::fixing::ClearingTest;
use crate::units::{ClearingSeconds, FixingFactor, Millilitres};

/// How long is film fixed, and is the fixer spent?
///
/// Put a piece of undeveloped film into the fixer, in room light. Measure the time until the film is
/// clear: this is the clearing time.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  wedgebook fix --clearing-s 55 --fresh-s 40\n  wedgebook fix --clearing-s 1:10 --rolls 6 --rolls 120=3 --in-hand-ml 1000\n\nExit status: 0 done, 1 the fixer is spent, 2 wrong usage or unusable input."
)]
pub struct Args {
    /// Clearing time today, in seconds or as 0:55.
    #[arg(long, value_name = "S", allow_hyphen_values = true)]
    pub clearing_s: ClearingSeconds,
    /// Clearing time of the same film in the fresh fixer.
    #[arg(long, value_name = "S", allow_hyphen_values = true)]
    pub fresh_s: Option<ClearingSeconds>,
    /// Fixing time over clearing time [default: 2, for conventional emulsions].
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    pub factor: Option<FixingFactor>,
    /// Rolls to be fixed: N of 135-36, or FORMAT=N for 135-36, 135-24, 120 or 220; may be repeated.
    #[arg(long, value_name = "N|FORMAT=N", allow_hyphen_values = true)]
    pub rolls: Vec<Rolls>,
    /// Sheets to be fixed, as 4x5in=6; may be repeated.
    #[arg(long, value_name = "WxHin=N", allow_hyphen_values = true)]
    pub sheets: Vec<Sheets>,
    /// Fresh fixer for a 135-36, in ml; others by their area [default: 20, common practice, no source].
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    pub ml_per_roll: Option<Millilitres>,
    /// Fresh fixer that there is, in ml.
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    pub in_hand_ml: Option<Millilitres>,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let fixing = Fixing::of(FixingQuestion {
        test: ClearingTest {
            seconds: args.clearing_s.get(),
            fresh_seconds: args.fresh_s.map(ClearingSeconds::get),
        },
        factor: args.factor.map(FixingFactor::get),
        films: Films::of_counts(&args.rolls, &args.sheets),
        ml_per_roll: args.ml_per_roll.map(Millilitres::get),
        in_hand_ml: args.in_hand_ml.map(Millilitres::get),
    });
    show(&fixing, args.json)
}
