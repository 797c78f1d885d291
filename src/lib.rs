//! Sensitometry for people who develop black-and-white film by hand.
//!
//! A strip of film is exposed through a step tablet, developed, and read with a densitometer. This
//! crate turns those readings into a characteristic curve, the curve into the trade's measures, and
//! gives every measure a 95 % interval or the reason why it has none.
//!
//! Data flows one way, and a room imports only from the rooms before it:
//!
//! | room | holds |
//! |---|---|
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
//! | [`cli`] | one file per command: arguments in, domain call, text or JSON out |

#![forbid(unsafe_code)]
// With fewer features some helpers have no caller.
#![cfg_attr(not(all(feature = "cli", feature = "sheets")), allow(dead_code))]
#![warn(missing_docs)]

pub mod answers;
pub mod bath;
#[cfg(feature = "cli")]
pub mod cli;
pub mod curve;
pub mod development;
pub mod evenness;
#[cfg(feature = "figures")]
pub mod figures;
#[cfg(feature = "files")]
pub mod files;
pub mod measures;
pub mod numerics;
pub mod printing;
pub mod readings;
pub mod session;
pub mod show;
pub mod units;
pub mod words;
