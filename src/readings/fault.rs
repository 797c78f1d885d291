//! The faults of a file: one variant for each kind, every one with its place, what was found, what is
//! allowed and what to do.

use std::sync::Arc;

use crate::units::OutOfBounds;

use super::place::{Column, OpenFault, Place};
use crate::words::{counted, list_and, list_or, short, shown};

/// One fault of a readings file. `Display` is one line.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ReadError {
    /// There was no file to read.
    #[error("no readings file was given; name at least one")]
    NoFiles,
    /// The file could not be opened.
    #[error("{file}: {fault}")]
    Unreadable {
        /// The file.
        file: Arc<str>,
        /// Why.
        fault: OpenFault,
    },
    /// The file is empty, or has only blank lines.
    #[error("{file}: the file is empty; its first row must name the columns, as {example}")]
    Empty {
        /// The file.
        file: Arc<str>,
        /// A row of column names.
        example: &'static str,
    },
    /// The file is neither text nor a workbook.
    #[error("{file}: this is neither text nor a workbook; save the table as CSV, .xlsx or .ods")]
    NotText {
        /// The file.
        file: Arc<str>,
    },
    /// A workbook of the old binary kind.
    #[error("{file}: a workbook of the old binary kind; save it as .xlsx or .ods")]
    OldWorkbook {
        /// The file.
        file: Arc<str>,
    },
    /// A workbook, where the feature `sheets` is off.
    #[error("{file}: workbooks cannot be read here; save the sheet as CSV")]
    NoWorkbooks {
        /// The file.
        file: Arc<str>,
    },
    /// A workbook that is damaged or encrypted.
    #[error(
        "{file}: the workbook cannot be read ({reason}); open it in a spreadsheet and save it again"
    )]
    Workbook {
        /// The file.
        file: Arc<str>,
        /// What the workbook reader said.
        reason: String,
    },
    /// No sheet has a row that names a column by which the table is found.
    #[error("{file}: no sheet has a row that names a column {}; sheets: {}{}", quoted(.columns), list_and(.sheets), suggested(.suggestion))]
    NoSheet {
        /// The file.
        file: Arc<str>,
        /// The columns, of which one is enough.
        columns: &'static [&'static str],
        /// The names of its sheets.
        sheets: Vec<String>,
        /// A heading that comes near, and what it may mean.
        suggestion: Option<(String, &'static str)>,
    },
    /// The first row has numbers.
    #[error("{at}: the first row has numbers; it must have the names of the columns, as {example}")]
    NoHeader {
        /// The first row.
        at: Box<Place>,
        /// A row of column names.
        example: &'static str,
    },
    /// Nothing follows the row of column names.
    #[error("{at}: no rows follow the names of the columns; write one row for each reading")]
    HeaderOnly {
        /// The row of names.
        at: Box<Place>,
    },
    /// A column that is needed is missing.
    #[error("{at}: no column {}; found {}{}", .missing.join(" and no column "), list_and(.found), suggested(.suggestion))]
    MissingColumns {
        /// The row of names.
        at: Box<Place>,
        /// What is needed and not there.
        missing: Vec<String>,
        /// The headings that are there.
        found: Vec<String>,
        /// A heading that comes near, and what it may mean.
        suggestion: Option<(String, &'static str)>,
    },
    /// Only densities through colour filters.
    #[error("{at}: only colour densities ({}); visual density is needed, in a field D_VIS", list_and(.found))]
    ColourDensities {
        /// The data format.
        at: Box<Place>,
        /// The density fields that are there.
        found: Vec<String>,
    },
    /// Two columns for one quantity.
    #[error("{at}: columns {} and {} both give the {quantity}; keep one (repeats are rows of their own)", numbered(.first), numbered(.second))]
    DuplicateColumns {
        /// The row of names.
        at: Box<Place>,
        /// The column further left.
        first: Column,
        /// The column further right.
        second: Column,
        /// What both give.
        quantity: &'static str,
    },
    /// More than one kind of exposure in one file.
    #[error("{at}: the exposure is given in {} ways, by {}; keep one of them", .found.len(), list_and(.found))]
    SeveralExposures {
        /// The row of names.
        at: Box<Place>,
        /// The headings, one for each kind.
        found: Vec<String>,
    },
    /// A row with too many or too few cells.
    #[error("{at}: {} for {}; {advice}", counted(*.found, "cell"), counted(*.expected, "column"))]
    FieldCount {
        /// The row.
        at: Box<Place>,
        /// Cells in the row.
        found: usize,
        /// Columns that have a name.
        expected: usize,
        /// What to do.
        advice: &'static str,
    },
    /// A quotation mark that is not closed on its line.
    #[error(
        "{at}: a quotation mark opened here is not closed; close it, or double it where it belongs to the text"
    )]
    UnclosedQuote {
        /// The row where it opens.
        at: Box<Place>,
    },
    /// A cell that may not be empty.
    #[error("{at}: the cell is empty; {advice}")]
    EmptyCell {
        /// The cell.
        at: Box<Place>,
        /// What to do.
        advice: &'static str,
    },
    /// A cell that must be a number.
    #[error("{at}: {} is not a number; write {write}", shown(.found))]
    NotANumber {
        /// The cell.
        at: Box<Place>,
        /// Its text.
        found: Box<str>,
        /// What to write, with an example.
        write: &'static str,
    },
    /// A number with a decimal comma where commas separate the columns.
    #[error("{at}: {} has a decimal comma; write a point, or separate the columns with ; or tabs", shown(.found))]
    DecimalComma {
        /// The cell.
        at: Box<Place>,
        /// Its text.
        found: Box<str>,
    },
    /// A number outside the bounds of its quantity.
    #[error("{at}: {} is not {}: it must be {}; {advice}", short(.found), .bounds.bounds.quantity, .bounds.bounds)]
    OutOfRange {
        /// The cell.
        at: Box<Place>,
        /// Its text.
        found: Box<str>,
        /// The bounds and the number.
        bounds: OutOfBounds,
        /// What to do.
        advice: &'static str,
    },
    /// A time that is neither minutes nor minutes and seconds.
    #[error("{at}: {} is not a time; write minutes, as 6.5 or 6:30 (in a workbook only 6.5: there 6:30 is a time of day)", shown(.found))]
    NotATime {
        /// The cell.
        at: Box<Place>,
        /// Its text.
        found: Box<str>,
    },
    /// A text that is no time of day.
    #[error("{at}: {} is not a time of day; write 19:42 or 19:42:30", shown(.found))]
    NotATimeOfDay {
        /// The cell.
        at: Box<Place>,
        /// Its text.
        found: Box<str>,
    },
    /// A time that does not come after the one before it.
    #[error("{at}: times must rise, and {} does not come after the time before it; correct the time, or put the rows in order", shown(.found))]
    NotRising {
        /// The cell.
        at: Box<Place>,
        /// Its text.
        found: Box<str>,
    },
    /// A lowest value that is not below the highest.
    #[error(
        "{at}: the lowest density {low} is not below the highest, {high}; exchange the two, or correct one"
    )]
    NotBelow {
        /// The cell of the lowest.
        at: Box<Place>,
        /// The lowest.
        low: f64,
        /// The highest.
        high: f64,
    },
    /// A temperature in °C that can only be one in °F.
    #[error("{at}: {} is too hot for a bath in °C but would be {celsius:.1} °C if it is in °F; name the column fahrenheit, or write the unit in the cell, as 68F", shown(.found))]
    Fahrenheit {
        /// The cell.
        at: Box<Place>,
        /// Its text.
        found: Box<str>,
        /// What it would be in **degrees Celsius**.
        celsius: f64,
    },
    /// A time or temperature that differs inside one strip.
    #[error("{at}: strip {} has the {quantity} {} here but {} {} in line {first_line}; a strip is developed once: correct one of them, or give two strips two names", shown(.strip), shown(.found), (.first * 1e3).round() / 1e3, if *.quantity == "time" { "min" } else { "°C" })]
    Disagreement {
        /// The cell that differs.
        at: Box<Place>,
        /// The strip.
        strip: Box<str>,
        /// "time" or "temperature".
        quantity: &'static str,
        /// The text of the cell.
        found: Box<str>,
        /// The value read before, in **minutes** or **degrees Celsius**.
        first: f64,
        /// Where that was.
        first_line: u32,
    },
    /// Two columns of a wide sheet for one strip.
    #[error("{at}: columns {} and {} are both of strip {}; give each strip a name of its own (repeats of a step are rows of their own)", numbered(.first), numbered(.second), shown(.strip))]
    SameStrip {
        /// The row of names.
        at: Box<Place>,
        /// The column further left.
        first: Column,
        /// The column further right.
        second: Column,
        /// The strip.
        strip: Box<str>,
    },
    /// A number in a column of a wide sheet that has no heading.
    #[error(
        "{at}: column {column} has a number and no name of a strip at its head; write the name, or clear the column"
    )]
    NamelessStrip {
        /// The row.
        at: Box<Place>,
        /// The column, from 1.
        column: u32,
    },
    /// A row of a wide sheet that is neither a step nor a value.
    #[error("{at}: {} is neither an exposure nor the name of a value for each strip (minutes, celsius, fahrenheit, film, developer, date, sigma, note){}", shown(.found), near_word(.near))]
    UnknownRow {
        /// The first cell.
        at: Box<Place>,
        /// Its text.
        found: Box<str>,
        /// The name that may be meant.
        near: Option<&'static str>,
    },
    /// A wide sheet in which no strip has a density.
    #[error("{at}: no strip has a density; write one for each step, below the name of the strip")]
    NoDensities {
        /// The row of names.
        at: Box<Place>,
    },
    /// A strip with unexposed film only.
    #[error("{at}: strip {} has no exposed step, only unexposed film; write the exposure of each step in the column {column}", shown(.strip))]
    NoExposedReadings {
        /// Its first row.
        at: Box<Place>,
        /// The strip.
        strip: Box<str>,
        /// The exposure column of the file.
        column: Box<str>,
    },
    /// Density falls as exposure rises.
    #[error("{at}: strip {}: density falls as exposure rises, as if the tablet was read from its other end; {}", shown(.strip), reversal_advice(*.already_reversed, *.perhaps_transmittances))]
    ReversedTablet {
        /// The strip's first row.
        at: Box<Place>,
        /// The strip.
        strip: Box<str>,
        /// The order had been reversed on request.
        already_reversed: bool,
        /// The values could also be transmittances.
        perhaps_transmittances: bool,
    },
    /// Transmittances in the density column.
    #[error("{at}: strip {}: values from 0 to {} that fall as exposure rises are transmittances, not densities; {}", shown(.strip), if *.percent { "100" } else { "1" }, transmittance_advice(*.percent, *.certain))]
    Transmittances {
        /// The strip's first row.
        at: Box<Place>,
        /// The strip.
        strip: Box<str>,
        /// From 0 to 100, not from 0 to 1.
        percent: bool,
        /// A reversed tablet is ruled out.
        certain: bool,
    },
    /// Transmittances in percent in the density column of frames.
    #[error(
        "{at}: the densities run from {low} to {high} like transmittances in percent; write density = -log10(percent/100)"
    )]
    Percentages {
        /// The first of them.
        at: Box<Place>,
        /// The lowest value.
        low: f64,
        /// The highest value.
        high: f64,
    },
    /// Exposures in lux seconds in a column of logarithms.
    #[error("{at}: strip {}: the values of {} run from {low} to {high} like exposures, not like their logarithms; name the column exposure (lux s)", shown(.strip), shown(.column))]
    NotLogExposures {
        /// The strip's first row.
        at: Box<Place>,
        /// The strip.
        strip: Box<str>,
        /// The exposure column of the file.
        column: Box<str>,
        /// The lowest value.
        low: f64,
        /// The highest value.
        high: f64,
    },
    /// An ISO 28178 file without one of its parts.
    #[error("{at}: {keyword} is missing; the file may be cut short: export it again")]
    MissingKeyword {
        /// Where it was looked for.
        at: Box<Place>,
        /// The keyword.
        keyword: &'static str,
    },
    /// An ISO 28178 count that does not fit.
    #[error(
        "{at}: {keyword} is {stated}, but the file has {found}; the file may be cut short: export it again, or correct the number"
    )]
    StatedCount {
        /// The keyword's line.
        at: Box<Place>,
        /// The keyword.
        keyword: &'static str,
        /// The text that follows it.
        stated: Box<str>,
        /// What was counted.
        found: usize,
    },
}

