//! From the negative to the print: papers, contact proofs, tone reproduction.
//!
//! | module | holds |
//! |---|---|
//! | [`iso_6846`] | Dmin, Dmax, speed P and range R of a paper strip |
//! | [`grade`] | the table of 1966: grades by log exposure range |
//! | [`settings`] | one paper at several filters or grades, and the one that gives a wanted R |
//! | [`proof`] | the shortest exposure that prints clear film as black; the R that a negative needs |
//! | [`tone`] | scene → negative → print, what is lost on the way, and what would remedy it |

mod black;
mod crossing;
pub mod grade;
pub mod iso_6846;
mod paper;
pub mod proof;
pub mod settings;
pub mod tone;
pub mod why;

pub use grade::Grade;
pub use iso_6846::PaperMeasures;
pub use paper::{Paper, PaperStrip, analyse_papers, name};
pub use settings::Settings;
pub use why::{NoBlack, NoGrade};
