//! `wedgebook adjust`: how long today, and what exposure index.

use super::aims::{AimArgs, TargetArgs, aims, stops, target};
use super::inputs::pairing;
use super::options::{BathArgs, TemperatureArgs};
use super::{Failure, Outcome, here, hint, show};
use crate::answers::{Adjust, AdjustQuestion, DevelopedQuestion, Got, PaperAim};
use crate::development::aim::Target;
use crate::files::{Output, Outputs};
use crate::readings::ReadOptions;
use crate::units::{ExposureIndex, Minutes};
use std::path::PathBuf;

/// How long is film developed today, and what exposure index is set on the meter?
///
/// For a contrast, or for a scene and a paper. Allows for the temperature and the activity of the bath.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples (the pairing is made by `calibrate`):\n  wedgebook adjust pairing.toml --scene-stops 7 -t 21.5\n  wedgebook adjust -t 21.3\n  wedgebook adjust pairing.toml --contrast 0.58 --temperature 70F --card card.svg\n  wedgebook adjust pairing.toml --minutes 9:00 -t 22\n  wedgebook adjust pairing.toml --exposed-at 250 -t 21\n  wedgebook adjust pairing.toml --bath data/bath.csv --date 2026-11-17\n\nExit status: 0 done, 1 there is no such time, or the bath is not to be used, 2 wrong usage or unusable input."
)]
pub struct Args {
    /// The pairing, or how its name begins [default: that of wedgebook.toml, or the only one in this folder].
    #[arg(value_name = "PAIRING", value_parser = here::pairing_named)]
    pairing: Option<PathBuf>,
    #[command(flatten)]
    target: TargetArgs,
    /// Readings of the paper, as for `wedgebook paper`: follow the tones of the scene on it one by one,
    /// and develop so that none is lost.
    #[arg(long, value_name = "PAPER.csv", conflicts_with_all = ["contrast", "paper_range"])]
    paper: Option<PathBuf>,
    /// Setting (filter, grade or strip) of the paper; needed where it has several.
    #[arg(long, value_name = "NAME", requires = "paper")]
    setting: Option<String>,
    /// The film was in the bath so long, as 9 or 9:30: what contrast has it, and what scene fits the paper?
    #[arg(long, value_name = "MIN", conflicts_with_all = ["contrast", "scene_stops", "exposed_at", "paper", "card"])]
    minutes: Option<Minutes>,
    /// The meter was set to this exposure index: how long, and what is lost in the shadows?
    #[arg(long, value_name = "EI", conflicts_with_all = ["paper", "card"])]
    exposed_at: Option<ExposureIndex>,
    #[command(flatten)]
    aims: AimArgs,
    #[command(flatten)]
    temperature: TemperatureArgs,
    #[command(flatten)]
    bath: BathArgs,
    /// Calculate also far outside what was calibrated.
    #[arg(long)]
    extrapolate: bool,
    /// Draw a time and temperature card for the wall, as SVG or PNG by the file's extension.
    #[arg(long, value_name = "FILE.svg|.png")]
    card: Option<PathBuf>,
    /// Print one JSON document instead of text.
    #[arg(long)]
    json: bool,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let path = here::pairing(args.pairing.as_deref())?;
    Outputs::beside([&path])
        .reads(args.bath.journal())
        .reads(args.paper.as_ref())
        .writes(args.card.as_ref(), Output::Picture)
        .check()?;
    let (file, pairing) = pairing(&path)?;
    let aims = aims(&file.aims, &args.aims)?;
    let temperature = args.temperature.temperature;
    let celsius = temperature.map_or(pairing.reference, |typed| typed.celsius);
    let unit = temperature.map(|typed| typed.unit).unwrap_or_default();
    if let Some(minutes) = args.minutes {
        let got = Got::of(DevelopedQuestion {
            name: &file.name,
            pairing: &pairing,
            measure: aims.measure,
            minutes,
            celsius,
            unit,
            bath: args.bath.bath(&file)?,
            extrapolate: args.extrapolate,
            anyway: args.bath.anyway,
            printing: aims.printing,
        });
        let outcome = show(&got, args.json)?;
        if let Err(why) = &got.result {
            hint::no_time(why, args.extrapolate);
        }
        return Ok(outcome);
    }
    let papers = match &args.paper {
        Some(path) => super::paper::papers(std::slice::from_ref(path), &ReadOptions::default())?,
        None => Vec::new(),
    };
    let paper = match &args.paper {
        Some(_) => Some(PaperAim {
            pairing: &pairing,
            measure: aims.measure,
            printing: aims.printing,
            papers: &papers,
            paper: super::proof::setting(args.setting.as_deref(), &papers)?,
        }),
        None => None,
    };
    let target = match &paper {
        Some(paper) => paper.target(stops(&args.target)?.unwrap_or(Target::NORMAL_STOPS))?,
        None => target(&args.target, &aims)?,
    };
    let adjust = Adjust::of(AdjustQuestion {
        name: &file.name,
        pairing: &pairing,
        measure: aims.measure,
        target,
        exposed_at: args.exposed_at,
        celsius,
        unit,
        bath: args.bath.bath(&file)?,
        extrapolate: args.extrapolate,
        anyway: args.bath.anyway,
        scene_stops: &aims.scene_stops,
        printing: aims.printing,
        paper,
    });
    if let (Some(path), Some(card)) = (&args.card, adjust.card()) {
        crate::cli::inputs::draw(&card.scene(), path)?;
    }
    let outcome = show(&adjust, args.json)?;
    if let Err(why) = &adjust.result {
        hint::no_time(why, args.extrapolate);
    }
    Ok(outcome)
}
