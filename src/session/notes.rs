//! What should be known beside a session's numbers: every note, with its numbers, worded here.

use super::capacity::ASSUMED;
use super::fixing::FixingNote;
use super::origin::Origin;
use super::washing::WashingNote;
use crate::bath::film::NOMINAL;
use crate::development::AdjustNote;
use crate::development::aim::Assumption;
use crate::words::{number, trimmed};

/// What should be known beside the numbers.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SessionNote {
    /// The developer is warmer or colder than is wanted, and is used as it is.
    #[error("{}; the time is for the developer as it is", outside(*.now, .range))]
    AsItIs {
        /// Its temperature in °C.
        now: f64,
        /// What is wanted.
        range: Range,
    },
    /// The developer is warmer or colder than is wanted, and film waits.
    #[error(
        "{}; the wait is calculated from two readings by Newton's law: read the thermometer again before film goes in",
        outside(*.now, .range)
    )]
    Waited {
        /// Its temperature in °C.
        now: f64,
        /// What is wanted.
        range: Range,
    },
    /// The developer changes its temperature while film is in it.
    #[error(
        "the developer reaches {} °C during development: put it in a water bath, or correct the time by the temperatures that you read",
        number(*.end, 1)
    )]
    Drifts {
        /// Its temperature at the end, in °C.
        end: f64,
    },
    /// What is to be known of the development time.
    #[error("{0}")]
    Development(AdjustNote),
    /// What is assumed of the print.
    #[error("{0}")]
    Print(Assumption),
    /// The range of the scene is assumed.
    #[error("a scene of {stops} stops is assumed, because the plan states no aim")]
    SceneAssumed {
        /// The range.
        stops: f64,
    },
    /// No strip of the bath is known.
    #[error(
        "the journal has no control strip of this bath: the bath is assumed to be as calibrated, activity 1"
    )]
    NoStrip,
    /// Only a piece of leader of the bath is known.
    #[error(
        "the activity is that of a piece of leader: no control strip of this bath has shown its fog; develop one before film goes in"
    )]
    LeaderOnly,
    /// A fresh developer is taken to be as calibrated.
    #[error("a fresh developer is assumed to be as calibrated, activity 1")]
    FreshAssumed,
    /// The strip was verified against another pairing.
    #[error("the activity is that of a strip that was verified against another pairing, {pairing}")]
    OtherPairing {
        /// Its file.
        pairing: String,
    },
    /// The strip asks for replenishment or a new bath.
    #[error("the latest control strip was {verdict}; do that before film goes in")]
    Verdict {
        /// The verdict of the journal.
        verdict: String,
    },
    /// The capacity is assumed.
    #[error("a capacity of {} m² a litre is {ASSUMED}", trimmed(*.m2_per_litre, 3))]
    CapacityAssumed {
        /// Film a litre, in m².
        m2_per_litre: f64,
    },
    /// How much film replenishment makes good is not known.
    #[error(
        "film before the bath's last replenishment is assumed to be made good by it; replenish_ml_per_roll in the plan determines it"
    )]
    ReplenishmentAssumed,
    /// The bath is used beyond its capacity.
    #[error(
        "{}; the activity shows what the bath still does: develop a control strip after the session",
        beyond(*.open_m2, *.capacity_m2)
    )]
    BeyondCapacity {
        /// Film that no replenishment has made good, in m².
        open_m2: f64,
        /// Film that the bath develops, in m².
        capacity_m2: f64,
    },
    /// The other solutions are to have the developer's temperature.
    #[error(
        "keep the stop bath, the fixer and the wash within about 3 °C of the developer ({})",
        Origin::Practice
    )]
    SameTemperature,
    /// What is to be known of the wash.
    #[error(transparent)]
    Washing(#[from] WashingNote),
    /// What is to be known of the fixer.
    #[error(transparent)]
    Fixing(#[from] FixingNote),
    /// No water brings the stock to the developer's temperature.
    #[error(
        "no water brings the stock to {} °C (the water would have {} °C): bring the stock nearer to that temperature first",
        number(*.celsius, 1), number(*.water, 0)
    )]
    StockTooFar {
        /// Temperature of the mixture in °C.
        celsius: f64,
        /// What the water would have, in °C.
        water: f64,
    },
    /// There are several batches.
    #[error("read the thermometer before every batch: the time is for {} °C", number(*.celsius, 1))]
    EveryBatch {
        /// Temperature of the developer in °C.
        celsius: f64,
    },
    /// What the places of films are counted from.
    #[error("reel 1 is the lowest in the tank, and place 1 on a reel is next to its core")]
    Places,
    /// Areas are nominal.
    #[error("{NOMINAL}")]
    NominalArea,
    /// The session is too long.
    #[error("{hours} hours are long for one session: a larger vessel needs fewer batches")]
    TooLong {
        /// Whole hours.
        hours: u64,
    },
}

/// The temperatures that are wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// The lowest in °C.
    pub lowest: f64,
    /// The highest in °C.
    pub highest: f64,
    /// Whether that is assumed.
    pub assumed: bool,
}

fn outside(now: f64, range: &Range) -> String {
    let called = if now > range.highest { "above" } else { "below" };
    let assumed = if range.assumed {
        format!(", which is assumed ({})", Origin::Practice)
    } else {
        String::new()
    };
    format!(
        "{} °C is {called} the range that is wanted, {} to {} °C{assumed}",
        number(now, 1),
        trimmed(range.lowest, 1),
        trimmed(range.highest, 1)
    )
}

/// A bath beyond its capacity, in words.
pub(super) fn beyond(open_m2: f64, capacity_m2: f64) -> String {
    format!(
        "the bath is used beyond its capacity: {} m² of film that no replenishment has made good, with this session, and the bath develops {} m²",
        number(open_m2, 3),
        number(capacity_m2, 3)
    )
}
