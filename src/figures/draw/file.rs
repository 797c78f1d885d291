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
    /// file cannot be written, and those of `Scene::to_png`.
    pub fn save(&self, path: &Path) -> Result<(), FigureError> {
        let bytes = self.bytes(path)?;
        Ok(files::replace(path, &bytes)?)
    }

    /// The picture as the extension of a path says, to be written by somebody else.
    pub(crate) fn bytes(&self, path: &Path) -> Result<Vec<u8>, FigureError> {
        let extension = path.extension().map(|e| e.to_string_lossy().to_ascii_lowercase());
        match extension.as_deref() {
            Some("svg") => Ok(self.to_svg().into_bytes()),
            #[cfg(feature = "raster")]
            Some("png") => self.to_png(),
            _ => Err(FigureError::UnknownFormat { path: path.to_owned(), extension }),
        }
    }
}
