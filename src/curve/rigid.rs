//! The fits of few parameters: toe and shoulder, their starts and the choice between them.

use super::fit::{Fitter, usable};
use super::levels::Levels;
use super::shoulder::ShoulderProblem;
use super::suspects::robust_sd;
use super::toe::ToeProblem;
use super::{Choice, Curve, FitError, Observations, Shoulder, Toe};
use crate::elementary::ln;
use crate::numerics::least_squares::{Residuals, Solution, Stop, Stopping, minimise};

/// Fewest different exposures for a shoulder.
const SHOULDER_NEEDS: usize = 7;

/// A fit of few parameters.
pub(super) struct Rigid {
    pub curve: Box<dyn Curve>,
    /// Why the solver stopped.
    pub stop: Stop,
    /// Why the shoulder is not used, where it was tried and is not.
    pub why_no_shoulder: Option<String>,
}

/// How plain a shoulder is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Bend {
    /// The slope has fallen to less than half: no straight line fits.
    Plain,
    /// AICc must decide.
    Slight,
}

impl Fitter {
    /// Fits toe and shoulder; sets gross outliers aside.
    pub(super) fn screened(
        &mut self,
        observations: &mut Observations,
        choice: Choice,
    ) -> Result<Rigid, FitError> {
        let mut rigid = self.rigid(observations, choice).ok_or(FitError::NotConverged)?;
        let residuals = Levels::of(observations, rigid.curve.as_ref()).standardised(observations);
        let scale = robust_sd(residuals.iter().copied()).max(1.0);
        if residuals.iter().all(|r| r.abs() <= 4.0 * scale) {
            return Ok(rigid);
        }
        // Cauchy weights let go of gross errors step by step.
        for _ in 0..8 {
            let residuals =
                Levels::of(observations, rigid.curve.as_ref()).standardised(observations);
            let scale = robust_sd(residuals.iter().copied()).max(1.0);
            for (w, r) in observations.weight.iter_mut().zip(&residuals) {
                *w = (1.0 + (r / (2.4 * scale)).powi(2)).sqrt().recip();
            }
            let Some(next) = self.rigid(observations, choice) else {
                break;
            };
            rigid = next;
        }
        let residuals = Levels::of(observations, rigid.curve.as_ref()).standardised(observations);
        let scale = robust_sd(residuals.iter().copied()).max(1.0);
        for (w, r) in observations.weight.iter_mut().zip(&residuals) {
            *w = if r.abs() > 6.0 * scale { 0.0 } else { 1.0 };
        }
        if usable(observations).is_err() {
            observations.weight.fill(1.0);
        }
        self.rigid(observations, choice).ok_or(FitError::NotConverged)
    }

    /// The rigid model for `choice`: the toe, or the shoulder where it is in sight and AICc prefers
    /// it. Where a shoulder is plain to see the toe cannot win and is not fitted.
    pub(super) fn rigid(&mut self, observations: &Observations, choice: Choice) -> Option<Rigid> {
        let range = observations.range()?;
        let used = observations.used();
        let start = toe_start(observations);
        let mut why_no_shoulder = None;
        let mut shoulder = None;
        if observations.distinct_exposures() < SHOULDER_NEEDS {
            why_no_shoulder = Some(format!("needs at least {SHOULDER_NEEDS} different exposures"));
        } else if choice != Choice::Toe {
            match self.shoulder(observations, &start, range) {
                Ok((Bend::Plain, curve, solution)) => {
                    let stop = solution.stop;
                    return Some(Rigid { curve: Box::new(curve), stop, why_no_shoulder });
                }
                Ok((Bend::Slight, curve, solution)) => {
                    shoulder = Some((curve, solution.stop, aicc(solution.sum_of_squares, 6, used)))
                }
                Err(why) => why_no_shoulder = Some(why),
            }
        }
        let toe = self.solve(&mut ToeProblem(observations), &start);
        let toe = toe.and_then(|t| {
            let curve = Toe::new(&t, t.covariance.clone()?, range);
            Some((curve, t.stop, aicc(t.sum_of_squares, 4, used)))
        });
        let (curve, stop): (Box<dyn Curve>, Stop) = match (toe, shoulder) {
            (Some((.., toe_aicc)), Some((curve, stop, aicc))) if aicc < toe_aicc => {
                (Box::new(curve), stop)
            }
            (None, Some((curve, stop, _))) => (Box::new(curve), stop),
            (Some((curve, stop, _)), None) => (Box::new(curve), stop),
            (Some((curve, stop, _)), Some(_)) => {
                why_no_shoulder =
                    Some("fits no better than a toe and a straight line (AICc)".to_owned());
                (Box::new(curve), stop)
            }
            (None, None) => return None,
        };
        Some(Rigid { curve, stop, why_no_shoulder })
    }

