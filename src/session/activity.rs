//! What is known of a bath's activity today.

use crate::bath::forecast::{Assumptions, Bath};
use crate::bath::history::{BathHistory, until};
use crate::bath::journal::{Act, Journal};
use crate::elementary::ln;
use jiff::civil::Date;

/// The activity of a bath, and where it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct BathActivity {
    /// Activity: 1 as calibrated.
    pub value: f64,
    /// Its 95 % interval, where there is one.
    pub interval: Option<(f64, f64)>,
    /// Where it comes from.
    pub source: ActivitySource,
}

/// Where an activity comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum ActivitySource {
    /// The plan states it.
    Plan,
    /// A control strip of the journal.
    Strip {
        /// Its name.
        name: String,
        /// Its day.
        date: Date,
        /// Its line in the journal.
        line: u64,
        /// The verdict on it, as the journal has it.
        verdict: String,
        /// The pairing that it was verified against.
        pairing: Option<String>,
        /// Film that was developed since, in **m²**.
        area_since_m2: f64,
        /// Whether the whole journal was followed from it until today.
        followed: bool,
    },
    /// A piece of leader of the journal: the present bath has no strip with an activity.
    Leader {
        /// Its name, if it has one.
        name: Option<String>,
        /// Its day.
        date: Date,
        /// Its line in the journal.
        line: u64,
        /// Film that was developed since, in **m²**.
        area_since_m2: f64,
        /// Whether the whole journal was followed from it until today.
        followed: bool,
    },
    /// The strips of earlier baths: the present one has none yet.
    EarlierBaths,
    /// Nothing: a bath as calibrated is assumed.
    Assumed,
}

impl BathActivity {
    /// A bath as calibrated, for want of anything else.
    pub const ASSUMED: Self = Self { value: 1.0, interval: None, source: ActivitySource::Assumed };

    /// Half the width of the 95 % interval of ln a; 0 where there is none.
    #[must_use]
    pub fn ln_half_width(&self) -> f64 {
        match self.interval {
            Some((low, high)) if low > 0.0 && high >= low => ln(high / low) / 2.0,
            _ => 0.0,
        }
    }
}

/// The activity by the latest control strip of the present bath; `None` where it has none with
/// an activity.
///
/// [`super::Session`] takes any other estimate in its place: [`followed`], for one.
#[must_use]
pub fn latest_strip(journal: &Journal) -> Option<BathActivity> {
    let mut area_since_m2 = 0.0;
    for entry in journal.entries.iter().rev() {
        match &entry.act {
            Act::Mix { .. } => return None,
            Act::Film { area_m2, .. } => area_since_m2 += area_m2,
            Act::Strip(strip) => {
                let Some(value) = strip.activity.filter(|a| *a > 0.0) else {
                    continue;
                };
                return Some(BathActivity {
                    value,
                    interval: strip.activity_low.zip(strip.activity_high),
                    source: ActivitySource::Strip {
                        name: strip.name.clone(),
                        date: entry.date,
                        line: entry.line,
                        verdict: strip.verdict.clone(),
                        pairing: strip.pairing.clone(),
                        area_since_m2,
                        followed: false,
                    },
                });
            }
            Act::Replenish { .. } | Act::Leader(_) | Act::Note | Act::Discard => {}
        }
    }
    None
}

/// The activity by the latest piece of leader of the present bath; `None` where it has none.
#[must_use]
pub fn latest_leader(journal: &Journal) -> Option<BathActivity> {
    let mut area_since_m2 = 0.0;
    for entry in journal.entries.iter().rev() {
        match &entry.act {
            Act::Mix { .. } => return None,
            Act::Film { area_m2, .. } => area_since_m2 += area_m2,
            Act::Leader(leader) => {
                let source = ActivitySource::Leader {
                    name: leader.name.clone(),
                    date: entry.date,
                    line: entry.line,
                    area_since_m2,
                    followed: false,
                };
                let interval = leader.activity_low.zip(leader.activity_high);
                return Some(BathActivity { value: leader.activity?, interval, source });
            }
            Act::Strip(_) | Act::Replenish { .. } | Act::Note | Act::Discard => {}
        }
    }
    None
}

/// The activity on a day by the whole journal: its strips, and what went through the bath since
/// (see [`Bath`]); `None` where no strip of any bath has one.
#[must_use]
pub fn followed(journal: &Journal, on: Date) -> Option<BathActivity> {
    let strip = latest_strip(journal).or_else(|| latest_leader(journal));
    let follow = || {
        let life = BathHistory::of(until(journal, on))?;
        let bath = Bath::follow(&life.events, &Assumptions::default(), life.day(on)).ok()?;
        bath.activity().ok()
    };
    let Some(now) = follow() else { return strip };
    let source = match strip.map(|s| s.source) {
        Some(ActivitySource::Strip {
            name, date, line, verdict, pairing, area_since_m2, ..
        }) => ActivitySource::Strip {
            name,
            date,
            line,
            verdict,
            pairing,
            area_since_m2,
            followed: true,
        },
        Some(ActivitySource::Leader { name, date, line, area_since_m2, .. }) => {
            ActivitySource::Leader { name, date, line, area_since_m2, followed: true }
        }
        _ => ActivitySource::EarlierBaths,
    };
    Some(BathActivity { value: now.value, interval: Some((now.low, now.high)), source })
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn journal(rows: &str) -> Journal {
        let head = "date,act,litres,area_m2,strip,activity,activity_low,activity_high,verdict\n";
        Journal::parse("bath.csv", format!("{head}{rows}").as_bytes(), date(2026, 12, 31)).unwrap()
    }

    #[test]
    fn the_latest_strip_that_tells() {
        let found = latest_strip(&journal(
            "2026-01-05,mix,1,,,,,,\n2026-01-06,strip,,,a,0.98,0.96,1.00,in spec\n\
             2026-01-07,film,,0.1,,,,,\n2026-01-08,strip,,,b,,,,in spec\n2026-01-09,film,,0.2,,,,,\n",
        ))
        .unwrap();
        assert_eq!((found.value, found.interval), (0.98, Some((0.96, 1.0))));
        let ActivitySource::Strip { name, line, area_since_m2, .. } = &found.source else {
            panic!("{found:?}");
        };
        assert_eq!((name.as_str(), *line), ("a", 3));
        assert!((area_since_m2 - 0.3).abs() < 1e-12);
        assert!((found.ln_half_width() - ln(1.0_f64 / 0.96) / 2.0).abs() < 1e-12);
    }

    #[test]
    fn a_strip_of_the_bath_before_tells_nothing() {
        let rows =
            "2026-01-05,mix,1,,,,,,\n2026-01-06,strip,,,a,0.98,,,in spec\n2026-01-07,mix,1,,,,,,\n";
        assert_eq!(latest_strip(&journal(rows)), None);
        assert_eq!(BathActivity::ASSUMED.ln_half_width(), 0.0);
    }
}
