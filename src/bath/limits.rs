//! How far a reading of a control strip may lie from its aim.

use super::watched::Watched;
use crate::units::{Bounds, OutOfBounds};
use std::collections::BTreeMap;
use std::fmt;

/// Two deviations closer than this are one: 1.35 − 1.20 is 0.15 in decimals and
/// 0.15000000000000013 in binary. No densitometer reads a millionth of this.
pub const SLACK: f64 = 1e-9;

/// Farthest that a reading may lie below and above its aim, in the unit of the reading. A side
/// without a limit is free.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Allowed {
    lower: Option<f64>,
    upper: Option<f64>,
}

/// What the distance of a limit from its aim may be, in density, contrast or log exposure: what may be farther
/// off has no limit.
pub const DISTANCE: Bounds = Bounds::above_zero("a distance of a limit from its aim", 1.0);

/// Why two deviations are no limit.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum NoLimit {
    /// A lower deviation above 0, or no number.
    #[error("the lower deviation from an aim must be 0 or less; found {0}")]
    Lower(f64),
    /// An upper deviation below 0, or no number.
    #[error("the upper deviation from an aim must be 0 or more; found {0}")]
    Upper(f64),
    /// Neither.
    #[error("a limit needs a lower or an upper deviation from the aim")]
    Neither,
    /// A distance from an aim that is not within [`DISTANCE`].
    #[error(transparent)]
    Distance(#[from] OutOfBounds),
}

/// Where a reading lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Within the limits, or on one of them.
    Within,
    /// Below the lower limit.
    Below,
    /// Above the upper limit.
    Above,
}

impl Allowed {
    /// A lower deviation of 0 or less and an upper one of 0 or more; at least one of them.
    ///
    /// # Errors
    /// For any others.
    pub fn new(lower: Option<f64>, upper: Option<f64>) -> Result<Self, NoLimit> {
        if let Some(low) = lower.filter(|d| !(d.is_finite() && *d <= 0.0)) {
            return Err(NoLimit::Lower(low));
        }
        if let Some(high) = upper.filter(|d| !(d.is_finite() && *d >= 0.0)) {
            return Err(NoLimit::Upper(high));
        }
        if lower.is_none() && upper.is_none() {
            return Err(NoLimit::Neither);
        }
        Ok(Self { lower, upper })
    }

    /// The same deviation to both sides.
    ///
    /// # Errors
    /// For one that is negative or no finite number.
    pub fn symmetric(deviation: f64) -> Result<Self, NoLimit> {
        Self::new(Some(-deviation), Some(deviation))
    }

    /// The lower deviation: 0 or less.
    #[must_use]
    pub const fn lower(&self) -> Option<f64> {
        self.lower
    }

    /// The upper deviation: 0 or more.
    #[must_use]
    pub const fn upper(&self) -> Option<f64> {
        self.upper
    }

    /// Where a deviation (reading − aim) lies. One exactly on a limit is within, and so is one that
    /// is beyond it by less than [`SLACK`], as binary fractions have it. One that is no number is
    /// within nothing: it counts as above.
    #[must_use]
    pub fn judge(&self, deviation: f64) -> Verdict {
        if self.lower.is_some_and(|low| deviation < low - SLACK) {
            Verdict::Below
        } else if deviation.is_nan() || self.upper.is_some_and(|high| deviation > high + SLACK) {
            Verdict::Above
        } else {
            Verdict::Within
        }
    }
}

/// Where limits come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LimitsFrom {
    /// The pairing states them.
    Pairing,
    /// The pairing states none: they are assumed.
    Assumed,
    /// The first strips of the bath, in its journal.
    History {
        /// How many strips.
        strips: usize,
        /// Whether these are fewer than settle them.
        provisional: bool,
    },
    /// The daily test of mammography film processors.
    MammographyProcessors,
}

impl LimitsFrom {
    /// Its code for programs.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Pairing => "pairing",
            Self::Assumed => "assumed",
            Self::History { .. } => "history",
            Self::MammographyProcessors => "radiography",
        }
    }
}

