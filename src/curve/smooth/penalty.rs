//! The fit of the smooth model with the penalty's weight found by marginal likelihood.

use super::Smooth;
use super::spline::Spline;
use super::basis::{COEFFICIENTS, Foundation, Knots};
use super::problem::{PARAMETERS, ROUGHNESS, SmoothProblem, THIRD, third_difference};
use crate::curve::{Curve, Observations};
use crate::numerics::least_squares::{Solution, Stop, Stopping, Workspace, minimise};
use crate::numerics::search;
use std::sync::Arc;

/// ln λ·h⁵ where the search starts, h being the knots' spacing over the [`breadth`] of the curve's
/// features: what emulsions mostly ask for.
const TYPICAL: f64 = -6.0;
/// Slope above which a curve is steeper than those that [`TYPICAL`] is typical of; film stays below.
const STEEP: f64 = 1.2;
/// Standard deviation of the prior on ln λ about [`TYPICAL`].
const SPREAD: f64 = 3.0;
/// A change of ln λ too small to matter.
const STILL: f64 = 0.1;
/// Greatest change of ln λ in one update.
const LEAP: f64 = 3.0;

/// Least slope whose logarithm the spline starts from.
const LEAST_SLOPE: f64 = 1e-5;
/// What the parameters of a foundation, which the same readings have fitted, are taken to have added to
/// the evidence.
const SPENT: f64 = 3.0;
/// A part with a smaller weight is left out.
const NEGLIGIBLE: f64 = 0.02;
/// How far above the highest reading a curve may end.
const OVERSHOOT: f64 = 0.5;

fn used_densities(observations: &Observations) -> impl Iterator<Item = f64> {
    let pairs = observations.density.iter().zip(&observations.weight);
    pairs.filter(|(_, w)| **w > 0.0).map(|(d, _)| *d)
}

/// The foot of the curve: where `start` has barely left base plus fog, at most the lowest reading.
fn foot(start: &dyn Curve, low: f64, high: f64) -> f64 {
    let barely = start.base_plus_fog() + 0.002;
    let mut x = low;
    while start.density(x) > barely && low - x < 2.0 * (high - low).max(1.0) {
        x -= 0.05;
    }
    x - 0.15
}

/// How much of the log exposure axis a feature of the curve takes: 1 for a curve no steeper than
/// film, less for a paper, whose toe and shoulder lie closer together in proportion to its slope.
fn breadth(start: &dyn Curve, range: (f64, f64)) -> f64 {
    let (_, steepest) = search::greatest(|x| start.slope(x), range, 20);
    (STEEP / steepest).clamp(0.1, 1.0)
}

/// Parameters with which the slope over that of `foundation` follows the slope of `start`.
fn following(start: &dyn Curve, foundation: &Foundation, knots: Knots) -> Vec<f64> {
    let mut p = vec![start.base_plus_fog()];
    p.extend((0..COEFFICIENTS).map(|k| {
        let x = knots.centre(k);
        (start.slope(x).max(LEAST_SLOPE) / foundation.slope(x).max(LEAST_SLOPE)).ln()
    }));
    p
}

/// A fit with the weight of the penalty that makes the readings most likely.
pub(super) struct Trial {
    pub parameters: Vec<f64>,
    pub covariance: Vec<f64>,
    pub log_lambda: f64,
    stop: Stop,
    /// Logarithm of the probability of the readings, less what is the same for every foundation.
    evidence: f64,
}

/// Fits the smooth model, starting from another curve. The readings' σ are taken as known.
///
/// Two fits: the spline is the log slope itself, or what it differs by from that of `rigid`, a curve of
/// few parameters. Their evidence decides between them.
pub(crate) fn fit(
    observations: &Observations,
    start: &dyn Curve,
    rigid: &Arc<dyn Curve>,
    workspace: &mut Workspace,
) -> Option<Smooth> {
    let range = observations.range()?;
    let knots = Knots::between(foot(start, range.0, range.1), range.1);
    let offset = -5.0 * (knots.width / breadth(start, range)).ln();
    let mut trial = |foundation: &Foundation| {
        let p = following(start, foundation, knots);
        trial(observations, (knots, foundation), p, offset, workspace)
    };
    let spent: f64 = std::env::var("SPENT").ok().and_then(|v| v.parse().ok()).unwrap_or(SPENT);
    let mode = std::env::var("MODE").unwrap_or_default();
    let founded = Foundation(Some(Arc::clone(rigid)));
    let plain = trial(&Foundation::default()).filter(|_| mode != "founded");
    let over = trial(&founded).filter(|_| mode != "plain");
    let spline = |trial, foundation| Spline::new(trial, knots, foundation);
    let curve = match (plain, over) {
        (Some(plain), Some(over)) => {
            let weight = 1.0 / (1.0 + (plain.evidence - over.evidence + spent).exp());
            let weight = if mode == "pick" { weight.round() } else { weight };
            let stop = if weight < 0.5 { plain.stop } else { over.stop };
            if weight < NEGLIGIBLE {
                Smooth::of_one(spline(plain, Foundation::default()), range, stop)
            } else if weight > 1.0 - NEGLIGIBLE {
                Smooth::of_one(spline(over, founded), range, stop)
            } else {
                let parts = [spline(over, founded), spline(plain, Foundation::default())];
                Smooth::of_two(weight, parts, range, stop)
            }
        }
        (Some(plain), None) => {
            let stop = plain.stop;
            Smooth::of_one(spline(plain, Foundation::default()), range, stop)
        }
        (None, Some(over)) => {
            let stop = over.stop;
            Smooth::of_one(spline(over, founded), range, stop)
        }
        (None, None) => return None,
    };
    // Readings that jump at the end can leave a curve that shoots up after the last of them.
    let highest = used_densities(observations).fold(f64::NEG_INFINITY, f64::max);
    (curve.density(range.1) < highest + OVERSHOOT).then_some(curve)
}

