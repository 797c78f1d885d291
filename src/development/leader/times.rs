//! For which time is a piece developed, so that its density shows most of the bath's activity?

use super::LeaderGrowth;
use crate::elementary::{exp, ln};
use crate::numerics::search::greatest;
use crate::units::Celsius;

/// Times whose expected interval is at most so many times as wide as the narrowest serve as well.
pub const AS_GOOD: f64 = 1.25;
/// Stretches in which the best time is looked for.
const STRETCHES: usize = 40;
/// Best times are rounded to this, in **minutes**: nobody times a piece more finely.
const ROUNDED: f64 = 0.25;
/// An expected interval wider than this, in ln a, says next to nothing.
const USELESS: f64 = 1.0;

/// What one piece of a time is expected to show in a bath of activity 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TestTime {
    /// The time, in **minutes**.
    pub minutes: f64,
    /// The density expected.
    pub density: f64,
    /// Half the width of the 95 % interval of ln a; absent where the density hardly changes.
    pub half_width: Option<f64>,
}

/// Times for a test at a temperature.
#[derive(Clone, Debug, PartialEq)]
pub struct TestTimes {
    /// The temperature.
    pub celsius: Celsius,
    /// The best time, to a quarter of a minute.
    pub best: TestTime,
    /// Shortest and longest time that serve as well, in **minutes**.
    pub as_good: (f64, f64),
    /// Whether the family does not reach to where the best time may be shorter.
    pub shortest_is_best: bool,
    /// The best time and others of the family, in their order.
    pub all: Vec<TestTime>,
}

impl LeaderGrowth {
    /// What a piece of `minutes` at `celsius` is expected to show, by one reading.
    #[must_use]
    pub fn expected(&self, minutes: f64, celsius: Celsius) -> TestTime {
        let theta = self.effective(minutes, celsius);
        let half = self.half_width(minutes, celsius);
        let half_width = Some(half).filter(|half| *half < USELESS);
        TestTime { minutes, density: self.density(theta), half_width }
    }

    /// Half the width of the 95 % interval of ln a, by the slope of the density there.
    fn half_width(&self, minutes: f64, celsius: Celsius) -> f64 {
        let theta = self.effective(minutes, celsius);
        let error = self.piece_error(theta, minutes, celsius, self.reading_sd);
        let half = error / (theta * self.growth.slope(theta));
        if half > 0.0 { half } else { f64::INFINITY }
    }

    /// The times of the family at `celsius`, with the one at which density answers most to activity.
    #[must_use]
    pub fn test_times(&self, celsius: Celsius) -> TestTimes {
        let rate = self.growth.rate(celsius);
        let (first, last) = (self.range.0 / rate, self.range.1 / rate);
        let answer = |ln: f64| -self.half_width(exp(ln), celsius).min(1e3);
        let (at, narrowest) = greatest(answer, (ln(first), ln(last)), STRETCHES);
        let rounded = ((exp(at) / ROUNDED).round() * ROUNDED).max(ROUNDED);
        let best = self.expected(rounded, celsius);
        let as_good = |ln: &f64| -answer(*ln) <= AS_GOOD * -narrowest;
        let grid = |k: usize| ln(first) + ln(last / first) * k as f64 / (4 * STRETCHES) as f64;
        let good = (0..=4 * STRETCHES).map(grid).filter(as_good);
        let ends = good.fold((at, at), |(low, high), ln| (low.min(ln), high.max(ln)));
        let mut minutes: Vec<f64> = self.growth.points.iter().map(|p| p.minutes).collect();
        minutes.push(rounded);
        minutes.sort_by(f64::total_cmp);
        minutes.dedup_by(|a, b| (*a - *b).abs() < 0.02 * *b);
        TestTimes {
            celsius,
            best,
            as_good: (exp(ends.0), exp(ends.1)),
            shortest_is_best: exp(at) < 1.05 * first,
            all: minutes.into_iter().map(|m| self.expected(m, celsius)).collect(),
        }
    }
}
