//! How even development is over frames of evenly exposed film.
//!
//! An evenly lit, blank surface is photographed, the film developed, and each frame read at a grid of
//! places ([`crate::readings::read_frames`]). [`measure`] tells whether density varies by more than
//! reading does, and how; [`Evenness::findings`] what stands out and what that is in a print;
//! [`causes`] what it fits with.
//!
//! x runs along the film in mm from the frame's left side, and grows as the frame numbers rise; y runs
//! across it from the lower edge, the long edge that was lowest in the bath. All intervals are 95 %.
//!
//! | number | definition |
//! |---|---|
//! | gradients along, across | slopes of the plane that fits the densities at the places best (weights 1/σ²), per 10 mm and times the length or width of the frame |
//! | an edge above the middle | coefficient of the edge zone's indicator in a least-squares fit with a constant, the coordinate the other way, and the opposite zone; on a grid the difference of means. A zone is a sixth of what was read, or of a stated depth from the frame's edge |
//! | both edges | the mean of the two |
//! | wave with the perforations | 2√(a² + b²) of a·cos(2πx/p) + b·sin(2πx/p) in the long edges' zones, beside a parabola; needs readings closer than p/2 over 2p |
//! | smooth field | a plane and Legendre products to degree 8 whose coefficients are drawn to 0, how much the restricted likelihood says |
//! | range of the smooth field | its highest less its lowest value at the places read |
//! | spot | density less what the smooth field of all other places foretells there |
//! | scatter | standard deviation from place to place about a polynomial, beyond the noise of reading |
//!
//! Spots are left out of everything else. Gradients and edges are weighted sums of readings, so that
//! their intervals hold whatever the field is; what they estimate is the same sum of the true densities.
//!
//! The noise is that given, or that of repeats (from six degrees of freedom on), or, where σ is only
//! assumed, the scatter about polynomials of all frames (from six degrees of freedom on; below, the
//! assumed σ counts as six readings). No reading is surer than its last decimal over √12.
//!
//! The verdict shares a level of 5 % among a parabola over the frame against the mean (F), scatter
//! against the noise of reading (F), spots, and a wave; several frames share it by Holm's rule.
//!
//! In simulations (`tests/simulation/evenness.rs`, 4,000 rolls a setting) intervals hold in 0.94 to 0.96
//! of frames (those of the range in 0.98), whether the noise is given, repeated or seen in the scatter;
//! even film is called uneven in 0.03 to 0.05 of rolls. The tests print the numbers.

mod analysis;
mod basis;
mod causes;
mod contrasts;
mod departures;
mod estimates;
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
mod why;

pub use analysis::{Evenness, FrameEvenness, Together, Unusable, measure};
pub use causes::{Cause, CauseSource, Sign, causes};
pub use findings::{Finding, Form};
pub use geometry::{FRAME_135, FrameSize, Geometry, OutsideFrame};
pub use noise::{Noise, Source as NoiseSource};
pub use notes::{EvennessNote, Possible};
pub use options::Options;
pub use pattern::{Band, Pattern};
pub use places::Places;
pub use print::{PrintAssumption, Printing, Transition};
pub use spots::Spot;
pub use surface::Field;
pub use test::{Agreement, Test};
pub use why::{Axis, Edge, Why};
