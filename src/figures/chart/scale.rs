//! Where a value stands on the page, and which values get a tick.

use plotters::coord::ranged1d::{BoldPoints, Ranged};
use plotters::coord::types::RangedCoordf64;

use super::plot::TICK_TEXT;
use crate::elementary::{antilog, log10};
use crate::figures::draw::text_width;
use crate::words::number;

/// Farther out than any page reaches.
const FAR: f64 = 8000.0;

/// A linear scale: the ends of an axis in data and on the page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scale {
    /// Values at the two ends.
    pub domain: (f64, f64),
    /// Page coordinates of the two ends.
    pub page: (f64, f64),
}

impl Scale {
    /// Page coordinate of a value, on or off the axis; one far off is held beyond any page.
    #[must_use]
    pub fn at(&self, value: f64) -> f64 {
        let share = (value - self.domain.0) / (self.domain.1 - self.domain.0);
        (self.page.0 + share * (self.page.1 - self.page.0)).clamp(-FAR, FAR)
    }
}

/// The values of an axis that get a tick.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ticks {
    /// Values with a long tick and a label.
    pub major: Vec<f64>,
    /// Values with a short tick.
    pub minor: Vec<f64>,
    /// Decimals of the labels.
    pub decimals: usize,
    /// What is written at the long ticks, one for each, where that is not the value itself;
    /// empty otherwise.
    pub names: Vec<String>,
}

/// More ticks than this on one axis is a mistake in the step.
const MOST_TICKS: f64 = 2000.0;

impl Ticks {
    /// Ticks at the multiples of `step`, each step divided in `parts`.
    ///
    /// An impossible step (not positive, or thousands of ticks) gives no ticks.
    #[must_use]
    pub fn every((from, to): (f64, f64), step: f64, parts: u32) -> Self {
        let fine = step / f64::from(parts.max(1));
        let count = (to - from) / fine;
        if !(fine > 0.0 && (0.0..MOST_TICKS).contains(&count)) {
            return Self::default();
        }
        let (first, last) = ((from / fine - 1e-6).ceil() as i64, (to / fine + 1e-6).floor() as i64);
        let (major, minor): (Vec<i64>, Vec<i64>) =
            (first..=last).partition(|n| n.rem_euclid(i64::from(parts.max(1))) == 0);
        let values = |of: Vec<i64>| of.into_iter().map(|n| n as f64 * fine).collect();
        Self {
            major: values(major),
            minor: values(minor),
            decimals: decimals_of(step),
            names: Vec::new(),
        }
    }

    /// Ticks with labels of their own, as an axis of logarithms has them.
    #[must_use]
    pub fn named(major: Vec<(f64, String)>, minor: Vec<f64>) -> Self {
        let (major, names) = major.into_iter().unzip();
        Self { major, minor, decimals: 0, names }
    }

    /// At most `most` ticks at round values (steps of 1, 2 or 5 and their decimal multiples),
    /// each step divided in five, or in four where the step is a 2.
    #[must_use]
    pub fn nice((from, to): (f64, f64), most: usize) -> Self {
        let span = to - from;
        // The search for round values needs a range that is wide against its place on the axis.
        if !(span.is_finite() && span > 1e-9 * from.abs().max(to.abs())) {
            return Self::default();
        }
        let chosen = RangedCoordf64::from(from..to).key_points(BoldPoints(most.max(2)));
        let [first, second, ..] = chosen[..] else {
            return Self::default();
        };
        let step = second - first;
        let leading = step / antilog(log10(step).floor());
        Self::every((from, to), step, if leading.round() == 2.0 { 4 } else { 5 })
    }

