//! What happens to a bath, and what cannot have happened.

/// Something that happened to a bath.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Event {
    /// When, in days from any origin.
    pub day: f64,
    /// What.
    pub kind: EventKind,
}

/// What happened.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum EventKind {
    /// A new bath was mixed; an older one is gone.
    Mix {
        /// Its volume in litres.
        litres: f64,
    },
    /// Film was developed.
    Film {
        /// Its area in m².
        area_m2: f64,
    },
    /// Replenisher was put in after some of the bath was taken out.
    Replenish {
        /// What was put in, in ml.
        added_ml: f64,
        /// What was taken out before, in ml.
        removed_ml: f64,
    },
    /// A control strip was developed and read.
    Strip {
        /// ln a.
        ln_activity: f64,
        /// Its standard deviation.
        sd: f64,
    },
    /// A piece of leader was developed and read: it shows the activity as a strip does, less surely.
    Leader {
        /// ln a.
        ln_activity: f64,
        /// Its standard deviation.
        sd: f64,
    },
    /// The bath was thrown away.
    Discard,
}

impl EventKind {
    /// What it is, with its article.
    #[must_use]
    pub const fn name(&self) -> &'static str {
        match self {
            Self::Mix { .. } => "a new bath",
            Self::Film { .. } => "a film",
            Self::Replenish { .. } => "a replenishment",
            Self::Strip { .. } => "a control strip",
            Self::Leader { .. } => "a piece of leader",
            Self::Discard => "a bath thrown away",
        }
    }

    /// The first number that cannot be: its name, its value, and what it must be.
    fn fault(&self) -> Option<(&'static str, f64, &'static str)> {
        match *self {
            Self::Mix { litres } => (!(1e-3..=1e6).contains(&litres)).then_some((
                "the litres",
                litres,
                "between 0.001 and a million",
            )),
            Self::Film { area_m2 } => (!(area_m2 > 0.0 && area_m2 <= 1e6)).then_some((
                "the area in m²",
                area_m2,
                "positive, and a million at most",
            )),
            Self::Replenish { added_ml, removed_ml } => {
                [("the millilitres put in", added_ml), ("the millilitres taken out", removed_ml)]
                    .into_iter()
                    .find(|(_, v)| !(0.0..=1e9).contains(v))
                    .map(|(name, value)| (name, value, "zero or more"))
            }
            Self::Strip { ln_activity, sd } | Self::Leader { ln_activity, sd } => {
                if !(ln_activity.abs() <= 5.0) {
                    Some(("the log activity", ln_activity, "between -5 and 5"))
                } else if !(1e-4..=5.0).contains(&sd) {
                    Some(("the standard deviation", sd, "between 0.0001 and 5"))
                } else {
                    None
                }
            }
            Self::Discard => None,
        }
    }
}

/// Why events cannot be followed. `index` counts them from 0.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum ForecastError {
    /// A number that cannot be.
    #[error("{what} on day {day}: {name} must be {must}, and is {found}")]
    Number {
        /// Which event.
        index: usize,
        /// Its day.
        day: f64,
        /// What happened.
        what: &'static str,
        /// Which number.
        name: &'static str,
        /// What it must be.
        must: &'static str,
        /// What it is.
        found: f64,
    },
    /// An event earlier than the one before it.
    #[error("{what} on day {day} comes after an event of day {before}: put the events in order")]
    Order {
        /// Which event.
        index: usize,
        /// Its day.
        day: f64,
        /// What happened.
        what: &'static str,
        /// Day of the event before.
        before: f64,
    },
    /// Something happened where there was no bath.
    #[error(
        "{what} on day {day}, and no bath: tell first when it was mixed, and of how many litres"
    )]
    NoBath {
        /// Which event.
        index: usize,
        /// Its day.
        day: f64,
        /// What happened.
        what: &'static str,
    },
    /// More was taken out than there was.
    #[error("on day {day} {removed_ml} ml were taken out of a bath of {litres} litres")]
    Emptied {
        /// Which event.
        index: usize,
        /// Its day.
        day: f64,
        /// What was taken out.
        removed_ml: f64,
        /// What there was.
        litres: f64,
    },
    /// There is no bath now.
    #[error("there is no bath: {0}")]
    NothingNow(&'static str),
    /// The forecast is asked for a day before the last event.
    #[error("a forecast from day {now} is asked for, and the last event is of day {last}")]
    Past {
        /// The day asked for.
        now: f64,
        /// Day of the last event.
        last: f64,
    },
    /// An assumption that cannot be.
    #[error("{0}")]
    Assumption(&'static str),
}

/// Days farther from their origin than this are a slip.
const FARTHEST_DAY: f64 = 1e7;

/// Refuses events with impossible numbers or out of order.
pub(super) fn check(events: &[Event], now: f64) -> Result<(), ForecastError> {
    let mut before = f64::NEG_INFINITY;
    for (index, event) in events.iter().enumerate() {
        let (day, what) = (event.day, event.kind.name());
        let dated = day.abs() <= FARTHEST_DAY;
        let of_day = (!dated).then_some(("the day", day, "between -10 million and 10 million"));
        if let Some((name, found, must)) = of_day.or_else(|| event.kind.fault()) {
            return Err(ForecastError::Number { index, day, what, name, must, found });
        }
        if day < before {
            return Err(ForecastError::Order { index, day, what, before });
        }
        before = day;
    }
    if !(now >= before && now <= FARTHEST_DAY) {
        return Err(if events.is_empty() {
            ForecastError::NothingNow("nothing has happened yet")
        } else {
            ForecastError::Past { now, last: before }
        });
    }
    Ok(())
}
