//! What is noticed in a picture.

use super::refusal::Which;
use crate::words::{list_and, number};
use std::fmt;

/// Something to know of a reading.
#[derive(Clone, Debug, PartialEq)]
pub enum PictureNote {
    /// The picture follows the tablet less well than it should: the reduced χ.
    Doubtful(f64),
    /// No mask is seen beside the steps.
    NoMask,
    /// No flat frame was taken.
    NoFlat,
    /// No dark frame was taken.
    NoDark,
    /// The length of a step is assumed, in mm.
    AssumedStep(f64),
    /// The layout has it the other way round.
    Turned(Which),
    /// Steps of the tablet are clipped and were left out.
    ClippedTablet(usize),
    /// The flat frame is uneven: its darkest step over its brightest.
    UnevenFlat(f64),
    /// Dust or scratches were left out.
    Dust {
        /// On which film.
        which: Which,
        /// Numbers of the steps.
        steps: Vec<usize>,
    },
}

impl fmt::Display for PictureNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Doubtful(chi) => write!(
                f,
                "the picture follows the tablet less well than its uncertainty says (reduced chi {}): check the tablet's file, and that no tone curve, sharpening or noise reduction was on",
                number(*chi, 2)
            ),
            Self::NoMask => f.write_str(
                "no black mask is seen beside the steps: the glare is taken as the same everywhere, uncertainties are wide, and densities above 1.5 are not stated. A mask of black card with two openings is the remedy",
            ),
            Self::NoFlat => f.write_str(
                "without a flat frame uneven light counts as density: an uncertainty of 0.04 is assumed for it",
            ),
            Self::NoDark => f.write_str(
                "without a dark frame the black of the mask has to stand for the dark signal too",
            ),
            Self::AssumedStep(mm) => write!(
                f,
                "a step is taken as {} mm long (assumed), to find the black of the mask beside it",
                number(*mm, 1)
            ),
            Self::Turned(which) => {
                write!(f, "the {which} lies the other way round than the layout says, and was turned")
            }
            Self::ClippedTablet(steps) => write!(
                f,
                "clipped steps of the tablet, which were left out: {steps}. Expose a little less"
            ),
            Self::UnevenFlat(share) => write!(
                f,
                "the light is uneven: the darkest step has {} of the light of the brightest. Move the tablet and the strip to the middle of the box, and the camera away",
                number(*share, 2)
            ),
            Self::Dust { which, steps } => {
                let steps: Vec<String> = steps.iter().map(usize::to_string).collect();
                write!(
                    f,
                    "{which}: dust or scratches on more than 3 % of the area were left out in step {}; look at the overlay",
                    list_and(&steps)
                )
            }
        }
    }
}
