//! What a person types for a bath.

use super::super::args::{AimArgs, TargetArgs, typed};
use super::super::verify::ControlArgs;
use crate::bath::film::Format;
use crate::bath::journal::{Column, iso_date};
use crate::bath::watched::Watched;
use crate::units::{Activity, FilmsPerWeek, Minutes, ReplenisherStrength, Temperature};
use clap::{Args as Group, Subcommand, ValueEnum};
use jiff::civil::Date;
use std::path::PathBuf;

/// Keep the journal of a bath, one CSV file that opens in any spreadsheet: what went in, what went
/// through, and how the bath stands.
#[derive(Debug, Group)]
#[command(
    arg_required_else_help = true,
    after_help = "Example:\n  wedgebook bath mix bath.csv --litres 1.5\n\nClose the journal in the spreadsheet before entries are made.\n\nExit status: 0 done, 2 wrong usage or unusable input."
)]
pub struct Args {
    #[command(subcommand)]
    pub act: Act,
}

#[derive(Debug, Subcommand)]
pub enum Act {
    Mix(MixArgs),
    Film(FilmArgs),
    Replenish(ReplenishArgs),
    Strip(StripArgs),
    Note(NoteArgs),
    Discard(DiscardArgs),
    Status(StatusArgs),
    Chart(ChartArgs),
    Forecast(ForecastArgs),
}

/// Where and when.
#[derive(Debug, Group)]
pub struct Place {
    /// The journal of the bath.
    #[arg(value_name = "JOURNAL.csv")]
    pub journal: PathBuf,
    /// Day of the entry [default: today].
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = date)]
    pub date: Option<Date>,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
}

/// Enter a fresh bath.
///
/// It begins the journal if there is none; in a journal that is there it ends the bath before.
#[derive(Debug, Group)]
#[command(
    after_help = "Example:\n  wedgebook bath mix bath.csv --litres 1.5 --what \"Quillback 1+6\" --dilution 1+6\n\nExit status: 0 done, 2 wrong usage or unusable input."
)]
pub struct MixArgs {
    #[command(flatten)]
    pub place: Place,
    /// Volume of the bath in litres.
    #[arg(long, value_name = "N", allow_hyphen_values = true, value_parser = litres)]
    pub litres: f64,
    /// The developer.
    #[arg(long, value_name = "NAME")]
    pub what: Option<String>,
    /// Its dilution, as 1+6.
    #[arg(long, value_name = "A+B")]
    pub dilution: Option<String>,
    /// A remark.
    #[arg(long, value_name = "TEXT")]
    pub note: Option<String>,
}

/// Enter film that was developed.
///
/// Rolls and sheets are entered with their area from nominal dimensions.
#[derive(Debug, Group)]
#[command(
    after_help = "Examples:\n  wedgebook bath film bath.csv --rolls 3\n  wedgebook bath film bath.csv --rolls 120=2 --sheets 4x5in=6\n  wedgebook bath film bath.csv --area 0.25\n\nExit status: 0 done, 2 wrong usage or unusable input."
)]
#[group(id = "developed", required = true, multiple = true, args = ["rolls", "sheets", "area"])]
pub struct FilmArgs {
    #[command(flatten)]
    pub place: Place,
    /// Rolls: N of 135-36, or FORMAT=N for 135-36, 135-24, 120 or 220; may be repeated.
    #[arg(long, value_name = "N|FORMAT=N", allow_hyphen_values = true, value_parser = rolls)]
    pub rolls: Vec<(u32, Format)>,
    /// Sheets, as 4x5in=6, 9x12cm=6 or 90x120mm=6; may be repeated.
    #[arg(long, value_name = "WxHin=N", allow_hyphen_values = true, value_parser = sheets)]
    pub sheets: Vec<(u32, Format)>,
    /// Area in m² instead.
    #[arg(long, value_name = "M2", allow_hyphen_values = true, value_parser = area, conflicts_with_all = ["rolls", "sheets"])]
    pub area: Option<f64>,
    /// A remark.
    #[arg(long, value_name = "TEXT")]
    pub note: Option<String>,
}

/// Enter replenisher that was added.
///
/// As much as was added counts as taken out before, so that the bath keeps its level. --removed-ml
/// says otherwise; with 0 the bath rises by what was added.
#[derive(Debug, Group)]
#[command(
    after_help = "Example:\n  wedgebook bath replenish bath.csv --added-ml 125\n\nExit status: 0 done, 2 wrong usage or unusable input."
)]
pub struct ReplenishArgs {
    #[command(flatten)]
    pub place: Place,
    /// What was added, in ml.
    #[arg(long, value_name = "N", allow_hyphen_values = true, value_parser = added)]
    pub added_ml: f64,
    /// What was taken out before, in ml [default: as much as was added].
    #[arg(long, value_name = "N", allow_hyphen_values = true, value_parser = removed)]
    pub removed_ml: Option<f64>,
    /// A remark.
    #[arg(long, value_name = "TEXT")]
    pub note: Option<String>,
}

