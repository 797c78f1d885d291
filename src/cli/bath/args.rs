//! What a person types for a bath.

use super::super::aims::{AimArgs, TargetArgs};
use super::super::leader::TestArgs;
use super::super::options::{LockArgs, TemperatureArgs};
use super::super::verify::ControlArgs;
use crate::bath::count::{Rolls, Sheets};
use crate::bath::film::Format;
use crate::bath::watched::Watched;
use crate::units::day::{NotADay, day};
use crate::units::{
    Activity, AddedMillilitres, FilmArea, FilmsPerWeek, Litres, Minutes, RemovedMillilitres,
    ReplenisherStrength,
};
use clap::{Args as Group, Subcommand, ValueEnum};
use jiff::civil::Date;
use std::path::PathBuf;

/// What went into the bath, how does it stand, and how long will it last?
///
/// Keeps the journal of a bath: one CSV file that opens in any spreadsheet. Close it in the spreadsheet
/// before entries are made.
#[derive(Debug, Group)]
#[command(
    arg_required_else_help = true,
    after_help = "Examples:\n  wedgebook bath mix bath.csv --litres 1.5 --date 2026-11-02\n  wedgebook bath status data/bath.csv --date 2026-11-17\n\nExit status: 0 done, 1 the answer is no, 2 wrong usage or unusable input."
)]
pub struct Args {
    #[command(subcommand)]
    pub act: Act,
    #[command(flatten)]
    pub lock: LockArgs,
}

#[derive(Debug, Subcommand)]
pub enum Act {
    Mix(MixArgs),
    Film(FilmArgs),
    Replenish(ReplenishArgs),
    Strip(StripArgs),
    Leader(LeaderArgs),
    Note(NoteArgs),
    Discard(DiscardArgs),
    Status(StatusArgs),
    Chart(ChartArgs),
    Forecast(ForecastArgs),
    Log(LogArgs),
    Undo(UndoArgs),
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
    /// The day is before entries that are there: put it in its place by date.
    #[arg(long)]
    pub late: bool,
    /// The same is entered already for that day: enter it once more.
    #[arg(long)]
    pub again: bool,
    /// Enter it although an amount is unlikely, such as 1500 litres or 40 °C.
    #[arg(long)]
    pub sure: bool,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
}

/// How is a fresh bath entered?
///
/// Begins the journal if there is none. In a journal that is there it ends the bath before.
#[derive(Debug, Group)]
#[command(
    after_help = "Example:\n  wedgebook bath mix bath.csv --litres 1.5 --what \"Quillback 1+6\" --dilution 1+6 --date 2026-11-02\n\nExit status: 0 done, 2 wrong usage or unusable input."
)]
pub struct MixArgs {
    #[command(flatten)]
    pub place: Place,
    /// Volume of the bath in litres.
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    pub litres: Litres,
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

/// How is film entered that was developed?
///
/// Rolls and sheets are entered with their area from nominal dimensions.
#[derive(Debug, Group)]
#[command(
    after_help = "Examples:\n  wedgebook bath film bath.csv --rolls 3 --date 2026-11-09\n  wedgebook bath film bath.csv --rolls 120=2 --sheets 4x5in=6 --date 2026-11-09\n  wedgebook bath film bath.csv --area-m2 0.25 --date 2026-11-09\n\nExit status: 0 done, 2 wrong usage or unusable input."
)]
#[group(id = "developed", required = true, multiple = true, args = ["rolls", "sheets", "area_m2"])]
pub struct FilmArgs {
    #[command(flatten)]
    pub place: Place,
    /// Rolls: N of 135-36, or FORMAT=N for 135-36, 135-24, 120 or 220; may be repeated.
    #[arg(long, value_name = "N|FORMAT=N", allow_hyphen_values = true)]
    pub rolls: Vec<Rolls>,
    /// Sheets, as 4x5in=6, 9x12cm=6 or 90x120mm=6; may be repeated.
    #[arg(long, value_name = "WxHin=N", allow_hyphen_values = true)]
    pub sheets: Vec<Sheets>,
    /// Area in m² instead.
    #[arg(long, value_name = "M2", allow_hyphen_values = true, conflicts_with_all = ["rolls", "sheets"])]
    pub area_m2: Option<FilmArea>,
    /// A remark.
    #[arg(long, value_name = "TEXT")]
    pub note: Option<String>,
}

