//! The figure of a verification.

use super::{Controls, Verified};
use crate::bath::verify::{Change, Step};
use crate::cli::inputs::beside;
use crate::figures::{ControlStep, ControlStripFigure, FigureError};
use std::path::Path;

/// Draws one strip in `path`, and further ones in files with -2, -3 … in their names.
pub fn save(path: &Path, controls: &Controls) -> Result<(), FigureError> {
    for (n, strip) in controls.strips.iter().enumerate() {
        let scene = figure(controls, strip).scene();
        match n {
            0 => scene.save(path)?,
            n => scene.save(&beside(path, &(n + 1).to_string()))?,
        }
    }
    Ok(())
}

fn figure(controls: &Controls, strip: &Verified) -> ControlStripFigure {
    let v = &strip.verification;
    let step =
        |s: &Step| ControlStep { log_exposure: s.x, density: s.density, aim: s.aim, sd: s.sd };
    let subtitle = format!(
        "{}, {} min at {} °C: {}",
        controls.pairing,
        strip.minutes,
        strip.celsius,
        v.action.word()
    );
    ControlStripFigure {
        title: format!("Control strip {}", strip.name),
        subtitle: Some(subtitle),
        absolute: controls.absolute,
        steps: v.steps.iter().map(step).collect(),
        curves: v.curves.clone(),
        activity: v.activity.value,
        besides: match &v.change {
            Change::Nothing => None,
            Change::Shifted { fog, speed_lost } => {
                Some(format!("with fog {:+.2}, speed {:+.2}", fog.value, -speed_lost.value))
            }
            Change::Shape { .. } => Some("the nearest that the film has".to_owned()),
        },
    }
}
