//! What is noticed in a journal that can be used.

use super::unlikely::Unlikely;
use crate::bath::film::NOMINAL;
use crate::words::shown;
use std::fmt;
use std::path::PathBuf;
use std::sync::Arc;

/// What is noticed in a journal.
#[derive(Clone, Debug, PartialEq)]
pub struct JournalNote {
    /// The file.
    pub file: Arc<str>,
    /// The line, from 1; `None` of the whole file.
    pub line: Option<u64>,
    /// What it is.
    pub what: Noticed,
}

/// What it is that is noticed.
#[derive(Clone, Debug, PartialEq)]
pub enum Noticed {
    /// A column that no journal has.
    UnknownColumn {
        /// Its heading.
        heading: Box<str>,
        /// The column that it may stand for.
        near: Option<&'static str>,
    },
    /// Cells that are filled and that entries of this type do not use.
    Unused {
        /// How many there are.
        count: u64,
        /// Their column.
        column: &'static str,
        /// The type of the entries.
        act: &'static str,
    },
    /// Entries without an area, which follows from the formats of their films.
    NominalArea {
        /// How many there are.
        count: u64,
    },
    /// An amount that is possible and most likely a slip of the hand.
    Unlikely {
        /// Its column.
        column: &'static str,
        /// What is unlikely.
        what: Unlikely,
    },
    /// The file is not UTF-8.
    Latin1,
    /// The last line has no line end.
    NoLineEnd,
    /// A crash cut the last line short.
    Torn {
        /// What is left of it.
        text: String,
        /// Where the next entry moves it.
        beside: PathBuf,
    },
}

impl fmt::Display for JournalNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        if let Some(line) = self.line {
            write!(f, ":{line}")?;
        }
        match &self.what {
            Noticed::UnknownColumn { heading, near } => {
                write!(f, ": column {} is not known", shown(heading))?;
                if let Some(name) = near {
                    write!(f, " (did you mean \"{name}\"?)")?;
                }
                f.write_str("; it is kept as it is")
            }
            Noticed::Unused { count, column, act } => {
                if *count > 1 {
                    write!(f, " and {} more", count - 1)?;
                }
                write!(
                    f,
                    ", column \"{column}\": an entry of type {act} does not use it; it is ignored"
                )
            }
            Noticed::NominalArea { count } => {
                if *count > 1 {
                    write!(f, " and {} more", count - 1)?;
                }
                write!(f, ": the row has no area: {NOMINAL}")
            }
            Noticed::Unlikely { column, what } => write!(f, ", column \"{column}\": {what}"),
            Noticed::Latin1 => {
                f.write_str(": not UTF-8, read as Latin-1; save it as UTF-8 if letters look wrong")
            }
            Noticed::NoLineEnd => {
                f.write_str(": the last line has no line end; it is taken as whole")
            }
            Noticed::Torn { text, beside } => write!(
                f,
                ": the last line was cut short by a crash and is left out; the next entry moves it to {}: {text}",
                beside.display()
            ),
        }
    }
}
