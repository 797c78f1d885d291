//! `wedgebook proof`: the contact proof's time, and what paper each negative needs.

mod args;
mod figure;
mod json;
mod strip;
mod text;

pub use args::Args;

use super::args::LightArg;
use super::{Failure, Outcome, print};
use crate::curve::Choice;
use crate::development::aim::{CONDENSER, Light, Printing};
use crate::measures::Quantity;
use crate::printing::grade::GRADES_ASSUMED;
use crate::printing::proof::{
    Change, Exposure, Needed, Negative, ShortestBlack, TestStrip, TimeReference, from_paper,
};
use crate::printing::settings::{Chosen, NoSetting};
use crate::printing::{Grade, PaperStrip, Settings};
use crate::readings::{ExposureScale, ReadOptions};

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
    let time = time(args, test, &papers, sigma, &mut notes)?;
    if time.is_none() && negatives.is_empty() {
        return Err(Failure(if args.paper.is_some() {
            "the paper's log exposures are no seconds yet: give --paper-seconds, the time of its step tablet, or --lux".to_owned()
        } else {
            "nothing to do: give a test strip, or --paper with --paper-seconds, or --negative"
                .to_owned()
        }));
    }
    let rows = rows(args, negatives, &papers, sigma, &mut notes);
    let proof = Proof {
        time,
        rows,
        papers,
        notes,
    };
    if let Some(path) = &args.plot {
        figure::figure(&proof)?.scene().save(path)?;
    }
    print(&if args.json {
        json::document(&proof)
    } else {
        text::report(&proof)
    })?;
    Ok(if proof.is_whole() {
        Outcome::Done
    } else {
        Outcome::No
    })
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

fn time(
    args: &Args,
    test: Option<(TestStrip, Vec<Exposure>)>,
    papers: &[PaperStrip],
    sigma: f64,
    notes: &mut Vec<String>,
) -> Result<Option<Time>, Failure> {
    let mut change = Change {
        base_plus_fog: args.base_plus_fog.zip(args.to_base_plus_fog),
        aperture: args.aperture.zip(args.to_aperture),
        paper_speed: args.paper_speed.zip(args.to_paper_speed),
    };
    if let Some((strip, exposures)) = test {
        if strip.white().assumed {
            notes.push("the paper's white is assumed to be 0.06 ± 0.03 (no unexposed paper was read; a row of 0 s, or --white, gives it)".to_owned());
        }
        let found = strip.shortest_black();
        return Ok(Some(Time {
            source: Source::Strip(strip, exposures),
            found,
            change,
        }));
    }
    if args.paper_seconds.is_none() && args.lux.is_none() {
        return Ok(None);
    }
    let at = chosen(args, papers)?;
    let strip = &papers[at];
    let base = args.base_plus_fog.ok_or_else(|| {
        Failure(
            "the proof's time hangs on the film: give its base plus fog, --base-plus-fog"
                .to_owned(),
        )
    })?;
    let reference = match (args.paper_seconds, args.lux) {
        (Some(seconds), _) => TimeReference::Tablet {
            seconds,
            clear: clear(args, strip)?,
        },
        (None, Some(lux)) if strip.strip.scale == ExposureScale::Absolute => {
            TimeReference::Lux(lux)
        }
        _ => {
            return Err(Failure(
                "--lux needs exposures in lux·s, and the paper's are relative: give --log-exposure-clear, or --paper-seconds instead".to_owned(),
            ));
        }
    };
    // The film that is wanted is the film of the proof itself.
    let base = args.to_base_plus_fog.unwrap_or(base);
    change.base_plus_fog = None;
    let shift = match reference {
        TimeReference::Tablet { seconds, clear } => seconds.log10() - clear,
        TimeReference::Lux(lux) => -lux.log10(),
    } + base;
    let found = match &strip.result {
        Ok(paper) => from_paper(&paper.measures, reference, base, sigma),
        Err(error) => Err(error.to_string()),
    };
    Ok(Some(Time {
        source: Source::Paper { strip: at, shift },
        found,
        change,
    }))
}

/// The paper's log exposure behind clear tablet.
fn clear(args: &Args, strip: &PaperStrip) -> Result<f64, Failure> {
    match (args.log_exposure_clear, strip.strip.scale) {
        (Some(clear), _) => Ok(clear),
        (None, ExposureScale::Relative) => Ok(0.0),
        (None, ExposureScale::Absolute) => Err(Failure(
            "the paper's exposures are in lux·s: give --lux, or --log-exposure-clear, the log exposure of the bare light in those seconds".to_owned(),
        )),
    }
}

/// The strip of the paper that the proof is printed on.
fn chosen(args: &Args, papers: &[PaperStrip]) -> Result<usize, Failure> {
    setting(args.setting.as_deref(), papers)
}

/// The strip with this setting or name; the only one where none is named.
pub fn setting(wanted: Option<&str>, papers: &[PaperStrip]) -> Result<usize, Failure> {
    let names = || {
        let names: Vec<&str> = papers.iter().map(PaperStrip::setting).collect();
        names.join(", ")
    };
    match wanted {
        None if papers.len() == 1 => Ok(0),
        None => Err(Failure(format!(
            "the paper has {} strips: choose one with --setting ({})",
            papers.len(),
            names()
        ))),
        Some(name) => papers
            .iter()
            .position(|p| p.setting() == name)
            .or_else(|| papers.iter().position(|p| p.strip.name == name))
            .ok_or_else(|| {
                Failure(format!(
                    "the paper has no setting {name:?}; it has {}",
                    names()
                ))
            }),
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
    let printing = Printing {
        light,
        callier: args.callier,
        ..Printing::default()
    };
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
