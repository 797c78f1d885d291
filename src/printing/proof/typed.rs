//! Exposures of a test strip and negatives, as a person types them.

use super::{Exposure, Negative};
use crate::units::{Density, NotAQuantity, StripSeconds};
use std::str::FromStr;

impl FromStr for Exposure {
    type Err = NotAnExposure;

    /// Seconds and the density read there, as `8=1.77` or `5,6=1,53`.
    fn from_str(text: &str) -> Result<Self, NotAnExposure> {
        let (seconds, density) = text.split_once('=').ok_or(NotAnExposure::NoPair)?;
        Ok(Self {
            seconds: seconds.parse::<StripSeconds>()?.get(),
            density: density.parse::<Density>()?.get(),
        })
    }
}

/// Text that is no exposure of a test strip.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NotAnExposure {
    /// There is no equals sign in it.
    #[error("write seconds and density, as 8=1.77")]
    NoPair,
    /// One of the two is not a number within its bounds.
    #[error(transparent)]
    Quantity(#[from] NotAQuantity),
}

impl FromStr for Negative {
    type Err = NotANegative;

    /// Its lowest and highest printing densities, as `0.42:1.21`; the text is its name.
    fn from_str(text: &str) -> Result<Self, NotANegative> {
        let (low, high) = text.split_once(':').ok_or(NotANegative::NoPair)?;
        let density = |text: &str| text.parse::<Density>().map(Density::get);
        let (low, high) = (density(low)?, density(high)?);
        match low < high {
            true => Ok(Self { name: text.to_owned(), low, high, sigma: None }),
            false => Err(NotANegative::NotBelow { low, high }),
        }
    }
}

/// Text that is no negative.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NotANegative {
    /// There is no colon in it.
    #[error("write the lowest and the highest density, as 0.42:1.21, or the path of a file")]
    NoPair,
    /// One of the two is not a density.
    #[error(transparent)]
    Density(#[from] NotAQuantity),
    /// The two are equal, or in the wrong order.
    #[error("the lowest density comes first, and {low} is not below {high}")]
    NotBelow {
        /// The first.
        low: f64,
        /// The second.
        high: f64,
    },
}
