//! `wedgebook verify`: does the bath still develop to spec, and can time restore it?

mod args;
mod json;
mod text;

pub use args::{Args, LimitsArg};
pub use json::document;
pub use text::report;

use super::inputs::{self, celsius};
use super::{Failure, Outcome, complain, print};
use crate::bath::limits::Limits;
use crate::bath::verify::{Change, ControlStrip, Step, Verification, Verifier, pairing_limits};
use crate::curve::Choice;
use crate::development::file::PairingFile;
use crate::figures::{ControlStep, ControlStripFigure};
use crate::measures::{StripAnalysis, analyse};
use crate::readings::read_files;
use crate::units::{Celsius, Minutes};
use std::path::Path;

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let (file, pairing) = inputs::pairing(&args.pairing)?;
    let limits = limits(args.limits, &file)
        .map_err(|why| Failure(format!("{}: {why}", args.pairing.display())))?;
    let measure = args.measure.map_or(file.aims.measure, Into::into);
    let verifier = Verifier {
        pairing: &pairing,
        measure,
        limits,
    };
    let readings = read_files(&args.readings, &args.reading.options())?;
    readings
        .notes
        .iter()
        .for_each(|note| complain(format_args!("note: {note}")));
    let typed = Typed {
        minutes: args.minutes,
        celsius: args
            .celsius
            .map(|t| celsius(t, args.reading.fahrenheit))
            .transpose()?,
    };
    let mut results = Vec::new();
    for analysis in analyse(readings.strips, Choice::Auto) {
        let control = typed.strip(&analysis)?;
        let place = format!("{}: strip {:?}", analysis.strip.source, analysis.strip.name);
        let verification = verifier
            .verify(&control)
            .map_err(|why| Failure(format!("{place}: {why}")))?;
        let (minutes, celsius) = (control.minutes, control.celsius);
        results.push(Verified {
            name: analysis.strip.name.clone(),
            minutes,
            celsius,
            verification,
        });
    }
    if let Some(path) = &args.plot {
        plot(path, &file.name, &results, pairing.absolute)?;
    }
    print(&if args.json {
        document(&results, &verifier)
    } else {
        results
            .iter()
            .map(|r| report(&file.name, r, &verifier))
            .collect::<Vec<_>>()
            .join("\n")
    })?;
    let in_spec = results.iter().all(|r| r.verification.in_spec);
    Ok(if in_spec { Outcome::Done } else { Outcome::No })
}

/// Draws one strip in `path`, or several in files with -2, -3 … in their names.
fn plot(path: &Path, name: &str, results: &[Verified], absolute: bool) -> Result<(), Failure> {
    for (n, result) in results.iter().enumerate() {
        let path = match n {
            0 => path.to_owned(),
            n => inputs::beside(path, &(n + 1).to_string()),
        };
        figure(name, result, absolute).scene().save(&path)?;
    }
    Ok(())
}

fn figure(name: &str, result: &Verified, absolute: bool) -> ControlStripFigure {
    let v = &result.verification;
    let step = |s: &Step| ControlStep {
        log_exposure: s.x,
        density: s.density,
        aim: s.aim,
        sd: s.sd,
    };
    ControlStripFigure {
        title: format!("Control strip {}", result.name),
        subtitle: Some(format!(
            "{name}, {} min at {} °C: {}",
            result.minutes,
            result.celsius,
            v.action.word()
        )),
        absolute,
        steps: v.steps.iter().map(step).collect(),
        curves: v.curves.clone(),
        activity: v.activity.value,
        besides: match &v.change {
            Change::Nothing => None,
            Change::Shifted { fog, speed_lost } => Some(format!(
                "with fog {:+.2}, speed {:+.2}",
                fog.value, -speed_lost.value
            )),
            Change::Shape { .. } => Some("the nearest that the film has".to_owned()),
        },
    }
}

/// A control strip with its verification.
pub struct Verified {
    pub name: String,
    pub minutes: Minutes,
    pub celsius: Celsius,
    pub verification: Verification,
}

/// The limits asked for.
pub fn limits(asked: LimitsArg, file: &PairingFile) -> Result<Limits, String> {
    match asked {
        LimitsArg::Pairing => pairing_limits(file.limits),
        LimitsArg::Radiography => Ok(Limits::mammography_processors()),
    }
}

/// A development as typed.
pub struct Typed {
    pub minutes: Option<f64>,
    pub celsius: Option<Celsius>,
}

/// A typed time and a column's that differ by more are a contradiction.
const SAME_MINUTES: f64 = 0.02;
/// The same of temperatures.
const SAME_CELSIUS: f64 = 0.05;

impl Typed {
    /// The strip with its development, from what was typed or from its own columns.
    pub fn strip<'a>(&self, analysis: &'a StripAnalysis) -> Result<ControlStrip<'a>, Failure> {
        let strip = &analysis.strip;
        let place = format!("{}: strip {:?}", strip.source, strip.name);
        let own = (
            strip.minutes.map(Minutes::get),
            strip.celsius.map(Celsius::get),
        );
        let one = |what: &str, option: &str, typed: Option<f64>, own: Option<f64>, same: f64| match (
            typed, own,
        ) {
            (Some(typed), Some(own)) if (typed - own).abs() > same => Err(Failure(format!(
                "{place}: its column {what} says {own} and {option} says {typed}: correct the one that is wrong, or leave {option} out"
            ))),
            (None, None) => Err(Failure(format!(
                "{place}: its {what} are not known: give {option}, or a column {what:?}"
            ))),
            (typed, own) => Ok(typed.or(own).unwrap_or_default()),
        };
        let minutes = one("minutes", "--minutes", self.minutes, own.0, SAME_MINUTES)?;
        let celsius = one(
            "celsius",
            "--celsius",
            self.celsius.map(Celsius::get),
            own.1,
            SAME_CELSIUS,
        )?;
        Ok(ControlStrip {
            analysis,
            minutes: Minutes::new(minutes)?,
            celsius: Celsius::new(celsius)?,
        })
    }
}
