//! `wedgebook bench`: a page that follows today's development at the sink.

use super::aims::{AimArgs, TargetArgs, aims, target};
use super::inputs::{Made, pairing};
use super::options::{BathArgs, TemperatureArgs};
use super::session::night;
use super::{Failure, Outcome, here, hint, show};
use crate::answers::session::{ClassNight, NightQuestion};
use crate::answers::{
    AdjustQuestion, Answer, Bench, BenchQuestion, NightBench, NightBenchQuestion,
};
use crate::answers::{SessionQuestion, SessionSheet};
use crate::bath::journal::today;
use crate::development::aim::Target;
use crate::files::{Output, Outputs};
use crate::session::Plan;
use crate::show::bench::render;
use crate::units::TemperatureUnit;
use jiff::civil::Date;
use std::path::{Path, PathBuf};

/// How is today's development followed at the sink?
///
/// Writes a page for the browser of a telephone, which needs no network: it counts down, takes the
/// temperatures that you read, works out the time again, and has the steps after development where a
/// plan is given. The plan of a class night gives a page that goes from tank to tank.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples (the pairing is made by `calibrate`):\n  wedgebook bench pairing.toml --scene-stops 7 -t 21.5 --out bench.html\n  wedgebook bench pairing.toml --bath data/bath.csv --date 2026-11-17 --out bench.html\n  wedgebook bench --plan data/session.toml --date 2026-11-17 --out bench.html\n  wedgebook bench --plan data/class-night.toml --date 2026-11-17 --out bench.html\n\nExit status: 0 done, 1 there is no such time, or the bath is not to be used, 2 wrong usage or unusable input."
)]
pub struct Args {
    /// The pairing, or how its name begins [default: that of wedgebook.toml, or the only one in this folder].
    #[arg(value_name = "PAIRING", value_parser = here::pairing_named)]
    pairing: Option<PathBuf>,
    /// The page to write.
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// The plan of a session, as for `wedgebook session`: its pairing, aim, bath and temperature, and the
    /// steps after development.
    #[arg(long, value_name = "PLAN.toml", conflicts_with_all = ["pairing", "contrast", "scene_stops",
        "measure", "paper_range", "light", "callier", "flare", "veil", "temperature", "bath", "activity"])]
    plan: Option<PathBuf>,
    #[command(flatten)]
    target: TargetArgs,
    #[command(flatten)]
    aims: AimArgs,
    #[command(flatten)]
    temperature: TemperatureArgs,
    #[command(flatten)]
    bath: BathArgs,
    /// Calculate also far outside what was calibrated.
    #[arg(long)]
    extrapolate: bool,
    /// Print one JSON document instead of text.
    #[arg(long)]
    json: bool,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    match &args.plan {
        Some(plan) => of_plan(args, plan),
        None => of_pairing(args),
    }
}

/// By a pairing, and what is wanted today.
fn of_pairing(args: &Args) -> Result<Outcome, Failure> {
    let path = here::pairing(args.pairing.as_deref())?;
    Outputs::beside([&path])
        .reads(args.bath.journal())
        .writes(Some(&args.out), Output::BenchPage)
        .check()?;
    let (file, pairing) = pairing(&path)?;
    let aims = aims(&file.aims, &args.aims)?;
    let (celsius, unit) = args.temperature.or(pairing.reference);
    let date = args.bath.date().unwrap_or_else(today);
    let entering = args.bath.journal().map(|journal| {
        let begin = format!("wedgebook bath film {} --date {date} --rolls ", quoted(journal));
        vec![begin, " --note \"".to_owned(), "\"".to_owned()]
    });
    let bench = Bench::of(BenchQuestion {
        adjust: AdjustQuestion {
            name: &file.name,
            pairing: &pairing,
            measure: aims.measure,
            target: target(&args.target, &aims)?,
            exposed_at: None,
            agitation: None,
            celsius,
            unit,
            bath: args.bath.bath(&file)?,
            extrapolate: args.extrapolate,
            anyway: args.bath.anyway,
            scene_stops: &[],
            printing: aims.printing,
            paper: None,
        },
        date,
        session: None,
        entering: entering.unwrap_or_default(),
    });
    write(args, &bench)
}

