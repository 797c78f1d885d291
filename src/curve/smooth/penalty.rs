//! The fit of the smooth model with the penalty's weight found by marginal likelihood.

use super::Smooth;
use super::basis::{COEFFICIENTS, Knots};
use super::foundation::Foundation;
use super::problem::SmoothProblem;
use super::spline::Spline;
use crate::curve::{Curve, Observations};
use crate::elementary::{exp, ln};
use crate::numerics::least_squares::{Solution, Stop, Stopping, Workspace, minimise};
use crate::numerics::qr::dot;
use crate::numerics::search;

/// ln λ·h⁵ where the search starts, h being the knots' spacing over the [`breadth`] of the curve's
/// features: what emulsions mostly ask for.
const TYPICAL: f64 = -6.0;
/// Slope above which a curve is steeper than those that [`TYPICAL`] is typical of; film stays below.
const STEEP: f64 = 1.2;
/// Standard deviation of the prior on ln λ about [`TYPICAL`].
const SPREAD: f64 = 3.0;
/// How much more than [`TYPICAL`] the search starts with on a foundation, which leaves the spline less to
/// do.
const STIFFER: f64 = 4.0;
/// How far the search for ln λ and the coefficients goes on.
#[derive(Clone, Copy)]
struct Effort {
    /// A change of ln λ so small that it is the last one.
    still: f64,
    /// Greatest number of updates of ln λ.
    updates: usize,
    /// The last fit of the coefficients.
    last: Stopping,
}

const USUAL: Effort =
    Effort { still: 0.1, updates: 8, last: Stopping { polishing: 1, ..Stopping::SETTLED } };
/// Greatest change of ln λ in one update.
const LEAP: f64 = 3.0;
/// Greatest change of ln λ of which the first order says where the minimum goes.
const FORESEEN: f64 = 1.0;

/// Least slope whose logarithm the spline starts from.
const LEAST_SLOPE: f64 = 1e-5;
/// What is taken off the logarithm of the probability of the readings on a foundation, because the same
/// readings have placed its priors, and because the wide priors of the plain form cost it as much. By
/// simulation: of films made of grain classes one in ten then has a foundation, of films with a straight
/// line nine in ten.
const SPENT: f64 = 12.0;
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

