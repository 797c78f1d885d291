//! `wedgebook drift`: what the film has had from a bath whose temperature wanders.

use super::args::{DriftArgs, Given, one_file_or_typed};
use super::inputs::pairing;
use super::{Failure, Outcome, hint, show};
use crate::answers::drift::NoDrift;
use crate::answers::{Drift, DriftQuestion};
use crate::development::{TemperatureLog, read_temperatures};

pub fn run(args: &DriftArgs) -> Result<Outcome, Failure> {
    let (file, pairing) = pairing(&args.pairing)?;
    let aims = super::aims::aims(&file.aims, &args.aims);
    let log = log(args)?;
    let drift = Drift::of(DriftQuestion {
        name: &file.name,
        pairing: &pairing,
        measure: aims.measure,
        target: super::aims::target(&args.target, &aims)?,
        readings: &log.readings,
        unit: log.unit,
        activity: args.activity,
    });
    match drift {
        Ok(drift) => show(&drift, args.json),
        Err(NoDrift::Unreachable(why)) => {
            super::complain(why);
            Ok(Outcome::No)
        }
        Err(error) => Err(error.into()),
    }
}

/// Thermometer readings from a file or from pairs typed.
fn log(args: &DriftArgs) -> Result<TemperatureLog, Failure> {
    match one_file_or_typed(&args.temperatures, "MINUTES=T as 0=23.5")? {
        Given::Typed(readings) => Ok(TemperatureLog::of_readings(&readings)?),
        Given::File(path) => {
            let log = read_temperatures(&path).map_err(|errors| hint::faults(&errors))?;
            hint::notes(&log.notes);
            Ok(log)
        }
    }
}
