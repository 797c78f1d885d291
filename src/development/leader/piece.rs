//! One later piece: the activity of its bath.

use super::LeaderGrowth;
use crate::elementary::{exp, ln};
use crate::measures::Quantity;
use crate::numerics::search::root;
use crate::units::{Celsius, Minutes};

/// How far beyond the family's effective times a value is given, as a factor.
const OUTSIDE: f64 = 1.25;
/// How far beyond them the ends of an interval are looked for, as a factor.
const FARTHEST: f64 = 3.0;
/// Stretches in which the end of an interval is looked for.
const STRETCHES: usize = 60;

/// One piece of leader from a bath that is tested.
#[derive(Clone, Debug, PartialEq)]
pub struct Tested {
    /// Readings of its density: at least one.
    pub densities: Vec<f64>,
    /// Standard uncertainty of one reading.
    pub reading_sd: f64,
    /// How long it was developed.
    pub minutes: Minutes,
    /// At what temperature.
    pub celsius: Celsius,
}

/// Why a piece does not show the activity of its bath. The ends are those of its 95 % interval.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum NoActivity {
    /// The density is at or above where the family ends.
    #[error(
        "the density {density:.2} is more than the family shows, {greatest:.2} at most: develop a piece for a shorter time"
    )]
    AboveFamily {
        /// Density of the piece.
        density: f64,
        /// The greatest that the family's curve has, a little beyond its times.
        greatest: f64,
        /// Lower end of the interval of the activity, where it is known.
        at_least: Option<f64>,
    },
    /// The density is below where the family begins.
    #[error(
        "the density {density:.2} is less than the family shows, {least:.2} at least: develop a piece for a longer time"
    )]
    BelowFamily {
        /// Density of the piece.
        density: f64,
        /// The least that the family's curve has, a little before its times.
        least: f64,
        /// Upper end of the interval of the activity, where it is known.
        at_most: Option<f64>,
    },
    /// The density hardly changes there.
    #[error(
        "after this time the density hardly changes with development: develop a piece for a shorter time"
    )]
    Flat {
        /// Lower end of the interval of the activity, where it is known.
        at_least: Option<f64>,
    },
}

impl NoActivity {
    /// For programs.
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::AboveFamily { .. } => "above_family",
            Self::BelowFamily { .. } => "below_family",
            Self::Flat { .. } => "flat",
        }
    }

    /// The one end of the interval that is known, lower and upper.
    #[must_use]
    pub const fn ends(&self) -> (Option<f64>, Option<f64>) {
        match *self {
            Self::AboveFamily { at_least, .. } | Self::Flat { at_least } => (at_least, None),
            Self::BelowFamily { at_most, .. } => (None, at_most),
        }
    }
}

impl Tested {
    /// Mean of the readings.
    #[must_use]
    pub fn density(&self) -> f64 {
        self.densities.iter().sum::<f64>() / self.densities.len() as f64
    }

    /// Standard uncertainty of that mean by the readings alone.
    fn mean_sd(&self) -> f64 {
        self.reading_sd / (self.densities.len() as f64).sqrt()
    }
}

impl LeaderGrowth {
    /// The activity of the bath that a piece was developed in, with its 95 % interval: all activities for
    /// which a piece would have this density within what one piece may err.
    ///
    /// # Errors
    /// [`NoActivity`] where the density lies outside the family or hardly changes with development.
    pub fn activity(&self, piece: &Tested) -> Result<Quantity, NoActivity> {
        let (density, minutes) = (piece.density(), piece.minutes.get());
        let at_one = self.effective(minutes, piece.celsius);
        let theta = |ln_a: f64| at_one * exp(ln_a);
        let (low, high) = (self.range.0 / at_one, self.range.1 / at_one);
        let excess = |ln_a: f64| self.density(theta(ln_a)) - density;
        // How far a piece of this activity would be from the one that was read: 1 is the end of its interval.
        let away = |ln_a: f64| {
            excess(ln_a) / self.piece_error(theta(ln_a), minutes, piece.celsius, piece.mean_sd())
        };
        let (first, last) = (ln(low / FARTHEST), ln(high * FARTHEST));
        let upper = |from: f64| first_crossing(|x| away(x) - 1.0, from, last);
        let lower = |from: f64| first_crossing(|x| away(x) + 1.0, from, first);
        let (from, to) = (ln(low / OUTSIDE), ln(high * OUTSIDE));
        let (least, greatest) = (self.density(theta(from)), self.density(theta(to)));
        if density >= greatest {
            // What lies outside already where the family ends is bounded by that end.
            let at_least = if away(to) < -1.0 { Some(to) } else { lower(to) }.map(exp);
            return Err(NoActivity::AboveFamily { density, greatest, at_least });
        }
        if density <= least {
            let at_most = if away(from) > 1.0 { Some(from) } else { upper(from) }.map(exp);
            return Err(NoActivity::BelowFamily { density, least, at_most });
        }
        let flat = |at_least: Option<f64>| NoActivity::Flat { at_least };
        let best = root(excess, from, to).ok_or(flat(None))?;
        match (lower(best), upper(best)) {
            (Some(low), Some(high)) => {
                Ok(Quantity { value: exp(best), low: exp(low), high: exp(high) })
            }
            (low, _) => Err(flat(low.map(exp))),
        }
    }
}

/// The first root of `f` on the way from `from` to `to`, in either direction.
fn first_crossing(f: impl Fn(f64) -> f64, from: f64, to: f64) -> Option<f64> {
    let step = (to - from) / STRETCHES as f64;
    let at = |k: usize| from + step * k as f64;
    (0..STRETCHES).find_map(|k| {
        let (a, b) = (at(k), at(k + 1));
        root(&f, a.min(b), a.max(b))
    })
}
