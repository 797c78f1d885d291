//! Whether a reading is in line with its neighbours, by rules that hold for any film:
//!
//! 1. Density does not fall as exposure rises, by more than four standard uncertainties of the difference.
//! 2. A reading lies on the straight line through two neighbours, to four standard uncertainties and the
//!    bend of a curve whose slope changes by [`BEND`] per unit of log exposure (common practice, no source:
//!    the toes and shoulders of films bend less).
//!
//! One that is only out of line with a doubtful neighbour is in line. From seven readings on the fitted
//! curve judges as well, as in `curve`.

use crate::curve::Choice;
use crate::elementary::hypot;
use crate::measures::analyse;
use crate::readings::Strip;
use crate::words::{number, signed};
use std::fmt;

/// Standard uncertainties beyond which a reading is out of line.
const LIMIT: f64 = 4.0;
/// Greatest change of the slope of a film's curve per unit of log exposure.
const BEND: f64 = 4.0;
/// The fewest readings of steps through which a curve is fitted.
const FEWEST: usize = 7;

/// Why a reading is out of line.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum OutOfLine {
    /// Density falls from one patch to one with more exposure.
    Falls {
        /// By how much.
        by: f64,
        /// The patch with less exposure, and the one with more.
        from: String,
        /// The one with more exposure.
        to: String,
    },
    /// It is off the line of its neighbours.
    OffTheLine {
        /// By how much.
        off: f64,
    },
    /// It is off the curve of the other readings.
    OffTheCurve {
        /// By how much.
        off: f64,
    },
}

impl fmt::Display for OutOfLine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("is out of line: ")?;
        match self {
            Self::Falls { by, from, to } => {
                write!(f, "density falls by {} from {from} to {to}", number(*by, 2))
            }
            Self::OffTheLine { off } => {
                write!(f, "{} off the line of its neighbours", signed(*off, 2))
            }
            Self::OffTheCurve { off } => {
                write!(f, "{} off the curve of the others", signed(*off, 2))
            }
        }
    }
}

/// A reading with what is known of it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Point {
    /// Its patch.
    pub(super) patch: usize,
    /// Log exposure; none of the unexposed film.
    pub(super) x: Option<f64>,
    pub(super) density: f64,
    pub(super) sigma: f64,
    /// Whether it was out of line itself.
    pub(super) is_doubtful: bool,
}

impl Point {
    fn place(&self) -> f64 {
        self.x.unwrap_or(f64::NEG_INFINITY)
    }
}

/// What speaks against the reading of `patch`, beside the others.
pub(super) fn judged(
    points: &[Point],
    patch: usize,
    named: impl Fn(usize) -> String,
) -> Option<OutOfLine> {
    let own = points.iter().find(|point| point.patch == patch)?;
    let among = |doubtful_too: bool| {
        let others = points.iter().filter(|p| p.patch != patch && (doubtful_too || !p.is_doubtful));
        let mut others: Vec<Point> = others.copied().collect();
        others.sort_by(|a, b| a.place().total_cmp(&b.place()));
        falls(own, &others, &named).or_else(|| off_the_line(own, &others))
    };
    among(true).and_then(|_| among(false))
}

fn falls(own: &Point, others: &[Point], named: impl Fn(usize) -> String) -> Option<OutOfLine> {
    let less = others.iter().rev().find(|other| other.place() < own.place());
    let more = others.iter().find(|other| other.place() > own.place());
    let pairs = [less.map(|less| (less, own)), more.map(|more| (own, more))];
    pairs.into_iter().flatten().find_map(|(low, high)| {
        let by = low.density - high.density;
        let limit = LIMIT * hypot(low.sigma, high.sigma);
        let (from, to) = (named(low.patch), named(high.patch));
        (by > limit).then_some(OutOfLine::Falls { by, from, to })
    })
}

/// The departure from the line through the nearest neighbour on either side, or the nearest two on one.
fn off_the_line(own: &Point, others: &[Point]) -> Option<OutOfLine> {
    let x = own.x?;
    let steps: Vec<(f64, &Point)> = others.iter().filter_map(|p| Some((p.x?, p))).collect();
    let above = steps.iter().position(|(other, _)| *other > x).unwrap_or(steps.len());
    let below = steps.iter().rposition(|(other, _)| *other < x);
    let (a, b) = match below {
        Some(below) if above < steps.len() => (below, above),
        Some(below) => (below.checked_sub(1)?, below),
        None => (above, above + 1),
    };
    let ((xa, a), (xb, b)) = (steps.get(a)?, steps.get(b)?);
    // The same exposure twice gives no line.
    if xb - xa <= 0.0 {
        return None;
    }
    let share = (x - xa) / (xb - xa);
    let off = own.density - (a.density + share * (b.density - a.density));
    let noise = [own.sigma, (1.0 - share) * a.sigma, share * b.sigma].map(|s| s * s);
    let bend = 0.5 * BEND * ((x - xa) * (x - xb)).abs();
    let limit = LIMIT * noise.iter().sum::<f64>().sqrt() + bend;
    (off.abs() > limit).then_some(OutOfLine::OffTheLine { off })
}

/// Line and departure of each reading that the curve of the others contradicts.
pub(super) fn suspects(strips: Vec<Strip>) -> Vec<(u32, f64)> {
    let strips = strips.into_iter().filter(|strip| strip.readings.len() >= FEWEST).collect();
    let analysed = analyse(strips, Choice::Auto);
    let of = |analysis: &crate::measures::StripAnalysis| {
        let suspects = analysis.result.iter().flat_map(|analysed| &analysed.fit.suspects);
        suspects.map(|s| (analysis.reading(s.index).line, s.residual)).collect::<Vec<_>>()
    };
    analysed.iter().flat_map(of).collect()
}
