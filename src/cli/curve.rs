//! `wedgebook curve`: readings to curves, their measures and a figure.

use super::args::CurveArgs;
use super::inputs::strips;
use super::{Failure, Outcome, complain, show};
use crate::answers::Curves;

pub fn run(args: &CurveArgs) -> Result<Outcome, Failure> {
    let strips = strips(&args.readings, &args.reading.options())?;
    let curves = Curves::of(strips, args.model.into());
    for analysis in curves.unusable() {
        if let Err(error) = &analysis.result {
            let strip = &analysis.strip;
            complain(format_args!("{}: strip {:?}: {error}", strip.source, strip.name));
        }
    }
    if let Some(path) = &args.csv {
        crate::files::replace(path, &table(&curves)?)
            .map_err(|e| Failure(format!("{}: cannot be written: {}", path.display(), e.kind())))?;
    }
    if let Some(path) = &args.plot {
        curves.figure().scene().save(path)?;
    }
    show(&curves, args.json)?;
    Ok(if curves.unusable().next().is_none() { Outcome::Done } else { Outcome::Unusable })
}

/// The fitted curves as a CSV table.
fn table(curves: &Curves) -> Result<Vec<u8>, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let columns = ["log_exposure", "density", "density_low", "density_high", "slope"];
    writer.write_record(std::iter::once("strip").chain(columns))?;
    for (strip, point) in curves.table() {
        let numbers = point.map(|v| format!("{v:.4}"));
        writer.write_record(std::iter::once(strip).chain(numbers.iter().map(String::as_str)))?;
    }
    writer.into_inner().map_err(|e| e.into_error().into())
}
