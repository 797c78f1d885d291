//! Range against the number of the setting, and back.

use super::Setting;
use crate::elementary::{hypot, pow};
use crate::measures::Quantity;
use crate::numerics::chance::NORMAL_95;
use crate::numerics::monotone::{MonotoneCubic, isotonic};
use crate::numerics::search;

/// Range against the number of the setting: a monotone cubic through the measured ranges, which are
/// pooled where they run against the order.
pub(super) struct Scale {
    at: Vec<f64>,
    range: Vec<f64>,
    sd: Vec<f64>,
}

impl Scale {
    /// `None` where a setting is no number, or there are not two of different range.
    pub fn of(list: &[Setting]) -> Option<Self> {
        let mut knots: Vec<(f64, f64, f64)> = Vec::new();
        let mut numbered = list
            .iter()
            .map(|s| {
                let sd = (s.range_r.high - s.range_r.low) / (2.0 * NORMAL_95);
                Some((s.number?, s.range_r.value, sd.max(1e-3)))
            })
            .collect::<Option<Vec<_>>>()?;
        numbered.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (at, range, sd) in numbered {
            match knots.last_mut().filter(|k| at - k.0 < 1e-9) {
                // Strips at one setting are averaged by their weights.
                Some(k) => {
                    let (w0, w1) = (k.2.powi(-2), sd.powi(-2));
                    *k = (k.0, (k.1 * w0 + range * w1) / (w0 + w1), pow(w0 + w1, -0.5));
                }
                None => knots.push((at, range, sd)),
            }
        }
        let (first, last) = (knots.first()?.1, knots.last()?.1);
        let sign = if first > last { -1.0 } else { 1.0 };
        let weights: Vec<f64> = knots.iter().map(|k| k.2.powi(-2)).collect();
        let rising = isotonic(&knots.iter().map(|k| sign * k.1).collect::<Vec<_>>(), &weights);
        let scale = Self {
            at: knots.iter().map(|k| k.0).collect(),
            range: rising.into_iter().map(|r| sign * r).collect(),
            sd: knots.iter().map(|k| k.2).collect(),
        };
        (scale.at.len() > 1 && scale.range.first() != scale.range.last()).then_some(scale)
    }

    fn through(&self, range: Vec<f64>, at: f64) -> f64 {
        MonotoneCubic::through(self.at.clone(), range).map_or(f64::NAN, |c| c.at(at).0)
    }

    /// The range at a setting, and its standard error: that of the measured ranges, and half of what
    /// the cubic differs from straight lines.
    fn range(&self, at: f64) -> (f64, f64) {
        const STEP: f64 = 1e-4;
        let range = self.through(self.range.clone(), at);
        let by_knot = |k: usize| {
            let mut moved = self.range.clone();
            moved[k] += STEP;
            (self.through(moved, at) - range) / STEP * self.sd[k]
        };
        let own: f64 = (0..self.at.len()).map(|k| by_knot(k).powi(2)).sum();
        let i = self.at.partition_point(|a| *a <= at).clamp(1, self.at.len() - 1);
        let share = (at - self.at[i - 1]) / (self.at[i] - self.at[i - 1]);
        let straight = self.range[i - 1] + share * (self.range[i] - self.range[i - 1]);
        (range, hypot(own.sqrt(), 0.5 * (range - straight)))
    }

    /// The setting of a range; at an end where the range is outside it.
    fn inverse(&self, range: f64) -> f64 {
        let (first, last) = (0, self.at.len() - 1);
        let excess = |at: f64| self.through(self.range.clone(), at) - range;
        search::root(excess, self.at[first], self.at[last]).unwrap_or_else(|| {
            let off = |k: usize| (self.range[k] - range).abs();
            self.at[if off(first) < off(last) { first } else { last }]
        })
    }

    /// The setting that gives a range of `wanted`.
    pub fn at(&self, wanted: f64) -> Quantity {
        let value = self.inverse(wanted);
        let half = NORMAL_95 * self.range(value).1;
        let ends = [self.inverse(wanted - half), self.inverse(wanted + half)];
        Quantity { value, low: ends[0].min(ends[1]), high: ends[0].max(ends[1]) }
    }
}
