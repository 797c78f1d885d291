//! What a person types for a bath.

use super::super::verify::ControlArgs;
use crate::bath::film::Format;
use crate::bath::journal::{Column, iso_date};
use clap::{Args as Group, Subcommand};
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

/// A date as typed.
pub fn date(text: &str) -> Result<Date, String> {
    iso_date(text).ok_or_else(|| "write year-month-day, as 2026-03-04".to_owned())
}

fn typed(column: Column, text: &str) -> Result<f64, String> {
    column.typed(text).map_err(|wrong| wrong.to_string())
}

fn litres(text: &str) -> Result<f64, String> {
    typed(Column::Litres, text)
}

fn added(text: &str) -> Result<f64, String> {
    typed(Column::AddedMl, text)
}

fn removed(text: &str) -> Result<f64, String> {
    typed(Column::RemovedMl, text)
}

fn area(text: &str) -> Result<f64, String> {
    typed(Column::AreaM2, text)
}

/// Most films that one entry may have.
const MOST: u32 = 10_000;

fn count(text: &str) -> Result<u32, String> {
    match text.trim().parse() {
        Ok(count @ 1..=MOST) => Ok(count),
        _ => Err(format!(
            "{text:?} is not a number of films: write a whole number from 1 to {MOST}"
        )),
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
