//! How does a bath stand, is it in control, how long will it last; and what was entered in its journal.

pub(in crate::answers) mod balance;
mod change;
pub mod chart;
pub mod entered;
pub mod forecast;
pub mod log;
pub mod status;

pub use balance::in_words;
pub use change::Undone;

use crate::bath::control::{Chart, ChartState};
use crate::bath::forecast::{Assumptions, Bath, ForecastError};
use crate::bath::history::{BathHistory, until};
use crate::bath::journal::{Act, Balance, Entry, Journal};
use crate::bath::limits::Limits;
use crate::bath::standing::Standing;
use crate::bath::verify::{BadLimit, pairing_limits};
use crate::development::Pairing;
use crate::development::file::PairingFile;
use jiff::civil::Date;

/// Why there is no pairing to a journal.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NoPairing {
    /// No strip names one.
    #[error("no strip of the journal names a pairing: name the pairing")]
    NotNamed,
    /// The one that is named is not there.
    #[error("the pairing {0} that the journal names is not found: name the pairing")]
    NotFound(String),
    /// It cannot be used.
    #[error("{0}")]
    Unusable(String),
}

/// Why a journal is not followed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NotFollowed {
    /// It has no entry up to the day.
    #[error("{file}: it has no entry yet")]
    NoEntry {
        /// The journal.
        file: String,
    },
    /// Its entries contradict each other.
    #[error("{file}: {why}")]
    Contradiction {
        /// The journal.
        file: String,
        /// Why.
        why: ForecastError,
    },
}

/// The journal of a bath as it was on a day, with the pairing of its strips.
#[derive(Debug)]
pub struct BathRecord {
    /// The journal, as a person names it.
    pub file: String,
    /// The day.
    pub on: Date,
    /// The entries up to that day.
    pub entries: Vec<Entry>,
    /// What went in and what went through.
    pub balance: Balance,
    /// Whether film may go in.
    pub standing: Standing,
    /// The pairing, or why it is not at hand.
    pub pairing: Result<(PairingFile, Pairing), NoPairing>,
}

impl BathRecord {
    /// The entries of a journal up to a day. `pairing` finds the pairing that the last strip names, if
    /// that is known.
    pub fn of(
        file: String,
        journal: &Journal,
        on: Date,
        pairing: impl FnOnce(Option<&str>) -> Result<(PairingFile, Pairing), NoPairing>,
    ) -> Self {
        let entries = until(journal, on).to_vec();
        let mut balance = Balance::default();
        entries.iter().for_each(|e| balance.enter(e));
        let standing = Standing::of(&entries, on);
        let named = entries.iter().rev().find_map(|e| match &e.act {
            Act::Strip(strip) => strip.pairing.as_deref(),
            _ => None,
        });
        let pairing = pairing(named);
        Self { file, on, entries, balance, standing, pairing }
    }

    /// The limits of the pairing, or those that are assumed.
    ///
    /// # Errors
    /// For a limit in the pairing that cannot be one.
    pub fn limits(&self) -> Result<Limits, BadLimit> {
        pairing_limits(self.pairing.as_ref().ok().and_then(|(file, _)| file.limits))
    }

    /// The bath followed until the day.
    ///
    /// # Errors
    /// [`NotFollowed`], also where there is no bath on that day.
    pub fn follow(&self, assumptions: &Assumptions) -> Result<(BathHistory, Bath), NotFollowed> {
        let file = || self.file.clone();
        let life =
            BathHistory::of(&self.entries).ok_or_else(|| NotFollowed::NoEntry { file: file() })?;
        let bath = Bath::follow(&life.events, assumptions, life.day(self.on))
            .map_err(|why| NotFollowed::Contradiction { file: file(), why })?;
        Ok((life, bath))
    }

    /// The developer of the present bath, as it was named, or its dilution.
    #[must_use]
    pub fn developer(&self) -> Option<&str> {
        let mixed = self.entries.iter().rev().find_map(|e| match &e.act {
            Act::Mix { what, dilution, .. } => Some(what.as_deref().or(dilution.as_deref())),
            _ => None,
        });
        mixed.flatten()
    }

    /// How the bath stands by a chart. What an earlier bath was since is not said of this one.
    fn state(&self, chart: &Chart) -> ChartState {
        let mut state = chart.state();
        let present = self.entries.iter().rev().take_while(|e| !matches!(e.act, Act::Mix { .. }));
        let strips = present.filter(|e| matches!(e.act, Act::Strip(_))).map(|e| e.date);
        if let Some((first, since)) = strips.last().zip(state.since) {
            state.since = Some(since.max(first)).filter(|date| *date < chart.last().date);
        }
        state
    }

    fn title(&self) -> String {
        match self.developer() {
            Some(developer) => format!("{developer} ({} on {})", self.file, self.on),
            None => format!("{} on {}", self.file, self.on),
        }
    }
}
