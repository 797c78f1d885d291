//! How a bath stands at its last strip, and since when.

use super::{Chart, ControlError, Standing};
use crate::bath::control::rules::Rule;
use crate::words::counted;
use jiff::civil::Date;
use std::fmt;

impl Standing {
    /// Its code for programs, and the word for it.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Steady => "steady",
            Self::Watch => "watch",
            Self::Out => "out",
        }
    }
}

/// How a bath stands at its last strip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChartState {
    /// How it stands, or why that is not known.
    pub standing: Result<Standing, ControlError>,
    /// The gravest rule that is broken.
    pub rule: Option<Rule>,
    /// How many more are broken.
    pub more: usize,
    /// The first of the strips up to the last that all break some rule, where that is an earlier one.
    pub since: Option<Date>,
}

impl Chart {
    /// How the bath stands at the last strip, and since when.
    #[must_use]
    pub fn state(&self) -> ChartState {
        let signals = self.last_signals();
        ChartState {
            standing: self.standing(),
            rule: signals.first().map(|s| s.rule),
            more: signals.len().saturating_sub(1),
            since: self.since().filter(|date| *date < self.last().date),
        }
    }
}

impl fmt::Display for ChartState {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (&self.standing, self.rule) {
            (Err(why), _) => return why.fmt(f),
            (Ok(standing), None) => return f.write_str(standing.code()),
            (Ok(standing), Some(rule)) => write!(f, "{}: {}", standing.code(), rule.words())?,
        }
        if self.more > 0 {
            write!(f, " and {}", counted(self.more as u64, "more rule"))?;
        }
        match self.since {
            Some(date) => write!(f, " (since {date})"),
            None => Ok(()),
        }
    }
}
