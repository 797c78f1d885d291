//! Draws from the normal distribution of a curve's parameters, always the same ones.
//!
//! For a measure that is a maximum the first-order error is not enough: the greatest of several
//! uncertain slopes is, on average, greater than the greatest of their estimates.

use crate::curve::Curve;
use crate::elementary::{exp, ln};
use crate::numerics::search;
use std::sync::OnceLock;

/// Number of draws: pairs of opposite ones.
pub(super) const DRAWS: usize = 64;
/// Relative standard error of a slope beyond which it has no say in the maximum.
const WIDEST: f64 = 0.3;
/// Share of the greatest slope below which a slope has no say either: it may be so small that it has no
/// logarithm.
const LEAST: f64 = 0.05;
/// Greatest number of parameters.
const DIMENSIONS: usize = 48;

/// Standard normal numbers, `DRAWS/2` rows of [`DIMENSIONS`]: an additive recurrence on the unit
/// cube (powers of the root of x^(d+1) = x + 1), mapped by the normal quantile.
fn table() -> &'static [[f64; DIMENSIONS]] {
    static TABLE: OnceLock<Vec<[f64; DIMENSIONS]>> = OnceLock::new();
    TABLE.get_or_init(|| {
        use statrs::distribution::{ContinuousCDF, Normal};
        let excess = |x: f64| x.powi(DIMENSIONS as i32 + 1) - x - 1.0;
        let root = search::root(excess, 1.0, 2.0).unwrap_or(1.0);
        let normal = Normal::standard();
        let mut rows: Vec<[f64; DIMENSIONS]> = (1..=DRAWS / 2)
            .map(|i| {
                std::array::from_fn(|j| {
                    let u = (0.5 + i as f64 * root.powi(-(j as i32 + 1))).fract();
                    normal.inverse_cdf(u.clamp(1e-6, 1.0 - 1e-6))
                })
            })
            .collect();
        // Each column gets variance 1 exactly; opposite pairs give it mean 0.
        for j in 0..DIMENSIONS {
            let variance = rows.iter().map(|r| r[j] * r[j]).sum::<f64>() / rows.len() as f64;
            for row in &mut rows {
                row[j] /= variance.sqrt();
            }
        }
        rows
    })
}

/// Mean and standard deviation of the greatest slope among log exposures `at`, over draws of the
/// parameters; the logarithm of the slope is taken as linear in them.
pub(super) fn greatest_slope(curve: &dyn Curve, at: &[f64]) -> Option<(f64, f64)> {
    let n = curve.parameters().len();
    let covariance = nalgebra::DMatrix::from_column_slice(n, n, curve.covariance());
    let root = nalgebra::Cholesky::new(covariance)?.unpack();
    let mut gradients = nalgebra::DMatrix::zeros(n, at.len());
    let mut log_slopes = Vec::with_capacity(at.len());
    let greatest = at.iter().map(|x| curve.slope(*x)).fold(0.0, f64::max);
    for &x in at {
        let slope = curve.slope(x);
        let j = log_slopes.len();
        let mut column = vec![0.0; n];
        curve.slope_gradient(x, &mut column);
        if !(slope > LEAST * greatest && curve.standard_error(&column) <= WIDEST * slope) {
            continue;
        }
        for (k, g) in column.iter().enumerate() {
            gradients[(k, j)] = g / slope;
        }
        log_slopes.push(ln(slope));
    }
    if log_slopes.is_empty() {
        return None;
    }
    let directions = root.tr_mul(&gradients);
    let (mut sum, mut squares) = (0.0, 0.0);
    for row in table() {
        let z = &row[..n];
        let (mut up, mut down) = (f64::NEG_INFINITY, f64::NEG_INFINITY);
        for (j, s) in log_slopes.iter().enumerate() {
            let change = crate::numerics::qr::dot(directions.column(j).as_slice(), z);
            up = up.max(s + change);
            down = down.max(s - change);
        }
        for g in [exp(up), exp(down)] {
            sum += g;
            squares += g * g;
        }
    }
    let mean = sum / DRAWS as f64;
    if !squares.is_finite() {
        return None;
    }
    Some((mean, (squares / DRAWS as f64 - mean * mean).max(0.0).sqrt()))
}
