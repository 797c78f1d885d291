//! The fit of the smooth model as a sum of squares: readings, roughness, and a weak prior.

use super::basis::{COEFFICIENTS, Knots, Piece, SEGMENTS};
use super::foundation::{Foundation, MOST};
use crate::curve::Observations;
use crate::elementary::{exp, ln};
use crate::numerics::least_squares::Residuals;

/// Number of third differences.
pub(super) const ROUGHNESS: usize = COEFFICIENTS - 3;
/// Coefficients held by a prior, one for each degree of freedom that roughness leaves free.
pub(super) const HELD: [usize; 3] = [0, COEFFICIENTS / 2, COEFFICIENTS - 1];
/// Standard deviation of the weak prior on them in the plain form, in units of ln slope.
const WEAK: f64 = 20.0;
/// The variance of the prior on them where the spline stands on a foundation and λ is what emulsions
/// mostly ask for; in proportion to 1/λ.
const CLOSE: f64 = 0.09;

/// The third difference's coefficients.
pub(super) const THIRD: [f64; 4] = [-1.0, 3.0, -3.0, 1.0];

/// One step of the running integral.
enum Stride {
    /// Add a piece.
    Piece(Piece),
    /// A reading stands here.
    Reading(usize),
}

/// Residuals of readings, of third differences times √λ, and of the priors.
pub(super) struct SmoothProblem<'a> {
    observations: &'a Observations,
    foundation: Foundation,
    strides: Vec<Stride>,
    /// Centres of the prior on coefficients.
    centre: Vec<f64>,
    /// Centres and standard deviations of the priors on the foundation's parameters.
    priors: Vec<(f64, f64)>,
    /// Logarithm of the precision of the prior on held coefficients, over λ.
    log_close: f64,
    root_lambda: f64,
}

impl<'a> SmoothProblem<'a> {
    /// `start` is where the weak priors have their centre, `typical` the ln λ that emulsions mostly ask
    /// for.
    pub fn new(
        observations: &'a Observations,
        knots: Knots,
        foundation: Foundation,
        start: &[f64],
        priors: Vec<(f64, f64)>,
        typical: f64,
    ) -> Self {
        let centre = match foundation {
            Foundation::Plain => start[1..=COEFFICIENTS].to_vec(),
            _ => vec![0.0; COEFFICIENTS],
        };
        let strides = strides(observations, knots);
        let log_close = -ln(CLOSE) - typical;
        Self { observations, foundation, strides, centre, priors, log_close, root_lambda: 1.0 }
    }

    /// Sets the weight of the penalty, ln λ.
    pub fn weigh(&mut self, log_lambda: f64) {
        self.root_lambda = exp(0.5 * log_lambda);
    }

    /// The number of rows of the penalty that λ multiplies.
    pub fn rank(&self) -> usize {
        ROUGHNESS + if self.foundation == Foundation::Plain { 0 } else { HELD.len() }
    }

    /// Row `i` of the penalty without its factor √λ: the first coefficient it takes in, and weights.
    pub fn penalty(&self, i: usize) -> (usize, [f64; 4]) {
        if i < ROUGHNESS {
            return (i, THIRD);
        }
        let at = HELD[i - ROUGHNESS];
        let first = at.min(COEFFICIENTS - 4);
        let mut row = [0.0; 4];
        row[at - first] = exp(0.5 * self.log_close);
        (first, row)
    }

    /// Logarithm of the determinant of the priors' precision, less what all foundations share.
    pub fn log_prior(&self, log_lambda: f64) -> f64 {
        let own: f64 = self.priors.iter().map(|(_, sd)| -2.0 * ln(*sd)).sum();
        let held = match self.foundation {
            Foundation::Plain => -2.0 * ln(WEAK),
            _ => log_lambda + self.log_close,
        };
        ROUGHNESS as f64 * log_lambda + HELD.len() as f64 * held + own
    }

    /// Number of parameters.
    pub fn parameters(&self) -> usize {
        1 + COEFFICIENTS + self.foundation.parameters()
    }
}

/// The order in which one walk up the exposure axis meets pieces and readings.
fn strides(observations: &Observations, knots: Knots) -> Vec<Stride> {
    let mut list = Vec::with_capacity(2 * (observations.len() + COEFFICIENTS));
    let mut at = knots.low;
    let end = knots.knot(SEGMENTS);
    for (i, &x) in observations.x.iter().enumerate() {
        // A reading set aside may stand beyond the curve's end.
        let x = x.min(end);
        while at < x {
            let mut next = knots.knot(knots.segment(at) + 1);
            if next <= at {
                next = knots.knot(knots.segment(at) + 2);
            }
            let to = next.min(x);
            list.push(Stride::Piece(Piece::new(knots, at, to)));
            at = to;
        }
        list.push(Stride::Reading(i));
    }
    list
}

impl Residuals for SmoothProblem<'_> {
    fn len(&self) -> usize {
        self.observations.len() + ROUGHNESS + HELD.len() + self.priors.len()
    }

    fn evaluate(&mut self, p: &[f64], residuals: &mut [f64], jacobian: &mut [f64]) -> bool {
        let m = self.len();
        let n = self.parameters();
        let (c, own) = p[1..].split_at(COEFFICIENTS);
        if !self.foundation.allows(own) {
            return false;
        }
        let shape = self.foundation.shape(own);
        let mut before = None;
        let mut sum = 0.0;
        let mut gradient = [0.0; COEFFICIENTS + MOST];
        let mut highest = 0;
        for stride in &self.strides {
            match stride {
                Stride::Piece(piece) => {
                    let here = before.unwrap_or_else(|| piece.begin(&shape, c));
                    before = Some(piece.add(&shape, c, &here, &mut sum, Some(&mut gradient)));
                    highest = piece.reach();
                }
                Stride::Reading(i) => {
                    let scale = self.observations.weight[*i] / self.observations.sigma[*i];
                    residuals[*i] = scale * (p[0] + sum - self.observations.density[*i]);
                    jacobian[*i] = scale;
                    for (k, g) in gradient[..n - 1].iter().enumerate() {
                        let met = k < highest || k >= COEFFICIENTS;
                        jacobian[(k + 1) * m + i] = if met { scale * g } else { 0.0 };
                    }
                }
            }
        }
        let below = self.observations.len();
        for j in 0..n {
            jacobian[j * m + below..(j + 1) * m].fill(0.0);
        }
        // Held coefficients before roughness, whose rows are a band: QR is quicker for it.
        let rough = below + HELD.len();
        for i in 0..self.rank() {
            let at = if i < ROUGHNESS { rough + i } else { below + i - ROUGHNESS };
            let (first, row) = self.penalty(i);
            let value: f64 = row.iter().zip(&c[first..]).map(|(t, c)| t * c).sum();
            residuals[at] = self.root_lambda * value;
            for (k, t) in row.iter().enumerate() {
                jacobian[(first + 1 + k) * m + at] = self.root_lambda * t;
            }
        }
        if self.foundation == Foundation::Plain {
            for (row, &k) in (below..).zip(&HELD) {
                residuals[row] = (c[k] - self.centre[k]) / WEAK;
                jacobian[(k + 1) * m + row] = 1.0 / WEAK;
            }
        }
        let rows = below + ROUGHNESS + HELD.len()..;
        for ((row, (centre, sd)), k) in rows.zip(&self.priors).zip(0..) {
            residuals[row] = (own[k] - centre) / sd;
            jacobian[(1 + COEFFICIENTS + k) * m + row] = 1.0 / sd;
        }
        sum.is_finite()
    }
}
