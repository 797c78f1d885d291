//! Contrast against effective development: how a measure of a strip grows with time.

use super::temperature::{ASSUMED_ENERGY, OWN_LAW, energy_prior_sd, log_rate_per_energy, spread};
use crate::elementary::{exp, hypot, ln, pow};
use crate::measures::Quantity;
use crate::numerics::chance::{NORMAL_95, chi_squared_upper};
use crate::numerics::least_squares::{Residuals, Stopping, Workspace, minimise};
use crate::numerics::monotone::{MonotoneCubic, isotonic};
use crate::units::Celsius;

/// One strip's measure: developed for `minutes` at `celsius`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Time in the bath, in minutes.
    pub minutes: f64,
    /// Temperature of the bath.
    pub celsius: Celsius,
    /// The measure.
    pub value: f64,
    /// Its standard error from the strip's own readings.
    pub sd: f64,
}

impl Point {
    /// The part of the standard error that is this strip's alone.
    fn own_sd(&self) -> f64 {
        self.sd * (1.0 - SHARED).sqrt()
    }
}

/// Shape of the growth.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// G∞·(1 − exp(−k·(θ − θ0))): first-order growth (Sheppard and Mees 1907, Nietz 1922).
    FirstOrder,
    /// a + b·ln(θ/θm): a line in log time, θm being the middle of the times.
    LogTime,
    /// A monotone cubic in ln θ through the strips, where neither law holds.
    Interpolated,
}

impl Form {
    /// For programs, as "first_order".
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::FirstOrder => "first_order",
            Self::LogTime => "log_time",
            Self::Interpolated => "interpolated",
        }
    }

    /// Number of shape parameters of the two laws; the activation energy follows them.
    const fn parameters(self) -> usize {
        match self {
            Self::FirstOrder => 3,
            Self::LogTime => 2,
            Self::Interpolated => 0,
        }
    }

    /// The measure at effective time `theta`, and its derivatives by θ and by the shape parameters.
    fn at(self, p: &[f64], middle: f64, theta: f64) -> (f64, f64, [f64; 3]) {
        match self {
            Self::FirstOrder => {
                let (g, k, start) = (exp(p[0]), exp(p[1]), p[2]);
                let rest = exp(-k * (theta - start));
                let slope = g * k * rest;
                (g * (1.0 - rest), slope, [g * (1.0 - rest), slope * (theta - start), -slope])
            }
            Self::LogTime => {
                let u = ln(theta / middle);
                (p[0] + p[1] * u, p[1] / theta, [1.0, u, 0.0])
            }
            Self::Interpolated => (f64::NAN, f64::NAN, [0.0; 3]),
        }
    }
}

/// Standard deviation of the weak prior on the induction time θ0, about [`INDUCTION`], in units of the
/// middle time.
const INDUCTION_SD: f64 = 0.10;
/// Centre of that prior.
const INDUCTION: f64 = 0.05;
/// Standard deviation of the weak prior on ln(G∞), about 1.6 times the greatest value seen.
const CEILING_SD: f64 = 0.7;
/// How many strips' worth of evidence the strips' own standard errors are against their scatter.
const WORTH: f64 = 16.0;

/// Share of a strip's variance that all strips of an emulsion have in common: a curve model misses
/// the same emulsion in the same way each time, and more strips do not average that away.
const SHARED: f64 = 0.25;