    /// The same ticks, with a label at every second one, or third and so on, where labels would touch on a scale
    /// across the page. Zero keeps its label. The others become short ticks.
    #[must_use]
    pub fn thinned(&self, scale: &Scale) -> Self {
        let labels = self.major.iter().map(|v| text_width(&self.label(*v), TICK_TEXT));
        let room = labels.fold(0.0, f64::max) + 0.7 * TICK_TEXT;
        let apart = |pair: &[f64]| (scale.at(pair[1]) - scale.at(pair[0])).abs();
        let least = self.major.windows(2).map(apart).fold(f64::INFINITY, f64::min);
        let every = (room / least).ceil().max(1.0) as usize;
        let zero = self.major.iter().position(|v| *v == 0.0).unwrap_or(0);
        let kept: Vec<usize> =
            (0..self.major.len()).filter(|n| n.abs_diff(zero) % every == 0).collect();
        let left_out = (0..self.major.len()).filter(|n| n.abs_diff(zero) % every != 0);
        Self {
            minor: self.minor.iter().copied().chain(left_out.map(|n| self.major[n])).collect(),
            names: kept.iter().filter_map(|n| self.names.get(*n).cloned()).collect(),
            major: kept.iter().map(|n| self.major[*n]).collect(),
            decimals: self.decimals,
        }
    }

    /// The label of a value.
    #[must_use]
    pub fn label(&self, value: f64) -> String {
        let place = self.major.iter().position(|v| *v == value);
        match place.and_then(|n| self.names.get(n)) {
            Some(name) => name.clone(),
            None => number(value, self.decimals),
        }
    }
}

/// Decimals that write every multiple of a step in full, three at most.
fn decimals_of(step: f64) -> usize {
    let whole = |decimals: &i32| {
        let scaled = step * 10f64.powi(*decimals);
        (scaled - scaled.round()).abs() < 1e-6 * scaled.abs().max(1.0)
    };
    (0..3).find(whole).unwrap_or(3) as usize
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn multiples_of_a_stop() {
        let ticks = Ticks::every((-0.65, 0.65), 0.3, 3);
        let labels: Vec<String> = ticks.major.iter().map(|v| ticks.label(*v)).collect();
        assert_eq!(labels, ["−0.6", "−0.3", "0.0", "0.3", "0.6"]);
        assert_eq!(ticks.minor.len(), 8);
    }

    #[test]
    fn named_ticks_say_their_names() {
        let ticks = Ticks::named(vec![(2.0, "100".to_owned())], vec![2.1]);
        assert_eq!((ticks.label(2.0), ticks.label(3.0)), ("100".into(), "3".into()));
    }

    #[test]
    fn labels_that_would_touch_are_thinned() {
        let ticks = Ticks::every((-3.0, 1.0), 0.3, 3);
        let wide = Scale { domain: (-3.0, 1.0), page: (0.0, 800.0) };
        assert_eq!(ticks.thinned(&wide), ticks);
        let narrow = Scale { domain: (-3.0, 1.0), page: (0.0, 280.0) };
        let thin = ticks.thinned(&narrow);
        let labels: Vec<String> = thin.major.iter().map(|v| thin.label(*v)).collect();
        assert_eq!(labels, ["−3.0", "−2.4", "−1.8", "−1.2", "−0.6", "0.0", "0.6"]);
        assert_eq!(thin.minor.len() + thin.major.len(), ticks.minor.len() + ticks.major.len());
        let named = Ticks::named(
            vec![(0.0, "1".into()), (0.1, "100".into()), (0.2, "1000".into())],
            vec![],
        );
        assert_eq!(named.thinned(&narrow).names, ["1"]);
    }

    #[test]
    fn round_values() {
        let ticks = Ticks::nice((0.0, 23.0), 8);
        assert_eq!(ticks.major, [0.0, 5.0, 10.0, 15.0, 20.0]);
        assert_eq!(Ticks::nice((0.02, 0.98), 6).label(0.2), "0.2");
        assert_eq!(Ticks::nice((3.0, 3.0), 6), Ticks::default());
        assert_eq!(Ticks::nice((f64::NAN, 3.0), 6), Ticks::default());
    }

    #[test]
    fn impossible_steps_give_no_ticks() {
        for step in [0.0, -1.0, f64::NAN, 1e-9] {
            assert_eq!(Ticks::every((0.0, 1.0), step, 1), Ticks::default(), "step {step}");
        }
    }
}
