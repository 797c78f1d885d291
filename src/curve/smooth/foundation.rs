//! What a spline of the log slope stands on.

use crate::curve::Curve;
use crate::curve::shoulder::CapShape;
use crate::curve::toe::RiseShape;

/// Greatest number of parameters of a foundation.
pub(super) const MOST: usize = 5;
/// How many standard errors of the fit of few parameters a foundation may be away from it.
const NEAR: f64 = 3.0;
/// Greatest standard deviation of the prior.
const WIDE: f64 = 1.0;

/// What the spline is the logarithm of: the slope itself, or the slope over that of a toe or shoulder.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Foundation {
    /// The slope itself.
    Plain,
    /// The slope over that of [`Toe`](super::super::Toe).
    Toe,
    /// The slope over that of [`Shoulder`](super::super::Shoulder).
    Shoulder,
}

/// A foundation with its parameters.
#[derive(Clone, Copy, Debug)]
pub(super) enum Shape {
    Plain,
    Toe(RiseShape),
    Shoulder(CapShape),
}

/// A value of a foundation at a log exposure, its rise or its slope, with the derivatives by its parameters.
#[derive(Clone, Copy)]
pub(super) struct Stand {
    pub value: f64,
    pub gradient: [f64; MOST],
}

impl Foundation {
    /// The foundation that a curve of few parameters gives, and its parameters.
    pub fn of(rigid: &dyn Curve) -> (Self, &[f64]) {
        match rigid.parameters() {
            [_, own @ ..] if own.len() == 3 => (Self::Toe, own),
            [_, own @ ..] if own.len() == MOST => (Self::Shoulder, own),
            _ => (Self::Plain, &[]),
        }
    }

    /// Number of its parameters.
    pub const fn parameters(self) -> usize {
        match self {
            Self::Plain => 0,
            Self::Toe => 3,
            Self::Shoulder => MOST,
        }
    }

    pub const fn name(self) -> &'static str {
        match self {
            Self::Plain => "plain",
            Self::Toe => "toe",
            Self::Shoulder => "shoulder",
        }
    }

    /// With parameters ln γ, a, ln w and, of a shoulder, ln A, ln s.
    pub fn shape(self, own: &[f64]) -> Shape {
        match self {
            Self::Plain => Shape::Plain,
            Self::Toe => Shape::Toe(RiseShape::new(own[0], own[1], own[2])),
            Self::Shoulder => {
                Shape::Shoulder(CapShape::new(&[0.0, own[0], own[1], own[2], own[3], own[4]]))
            }
        }
    }

    /// Centre and standard deviation of the prior on each parameter: where a fit of few parameters has it,
    /// give or take [`NEAR`] of its standard errors.
    pub fn priors(self, rigid: &dyn Curve) -> Vec<(f64, f64)> {
        let n = self.parameters();
        let sd = |k: usize| NEAR * rigid.covariance()[(k + 1) * (n + 2)].sqrt();
        (0..n).map(|k| (rigid.parameters()[k + 1], sd(k).min(WIDE))).collect()
    }

    /// Whether parameters are within the bounds of the models of few parameters.
    pub fn allows(self, own: &[f64]) -> bool {
        self == Self::Plain
            || own[0] < 4.0
                && own[2].abs() < 8.0
                && (self == Self::Toe || own[3].abs() < 8.0 && (-5.0..3.0).contains(&own[4]))
    }
}

impl Stand {
    fn of(value: f64, by: &[f64]) -> Self {
        let mut gradient = [0.0; MOST];
        gradient[..by.len()].copy_from_slice(by);
        Self { value, gradient }
    }

    fn of_toe((value, by): (f64, [f64; 3])) -> Self {
        Self::of(value, &by)
    }

    const fn of_shoulder((value, gradient): (f64, [f64; MOST])) -> Self {
        Self { value, gradient }
    }
}

impl Shape {
    /// The slope at `x`.
    pub fn slope(&self, x: f64) -> Stand {
        match self {
            Self::Plain => Stand::of(1.0, &[]),
            Self::Toe(shape) => Stand::of_toe(shape.slope(x)),
            Self::Shoulder(shape) => Stand::of_shoulder(shape.slope(x)),
        }
    }

    /// Rise and slope, for the time of one; without a foundation, as if the slope were 1 everywhere.
    pub fn both(&self, x: f64) -> [Stand; 2] {
        match self {
            Self::Plain => [Stand::of(x, &[]), Stand::of(1.0, &[])],
            Self::Toe(shape) => {
                let (rise, slope) = shape.both(x);
                [rise, slope].map(Stand::of_toe)
            }
            Self::Shoulder(shape) => shape.both(x).map(Stand::of_shoulder),
        }
    }
}
