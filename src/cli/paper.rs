//! `wedgebook paper`: a print of the step tablet to speed, range and grade of the paper.

use super::options::{Model, ReadingArgs};
use super::{Failure, Outcome, complain, hint, show};
use crate::answers::Papers;
use crate::curve::Choice;
use crate::files::{Output, Outputs};
use crate::printing::{PaperStrip, analyse_papers};
use crate::readings::{Note, ReadOptions, Strip, read_files};
use crate::units::PaperRange;
use std::path::PathBuf;

/// What are the speed, the range and the grade of this paper?
///
/// Measures a print of the step tablet: minimum and maximum density, speed P and range R of ISO 6846,
/// average gradient and grade, each with its 95 % interval.
///
/// Readings have the columns of film. `density` is the reflection density. An empty exposure marks the
/// unexposed paper. Strips that differ in a column `filter` (or `grade`) are one paper at several
/// settings.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  wedgebook paper data/paper.csv --log-exposure-clear 2.0 --plot paper.svg\n  wedgebook paper data/paper.csv --paper-range 95\n\nExit status: 0 done, 1 no setting gives the wanted range, 2 wrong usage or unusable input."
)]
pub struct Args {
    /// Readings: CSV, ISO 28178 text, .xlsx or .ods.
    #[arg(required = true)]
    readings: Vec<PathBuf>,
    /// Find the setting that gives this ISO range R, 100 times the log exposure range.
    #[arg(long, value_name = "R")]
    paper_range: Option<PaperRange>,
    /// The curve's model.
    #[arg(long, value_enum, default_value_t = Model::Auto)]
    model: Model,
    /// Print one JSON document instead of text.
    #[arg(long)]
    json: bool,
    /// Draw the curves, as SVG or PNG by the file's extension.
    #[arg(long, value_name = "FILE.svg|.png")]
    plot: Option<PathBuf>,
    #[command(flatten)]
    reading: ReadingArgs,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    Outputs::beside(&args.readings).writes(args.plot.as_ref(), Output::Picture).check()?;
    let strips = read(&args.readings, &args.reading.options_of_paper()?, true)?;
    let papers = Papers::of(strips, args.model.into(), args.paper_range.map(PaperRange::get));
    complain_of_unusable(&papers.strips);
    if let Some(path) = &args.plot {
        crate::cli::inputs::draw(&crate::cli::scene(papers.figure()), path)?;
    }
    let unusable = papers.unusable().next().is_some();
    let outcome = show(&papers, args.json)?;
    Ok(if unusable { Outcome::Unusable } else { outcome })
}

/// Strips of paper in files; that exposures are relative is said only where `absolute` ones are needed.
fn read(files: &[PathBuf], options: &ReadOptions, absolute: bool) -> Result<Vec<Strip>, Failure> {
    let readings = read_files(files, options).map_err(|errors| hint::faults(&errors))?;
    // A range R, and a time by a tablet's time, need no lux seconds.
    let matters = |note: &&Note| absolute || !matches!(note, Note::RelativeToClear { .. });
    hint::notes(readings.notes.iter().filter(matters));
    Ok(readings.strips)
}

/// The strips of a paper with their curves, for commands that need no absolute exposures.
pub fn papers(files: &[PathBuf], options: &ReadOptions) -> Result<Vec<PaperStrip>, Failure> {
    let papers = analyse_papers(read(files, options, false)?, Choice::Auto);
    complain_of_unusable(&papers);
    Ok(papers)
}

fn complain_of_unusable(papers: &[PaperStrip]) {
    for paper in papers {
        if let Err(error) = &paper.result {
            complain(format_args!("{}: strip {:?}: {error}", paper.strip.source, paper.strip.name));
        }
    }
}
