//! What should be known beside the numbers.

use super::analysis::{FEWEST_PLACES, FrameEvenness};
use super::geometry::{FrameSize, Geometry};

/// Below this density film is hardly exposed.
const HARDLY_EXPOSED: f64 = 0.25;
/// Frames smaller than this in both directions were perhaps not measured in millimetres.
const SMALL_MM: f64 = 6.0;

/// Notes on the frames as they were read.
pub(super) fn notes(
    frames: &[FrameEvenness],
    geometry: &Geometry,
    sigma_is_assumed: bool,
) -> Vec<String> {
    let mut notes = Vec::new();
    if sigma_is_assumed {
        notes.push(
            "a standard uncertainty of 0.010 is assumed for each reading; repeats or --density-sigma would tell"
                .to_owned(),
        );
    }
    if geometry.size == FrameSize::Assumed135 {
        notes.push("a frame of 36 × 24 mm is assumed (135 film); --frame gives another".to_owned());
    }
    if geometry.size == FrameSize::AsRead {
        notes.push(format!(
            "the size of the frame is not known: over the frame is over the {:.1} × {:.1} mm read; --frame gives it",
            geometry.length(),
            geometry.width()
        ));
    }
    let few: Vec<&str> =
        frames.iter().filter(|f| f.places.len() < FEWEST_PLACES).map(|f| f.name.as_str()).collect();
    if !few.is_empty() {
        notes.push(format!(
            "read at fewer than {FEWEST_PLACES} places, which tells nothing: frame {}",
            few.join(", ")
        ));
    }
    let small = |(low, high): (f64, f64)| high - low < SMALL_MM;
    if small(geometry.read_along) && small(geometry.read_across) {
        notes.push(format!(
            "the places span {:.1} × {:.1} mm only; x_mm and y_mm are millimetres on the film",
            geometry.read_along.1 - geometry.read_along.0,
            geometry.read_across.1 - geometry.read_across.0
        ));
    }
    let thin: Vec<&str> = frames
        .iter()
        .filter(|f| f.pattern.mean.as_ref().is_ok_and(|m| m.value < HARDLY_EXPOSED))
        .map(|f| f.name.as_str())
        .collect();
    if !thin.is_empty() {
        notes.push(format!(
            "hardly exposed, and uneven development shows little there: frame {}; expose to a density of about 0.8",
            thin.join(", ")
        ));
    }
    notes
}
