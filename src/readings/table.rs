//! What every format becomes before its columns are understood: a header and rows of text cells.

use std::sync::Arc;

use super::columns::Known;
use super::place::Place;

/// The headings of a table and where they stand.
#[derive(Clone, Debug)]
pub(super) struct Header {
    /// The row of headings.
    pub(super) place: Place,
    /// One for each column; those beyond the width of the rows are values for the whole table.
    pub(super) columns: Vec<HeadedColumn>,
    /// Whether headings that name no column may be those of strips.
    pub(super) may_be_wide: bool,
}

/// One heading.
#[derive(Clone, Debug)]
pub(super) struct HeadedColumn {
    /// As written.
    pub(super) heading: String,
    /// The column that it names.
    pub(super) known: Option<Known>,
}

impl Header {
    /// A header whose headings are column names as they stand.
    pub(super) fn new(place: Place, headings: impl IntoIterator<Item = String>) -> Self {
        let headed =
            |heading: String| HeadedColumn { known: Known::from_heading(&heading), heading };
        Self { place, columns: headings.into_iter().map(headed).collect(), may_be_wide: true }
    }
}

/// One row of a table.
pub(super) trait Row {
    /// Line of the file or row of the sheet, from 1.
    fn line(&self) -> u32;
    /// Text of the cell, without surrounding blanks; empty where there is none.
    fn cell(&self, column: usize) -> &str;
    /// Text of the whole line.
    fn excerpt(&self) -> Option<&str>;
    /// The line and its text where the cell stands elsewhere: a value for the whole table.
    fn elsewhere(&self, _column: usize) -> Option<(u32, Option<&str>)> {
        None
    }
}

/// A row that owns its cells.
#[derive(Clone, Debug, Default)]
pub(super) struct TableRow {
    pub(super) line: u32,
    pub(super) cells: Vec<String>,
    pub(super) excerpt: Option<Box<str>>,
    /// Values for the whole table, as columns that follow the row's own.
    pub(super) constants: Arc<[Constant]>,
}

/// A value for a whole table, such as a keyword of its head.
#[derive(Clone, Debug)]
pub(super) struct Constant {
    pub(super) line: u32,
    pub(super) excerpt: Box<str>,
    pub(super) text: String,
}

impl TableRow {
    fn constant(&self, column: usize) -> Option<&Constant> {
        self.constants.get(column.checked_sub(self.cells.len())?)
    }
}

impl Row for TableRow {
    fn line(&self) -> u32 {
        self.line
    }

    fn cell(&self, column: usize) -> &str {
        let constant = || self.constant(column).map_or("", |c| c.text.as_str());
        self.cells.get(column).map_or_else(constant, String::as_str).trim()
    }

    fn excerpt(&self) -> Option<&str> {
        self.excerpt.as_deref()
    }

    fn elsewhere(&self, column: usize) -> Option<(u32, Option<&str>)> {
        self.constant(column).map(|c| (c.line, Some(&*c.excerpt)))
    }
}
