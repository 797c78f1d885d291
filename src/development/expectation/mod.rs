//! What density to expect of a strip after so much development, and how surely: the surface, and what
//! the family's strips say of the surface's own misfit.

mod family;

use super::pairing::Pairing;
use super::surface::{NAMES, Surface};
use crate::curve::CommonError;
use crate::elementary::{exp, ln, ln_1p};
use family::Family;
use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

/// Correlation length of the surface's misfit along log exposure.
const ALONG_EXPOSURE: f64 = 0.35;
/// Correlation length of the misfit along the logarithm of development.
const ALONG_DEVELOPMENT: f64 = 1.0;
/// Softness of the place where the toe begins: below it all exposures are as good as none.
const TOE_SOFTNESS: f64 = 0.2;
/// Log exposure from the inertia down to that place.
const TOE_BELOW_INERTIA: f64 = 0.5;
/// Prior standard deviation of each of the surface's parameters about its fit: wide.
const PRIOR: f64 = 1.0;
/// What is uncertain about the surface itself: its parameters and the activation energy.
const COLUMNS: usize = NAMES.len() + 1;

/// A development: how much, and how that hangs on the temperature law.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Development {
    /// Effective minutes, at the reference temperature in a bath of full strength.
    pub theta: f64,
    /// d ln θ/dE, in mol/kJ: 0 at the reference temperature.
    pub by_energy: f64,
}

impl Development {
    /// The same in a bath of this activity.
    #[must_use]
    pub fn in_bath(self, activity: f64) -> Self {
        Self { theta: self.theta * activity, ..self }
    }
}

/// The densities expected at some log exposures, and their covariance.
#[derive(Clone, Debug)]
pub struct Expected {
    /// Expected densities.
    pub density: DVector<f64>,
    /// Covariance of what is uncertain about them, the readings' own noise left out.
    pub covariance: DMatrix<f64>,
}

/// Densities to expect of a film in its developer.
///
/// ```text
/// D(x, θ) = S(x, θ; p) + δ(x, ln θ)
/// ```
///
/// S is the [`Surface`], linearised in its parameters p and in the activation energy, which are
/// uncertain; δ is its misfit, a Gaussian process with a Gaussian correlation of 0.35 along log
/// exposure and 1 along ln θ. Each strip's ln θ errs by itself as well (time, agitation,
/// thermometer). All is conditioned on the family's readings; the standard deviations of the misfit
/// and of the strips' own error come from the likelihood of the readings, which weighs several of each.
///
/// # Source
/// Gaussian process regression with an explicit basis: C. E. Rasmussen and C. K. I. Williams 2006,
/// Gaussian Processes for Machine Learning, section 2.7 (from memory).
#[derive(Debug)]
pub struct Expectation {
    surface: Surface,
    toe: f64,
    /// Prior standard deviation of the activation energy.
    energy_sd: f64,
    /// Place of each reading: (softened log exposure, ln θ).
    places: Vec<(f64, f64)>,
    /// Derivatives of the surface at each reading by what is uncertain about it, each in units of its
    /// prior standard deviation.
    gradients: DMatrix<f64>,
    /// Factor of the covariance of the readings.
    factor: Cholesky<f64, Dyn>,
    /// Inverse covariance times residuals.
    weights: DVector<f64>,
    /// Standard deviation of the misfit.
    pub misfit_sd: f64,
    /// Standard deviation of ln θ from strip to strip, beyond what the readings explain.
    pub repeatability: f64,
    /// Half the width of a 95 % interval over the standard error: the fewer strips tell their
    /// repeatability, the wider.
    pub quantile: f64,
    /// What the densities of all strips have in common: no strip shows it.
    common: Option<CommonError>,
}

