//! The drawing layer: a [`Scene`] of paths and text, written as SVG or as antialiased PNG.
//!
//! Both come from the same coordinates, so they differ only in who draws the letters: the viewer
//! in SVG, the embedded font in PNG. Only for scripts that it does not have, the fonts of the system
//! are looked up.

mod area;
#[cfg(feature = "files")]
mod file;
mod font;
mod paint;
mod path;
#[cfg(feature = "raster")]
mod raster;
mod scene;
mod svg;
#[cfg(all(feature = "files", not(target_family = "wasm")))]
mod system_fonts;
mod text;

pub use area::AreaError;
pub use font::{CAP_HEIGHT, shortened, text_width, wrapped};
pub use paint::*;
pub use path::{Path, Rect, Segment};
#[cfg(feature = "raster")]
pub use raster::PIXELS_PER_UNIT;
pub use scene::{MILLIMETRE, Scene};
pub use text::{Anchor, Text};
