//! Rows to strips: groups the rows of each strip, in the order of the file.

use std::collections::HashMap;
use std::sync::Arc;

use crate::units::{
    Celsius, Density, DensityNoise, DensitySigma, Minutes, OffsetSigma, SlopeSigma,
};

use super::columns::{self, EXAMPLE, Known, Layout, near_name};
use super::draft::{Draft, Objection, take_once};
use super::fault::ReadError;
use super::files::stem;
use super::intake::{Intake, Rank, RowTaker};
use super::judge::{TableFacts, table_notes};
use super::note::Note;
use super::rows::{CHECK, CellReader, RowReader, WRITE_NUMBER};
use super::table::{Header, Row};
use super::wide::{WideColumns, WideGatherer};
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
    type Taker<'t> = Taker<'t>;

    fn example(&self) -> &'static str {
        EXAMPLE
    }

    fn keys(&self) -> &'static [&'static str] {
        &["density"]
    }

    fn rank(&self, cells: &[&str]) -> Rank {
        columns::rank(cells)
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
        fill: impl FnOnce(&mut Taker<'_>),
    ) {
        let cells = CellReader { header, comma_allowed };
        if let Some(columns) = WideColumns::of(header) {
            let mut taker = Taker::Wide(WideGatherer::new(input, cells, columns));
            fill(&mut taker);
            return taker.finish(self);
        }
        let layout = match Layout::new(header) {
            Ok(layout) => layout,
            Err(fault) => return self.faults.push(fault),
        };
        self.table_notes(table_notes(&input.file, &layout, input.options));
        let options = input.options;
        let mut taker = Taker::Long(Gatherer {
            reader: RowReader { cells, layout: &layout, options },
            only_name: &input.stem,
            noise: noise(options),
            drafts: Vec::new(),
            by_name: HashMap::new(),
            latest: 0,
            faults: Vec::new(),
            rows: 0,
        });
        fill(&mut taker);
        taker.finish(self);
    }
}

impl Gathered {
    /// Adds notes on a table, those that are new.
    pub(super) fn table_notes(&mut self, notes: Vec<Note>) {
        for note in notes {
            if !self.notes.contains(&note) {
                self.notes.push(note);
            }
        }
    }
}

/// The standard uncertainty of readings that give none.
pub(super) fn noise(options: &ReadOptions) -> DensityNoise {
    options.density_sigma.unwrap_or_else(|| default_sigma().into())
}

/// Gathers the rows of a table: one reading a row, or one strip a column.
#[derive(Debug)]
pub(super) enum Taker<'a> {
    /// A row is a reading.
    Long(Gatherer<'a>),
    /// A column is a strip.
    Wide(WideGatherer<'a>),
}

impl RowTaker for Taker<'_> {
    fn fault(&mut self, fault: ReadError) {
        match self {
            Self::Long(gatherer) => gatherer.fault(fault),
            Self::Wide(gatherer) => gatherer.fault(fault),
        }
    }

    fn row(&mut self, row: &impl Row) {
        match self {
            Self::Long(gatherer) => gatherer.row(row),
            Self::Wide(gatherer) => gatherer.row(row),
        }
    }
}

impl Taker<'_> {
    /// Ends the table: its strips and faults go to `gathered`.
    fn finish(self, gathered: &mut Gathered) {
        match self {
            Self::Long(gatherer) => gatherer.finish(gathered),
            Self::Wide(gatherer) => gatherer.finish(gathered),
        }
    }
}

/// Takes in a strip's time of development; the fault of its cell, where there is one.
pub(super) fn minutes_of(
    cells: &CellReader<'_>,
    draft: &mut Draft,
    row: &impl Row,
    column: usize,
) -> Option<ReadError> {
    let read = cells.minutes(row, column, Minutes::BOUNDS);
    let taken = take_once(&mut draft.minutes, read, row.line(), |minutes| minutes);
    objection(taken, cells, draft, row, column, "time")
}

/// Takes in a strip's temperature of development; the fault of its cell, where there is one.
pub(super) fn celsius_of(
    cells: &CellReader<'_>,
    draft: &mut Draft,
    row: &impl Row,
    column: usize,
    fahrenheit: bool,
) -> Option<ReadError> {
    let read = cells.temperature(row, column, fahrenheit);
    let read = read.map(|read| read.map(|temperature| temperature.celsius));
    let taken = take_once(&mut draft.celsius, read, row.line(), Celsius::get);
    objection(taken, cells, draft, row, column, "temperature")
}

/// Takes in the standard uncertainties that all densities of a strip have in common; the faults of their cells.
fn common_of(
    cells: &CellReader<'_>,
    draft: &mut Draft,
    row: &impl Row,
    columns: [Option<usize>; 2],
) -> Vec<ReadError> {
    let bounds = [OffsetSigma::BOUNDS, SlopeSigma::BOUNDS];
    let names = ["offset_sigma", "slope_sigma"];
    let mut faults = Vec::new();
    for (which, column) in columns.into_iter().enumerate() {
        let Some(column) = column else { continue };
        let read = cells.bounded(row, column, bounds[which], WRITE_NUMBER, CHECK);
        let taken = take_once(&mut draft.common[which], read, row.line(), |sigma| sigma);
        faults.extend(objection(taken, cells, draft, row, column, names[which]));
    }
    faults
}

fn objection(
    taken: Result<(), Objection>,
    cells: &CellReader<'_>,
    draft: &mut Draft,
    row: &impl Row,
    column: usize,
    quantity: &'static str,
) -> Option<ReadError> {
    let fault = match taken {
        Ok(()) => return None,
        Err(Objection::Fault(fault)) => fault,
        Err(Objection::Differs { first, first_line }) => ReadError::Disagreement {
            at: cells.place(row, column),
            strip: draft.name.clone(),
            quantity,
            found: row.cell(column).into(),
            first,
            first_line,
        },
    };
    draft.refuse(row.cell(column), fault)
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
        let (reader, draft) = (&self.reader, &mut self.drafts[index]);
        if let Some(column) = reader.layout.minutes {
            self.faults.extend(minutes_of(&reader.cells, draft, row, column));
        }
        let common = common_of(&reader.cells, draft, row, reader.layout.common);
        self.faults.extend(common);
        if let Some((column, fahrenheit)) = reader.layout.temperature {
            let fahrenheit = fahrenheit || reader.options.fahrenheit;
            self.faults.extend(celsius_of(&reader.cells, draft, row, column, fahrenheit));
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
        draft.measured(exposure, density, reading);
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
