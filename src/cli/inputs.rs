//! What several commands read in the same way: temperatures, times, pairings.

use super::{Failure, hint};
use crate::development::Pairing;
use crate::development::file::PairingFile;
use crate::figures::FigureError;
use crate::figures::draw::Scene;
use crate::readings::{ReadOptions, Strip, read_files};
use std::path::{Path, PathBuf};

/// The strips in files; prints what was noticed in them.
pub fn strips(files: &[PathBuf], options: &ReadOptions) -> Result<Vec<Strip>, Failure> {
    let readings = read_files(files, options).map_err(|errors| hint::faults(&errors))?;
    hint::notes(&readings.notes);
    Ok(readings.strips)
}

/// Writes a figure; says which letters it cannot draw.
pub fn draw(scene: &Scene, path: &Path) -> Result<(), FigureError> {
    scene.save(path)?;
    let missing = scene.without_font();
    let is_png = path.extension().is_some_and(|e| e.eq_ignore_ascii_case("png"));
    if is_png && !missing.is_empty() {
        super::complain(format_args!(
            "note: {}: no font on this computer has the letters {missing}; the picture shows boxes for them. Install a font that has them, or write the figure as .svg",
            path.display()
        ));
    }
    Ok(())
}

/// `pairing.svg` → `pairing-strips.svg`.
pub fn beside(path: &Path, what: &str) -> PathBuf {
    let stem = path.file_stem().map_or_else(String::new, |s| s.to_string_lossy().into_owned());
    let extension = path.extension().map_or_else(String::new, |e| e.to_string_lossy().into_owned());
    path.with_file_name(format!("{stem}-{what}.{extension}"))
}

/// The pairing in a file.
pub fn pairing(path: &Path) -> Result<(PairingFile, Pairing), Failure> {
    let file = PairingFile::read(path)?;
    let pairing = file.pairing(path)?;
    Ok((file, pairing))
}
