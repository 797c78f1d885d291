//! The trade's measures of a characteristic curve, each with a 95 % interval or the reason why not.
//!
//! Every measure is a function of any [`Curve`]. Its standard error follows from its derivatives by
//! the curve's parameters and their covariance; where the measure is the solution of an equation,
//! the derivatives are those of the implicit function.

mod alike;
mod analysis;
mod base;
mod contrast;
pub mod differences;
mod draws;
pub mod exposing;
mod gradient;
mod iso;
mod speed;
mod straight_line;
mod toe_end;
mod why;

pub use analysis::{
    Analysed, Analysis, OfCurve, StripAnalysis, analyse, analyse_as, analyse_together,
};
pub use base::NotFound;
pub(crate) use base::{Base, lowest_density};
pub use contrast::{ContrastIndexChord, contrast_index};
pub use gradient::{average_gradient, gamma};
pub use iso::{
    CONDITION as CONTRAST_CONDITION, ContrastCondition, IsoSpeed, SPEED_CONSTANT, StandardSpeed,
};
pub(crate) use speed::passing;
pub use speed::{delta_x_speed_point, fractional_gradient_speed_point, speed_point};
pub use straight_line::{StraightLine, straight_line};

use crate::curve::{Curve, FittedCurve};
use crate::elementary::{antilog, hypot};
use crate::numerics::chance::NORMAL_95;
use crate::readings::ExposureScale;
pub(crate) use toe_end::UnsettledBase;
pub use why::{Material, PointOf, Why};

/// A number with its 95 % interval.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Quantity {
    /// The estimate.
    pub value: f64,
    /// Lower end of the 95 % interval.
    pub low: f64,
    /// Upper end of the 95 % interval.
    pub high: f64,
}

impl Quantity {
    /// Speed 0.8/Hm of a log exposure of the speed point, in **log10 lux seconds**.
    #[must_use]
    pub fn speed(&self) -> Self {
        let at = |x: f64| SPEED_CONSTANT / antilog(x);
        Self { value: at(self.value), low: at(self.high), high: at(self.low) }
    }

    /// A value with an interval of `half` to either side.
    #[must_use]
    pub const fn around(value: f64, half: f64) -> Self {
        Self { value, low: value - half, high: value + half }
    }

    /// Half the width of the interval.
    #[must_use]
    pub const fn half(&self) -> f64 {
        0.5 * (self.high - self.low)
    }

    /// The same with an independent error more, of this standard uncertainty.
    #[must_use]
    pub fn with_error(self, sd: f64) -> Self {
        let half = |own: f64| hypot(own, NORMAL_95 * sd);
        let Self { value, low, high } = self;
        Self { value, low: value - half(value - low), high: value + half(high - value) }
    }

    /// The negative.
    #[must_use]
    pub const fn reversed(&self) -> Self {
        Self { value: -self.value, low: -self.high, high: -self.low }
    }

    /// The sum of two quantities whose errors are independent.
    #[must_use]
    pub fn plus(&self, other: &Self) -> Self {
        Self::around(self.value + other.value, hypot(self.half(), other.half()))
    }

    /// The difference of two quantities whose errors are independent.
    #[must_use]
    pub fn less(&self, other: &Self) -> Self {
        self.plus(&other.reversed())
    }
}

/// A measure: a number with its interval, or the reason why it cannot be determined.
pub type Measured<W = Why> = Result<Quantity, W>;

/// A number and its derivatives by the parameters of the curve it was taken from.
#[derive(Clone, Debug, PartialEq)]
pub struct Estimate {
    /// The number.
    pub value: f64,
    /// One derivative a parameter.
    pub gradient: Vec<f64>,
}

impl Estimate {
    /// Base plus fog.
    pub(crate) fn base_plus_fog(curve: &dyn Curve) -> Self {
        let mut gradient = vec![0.0; curve.parameters().len()];
        curve.base_gradient(&mut gradient);
        Self { value: curve.base_plus_fog(), gradient }
    }

    /// D(x) at a log exposure that itself depends on the parameters: ∂D/∂p + (dD/dx)·(∂x/∂p).
    fn density_at(curve: &dyn Curve, x: &Self, beyond: f64) -> Self {
        let at = x.value + beyond;
        let mut gradient = vec![0.0; x.gradient.len()];
        curve.density_gradient(at, &mut gradient);
        let slope = curve.slope(at);
        for (g, dx) in gradient.iter_mut().zip(&x.gradient) {
            *g += slope * dx;
        }
        Self { value: curve.density(at), gradient }
    }

    /// `self` and a constant.
    pub(crate) fn raised(mut self, by: f64) -> Self {
        self.value += by;
        self
    }

    /// `self·a + other·b`.
    pub(crate) fn combined(&self, a: f64, other: &Self, b: f64) -> Self {
        let gradient =
            self.gradient.iter().zip(&other.gradient).map(|(x, y)| a * x + b * y).collect();
        Self { value: a * self.value + b * other.value, gradient }
    }
}