impl fmt::Display for LimitsFrom {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Pairing => f.write_str("those of the pairing"),
            Self::Assumed => f.write_str(
                "assumed (contrast: NAVEDTRA 14208, 1995; the others common practice, no source); to set your own, write a section [limits] in the pairing",
            ),
            Self::History { strips, provisional } => write!(
                f,
                "from the history of the bath: three standard deviations of its first {strips} strips{}, about the aim",
                if *provisional { ", provisional" } else { "" }
            ),
            Self::MammographyProcessors => f.write_str(
                "those of mammography film processors (21 CFR 900.12(e)(1)): made for radiography, not for pictorial film",
            ),
        }
    }
}

/// The limits of a bath: for each quantity how far it may lie from its aim.
///
/// ```
/// use wedgebook::bath::limits::{Allowed, Limits, LimitsFrom, Verdict};
/// use wedgebook::bath::watched::Watched;
///
/// let mut limits = Limits::new(LimitsFrom::Pairing);
/// limits.set(Watched::Contrast, Allowed::symmetric(0.03)?);
/// assert_eq!(limits.judge(Watched::Contrast, 0.62 - 0.58), Some(Verdict::Above));
/// assert_eq!(limits.judge(Watched::Speed, 0.30), None);
/// # Ok::<(), wedgebook::bath::limits::NoLimit>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Limits {
    /// Where they come from.
    pub from: LimitsFrom,
    quantities: BTreeMap<Watched, Allowed>,
}

impl Limits {
    /// No limits yet.
    #[must_use]
    pub const fn new(from: LimitsFrom) -> Self {
        Self { from, quantities: BTreeMap::new() }
    }

    /// Limits of the daily test of **mammography film processors**, 21 CFR 900.12(e)(1)(i) to (iii):
    /// base plus fog at most 0.03 above its established level, mid density and density difference
    /// within 0.15 of theirs, in optical density.
    ///
    /// They were made for radiography, not for pictorial film: 0.15 is far more than a printer
    /// would put up with. The rule does not say whether a deviation that equals a limit passes;
    /// here it does.
    #[must_use]
    pub fn mammography_processors() -> Self {
        let allowed = |lower, upper| Allowed { lower, upper };
        let each_way = allowed(Some(-0.15), Some(0.15));
        let mut limits = Self::new(LimitsFrom::MammographyProcessors);
        limits.set(Watched::BasePlusFog, allowed(None, Some(0.03)));
        limits.set(Watched::MidDensity, each_way);
        limits.set(Watched::DensityDifference, each_way);
        limits
    }

    /// Sets the limits of a quantity.
    pub fn set(&mut self, quantity: Watched, allowed: Allowed) {
        self.quantities.insert(quantity, allowed);
    }

    /// The limits of a quantity.
    #[must_use]
    pub fn of(&self, quantity: Watched) -> Option<&Allowed> {
        self.quantities.get(&quantity)
    }

    /// The quantities that have limits, in their order.
    pub fn iter(&self) -> impl Iterator<Item = (Watched, &Allowed)> {
        self.quantities.iter().map(|(quantity, allowed)| (*quantity, allowed))
    }

    /// Where a deviation (reading − aim) lies; `None` for a quantity without limits.
    #[must_use]
    pub fn judge(&self, quantity: Watched, deviation: f64) -> Option<Verdict> {
        Some(self.of(quantity)?.judge(deviation))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_side_without_limit_is_free() {
        let upper = Allowed::new(None, Some(0.03)).unwrap();
        assert_eq!(upper.judge(-9.0), Verdict::Within);
        assert_eq!(upper.judge(0.031), Verdict::Above);
        assert_eq!(upper.judge(f64::NAN), Verdict::Above);
        let lower = Allowed::new(Some(-0.1), None).unwrap();
        assert_eq!(lower.judge(-0.11), Verdict::Below);
    }

    #[test]
    fn impossible_limits_are_refused() {
        for (lower, upper) in [
            (None, None),
            (Some(0.1), None),
            (None, Some(-0.1)),
            (Some(f64::NAN), None),
            (None, Some(f64::INFINITY)),
        ] {
            assert!(Allowed::new(lower, upper).is_err(), "{lower:?} {upper:?}");
        }
    }
}
