//! `wedgebook report`: what is known, as one HTML file to show, print and send.

use super::bath::{date, record_of};
use super::inputs::{Made, known};
use super::{Failure, Outcome, complain, here};
use crate::answers::bath::chart::{ChartQuestion, ControlCharts};
use crate::answers::bath::status::{BathStatus, StatusQuestion};
use crate::answers::report::{Report, ReportPart};
use crate::answers::{Calibrated, Curves, PairingsCompared, PairingsQuestion, Papers};
use crate::bath::control::{Alphabet, Basis};
use crate::bath::journal::today;
use crate::bath::watched::Watched;
use crate::curve::Choice;
use crate::development::aim::Target;
use crate::development::file::Known;
use crate::files::{Kind, Output, Outputs};
use crate::readings::{ReadOptions, read_files};
use crate::show::report;
use crate::units::TemperatureUnit;
use jiff::civil::Date;
use std::path::{Path, PathBuf};

/// What is known of films, baths and papers, as one page to show, print and send?
///
/// Pairings, journals, readings of strips and of papers become one HTML file with their figures. It needs no
/// network and no other file.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  wedgebook report pairing.toml data/bath.csv data/paper.csv --out report.html\n\nExit status: 0 done, 2 wrong usage or unusable input."
)]
pub struct Args {
    /// Pairings, journals, readings of strips or of papers.
    #[arg(required = true, value_name = "FILE", value_parser = here::pairing_named)]
    files: Vec<PathBuf>,
    /// Write the report here.
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Title of the report [default: the names of what it is about].
    #[arg(long, value_name = "TEXT")]
    title: Option<String>,
    /// The day that baths are judged on [default: today].
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = date)]
    date: Option<Date>,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    Outputs::beside(&args.files).writes(Some(&args.out), Output::Report).check()?;
    let date = args.date.unwrap_or_else(today);
    let mut parts = Vec::new();
    let mut pairings = Vec::new();
    for path in &args.files {
        match Kind::of_file(path).map_err(|why| Failure(format!("{}: {why}", path.display())))? {
            Kind::Pairing => match known(path)? {
                (file, Known::Family(pairing)) => {
                    let calibrated = Calibrated::of_kept(file, *pairing, TemperatureUnit::Celsius);
                    parts.push(ReportPart::of_pairing(&calibrated));
                    pairings.push(calibrated);
                }
                (file, Known::One(_)) => {
                    return Err(Failure(format!(
                        "{}: {} has one strip: a report needs strips of two times or more",
                        path.display(),
                        file.name
                    )));
                }
            },
            Kind::Journal => parts.extend(bath(path, date)?),
            _ => parts.push(readings(path)?),
        }
    }
    if let Some(compared) = compared(pairings)? {
        let figures = vec![compared.figure().scene()];
        parts.push(ReportPart::of(&compared).with(figures));
    }
    let titles: Vec<&str> = parts.iter().map(|part| part.description.title.as_str()).collect();
    let title = args.title.clone().unwrap_or_else(|| match titles.as_slice() {
        [one] => (*one).to_owned(),
        _ => "Report".to_owned(),
    });
    let page = report::render(&Report { title, date, parts });
    let mut made = Made::default();
    made.add(&args.out, page.into_bytes());
    made.write()?;
    super::print(&format!("{}\n", args.out.display()))?;
    Ok(Outcome::Done)
}

/// A bath: its status and its charts.
fn bath(path: &Path, date: Date) -> Result<Vec<ReportPart>, Failure> {
    let record = record_of(path, date)?;
    let standing = record.standing.to_string();
    let status = BathStatus::of(StatusQuestion {
        limits: record.limits()?,
        record,
        aim: None,
        celsius: None,
        unit: TemperatureUnit::Celsius,
        anyway: false,
    })?;
    let record = record_of(path, date)?;
    let charts = ControlCharts::of(ChartQuestion {
        limits: record.limits()?,
        record,
        watched: Watched::CHARTED.to_vec(),
        basis: Basis::Aim,
        alphabet: Alphabet::Blocks,
    });
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let found = format!("The bath {name} on {date}: {standing}.");
    let figures = vec![charts.figure().scene()];
    Ok(vec![ReportPart::of(&status).found(found), ReportPart::of(&charts).with(figures)])
}

/// Strips of film, or of a paper.
fn readings(path: &Path) -> Result<ReportPart, Failure> {
    let read = read_files(&[path.to_owned()], &ReadOptions::default())
        .map_err(|errors| super::hint::faults(&errors))?;
    for note in &read.notes {
        complain(format_args!("note: {note}"));
    }
    let is_paper = read.strips.iter().any(|strip| strip.labels.filter.is_some());
    Ok(match is_paper {
        true => ReportPart::of_papers(&Papers::of(read.strips, Choice::Auto, None)),
        false => ReportPart::of_curves(&Curves::of(read.strips, Choice::Auto)),
    })
}

/// Several pairings side by side, by the aims of the first.
fn compared(all: Vec<Calibrated>) -> Result<Option<PairingsCompared>, Failure> {
    let Some(first) = all.first().filter(|_| all.len() > 1) else { return Ok(None) };
    let question = PairingsQuestion {
        names: all.iter().map(|one| one.file.name.clone()).collect(),
        measure: first.file.aims.measure,
        target: Target::normal_scene(&first.file.aims.printing)?,
        celsius: first.pairing.reference,
        unit: TemperatureUnit::Celsius,
        pairings: Vec::new(),
    };
    let pairings = all.into_iter().map(|one| one.pairing).collect();
    Ok(Some(PairingsCompared::of(PairingsQuestion { pairings, ..question })))
}
