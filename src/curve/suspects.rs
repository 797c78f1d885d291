//! Readings that the others contradict.
//!
//! A misread step must neither bend the curve nor hide. Two stages: a rigid curve fitted with
//! Cauchy weights shows gross errors, which are set aside; then each reading is held against the
//! curve that the *others* give. What lies more than [`LIMIT`] standard uncertainties away is
//! named and stays aside; the rest comes back.

use super::Observations;
use super::levels::Levels;

/// A reading is suspect when it differs from what the other readings predict by more than this
/// many standard uncertainties of the difference.
pub const LIMIT: f64 = 4.0;
/// Beyond this many uncertainties by the quick test a reading is tested in full.
pub(super) const DOUBT: f64 = 3.3;

/// Median of absolute values over 0.6745, a standard deviation that outliers do not move.
pub(super) fn robust_sd(residuals: impl Iterator<Item = f64>) -> f64 {
    let mut sizes: Vec<f64> = residuals.map(f64::abs).collect();
    if sizes.is_empty() {
        return 0.0;
    }
    sizes.sort_unstable_by(f64::total_cmp);
    sizes[sizes.len() / 2] / 0.6745
}

/// How far reading `i` lies from what the others predict, in standard uncertainties.
///
/// For a reading in use the others' prediction follows from its leverage h: r/(σ·√(1 − h)); for one
/// set aside it is the curve itself: r/√(σ² + sd²). Where the others end above base plus fog, two
/// fifths of what the curve adds below them are allowed for as well: there the model speaks alone.
pub(super) fn deleted_residual(
    observations: &Observations,
    levels: &Levels,
    i: usize,
    scale: f64,
) -> f64 {
    let sigma = observations.sigma[i] * scale;
    let residual = levels.residual(observations, i);
    let sd = levels.sd[i];
    if observations.weight[i] > 0.0 {
        let leverage = (sd / sigma).powi(2).min(0.98);
        residual / (sigma * (1.0 - leverage).sqrt())
    } else {
        let allowance = match observations.x[i] {
            f64::NEG_INFINITY => 0.4 * levels.below,
            _ => 0.0,
        };
        residual / (sigma * sigma + sd * sd + allowance * allowance).sqrt()
    }
}
