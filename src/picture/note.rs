//! What is noticed in a picture.

use super::bracket::Shutter;
use super::refusal::Which;
use super::stain::{Difference, Stain};
use crate::words::{list_and, number, signed};
use std::fmt;

/// Something to know of a reading.
#[derive(Clone, Debug, PartialEq)]
pub enum PictureNote {
    /// The picture follows the tablet less well than it should: the reduced χ.
    Doubtful(f64),
    /// A tone curve is possible.
    ToneCurve {
        /// How much better it fits: a chi-square of two degrees of freedom.
        gain: f64,
        /// Its relative effect on contrast.
        contrast: f64,
        /// The standard uncertainty of that.
        contrast_sd: f64,
    },
    /// The strip has another density in blue light than in green.
    Stain(Stain),
    /// Pictures of a bracket were merged: their marked times, and each in units of the shortest by its light.
    Times(Vec<(Shutter, f64)>),
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
            Self::ToneCurve { gain, contrast, contrast_sd } => write!(
                f,
                "a mild tone curve is possible (chi-square {} for two terms; 1 linear picture in 100 has more than 9): contrasts may be {}, and the slope's uncertainty counts that. Check that no tone curve was on",
                number(*gain, 1),
                super::refusal::off_by(*contrast, *contrast_sd)
            ),
            Self::Stain(stain) => {
                let seen = |d: &Difference| format!("{} ± {}", signed(d.value, 3), number(d.half(), 3));
                write!(
                    f,
                    "the film or the developer stains: density in blue less density in green is {} in the mean and {} at the densest step. A paper that is sensitive to blue and green sees another density than stated",
                    seen(&stain.mean),
                    seen(&stain.densest)
                )
            }
            Self::Times(times) => {
                let each = times.iter().map(|(shutter, time)| format!("{shutter} is {}", number(*time, 3)));
                write!(
                    f,
                    "{} pictures in one; their times by the light, counted in the shortest: {}",
                    times.len(),
                    list_and(&each.collect::<Vec<_>>())
                )
            }
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
