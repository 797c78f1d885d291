//! The pairing file: the strips' readings and the aims, in TOML that a person can read and edit.
//!
//! The file holds what was read, not what was computed: a later version fits it again, and an edit
//! of a result cannot contradict the readings. Results stand in it as comments.

use super::aim::{FLARE, PAPER_RANGE, Printing};
use super::one_strip::OneStrip;
use super::pairing::{Measure, Pairing, PairingError};
use super::remarks::{HEAD, Remarks};
use crate::curve::Choice;
use crate::readings::{CommonSigma, ExposureScale, Labels, Reading, Strip};
use crate::units::{
    Bounds, CallierFactor, Celsius, Density, DensitySigma, ExposureSigma, Flare, LogExposure,
    Minutes, OffsetSigma, OutOfBounds, PaperRange, SceneStops, SlopeSigma,
};
use serde::{Deserialize, Serialize};
use std::ops::Range;
use std::path::{Path, PathBuf};

/// Version of the format that this program writes.
pub const FORMAT: u32 = 2;

/// The temperature in **degrees Celsius** that effective times are for unless a person says otherwise.
pub const REFERENCE_CELSIUS: f64 = 20.0;

/// A pairing file: everything that a pairing is made from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PairingFile {
    /// Version of the format.
    pub format: u32,
    /// What the pairing is called.
    pub name: String,
    /// Temperature that effective times are for, in °C.
    pub reference_celsius: f64,
    /// A remark.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// Log exposure behind clear tablet that the strips were read with, log10 of lux·s: control strips that
    /// are exposed in the same way have the same.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub log_exposure_clear: Option<f64>,
    /// What the negatives are for.
    pub aims: Aims,
    /// How far a bath may stray from the pairing; assumed where the file does not say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub limits: Option<SpecLimits>,
    /// The strips.
    #[serde(rename = "strip")]
    pub strips: Vec<StripRecord>,
    /// What a person wrote into it as comments.
    #[serde(skip)]
    pub remarks: Remarks,
}

/// What a pairing is called if nobody says: film in developer.
#[must_use]
pub fn name_of(strips: &[Strip]) -> String {
    let of = |f: fn(&Labels) -> Option<&str>| strips.iter().find_map(|s| f(&s.labels));
    joined(of(|l| l.film.as_deref()), of(|l| l.developer.as_deref()))
}

fn joined(film: Option<&str>, developer: Option<&str>) -> String {
    match (film, developer) {
        (Some(film), Some(developer)) => format!("{film} in {developer}"),
        (Some(one), None) | (None, Some(one)) => one.to_owned(),
        (None, None) => "unnamed pairing".to_owned(),
    }
}

/// What the negatives are for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Aims {
    /// The measure of contrast that aims are given in.
    pub measure: Measure,
    /// Scene ranges in stops for the table of times.
    pub scene_stops: Vec<f64>,
    /// How the negatives are printed.
    pub printing: Printing,
}

impl Default for Aims {
    fn default() -> Self {
        Self {
            measure: Measure::default(),
            scene_stops: vec![5.0, 6.0, 7.0, 8.0, 9.0, 10.0],
            printing: Printing::default(),
        }
    }
}

impl Aims {
    /// Whether every aim is what a person may type for it; else the place of the first that is not.
    fn check(&self) -> Result<(), (&'static str, OutOfBounds)> {
        let printing = &self.printing;
        let within = |place, bounds: Bounds, value: Option<f64>| {
            let checked = value.map_or(Ok(0.0), |value| bounds.checked(value));
            checked.map(drop).map_err(|bounds| (place, bounds))
        };
        for stops in &self.scene_stops {
            within("[aims] scene_stops", SceneStops::BOUNDS, Some(*stops))?;
        }
        within("[aims.printing] paper_range", PaperRange::BOUNDS, printing.paper_range)?;
        within("[aims.printing] flare", Flare::BOUNDS, printing.flare)?;
        within("[aims.printing] callier", CallierFactor::BOUNDS, printing.callier)
    }
}

