//! What `wedgebook verify` takes.

use crate::cli::aims::MeasureArg;
use crate::cli::here;
use crate::cli::options::{FormerOptions, ReadingArgs};
use crate::units::{Minutes, Temperature};
use clap::ValueEnum;
use std::path::PathBuf;

/// Does the bath still develop to spec, and can time restore it?
///
/// Compares a control strip with the pairing: the activity of the bath, what lies off its aim, and
/// whether another time restores it or the bath is to be replenished or replaced.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example (the pairing is made by `calibrate`):\n  wedgebook verify pairing.toml data/control.csv --log-exposure-clear 0\n\nExit status: 0 in spec, 1 out of spec, 2 wrong usage or unusable input."
)]
pub struct Args {
    #[command(flatten)]
    pub control: ControlArgs,
    /// The journal of the bath, for --limits history.
    #[arg(long, value_name = "JOURNAL", value_parser = here::journal_named)]
    pub bath: Option<PathBuf>,
    /// Draw the (last) strip over its aim, with the differences below, as SVG or PNG by the file's extension.
    #[arg(long, value_name = "FILE.svg|.png")]
    pub plot: Option<PathBuf>,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
}

/// A control strip and what it is compared with.
#[derive(Debug, clap::Args)]
pub struct ControlArgs {
    /// The pairing, or how its name begins.
    #[arg(value_name = "PAIRING", value_parser = here::pairing_named)]
    pub pairing: PathBuf,
    /// Readings of the control strip: CSV, ISO 28178 text, .xlsx or .ods. Of several strips, in the
    /// order of time, the last shows the bath as it is now.
    #[arg(required = true)]
    pub readings: Vec<PathBuf>,
    /// How long the strip was developed, as 9 or 9:30 [default: the readings' own column].
    #[arg(long, value_name = "MIN")]
    pub minutes: Option<Minutes>,
    /// Temperature of the bath, as 21.5 or 70F [default: the readings' own column].
    #[arg(short, long, value_name = "T", value_parser = here::temperature)]
    pub temperature: Option<Temperature>,
    #[command(flatten)]
    pub former: FormerOptions,
    /// Measure of contrast [default: the pairing's].
    #[arg(long, value_enum)]
    pub measure: Option<MeasureArg>,
    /// Limits for the strip.
    #[arg(long, value_enum, default_value_t = LimitsArg::Pairing)]
    pub limits: LimitsArg,
    #[command(flatten)]
    pub reading: ReadingArgs,
    /// Compare also strips and baths of another film or developer than the pairing's.
    #[arg(long)]
    pub anyway: bool,
}

impl ControlArgs {
    /// The files that are read.
    pub fn files(&self) -> impl Iterator<Item = &PathBuf> {
        std::iter::once(&self.pairing).chain(&self.readings)
    }
}

/// Where limits come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum LimitsArg {
    /// The pairing's own, or those that are assumed where it has none.
    Pairing,
    /// Three standard deviations of the bath's own first strips, from its journal.
    History,
    /// 21 CFR 900.12(e)(1): made for the processors of mammography films, not for pictorial film.
    Radiography,
}
