//! The figures of a pairing.

use super::Calibrated;
use crate::figures::{Chart, characteristic, contrast_time};

impl Calibrated {
    /// Contrast against development, and exposure index where exposures are in lux seconds.
    #[must_use]
    pub fn figure(&self) -> Chart {
        contrast_time(&self.file, &self.pairing)
    }

    /// The curves of the strips.
    #[must_use]
    pub fn strips_figure(&self) -> Chart {
        characteristic(&self.pairing.strips)
    }
}
