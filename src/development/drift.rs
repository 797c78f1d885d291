//! A temperature that wanders while the film is in the bath.

use super::growth::Growth;
use crate::units::Celsius;

/// A thermometer reading: minutes since the film went in, and the temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// Minutes since the film went in.
    pub minutes: f64,
    /// Temperature of the bath then.
    pub celsius: Celsius,
}

/// Effective minutes so far, θ = ∫ a·k(T)/k(T_ref) dt: the temperature is taken to go straight from
/// reading to reading, and before the first reading to be that of the first.
///
/// Each stretch is integrated by Simpson's rule in twenty pieces, exact to 1e-9 of itself for
/// stretches of 20 °C.
#[must_use]
pub fn effective_minutes(law: &Growth, readings: &[Reading], activity: f64) -> f64 {
    let Some(first) = readings.first() else {
        return 0.0;
    };
    let mut sum = first.minutes * law.rate(first.celsius);
    for pair in readings.windows(2) {
        let (from, to) = (pair[0].celsius.get(), pair[1].celsius.get());
        let rate =
            |share: f64| Celsius::new(from + share * (to - from)).map_or(0.0, |c| law.rate(c));
        const PIECES: u32 = 20;
        let width = 1.0 / f64::from(PIECES);
        let simpson: f64 = (0..PIECES)
            .map(|i| {
                let at = width * f64::from(i);
                (rate(at) + 4.0 * rate(at + 0.5 * width) + rate(at + width)) * width / 6.0
            })
            .sum();
        sum += (pair[1].minutes - pair[0].minutes) * simpson;
    }
    activity * sum
}

/// Minutes still to go at the last temperature until `target` effective minutes; negative where the
/// film has had too much.
#[must_use]
pub fn remaining_minutes(
    law: &Growth,
    readings: &[Reading],
    activity: f64,
    target: f64,
) -> Option<f64> {
    let last = readings.last()?;
    Some(
        (target - effective_minutes(law, readings, activity)) / (activity * law.rate(last.celsius)),
    )
}
