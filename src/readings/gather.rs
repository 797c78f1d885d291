//! Rows to strips: groups the rows of each strip, in the order of the file.

use std::collections::HashMap;

use crate::units::{Celsius, Density, DensitySigma, LogExposure, Minutes};

use super::columns::Layout;
use super::errors::ReadError;
use super::judge::TableFacts;
use super::rows::{Measured, RowReader};
use super::table::{Header, Row};
use super::words::shown;
use super::{ReadOptions, Reading, Strip};

/// The standard uncertainty of a reading for which nobody gives one: 0.010.
fn default_sigma() -> DensitySigma {
    DensitySigma::new(0.010).expect("0.010 lies within the bounds of the type")
}

/// What the labels are called, in the order of [`Layout::labels`].
const LABELS: [&str; 4] = ["film", "developer", "date", "note"];

/// What the files gave so far.
#[derive(Debug, Default)]
pub(super) struct Gathered {
    pub(super) strips: Vec<Strip>,
    pub(super) notes: Vec<String>,
    pub(super) faults: Vec<ReadError>,
}

/// One strip while its rows come in.
#[derive(Debug)]
pub(super) struct Draft {
    pub(super) name: Box<str>,
    /// Its first row.
    pub(super) line: u32,
    pub(super) excerpt: Option<Box<str>>,
    pub(super) readings: Vec<Reading>,
    pub(super) unexposed: Vec<Reading>,
    /// Rows whose numbers are out of bounds: judged with the strip, for they may be of another quantity.
    pub(super) beyond: Vec<Beyond>,
    pub(super) sigmas_given: usize,
    pub(super) minutes: Option<(Minutes, u32)>,
    pub(super) celsius: Option<(Celsius, u32)>,
    pub(super) labels: [Option<(String, u32)>; 4],
    pub(super) notes: [Option<String>; 4],
    /// Texts of times and temperatures already complained of.
    pub(super) refused: Vec<Box<str>>,
    pub(super) has_faults: bool,
}

/// A row with a number out of bounds, and the faults to report if that is all there is to it.
#[derive(Debug)]
pub(super) struct Beyond {
    pub(super) log_exposure: Option<f64>,
    pub(super) density: f64,
    pub(super) faults: Vec<ReadError>,
}

impl Draft {
    fn new(name: &str, row: &impl Row) -> Self {
        Self {
            name: name.into(),
            line: row.line(),
            excerpt: row.excerpt().map(Into::into),
            readings: Vec::new(),
            unexposed: Vec::new(),
            beyond: Vec::new(),
            sigmas_given: 0,
            minutes: None,
            celsius: None,
            labels: [const { None }; 4],
            notes: [const { None }; 4],
            refused: Vec::new(),
            has_faults: false,
        }
    }
}

/// Gathers the rows of one table.
#[derive(Debug)]
pub(super) struct Gatherer<'a> {
    reader: RowReader<'a>,
    /// The name of the strip where no column names one.
    only_name: &'a str,
    sigma: DensitySigma,
    drafts: Vec<Draft>,
    by_name: HashMap<Box<str>, usize>,
    latest: usize,
    faults: Vec<ReadError>,
    rows: usize,
}

impl<'a> Gatherer<'a> {
    /// Ready for rows of a table with this `header` and `layout`.
    pub(super) fn new(
        header: &'a Header,
        layout: &'a Layout,
        options: &'a ReadOptions,
        comma_allowed: bool,
        only_name: &'a str,
    ) -> Self {
        Self {
            reader: RowReader {
                header,
                layout,
                options,
                comma_allowed,
            },
            only_name,
            sigma: options.density_sigma.unwrap_or_else(default_sigma),
            drafts: Vec::new(),
            by_name: HashMap::new(),
            latest: 0,
            faults: Vec::new(),
            rows: 0,
        }
    }

    /// Notes a fault that a format found in a row.
    pub(super) fn fault(&mut self, fault: ReadError) {
        self.rows += 1;
        self.faults.push(fault);
    }

    /// Takes in one row. A row of blanks is no row.
    pub(super) fn row(&mut self, row: &impl Row) {
        let own_cells = self.reader.header.columns.len();
        if (0..own_cells)
            .all(|column| row.elsewhere(column).is_some() || row.cell(column).is_empty())
        {
            return;
        }
        self.rows += 1;
        let Some(index) = self.strip_of(row) else {
            return;
        };
        self.latest = index;
        self.development(index, row);
        self.labels(index, row);
        self.reading(index, row);
    }

    /// The strip to which the row belongs; none, and a fault, where its name is left out.
    fn strip_of(&mut self, row: &impl Row) -> Option<usize> {
        let name = match self.reader.layout.strip {
            None => self.only_name,
            Some(column) => row.cell(column),
        };
        if name.is_empty() {
            let at = self
                .reader
                .place(row, self.reader.layout.strip.unwrap_or(0));
            let advice = "write the name of the strip in each of its rows";
            self.faults.push(ReadError::EmptyCell { at, advice });
            return None;
        }
        if self
            .drafts
            .get(self.latest)
            .is_some_and(|draft| *draft.name == *name)
        {
            return Some(self.latest);
        }
        if let Some(index) = self.by_name.get(name) {
            return Some(*index);
        }
        self.by_name.insert(name.into(), self.drafts.len());
        self.drafts.push(Draft::new(name, row));
        Some(self.drafts.len() - 1)
    }

