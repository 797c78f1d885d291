//! `wedgebook drift`: what the film has had from a bath whose temperature wanders.

use super::args::DriftArgs;
use super::inputs::{celsius, pairing};
use super::{Failure, Outcome, print};
use crate::development::Wanted;
use crate::development::drift::{Reading, effective_minutes, remaining_minutes};
use crate::measures::Quantity;
use crate::units::{ElapsedMinutes, Temperature};
use crate::words::clock;
use serde_json::json;
use std::fmt::Write;

pub fn run(args: &DriftArgs) -> Result<Outcome, Failure> {
    let (file, pairing) = pairing(&args.pairing)?;
    let aims = super::aims::aims(&file.aims, &args.aims);
    let target = super::aims::target(&args.target, &aims)?;
    let readings = readings(args)?;
    let (first, last) = (readings[0], readings[readings.len() - 1]);
    let wanted = Wanted {
        measure: aims.measure,
        contrast: target.contrast,
        celsius: last.celsius,
        activity: args.activity,
        extrapolate: true,
    };
    let adjusted = match pairing.adjust(&wanted) {
        Ok(adjusted) => adjusted,
        Err(why) => {
            super::complain(&why);
            return Ok(Outcome::No);
        }
    };
    let law = pairing.growth(aims.measure).unwrap_or_else(|| pairing.law());
    let goal = adjusted.effective_minutes;
    let so_far = effective_minutes(law, &readings, args.activity);
    let left =
        |target: f64| remaining_minutes(law, &readings, args.activity, target).unwrap_or(f64::NAN);
    let remaining =
        Quantity { value: left(goal.value), low: left(goal.low), high: left(goal.high) };
    // What one would have done by the first temperature alone.
    let by_first = goal.value / (args.activity * law.rate(first.celsius));
    let error = by_first - (last.minutes + remaining.value);
    if args.json {
        let document = json!({
            "effective_minutes": so_far,
            "target_effective_minutes": goal,
            "remaining_minutes": remaining,
            "at_celsius": last.celsius.get(),
            "error_by_first_temperature_minutes": error,
            "notes": adjusted.notes,
        });
        print(&format!("{document:#}\n"))?;
    } else {
        let mut out = format!("{}\n", file.name);
        let _ = writeln!(out, "  aim               {} {:.3}", aims.measure.name(), target.contrast);
        let _ = writeln!(
            out,
            "  had so far        {so_far:.2} of {:.2} effective minutes, after {}",
            goal.value,
            clock(last.minutes)
        );
        let _ = if remaining.value >= 0.0 {
            writeln!(
                out,
                "  still to go       {:.2} min ({}) at {} °C, {:.2} to {:.2}; out at {}",
                remaining.value,
                clock(remaining.value),
                last.celsius,
                remaining.low,
                remaining.high,
                clock(last.minutes + remaining.value)
            )
        } else {
            writeln!(out, "  too much by       {:.2} min at {} °C", -remaining.value, last.celsius)
        };
        let _ = writeln!(
            out,
            "  by {} °C alone  out at {}: {:.2} min too {}",
            first.celsius,
            clock(by_first),
            error.abs(),
            if error > 0.0 { "long" } else { "short" }
        );
        for note in adjusted.notes.iter().chain(&target.assumptions) {
            let _ = writeln!(out, "  note: {note}");
        }
        print(&out)?;
    }
    Ok(if remaining.value < 0.0 { Outcome::No } else { Outcome::Done })
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
    if readings.is_empty() {
        return Err(Failure("no temperatures were given".to_owned()));
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
