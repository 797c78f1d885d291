//! `wedgebook tone`: from the scene to the print.

mod args;
mod figure;
mod json;
mod text;

pub use args::Args;

use super::inputs::{celsius, pairing};
use super::{Failure, Outcome, complain, print};
use crate::curve::Choice;
use crate::development::file::Aims;
use crate::development::{Pairing, Wanted};
use crate::measures::Quantity;
use crate::printing::tone::{Camera, Chain, Film, GREY, PrintSetup, Printed, Remedy, Reproduction};
use crate::printing::{Paper, PaperStrip};
use crate::readings::ReadOptions;
use crate::units::{Celsius, STOP};

/// How the film is developed.
pub struct Development {
    theta: f64,
    minutes: f64,
    celsius: Celsius,
    activity: f64,
    /// What it was developed for, in words.
    reason: String,
}

/// Everything that is told.
pub struct Told<'a> {
    name: String,
    pairing: &'a Pairing,
    papers: &'a [PaperStrip],
    paper: &'a Paper,
    bench: PrintSetup<'a>,
    chain: Chain<'a>,
    development: Development,
    reproduction: Reproduction,
    /// Overall gradient with its interval.
    gradient: Option<Quantity>,
    remedies: Vec<Remedy>,
    notes: Vec<String>,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let (file, pairing) = pairing(&args.pairing)?;
    let options =
        ReadOptions { log_exposure_clear: args.log_exposure_clear, ..ReadOptions::default() };
    let files = std::slice::from_ref(&args.paper);
    let papers = super::paper::papers(files, &options, Choice::Auto, false)?;
    let chosen = super::proof::setting(args.setting.as_deref(), &papers)?;
    let paper = papers[chosen]
        .result
        .as_ref()
        .map_err(|e| Failure(format!("the paper's curve cannot be printed on: {e}")))?;
    let mut aims = super::aims::aims(&file.aims, &args.aims);
    // The film is developed for this paper, not for one that the pairing was made for.
    if let (None, Ok(range)) = (args.aims.paper_range, &paper.measures.range_r) {
        aims.printing.paper_range = range.value;
    }
    let development = match development(args, &pairing, &aims)? {
        Ok(development) => development,
        Err(why) => {
            complain(why);
            return Ok(Outcome::No);
        }
    };
    let bench = PrintSetup {
        camera: Camera {
            stops: args.scene_stops,
            flare: aims.printing.flare,
            grey: args.metered_below.map_or(GREY, |stops| stops * STOP),
            correction: args.over,
        },
        film: Film {
            pairing: &pairing,
            theta: development.theta,
            exposure_index: args.exposure_index,
        },
        printed: Printed {
            callier: aims.printing.factor(),
            print_for: args.print_for.into(),
            correction: args.print_over,
        },
        papers: &papers,
        paper: chosen,
    };
    let chain = match bench.chain() {
        Ok(chain) => chain,
        Err(why) => {
            complain(why);
            return Ok(Outcome::No);
        }
    };
    let reproduction = chain.reproduction();
    let told = Told {
        name: file.name.clone(),
        pairing: &pairing,
        papers: &papers,
        paper,
        gradient: bench.gradient(&reproduction),
        remedies: bench.remedies(),
        notes: notes(args, &aims, &reproduction, &pairing),
        bench,
        chain,
        development,
        reproduction,
    };
    if let Some(path) = &args.plot {
        figure::figure(&told).scene().save(path)?;
    }
    print(&if args.json { json::document(&told) } else { text::report(&told) })?;
    Ok(Outcome::Done)
}

/// How long the film is developed; the inner error is an answer of no.
fn development(
    args: &Args,
    pairing: &Pairing,
    aims: &Aims,
) -> Result<Result<Development, String>, Failure> {
    let bath = match args.celsius {
        Some(typed) => celsius(typed, args.fahrenheit)?,
        None => pairing.reference,
    };
    let law = pairing.growth(aims.measure).unwrap_or_else(|| pairing.law());
    if let Some(minutes) = args.minutes {
        let theta = minutes * args.activity * law.rate(bath);
        let (low, high) = law.range();
        if !(low / 3.0..=high * 3.0).contains(&theta) {
            return Ok(Err(format!(
                "{theta:.1} effective minutes are far outside the calibrated development ({low:.1} to {high:.1})"
            )));
        }
        return Ok(Ok(Development {
            theta,
            minutes,
            celsius: bath,
            activity: args.activity,
            reason: "as given".to_owned(),
        }));
    }
    let (contrast, reason) = match args.contrast {
        Some(contrast) => (contrast, "as wanted".to_owned()),
        None => {
            let contrast = aims.printing.contrast(args.scene_stops).ok_or_else(|| {
                Failure(format!(
                    "flare of {} leaves nothing of a scene of {} stops; give a smaller --flare",
                    aims.printing.flare, args.scene_stops
                ))
            })?;
            let range = aims.printing.paper_range;
            (contrast, format!("for the scene on paper of range R {range:.0}"))
        }
    };
    let wanted = Wanted {
        measure: aims.measure,
        contrast,
        celsius: bath,
        activity: args.activity,
        extrapolate: false,
    };
    Ok(match pairing.adjust(&wanted) {
        Ok(adjusted) => Ok(Development {
            theta: adjusted.effective_minutes.value,
            minutes: adjusted.minutes.value,
            celsius: bath,
            activity: args.activity,
            reason,
        }),
        Err(why) => Err(why.to_string()),
    })
}

fn notes(args: &Args, aims: &Aims, reproduction: &Reproduction, pairing: &Pairing) -> Vec<String> {
    let mut notes = aims.printing.assumptions();
    if args.metered_below.is_none() {
        notes.push("the metered tone is assumed to be a grey of 18 %, 2.5 stops below the brightest (common practice, no source)".to_owned());
    }
    let tones = &reproduction.tones;
    if let (Some(dark), Some(bright)) = (tones.first(), tones.last()) {
        let (low, high) = exposures(pairing);
        if dark.film_exposure < low || bright.film_exposure > high {
            notes.push(format!(
                "the scene exposes the film from {:.2} to {:.2}, and the strips of the pairing from {low:.2} to {high:.2}: what lies beyond is the surface's word",
                dark.film_exposure, bright.film_exposure
            ));
        }
    }
    notes
}

/// Lowest and highest log exposure that all strips of the pairing have.
fn exposures(pairing: &Pairing) -> (f64, f64) {
    let ranges = pairing.strips.iter().filter_map(|s| {
        let analysed = s.result.as_ref().ok()?;
        Some(analysed.fit.curve.range())
    });
    ranges.fold((f64::NEG_INFINITY, f64::INFINITY), |(l, h), (a, b)| (l.max(a), h.min(b)))
}

impl Told<'_> {
    fn strip(&self) -> &PaperStrip {
        &self.papers[self.bench.paper]
    }

    /// The tones of the table: whole stops from the metered tone, and the scene's two ends.
    fn rows(&self) -> Vec<f64> {
        let camera = self.chain.camera();
        let (dark, bright) = (camera.darkest(), camera.brightest());
        let (first, last) = ((dark / STOP).ceil() as i32, (bright / STOP).floor() as i32);
        let whole = (first..=last).map(|k| f64::from(k) * STOP);
        let apart = |l: &f64| (l - dark).abs() > 0.05 && (l - bright).abs() > 0.05;
        let inner: Vec<f64> = whole.filter(apart).collect();
        [dark].into_iter().chain(inner).chain([bright]).collect()
    }
}
