//! Sensitometry for people who develop black-and-white film by hand.
//!
//! A strip of film is exposed through a step tablet, developed, and read with a densitometer. This
//! crate turns those readings into a characteristic curve, the curve into the trade's measures, and
//! gives every measure a 95 % interval or the reason why it has none.
//!
//! Ten lines that read strips, measure and draw them, calibrate the film in its developer, and say
//! how long to develop:
//!
//! ```
//! use wedgebook::{Celsius, Choice, Curves, Measure, Pairing, ReadOptions, Wanted, read_files};
//!
//! # fn main() -> wedgebook::Result<()> {
//! let readings = read_files(&["data/family.csv".into()], &ReadOptions::default())?;
//! let curves = Curves::of(readings.strips.clone(), Choice::Auto);
//! for index in curves.strips.iter().filter_map(|s| s.measures()?.contrast_index.as_ref().ok()) {
//!     println!("{:.3} ({:.3} to {:.3})", index.value, index.low, index.high);
//! }
//! let svg = curves.figure().scene().to_svg();
//! let celsius = Celsius::new(20.0)?;
//! let pairing = Pairing::calibrate(readings.strips, Choice::Auto, celsius)?;
//! let wanted = Wanted { measure: Measure::ContrastIndex, contrast: 0.56, celsius, activity: 1.0, extrapolate: false };
//! let minutes = pairing.adjust(&wanted)?.minutes;
//! # assert!(svg.starts_with("<svg"));
//! # assert!(minutes.low < minutes.value && minutes.value < minutes.high);
//! # assert!((8.0..11.0).contains(&minutes.value), "{minutes:?}");
//! # Ok(())
//! # }
//! ```
//!
//! Everything that can fail converts into [`Error`]. The features `cli`, `figures` and `sheets` are
//! on by default. Without them the core reads from bytes ([`read_bytes`]), takes today's date as an
//! argument, opens no file and starts no thread; `files` and `threads` add those alone.
//!
//! Data flows one way, and a room imports only from the rooms before it:
//!
//! | room | holds |
//! |---|---|
//! | [`elementary`] | `exp`, `ln` and their like, with the same digits on every machine |
//! | [`units`] | the quantities of the trade as small types with bounds |
//! | [`words`] | numbers, times, lists and counts as they are written |
//! | [`numerics`] | least squares and other tools that know nothing of film |
//! | [`readings`] | files to strips, and all other tables: one file per format, positions kept for messages |
//! | [`curve`] | curve models, their fit, suspect readings |
//! | [`measures`] | speed points, gradients, ISO speed: functions of any curve |
//! | [`development`] | contrast against time and temperature, for a film in a developer |
//! | [`bath`] | a bath's activity, journal, control charts and forecast |
//! | [`evenness`] | how even development is over a frame |
//! | [`printing`] | paper speed and range, contact proofs, tone reproduction |
//! | [`session`] | one session: volumes, batches, times, fixing and washing |
//! | [`figures`] | one file per figure on one small drawing layer |
//! | [`answers`] | one answer a question: what is known, its figure, its description |
//! | [`show`] | the faces of a description: text, JSON |
//! | [`cli`] | one file per command: arguments in, question, answer out |

#![forbid(unsafe_code)]
// Digits are the same on every machine: see `elementary`.
#![warn(clippy::disallowed_methods)]
// With fewer features some helpers have no caller.
#![cfg_attr(not(all(feature = "cli", feature = "sheets")), allow(dead_code))]
#![warn(missing_docs)]

pub mod answers;
pub mod bath;
#[cfg(feature = "commands")]
pub mod cli;
pub mod curve;
pub mod development;
pub mod elementary;
mod error;
pub mod evenness;
#[cfg(feature = "figures")]
pub mod figures;
#[cfg(feature = "files")]
pub mod files;
#[cfg(feature = "files")]
pub mod folder;
pub mod measures;
pub mod numerics;
pub mod picture;
pub mod printing;
pub mod readings;
pub mod session;
pub mod show;
pub mod units;
pub mod words;

pub use answers::Curves;
pub use curve::{Choice, FittedCurve};
pub use development::{Adjusted, Measure, Pairing, Wanted};
pub use error::{Error, Result};
pub use measures::{Measures, Quantity, analyse};
#[cfg(feature = "files")]
pub use readings::read_files;
pub use readings::{ReadOptions, Readings, Strip, read_bytes};
pub use units::{Celsius, LogExposure, Minutes};
