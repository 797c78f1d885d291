//! The steps of a batch, and when they come.

use super::{Developing, Fixing};
use crate::session::notes::SessionNote;
use crate::session::plan::{Plan, Stated, Washing};
use crate::session::{Origin, fixing, washing};
use crate::words::counted;
use std::fmt;

/// Agitation where a plan states none.
pub(super) const AS_FOR_STRIPS: &str = "as for the pairing's strips";

/// What is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StepKind {
    /// Loading the vessel.
    Load,
    /// Developing.
    Develop,
    /// The stop bath.
    Stop,
    /// Fixing.
    Fix,
    /// Washing.
    Wash,
    /// The wetting agent.
    Wet,
    /// Drying, out of the vessel.
    Dry,
}

impl StepKind {
    /// Its code for programs.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Wet => "wetting_agent",
            other => other.name(),
        }
    }

    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Load => "load",
            Self::Develop => "develop",
            Self::Stop => "stop",
            Self::Fix => "fix",
            Self::Wash => "wash",
            Self::Wet => "wetting agent",
            Self::Dry => "dry",
        }
    }
}

/// One step of each batch.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What is done.
    pub kind: StepKind,
    /// How long, in seconds.
    pub seconds: u32,
    /// At what temperature, in °C; `None` where it does not matter.
    pub celsius: Option<f64>,
    /// How, in words: agitation, or changes of water.
    pub how: String,
    /// Where the time comes from.
    pub source: StepSource,
}

/// Where the time of a step comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum StepSource {
    /// The plan states it.
    Stated,
    /// Common practice, no source.
    Practice,
    /// The pairing, for today's temperature and activity.
    Pairing,
    /// 30 to 60 s by US Army, subcourse SS0509-8.
    StopBath,
    /// The clearing test.
    ClearingTest {
        /// Fixing time over clearing time.
        factor: f64,
        /// Where that comes from.
        from: Origin,
        /// Clearing time in seconds.
        seconds: f64,
    },
    /// Running water.
    RunningWater {
        /// Minutes in which half of the fixer leaves.
        half_time: f64,
        /// Where that comes from.
        from: Origin,
        /// Share of the fixer that is left.
        left: f64,
    },
    /// Changes of water.
    Changes {
        /// How many.
        changes: u32,
        /// Minutes that each stands.
        each: f64,
        /// Where that comes from.
        from: Origin,
        /// Share of the fixer that is left.
        left: f64,
    },
}

impl StepSource {
    /// Its code for programs.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Stated => "stated",
            Self::Practice => "common_practice",
            Self::Pairing => "pairing",
            Self::StopBath => "us_army_ss0509_8",
            Self::ClearingTest { .. } => "clearing_test",
            Self::RunningWater { .. } => "running_water",
            Self::Changes { .. } => "changes_of_water",
        }
    }
}

impl fmt::Display for StepSource {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::Stated => Origin::Stated.fmt(f),
            Self::Practice => Origin::Practice.fmt(f),
            Self::Pairing => f.write_str("the pairing"),
            Self::StopBath => write!(f, "30 to 60 s, {}", Origin::ArmySs0509),
            Self::ClearingTest { factor, from, seconds } => {
                write!(f, "{factor} times the clearing time of {seconds} s ({from})")
            }
            Self::RunningWater { half_time, from, left } => write!(
                f,
                "half of the fixer leaves in {half_time} min ({from}), down to {}",
                washing::percent(left)
            ),
            Self::Changes { changes, each, from, left } => write!(
                f,
                "{} of {each} min ({from}) leave {}",
                counted(changes, "change"),
                washing::percent(left)
            ),
        }
    }
}

/// A time in whole seconds, rounded up.
fn whole(seconds: f64) -> u32 {
    (seconds - 1e-9).ceil().max(0.0) as u32
}

/// [`StepSource::Stated`], or where the assumption comes from.
const fn source(stated: Stated, otherwise: StepSource) -> StepSource {
    if stated.assumed { otherwise } else { StepSource::Stated }
}

/// The same of a number within a source.
const fn origin(assumed: bool, otherwise: Origin) -> Origin {
    if assumed { otherwise } else { Origin::Stated }
}

/// The steps of each batch.
pub(super) fn steps(
    plan: &Plan,
    developing: &Developing,
    fixing: &Fixing,
    notes: &mut Vec<SessionNote>,
) -> Vec<Step> {
    let celsius = Some(developing.celsius.get());
    let agitation =
        |own: &Option<String>, otherwise: &str| own.clone().unwrap_or_else(|| otherwise.to_owned());
    let timed = |kind, stated: Stated, unit: f64, celsius, how: &str, otherwise| Step {
        kind,
        seconds: whole(unit * stated.value),
        celsius,
        how: how.to_owned(),
        source: source(stated, otherwise),
    };
    notes.push(SessionNote::SameTemperature);
    notes.extend(fixing.test.notes(plan.fix.factor.assumed).into_iter().map(SessionNote::from));
    vec![
        timed(StepKind::Load, plan.load_minutes, 60.0, None, "in the dark", StepSource::Practice),
        Step {
            kind: StepKind::Develop,
            seconds: developing.seconds,
            celsius,
            how: agitation(&plan.developer.agitation, AS_FOR_STRIPS),
            source: StepSource::Pairing,
        },
        timed(
            StepKind::Stop,
            plan.stop.seconds,
            1.0,
            celsius,
            &agitation(&plan.stop.agitation, "all the time"),
            StepSource::StopBath,
        ),
        Step {
            kind: StepKind::Fix,
            seconds: whole(fixing.test.fixing_seconds(fixing.factor)),
            celsius,
            how: agitation(&plan.fix.agitation, "30 s, then 10 s in every minute"),
            source: StepSource::ClearingTest {
                factor: fixing.factor,
                from: origin(plan.fix.factor.assumed, fixing::SOURCE),
                seconds: fixing.test.seconds,
            },
        },
        wash(plan, celsius, notes),
        timed(StepKind::Wet, plan.wetting.seconds, 1.0, celsius, "none", StepSource::Practice),
        timed(
            StepKind::Dry,
            plan.dry_minutes,
            60.0,
            None,
            "hung up, free of dust",
            StepSource::Practice,
        ),
    ]
}

fn wash(plan: &Plan, celsius: Option<f64>, notes: &mut Vec<SessionNote>) -> Step {
    let residual = plan.wash.residual.value;
    let (minutes, how, source) = match plan.wash.method {
        Washing::Running { law, assumed } => {
            let minutes = law.minutes(residual).unwrap_or_default();
            let from = origin(assumed, washing::HALF_TIME_SOURCE);
            let half_time = law.half_time;
            let source = StepSource::RunningWater { half_time, from, left: residual };
            // Half minutes, so that the default is ten and not 9:58.
            ((2.0 * minutes - 1e-9).ceil() / 2.0, "running water".to_owned(), source)
        }
        Washing::Changes { law, minutes_each } => {
            let changes = law.changes(residual).unwrap_or_default().max(1);
            let each = minutes_each.value;
            let from = origin(minutes_each.assumed, washing::CHANGES_SOURCE);
            let left = law.fraction_left(changes);
            let source = StepSource::Changes { changes, each, from, left };
            (f64::from(changes) * each, format!("{changes} changes of {each} min"), source)
        }
    };
    let in_changes = matches!(plan.wash.method, Washing::Changes { .. });
    notes.extend(washing::notes(minutes, in_changes).into_iter().map(SessionNote::from));
    Step { kind: StepKind::Wash, seconds: whole(60.0 * minutes), celsius, how, source }
}
