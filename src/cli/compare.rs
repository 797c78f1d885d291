//! `wedgebook compare`: several strips, or several pairings, side by side.

use super::aims::{TargetArgs, target};
use super::inputs::{Made, pairing, strips};
use super::options::{Model, ReadingArgs, TemperatureArgs};
use super::{Failure, Outcome, here, show};
use crate::answers::{Answer, PairingsCompared, PairingsQuestion, StripsCompared};
use crate::figures::Chart;
use crate::files::{Kind, Output, Outputs};
use std::path::{Path, PathBuf};

/// How do strips, or pairings, differ, and which differences are beyond doubt?
///
/// Strips by their measures; pairings by time, exposure index and base plus fog for one contrast at one
/// temperature. All are compared with the first.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  wedgebook compare data/strip.csv data/control.csv --relative --plot compared.svg\n  wedgebook compare pairing.toml pairing.toml --contrast 0.6\n\nExit status: 0 done, 2 wrong usage or unusable input."
)]
pub struct Args {
    /// Files of readings, or pairings; two strips or two pairings at least.
    #[arg(required = true, value_name = "FILE", value_parser = here::pairing_named)]
    files: Vec<PathBuf>,
    #[command(flatten)]
    target: TargetArgs,
    #[command(flatten)]
    temperature: TemperatureArgs,
    /// The curve's model, for strips.
    #[arg(long, value_enum, default_value_t = Model::Auto)]
    model: Model,
    #[command(flatten)]
    reading: ReadingArgs,
    /// Draw them in one figure, as SVG or PNG by the file's extension.
    #[arg(long, value_name = "FILE.svg|.png")]
    plot: Option<PathBuf>,
    /// Print one JSON document instead of text.
    #[arg(long)]
    json: bool,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    Outputs::beside(&args.files).writes(args.plot.as_ref(), Output::Picture).check()?;
    let is_pairing = |path: &PathBuf| Kind::of_file(path).is_ok_and(|kind| kind == Kind::Pairing);
    match args.files.iter().filter(|path| is_pairing(path)).count() {
        0 => of_strips(args),
        n if n == args.files.len() => of_pairings(args),
        _ => Err(Failure(
            "some files are pairings and others readings: compare pairings with pairings, and strips with strips".to_owned(),
        )),
    }
}

fn of_strips(args: &Args) -> Result<Outcome, Failure> {
    let mut strips = strips(&args.files, &args.reading.options(None)?)?;
    if strips.len() < 2 {
        return Err(Failure("one strip is nothing to compare: give two or more".to_owned()));
    }
    let files: Vec<PathBuf> = strips.iter().map(|s| PathBuf::from(&s.source)).collect();
    let names = distinct(strips.iter().map(|s| s.name.clone()).collect(), &files);
    strips.iter_mut().zip(names).for_each(|(strip, name)| strip.name = name);
    let compared = StripsCompared::of(strips, args.model.into());
    finish(args, &compared, compared.figure())
}

fn of_pairings(args: &Args) -> Result<Outcome, Failure> {
    if args.files.len() < 2 {
        return Err(Failure("one pairing is nothing to compare: give two or more".to_owned()));
    }
    let mut read = Vec::new();
    for path in &args.files {
        read.push(pairing(path)?);
    }
    let aims = read[0].0.aims.clone();
    let (celsius, unit) = args.temperature.or(read[0].1.reference);
    let names: Vec<String> = read.iter().map(|(file, _)| file.name.clone()).collect();
    let names = distinct(names, &args.files);
    let compared = PairingsCompared::of(PairingsQuestion {
        names,
        measure: aims.measure,
        target: target(&args.target, &aims)?,
        celsius,
        unit,
        pairings: read.into_iter().map(|(_, pairing)| pairing).collect(),
    });
    finish(args, &compared, compared.figure())
}

fn finish(args: &Args, answer: &impl Answer, figure: Chart) -> Result<Outcome, Failure> {
    let mut made = Made::default();
    if let Some(path) = &args.plot {
        made.draw(&super::scene(figure), path)?;
    }
    made.write()?;
    show(answer, args.json)
}

/// Names that are told apart: those that occur more than once are preceded by the name of their file.
fn distinct(names: Vec<String>, files: &[PathBuf]) -> Vec<String> {
    let several = |name: &String| names.iter().filter(|other| *other == name).count() > 1;
    let stem = |path: &Path| path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let alike = names.iter().all(|name| *name == names[0]);
    let named = names.iter().zip(files).map(|(name, file)| match (several(name), alike) {
        (false, _) => name.clone(),
        (true, false) => format!("{}, {name}", stem(file)),
        (true, true) => stem(file),
    });
    named.collect()
}
