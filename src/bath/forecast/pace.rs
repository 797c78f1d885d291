//! The usual pace of a journal.

use super::{Event, EventKind, NoForecast};

/// Days over which the usual pace is taken, and fewest.
const DAYS: (f64, f64) = (180.0, 7.0);

/// How much film is developed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pace {
    pub m2_per_day: f64,
    /// Over how many days.
    pub days: f64,
}

/// Film a day over the last 180 days, or since the journal began; or the reason why not.
pub(super) fn usual(events: &[Event], now: f64) -> Result<Pace, NoForecast> {
    let first = events.first().map_or(now, |e| e.day);
    let since = first.max(now - DAYS.0);
    let (mut area, mut films) = (0.0, 0);
    for event in events.iter().rev().take_while(|e| e.day >= since) {
        if let EventKind::Film { area_m2 } = event.kind {
            area += area_m2;
            films += 1;
        }
    }
    let days = now - since;
    if days < DAYS.1 {
        Err(NoForecast::YoungJournal)
    } else if films < 2 {
        Err(NoForecast::FewFilms { days })
    } else {
        Ok(Pace { m2_per_day: area / days, days })
    }
}
