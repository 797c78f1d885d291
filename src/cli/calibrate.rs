//! `wedgebook calibrate`: a family of strips becomes a pairing.

use super::aims::{AimArgs, aims, new_aims};
use super::inputs::{Made, strips};
use super::options::{DevelopedArgs, ReadingArgs};
use super::way::Way;
use super::{Failure, Outcome, here, hint, progress, show};
use crate::answers::{CalibrateQuestion, Calibration};
use crate::development::file::PairingFile;
use crate::development::materials::Materials;
use crate::files::{Output, Outputs, named_beside};
use crate::show::text;
use crate::units::{LogExposure, Temperature, TemperatureUnit};
use crate::words::counted;
use std::path::PathBuf;

/// What does this film do in this developer?
///
/// Strips that were developed for several times, maybe at several temperatures, become a pairing: how
/// contrast and speed grow with time and temperature. The other commands calculate with it. A pairing may
/// begin with one strip: `adjust` then gives the time for what that strip has.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  wedgebook calibrate data/family.csv --log-exposure-clear 0 --out pairing.toml --plot pairing.svg\n\nExit status: 0 done, 2 wrong usage or unusable input."
)]
pub struct Args {
    /// Readings with times and temperatures: CSV, ISO 28178 text, .xlsx or .ods; a row a reading, or a
    /// column a strip. - reads standard input.
    #[arg(required = true)]
    readings: Vec<PathBuf>,
    /// Write the pairing here. If a pairing is there, its aims, limits, name, notes and comments are kept,
    /// except those that you give now.
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Keep nothing of the pairing that is in this file.
    #[arg(long)]
    replace: bool,
    /// Name of the pairing [default: film and developer]. With it, strips of several films or developers
    /// may make one pairing.
    #[arg(long)]
    name: Option<String>,
    /// Take only the strips of this film.
    #[arg(long, value_name = "NAME")]
    film: Option<String>,
    /// Take only the strips in this developer.
    #[arg(long, value_name = "NAME")]
    developer: Option<String>,
    /// A remark to keep in it.
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
    /// Temperature that effective times are for, as 20 or 68F [default: 20].
    #[arg(long, value_name = "T", value_parser = here::temperature)]
    reference: Option<Temperature>,
    #[command(flatten)]
    aims: AimArgs,
    #[command(flatten)]
    developed: DevelopedArgs,
    #[command(flatten)]
    reading: ReadingArgs,
    /// Draw contrast and exposure index against time here, and the strips' curves beside it, with
    /// -strips in the name, as SVG or PNG by the file's extension.
    #[arg(long, value_name = "FILE.svg|.png")]
    plot: Option<PathBuf>,
    /// Print one JSON document instead of text.
    #[arg(long)]
    json: bool,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let strips_plot = args.plot.as_ref().map(|path| named_beside(path, "strips"));
    Outputs::beside(&args.readings)
        .writes(Some(&args.out), Output::Pairing)
        .writes(args.plot.as_ref(), Output::Picture)
        .writes(strips_plot.as_ref(), Output::Picture)
        .check()?;
    let before = before(args)?;
    let kept = before.as_ref().and_then(|b| LogExposure::new(b.log_exposure_clear?).ok());
    let options = args.developed.with(args.reading.options(kept)?);
    let strips = strips(&args.readings, &options)?;
    let what = format!("calibrating with {}", counted(strips.len(), "strip"));
    let work = progress::begin(what, None, args.json);
    let calibrated = Calibration::of(CalibrateQuestion {
        strips,
        only: Materials { film: args.film.clone(), developer: args.developer.clone() },
        reference: args.reference.map(|typed| typed.celsius),
        log_exposure_clear: options.log_exposure_clear,
        unit: match options.fahrenheit {
            true => TemperatureUnit::Fahrenheit,
            false => args.reference.map_or(TemperatureUnit::Celsius, |typed| typed.unit),
        },
        aims: aims(&before.as_ref().map_or_else(new_aims, |b| Ok(b.aims.clone()))?, &args.aims)?,
        name: args.name.clone(),
        note: args.note.clone(),
        before,
    })
    .map_err(|why| hint::not_calibrated(&args.out, &why))?;
    drop(work);
    let body = calibrated.file().text(&text::render(&calibrated.results(), text::WIDTH))?;
    let mut made = Made::default();
    made.add(&args.out, body.into_bytes());
    if let (Some(path), Some(beside)) = (&args.plot, &strips_plot) {
        for (figure, path) in calibrated.figures().into_iter().zip([path, beside]) {
            made.draw(&super::scene(figure), path)?;
        }
    }
    made.write()?;
    show(&calibrated, args.json)
}

/// The pairing that is replaced, as far as it is kept.
fn before(args: &Args) -> Result<Option<PairingFile>, Failure> {
    let is_there = std::fs::metadata(&args.out).is_ok_and(|file| file.len() > 0);
    if args.replace || !is_there {
        return Ok(None);
    }
    let read = PairingFile::read(&args.out);
    let checked = read.and_then(|file| file.check(&args.out).map(|()| file));
    checked.map(Some).map_err(|why| Failure(format!("{why}; {}", Way::Replace.words())))
}
