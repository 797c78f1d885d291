//! The temperature law: how much faster a developer works when it is warmer.

use crate::units::Celsius;

/// The gas constant, in J/(mol·K).
const GAS: f64 = 8.314_462_618;
/// 0 °C in kelvin.
const ZERO: f64 = 273.15;

/// Activation energy assumed where the strips are all of one temperature, in **kJ/mol**: a factor of
/// 2.5 per 10 °C (from 15 to 25 °C), the middle of the published range.
///
/// # Source
/// A factor of 2 to 3 per 10 °C: S. E. Sheppard and C. E. K. Mees 1907, Investigations on the theory
/// of the photographic process, as summarised by others.
pub const ASSUMED_ENERGY: f64 = 65.4;
/// Standard uncertainty of [`ASSUMED_ENERGY`]: factors of 2 and of 3 are two of them away.
pub const ASSUMED_ENERGY_SD: f64 = 7.5;

/// d ln k/dE between `reference` and `celsius`, in mol/kJ: (1/T_ref − 1/T)/R.
#[must_use]
pub fn log_rate_per_energy(celsius: Celsius, reference: Celsius) -> f64 {
    1e3 / GAS * (1.0 / (reference.get() + ZERO) - 1.0 / (celsius.get() + ZERO))
}

/// Rate at `celsius` over that at `reference` for an activation energy in kJ/mol:
/// exp(−E/R·(1/T − 1/T_ref)) (S. Arrhenius 1889).
#[must_use]
pub fn relative_rate(energy: f64, celsius: Celsius, reference: Celsius) -> f64 {
    (energy * log_rate_per_energy(celsius, reference)).exp()
}

/// The factor by which the rate grows from 15 to 25 °C for an activation energy in kJ/mol.
#[must_use]
pub fn factor_per_ten_degrees(energy: f64) -> f64 {
    let at = |c: f64| 1.0 / (c + ZERO);
    (1e3 * energy / GAS * (at(15.0) - at(25.0))).exp()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_assumed_energy_is_a_factor_of_two_and_a_half() {
        assert!((factor_per_ten_degrees(ASSUMED_ENERGY) - 2.5).abs() < 0.005);
        let low = factor_per_ten_degrees(ASSUMED_ENERGY - 2.0 * ASSUMED_ENERGY_SD);
        let high = factor_per_ten_degrees(ASSUMED_ENERGY + 2.0 * ASSUMED_ENERGY_SD);
        assert!((1.95..2.05).contains(&low) && (3.0..3.2).contains(&high), "{low} {high}");
    }

    #[test]
    fn the_reference_temperature_has_rate_one() {
        let t = Celsius::new(20.0).unwrap();
        assert_eq!(relative_rate(60.0, t, t), 1.0);
    }
}