/// How is replenisher entered that was added?
///
/// As much as was added counts as taken out before, so that the level of the bath stays. Use
/// --removed-ml where it does not; with 0 the bath rises by what was added.
#[derive(Debug, Group)]
#[command(
    after_help = "Example:\n  wedgebook bath replenish bath.csv --added-ml 125 --date 2026-11-09\n\nExit status: 0 done, 2 wrong usage or unusable input."
)]
pub struct ReplenishArgs {
    #[command(flatten)]
    pub place: Place,
    /// What was added, in ml.
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    pub added_ml: AddedMillilitres,
    /// What was taken out before, in ml [default: as much as was added].
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    pub removed_ml: Option<RemovedMillilitres>,
    /// A remark.
    #[arg(long, value_name = "TEXT")]
    pub note: Option<String>,
}

/// What does a control strip show of the bath, and how is it entered?
///
/// The day is that of the readings' column `date`, or today. Several strips are entered in their order.
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

/// What activity does a piece of leader show, and how is it entered?
///
/// It is evidence of the activity only, less sure than a control strip. It says nothing of fog and speed.
#[derive(Debug, Group)]
#[command(
    after_help = "Example:\n  wedgebook bath leader bath.csv data/leader.csv --density 1.18 --minutes 7 -t 20.5 --piece L9\n\nExit status: 0 done, 1 the piece does not show the activity, 2 wrong usage or unusable input."
)]
pub struct LeaderArgs {
    #[command(flatten)]
    pub place: Place,
    #[command(flatten)]
    pub test: TestArgs,
    /// What the piece is called.
    #[arg(long, value_name = "NAME")]
    pub piece: Option<String>,
    /// A remark.
    #[arg(long, value_name = "TEXT")]
    pub note: Option<String>,
    /// Enter it also where the family is of another developer than the bath.
    #[arg(long)]
    pub anyway: bool,
}

/// How is a remark entered?
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

/// How is it entered that the bath was thrown away?
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

/// A journal that is read.
#[derive(Debug, Group)]
pub struct View {
    /// The journal of the bath.
    #[arg(value_name = "JOURNAL.csv")]
    pub journal: PathBuf,
    /// Day for which the journal is read [default: today].
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = date)]
    pub date: Option<Date>,
    /// The pairing [default: that of the last strip, where it is found].
    #[arg(long, value_name = "PAIRING.toml")]
    pub pairing: Option<PathBuf>,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
}

impl View {
    /// The files that are read.
    pub fn files(&self) -> impl Iterator<Item = &PathBuf> {
        std::iter::once(&self.journal).chain(&self.pairing)
    }
}

/// How does the bath stand today?
///
/// Gives its activity, what went through it, whether it is in control, and how long film is developed
/// in it.
#[derive(Debug, Group)]
#[command(
    after_help = "Example:\n  wedgebook bath status data/bath.csv --date 2026-11-17 --temperature 20.5\n\nExit status: 0 in control, 1 not in control, not to be used or no bath, 2 wrong usage or unusable input."
)]
pub struct StatusArgs {
    #[command(flatten)]
    pub view: View,
    /// Calculate also for a bath that is not to be used.
    #[arg(long)]
    pub anyway: bool,
    #[command(flatten)]
    pub temperature: TemperatureArgs,
    #[command(flatten)]
    pub target: TargetArgs,
    #[command(flatten)]
    pub aims: AimArgs,
}

