//! Which frames depart from what the others have in common.

use super::findings::Form;
use super::noise::Noise;
use super::pattern::Pattern;
use super::test::LEVEL;
use super::why::Why;
use crate::elementary::hypot;
use crate::measures::{Measured, Quantity};
use crate::numerics::chance::{student_quantile, student_two_sided};

/// Fewest frames of which one can be told from the others.
const FEWEST: usize = 3;

/// The contrasts that are looked at, each with its form.
pub(super) fn contrasts(pattern: &Pattern) -> [(Form, &Measured<Why>); 4] {
    [
        (Form::Along, &pattern.along),
        (Form::Across, &pattern.across),
        (Form::LongEdges, &pattern.long_edges.both),
        (Form::Sides, &pattern.sides.both),
    ]
}

/// The chance of a quantity as far from 0, from the width of its interval.
pub(super) fn chance_of(quantity: &Quantity, noise: &Noise) -> f64 {
    let half = 0.5 * (quantity.high - quantity.low);
    let quantile = student_quantile(0.025, noise.degrees_of_freedom);
    student_two_sided(quantity.value * quantile / half, noise.degrees_of_freedom)
}

/// Frames that depart, each with its form, and what the others have in common.
pub(super) struct Departures {
    /// The frames, by their place in the list, with the form in which they depart.
    pub departing: Vec<(usize, Form)>,
    /// The mean over all frames, in each form without those that depart in it.
    pub common: Pattern,
}

impl Departures {
    /// Removes, form by form, the frame that departs most from the mean of the others, as long as it
    /// departs by more than noise allows anywhere on the roll, and most frames are left.
    pub(super) fn of(frames: &[&Pattern], together: &Pattern, noise: &Noise) -> Self {
        let mut departures = Self { departing: Vec::new(), common: together.clone() };
        for (k, (form, _)) in contrasts(together).into_iter().enumerate() {
            let own: Vec<Option<Quantity>> =
                frames.iter().map(|f| contrasts(f)[k].1.ok()).collect();
            let away = away(&own, noise);
            if away.is_empty() {
                continue;
            }
            let kept: Vec<&Pattern> =
                (0..frames.len()).filter(|at| !away.contains(at)).map(|at| frames[at]).collect();
            let common = &mut departures.common;
            match form {
                Form::Along => common.along = mean(&kept, |p| &p.along),
                Form::Across => common.across = mean(&kept, |p| &p.across),
                Form::LongEdges => {
                    common.long_edges.first = mean(&kept, |p| &p.long_edges.first);
                    common.long_edges.second = mean(&kept, |p| &p.long_edges.second);
                    common.long_edges.both = mean(&kept, |p| &p.long_edges.both);
                }
                _ => {
                    common.sides.first = mean(&kept, |p| &p.sides.first);
                    common.sides.second = mean(&kept, |p| &p.sides.second);
                    common.sides.both = mean(&kept, |p| &p.sides.both);
                }
            }
            departures.departing.extend(away.into_iter().map(|at| (at, form)));
        }
        departures
    }
}

/// The frames that depart in one form, the clearest first.
fn away(own: &[Option<Quantity>], noise: &Noise) -> Vec<usize> {
    let mut away: Vec<usize> = Vec::new();
    // Four forms are looked at in each frame.
    let looked_at = 4.0 * own.len() as f64;
    loop {
        let left: Vec<(usize, Quantity)> = own
            .iter()
            .enumerate()
            .filter(|(at, _)| !away.contains(at))
            .filter_map(|(at, q)| Some((at, (*q)?)))
            .collect();
        if left.len() < FEWEST || 2 * (away.len() + 1) >= own.len() {
            return away;
        }
        let chance = |at: usize, own: &Quantity| {
            let others: Vec<Quantity> =
                left.iter().filter(|(o, _)| *o != at).map(|(_, q)| *q).collect();
            let mean = mean_of(&others);
            let half = |q: &Quantity| 0.5 * (q.high - q.low);
            let (value, half) = (own.value - mean.value, hypot(half(own), half(&mean)));
            let difference = Quantity { value, low: value - half, high: value + half };
            chance_of(&difference, noise)
        };
        let worst =
            left.iter().map(|(at, q)| (*at, chance(*at, q))).min_by(|a, b| a.1.total_cmp(&b.1));
        match worst {
            Some((at, chance)) if chance * looked_at < LEVEL => away.push(at),
            _ => return away,
        }
    }
}

/// The mean of what the patterns have.
fn mean(patterns: &[&Pattern], of: impl Fn(&Pattern) -> &Measured<Why>) -> Measured<Why> {
    let have: Vec<Quantity> = patterns.iter().filter_map(|p| of(p).ok()).collect();
    if have.is_empty() {
        return patterns.first().map_or(Err(Why::NoFrame), |p| *of(p));
    }
    Ok(mean_of(&have))
}

/// The mean of quantities that are independent of one another.
fn mean_of(several: &[Quantity]) -> Quantity {
    let n = several.len() as f64;
    let value = several.iter().map(|q| q.value).sum::<f64>() / n;
    let squares = several.iter().map(|q| (0.5 * (q.high - q.low)).powi(2));
    let half = squares.sum::<f64>().sqrt() / n;
    Quantity { value, low: value - half, high: value + half }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evenness::noise::Source;

    fn found(values: &[f64]) -> Vec<usize> {
        let noise = Noise {
            variance: 1.0,
            degrees_of_freedom: f64::INFINITY,
            source: Source::Given,
            least: 0.0,
        };
        let quantity = |v: &f64| Some(Quantity { value: *v, low: v - 0.02, high: v + 0.02 });
        away(&values.iter().map(quantity).collect::<Vec<_>>(), &noise)
    }

    #[test]
    fn the_odd_ones_are_taken_away_and_not_the_others() {
        assert_eq!(found(&[0.01, 0.0, 0.1, -0.01, 0.0, 0.01]), [2]);
        assert_eq!(found(&[0.01, 0.0, 0.1, -0.01, 0.11, 0.01]).len(), 2);
        assert!(found(&[0.01, 0.0, 0.02, -0.01]).is_empty());
        assert!(found(&[0.0, 0.1]).is_empty(), "of two neither is the odd one");
    }
}
