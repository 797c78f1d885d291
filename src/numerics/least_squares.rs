//! Nonlinear least squares by Levenberg and Marquardt's damping on a QR factorisation.
//!
//! Minimises ‖r(p)‖² where r are residuals already divided by their standard uncertainty. Each
//! iteration solves min ‖J·δ + r‖² + μ‖D·δ‖², D holding the largest column norms seen so far, so
//! that the scale of a parameter does not matter; μ follows the ratio of achieved to predicted
//! decrease.
//!
//! # Source
//! K. Levenberg 1944; D. W. Marquardt 1963; column scaling after J. J. Moré 1978; the rule for μ
//! after H. B. Nielsen 1999 (damping parameter in Marquardt's method).

use super::qr;
use crate::elementary::ln;

/// A sum-of-squares problem: fixed numbers of residuals and parameters.
pub trait Residuals {
    /// Number of residuals.
    fn len(&self) -> usize;
    /// Whether there are no residuals.
    fn is_empty(&self) -> bool {
        self.len() == 0
    }
    /// Writes the residuals at `p` (observed minus modelled or the reverse: the sign is free) and
    /// their derivatives, `jacobian[j * len + i]` = ∂rᵢ/∂pⱼ. Returns `false` where the model has no
    /// value at `p`; the solver then takes a shorter step.
    fn evaluate(&mut self, p: &[f64], residuals: &mut [f64], jacobian: &mut [f64]) -> bool;
}

/// When to stop.
#[derive(Clone, Copy, Debug)]
pub struct Stopping {
    /// Relative decrease of the sum of squares that a step must promise to be worth taking.
    pub relative_decrease: f64,
    /// Relative length of a step below which the parameters stand still.
    pub relative_step: f64,
    /// Greatest number of evaluations.
    pub evaluations: usize,
    /// Damping at the start, relative to the scaled normal matrix; 0 is Gauss and Newton's step.
    pub damping: f64,
    /// Greatest number of undamped steps at the end, taken as long as each is shorter than the one before.
    /// The sum of squares is blind to changes of the parameters below the root of the machine's precision;
    /// these steps follow the gradient instead.
    pub polishing: usize,
}

impl Stopping {
    /// For sums of squares over their standard uncertainties, whose minimum is needed to a small part of
    /// the parameters' own standard errors: the last step promised less than 10⁻³ of one, and two
    /// undamped steps follow it.
    pub const SETTLED: Self = Self {
        relative_decrease: 1e-7,
        relative_step: 1e-8,
        evaluations: 200,
        damping: 1e-3,
        polishing: 2,
    };
}

/// Converged to the precision of the machine, from a start that may be far away: eight digits or more of
/// the nonlinear sets of the NIST Statistical Reference Datasets, from both of their starts.
impl Default for Stopping {
    fn default() -> Self {
        Self {
            relative_decrease: 1e-16,
            relative_step: 1e-15,
            evaluations: 20_000,
            damping: 100.0,
            polishing: 40,
        }
    }
}

/// Why the solver stopped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// No step promises a decrease worth taking.
    Decrease,
    /// The parameters stand still.
    Step,
    /// The residuals vanish.
    Exact,
    /// Out of evaluations: not converged.
    Evaluations,
    /// The model has no value at the starting point.
    Start,
}

impl Stop {
    /// Whether the solver stands at a minimum.
    #[must_use]
    pub const fn converged(self) -> bool {
        matches!(self, Self::Decrease | Self::Step | Self::Exact)
    }

    /// The reason in snake_case, for programs.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Decrease => "no_decrease_left",
            Self::Step => "parameters_stand_still",
            Self::Exact => "no_residuals_left",
            Self::Evaluations => "out_of_evaluations",
            Self::Start => "no_value_at_start",
        }
    }
}

/// The solution and what a reader asks of it.
#[derive(Clone, Debug)]
pub struct Solution {
    /// The parameters.
    pub parameters: Vec<f64>,
    /// The sum of squared residuals there.
    pub sum_of_squares: f64,
    /// (JᵀJ)⁻¹ there, column-major: the parameters' covariance for residuals of unit variance.
    /// `None` where a combination of parameters is not determined.
    pub covariance: Option<Vec<f64>>,
    /// ln det(JᵀJ) there.
    pub log_determinant: f64,
    /// Why the solver stopped.
    pub stop: Stop,
    /// How often the residuals were evaluated.
    pub evaluations: usize,
}