/// How far the control strips of a bath may lie from what the pairing gives.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct SpecLimits {
    /// Contrast, either way.
    pub contrast: f64,
    /// Base plus fog, above.
    pub base_plus_fog: f64,
    /// Speed, either way, in log exposure.
    pub speed_log_h: f64,
}

impl Default for SpecLimits {
    /// Contrast ± 0.05, base plus fog + 0.05, speed ± 0.10 (a third of a stop).
    ///
    /// # Source
    /// Contrast: the tolerance of gamma in US Navy, Photography (Advanced), NAVEDTRA 14208, 1995. The
    /// others: common practice, no source.
    fn default() -> Self {
        Self { contrast: 0.05, base_plus_fog: 0.05, speed_log_h: 0.10 }
    }
}

/// One strip as the file has it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StripRecord {
    name: String,
    minutes: f64,
    celsius: f64,
    /// Whether exposures are in lux seconds.
    absolute: bool,
    /// Whether the standard uncertainties below are a default.
    sigma_assumed: bool,
    /// Standard uncertainty of the log exposure that all readings have in common.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    exposure_sigma: Option<f64>,
    /// Standard uncertainties that all densities have in common: of the offset and of the slope.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    offset_sigma: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    slope_sigma: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    film: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    developer: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    date: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    note: Option<String>,
    /// How the bath was moved.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    agitation: Option<String>,
    /// \[density, standard uncertainty\] of each reading of the unexposed film.
    unexposed: Vec<[f64; 2]>,
    /// \[log exposure, density, standard uncertainty\] of each reading.
    readings: Vec<[f64; 3]>,
}

impl StripRecord {
    /// How long it was developed, in **minutes**.
    #[must_use]
    pub const fn minutes(&self) -> f64 {
        self.minutes
    }
}

/// Why a pairing file cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum FileError {
    /// It cannot be opened.
    #[error("{path}: {reason}; name the file of a pairing")]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// Why not.
        reason: String,
    },
    /// It is not what a pairing file looks like.
    #[error("{path}:{line}: {message}")]
    Malformed {
        /// The file.
        path: PathBuf,
        /// Line where the fault was noticed.
        line: usize,
        /// What is wrong.
        message: String,
    },
    /// It was written by a later version.
    #[error(
        "{path}: this pairing has format {found} and this program reads up to {FORMAT}; use the version that wrote it, or a later one"
    )]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its format.
        found: u32,
    },
    /// A value that cannot be.
    #[error("{path}: {place}: {bounds}")]
    Bounds {
        /// The file.
        path: PathBuf,
        /// Where it stands.
        place: String,
        /// What is wrong.
        bounds: OutOfBounds,
    },
    /// Its strips make no pairing.
    #[error("{path}: {source}")]
    Pairing {
        /// The file.
        path: PathBuf,
        /// Why not.
        source: PairingError,
    },
}

/// What a pairing's strips show.
#[derive(Debug)]
pub enum Known {
    /// Growth with time.
    Family(Box<Pairing>),
    /// One strip's development.
    One(Box<OneStrip>),
}

impl PairingFile {
    /// The file of freshly read strips.
    #[must_use]
    pub fn new(
        name: String,
        reference: Celsius,
        note: Option<String>,
        aims: Aims,
        strips: &[Strip],
    ) -> Self {
        let strips = strips.iter().map(StripRecord::of).collect();
        Self {
            format: FORMAT,
            name,
            reference_celsius: reference.get(),
            note,
            log_exposure_clear: None,
            aims,
            limits: None,
            strips,
            remarks: Remarks::default(),
        }
    }

    /// The text of the file, with `results` as comments at its head.
    ///
    /// # Errors
    /// Those of the TOML writer.
    pub fn text(&self, results: &str) -> Result<String, toml::ser::Error> {
        let mut text = format!(
            "{HEAD}\n# Under [aims.printing]: paper_range (ISO range R), flare (log exposure), light, callier.\n# What is not set there is assumed.\n#\n",
        );
        for line in results.lines() {
            text.push_str(format!("# {line}").trim_end());
            text.push('\n');
        }
        text.push('\n');
        let own = toml::to_string(self)?;
        text.push_str(
            &self
                .remarks
                .put_into(&own)
                .map_err(<toml::ser::Error as serde::ser::Error>::custom)?,
        );
        Ok(text)
    }