/// Verify the bath from a control strip, and enter what it says.
///
/// The day is that of the strip's own column `date`, or today. Several strips are entered in their
/// order.
#[derive(Debug, Group)]
#[command(
    after_help = "Example:\n  wedgebook bath strip bath.csv pairing.toml data/control.csv --log-exposure-clear 0\n\nExit status: 0 in spec, 1 out of spec, 2 wrong usage or unusable input."
)]
pub struct StripArgs {
    #[command(flatten)]
    pub place: Place,
    #[command(flatten)]
    pub control: ControlArgs,
    /// The batch of film that the strip was cut from.
    #[arg(long, value_name = "NAME")]
    pub batch: Option<String>,
    /// A remark.
    #[arg(long, value_name = "TEXT")]
    pub note: Option<String>,
}

/// Enter a remark.
#[derive(Debug, Group)]
#[command(
    after_help = "Example:\n  wedgebook bath note bath.csv turned yellow, stood open overnight\n\nExit status: 0 done, 2 wrong usage or unusable input."
)]
pub struct NoteArgs {
    #[command(flatten)]
    pub place: Place,
    /// The remark.
    #[arg(required = true, value_name = "TEXT")]
    pub text: Vec<String>,
}

/// Enter that the bath was thrown away.
///
/// Only a mix or a note may follow.
#[derive(Debug, Group)]
#[command(
    after_help = "Example:\n  wedgebook bath discard bath.csv --note \"went brown\"\n\nExit status: 0 done, 2 wrong usage or unusable input."
)]
pub struct DiscardArgs {
    #[command(flatten)]
    pub place: Place,
    /// A remark.
    #[arg(long, value_name = "TEXT")]
    pub note: Option<String>,
}

/// A journal that is looked at.
#[derive(Debug, Group)]
pub struct View {
    /// The journal of the bath.
    #[arg(value_name = "JOURNAL.csv")]
    pub journal: PathBuf,
    /// Look at it as it was on this day [default: today].
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = date)]
    pub date: Option<Date>,
    /// The pairing [default: that of the last strip, where it is found].
    #[arg(long, value_name = "PAIRING.toml")]
    pub pairing: Option<PathBuf>,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
}

/// Tell how the bath stands: its activity now, what went through it, whether it is in control, and
/// how long to develop in it today.
#[derive(Debug, Group)]
#[command(
    after_help = "Example:\n  wedgebook bath status data/bath.csv --celsius 20.5\n\nExit status: 0 in control, 1 not in control or no bath, 2 wrong usage or unusable input."
)]
pub struct StatusArgs {
    #[command(flatten)]
    pub view: View,
    /// Temperature of the bath, as 20 or 68F [default: that of the pairing].
    #[arg(long, value_name = "T")]
    pub celsius: Option<Temperature>,
    /// Take temperatures without a unit as °F.
    #[arg(long)]
    pub fahrenheit: bool,
    #[command(flatten)]
    pub target: TargetArgs,
    #[command(flatten)]
    pub aims: AimArgs,
}

/// Draw the control charts of the bath: activity, contrast, base plus fog, speed, and the densities of
/// fixed steps.
#[derive(Debug, Group)]
#[command(
    after_help = "Example:\n  wedgebook bath chart data/bath.csv --plot chart.svg\n\nExit status: 0 done, 2 wrong usage or unusable input."
)]
pub struct ChartArgs {
    #[command(flatten)]
    pub view: View,
    /// Only these quantities.
    #[arg(long, value_enum, value_delimiter = ',')]
    pub only: Vec<Quantity>,
    /// Where centre and control limits come from.
    #[arg(long, value_enum, default_value_t = BasisArg::FirstStrips)]
    pub basis: BasisArg,
    /// Draw the charts; the extension says SVG or PNG.
    #[arg(long, value_name = "FILE.svg|.png")]
    pub plot: Option<PathBuf>,
    /// Draw the lines of the text with plain characters.
    #[arg(long)]
    pub ascii: bool,
}

/// What can be charted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Quantity {
    Activity,
    Contrast,
    BasePlusFog,
    Speed,
    LowDensity,
    HighDensity,
    DensityDifference,
}

