//! The measures of a paper: least and greatest density, speed and range.
//!
//! On the paper's curve, net density counted from the unexposed, processed paper:
//!
//! ```text
//! T  highlight point   D = Dmin + 0.04
//! m  speed point       D = Dmin + 0.60           P = 1000/Hm
//! S  shadow point      D = Dmin + 0.90·(Dmax − Dmin)
//!                                                R = 100·(log HS − log HT)
//! ```
//!
//! # Source
//! ISO 6846:1992, black-and-white continuous-tone papers, determination of ISO speed and ISO range
//! for printing. The highlight point and R as the difference were read in an encyclopedia; the net
//! shadow point, the factor 100, the speed point and P = 1000/Hm are from memory.

use super::black::{Shoulder, WithBlack};
use super::crossing::Crossing;
use crate::curve::{Curve, FittedCurve};
use crate::elementary::{antilog, hypot};
use crate::measures::{
    Base, Estimate, Material, Measured, PointOf, Quantity, StandardSpeed, UnsettledBase, Why,
    around, gamma_interval, lowest_density,
};
use crate::readings::ExposureScale;

/// Net density of the highlight point.
pub const HIGHLIGHT: f64 = 0.04;
/// Net density of the speed point.
pub const SPEED: f64 = 0.60;
/// Share of the net maximum density at the shadow point.
pub const SHADOW_SHARE: f64 = 0.90;
/// P·Hm, Hm in **lux seconds**.
pub const SPEED_CONSTANT: f64 = 1000.0;
/// Width of a speed point's interval, in log exposure, beyond which it says nothing.
const WIDEST: f64 = 2.0;

/// The measures of one paper strip, each with its interval or the reason why it has none.
#[derive(Clone, Debug, PartialEq)]
pub struct PaperMeasures {
    /// Density of the processed, unexposed paper.
    pub d_min: Measured,
    /// Density that no exposure exceeds.
    pub d_max: Measured,
    /// Log exposure of the highlight point T.
    pub highlight: Measured,
    /// Log exposure of the speed point m.
    pub speed_point: Measured,
    /// Log exposure of the shadow point S.
    pub shadow: Measured,
    /// Density of the shadow point.
    pub shadow_density: Measured,
    /// Paper speed P.
    pub speed_p: Measured,
    /// Range R.
    pub range_r: Measured,
    /// Slope of the chord from T to S.
    pub average_gradient: Measured,
    /// Greatest slope.
    pub gamma: Measured,
}

/// Speed P as the standard prints it: the value of the film speeds' series (1, 1.25, 1.6, 2 …) nearest
/// on a logarithmic scale. `None` outside the series.
///
/// # Source
/// ISO 6846:1992, from memory.
#[must_use]
pub fn printed_speed(p: f64) -> Option<f64> {
    StandardSpeed::nearest(p).map(|s| s.arithmetic)
}

/// Range R as the standard prints it: the nearest multiple of 10. `None` where that is no positive
/// number.
///
/// # Source
/// ISO 6846:1992, from memory.
#[must_use]
pub fn printed_range(r: f64) -> Option<u32> {
    let tens = (r / 10.0).round();
    (1.0..1e3).contains(&tens).then(|| 10 * tens as u32)
}

/// What the measures are taken from.
struct Points<'a> {
    curve: &'a dyn Curve,
    base: Result<Estimate, Why>,
    black: Result<Estimate, Why>,
    /// Log exposures of the steps.
    steps: &'a [f64],
}

impl PaperMeasures {
    /// Measures a fitted paper curve. P needs exposures in lux seconds.
    #[must_use]
    pub fn of(fit: &FittedCurve, scale: ExposureScale) -> Self {
        let own = fit.curve.as_ref();
        let lowest = lowest_density(fit)
            .map_err(|and| Why::NoUnexposedPatch { material: Material::Paper, and });
        let unsettled;
        let settled: &dyn Curve = if lowest == Ok(Base::Unsettled) {
            unsettled = UnsettledBase::new(own, fit.variance);
            &unsettled
        } else {
            own
        };
        let ended;
        let (curve, black): (&dyn Curve, _) = match Shoulder::of(own) {
            Ok(shoulder) => {
                ended = WithBlack::new(settled, fit, shoulder);
                let black = ended.maximum_density();
                (&ended, Ok(black))
            }
            Err(why) => (settled, Err(why)),
        };
        let base = lowest.map(|_| Estimate::base_plus_fog(curve));
        let points = Points { curve, base, black, steps: &fit.observations.x };
        points.measures(fit, scale)
    }

    /// The same where the log exposure that all readings have in common is uncertain: the points and the speed
    /// are, the range is not.
    #[must_use]
    pub fn exposed_within(mut self, sd: f64, scale: ExposureScale) -> Self {
        for point in [&mut self.highlight, &mut self.speed_point, &mut self.shadow] {
            *point = point.map(|q| q.with_error(sd));
        }
        self.speed_p = speed(&self.speed_point, scale);
        self
    }

