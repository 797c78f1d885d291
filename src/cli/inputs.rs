//! What several commands read in the same way: temperatures, times, pairings.

use super::{Failure, hint};
use crate::development::Pairing;
use crate::development::file::{Known, PairingFile};
use crate::figures::FigureError;
use crate::figures::draw::Scene;
use crate::files::{NotWritten, replace_all};
use crate::readings::{OpenFault, ReadOptions, Strip, bounded, contents, read_all, read_files};
use std::path::{Path, PathBuf};

/// The strips in files; prints what was noticed in them.
pub fn strips(files: &[PathBuf], options: &ReadOptions) -> Result<Vec<Strip>, Failure> {
    if files.iter().filter(|file| is_standard_input(file)).count() > 1 {
        let once = "standard input can be read once only: give one -";
        return Err(Failure(format!("{once}, or files by their names")));
    }
    let readings = match files.iter().any(|file| is_standard_input(file)) {
        false => read_files(files, options),
        true => read_all(files.iter().map(|file| source(file)), options),
    };
    let readings = readings.map_err(|errors| hint::faults(&errors))?;
    hint::notes(&readings.notes);
    Ok(readings.strips)
}

/// Whether a name stands for standard input. A file of this name is `./-`.
pub fn is_standard_input(file: &Path) -> bool {
    file.as_os_str() == "-"
}

/// The name of a file or of standard input for messages, and its bytes.
fn source(file: &Path) -> (String, Result<Vec<u8>, OpenFault>) {
    match is_standard_input(file) {
        true => ("standard input".to_owned(), bounded(std::io::stdin().lock())),
        false => (file.display().to_string(), contents(file)),
    }
}

/// Files that are made and not yet written.
#[derive(Default)]
pub struct Made(Vec<(PathBuf, Vec<u8>)>);

impl Made {
    /// A file with these bytes.
    pub fn add(&mut self, path: &Path, bytes: Vec<u8>) {
        self.0.push((path.to_owned(), bytes));
    }

    /// A figure; says which letters it cannot draw.
    pub fn draw(&mut self, scene: &Scene, path: &Path) -> Result<(), FigureError> {
        self.add(path, scene.bytes(path)?);
        let missing = scene.without_font();
        let is_png = path.extension().is_some_and(|e| e.eq_ignore_ascii_case("png"));
        if is_png && !missing.is_empty() {
            super::remark(format_args!(
                "note: {}: no font on this computer has the letters {missing}; the picture shows boxes for them. Install a font that has them, or write the figure as .svg",
                path.display()
            ));
        }
        Ok(())
    }

    /// Writes them: all of them are on the disk before the first has its name.
    pub fn write(&self) -> Result<(), NotWritten> {
        replace_all(self.0.iter().map(|(path, bytes)| (path.as_path(), bytes.as_slice())))
    }
}

/// Writes a figure; says which letters it cannot draw.
pub fn draw(scene: &Scene, path: &Path) -> Result<(), FigureError> {
    let mut made = Made::default();
    made.draw(scene, path)?;
    Ok(made.write()?)
}

/// What the strips in a pairing's file show.
pub fn known(path: &Path) -> Result<(PairingFile, Known), Failure> {
    let file = PairingFile::read(path)?;
    let known = file.known(path)?;
    Ok((file, known))
}

/// The pairing in a file.
pub fn pairing(path: &Path) -> Result<(PairingFile, Pairing), Failure> {
    let file = PairingFile::read(path)?;
    let pairing = file.pairing(path)?;
    Ok((file, pairing))
}
