//! From light to density: the picture of a tablet of known densities calibrates that of the strip.
//!
//! The light p of a step of density D is c·F·10^(−D) + κ·B. F is the light of the box at its place (the
//! flat frame), B the glare that is seen on the black mask beside it, c the exposure. The tablet's steps give
//! c and κ; then the strip's light gives its densities. Glare is additive: it is taken off before the light is
//! divided by that of the flat frame.
//!
//! # Source
//! That glare, not noise, bounds the range of a picture: J. J. McCann and A. Rizzi 2007; E.-V. Talvala et al.
//! 2007 (both from memory).

mod errors;
mod fit;
mod shared;
mod tone;

pub use fit::{Calibration, Known, NoCalibration};
pub use shared::Shared;
pub use tone::{Tone, ToneEffect};

/// Most density that is stated where the glare at each place is not seen: without a mask (common practice,
/// no source; a simulation showed errors of 0.04 to 0.16 beyond it).
pub const MOST_WITHOUT_MASK: f64 = 1.5;

/// The light of one step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// Mean light, less the dark frame.
    pub light: f64,
    /// Its standard error.
    pub light_error: f64,
    /// Light of the empty box at this place, in any unit; 1 where no flat frame was taken.
    pub flat: f64,
    /// Its relative standard error.
    pub flat_error: f64,
    /// Glare at this place: the light of the mask beside it; 1 where there is no mask, so that κ is a glare
    /// that is everywhere the same.
    pub black: f64,
    /// Its standard error.
    pub black_error: f64,
}

/// How the picture was taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SetUp {
    /// Whether a mask shows the glare beside each step.
    pub mask: bool,
    /// Whether a flat frame was taken.
    pub flat: bool,
}

/// The density of a step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stated {
    /// It is determined.
    Density(Found),
    /// Its light cannot be separated from the glare: it is denser than this.
    DenserThan(f64),
    /// It is denser than what is given without a mask.
    Withheld,
}

/// A density that is determined.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Found {
    /// The density.
    pub density: f64,
    /// Its standard uncertainty that is independent of the other steps.
    pub sigma: f64,
    /// Its derivatives by c and κ, whose errors all steps have in common.
    pub by: [f64; 2],
}

impl Stated {
    /// The density, where it is determined.
    #[must_use]
    pub const fn found(&self) -> Option<&Found> {
        match self {
            Self::Density(found) => Some(found),
            Self::DenserThan(_) | Self::Withheld => None,
        }
    }
}
