//! `wedgebook proof`: the contact proof's time, and what paper each negative needs.

mod args;
mod figure;
mod json;
mod strip;
mod text;
mod time;

pub use args::Args;
pub use time::setting;

use super::args::LightArg;
use super::{Failure, Outcome, print};
use crate::curve::Choice;
use crate::development::aim::{CONDENSER, Light, Printing};
use crate::measures::Quantity;
use crate::printing::grade::GRADES_ASSUMED;
use crate::printing::proof::{Change, Exposure, Needed, Negative, ShortestBlack, TestStrip};
use crate::printing::settings::{Chosen, NoSetting};
use crate::printing::{Grade, PaperStrip, Settings};
use crate::readings::ReadOptions;

/// What the time comes from.
pub enum Source {
    /// A test strip with its readings.
    Strip(TestStrip, Vec<Exposure>),
    /// A paper's strip, and what turns its log exposures into log10 of seconds.
    Paper { strip: usize, shift: f64 },
}

/// The time with where it comes from.
pub struct Time {
    source: Source,
    found: Result<ShortestBlack, String>,
    change: Change,
}

/// A negative with the paper that it needs.
pub struct Row {
    negative: Negative,
    needed: Needed,
    grade: Result<Grade, String>,
    /// The setting of the paper, where a paper was given.
    setting: Option<Result<Chosen, NoSetting>>,
}

/// Everything that was asked for.
pub struct Proof {
    time: Option<Time>,
    rows: Vec<Row>,
    papers: Vec<PaperStrip>,
    notes: Vec<String>,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let sigma = args.density_sigma.map_or(0.010, |s| s.get());
    let test = strip::strip(args, sigma)?;
    let negatives = strip::negatives(args)?;
    let papers = match &args.paper {
        Some(path) => {
            let options = ReadOptions {
                log_exposure_clear: args.log_exposure_clear,
                density_sigma: args.density_sigma,
                ..ReadOptions::default()
            };
            super::paper::papers(std::slice::from_ref(path), &options, Choice::Auto, false)?
        }
        None => Vec::new(),
    };
    let mut notes = Vec::new();
    let time = time::time(args, test, &papers, sigma, &mut notes)?;
    if time.is_none() && negatives.is_empty() {
        return Err(Failure(if args.paper.is_some() {
            "the paper's log exposures are no seconds yet: give --paper-seconds, the time of its step tablet, or --lux".to_owned()
        } else {
            "nothing to do: give a test strip, or --paper with --paper-seconds, or --negative"
                .to_owned()
        }));
    }
    let rows = rows(args, negatives, &papers, sigma, &mut notes);
    let proof = Proof { time, rows, papers, notes };
    if let Some(path) = &args.plot {
        figure::figure(&proof)?.scene().save(path)?;
    }
    print(&if args.json { json::document(&proof) } else { text::report(&proof) })?;
    Ok(if proof.is_whole() { Outcome::Done } else { Outcome::No })
}

impl Proof {
    /// Whether all that was asked for could be told.
    fn is_whole(&self) -> bool {
        let told = |row: &Row| match &row.setting {
            Some(setting) => setting.is_ok(),
            None => row.grade.is_ok(),
        };
        self.time.as_ref().is_none_or(|t| t.found.is_ok()) && self.rows.iter().all(told)
    }
}

impl Time {
    /// The time to set now.
    fn seconds(&self) -> Result<Quantity, &String> {
        self.found.as_ref().map(|f| self.change.scaled(f.seconds))
    }
}

fn rows(
    args: &Args,
    negatives: Vec<Negative>,
    papers: &[PaperStrip],
    sigma: f64,
    notes: &mut Vec<String>,
) -> Vec<Row> {
    let light = match args.light {
        LightArg::Diffuse => Light::Diffuse,
        LightArg::Condenser => Light::Condenser,
    };
    let printing = Printing { light, callier: args.callier, ..Printing::default() };
    if !negatives.is_empty() {
        if light == Light::Condenser && args.callier.is_none() {
            notes.push(format!("a Callier factor of {CONDENSER} for condenser light is assumed (common practice, no source)"));
        }
        notes.push(GRADES_ASSUMED.to_owned());
    }
    let settings = (!papers.is_empty()).then(|| Settings::of(papers));
    negatives
        .into_iter()
        .map(|negative| {
            let needed = negative.needed(printing.factor(), sigma);
            let range = needed.range_r.value;
            Row {
                needed,
                grade: Grade::of(range),
                setting: settings.as_ref().map(|s| s.for_range(range)),
                negative,
            }
        })
        .collect()
}
