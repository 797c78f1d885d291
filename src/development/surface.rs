//! The development surface: density as a function of log exposure and of effective development.

use crate::curve::{CapShape, SOFTNESS_PRIOR, WIDTH_PRIOR};
use crate::elementary::{exp, ln, ln_1p};
use crate::numerics::least_squares::{Residuals, Stopping, Workspace, minimise};

/// Number of parameters.
const PARAMETERS: usize = 11;
/// Names of the parameters, in their order; rates and heights are kept as logarithms.
pub const NAMES: [&str; PARAMETERS] = [
    "base_plus_fog_at_zero",
    "fog_per_minute",
    "ln_gamma_limit",
    "ln_rate",
    "induction_minutes",
    "ln_shoulder_density_limit",
    "ln_shoulder_rate",
    "log_inertia",
    "speed_gain",
    "ln_toe_width",
    "ln_shoulder_softness",
];
/// Passes of robust weights.
const PASSES: usize = 3;
/// Residual over the scatter where a reading's weight begins to fall.
const BEND: f64 = 2.4;

/// One reading of one strip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SurfacePoint {
    /// Which strip, counted from 0.
    pub strip: usize,
    /// log10 of exposure; −∞ for the unexposed film.
    pub x: f64,
    /// Effective development of the strip, in minutes at the reference temperature.
    pub theta: f64,
    /// Density.
    pub density: f64,
    /// Its standard uncertainty.
    pub sigma: f64,
}

/// Density over log exposure x and effective development θ:
///
/// ```text
/// L(x, θ) = γ·w·ln(1 + exp((x − a)/w))
/// D(x, θ) = b + s·A·[ln(1 + exp(1/s)) − ln(1 + exp((A − L)/(s·A)))]
/// γ = γ∞·(1 − exp(−k·(θ − θ0)))     A = A∞·(1 − exp(−kA·(θ − θ0)))
/// a = a0 − a1·ln(θ/θm)               b = b0 + f·θ
/// ```
///
/// θm is the middle of the strips' times. First-order growth after Sheppard and Mees 1907 and Nietz
/// 1922. The shape is approximate: times for a contrast come from the strips' own contrasts.
#[derive(Clone, Debug)]
pub struct Surface {
    /// The parameters, named by [`NAMES`].
    pub parameters: [f64; PARAMETERS],
    /// Standard deviation of all readings about the surface.
    pub residual_sd: f64,
    /// The same of each strip's.
    pub residual_sd_by_strip: Vec<f64>,
    middle: f64,
}

/// ln(1 − e^(−k·t)) and its derivatives by ln k and by t.
fn log_growth(ln_k: f64, t: f64) -> (f64, f64, f64) {
    let k = exp(ln_k);
    let rest = exp(-k * t);
    let share = rest / (1.0 - rest);
    (ln_1p(-rest), k * t * share, k * share)
}

/// D and its derivatives by the parameters.
fn at(p: &[f64], middle: f64, x: f64, theta: f64) -> (f64, [f64; PARAMETERS]) {
    let t = theta - p[4];
    let (ln_g, g_by_k, g_by_t) = log_growth(p[3], t);
    let (ln_a, a_by_k, a_by_t) = log_growth(p[6], t);
    let u = ln(theta / middle);
    let shape = CapShape::new(&[0.0, p[2] + ln_g, p[7] - p[8] * u, p[9], p[5] + ln_a, p[10]]);
    let (rise, [by_gamma, by_inertia, by_width, by_cap, by_softness]) = shape.rise(x);
    let gradient = [
        1.0,
        theta,
        by_gamma,
        by_gamma * g_by_k,
        -by_gamma * g_by_t - by_cap * a_by_t,
        by_cap,
        by_cap * a_by_k,
        by_inertia,
        -u * by_inertia,
        by_width,
        by_softness,
    ];
    (p[0] + p[1] * theta + rise, gradient)
}

