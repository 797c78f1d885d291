//! `wedgebook exposure`: the exposure behind the clear part of a step tablet.

use super::{Failure, Outcome, hint, remark, show};
use crate::answers::{Exposure, ExposureQuestion};
use crate::measures::exposing::ExposedBy;
use crate::readings::{Note, ReadOptions, read_files};
use crate::units::{Density, ExposureIndex, ExposureSeconds, ExposureValue, Lux};
use clap::Args as Group;
use std::path::PathBuf;

/// What exposure does film get behind the clear part of the step tablet?
///
/// From a lux meter, from a light meter, from a film of known speed exposed in the same way, or from a camera.
/// The answer is what `--log-exposure-clear` of the other commands needs.
#[derive(Debug, Group)]
#[command(
    after_help = "Examples:\n  wedgebook exposure --lux 2.5 --seconds 0.5\n  wedgebook exposure --ev 1.3 --seconds 0.5\n  wedgebook exposure --known data/control.csv --speed 125\n  wedgebook exposure --exposure-index 100\n\nExit status: 0 done, 2 wrong usage or unusable input."
)]
#[group(skip)]
pub struct Args {
    #[command(flatten)]
    by: ByArgs,
    /// Time of the exposure in seconds.
    #[arg(long, value_name = "SECONDS", required_unless_present_any = ["known", "exposure_index"], conflicts_with_all = ["known", "exposure_index"])]
    seconds: Option<ExposureSeconds>,
    /// ISO speed of the film of known speed.
    #[arg(long, value_name = "S", requires = "known")]
    speed: Option<ExposureIndex>,
    /// Density of a filter between light and film that was not before the meter.
    #[arg(long, value_name = "D", conflicts_with = "known")]
    filter_density: Option<Density>,
    /// Print one JSON document instead of text.
    #[arg(long)]
    json: bool,
}

/// How the exposure is known.
#[derive(Debug, Group)]
#[group(required = true, multiple = false)]
struct ByArgs {
    /// Illuminance where the film lies, in lux, by a lux meter.
    #[arg(long, value_name = "E")]
    lux: Option<Lux>,
    /// Exposure value at ISO 100 where the film lies, by a light meter for incident light.
    #[arg(long, value_name = "EV", allow_hyphen_values = true)]
    ev: Option<ExposureValue>,
    /// Readings of one strip of a film of known speed, exposed in the same way.
    #[arg(long, value_name = "STRIP.csv", requires = "speed")]
    known: Option<PathBuf>,
    /// The camera's meter, set to this exposure index, was held to the clear part of the tablet.
    #[arg(long, value_name = "EI")]
    exposure_index: Option<ExposureIndex>,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let by = match (&args.by, args.seconds) {
        (ByArgs { lux: Some(lux), .. }, Some(seconds)) => {
            ExposedBy::LuxMeter { lux: *lux, seconds }
        }
        (ByArgs { ev: Some(value), .. }, Some(seconds)) => {
            ExposedBy::LightMeter { value: *value, seconds }
        }
        (ByArgs { exposure_index: Some(index), .. }, _) => ExposedBy::Camera { index: *index },
        (ByArgs { known: Some(path), .. }, _) => {
            let speed = args.speed.ok_or_else(|| Failure("--known needs --speed".to_owned()))?;
            known_film(path, speed)?
        }
        _ => return Err(Failure("--lux and --ev need --seconds".to_owned())),
    };
    let filter = args.filter_density.map_or(0.0, Density::get);
    let exposure = Exposure::of(ExposureQuestion { by, filter });
    let outcome = show(&exposure, args.json)?;
    remark(format_args!(
        "use --log-exposure-clear {:.2} --exposure-sigma {:.2} in `curve` and `calibrate`; a pairing keeps it",
        exposure.log_exposure.value,
        exposure.question.by.sd()
    ));
    Ok(outcome)
}

/// By the strip of a film of known speed.
fn known_film(path: &PathBuf, speed: ExposureIndex) -> Result<ExposedBy, Failure> {
    let files = std::slice::from_ref(path);
    let readings = read_files(files, &ReadOptions::default()).map_err(|e| hint::faults(&e))?;
    let to_clear = |note: &Note| matches!(note, Note::RelativeToClear { .. });
    if !readings.notes.iter().any(to_clear) {
        return Err(Failure(format!(
            "{}: the exposures must be tablet densities, in a column tablet_density: the exposure behind clear tablet is what is asked for",
            path.display()
        )));
    }
    let mut strips = readings.strips;
    let (Some(strip), true) = (strips.pop(), strips.is_empty()) else {
        return Err(Failure(format!(
            "{}: readings of one strip are needed, the film of known speed",
            path.display()
        )));
    };
    let name = strip.name.clone();
    ExposedBy::known_film(strip, speed)
        .map_err(|why| Failure(format!("{}: strip {name:?}: {why}", path.display())))
}
