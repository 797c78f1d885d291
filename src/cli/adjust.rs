//! `wedgebook adjust`: how long today, and what exposure index.

use super::args::AdjustArgs;
use super::inputs::pairing;
use super::{Failure, Outcome, complain, show};
use crate::answers::{Adjust, AdjustQuestion, BathToday, NoTime};
use crate::development::Unreachable;

pub fn run(args: &AdjustArgs) -> Result<Outcome, Failure> {
    let (file, pairing) = pairing(&args.pairing)?;
    let aims = super::aims::aims(&file.aims, &args.aims);
    let adjust = Adjust::of(AdjustQuestion {
        name: &file.name,
        pairing: &pairing,
        measure: aims.measure,
        target: super::aims::target(&args.target, &aims)?,
        celsius: args.temperature.map_or(pairing.reference, |typed| typed.celsius),
        unit: args.temperature.map(|typed| typed.unit).unwrap_or_default(),
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
