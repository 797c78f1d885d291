//! Counts of films as a person types them.

use super::film::{Films, Format, FormatError};
use std::str::FromStr;

/// Most films that one entry may have.
const MOST: u32 = 10_000;

/// Rolls of one format: a number of 135-36, or `120=2`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rolls(pub u32, pub Format);

/// Sheets of one format, as `4x5in=6`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sheets(pub u32, pub Format);

/// Text that is no count of films.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NotACount {
    /// A number is needed and there is other text.
    #[error("{found:?} is not a number of films: write a whole number from 1 to {MOST}")]
    NotANumber {
        /// The text.
        found: String,
    },
    /// A format without a number.
    #[error("write how many of them, as {0}=2")]
    NoNumber(Format),
    /// A number without a format.
    #[error("write their size and how many, as 4x5in=6")]
    NoFormat,
    /// A sheet among rolls.
    #[error("{0} is a sheet, not a roll")]
    Sheet(Format),
    /// A roll among sheets.
    #[error("{0} is a roll, not a sheet")]
    Roll(Format),
    /// No format at all.
    #[error(transparent)]
    Format(#[from] FormatError),
}

fn count(text: &str) -> Result<u32, NotACount> {
    match text.trim().parse() {
        Ok(count @ 1..=MOST) => Ok(count),
        _ => Err(NotACount::NotANumber { found: text.to_owned() }),
    }
}

impl FromStr for Rolls {
    type Err = NotACount;

    fn from_str(text: &str) -> Result<Self, NotACount> {
        let Some((format, number)) = text.split_once('=') else {
            if let Ok(format) = text.parse::<Format>() {
                return Err(NotACount::NoNumber(format));
            }
            return Ok(Self(count(text)?, Format::Roll135x36));
        };
        match format.parse::<Format>()? {
            sheet if sheet.is_sheet() => Err(NotACount::Sheet(sheet)),
            roll => Ok(Self(count(number)?, roll)),
        }
    }
}

impl FromStr for Sheets {
    type Err = NotACount;

    fn from_str(text: &str) -> Result<Self, NotACount> {
        let (format, number) = text.split_once('=').ok_or(NotACount::NoFormat)?;
        match format.parse::<Format>()? {
            sheet if sheet.is_sheet() => Ok(Self(count(number)?, sheet)),
            roll => Err(NotACount::Roll(roll)),
        }
    }
}

impl Films {
    /// The films of these counts.
    #[must_use]
    pub fn of_counts(rolls: &[Rolls], sheets: &[Sheets]) -> Self {
        let rolls = rolls.iter().map(|Rolls(count, format)| (*count, *format));
        Self(rolls.chain(sheets.iter().map(|Sheets(count, format)| (*count, *format))).collect())
    }
}
