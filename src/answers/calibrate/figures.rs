//! The figures of a pairing.

use super::{Calibrated, Calibration};
use crate::figures::{Chart, characteristic, contrast_time};

impl Calibration {
    /// The figures: contrast against development and the strips' curves, or the curve of the one strip.
    #[must_use]
    pub fn figures(&self) -> Vec<Chart> {
        match self {
            Self::Family(family) => vec![family.figure(), family.strips_figure()],
            Self::One(first) => vec![characteristic(std::slice::from_ref(&first.one.analysis))],
        }
    }
}

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
