//! Why a journal cannot be read or an entry not be made: faults with their places.

use super::cell_error::CellError;
use crate::words::shown;
use std::fmt;
use std::sync::Arc;

/// Why a journal cannot be read or an entry not be made. `Display` is one line, or one for each
/// faulty row.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum JournalError {
    /// There is no such file.
    #[error("{file}: no such journal; check the path, or begin it with a mix")]
    Missing {
        /// The file.
        file: Arc<str>,
    },
    /// The file is there and names no columns yet.
    #[error("{file}: the journal is empty; begin it with a mix")]
    Empty {
        /// The file.
        file: Arc<str>,
    },
    /// The file cannot be opened, or is no text.
    #[error("{file}: {reason}")]
    Unusable {
        /// The file.
        file: Arc<str>,
        /// Why, and what to do.
        reason: String,
    },
    /// There is no such entry to take back.
    #[error("{file}: {}; nothing is taken back", no_entry(.line))]
    NoEntry {
        /// The file.
        file: Arc<str>,
        /// The line that was named.
        line: Option<u64>,
    },
    /// With the change, the entries would contradict each other.
    #[error(
        "{file}: the journal stays as it is, because with this change its entries contradict each other; see to these first:\n{why}"
    )]
    WouldContradict {
        /// The file.
        file: Arc<str>,
        /// How, by the lines of the changed journal.
        why: Box<JournalError>,
    },
    /// Rows that cannot be, or an entry that cannot be made.
    #[error(transparent)]
    Faults(#[from] Faults),
    /// The entry was right and could not be written.
    #[error("{file}: the entry is not made, for it cannot be written ({reason}); {state}")]
    NotWritten {
        /// The file.
        file: Arc<str>,
        /// What the operating system said.
        reason: String,
        /// How the file stands now.
        state: String,
    },
}

fn no_entry(line: &Option<u64>) -> String {
    match line {
        Some(line) => format!("no entry begins in line {line}"),
        None => "it has no entry".to_owned(),
    }
}

/// How many faults [`Faults`] shows before it only counts the rest.
pub const SHOWN_FAULTS: usize = 20;

/// All faults of a journal or an entry: at least one.
#[derive(Clone, Debug, PartialEq)]
pub struct Faults(pub Vec<Fault>);

impl fmt::Display for Faults {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, fault) in self.0.iter().take(SHOWN_FAULTS).enumerate() {
            let end = if index == 0 { "" } else { "\n" };
            write!(f, "{end}{fault}")?;
        }
        match self.0.len().saturating_sub(SHOWN_FAULTS) {
            0 => Ok(()),
            more => write!(f, "\nand {more} more"),
        }
    }
}

impl std::error::Error for Faults {}

/// One fault with its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// The file, as the user wrote it.
    pub file: Arc<str>,
    /// The line, from 1; `None` for an entry that is not yet in the file.
    pub line: Option<u64>,
    /// The column, where one is at fault.
    pub column: Option<Box<str>>,
    /// What is wrong.
    pub what: CellError,
}

impl Fault {
    /// A fault of a whole line.
    pub(super) fn of_line(file: &Arc<str>, line: u64, what: CellError) -> Self {
        Self { file: Arc::clone(file), line: Some(line), column: None, what }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            Some(line) => write!(f, "{}:{line}", self.file)?,
            None => write!(f, "{}, new entry", self.file)?,
        }
        if let Some(column) = &self.column {
            write!(f, ", column {}", shown(column))?;
        }
        write!(f, ": {}", self.what)
    }
}
