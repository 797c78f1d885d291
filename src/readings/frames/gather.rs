//! Rows to frames.

use std::collections::HashMap;

use crate::readings::Labels;
use crate::readings::errors::{ReadError, ReadErrors};
use crate::readings::gather::{Input, default_sigma};
use crate::readings::intake::{Intake, RowTaker};
use crate::readings::rows::CellReader;
use crate::readings::table::{Header, Row};
use crate::units::{Density, DensitySigma, Millimetres, OutOfBounds};

use super::layout::{EXAMPLE, FrameLayout, knows};
use super::{Frame, Frames, PlaceReading};

const WRITE_PLACE: &str = "millimetres, as 12.5";
const WRITE_DENSITY: &str = "one density, as 0.62";
const WRITE_SIGMA: &str = "one number, as 0.01";
const NO_PLACE: &str = "write where on the frame the density was read, in mm";
const NO_DENSITY: &str = "write the density, or remove the row if the place was not read";
const NO_FRAME: &str = "write the name of the frame in each of its rows";
const CHECK_PLACE: &str = "write millimetres from the frame's left side (x) and lower edge (y)";
const CHECK_DENSITY: &str = "check the decimal point";
const CHECK: &str = "check what was typed";
/// The greatest percentage of transmittance.
const WHOLE: f64 = 100.0;

/// Takes in the table of a file of frames.
pub(super) struct FrameIntake {
    sigma: Option<DensitySigma>,
    frames: Vec<Frame>,
    labels: [Option<String>; 4],
    sigmas_given: usize,
    notes: Vec<String>,
    faults: Vec<ReadError>,
}

impl FrameIntake {
    pub(super) fn new(sigma: Option<DensitySigma>) -> Self {
        Self {
            sigma,
            frames: Vec::new(),
            labels: [const { None }; 4],
            sigmas_given: 0,
            notes: Vec::new(),
            faults: Vec::new(),
        }
    }

    /// The frames, or every fault.
    pub(super) fn finish(mut self, source: &str) -> Result<Frames, ReadErrors> {
        if let Some(errors) = ReadErrors::from_faults(self.faults) {
            return Err(errors);
        }
        let rows: usize = self.frames.iter().map(|f| f.readings.len()).sum();
        if (1..rows).contains(&self.sigmas_given) {
            self.notes.push(format!(
                "sigma is given for {} of {rows} readings; the rest have the one for all",
                self.sigmas_given
            ));
        }
        let [film, developer, date, note] = self.labels;
        Ok(Frames {
            source: source.to_owned(),
            frames: self.frames,
            labels: Labels { film, developer, date, note, filter: None },
            sigma_is_assumed: self.sigmas_given < rows && self.sigma.is_none(),
            notes: self.notes,
        })
    }
}

impl Intake for FrameIntake {
    type Taker<'t> = FrameTaker<'t>;
    const EXAMPLE: &'static str = EXAMPLE;

    fn knows(heading: &str) -> bool {
        knows(heading)
    }

    fn fault(&mut self, fault: ReadError) {
        self.faults.push(fault);
    }

    fn note(&mut self, note: String) {
        self.notes.push(note);
    }

    fn table(
        &mut self,
        input: &Input<'_>,
        header: &Header,
        comma_allowed: bool,
        fill: impl FnOnce(&mut FrameTaker<'_>),
    ) {
        let layout = match FrameLayout::new(header) {
            Ok(layout) => layout,
            Err(fault) => return self.faults.push(fault),
        };
        self.notes.extend(layout.unused.clone());
        let sigma = self.sigma.unwrap_or_else(default_sigma);
        let mut taker = FrameTaker {
            cells: CellReader { header, comma_allowed },
            layout: &layout,
            only_name: &input.stem,
            sigma,
            by_name: HashMap::new(),
            beyond: Vec::new(),
            rows: 0,
            intake: self,
        };
        fill(&mut taker);
        taker.end();
    }
}

/// Takes in the rows of the table.
pub(super) struct FrameTaker<'t> {
    cells: CellReader<'t>,
    layout: &'t FrameLayout,
    only_name: &'t str,
    sigma: DensitySigma,
    by_name: HashMap<String, usize>,
    /// Densities out of bounds, with their faults: they may all be percentages.
    beyond: Vec<(f64, ReadError)>,
    rows: usize,
    intake: &'t mut FrameIntake,
}