impl Solution {
    /// Standard error of parameter `j` for residuals of unit variance.
    #[must_use]
    pub fn standard_error(&self, j: usize) -> Option<f64> {
        let n = self.parameters.len();
        self.covariance.as_ref().map(|c| c[j * n + j].sqrt())
    }
}

/// Room for one problem's matrices, to be used again from fit to fit.
#[derive(Clone, Debug, Default)]
pub struct Workspace {
    residuals: Vec<f64>,
    jacobian: Vec<f64>,
    trial_residuals: Vec<f64>,
    trial_jacobian: Vec<f64>,
    factored: Vec<f64>,
    rotated: Vec<f64>,
    r: Vec<f64>,
    damped: Vec<f64>,
    fill: Vec<f64>,
}

/// What one damped step promises.
struct Step {
    delta: Vec<f64>,
    predicted_decrease: f64,
}

impl Workspace {
    fn resize(&mut self, m: usize, n: usize) {
        for (buffer, len) in [
            (&mut self.residuals, m),
            (&mut self.jacobian, m * n),
            (&mut self.trial_residuals, m),
            (&mut self.trial_jacobian, m * n),
            (&mut self.factored, m * n),
            (&mut self.rotated, m),
            (&mut self.r, n * n),
            (&mut self.damped, n * n),
            (&mut self.fill, n * n),
        ] {
            // What is there is written over.
            buffer.resize(len, 0.0);
        }
    }

    /// The trial becomes the current point.
    fn accept(&mut self) {
        std::mem::swap(&mut self.residuals, &mut self.trial_residuals);
        std::mem::swap(&mut self.jacobian, &mut self.trial_jacobian);
    }

    /// Factors the current Jacobian; `rotated` becomes −Qᵀr.
    fn factor(&mut self, m: usize, n: usize) {
        self.factored.copy_from_slice(&self.jacobian);
        for (target, r) in self.rotated.iter_mut().zip(&self.residuals) {
            *target = -r;
        }
        let mut diagonal = vec![0.0; n];
        qr::factor(&mut self.factored, m, &mut self.rotated, &mut diagonal);
        qr::upper_triangle(&self.factored, m, &diagonal, &mut self.r);
    }

    /// The step for damping `mu`, or `None` where the damped system is singular.
    fn step(&mut self, n: usize, mu: f64, scale: &[f64]) -> Option<Step> {
        self.damped.copy_from_slice(&self.r);
        let mut delta = self.rotated[..n].to_vec();
        let root: Vec<f64> = scale.iter().map(|d| mu.sqrt() * d).collect();
        if mu > 0.0 {
            qr::append_diagonal(&mut self.damped, &root, &mut delta, &mut self.fill);
        }
        if !qr::solve_upper(&self.damped, &mut delta) || delta.iter().any(|d| !d.is_finite()) {
            return None;
        }
        // ‖r‖² − ‖Jδ + r‖² = ‖Rδ‖² + 2μ‖Dδ‖² at the damped minimum.
        let mut image = vec![0.0; n];
        for (j, &d) in delta.iter().enumerate() {
            for (i, out) in image[..=j].iter_mut().enumerate() {
                *out += self.r[j * n + i] * d;
            }
        }
        let damped: f64 = root.iter().zip(&delta).map(|(s, d)| (s * d).powi(2)).sum();
        Some(Step { predicted_decrease: qr::dot(&image, &image) + 2.0 * damped, delta })
    }
}

fn largest_column_norms(jacobian: &[f64], m: usize, scale: &mut [f64]) {
    for (d, column) in scale.iter_mut().zip(jacobian.chunks_exact(m)) {
        *d = d.max(qr::dot(column, column).sqrt());
    }
}

