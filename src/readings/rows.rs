//! One row of text cells to one typed row, with every fault of the row.

use crate::elementary::log10;
use crate::units::{
    Bounds, Celsius, Density, DensitySigma, ExposureIndex, LogExposure, OutOfBounds, STOP,
};

use super::columns::{ExposureColumns, Layout};
use super::fault::ReadError;
use super::place::Place;
use super::table::{Header, Row};
use super::{ExposureScale, ReadOptions};
use crate::units::typed::{
    NumberFault, Temperature, TemperatureUnit, degrees_and_unit, minutes_and_seconds, number,
};

/// log10 of the exposure in lux seconds that a metered tone gives the film at exposure index 1.
pub const LOG_METERED: f64 = 1.0;

/// Bounds of an exposure in **lux seconds**.
const EXPOSURE: Bounds = Bounds::new("an exposure in lux s", 1e-6, 1e6);
/// Bounds of the stops under a metered exposure.
const STOPS: Bounds = Bounds::new("a number of stops", -30.0, 30.0);

const WRITE_DENSITY: &str = "one density, as 0.62";
const WRITE_EXPOSURE: &str = "one number, as 1.5, or leave the cell empty for the unexposed film";
pub(super) const WRITE_NUMBER: &str = "one number, as 0.01";
const WRITE_INDEX: &str = "the number that the meter was set to, as 100";
const WRITE_DEGREES: &str = "degrees, as 20, 20C or 68F";
const CHECK_DENSITY: &str = "check the decimal point";
const CHECK_LOG: &str = "if these are exposures in lux s, name the column exposure";
const CHECK_EXPOSURE: &str = "leave the cell empty for the unexposed film";
pub(super) const CHECK: &str = "check what was typed";

/// Words that stand for the unexposed film where a cell has no exposure.
const UNEXPOSED: [&str; 3] = ["base", "clear", "unexposed"];

/// Whether the text of an exposure's cell marks the unexposed film: nothing, or a word for it.
pub(super) fn is_unexposed(text: &str) -> bool {
    text.is_empty() || UNEXPOSED.iter().any(|word| text.eq_ignore_ascii_case(word))
}

/// The content of a cell: nothing, a number within its bounds, or one beyond them with the fault.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Measured {
    Empty,
    Within(f64),
    Beyond(f64, ReadError),
}

/// Reads single cells of the rows of one table.
#[derive(Clone, Copy, Debug)]
pub(super) struct CellReader<'a> {
    pub(super) header: &'a Header,
    /// Whether a decimal comma cannot be taken for a separator.
    pub(super) comma_allowed: bool,
}

