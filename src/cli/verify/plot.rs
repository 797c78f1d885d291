//! The figure of a verification.

use super::Controls;
use crate::cli::inputs::beside;
use crate::figures::{FigureError, control_strip};
use crate::readings::ExposureScale;
use std::path::Path;

/// Draws one strip in `path`, and further ones in files with -2, -3 … in their names.
pub fn save(path: &Path, controls: &Controls) -> Result<(), FigureError> {
    let scale =
        if controls.absolute { ExposureScale::Absolute } else { ExposureScale::Relative };
    for (n, strip) in controls.strips.iter().enumerate() {
        let developed = (strip.minutes, strip.celsius);
        let v = &strip.verification;
        let scene = control_strip(&strip.name, &controls.pairing, developed, scale, v).scene();
        match n {
            0 => scene.save(path)?,
            n => scene.save(&beside(path, &(n + 1).to_string()))?,
        }
    }
    Ok(())
}
