//! One penalised spline of the logarithm of a slope, integrated.

use super::basis::{COEFFICIENTS, Knots, Piece, SEGMENTS};
use super::foundation::{Foundation, MOST, Shape};
use super::penalty::Trial;
use crate::elementary::exp;

/// A rise from the foot of the curve, and its derivatives.
#[derive(Clone, Debug)]
pub(super) struct Spline {
    /// Base plus fog, the coefficients, the foundation's parameters.
    pub parameters: Vec<f64>,
    /// Their covariance, column-major.
    pub covariance: Vec<f64>,
    pub knots: Knots,
    pub foundation: Foundation,
    pub log_lambda: f64,
    shape: Shape,
    /// In how many pieces each segment is integrated, and which of all pieces is its first.
    pieces: [(u8, u16); SEGMENTS],
    /// The rise from the foot to where each piece begins and to where the last one ends.
    risen: Vec<Rise>,
}

/// A rise, and its derivatives by all parameters but base plus fog.
pub(super) type Rise = (f64, [f64; COEFFICIENTS + MOST]);

impl Spline {
    pub fn new(trial: Trial, knots: Knots, foundation: Foundation) -> Self {
        let shape = foundation.shape(&trial.parameters[1 + COEFFICIENTS..]);
        let c = &trial.parameters[1..=COEFFICIENTS];
        let mut pieces = [(0, 0); SEGMENTS];
        let mut risen = Vec::with_capacity(3 * SEGMENTS);
        let mut here: Rise = (0.0, [0.0; COEFFICIENTS + MOST]);
        let mut before = None;
        for (k, own) in pieces.iter_mut().enumerate() {
            let many = in_how_many(&c[k..k + 4]);
            *own = (many, risen.len() as u16);
            for i in 0..many {
                risen.push(here);
                let piece =
                    Piece::new(knots, begins(knots, k, i, many), begins(knots, k, i + 1, many));
                let joint = before.unwrap_or_else(|| piece.begin(&shape, c));
                before = Some(piece.add(&shape, c, &joint, &mut here.0, Some(&mut here.1)));
            }
        }
        risen.push(here);
        Self {
            shape,
            parameters: trial.parameters,
            covariance: trial.covariance,
            knots,
            foundation,
            log_lambda: trial.log_lambda,
            pieces,
            risen,
        }
    }

    /// The same for a curve that has the covariance of all its parts: thousands of strips are kept at once.
    pub fn without_covariance(mut self) -> Self {
        self.covariance = Vec::new();
        self
    }

    /// Number of parameters without base plus fog.
    pub fn own(&self) -> usize {
        self.parameters.len() - 1
    }

    /// Where the piece with `x` in it begins: the rise there, and the piece as far as `x`.
    fn towards(&self, x: f64) -> (&Rise, Piece) {
        let k = self.knots.segment(x);
        let (many, first) = self.pieces[k];
        let share = (x - self.knots.knot(k)) / self.knots.width;
        let i = ((share * f64::from(many)).max(0.0) as u8).min(many - 1);
        let piece = Piece::new(self.knots, begins(self.knots, k, i, many), x);
        (&self.risen[usize::from(first) + usize::from(i)], piece)
    }

    /// How far `x` is above the last knot, from where the curve goes on as a straight line.
    fn beyond(&self, x: f64) -> f64 {
        x - self.knots.knot(SEGMENTS)
    }

    fn clamped(&self, x: f64) -> f64 {
        x.clamp(self.knots.low, self.knots.knot(SEGMENTS))
    }

    /// The density above base plus fog.
    pub fn rise(&self, x: f64) -> f64 {
        let beyond = self.beyond(x);
        let x = self.clamped(x);
        let (&(mut rise, _), piece) = self.towards(x);
        let c = &self.parameters[1..];
        piece.add(&self.shape, c, &piece.begin(&self.shape, c), &mut rise, None);
        if beyond > 0.0 { rise + beyond * self.slope(x) } else { rise }
    }

    pub fn slope(&self, x: f64) -> f64 {
        let x = self.clamped(x);
        self.shape.slope(x).value * exp(self.knots.local(x).value(&self.parameters[1..]))
    }

    /// The density above base plus fog with its derivatives.
    pub fn rise_and_gradient(&self, x: f64) -> Rise {
        let beyond = self.beyond(x);
        let x = self.clamped(x);
        let (&(mut rise, mut out), piece) = self.towards(x);
        let c = &self.parameters[1..];
        piece.add(&self.shape, c, &piece.begin(&self.shape, c), &mut rise, Some(&mut out));
        if beyond > 0.0 {
            rise += beyond * self.slope(x);
            let slope = self.slope_gradient(x);
            out.iter_mut().zip(&slope).for_each(|(o, s)| *o += beyond * s);
        }
        (rise, out)
    }

    /// The derivatives of the slope by all parameters but base plus fog.
    pub fn slope_gradient(&self, x: f64) -> [f64; COEFFICIENTS + MOST] {
        let x = self.clamped(x);
        let here = self.shape.slope(x);
        let mut out = [0.0; COEFFICIENTS + MOST];
        let local = self.knots.local(x);
        let over = exp(local.value(&self.parameters[1..]));
        let slope = over * here.value;
        for (o, b) in out[local.first..local.first + 4].iter_mut().zip(local.values) {
            *o = slope * b;
        }
        let own = out[COEFFICIENTS..].iter_mut().zip(here.gradient);
        own.for_each(|(o, g)| *o = over * g);
        out
    }
}

/// In how many pieces a segment with these coefficients is integrated: the steeper the log slope, the more,
/// so that tabulated values agree with those of the fit to 1e-9 and D never falls.
fn in_how_many(coefficients: &[f64]) -> u8 {
    let most = coefficients.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let least = coefficients.iter().copied().fold(f64::INFINITY, f64::min);
    2 + ((most - least).min(60.0) * 0.7) as u8
}

/// Where piece `i` of the `many` of segment `k` begins.
fn begins(knots: Knots, k: usize, i: u8, many: u8) -> f64 {
    knots.knot(k) + knots.width * f64::from(i) / f64::from(many)
}