    /// Reads a pairing file.
    ///
    /// # Errors
    /// [`FileError`]: the first fault, with its line.
    #[cfg(feature = "files")]
    pub fn read(path: &Path) -> Result<Self, FileError> {
        let text = crate::files::text(path)
            .map_err(|reason| FileError::Unreadable { path: path.to_owned(), reason })?;
        Self::parse(path, &text)
    }

    /// Reads the `text` of a pairing file; `path` stands for it in messages.
    ///
    /// # Errors
    /// [`FileError`]: the first fault, with its line.
    pub fn parse(path: &Path, text: &str) -> Result<Self, FileError> {
        #[derive(Deserialize)]
        struct Version {
            format: u32,
        }
        // A later format may look different in every other way: its number is asked for first.
        if let Ok(Version { format }) = toml::from_str(text)
            && format > FORMAT
        {
            return Err(FileError::Newer { path: path.to_owned(), found: format });
        }
        let file: Result<Self, _> = toml::from_str(text);
        let bad = |span: Option<Range<usize>>, message: &str| {
            let start = span.map_or(0, |s| s.start.min(text.len()));
            let mut message = message.replace('\n', " ");
            if text.len() - start < 2 || message.starts_with("missing field") {
                message
                    .push_str("; the file may be cut short: calibrate again, or put back a copy");
            }
            let line = text[..start].matches('\n').count() + 1;
            FileError::Malformed { path: path.to_owned(), line, message }
        };
        let mut file = file.map_err(|error| bad(error.span(), error.message()))?;
        file.update();
        file.remarks = Remarks::of(text).map_err(|error| bad(error.span(), error.message()))?;
        Ok(file)
    }

    /// Whether a person named it: its name does not follow from its strips.
    #[must_use]
    pub fn is_named(&self) -> bool {
        let of = |f: fn(&StripRecord) -> Option<&str>| self.strips.iter().find_map(f);
        self.name != joined(of(StripRecord::film), of(StripRecord::developer))
    }

    /// Format 1 wrote the paper's range and the flare in any case: as long as they are what is assumed,
    /// nobody has given them.
    fn update(&mut self) {
        if self.format == 1 {
            let printing = &mut self.aims.printing;
            printing.flare = printing.flare.filter(|f| *f != FLARE);
            printing.paper_range = printing.paper_range.filter(|r| *r != PAPER_RANGE);
        }
        self.format = FORMAT;
    }

    /// Whether the settings that a person may edit are what may be typed for them.
    ///
    /// # Errors
    /// [`FileError::Bounds`]: the first that is not.
    pub fn check(&self, path: &Path) -> Result<(), FileError> {
        let bad = |(place, bounds): (&str, OutOfBounds)| FileError::Bounds {
            path: path.to_owned(),
            place: place.to_owned(),
            bounds,
        };
        let reference = Celsius::new(self.reference_celsius);
        reference.map_err(|bounds| bad(("reference_celsius", bounds)))?;
        let clear = self.log_exposure_clear.map(LogExposure::new).transpose();
        clear.map_err(|bounds| bad(("log_exposure_clear", bounds)))?;
        self.aims.check().map_err(bad)
    }

    /// Fits the pairing, or the one strip that it has so far.
    ///
    /// # Errors
    /// As [`pairing`](Self::pairing).
    pub fn known(&self, path: &Path) -> Result<Known, FileError> {
        let [only] = self.strips.as_slice() else {
            return self.pairing(path).map(|p| Known::Family(Box::new(p)));
        };
        self.check(path)?;
        let (path, name) = (path.to_owned(), path.display().to_string());
        let strip = only.strip(&name).map_err(|bounds| FileError::Bounds {
            place: format!("strip {:?}", only.name),
            path: path.clone(),
            bounds,
        })?;
        let one = OneStrip::of(strip).map_err(|source| FileError::Pairing { path, source })?;
        Ok(Known::One(Box::new(one)))
    }

