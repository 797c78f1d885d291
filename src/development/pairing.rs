//! A pairing: one film in one developer, calibrated by a family of strips.

use super::agitation::of_strips;
use super::expectation::Development;
use super::growth::{Growth, Point, distinct};
use super::line::Line;
use super::surface::{Surface, SurfacePoint};
use super::temperature::log_rate_per_energy;
use crate::curve::{Choice, CommonError, FitError, NoiseGrowth};
use crate::elementary::{exp, hypot};
use crate::measures::{
    Measured, Measures, Quantity, StandardSpeed, StripAnalysis, analyse_together,
};
use crate::readings::{ExposureScale, Strip};
use crate::units::{Celsius, Minutes};
use crate::words::{rounded_clock, signed};
use std::fmt;
use std::sync::OnceLock;

/// A measure of contrast.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Measure {
    /// Contrast index.
    #[default]
    ContrastIndex,
    /// Average gradient.
    AverageGradient,
    /// Gamma.
    Gamma,
}

impl Measure {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::ContrastIndex, Self::AverageGradient, Self::Gamma];

    /// Its name, as "contrast index".
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::ContrastIndex => "contrast index",
            Self::AverageGradient => "average gradient",
            Self::Gamma => "gamma",
        }
    }

    /// For programs, as "contrast_index".
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::ContrastIndex => "contrast_index",
            Self::AverageGradient => "average_gradient",
            Self::Gamma => "gamma",
        }
    }

    /// What a strip has of it.
    pub const fn of(self, measures: &Measures) -> &Measured {
        match self {
            Self::ContrastIndex => &measures.contrast_index,
            Self::AverageGradient => &measures.average_gradient,
            Self::Gamma => &measures.gamma,
        }
    }
}

/// Why strips make no pairing.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum PairingError {
    /// A strip without a time or a temperature.
    #[error("strip {strip:?} has no {what}; a column {column:?} must give it")]
    Undated {
        /// The strip.
        strip: String,
        /// What is missing.
        what: &'static str,
        /// The column that would hold it.
        column: &'static str,
    },
    /// Too few strips of different development.
    #[error(
        "{found} of the strips can be used and {needed} of different development are needed: one development does not show how contrast grows"
    )]
    TooFew {
        /// How many can be used.
        found: usize,
        /// How many are needed.
        needed: usize,
    },
    /// Contrast that does not grow with time.
    #[error(
        "{measure} does not grow with development over these strips: check their times and temperatures"
    )]
    NoGrowth {
        /// The measure.
        measure: &'static str,
    },
    /// Strips of absolute and of relative exposures.
    #[error(
        "some strips have exposures in lux·s and others relative ones: they cannot be put together"
    )]
    MixedScales,
}

/// A film in a developer, calibrated.
#[derive(Debug)]
pub struct Pairing {
    /// The strips with their curves.
    pub strips: Vec<StripAnalysis>,
    /// Temperature that effective times are for.
    pub reference: Celsius,
    /// Growth of each measure in the order of [`Measure::ALL`], where the strips carry it.
    growths: [Option<Growth>; 3],
    /// Density gained over 1.30 of log exposure, against time.
    delta_d: Option<Growth>,
    /// Speed point against ln θ.
    speed_point: Option<Line>,
    /// Base plus fog against ln θ.
    base_plus_fog: Option<Line>,
    /// The development surface, fitted when it is first asked for.
    surface: OnceLock<Option<Surface>>,
    /// Whether exposures are in lux seconds.
    pub absolute: bool,
    /// How noise of assumed size grows with density, as all strips tell together.
    pub noise_growth: NoiseGrowth,
    /// What was noticed.
    pub notes: Vec<PairingNote>,
}

/// What was noticed of a pairing's strips.
#[derive(Clone, Debug, PartialEq)]
pub enum PairingNote {
    /// A strip without a curve.
    LeftOut {
        /// The strip.
        strip: String,
        /// Why.
        error: FitError,
    },
    /// Strips of two times only.
    TwoTimes {
        /// How far beyond the longer of them a third one would lie, in effective minutes.
        third: f64,
        /// Half the width of the 95 % interval of the contrast there.
        half: f64,
        /// The same with a third strip.
        with_third: f64,
    },
    /// Strips that were agitated in several ways.
    Agitations(Vec<String>),
    /// A strip far off the growth of the others.
    OutOfLine {
        /// The strip.
        strip: String,
        /// How far its contrast index is off.
        off: f64,
    },
}

