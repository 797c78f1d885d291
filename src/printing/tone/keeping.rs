//! The development that keeps all tones of a scene on a paper.

use super::print_table::PrintTable;
use super::remedy::PrintSetup;
use super::{ChainError, Film, Reproduction};
use crate::development::aim::LEAST_LOSS;
use crate::elementary::pow;
use std::sync::Arc;

/// Times outside those of the strips that are tried: by this factor, a little less than the 1.5 that a
/// time is given for.
const REACH: f64 = 1.499;

/// Number of times tried: steps of about 2 %.
const TIMES: u32 = 120;

/// A development, and what of the scene it loses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kept {
    /// Effective minutes.
    pub theta: f64,
    /// Stops of the scene that are lost.
    pub lost_stops: f64,
}

impl PrintSetup<'_> {
    /// The longest development with which nothing of the scene is lost in the print, so that its tones
    /// are as far apart as they can be; where there is none, the one that loses least.
    ///
    /// Times down to the shortest of the pairing's over 1.5, and up to 1.5 times the longest, are tried, whatever the
    /// setup's own is.
    ///
    /// # Errors
    /// [`ChainError`] where the tones cannot be followed at any time.
    pub fn keeping(&self) -> Result<Kept, ChainError> {
        // Another time does not help where this one cannot be followed.
        self.chain()?;
        let table = self.table(self.paper).ok_or(ChainError::NoSurface)?;
        let kept =
            |(theta, tried): (f64, Reproduction)| Kept { theta, lost_stops: tried.lost_stops() };
        let tries: Vec<Kept> = self.developed(&table).map(kept).collect();
        let whole = tries.iter().rev().find(|kept| kept.lost_stops < LEAST_LOSS);
        let least = || tries.iter().min_by(|a, b| a.lost_stops.total_cmp(&b.lost_stops));
        whole.or_else(least).copied().ok_or(ChainError::NoSurface)
    }

    /// What becomes of the scene for every development that is tried, the shortest first.
    pub(super) fn developed<'s>(
        &'s self,
        table: &'s Arc<PrintTable>,
    ) -> impl Iterator<Item = (f64, Reproduction)> + 's {
        let (low, high) = self.film.pairing.law().range();
        let (low, high) = (low / REACH, high * REACH);
        (0..=TIMES).filter_map(move |k| {
            let theta = low * pow(high / low, f64::from(k) / f64::from(TIMES));
            let film = Film { theta, ..self.film };
            Some((theta, Self { film, ..*self }.tried(table)?))
        })
    }
}
