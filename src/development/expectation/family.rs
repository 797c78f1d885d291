//! What the readings of a family of strips say of the surface's misfit and of the strips' own errors.

use super::{COLUMNS, Development, alike, gradient, place};
use crate::curve::{Observations, student_quantile};
use crate::development::pairing::Pairing;
use crate::development::surface::Surface;
use crate::elementary::{exp, ln};
use crate::numerics::chance::NORMAL_95;
use nalgebra::{Cholesky, DMatrix, DVector};

/// Standard deviations of the misfit that are tried, as multiples of the readings' mean uncertainty.
const MISFITS: [f64; 7] = [0.25, 0.5, 0.8, 1.2, 1.8, 2.7, 4.0];
/// Standard deviations of ln θ from strip to strip that are tried, with their prior chances (ours:
/// most families show none; simulated ones with 0.5 % are covered in 0.956).
const REPEATABILITIES: [(f64, f64); 6] =
    [(0.0, 0.8), (0.007, 0.03), (0.014, 0.06), (0.028, 0.05), (0.056, 0.04), (0.11, 0.02)];
/// Most strips that are asked: those nearest in development.
const STRIPS: usize = 8;

/// The readings of some strips, and how they hang together.
pub struct Family {
    pub places: Vec<(f64, f64)>,
    pub residuals: DVector<f64>,
    pub gradients: DMatrix<f64>,
    sigma: Vec<f64>,
    /// ∂D/∂ln θ of each reading in the column of its strip.
    own: DMatrix<f64>,
    /// Correlations of the misfit.
    shape: DMatrix<f64>,
}

/// How large the misfit and the strips' own errors are.
pub struct Scales {
    pub misfit: f64,
    pub repeatability: f64,
    pub quantile: f64,
}

impl Family {
    pub fn gather(
        pairing: &Pairing,
        surface: &Surface,
        toe: f64,
        energy_sd: f64,
        theta: f64,
    ) -> Self {
        let mut strips: Vec<(Development, &Observations)> = pairing
            .strips
            .iter()
            .filter_map(|s| {
                let o = &s.result.as_ref().ok()?.fit.observations;
                Some((pairing.development(s.strip.minutes?, s.strip.celsius?), o))
            })
            .collect();
        let far = |d: &Development| ln(d.theta / theta).abs();
        strips.sort_by(|a, b| far(&a.0).total_cmp(&far(&b.0)));
        strips.truncate(STRIPS);
        let used = |o: &Observations| (0..o.len()).filter(|&i| o.weight[i] > 0.0).count();
        let n = strips.iter().map(|(_, o)| used(o)).sum();
        let mut places = Vec::with_capacity(n);
        let mut sigma = Vec::with_capacity(n);
        let mut residuals = DVector::zeros(n);
        let mut gradients = DMatrix::zeros(n, COLUMNS);
        let mut own = DMatrix::zeros(n, strips.len());
        for (strip, (development, o)) in strips.iter().enumerate() {
            for i in (0..o.len()).filter(|&i| o.weight[i] > 0.0) {
                let row = places.len();
                let (density, by) = gradient(surface, energy_sd, o.x[i], *development);
                residuals[row] = o.density[i] - density;
                own[(row, strip)] = surface.by_log_theta(o.x[i], development.theta);
                for (column, g) in by.into_iter().enumerate() {
                    gradients[(row, column)] = g;
                }
                places.push(place(o.x[i], toe, *development));
                sigma.push(o.sigma[i]);
            }
        }
        let shape = alike(&places, &places);
        Self { places, residuals, gradients, sigma, own, shape }
    }

    /// Covariance of the readings.
    pub fn covariance(&self, scales: &Scales) -> DMatrix<f64> {
        self.without_own(&(&self.gradients * self.gradients.transpose()), scales.misfit)
            + &self.own * self.own.transpose() * scales.repeatability.powi(2)
    }

    /// The same without the strips' own errors.
    fn without_own(&self, surface: &DMatrix<f64>, misfit: f64) -> DMatrix<f64> {
        let mut k = &self.shape * misfit.powi(2) + surface;
        for (i, s) in self.sigma.iter().enumerate() {
            k[(i, i)] += s * s;
        }
        k
    }

    /// The scales that the readings' likelihood speaks for: the means over all that are tried, of
    /// ln misfit and of the squared repeatability.
    pub fn scales(&self) -> Option<Scales> {
        let strips = self.own.ncols();
        let surface = &self.gradients * self.gradients.transpose();
        let typical = self.sigma.iter().sum::<f64>() / self.sigma.len() as f64;
        let mut tried = Vec::new();
        for misfit in MISFITS.map(|m| m * typical) {
            let Some(factor) = Cholesky::new(self.without_own(&surface, misfit)) else {
                continue;
            };
            let white = factor.l_dirty().solve_lower_triangular(&self.residuals)?;
            let own = factor.l_dirty().solve_lower_triangular(&self.own)?;
            let (inner, along) = (own.transpose() * &own, own.transpose() * &white);
            let fit = -0.5 * white.norm_squared() - half_log_determinant(&factor);
            for (repeatability, chance) in REPEATABILITIES {
                // The strips' own errors are of low rank: Woodbury's identity.
                let square = f64::powi(repeatability, 2);
                let small = Cholesky::new(DMatrix::identity(strips, strips) + &inner * square);
                let Some(small) = small else { continue };
                let explained = 0.5 * square * along.dot(&small.solve(&along));
                let likelihood = fit + explained - half_log_determinant(&small);
                tried.push((likelihood + ln(chance), misfit, repeatability));
            }
        }
        let best = tried.iter().map(|t| t.0).fold(f64::NEG_INFINITY, f64::max);
        let (mut total, mut log_misfit, mut square, mut scattered) = (0.0, 0.0, 0.0, 0.0);
        for (likelihood, misfit, repeatability) in tried {
            let weight = exp(likelihood - best);
            total += weight;
            log_misfit += weight * ln(misfit);
            square += weight * repeatability.powi(2);
            scattered += if repeatability > 0.0 { weight } else { 0.0 };
        }
        let student = student_quantile((strips as f64 - 2.0).max(2.0));
        let scales = Scales {
            misfit: exp(log_misfit / total),
            repeatability: (square / total).sqrt(),
            quantile: NORMAL_95 + (student - NORMAL_95) * scattered / total,
        };
        (total > 0.0).then_some(scales)
    }
}

fn half_log_determinant(factor: &Cholesky<f64, nalgebra::Dyn>) -> f64 {
    factor.l_dirty().diagonal().iter().map(|d| ln(*d)).sum()
}
