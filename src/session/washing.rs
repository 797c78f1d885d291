//! Washing: how much fixer is left, in running water or after changes of water.

use super::origin::Origin;
use crate::elementary::{exp, ln, log2, pow};
use crate::words::{number, trimmed};

/// Time in running water in which half of the fixer leaves, in **minutes**.
///
/// # Source
/// US Navy, Photography (Basic), NAVEDTRA 14209, 1993: half after one minute, a quarter after two.
pub const HALF_TIME: f64 = 1.0;
/// Where the half-time comes from.
pub const HALF_TIME_SOURCE: Origin = Origin::Navedtra14209;
/// Share of the fixer that may be left. In running water it takes about ten minutes, which is common
/// practice, no source.
pub const RESIDUAL: f64 = 0.001;
/// Minutes that each change of water stands.
///
/// # Source
/// US Army SS0509-8, p. 24: the tank is dumped every three minutes.
pub const MINUTES_PER_CHANGE: f64 = 3.0;
/// Where they come from.
pub const CHANGES_SOURCE: Origin = Origin::ArmySs0509;
/// What the handbooks ask for at least, whatever a law says: full changes of water every three
/// minutes for so many **minutes** (NAVEDTRA 14209, 1993).
pub const LEAST_BY_HANDBOOK: f64 = 20.0;

/// What to know about a washing time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum WashingNote {
    /// The time is below that of the handbooks.
    #[error(
        "this time is a calculated minimum: {HALF_TIME_SOURCE} asks for {LEAST_BY_HANDBOOK} minutes or more, in full changes of water every three minutes; for negatives that must last, test the wash"
    )]
    Minimum,
    /// Changes of water are taken to be complete.
    #[error(
        "the calculation assumes that each change stands until film and water have the same share of fixer"
    )]
    Complete,
}

/// What to know about a wash of so many minutes, in running water or in `changes` of it.
#[must_use]
pub fn notes(minutes: f64, in_changes: bool) -> Vec<WashingNote> {
    let mut notes = Vec::new();
    notes.extend((minutes < LEAST_BY_HANDBOOK).then_some(WashingNote::Minimum));
    notes.extend(in_changes.then_some(WashingNote::Complete));
    notes
}

/// More water stays behind than the filled vessel has.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("{retained} ml stay behind and the filled vessel has {total} ml: less must stay behind")]
pub struct RetainsAll {
    /// What stays behind, in **ml**.
    pub retained: f64,
    /// What the filled vessel has, in **ml**.
    pub total: f64,
}

/// Running water: half of the fixer leaves in each half-time, F = 2^(−t/h).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Running {
    /// The half-time h in **minutes**, above 0.
    pub half_time: f64,
}

impl Default for Running {
    fn default() -> Self {
        Self { half_time: HALF_TIME }
    }
}

impl Running {
    /// Share of the fixer that is left after `minutes`, from 1 down to 0.
    #[must_use]
    pub fn fraction_left(&self, minutes: f64) -> f64 {
        pow(2.0, -minutes / self.half_time)
    }

    /// Minutes until `residual` is left, t = h·log2(1/F). `None` unless 0 < F ≤ 1.
    ///
    /// ```
    /// use wedgebook::session::washing::Running;
    ///
    /// let minutes = Running::default().minutes(1.0 / 1024.0).unwrap();
    /// assert!((minutes - 10.0).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn minutes(&self, residual: f64) -> Option<f64> {
        is_residual(residual).then(|| self.half_time * log2(1.0 / residual))
    }
}

/// Changes of water: film, reels and vessel retain some of the water before, so each change leaves
/// the share r = retained/total of the fixer; F = r^n after n changes.
///
/// That is the least that is left: each change is taken to stand until film and water have the same
/// share of fixer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Changes {
    retained: f64,
    total: f64,
}

