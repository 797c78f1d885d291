//! Why an answer about paper is missing: every reason, with its numbers, worded here.

use crate::curve::FitError;
use crate::measures::Why;

/// Why no time prints clear film as black.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NoBlack {
    /// The paper's curve lacks a measure.
    #[error(transparent)]
    Measure(#[from] Why),
    /// The paper has no curve.
    #[error(transparent)]
    Curve(#[from] FitError),
    /// The density still rises at the last exposure.
    #[error(
        "the strip never reaches black (the density still rises by {rise:.2} up to the last exposure); give longer exposures"
    )]
    NeverReached {
        /// How much it rises over the last readings.
        rise: f64,
    },
    /// The last exposures are too close together.
    #[error(
        "the exposures are too close together to show whether black is reached; give longer exposures"
    )]
    TooClose,
    /// The first exposure is black already.
    #[error(
        "the shortest exposure already prints {density:.2}, above the {black:.2} that counts as black; give shorter exposures"
    )]
    AlreadyBlack {
        /// Density of the shortest exposure.
        density: f64,
        /// Density of the shadow point.
        black: f64,
    },
    /// No two times differ.
    #[error("the times do not differ")]
    SameTimes,
    /// The densities do not pass the shadow point.
    #[error("the densities do not pass the shadow point")]
    NotPassed,
}

/// Why a range has no grade.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum NoGrade {
    /// It is softer than the table.
    #[error("a range R of {range_r:.0} is softer than any grade of the table of 1966 (to R 170)")]
    Softer {
        /// The range.
        range_r: f64,
    },
    /// It is harder than the table.
    #[error("a range R of {range_r:.0} is harder than any grade of the table (from R 35)")]
    Harder {
        /// The range.
        range_r: f64,
    },
}
