//! Writing a scene to a file: all of it or nothing.

use std::path::Path;

use super::scene::Scene;
use crate::figures::FigureError;
use crate::files;

impl Scene {
    /// Writes the picture as SVG or PNG, by the extension of the path. The file appears
    /// complete or not at all; one that stood there before is replaced.
    ///
    /// # Errors
    /// [`FigureError::UnknownFormat`] for any other extension, [`FigureError::Write`] if the
    /// file cannot be written, and those of [`Scene::to_png`].
    pub fn save(&self, path: &Path) -> Result<(), FigureError> {
        let extension = path.extension().map(|e| e.to_string_lossy().to_ascii_lowercase());
        let bytes = match extension.as_deref() {
            Some("svg") => self.to_svg().into_bytes(),
            Some("png") => self.to_png()?,
            _ => {
                return Err(FigureError::UnknownFormat { path: path.to_owned(), extension });
            }
        };
        files::replace(path, &bytes)
            .map_err(|source| FigureError::Write { path: path.to_owned(), source })
    }
}
