//! The quantities of the trade as small types, each with the bounds outside which it is no such thing.
//!
//! A log exposure cannot go where a density is wanted. `new` refuses what cannot be; `get` unwraps
//! at the edge of a formula. Each is read from the text that a person types, with a decimal point or
//! a decimal comma.

mod bounds;
mod composed;
pub mod day;
pub mod typed;

pub use bounds::{Bounds, NotAQuantity, OutOfBounds};
pub use composed::{ClearingSeconds, DensityNoise, FrameSize, NotADensityNoise, NotAFrameSize};
pub use typed::{NotATemperature, Temperature, TemperatureUnit};

use std::fmt;
use std::str::FromStr;
use typed::{minutes_and_seconds, number};

/// One stop on a log10 scale of exposure, log10(2) = 0.30103.
pub const STOP: f64 = std::f64::consts::LOG10_2;

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $bounds:expr $(, $time:ident)?) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// What a value may be.
            pub const BOUNDS: Bounds = $bounds;
            /// The lowest value that this quantity can have here.
            pub const LOWEST: f64 = Self::BOUNDS.low;
            /// The highest value that this quantity can have here.
            pub const HIGHEST: f64 = Self::BOUNDS.high;

            /// The quantity, if `value` lies within [`Self::BOUNDS`].
            ///
            /// # Errors
            /// [`OutOfBounds`] otherwise, and for a value that is not a number.
            pub fn new(value: f64) -> Result<Self, OutOfBounds> {
                Self::BOUNDS.checked(value).map(Self)
            }

            /// The bare number.
            #[must_use]
            pub const fn get(self) -> f64 {
                self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }

        impl From<$name> for f64 {
            fn from(quantity: $name) -> f64 {
                quantity.0
            }
        }

        impl FromStr for $name {
            type Err = NotAQuantity;

            /// A number with a decimal point or comma, within the bounds.
            fn from_str(text: &str) -> Result<Self, NotAQuantity> {
                let bare = text.trim();
                let is_time = false $(|| stringify!($time) == "time")?;
                let time = is_time.then(|| minutes_and_seconds(bare)).flatten();
                let value = time.or_else(|| number(bare, true).ok());
                value.and_then(|value| Self::new(value).ok()).ok_or_else(|| NotAQuantity {
                    found: text.to_owned(),
                    bounds: Self::BOUNDS,
                    is_time,
                })
            }
        }
    };
}

