//! `wedgebook drift`: what the film has had from a bath whose temperature wanders.

use super::args::DriftArgs;
use super::inputs::{celsius, pairing};
use super::{Failure, Outcome, show};
use crate::answers::drift::NoDrift;
use crate::answers::{Drift, DriftQuestion};
use crate::development::drift::Reading;
use crate::units::{ElapsedMinutes, Temperature, TemperatureUnit};

pub fn run(args: &DriftArgs) -> Result<Outcome, Failure> {
    let (file, pairing) = pairing(&args.pairing)?;
    let aims = super::aims::aims(&file.aims, &args.aims);
    let readings = readings(args)?;
    let drift = Drift::of(DriftQuestion {
        name: &file.name,
        pairing: &pairing,
        measure: aims.measure,
        target: super::aims::target(&args.target, &aims)?,
        readings: &readings,
        unit: TemperatureUnit::fahrenheit_if(args.fahrenheit),
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
fn readings(args: &DriftArgs) -> Result<Vec<Reading>, Failure> {
    let rows = if args.temperatures.iter().all(|t| t.contains('=')) {
        args.temperatures
            .iter()
            .map(|pair| {
                let (time, temperature) = pair.split_once('=').unwrap_or((pair, ""));
                (pair.clone(), time.to_owned(), temperature.to_owned())
            })
            .collect()
    } else if let [path] = args.temperatures.as_slice() {
        table(path)?
    } else {
        return Err(Failure(format!(
            "{:?}: give one CSV file, or pairs MINUTES=T as 0=23.5",
            args.temperatures.join(" ")
        )));
    };
    let mut readings: Vec<Reading> = Vec::new();
    for (place, time, degrees) in rows {
        let fault = |e: &dyn std::fmt::Display| Failure(format!("{place}: {e}"));
        let minutes = time.parse::<ElapsedMinutes>().map_err(|e| fault(&e))?.get();
        let typed = degrees.parse::<Temperature>().map_err(|e| fault(&e))?;
        let celsius = celsius(typed, args.fahrenheit).map_err(|e| fault(&e))?;
        if readings.last().is_some_and(|r| r.minutes >= minutes) {
            return Err(Failure(format!(
                "{place}: times must rise, and {time} does not come after the time before it"
            )));
        }
        readings.push(Reading { minutes, celsius });
    }
    Ok(readings)
}

/// Rows (place, minutes, temperature) of a CSV file with columns `minutes` or `time`, and `celsius`.
fn table(path: &str) -> Result<Vec<(String, String, String)>, Failure> {
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .from_path(path)
        .map_err(|e| Failure(format!("{path}: {e}")))?;
    let header = reader.headers().map_err(|e| Failure(format!("{path}: {e}")))?.clone();
    let column = |names: &[&str]| {
        header.iter().position(|h| names.contains(&h.to_ascii_lowercase().as_str()))
    };
    let (Some(time), Some(degrees)) =
        (column(&["minutes", "time"]), column(&["celsius", "fahrenheit"]))
    else {
        return Err(Failure(format!(
            "{path}:1: columns `minutes` (or `time`) and `celsius` are needed"
        )));
    };
    let is_clock = header.get(time).is_some_and(|h| h.eq_ignore_ascii_case("time"));
    let unit = if header.get(degrees).is_some_and(|h| h.eq_ignore_ascii_case("fahrenheit")) {
        "F"
    } else {
        ""
    };
    let mut rows = Vec::new();
    let mut begin = None;
    for record in reader.records() {
        let record = record.map_err(|e| Failure(format!("{path}: {e}")))?;
        let place = format!("{path}:{}", record.position().map_or(0, csv::Position::line));
        let mut at = record.get(time).unwrap_or("").to_owned();
        if is_clock {
            let now = clock_time(&at).ok_or_else(|| {
                Failure(format!("{place}: {at:?} is not a time of day; write 19:42 or 19:42:30"))
            })?;
            let zero = *begin.get_or_insert(now);
            // A session may run past midnight.
            at = format!("{}", (now - zero).rem_euclid(24.0 * 60.0));
        }
        rows.push((place, at, format!("{}{unit}", record.get(degrees).unwrap_or(""))));
    }
    Ok(rows)
}

/// Minutes after midnight of a clock's time, as 19:42 or 19:42:30.
fn clock_time(text: &str) -> Option<f64> {
    let mut parts = text.split(':').map(|p| p.trim().parse::<u32>().ok());
    let (hours, minutes) = (parts.next()??, parts.next()??);
    let seconds = parts.next().unwrap_or(Some(0))?;
    (hours < 24 && minutes < 60 && seconds < 60 && parts.next().is_none())
        .then(|| f64::from(hours * 60 + minutes) + f64::from(seconds) / 60.0)
}
