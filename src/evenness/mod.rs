//! Evenness of development over a frame.

mod analysis;
mod basis;
mod causes;
mod contrasts;
mod findings;
mod geometry;
mod noise;
mod notes;
mod options;
mod pattern;
mod perforations;
mod places;
mod print;
mod spots;
mod surface;
mod test;

pub use analysis::{Evenness, FrameEvenness, Together, Unusable, measure};
pub use causes::{Cause, CauseSource, Sign, causes};
pub use findings::{Finding, Form};
pub use geometry::{FrameSize, Geometry};
pub use noise::{Noise, Source as NoiseSource};
pub use options::Options;
pub use pattern::{Band, Pattern};
pub use places::Places;
pub use print::{Printing, Transition};
pub use spots::Spot;
pub use surface::Field;
pub use test::{Agreement, Test};
