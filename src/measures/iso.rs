//! ISO speed and its contrast condition.

use super::{Estimate, Material, Measured, Quantity, Why};
use crate::curve::Curve;
use crate::elementary::log10;
use crate::readings::ExposureScale;
use std::fmt;

/// Log exposure between the points m and n of the contrast condition.
const SPAN: f64 = 1.30;
/// Density that the curve must gain between them, and its tolerance.
pub const CONDITION: f64 = 0.80;
/// The tolerance of [`CONDITION`].
pub const TOLERANCE: f64 = 0.05;
/// Width of the speed point's interval, in decades, from which a speed says nothing.
const WIDEST: f64 = 6.0;
/// Constant of the speed formula, in lux seconds.
pub const SPEED_CONSTANT: f64 = 0.8;

/// Density gained between the speed point m and m + 1.30.
///
/// # Errors
/// The reason why the readings do not reach m + 1.30.
pub(super) fn delta_d(curve: &dyn Curve, m: &Estimate) -> Result<Estimate, Why> {
    let (_, high) = curve.range();
    if m.value + SPAN > high {
        return Err(Why::EndsBeforeChord { reach: high - m.value, needed: SPAN });
    }
    let from = Estimate::density_at(curve, m, 0.0);
    let to = Estimate::density_at(curve, m, SPAN);
    Ok(to.combined(1.0, &from, -1.0))
}

/// Whether ΔD over 1.30 of log exposure is 0.80 ± 0.05, and if not, which way to go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ContrastCondition {
    /// All of the interval of ΔD lies within 0.75 and 0.85.
    Met,
    /// ΔD is too small: develop longer.
    TooLow,
    /// ΔD is too great: develop shorter.
    TooHigh,
    /// The interval of ΔD reaches over an end of the tolerance: the readings cannot decide.
    TooNear,
}

impl ContrastCondition {
    /// Judges ΔD with its interval. An end of the interval on a limit is within it.
    #[must_use]
    pub fn of(delta_d: &Quantity) -> Self {
        // A ΔD of exactly 0.75 or 0.85 meets the condition, whatever the last binary digit says.
        const SLACK: f64 = 1e-9;
        let (low, high) = (CONDITION - TOLERANCE - SLACK, CONDITION + TOLERANCE + SLACK);
        if delta_d.high < low {
            Self::TooLow
        } else if delta_d.low > high {
            Self::TooHigh
        } else if delta_d.low >= low && delta_d.high <= high {
            Self::Met
        } else {
            Self::TooNear
        }
    }

    /// For programs.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Met => "met",
            Self::TooLow | Self::TooHigh => "not_met",
            Self::TooNear => "too_near",
        }
    }

    /// Whether it is met, where the readings can decide.
    #[must_use]
    pub const fn met(self) -> Option<bool> {
        match self {
            Self::Met => Some(true),
            Self::TooLow | Self::TooHigh => Some(false),
            Self::TooNear => None,
        }
    }
}

impl fmt::Display for ContrastCondition {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Met => "met",
            Self::TooLow => "not met: too low, develop longer",
            Self::TooHigh => "not met: too high, develop shorter",
            Self::TooNear => "too near to say: the interval reaches over a limit",
        })
    }
}

/// A speed as films are marked: arithmetic and in degrees.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StandardSpeed {
    /// Arithmetic speed of the standard's series, as 1.6, 125 or 400.
    pub arithmetic: f64,
    /// Logarithmic speed in degrees, as 3, 22 or 27.
    pub degrees: i32,
}

impl StandardSpeed {
    /// The standard speed nearest to `speed` on the logarithmic scale: degrees are the whole number
    /// nearest 1 + 10·log10 S, and the arithmetic value is the series' for it. `None` where the
    /// speed is not a positive number or outside the series (below 1 or above 1 000 000).
    ///
    /// # Source
    /// ISO 6:1993, table 1 (the pairs 100/21 and 200/24 read in secondary sources, the others the
    /// usual series; below 4 from memory).
    #[must_use]
    pub fn nearest(speed: f64) -> Option<Self> {
        const DECADE: [f64; 10] = [1.0, 1.25, 1.6, 2.0, 2.5, 3.2, 4.0, 5.0, 6.4, 8.0];
        let degrees = (1.0 + 10.0 * log10(speed)).round();
        if !(1.0..=61.0).contains(&degrees) {
            return None;
        }
        let degrees = degrees as i32;
        let thirds = degrees - 1;
        let nominal = DECADE[thirds.rem_euclid(10) as usize] * 10_f64.powi(thirds.div_euclid(10));
        // The series is written 1, 1.25, 1.6, 2, 2.5, and in whole numbers from 3 on.
        let arithmetic = if nominal < 3.0 { nominal } else { nominal.floor() };
        Some(Self { arithmetic, degrees })
    }
}

/// ISO speed: S = 0.8/Hm, Hm being the exposure in lux seconds at the speed point, when the contrast
/// condition is met.
///
/// # Source
/// ISO 6:1993; the tolerance of ±0.05 from memory.
#[derive(Clone, Debug)]
pub struct IsoSpeed {
    /// Density gained between m and m + 1.30.
    pub delta_d: Measured,
    /// The contrast condition, where ΔD is known.
    pub condition: Option<ContrastCondition>,
    /// 0.8/Hm. It is an ISO speed only where the condition is met.
    pub speed: Measured,
    /// The ISO speed: `speed` rounded to the standard's series. `None` unless the condition is met.
    pub standard: Option<StandardSpeed>,
    /// Whether exposures are in lux seconds.
    pub absolute: bool,
}

impl IsoSpeed {
    pub(super) fn new(m: Measured, delta_d: Measured, scale: ExposureScale) -> Self {
        let condition = delta_d.as_ref().ok().map(ContrastCondition::of);
        let absolute = scale == ExposureScale::Absolute;
        let speed = if absolute {
            m.and_then(|m| {
                if m.high - m.low > WIDEST {
                    return Err(Why::SpeedPointUncertain { decades: m.high - m.low });
                }
                Ok(m.speed())
            })
        } else {
            Err(Why::RelativeExposures(Material::Film))
        };
        let met = condition == Some(ContrastCondition::Met);
        let standard =
            speed.as_ref().ok().filter(|_| met).and_then(|s| StandardSpeed::nearest(s.value));
        Self { delta_d, condition, speed, standard, absolute }
    }

    /// The same with another interval of the speed point.
    pub(super) fn at(&self, m: &Measured) -> Self {
        let scale = if self.absolute { ExposureScale::Absolute } else { ExposureScale::Relative };
        Self::new(*m, self.delta_d, scale)
    }
}