/// Is the bath in control?
///
/// Draws the control charts of the bath: activity, contrast, base plus fog, speed, and the densities of
/// fixed steps.
#[derive(Debug, Group)]
#[command(
    after_help = "Example:\n  wedgebook bath chart data/bath.csv --date 2026-11-17 --plot chart.svg\n\nExit status: 0 done, 1 the bath is not to be used, 2 wrong usage or unusable input."
)]
pub struct ChartArgs {
    #[command(flatten)]
    pub view: View,
    /// Only these quantities.
    #[arg(long, value_enum, value_delimiter = ',')]
    pub only: Vec<Quantity>,
    /// What the charts stand about.
    #[arg(long = "about", value_enum, default_value_t = BasisArg::Aim)]
    pub basis: BasisArg,
    /// Draw the charts, as SVG or PNG by the file's extension.
    #[arg(long, value_name = "FILE.svg|.png")]
    pub plot: Option<PathBuf>,
    /// Draw the lines of the text with plain characters.
    #[arg(long)]
    pub ascii: bool,
    /// Leave out the small drawings of the text.
    #[arg(long, conflicts_with = "ascii")]
    pub no_drawing: bool,
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

/// What the charts stand about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum BasisArg {
    /// The aim: the bath as calibrated.
    Aim,
    /// The bath's own history: the average of its first 20 strips, or all there are below that.
    History,
    /// The aim, with the tolerances alone and no control limits.
    Tolerances,
}

/// How long will the bath last?
///
/// Gives the films and the days that are left, and the replenishment that keeps the bath as it is.
#[derive(Debug, Group)]
#[command(
    after_help = "Example:\n  wedgebook bath forecast data/bath.csv --date 2026-11-17 --lowest-activity 0.7\n\nExit status: 0 done, 1 the bath is at its limit or not to be used, 2 wrong usage or unusable input."
)]
pub struct ForecastArgs {
    #[command(flatten)]
    pub view: View,
    /// Calculate also for a bath that is not to be used.
    #[arg(long)]
    pub anyway: bool,
    /// Lowest usable activity [default: 0.8, where development takes a quarter longer (assumed)].
    #[arg(long, value_name = "A", conflicts_with = "longest_min")]
    pub lowest_activity: Option<Activity>,
    /// Longest time that film is developed for, as 12 or 12:30. The lowest activity follows from it, the
    /// pairing and its aim, at the pairing's temperature.
    #[arg(long, value_name = "MIN")]
    pub longest_min: Option<Minutes>,
    /// Format of a film: 135-36, 135-24, 120, 220, or a sheet as 4x5in.
    #[arg(long, value_name = "FORMAT", default_value = "135-36")]
    pub format: Format,
    /// Films a week [default: as in the journal].
    #[arg(long, value_name = "N")]
    pub films_per_week: Option<FilmsPerWeek>,
    /// Activity that replenishment keeps [default: the present one].
    #[arg(long, value_name = "A")]
    pub hold_activity: Option<Activity>,
    /// Strength of the replenisher, 1 being a fresh bath's [default: 1 (assumed)].
    #[arg(long, value_name = "S")]
    pub replenisher_strength: Option<ReplenisherStrength>,
    #[command(flatten)]
    pub target: TargetArgs,
    #[command(flatten)]
    pub aims: AimArgs,
}

/// What was entered?
///
/// Lists the last 20 entries of the journal, with their lines.
#[derive(Debug, Group)]
#[command(
    after_help = "Examples:\n  wedgebook bath log data/bath.csv\n  wedgebook bath log data/bath.csv --all\n\nExit status: 0 done, 2 wrong usage or unusable input."
)]
pub struct LogArgs {
    /// The journal of the bath.
    #[arg(value_name = "JOURNAL.csv")]
    pub journal: PathBuf,
    /// All entries, and those that were taken back.
    #[arg(long)]
    pub all: bool,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
}

/// How is an entry taken back?
///
/// Takes back the last entry, or that of --line. The row stays in the file, struck out: a comment with today's date. All that follows from the journal
/// is as if it had not been entered.
#[derive(Debug, Group)]
#[command(
    after_help = "Examples:\n  wedgebook bath undo bath.csv\n  wedgebook bath undo data/bath.csv --line 128\n\nExit status: 0 done, 2 wrong usage or unusable input."
)]
pub struct UndoArgs {
    /// The journal of the bath.
    #[arg(value_name = "JOURNAL.csv")]
    pub journal: PathBuf,
    /// The entry in this line instead, as `bath log` lists them.
    #[arg(long, value_name = "N")]
    pub line: Option<u64>,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
}

/// A date as typed.
pub fn date(text: &str) -> Result<Date, String> {
    day(text, None).map(|(date, _)| date).map_err(|why| match why {
        NotADay::Form => "write year-month-day, as 2026-03-04".to_owned(),
        NotADay::Ambiguous { .. } => format!("it {why}"),
    })
}
