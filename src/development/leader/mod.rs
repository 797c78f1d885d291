//! The leader test: what the density of exposed leader shows of a bath, without a step tablet.
//!
//! Pieces of the fogged tongue of a roll, developed for several times in a fresh bath, show how the
//! density of full exposure grows with time. Later one piece, developed for a known time at a known
//! temperature, shows by its density how much development it has had, and so the activity of the bath:
//! θ = a·t·k(T)/k(T_ref), D = B + G(θ), G by [`Growth`].
//!
//! # What is assumed
//! - Pieces of one roll differ by a standard deviation of [`PIECE_SD`] in density (common practice, no
//!   source), worth as much as [`PIECE_WORTH`] degrees of freedom against the family's own scatter, and
//!   by [`LEAST_PIECE_SD`] at least.
//! - Times by hand err by [`TIME_SLIP`], temperatures by [`TEMPERATURE_SLIP`] (common practice, no source).
//! - Beyond the family's times its law errs by a share of the density that it adds there, [`BEYOND`].

mod piece;
mod sheet;
mod times;

pub use piece::{NoActivity, Tested};
#[cfg(feature = "files")]
pub use sheet::read_leader;
pub use sheet::{LeaderFamily, LeaderPiece, leader_of_bytes, reading_sd};
pub use times::{TestTime, TestTimes};

use super::growth::distinct;
use super::temperature::log_rate_per_energy;
use super::{Form, Growth, Point};
use crate::elementary::{exp, hypot};
use crate::measures::Quantity;
use crate::numerics::chance::NORMAL_95;
use crate::units::Celsius;
use crate::words::counted;

/// Standard deviation of density from piece to piece of one development, beside the readings' own errors
/// (assumed; common practice, no source).
pub const PIECE_SD: f64 = 0.025;
/// Degrees of freedom that [`PIECE_SD`] is worth.
pub const PIECE_WORTH: f64 = 4.0;
/// Least standard deviation of density from piece to piece: a few pieces that agree by chance are not
/// believed to agree always (assumed; common practice, no source).
pub const LEAST_PIECE_SD: f64 = 0.012;
/// Standard deviation of a time by hand, from pouring in to pouring out, in **minutes** (assumed; common
/// practice, no source).
pub const TIME_SLIP: f64 = 3.0 / 60.0;
/// Standard deviation of a temperature, from one reading of the same thermometer to the next, in **°C**
/// (assumed; common practice, no source).
pub const TEMPERATURE_SLIP: f64 = 0.2;
/// Share of the density that the law adds beyond the family by which it may err there (assumed).
pub const BEYOND: f64 = 0.2;
/// Base of a film where no piece was only fixed (assumed; it hardly matters for the activity).
pub const ASSUMED_BASE: f64 = 0.25;
/// Fewest different times of a family.
pub const FEWEST_TIMES: usize = 3;

/// Why a family of leader pieces is no calibration.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum LeaderError {
    /// Too few times.
    #[error(
        "the pieces have {}, and {FEWEST_TIMES} different ones at least are needed, better five: from about 1.5 to 10 minutes",
        counted(*.found, "developing time")
    )]
    FewTimes {
        /// How many there are.
        found: usize,
    },
    /// Pieces of several films or developers.
    #[error("the pieces are of several {what}s: {}; keep those of one", .names.join(", "))]
    Mixed {
        /// film or developer.
        what: &'static str,
        /// Their names.
        names: Vec<String>,
    },
    /// The density does not grow.
    #[error(
        "the density does not grow with the developing time, so it says nothing about development: were the pieces fully exposed, and are times and densities in the right columns?"
    )]
    NoGrowth,
}

/// How the density of exposed leader grows with development in a fresh bath.
#[derive(Clone, Debug)]
pub struct LeaderGrowth {
    /// Growth of density above [`Self::base`] with effective minutes at [`Self::reference`].
    pub growth: Growth,
    /// The base of the film.
    pub base: f64,
    /// Whether nobody measured the base.
    pub base_is_assumed: bool,
    /// The temperature that effective minutes are at: the mean of the family's, to 0.1 °C.
    pub reference: Celsius,
    /// Standard deviation of density from piece to piece.
    pub piece_sd: f64,
    /// Degrees of freedom that the family has for the scatter about its law; at 0 all is assumed.
    pub freedom: u32,
    /// Standard uncertainty of one density reading, as in the family.
    pub reading_sd: f64,
    /// Half the width of a 95 % interval over the standard error.
    quantile: f64,
    /// Shortest and longest effective time of the family.
    range: (f64, f64),
}

