//! What to do with a bath, and why.

use super::cause::Diagnosis;
use super::{Change, WatchedReading};
use crate::bath::limits::Verdict;
use crate::bath::watched::Watched;
use crate::development::SHORTEST;
use crate::measures::Quantity;
use crate::units::Minutes;
use crate::words::{list_and, number, rounded_clock, signed};
use std::fmt;

/// A bath that needs more than this many times its time is to be replenished (common practice, no
/// source).
const LONGEST: f64 = 1.5;
/// Times that differ by less are one time.
const SAME_TIME: f64 = 0.02;

/// What to do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
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
    /// Its code for programs, and the word for it.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Use => "use",
            Self::Lengthen => "lengthen",
            Self::Shorten => "shorten",
            Self::Replenish => "replenish",
            Self::Replace => "replace",
        }
    }
}

impl fmt::Display for Action {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

/// A time of development that gives the aim, and the one that the strip had.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Times {
    /// That gives the aim, in **minutes**.
    pub then: f64,
    /// Of the strip, in **minutes**.
    pub now: f64,
}

impl fmt::Display for Times {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} instead of {}", rounded_clock(self.then), rounded_clock(self.now))
    }
}

/// What to do, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct Advice {
    /// What to do.
    pub action: Action,
    /// What is beyond its limits.
    pub out: Vec<(Watched, Verdict)>,
    /// Why.
    pub because: Because,
}

/// Why a bath is to be used, corrected or given up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Because {
    /// All is within its limits.
    InSpec {
        /// What is so near to a limit that it may be beyond it.
        near: Option<Watched>,
        /// The time that gives the aim itself, where that is another.
        aim: Option<Times>,
    },
    /// Weak, and a longer time makes up for it.
    Slow {
        /// The activity.
        activity: f64,
        /// The time.
        times: Times,
    },
    /// So weak that it is better replenished.
    TooSlow {
        /// The activity.
        activity: f64,
        /// The time that would restore the aim.
        times: Times,
    },
    /// Strong, and a shorter time makes up for it.
    Fast {
        /// The activity.
        activity: f64,
        /// The time.
        times: Times,
    },
    /// Beyond the limits, and yet the strip lies on the pairing's curve.
    NarrowLimits {
        /// The activity.
        activity: f64,
    },
    /// The curve has lost its shape.
    Shape,
    /// The bath fogs.
    Fog {
        /// By how much.
        fog: f64,
        /// Whether speed is lost as well.
        speed_lost: bool,
    },
    /// Speed is lost at equal contrast.
    SpeedLost {
        /// How much log exposure.
        lost: f64,
    },
    /// The time that restores the aim is no development time.
    NoTime,
}

impl Because {
    /// Its code for programs.
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::InSpec { .. } => "in_spec",
            Self::Slow { .. } => "slow",
            Self::TooSlow { .. } => "too_slow",
            Self::Fast { .. } => "fast",
            Self::NarrowLimits { .. } => "narrow_limits",
            Self::Shape => "shape",
            Self::Fog { .. } => "fog",
            Self::SpeedLost { .. } => "speed_lost",
            Self::NoTime => "no_time",
        }
    }
}

impl fmt::Display for Because {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let strength =
            |activity: &f64| format!("the bath has {} of its strength", number(*activity, 2));
        match self {
            Self::InSpec { near, aim } => {
                f.write_str("all is within its limits")?;
                if let Some(near) = near {
                    write!(f, ", but {near} is so near to its limit that it may be beyond it")?;
                }
                aim.iter().try_for_each(|times| write!(f, "; for the aim itself develop {times}"))
            }
            Self::Slow { activity, times } => {
                write!(f, "{}; develop {times}", strength(activity))
            }
            Self::TooSlow { activity, times } => write!(
                f,
                "{}; {times} would restore the aim, but a bath that needs more than {LONGEST} times its time is better replenished (common practice, no source)",
                strength(activity)
            ),
            Self::Fast { activity, times } => {
                write!(f, "{}; develop {times}", strength(activity))?;
                if times.then < SHORTEST {
                    write!(
                        f,
                        ". Less than {SHORTEST:.0} minutes is often uneven (common practice, no source): dilute or cool the bath instead"
                    )?;
                }
                Ok(())
            }
            Self::NarrowLimits { activity } => write!(
                f,
                "{}, and the strip lies on the pairing's curve: the limits are narrower than one strip can show; develop a second strip before you blame the bath",
                strength(activity)
            ),
            Self::Shape => f.write_str("the curve has lost its shape, and no time restores it"),
            Self::Fog { fog, speed_lost } => write!(
                f,
                "base plus fog is off by {}{}, and no time restores that",
                signed(*fog, 2),
                if *speed_lost { " and speed is lost" } else { "" }
            ),
            Self::SpeedLost { lost } => write!(
                f,
                "{} of log exposure is lost at equal contrast, as a bath with too much restrainer loses it: take some of the bath out and replenish; replace it if the next strip is no better (common practice, no source)",
                number(*lost, 2)
            ),
            Self::NoTime => f.write_str("no time that is a development time restores the aim"),
        }
    }
}

