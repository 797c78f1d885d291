//! What is wanted of the negative, from the pairing's aims and from what was typed.

use super::Failure;
use super::args::{AimArgs, TargetArgs};
use crate::development::aim::{Light, development_label};
use crate::development::file::Aims;

/// The pairing's aims with what was typed in their place.
pub fn aims(kept: &Aims, args: &AimArgs) -> Aims {
    let mut aims = kept.clone();
    if let Some(measure) = args.measure {
        aims.measure = measure.into();
    }
    if let Some(light) = args.light {
        let light = Light::from(light);
        if light != aims.printing.light {
            aims.printing.callier = None;
        }
        aims.printing.light = light;
    }
    aims.printing.callier = args.callier.or(aims.printing.callier);
    aims.printing.paper_range = args.paper_range.unwrap_or(aims.printing.paper_range);
    aims.printing.flare = args.flare.unwrap_or(aims.printing.flare);
    aims
}

/// A contrast, what it is for in words, and what is assumed in it.
pub struct Target {
    pub contrast: f64,
    pub label: Option<String>,
    pub assumptions: Vec<String>,
}

/// The contrast wanted: as typed, or for a scene; a scene of seven stops if nothing was typed.
pub fn target(args: &TargetArgs, aims: &Aims) -> Result<Target, Failure> {
    if let Some(contrast) = args.contrast {
        return Ok(Target { contrast, label: None, assumptions: Vec::new() });
    }
    let stops = args.scene_stops.unwrap_or(7.0);
    let contrast = aims.printing.contrast(stops).ok_or_else(|| {
        Failure(format!(
            "flare of {} leaves nothing of a scene of {stops} stops; give a smaller --flare",
            aims.printing.flare
        ))
    })?;
    let name = development_label(stops).map_or(String::new(), |l| format!(" ({l})"));
    Ok(Target {
        contrast,
        label: Some(format!(
            "a scene of {stops} stops{name} on paper of range R {}",
            aims.printing.paper_range
        )),
        assumptions: aims.printing.assumptions(),
    })
}
