//! Quantities that are typed in a form of their own: seconds as minutes and seconds, two sides of a
//! frame, an uncertainty that grows with density.

use super::DensitySigma;
use super::bounds::{Bounds, NotAQuantity};
use super::typed::{minutes_and_seconds, number};
use std::fmt;
use std::str::FromStr;

/// Time in which fixer clears film, in **seconds**; typed as 55 or 0:55.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct ClearingSeconds(f64);

impl ClearingSeconds {
    /// What a value may be.
    pub const BOUNDS: Bounds = Bounds::new("a clearing time in seconds", 0.1, 3600.0);
}

impl ClearingSeconds {
    /// The bare number.
    #[must_use]
    pub const fn get(self) -> f64 {
        self.0
    }
}

impl From<ClearingSeconds> for f64 {
    fn from(seconds: ClearingSeconds) -> f64 {
        seconds.0
    }
}

impl FromStr for ClearingSeconds {
    type Err = NotAQuantity;

    fn from_str(text: &str) -> Result<Self, NotAQuantity> {
        let bare = text.trim();
        let time = minutes_and_seconds(bare).map(|minutes| (minutes * 60.0).round());
        let value = time.or_else(|| number(bare, true).ok());
        value.filter(|value| Self::BOUNDS.contains(*value)).map(Self).ok_or_else(|| NotAQuantity {
            found: text.to_owned(),
            bounds: Self::BOUNDS,
            is_time: true,
        })
    }
}

/// Length and width of a frame in **millimetres**; typed as 36x24.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FrameSize {
    /// Along the film.
    pub length: f64,
    /// Across the film.
    pub width: f64,
}

impl FrameSize {
    /// What each side may be.
    pub const SIDE: Bounds = Bounds::new("a side of a frame in mm", 1.0, 500.0);
}

/// Text that is no size of a frame.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{found:?} is not a frame's size: write length by width in mm, as 36x24")]
pub struct NotAFrameSize {
    /// The text.
    pub found: String,
}

impl FromStr for FrameSize {
    type Err = NotAFrameSize;

    fn from_str(text: &str) -> Result<Self, NotAFrameSize> {
        let side = |text: &str| {
            let value = number(text.trim(), true).ok()?;
            Self::SIDE.contains(value).then_some(value)
        };
        text.split_once(['x', 'X', '×'])
            .and_then(|(length, width)| Some(Self { length: side(length)?, width: side(width)? }))
            .ok_or_else(|| NotAFrameSize { found: text.to_owned() })
    }
}

/// Standard uncertainty of density readings that may grow with density, σ(D) = a + b·D; typed as 0.01 or
/// 0.005+1%.
///
/// The bounds of a [`DensitySigma`] hold for a and for every σ(D); b is from 0 to 20 %.
///
/// ```
/// use wedgebook::units::DensityNoise;
///
/// let noise: DensityNoise = "0.005+1%".parse().unwrap();
/// assert_eq!(noise.at(2.0).get(), 0.025);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DensityNoise {
    fixed: DensitySigma,
    share: f64,
}

impl DensityNoise {
    /// What the share of the density may be, in per cent.
    pub const PERCENT: Bounds = Bounds::new("a share of a density in %", 0.0, 20.0);

    /// The standard uncertainty of a reading of `density`; below zero as at zero.
    #[must_use]
    pub fn at(self, density: f64) -> DensitySigma {
        let sigma = self.fixed.get() + self.share * density.max(0.0);
        DensitySigma::new(sigma.min(DensitySigma::HIGHEST)).unwrap_or(self.fixed)
    }
}

impl fmt::Display for DensityNoise {
    /// As it is typed: `0.008`, `0.005+1%`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.fixed.get())?;
        if self.share > 0.0 {
            write!(f, "+{}%", (1e6 * self.share).round() / 1e4)?;
        }
        Ok(())
    }
}

impl From<DensitySigma> for DensityNoise {
    fn from(fixed: DensitySigma) -> Self {
        Self { fixed, share: 0.0 }
    }
}

/// Text that is no standard uncertainty of densities.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "{found:?} is not a standard uncertainty of densities: write a number from {} to {}, as 0.01, or a number and a share of the density, as 0.005+1% (at most {} %)",
    DensitySigma::LOWEST, DensitySigma::HIGHEST, DensityNoise::PERCENT.high
)]
pub struct NotADensityNoise {
    /// The text.
    pub found: String,
}

impl FromStr for DensityNoise {
    type Err = NotADensityNoise;

    fn from_str(text: &str) -> Result<Self, NotADensityNoise> {
        let fixed = |text: &str| text.trim().parse::<DensitySigma>().ok();
        let share = |text: &str| {
            let percent = number(text.trim().strip_suffix('%')?.trim(), true).ok()?;
            Self::PERCENT.contains(percent).then_some(percent / 100.0)
        };
        match text.split_once('+') {
            None => fixed(text).map(Self::from),
            Some((a, b)) => fixed(a).zip(share(b)).map(|(fixed, share)| Self { fixed, share }),
        }
        .ok_or_else(|| NotADensityNoise { found: text.to_owned() })
    }
}
