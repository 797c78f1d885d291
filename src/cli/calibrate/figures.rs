//! The figures of a pairing.

use super::Calibrated;
use crate::cli::inputs::beside;
use crate::figures::{FigureError, characteristic, contrast_time};
use std::path::Path;

/// Draws contrast and exposure index over time in `path`, and the strips' curves in a file with
/// `-strips` in its name.
pub fn save(Calibrated { file, pairing, .. }: &Calibrated, path: &Path) -> Result<(), FigureError> {
    contrast_time(file, pairing).scene().save(path)?;
    characteristic(&pairing.strips).scene().save(&beside(path, "strips"))
}
