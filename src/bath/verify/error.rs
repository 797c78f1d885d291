//! Why a strip cannot be compared with a pairing.

use crate::development::materials::OfAnother;

/// Why there is no verification.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum VerifyError {
    /// The pairing has no surface.
    #[error(
        "the pairing's strips do not give a development surface to compare a strip with: calibrate it again with more strips"
    )]
    NoSurface,
    /// Relative exposures against absolute ones.
    #[error(
        "the strip's exposures are relative and the pairing's are in lux·s: state the log exposure behind clear tablet, as for the pairing"
    )]
    RelativeStrip,
    /// Absolute exposures against relative ones.
    #[error(
        "the strip's exposures are in lux·s and the pairing's are relative: expose the strip as the pairing's strips were, and give its exposures in the same way"
    )]
    RelativePairing,
    /// A strip of another film or developer.
    #[error("{0}")]
    OfAnother(Box<OfAnother>),
    /// Too few readings.
    #[error("readings of the strip that can be used: {found}; two or more are needed")]
    TooFew {
        /// How many there are.
        found: usize,
    },
    /// Nothing that has limits can be determined.
    #[error(
        "nothing that has limits can be determined from this strip, so that it cannot be judged: read more of its steps, and the unexposed film"
    )]
    NothingToJudge,
    /// Nothing explains the strip.
    #[error(
        "no activity of the bath explains the strip: check that it is of the pairing's film and that its exposures are right"
    )]
    Unexplained,
    /// The strip's curve is not the pairing's at any development.
    #[error(
        "the strip is not of this pairing: its readings lie {residual:.3} (standard deviation) off every curve that the pairing's film can have, where {expected:.3} is usual; check the film, and that each step has its own exposure"
    )]
    AnotherFilm {
        /// Standard deviation of the readings about the nearest curve.
        residual: f64,
        /// What is usual.
        expected: f64,
    },
    /// A base that the pairing's film does not have.
    #[error(
        "the strip is not of this pairing's film: its base plus fog lies {below:.2} below what that film has, and no bath lowers the density of the base; check the film, and the zero of the densitometer"
    )]
    AnotherBase {
        /// How far below.
        below: f64,
    },
}
