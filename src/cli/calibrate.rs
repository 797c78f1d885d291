//! `wedgebook calibrate`: a family of strips becomes a pairing.

use super::args::CalibrateArgs;
use super::inputs::{beside, strips};
use super::{Failure, Outcome, show};
use crate::answers::{Answer, CalibrateQuestion, Calibrated};
use crate::development::file::Aims;
use crate::show::text;
use crate::units::TemperatureUnit;

pub fn run(args: &CalibrateArgs) -> Result<Outcome, Failure> {
    let calibrated = Calibrated::of(CalibrateQuestion {
        strips: strips(&args.readings, &args.reading.options())?,
        reference: args.reference.celsius,
        unit: match args.reading.fahrenheit {
            true => TemperatureUnit::Fahrenheit,
            false => args.reference.unit,
        },
        aims: super::aims::aims(&Aims::default(), &args.aims),
        name: args.name.clone(),
        note: args.note.clone(),
    })?;
    let body = calibrated.file.text(&text::render(&calibrated.describe(), text::WIDTH))?;
    crate::files::replace(&args.out, body.as_bytes())
        .map_err(|e| Failure(format!("{}: cannot be written: {}", args.out.display(), e.kind())))?;
    if let Some(path) = &args.plot {
        let figures = calibrated.figures();
        figures.contrast_time.scene().save(path)?;
        figures.strips.scene().save(&beside(path, "strips"))?;
        if let Some(speed) = figures.speed {
            speed.scene().save(&beside(path, "speed"))?;
        }
    }
    show(&calibrated, args.json)
}
