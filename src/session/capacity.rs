//! How much film a solution develops, and how much of that is used.

use crate::bath::journal::{Act, Journal};

/// Film that a litre of a kept bath is assumed to develop before it is replenished or replaced, in
/// **m²** (common practice, no source): nine rolls of 135 film of 36 exposures.
pub const KEPT: f64 = 0.5;
/// Film that a litre of a solution that is used once is assumed to develop, in **m²** (common
/// practice, no source): a roll in 224 ml.
pub const ONE_SHOT: f64 = 0.25;
/// What an assumed capacity is to be called wherever it shows.
pub const ASSUMED: &str =
    "assumed (common practice, no source): the maker's sheet has the true one";

/// Film that a litre of solution develops.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Capacity {
    /// In **m²** a litre.
    pub m2_per_litre: f64,
    /// Whether that is assumed.
    pub assumed: bool,
}

impl Capacity {
    /// What was stated, or else what is assumed.
    #[must_use]
    pub fn stated_or(stated: Option<f64>, otherwise: f64) -> Self {
        Self { m2_per_litre: stated.unwrap_or(otherwise), assumed: stated.is_none() }
    }

    /// Film that a volume develops, in **m²**.
    #[must_use]
    pub fn of_ml(&self, ml: f64) -> f64 {
        self.m2_per_litre * ml / 1e3
    }
}

/// Film of the present bath that no replenishment has made good, in **m²**.
///
/// With `ml_per_m2` each replenishment makes good what it was meant for: added/`ml_per_m2`, and never
/// more than there is. Without it, a replenishment is taken to make good all film before it.
#[must_use]
pub fn outstanding_m2(journal: &Journal, ml_per_m2: Option<f64>) -> f64 {
    let after = |open: f64, act: &Act| match act {
        Act::Mix { .. } => 0.0,
        Act::Film { area_m2, .. } => open + area_m2,
        Act::Replenish { added_ml, .. } => match ml_per_m2 {
            Some(rate) => (open - added_ml / rate).max(0.0),
            None => 0.0,
        },
        _ => open,
    };
    let open = journal.entries.iter().map(|e| &e.act).fold(0.0, after);
    // To the square millimetre: 0.28 less 25.2 ml for it is nothing, not a trace.
    (open * 1e6).round() / 1e6
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn replenishment_makes_film_good() {
        let text = "date,act,litres,area_m2,added_ml\n\
            2026-01-05,mix,1,,\n2026-01-06,film,,0.28,\n2026-01-07,mix,2,,\n\
            2026-01-08,film,,0.3,\n2026-01-09,replenish,,,100\n2026-01-10,film,,0.1,\n";
        let journal = Journal::parse("bath.csv", text.as_bytes(), date(2026, 12, 31)).unwrap();
        assert_eq!(outstanding_m2(&journal, None), 0.1);
        assert_eq!(outstanding_m2(&journal, Some(500.0)), 0.2);
        assert_eq!(outstanding_m2(&journal, Some(50.0)), 0.1, "nobody replenishes ahead");
    }

    #[test]
    fn a_capacity_is_stated_or_assumed() {
        assert_eq!(
            Capacity::stated_or(Some(0.8), KEPT),
            Capacity { m2_per_litre: 0.8, assumed: false }
        );
        let assumed = Capacity::stated_or(None, ONE_SHOT);
        assert!(assumed.assumed && (assumed.of_ml(500.0) - 0.125).abs() < 1e-12);
    }
}
