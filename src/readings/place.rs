//! Where a fault lies: file, sheet, line and column; and why a file could not be opened.

use std::fmt;
use std::sync::Arc;

use crate::words::shown;

/// Where in a file a fault was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// The file, as the user wrote it.
    pub file: Arc<str>,
    /// The sheet of a workbook.
    pub sheet: Option<Arc<str>>,
    /// Line of a text file or row of a sheet, from 1.
    pub line: u32,
    /// The column at fault, where one is.
    pub column: Option<Column>,
    /// The text of the line, for a display that points at it.
    pub excerpt: Option<Box<str>>,
}

/// A column of a readings file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    /// Position, from 1.
    pub number: u32,
    /// Its heading as written.
    pub name: Box<str>,
}

impl Place {
    /// A line of a text file.
    pub(super) fn of_line(file: &Arc<str>, line: u32, text: &str) -> Self {
        Self { file: Arc::clone(file), sheet: None, line, column: None, excerpt: Some(text.into()) }
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (&self.sheet, &self.column) {
            (None, _) => write!(f, "{}:{}", self.file, self.line)?,
            (Some(sheet), None) => {
                write!(f, "{}, sheet {}, row {}", self.file, shown(sheet), self.line)?
            }
            (Some(sheet), Some(column)) => {
                let letters = column_letters(column.number);
                write!(f, "{}, sheet {}, cell {letters}{}", self.file, shown(sheet), self.line)?;
            }
        }
        match &self.column {
            Some(column) => write!(f, ", column {}", shown(&column.name)),
            None => Ok(()),
        }
    }
}

/// The letters that spreadsheets give to a column: 1 is A, 27 is AA.
fn column_letters(mut number: u32) -> String {
    let mut letters = Vec::new();
    while number > 0 {
        number -= 1;
        letters.push(char::from(b'A' + (number % 26) as u8));
        number /= 26;
    }
    letters.iter().rev().collect()
}

/// Why a file could not be opened.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum OpenFault {
    /// Nothing has that name.
    #[error("no such file; check the path")]
    NotFound,
    /// The path names a directory.
    #[error("this is a directory; name the readings file in it")]
    IsDirectory,
    /// The user may not read it.
    #[error("no permission to read it; change its permissions or copy it")]
    NoPermission,
    /// It is larger than any readings file.
    #[error("larger than {megabytes} MB, which no readings file is; check the path")]
    TooLarge {
        /// The limit in MB.
        megabytes: u64,
    },
    /// What else the operating system said.
    #[error("cannot be read ({reason})")]
    Other {
        /// The message of the operating system.
        reason: String,
    },
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_have_the_letters_of_spreadsheets() {
        let letters = [1, 26, 27, 702, 703, 16_384].map(column_letters);
        assert_eq!(letters, ["A", "Z", "AA", "ZZ", "AAA", "XFD"]);
    }
}
