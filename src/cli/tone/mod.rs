//! `wedgebook tone`: from the scene to the print.

mod args;

pub use args::Args;

use super::inputs::pairing;
use super::{Failure, Outcome, complain, hint, show};
use crate::answers::tone::ToneError;
use crate::answers::{DevelopedFor, ToneQuestion, ToneReproduction};
use crate::files::{Output, Outputs};
use crate::printing::tone::ChainError;
use crate::readings::ReadOptions;
use crate::units::{ExposureIndex, ToneDistance};

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    Outputs::beside([&args.pairing, &args.paper])
        .reads(args.bath.journal())
        .writes(args.plot.as_ref(), Output::Picture)
        .check()?;
    let (file, pairing) = pairing(&args.pairing)?;
    let options =
        ReadOptions { log_exposure_clear: args.log_exposure_clear, ..ReadOptions::default() };
    let papers = super::paper::papers(std::slice::from_ref(&args.paper), &options)?;
    let temperature = args.temperature.temperature;
    let answer = ToneReproduction::of(ToneQuestion {
        bath: args.bath.bath(&file)?,
        name: file.name,
        paper: super::proof::setting(args.setting.as_deref(), &papers)?,
        aims: super::aims::aims(&file.aims, &args.aims)?,
        range_is_given: args.aims.paper_range.is_some(),
        scene_stops: args.scene_stops.get(),
        metered_below: args.metered_below_stops.map(ToneDistance::get),
        over: args.over_stops.get(),
        developed_for: developed_for(args),
        celsius: temperature.map_or(pairing.reference, |typed| typed.celsius),
        unit: temperature.map(|typed| typed.unit).unwrap_or_default(),
        anyway: args.bath.anyway,
        exposure_index: args.exposure_index.map(ExposureIndex::get),
        print_for: args.print_for.into(),
        print_over: args.print_over_stops.get(),
        pairing: &pairing,
        papers: &papers,
    });
    let answer = match answer {
        Ok(answer) => answer,
        Err(ToneError::Withheld(answer)) => return hint::withheld(&answer, args.json),
        Err(why @ ToneError::Chain(ChainError::NoCurve(_))) => return Err(why.into()),
        Err(why @ ToneError::Chain(ChainError::Flare { .. }))
            if args.minutes.is_none() && args.contrast.is_none() =>
        {
            return Err(why.into());
        }
        Err(why) => {
            complain(why);
            return Ok(Outcome::No);
        }
    };
    if let Some(path) = &args.plot {
        crate::cli::inputs::draw(&answer.figure(), path)?;
    }
    show(&answer, args.json)
}

fn developed_for(args: &Args) -> DevelopedFor {
    match (args.minutes, args.contrast) {
        (Some(minutes), _) => DevelopedFor::Minutes(minutes.get()),
        (None, Some(contrast)) => DevelopedFor::Contrast(contrast.get()),
        (None, None) => DevelopedFor::Scene,
    }
}