impl LeaderGrowth {
    /// Calibrates by a family of pieces of one film, developed in a fresh bath of one developer.
    ///
    /// # Errors
    /// [`LeaderError`].
    pub fn of(family: &LeaderFamily) -> Result<Self, LeaderError> {
        for (what, names) in [("film", &family.films), ("developer", &family.developers)] {
            if names.len() > 1 {
                return Err(LeaderError::Mixed { what, names: names.clone() });
            }
        }
        let pieces = &family.pieces;
        let times = distinct(pieces.iter().map(|p| p.minutes));
        if times < FEWEST_TIMES {
            return Err(LeaderError::FewTimes { found: times });
        }
        let n = pieces.len() as f64;
        let mean = pieces.iter().map(|p| p.celsius.get()).sum::<f64>() / n;
        let reference =
            Celsius::new((10.0 * mean).round() / 10.0).unwrap_or_else(|_| pieces[0].celsius);
        let base_is_assumed = family.fixed_only.is_empty();
        let base = match family.fixed_only.len() {
            0 => ASSUMED_BASE,
            n => family.fixed_only.iter().sum::<f64>() / n as f64,
        };
        // First with what is assumed of the pieces, then with what they show of themselves.
        let assumed: Vec<f64> = pieces.iter().map(|p| hypot(PIECE_SD, p.sigma)).collect();
        let first = fit(pieces, base, reference, &assumed).ok_or(LeaderError::NoGrowth)?;
        let slip = |p: &LeaderPiece| {
            let theta = first.theta(&point(p, base, 1.0));
            let sd = theta * first.slope(theta).max(0.0) * slip(p.minutes, p.celsius);
            hypot(sd, p.sigma)
        };
        let others: Vec<f64> = pieces.iter().map(slip).collect();
        let (piece_sd, freedom) = scatter(&first, times, &others);
        let sds: Vec<f64> = others.iter().map(|other| hypot(*other, piece_sd)).collect();
        let growth = fit(pieces, base, reference, &sds).unwrap_or(first);
        let sigmas = pieces.iter().map(|p| p.sigma.powi(2) * f64::from(p.readings)).sum::<f64>();
        Ok(Self {
            range: growth.range(),
            quantile: crate::curve::student_quantile(PIECE_WORTH + f64::from(freedom)),
            growth,
            base,
            base_is_assumed,
            reference,
            piece_sd,
            freedom,
            reading_sd: (sigmas / n).sqrt(),
        })
    }

    /// The density after `theta` effective minutes.
    #[must_use]
    pub fn density(&self, theta: f64) -> f64 {
        self.base + self.growth.value(theta)
    }

    /// The density after `theta` effective minutes, with the 95 % interval of the family's curve.
    #[must_use]
    pub fn density_quantity(&self, theta: f64) -> Quantity {
        let half = self.quantile * self.growth.value_sd(theta);
        Quantity::around(self.density(theta), half)
    }

    /// Effective minutes of a development in a bath of activity 1.
    #[must_use]
    pub fn effective(&self, minutes: f64, celsius: Celsius) -> f64 {
        minutes * self.growth.rate(celsius)
    }

    /// Density at the end of the growth, where the pieces determine it.
    #[must_use]
    pub fn ceiling(&self) -> Option<f64> {
        let first_order = self.growth.form == Form::FirstOrder && self.growth.ceiling_known;
        first_order.then(|| self.base + exp(self.growth.parameters[0]))
    }

    /// Half the width of the 95 % interval of the density of one later piece that had `theta` effective
    /// minutes. What the family shows of its curve and its pieces is known by its few degrees of freedom;
    /// the error of the readings, of time and temperature, of an assumed temperature law and beyond the
    /// family is taken as it is assumed.
    fn piece_error(&self, theta: f64, minutes: f64, celsius: Celsius, reading_sd: f64) -> f64 {
        let growth = &self.growth;
        let by_slip = theta * growth.slope(theta).max(0.0) * slip(minutes, celsius);
        let nearest = theta.clamp(self.range.0, self.range.1);
        let beyond = BEYOND * (growth.value(theta) - growth.value(nearest)).abs();
        let both = growth.value_sd_at(theta, celsius);
        let curve = match growth.energy_is_assumed() {
            true => both.min(growth.value_sd(theta)),
            false => both,
        };
        let by_law = (both * both - curve * curve).max(0.0).sqrt();
        let assumed = [reading_sd, by_slip, beyond].iter().fold(by_law, |sum, e| hypot(sum, *e));
        hypot(self.quantile * hypot(curve, self.piece_sd), NORMAL_95 * assumed)
    }
}

/// Standard deviation of ln θ by the slips of hand and thermometer.
fn slip(minutes: f64, celsius: Celsius) -> f64 {
    let energy = super::temperature::ASSUMED_ENERGY;
    let warmer = Celsius::new(celsius.get() + TEMPERATURE_SLIP).unwrap_or(celsius);
    hypot(TIME_SLIP / minutes, energy * log_rate_per_energy(warmer, celsius))
}