quantity! {
    /// Optical density, log10 of opacity. Slightly negative readings happen where the densitometer
    /// was zeroed on the film base; no densitometer reads beyond 6.
    Density, Bounds::new("a density", -0.5, 6.0)
}
quantity! {
    /// log10 of an exposure, in lux seconds or relative to an unnamed one.
    LogExposure, Bounds::new("a log exposure", -12.0, 12.0)
}
quantity! {
    /// A development time in **minutes**; typed as 9, 9.5 or 9:30.
    Minutes, Bounds::new("a development time in minutes", 0.01, 1440.0), time
}
quantity! {
    /// A time since development began in **minutes**; typed as 0, 2.5 or 2:30.
    ElapsedMinutes, Bounds::new("a time since development began in minutes", 0.0, 1440.0), time
}
quantity! {
    /// A temperature of a bath in **degrees Celsius**: above freezing, below where gelatin melts.
    Celsius, Bounds::new("a temperature of a bath in °C", 0.0, 60.0)
}
quantity! {
    /// A place on a frame in **millimetres** from its left side or its lower edge.
    Millimetres, Bounds::new("a place on a frame in mm", -500.0, 500.0)
}
quantity! {
    /// Standard uncertainty of one density reading.
    DensitySigma, Bounds::new("a standard uncertainty of a density", 0.0001, 1.0)
}
quantity! {
    /// Standard uncertainty of an offset that all densities of a strip have in common.
    OffsetSigma, Bounds::new("a standard uncertainty of an offset of densities", 0.0, 0.5)
}
quantity! {
    /// Standard uncertainty of the slope that all densities of a strip have in common, a relative one: 0.002 where
    /// all differences of density may be wrong by 0.2 %.
    SlopeSigma, Bounds::new("a relative standard uncertainty of the slope of densities", 0.0, 0.2)
}
quantity! {
    /// Standard uncertainty of a log exposure that all readings of a strip have in common: lamp, shutter,
    /// tablet.
    ExposureSigma, Bounds::new("a standard uncertainty of a log exposure", 0.0001, 0.5)
}
quantity! {
    /// How long another program's lock on a file is waited for, in **seconds**.
    WaitSeconds, Bounds::new("a time to wait in seconds", 0.0, 3600.0)
}
quantity! {
    /// Activity of a bath: 1 as calibrated, 0.9 where everything takes 1/0.9 of its time.
    Activity, Bounds::new("a bath's activity", 0.1, 3.0)
}
quantity! {
    /// A contrast that film is developed to.
    Contrast, Bounds::new("a contrast that film is developed to", 0.1, 3.0)
}
quantity! {
    /// Range of a scene in **stops**.
    SceneStops, Bounds::new("a scene's range in stops", 2.0, 20.0)
}
quantity! {
    /// ISO range R of a paper: 100 times its log exposure range.
    PaperRange, Bounds::new("a paper's ISO range", 20.0, 250.0)
}
quantity! {
    /// Callier factor: density in a beam of light over density in diffuse light.
    CallierFactor, Bounds::new("a Callier factor", 1.0, 2.0)
}
quantity! {
    /// Log exposure that flare takes from a scene's range.
    Flare, Bounds::new("a loss to flare in log exposure", 0.0, 1.5)
}
quantity! {
    /// Films developed in a week.
    FilmsPerWeek, Bounds::new("a number of films a week", 0.01, 1000.0)
}
quantity! {
    /// Strength of a replenisher, that of a fresh bath being 1.
    ReplenisherStrength, Bounds::new("the strength of a replenisher", 0.5, 3.0)
}
quantity! {
    /// Depth of the edge zones of a frame in **millimetres**.
    EdgeDepth, Bounds::new("a depth of edge zones in mm", 0.1, 250.0)
}
quantity! {
    /// Distance from perforation to perforation in **millimetres**.
    Pitch, Bounds::new("a distance of perforations in mm", 0.5, 50.0)
}
quantity! {
    /// Slope of a paper's curve: print density over negative density.
    PaperGradient, Bounds::new("a paper's gradient", 0.1, 20.0)
}
quantity! {
    /// A density difference that can be seen in a print.
    VisibleDifference, Bounds::new("a visible density difference", 0.001, 1.0)
}
quantity! {
    /// A print's exposure time in **seconds**.
    ExposureSeconds, Bounds::new("an exposure time in seconds", 0.01, 1e5)
}
quantity! {
    /// Time of one exposure of a test strip in **seconds**; 0 for the unexposed paper.
    StripSeconds, Bounds::new("an exposure time in seconds", 0.0, 1e5)
}
quantity! {
    /// Illuminance in **lux**.
    Lux, Bounds::new("an illuminance in lux", 1e-4, 1e6)
}
quantity! {
    /// Exposure value of a light meter at ISO 100.
    ExposureValue, Bounds::new("an exposure value", -15.0, 25.0)
}
quantity! {
    /// An f-number.
    FNumber, Bounds::new("an f-number", 0.5, 512.0)
}
quantity! {
    /// ISO speed P of a paper.
    PaperSpeed, Bounds::new("a paper speed", 0.01, 1e6)
}
quantity! {
    /// Exposure index that a meter is set to.
    ExposureIndex, Bounds::new("an exposure index", 0.01, 1e6)
}
quantity! {
    /// A change of exposure in **stops**, more being positive.
    ExposureChange, Bounds::new("a change of exposure in stops", -10.0, 10.0)
}
quantity! {
    /// Distance of two tones in **stops**.
    ToneDistance, Bounds::new("a distance in stops", 0.0, 10.0)
}
quantity! {
    /// Fixing time over clearing time.
    FixingFactor, Bounds::new("a fixing time over the clearing time", 1.0, 10.0)
}
quantity! {
    /// A volume in **millilitres**.
    Millilitres, Bounds::above_zero("a volume in ml", 1e6)
}
quantity! {
    /// A volume of a bath in **litres**.
    Litres, Bounds::above_zero("a volume in litres", 1e4)
}
quantity! {
    /// A volume that is added to a bath in **millilitres**.
    AddedMillilitres, Bounds::above_zero("a volume in ml", 1e7)
}
quantity! {
    /// A volume that is taken out of a bath in **millilitres**; 0 is none.
    RemovedMillilitres, Bounds::new("a volume in ml", 0.0, 1e7)
}
quantity! {
    /// An area of film in **m²**.
    FilmArea, Bounds::above_zero("an area in m²", 1e4)
}
quantity! {
    /// Area of film that a litre of a bath develops in **m²**.
    Capacity, Bounds::above_zero("a capacity in m² a litre", 100.0)
}
quantity! {
    /// A step of a session in **minutes**; typed as 10 or 7:30.
    StepMinutes, Bounds::new("a time in minutes", 0.001, 1440.0), time
}
quantity! {
    /// A step of a session in **seconds**.
    StepSeconds, Bounds::new("a time in seconds", 0.1, 3600.0)
}
quantity! {
    /// Share of the fixer that may be left in the film.
    FixerShare, Bounds::new("a share of the fixer", 0.000001, 1.0)
}
quantity! {
    /// A time of washing in **minutes**; typed as 5, 7.5 or 7:30.
    WashMinutes, Bounds::new("a time of washing in minutes", 0.001, 1440.0), time
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bounds_are_inclusive_and_nan_is_refused() {
        assert_eq!(Density::new(6.0).unwrap().get(), 6.0);
        assert!(Density::new(6.000_001).is_err());
        assert!(Density::new(f64::NAN).is_err());
        assert!(Celsius::new(68.0).is_err(), "68 is a temperature in °F");
        assert!(Minutes::new(0.0).is_err());
        assert!(Millilitres::new(0.0).is_err());
        assert!(Millilitres::new(1e-9).is_ok());
    }

    #[test]
    fn message_names_quantity_and_bounds() {
        let message = Density::new(9.0).unwrap_err().to_string();
        assert_eq!(message, "9 is not a density: it must be between -0.5 and 6");
        let message = Millilitres::new(0.0).unwrap_err().to_string();
        assert_eq!(message, "0 is not a volume in ml: it must be above 0 and at most 1000000");
    }

    #[test]
    fn what_is_typed_has_a_point_or_a_comma() {
        assert_eq!("0,95".parse(), Ok(Activity(0.95)));
        assert_eq!(" 0.95 ".parse(), Ok(Activity(0.95)));
        assert_eq!("\u{2212}1,5".parse(), Ok(ExposureChange(-1.5)));
        assert_eq!("9:30".parse(), Ok(Minutes(9.5)));
        assert_eq!("9,5".parse(), Ok(Minutes(9.5)));
        assert_eq!("1:10".parse().map(ClearingSeconds::get), Ok(70.0));
        assert_eq!("55,5".parse().map(ClearingSeconds::get), Ok(55.5));
        assert!("9:30".parse::<Activity>().is_err());
        for text in ["", "x", "nan", "inf", "1e999", "5"] {
            let message = text.parse::<Activity>().unwrap_err().to_string();
            let wanted = "is not a bath's activity: write a number between 0.1 and 3";
            assert_eq!(message, format!("{text:?} {wanted}"));
        }
        assert_eq!(
            "late".parse::<Minutes>().unwrap_err().to_string(),
            "\"late\" is not a development time in minutes: write a number between 0.01 and 1440, or minutes and seconds as 9:30"
        );
    }
}