/// Chance below which the strips scatter more than their readings explain.
const UNLIKELY: f64 = 0.05;
/// Chance below which a law does not hold.
const HOPELESS: f64 = 0.001;
/// Two times closer than this share are one time.
const SAME_TIME: f64 = 0.02;
/// Strips whose ln θ differ by less make one knot.
const SAME: f64 = 0.02;
/// A measure against effective time at the reference temperature, fitted to a family of strips.
#[derive(Clone, Debug)]
pub struct Growth {
    /// Shape of the growth.
    pub form: Form,
    /// Shape parameters, then the activation energy in kJ/mol.
    pub parameters: Vec<f64>,
    /// Their covariance, column-major, scaled by the strips' scatter.
    pub covariance: Vec<f64>,
    /// The strips.
    pub points: Vec<Point>,
    /// The reference temperature.
    pub reference: Celsius,
    /// Half the width of a 95 % interval over the standard error.
    pub quantile: f64,
    /// Standard deviation of the strips about the curve.
    pub residual_sd: f64,
    /// Whether the strips determine where the growth ends.
    pub ceiling_known: bool,
    middle: f64,
    /// Standard error that all strips share.
    shared_sd: f64,
    /// Standard error that all strips share as a share of the measure: of the densities' slope.
    common_share: f64,
    /// Chance of so much scatter about the law if the strips' own standard errors were all.
    chance: f64,
    /// ln θ of the knots, where the form is interpolated; their values are the shape parameters.
    knots: Vec<f64>,
}

struct GrowthProblem<'a> {
    form: Form,
    points: &'a [Point],
    reference: Celsius,
    middle: f64,
    ceiling: f64,
    /// Standard deviation of the prior on the activation energy.
    energy_sd: f64,
    /// What the strips' own standard errors are multiplied by.
    scale: f64,
}

impl Residuals for GrowthProblem<'_> {
    fn len(&self) -> usize {
        self.points.len() + 1 + if self.form == Form::FirstOrder { 2 } else { 0 }
    }

    fn evaluate(&mut self, p: &[f64], residuals: &mut [f64], jacobian: &mut [f64]) -> bool {
        let m = self.len();
        jacobian.fill(0.0);
        let shape = self.form.parameters();
        for (i, point) in self.points.iter().enumerate() {
            let by_energy = log_rate_per_energy(point.celsius, self.reference);
            let theta = point.minutes * exp(p[shape] * by_energy);
            let (value, slope, gradient) = self.form.at(p, self.middle, theta);
            let sd = self.scale * point.own_sd();
            residuals[i] = (value - point.value) / sd;
            for (j, g) in gradient[..shape].iter().enumerate() {
                jacobian[j * m + i] = g / sd;
            }
            jacobian[shape * m + i] = slope * theta * by_energy / sd;
        }
        let mut row = self.points.len();
        let mut prior = |j: usize, centre: f64, sd: f64| {
            residuals[row] = (p[j] - centre) / sd;
            jacobian[j * m + row] = 1.0 / sd;
            row += 1;
        };
        prior(shape, ASSUMED_ENERGY, self.energy_sd);
        if self.form == Form::FirstOrder {
            prior(2, INDUCTION * self.middle, INDUCTION_SD * self.middle);
            prior(0, self.ceiling, CEILING_SD);
        }
        residuals.iter().all(|r| r.is_finite())
    }
}

impl Growth {
    /// Fits `points`: at least two different times. The form is the one that Akaike's criterion
    /// prefers, the standard errors being known; with two times, growth of the first order, of which the
    /// weak priors determine the bend.
    ///
    /// `None` where nothing can be fitted: fewer than two points, or a measure that does not grow.
    #[must_use]
    pub fn fit(points: Vec<Point>, reference: Celsius) -> Option<Self> {
        let log_time = Self::of_form(Form::LogTime, &points, reference)?;
        if distinct(points.iter().map(|p| p.minutes)) < 3 {
            // Two times show no bend: that of the first order is assumed, within its priors.
            let first_order = Self::of_form(Form::FirstOrder, &points, reference);
            return first_order.or(Some(log_time)).map(|fit| fit.0);
        }
        let law = match Self::of_form(Form::FirstOrder, &points, reference) {
            Some(first_order) if first_order.1 < log_time.1 => first_order.0,
            _ => log_time.0,
        };
        if law.chance < HOPELESS && points.len() >= 4 {
            return law.interpolated().or(Some(law));
        }
        Some(law)
    }

