//! `wedgebook curve`: readings to curves, their measures and a figure.

use super::inputs::{Made, strips};
use super::options::{DevelopedArgs, Model, ReadingArgs};
use super::{Failure, Outcome, complain, progress, show};
use crate::answers::Curves;
use crate::curve::Choice;
use crate::files::{Output, Outputs};
use crate::measures::analyse;
use crate::readings::Strip;
use crate::words::{counted, no_formula};
use std::path::PathBuf;

/// What are the contrast and the speed of this film?
///
/// Fits the characteristic curve of each strip. Gives base plus fog, gamma, contrast index, average
/// gradient, speed points and ISO speed, each with its 95 % interval or the reason why it cannot be
/// determined.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  wedgebook curve data/strip.csv --plot curve.svg\n\nExit status: 0 done, 2 wrong usage or unusable input."
)]
pub struct Args {
    /// Readings: CSV, ISO 28178 text, .xlsx or .ods; a row a reading, or a column a strip. - reads
    /// standard input.
    #[arg(required = true)]
    readings: Vec<PathBuf>,
    /// The curve's model.
    #[arg(long, value_enum, default_value_t = Model::Auto)]
    model: Model,
    #[command(flatten)]
    developed: DevelopedArgs,
    #[command(flatten)]
    reading: ReadingArgs,
    /// Write the fitted curves as a CSV table.
    #[arg(long, value_name = "FILE.csv")]
    csv: Option<PathBuf>,
    /// Write the measures as a CSV table: a row a strip, with the keys of --json as columns.
    #[arg(long, value_name = "FILE.csv")]
    measures: Option<PathBuf>,
    /// Draw the curves, as SVG or PNG by the file's extension.
    #[arg(long, value_name = "FILE.svg|.png")]
    plot: Option<PathBuf>,
    /// Print one JSON document instead of text.
    #[arg(long)]
    json: bool,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    Outputs::beside(&args.readings)
        .writes(args.csv.as_ref(), Output::Table)
        .writes(args.measures.as_ref(), Output::Measures)
        .writes(args.plot.as_ref(), Output::Picture)
        .check()?;
    let options = args.developed.with(args.reading.options(None)?);
    let strips = strips(&args.readings, &options)?;
    let curves = fitted(strips, args.model.into(), args.json);
    for analysis in curves.unusable() {
        if let Err(error) = &analysis.result {
            let strip = &analysis.strip;
            complain(format_args!("{}: strip {:?}: {error}", strip.source, strip.name));
        }
    }
    let mut made = Made::default();
    if let Some(path) = &args.csv {
        made.add(path, table(&curves)?);
    }
    if let Some(path) = &args.measures {
        made.add(path, measures(&curves)?);
    }
    if let Some(path) = &args.plot {
        made.draw(&super::scene(curves.figure()), path)?;
    }
    made.write()?;
    show(&curves, args.json)?;
    Ok(if curves.unusable().next().is_none() { Outcome::Done } else { Outcome::Unusable })
}

/// Strips are fitted in lots of so many, so that it is seen how far the work is.
const LOT: usize = 256;

/// The strips with their curves.
fn fitted(strips: Vec<Strip>, choice: Choice, json: bool) -> Curves {
    let count = strips.len();
    let what = format!("fitting {}", counted(count, "strip"));
    let work = progress::begin(what, (count > LOT).then_some(count), json);
    let mut strips = strips.into_iter();
    let mut analysed = Vec::with_capacity(count);
    while strips.len() > 0 {
        let lot = strips.by_ref().take(LOT).collect();
        analysed.extend(analyse(lot, choice));
        work.did(LOT);
    }
    Curves::of_analysed(analysed)
}

/// The fitted curves as a CSV table.
fn table(curves: &Curves) -> Result<Vec<u8>, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let columns = ["log_exposure", "density", "density_low", "density_high", "slope"];
    writer.write_record(std::iter::once("strip").chain(columns))?;
    for (strip, point) in curves.table() {
        let numbers = point.map(|v| format!("{v:.4}"));
        writer.write_record(
            std::iter::once(&*no_formula(strip)).chain(numbers.iter().map(String::as_str)),
        )?;
    }
    writer.into_inner().map_err(|e| e.into_error().into())
}

/// The measures as a CSV table.
fn measures(curves: &Curves) -> Result<Vec<u8>, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(Curves::measure_columns())?;
    curves.measures().try_for_each(|row| writer.write_record(row))?;
    writer.into_inner().map_err(|e| e.into_error().into())
}
