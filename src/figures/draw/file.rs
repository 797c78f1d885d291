//! Writing a scene to a file: all of it or nothing.

use std::io::Write;
use std::path::{Path, PathBuf};

use super::scene::Scene;
use crate::figures::FigureError;

impl Scene {
    /// Writes the picture as SVG or PNG, by the extension of the path. The file appears
    /// complete or not at all; one that stood there before is replaced.
    ///
    /// # Errors
    /// [`FigureError::UnknownFormat`] for any other extension, [`FigureError::Write`] if the
    /// file cannot be written, and those of [`Scene::to_png`].
    pub fn save(&self, path: &Path) -> Result<(), FigureError> {
        let extension = path
            .extension()
            .map(|e| e.to_string_lossy().to_ascii_lowercase());
        let bytes = match extension.as_deref() {
            Some("svg") => self.to_svg().into_bytes(),
            Some("png") => self.to_png()?,
            _ => {
                return Err(FigureError::UnknownFormat {
                    path: path.to_owned(),
                    extension,
                });
            }
        };
        replace(path, &bytes).map_err(|source| FigureError::Write {
            path: path.to_owned(),
            source,
        })
    }
}

/// Writes beside the target, then renames over it.
fn replace(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    };
    let mut builder = tempfile::Builder::new();
    builder.prefix(".figure-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // As an ordinary new file: the umask takes away what it takes from any other.
        builder.permissions(std::fs::Permissions::from_mode(0o666));
    }
    let mut file = builder.tempfile_in(folder)?;
    file.write_all(bytes)?;
    file.persist(path)?;
    Ok(())
}
