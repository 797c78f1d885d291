//! Workbooks: .xlsx and .ods sheets with the same columns as a text file.

mod parts;

use std::collections::BTreeMap;
use std::io::Cursor;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;

use calamine::{Data, ExcelDateTime, Ods, Reader, Xlsx};

use super::columns::normalised;
use super::fault::ReadError;
use super::gather::Input;
use super::intake::{Intake, Rank, RowTaker};
use super::note::Note;
use super::place::Place;
use super::table::{Header, TableRow};

/// Day numbers that a date can have: 1900 to 9999.
const DATES: std::ops::Range<f64> = 1.0..2_958_466.0;

/// Rows of a sheet: row number from 0, then column from 0 and text of each cell that is not empty.
type Rows = BTreeMap<u32, Vec<(u32, String)>>;

/// Reads the first sheet that has a row with one of the intake's key headings into `intake`.
pub(super) fn read<I: Intake>(input: &Input<'_>, bytes: &[u8], intake: &mut I) {
    let file = Arc::clone(&input.file);
    // A library that meets a damage no check foresaw must not end the program.
    let read = catch_unwind(AssertUnwindSafe(|| search(bytes, intake)));
    let sheets = match read.unwrap_or_else(|_| Err("it is damaged".to_owned())) {
        Ok(sheets) => sheets,
        Err(reason) => return intake.fault(ReadError::Workbook { file, reason }),
    };
    let (names, suggestion) = (sheets.names, sheets.near);
    let Some((name, rows, heading_row)) = sheets.found else {
        let columns = intake.keys();
        return intake.fault(ReadError::NoSheet { file, columns, sheets: names, suggestion });
    };
    if names.len() > 1 {
        let (file, read) = (Arc::clone(&file), name.clone());
        intake.note(Note::SheetChosen { file, sheets: names, read });
    }
    let above = || rows.range(..heading_row).map(|(row, _)| row + 1);
    if let (Some(first), Some(last)) = (above().next(), above().next_back()) {
        intake.note(Note::RowsAbove { file: Arc::clone(&file), first, last });
    }
    let place = Place {
        file,
        sheet: Some(name.into()),
        line: heading_row + 1,
        column: None,
        excerpt: None,
    };
    let header = Header::new(place, padded(&rows[&heading_row], None));
    intake.table(input, &header, true, |taker| {
        for (row, cells) in rows.range(heading_row + 1..) {
            let cells = padded(cells, Some(header.columns.len()));
            taker.row(&TableRow { line: row + 1, cells, ..TableRow::default() });
        }
    });
}

/// The texts of a row with empty ones between, up to `width` or the last cell.
fn padded(cells: &[(u32, String)], width: Option<usize>) -> Vec<String> {
    let last = cells.iter().map(|(column, _)| *column as usize + 1).max().unwrap_or(0);
    let mut texts = vec![String::new(); width.unwrap_or(last)];
    for (column, text) in cells {
        if let Some(cell) = texts.get_mut(*column as usize) {
            cell.clone_from(text);
        }
    }
    texts
}

/// The sheet with the table: its name, rows, and the row of headings.
type Found = (String, Rows, u32);

