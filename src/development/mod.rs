//! A film in a developer: how contrast grows with time, temperature and the bath's activity.
//!
//! Everything hangs on one number, effective development: θ = ∫ a·k(T)/k(T_ref) dt, in minutes at
//! the reference temperature in a bath of full strength.

mod adjust;
pub mod agitation;
pub mod aim;
pub mod changes;
pub mod convert;
pub mod drift;
mod expectation;
mod exposed;
pub mod file;
mod growth;
pub mod leader;
mod line;
pub mod materials;
mod one_strip;
mod pairing;
mod remarks;
pub mod surface;
pub mod temperature;
mod temperature_log;

pub use adjust::{AdjustNote, Adjusted, Developed, SHORTEST, Unreachable, Wanted, reach};
pub use expectation::{Development, Expectation, Expected};
pub use exposed::{Exposed, Longest};
pub use growth::{Form, Growth, Point};
pub use line::Line;
pub use one_strip::{OneStrip, OneStripNote};
pub use pairing::{Measure, NoPairingSpeed, Pairing, PairingError, PairingNote, PairingSpeed};
pub use remarks::Remarks;
#[cfg(feature = "files")]
pub use temperature_log::read_temperatures;
pub use temperature_log::{
    NotAReading, NotAfter, TemperatureLog, TimedTemperature, temperatures_of_bytes,
};
