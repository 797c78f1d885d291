//! Noise that grows with density, found from the readings' own scatter.

use super::Observations;
use super::levels::Levels;
use super::scatter::WORTH;
use crate::elementary::{exp, ln};

/// What noise may gain over its size at density 0, for each unit of density, and how likely each is before
/// readings are seen.
const GROWTHS: [(f64, f64); 5] = [(0.0, 0.8), (0.5, 0.05), (1.0, 0.05), (2.0, 0.05), (4.0, 0.05)];
/// How many times the least σ the greatest must be before it is worth a fit of its own.
const WORTHWHILE: f64 = 1.5;

/// How well readings agree with noise that grows with density, σ(D) ∝ 1 + g·D, for some g:
///
/// ```text
/// ln L(g) = −½·[(f + w)·ln((w + Σ(r/k)²)/(f + w)) + Σ (1 − h)·ln k²]
/// ```
///
/// k is σ(D) over its root mean square, r a residual over its assumed σ, h the leverage of its reading,
/// f = Σ (1 − h), and w what an assumed σ is worth in readings: the restricted likelihood of the residuals,
/// in which each counts for what the curve has left of it.
///
/// # Source
/// H. D. Patterson and R. Thompson 1971, restricted likelihood; weights 1 − h in a model of the variance:
/// G. K. Smyth and A. P. Verbyla 1999, from memory.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct NoiseGrowth {
    log_likelihood: [f64; GROWTHS.len()],
}

impl NoiseGrowth {
    /// What readings say about a curve fitted to them, with the σ that was assumed of each.
    pub(super) fn of(observations: &Observations, assumed: &[f64], levels: &Levels) -> Self {
        let used: Vec<usize> =
            (0..observations.len()).filter(|&i| observations.weight[i] > 0.0).collect();
        let each = used.iter().map(|&i| {
            let leverage = (levels.sd[i] / observations.sigma[i]).powi(2);
            let residual = levels.residual(observations, i) / assumed[i];
            (residual * residual, 1.0 - leverage.min(1.0))
        });
        let (squares, left): (Vec<f64>, Vec<f64>) = each.unzip();
        let densities: Vec<f64> = used.iter().map(|&i| levels.density[i]).collect();
        let all = left.iter().sum::<f64>() + WORTH;
        let log_likelihood = GROWTHS.map(|(growth, _)| {
            let (mut sum, mut logs) = (WORTH, 0.0);
            for ((k, square), left) in relative(growth, &densities).zip(&squares).zip(&left) {
                sum += square / k;
                logs += left * ln(k);
            }
            -0.5 * (all * ln(sum / all) + logs)
        });
        Self { log_likelihood }
    }

    /// What several strips say that were read with one densitometer.
    #[must_use]
    pub fn pooled<'a>(strips: impl IntoIterator<Item = &'a Self>) -> Self {
        let mut pooled = Self::default();
        for strip in strips {
            let all = pooled.log_likelihood.iter_mut().zip(&strip.log_likelihood);
            all.for_each(|(sum, own)| *sum += own);
        }
        pooled
    }

    /// How many times its assumed σ the σ of a reading of each density is, in mean square 1, the square
    /// being its mean over g; `None` where that is nearly the same for all.
    #[must_use]
    pub fn factors(&self, densities: &[f64]) -> Option<Vec<f64>> {
        let highest = self.log_likelihood.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let likely = |(l, (_, before)): (&f64, &(f64, f64))| before * exp(l - highest);
        let weights: Vec<f64> = self.log_likelihood.iter().zip(&GROWTHS).map(likely).collect();
        let all: f64 = weights.iter().sum();
        let mut mean = vec![0.0; densities.len()];
        for ((growth, _), weight) in GROWTHS.iter().zip(&weights) {
            let squares = mean.iter_mut().zip(relative(*growth, densities));
            squares.for_each(|(mean, k)| *mean += weight / all * k);
        }
        let factors: Vec<f64> = mean.into_iter().map(f64::sqrt).collect();
        let least = factors.iter().copied().fold(f64::INFINITY, f64::min);
        let most = factors.iter().copied().fold(0.0, f64::max);
        (most > WORTHWHILE * least).then_some(factors)
    }
}

/// The variance of a reading of each density over the mean of all.
fn relative(growth: f64, densities: &[f64]) -> impl Iterator<Item = f64> {
    let square = move |density: &f64| (1.0 + growth * density.max(0.0)).powi(2);
    let mean = densities.iter().map(square).sum::<f64>() / densities.len() as f64;
    densities.iter().map(move |d| square(d) / mean)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curve::{Choice, Fitter};

    /// Sixty readings of a straight line above base, whose errors alternate.
    fn strip(error: impl Fn(f64) -> f64) -> Observations {
        let mut o = Observations::default();
        for i in 0..60 {
            let density = 0.2 + 0.04 * f64::from(i);
            let sign = if (i / 2) % 2 == 0 { 1.0 } else { -1.0 };
            o.push(-3.0 + 0.06 * f64::from(i), density + sign * error(density), 0.01);
        }
        o
    }

    #[test]
    fn growth_is_found_where_it_is() {
        let factors = |o: &Observations| {
            let fit = Fitter::new().fit(o.clone(), Choice::Toe, true).unwrap();
            let levels = Levels::of(o, fit.curve.as_ref());
            NoiseGrowth::of(o, &o.sigma, &levels).factors(&o.density)
        };
        let grown = factors(&strip(|d| 0.004 + 0.01 * d)).unwrap();
        let ratio = grown[59] / grown[0];
        let truth = (0.004 + 0.0256) / (0.004 + 0.002);
        assert!((ratio / truth - 1.0).abs() < 0.4, "{ratio} {truth}");
        assert_eq!(factors(&strip(|_| 0.01)), None);
    }

    #[test]
    fn one_strip_alone_is_believed_less_than_several() {
        let own = NoiseGrowth { log_likelihood: [0.0, 0.5, 1.0, 1.5, 1.0] };
        let densities = [0.2, 1.0, 2.0];
        let spread = |g: &NoiseGrowth| g.factors(&densities).map_or(1.0, |f| f[2] / f[0]);
        assert!(spread(&NoiseGrowth::pooled([&own; 6])) > spread(&own));
    }
}
