//! How unsure the light of a step is, and how much a step weighs that is far off.

use super::{Known, Seen, SetUp};
use crate::elementary::antilog;
use std::f64::consts::LN_10;

/// Independent relative error of light that no frame shows, assumed: 0.0005 in density. In rendered pictures the parts
/// were 0.0002 by the glare in the flat frame and 0.0003 by the light that a step scatters onto its neighbours.
const UNSEEN: f64 = 0.0005 * LN_10;
/// Relative error of light where no flat frame was taken, assumed: 0.04 in density.
const UNEVEN: f64 = 0.04 * LN_10;
/// Without a mask, the relative error of a glare that is taken as everywhere the same, assumed.
const GLARE_VARIES: f64 = 0.5;
/// κ is 1 where the glare beside a step is that on it; its standard deviation, assumed.
pub(super) const KAPPA_SD: f64 = 0.25;
/// Beyond so many standard deviations a step of the tablet weighs less.
const HUBER: f64 = 2.5;

/// Huber's weight of a standardised residual: 1, and less beyond 2.5.
pub(super) fn huber_weight(residual: f64) -> f64 {
    HUBER / residual.abs().max(HUBER)
}

/// Huber's loss of a standardised residual: half its square, and a straight line beyond 2.5.
pub(super) fn huber_loss(residual: f64) -> f64 {
    let size = residual.abs();
    if size <= HUBER { 0.5 * size * size } else { HUBER * (size - 0.5 * HUBER) }
}

/// The variance of light that is added: noise and glare.
pub(super) fn noise(seen: &Seen, kappa: f64, set_up: SetUp) -> f64 {
    let glare = match set_up.mask {
        true => seen.black_error,
        false => GLARE_VARIES * seen.black,
    };
    seen.light_error.powi(2) + (kappa * glare).powi(2)
}

/// The relative variance of what light is multiplied by.
pub(super) fn relative(seen: &Seen, set_up: SetUp) -> f64 {
    let uneven = if set_up.flat { 0.0 } else { UNEVEN };
    seen.flat_error.powi(2) + UNSEEN.powi(2) + uneven.powi(2)
}

/// The variance of a tablet step's light about its model.
pub(super) fn variance(
    (known, seen): &(Known, Seen),
    (clear, kappa): (f64, f64),
    set_up: SetUp,
) -> f64 {
    let model = clear * seen.flat * antilog(-known.density);
    let certificate = (LN_10 * known.sigma).powi(2);
    (certificate + relative(seen, set_up)) * model * model + noise(seen, kappa, set_up)
}