    /// The same with one more strip that was developed for `minutes` at the reference temperature and lies
    /// on the curve.
    #[must_use]
    pub fn with_strip(&self, minutes: f64) -> Option<Self> {
        let n = self.points.len() as f64;
        let sd = (self.points.iter().map(|p| p.sd * p.sd).sum::<f64>() / n).sqrt();
        let value = self.value(minutes);
        let strip = Point { minutes, celsius: self.reference, value, sd };
        let all = self.points.iter().copied().chain([strip]).collect();
        Some(Self::fit(all, self.reference)?.with_common_share(self.common_share))
    }

    /// The same where an error of this share of the measure, one standard deviation, is common to all strips.
    #[must_use]
    pub fn with_common_share(mut self, share: f64) -> Self {
        self.common_share = share;
        self
    }

    /// Standard error that all strips share, where the measure is `value`.
    fn shared_sd_at(&self, value: f64) -> f64 {
        hypot(self.shared_sd, self.common_share * value)
    }

    /// A monotone cubic through the strips, with the temperature law of `self`.
    fn interpolated(&self) -> Option<Self> {
        let mut strips: Vec<(f64, f64, f64)> =
            self.points.iter().map(|p| (ln(self.theta(p)), p.value, p.sd.powi(-2))).collect();
        strips.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut knots: Vec<(f64, f64, f64)> = Vec::new();
        for (u, y, w) in strips {
            match knots.last_mut() {
                // Strips of nearly one time make one knot.
                Some(last) if u - last.0 < SAME => {
                    let total = last.2 + w;
                    *last = (
                        (last.0 * last.2 + u * w) / total,
                        (last.1 * last.2 + y * w) / total,
                        total,
                    );
                }
                _ => knots.push((u, y, w)),
            }
        }
        let weights: Vec<f64> = knots.iter().map(|k| k.2).collect();
        let values = isotonic(&knots.iter().map(|k| k.1).collect::<Vec<_>>(), &weights);
        let (first, last) = (*values.first()?, *values.last()?);
        if knots.len() < 3 || last <= first {
            return None;
        }
        let n = knots.len() + 1;
        let mut covariance = vec![0.0; n * n];
        // What the laws miss between strips is no reading error: the scatter about the better law
        // stands for strip-to-strip repeatability.
        let repeatability = self.residual_sd.powi(2);
        for (k, w) in weights.iter().enumerate() {
            covariance[k * n + k] = 1.0 / w + repeatability;
        }
        covariance[n * n - 1] = self.energy_sd().powi(2);
        let energy = self.energy();
        Some(Self {
            form: Form::Interpolated,
            parameters: values.into_iter().chain([energy]).collect(),
            covariance,
            quantile: NORMAL_95,
            ceiling_known: false,
            knots: knots.into_iter().map(|k| k.0).collect(),
            ..self.clone()
        })
    }

    /// Number of shape parameters.
    fn shape(&self) -> usize {
        self.parameters.len() - 1
    }

    /// The measure at θ, its derivative by θ, and its derivatives by the shape parameters.
    fn at(&self, theta: f64) -> (f64, f64, Vec<f64>) {
        if self.form != Form::Interpolated {
            let (value, slope, gradient) = self.form.at(&self.parameters, self.middle, theta);
            return (value, slope, gradient[..self.shape()].to_vec());
        }
        let through = |values: Vec<f64>| {
            MonotoneCubic::through(self.knots.clone(), values).map(|c| c.at(ln(theta)))
        };
        let values = &self.parameters[..self.shape()];
        let (value, slope) = through(values.to_vec()).unwrap_or((f64::NAN, f64::NAN));
        let by = |k: usize| {
            let mut moved = values.to_vec();
            moved[k] += 1e-5;
            (through(moved).map_or(f64::NAN, |v| v.0) - value) / 1e-5
        };
        (value, slope / theta, (0..values.len()).map(by).collect())
    }

