//! What a forecast rests on.

use super::contradiction::Contradiction;
use super::{Bath, LOWEST_ACTIVITY, NoForecast, ROLL_M2, Strips};
use crate::elementary::exp_m1;
use crate::words::{counted, number, percent};
use std::fmt;

/// What is assumed in a forecast, and what to know about it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ForecastNote {
    /// No strip of this bath was read.
    NoStripOfThisBath {
        /// Standard deviation of the activity of a new bath.
        mixing_sd: f64,
    },
    /// Strips of earlier baths are used too.
    EarlierStrips {
        /// How many.
        strips: usize,
        /// Pieces of leader of earlier baths, which are used in the same way.
        leaders: usize,
        /// Share by which the loss by use differs from bath to bath.
        use_by: f64,
        /// Share by which the loss by age differs.
        age_by: f64,
    },
    /// A strip that the other events contradict.
    Contradicted {
        /// Days ago.
        days_ago: f64,
        /// Standard deviations above (+) or below (−).
        off: f64,
        /// Whether it is a piece of leader.
        leader: bool,
    },
    /// The loss by use rests on an assumption.
    LossByUse {
        /// Whether only more than half of it does.
        in_part: bool,
        /// The share that a film of 36 exposures takes in a litre.
        share: f64,
        /// Within this factor.
        factor: f64,
    },
    /// The loss by age rests on an assumption.
    LossByAge {
        /// Whether only more than half of it does.
        in_part: bool,
        /// The share that 30 days take.
        share: f64,
        /// Within this factor.
        factor: f64,
    },
    /// How unevenly activity is lost rests on an assumption.
    Dispersion {
        /// Whether only more than half of it does.
        in_part: bool,
        /// Share by which a film that takes 5 % takes more or less.
        share: f64,
    },
    /// The strength of the replenisher is assumed.
    Replenisher {
        /// The strength.
        strength: f64,
        /// Its standard deviation.
        sd: f64,
    },
    /// The lowest usable activity is assumed.
    LowestAssumed,
    /// The pace is that of the journal.
    UsualPace {
        /// Over how many days.
        days: f64,
    },
}

impl fmt::Display for ForecastNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mostly = |in_part: &bool| if *in_part { "more than half " } else { "" };
        match self {
            Self::NoStripOfThisBath { mixing_sd } => write!(
                f,
                "no control strip since the bath was mixed: a new bath is assumed to have an activity of 1 ± {}, and the rest comes from earlier baths; read a strip now",
                number(*mixing_sd, 2)
            ),
            Self::EarlierStrips { strips, leaders, use_by, age_by } => write!(
                f,
                "{} of earlier baths are used too; from bath to bath the loss by use is assumed to differ by {} and the loss by age by {}",
                evidence(*strips, *leaders),
                percent(*use_by, 0),
                percent(*age_by, 0)
            ),
            Self::Contradicted { days_ago, off, leader } => {
                let when = match days_ago.round() {
                    0.0 => "today".to_owned(),
                    1.0 => "yesterday".to_owned(),
                    n => format!("{n:.0} days ago"),
                };
                write!(
                    f,
                    "the {} of {when} lies {} standard deviations {} what the other entries lead to: read it again, or look for an entry that is missing",
                    if *leader { "piece of leader" } else { "strip" },
                    number(off.abs(), 1),
                    if *off > 0.0 { "above" } else { "below" }
                )
            }
            Self::LossByUse { in_part, share, factor } => write!(
                f,
                "the loss by use rests {}on an assumption: {} for a film of 36 exposures in a litre, within a factor of {} (common practice, no source)",
                mostly(in_part),
                percent(*share, 1),
                number(*factor, 1)
            ),
            Self::LossByAge { in_part, share, factor } => write!(
                f,
                "the loss by age rests {}on an assumption: {} in 30 days, within a factor of {} (common practice, no source)",
                mostly(in_part),
                percent(*share, 1),
                number(*factor, 1)
            ),
            Self::Dispersion { in_part, share } => write!(
                f,
                "how unevenly activity is lost rests {}on an assumption: a film that takes 5 % takes {} more or less (common practice, no source)",
                mostly(in_part),
                percent(*share, 1)
            ),
            Self::Replenisher { strength, sd } => write!(
                f,
                "the replenisher is assumed to be {} ± {} times as strong as a new bath",
                number(*strength, 2),
                number(*sd, 2)
            ),
            Self::LowestAssumed => write!(
                f,
                "an activity of {} is assumed to be the lowest that is usable (common practice, no source)",
                number(LOWEST_ACTIVITY, 2)
            ),
            Self::UsualPace { days } => write!(
                f,
                "the usual pace is that of the last {days:.0} days, and is assumed to be certain"
            ),
        }
    }
}