/// Parameters with which the slope over that of the foundation follows the slope of `start`.
fn following(start: &dyn Curve, foundation: Foundation, own: &[f64], knots: Knots) -> Vec<f64> {
    let shape = foundation.shape(own);
    let mut p = vec![start.base_plus_fog()];
    p.extend((0..COEFFICIENTS).map(|k| {
        let x = knots.centre(k);
        ln(start.slope(x).max(LEAST_SLOPE) / shape.slope(x).value.max(LEAST_SLOPE))
    }));
    p.extend(own);
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
/// Two fits: the spline is the log slope itself, or what it differs by from that of a curve of few
/// parameters like `rigid`.
pub(crate) fn fit(
    observations: &Observations,
    start: &dyn Curve,
    rigid: &dyn Curve,
    workspace: &mut Workspace,
) -> Option<Smooth> {
    fit_with(USUAL, observations, start, rigid, workspace)
}

fn fit_with(
    effort: Effort,
    observations: &Observations,
    start: &dyn Curve,
    rigid: &dyn Curve,
    workspace: &mut Workspace,
) -> Option<Smooth> {
    let range = observations.range()?;
    let knots = Knots::between(foot(start, range.0, range.1), range.1);
    let offset = -5.0 * ln(knots.width / breadth(start, range));
    let (over, own) = Foundation::of(rigid);
    let mut trial = |foundation: Foundation, own: &[f64]| {
        let p = following(start, foundation, own, knots);
        trial(effort, observations, (knots, foundation), rigid, &p, offset, workspace)
    };
    let plain = trial(Foundation::Plain, &[]);
    let founded = trial(over, own);
    let weight = match (&plain, &founded) {
        (Some(plain), Some(founded)) => {
            1.0 / (1.0 + exp(plain.evidence - founded.evidence + SPENT))
        }
        (None, Some(_)) => 1.0,
        _ => 0.0,
    };
    let stop = if weight < 0.5 { plain.as_ref() } else { founded.as_ref() }?.stop;
    let spline = |trial: Option<Trial>, foundation| -> Option<Spline> {
        Some(Spline::new(trial?, knots, foundation))
    };
    let parts: [Option<Spline>; 2] = [
        spline(founded.filter(|_| weight > NEGLIGIBLE), over),
        spline(plain.filter(|_| weight < 1.0 - NEGLIGIBLE), Foundation::Plain),
    ];
    let curve = match parts {
        [Some(founded), Some(plain)] => Smooth::of_two(weight, [founded, plain], range, stop),
        [one, other] => Smooth::of_one(one.or(other)?, range, stop),
    };
    // Readings that jump at the end can leave a curve that shoots up after the last of them.
    let highest = used_densities(observations).fold(f64::NEG_INFINITY, f64::max);
    (curve.density(range.1) < highest + OVERSHOOT).then_some(curve)
}

/// The fit over one foundation.
fn trial(
    effort: Effort,
    observations: &Observations,
    (knots, foundation): (Knots, Foundation),
    rigid: &dyn Curve,
    p: &[f64],
    offset: f64,
    workspace: &mut Workspace,
) -> Option<Trial> {
    let stiffer = if foundation == Foundation::Plain { 0.0 } else { STIFFER };
    let mut log_lambda = TYPICAL + offset + stiffer;
    let mut problem = SmoothProblem::new(
        observations,
        knots,
        foundation,
        p,
        foundation.priors(rigid),
        TYPICAL + offset,
    );
    problem.weigh(log_lambda);
    let quick = Stopping {
        relative_decrease: 1e-4,
        relative_step: 1e-4,
        evaluations: 40,
        damping: 1e-4,
        polishing: 0,
    };
    let mut solution = minimise(&mut problem, p, quick, workspace);
    let mut previous: Option<(f64, f64)> = None;
    let mut curvature = 0.5;
    for update in 1.. {
        let (gradient, fellner) =
            evidence_gradient(&problem, &solution, log_lambda, log_lambda - offset)?;
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
        // Where the minimum goes to first order: every third evaluation is spared.
        let ahead = change.clamp(-FORESEEN, FORESEEN);
        let towards = by_log_lambda(&problem, &solution, log_lambda)?;
        solution.parameters.iter_mut().zip(&towards).for_each(|(p, d)| *p += ahead * d);
        log_lambda += change;
        problem.weigh(log_lambda);
        let last = change.abs() < effort.still || update == effort.updates;
        let settled = Stopping { damping: 0.0, ..effort.last };
        let stopping = if last { settled } else { Stopping { damping: 0.0, ..quick } };
        solution = minimise(&mut problem, &solution.parameters, stopping, workspace);
        if last {
            break;
        }
    }
    let covariance = widened(&problem, &solution, log_lambda, 1.0 / curvature)?;
    let off = (log_lambda - offset - TYPICAL) / SPREAD;
    let evidence = 0.5
        * (problem.log_prior(log_lambda)
            - solution.sum_of_squares
            - solution.log_determinant
            - off * off
            - ln(curvature));
    let parameters = solution.parameters;
    Some(Trial { parameters, covariance, log_lambda, stop: solution.stop, evidence })
}

/// Derivative by ln λ of the log marginal likelihood (Laplace) plus log prior, and a first guess of
/// its curvature.
///
/// ```text
/// ℓ(λ) = −½·(‖r‖² + λ·cᵀPc) + ½·rank(P)·ln λ − ½·ln det(JᵀJ + λP)
/// ```
fn evidence_gradient(
    problem: &SmoothProblem,
    solution: &Solution,
    log_lambda: f64,
    scaled: f64,
) -> Option<(f64, f64)> {
    let covariance = solution.covariance.as_ref()?;
    let n = problem.parameters();
    let lambda = exp(log_lambda);
    let (mut rough, mut trace) = (0.0, 0.0);
    for i in 0..problem.rank() {
        let (first, row) = problem.penalty(i);
        let at = first + 1;
        rough += lambda * dot(&row, &solution.parameters[at..at + 4]).powi(2);
        for (j, t) in row.iter().enumerate() {
            trace += lambda * t * dot(&row, &covariance[(at + j) * n + at..][..4]);
        }
    }
    let rank = problem.rank() as f64;
    let gradient = 0.5 * (rank - rough - trace) - (scaled - TYPICAL) / (SPREAD * SPREAD);
    Some((gradient, (0.5 * (rank - trace)).max(0.3) + 1.0 / (SPREAD * SPREAD)))
}

/// How the minimum moves with ln λ: ∂p/∂ln λ = −λ·C·P·p.
fn by_log_lambda(
    problem: &SmoothProblem,
    solution: &Solution,
    log_lambda: f64,
) -> Option<Vec<f64>> {
    let covariance = solution.covariance.as_ref()?;
    let n = problem.parameters();
    let mut penalty_gradient = vec![0.0; n];
    for i in 0..problem.rank() {
        let (first, row) = problem.penalty(i);
        let own = &mut penalty_gradient[first + 1..first + 5];
        let value = dot(&row, &solution.parameters[first + 1..first + 5]);
        own.iter_mut().zip(row).for_each(|(g, t)| *g += t * value);
    }
    let lambda = exp(log_lambda);
    Some(
        covariance.chunks_exact(n).map(|column| -lambda * dot(column, &penalty_gradient)).collect(),
    )
}

/// The covariance with the uncertainty of ln λ added: C + (∂p/∂ln λ)(∂p/∂ln λ)ᵀ·var(ln λ)
/// (R. E. Kass and D. Steffey 1989).
fn widened(
    problem: &SmoothProblem,
    solution: &Solution,
    log_lambda: f64,
    variance: f64,
) -> Option<Vec<f64>> {
    let shift = by_log_lambda(problem, solution, log_lambda)?;
    let mut covariance = solution.covariance.clone()?;
    for (j, column) in covariance.chunks_exact_mut(shift.len()).enumerate() {
        for (c, s) in column.iter_mut().zip(&shift) {
            *c += variance * s * shift[j];
        }
    }
    Some(covariance)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curve::{Choice, Fitter};
    use crate::numerics::special::softplus;

    /// Readings of a strip with a toe of width `w`, a shoulder that bends about the density `cap`, and
    /// errors of 0.01 that repeat themselves from run to run.
    fn strip(w: f64, cap: f64, seed: u32) -> Observations {
        let mut state = seed;
        let mut error = move || {
            let uniform: f64 = (0..12)
                .map(|_| {
                    state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                    f64::from(state >> 8) / f64::from(1_u32 << 24)
                })
                .sum();
            0.01 * (uniform - 6.0)
        };
        let density = |x: f64| {
            let rise = 0.65 * w * softplus((x + 2.2) / w);
            0.2 + rise - 0.2 * softplus((rise - cap) / 0.2)
        };
        let mut o = Observations::default();
        o.push(f64::NEG_INFINITY, 0.2 + error(), 0.01);
        for i in 0..21 {
            let x = -3.0 + 0.15 * f64::from(i);
            o.push(x, density(x) + error(), 0.01);
        }
        o
    }

    /// Densities stop close to where the search ends in the end. The farthest are those of strips on which
    /// the probability of the readings hardly depends on λ.
    #[test]
    fn answers_are_those_of_the_optimum() {
        let mut away = Vec::new();
        let mut workspace = Workspace::default();
        let thorough = Effort { still: 1e-9, updates: 60, last: Stopping::default() };
        for (w, cap) in [(0.05, 3.0), (0.15, 3.0), (0.3, 3.0), (0.15, 1.2), (0.3, 0.9)] {
            for seed in 1..=12 {
                let o = strip(w, cap, seed);
                let rigid = Fitter::new().fit(o.clone(), Choice::Shoulder, false).unwrap().curve;
                let mut of =
                    |effort| fit_with(effort, &o, &*rigid, &*rigid, &mut workspace).unwrap();
                let (usual, optimum) = (of(USUAL), of(thorough));
                for x in (0..=30).map(|i| -3.0 + 0.1 * f64::from(i)) {
                    let (density, sd) = optimum.density_and_sd(x);
                    away.push((usual.density(x) - density).abs() / sd);
                }
            }
        }
        away.sort_by(f64::total_cmp);
        let (median, most, worst) =
            (away[away.len() / 2], away[away.len() * 99 / 100], away[away.len() - 1]);
        println!("median {median:.5}, 99 of 100 {most:.4}, worst {worst:.4} standard errors");
        assert!(median < 0.002 && most < 0.06 && worst < 0.15, "{median} {most} {worst}");
    }
}
