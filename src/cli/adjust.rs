//! `wedgebook adjust`: how long today, and what exposure index.

use super::args::AdjustArgs;
use super::inputs::{celsius, pairing};
use super::{Failure, Outcome, complain, show};
use crate::answers::{Adjust, AdjustQuestion, BathToday, NoTime};
use crate::development::Unreachable;
use crate::units::TemperatureUnit;

pub fn run(args: &AdjustArgs) -> Result<Outcome, Failure> {
    let (file, pairing) = pairing(&args.pairing)?;
    let aims = super::aims::aims(&file.aims, &args.aims);
    let adjust = Adjust::of(AdjustQuestion {
        name: &file.name,
        pairing: &pairing,
        measure: aims.measure,
        target: super::aims::target(&args.target, &aims)?,
        celsius: match args.celsius {
            Some(typed) => celsius(typed, args.fahrenheit)?,
            None => pairing.reference,
        },
        unit: args
            .celsius
            .and_then(|t| t.unit)
            .unwrap_or(TemperatureUnit::fahrenheit_if(args.fahrenheit)),
        bath: match &args.bath {
            Some(journal) => BathToday::Kept(super::bath::kept(journal, args.anyway)?),
            None => BathToday::Given(args.activity.unwrap_or(1.0)),
        },
        extrapolate: args.extrapolate,
        anyway: args.anyway,
        scene_stops: &aims.scene_stops,
        printing: aims.printing,
    });
    if let (Some(path), Some(card)) = (&args.card, adjust.card()) {
        card.scene().save(path)?;
    }
    let outcome = show(&adjust, args.json)?;
    match &adjust.result {
        Err(NoTime::Withheld(_)) => complain("use --anyway to calculate all the same"),
        Err(NoTime::Unreachable(
            Unreachable::Temperature { .. } | Unreachable::Contrast { .. },
        )) if !args.extrapolate => complain("use --extrapolate to calculate further outside"),
        _ => {}
    }
    Ok(outcome)
}
