//! What is known or wanted beside the readings.

use super::print::Printing;

/// How the frames are to be judged; the default assumes what a person with 135 film would say.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Options {
    /// Length along the film and width across it of a frame, in **mm**. If it is `None`, 36 × 24 where
    /// all places fit in, else as far as the places reach.
    pub frame: Option<(f64, f64)>,
    /// Depth of the edge zones in **mm** from the frame's edges. If it is `None`, a sixth of what was
    /// read, from the outermost readings inwards.
    pub edge_mm: Option<f64>,
    /// Distance of the perforations in **mm**; 4.75 if it is `None` and the frame is one of 135 film.
    pub pitch_mm: Option<f64>,
    /// How the negative is printed, and what is seen in the print.
    pub printing: Printing,
}
