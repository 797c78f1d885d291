//! One control strip explained by its pairing: by the bath's activity alone, or by more.

use crate::curve::{CommonError, Observations};
use crate::development::{Development, Expectation};
use crate::elementary::exp;
use nalgebra::{Cholesky, DMatrix, DVector};

/// Longest step of ln a in one iteration.
const LONGEST_STEP: f64 = 0.3;
/// Iterations at most.
const ITERATIONS: usize = 30;
/// Iterations after which the covariance of the readings is kept.
const SETTLING: usize = 2;
/// Steps smaller than this end the search.
const CLOSE: f64 = 1e-6;
/// Half the step of the central differences that derivatives are taken from. The expected densities are
/// sure to about 1e-11 only, by the rounding of sums in which large terms cancel: with a smaller step, the
/// answer would differ from one processor to the next in the eighth digit.
const DIFFERENCE: f64 = 1e-3;

/// What is allowed to differ from the pairing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Freedom {
    /// The activity alone.
    Activity,
    /// Activity, base plus fog, and speed.
    FogAndSpeed,
}

/// A strip explained: D(x) = D̂(x − s, a·θ) + f, with D̂ the pairing's [`Expectation`].
#[derive(Clone, Debug)]
pub struct Explained {
    /// ln of the activity a.
    pub ln_activity: f64,
    /// Base plus fog f above what is expected.
    pub fog: f64,
    /// Log exposure s by which the strip needs more than is expected: speed lost.
    pub speed_lost: f64,
    /// Covariance of those of the three that are free.
    pub covariance: DMatrix<f64>,
    /// Sum of squares of the residuals, whitened by the readings' noise and what is uncertain about
    /// the expectation.
    pub chi_squared: f64,
    /// Residuals: density read less density explained.
    pub residuals: DVector<f64>,
}

impl Explained {
    /// Standard error of ln a.
    #[must_use]
    pub fn ln_activity_sd(&self) -> f64 {
        self.covariance[(0, 0)].sqrt()
    }
}

/// The readings in use, and what they are held against.
struct Strip<'a> {
    expectation: &'a Expectation,
    development: Development,
    x: Vec<f64>,
    density: DVector<f64>,
    sigma: Vec<f64>,
    /// What the strip's densities have in common.
    common: Option<CommonError>,
}

impl Strip<'_> {
    /// Where in the expectation the readings lie.
    fn places(&self, p: &[f64; 3]) -> (Vec<f64>, Development) {
        let x = self.x.iter().map(|x| x - p[2]).collect();
        (x, self.development.in_bath(exp(p[0])))
    }

    fn residuals(&self, p: &[f64; 3]) -> DVector<f64> {
        let (x, development) = self.places(p);
        let mut expected = self.expectation.density(&x, development);
        expected.add_scalar_mut(p[1]);
        &self.density - expected
    }

    fn covariance(&self, p: &[f64; 3]) -> Option<Cholesky<f64, nalgebra::Dyn>> {
        let (x, development) = self.places(p);
        let mut v = self.expectation.at(&x, development).covariance;
        for (k, s) in self.sigma.iter().enumerate() {
            v[(k, k)] += s * s;
        }
        if let Some(common) = &self.common {
            v += common.covariances(self.density.as_slice());
        }
        Cholesky::new(v)
    }
}

/// Explains the readings of a strip that was given `development` in a bath of full strength, by
/// generalised least squares in Gauss and Newton's steps, from `start` if there is one.
///
/// `None` where the readings do not determine what is free.
#[must_use]
pub fn explain(
    expectation: &Expectation,
    o: &Observations,
    development: Development,
    freedom: Freedom,
    start: Option<&Explained>,
) -> Option<Explained> {
    let used: Vec<usize> = (0..o.len()).filter(|&i| o.weight[i] > 0.0).collect();
    let strip = Strip {
        expectation,
        development,
        x: used.iter().map(|&i| o.x[i]).collect(),
        density: DVector::from_iterator(used.len(), used.iter().map(|&i| o.density[i])),
        sigma: used.iter().map(|&i| o.sigma[i]).collect(),
        common: o.common,
    };
    let free = match freedom {
        Freedom::Activity => 1,
        Freedom::FogAndSpeed => 3,
    };
    if used.len() < free {
        return None;
    }
    let mut p = start.map_or([0.0; 3], |e| [e.ln_activity, e.fog, e.speed_lost]);
    let mut factor = strip.covariance(&p)?;
    for iteration in 0..ITERATIONS {
        // The covariance hardly moves once the activity is nearly found.
        if (1..=SETTLING).contains(&iteration) {
            factor = strip.covariance(&p)?;
        }
        let whiten = |r: &DVector<f64>| factor.l_dirty().solve_lower_triangular(r);
        let residuals = strip.residuals(&p);
        let mut jacobian = DMatrix::zeros(used.len(), free);
        for j in 0..free {
            let (mut below, mut above) = (p, p);
            below[j] -= DIFFERENCE;
            above[j] += DIFFERENCE;
            let by = (strip.residuals(&below) - strip.residuals(&above)) / (2.0 * DIFFERENCE);
            jacobian.set_column(j, &whiten(&by)?);
        }
        let white = whiten(&residuals)?;
        let covariance = Cholesky::new(jacobian.transpose() * &jacobian)?.inverse();
        let step = &covariance * jacobian.transpose() * &white;
        let shorten = (LONGEST_STEP / step[0].abs().max(f64::MIN_POSITIVE)).min(1.0);
        for j in 0..free {
            p[j] += shorten * step[j];
        }
        if !step.iter().all(|s| s.is_finite()) {
            return None;
        }
        if step.amax() < CLOSE {
            return Some(Explained {
                ln_activity: p[0],
                fog: p[1],
                speed_lost: p[2],
                covariance,
                chi_squared: white.norm_squared(),
                residuals,
            });
        }
    }
    None
}
