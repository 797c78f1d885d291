//! Rows to strips: groups the rows of each strip, in the order of the file.

use std::collections::HashMap;
use std::sync::Arc;

use crate::units::{Celsius, Density, DensityNoise, DensitySigma, LogExposure, Minutes};

use super::columns::{EXAMPLE, Known, Layout, near_name};
use super::draft::{Beyond, Draft, Objection, take_once};
use super::fault::ReadError;
use super::files::stem;
use super::intake::{Intake, RowTaker};
use super::judge::{TableFacts, table_notes};
use super::note::Note;
use super::rows::{CellReader, Measured, RowReader};
use super::table::{Header, Row};
use super::{ReadOptions, Reading, Strip};

/// The standard uncertainty of a reading for which nobody gives one: 0.010.
pub(super) fn default_sigma() -> DensitySigma {
    DensitySigma::new(0.010).expect("0.010 lies within the bounds of the type")
}

/// A file to read, apart from its bytes.
#[derive(Debug)]
pub(super) struct Input<'a> {
    /// Its name in messages.
    pub(super) file: Arc<str>,
    /// The name of a strip where no column names one.
    pub(super) stem: String,
    pub(super) options: &'a ReadOptions,
}

impl<'a> Input<'a> {
    /// A file of this name.
    pub(super) fn new(name: &str, options: &'a ReadOptions) -> Self {
        Self { file: name.into(), stem: stem(name), options }
    }
}

/// What the files gave so far.
#[derive(Debug, Default)]
pub(super) struct Gathered {
    pub(super) strips: Vec<Strip>,
    pub(super) notes: Vec<Note>,
    pub(super) faults: Vec<ReadError>,
}

impl Intake for Gathered {
    type Taker<'t> = Gatherer<'t>;

    fn example(&self) -> &'static str {
        EXAMPLE
    }

    fn keys(&self) -> &'static [&'static str] {
        &["density"]
    }

    fn knows(&self, heading: &str) -> bool {
        Known::from_heading(heading).is_some()
    }

    fn near(&self, heading: &str) -> Option<&'static str> {
        near_name(heading)
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
        fill: impl FnOnce(&mut Gatherer<'_>),
    ) {
        let layout = match Layout::new(header) {
            Ok(layout) => layout,
            Err(fault) => return self.faults.push(fault),
        };
        for note in table_notes(&input.file, &layout, input.options) {
            if !self.notes.contains(&note) {
                self.notes.push(note);
            }
        }
        let options = input.options;
        let mut gatherer = Gatherer {
            reader: RowReader {
                cells: CellReader { header, comma_allowed },
                layout: &layout,
                options,
            },
            only_name: &input.stem,
            noise: options.density_sigma.unwrap_or_else(|| default_sigma().into()),
            drafts: Vec::new(),
            by_name: HashMap::new(),
            latest: 0,
            faults: Vec::new(),
            rows: 0,
        };
        fill(&mut gatherer);
        gatherer.finish(self);
    }
}

/// Gathers the rows of one table.
#[derive(Debug)]
pub(super) struct Gatherer<'a> {
    reader: RowReader<'a>,
    only_name: &'a str,
    noise: DensityNoise,
    drafts: Vec<Draft>,
    by_name: HashMap<Box<str>, usize>,
    /// The strip of the row before.
    latest: usize,
    faults: Vec<ReadError>,
    rows: usize,
}

impl RowTaker for Gatherer<'_> {
    fn fault(&mut self, fault: ReadError) {
        self.rows += 1;
        self.faults.push(fault);
    }

    /// Takes in one row. A row of blanks is no row.
    fn row(&mut self, row: &impl Row) {
        let blank = |column| row.elsewhere(column).is_some() || row.cell(column).is_empty();
        if (0..self.reader.cells.header.columns.len()).all(blank) {
            return;
        }
        self.rows += 1;
        let Some(index) = self.strip_of(row) else {
            return;
        };
        self.latest = index;
        self.development(index, row);
        for (which, column) in self.reader.layout.labels.iter().enumerate() {
            let text = column.map_or("", |column| row.cell(column));
            if !text.is_empty() {
                self.drafts[index].label(which, text, row.line());
            }
        }
        self.reading(index, row);
    }
}