/// What a search through a workbook found.
struct Sheets {
    names: Vec<String>,
    /// The sheet with the table: its name, rows, and the row of headings.
    found: Option<Found>,
    /// A heading that may have been meant for a key, and that key.
    near: Option<(String, &'static str)>,
}

fn search<I: Intake>(bytes: &[u8], intake: &I) -> Result<Sheets, String> {
    let is_ods = parts::checked(bytes).map_err(|fault| fault.to_string())?;
    if is_ods {
        let mut book = Ods::new(Cursor::new(bytes)).map_err(|fault| fault.to_string())?;
        best_sheet(intake, book.sheet_names(), |name| {
            let range = book.worksheet_range(name).map_err(|fault| fault.to_string())?;
            let (top, left) = range.start().unwrap_or((0, 0));
            let cells = range.used_cells().map(|(row, column, cell)| {
                (top.saturating_add(row as u32), left.saturating_add(column as u32), text_of(cell))
            });
            Ok(by_row(cells))
        })
    } else {
        let mut book = Xlsx::new(Cursor::new(bytes)).map_err(|fault| fault.to_string())?;
        best_sheet(intake, book.sheet_names(), |name| {
            let mut reader =
                book.worksheet_cells_reader(name).map_err(|fault| fault.to_string())?;
            let mut cells = Vec::new();
            while let Some(cell) = reader.next_cell().map_err(|fault| fault.to_string())? {
                let (row, column) = cell.get_position();
                cells.push((row, column, text_of(&cell.get_value().clone().into())));
            }
            Ok(by_row(cells.into_iter()))
        })
    }
}

fn by_row(cells: impl Iterator<Item = (u32, u32, String)>) -> Rows {
    let mut rows = Rows::new();
    for (row, column, text) in cells.filter(|(_, _, text)| !text.trim().is_empty()) {
        rows.entry(row).or_default().push((column, text));
    }
    rows
}

/// The first sheet with a row that names all columns; else the first wide one; else the first with a row
/// that names a column by which such a table is found.
fn best_sheet<I: Intake>(
    intake: &I,
    names: Vec<String>,
    mut rows_of: impl FnMut(&str) -> Result<Rows, String>,
) -> Result<Sheets, String> {
    let keys = intake.keys();
    let (mut best, mut near): (Option<(Rank, Found)>, _) = (None, None);
    for name in &names {
        let rows = rows_of(name)?;
        if let Some((rank, row)) = heading_row(intake, &rows)
            && best.as_ref().is_none_or(|(found, _)| rank > *found)
        {
            best = Some((rank, (name.clone(), rows, row)));
            if rank == Rank::All {
                break;
            }
            continue;
        }
        let mut texts = rows.values().flatten().map(|(_, text)| text);
        let meant = |text: &String| {
            let key = intake.near(text).filter(|name| keys.contains(name))?;
            Some((text.clone(), key))
        };
        near = near.or_else(|| texts.find_map(meant));
    }
    Ok(Sheets { names, found: best.map(|(_, found)| found), near })
}

/// The best row of headings of a sheet, if it has one: of wide ones that with the most cells.
fn heading_row<I: Intake>(intake: &I, rows: &Rows) -> Option<(Rank, u32)> {
    let mut best: Option<(Rank, usize, u32)> = None;
    for (row, cells) in rows {
        let texts: Vec<&str> = cells.iter().map(|(_, text)| text.trim()).collect();
        let is_key = |text: &&str| intake.keys().contains(&normalised(text).as_str());
        let rank = match intake.rank(&texts) {
            Rank::Key if !texts.iter().any(is_key) => continue,
            Rank::None | Rank::Near => continue,
            rank => rank,
        };
        let weight = if rank == Rank::Wide { cells.len() } else { 0 };
        if best.is_none_or(|(found, most, _)| (rank, weight) > (found, most)) {
            best = Some((rank, weight, *row));
        }
    }
    best.map(|(rank, _, row)| (rank, row))
}

/// The text of a cell as it would stand in a text file.
fn text_of(cell: &Data) -> String {
    match cell {
        Data::Empty => String::new(),
        Data::Int(value) => value.to_string(),
        Data::Float(value) => value.to_string(),
        Data::String(text) => text.clone(),
        Data::Bool(value) => value.to_string(),
        Data::DateTime(moment) => moment_text(moment),
        Data::DateTimeIso(text) => text.trim_end_matches("T00:00:00").to_owned(),
        Data::DurationIso(text) => text.clone(),
        Data::Error(kind) => kind.to_string(),
    }
}

/// A date as year-month-day, or a time of day as h:mm:ss.
fn moment_text(moment: &ExcelDateTime) -> String {
    let days = moment.as_f64();
    if !moment.is_duration() && DATES.contains(&days) {
        let (year, month, day, ..) = moment.to_ymd_hms_milli();
        return format!("{year:04}-{month:02}-{day:02}");
    }
    let seconds = (days * 86_400.0).round();
    let (hours, minutes) = ((seconds / 3600.0).floor(), (seconds / 60.0).floor() % 60.0);
    format!("{hours}:{minutes:02}:{:02}", seconds.rem_euclid(60.0))
}
