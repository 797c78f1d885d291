//! Step tablets: the steps of which a strip was exposed, in the order in which they are read.

use super::errors::ReadErrors;
use super::fault::ReadError;
#[cfg(feature = "files")]
use super::files::contents;
use super::named::Names;
use super::note::Note;
use super::small::{Cells, SmallTable};
use crate::units::{Bounds, Density, DensitySigma, LogExposure};
use std::collections::HashSet;
use std::fmt;
#[cfg(feature = "files")]
use std::path::Path;

/// Most steps of a tablet.
pub const MOST_STEPS: usize = 200;
/// Bounds of the increment of even steps.
const INCREMENT: Bounds = Bounds::new("an increment of a tablet's density", 0.02, 1.0);

/// The steps of a tablet, or of a sensitometer.
#[derive(Clone, Debug, PartialEq)]
pub struct Tablet {
    /// How the steps are given.
    pub scale: TabletScale,
    /// The steps, in the order in which they are read.
    pub steps: Vec<TabletStep>,
}

/// How the steps of a tablet are given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TabletScale {
    /// By their own densities.
    Density,
    /// By log10 of the exposure in **lux seconds**.
    LogExposure,
    /// By log10 of the exposure, relative to an unnamed one.
    RelativeLogExposure,
}

/// One step of a tablet.
#[derive(Clone, Debug, PartialEq)]
pub struct TabletStep {
    /// Its name.
    pub name: String,
    /// Its density or log exposure.
    pub value: f64,
    /// Standard uncertainty of its density, where the file of the tablet gives one.
    pub sigma: Option<f64>,
}

/// Why there is no tablet.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum NoTablet {
    /// The file has faults.
    Read(ReadErrors),
    /// Fewer than two steps, or more than [`MOST_STEPS`].
    Steps(usize),
    /// A number out of its bounds.
    Value(crate::units::OutOfBounds),
}

impl fmt::Display for NoTablet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Read(errors) => errors.fmt(f),
            Self::Steps(found) => {
                write!(f, "a tablet has 2 to {MOST_STEPS} steps, and this one has {found}")
            }
            Self::Value(bounds) => bounds.fmt(f),
        }
    }
}

impl std::error::Error for NoTablet {}

impl TabletScale {
    /// The column of a readings file.
    #[must_use]
    pub const fn column(self) -> &'static str {
        match self {
            Self::Density => "tablet_density",
            Self::LogExposure => "log_exposure",
            Self::RelativeLogExposure => "relative_log_exposure",
        }
    }

    const fn bounds(self) -> Bounds {
        match self {
            Self::Density => Bounds { quantity: "a tablet density", ..Density::BOUNDS },
            Self::LogExposure | Self::RelativeLogExposure => LogExposure::BOUNDS,
        }
    }
}

impl Tablet {
    /// A tablet of even steps, the densest first: `thinnest + k·increment`.
    ///
    /// # Errors
    /// [`NoTablet`] where there are too few or too many steps, or a density out of bounds.
    pub fn even(steps: usize, increment: f64, thinnest: f64) -> Result<Self, NoTablet> {
        if steps > MOST_STEPS {
            return Err(NoTablet::Steps(steps));
        }
        INCREMENT.checked(increment).map_err(NoTablet::Value)?;
        let rounded = |value: f64| (value * 1e4).round() / 1e4;
        let values = (0..steps).rev();
        let values = values.map(|k| rounded(thinnest + increment * k as f64)).collect();
        Self::of_values(TabletScale::Density, values)
    }

    /// Steps that are given by their densities or log exposures, numbered from 1.
    ///
    /// # Errors
    /// [`NoTablet`] where there are too few or too many steps, or a value out of bounds.
    pub fn of_values(scale: TabletScale, values: Vec<f64>) -> Result<Self, NoTablet> {
        for value in &values {
            scale.bounds().checked(*value).map_err(NoTablet::Value)?;
        }
        let step =
            |(k, value): (usize, f64)| TabletStep { name: (k + 1).to_string(), value, sigma: None };
        Self { scale, steps: values.into_iter().enumerate().map(step).collect() }.checked()
    }