/// By the plan of a session.
fn of_plan(args: &Args, path: &Path) -> Result<Outcome, Failure> {
    let plan = Plan::read(path).map_err(|why| hint::no_plan(&why))?;
    if plan.is_class_night() {
        return of_night(args, path, &plan);
    }
    Outputs::beside([path, &plan.pairing])
        .reads(plan.journal())
        .writes(Some(&args.out), Output::BenchPage)
        .check()?;
    let (file, pairing) = pairing(&plan.pairing)?;
    let journal = plan.journal().map(|path| super::bath::read(path)).transpose()?;
    if let Some(doubt) = journal.iter().flat_map(|j| &j.doubts).next().filter(|_| !args.bath.anyway)
    {
        return Err(hint::doubtful(doubt));
    }
    journal.iter().for_each(hint::journal_notes);
    let date = args.bath.date().unwrap_or_else(today);
    let question = SessionQuestion {
        plan: &plan,
        file: &file,
        pairing: &pairing,
        journal: journal.as_ref(),
        date,
        extrapolate: args.extrapolate,
        anyway: args.bath.anyway,
        first_number: None,
        temperatures: &[],
    };
    let session = match SessionSheet::of(question) {
        Ok(session) => session,
        Err(why) => {
            let answer = |standing| SessionSheet::not_given(&question, standing);
            return hint::without_sheet(why, args.json, answer, |answer| save(args, answer));
        }
    };
    let developing = &session.sheet().developing;
    let printing = file.aims.printing;
    let target = match developing.aim {
        Some(aim) => Target::scene(aim.stops, &printing)?,
        None => Target::contrast(developing.contrast),
    };
    let entering = session.journal().map(|_| vec![entering(path, date, session.batch_count())]);
    let bench = Bench::of(BenchQuestion {
        adjust: AdjustQuestion {
            name: &file.name,
            pairing: &pairing,
            measure: developing.measure,
            target,
            exposed_at: None,
            agitation: plan.developer.agitation.as_deref(),
            celsius: developing.celsius,
            unit: TemperatureUnit::Celsius,
            bath: session.bath(),
            extrapolate: args.extrapolate,
            anyway: args.bath.anyway,
            scene_stops: &[],
            printing,
            paper: None,
        },
        date,
        session: Some(&session),
        entering: entering.unwrap_or_default(),
    });
    write(args, &bench)
}

/// The command that enters a session, with the temperatures of each of its batches or tanks.
fn entering(plan: &Path, date: Date, count: usize) -> String {
    let logs: String =
        (1..=count).map(|n| format!(" --temperatures temperatures-{n}.csv")).collect();
    format!("wedgebook session {} --enter --date {date}{logs}", quoted(plan))
}

/// By the plan of a class night.
fn of_night(args: &Args, path: &Path, plan: &Plan) -> Result<Outcome, Failure> {
    let kept = night::kept(plan);
    Outputs::beside(plan.parts.iter().map(|part| &part.pairing))
        .reads([path])
        .reads(kept.iter().flatten())
        .writes(Some(&args.out), Output::BenchPage)
        .check()?;
    let named = night::Named::read(plan, args.bath.anyway)?;
    let pairings = named.of_parts(plan);
    let date = args.bath.date().unwrap_or_else(today);
    let question = NightQuestion {
        plan,
        pairings: pairings.clone(),
        journals: named.journals(),
        date,
        extrapolate: args.extrapolate,
        anyway: args.bath.anyway,
        first_number: None,
        temperatures: &[],
    };
    let sheet = match ClassNight::of(question) {
        Ok(sheet) => sheet,
        Err(why) => {
            let answer = |standing| SessionSheet::withheld(plan, date, standing);
            return hint::without_sheet(why, args.json, answer, |answer| save(args, answer));
        }
    };
    let entering =
        (!sheet.entries().is_empty()).then(|| entering(path, date, sheet.sheet().tanks.len()));
    let bench = NightBench::of(NightBenchQuestion {
        night: &sheet,
        plan,
        pairings: &pairings,
        extrapolate: args.extrapolate,
        anyway: args.bath.anyway,
        entering: entering.as_deref(),
    })?;
    match bench.no_time() {
        Some(why) => {
            let outcome = show(&bench, args.json)?;
            hint::no_time(why, args.extrapolate);
            Ok(outcome)
        }
        None => {
            save(args, &bench)?;
            show(&bench, args.json)
        }
    }
}

/// Writes the page where there is a time, or a bath that is not to be used, and shows the answer.
fn write(args: &Args, bench: &Bench<'_>) -> Result<Outcome, Failure> {
    use crate::answers::NoTime;
    let no = bench.adjust.result.as_ref().err();
    if matches!(no, None | Some(NoTime::Withheld(_))) {
        save(args, bench)?;
    }
    let outcome = show(bench, args.json)?;
    if let Some(why) = no {
        hint::no_time(why, args.extrapolate);
    }
    Ok(outcome)
}

/// Writes the page of an answer.
fn save(args: &Args, answer: &impl Answer) -> Result<(), Failure> {
    let mut made = Made::default();
    made.add(&args.out, render(&hint::described(answer)).into_bytes());
    Ok(made.write()?)
}

/// A path as a word of a command line.
fn quoted(path: &Path) -> String {
    let path = path.display().to_string();
    let plain = |c: char| c.is_ascii_alphanumeric() || "/._-+:,@%".contains(c);
    match !path.is_empty() && path.chars().all(plain) {
        true => path,
        false => format!("'{}'", path.replace('\'', "'\\''")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_is_one_word_of_a_shell() {
        for (path, word) in [
            ("data/bath.csv", "data/bath.csv"),
            ("my bath.csv", "'my bath.csv'"),
            ("it's $HOME.csv", "'it'\\''s $HOME.csv'"),
        ] {
            assert_eq!(quoted(Path::new(path)), word);
        }
    }
}
