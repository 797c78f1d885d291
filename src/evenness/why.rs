//! Why a number of a pattern is missing: every reason, with its numbers, worded here.

use super::analysis::FEWEST_PLACES;
use std::fmt;

/// A direction on the film.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axis {
    /// Along the film: x.
    Along,
    /// Across the film: y.
    Across,
}

impl Axis {
    /// The coordinate.
    const fn coordinate(self) -> char {
        match self {
            Self::Along => 'x',
            Self::Across => 'y',
        }
    }

    const fn other(self) -> Self {
        match self {
            Self::Along => Self::Across,
            Self::Across => Self::Along,
        }
    }
}

impl fmt::Display for Axis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Along => "along",
            Self::Across => "across",
        })
    }
}

/// An edge of the frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Edge {
    /// The long edge that was lowest in the bath.
    Lower,
    /// The other long edge.
    Upper,
    /// The side at x 0.
    Left,
    /// The other side.
    Right,
}

impl fmt::Display for Edge {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Lower => "lower edge",
            Self::Upper => "upper edge",
            Self::Left => "left side",
            Self::Right => "right side",
        })
    }
}

/// Why a number is missing.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum Why {
    /// The frame was read at too few places.
    #[error("{FEWEST_PLACES} places or more are needed, and the frame was read at {read}")]
    FewPlaces {
        /// How many there are.
        read: usize,
    },
    /// All places have one coordinate in common.
    #[error("all places have the same {}, {at} mm", .axis.coordinate())]
    SamePlace {
        /// Which.
        axis: Axis,
        /// Where.
        at: f64,
    },
    /// Places on one line do not separate the two directions.
    #[error(
        "the places lie on one slanting line, where a gradient {axis} the film cannot be separated from one {}",
        .axis.other()
    )]
    SlantingLine {
        /// The direction asked for.
        axis: Axis,
    },
    /// Fewer than two places.
    #[error("fewer than two places were read")]
    OnePlace,
    /// No place between two edges.
    #[error("no place was read between the edges; three rows of places {axis} the film are needed")]
    NoMiddle {
        /// The direction from edge to edge.
        axis: Axis,
    },
    /// Edges and a gradient cannot be separated.
    #[error("the places do not separate the edges from a gradient in the other direction")]
    NotSeparated,
    /// No place at an edge.
    #[error("no place was read near the {edge}")]
    NoEdge {
        /// The edge.
        edge: Edge,
    },
    /// The film may have no perforations.
    #[error(
        "the frame is wider than one of 135 film, and the distance of the perforations is not known"
    )]
    NoPitch,
    /// The readings are too far apart for a wave.
    #[error(
        "a pattern of {pitch} mm needs readings less than {:.1} mm apart along the edge, over {:.1} mm or more; the widest gap is {gap:.1} mm",
        .pitch / 2.0, .span
    )]
    TooCoarse {
        /// Distance of the perforations in mm.
        pitch: f64,
        /// How far the readings must reach, in mm.
        span: f64,
        /// The widest gap in mm.
        gap: f64,
    },
    /// Too few readings in the edge zones.
    #[error("too few places were read along the edges")]
    FewAlongEdge,
    /// No smooth field.
    #[error("too few places were read for a smooth field")]
    NoField,
    /// Scatter and a smooth field cannot be separated.
    #[error("too few places were read to separate scatter from a smooth field")]
    NoScatter,
    /// The noise of reading is not known.
    #[error("the noise of reading is only assumed; read each place twice")]
    NoiseAssumed,
    /// The number belongs to single frames.
    #[error("it is given for each frame")]
    OfEachFrame,
    /// No frame has the number.
    #[error("no frame has this number")]
    NoFrame,
}
