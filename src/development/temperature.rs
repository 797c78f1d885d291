//! The temperature law: how much faster a developer works when it is warmer.

use crate::elementary::exp;
use crate::units::Celsius;

/// The gas constant, in J/(mol·K).
const GAS: f64 = 8.314_462_618;
/// 0 °C in kelvin.
const ZERO: f64 = 273.15;

/// Activation energy assumed where the strips do not determine it, in **kJ/mol**: a factor of 2.2 per
/// 10 °C (from 15 to 25 °C), the middle of what published developers have.
///
/// # Source
/// A factor of 1.5 to 3.2 per 10 °C, 25 to 85 kJ/mol, spans the coefficients of developing agents
/// summarised in C. E. K. Mees 1942, The Theory of the Photographic Process, and the factors of 2 to 3 of
/// S. E. Sheppard and C. E. K. Mees 1907 (from memory, both).
pub const ASSUMED_ENERGY: f64 = 56.0;
/// Standard uncertainty of [`ASSUMED_ENERGY`]: 25 and 85 kJ/mol are two of them away.
pub const ASSUMED_ENERGY_SD: f64 = 15.0;
/// Strips whose temperatures are at least this many **°C** apart determine the activation energy
/// themselves.
pub const OWN_LAW: f64 = 2.0;
/// Standard deviation of the prior on the activation energy of such strips, in kJ/mol: it only keeps
/// strips that scatter wildly from an absurd law.
const UNKNOWN_ENERGY_SD: f64 = 60.0;

/// The words of an assumed law, with its factor and how far it may be off.
#[must_use]
pub fn assumed_law() -> String {
    let factor = |away: f64| factor_per_ten_degrees(ASSUMED_ENERGY + away * ASSUMED_ENERGY_SD);
    format!(
        "the temperature law is assumed (a factor of {:.1} per 10 °C, from {:.1} to {:.1})",
        factor(0.0),
        factor(-2.0),
        factor(2.0)
    )
}

/// Standard deviation of the prior on the activation energy, for strips whose temperatures are `spread`
/// °C apart, in kJ/mol.
#[must_use]
pub fn energy_prior_sd(spread: f64) -> f64 {
    if spread < OWN_LAW { ASSUMED_ENERGY_SD } else { UNKNOWN_ENERGY_SD }
}

/// How far apart the coldest and the warmest of some temperatures are, in °C.
#[must_use]
pub fn spread(temperatures: impl Iterator<Item = Celsius>) -> f64 {
    let ends = temperatures.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), c| {
        (f64::min(low, c.get()), f64::max(high, c.get()))
    });
    (ends.1 - ends.0).max(0.0)
}

/// d ln k/dE between `reference` and `celsius`, in mol/kJ: (1/T_ref − 1/T)/R.
#[must_use]
pub fn log_rate_per_energy(celsius: Celsius, reference: Celsius) -> f64 {
    1e3 / GAS * (1.0 / (reference.get() + ZERO) - 1.0 / (celsius.get() + ZERO))
}

/// Rate at `celsius` over that at `reference` for an activation energy in kJ/mol:
/// exp(−E/R·(1/T − 1/T_ref)) (S. Arrhenius 1889).
#[must_use]
pub fn relative_rate(energy: f64, celsius: Celsius, reference: Celsius) -> f64 {
    exp(energy * log_rate_per_energy(celsius, reference))
}

/// The factor by which the rate grows from 15 to 25 °C for an activation energy in kJ/mol.
#[must_use]
pub fn factor_per_ten_degrees(energy: f64) -> f64 {
    let at = |c: f64| 1.0 / (c + ZERO);
    exp(1e3 * energy / GAS * (at(15.0) - at(25.0)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_assumed_energy_spans_published_developers() {
        let factor = |away: f64| factor_per_ten_degrees(ASSUMED_ENERGY + away * ASSUMED_ENERGY_SD);
        let expected = [(-2.0, 1.44), (0.0, 2.19), (2.0, 3.33)];
        for (away, expected) in expected {
            assert!((factor(away) - expected).abs() < 0.01, "{away}: {}", factor(away));
        }
    }

    #[test]
    fn the_reference_temperature_has_rate_one() {
        let t = Celsius::new(20.0).unwrap();
        assert_eq!(relative_rate(60.0, t, t), 1.0);
    }
}