    /// The tablet in the file at `path`: the steps of its column `tablet_density`, `log_exposure` or
    /// `relative_log_exposure`, or of its column `density` where it has none of these. Rows that repeat a
    /// step are one.
    ///
    /// # Errors
    /// [`NoTablet`].
    #[cfg(feature = "files")]
    pub fn read(path: &Path) -> Result<(Self, Vec<Note>), NoTablet> {
        let name = path.display().to_string();
        match contents(path) {
            Ok(bytes) => Self::of_bytes(&name, &bytes),
            Err(fault) => {
                let fault = ReadError::Unreadable { file: name.into(), fault };
                Err(NoTablet::Read(ReadErrors::of(fault)))
            }
        }
    }

    /// The tablet in `bytes`; `name` stands for the file in messages.
    ///
    /// # Errors
    /// [`NoTablet`].
    pub fn of_bytes(name: &str, bytes: &[u8]) -> Result<(Self, Vec<Note>), NoTablet> {
        let tables = (
            SmallTable::of_bytes(name, bytes, &BY_EXPOSURE),
            SmallTable::of_bytes(name, bytes, &BY_DENSITY),
        );
        let (table, scales): (SmallTable, &[TabletScale]) = match tables {
            (Ok(table), _) => (table, &SCALES),
            (Err(_), Ok(table)) => (table, &[]),
            (Err(errors), Err(_)) => return Err(NoTablet::Read(errors)),
        };
        let mut scale = TabletScale::Density;
        let mut seen = HashSet::new();
        let read = table.rows(|cells| {
            let given = scales.iter().find(|scale| cells.has(scale.column()));
            scale = given.copied().unwrap_or_default();
            step(cells, given.map_or("density", |scale| scale.column()), scale)
        });
        let (steps, notes) = read.map_err(NoTablet::Read)?;
        let mut steps: Vec<TabletStep> = steps
            .into_iter()
            .flatten()
            .filter(|step| seen.insert((step.name.clone(), step.value.to_bits())))
            .collect();
        for (k, step) in steps.iter_mut().enumerate().filter(|(_, step)| step.name.is_empty()) {
            step.name = (k + 1).to_string();
        }
        Ok((Self { scale, steps }.checked()?, notes))
    }

    fn checked(self) -> Result<Self, NoTablet> {
        match self.steps.len() {
            2..=MOST_STEPS => Ok(self),
            found => Err(NoTablet::Steps(found)),
        }
    }
}

impl Default for TabletScale {
    /// By their own densities.
    fn default() -> Self {
        Self::Density
    }
}

/// The step of one row; none where its cell is empty, as in the row of the unexposed film.
fn step(
    cells: &Cells<'_>,
    column: &str,
    scale: TabletScale,
) -> Result<Option<TabletStep>, ReadError> {
    let value =
        cells.number(column, scale.bounds(), "one number, as 1.5", "check what was typed")?;
    // In a file of readings the column `sigma` is that of the strip's densities.
    let of_tablet = column == "density" || !cells.has("density");
    let sigma = match of_tablet && cells.has("sigma") {
        true => cells.number(
            "sigma",
            DensitySigma::BOUNDS,
            "one number, as 0.01",
            "check what was typed",
        )?,
        false => None,
    };
    Ok(value.map(|value| TabletStep { name: cells.text("step").to_owned(), value, sigma }))
}

const SCALES: [TabletScale; 3] =
    [TabletScale::Density, TabletScale::LogExposure, TabletScale::RelativeLogExposure];
/// Columns of readings beside the steps.
const OTHERS: [&str; 15] = [
    "step",
    "density",
    "sigma",
    "strip",
    "minutes",
    "celsius",
    "fahrenheit",
    "film",
    "paper",
    "developer",
    "date",
    "note",
    "filter",
    "grade",
    "exposure",
];
static BY_EXPOSURE: Names = Names {
    needed: &[("exposure", &["tablet_density", "log_exposure", "relative_log_exposure"])],
    optional: &OTHERS,
    synonyms: &[("tablet", "tablet_density")],
    example: "step,tablet_density",
};
static BY_DENSITY: Names = Names {
    needed: &[("density", &["density"])],
    optional: &OTHERS,
    synonyms: &[("d", "density"), ("dens", "density")],
    example: "step,density",
};