/// Minimises the sum of squares of `problem` from `start`.
///
/// The covariance is (JᵀJ)⁻¹ at the solution and is not scaled by the residuals.
pub fn minimise<P: Residuals + ?Sized>(
    problem: &mut P,
    start: &[f64],
    stopping: Stopping,
    workspace: &mut Workspace,
) -> Solution {
    let (m, n) = (problem.len(), start.len());
    workspace.resize(m, n);
    let mut p = start.to_vec();
    let mut trial = vec![0.0; n];
    let mut scale = vec![0.0; n];
    let usable = m >= n && problem.evaluate(&p, &mut workspace.residuals, &mut workspace.jacobian);
    let mut sum = qr::dot(&workspace.residuals, &workspace.residuals);
    if !usable || !sum.is_finite() {
        return Solution {
            parameters: p,
            sum_of_squares: f64::INFINITY,
            covariance: None,
            log_determinant: f64::NEG_INFINITY,
            stop: Stop::Start,
            evaluations: 1,
        };
    }
    let mut evaluations = 1;
    let (mut mu, mut growth) = (stopping.damping, 2.0);
    let mut factored = false;
    let stop = 'outer: loop {
        if sum == 0.0 {
            break Stop::Exact;
        }
        largest_column_norms(&workspace.jacobian, m, &mut scale);
        workspace.factor(m, n);
        factored = true;
        loop {
            if evaluations >= stopping.evaluations {
                break 'outer Stop::Evaluations;
            }
            let Some(step) = workspace.step(n, mu, &scale) else {
                mu = (mu * 10.0).max(1e-12);
                if mu > 1e30 {
                    break 'outer Stop::Evaluations;
                }
                continue;
            };
            if step.predicted_decrease <= stopping.relative_decrease * sum {
                break 'outer Stop::Decrease;
            }
            for (t, (a, d)) in trial.iter_mut().zip(p.iter().zip(&step.delta)) {
                *t = a + d;
            }
            let length = scaled_norm(&scale, &step.delta);
            let still = length <= stopping.relative_step * scaled_norm(&scale, &p);
            evaluations += 1;
            let valued = problem.evaluate(
                &trial,
                &mut workspace.trial_residuals,
                &mut workspace.trial_jacobian,
            );
            let trial_sum = qr::dot(&workspace.trial_residuals, &workspace.trial_residuals);
            let gain = (sum - trial_sum) / step.predicted_decrease;
            if valued && trial_sum.is_finite() && gain > 0.0 {
                std::mem::swap(&mut p, &mut trial);
                workspace.accept();
                factored = false;
                sum = trial_sum;
                mu *= (1.0 - (2.0 * gain - 1.0).powi(3)).max(1.0 / 9.0);
                growth = 2.0;
                if still {
                    break 'outer Stop::Step;
                }
                break;
            }
            if still {
                break 'outer Stop::Step;
            }
            mu = (mu * growth).max(1e-12);
            growth *= 2.0;
        }
    };
    if !factored {
        workspace.factor(m, n);
    }
    let mut last = f64::INFINITY;
    for _ in 0..stopping.polishing {
        let Some(step) = workspace.step(n, 0.0, &scale) else {
            break;
        };
        let length = scaled_norm(&scale, &step.delta);
        if !(length < last) {
            break;
        }
        last = length;
        for (t, (a, d)) in trial.iter_mut().zip(p.iter().zip(&step.delta)) {
            *t = a + d;
        }
        evaluations += 1;
        let valued =
            problem.evaluate(&trial, &mut workspace.trial_residuals, &mut workspace.trial_jacobian);
        let trial_sum = qr::dot(&workspace.trial_residuals, &workspace.trial_residuals);
        if !valued || !(trial_sum <= sum * (1.0 + 1e-9)) {
            break;
        }
        std::mem::swap(&mut p, &mut trial);
        workspace.accept();
        sum = trial_sum;
        workspace.factor(m, n);
    }
    let covariance = qr::inverse_upper(&workspace.r, n)
        .map(|inverse| qr::outer_inverse(&inverse, n))
        .filter(|c| c.iter().all(|v| v.is_finite()));
    let log_determinant = 2.0 * (0..n).map(|j| ln(workspace.r[j * n + j].abs())).sum::<f64>();
    Solution { parameters: p, sum_of_squares: sum, covariance, log_determinant, stop, evaluations }
}

fn scaled_norm(scale: &[f64], p: &[f64]) -> f64 {
    scale.iter().zip(p).map(|(d, v)| (d * v).powi(2)).sum::<f64>().sqrt()
}