impl Changes {
    /// From the volume that stays behind when the water is poured out and the volume of the filled
    /// vessel, which includes it; in one unit.
    ///
    /// # Errors
    /// [`RetainsAll`] unless 0 < retained < total.
    pub fn new(retained: f64, total: f64) -> Result<Self, RetainsAll> {
        let fits = retained > 0.0 && retained < total && total.is_finite();
        if fits { Ok(Self { retained, total }) } else { Err(RetainsAll { retained, total }) }
    }

    /// What stays behind, in the unit of [`Self::new`].
    #[must_use]
    pub const fn retained(&self) -> f64 {
        self.retained
    }

    /// What the filled vessel has.
    #[must_use]
    pub const fn total(&self) -> f64 {
        self.total
    }

    /// Share of the fixer that is left after so many changes.
    #[must_use]
    pub fn fraction_left(&self, changes: u32) -> f64 {
        exp(f64::from(changes) * ln(self.retained / self.total))
    }

    /// Changes until no more than `residual` is left: n = ⌈ln F/ln r⌉. `None` unless 0 < F ≤ 1.
    ///
    /// ```
    /// use wedgebook::session::washing::Changes;
    ///
    /// let tank = Changes::new(50.0, 500.0).unwrap();
    /// assert_eq!(tank.changes(0.001), Some(3));
    /// ```
    #[must_use]
    pub fn changes(&self, residual: f64) -> Option<u32> {
        let exact = ln(residual) / ln(self.retained / self.total);
        // A whole number of changes stays one, whatever binary fractions say.
        is_residual(residual).then(|| (exact - 1e-9).ceil().max(0.0) as u32)
    }
}

/// A share as a person reads it: "0.1 %".
#[must_use]
pub fn percent(share: f64) -> String {
    let percent = 100.0 * share;
    match percent {
        p if p >= 9.95 => format!("{} %", number(p, 0)),
        p if p >= 1.0 => format!("{} %", number(p, 1)),
        p if p >= 0.01 => format!("{} %", trimmed(p, 2)),
        p if p > 0.0 => "less than 0.01 %".to_owned(),
        _ => "0 %".to_owned(),
    }
}

fn is_residual(residual: f64) -> bool {
    residual > 0.0 && residual <= 1.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_default_is_about_ten_minutes() {
        let minutes = Running::default().minutes(RESIDUAL).unwrap();
        assert!((minutes - 10.0).abs() < 0.05, "{minutes}");
        assert!((Running::default().fraction_left(minutes) - RESIDUAL).abs() < 1e-12);
    }

    #[test]
    fn changes_are_the_fewest_that_do() {
        for (retained, total) in [(30.0, 1000.0), (100.0, 300.0), (1.0, 1.5)] {
            let tank = Changes::new(retained, total).unwrap();
            for residual in [0.5, 0.1, 0.01, 0.001, 1e-6] {
                let n = tank.changes(residual).unwrap();
                assert!(tank.fraction_left(n) <= residual * (1.0 + 1e-6), "{n}");
                assert!(n == 0 || tank.fraction_left(n - 1) > residual, "{n}");
            }
        }
    }

    #[test]
    fn what_cannot_be_is_none() {
        for residual in [0.0, -0.1, 1.1, f64::NAN] {
            assert_eq!(Running::default().minutes(residual), None);
            assert_eq!(Changes::new(1.0, 2.0).unwrap().changes(residual), None);
        }
        for (retained, total) in
            [(0.0, 1.0), (1.0, 1.0), (2.0, 1.0), (f64::NAN, 1.0), (1.0, f64::INFINITY)]
        {
            assert!(Changes::new(retained, total).is_err());
        }
    }

    #[test]
    fn shares_are_legible() {
        assert_eq!(percent(1.0 / 32.0), "3.1 %");
        assert_eq!(
            [0.5, 0.001, 0.0009, 2e-6].map(percent),
            ["50 %", "0.1 %", "0.09 %", "less than 0.01 %"]
        );
    }
}
