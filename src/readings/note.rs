//! What the reader noticed and a user may want to know.

use std::fmt;
use std::sync::Arc;

use crate::words::{list_and, shown};

/// Something that was noticed in a file that is read all the same. `Display` is one line.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Note {
    /// The file is not UTF-8.
    Windows1252 {
        /// The file.
        file: Arc<str>,
    },
    /// A workbook has several sheets.
    SheetChosen {
        /// The file.
        file: Arc<str>,
        /// Its sheets.
        sheets: Vec<String>,
        /// The one that is read.
        read: String,
    },
    /// Rows stand above the row of column names.
    RowsAbove {
        /// The file.
        file: Arc<str>,
        /// The first of them, from 1.
        first: u32,
        /// The last of them.
        last: u32,
    },
    /// Strips of a wide sheet have no density.
    EmptyStrips {
        /// The file.
        file: Arc<str>,
        /// Their names.
        strips: Vec<String>,
    },
    /// Some columns are not used.
    Unused {
        /// The file.
        file: Arc<str>,
        /// Their headings.
        columns: Vec<Unused>,
    },
    /// The file gives exposures, not their logarithms.
    LogOfExposures {
        /// The file.
        file: Arc<str>,
    },
    /// The file has tablet densities, and the log exposure behind clear tablet is not known.
    RelativeToClear {
        /// The file.
        file: Arc<str>,
    },
    /// The log exposure behind clear tablet was given, and the file has no tablet densities.
    ClearNotUsed {
        /// The file.
        file: Arc<str>,
    },
    /// Temperatures were taken as °F on request.
    TakenAsFahrenheit {
        /// The file.
        file: Arc<str>,
    },
    /// A time or temperature was given for strips without one, and some have another of their own.
    OwnDevelopment {
        /// Their names.
        strips: Vec<String>,
        /// What was given, with its unit.
        given: String,
    },
    /// Strips of several files have one name.
    SameNames {
        /// The name.
        name: String,
        /// How many have it.
        strips: usize,
    },
    /// Only some readings have a standard uncertainty of their own.
    SomeSigmas {
        /// How many.
        given: usize,
        /// Of how many.
        rows: usize,
    },
    /// Densities were paired with the exposures in the opposite order on request.
    Reversed,
    /// A text that is one for the strip differs inside it.
    LabelDiffers {
        /// Which text.
        label: &'static str,
        /// The text that is kept.
        first: String,
        /// Its line.
        first_line: u32,
        /// The first that differs.
        other: String,
        /// Its line.
        line: u32,
    },
}

/// A heading that names no column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unused {
    /// As written.
    pub heading: String,
    /// The column that it may stand for.
    pub near: Option<&'static str>,
}

/// Most headings that a note repeats.
const MOST: usize = 12;

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Windows1252 { file } => write!(
                f,
                "{file}: not UTF-8, read as Windows-1252; save it as UTF-8 if letters look wrong"
            ),
            Self::SheetChosen { file, sheets, read } => {
                write!(f, "{file}: of the sheets {}, {} is read", list_and(sheets), shown(read))
            }
            Self::RowsAbove { file, first, last } if first == last => {
                write!(f, "{file}: row {first}, above the names of the columns, is not used")
            }
            Self::RowsAbove { file, first, last } => write!(
                f,
                "{file}: rows {first} to {last}, above the names of the columns, are not used"
            ),
            Self::EmptyStrips { file, strips } => {
                write!(f, "{file}: no density is written for {}", list_and(strips))
            }
            Self::Unused { file, columns } => {
                write!(f, "{file}: not used: ")?;
                for (at, column) in columns.iter().take(MOST).enumerate() {
                    write!(f, "{}{}", if at > 0 { ", " } else { "" }, shown(&column.heading))?;
                    if let Some(name) = column.near {
                        write!(f, " (did you mean \"{name}\"?)")?;
                    }
                }
                match columns.len().saturating_sub(MOST) {
                    0 => Ok(()),
                    more => write!(f, " and {more} more"),
                }
            }
            Self::LogOfExposures { file } => {
                write!(f, "{file}: log exposures are log10 of the exposures in lux s")
            }
            Self::RelativeToClear { file } => write!(
                f,
                "{file}: log exposures are relative to the exposure behind clear tablet; for lux s the log exposure behind clear tablet is needed"
            ),
            Self::ClearNotUsed { file } => write!(
                f,
                "{file}: the log exposure behind clear tablet is not used, for there is no column tablet_density"
            ),
            Self::TakenAsFahrenheit { file } => {
                write!(f, "{file}: temperatures without a unit are taken as °F")
            }
            Self::OwnDevelopment { strips, given } => write!(
                f,
                "{given} is not used for {}, whose file gives another {}",
                list_and(strips),
                if given.ends_with("min") { "time" } else { "temperature" }
            ),
            Self::SameNames { name, strips } => write!(
                f,
                "{strips} strips are named {}; they are kept apart by their files",
                shown(name)
            ),
            Self::SomeSigmas { given, rows } => write!(
                f,
                "sigma is given for {given} of {rows} readings; the others have the common value"
            ),
            Self::Reversed => {
                f.write_str("the densities are paired with the exposures in the opposite order")
            }
            Self::LabelDiffers { label, first, first_line, other, line } => write!(
                f,
                "{label} is {} in line {first_line} and {} in line {line}; the first is kept",
                shown(first),
                shown(other)
            ),
        }
    }
}