impl Expectation {
    /// Conditions the expectation on the strips of `pairing` nearest to `theta` effective minutes.
    ///
    /// `None` where the pairing has no surface.
    #[must_use]
    pub fn near(pairing: &Pairing, theta: f64) -> Option<Self> {
        let surface = pairing.surface()?.clone();
        let toe = surface.parameters[7] - TOE_BELOW_INERTIA;
        let energy_sd = pairing.law().energy_prior_sd();
        let family = Family::gather(pairing, &surface, toe, energy_sd, theta);
        let scales = family.scales()?;
        let factor = Cholesky::new(family.covariance(&scales))?;
        Some(Self {
            weights: factor.solve(&family.residuals),
            surface,
            toe,
            energy_sd,
            places: family.places,
            gradients: family.gradients,
            factor,
            misfit_sd: scales.misfit,
            repeatability: scales.repeatability,
            quantile: scales.quantile,
            common: pairing.common_error(),
        })
    }

    /// What to expect at log exposures `x` (−∞ for the unexposed film).
    #[must_use]
    pub fn at(&self, x: &[f64], development: Development) -> Expected {
        let here = self.here(x, development);
        let cross = self.cross(&here);
        let own = self.misfit_sd.powi(2) * alike(&here.places, &here.places)
            + &here.gradients * here.gradients.transpose();
        let white = self
            .factor
            .l_dirty()
            .solve_lower_triangular(&cross)
            .unwrap_or_else(|| DMatrix::zeros(self.places.len(), x.len()));
        let density = here.surface + cross.transpose() * &self.weights;
        let mut covariance = own - white.transpose() * white;
        if let Some(common) = &self.common {
            covariance += common.covariances(density.as_slice());
        }
        Expected { density, covariance }
    }

    /// Expected densities alone.
    #[must_use]
    pub fn density(&self, x: &[f64], development: Development) -> DVector<f64> {
        let here = self.here(x, development);
        let cross = self.cross(&here);
        here.surface + cross.transpose() * &self.weights
    }

    fn here(&self, x: &[f64], development: Development) -> Here {
        let mut here = Here {
            places: Vec::with_capacity(x.len()),
            surface: DVector::zeros(x.len()),
            gradients: DMatrix::zeros(x.len(), COLUMNS),
        };
        for (i, &x) in x.iter().enumerate() {
            let (density, row) = gradient(&self.surface, self.energy_sd, x, development);
            here.places.push(place(x, self.toe, development));
            here.surface[i] = density;
            here.gradients.row_mut(i).iter_mut().zip(row).for_each(|(to, g)| *to = g);
        }
        here
    }

    /// Covariance of the family's readings with the densities here.
    fn cross(&self, here: &Here) -> DMatrix<f64> {
        self.misfit_sd.powi(2) * alike(&self.places, &here.places)
            + &self.gradients * here.gradients.transpose()
    }
}

/// Where densities are asked for, and what the surface has there.
struct Here {
    places: Vec<(f64, f64)>,
    surface: DVector<f64>,
    gradients: DMatrix<f64>,
}

/// Density of the surface, and its derivatives by what is uncertain about it, each in units of its
/// prior standard deviation.
fn gradient(
    surface: &Surface,
    energy_sd: f64,
    x: f64,
    development: Development,
) -> (f64, [f64; COLUMNS]) {
    let Development { theta, by_energy } = development;
    let (density, by_parameters) = surface.with_gradient(x, theta);
    let mut all = [surface.by_log_theta(x, theta) * by_energy * energy_sd; COLUMNS];
    for (a, g) in all.iter_mut().zip(by_parameters) {
        *a = g * PRIOR;
    }
    (density, all)
}

/// Log exposure above the toe's beginning, softened so that it is 0 without exposure; and ln θ.
fn place(x: f64, toe: f64, development: Development) -> (f64, f64) {
    let t = (x - toe) / TOE_SOFTNESS;
    let above = TOE_SOFTNESS * if t > 30.0 { t } else { ln_1p(exp(t)) };
    (above, ln(development.theta))
}

/// Correlations of the misfit at places `a` with places `b`.
fn alike(a: &[(f64, f64)], b: &[(f64, f64)]) -> DMatrix<f64> {
    DMatrix::from_fn(a.len(), b.len(), |i, j| {
        let x = (a[i].0 - b[j].0) / ALONG_EXPOSURE;
        let u = (a[i].1 - b[j].1) / ALONG_DEVELOPMENT;
        exp(-0.5 * (x * x + u * u))
    })
}
