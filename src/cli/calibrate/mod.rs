//! `wedgebook calibrate`: a family of strips becomes a pairing.

mod figures;
mod json;
mod text;

use super::args::CalibrateArgs;
use super::{Failure, Outcome, print};
use crate::curve::Choice;
use crate::development::aim::development_label;
use crate::development::file::{Aims, PairingFile};
use crate::development::{Adjusted, Pairing, Unreachable, Wanted};
use crate::readings::Strip;

/// One row of the table of times.
pub struct Row {
    stops: f64,
    label: Option<String>,
    contrast: f64,
    answer: Result<Adjusted, Unreachable>,
}

/// A pairing with what is told of it.
pub struct Calibrated {
    file: PairingFile,
    pairing: Pairing,
    rows: Vec<Row>,
}

pub fn run(args: &CalibrateArgs) -> Result<Outcome, Failure> {
    let strips = super::inputs::strips(&args.readings, &args.reading.options())?;
    let reference = args.reference.celsius;
    let aims = super::aims::aims(&Aims::default(), &args.aims);
    let name = args.name.clone().unwrap_or_else(|| name(&strips));
    let file = PairingFile::new(name, reference, args.note.clone(), aims, &strips);
    let pairing = Pairing::calibrate(strips, Choice::Auto, reference)?;
    let rows = rows(&pairing, &file.aims);
    let calibrated = Calibrated { file, pairing, rows };
    let text = text::report(&calibrated);
    let body = calibrated.file.text(&text)?;
    crate::files::replace(&args.out, body.as_bytes())
        .map_err(|e| Failure(format!("{}: cannot be written: {}", args.out.display(), e.kind())))?;
    if let Some(path) = &args.plot {
        figures::save(&calibrated, path)?;
    }
    print(&if args.json { json::document(&calibrated)? } else { text })?;
    Ok(Outcome::Done)
}

/// What a pairing is called if nobody says: film in developer.
fn name(strips: &[Strip]) -> String {
    let of = |f: &dyn Fn(&Strip) -> Option<String>| strips.iter().find_map(f);
    match (of(&|s| s.labels.film.clone()), of(&|s| s.labels.developer.clone())) {
        (Some(film), Some(developer)) => format!("{film} in {developer}"),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => "unnamed pairing".to_owned(),
    }
}

/// The times for each scene range of the aims, at the reference temperature.
fn rows(pairing: &Pairing, aims: &Aims) -> Vec<Row> {
    let row = |&stops: &f64| {
        let contrast = aims.printing.contrast(stops)?;
        let wanted = Wanted {
            measure: aims.measure,
            contrast,
            celsius: pairing.reference,
            activity: 1.0,
            extrapolate: false,
        };
        Some(Row {
            stops,
            label: development_label(stops),
            contrast,
            answer: pairing.adjust(&wanted),
        })
    };
    aims.scene_stops.iter().filter_map(row).collect()
}
