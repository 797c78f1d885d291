//! Why a frame in a picture is not measured.

use super::place::Side;
use crate::picture::openings::NoOpenings;
use crate::picture::refusal::NotRead;
use crate::words::{counted, number, trimmed};
use std::fmt;

/// Why there are no densities of a frame.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum NoFrame {
    /// What would stop the reading of a strip too: frames that differ, the layout, the tablet.
    NotRead(NotRead),
    /// There is no flat frame.
    NoFlat,
    /// The flat frame shows no two openings.
    Openings(usize),
    /// No opening is long enough for a tablet.
    NoTablet,
    /// No black mask is seen beside the tablet or around the frame, in one of the frames.
    NoMask {
        /// In the flat frame; else in the picture.
        in_flat: bool,
    },
    /// The opening has another shape than the frame.
    Shape {
        /// Length over breadth of the opening, the longer side first.
        found: f64,
        /// Of the frame: length and width in **mm**.
        size: (f64, f64),
    },
    /// The frame is smaller in the picture than its cells need.
    Small {
        /// Its shorter side in **pixels**.
        pixels: f64,
    },
    /// An area is not in the picture, or has fewer than nine pixels.
    Outside,
    /// Pixels of the frame are clipped.
    Clipped {
        /// Cells with clipped pixels.
        cells: usize,
    },
    /// The flat frame is clipped or black in the opening.
    Flat {
        /// Clipped; else black.
        clipped: bool,
    },
    /// Bare light or clear film is seen along a side.
    NotCovered(Side),
    /// Too much of the frame cannot be parted from the glare.
    Dense {
        /// Cells that are denser than what can be seen.
        cells: usize,
        /// All cells.
        of: usize,
        /// The least density of which nothing more is seen.
        limit: f64,
    },
}

impl fmt::Display for NoFrame {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotRead(why) => why.fmt(f),
            Self::NoFlat => f.write_str(
                "a frame needs a flat frame with the mask in its place and both openings empty: without it, uneven light counts as uneven film",
            ),
            Self::Openings(found) => write!(
                f,
                "the flat frame shows {found} bright openings on black, and it takes two, one for the tablet and one for the frame: check that both are in view, or give their corners in a layout"
            ),
            Self::NoTablet => f.write_str(
                "neither opening of the mask has the long shape of a tablet: show all of the tablet, or give its corners in a layout",
            ),
            Self::NoMask { in_flat: true } => f.write_str(
                "the flat frame shows no black mask around the openings: take it with the mask in its place, so that it has the same glare at the mask's edges as the picture",
            ),
            Self::NoMask { in_flat: false } => f.write_str(
                "the picture shows no black mask around tablet and frame: leave at least 4 mm of black card in view on each side of both openings",
            ),
            Self::Shape { found, size: (length, width) } => write!(
                f,
                "the opening is {} times as long as broad, and a frame of {} × {} mm is {} times: it must show the whole frame, to its edges and no more. Check the frame's size, the mask and the layout",
                number(*found, 2),
                trimmed(*length, 1),
                trimmed(*width, 1),
                number(length.max(*width) / length.min(*width), 2)
            ),
            Self::Small { pixels } => write!(
                f,
                "the frame is {} pixels high in the picture, too few for a grid: take the picture from nearer",
                number(*pixels, 0)
            ),
            Self::Outside => f.write_str(
                "a part of the frame, or the patch of unexposed film, is outside the picture or smaller than 9 pixels: check the layout",
            ),
            Self::Clipped { cells } => write!(
                f,
                "the frame is clipped, as bright as the file can hold, in {}: expose less",
                counted(*cells as u64, "place")
            ),
            Self::Flat { clipped: true } => f.write_str(
                "the flat frame is clipped, it is as bright as the file can hold: expose all frames less",
            ),
            Self::Flat { clipped: false } => f.write_str(
                "the flat frame is black where the frame lies: take it with both openings empty",
            ),
            Self::NotCovered(side) => write!(
                f,
                "the frame does not cover the opening: bare light or unexposed film is seen along the {side}. Lay it so that the mask covers its edges, or cut the opening smaller"
            ),
            Self::Dense { cells, of, limit } => write!(
                f,
                "the frame is too dense: {cells} of {of} places are denser than {}, and their light cannot be parted from the glare",
                number(*limit, 2)
            ),
        }
    }
}

impl std::error::Error for NoFrame {}

impl From<NotRead> for NoFrame {
    fn from(why: NotRead) -> Self {
        Self::NotRead(why)
    }
}

impl From<NoOpenings> for NoFrame {
    fn from(why: NoOpenings) -> Self {
        match why {
            NoOpenings::Number(found) => Self::Openings(found),
            other => Self::NotRead(NotRead::Openings(other)),
        }
    }
}