    fn of_form(form: Form, points: &[Point], reference: Celsius) -> Option<(Self, f64)> {
        if points.len() < 2 {
            return None;
        }
        let mean_log = points.iter().map(|p| ln(p.minutes)).sum::<f64>() / points.len() as f64;
        let middle = exp(mean_log);
        let greatest = points.iter().map(|p| p.value).fold(f64::NEG_INFINITY, f64::max);
        if !(greatest > 0.0) {
            return None;
        }
        let ceiling = ln(1.6 * greatest);
        let apart = spread(points.iter().map(|p| p.celsius));
        let energy_sd = energy_prior_sd(apart);
        let mut problem =
            GrowthProblem { form, points, reference, middle, ceiling, energy_sd, scale: 1.0 };
        let start = match form {
            Form::FirstOrder => {
                vec![ceiling, ln(1.0 / middle), INDUCTION * middle, ASSUMED_ENERGY]
            }
            Form::LogTime => vec![0.7 * greatest, 0.3 * greatest, ASSUMED_ENERGY],
            Form::Interpolated => return None,
        };
        let solution = minimise(&mut problem, &start, Stopping::SETTLED, &mut Workspace::default());
        if !solution.stop.converged() {
            return None;
        }
        let p = solution.parameters.clone();
        let mut growth = Self {
            form,
            ceiling_known: false,
            parameters: p,
            covariance: Vec::new(),
            points: points.to_vec(),
            reference,
            quantile: 0.0,
            residual_sd: 0.0,
            middle,
            shared_sd: (SHARED * points.iter().map(|q| q.sd * q.sd).sum::<f64>()
                / points.len() as f64)
                .sqrt(),
            knots: Vec::new(),
            common_share: 0.0,
            chance: 1.0,
        };
        let residuals: Vec<f64> =
            points.iter().map(|q| q.value - growth.value(growth.theta(q))).collect();
        let chi_squared: f64 =
            residuals.iter().zip(points).map(|(r, q)| (r / q.own_sd()).powi(2)).sum();
        let spent = form.parameters() + usize::from(apart > 0.2);
        let freedom = points.len().saturating_sub(spent) as f64;
        growth.chance = chi_squared_upper(chi_squared, freedom);
        // Strips that scatter more than their own readings explain are believed, not averaged away.
        let (variance, freedom_of_variance) = if growth.chance < UNLIKELY {
            (chi_squared / freedom, freedom)
        } else {
            ((WORTH + chi_squared) / (WORTH + freedom), WORTH + freedom)
        };
        // With the scatter that there is, once more: what is taken for granted is not scaled by it.
        problem.scale = variance.sqrt();
        let again = minimise(
            &mut problem,
            &solution.parameters,
            Stopping::SETTLED,
            &mut Workspace::default(),
        );
        let covariance = again.covariance.clone().filter(|_| again.stop.converged())?;
        growth.parameters = again.parameters;
        growth.quantile = crate::curve::student_quantile(freedom_of_variance.max(3.0));
        growth.residual_sd =
            (residuals.iter().map(|r| r * r).sum::<f64>() / freedom.max(1.0)).sqrt();
        let n = growth.parameters.len();
        growth.ceiling_known =
            form == Form::FirstOrder && covariance[0].sqrt() < 0.5 * CEILING_SD && n == 4;
        growth.covariance = covariance;
        (growth.slope(middle) > 0.0)
            .then_some((growth, solution.sum_of_squares + 2.0 * spent as f64))
    }

    /// Effective minutes of a strip at the reference temperature.
    #[must_use]
    pub fn theta(&self, point: &Point) -> f64 {
        point.minutes * self.rate(point.celsius)
    }

    /// Rate at `celsius` over that at the reference temperature.
    #[must_use]
    pub fn rate(&self, celsius: Celsius) -> f64 {
        exp(self.energy() * log_rate_per_energy(celsius, self.reference))
    }

    /// The activation energy, in kJ/mol.
    #[must_use]
    pub fn energy(&self) -> f64 {
        self.parameters[self.shape()]
    }

    /// Standard error of the activation energy.
    #[must_use]
    pub fn energy_sd(&self) -> f64 {
        let n = self.parameters.len();
        self.covariance[n * n - 1].sqrt()
    }

    /// How far apart the temperatures of the strips are, in °C.
    fn apart(&self) -> f64 {
        spread(self.points.iter().map(|p| p.celsius))
    }

