//! All faults of the files that were read.

use std::fmt;

use super::fault::ReadError;
use super::place::Place;

/// How many faults [`ReadErrors`] shows before it only counts the rest.
pub const SHOWN_FAULTS: usize = 20;

impl ReadError {
    /// Where the fault lies, unless it is one of the whole file or of the options.
    #[must_use]
    pub fn place(&self) -> Option<&Place> {
        use ReadError as E;
        match self {
            E::NoFiles
            | E::Unreadable { .. }
            | E::Empty { .. }
            | E::NotText { .. }
            | E::OldWorkbook { .. }
            | E::NoWorkbooks { .. }
            | E::Workbook { .. }
            | E::NoSheet { .. } => None,
            E::NoHeader { at, .. }
            | E::HeaderOnly { at }
            | E::MissingColumns { at, .. }
            | E::ColourDensities { at, .. }
            | E::DuplicateColumns { at, .. }
            | E::SeveralExposures { at, .. }
            | E::FieldCount { at, .. }
            | E::UnclosedQuote { at }
            | E::EmptyCell { at, .. }
            | E::NotANumber { at, .. }
            | E::DecimalComma { at, .. }
            | E::OutOfRange { at, .. }
            | E::NotATime { at, .. }
            | E::NotATimeOfDay { at, .. }
            | E::NotRising { at, .. }
            | E::NotBelow { at, .. }
            | E::Fahrenheit { at, .. }
            | E::Disagreement { at, .. }
            | E::SameStrip { at, .. }
            | E::NamelessStrip { at, .. }
            | E::UnknownRow { at, .. }
            | E::NoDensities { at }
            | E::NoExposedReadings { at, .. }
            | E::ReversedTablet { at, .. }
            | E::Transmittances { at, .. }
            | E::NotLogExposures { at, .. }
            | E::Percentages { at, .. }
            | E::MissingKeyword { at, .. }
            | E::StatedCount { at, .. } => Some(at),
        }
    }
}

/// Every fault of the files that were read, in their order: at least one.
///
/// `Display` writes one line for each of the first [`SHOWN_FAULTS`] and counts the rest.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadErrors(Vec<ReadError>);

impl ReadErrors {
    /// One fault.
    pub(super) fn of(fault: ReadError) -> Self {
        Self(vec![fault])
    }

    /// All faults, or `None` if there are none.
    pub(super) fn from_faults(faults: Vec<ReadError>) -> Option<Self> {
        (!faults.is_empty()).then_some(Self(faults))
    }

    /// The text of `Display`, with further advice at the end of a fault's line where `advice` gives
    /// some.
    #[must_use]
    pub fn lines(&self, advice: impl Fn(&ReadError) -> Option<&'static str>) -> String {
        let line = |fault: &ReadError| match advice(fault) {
            Some(advice) => format!("{fault}; {advice}"),
            None => fault.to_string(),
        };
        let mut lines: Vec<String> = self.0.iter().take(SHOWN_FAULTS).map(line).collect();
        let more = self.0.len().saturating_sub(SHOWN_FAULTS);
        lines.extend((more > 0).then(|| format!("and {more} more")));
        lines.join("\n")
    }

    /// All faults, also those that `Display` only counts.
    #[must_use]
    pub fn as_slice(&self) -> &[ReadError] {
        &self.0
    }
}

impl fmt::Display for ReadErrors {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.lines(|_| None))
    }
}

impl std::error::Error for ReadErrors {}