/// The fit over one foundation.
fn trial(
    observations: &Observations,
    (knots, foundation): (Knots, &Foundation),
    p: Vec<f64>,
    offset: f64,
    workspace: &mut Workspace,
) -> Option<Trial> {
    let mut log_lambda = TYPICAL + offset;
    let mut problem =
        SmoothProblem::new(observations, knots, foundation, p.clone(), (0.5 * log_lambda).exp());
    let quick = Stopping {
        relative_decrease: 1e-4,
        relative_step: 1e-4,
        evaluations: 40,
        damping: 1e-4,
        polishing: 0,
    };
    let mut solution = minimise(&mut problem, &p, quick, workspace);
    let mut previous: Option<(f64, f64)> = None;
    let mut curvature = 0.5;
    for _ in 0..8 {
        let (gradient, fellner) = evidence_gradient(&solution, log_lambda, log_lambda - offset)?;
        if let Some((at, before)) = previous {
            let secant = (before - gradient) / (log_lambda - at);
            if secant.is_finite() && secant > 0.05 {
                curvature = secant;
            }
        } else {
            curvature = fellner;
        }
        let change = (gradient / curvature).clamp(-LEAP, LEAP);
        previous = Some((log_lambda, gradient));
        if change.abs() < STILL {
            break;
        }
        log_lambda += change;
        problem.root_lambda = (0.5 * log_lambda).exp();
        let warm = Stopping { damping: 0.0, ..quick };
        solution = minimise(&mut problem, &solution.parameters, warm, workspace);
    }
    let covariance = widened(&solution, log_lambda, 1.0 / curvature)?;
    let off = (log_lambda - offset - TYPICAL) / SPREAD;
    let evidence = 0.5
        * (ROUGHNESS as f64 * log_lambda
            - solution.sum_of_squares
            - solution.log_determinant
            - off * off
            - curvature.ln());
    Some(Trial { parameters: solution.parameters, covariance, log_lambda, stop: solution.stop, evidence })
}

/// Derivative by ln λ of the log marginal likelihood (Laplace) plus log prior, and a first guess of
/// its curvature.
///
/// ```text
/// ℓ(λ) = −½·(‖r‖² + λ·cᵀPc) + ½·rank(P)·ln λ − ½·ln det(JᵀJ + λP)
/// ```
fn evidence_gradient(solution: &Solution, log_lambda: f64, scaled: f64) -> Option<(f64, f64)> {
    let covariance = solution.covariance.as_ref()?;
    let lambda = log_lambda.exp();
    let rough = lambda * SmoothProblem::roughness(&solution.parameters);
    let trace: f64 = lambda * (0..ROUGHNESS).map(|i| quadratic(covariance, i)).sum::<f64>();
    let gradient =
        0.5 * (ROUGHNESS as f64 - rough - trace) - (scaled - TYPICAL) / (SPREAD * SPREAD);
    let effective = ROUGHNESS as f64 - trace;
    Some((gradient, (0.5 * effective).max(0.3) + 1.0 / (SPREAD * SPREAD)))
}

/// tᵀ·C·t for third difference `i`.
fn quadratic(covariance: &[f64], i: usize) -> f64 {
    let mut sum = 0.0;
    for (j, tj) in THIRD.iter().enumerate() {
        let column = &covariance[(i + 1 + j) * PARAMETERS + i + 1..][..4];
        sum += tj * THIRD.iter().zip(column).map(|(t, c)| t * c).sum::<f64>();
    }
    sum
}

/// The covariance with the uncertainty of ln λ added: C + (∂p/∂ln λ)(∂p/∂ln λ)ᵀ·var(ln λ), where
/// ∂p/∂ln λ = −λ·C·P·p (R. E. Kass and D. Steffey 1989).
fn widened(solution: &Solution, log_lambda: f64, variance: f64) -> Option<Vec<f64>> {
    let mut covariance = solution.covariance.clone()?;
    let mut penalty_gradient = [0.0; PARAMETERS];
    for i in 0..ROUGHNESS {
        let difference = third_difference(&solution.parameters, i);
        for (k, t) in THIRD.iter().enumerate() {
            penalty_gradient[i + 1 + k] += t * difference;
        }
    }
    let lambda = log_lambda.exp();
    let shift: Vec<f64> = covariance
        .chunks_exact(PARAMETERS)
        .map(|column| lambda * crate::numerics::qr::dot(column, &penalty_gradient))
        .collect();
    for (j, column) in covariance.chunks_exact_mut(PARAMETERS).enumerate() {
        for (c, s) in column.iter_mut().zip(&shift) {
            *c += variance * s * shift[j];
        }
    }
    Some(covariance)
}