    /// Whether the temperatures of the strips are less than [`OWN_LAW`] apart, so that the temperature law
    /// is assumed.
    #[must_use]
    pub fn energy_is_assumed(&self) -> bool {
        self.apart() < OWN_LAW
    }

    /// Standard deviation of the prior on the activation energy, in kJ/mol.
    #[must_use]
    pub fn energy_prior_sd(&self) -> f64 {
        energy_prior_sd(self.apart())
    }

    /// Mean temperature of the strips, in °C.
    #[must_use]
    pub fn mean_celsius(&self) -> f64 {
        self.points.iter().map(|p| p.celsius.get()).sum::<f64>() / self.points.len() as f64
    }

    /// Standard error of the activation energy if one more strip were developed where the logarithm of
    /// the rate changes by `by_energy` for each kJ/mol, against the strips that there are.
    #[must_use]
    pub fn energy_sd_with_strip(&self, by_energy: f64) -> f64 {
        let n = self.points.len() as f64;
        let own = self.points.iter().map(|p| p.own_sd().powi(2)).sum::<f64>() / n;
        let of_log_theta = (own * (1.0 + 1.0 / n)).sqrt() / (self.slope(self.middle) * self.middle);
        pow(self.energy_sd().powi(-2) + (by_energy / of_log_theta).powi(2), -0.5)
    }

    /// The measure after `theta` effective minutes.
    #[must_use]
    pub fn value(&self, theta: f64) -> f64 {
        self.at(theta).0
    }

    /// Its derivative by θ.
    #[must_use]
    pub fn slope(&self, theta: f64) -> f64 {
        self.at(theta).1
    }

    /// Shortest and longest effective time of the strips.
    #[must_use]
    pub fn range(&self) -> (f64, f64) {
        let thetas = self.points.iter().map(|p| self.theta(p));
        thetas.fold((f64::INFINITY, 0.0), |(low, high), t| (low.min(t), high.max(t)))
    }

    /// The measure after `theta` effective minutes, with its interval.
    #[must_use]
    pub fn quantity(&self, theta: f64) -> Quantity {
        Quantity::around(self.value(theta), self.quantile * self.value_sd(theta))
    }

    /// Standard error of the measure after `theta` effective minutes.
    #[must_use]
    pub fn value_sd(&self, theta: f64) -> f64 {
        let (value, _, mut gradient) = self.at(theta);
        gradient.push(0.0);
        hypot(self.standard_error(&gradient), self.shared_sd_at(value))
    }

    /// Standard error of the measure of a strip that was developed at `celsius` and had `theta` effective
    /// minutes by the temperature law, whose own error is in it.
    #[must_use]
    pub fn value_sd_at(&self, theta: f64, celsius: Celsius) -> f64 {
        let (value, slope, mut gradient) = self.at(theta);
        gradient.push(slope * theta * log_rate_per_energy(celsius, self.reference));
        hypot(self.standard_error(&gradient), self.shared_sd_at(value))
    }

    /// Effective minutes that give the measure `value`, or `None` where the growth never reaches it.
    #[must_use]
    pub fn effective_minutes(&self, value: f64) -> Option<f64> {
        let theta = match self.form {
            Form::FirstOrder => {
                let share = 1.0 - value / exp(self.parameters[0]);
                if share <= 0.0 {
                    return None;
                }
                self.parameters[2] - ln(share) / exp(self.parameters[1])
            }
            Form::LogTime => self.middle * exp((value - self.parameters[0]) / self.parameters[1]),
            Form::Interpolated => self.inverse(value)?,
        };
        Some(theta).filter(|t| t.is_finite() && *t > 0.0)
    }