struct SurfaceProblem<'a> {
    points: &'a [SurfacePoint],
    weights: Vec<f64>,
    middle: f64,
    /// (parameter, centre, standard deviation) of weak priors, for what few strips do not show.
    priors: Vec<(usize, f64, f64)>,
}

impl Residuals for SurfaceProblem<'_> {
    fn len(&self) -> usize {
        self.points.len() + self.priors.len()
    }

    fn evaluate(&mut self, p: &[f64], residuals: &mut [f64], jacobian: &mut [f64]) -> bool {
        let m = self.len();
        let earliest = self.points.iter().map(|q| q.theta).fold(f64::INFINITY, f64::min);
        if p[4] > 0.9 * earliest || p[2].abs() > 6.0 || p[5].abs() > 6.0 {
            return false;
        }
        for (i, point) in self.points.iter().enumerate() {
            let scale = self.weights[i] / point.sigma;
            let (density, gradient) = at(p, self.middle, point.x, point.theta);
            residuals[i] = scale * (density - point.density);
            for (j, g) in gradient.iter().enumerate() {
                jacobian[j * m + i] = scale * g;
            }
        }
        for (row, &(j, centre, sd)) in (self.points.len()..).zip(&self.priors) {
            residuals[row] = (p[j] - centre) / sd;
            for k in 0..PARAMETERS {
                jacobian[k * m + row] = if k == j { 1.0 / sd } else { 0.0 };
            }
        }
        residuals.iter().all(|r| r.is_finite())
    }
}

impl Surface {
    /// Fits the surface to all readings of all strips at once, robustly. `gamma` is the greatest gamma
    /// among the strips and `inertia` a middle log exposure where their straight lines begin: where
    /// to start from.
    ///
    /// `None` where the readings are too few or no minimum is found.
    #[must_use]
    pub fn fit(points: &[SurfacePoint], gamma: f64, inertia: f64) -> Option<Self> {
        if points.len() < 2 * PARAMETERS {
            return None;
        }
        let middle = exp(points.iter().map(|p| ln(p.theta)).sum::<f64>() / points.len() as f64);
        let extreme = |f: fn(f64, f64) -> f64, from| points.iter().map(|p| p.density).fold(from, f);
        let (lowest, highest) =
            (extreme(f64::min, f64::INFINITY), extreme(f64::max, f64::NEG_INFINITY));
        let ln_rate = ln(1.0 / middle);
        let ln_cap = ln((1.4 * (highest - lowest)).max(0.1));
        let ln_gamma = ln((1.4 * gamma).max(0.05));
        let start = [
            lowest,
            0.002,
            ln_gamma,
            ln_rate,
            0.05 * middle,
            ln_cap,
            ln_rate,
            inertia,
            0.05,
            WIDTH_PRIOR.0,
            SOFTNESS_PRIOR.0,
        ];
        let priors = vec![
            (1, 0.002, 0.02),
            (2, ln_gamma, 1.0),
            (3, ln_rate, 1.0),
            (4, 0.05 * middle, 0.1 * middle),
            (5, ln_cap, 1.0),
            (6, ln_rate, 1.0),
            (8, 0.05, 0.2),
            (9, WIDTH_PRIOR.0, WIDTH_PRIOR.1),
            (10, SOFTNESS_PRIOR.0, SOFTNESS_PRIOR.1),
        ];
        let mut problem =
            SurfaceProblem { points, weights: vec![1.0; points.len()], middle, priors };
        let stopping = Stopping::SETTLED;
        let mut workspace = Workspace::default();
        let mut solution = minimise(&mut problem, &start, stopping, &mut workspace);
        for _ in 0..PASSES {
            let residuals = residuals(points, &solution.parameters, middle);
            let scale = median(residuals.iter().map(|r| r.abs()).collect()) / 0.6745;
            for (w, r) in problem.weights.iter_mut().zip(&residuals) {
                *w = (1.0 + (r / (BEND * scale.max(1e-4))).powi(2)).sqrt().recip();
            }
            solution =
                minimise(&mut problem, &solution.parameters.clone(), stopping, &mut workspace);
        }
        if !solution.stop.converged() {
            return None;
        }
        let mut parameters = [0.0; PARAMETERS];
        parameters.copy_from_slice(&solution.parameters);
        let residuals = residuals(points, &parameters, middle);
        let strips = points.iter().map(|p| p.strip).max().map_or(0, |s| s + 1);
        let of_strip = |strip: usize| {
            let own: Vec<f64> = points
                .iter()
                .zip(&residuals)
                .filter(|(p, _)| p.strip == strip)
                .map(|(_, r)| r * r)
                .collect();
            (own.iter().sum::<f64>() / own.len().max(1) as f64).sqrt()
        };
        let freedom = (points.len() - PARAMETERS) as f64;
        Some(Self {
            parameters,
            residual_sd: (residuals.iter().map(|r| r * r).sum::<f64>() / freedom).sqrt(),
            residual_sd_by_strip: (0..strips).map(of_strip).collect(),
            middle,
        })
    }

