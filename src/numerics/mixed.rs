//! Penalised least squares whose penalty is chosen by the data.
//!
//! ```text
//! y = X·β + Z·b + e,   b ~ N(0, r·σ²),   e ~ N(0, σ²/w)
//! ```
//!
//! r, the variance of b over that of e, maximises the restricted likelihood; β and b then minimise
//! Σ w·(y − Xβ − Zb)² + Σ b²/r.
//!
//! # Source
//! H. D. Patterson and R. Thompson 1971 (restricted likelihood); C. R. Henderson 1950 (the joint
//! minimum). Both from memory.

use super::chance::fisher_upper;
use super::qr;
use super::search::greatest;
use crate::elementary::{antilog, ln, ln_1p};
use nalgebra::{DMatrix, SymmetricEigen};

/// The range of log10 r that is searched, and the number of its pieces.
const SEARCH: (f64, f64) = (-6.0, 4.0);
const PIECES: usize = 20;
/// A pivot of X below this share of its column's norm is taken for zero.
const SINGULAR: f64 = 1e-9;

/// What is known of σ.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Scale {
    /// σ² itself, for weights w.
    Known(f64),
    /// A variance that was measured with some degrees of freedom, unless the observations scatter more
    /// than this chance allows; then σ² is free.
    Measured {
        /// The variance.
        variance: f64,
        /// Its degrees of freedom.
        degrees_of_freedom: f64,
        /// The chance.
        level: f64,
    },
    /// Nothing: it is estimated with r.
    Free,
}

/// The minimum.
#[derive(Clone, Debug, PartialEq)]
pub struct Mixed {
    /// β, then b.
    pub coefficients: Vec<f64>,
    /// Their covariance over σ², column-major: that of the errors of estimation, b being random.
    pub covariance: Vec<f64>,
    /// The variance of b over σ².
    pub ratio: f64,
    /// σ², as known or as estimated.
    pub variance: f64,
    /// Of that variance: infinite if it was known, as given if it was measured, else the observations
    /// less β, less what b uses up of them.
    pub degrees_of_freedom: f64,
    /// Observations that b uses up.
    pub used: f64,
}

impl Mixed {
    /// Fits `y` with weights 1/σ² up to their scale.
    ///
    /// `None` where β is not determined, or nothing is left over to estimate a free σ from.
    #[must_use]
    pub fn fit(
        fixed: &[Vec<f64>],
        random: &[Vec<f64>],
        observations: (&[f64], &[f64]),
        scale: Scale,
    ) -> Option<Self> {
        if fixed.is_empty() {
            return None;
        }
        Self::fit_without(0, fixed, random, observations, scale)
    }

    /// The same where `absorbed` further coefficients, such as the levels of groups, have been taken out of
    /// the columns and of `y` before: these are then orthogonal to all of them.
    #[must_use]
    pub fn fit_without(
        absorbed: usize,
        fixed: &[Vec<f64>],
        random: &[Vec<f64>],
        (y, weights): (&[f64], &[f64]),
        scale: Scale,
    ) -> Option<Self> {
        let (p, m) = (fixed.len(), random.len());
        let n = p + m;
        let spare = y.len().checked_sub(p + absorbed)? as f64;
        if scale == Scale::Free && spare < 1.0 {
            return None;
        }
        // Rows of zeros change nothing; with them the factor is square even for few observations.
        let rows = y.len().max(n);
        let roots: Vec<f64> = weights.iter().map(|w| w.sqrt()).collect();
        let weighted = |column: &[f64]| {
            let mut out: Vec<f64> = column.iter().zip(&roots).map(|(v, w)| v * w).collect();
            out.resize(rows, 0.0);
            out
        };
        let mut a = Vec::with_capacity(rows * n);
        for column in fixed.iter().chain(random) {
            a.extend(weighted(column));
        }
        let norms: Vec<f64> = a.chunks_exact(rows).take(p).map(|c| qr::dot(c, c).sqrt()).collect();
        let mut rotated = weighted(y);
        let mut diagonal = vec![0.0; n];
        qr::factor(&mut a, rows, &mut rotated, &mut diagonal);
        let whole = |(pivot, norm): (&f64, &f64)| pivot.abs() > SINGULAR * norm;
        if !diagonal[..p].iter().zip(&norms).all(whole) {
            return None;
        }
        let mut r = vec![0.0; n * n];
        qr::upper_triangle(&a, rows, &diagonal, &mut r);
        let likelihood = Likelihood::new(&r, &rotated, (p, m), spare);
        let (ratio, variance, degrees_of_freedom) = likelihood.settle(scale);
        let used = likelihood.used(ratio);
        let mut solution = rotated[..n].to_vec();
        let mut penalty = vec![0.0; n];
        penalty[p..].fill(ratio.sqrt().recip());
        qr::append_diagonal(&mut r, &penalty, &mut solution, &mut vec![0.0; n * n]);
        if !qr::solve_upper(&r, &mut solution) {
            return None;
        }
        let inverse = qr::inverse_upper(&r, n)?;
        Some(Self {
            coefficients: solution,
            covariance: qr::outer_inverse(&inverse, n),
            ratio,
            variance,
            degrees_of_freedom,
            used,
        })
    }

