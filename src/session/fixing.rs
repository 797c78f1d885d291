//! Fixing: from a clearing test to the time, and whether the bath is spent.

use super::origin::Origin;
use crate::bath::film::{Films, Format, NOMINAL};

/// Fixing time over clearing time of a conventional emulsion.
///
/// # Source
/// US Navy, Photography (Basic), NAVEDTRA 14209, 1993: twice the clearing time.
pub const FACTOR: f64 = 2.0;
/// Clearing time over that in the fresh bath at which a fixer is spent.
///
/// # Source
/// The same: twice.
pub const SPENT: f64 = 2.0;
/// Fresh fixer for a roll in **ml** (common practice, no source).
pub const ML_PER_ROLL: f64 = 20.0;
/// Where the two factors come from.
pub const SOURCE: Origin = Origin::Navedtra14209;
/// A test that is shorter than this share of the fresh bath's was perhaps warmer, or of another film
/// (common practice, no source).
const FASTER: f64 = 0.8;

/// How long a piece of film takes to clear, in **seconds**: until its milkiness is gone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClearingTest {
    /// In the bath today.
    pub seconds: f64,
    /// In the bath when it was fresh, with the same film.
    pub fresh_seconds: Option<f64>,
}

impl ClearingTest {
    /// How long to fix, in **seconds**: `factor` times today's clearing time, rounded up to a whole
    /// second.
    ///
    /// ```
    /// use wedgebook::session::fixing::{ClearingTest, FACTOR};
    ///
    /// let test = ClearingTest { seconds: 55.0, fresh_seconds: Some(40.0) };
    /// assert_eq!(test.fixing_seconds(FACTOR), 110.0);
    /// assert_eq!(test.is_spent(), Some(false));
    /// ```
    #[must_use]
    pub fn fixing_seconds(&self, factor: f64) -> f64 {
        // 1.1 × 50 s is 55 s, whatever binary fractions say.
        (factor * self.seconds - 1e-9).ceil()
    }

    /// Today's clearing time over that in the fresh bath, where it is known.
    #[must_use]
    pub fn slowed(&self) -> Option<f64> {
        self.fresh_seconds.map(|fresh| self.seconds / fresh)
    }

    /// Whether the bath is spent: it clears in [`SPENT`] times the fresh bath's time, or longer.
    /// `None` where the fresh bath's time is not known.
    #[must_use]
    pub fn is_spent(&self) -> Option<bool> {
        self.slowed().map(|slowed| slowed >= SPENT)
    }
}

/// What to know about a fixing time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum FixingNote {
    /// The clearing time of the fresh bath is not known.
    #[error(
        "whether the fixer is spent cannot be determined without the clearing time of the same film in the fresh fixer"
    )]
    FreshNotKnown,
    /// The test cleared much faster than the fresh bath.
    #[error(
        "the film clears faster than in the fresh fixer: check that it is the same film and the same temperature"
    )]
    Faster,
    /// The factor is that of conventional emulsions.
    #[error(
        "twice the clearing time is for conventional emulsions; if the maker of the film says more, use the maker's factor"
    )]
    ConventionalFactor,
    /// Areas are nominal.
    #[error("{NOMINAL}")]
    NominalArea,
}

/// What protects people where a fixer is spent.
pub const CAUTION: &str = "spent fixer contains silver: dispose of it as the maker's safety sheet and the local rules require";

impl ClearingTest {
    /// What to know about the test: where a factor is `assumed`, that too.
    #[must_use]
    pub fn notes(&self, assumed: bool) -> Vec<FixingNote> {
        let faster = self.slowed().is_some_and(|slowed| slowed < FASTER);
        let mut notes = Vec::new();
        notes.extend(self.fresh_seconds.is_none().then_some(FixingNote::FreshNotKnown));
        notes.extend(faster.then_some(FixingNote::Faster));
        notes.extend(assumed.then_some(FixingNote::ConventionalFactor));
        notes
    }
}

/// Fresh fixer for film, in **ml**: `ml_per_roll` for the area of a 135 film of 36 exposures, and for
/// other formats by their area.
#[must_use]
pub fn replenisher_ml(films: &Films, ml_per_roll: f64) -> f64 {
    ml_per_roll * rolls(films.area_m2())
}

/// An area in rolls of 135 film of 36 exposures.
#[must_use]
pub fn rolls(area_m2: f64) -> f64 {
    area_m2 / Format::Roll135x36.area_m2()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bath_is_spent_at_the_limit() {
        let test = |seconds, fresh_seconds| ClearingTest { seconds, fresh_seconds };
        assert_eq!(test(80.0, Some(40.0)).is_spent(), Some(true));
        assert_eq!(test(79.9, Some(40.0)).is_spent(), Some(false));
        assert_eq!(test(79.9, None).is_spent(), None);
        assert_eq!(test(50.5, None).fixing_seconds(2.0), 101.0);
        assert_eq!(test(50.2, None).fixing_seconds(3.0), 151.0);
        assert_eq!(test(50.0, None).fixing_seconds(1.1), 55.0);
    }

    #[test]
    fn replenisher_goes_by_area() {
        let films = Films(vec![(3, Format::Roll135x36)]);
        assert!((replenisher_ml(&films, 20.0) - 60.0).abs() < 1e-9);
        let both = Films(vec![(1, Format::Roll120), (1, Format::Roll220)]);
        let by_area = 20.0 * both.area_m2() / Format::Roll135x36.area_m2();
        assert!((replenisher_ml(&both, 20.0) - by_area).abs() < 1e-9);
    }
}
