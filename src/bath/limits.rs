//! How far a reading of a control strip may lie from its aim.

use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Two deviations closer than this are one: 1.35 − 1.20 is 0.15 in decimals and
/// 0.15000000000000013 in binary. No densitometer tells a millionth of this.
pub const SLACK: f64 = 1e-9;

/// Farthest that a reading may lie below and above its aim, in the unit of the reading. A side
/// without a limit is free.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "Sides", into = "Sides")]
pub struct Allowed {
    lower: Option<f64>,
    upper: Option<f64>,
}

/// [`Allowed`] as it is written, not yet checked.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Sides {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    lower: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    upper: Option<f64>,
}

impl TryFrom<Sides> for Allowed {
    type Error = String;

    fn try_from(sides: Sides) -> Result<Self, String> {
        Self::new(sides.lower, sides.upper)
    }
}

impl From<Allowed> for Sides {
    fn from(Allowed { lower, upper }: Allowed) -> Self {
        Self { lower, upper }
    }
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
    pub fn new(lower: Option<f64>, upper: Option<f64>) -> Result<Self, String> {
        if let Some(low) = lower.filter(|d| !(d.is_finite() && *d <= 0.0)) {
            return Err(format!("the lower deviation from an aim must be 0 or less; found {low}"));
        }
        if let Some(high) = upper.filter(|d| !(d.is_finite() && *d >= 0.0)) {
            return Err(format!("the upper deviation from an aim must be 0 or more; found {high}"));
        }
        if lower.is_none() && upper.is_none() {
            return Err("a limit needs a lower or an upper deviation from the aim".to_owned());
        }
        Ok(Self { lower, upper })
    }

    /// The same deviation to both sides.
    ///
    /// # Errors
    /// For one that is negative or no finite number.
    pub fn symmetric(deviation: f64) -> Result<Self, String> {
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

/// The limits of a bath: for each quantity how far it may lie from its aim.
///
/// ```
/// use wedgebook::bath::limits::{Allowed, Limits, Verdict};
///
/// let mut limits = Limits::new("Quillback 1+6, evening class");
/// limits.set("contrast index", Allowed::symmetric(0.03)?);
/// assert_eq!(limits.judge("contrast index", 0.62, 0.58)?, Verdict::Above);
/// # Ok::<(), String>(())
/// ```
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Limits {
    /// What they are for, with their source.
    pub name: String,
    quantities: BTreeMap<String, Allowed>,
}

impl Limits {
    /// No limits yet.
    #[must_use]
    pub fn new(name: &str) -> Self {
        Self { name: name.to_owned(), quantities: BTreeMap::new() }
    }

    /// Limits of the daily test of **mammography film processors**, 21 CFR 900.12(e)(1)(i) to (iii):
    /// "base plus fog" at most 0.03 above its established level, "mid density" and "density
    /// difference" within 0.15 of theirs, in optical density.
    ///
    /// They were made for radiography, not for pictorial film: 0.15 is far more than a printer
    /// would put up with. The rule does not say whether a deviation that equals a limit passes;
    /// here it does.
    #[must_use]
    pub fn mammography_processors() -> Self {
        let allowed = |lower, upper| Allowed { lower, upper };
        let each_way = allowed(Some(-0.15), Some(0.15));
        let mut limits = Self::new(
            "mammography film processors (21 CFR 900.12(e)(1)): made for radiography, not for pictorial film",
        );
        limits.set("base plus fog", allowed(None, Some(0.03)));
        limits.set("mid density", each_way);
        limits.set("density difference", each_way);
        limits
    }

    /// Sets the limits of a quantity.
    pub fn set(&mut self, quantity: &str, allowed: Allowed) {
        self.quantities.insert(quantity.to_owned(), allowed);
    }

    /// The limits of a quantity.
    #[must_use]
    pub fn of(&self, quantity: &str) -> Option<&Allowed> {
        self.quantities.get(quantity)
    }

    /// The quantities that have limits, by name.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &Allowed)> {
        self.quantities.iter().map(|(name, a)| (name.as_str(), a))
    }

    /// Where a reading lies with respect to its aim.
    ///
    /// # Errors
    /// For a quantity without limits, naming those that have some, and for a reading or aim that is
    /// no finite number.
    pub fn judge(&self, quantity: &str, reading: f64, aim: f64) -> Result<Verdict, String> {
        let Some(allowed) = self.of(quantity) else {
            let known: Vec<&str> = self.quantities.keys().map(String::as_str).collect();
            return Err(format!(
                "{} has no limits for {quantity}; it has some for: {}",
                self.name,
                known.join(", ")
            ));
        };
        if !(reading.is_finite() && aim.is_finite()) {
            return Err(format!(
                "{quantity}: a reading and an aim are needed; found {reading} and {aim}"
            ));
        }
        Ok(allowed.judge(reading - aim))
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
        let written = r#"{"name": "x", "quantities": {"gamma": {"lower": 0.2}}}"#;
        let refusal = serde_json::from_str::<Limits>(written).unwrap_err();
        assert!(refusal.to_string().contains("0 or less"), "{refusal}");
    }

    #[test]
    fn limits_are_written_and_read_back() {
        let limits = Limits::mammography_processors();
        let written = serde_json::to_string(&limits).unwrap();
        assert_eq!(serde_json::from_str::<Limits>(&written).unwrap(), limits);
        let refusal = limits.judge("gamma", 0.6, 0.6).unwrap_err();
        assert!(refusal.contains("base plus fog, density difference, mid density"));
    }
}
