//! What every chart is made of: scales with ticks, a plot area with axes, markers, a legend.

mod dates;
mod heading;
mod labels;
mod layer;
mod legend;
mod margin;
mod marker;
mod page;
mod panel;
mod plot;
mod range;
mod scale;
mod spread;
mod thin;

pub use dates::{DateTicks, day_number};
pub use heading::Heading;
pub use labels::Room;
pub use layer::{EDGE_INSET, Layer};
pub use legend::{Entry, Legend, Swatch, key};
pub use margin::Label;
pub use marker::{Marker, SeriesStyle, add_interval_bar, interval_bar};
pub use page::{Axis, Chart, LEFT, WIDTH, plot_width};
pub use panel::{NAME, NAME_COLOUR, Panel};
pub use plot::{Plot, TICK_TEXT, TITLE_TEXT};
pub use range::{bounds, round_range};
pub use scale::{Scale, Ticks};
pub use spread::spread;