impl Bath {
    /// Nothing is known of a bath if no strip of the journal was ever read.
    pub(super) fn carried(&self) -> Result<(), NoForecast> {
        let Strips { present, earlier } = self.strips;
        if present + earlier + self.leaders.present + self.leaders.earlier > 0 {
            return Ok(());
        }
        let lost = self.assumptions.loss_by_use.median * ROLL_M2;
        let films = (0.1 * self.litres / lost).ceil().max(1.0);
        Err(NoForecast::NoStrip { films: films as u32 })
    }

    /// What is assumed in the forecast and what to know about it.
    #[must_use]
    pub fn notes(&self) -> Vec<ForecastNote> {
        if self.carried().is_err() {
            return Vec::new();
        }
        let mut notes = self.on_strips();
        let a = &self.assumptions;
        if let Ok(c) = self.coefficients() {
            let in_part = |said: f64| said >= 0.1;
            if c.by_use.assumed {
                notes.push(ForecastNote::LossByUse {
                    in_part: in_part(c.by_use.said),
                    share: share(a.loss_by_use.median * ROLL_M2),
                    factor: a.loss_by_use.factor(),
                });
            }
            if c.by_age.assumed {
                notes.push(ForecastNote::LossByAge {
                    in_part: in_part(c.by_age.said),
                    share: share(a.loss_by_age.median * 30.0),
                    factor: a.loss_by_age.factor(),
                });
            }
            if c.dispersion.assumed {
                notes.push(ForecastNote::Dispersion {
                    in_part: in_part(c.dispersion.said),
                    share: (0.05 * a.dispersion.median).sqrt(),
                });
            }
        }
        if self.replenished {
            let (strength, sd) = (a.replenisher, a.replenisher_sd);
            notes.push(ForecastNote::Replenisher { strength, sd });
        }
        notes
    }

    /// What there is to say of the strips.
    fn on_strips(&self) -> Vec<ForecastNote> {
        let mut notes = Vec::new();
        let a = &self.assumptions;
        if self.strips.present + self.leaders.present == 0 {
            notes.push(ForecastNote::NoStripOfThisBath { mixing_sd: a.mixing_sd });
        }
        if self.strips.earlier + self.leaders.earlier > 0 {
            notes.push(ForecastNote::EarlierStrips {
                strips: self.strips.earlier,
                leaders: self.leaders.earlier,
                use_by: a.wander_use,
                age_by: a.wander_age,
            });
        }
        let contradicted = |c: &Contradiction| ForecastNote::Contradicted {
            days_ago: self.now - c.day,
            off: c.off,
            leader: c.leader,
        };
        notes.extend(self.contradictions.iter().map(contradicted));
        notes
    }
}

/// How many strips and pieces of leader: `3 strips and 1 piece of leader`.
#[must_use]
pub fn evidence(strips: usize, leaders: usize) -> String {
    let strips_words = counted(strips as u64, "strip");
    let leaders_words = match leaders {
        1 => "1 piece of leader".to_owned(),
        n => format!("{n} pieces of leader"),
    };
    match (strips, leaders) {
        (_, 0) => strips_words,
        (0, _) => leaders_words,
        _ => format!("{strips_words} and {leaders_words}"),
    }
}

/// A loss of ln a as a share of the activity.
fn share(loss: f64) -> f64 {
    -exp_m1(-loss)
}