impl CellReader<'_> {
    /// The place of one cell.
    pub(super) fn place(&self, row: &impl Row, column: usize) -> Box<Place> {
        let (line, excerpt) = row.elsewhere(column).unwrap_or_else(|| (row.line(), row.excerpt()));
        let mut place = self.header.row_place(line, excerpt);
        place.column = Some(self.header.column(column));
        Box::new(place)
    }

    /// The number of the cell; `None` for an empty one.
    pub(super) fn number(
        &self,
        row: &impl Row,
        column: usize,
        write: &'static str,
    ) -> Result<Option<f64>, ReadError> {
        let text = row.cell(column);
        if text.is_empty() {
            return Ok(None);
        }
        number(text, self.comma_allowed).map(Some).map_err(|fault| {
            let (at, found) = (self.place(row, column), text.into());
            match fault {
                NumberFault::NotANumber => ReadError::NotANumber { at, found, write },
                NumberFault::DecimalComma => ReadError::DecimalComma { at, found },
            }
        })
    }

    /// The fault of a number outside its bounds.
    pub(super) fn out_of_range(
        &self,
        row: &impl Row,
        column: usize,
        bounds: OutOfBounds,
        advice: &'static str,
    ) -> ReadError {
        ReadError::OutOfRange {
            at: self.place(row, column),
            found: row.cell(column).into(),
            bounds,
            advice,
        }
    }

    /// A number of the cell within `bounds`; `None` for an empty cell.
    pub(super) fn bounded(
        &self,
        row: &impl Row,
        column: usize,
        bounds: Bounds,
        write: &'static str,
        advice: &'static str,
    ) -> Result<Option<f64>, ReadError> {
        match self.number(row, column, write)? {
            Some(found) if !bounds.contains(found) => {
                Err(self.out_of_range(row, column, OutOfBounds { found, bounds }, advice))
            }
            number => Ok(number),
        }
    }

    /// The time in the cell in **minutes** within `bounds`, from minutes or `m:ss`; `None` for an
    /// empty cell.
    ///
    /// # Errors
    /// Where it is neither, or out of bounds.
    pub(super) fn minutes(
        &self,
        row: &impl Row,
        column: usize,
        bounds: Bounds,
    ) -> Result<Option<f64>, ReadError> {
        let text = row.cell(column);
        if text.is_empty() {
            return Ok(None);
        }
        let read = minutes_and_seconds(text).map_or_else(|| number(text, self.comma_allowed), Ok);
        let value = read.map_err(|fault| {
            let (at, found) = (self.place(row, column), text.into());
            match fault {
                NumberFault::DecimalComma => ReadError::DecimalComma { at, found },
                NumberFault::NotANumber => ReadError::NotATime { at, found },
            }
        })?;
        let out = |bounds| self.out_of_range(row, column, bounds, CHECK);
        bounds.checked(value).map(Some).map_err(out)
    }

    /// The standard uncertainty of a density in the cell; `None` for an empty one.
    ///
    /// # Errors
    /// Where it is no number or out of bounds.
    pub(super) fn sigma(
        &self,
        row: &impl Row,
        column: usize,
    ) -> Result<Option<DensitySigma>, ReadError> {
        let Some(value) = self.number(row, column, WRITE_NUMBER)? else {
            return Ok(None);
        };
        let out = |bounds| self.out_of_range(row, column, bounds, CHECK);
        DensitySigma::new(value).map(Some).map_err(out)
    }

    /// The temperature in the cell; `None` for an empty cell. The cell's own unit goes before that of
    /// the column, which is °F where `fahrenheit`.
    ///
    /// # Errors
    /// Where it is no temperature of a bath; [`ReadError::Fahrenheit`] where it would be one in °F.
    pub(super) fn temperature(
        &self,
        row: &impl Row,
        column: usize,
        fahrenheit: bool,
    ) -> Result<Option<Temperature>, ReadError> {
        let text = row.cell(column);
        if text.is_empty() {
            return Ok(None);
        }
        let (digits, own_unit) = degrees_and_unit(text);
        let degrees = number(digits, self.comma_allowed).map_err(|fault| {
            let (at, found) = (self.place(row, column), text.into());
            match fault {
                NumberFault::DecimalComma => ReadError::DecimalComma { at, found },
                NumberFault::NotANumber => {
                    ReadError::NotANumber { at, found, write: WRITE_DEGREES }
                }
            }
        })?;
        let unit = own_unit.unwrap_or(TemperatureUnit::fahrenheit_if(fahrenheit));
        let celsius = Celsius::new(unit.to_celsius(degrees));
        celsius.map(|celsius| Some(Temperature { celsius, unit })).map_err(|bounds| {
            let celsius = TemperatureUnit::Fahrenheit.to_celsius(degrees);
            let likely =
                own_unit.is_none() && !fahrenheit && degrees > 0.0 && Celsius::new(celsius).is_ok();
            match likely {
                true => {
                    let (at, found) = (self.place(row, column), text.into());
                    ReadError::Fahrenheit { at, found, celsius }
                }
                false => self.out_of_range(row, column, bounds, CHECK),
            }
        })
    }
}

/// Reads the cells of rows of a table of strips.
#[derive(Debug)]
pub(super) struct RowReader<'a> {
    pub(super) cells: CellReader<'a>,
    pub(super) layout: &'a Layout,
    pub(super) options: &'a ReadOptions,
}

