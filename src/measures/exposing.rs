//! What exposure film gets behind the clear part of a step tablet: from a lux meter, from a light meter, from
//! a film of known speed that was exposed beside, from a camera.

use super::{CONTRAST_CONDITION, Quantity, SPEED_CONSTANT, StripAnalysis, Why, iso};
use crate::curve::{Choice, FitError, Fitter};
use crate::elementary::{antilog, hypot, log10};
use crate::numerics::chance::NORMAL_95;
use crate::readings::{LOG_METERED, Strip};
use crate::units::{ExposureIndex, ExposureSeconds, ExposureValue, Lux, STOP};
use std::fmt;

/// Illuminance in **lux** at exposure value 0 for ISO 100: C/100, with the constant C = 250 of a meter for
/// incident light with a flat receptor (ISO 2720:1974, from memory; makers take 240 to 400).
pub const LUX_AT_ZERO: f64 = 2.5;

/// How the exposure is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ExposedBy {
    /// A lux meter where the film lies.
    LuxMeter {
        /// Its reading.
        lux: Lux,
        /// How long.
        seconds: ExposureSeconds,
    },
    /// A light meter for incident light where the film lies.
    LightMeter {
        /// Exposure value that it shows for ISO 100.
        value: ExposureValue,
        /// How long.
        seconds: ExposureSeconds,
    },
    /// A strip of film of known speed, exposed in the same way.
    KnownFilm {
        /// Its ISO speed.
        speed: ExposureIndex,
        /// Log exposure of its speed point, where clear tablet is 0.
        speed_point: Quantity,
        /// Density that the strip gains over 1.30 of log exposure from there, where it shows it.
        delta_d: Option<f64>,
    },
    /// A camera: the meter is held to the clear part, or to a lit card of its brightness.
    Camera {
        /// What it is set to.
        index: ExposureIndex,
    },
}

/// Why a strip of known film does not show the exposure.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NotShown {
    /// It has no curve.
    #[error(transparent)]
    Curve(#[from] FitError),
    /// It has no speed point.
    #[error(transparent)]
    SpeedPoint(#[from] Why),
}

impl ExposedBy {
    /// By a strip of a film of ISO speed `speed`, whose exposures are relative to clear tablet.
    ///
    /// # Errors
    /// [`NotShown`].
    pub fn known_film(strip: Strip, speed: ExposureIndex) -> Result<Self, NotShown> {
        let analysis = StripAnalysis::of(strip, Choice::Auto, &mut Fitter::new());
        let measures = analysis.result?.measures;
        let delta_d = measures.iso.delta_d.as_ref().ok().map(|d| d.value);
        Ok(Self::KnownFilm { speed, speed_point: measures.speed_point?, delta_d })
    }

    /// log10 of the exposure in **lux seconds** behind clear tablet, through `filter` of density between
    /// light and film that the meter did not see:
    ///
    /// ```text
    /// log10(E·t), log10(2.5·2^EV·t), log10(0.8/S) − x, log10(10/S)
    /// ```
    #[must_use]
    pub fn log_exposure(&self, filter: f64) -> Quantity {
        let value = match self {
            Self::LuxMeter { lux, seconds } => log10(lux.get() * seconds.get()),
            Self::LightMeter { value, seconds } => {
                log10(LUX_AT_ZERO) + STOP * value.get() + log10(seconds.get())
            }
            Self::KnownFilm { speed, speed_point, .. } => {
                log10(SPEED_CONSTANT / speed.get()) - speed_point.value
            }
            Self::Camera { index } => LOG_METERED - log10(index.get()),
        };
        Quantity::around(value - filter, NORMAL_95 * self.sd())
    }

    /// Standard uncertainty of that log exposure. What the instruments have is assumed
    /// (common practice, no source).
    #[must_use]
    pub fn sd(&self) -> f64 {
        match self {
            // A tenth in all: meter, level of the light, timer.
            Self::LuxMeter { .. } => 0.04,
            // A third of a stop.
            Self::LightMeter { .. } => 0.10,
            // The speed is one of the standard's series, in thirds of a stop, and the film has aged.
            Self::KnownFilm { speed_point, .. } => {
                let own = (speed_point.high - speed_point.low) / (2.0 * NORMAL_95);
                hypot(hypot(own, 0.1 / 12.0_f64.sqrt()), 0.05)
            }
            // Meter, shutter and lens: a third of a stop.
            Self::Camera { .. } => 0.10,
        }
    }

    /// What is assumed.
    #[must_use]
    pub fn notes(&self) -> Vec<ExposedNote> {
        let own = match self {
            Self::LuxMeter { .. } => ExposedNote::LuxMeter,
            Self::LightMeter { .. } => ExposedNote::LightMeter,
            Self::KnownFilm { .. } => ExposedNote::KnownFilm,
            Self::Camera { .. } => ExposedNote::Camera,
        };
        let mut notes = vec![own, ExposedNote::Uncertainty(self.sd())];
        if let Self::KnownFilm { delta_d: Some(gained), .. } = self
            && (gained - CONTRAST_CONDITION).abs() > iso::TOLERANCE
        {
            notes.push(ExposedNote::OtherContrast(*gained));
        }
        notes
    }
}

/// What is assumed of an exposure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ExposedNote {
    /// Where the lux meter is.
    LuxMeter,
    /// The constant of the light meter.
    LightMeter,
    /// The film of known speed.
    KnownFilm,
    /// The constant of the camera.
    Camera,
    /// The standard uncertainty.
    Uncertainty(f64),
    /// The film of known speed has another contrast than its ISO speed holds for.
    OtherContrast(f64),
}