    /// The shoulder, how plain it is, and its fit; or why it is not to be had.
    fn shoulder(
        &mut self,
        observations: &Observations,
        toe: &[f64; 4],
        range: (f64, f64),
    ) -> Result<(Bend, Shoulder, Solution), String> {
        let top = observations.density.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let cap = ln((top - toe[0]).max(0.2));
        let start = [toe[0], toe[1], toe[2], toe[3], cap, ln(0.15_f64)];
        let failed = || "did not converge".to_owned();
        let solution = self.solve(&mut ShoulderProblem(observations), &start).ok_or_else(failed)?;
        let covariance =
            solution.covariance.clone().filter(|_| solution.stop.converged()).ok_or_else(failed)?;
        let curve = Shoulder::new(&solution, covariance, range);
        Ok((bend(&curve)?, curve, solution))
    }

    fn solve(&mut self, problem: &mut dyn Residuals, start: &[f64]) -> Option<Solution> {
        Some(minimise(problem, start, Stopping::SETTLED, &mut self.workspace))
            .filter(|s| s.sum_of_squares.is_finite())
    }
}

/// Akaike's criterion for known σ, corrected for few readings: χ² + 2k + 2k(k+1)/(n − k − 1).
fn aicc(chi_squared: f64, k: usize, n: usize) -> f64 {
    if n <= k + 1 {
        return f64::INFINITY;
    }
    let (k, n) = (k as f64, n as f64);
    chi_squared + 2.0 * k + 2.0 * k * (k + 1.0) / (n - k - 1.0)
}

/// How plain the shoulder is, or why the parameters are not those of a shoulder in sight.
fn bend(curve: &Shoulder) -> Result<Bend, String> {
    let (_, high) = curve.range();
    let p = curve.parameters();
    let steepest = crate::numerics::search::greatest(|x| curve.slope(x), curve.range(), 20).1;
    let last = curve.slope(high);
    let standard_error = curve.covariance()[4 * 6 + 4].sqrt();
    if last > 0.9 * steepest || curve.asymptote() > curve.density(high) + 2.0 {
        Err("has no shoulder in sight: the strip ends on the straight line".to_owned())
    } else if !(standard_error < 0.5 && curve.covariance()[6 + 1].sqrt() < 1.0)
        || p[5] > 1.0
        || p[3] > 1.0
        || p[3] < -5.0
    {
        Err("did not converge to a sensible shoulder".to_owned())
    } else if last < 0.5 * steepest {
        Ok(Bend::Plain)
    } else {
        Ok(Bend::Slight)
    }
}

/// Starting values of the toe model: b, ln γ, a, ln w.
fn toe_start(observations: &Observations) -> [f64; 4] {
    let used: Vec<(f64, f64)> = (0..observations.len())
        .filter(|&i| observations.weight[i] > 0.1)
        .map(|i| (observations.x[i], observations.density[i]))
        .collect();
    let base = used.iter().map(|p| p.1).fold(f64::INFINITY, f64::min);
    let exposed: Vec<(f64, f64)> = used.into_iter().filter(|p| p.0.is_finite()).collect();
    let span = (exposed.len() / 5).max(1);
    let mut steepest = (0.05, exposed[0].0, exposed[0].1);
    for (a, b) in exposed.iter().zip(exposed.iter().skip(span)) {
        let slope = (b.1 - a.1) / (b.0 - a.0);
        if b.0 - a.0 > 1e-6 && slope > steepest.0 {
            steepest = (slope, 0.5 * (a.0 + b.0), 0.5 * (a.1 + b.1));
        }
    }
    let (slope, x, density) = steepest;
    [base, ln(slope), x - (density - base) / slope, ln(0.2_f64)]
}
