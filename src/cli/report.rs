//! `wedgebook report`: what is known, as one HTML file to show, print and send.

use super::bath::{date, is_of_another, record_of};
use super::inputs::{Made, known, strips};
use super::options::ReadingArgs;
use super::{Failure, Outcome, here, hint, progress};
use crate::answers::bath::chart::{ChartQuestion, ControlCharts};
use crate::answers::bath::status::{BathStatus, StatusQuestion};
use crate::answers::report::{Report, ReportPart};
use crate::answers::{Calibrated, Curves, FirstStrip, PairingsCompared, PairingsQuestion, Papers};
use crate::bath::control::{Alphabet, Basis};
use crate::bath::journal::today;
use crate::bath::watched::Watched;
use crate::curve::Choice;
use crate::development::aim::Target;
use crate::development::file::Known;
use crate::files::{Kind, Output, Outputs};
use crate::readings::read_files;
use crate::show::report;
use crate::units::TemperatureUnit;
use crate::words::counted;
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
    #[arg(required_unless_present = "paper", value_name = "FILE", value_parser = here::pairing_named)]
    files: Vec<PathBuf>,
    /// Readings of a paper whose sheet has no column of filters or grades.
    #[arg(long, value_name = "PAPER.csv")]
    paper: Vec<PathBuf>,
    #[command(flatten)]
    reading: ReadingArgs,
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
    Outputs::beside(args.files.iter().chain(&args.paper))
        .writes(Some(&args.out), Output::Report)
        .check()?;
    let date = args.date.unwrap_or_else(today);
    let mut parts = Vec::new();
    let mut pairings = Vec::new();
    let count = args.files.len() + args.paper.len();
    let work =
        progress::begin(format!("reporting on {}", counted(count, "file")), Some(count), false);
    for path in args.files.iter().chain(&args.paper) {
        match Kind::of_file(path).map_err(|why| Failure(format!("{}: {why}", path.display())))? {
            Kind::Pairing => match known(path)? {
                (file, Known::Family(pairing)) => {
                    let calibrated = Calibrated::of_kept(file, *pairing, TemperatureUnit::Celsius);
                    parts.push(ReportPart::of_pairing(&calibrated));
                    pairings.push(calibrated);
                }
                (file, Known::One(one)) => {
                    let unit = TemperatureUnit::Celsius;
                    let first = FirstStrip { file, one: *one, changes: Vec::new(), unit };
                    parts.push(ReportPart::of_first_strip(&first));
                }
            },
            Kind::Journal => {
                parts.extend(bath(path, date, pairing_of(path, &args.files)?)?);
            }
            _ => parts.push(readings(path, args)?),
        }
        work.did(1);
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
    drop(work);
    let mut made = Made::default();
    made.add(&args.out, page.into_bytes());
    made.write()?;
    super::print(&format!("{}\n", args.out.display()))?;
    Ok(Outcome::Done)
}

/// A bath: its status for a normal scene, and its charts.
fn bath(path: &Path, date: Date, pairing: Option<&Path>) -> Result<[ReportPart; 2], Failure> {
    let record = record_of(path, date, pairing)?;
    let aim = match &record.pairing {
        Ok((file, _)) => Some((file.aims.measure, Target::normal_scene(&file.aims.printing)?)),
        Err(_) => None,
    };
    let status = BathStatus::of(StatusQuestion {
        limits: record.limits()?,
        record,
        aim,
        celsius: None,
        unit: TemperatureUnit::Celsius,
        anyway: false,
    })?;
    let record = record_of(path, date, pairing)?;
    let charts = ControlCharts::of(ChartQuestion {
        limits: record.limits()?,
        record,
        watched: Watched::CHARTED.to_vec(),
        basis: Basis::Aim,
        alphabet: Some(Alphabet::Blocks),
    });
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    Ok(ReportPart::of_bath(&name, &status, &charts))
}

/// The one pairing among files, if it is of the bath's developer.
fn pairing_of<'a>(journal: &Path, files: &'a [PathBuf]) -> Result<Option<&'a Path>, Failure> {
    let is_pairing = |path: &&PathBuf| Kind::of_file(path).is_ok_and(|k| k == Kind::Pairing);
    let mut pairings = files.iter().filter(is_pairing);
    let (Some(path), None) = (pairings.next(), pairings.next()) else { return Ok(None) };
    let (file, known) = known(path)?;
    let fits = matches!(known, Known::Family(_)) && !is_of_another(journal, &file)?;
    Ok(fits.then_some(path.as_path()))
}

/// Strips of film, or, where their sheet has a column of filters or grades, of a paper.
fn readings(path: &Path, args: &Args) -> Result<ReportPart, Failure> {
    let papers = |strips| ReportPart::of_papers(&Papers::of(strips, Choice::Auto, None));
    let of_paper = args.reading.options_of_paper()?;
    let file = [path.to_owned()];
    if args.paper.iter().any(|paper| paper == path) {
        return Ok(papers(strips(&file, &of_paper)?));
    }
    let found = strips(&file, &args.reading.options(None)?)?;
    if found.iter().all(|strip| strip.labels.filter.is_none()) {
        return Ok(ReportPart::of_curves(&Curves::of(found, Choice::Auto)));
    }
    // The exposure that is usual for film is not that of a paper.
    let read = read_files(&file, &of_paper).map_err(|errors| hint::faults(&errors))?;
    Ok(papers(read.strips))
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
