//! `wedgebook curve`: readings to curves, their measures and a figure.

mod json;
mod table;
mod text;

pub use json::strip as strip_document;

use super::args::CurveArgs;
use super::{Failure, Outcome, complain, print};
use crate::figures::CharacteristicFigure;
use crate::measures::{StripAnalysis, analyse};
use crate::readings::{Strip, read_files};

pub fn run(args: &CurveArgs) -> Result<Outcome, Failure> {
    let readings = read_files(&args.readings, &args.reading.options())?;
    for note in &readings.notes {
        complain(format_args!("note: {note}"));
    }
    let analyses = analyse(readings.strips, args.model.into());
    let unusable = analyses.iter().filter(|a| a.result.is_err()).count();
    for (analysis, error) in analyses.iter().filter_map(|a| Some((a, a.result.as_ref().err()?))) {
        complain(format_args!(
            "{}: strip {:?}: {error}",
            analysis.strip.source, analysis.strip.name
        ));
    }
    if let Some(path) = &args.csv {
        crate::files::replace(path, &table::table(&analyses)?)
            .map_err(|e| Failure(format!("{}: cannot be written: {}", path.display(), e.kind())))?;
    }
    if let Some(path) = &args.plot {
        figure(&analyses).scene().save(path)?;
    }
    print(&if args.json { json::document(&analyses)? } else { text::tables(&analyses) })?;
    Ok(if unusable == 0 { Outcome::Done } else { Outcome::Unusable })
}

fn figure(analyses: &[StripAnalysis]) -> CharacteristicFigure {
    let title = match analyses {
        [only] => format!("Characteristic curve of {}", only.strip.name),
        several => format!("Characteristic curves of {} strips", several.len()),
    };
    let subtitle = analyses
        .first()
        .map(|a| development(&a.strip))
        .filter(|s| analyses.len() == 1 && !s.is_empty());
    CharacteristicFigure::of(title, subtitle, analyses)
}

/// Film, developer, time and temperature of a strip, as far as they are known.
fn development(strip: &Strip) -> String {
    let labels = &strip.labels;
    let parts = [
        labels.film.clone(),
        labels.developer.clone(),
        strip.minutes.map(|m| format!("{m} min")),
        strip.celsius.map(|c| format!("{c} °C")),
        labels.date.clone(),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// Notes on a strip, from its reading, its fit and its measures.
fn notes(analysis: &StripAnalysis) -> Vec<String> {
    let mut notes = analysis.strip.notes.clone();
    match &analysis.result {
        Err(error) => notes.push(error.to_string()),
        Ok(analysed) => notes.extend(analysed.fit.notes.iter().map(ToString::to_string)),
    }
    notes
}