/// All measures of one strip.
#[derive(Clone, Debug)]
pub struct Measures {
    /// Density of the processed, unexposed film.
    pub base_plus_fog: Measured,
    /// Greatest density, where the strip reaches its shoulder's end.
    pub d_max: Measured,
    /// Greatest slope.
    pub gamma: Measured,
    /// The straight line, where there is one.
    pub straight_line: Result<StraightLine, Why>,
    /// Contrast index.
    pub contrast_index: Measured,
    /// The chord that the contrast index is the slope of.
    pub contrast_index_chord: Option<ContrastIndexChord>,
    /// Slope of the chord from the speed point to 1.50 beyond.
    pub average_gradient: Measured,
    /// Log exposure at 0.10 above base plus fog.
    pub speed_point: Measured,
    /// Standard uncertainty of the log exposure that all readings have in common, where it was stated.
    pub exposure_sigma: Option<f64>,
    /// ISO speed and its contrast condition.
    pub iso: IsoSpeed,
    /// Log exposure where the slope is 0.3 of the chord's.
    pub fractional_gradient: Measured,
    /// Delta-X speed point.
    pub delta_x: Measured,
    /// The same with the errors of the single readings alone, where readings or exposures have an error in
    /// common.
    alone: Option<Box<Measures>>,
}

impl Measures {
    /// Measures a fitted curve. Absolute quantities need exposures in lux seconds.
    #[must_use]
    pub fn of(fit: &FittedCurve, scale: ExposureScale) -> Self {
        let alone = fit.curve.alone().map(|curve| Box::new(Self::of_curve(fit, curve, scale)));
        Self { alone, ..Self::of_curve(fit, fit.curve.as_ref(), scale) }
    }

    /// Measures `own`, which is the curve of `fit` or stands for it.
    fn of_curve(fit: &FittedCurve, own: &dyn Curve, scale: ExposureScale) -> Self {
        let lowest = lowest_density(fit)
            .map_err(|and| Why::NoUnexposedPatch { material: Material::Film, and });
        let unsettled;
        let curve: &dyn Curve = if lowest == Ok(Base::Unsettled) {
            unsettled = UnsettledBase::new(own, fit.variance);
            &unsettled
        } else {
            own
        };
        let interval = |estimate: Result<Estimate, Why>| {
            estimate.and_then(|e| around(curve, fit.quantile, &e))
        };
        // Without base plus fog nothing that is counted from it can be had.
        let m = lowest.and_then(|_| speed_point(curve));
        let chord = lowest.and_then(|_| contrast_index(curve));
        let delta_d = m.clone().and_then(|m| iso::delta_d(curve, &m));
        Self {
            base_plus_fog: interval(lowest.map(|_| Estimate::base_plus_fog(curve))),
            d_max: interval(base::maximum_density(curve)),
            gamma: gamma_interval(own, fit.quantile),
            straight_line: straight_line(own, fit.quantile),
            contrast_index_chord: chord.as_ref().ok().map(|c| c.1),
            contrast_index: interval(chord.map(|c| c.0)),
            average_gradient: interval(m.clone().and_then(|m| average_gradient(curve, &m))),
            speed_point: interval(m.clone()),
            exposure_sigma: None,
            iso: IsoSpeed::new(interval(m.clone()), interval(delta_d.clone()), scale),
            fractional_gradient: speed::fractional_gradient(curve, fit.quantile),
            delta_x: interval(m.and_then(|m| Ok(delta_x_speed_point(&m, &delta_d?)))),
            alone: None,
        }
    }

    /// The same with the errors of the single readings alone: as if the exposure were exact, and the densities
    /// had no error in common.
    #[must_use]
    pub fn alone(&self) -> &Self {
        self.alone.as_deref().unwrap_or(self)
    }

    /// Standard uncertainty of a measure by what readings or exposures have in common; 0 where nothing is
    /// stated or the measure is missing.
    #[must_use]
    pub fn common_sd(&self, of: impl Fn(&Self) -> &Measured) -> f64 {
        match (of(self), of(self.alone())) {
            (Ok(all), Ok(alone)) => {
                (all.half().powi(2) - alone.half().powi(2)).max(0.0).sqrt() / NORMAL_95
            }
            _ => 0.0,
        }
    }

    /// The same where the log exposure that all readings have in common is uncertain: speeds are, and the
    /// points that they are taken from; contrasts are not.
    #[must_use]
    pub fn exposed_within(mut self, sd: f64) -> Self {
        let alone = self.alone.take().unwrap_or_else(|| Box::new(self.clone()));
        self.alone = Some(alone);
        self.exposure_sigma = Some(sd);
        for point in [&mut self.speed_point, &mut self.fractional_gradient, &mut self.delta_x] {
            *point = point.map(|q| q.with_error(sd));
        }
        self.iso = self.iso.at(&self.speed_point);
        self
    }
}

/// An estimate with its 95 % interval.
pub(crate) fn around(curve: &dyn Curve, quantile: f64, estimate: &Estimate) -> Measured {
    let half = quantile * curve.standard_error(&estimate.gradient);
    let (low, high) = (estimate.value - half, estimate.value + half);
    if !low.is_finite() || !high.is_finite() {
        return Err(Why::NotDetermined);
    }
    Ok(Quantity { value: estimate.value, low, high })
}

/// Gamma with its interval, from draws of the parameters: see [`draws`].
pub(crate) fn gamma_interval(curve: &dyn Curve, quantile: f64) -> Measured {
    let (low, high) = curve.range();
    let at: Vec<f64> = (0..=32).map(|k| low + (high - low) * f64::from(k) / 32.0).collect();
    let (mean, sd) = draws::greatest_slope(curve, &at).ok_or(Why::SlopeNotDetermined)?;
    let half = quantile * sd;
    let value = gamma(curve).value;
    // Of a straight line that is read with error the steepest part is steeper than the line, the more
    // so the more the draws differ: half of that is allowed for below.
    let least = mean.min(1.5 * value - 0.5 * mean);
    let value = value.clamp(least - half, mean + half);
    Ok(Quantity { value, low: least - half, high: mean + half })
}
