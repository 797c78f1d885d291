//! What every chart is made of: scales with ticks, a plot area with axes, markers, a legend.

mod legend;
mod marker;
mod plot;
mod scale;

pub use legend::{Entry, Legend, Swatch};
pub use marker::{Marker, SeriesStyle};
pub use plot::{Plot, TICK_TEXT, TITLE_TEXT};
pub use scale::{Scale, Ticks};
