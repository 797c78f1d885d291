//! What to do with a bath, in one word and one sentence.

use super::cause::Diagnosis;
use super::{Change, Watched, WatchedReading};
use crate::bath::limits::Verdict;
use crate::development::SHORTEST;
use crate::measures::Quantity;
use crate::units::Minutes;
use crate::words::rounded_clock;
use serde::Serialize;

/// A bath that needs more than this many times its time is to be replenished, not waited for (common
/// practice, no source).
const LONGEST: f64 = 1.5;
/// Times that differ by less are one time.
const SAME_TIME: f64 = 0.02;

/// What to do, in one word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Action {
    /// Use the bath as it is.
    Use,
    /// Develop longer.
    Lengthen,
    /// Develop shorter.
    Shorten,
    /// Replenish the bath.
    Replenish,
    /// Make a new bath.
    Replace,
}

impl Action {
    /// The word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Use => "use",
            Self::Lengthen => "lengthen",
            Self::Shorten => "shorten",
            Self::Replenish => "replenish",
            Self::Replace => "replace",
        }
    }
}

/// What the choice hangs on.
pub struct Case<'a> {
    pub in_spec: bool,
    pub diagnosis: &'a Diagnosis,
    pub activity: &'a Quantity,
    /// The time that restores the aim, if there is one.
    pub restore: Option<&'a Quantity>,
    pub minutes: Minutes,
    pub watched: &'a [WatchedReading],
}

pub fn choose(case: &Case) -> (Action, String) {
    let now = rounded_clock(case.minutes.get());
    if case.in_spec {
        return (Action::Use, in_spec(case, &now));
    }
    let out = out_of_spec(case.watched);
    if let Some(restore) = case.restore {
        let (then, a) = (rounded_clock(restore.value), case.activity.value);
        let factor = restore.value / case.minutes.get();
        if factor > LONGEST {
            let why = format!(
                "{out}; the bath works at {a:.2} of its strength: {then} instead of {now} would restore the aim, and a bath that needs more than {LONGEST} times its time is better replenished (common practice, no source)"
            );
            return (Action::Replenish, why);
        }
        if factor > 1.0 + SAME_TIME {
            let why = format!(
                "{out}; the bath works at {a:.2} of its strength and time can make up for it: {then} instead of {now}"
            );
            return (Action::Lengthen, why);
        }
        if factor < 1.0 - SAME_TIME {
            let short = if restore.value < SHORTEST {
                format!(
                    "; that is shorter than {SHORTEST:.0} minutes, and apt to be uneven (common practice, no source): dilute or cool the bath instead"
                )
            } else {
                String::new()
            };
            let why = format!(
                "{out}; the bath works at {a:.2} of its strength: {then} instead of {now} restores the aim{short}"
            );
            return (Action::Shorten, why);
        }
        let why = format!(
            "{out}, though the bath works at {a:.2} of its strength and its curve lies on the pairing's: the limits are narrower than this strip can tell; develop a second one before the bath is blamed"
        );
        return (Action::Use, why);
    }
    match &case.diagnosis.change {
        Change::Shape { .. } => (
            Action::Replace,
            format!("{out}; the curve has lost its shape, which no time gives back"),
        ),
        Change::Shifted { fog, speed_lost } if fogged(case) => {
            let speed = if speed_lost.low > 0.0 { " and speed is lost" } else { "" };
            (
                Action::Replace,
                format!(
                    "{out}; the bath fogs by {:+.2}{speed}, which no time takes away",
                    fog.value
                ),
            )
        }
        Change::Shifted { speed_lost, .. } => (
            Action::Replenish,
            format!(
                "{out}; {:.2} of log exposure is lost at equal contrast, as restrainer that builds up does: take some of the bath out and replenish, and replace it if the next strip is no better (common practice, no source)",
                speed_lost.value
            ),
        ),
        Change::Nothing => {
            (Action::Replace, format!("{out}; no time that can be kept restores the aim"))
        }
    }
}

fn fogged(case: &Case) -> bool {
    case.watched.iter().any(|w| w.what == Watched::BasePlusFog && w.verdict == Some(Verdict::Above))
}

fn in_spec(case: &Case, now: &str) -> String {
    let unsure = case.watched.iter().find(|w| {
        let (Some(allowed), Ok(q)) = (w.allowed, &w.deviation) else {
            return false;
        };
        w.verdict.is_some()
            && (allowed.judge(q.low) != Verdict::Within || allowed.judge(q.high) != Verdict::Within)
    });
    let mut why = match unsure {
        Some(w) => {
            format!("all is within its limits, though {} is too near to one to be sure of", w.name)
        }
        None => "all is within its limits".to_owned(),
    };
    if let Some(restore) = case.restore
        && (restore.value / case.minutes.get() - 1.0).abs() > SAME_TIME
    {
        why.push_str(&format!(
            "; {} instead of {now} gives the aim itself",
            rounded_clock(restore.value)
        ));
    }
    why
}

/// "contrast index is below its limit and speed below its own".
fn out_of_spec(watched: &[WatchedReading]) -> String {
    let out: Vec<String> = watched
        .iter()
        .filter_map(|w| match w.verdict? {
            Verdict::Within => None,
            Verdict::Below => Some(format!("{} is below its limit", w.what.name())),
            Verdict::Above => Some(format!("{} is above its limit", w.what.name())),
        })
        .collect();
    out.join(", ")
}
