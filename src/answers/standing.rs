//! The standing of a bath, as every answer that rests on a kept bath shows it first.

use super::{Answer, Description, Field, Gather, Note, Value};
use crate::bath::standing::{Cause, LastLeader, LastStrip, Standing};
use std::borrow::Cow;
use std::fmt;

/// Why a time, a number of films or a plan is withheld.
#[derive(Clone, Debug, PartialEq)]
pub struct Withheld(pub Standing);

impl fmt::Display for Withheld {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "not given, because the bath is not to be used ({})", self.0.cause)
    }
}

/// The answer to a question about a bath that is not to be used: its standing, and nothing else.
#[derive(Clone, Debug)]
pub struct NotGiven {
    /// What was asked about.
    pub title: String,
    /// What says more of that, such as the day.
    pub heading: Vec<Field>,
    /// What is not given: its key and what it is called.
    pub missing: (&'static str, &'static str),
    /// Why.
    pub why: Withheld,
}

impl Answer for NotGiven {
    fn describe(&self) -> Description {
        let (key, label) = self.missing;
        let mut all = Description::new(self.title.as_str());
        all.first = Some(standing_field(&self.why.0));
        all.heading.clone_from(&self.heading);
        all.field(key, label, Value::Missing);
        all.notes.push(Note::missing(key, label, &self.why));
        all
    }

    fn is_no(&self) -> bool {
        true
    }
}

/// The standing as the field that comes before all others.
#[must_use]
pub fn standing_field(standing: &Standing) -> Field {
    let strip = standing.strip();
    let date = match &standing.cause {
        Cause::Strip(strip) => Some(strip.date),
        Cause::Leader(leader) => Some(leader.date),
        Cause::Discarded { date, .. } => Some(*date),
        Cause::NoBath | Cause::NoStrip => None,
    };
    let number = |of: fn(&LastStrip) -> f64| strip.map(|s| Value::number(of(s), 4)).into();
    let entries: Vec<(Cow<'static, str>, Value)> = vec![
        ("state".into(), standing.state.code().into()),
        ("cause".into(), cause(&standing.cause).into()),
        ("strip".into(), strip.map(|s| s.name.as_str()).into()),
        ("date".into(), date.into()),
        ("verdict".into(), strip.map(|s| s.verdict.as_str()).into()),
        ("age_days".into(), strip.map(|s| s.age_days).into()),
        ("area_m2_since".into(), number(|s| s.area_m2_since)),
        ("added_ml_since".into(), number(|s| s.added_ml_since)),
        ("old".into(), strip.map(|s| s.old).into()),
        ("leader".into(), standing.leader.as_deref().map(leader).into()),
    ];
    let value = Value::Map(entries).worded(standing.to_string());
    Field { leads: true, warns: standing.withholds(), ..Field::new("standing", "bath", value) }
}

/// The last piece of leader, for programs.
fn leader(leader: &LastLeader) -> Value {
    let number = |v: Option<f64>, decimals| v.map(|v| Value::number(v, decimals)).into();
    Value::Map(vec![
        ("name".into(), leader.name.as_deref().into()),
        ("date".into(), leader.date.into()),
        ("activity".into(), number(leader.activity, 3)),
        ("activity_low".into(), number(leader.interval.map(|i| i.0), 3)),
        ("activity_high".into(), number(leader.interval.map(|i| i.1), 3)),
        ("age_days".into(), leader.since.age_days.into()),
        ("area_m2_since".into(), Value::number(leader.since.area_m2, 4)),
        ("added_ml_since".into(), Value::number(leader.since.added_ml, 4)),
        ("old".into(), leader.since.old.into()),
    ])
}

/// What the standing rests on, for programs.
const fn cause(cause: &Cause) -> &'static str {
    match cause {
        Cause::NoBath => "no_bath",
        Cause::NoStrip => "no_strip",
        Cause::Strip(LastStrip { action: None, .. }) => "unknown_verdict",
        Cause::Strip(_) => "strip",
        Cause::Leader(_) => "leader",
        Cause::Discarded { .. } => "discarded",
    }
}