    /// The combination of the coefficients and its variance over σ².
    #[must_use]
    pub fn combination(&self, a: &[f64]) -> (f64, f64) {
        let n = self.coefficients.len();
        let variance: f64 = self
            .covariance
            .chunks_exact(n)
            .zip(a)
            .map(|(column, aj)| aj * qr::dot(column, a))
            .sum();
        (qr::dot(&self.coefficients, a), variance.max(0.0))
    }
}

/// The restricted likelihood as a function of r: in the directions of Z that X leaves free, the
/// observations are independent with variances σ²(1 + r·d²).
struct Likelihood {
    squares: Vec<f64>,
    /// Squared projections of the observations, times d².
    projections: Vec<f64>,
    total: f64,
    spare: f64,
}

impl Likelihood {
    fn new(r: &[f64], rotated: &[f64], (p, m): (usize, usize), spare: f64) -> Self {
        let n = p + m;
        let total = qr::dot(&rotated[p..], &rotated[p..]);
        if m == 0 {
            return Self { squares: Vec::new(), projections: Vec::new(), total, spare };
        }
        let block = DMatrix::from_fn(m, m, |i, j| r[(p + j) * n + p + i]);
        let eigen = SymmetricEigen::new(block.tr_mul(&block));
        let image = block.tr_mul(&DMatrix::from_column_slice(m, 1, &rotated[p..n]));
        let image = eigen.eigenvectors.tr_mul(&image);
        Self {
            squares: eigen.eigenvalues.iter().map(|v| v.max(0.0)).collect(),
            projections: image.iter().map(|v| v * v).collect(),
            total,
            spare,
        }
    }

    /// The penalised sum of squares.
    fn sum(&self, ratio: f64) -> f64 {
        let explained: f64 = self
            .squares
            .iter()
            .zip(&self.projections)
            .map(|(d, c)| c * ratio / (1.0 + ratio * d))
            .sum();
        (self.total - explained).max(1e-300)
    }

    /// r, σ² and the degrees of freedom of σ².
    fn settle(&self, scale: Scale) -> (f64, f64, f64) {
        let free = || {
            let ratio = self.best(None);
            let left = self.spare - self.used(ratio);
            (ratio, self.sum(ratio) / self.spare, left)
        };
        let known = |variance, degrees| (self.best(Some(variance)), variance, degrees);
        match scale {
            Scale::Free => free(),
            Scale::Known(variance) => known(variance, f64::INFINITY),
            Scale::Measured { variance, degrees_of_freedom, level } => {
                let own = free();
                let chance = fisher_upper(own.1 / variance, own.2, degrees_of_freedom);
                if chance < level { own } else { known(variance, degrees_of_freedom) }
            }
        }
    }

    /// −2 log of the restricted likelihood, but for a constant; σ² is estimated if it is not known.
    fn deviance(&self, ratio: f64, variance: Option<f64>) -> f64 {
        let determinant: f64 = self.squares.iter().map(|d| ln_1p(ratio * d)).sum();
        determinant
            + match variance {
                Some(variance) => self.sum(ratio) / variance,
                None => self.spare * ln(self.sum(ratio)),
            }
    }

    /// r of least deviance, searched in its logarithm.
    fn best(&self, variance: Option<f64>) -> f64 {
        let goodness = |u: f64| -self.deviance(antilog(u), variance);
        antilog(greatest(goodness, SEARCH, PIECES).0)
    }

    /// Observations that b uses up: Σ r·d²/(1 + r·d²).
    fn used(&self, ratio: f64) -> f64 {
        let shares = self.squares.iter().map(|d| ratio * d / (1.0 + ratio * d));
        shares.sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Three groups of two readings, balanced: r·σ² is the variance of the group means
    /// less that of their errors (the analysis of variance, exact in a balanced layout).
    #[test]
    fn a_balanced_layout_has_the_answer_of_the_analysis_of_variance() {
        let y = [1.0, 1.2, 3.0, 3.4, 2.0, 2.2];
        let group = |k: usize| (0..6).map(|i| f64::from(u8::from(i / 2 == k))).collect();
        let random: Vec<Vec<f64>> = (0..3).map(group).collect();
        let fit = Mixed::fit(&[vec![1.0; 6]], &random, (&y, &[1.0; 6]), Scale::Free).unwrap();
        let within = (0.02 + 0.08 + 0.02) / 3.0;
        let means: [f64; 3] = [1.1, 3.2, 2.1];
        let centre = means.iter().sum::<f64>() / 3.0;
        let between = means.iter().map(|m| (m - centre).powi(2)).sum::<f64>() / 2.0;
        let ratio = (between - within / 2.0) / within;
        assert!((fit.ratio / ratio - 1.0).abs() < 1e-6, "{} {ratio}", fit.ratio);
        assert!((fit.variance / within - 1.0).abs() < 1e-6, "{}", fit.variance);
        assert!((fit.coefficients[0] - centre).abs() < 1e-12);
    }

    #[test]
    fn what_is_not_determined_is_none() {
        let same = [vec![1.0; 4], vec![1.0; 4]];
        let (y, w) = ([1.0, 2.0, 3.0, 4.0], [1.0; 4]);
        assert_eq!(Mixed::fit(&same, &[], (&y, &w), Scale::Free), None);
        assert_eq!(Mixed::fit(&[vec![1.0]], &[], (&[2.0], &[1.0]), Scale::Free), None);
        assert!(Mixed::fit(&[vec![1.0]], &[], (&[2.0], &[1.0]), Scale::Known(1.0)).is_some());
    }
}
