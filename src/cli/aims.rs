//! What is wanted of the negative, from the pairing's aims and from what was typed.

use super::Failure;
use super::args::{AimArgs, TargetArgs};
use crate::development::aim::{Light, Target};
use crate::development::file::Aims;

/// The pairing's aims with what was typed in their place.
pub fn aims(kept: &Aims, args: &AimArgs) -> Aims {
    let mut aims = kept.clone();
    if let Some(measure) = args.measure {
        aims.measure = measure.into();
    }
    let printing = &mut aims.printing;
    if let Some(light) = args.light {
        let light = Light::from(light);
        if light != printing.light {
            printing.callier = None;
        }
        printing.light = light;
    }
    printing.callier = args.callier.or(printing.callier);
    printing.paper_range = args.paper_range.or(printing.paper_range);
    printing.flare = args.flare.or(printing.flare);
    aims
}

/// The contrast wanted: as typed, or for a scene; a normal scene if nothing was typed.
pub fn target(args: &TargetArgs, aims: &Aims) -> Result<Target, Failure> {
    match args.contrast {
        Some(contrast) => Ok(Target::contrast(contrast)),
        None => {
            let stops = args.scene_stops.unwrap_or(Target::NORMAL_STOPS);
            Ok(Target::scene(stops, &aims.printing)?)
        }
    }
}
