//! Control strips as typed, verified one by one.

use super::args::{ControlArgs, LimitsArg};
use crate::bath::history::limits;
use crate::bath::journal::Journal;
use crate::bath::limits::Limits;
use crate::bath::verify::{ControlStrip, Verification, Verifier, pairing_limits};
use crate::cli::inputs;
use crate::cli::{Failure, Outcome};
use crate::curve::Choice;
use crate::measures::{StripAnalysis, analyse};
use crate::units::{Celsius, Minutes};
use std::path::Path;

/// A typed time and a column's that differ by more are a contradiction.
const SAME_MINUTES: f64 = 0.02;
/// The same of temperatures.
const SAME_CELSIUS: f64 = 0.05;

/// Control strips of a pairing, verified.
pub struct Controls {
    /// What the pairing is called.
    pub pairing: String,
    /// Whether exposures are in lux seconds.
    pub absolute: bool,
    /// What the strips were held to.
    pub limits: Limits,
    /// The strips.
    pub strips: Vec<Verified>,
}

/// A control strip with its verification.
pub struct Verified {
    pub name: String,
    /// The date in the readings, as written.
    pub date: Option<String>,
    pub minutes: Minutes,
    pub celsius: Celsius,
    pub verification: Verification,
}

impl Controls {
    /// Reads and verifies all strips, or none where one is unusable; `journal` is that of the bath.
    pub fn verify(args: &ControlArgs, journal: Option<&Path>) -> Result<Self, Failure> {
        let (file, pairing) = inputs::pairing(&args.pairing)?;
        let limits = match args.limits {
            LimitsArg::Pairing => pairing_limits(file.limits)
                .map_err(|why| Failure(format!("{}: {why}", args.pairing.display())))?,
            LimitsArg::History => history(journal)?,
            LimitsArg::Radiography => Limits::mammography_processors(),
        };
        let verifier = Verifier {
            pairing: &pairing,
            measure: args.measure.map_or(file.aims.measure, Into::into),
            limits,
        };
        let strips = inputs::strips(&args.readings, &args.reading.options())?;
        let typed = (args.minutes, args.temperature.map(|typed| typed.celsius));
        let verified = |analysis: StripAnalysis| {
            let strip = developed(&analysis, typed)?;
            let verification = verifier
                .verify(&strip)
                .map_err(|why| Failure(format!("{}: {why}", place(&analysis))))?;
            Ok(Verified {
                minutes: strip.minutes,
                celsius: strip.celsius,
                name: analysis.strip.name.clone(),
                date: analysis.strip.labels.date.clone(),
                verification,
            })
        };
        let strips: Result<_, Failure> =
            analyse(strips, Choice::Auto).into_iter().map(verified).collect();
        Ok(Self {
            strips: strips?,
            pairing: file.name,
            absolute: pairing.absolute,
            limits: verifier.limits,
        })
    }

    /// 0 where all are in spec, 1 where one is not.
    pub fn outcome(&self) -> Outcome {
        match self.strips.iter().all(|s| s.verification.in_spec) {
            true => Outcome::Done,
            false => Outcome::No,
        }
    }
}

/// The limits that a bath's own strips have set.
fn history(journal: Option<&Path>) -> Result<Limits, Failure> {
    let Some(path) = journal else {
        let why = "--limits history needs the journal of the bath: give --bath JOURNAL.csv";
        return Err(Failure(why.to_owned()));
    };
    limits(&Journal::read(path)?.entries)
        .map_err(|why| Failure(format!("{}: limits from its history: {why}", path.display())))
}

fn place(analysis: &StripAnalysis) -> String {
    let strip = &analysis.strip;
    format!("{}: strip {:?}", strip.source, strip.name)
}

/// The strip with its development, from what was typed or from its own columns.
fn developed(
    analysis: &StripAnalysis,
    (minutes, celsius): (Option<f64>, Option<Celsius>),
) -> Result<ControlStrip<'_>, Failure> {
    let strip = &analysis.strip;
    let own = strip.minutes.map(Minutes::get);
    let minutes = one(analysis, "minutes", "minutes", minutes, own, SAME_MINUTES)?;
    let own = strip.celsius.map(Celsius::get);
    let celsius =
        one(analysis, "temperature", "celsius", celsius.map(Celsius::get), own, SAME_CELSIUS)?;
    Ok(ControlStrip { analysis, minutes: Minutes::new(minutes)?, celsius: Celsius::new(celsius)? })
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
    let place = place(analysis);
    match (typed, own) {
        (Some(typed), Some(own)) if (typed - own).abs() > same => Err(Failure(format!(
            "{place}: its column {column:?} says {own} and --{option} says {typed}: correct the one that is wrong, or leave --{option} out"
        ))),
        (Some(value), _) | (None, Some(value)) => Ok(value),
        (None, None) => Err(Failure(format!(
            "{place}: the {option} of its development is not known: give --{option}, or a column {column:?}"
        ))),
    }
}
