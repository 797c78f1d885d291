//! Why there is no sheet: every reason, with its numbers, worded here.

use crate::bath::standing::Standing;
use crate::development::Unreachable;
use crate::development::materials::OfAnother;
use crate::session::cooling::CoolingError;
use crate::session::fixing::SOURCE;
use crate::session::notes::beyond;
use crate::session::plan::PlanError;
use crate::words::{number, trimmed};
use jiff::civil::Date;

/// Why there is no sheet.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SessionError {
    /// The plan cannot be used.
    #[error(transparent)]
    Plan(#[from] PlanError),
    /// There is no bath to work with.
    #[error("{journal}: {why}; mix a new one and enter it in the journal")]
    Bath {
        /// The journal's file.
        journal: String,
        /// Why not.
        why: NoBath,
    },
    /// The bath is of another developer than the pairing.
    #[error(transparent)]
    OfAnother(#[from] OfAnother),
    /// All is well with the plan, and the answer is no.
    #[error(transparent)]
    No(#[from] NoSession),
}

/// Why a journal has no bath to work with.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum NoBath {
    /// Nothing was mixed.
    #[error("no bath is mixed")]
    NotMixed,
    /// It was thrown away.
    #[error("the bath was discarded on {on}")]
    Discarded {
        /// The day.
        on: Date,
    },
}

/// Why the answer is no.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NoSession {
    /// The pairing does not reach the contrast.
    #[error(transparent)]
    Unreachable(#[from] Unreachable),
    /// The time that follows is none.
    #[error(
        "{} minutes cannot be a development time: choose another temperature or dilution",
        number(*.minutes, 1)
    )]
    NoTime {
        /// What follows.
        minutes: f64,
    },
    /// Flare leaves nothing of the scene.
    #[error(
        "flare of {flare} leaves nothing of a scene of {stops} stops: state a contrast, or correct the flare in the pairing's aims"
    )]
    Flare {
        /// Log exposure of flare.
        flare: f64,
        /// Range of the scene.
        stops: f64,
    },
    /// The developer does not come to the temperature that is wanted.
    #[error("the developer does not reach the temperature that is wanted: {0}")]
    NeverThere(#[from] CoolingError),
    /// The bath has developed as much as it can, as far as is known.
    #[error(
        "{}{}; replenish it or mix a new one, or develop a control strip to determine its activity",
        beyond(*.open_m2, *.capacity_m2),
        if *.assumed { ", which is assumed" } else { "" }
    )]
    BeyondCapacity {
        /// Film that no replenishment has made good, in m².
        open_m2: f64,
        /// Film that the bath develops, in m².
        capacity_m2: f64,
        /// Whether that is assumed.
        assumed: bool,
    },
    /// The fixer is spent.
    #[error(
        "the fixer is spent: it clears in {} s, and the fresh fixer in {} s; at twice that time it is to be replaced ({SOURCE}): mix a fresh one, test it, and write its clearing time into the plan",
        trimmed(*.seconds, 1), trimmed(*.fresh_seconds, 1)
    )]
    FixerSpent {
        /// Clearing time today.
        seconds: f64,
        /// Clearing time in the fresh fixer.
        fresh_seconds: f64,
    },
    /// The bath is not to be used.
    #[error("there is no plan for a bath that is not to be used: {0}")]
    Withheld(Standing),
}
