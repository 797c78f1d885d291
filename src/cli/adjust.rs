//! `wedgebook adjust`: how long today, and what exposure index.

use super::aims::{AimArgs, TargetArgs, aims, stops, target};
use super::inputs::{Made, draw, known};
use super::options::{BathArgs, TemperatureArgs};
use super::{Failure, Outcome, here, hint, show};
use crate::answers::{
    Adjust, AdjustQuestion, Answer, DevelopedQuestion, DevelopedTable, Got, NoTime,
    OneStripQuestion, OneStripToday, PaperAim, TimesTable,
};
use crate::development::aim::Target;
use crate::development::file::{Aims, Known, PairingFile};
use crate::development::{OneStrip, Pairing};
use crate::files::{Output, Outputs};
use crate::readings::ReadOptions;
use crate::show::csv;
use crate::units::{ExposureIndex, Minutes};
use std::path::PathBuf;

/// How long is film developed today, and what exposure index is set on the meter?
///
/// For a contrast, or for a scene and a paper. Allows for the temperature and the activity of the bath.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples (the pairing is made by `calibrate`):\n  wedgebook adjust pairing.toml --scene-stops 7 -t 21.5\n  wedgebook adjust -t 21.3\n  wedgebook adjust pairing.toml --contrast 0.58 --temperature 70F --card card.svg\n  wedgebook adjust pairing.toml --minutes 9:00 -t 22\n  wedgebook adjust pairing.toml --exposed-at 250 -t 21\n  wedgebook adjust pairing.toml --table --csv times.csv\n  wedgebook adjust pairing.toml --bath data/bath.csv --date 2026-11-17\n\nExit status: 0 done, 1 there is no such time, or the bath is not to be used, 2 wrong usage or unusable input."
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
    /// How the bath is moved today, as "inversion, 10 s in every minute": another agitation than that of the
    /// strips is named.
    #[arg(long, value_name = "WORDS")]
    agitation: Option<String>,
    #[command(flatten)]
    bath: BathArgs,
    /// Calculate also far outside what was calibrated.
    #[arg(long)]
    extrapolate: bool,
    /// A table over temperatures, and over the scenes of the pairing's aims; with --minutes, of what film
    /// gets in that time.
    #[arg(long, conflicts_with_all = ["exposed_at", "card"])]
    table: bool,
    /// Write that table as CSV.
    #[arg(long, value_name = "FILE.csv", requires = "table")]
    csv: Option<PathBuf>,
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
        .writes(args.csv.as_ref(), Output::Times)
        .check()?;
    let (file, known) = known(&path)?;
    let aims = aims(&file.aims, &args.aims)?;
    match &known {
        Known::One(one) => one_strip(args, &file, one, &aims),
        Known::Family(pairing) => match args.minutes {
            Some(minutes) => developed(args, &file, pairing, &aims, minutes),
            None => family(args, &file, pairing, &aims),
        },
    }
}

/// How long, by a family of strips.
fn family(
    args: &Args,
    file: &PairingFile,
    pairing: &Pairing,
    aims: &Aims,
) -> Result<Outcome, Failure> {
    let papers = match &args.paper {
        Some(path) => super::paper::papers(std::slice::from_ref(path), &ReadOptions::default())?,
        None => Vec::new(),
    };
    let paper = match &args.paper {
        Some(_) => Some(PaperAim {
            pairing,
            measure: aims.measure,
            printing: aims.printing,
            papers: &papers,
            paper: super::proof::setting(args.setting.as_deref(), &papers)?,
        }),
        None => None,
    };
    let target = match &paper {
        Some(paper) => paper.target(stops(&args.target)?.unwrap_or(Target::NORMAL_STOPS))?,
        None => target(&args.target, aims)?,
    };
    let (celsius, unit) = args.temperature.or(pairing.reference);
    let adjust = Adjust::of(AdjustQuestion {
        name: &file.name,
        pairing,
        measure: aims.measure,
        target,
        exposed_at: args.exposed_at,
        agitation: args.agitation.as_deref(),
        celsius,
        unit,
        bath: args.bath.bath(file)?,
        extrapolate: args.extrapolate,
        anyway: args.bath.anyway,
        scene_stops: &aims.scene_stops,
        printing: aims.printing,
        paper,
    });
    if args.table {
        return table(args, &TimesTable { adjust });
    }
    if let (Some(path), Some(card)) = (&args.card, adjust.card()) {
        draw(&card.scene(), path)?;
    }
    answer(args, &adjust, adjust.result.as_ref().err())
}

/// What film got in a known time.
fn developed(
    args: &Args,
    file: &PairingFile,
    pairing: &Pairing,
    aims: &Aims,
    minutes: Minutes,
) -> Result<Outcome, Failure> {
    let (celsius, unit) = args.temperature.or(pairing.reference);
    let question = DevelopedQuestion {
        name: &file.name,
        pairing,
        measure: aims.measure,
        minutes,
        agitation: args.agitation.as_deref(),
        celsius,
        unit,
        bath: args.bath.bath(file)?,
        extrapolate: args.extrapolate,
        anyway: args.bath.anyway,
        printing: aims.printing,
    };
    if args.table {
        return table(args, &DevelopedTable::of(&question));
    }
    let got = Got::of(question);
    answer(args, &got, got.result.as_ref().err())
}

/// How long, by the one strip that there is so far.
fn one_strip(
    args: &Args,
    file: &PairingFile,
    one: &OneStrip,
    aims: &Aims,
) -> Result<Outcome, Failure> {
    let family = [
        (args.minutes.is_some(), "--minutes"),
        (args.exposed_at.is_some(), "--exposed-at"),
        (args.paper.is_some(), "--paper"),
        (args.card.is_some(), "--card"),
        (args.table, "--table"),
    ];
    if let Some((_, option)) = family.iter().find(|(given, _)| *given) {
        return Err(Failure(format!(
            "{option} needs strips of two times or more, and this pairing has one strip: calibrate it with a second strip"
        )));
    }
    let (celsius, unit) = args.temperature.or(one.celsius);
    let today = OneStripToday::of(OneStripQuestion {
        name: &file.name,
        one,
        measure: aims.measure,
        target: target(&args.target, aims)?,
        asked: args.target.contrast.is_some() || args.target.scene_stops.is_some(),
        celsius,
        unit,
        bath: args.bath.bath(file)?,
        anyway: args.bath.anyway,
        printing: aims.printing,
    });
    answer(args, &today, today.minutes.as_ref().err())
}

/// Shows a table, and writes it as CSV.
fn table(args: &Args, answer: &impl Answer) -> Result<Outcome, Failure> {
    if let Some(path) = &args.csv {
        let mut made = Made::default();
        made.add(path, csv::table(&answer.describe())?);
        made.write()?;
    }
    show(answer, args.json)
}

/// Shows the answer, and what helps where it has no time.
fn answer(args: &Args, answer: &impl Answer, no: Option<&NoTime>) -> Result<Outcome, Failure> {
    let outcome = show(answer, args.json)?;
    if let Some(why) = no {
        hint::no_time(why, args.extrapolate);
    }
    Ok(outcome)
}
