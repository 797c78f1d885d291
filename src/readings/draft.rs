//! One strip while its rows come in.

use crate::units::{Celsius, Density, LogExposure};

use super::Reading;
use super::fault::ReadError;
use super::note::Note;
use super::rows::Measured;
use super::table::Row;

/// What the labels are called, in the order of [`Draft::labels`].
const LABELS: [&str; 6] = ["film", "developer", "date", "note", "filter", "agitation"];
/// Differences of times in minutes, or of temperatures in °C, that are rounding of a conversion.
const SAME: f64 = 1e-6;

/// A value that is one for the whole strip, and the line that gave it first.
pub(super) type Once<T> = Option<(T, u32)>;

/// A strip whose rows are still coming in.
#[derive(Debug)]
pub(super) struct Draft {
    pub(super) name: Box<str>,
    /// Its first row.
    pub(super) line: u32,
    pub(super) excerpt: Option<Box<str>>,
    pub(super) readings: Vec<Reading>,
    pub(super) unexposed: Vec<Reading>,
    /// Rows with numbers out of bounds: judged with the strip, for they may be of another quantity.
    pub(super) beyond: Vec<Beyond>,
    pub(super) sigmas_given: usize,
    pub(super) minutes: Once<f64>,
    /// Standard uncertainties of what all densities have in common: offset and slope.
    pub(super) common: [Once<f64>; 2],
    pub(super) celsius: Once<Celsius>,
    pub(super) labels: [Once<String>; 6],
    pub(super) label_notes: [Option<Note>; 6],
    /// Texts of times and temperatures already complained of.
    refused: Vec<Box<str>>,
    pub(super) has_faults: bool,
}

/// A row with a number out of bounds, and the faults to report if that is all there is to it.
#[derive(Debug)]
pub(super) struct Beyond {
    pub(super) log_exposure: Option<f64>,
    pub(super) density: f64,
    pub(super) faults: Vec<ReadError>,
}

impl Beyond {
    /// The row with this exposure and density; none without a density.
    pub(super) fn new(exposure: Measured, density: Measured) -> Option<Self> {
        let mut faults = Vec::new();
        let mut value = |measured| match measured {
            Measured::Empty => None,
            Measured::Within(value) => Some(value),
            Measured::Beyond(value, fault) => {
                faults.push(fault);
                Some(value)
            }
        };
        let (log_exposure, density) = (value(exposure), value(density)?);
        Some(Self { log_exposure, density, faults })
    }
}

impl Draft {
    /// A strip that starts with `row`.
    pub(super) fn new(name: &str, row: &impl Row) -> Self {
        Self {
            name: name.into(),
            line: row.line(),
            excerpt: row.excerpt().map(Into::into),
            readings: Vec::new(),
            unexposed: Vec::new(),
            beyond: Vec::new(),
            sigmas_given: 0,
            minutes: None,
            common: [None; 2],
            celsius: None,
            labels: [const { None }; 6],
            label_notes: [const { None }; 6],
            refused: Vec::new(),
            has_faults: false,
        }
    }

    /// Takes in a reading: `reading` makes one of its exposure and density, where both are within bounds.
    pub(super) fn measured(
        &mut self,
        exposure: Measured,
        density: Measured,
        reading: impl FnOnce(Option<LogExposure>, Density) -> Reading,
    ) {
        match (exposure, density) {
            (Measured::Within(x), Measured::Within(d)) => {
                let both = LogExposure::new(x).and_then(|x| Ok((x, Density::new(d)?)));
                self.readings.extend(both.map(|(x, d)| reading(Some(x), d)));
            }
            (Measured::Empty, Measured::Within(d)) => {
                self.unexposed.extend(Density::new(d).map(|d| reading(None, d)));
            }
            (exposure, density) => self.beyond.extend(Beyond::new(exposure, density)),
        }
    }

    /// Takes in a label; the first of its kind is kept, and the first that differs is noted.
    pub(super) fn label(&mut self, which: usize, text: &str, line: u32) {
        match &self.labels[which] {
            None => self.labels[which] = Some((text.to_owned(), line)),
            Some((first, first_line)) if first != text && self.label_notes[which].is_none() => {
                self.label_notes[which] = Some(Note::LabelDiffers {
                    label: LABELS[which],
                    first: first.clone(),
                    first_line: *first_line,
                    other: text.to_owned(),
                    line,
                });
            }
            Some(_) => {}
        }
    }

    /// The fault of a time or temperature with this text, unless the strip was complained of for it.
    pub(super) fn refuse(&mut self, text: &str, fault: ReadError) -> Option<ReadError> {
        self.has_faults = true;
        if self.refused.iter().any(|refused| **refused == *text) {
            return None;
        }
        self.refused.push(text.into());
        Some(fault)
    }
}

/// Why a value that is one for the whole strip cannot be taken.
pub(super) enum Objection {
    /// The cell is at fault.
    Fault(ReadError),
    /// Another line gave another value.
    Differs { first: f64, first_line: u32 },
}

/// Takes in a value that is one for the whole strip: the first is kept, and later ones must agree.
pub(super) fn take_once<T: Copy>(
    known: &mut Once<T>,
    read: Result<Option<T>, ReadError>,
    line: u32,
    number: fn(T) -> f64,
) -> Result<(), Objection> {
    let Some(value) = read.map_err(Objection::Fault)? else {
        return Ok(());
    };
    let (first, first_line) = *known.get_or_insert((value, line));
    let first = number(first);
    match (number(value) - first).abs() <= SAME {
        true => Ok(()),
        false => Err(Objection::Differs { first, first_line }),
    }
}
