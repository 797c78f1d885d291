//! `wedgebook calibrate`: a family of strips becomes a pairing.

use super::args::CalibrateArgs;
use super::inputs::beside;
use super::{Failure, Outcome, complain, show};
use crate::answers::{Answer, CalibrateQuestion, Calibrated};
use crate::development::file::Aims;
use crate::readings::read_files;
use crate::show::text;
use crate::units::TemperatureUnit;

pub fn run(args: &CalibrateArgs) -> Result<Outcome, Failure> {
    let readings = read_files(&args.readings, &args.reading.options())?;
    for note in &readings.notes {
        complain(format_args!("note: {note}"));
    }
    let calibrated = Calibrated::of(CalibrateQuestion {
        strips: readings.strips,
        reference: super::inputs::celsius(args.reference, args.reading.fahrenheit)?,
        unit: args
            .reference
            .unit
            .unwrap_or(TemperatureUnit::fahrenheit_if(args.reading.fahrenheit)),
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
