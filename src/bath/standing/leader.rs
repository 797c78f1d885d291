//! A piece of leader in the standing of a bath.

use crate::words::{counted, number};
use jiff::civil::Date;
use std::fmt;

/// The last piece of leader of a bath, since its last control strip. It shows the activity, and neither
/// fog nor speed.
#[derive(Clone, Debug, PartialEq)]
pub struct LastLeader {
    /// Its name, if it has one.
    pub name: Option<String>,
    /// The day.
    pub date: Date,
    /// Line of the journal, from 1.
    pub line: u64,
    /// The activity that it showed.
    pub activity: Option<f64>,
    /// Its 95 % interval.
    pub interval: Option<(f64, f64)>,
    /// What happened since.
    pub since: Since,
}

/// How old a strip or a piece is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Since {
    /// In days.
    pub age_days: i32,
    /// Film developed since, in **square metres**.
    pub area_m2: f64,
    /// Replenisher added since, in **ml**.
    pub added_ml: f64,
    /// Whether it is old, by days or by the film since.
    pub old: bool,
}

impl fmt::Display for LastLeader {
    /// `a piece of leader of 2026-11-17 showed activity 0.87, 0.80 to 0.95 (3 days ago)`
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a piece of leader")?;
        if let Some(name) = &self.name {
            write!(f, " ({name})")?;
        }
        write!(f, " of {} showed activity ", self.date)?;
        match self.activity {
            Some(activity) => f.write_str(&number(activity, 2))?,
            None => f.write_str("not known")?,
        }
        if let Some((low, high)) = self.interval {
            write!(f, ", {} to {}", number(low, 2), number(high, 2))?;
        }
        let Since { age_days, area_m2, added_ml, .. } = self.since;
        write!(f, " ({})", since_words(age_days, area_m2, added_ml))
    }
}

/// What happened since: `3 days ago, 0.112 m² of film since`.
pub(super) fn since_words(age_days: i32, area_m2: f64, added_ml: f64) -> String {
    let mut words = match age_days {
        0 => "today".to_owned(),
        days => format!("{} ago", counted(u32::try_from(days).unwrap_or(0), "day")),
    };
    if area_m2 > 0.0 {
        words += &format!(", {} m² of film since", number(area_m2, 3));
    }
    if added_ml > 0.0 {
        words += &format!(", {} ml of replenisher since", number(added_ml, 0));
    }
    words
}
