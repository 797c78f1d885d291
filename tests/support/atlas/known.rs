//! Intervals of someone who knows the true shape: the kind of material, the ranges that its numbers are
//! drawn from, and the readings' standard deviations.

use super::{Answers, Case};
use nalgebra::{DMatrix, DVector};

/// Step of a derivative, as a share of a number's range.
const STEP: f64 = 1e-3;
/// Variance of a number that is drawn evenly from a range of 1.
const OF_RANGE: f64 = 1.0 / 12.0;
/// Standard deviations in the half of a 95 % interval.
const HALF: f64 = 1.959_964;

/// Width of the 95 % interval of each quantity, to first order:
///
/// ```text
/// var q = gᵀ·(JᵀWJ + 12·I)⁻¹·g        J: readings by numbers, g: the quantity by numbers
/// ```
pub fn widths<C: Case>(
    case: &C,
    numbers: &[f64],
    design: &C::Design,
    answers: &Answers,
) -> Vec<Option<f64>> {
    let sd: Vec<f64> = case.readings(numbers, design).iter().map(|m| m.sd).collect();
    let at = |k: usize, step: f64| {
        let mut moved = numbers.to_vec();
        moved[k] += step;
        let readings: Vec<f64> = case.readings(&moved, design).iter().map(|m| m.density).collect();
        (DVector::from_vec(readings), DVector::from_vec(case.truths(&moved, design, answers)))
    };
    let mut columns = Vec::new();
    let mut gradients = Vec::new();
    for k in 0..numbers.len() {
        let ((up, truth_up), (down, truth_down)) = (at(k, STEP), at(k, -STEP));
        let (column, gradient) =
            ((up - down) / (2.0 * STEP), (truth_up - truth_down) / (2.0 * STEP));
        if column.amax() == 0.0 && gradient.iter().all(|g| *g == 0.0 || g.is_nan()) {
            continue;
        }
        columns.push(DVector::from_iterator(sd.len(), column.iter().zip(&sd).map(|(c, s)| c / s)));
        gradients.push(gradient);
    }
    let n = columns.len();
    let jacobian = DMatrix::from_columns(&columns);
    let information = jacobian.tr_mul(&jacobian) + DMatrix::identity(n, n) / OF_RANGE;
    let Some(inverse) = information.cholesky() else { return vec![None; answers.found.len()] };
    (0..answers.found.len())
        .map(|q| {
            let g = DVector::from_iterator(n, gradients.iter().map(|g| g[q]));
            let width = 2.0 * HALF * g.dot(&inverse.solve(&g)).sqrt();
            width.is_finite().then_some(width)
        })
        .collect()
}
