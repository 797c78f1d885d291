//! `wedgebook drift`: what the film has had from a bath whose temperature wanders.

use super::args::{DriftArgs, Given, one_file_or_typed};
use super::inputs::pairing;
use super::{Failure, Outcome, hint, print};
use crate::development::drift::{Reading, effective_minutes, remaining_minutes};
use crate::development::{Wanted, read_temperatures, rising};
use crate::measures::Quantity;
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
    match one_file_or_typed(&args.temperatures, "MINUTES=T as 0=23.5")? {
        Given::Typed(readings) => {
            rising(&readings)?;
            Ok(readings)
        }
        Given::File(path) => {
            let log = read_temperatures(&path).map_err(|errors| hint::faults(&errors))?;
            hint::notes(&log.notes);
            Ok(log.readings)
        }
    }
}
