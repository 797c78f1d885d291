//! What several commands read in the same way: temperatures, times, pairings.

use super::{Failure, hint};
use crate::development::Pairing;
use crate::development::file::PairingFile;
use crate::readings::{ReadOptions, Strip, read_files};
use std::path::{Path, PathBuf};

/// The strips in files; prints what was noticed in them.
pub fn strips(files: &[PathBuf], options: &ReadOptions) -> Result<Vec<Strip>, Failure> {
    let readings = read_files(files, options).map_err(|errors| hint::faults(&errors))?;
    hint::notes(&readings.notes);
    Ok(readings.strips)
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
