//! Small tables that are no readings of film, such as a log of temperatures: a few columns with fixed
//! names, in any format in which readings come.

#[cfg(feature = "files")]
use std::path::Path;

use super::errors::ReadErrors;
use super::fault::ReadError;
#[cfg(feature = "files")]
use super::files::contents;
use super::files::text_or_sheet;
use super::gather::Input;
use super::intake::{Intake, Rank, RowTaker};
use super::named::{Columns, Names};
use super::note::Note;
use super::place::Place;
use super::rows::CellReader;
use super::table::{Header, Row, TableRow};
use super::{ReadOptions, delimited};
use crate::units::{Bounds, Temperature};

/// A table whose cells are still text.
pub(crate) struct SmallTable {
    header: Header,
    columns: Columns,
    comma_allowed: bool,
    rows: Vec<TableRow>,
    faults: Vec<ReadError>,
    notes: Vec<Note>,
}

impl SmallTable {
    /// The table in the file at `path`.
    ///
    /// # Errors
    /// Where the file cannot be read, is no table, or lacks a column.
    #[cfg(feature = "files")]
    pub(crate) fn read(path: &Path, names: &'static Names) -> Result<Self, ReadErrors> {
        let name = path.display().to_string();
        match contents(path) {
            Ok(bytes) => Self::of_bytes(&name, &bytes, names),
            Err(fault) => Err(ReadErrors::of(ReadError::Unreadable { file: name.into(), fault })),
        }
    }

    /// The table in `bytes`; `name` stands for the file in messages.
    ///
    /// # Errors
    /// Where it is no table, or lacks a column.
    pub(crate) fn of_bytes(
        name: &str,
        bytes: &[u8],
        names: &'static Names,
    ) -> Result<Self, ReadErrors> {
        let options = ReadOptions::default();
        let input = Input::new(name, &options);
        let mut intake = SmallIntake { names, table: None, faults: Vec::new(), notes: Vec::new() };
        if let Some(text) = text_or_sheet(&input, bytes, &mut intake) {
            delimited::read(&input, &text, &mut intake);
        }
        let SmallIntake { table, faults, notes, .. } = intake;
        match (ReadErrors::from_faults(faults), table) {
            (None, Some(table)) => Ok(Self { notes, ..table }),
            (errors, _) => Err(errors.unwrap_or_else(|| ReadErrors::of(ReadError::NoFiles))),
        }
    }

    /// The place of the row of headings.
    pub(crate) fn header_place(&self) -> Place {
        self.header.place.clone()
    }

    /// What `read` makes of the rows; it adds the faults of a row to a list.
    pub(crate) fn taken<T>(
        self,
        mut read: impl FnMut(&Cells<'_>, &mut Vec<ReadError>) -> Option<T>,
    ) -> Taken<T> {
        let reader = CellReader { header: &self.header, comma_allowed: self.comma_allowed };
        let (mut rows, mut faults) = (Vec::with_capacity(self.rows.len()), self.faults);
        for row in &self.rows {
            rows.extend(read(&Cells { reader, columns: &self.columns, row }, &mut faults));
        }
        Taken { rows, notes: self.notes, faults }
    }

    /// What `read` makes of the rows, each of which has one fault at most, and the notes on the table.
    ///
    /// # Errors
    /// Every fault of every row.
    pub(crate) fn rows<T>(
        self,
        mut read: impl FnMut(&Cells<'_>) -> Result<T, ReadError>,
    ) -> Result<(Vec<T>, Vec<Note>), ReadErrors> {
        self.taken(|cells, faults| read(cells).map_err(|fault| faults.push(fault)).ok()).done()
    }
}

/// What was made of the rows of a table.
pub(crate) struct Taken<T> {
    pub(crate) rows: Vec<T>,
    pub(crate) notes: Vec<Note>,
    pub(crate) faults: Vec<ReadError>,
}

impl<T> Taken<T> {
    /// The rows and the notes.
    ///
    /// # Errors
    /// Every fault, in the order of the lines.
    pub(crate) fn done(mut self) -> Result<(Vec<T>, Vec<Note>), ReadErrors> {
        self.faults.sort_by_key(|fault| fault.place().map(|place| place.line));
        match ReadErrors::from_faults(self.faults) {
            Some(errors) => Err(errors),
            None => Ok((self.rows, self.notes)),
        }
    }
}

/// The cells of one row, by the names of their columns. A column that the table does not have is
/// empty in every row.
pub(crate) struct Cells<'a> {
    reader: CellReader<'a>,
    columns: &'a Columns,
    row: &'a TableRow,
}

impl Cells<'_> {
    /// The text of a cell.
    pub(crate) fn text(&self, name: &str) -> &str {
        self.columns.find(name).map_or("", |column| self.row.cell(column))
    }

