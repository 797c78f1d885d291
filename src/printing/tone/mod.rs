//! Tone reproduction: a scene's luminances through flare, film, light and paper to the print.
//!
//! ```text
//! scene luminance → (metering, flare) film exposure → (development) density of the negative
//!                 → (Callier factor) paper exposure → (paper) density of the print
//! ```
//!
//! Drawn in four quadrants this is the diagram of L. A. Jones. The film is the pairing's development
//! surface; the paper is its fitted curve between the ends of its strip.

mod camera;
mod chain;
mod keeping;
mod print_table;
mod remedy;
mod reproduction;

pub use camera::{Camera, GREY, METERED};
pub use chain::{Chain, ChainError, Film, PrintFor, Printed, Tone};
pub use keeping::Kept;
pub use remedy::{Change, PrintSetup, Remedy};
pub use reproduction::{Cause, Link, Lost, Reproduction};