    /// Minutes at `celsius` in a bath of `activity` that give the measure `value`, and the standard
    /// error of their logarithm, which includes that of the temperature law.
    #[must_use]
    pub fn minutes(&self, value: f64, celsius: Celsius, activity: f64) -> Option<(f64, f64)> {
        let theta = self.effective_minutes(value)?;
        let (_, slope, by_shape) = self.at(theta);
        let mut gradient: Vec<f64> = by_shape.iter().map(|g| -g / (slope * theta)).collect();
        gradient.push(-log_rate_per_energy(celsius, self.reference));
        Some((
            theta / (activity * self.rate(celsius)),
            hypot(self.standard_error(&gradient), self.shared_sd_at(value) / (slope * theta)),
        ))
    }

    /// θ of a value between the first strip and the last: nothing is known beyond them.
    fn inverse(&self, value: f64) -> Option<f64> {
        let (low, high) = self.range();
        let excess = |u: f64| self.at(exp(u)).0 - value;
        crate::numerics::search::root(excess, ln(low), ln(high)).map(exp)
    }

    fn standard_error(&self, gradient: &[f64]) -> f64 {
        let n = gradient.len();
        let columns = self.covariance.chunks_exact(n).zip(gradient);
        columns.map(|(c, g)| g * crate::numerics::qr::dot(c, gradient)).sum::<f64>().max(0.0).sqrt()
    }
}

/// How many different times there are.
pub(super) fn distinct(minutes: impl Iterator<Item = f64>) -> usize {
    let mut sorted: Vec<f64> = minutes.collect();
    sorted.sort_by(f64::total_cmp);
    sorted.dedup_by(|a, b| *a < *b * (1.0 + SAME_TIME));
    sorted.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(values: &[(f64, f64)], sd: f64) -> Vec<Point> {
        let celsius = Celsius::new(20.0).unwrap();
        values.iter().map(|&(minutes, value)| Point { minutes, celsius, value, sd }).collect()
    }

    #[test]
    fn exact_first_order_growth_is_found() {
        let law = |t: f64| 0.9 * (1.0 - exp(-0.12 * (t - 0.5)));
        let family: Vec<_> = [4.0, 6.0, 8.0, 11.0, 15.0, 20.0].map(|t| (t, law(t))).to_vec();
        let growth = Growth::fit(points(&family, 0.001), Celsius::new(20.0).unwrap()).unwrap();
        assert_eq!(growth.form, Form::FirstOrder);
        assert!(growth.ceiling_known);
        assert!((exp(growth.parameters[0]) - 0.9).abs() < 0.005);
        assert!((growth.effective_minutes(law(10.0)).unwrap() - 10.0).abs() < 0.01);
        assert!(growth.effective_minutes(0.95).is_none(), "never reached");
    }

    #[test]
    fn what_no_law_describes_is_interpolated() {
        // A developer that pauses halfway.
        let family =
            [(4.0, 0.30), (6.0, 0.45), (8.0, 0.50), (10.0, 0.51), (14.0, 0.52), (20.0, 0.75)];
        let growth = Growth::fit(points(&family, 0.004), Celsius::new(20.0).unwrap()).unwrap();
        assert_eq!(growth.form, Form::Interpolated);
        for (t, g) in family {
            assert!((growth.value(t) - g).abs() < 1e-9);
        }
        let theta = growth.effective_minutes(0.6).unwrap();
        assert!((growth.value(theta) - 0.6).abs() < 1e-9 && (14.0..20.0).contains(&theta));
        assert!(
            growth.value_sd(12.0) > 0.004,
            "a pause is no reading error, and the interval says so"
        );
    }

    #[test]
    fn scatter_beyond_the_readings_widens_the_interval() {
        let quiet = [(5.0, 0.400), (7.0, 0.470), (9.0, 0.523), (12.0, 0.584), (16.0, 0.643)];
        let noisy = [(5.0, 0.430), (7.0, 0.450), (9.0, 0.543), (12.0, 0.564), (16.0, 0.663)];
        let width = |family: &[(f64, f64)]| {
            let growth = Growth::fit(points(family, 0.007), Celsius::new(20.0).unwrap()).unwrap();
            growth.quantile * growth.value_sd(9.0)
        };
        assert!(width(&noisy) > 2.0 * width(&quiet), "{} {}", width(&noisy), width(&quiet));
    }
}