impl fmt::Display for PairingNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::LeftOut { strip, error } => write!(f, "strip {strip} is not used: {error}"),
            Self::TwoTimes { third, half, with_third } => write!(
                f,
                "two times only: growth of the first order is assumed, which a third time would test. After {} the contrast is known to ± {half:.2}; with a third strip of that time, to ± {with_third:.2}",
                rounded_clock(*third)
            ),
            Self::Agitations(all) => write!(
                f,
                "the strips were agitated in several ways ({}): contrast and speed differ with it, and the growth is that of all of them together",
                all.join("; ")
            ),
            Self::OutOfLine { strip, off } => write!(
                f,
                "strip {strip} does not fit the others: its contrast index is {} off their growth; check its time, temperature and agitation",
                signed(*off, 2)
            ),
        }
    }
}

/// Why a pairing has no ISO speed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoPairingSpeed {
    /// Exposures are relative.
    #[error("exposures are relative")]
    Relative,
    /// The strips are too short.
    #[error("the density gained over 1.30 cannot be determined from the strips")]
    NoDeltaD,
    /// All strips are developed less, or all more.
    #[error("the contrast condition 0.80 is not met between the strips")]
    NotBracketed,
    /// The strips show no speed point.
    #[error("the speed point cannot be determined from the strips")]
    NoSpeedPoint,
}

/// ISO speed of a pairing, with the development that meets the contrast condition.
#[derive(Clone, Debug, PartialEq)]
pub struct PairingSpeed {
    /// 0.8/Hm there.
    pub speed: Quantity,
    /// Rounded to the standard's series.
    pub standard: Option<StandardSpeed>,
    /// Minutes at the reference temperature.
    pub minutes: Quantity,
}

/// How much the speed point bends away from a straight line in ln θ: half its second derivative, one standard
/// deviation, in log exposure. Contrast that grows by the first order, and a toe as steep as that of film,
/// bend it by so much.
const SPEED_BEND: f64 = 0.07;
/// The same of base plus fog, in density: fog in proportion to time bends by so much where it gains 0.0025 a minute.
const FOG_BEND: f64 = 0.012;
/// A third strip is proposed this many times longer than the longer of two.
const THIRD: f64 = 1.4;
/// A strip farther than this many standard deviations off the growth of the others is named.
const OUT_OF_LINE: f64 = 4.0;

impl Pairing {
    /// Calibrates a film and developer from `strips` of different development.
    ///
    /// # Errors
    /// [`PairingError`] where they make no pairing.
    pub fn calibrate(
        strips: Vec<Strip>,
        choice: Choice,
        reference: Celsius,
    ) -> Result<Self, PairingError> {
        for strip in &strips {
            let missing =
                |what, column| PairingError::Undated { strip: strip.name.clone(), what, column };
            if strip.minutes.is_none() {
                return Err(missing("time of development", "minutes"));
            }
            if strip.celsius.is_none() {
                return Err(missing("temperature", "celsius"));
            }
        }
        let absolute = strips.iter().all(|s| s.scale == ExposureScale::Absolute);
        if !absolute && strips.iter().any(|s| s.scale == ExposureScale::Absolute) {
            return Err(PairingError::MixedScales);
        }
        let (strips, noise_growth) = analyse_together(strips, choice);
        let mut notes = Vec::new();
        for strip in &strips {
            if let Err(error) = &strip.result {
                let (strip, error) = (strip.strip.name.clone(), error.clone());
                notes.push(PairingNote::LeftOut { strip, error });
            }
        }
        let agitations = of_strips(strips.iter().map(|s| &s.strip));
        if agitations.len() > 1 {
            notes.push(PairingNote::Agitations(agitations));
        }
        let mut pairing = Self {
            growths: [None, None, None],
            delta_d: None,
            speed_point: None,
            base_plus_fog: None,
            surface: OnceLock::new(),
            strips,
            reference,
            absolute,
            noise_growth,
            notes,
        };
        pairing.fit()?;
        Ok(pairing)
    }

    fn fit(&mut self) -> Result<(), PairingError> {
        let different = distinct(self.points(|m| &m.gamma).iter().map(|p| p.minutes));
        if different < 2 {
            return Err(PairingError::TooFew { found: different, needed: 2 });
        }
        for (k, measure) in Measure::ALL.into_iter().enumerate() {
            self.growths[k] = self.grown(|m| measure.of(m));
        }
        self.note_out_of_line();
        if self.growths.iter().all(Option::is_none) {
            return Err(PairingError::NoGrowth { measure: Measure::Gamma.name() });
        }
        if different == 2 {
            self.notes.push(self.two_times());
        }
        self.delta_d = self.grown(|m| &m.iso.delta_d);
        let law = self.law().clone();
        let line = |f: fn(&Measures) -> &Measured, bend: f64| {
            let points: Vec<_> =
                self.points(f).iter().map(|p| (law.theta(p), p.value, p.sd)).collect();
            let common = self.measures().map(|m| m.common_sd(f)).fold(0.0, f64::max);
            Line::fit(&points, bend, common)
        };
        (self.speed_point, self.base_plus_fog) =
            (line(|m| &m.speed_point, SPEED_BEND), line(|m| &m.base_plus_fog, FOG_BEND));
        Ok(())
    }

