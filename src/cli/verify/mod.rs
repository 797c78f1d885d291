//! `wedgebook verify`: does the bath still develop to spec, and can time restore it?

mod args;

pub use args::{Args, ControlArgs};

use super::inputs::{pairing, strips};
use super::{Failure, Outcome, hint, show};
use crate::answers::verify::Control;
use crate::answers::{Verifications, VerifyQuestion};
use crate::bath::history::limits;
use crate::bath::limits::Limits;
use crate::bath::materials::differences;
use crate::bath::verify::pairing_limits;
use crate::curve::Choice;
use crate::development::file::PairingFile;
use crate::development::materials::OfAnother;
use crate::files::{Output, Outputs};
use crate::measures::{StripAnalysis, analyse};
use crate::units::{Celsius, LogExposure, Minutes};
use args::LimitsArg;
use std::path::Path;

/// A typed time and a column's that differ by more are a contradiction.
const SAME_MINUTES: f64 = 0.02;
/// The same of temperatures.
const SAME_CELSIUS: f64 = 0.05;

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    Outputs::beside(args.control.files())
        .reads(&args.bath)
        .writes(args.plot.as_ref(), Output::Picture)
        .check()?;
    let answer = verified(&args.control, args.bath.as_deref())?;
    if let Some(path) = &args.plot {
        crate::cli::inputs::draw(&crate::cli::scene(answer.figure()), path)?;
    }
    show(&answer, args.json)
}

/// The strips that were typed, verified; `journal` is that of the bath.
pub fn verified(args: &ControlArgs, journal: Option<&Path>) -> Result<Verifications, Failure> {
    let (file, pairing) = pairing(&args.pairing)?;
    let others = match journal.filter(|path| path.exists()) {
        Some(path) => of_another_developer(path, &file)?,
        None => Vec::new(),
    };
    if let Some(other) = others.first().filter(|_| !args.anyway) {
        return Err(hint::of_another(other));
    }
    let limits = wanted_limits(args, &file, journal)?;
    // The file was checked when its pairing was fitted.
    let kept = file.log_exposure_clear.and_then(|x| LogExposure::new(x).ok());
    let strips = strips(&args.readings, &args.reading.options(kept)?)?;
    let typed = args.temperature.map(|typed| typed.celsius);
    let strips = analyse(strips, Choice::Auto).into_iter();
    let answer = Verifications::of(VerifyQuestion {
        materials: file.materials(),
        anyway: args.anyway,
        name: file.name,
        pairing: &pairing,
        measure: args.measure.map_or(file.aims.measure, Into::into),
        limits,
        strips: strips
            .map(|a| developed(a, args.minutes.map(Minutes::get), typed))
            .collect::<Result<_, _>>()?,
    });
    match answer {
        Ok(Some(mut answer)) => {
            answer.others = others;
            Ok(answer)
        }
        Ok(None) => Err(Failure("there is no control strip".to_owned())),
        Err(why) => Err(hint::not_verified(&why)),
    }
}

/// How the bath of a journal differs from a pairing.
fn of_another_developer(path: &Path, file: &PairingFile) -> Result<Vec<OfAnother>, Failure> {
    let journal = super::bath::read(path)?;
    Ok(differences(file, &journal.entries, &path.display().to_string()))
}

fn wanted_limits(
    args: &ControlArgs,
    file: &PairingFile,
    journal: Option<&Path>,
) -> Result<Limits, Failure> {
    match args.limits {
        LimitsArg::Pairing => pairing_limits(file.limits)
            .map_err(|why| Failure(format!("{}: {why}", args.pairing.display()))),
        LimitsArg::Radiography => Ok(Limits::mammography_processors()),
        LimitsArg::History => {
            let Some(path) = journal else {
                let why = "--limits history needs the journal of the bath: give --bath JOURNAL.csv";
                return Err(Failure(why.to_owned()));
            };
            limits(&super::bath::read(path)?.entries).map_err(|why| {
                Failure(format!("{}: limits from its history: {why}", path.display()))
            })
        }
    }
}

/// The strip with its development, from what was typed or from its own columns.
fn developed(
    analysis: StripAnalysis,
    minutes: Option<f64>,
    celsius: Option<Celsius>,
) -> Result<Control, Failure> {
    let strip = &analysis.strip;
    let own = strip.minutes.map(Minutes::get);
    let minutes = one(&analysis, "minutes", "minutes", minutes, own, SAME_MINUTES)?;
    let own = strip.celsius.map(Celsius::get);
    let celsius =
        one(&analysis, "temperature", "celsius", celsius.map(Celsius::get), own, SAME_CELSIUS)?;
    Ok(Control { minutes: Minutes::new(minutes)?, celsius: Celsius::new(celsius)?, analysis })
}

/// What was typed for `option` or what stands in `column`; both only if they agree.
fn one(
    analysis: &StripAnalysis,
    option: &str,
    column: &str,
    typed: Option<f64>,
    own: Option<f64>,
    same: f64,
) -> Result<f64, Failure> {
    let place = format!("{}: strip {:?}", analysis.strip.source, analysis.strip.name);
    match (typed, own) {
        (Some(typed), Some(own)) if (typed - own).abs() > same => Err(Failure(format!(
            "{place}: its column {column:?} says {own} and --{option} says {typed}: correct the one that is wrong, or leave --{option} out"
        ))),
        (Some(value), _) | (None, Some(value)) => Ok(value),
        (None, None) => Err(Failure(format!(
            "{place}: the {option} of its development are not known: use --{option}, or a column {column:?}"
        ))),
    }
}