    /// Fits the pairing.
    ///
    /// # Errors
    /// [`FileError::Bounds`] for a value that cannot be, [`FileError::Pairing`] where the strips make
    /// no pairing.
    pub fn pairing(&self, path: &Path) -> Result<Pairing, FileError> {
        let bad = |place: String| {
            let path = path.to_owned();
            move |bounds| FileError::Bounds { path, place, bounds }
        };
        let reference =
            Celsius::new(self.reference_celsius).map_err(bad("reference_celsius".into()))?;
        self.check(path)?;
        let strips: Result<Vec<Strip>, FileError> = self
            .strips
            .iter()
            .map(|s| {
                s.strip(&path.display().to_string()).map_err(bad(format!("strip {:?}", s.name)))
            })
            .collect();
        Pairing::calibrate(strips?, Choice::Auto, reference)
            .map_err(|source| FileError::Pairing { path: path.to_owned(), source })
    }
}

impl StripRecord {
    fn of(strip: &Strip) -> Self {
        let labels = strip.labels.clone();
        let exposed =
            |r: &Reading| r.log_exposure.map(|x| [x.get(), r.density.get(), r.sigma.get()]);
        Self {
            name: strip.name.clone(),
            minutes: strip.minutes.map_or(0.0, Minutes::get),
            celsius: strip.celsius.map_or(0.0, Celsius::get),
            absolute: strip.scale == ExposureScale::Absolute,
            sigma_assumed: strip.sigma_is_assumed,
            exposure_sigma: strip.exposure_sigma.map(ExposureSigma::get),
            offset_sigma: strip.common_sigma.map(|common| common.offset.get()),
            slope_sigma: strip.common_sigma.map(|common| common.slope.get()),
            film: labels.film,
            developer: labels.developer,
            date: labels.date,
            note: labels.note,
            agitation: labels.agitation,
            unexposed: strip.unexposed.iter().map(|r| [r.density.get(), r.sigma.get()]).collect(),
            readings: strip.readings.iter().filter_map(exposed).collect(),
        }
    }

    pub(super) fn name(&self) -> &str {
        &self.name
    }

    pub(super) fn film(&self) -> Option<&str> {
        self.film.as_deref()
    }

    pub(super) fn developer(&self) -> Option<&str> {
        self.developer.as_deref()
    }

    fn strip(&self, source: &str) -> Result<Strip, OutOfBounds> {
        let reading = |x: Option<f64>, density: f64, sigma: f64| {
            Ok(Reading {
                step: None,
                log_exposure: x.map(LogExposure::new).transpose()?,
                density: Density::new(density)?,
                sigma: DensitySigma::new(sigma)?,
                line: 0,
            })
        };
        let mut readings: Vec<Reading> = self
            .readings
            .iter()
            .map(|[x, d, s]| reading(Some(*x), *d, *s))
            .collect::<Result<_, _>>()?;
        readings.sort_by(|a, b| {
            a.log_exposure.partial_cmp(&b.log_exposure).unwrap_or(std::cmp::Ordering::Equal)
        });
        Ok(Strip {
            name: self.name.clone(),
            source: source.to_owned(),
            scale: if self.absolute { ExposureScale::Absolute } else { ExposureScale::Relative },
            readings,
            unexposed: self
                .unexposed
                .iter()
                .map(|[d, s]| reading(None, *d, *s))
                .collect::<Result<_, _>>()?,
            sigma_is_assumed: self.sigma_assumed,
            exposure_sigma: self.exposure_sigma.map(ExposureSigma::new).transpose()?,
            common_sigma: match (self.offset_sigma, self.slope_sigma) {
                (None, None) => None,
                (offset, slope) => Some(CommonSigma {
                    offset: OffsetSigma::new(offset.unwrap_or(0.0))?,
                    slope: SlopeSigma::new(slope.unwrap_or(0.0))?,
                }),
            },
            minutes: Some(Minutes::new(self.minutes)?),
            celsius: Some(Celsius::new(self.celsius)?),
            labels: Labels {
                film: self.film.clone(),
                developer: self.developer.clone(),
                date: self.date.clone(),
                note: self.note.clone(),
                filter: None,
                agitation: self.agitation.clone(),
            },
            notes: Vec::new(),
        })
    }
}