impl RowTaker for FrameTaker<'_> {
    fn fault(&mut self, fault: ReadError) {
        self.rows += 1;
        self.intake.faults.push(fault);
    }

    /// Takes in one row. A row of blanks is no row.
    fn row(&mut self, row: &impl Row) {
        if (0..self.cells.header.columns.len()).all(|column| row.cell(column).is_empty()) {
            return;
        }
        self.rows += 1;
        for (label, column) in self.intake.labels.iter_mut().zip(self.layout.labels) {
            let text = column.map_or("", |column| row.cell(column));
            if label.is_none() && !text.is_empty() {
                *label = Some(text.to_owned());
            }
        }
        let name = self.name(row);
        let (x, y) = (self.place(row, self.layout.x), self.place(row, self.layout.y));
        let (density, sigma) = (self.density(row), self.row_sigma(row));
        match (name, x, y, density, sigma) {
            (Ok(name), Ok(x), Ok(y), Ok(Some(density)), Ok(sigma)) => {
                self.intake.sigmas_given += usize::from(sigma.is_some());
                let reading = PlaceReading {
                    x,
                    y,
                    density,
                    sigma: sigma.unwrap_or(self.sigma),
                    line: row.line(),
                };
                self.push(name, reading);
            }
            (name, x, y, density, sigma) => {
                let faults = [name.err(), x.err(), y.err(), density.err(), sigma.err()];
                self.intake.faults.extend(faults.into_iter().flatten());
            }
        }
    }
}

impl FrameTaker<'_> {
    fn push(&mut self, name: String, reading: PlaceReading) {
        let frames = &mut self.intake.frames;
        let index = *self.by_name.entry(name).or_insert_with_key(|name| {
            frames.push(Frame { name: name.clone(), readings: Vec::new() });
            frames.len() - 1
        });
        frames[index].readings.push(reading);
    }

    fn name(&self, row: &impl Row) -> Result<String, ReadError> {
        match self.layout.frame {
            None => Ok(self.only_name.to_owned()),
            Some(column) if row.cell(column).is_empty() => Err(self.empty(row, column, NO_FRAME)),
            Some(column) => Ok(row.cell(column).to_owned()),
        }
    }

    fn empty(&self, row: &impl Row, column: usize, advice: &'static str) -> ReadError {
        let at = self.cells.place(row, column);
        ReadError::EmptyCell { at, advice }
    }

    fn place(&self, row: &impl Row, column: usize) -> Result<Millimetres, ReadError> {
        match self.cells.number(row, column, WRITE_PLACE)? {
            None => Err(self.empty(row, column, NO_PLACE)),
            Some(value) => Millimetres::new(value)
                .map_err(|bounds| self.cells.out_of_range(row, column, bounds, CHECK_PLACE)),
        }
    }

    /// The density; `None` where it is out of bounds and judged later.
    fn density(&mut self, row: &impl Row) -> Result<Option<Density>, ReadError> {
        let column = self.layout.density;
        let Some(value) = self.cells.number(row, column, WRITE_DENSITY)? else {
            return Err(self.empty(row, column, NO_DENSITY));
        };
        match Density::new(value) {
            Ok(density) => Ok(Some(density)),
            Err(bounds) => {
                let fault = self.cells.out_of_range(row, column, bounds, CHECK_DENSITY);
                self.beyond.push((value, fault));
                Ok(None)
            }
        }
    }

    fn row_sigma(&self, row: &impl Row) -> Result<Option<DensitySigma>, ReadError> {
        let Some(column) = self.layout.sigma else {
            return Ok(None);
        };
        let Some(value) = self.cells.number(row, column, WRITE_SIGMA)? else {
            return Ok(None);
        };
        let out = |bounds: OutOfBounds| self.cells.out_of_range(row, column, bounds, CHECK);
        DensitySigma::new(value).map(Some).map_err(out)
    }

    /// Ends the table: densities out of bounds are reported, as percentages where most can be.
    fn end(self) {
        let faults = &mut self.intake.faults;
        if self.rows == 0 {
            let at = Box::new(self.cells.header.place.clone());
            return faults.push(ReadError::HeaderOnly { at });
        }
        let percent = |value: f64| (Density::HIGHEST..=WHOLE).contains(&value);
        let all_percent = self.beyond.iter().all(|(value, _)| percent(*value));
        if all_percent && 2 * self.beyond.len() > self.rows {
            let values = self.beyond.iter().map(|(value, _)| *value);
            let (low, high) =
                values.fold((f64::MAX, f64::MIN), |(low, high), v| (low.min(v), high.max(v)));
            let first = self.beyond.first().and_then(|(_, fault)| fault.place());
            let at = Box::new(first.unwrap_or(&self.cells.header.place).clone());
            faults.push(ReadError::Percentages { at, low, high });
        } else {
            faults.extend(self.beyond.into_iter().map(|(_, fault)| fault));
        }
        faults.sort_by_key(|fault| fault.place().map(|place| place.line));
    }
}
