//! What every chart is made of: scales with ticks, a plot area with axes, markers, a legend.

mod dates;
mod heading;
mod labels;
mod legend;
mod marker;
mod plot;
mod range;
mod scale;
mod sheet;
mod spread;

pub use dates::{DateTicks, day_number};
pub use heading::Heading;
pub use labels::Room;
pub use legend::{Entry, Legend, Swatch};
pub use marker::{Marker, SeriesStyle, add_interval_bar, interval_bar};
pub use plot::{Plot, TICK_TEXT, TITLE_TEXT};
pub use range::{bounds, round_range};
pub use scale::{Scale, Ticks};
pub use sheet::Sheet;
pub use spread::spread;
