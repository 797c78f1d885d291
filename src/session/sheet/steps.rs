//! The steps of a batch, and when they come.

use super::{Developing, Fixing};
use crate::session::plan::{Plan, Stated, Washing};
use crate::session::{Origin, fixing, washing};

/// Common practice, in words.
const PRACTICE: &str = "common practice, no source";

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
    /// Where the time comes from, in words.
    pub source: String,
}

/// A time in whole seconds, rounded up.
fn whole(seconds: f64) -> u32 {
    (seconds - 1e-9).ceil().max(0.0) as u32
}

/// What was stated, or where the assumption comes from.
fn source(stated: Stated, otherwise: &str) -> String {
    match stated.assumed {
        true => otherwise.to_owned(),
        false => "as the plan has it".to_owned(),
    }
}

/// The steps of each batch.
pub(super) fn steps(
    plan: &Plan,
    developing: &Developing,
    fixing: &Fixing,
    notes: &mut Vec<String>,
) -> Vec<Step> {
    let celsius = Some(developing.celsius.get());
    let agitation =
        |own: &Option<String>, otherwise: &str| own.clone().unwrap_or_else(|| otherwise.to_owned());
    let timed = |kind, stated: Stated, unit: f64, celsius, how: &str, otherwise: &str| Step {
        kind,
        seconds: whole(unit * stated.value),
        celsius,
        how: how.to_owned(),
        source: source(stated, otherwise),
    };
    notes.push(format!(
        "keep the stop bath, the fixer and the wash within about 3 °C of the developer ({PRACTICE})"
    ));
    vec![
        timed(StepKind::Load, plan.load_minutes, 60.0, None, "in the dark", PRACTICE),
        Step {
            kind: StepKind::Develop,
            seconds: developing.seconds,
            celsius,
            how: agitation(&plan.developer.agitation, "as for the pairing's strips"),
            source: "the pairing".to_owned(),
        },
        timed(
            StepKind::Stop,
            plan.stop.seconds,
            1.0,
            celsius,
            &agitation(&plan.stop.agitation, "all the time"),
            "30 to 60 s, US Army SS0509-8, p. 24",
        ),
        Step {
            kind: StepKind::Fix,
            seconds: whole(fixing.test.fixing_seconds(fixing.factor)),
            celsius,
            how: agitation(&plan.fix.agitation, "30 s, then 10 s in every minute"),
            source: format!(
                "{} times the clearing time of {} s{}",
                fixing.factor,
                fixing.test.seconds,
                if plan.fix.factor.assumed {
                    format!(", {}", fixing::SOURCE)
                } else {
                    String::new()
                }
            ),
        },
        wash(plan, celsius, notes),
        timed(StepKind::Wet, plan.wetting.seconds, 1.0, celsius, "none", PRACTICE),
        timed(StepKind::Dry, plan.dry_minutes, 60.0, None, "hung up, free of dust", PRACTICE),
    ]
}

fn wash(plan: &Plan, celsius: Option<f64>, notes: &mut Vec<String>) -> Step {
    let residual = plan.wash.residual.value;
    let (minutes, how, source) = match plan.wash.method {
        Washing::Running { law, assumed } => {
            let minutes = law.minutes(residual).unwrap_or_default();
            let from = if assumed { washing::HALF_TIME_SOURCE } else { Origin::Stated };
            let source = format!(
                "half of the fixer leaves in {} min ({from}), down to {}",
                law.half_time,
                washing::percent(residual)
            );
            // Half minutes, so that the default is ten and not 9:58.
            ((2.0 * minutes - 1e-9).ceil() / 2.0, "running water".to_owned(), source)
        }
        Washing::Changes { law, minutes_each } => {
            let changes = law.changes(residual).unwrap_or_default().max(1);
            let each = minutes_each.value;
            let from = if minutes_each.assumed { washing::CHANGES_SOURCE } else { Origin::Stated };
            let left = washing::percent(law.fraction_left(changes));
            let source = format!("{changes} changes leave {left}; {each} min each ({from})");
            (f64::from(changes) * each, format!("{changes} changes of {each} min"), source)
        }
    };
    if minutes < washing::LEAST_BY_HANDBOOK {
        notes.push(format!(
            "a law of washing tells the least: {} asks for {} minutes and more in full changes of water every three minutes; where negatives are to last, test the wash",
            washing::HALF_TIME_SOURCE,
            washing::LEAST_BY_HANDBOOK
        ));
    }
    Step { kind: StepKind::Wash, seconds: whole(60.0 * minutes), celsius, how, source }
}