impl fmt::Display for ExposedNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::LuxMeter => f.write_str(
                "the lux meter lies where the film lies, under no tablet; a lamp that needs time to reach its full light makes short exposures less than this",
            ),
            Self::LightMeter => write!(
                f,
                "the light meter measures incident light where the film lies: {LUX_AT_ZERO} · 2^EV lux at ISO 100 (ISO 2720:1974, from memory; the meter's own constant may differ by a third of a stop)"
            ),
            Self::KnownFilm => write!(
                f,
                "the film of known speed is fresh, was exposed through the same tablet with the same light and time, and was developed to the contrast of its ISO speed: its speed point has {SPEED_CONSTANT}/S lux·s (ISO 6:1993)"
            ),
            Self::Camera => write!(
                f,
                "a metered tone gives film {}/S lux·s, S being what the meter is set to; lens flare adds to the darkest steps",
                antilog(LOG_METERED)
            ),
            Self::OtherContrast(gained) => write!(
                f,
                "the strip gains a density of {gained:.2} over 1.30 of log exposure, and the ISO speed holds for {CONTRAST_CONDITION:.2}: developed for that, its speed point lies elsewhere, by up to a stop"
            ),
            Self::Uncertainty(sd) => write!(
                f,
                "a standard uncertainty of {sd:.2} in log exposure, {:.1} stops, is assumed (common practice, no source)",
                sd / STOP
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seconds(s: f64) -> ExposureSeconds {
        ExposureSeconds::new(s).unwrap()
    }

    #[test]
    fn each_way_gives_the_same_exposure() {
        let lux = ExposedBy::LuxMeter { lux: Lux::new(10.0).unwrap(), seconds: seconds(0.5) };
        // EV 2 is 10 lux.
        let value = ExposureValue::new(2.0).unwrap();
        let meter = ExposedBy::LightMeter { value, seconds: seconds(0.5) };
        // A camera at index 2, and a film of speed 1 whose speed point lies 0.80 below 5 lux·s.
        let camera = ExposedBy::Camera { index: ExposureIndex::new(2.0).unwrap() };
        let speed_point = Quantity::around(log10(0.8_f64 / 5.0), 0.02);
        let film = ExposedBy::KnownFilm {
            speed: ExposureIndex::new(1.0).unwrap(),
            speed_point,
            delta_d: Some(0.8),
        };
        for by in [lux, meter, camera, film] {
            let found = by.log_exposure(0.0);
            assert!((found.value - log10(5.0_f64)).abs() < 1e-12, "{by:?}: {found:?}");
            assert!((by.log_exposure(0.3).value - found.value + 0.3).abs() < 1e-12);
            assert!((found.high - found.value) / NORMAL_95 - by.sd() < 1e-12);
        }
    }
}