    /// Log exposures of T and S, where the strip has both.
    #[must_use]
    pub fn printable(&self) -> Option<(f64, f64)> {
        Some((self.highlight.as_ref().ok()?.value, self.shadow.as_ref().ok()?.value))
    }
}

impl Points<'_> {
    fn measures(&self, fit: &FittedCurve, scale: ExposureScale) -> PaperMeasures {
        let quantile = fit.quantile;
        let interval = |estimate: &Result<Estimate, Why>| {
            let estimate = estimate.as_ref().map_err(Clone::clone)?;
            around(self.curve, quantile, estimate)
        };
        let shadow_density = self.shadow_density();
        let highlight_density = self.above_white(HIGHLIGHT);
        let highlight = self.at(&highlight_density, PointOf::Highlight, quantile);
        let speed_point = self.at(&self.above_white(SPEED), PointOf::PaperSpeed, quantile);
        let shadow = self.at(&shadow_density, PointOf::Shadow, quantile);
        let range = both(&shadow, &highlight, |s, t| s.beyond(t, self.curve));
        let rise = both(&shadow_density, &highlight_density, |s, t| s.combined(1.0, t, -1.0));
        let gradient = both(&interval(&rise), &range, quotient);
        let quantity = |c: Result<Crossing, Why>| c.map(|c| c.quantity);
        let speed_point = quantity(speed_point);
        PaperMeasures {
            d_min: interval(&self.base),
            d_max: interval(&self.black),
            highlight: quantity(highlight),
            speed_p: speed(&speed_point, scale),
            speed_point,
            shadow: quantity(shadow),
            shadow_density: interval(&shadow_density),
            range_r: range.map(|r| Quantity {
                value: 100.0 * r.value,
                low: (100.0 * r.low).max(0.0),
                high: 100.0 * r.high,
            }),
            average_gradient: gradient,
            gamma: gamma_interval(fit.curve.as_ref(), quantile),
        }
    }

    fn above_white(&self, net: f64) -> Result<Estimate, Why> {
        self.base.clone().map(|b| b.raised(net))
    }

    fn shadow_density(&self) -> Result<Estimate, Why> {
        both(&self.black, &self.base, |black, white| {
            black.combined(SHADOW_SHARE, white, 1.0 - SHADOW_SHARE)
        })
    }

    /// The log exposure where the curve passes `level`, of a point of the curve.
    fn at(
        &self,
        level: &Result<Estimate, Why>,
        point: PointOf,
        quantile: f64,
    ) -> Result<Crossing, Why> {
        let level = level.as_ref().map_err(Clone::clone)?;
        if let Some(crossing) = Crossing::of(self.curve, level, quantile) {
            return Ok(crossing.between_steps(self.curve, self.steps));
        }
        let (low, high) = self.curve.range();
        let white = self.curve.base_plus_fog();
        let (lightest, darkest) = (self.curve.density(low), self.curve.density(high));
        Err(if lightest > level.value {
            Why::PointBelowReadings { point, above: lightest - white }
        } else if darkest < level.value {
            Why::PointAboveReadings { point, above: darkest - white }
        } else {
            Why::PointNotBounded(point)
        })
    }
}

/// A function of two results, or the reason why one of them is missing.
fn both<A, B>(
    a: &Result<A, Why>,
    b: &Result<A, Why>,
    f: impl FnOnce(&A, &A) -> B,
) -> Result<B, Why> {
    Ok(f(a.as_ref().map_err(Clone::clone)?, b.as_ref().map_err(Clone::clone)?))
}

/// The quotient of two positive quantities; their relative errors add in quadrature.
fn quotient(rise: &Quantity, run: &Quantity) -> Quantity {
    let value = rise.value / run.value;
    let down = hypot(1.0 - rise.low / rise.value, 1.0 - run.value / run.high);
    let up = hypot(rise.high / rise.value - 1.0, run.value / run.low.max(1e-9) - 1.0);
    Quantity { value, low: value * (1.0 - down), high: value * (1.0 + up) }
}

/// P = 1000/Hm, or the reason why not.
fn speed(point: &Measured, scale: ExposureScale) -> Measured {
    let m = point.as_ref().map_err(Clone::clone)?;
    if scale == ExposureScale::Relative {
        return Err(Why::RelativeExposures(Material::Paper));
    }
    if m.high - m.low > WIDEST {
        return Err(Why::SpeedPointUncertain { decades: m.high - m.low });
    }
    let at = |x: f64| SPEED_CONSTANT / antilog(x);
    Ok(Quantity { value: at(m.value), low: at(m.high), high: at(m.low) })
}
