//! Strips of film and their density readings: from files to [`Strip`]s, with positions kept so that
//! a message can name the file, the line and the column.

use crate::units::{Celsius, Density, DensitySigma, LogExposure, Minutes};

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
    /// Time of development, if the file gives one.
    pub minutes: Option<Minutes>,
    /// Temperature of development, if the file gives one.
    pub celsius: Option<Celsius>,
    /// Free text carried to the output.
    pub labels: Labels,
    /// What the reader noticed, in words for the user.
    pub notes: Vec<String>,
}

/// Free text of a strip, carried to the output.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Labels {
    /// The film.
    pub film: Option<String>,
    /// The developer.
    pub developer: Option<String>,
    /// The date, as written.
    pub date: Option<String>,
    /// A remark.
    pub note: Option<String>,
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
