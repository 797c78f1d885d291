//! From a picture of a step tablet and a strip of film to densities: no densitometer needed.
//!
//! A picture here is linear light: a value is proportional to the light that fell on that place of the sensor.

pub mod bracket;
#[cfg(feature = "pictures")]
pub mod file;
pub mod frame;
pub mod layout;
mod note;
pub mod openings;
pub mod patch;
pub mod photometry;
pub mod place;
mod reading;
mod refusal;
pub mod stain;
pub mod steps;

#[cfg(feature = "pictures")]
pub use file::{
    Channel, Encoding, Options, Origin, Picture, PictureError, Refusal, png_of, read_bytes,
};
#[cfg(all(feature = "pictures", feature = "files"))]
pub use file::{open, read};
pub use note::PictureNote;
pub use reading::{Asked, Frames, Reading, STEP_MM, StripStep};
pub use refusal::{NotRead, Which};

/// A picture in linear light, one channel.
#[derive(Clone, Debug, PartialEq)]
pub struct Image {
    /// Columns.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Light, row by row from the upper left corner; 1 is the greatest value that the file can hold.
    pub light: Vec<f32>,
    /// Values from here on are clipped: 1 in most files.
    pub clipped_from: f32,
}

impl Image {
    /// The light at a column and a row, both inside the picture.
    #[must_use]
    pub fn at(&self, column: usize, row: usize) -> f32 {
        self.light[row * self.width + column]
    }

    /// The light at a place between pixels, by the four around it; `None` outside. Whole numbers are the
    /// middles of pixels.
    #[must_use]
    pub fn between(&self, x: f64, y: f64) -> Option<f64> {
        let (last_x, last_y) =
            ((self.width.checked_sub(1)?) as f64, (self.height.checked_sub(1)?) as f64);
        if !(0.0..=last_x).contains(&x) || !(0.0..=last_y).contains(&y) {
            return None;
        }
        let (column, row) = (x.floor() as usize, y.floor() as usize);
        let (right, below) = ((column + 1).min(self.width - 1), (row + 1).min(self.height - 1));
        let (u, v) = (x - x.floor(), y - y.floor());
        let of = |column, row| f64::from(self.at(column, row));
        let upper = (1.0 - u) * of(column, row) + u * of(right, row);
        let lower = (1.0 - u) * of(column, below) + u * of(right, below);
        Some((1.0 - v) * upper + v * lower)
    }
}
