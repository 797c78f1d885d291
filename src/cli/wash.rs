//! `wedgebook wash`: how long to wash, or how much fixer is left.

use crate::answers::{Wash, WashQuestion, WashedBy};
use crate::cli::{Failure, Outcome, show};
use crate::units::{FixerShare, Millilitres, WashMinutes};

/// How long is film washed, or how much fixer is left in it?
///
/// In running water, or after changes of water.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  wedgebook wash\n  wedgebook wash --minutes 5\n  wedgebook wash --retained-ml 60 --total-ml 600\n\nExit status: 0 done, 2 wrong usage or unusable input."
)]
pub struct Args {
    /// Share of the fixer that may be left [default: 0.001].
    #[arg(long, value_name = "F", allow_hyphen_values = true)]
    pub residual: Option<FixerShare>,
    /// Minutes of running water in which half of the fixer leaves [default: 1].
    #[arg(long, value_name = "MIN", allow_hyphen_values = true, conflicts_with_all = ["retained_ml", "total_ml"])]
    pub half_time_min: Option<WashMinutes>,
    /// Calculate how much is left after so many minutes of running water.
    #[arg(long, value_name = "MIN", allow_hyphen_values = true, conflicts_with_all = ["retained_ml", "total_ml", "residual"])]
    pub minutes: Option<WashMinutes>,
    /// Changes of water: what stays behind when the water is poured out, in ml.
    #[arg(long, value_name = "N", allow_hyphen_values = true, requires = "total_ml")]
    pub retained_ml: Option<Millilitres>,
    /// Changes of water: the water in the filled vessel, in ml.
    #[arg(long, value_name = "N", allow_hyphen_values = true, requires = "retained_ml")]
    pub total_ml: Option<Millilitres>,
    /// Calculate how much is left after so many changes.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(0..=1000), requires = "retained_ml", conflicts_with = "residual")]
    pub changes: Option<u32>,
    /// Minutes that each change stands [default: 3].
    #[arg(long, value_name = "MIN", allow_hyphen_values = true, requires = "retained_ml")]
    pub minutes_each: Option<WashMinutes>,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let by = match args.retained_ml.zip(args.total_ml) {
        Some((retained_ml, total_ml)) => WashedBy::Changes {
            retained_ml: retained_ml.get(),
            total_ml: total_ml.get(),
            changes: args.changes,
            minutes_each: args.minutes_each.map(WashMinutes::get),
        },
        None => WashedBy::Running {
            half_time: args.half_time_min.map(WashMinutes::get),
            minutes: args.minutes.map(WashMinutes::get),
        },
    };
    let wash = Wash::of(WashQuestion { by, residual: args.residual.map(FixerShare::get) })
        .map_err(|why| Failure(format!("--retained-ml: {why}")))?;
    show(&wash, args.json)
}