    fn measures(&self) -> impl Iterator<Item = &Measures> {
        self.strips.iter().filter_map(StripAnalysis::measures)
    }

    /// The growth of a measure, where the strips show it. What the densities of all strips have in common is a
    /// share of the measure, the mean of the strips' own.
    fn grown(&self, measure: impl Fn(&Measures) -> &Measured) -> Option<Growth> {
        let share = |m: &Measures| Some(m.common_sd(&measure) / measure(m).as_ref().ok()?.value);
        let shares: Vec<f64> = self.measures().filter_map(share).collect();
        let common = shares.iter().sum::<f64>() / shares.len().max(1) as f64;
        let growth = growth(self.points(&measure), self.reference)?;
        Some(growth.with_common_share(common))
    }

    /// What the densities of all strips have in common, where that was stated: the tablet by which they were read
    /// is one.
    #[must_use]
    pub fn common_error(&self) -> Option<CommonError> {
        let stated = self.strips.iter().filter_map(|s| CommonError::of(&s.strip));
        stated.reduce(|a, b| CommonError {
            offset: a.offset.max(b.offset),
            slope: a.slope.max(b.slope),
            middle: 0.5 * (a.middle + b.middle),
        })
    }

    /// What two times leave open, and what a third one would add.
    fn two_times(&self) -> PairingNote {
        let law = self.law();
        let third = law.range().1 * THIRD;
        let half = |law: &Growth| law.quantile * law.value_sd(third);
        let with_third = law.with_strip(third).as_ref().map_or_else(|| half(law), half);
        PairingNote::TwoTimes { third, half: half(law), with_third }
    }

    /// The surface through all readings that the strips' own curves did not contradict.
    fn fitted_surface(&self, law: &Growth) -> Option<Surface> {
        let mut points = Vec::new();
        let (mut gamma, mut inertias) = (0.0_f64, Vec::new());
        for (strip, s) in self.strips.iter().enumerate() {
            let Ok(analysed) = &s.result else { continue };
            let theta = s.strip.minutes?.get() * law.rate(s.strip.celsius?);
            let o = &analysed.fit.observations;
            points.extend((0..o.len()).filter(|&i| o.weight[i] > 0.0).map(|i| SurfacePoint {
                strip,
                x: o.x[i],
                theta,
                density: o.density[i],
                sigma: o.sigma[i],
            }));
            gamma = gamma.max(analysed.measures.gamma.as_ref().map_or(0.0, |g| g.value));
            inertias.extend(analysed.measures.speed_point.as_ref().map(|m| m.value + 0.1));
        }
        let inertia = inertias.iter().sum::<f64>() / inertias.len().max(1) as f64;
        Surface::fit(&points, gamma, inertia)
    }

    /// Names the strip whose contrast index lies farthest off the growth of the others, if that is
    /// far; it stays in use.
    fn note_out_of_line(&mut self) {
        let points = self.named_points(|m| &m.contrast_index);
        if points.len() < 5 {
            return;
        }
        let off_the_others = |k: usize| {
            let others =
                points.iter().enumerate().filter(|(i, _)| *i != k).map(|(_, p)| p.1).collect();
            let fit = growth(others, self.reference)?;
            let (name, point) = &points[k];
            let theta = fit.theta(point);
            let off = point.value - fit.value(theta);
            Some((off / hypot(point.sd, fit.value_sd(theta)).max(0.01), off, name.clone()))
        };
        let farthest = (0..points.len())
            .filter_map(off_the_others)
            .max_by(|a, b| a.0.abs().total_cmp(&b.0.abs()));
        if let Some((_, off, name)) = farthest.filter(|(t, ..)| t.abs() > OUT_OF_LINE) {
            self.notes.push(PairingNote::OutOfLine { strip: name, off });
        }
    }

    /// One point for each strip that has the quantity, with the errors of its readings alone.
    fn points(&self, quantity: impl Fn(&Measures) -> &Measured) -> Vec<Point> {
        self.named_points(quantity).into_iter().map(|(_, point)| point).collect()
    }