impl RowReader<'_> {
    /// A finite number, measured against its bounds.
    fn measured(
        &self,
        row: &impl Row,
        column: usize,
        value: f64,
        check: Result<(), OutOfBounds>,
        advice: &'static str,
    ) -> Result<Measured, ReadError> {
        match check {
            Ok(()) => Ok(Measured::Within(value)),
            Err(bounds) => {
                let fault = self.cells.out_of_range(row, column, bounds, advice);
                if value.is_finite() { Ok(Measured::Beyond(value, fault)) } else { Err(fault) }
            }
        }
    }

    /// The density of the row.
    ///
    /// # Errors
    /// Where the cell is empty or not a finite number.
    pub(super) fn density(&self, row: &impl Row) -> Result<Measured, ReadError> {
        let column = self.layout.density;
        let Some(value) = self.cells.number(row, column, WRITE_DENSITY)? else {
            let advice = "write the density, or remove the row if the step was not read";
            return Err(ReadError::EmptyCell { at: self.cells.place(row, column), advice });
        };
        self.measured(row, column, value, Density::new(value).map(drop), CHECK_DENSITY)
    }

    /// log10 of the exposure of the row; empty for the unexposed film.
    ///
    /// # Errors
    /// Where a cell is no finite number, or its exposure is out of bounds.
    pub(super) fn log_exposure(&self, row: &impl Row) -> Result<Measured, ReadError> {
        if is_unexposed(row.cell(self.layout.exposure.deciding_column())) {
            return Ok(Measured::Empty);
        }
        let (column, value, advice) = match self.layout.exposure {
            ExposureColumns::Log { column, .. } => {
                (column, self.cells.number(row, column, WRITE_EXPOSURE)?, CHECK_LOG)
            }
            ExposureColumns::Exposure { column } => {
                let exposure =
                    self.cells.bounded(row, column, EXPOSURE, WRITE_EXPOSURE, CHECK_EXPOSURE)?;
                (column, exposure.map(log10), CHECK)
            }
            ExposureColumns::Tablet { column } => {
                let clear = self.options.log_exposure_clear.map_or(0.0, LogExposure::get);
                let bounds = Bounds { quantity: "a tablet density", ..Density::BOUNDS };
                let density = self.cells.bounded(row, column, bounds, WRITE_EXPOSURE, CHECK)?;
                (column, density.map(|density| clear - density), CHECK)
            }
            ExposureColumns::Camera { index, stops } => {
                (stops, self.camera_exposure(row, index, stops)?, CHECK)
            }
        };
        match value {
            None => Ok(Measured::Empty),
            Some(value) => {
                self.measured(row, column, value, LogExposure::new(value).map(drop), advice)
            }
        }
    }

    /// A metered tone gives the film 10/EI lux seconds, and each stop under it halves that:
    /// log10(10/EI) - stops·log10(2).
    fn camera_exposure(
        &self,
        row: &impl Row,
        index: usize,
        stops: usize,
    ) -> Result<Option<f64>, ReadError> {
        let Some(under) = self.cells.bounded(row, stops, STOPS, WRITE_EXPOSURE, CHECK)? else {
            return Ok(None);
        };
        let Some(setting) =
            self.cells.bounded(row, index, ExposureIndex::BOUNDS, WRITE_INDEX, CHECK)?
        else {
            let advice = "write the exposure index that the meter was set to";
            return Err(ReadError::EmptyCell { at: self.cells.place(row, index), advice });
        };
        Ok(Some(LOG_METERED - log10(setting) - under * STOP))
    }

    /// The standard uncertainty of the row's density, if the row gives one.
    ///
    /// # Errors
    /// Where it is no number or out of bounds.
    pub(super) fn sigma(&self, row: &impl Row) -> Result<Option<DensitySigma>, ReadError> {
        self.layout.sigma.map_or(Ok(None), |column| self.cells.sigma(row, column))
    }

    /// The scale of the log exposures of this table.
    pub(super) fn scale(&self) -> ExposureScale {
        let relative = match self.layout.exposure {
            ExposureColumns::Log { relative, .. } => relative,
            ExposureColumns::Tablet { .. } => self.options.log_exposure_clear.is_none(),
            ExposureColumns::Exposure { .. } | ExposureColumns::Camera { .. } => false,
        };
        if relative || self.options.relative {
            ExposureScale::Relative
        } else {
            ExposureScale::Absolute
        }
    }
}