/// What is beyond its limits and why, in a sentence.
impl fmt::Display for Advice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.out.is_empty() {
            write!(f, "{}; ", self.out_in_words())?;
        }
        self.because.fmt(f)
    }
}

impl Advice {
    /// "contrast and speed are below their limits".
    #[must_use]
    pub fn out_in_words(&self) -> String {
        let side = |wanted: Verdict, word: &str| {
            let of =
                |(what, verdict): &(Watched, Verdict)| (*verdict == wanted).then(|| what.name());
            let names: Vec<&str> = self.out.iter().filter_map(of).collect();
            match names.as_slice() {
                [] => None,
                [only] => Some(format!("{only} is {word} its limit")),
                several => Some(format!("{} are {word} their limits", list_and(several))),
            }
        };
        let sides = [side(Verdict::Below, "below"), side(Verdict::Above, "above")];
        sides.into_iter().flatten().collect::<Vec<_>>().join(", ")
    }
}

/// What decides.
pub struct Case<'a> {
    pub in_spec: bool,
    pub diagnosis: &'a Diagnosis,
    pub activity: &'a Quantity,
    /// The time that restores the aim, if there is one.
    pub restore: Option<&'a Quantity>,
    pub minutes: Minutes,
    pub watched: &'a [WatchedReading],
}

pub fn choose(case: &Case) -> Advice {
    let (action, because) =
        if case.in_spec { (Action::Use, in_spec(case)) } else { out_of_spec(case) };
    let beyond = |w: &WatchedReading| Some((w.what, w.verdict.filter(|v| *v != Verdict::Within)?));
    Advice { action, out: case.watched.iter().filter_map(beyond).collect(), because }
}

fn out_of_spec(case: &Case) -> (Action, Because) {
    if let Some(times) = case.times() {
        let activity = case.activity.value;
        let factor = times.then / times.now;
        return if factor > LONGEST {
            (Action::Replenish, Because::TooSlow { activity, times })
        } else if factor > 1.0 + SAME_TIME {
            (Action::Lengthen, Because::Slow { activity, times })
        } else if factor < 1.0 - SAME_TIME {
            (Action::Shorten, Because::Fast { activity, times })
        } else {
            (Action::Use, Because::NarrowLimits { activity })
        };
    }
    match &case.diagnosis.change {
        Change::Shape { .. } => (Action::Replace, Because::Shape),
        Change::Shifted { fog, speed_gain } if fogged(case) => {
            let speed_lost = speed_gain.high < 0.0;
            (Action::Replace, Because::Fog { fog: fog.value, speed_lost })
        }
        Change::Shifted { speed_gain, .. } => {
            (Action::Replenish, Because::SpeedLost { lost: 0.0 - speed_gain.value })
        }
        Change::Nothing => (Action::Replace, Because::NoTime),
    }
}

fn fogged(case: &Case) -> bool {
    case.watched.iter().any(|w| w.what == Watched::BasePlusFog && w.verdict == Some(Verdict::Above))
}

fn in_spec(case: &Case) -> Because {
    let near = case.watched.iter().find(|w| {
        let (Some(allowed), Ok(q)) = (w.allowed, &w.deviation) else {
            return false;
        };
        w.verdict.is_some()
            && (allowed.judge(q.low) != Verdict::Within || allowed.judge(q.high) != Verdict::Within)
    });
    let other = |times: &Times| (times.then / times.now - 1.0).abs() > SAME_TIME;
    Because::InSpec { near: near.map(|w| w.what), aim: case.times().filter(other) }
}

impl Case<'_> {
    fn times(&self) -> Option<Times> {
        Some(Times { then: self.restore?.value, now: self.minutes.get() })
    }
}