    /// The same with the strips' names.
    fn named_points(&self, quantity: impl Fn(&Measures) -> &Measured) -> Vec<(String, Point)> {
        let point = |s: &StripAnalysis| {
            let analysed = s.result.as_ref().ok()?;
            let q = quantity(analysed.measures.alone()).as_ref().ok()?;
            let sd =
                (q.high - q.low) / (2.0 * analysed.fit.quantile / analysed.fit.variance.sqrt());
            let (minutes, celsius) = (s.strip.minutes?.get(), s.strip.celsius?);
            let point = Point { minutes, celsius, value: q.value, sd };
            (sd > 0.0).then(|| (s.strip.name.clone(), point))
        };
        self.strips.iter().filter_map(point).collect()
    }

    /// Growth of `measure`, where the strips carry it.
    #[must_use]
    pub fn growth(&self, measure: Measure) -> Option<&Growth> {
        self.growths[measure as usize].as_ref()
    }

    /// The growth that the temperature law is taken from: the first of the measures that there is.
    #[must_use]
    pub fn law(&self) -> &Growth {
        self.growths
            .iter()
            .flatten()
            .next()
            .expect("a pairing has a growth: checked when it was made")
    }

    /// What `minutes` at `celsius` do in a bath of full strength.
    #[must_use]
    pub fn development(&self, minutes: Minutes, celsius: Celsius) -> Development {
        Development {
            theta: minutes.get() * self.law().rate(celsius),
            by_energy: log_rate_per_energy(celsius, self.reference),
        }
    }

    /// The development surface through all readings at once, where one is found.
    #[must_use]
    pub fn surface(&self) -> Option<&Surface> {
        self.surface.get_or_init(|| self.fitted_surface(self.law())).as_ref()
    }

    /// Standard deviation of the readings whose σ was assumed, from their scatter about the strips' curves.
    #[must_use]
    pub fn assumed_noise(&self) -> Option<f64> {
        let assumed = self.strips.iter().filter(|s| s.strip.sigma_is_assumed);
        let fits = assumed.filter_map(|s| s.result.as_ref().ok()).map(|a| &a.fit);
        let (squares, freedom) = fits.fold((0.0, 0.0), |(squares, freedom), fit| {
            let own = fit.degrees_of_freedom;
            (squares + own * fit.residual_sd.powi(2), freedom + own)
        });
        (freedom > 0.0).then(|| (squares / freedom).sqrt())
    }

    /// Exposure index after `theta` effective minutes, 0.8/Hm, where exposures are absolute.
    #[must_use]
    pub fn exposure_index(&self, theta: f64) -> Option<Quantity> {
        if !self.absolute {
            return None;
        }
        Some(self.speed_point(theta)?.speed())
    }

    /// Log exposure of the speed point after `theta` effective minutes, where the strips show it.
    #[must_use]
    pub fn speed_point(&self, theta: f64) -> Option<Quantity> {
        let (value, sd) = self.speed_point.as_ref()?.at(theta);
        Some(Quantity::around(value, self.law().quantile * sd))
    }

    /// Base plus fog after `theta` effective minutes.
    #[must_use]
    pub fn base_plus_fog(&self, theta: f64) -> Option<Quantity> {
        let (value, sd) = self.base_plus_fog.as_ref()?.at(theta);
        Some(Quantity::around(value, self.law().quantile * sd))
    }

    /// ISO speed at the contrast condition, interpolated between the strips.
    ///
    /// # Errors
    /// The reason why not: relative exposures, or a condition that the strips do not bracket.
    pub fn iso_speed(&self) -> Result<PairingSpeed, NoPairingSpeed> {
        if !self.absolute {
            return Err(NoPairingSpeed::Relative);
        }
        let growth = self.delta_d.as_ref().ok_or(NoPairingSpeed::NoDeltaD)?;
        let (low, high) = growth.range();
        let theta = growth
            .effective_minutes(crate::measures::CONTRAST_CONDITION)
            .filter(|t| (low..=high).contains(t));
        let theta = theta.ok_or(NoPairingSpeed::NotBracketed)?;
        let speed = self.exposure_index(theta).ok_or(NoPairingSpeed::NoSpeedPoint)?;
        let (minutes, sd) = growth
            .minutes(crate::measures::CONTRAST_CONDITION, self.reference, 1.0)
            .ok_or(NoPairingSpeed::NotBracketed)?;
        let minutes = log_interval(minutes, growth.quantile * sd);
        Ok(PairingSpeed { standard: StandardSpeed::nearest(speed.value), speed, minutes })
    }
}

/// An interval about a positive quantity whose logarithm is uncertain by `half`.
pub(super) fn log_interval(value: f64, half: f64) -> Quantity {
    Quantity { value, low: value * exp(-half), high: value * exp(half) }
}

fn growth(points: Vec<Point>, reference: Celsius) -> Option<Growth> {
    (distinct(points.iter().map(|p| p.minutes)) >= 2)
        .then(|| Growth::fit(points, reference))
        .flatten()
}
