//! From the scene to the film: luminance, metering, flare.

use crate::elementary::{antilog, log10};
use crate::units::STOP;

/// How far a metered grey of 18 % lies below white, in log luminance (common practice, no source).
pub const GREY: f64 = 0.745;
/// Exposure of the metered tone over that of the speed point: 10/EI over 0.8/EI.
///
/// # Source
/// H = 10/S at the film for the metered tone, log10 1.0969 above the speed point 0.8/S: forum text,
/// attributed to ISO 2721.
pub const METERED: f64 = 12.5;

/// A camera before a scene. Luminances are log10, relative to the metered tone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Camera {
    /// Range of the scene in stops.
    pub stops: f64,
    /// Log exposure that flare takes from that range.
    pub flare: f64,
    /// How far the metered tone lies below the brightest, in log luminance.
    pub grey: f64,
    /// Stops of exposure given over what the meter says.
    pub correction: f64,
}

impl Camera {
    /// Luminance of the brightest tone.
    #[must_use]
    pub const fn brightest(&self) -> f64 {
        self.grey
    }

    /// Luminance of the darkest tone.
    #[must_use]
    pub fn darkest(&self) -> f64 {
        self.grey - STOP * self.stops
    }

    /// The [`veil`](crate::development::aim::veil) that takes the flare from the scene.
    ///
    /// `None` where flare leaves nothing of the scene.
    #[must_use]
    pub fn veil(&self) -> Option<f64> {
        crate::development::aim::veil(self.stops, self.flare)
    }

    /// log10 of the film's exposure at a luminance, over the metered exposure.
    pub(super) fn image(&self, veil: f64, luminance: f64) -> f64 {
        log10(antilog(luminance) + veil * antilog(self.brightest())) + STOP * self.correction
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn flare_shortens_the_range_by_itself() {
        for (stops, flare) in [(7.0, 0.40), (10.0, 0.2), (5.0, 0.9)] {
            let camera = Camera { stops, flare, grey: GREY, correction: 0.0 };
            let veil = camera.veil().unwrap();
            let range =
                camera.image(veil, camera.brightest()) - camera.image(veil, camera.darkest());
            assert!((range - (STOP * stops - flare)).abs() < 1e-12);
        }
        let none = Camera { stops: 7.0, flare: 0.0, grey: GREY, correction: 1.0 };
        assert_eq!(none.veil(), Some(0.0));
        assert!((none.image(0.0, 0.3) - 0.3 - STOP).abs() < 1e-12);
        assert_eq!(Camera { flare: 2.1, ..none }.veil(), None);
    }
}