impl From<Quantity> for Watched {
    fn from(quantity: Quantity) -> Self {
        match quantity {
            Quantity::Activity => Self::Activity,
            Quantity::Contrast => Self::Contrast,
            Quantity::BasePlusFog => Self::BasePlusFog,
            Quantity::Speed => Self::Speed,
            Quantity::LowDensity => Self::LowDensity,
            Quantity::HighDensity => Self::HighDensity,
            Quantity::DensityDifference => Self::DensityDifference,
        }
    }
}

/// Where control limits come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum BasisArg {
    /// The first 20 strips, or all there are below that: provisional.
    FirstStrips,
    /// The tolerances alone.
    Tolerances,
}

/// Foresee the end of the bath: films left, days left, and the replenishment that would hold it.
#[derive(Debug, Group)]
#[command(
    after_help = "Example:\n  wedgebook bath forecast data/bath.csv --lowest 0.7\n\nExit status: 0 done, 1 the bath is at its limit, 2 wrong usage or unusable input."
)]
pub struct ForecastArgs {
    #[command(flatten)]
    pub view: View,
    /// Lowest usable activity [default: 0.8, where development takes a quarter longer (assumed)].
    #[arg(long, value_name = "A", value_parser = typed::<Activity>, conflicts_with = "longest")]
    pub lowest: Option<f64>,
    /// Longest time that you will develop for, as 12 or 12:30; the lowest activity follows from it,
    /// the pairing and its aim at the pairing's temperature.
    #[arg(long, value_name = "MIN", value_parser = typed::<Minutes>)]
    pub longest: Option<f64>,
    /// Format of a film: 135-36, 135-24, 120, 220, or a sheet as 4x5in.
    #[arg(long, value_name = "FORMAT", default_value = "135-36")]
    pub film: Format,
    /// Films a week [default: as in the journal].
    #[arg(long, value_name = "N", value_parser = typed::<FilmsPerWeek>)]
    pub per_week: Option<f64>,
    /// Activity that replenishment is to hold [default: the present one].
    #[arg(long, value_name = "A", value_parser = typed::<Activity>)]
    pub hold: Option<f64>,
    /// Strength of the replenisher, 1 being a fresh bath's [default: 1 (assumed)].
    #[arg(long, value_name = "S", value_parser = typed::<ReplenisherStrength>)]
    pub replenisher: Option<f64>,
    #[command(flatten)]
    pub target: TargetArgs,
    #[command(flatten)]
    pub aims: AimArgs,
}

/// A date as typed.
pub fn date(text: &str) -> Result<Date, String> {
    iso_date(text).ok_or_else(|| "write year-month-day, as 2026-03-04".to_owned())
}

fn of_column(column: Column, text: &str) -> Result<f64, String> {
    column.typed(text).map_err(|wrong| wrong.to_string())
}

fn litres(text: &str) -> Result<f64, String> {
    of_column(Column::Litres, text)
}

fn added(text: &str) -> Result<f64, String> {
    of_column(Column::AddedMl, text)
}

fn removed(text: &str) -> Result<f64, String> {
    of_column(Column::RemovedMl, text)
}

fn area(text: &str) -> Result<f64, String> {
    of_column(Column::AreaM2, text)
}

/// Most films that one entry may have.
const MOST: u32 = 10_000;

fn count(text: &str) -> Result<u32, String> {
    match text.trim().parse() {
        Ok(count @ 1..=MOST) => Ok(count),
        _ => {
            Err(format!("{text:?} is not a number of films: write a whole number from 1 to {MOST}"))
        }
    }
}

/// Rolls as typed: how many of 135-36, or FORMAT=N.
pub fn rolls(text: &str) -> Result<(u32, Format), String> {
    let Some((format, number)) = text.split_once('=') else {
        if let Ok(format) = text.parse::<Format>() {
            return Err(format!("write how many of them, as {format}=2"));
        }
        return Ok((count(text)?, Format::Roll135x36));
    };
    match format.parse::<Format>() {
        Ok(format) if format.is_sheet() => Err("that is a sheet; give it with --sheets".to_owned()),
        Ok(format) => Ok((count(number)?, format)),
        Err(error) => Err(error.to_string()),
    }
}

/// Sheets as typed: FORMAT=N.
pub fn sheets(text: &str) -> Result<(u32, Format), String> {
    let Some((format, number)) = text.split_once('=') else {
        return Err("write their size and how many, as 4x5in=6".to_owned());
    };
    match format.parse::<Format>() {
        Ok(format) if !format.is_sheet() => Err("that is a roll; give it with --rolls".to_owned()),
        Ok(format) => Ok((count(number)?, format)),
        Err(error) => Err(error.to_string()),
    }
}
