//! What comes after the developer: stop bath, fixer, wash and wetting agent.

use super::{MINUTES, ML, agitation, stated};
use crate::session::plan::section::Section;
use crate::session::plan::{Fix, PlanError, Stated, Stop, Wash, Washing, Wetting};
use crate::session::washing::{Changes, Running};
use crate::session::{fixing, washing};
use crate::units::{Bounds, ClearingSeconds, FixerShare, FixingFactor, StepSeconds};

/// Seconds in the stop bath: 30 to 60 (US Army SS0509-8, p. 24).
const STOP_SECONDS: f64 = 30.0;
/// Seconds in the wetting agent (common practice, no source).
const WETTING_SECONDS: f64 = 60.0;
const CLEARING: Bounds = ClearingSeconds::BOUNDS;
const SECONDS: Bounds = StepSeconds::BOUNDS;
const FACTOR: Bounds = FixingFactor::BOUNDS;
const RESIDUAL: Bounds = FixerShare::BOUNDS;

pub(super) fn stop(root: &Section<'_>) -> Result<Stop, PlanError> {
    let assumed = Stated { value: STOP_SECONDS, assumed: true };
    let Some(section) = root.section("stop")? else {
        return Ok(Stop { seconds: assumed, dilution: None, agitation: None });
    };
    section.only(&["seconds", "dilution", "agitation"])?;
    Ok(Stop {
        seconds: stated(&section, "seconds", SECONDS, "30", STOP_SECONDS)?,
        dilution: section.parsed("dilution", "1+19")?,
        agitation: agitation(&section)?,
    })
}

pub(super) fn fix(section: &Section<'_>) -> Result<Fix, PlanError> {
    section.only(&[
        "clearing_seconds",
        "fresh_clearing_seconds",
        "factor",
        "ml_per_roll",
        "in_hand_ml",
        "dilution",
        "agitation",
    ])?;
    let clearing = section.number("clearing_seconds", CLEARING, "55")?;
    Ok(Fix {
        clearing_seconds: clearing.ok_or_else(|| {
            section.fault(
                "clearing_seconds",
                "is missing; how long does a piece of film take to clear in the fixer today?",
            )
        })?,
        fresh_clearing_seconds: section.number("fresh_clearing_seconds", CLEARING, "40")?,
        factor: stated(section, "factor", FACTOR, "2", fixing::FACTOR)?,
        ml_per_roll: stated(section, "ml_per_roll", ML, "20", fixing::ML_PER_ROLL)?,
        in_hand_ml: section.number("in_hand_ml", ML, "1000")?,
        dilution: section.parsed("dilution", "1+4")?,
        agitation: agitation(section)?,
    })
}

pub(super) fn wash(root: &Section<'_>) -> Result<Wash, PlanError> {
    let Some(section) = root.section("wash")? else {
        return Ok(Wash {
            residual: Stated { value: washing::RESIDUAL, assumed: true },
            method: Washing::Running { law: Running::default(), assumed: true },
        });
    };
    let (running, changes) = (["half_time_minutes"], ["retained_ml", "total_ml", "minutes_each"]);
    section.only(&["method", "residual", running[0], changes[0], changes[1], changes[2]])?;
    let by_changes =
        section.choice("method", &[("running", false), ("changes", true)])?.unwrap_or(false);
    let foreign: &[&str] = if by_changes { &running } else { &changes };
    if let Some(key) = foreign.iter().find(|key| section.has(key)) {
        let other = if by_changes { "running" } else { "changes" };
        return Err(section
            .fault(key, format!("is only for method = \"{other}\"; write that, or leave it out")));
    }
    let method = if by_changes {
        let needed = |key: &'static str| {
            let found = section.number(key, ML, "1000")?;
            found.ok_or_else(|| section.fault(key, "is missing; changes of water need retained_ml, which stays behind when the water is poured out, and total_ml of the filled vessel"))
        };
        let (retained, total) = (needed("retained_ml")?, needed("total_ml")?);
        let law = Changes::new(retained, total).map_err(|why| section.fault("retained_ml", why))?;
        Washing::Changes {
            law,
            minutes_each: stated(
                &section,
                "minutes_each",
                MINUTES,
                "3",
                washing::MINUTES_PER_CHANGE,
            )?,
        }
    } else {
        let half_time = stated(&section, "half_time_minutes", MINUTES, "1", washing::HALF_TIME)?;
        Washing::Running { law: Running { half_time: half_time.value }, assumed: half_time.assumed }
    };
    Ok(Wash {
        residual: stated(&section, "residual", RESIDUAL, "0.001", washing::RESIDUAL)?,
        method,
    })
}

pub(super) fn wetting(root: &Section<'_>) -> Result<Wetting, PlanError> {
    let Some(section) = root.section("wetting")? else {
        return Ok(Wetting {
            seconds: Stated { value: WETTING_SECONDS, assumed: true },
            dilution: None,
        });
    };
    section.only(&["seconds", "dilution"])?;
    Ok(Wetting {
        seconds: stated(&section, "seconds", SECONDS, "60", WETTING_SECONDS)?,
        dilution: section.parsed("dilution", "1+200")?,
    })
}
