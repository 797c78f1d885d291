//! What can go wrong when a figure is written.

use std::path::PathBuf;

/// The extensions of a figure's formats.
const FORMATS: &str = if cfg!(feature = "raster") { ".svg or .png" } else { ".svg" };

/// Why a figure was not written.
#[derive(Debug, thiserror::Error)]
pub enum FigureError {
    /// The file name does not say SVG or PNG.
    #[error(
        "{}: {}; a figure is written as {FORMATS}",
        .path.display(),
        match .extension {
            Some(extension) => format!("no figure format is called .{extension}"),
            None => "the name has no extension to say which format".to_owned(),
        }
    )]
    UnknownFormat {
        /// The path that was asked for.
        path: PathBuf,
        /// Its extension in lower case, if it has one.
        extension: Option<String>,
    },
    /// The file could not be written.
    #[cfg(feature = "files")]
    #[error(transparent)]
    Write(#[from] crate::files::NotWritten),
    /// A picture without pixels, or with too many.
    #[error(
        "a picture of {width:.0} × {height:.0} pixels cannot be drawn: it needs 1 to 100 million"
    )]
    PixelCount {
        /// Width in pixels.
        width: f64,
        /// Height in pixels.
        height: f64,
    },
    /// The PNG encoder refused.
    #[cfg(feature = "raster")]
    #[error("cannot encode the picture as PNG: {0}")]
    Encode(#[from] png::EncodingError),
}
