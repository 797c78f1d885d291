//! A film in a developer: how contrast grows with time, temperature and the bath's activity.
//!
//! Everything hangs on one number, effective development: θ = ∫ a·k(T)/k(T_ref) dt, in minutes at
//! the reference temperature in a bath of full strength.

pub mod aim;
mod growth;
mod line;
pub mod temperature;

pub use growth::{Form, Growth, Point};
pub use line::Line;
