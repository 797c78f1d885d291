//! `wedgebook drift`: what the film has had from a bath whose temperature wanders.

use super::aims::{AimArgs, TargetArgs, aims, target};
use super::inputs::pairing;
use super::options::{BathArgs, Given, one_file_or_typed};
use super::{Failure, Outcome, complain, here, hint, show};
use crate::answers::drift::NoDrift;
use crate::answers::{Drift, DriftQuestion};
use crate::development::{TemperatureLog, TimedTemperature, read_temperatures};
use std::path::PathBuf;

/// The temperature of the bath drifts: when is the film taken out?
///
/// Adds up the development that the film has had at each temperature. Gives what is still to develop
/// at the last one.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples (the pairing is made by `calibrate`):\n  wedgebook drift pairing.toml data/temperatures.csv --contrast 0.56\n  wedgebook drift pairing.toml 0=23.5 2:30=23.0 5=22.4 --contrast 0.56\n  wedgebook drift pairing.toml 0=70F 3=69F --bath data/bath.csv --date 2026-11-17\n\nExit status: 0 done, 1 the film has had too much, or the bath is not to be used, 2 wrong usage or unusable input."
)]
pub struct Args {
    /// The pairing, or how its name begins.
    #[arg(value_name = "PAIRING", value_parser = here::pairing_named)]
    pairing: PathBuf,
    /// Minutes and temperatures, as 0=23.5 2:30=23 or 0=70F. Or a file (CSV, .xlsx, .ods) with columns
    /// `minutes`, or `time` of day, and `celsius` or `fahrenheit`.
    #[arg(required = true, value_name = "MINUTES=T|TEMPERATURES.csv")]
    temperatures: Vec<Given<TimedTemperature>>,
    #[command(flatten)]
    target: TargetArgs,
    #[command(flatten)]
    aims: AimArgs,
    #[command(flatten)]
    bath: BathArgs,
    /// Print one JSON document instead of text.
    #[arg(long)]
    json: bool,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let (file, pairing) = pairing(&args.pairing)?;
    let aims = aims(&file.aims, &args.aims)?;
    let log = log(args)?;
    let drift = Drift::of(DriftQuestion {
        name: &file.name,
        pairing: &pairing,
        measure: aims.measure,
        target: target(&args.target, &aims)?,
        readings: &log.readings,
        unit: log.unit,
        bath: args.bath.bath(&file)?,
        anyway: args.bath.anyway,
    });
    match drift {
        Ok(drift) => show(&drift, args.json),
        Err(error @ NoDrift::NoReading) => Err(error.into()),
        Err(NoDrift::Withheld(answer)) => hint::withheld(&answer, args.json),
        Err(no) => {
            complain(no);
            Ok(Outcome::No)
        }
    }
}

/// Thermometer readings from a file or from pairs typed.
fn log(args: &Args) -> Result<TemperatureLog, Failure> {
    match one_file_or_typed(&args.temperatures, "MINUTES=T as 0=23.5")? {
        Given::Typed(readings) => Ok(TemperatureLog::of_readings(&readings)?),
        Given::File(path) => {
            let log = read_temperatures(&path).map_err(|errors| hint::faults(&errors))?;
            hint::notes(&log.notes);
            Ok(log)
        }
    }
}