impl Gatherer<'_> {
    /// The strip to which the row belongs; none, and a fault, where its name is left out.
    fn strip_of(&mut self, row: &impl Row) -> Option<usize> {
        let name = match self.reader.layout.strip {
            Some(column) if row.cell(column).is_empty() => {
                let at = self.reader.cells.place(row, column);
                let advice = "write the name of the strip in each of its rows";
                self.faults.push(ReadError::EmptyCell { at, advice });
                return None;
            }
            Some(column) => row.cell(column),
            None => self.only_name,
        };
        let latest = self.drafts.get(self.latest);
        if latest.is_some_and(|draft| *draft.name == *name) {
            return Some(self.latest);
        }
        if let Some(index) = self.by_name.get(name) {
            return Some(*index);
        }
        self.by_name.insert(name.into(), self.drafts.len());
        self.drafts.push(Draft::new(name, row));
        Some(self.drafts.len() - 1)
    }

    /// Time and temperature of development, which are one for the strip.
    fn development(&mut self, index: usize, row: &impl Row) {
        let (reader, draft, line) = (&self.reader, &mut self.drafts[index], row.line());
        let minutes = reader.layout.minutes.map(|column| {
            let read = reader.cells.minutes(row, column, Minutes::BOUNDS);
            (column, take_once(&mut draft.minutes, read, line, |minutes| minutes))
        });
        let celsius = reader.layout.temperature.map(|(column, fahrenheit)| {
            let fahrenheit = fahrenheit || reader.options.fahrenheit;
            let read = reader.cells.temperature(row, column, fahrenheit);
            let celsius = read.map(|read| read.map(|temperature| temperature.celsius));
            (column, take_once(&mut draft.celsius, celsius, line, Celsius::get))
        });
        for ((column, taken), quantity) in
            minutes.into_iter().map(|m| (m, "time")).chain(celsius.map(|c| (c, "temperature")))
        {
            let fault = match taken {
                Ok(()) => continue,
                Err(Objection::Fault(fault)) => fault,
                Err(Objection::Differs { first, first_line }) => ReadError::Disagreement {
                    at: reader.cells.place(row, column),
                    strip: draft.name.clone(),
                    quantity,
                    found: row.cell(column).into(),
                    first,
                    first_line,
                },
            };
            self.faults.extend(draft.refuse(row.cell(column), fault));
        }
    }

    fn reading(&mut self, index: usize, row: &impl Row) {
        let (reader, draft) = (&self.reader, &mut self.drafts[index]);
        let read = (reader.log_exposure(row), reader.density(row), reader.sigma(row));
        let (exposure, density, sigma) = match read {
            (Ok(exposure), Ok(density), Ok(sigma)) => (exposure, density, sigma),
            (exposure, density, sigma) => {
                draft.has_faults = true;
                let faults = exposure.err().into_iter().chain(density.err()).chain(sigma.err());
                return self.faults.extend(faults);
            }
        };
        draft.sigmas_given += usize::from(sigma.is_some());
        let step = reader.layout.step.map(|column| row.cell(column));
        let reading = |log_exposure, density: Density| Reading {
            step: step.filter(|step| !step.is_empty()).map(Into::into),
            log_exposure,
            density,
            sigma: sigma.unwrap_or_else(|| self.noise.at(density.get())),
            line: row.line(),
        };
        match (exposure, density) {
            (Measured::Within(x), Measured::Within(d)) => {
                let both = LogExposure::new(x).and_then(|x| Ok((x, Density::new(d)?)));
                draft.readings.extend(both.map(|(x, d)| reading(Some(x), d)));
            }
            (Measured::Empty, Measured::Within(d)) => {
                draft.unexposed.extend(Density::new(d).map(|d| reading(None, d)));
            }
            (exposure, density) => draft.beyond.extend(Beyond::new(exposure, density)),
        }
    }

    /// Ends the table: its strips and faults go to `gathered`.
    fn finish(mut self, gathered: &mut Gathered) {
        if self.rows == 0 {
            let at = Box::new(self.reader.cells.header.place.clone());
            return gathered.faults.push(ReadError::HeaderOnly { at });
        }
        let table = TableFacts {
            header: self.reader.cells.header,
            scale: self.reader.scale(),
            exposure: self.reader.layout.exposure,
            density: self.reader.layout.density,
            options: self.reader.options,
        };
        for draft in self.drafts {
            match table.judged(draft) {
                Ok(strip) => gathered.strips.extend(strip),
                Err(faults) => self.faults.extend(faults),
            }
        }
        self.faults.sort_by_key(|fault| fault.place().map(|place| place.line));
        self.faults.dedup();
        gathered.faults.append(&mut self.faults);
    }
}
