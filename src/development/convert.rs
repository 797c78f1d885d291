//! A time at one temperature as a time at another, without a calibration.

use super::temperature::{
    ASSUMED_ENERGY, ASSUMED_ENERGY_SD, OWN_LAW, log_rate_per_energy, relative_rate,
};
use crate::elementary::{exp, hypot, ln};
use crate::measures::Quantity;
use crate::numerics::chance::NORMAL_95;
use crate::units::{Celsius, Minutes};
use crate::words::{clock, degrees, trimmed};
use std::fmt;

/// Charts round their times to this many **minutes** (common practice, no source).
const ROUNDING: f64 = 0.25;
/// Activation energies between which a chart is believed, in **kJ/mol**: half and twice what published
/// developers have.
const BELIEVED: (f64, f64) = (12.0, 170.0);

/// How a developer's rate changes with temperature, and where that is known from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TimeLaw {
    /// Activation energy in **kJ/mol**.
    pub energy: f64,
    /// Its standard uncertainty.
    pub sd: f64,
    /// Whether it is assumed; else a chart gave it.
    pub assumed: bool,
}

/// Why two times give no law.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoLaw {
    /// Their temperatures are too close together.
    TooClose {
        /// How far apart they are, in °C.
        apart: f64,
    },
    /// Times do not fall with temperature, or much faster than in any developer.
    Unlikely {
        /// The time at the lower temperature.
        cold: (Minutes, Celsius),
        /// The time at the higher temperature.
        warm: (Minutes, Celsius),
    },
}

impl fmt::Display for NoLaw {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooClose { apart } => write!(
                f,
                "the two temperatures are {} °C apart, and must be {} °C apart or more",
                trimmed(*apart, 2),
                trimmed(OWN_LAW, 1)
            ),
            Self::Unlikely { cold, warm } => write!(
                f,
                "{} at {} and {} at {} do not go together: a developer takes less time where it is warmer, by a factor of 1.2 to 10 for 10 °C; check times and temperatures",
                clock(cold.0.get()),
                degrees(cold.1.get()),
                clock(warm.0.get()),
                degrees(warm.1.get())
            ),
        }
    }
}

impl TimeLaw {
    /// That of published developers.
    pub const ASSUMED: Self = Self { energy: ASSUMED_ENERGY, sd: ASSUMED_ENERGY_SD, assumed: true };

    /// From two times that a chart gives for the same development:
    ///
    /// ```text
    /// E = ln(t₁/t₂)·R/(1/T₁ − 1/T₂)
    /// ```
    ///
    /// with the uncertainty of times that are rounded to a quarter of a minute.
    ///
    /// # Errors
    /// [`NoLaw`].
    pub fn of_chart(one: (Minutes, Celsius), other: (Minutes, Celsius)) -> Result<Self, NoLaw> {
        let (cold, warm) = if one.1 <= other.1 { (one, other) } else { (other, one) };
        let apart = warm.1.get() - cold.1.get();
        if apart < OWN_LAW {
            return Err(NoLaw::TooClose { apart });
        }
        let lever = log_rate_per_energy(warm.1, cold.1);
        let energy = ln(cold.0.get() / warm.0.get()) / lever;
        if !(energy > BELIEVED.0 && energy < BELIEVED.1) {
            return Err(NoLaw::Unlikely { cold, warm });
        }
        let rounded = |m: Minutes| ROUNDING / 12.0_f64.sqrt() / m.get();
        let sd = hypot(rounded(cold.0), rounded(warm.0)) / lever;
        Ok(Self { energy, sd, assumed: false })
    }

    /// The time at `to` that develops as much as `minutes` at `from`, in **minutes** with its 95 %
    /// interval:
    ///
    /// ```text
    /// t_to = t_from · exp(E/R·(1/T_to − 1/T_from))
    /// ```
    ///
    /// # Source
    /// S. Arrhenius 1889. That two times with the same product of rate and time give the same development
    /// is the idea of every time and temperature chart (common practice).
    #[must_use]
    pub fn time_at(&self, to: Celsius, minutes: Minutes, from: Celsius) -> Quantity {
        let value = minutes.get() / relative_rate(self.energy, to, from);
        let spread = (NORMAL_95 * self.sd * log_rate_per_energy(to, from)).abs();
        Quantity { value, low: value * exp(-spread), high: value * exp(spread) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(minutes: f64, celsius: f64) -> (Minutes, Celsius) {
        (Minutes::new(minutes).unwrap(), Celsius::new(celsius).unwrap())
    }

    #[test]
    fn a_chart_gives_its_own_times_back() {
        let (cold, warm) = (at(9.0, 20.0), at(6.5, 24.0));
        let law = TimeLaw::of_chart(cold, warm).unwrap();
        assert_eq!(TimeLaw::of_chart(warm, cold), Ok(law));
        let back = law.time_at(warm.1, cold.0, cold.1);
        assert!((back.value - 6.5).abs() < 1e-12, "{back:?}");
        let same = law.time_at(cold.1, cold.0, cold.1);
        assert_eq!((same.value, same.low, same.high), (9.0, 9.0, 9.0));
    }

    /// Between and near the two temperatures of the chart the interval holds what rounding hides; the
    /// assumed law is less sure.
    #[test]
    fn rounded_charts_are_covered() {
        let (mut held, mut all) = (0, 0);
        for energy in [30.0, 45.0, 60.0, 75.0] {
            for tenths in 50..150 {
                let cold = at(f64::from(tenths) / 10.0 + 0.037, 20.0);
                let exact = |c: f64| cold.0.get() / relative_rate(energy, at(1.0, c).1, cold.1);
                let rounded = |m: f64| (m / ROUNDING).round() * ROUNDING;
                let chart = [at(rounded(cold.0.get()), 20.0), at(rounded(exact(24.0)), 24.0)];
                let law = TimeLaw::of_chart(chart[0], chart[1]).unwrap();
                // From the exact time, so that the law alone is tried.
                let found = law.time_at(at(1.0, 22.0).1, cold.0, cold.1);
                all += 1;
                held += u32::from(found.low <= exact(22.0) && exact(22.0) <= found.high);
                let assumed = TimeLaw::ASSUMED.time_at(at(1.0, 22.0).1, cold.0, cold.1);
                assert!(assumed.low <= exact(22.0) && exact(22.0) <= assumed.high);
            }
        }
        let share = f64::from(held) / f64::from(all);
        assert!((0.93..=1.0).contains(&share), "{share}");
    }

    #[test]
    fn two_times_that_are_no_chart_are_refused() {
        for (one, other) in [
            (at(9.0, 20.0), at(9.0, 24.0)),
            (at(9.0, 20.0), at(10.0, 24.0)),
            (at(30.0, 20.0), at(1.0, 24.0)),
        ] {
            assert!(matches!(TimeLaw::of_chart(one, other), Err(NoLaw::Unlikely { .. })));
        }
        let close = TimeLaw::of_chart(at(9.0, 20.0), at(8.5, 21.0));
        assert!(matches!(close, Err(NoLaw::TooClose { apart }) if (apart - 1.0).abs() < 1e-9));
    }
}