    /// Density at log exposure `x` after `theta` effective minutes.
    #[must_use]
    pub fn density(&self, x: f64, theta: f64) -> f64 {
        self.with_gradient(x, theta).0
    }

    /// ∂D/∂ln θ, by a difference.
    #[must_use]
    pub fn by_log_theta(&self, x: f64, theta: f64) -> f64 {
        const H: f64 = 1e-4;
        (self.density(x, theta * (1.0 + H)) - self.density(x, theta * (1.0 - H))) / (2.0 * H)
    }

    /// Density with its derivatives by the parameters.
    #[must_use]
    pub fn with_gradient(&self, x: f64, theta: f64) -> (f64, [f64; PARAMETERS]) {
        at(&self.parameters, self.middle, x, theta)
    }
}

fn residuals(points: &[SurfacePoint], p: &[f64], middle: f64) -> Vec<f64> {
    points.iter().map(|q| q.density - at(p, middle, q.x, q.theta).0).collect()
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_unstable_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn derivatives_agree_with_differences() {
        let p = [0.2, 0.003, 0.1, -2.2, 0.5, 0.9, -2.0, -2.0, 0.06, -1.5, -1.7];
        for (x, theta) in [(-2.5, 5.0), (-1.0, 9.0), (0.5, 16.0), (f64::NEG_INFINITY, 7.0)] {
            let (_, gradient) = at(&p, 9.0, x, theta);
            for j in 0..PARAMETERS {
                let h = 1e-6;
                let (mut up, mut down) = (p, p);
                up[j] += h;
                down[j] -= h;
                let slope = (at(&up, 9.0, x, theta).0 - at(&down, 9.0, x, theta).0) / (2.0 * h);
                assert!(
                    (slope - gradient[j]).abs() < 1e-7 * (1.0 + slope.abs()),
                    "{} at {x}, {theta}",
                    NAMES[j]
                );
            }
        }
    }

    #[test]
    fn an_exact_surface_is_found() {
        let p = [0.2, 0.003, 0.0, -2.2, 0.5, 0.7, -2.0, -2.0, 0.06, -1.5, -1.9];
        let mut points = Vec::new();
        for (strip, theta) in [5.0, 7.0, 9.0, 12.0, 16.0].into_iter().enumerate() {
            for k in 0..22 {
                let x = if k == 0 { f64::NEG_INFINITY } else { -3.2 + 0.15 * f64::from(k) };
                points.push(SurfacePoint {
                    strip,
                    x,
                    theta,
                    density: at(&p, 8.9, x, theta).0,
                    sigma: 0.0001,
                });
            }
        }
        let surface = Surface::fit(&points, 0.7, -1.8).unwrap();
        assert!(surface.residual_sd < 2e-4, "{}", surface.residual_sd);
        assert!((surface.density(-1.3, 10.0) - at(&p, 8.9, -1.3, 10.0).0).abs() < 5e-4);
    }
}
