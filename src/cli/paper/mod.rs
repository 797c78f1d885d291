//! `wedgebook paper`: a print of the step tablet to speed, range and grade of the paper.

mod args;
mod json;
mod text;

pub use args::Args;

use super::{Failure, Outcome, complain, print};
use crate::curve::Choice;
use crate::figures::PaperFigure;
use crate::printing::settings::{Chosen, NoSetting};
use crate::printing::{PaperStrip, Settings, analyse_papers};
use crate::readings::{ReadOptions, read_files};
use std::path::PathBuf;

/// The range that was asked for, and the setting that gives it.
pub struct Asked {
    range_r: f64,
    answer: Result<Chosen, NoSetting>,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let options = args.reading.options();
    let papers = papers(&args.readings, &options, args.model.into(), true)?;
    let unusable = papers.iter().any(|p| p.result.is_err());
    let asked = args
        .range
        .map(|range_r| Asked { range_r, answer: Settings::of(&papers).for_range(range_r) });
    if let Some(path) = &args.plot {
        figure(&papers).scene().save(path)?;
    }
    print(&if args.json {
        json::document(&papers, asked.as_ref())?
    } else {
        text::report(&papers, asked.as_ref())
    })?;
    Ok(match asked {
        _ if unusable => Outcome::Unusable,
        Some(Asked { answer: Err(_), .. }) => Outcome::No,
        _ => Outcome::Done,
    })
}

/// The strips of a paper with their curves; what the reader noticed and what cannot be fitted goes to
/// stderr; that exposures are relative is told only where `absolute` ones are needed.
pub fn papers(
    files: &[PathBuf],
    options: &ReadOptions,
    choice: Choice,
    absolute: bool,
) -> Result<Vec<PaperStrip>, Failure> {
    let readings = read_files(files, options)?;
    // A range R and a time by a tablet's time need no lux seconds.
    let matters = |note: &&String| absolute || !note.ends_with("for lux s");
    for note in readings.notes.iter().filter(matters) {
        complain(format_args!("note: {note}"));
    }
    let papers = analyse_papers(readings.strips, choice);
    for paper in &papers {
        if let Err(error) = &paper.result {
            complain(format_args!("{}: strip {:?}: {error}", paper.strip.source, paper.strip.name));
        }
    }
    Ok(papers)
}

/// What the paper is called: the name that its strips agree on.
pub fn name(papers: &[PaperStrip]) -> Option<&str> {
    let mut names = papers.iter().map(|p| p.strip.labels.film.as_deref());
    let first = names.next()??;
    names.all(|n| n == Some(first)).then_some(first)
}

fn figure(papers: &[PaperStrip]) -> PaperFigure {
    let title = match (name(papers), papers) {
        (Some(name), _) => name.to_owned(),
        (None, [only]) => format!("Paper curve of {}", only.strip.name),
        (None, several) => format!("Paper curves of {} strips", several.len()),
    };
    let date = papers.first().and_then(|p| p.strip.labels.date.clone());
    let subtitle = match papers {
        [only] => [only.strip.labels.filter.clone().map(setting), date],
        several => [Some(format!("{} settings", several.len())), date],
    };
    let subtitle: Vec<String> = subtitle.into_iter().flatten().collect();
    let subtitle = (!subtitle.is_empty()).then(|| subtitle.join(", "));
    PaperFigure::of(title, subtitle, papers)
}

fn setting(label: String) -> String {
    format!("setting {label}")
}