    fn reading(&mut self, index: usize, row: &impl Row) {
        let reader = &self.reader;
        let (exposure, density, sigma) = (
            reader.log_exposure(row),
            reader.density(row),
            reader.sigma(row),
        );
        let draft = &mut self.drafts[index];
        let (exposure, density, sigma) = match (exposure, density, sigma) {
            (Ok(exposure), Ok(density), Ok(sigma)) => (exposure, density, sigma),
            (exposure, density, sigma) => {
                draft.has_faults = true;
                self.faults.extend(
                    exposure
                        .err()
                        .into_iter()
                        .chain(density.err())
                        .chain(sigma.err()),
                );
                return;
            }
        };
        draft.sigmas_given += usize::from(sigma.is_some());
        let step = reader
            .layout
            .step
            .map(|column| row.cell(column))
            .filter(|step| !step.is_empty());
        let whole = |log_exposure, density| Reading {
            step: step.map(Into::into),
            log_exposure,
            density,
            sigma: sigma.unwrap_or(self.sigma),
            line: row.line(),
        };
        match (exposure, density) {
            (Measured::Within(x), Measured::Within(d)) => {
                if let (Ok(x), Ok(d)) = (LogExposure::new(x), Density::new(d)) {
                    draft.readings.push(whole(Some(x), d));
                }
            }
            (Measured::Empty, Measured::Within(d)) => {
                draft
                    .unexposed
                    .extend(Density::new(d).map(|d| whole(None, d)));
            }
            (exposure, density) => draft.beyond.extend(beyond(exposure, density)),
        }
    }

    /// Time and temperature of development; the first of the strip holds, another one is a fault.
    fn development(&mut self, index: usize, row: &impl Row) {
        let (reader, draft) = (&self.reader, &mut self.drafts[index]);
        if let Some(column) = reader.layout.minutes {
            let read = reader
                .minutes(row, column)
                .map(|read| read.map(|m| (m, m.get())));
            let known = draft.minutes.map(|(minutes, line)| (minutes.get(), line));
            match strip_wide(reader, row, column, draft, read, known, ("time", "min")) {
                Ok(Some(minutes)) => draft.minutes = Some((minutes, row.line())),
                Ok(None) => {}
                Err(fault) => self.faults.push(fault),
            }
        }
        if let Some((column, fahrenheit)) = reader.layout.temperature {
            let read = reader
                .celsius(row, column, fahrenheit)
                .map(|read| read.map(|c| (c, c.get())));
            let known = draft.celsius.map(|(celsius, line)| (celsius.get(), line));
            match strip_wide(
                reader,
                row,
                column,
                draft,
                read,
                known,
                ("temperature", "°C"),
            ) {
                Ok(Some(celsius)) => draft.celsius = Some((celsius, row.line())),
                Ok(None) => {}
                Err(fault) => self.faults.push(fault),
            }
        }
    }

    fn labels(&mut self, index: usize, row: &impl Row) {
        let draft = &mut self.drafts[index];
        for (which, column) in self.reader.layout.labels.iter().enumerate() {
            let Some(text) = column
                .map(|column| row.cell(column))
                .filter(|text| !text.is_empty())
            else {
                continue;
            };
            match &draft.labels[which] {
                None => draft.labels[which] = Some((text.to_owned(), row.line())),
                Some((first, line)) if first != text && draft.notes[which].is_none() => {
                    draft.notes[which] = Some(format!(
                        "{} is {} in line {line} and {} in line {}; the first is kept",
                        LABELS[which],
                        shown(first),
                        shown(text),
                        row.line()
                    ));
                }
                Some(_) => {}
            }
        }
    }

    /// Ends the table: its strips, notes and faults go to `gathered`.
    pub(super) fn finish(mut self, gathered: &mut Gathered) {
        let place = &self.reader.header.place;
        if self.rows == 0 {
            gathered.faults.push(ReadError::HeaderOnly {
                at: Box::new(place.clone()),
            });
            return;
        }
        let table = TableFacts {
            header: self.reader.header,
            scale: self.reader.scale(),
            exposure: self.reader.layout.exposure,
            options: self.reader.options,
        };
        for draft in self.drafts {
            match table.judged(draft) {
                Ok(strip) => gathered.strips.extend(strip),
                Err(faults) => self.faults.extend(faults),
            }
        }
        self.faults
            .sort_by_key(|fault| fault.place().map(|place| place.line));
        self.faults.dedup();
        gathered.faults.append(&mut self.faults);
    }
}

/// The row's numbers where at least one is out of bounds.
fn beyond(exposure: Measured, density: Measured) -> Option<Beyond> {
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
    Some(Beyond {
        log_exposure,
        density,
        faults,
    })
}

/// The value of a column that is one for the whole strip, where it is the strip's first.
fn strip_wide<T>(
    reader: &RowReader<'_>,
    row: &impl Row,
    column: usize,
    draft: &mut Draft,
    read: Result<Option<(T, f64)>, ReadError>,
    known: Option<(f64, u32)>,
    (quantity, unit): (&'static str, &str),
) -> Result<Option<T>, ReadError> {
    let text = row.cell(column);
    let fault = match (read, known) {
        (Ok(None), _) => return Ok(None),
        (Ok(Some((value, _))), None) => return Ok(Some(value)),
        (Ok(Some((_, value))), Some((first, _))) if (value - first).abs() <= 1e-9 => {
            return Ok(None);
        }
        (Ok(Some(_)), Some((first, first_line))) => ReadError::Disagreement {
            at: reader.place(row, column),
            strip: draft.name.clone(),
            quantity,
            found: text.into(),
            first: format!("{first} {unit}").into(),
            first_line,
        },
        (Err(fault), _) => fault,
    };
    draft.has_faults = true;
    if draft.refused.iter().any(|refused| **refused == *text) {
        return Ok(None);
    }
    draft.refused.push(text.into());
    Err(fault)
}