fn point(piece: &LeaderPiece, base: f64, sd: f64) -> Point {
    let LeaderPiece { minutes, celsius, density, .. } = *piece;
    Point { minutes, celsius, value: density - base, sd }
}

fn fit(pieces: &[LeaderPiece], base: f64, reference: Celsius, sds: &[f64]) -> Option<Growth> {
    let points = pieces.iter().zip(sds).map(|(p, sd)| point(p, base, *sd)).collect();
    Growth::fit(points, reference)
}

/// Standard deviation of density from piece to piece, and the degrees of freedom that the family has
/// for it: what is left of the scatter about the law without readings and slips, with what is assumed.
fn scatter(growth: &Growth, times: usize, others: &[f64]) -> (f64, u32) {
    let shape = match growth.form {
        Form::LogTime => 2,
        _ => 3.min(times),
    };
    let spent = shape + usize::from(!growth.energy_is_assumed());
    let freedom = others.len().saturating_sub(spent);
    let other = others.iter().map(|sd| sd * sd).sum::<f64>() / others.len() as f64;
    let about = growth.residual_sd.powi(2) - other;
    let own = freedom as f64;
    let about = if freedom == 0 { 0.0 } else { about };
    let variance = (PIECE_WORTH * PIECE_SD * PIECE_SD + own * about) / (PIECE_WORTH + own);
    (variance.max(LEAST_PIECE_SD.powi(2)).sqrt(), u32::try_from(freedom).unwrap_or(u32::MAX))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::elementary::ln;
    use crate::units::Minutes;

    /// Pieces of a leader that grows by first order, read without error.
    fn family(times: &[f64]) -> LeaderFamily {
        let mut text = String::from("minutes,celsius,density\n0,20,0.25\n");
        for t in times {
            text += &format!("{t},20,{}\n", 0.25 + 1.8 * (1.0 - exp(-0.25 * (t - 0.2))));
        }
        leader_of_bytes("exact.csv", text.as_bytes(), None).unwrap()
    }

    const TIMES: [f64; 7] = [1.5, 2.5, 3.5, 5.0, 7.0, 10.0, 14.0];

    fn tested(density: f64, minutes: f64) -> Tested {
        Tested {
            densities: vec![density],
            reading_sd: 0.01,
            minutes: Minutes::new(minutes).unwrap(),
            celsius: Celsius::new(20.0).unwrap(),
        }
    }

    #[test]
    fn an_exact_piece_shows_its_activity() {
        let growth = LeaderGrowth::of(&family(&TIMES)).unwrap();
        for (activity, minutes) in [(1.0, 4.0), (0.8, 5.0), (1.1, 3.0)] {
            let density = 0.25 + 1.8 * (1.0 - exp(-0.25 * (activity * minutes - 0.2_f64)));
            let found = growth.activity(&tested(density, minutes)).unwrap();
            assert!((found.value / activity - 1.0).abs() < 0.01, "{activity}: {found:?}");
            assert!(found.low < activity && activity < found.high);
        }
        assert!((growth.ceiling().unwrap() - 2.05).abs() < 0.02, "{:?}", growth.ceiling());
        // Where slope over θ is greatest in ln θ, 1/k = 4 minutes, less the slips of short times.
        let best = growth.test_times(Celsius::new(20.0).unwrap()).best.minutes;
        assert!((3.0..=6.0).contains(&best), "{best}");
    }

    #[test]
    fn pieces_that_scatter_widen_the_interval_and_those_that_agree_are_not_believed_too_far() {
        let quiet = family(&TIMES);
        let mut noisy = quiet.clone();
        for (piece, error) in
            noisy.pieces.iter_mut().zip([0.06, -0.05, 0.04, -0.07, 0.05, -0.04, 0.03])
        {
            piece.density += error;
        }
        let of = |family: &LeaderFamily| {
            let growth = LeaderGrowth::of(family).unwrap();
            let q = growth.activity(&tested(growth.density(4.0), 4.0)).unwrap();
            (growth.piece_sd, q.high / q.low)
        };
        let (quiet, noisy) = (of(&quiet), of(&noisy));
        assert!(quiet.0 >= LEAST_PIECE_SD && noisy.0 > 0.03, "{quiet:?} {noisy:?}");
        assert!(ln(noisy.1) > 1.5 * ln(quiet.1), "{quiet:?} {noisy:?}");
    }

    #[test]
    fn too_few_times_are_no_family() {
        let error = LeaderGrowth::of(&family(&[2.0, 2.01, 6.0])).unwrap_err();
        assert_eq!(error, LeaderError::FewTimes { found: 2 });
        // Three times leave next to no scatter: nearly all of it is assumed.
        let three = LeaderGrowth::of(&family(&[2.0, 4.0, 8.0])).unwrap();
        assert!(three.freedom <= 1 && three.piece_sd > 0.8 * PIECE_SD, "{three:?}");
    }
}
