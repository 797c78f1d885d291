//! How many films, how many days.

use super::mixture::{crossing, normal};
use super::{Bath, NoForecast};
use crate::elementary::{exp, exp_m1, ln, ln_1p};

/// More films than this are not counted.
pub const MOST_FILMS: u32 = 9999;
/// More days than this are not counted.
pub const LONGEST_DAYS: f64 = 3650.0;

/// A number of films with its interval.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Count {
    /// As many are as likely as not.
    pub median: u32,
    /// Lower end of the interval.
    pub low: u32,
    /// Upper end of the interval; [`MOST_FILMS`] stands for that many or more.
    pub high: u32,
}

/// A number of days with its interval.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Span {
    /// As long is as likely as not.
    pub median: f64,
    /// Lower end of the interval.
    pub low: f64,
    /// Upper end of the interval; [`LONGEST_DAYS`] stands for as long or longer.
    pub high: f64,
}

/// Refuses areas and paces that cannot be.
pub(super) fn check_use(film_m2: f64, per_day: Option<f64>) -> Result<(), NoForecast> {
    if !(film_m2 > 0.0 && film_m2.is_finite()) {
        return Err(NoForecast::FilmArea);
    }
    match per_day {
        Some(pace) if !(pace > 0.0 && pace.is_finite()) => Err(NoForecast::Pace),
        _ => Ok(()),
    }
}

fn check_limit(limit: f64, level: f64) -> Result<(), NoForecast> {
    if !(limit > 0.0 && limit <= 20.0) {
        Err(NoForecast::Lowest)
    } else if !(0.0 < level && level < 1.0) {
        Err(NoForecast::Level)
    } else {
        Ok(())
    }
}

impl Bath {
    /// How many films of `film_m2` still go into a bath of activity `limit` or more, without
    /// replenishment: the first goes in now and the others follow at `per_day` a day (`None`: all
    /// now). The interval holds with probability `level` or a little more, for films are whole.
    ///
    /// # Errors
    /// The reason where no strip gives it, or what is wrong with the question.
    pub fn films_left(
        &self,
        film_m2: f64,
        per_day: Option<f64>,
        limit: f64,
        level: f64,
    ) -> Result<Count, NoForecast> {
        self.carried()?;
        check_use(film_m2, per_day)?;
        check_limit(limit, level)?;
        let days = per_day.map_or(0.0, |p| 1.0 / p);
        // Probability that the n-th film goes in well.
        let well_at = |n: f64| self.above(limit, (n - 1.0) * film_m2, (n - 1.0) * days);
        let well = |n: u32| {
            if n == 0 { 1.0 } else { well_at(f64::from(n)) }
        };
        // The greatest n that goes in well with at least this probability.
        let at = |probability: f64| {
            let ill = |log: f64| 1.0 - well_at(exp(log));
            let log = crossing(ill, 1.0 - probability, 0.0, ln(f64::from(MOST_FILMS)));
            // Rounded up, it may be one too many.
            let mut n = exp(log).round() as u32;
            while n > 0 && well(n) < probability {
                n -= 1;
            }
            n
        };
        let tail = 0.5 * (1.0 - level);
        let median = at(0.5);
        let (mut low, mut high) = (at(1.0 - tail), at(tail));
        // Films are whole: these hold more than is asked for. The less likely end goes first.
        loop {
            let (lowest, highest) = (well(low) - well(low + 1), well(high) - well(high + 1));
            let rest = well(low) - well(high + 1) - lowest.min(highest);
            if low == high || rest < level {
                return Ok(Count { median, low, high });
            }
            if lowest < highest && low < median {
                low += 1;
            } else if high > median {
                high -= 1;
            } else {
                return Ok(Count { median, low, high });
            }
        }
    }

    /// Days until the activity falls below `limit` at `m2_per_day` of film (0: by age alone), without
    /// replenishment. The interval holds with probability `level`.
    ///
    /// # Errors
    /// The reason where no strip gives it, or what is wrong with the question.
    pub fn days_left(&self, m2_per_day: f64, limit: f64, level: f64) -> Result<Span, NoForecast> {
        self.carried()?;
        check_limit(limit, level)?;
        if !(m2_per_day >= 0.0 && m2_per_day.is_finite()) {
            return Err(NoForecast::Pace);
        }
        let at = |probability: f64| {
            // Days count from one, for the logarithm.
            let ill = |log: f64| {
                let days = exp_m1(log);
                1.0 - self.above(limit, m2_per_day * days, days)
            };
            let longest = ln_1p(LONGEST_DAYS);
            let log = crossing(ill, 1.0 - probability, 0.0, longest);
            if log < longest { exp_m1(log) } else { LONGEST_DAYS }
        };
        let tail = 0.5 * (1.0 - level);
        Ok(Span { median: at(0.5), low: at(1.0 - tail), high: at(tail) })
    }

    /// Probability that the bath stands at `limit` or more after `m2` of film and `days`.
    fn above(&self, limit: f64, m2: f64, days: f64) -> f64 {
        let part = |n: &super::belief::Node| {
            let loss = n.values.loss(m2 / self.litres, days);
            let sd = (n.state.xx + n.values.dispersion * loss).sqrt();
            n.weight * normal((n.state.x - loss - ln(limit)) / sd)
        };
        self.nodes.iter().map(part).sum()
    }
}
