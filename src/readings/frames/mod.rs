//! Frames of evenly exposed film, read at a grid of places: from a file to [`Frames`].
//!
//! [`read_frames`] reads the formats that strips come in, but for ISO 28178 text. The first row names
//! the columns, in any order:
//!
//! | column | content |
//! |---|---|
//! | `frame` | the frame's name; may be left out where the file has one frame |
//! | `x_mm` | place along the film, in mm from the frame's left side; x grows as the frame numbers rise |
//! | `y_mm` | place across the film, in mm from the frame's lower edge: the long edge that was lowest in the bath |
//! | `density` | the reading; rows of one frame at one place are repeats |
//! | `sigma` | standard uncertainty of the density |
//! | `film`, `developer`, `date`, `note` | free text, one for the file |

mod gather;

#[cfg(feature = "files")]
use std::path::Path;

use crate::units::{Density, DensityNoise, DensitySigma, Millimetres};

use super::Labels;
use super::errors::ReadErrors;
use super::note::Note;
use super::small::SmallTable;
use gather::{NAMES, frames};

/// What was read from a file of frames.
#[derive(Clone, Debug, PartialEq)]
pub struct Frames {
    /// The file, as the user wrote it.
    pub source: String,
    /// The frames in the order of their first rows: at least one.
    pub frames: Vec<Frame>,
    /// Free text for the output.
    pub labels: Labels,
    /// Whether nobody gave the standard uncertainty of some reading.
    pub sigma_is_assumed: bool,
    /// What the reader noticed.
    pub notes: Vec<Note>,
}

/// One frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Frame {
    /// Its name in the file, or the file's stem where the file has no names.
    pub name: String,
    /// Its readings in the order of the file: at least one.
    pub readings: Vec<PlaceReading>,
}

/// One density reading at a place of a frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlaceReading {
    /// Place along the film.
    pub x: Millimetres,
    /// Place across the film.
    pub y: Millimetres,
    /// The density read.
    pub density: Density,
    /// Standard uncertainty of `density`.
    pub sigma: DensitySigma,
    /// Line of the file (or row of the sheet), from 1.
    pub line: u32,
}

/// Reads the frames of a file; `sigma` is the standard uncertainty of readings that give none,
/// 0.010 if it is `None`.
///
/// # Errors
/// [`ReadErrors`] with every fault of the file; no frames are returned beside faults.
#[cfg(feature = "files")]
pub fn read_frames(path: &Path, sigma: Option<DensityNoise>) -> Result<Frames, ReadErrors> {
    frames(&path.display().to_string(), SmallTable::read(path, &NAMES)?, sigma)
}

/// Reads the frames of a file's `bytes`; `name` stands for the file in messages.
///
/// # Errors
/// [`ReadErrors`] with every fault.
///
/// # Example
/// ```
/// use wedgebook::readings::frames_of_bytes;
///
/// let text = b"frame;x_mm;y_mm;density\n7;2,0;12;0,84\n7;18,0;12;0,85\n";
/// let frames = frames_of_bytes("roll.csv", text, None)?;
/// assert_eq!(frames.frames[0].name, "7");
/// assert_eq!(frames.frames[0].readings[1].x.get(), 18.0);
///
/// let fault = frames_of_bytes("roll.csv", b"x_mm,y_mm,density\n2,12,0.8.4\n", None);
/// assert_eq!(
///     fault.unwrap_err().to_string(),
///     "roll.csv:2, column \"density\": \"0.8.4\" is not a number; write one density, as 0.62"
/// );
/// # Ok::<(), wedgebook::readings::ReadErrors>(())
/// ```
pub fn frames_of_bytes(
    name: &str,
    bytes: &[u8],
    sigma: Option<DensityNoise>,
) -> Result<Frames, ReadErrors> {
    frames(name, SmallTable::of_bytes(name, bytes, &NAMES)?, sigma)
}