/// Names of columns in quotation marks: "a", or "a" or "b".
pub(super) fn quoted(names: &[&str]) -> String {
    list_or(&names.iter().map(|name| format!("\"{name}\"")).collect::<Vec<_>>())
}

fn numbered(column: &Column) -> String {
    format!("{} {}", column.number, shown(&column.name))
}

fn near_word(near: &Option<&'static str>) -> String {
    near.map_or_else(String::new, |name| format!("; did you mean \"{name}\"?"))
}

fn suggested(suggestion: &Option<(String, &'static str)>) -> String {
    suggestion.as_ref().map_or_else(String::new, |(heading, name)| {
        format!("; did you mean \"{name}\" by {}?", shown(heading))
    })
}

fn reversal_advice(already_reversed: bool, perhaps_transmittances: bool) -> String {
    let mut advice = String::from(if already_reversed {
        "take the densities in the order of the rows"
    } else {
        "reverse the order of the densities"
    });
    if perhaps_transmittances {
        advice.push_str(" (if these are transmittances, write density = -log10(transmittance))");
    }
    advice
}

fn transmittance_advice(percent: bool, certain: bool) -> String {
    let mut advice = String::from(if percent {
        "write density = -log10(percent/100)"
    } else {
        "write density = -log10(transmittance)"
    });
    if !certain {
        advice.push_str(
            " (if these are densities, the tablet was read from its other end: reverse their order)",
        );
    }
    advice
}