    /// The place of a cell; that of the row where there is no such column.
    pub(crate) fn place(&self, name: &str) -> Box<Place> {
        match self.columns.find(name) {
            Some(column) => self.reader.place(self.row, column),
            None => Box::new(self.reader.header.row_place(self.row.line(), self.row.excerpt())),
        }
    }

    /// The place of the row.
    pub(crate) fn row_place(&self) -> Place {
        self.reader.header.row_place(self.row.line(), self.row.excerpt())
    }

    /// Whether the table has this column.
    pub(crate) fn has(&self, name: &str) -> bool {
        self.columns.find(name).is_some()
    }

    /// The fault of an empty cell.
    pub(crate) fn empty(&self, name: &str, advice: &'static str) -> ReadError {
        ReadError::EmptyCell { at: self.place(name), advice }
    }

    /// Line of the file or row of the sheet, from 1.
    pub(crate) fn line(&self) -> u32 {
        self.row.line()
    }

    /// The number of a cell within `bounds`; `None` for an empty cell. `write` says what to write
    /// for other text, with an example; `check` what to do about a number out of bounds.
    pub(crate) fn number(
        &self,
        name: &str,
        bounds: Bounds,
        write: &'static str,
        check: &'static str,
    ) -> Result<Option<f64>, ReadError> {
        let Some(column) = self.columns.find(name) else {
            return Ok(None);
        };
        self.reader.bounded(self.row, column, bounds, write, check)
    }

    /// The time of a cell in **minutes** within `bounds`; `None` for an empty cell.
    pub(crate) fn minutes(&self, name: &str, bounds: Bounds) -> Result<Option<f64>, ReadError> {
        let Some(column) = self.columns.find(name) else {
            return Ok(None);
        };
        self.reader.minutes(self.row, column, bounds)
    }

    /// The temperature of a cell; `None` for an empty cell. The cell's own unit goes before that of
    /// the column, which is °F where `fahrenheit`.
    pub(crate) fn temperature(
        &self,
        name: &str,
        fahrenheit: bool,
    ) -> Result<Option<Temperature>, ReadError> {
        let Some(column) = self.columns.find(name) else {
            return Ok(None);
        };
        self.reader.temperature(self.row, column, fahrenheit)
    }
}

/// Takes in a small table.
struct SmallIntake {
    names: &'static Names,
    table: Option<SmallTable>,
    faults: Vec<ReadError>,
    notes: Vec<Note>,
}

impl Intake for SmallIntake {
    type Taker<'t> = SmallTaker;

    fn example(&self) -> &'static str {
        self.names.example
    }

    fn keys(&self) -> &'static [&'static str] {
        self.names.keys()
    }

    fn rank(&self, cells: &[&str]) -> Rank {
        self.names.rank(cells)
    }

    fn knows(&self, heading: &str) -> bool {
        self.names.knows(heading)
    }

    fn near(&self, heading: &str) -> Option<&'static str> {
        self.names.near(heading)
    }

    fn fault(&mut self, fault: ReadError) {
        self.faults.push(fault);
    }

    fn note(&mut self, note: Note) {
        self.notes.push(note);
    }

    fn table(
        &mut self,
        input: &Input<'_>,
        header: &Header,
        comma_allowed: bool,
        fill: impl FnOnce(&mut SmallTaker),
    ) {
        let columns = match self.names.columns(header) {
            Ok(columns) => columns,
            Err(fault) => return self.faults.push(fault),
        };
        self.notes.extend(columns.note(&input.file));
        let width = header.columns.len();
        let mut taker = SmallTaker { width, rows: Vec::new(), faults: Vec::new() };
        fill(&mut taker);
        let (rows, faults) = (taker.rows, taker.faults);
        if rows.is_empty() && faults.is_empty() {
            let at = Box::new(header.place.clone());
            return self.faults.push(ReadError::HeaderOnly { at });
        }
        let header = header.clone();
        let notes = Vec::new();
        self.table = Some(SmallTable { header, columns, comma_allowed, rows, faults, notes });
    }
}

/// Keeps the rows of a small table.
struct SmallTaker {
    width: usize,
    rows: Vec<TableRow>,
    faults: Vec<ReadError>,
}

impl RowTaker for SmallTaker {
    fn fault(&mut self, fault: ReadError) {
        self.faults.push(fault);
    }

    fn row(&mut self, row: &impl Row) {
        let cells: Vec<String> = (0..self.width).map(|at| row.cell(at).to_owned()).collect();
        if cells.iter().any(|cell| !cell.is_empty()) {
            let (line, excerpt) = (row.line(), row.excerpt().map(Into::into));
            self.rows.push(TableRow { line, cells, excerpt, ..TableRow::default() });
        }
    }
}
