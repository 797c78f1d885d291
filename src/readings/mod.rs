//! Strips of film and their density readings: from files to [`Strip`]s, with positions kept so that
//! a message can name the file, the line and the column.
//!
//! [`read_files`] reads text with commas, semicolons or tabs, ISO 28178 text, and .xlsx and .ods
//! workbooks. The first row names the columns, in any order:
//!
//! | column | content |
//! |---|---|
//! | `strip` | the strip's name; may be left out where the file has one strip |
//! | `step` | the step's name, free |
//! | `log_exposure` | log10 of the exposure in lux seconds |
//! | or `relative_log_exposure` | log10 of the exposure, relative to an unnamed one |
//! | or `exposure` | the exposure in lux seconds |
//! | or `tablet_density` | density of the tablet's step; the log exposure is that behind clear tablet less this |
//! | or `exposure_index`, `stops` | a camera test: log10(10/EI) - stops·log10(2), the stops counted under the metered exposure |
//! | `density` | the reading; rows of one step are repeats, and an empty exposure marks the unexposed film |
//! | `sigma` | standard uncertainty of the density |
//! | `offset_sigma`, `slope_sigma` | standard uncertainties that all densities of the strip have in common: of an offset, and of the slope (relative) |
//! | `minutes` | time of development, as 6.5 or 6:30 |
//! | `celsius` or `fahrenheit` | temperature of development; a cell may name its own unit, as 68F |
//! | `film` or `paper`, `developer`, `date`, `note` | free text |
//! | `filter` or `grade` | of a paper: free text; names the strips where no column `strip` does |
//!
//! A wide sheet has one column a strip instead, after those of the step and its exposure, headed by the
//! strip's name; rows that begin with `minutes`, `celsius`, `film` and so on give that value to each
//! strip (`wide`). Rows above the row of headings are passed over.
//!
//! What can only be another quantity (transmittances, exposures in a column of logarithms, a tablet
//! read from its other end, °F in a column of °C) is refused with advice, never converted unasked.
//!
//! [`read_frames`] reads frames of evenly exposed film, whose densities stand at places.

mod cgats;
mod columns;
pub(crate) mod delimited;
mod draft;
mod errors;
mod fault;
mod files;
mod frames;
mod gather;
mod intake;
mod judge;
mod named;
mod note;
mod place;
mod plausible;
mod rows;
#[cfg(feature = "sheets")]
mod sheet;
mod small;
mod table;
mod tablet;
mod text;
mod wide;

pub use errors::{ReadErrors, SHOWN_FAULTS};
pub use fault::ReadError;
pub use files::read_bytes;
#[cfg(feature = "files")]
pub use files::{bounded, contents, read_all, read_files};
#[cfg(feature = "files")]
pub use frames::read_frames;
pub use frames::{Frame, Frames, PlaceReading, frames_of_bytes};
pub(crate) use named::Names;
pub use note::{Note, Unused};
pub use place::{Column, OpenFault, Place};
pub(crate) use rows::LOG_METERED;
pub(crate) use small::{Cells, SmallTable};
pub use tablet::{MOST_STEPS, NoTablet, Tablet, TabletScale, TabletStep};

use crate::units::{
    Celsius, Density, DensityNoise, DensitySigma, ExposureSigma, LogExposure, Minutes, OffsetSigma,
    SlopeSigma,
};

/// One strip of film, exposed through a step tablet (or shot as a camera test), developed once.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// Its name in the file, or the file's stem when the file names none; unique in a reading.
    pub name: String,
    /// The file it came from, as the user wrote it.
    pub source: String,
    /// Whether log exposures are log10 of lux seconds or only relative.
    pub scale: ExposureScale,
    /// Readings of exposed steps in order of rising log exposure; repeats of a step are readings too.
    pub readings: Vec<Reading>,
    /// Readings of the processed, unexposed film: base plus fog.
    pub unexposed: Vec<Reading>,
    /// Whether the readings' standard uncertainties were given, or are the default.
    pub sigma_is_assumed: bool,
    /// Standard uncertainty of the log exposure that all readings have in common, if it was stated.
    pub exposure_sigma: Option<ExposureSigma>,
    /// What the errors of all densities have in common, if it was stated.
    pub common_sigma: Option<CommonSigma>,
    /// Time of development, if the file gives one.
    pub minutes: Option<Minutes>,
    /// Temperature of development, if the file gives one.
    pub celsius: Option<Celsius>,
    /// Free text for the output.
    pub labels: Labels,
    /// What the reader noticed.
    pub notes: Vec<Note>,
}

/// Standard uncertainties of what all densities of a strip have in common.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CommonSigma {
    /// That of an offset.
    pub offset: OffsetSigma,
    /// That of the slope: a relative one, of differences of density.
    pub slope: SlopeSigma,
}

/// Free text of a strip, for the output.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Labels {
    /// The film, or the paper.
    pub film: Option<String>,
    /// The developer.
    pub developer: Option<String>,
    /// The date, as written.
    pub date: Option<String>,
    /// A remark.
    pub note: Option<String>,
    /// Filter, grade or setting that a paper was exposed through.
    pub filter: Option<String>,
    /// How the bath was moved, in words: `inversion, 10 s in every minute`.
    pub agitation: Option<String>,
}

/// Whether a log exposure is log10 of lux seconds, or relative to an unnamed exposure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ExposureScale {
    /// log10 of **lux seconds**.
    Absolute,
    /// log10 of a ratio to an unnamed exposure.
    Relative,
}

/// One density reading.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The step's name in the file, if it has one.
    pub step: Option<Box<str>>,
    /// log10 of the exposure; `None` for the unexposed film.
    pub log_exposure: Option<LogExposure>,
    /// The density read.
    pub density: Density,
    /// Standard uncertainty of `density`.
    pub sigma: DensitySigma,
    /// Line of the file (or row of the sheet), from 1.
    pub line: u32,
}

/// How readings are to be taken; the default takes them as they stand.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ReadOptions {
    /// Log exposure behind clear tablet, log10 of **lux seconds**, for files with tablet densities.
    pub log_exposure_clear: Option<LogExposure>,
    /// Whether that exposure is a usual one, which was not stated for these files: one that has no use for it
    /// is not told of.
    pub usual_clear: bool,
    /// Standard uncertainty of readings that give none; 0.010 if this is `None`.
    pub density_sigma: Option<DensityNoise>,
    /// Standard uncertainty of the log exposure that all readings of a strip have in common.
    pub exposure_sigma: Option<ExposureSigma>,
    /// Takes all log exposures as relative.
    pub relative: bool,
    /// Pairs the densities of each strip with its exposures in the opposite order.
    pub reversed: bool,
    /// Takes temperatures without a unit as °F.
    pub fahrenheit: bool,
    /// Time of development of strips whose file gives none.
    pub minutes: Option<Minutes>,
    /// Temperature of development of strips whose file gives none.
    pub celsius: Option<Celsius>,
}

/// What was read from the files.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Readings {
    /// Strips in the order of the files and of their first rows; their names differ.
    pub strips: Vec<Strip>,
    /// What the reader noticed in a file as a whole.
    pub notes: Vec<Note>,
}
