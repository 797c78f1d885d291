//! What is noticed in the picture of a frame.

use super::place::{Lying, Side};
use crate::picture::note::PictureNote;
use crate::words::{counted, number};
use std::fmt;

/// Something to know of a frame that was measured.
#[derive(Clone, Debug, PartialEq)]
pub enum FrameNote {
    /// The picture follows the tablet less well than it should: the reduced χ.
    Doubtful(f64),
    /// No dark frame was taken.
    NoDark,
    /// Steps of the tablet are clipped and were left out.
    ClippedTablet(usize),
    /// Cells from which dust was left out.
    Dust(usize),
}

impl fmt::Display for FrameNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Doubtful(chi) => PictureNote::Doubtful(*chi).fmt(f),
            Self::NoDark => f.write_str(
                "without a dark frame the dark signal counts as glare, and the mask shows both",
            ),
            Self::ClippedTablet(steps) => PictureNote::ClippedTablet(*steps).fmt(f),
            Self::Dust(cells) => write!(
                f,
                "dust or scratches were left out on more than {} % of the area of {}; look at the overlay",
                number(100.0 * super::DUSTY, 0),
                counted(*cells as u64, "cell")
            ),
        }
    }
}

impl fmt::Display for Lying {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (left, lower) = (Side::Left, Side::Lower);
        match self {
            Self::Level => write!(
                f,
                "the film runs from left to right in the picture: the frame's {left} is the picture's left, its {lower} the picture's lower one"
            ),
            Self::Upright => write!(
                f,
                "the film runs from top to bottom in the picture: the frame's {left} is at the picture's top, its {lower} at the picture's left"
            ),
            Self::AsGiven => write!(
                f,
                "by the layout, the frame's {left} lies between its first two corners, and its {lower} between the second and the third"
            ),
        }
    }
}
