//! `wedgebook proof`: the contact proof's time, and what paper each negative needs.

mod args;
mod strip;
mod time;

pub use args::Args;
pub use time::setting;

use super::options::Given;
use super::{Failure, Outcome, show};
use crate::answers::{Proof, ProofQuestion};
use crate::files::{Output, Outputs};
use crate::printing::proof::Change;
use crate::readings::ReadOptions;
use crate::units::{CallierFactor, DensitySigma};

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    Outputs::beside(args.strip.iter().filter_map(Given::file))
        .reads(args.negative.iter().filter_map(Given::file))
        .reads(&args.paper)
        .writes(args.plot.as_ref(), Output::Picture)
        .check()?;
    let sigma = args.density_sigma.map_or(0.010, DensitySigma::get);
    let test = strip::strip(args, sigma)?;
    let negatives = strip::negatives(&args.negative)?;
    let options = ReadOptions {
        log_exposure_clear: args.log_exposure_clear,
        density_sigma: args.density_sigma.map(Into::into),
        ..ReadOptions::default()
    };
    let papers = match &args.paper {
        Some(path) => super::paper::papers(std::slice::from_ref(path), &options)?,
        None => Vec::new(),
    };
    let time = time::time(args, test, &papers)?;
    if time.is_none() && negatives.is_empty() {
        let why = match args.paper {
            Some(_) => {
                "the paper's log exposures are not seconds: give --paper-s, the time of its step tablet, or --lux"
            }
            None => "nothing to do: give a test strip, or --paper with --paper-s, or --negative",
        };
        return Err(Failure(why.to_owned()));
    }
    let proof = Proof::of(ProofQuestion {
        time,
        change: Change {
            base_plus_fog: pair(args.base_plus_fog, args.to_base_plus_fog),
            aperture: pair(args.aperture, args.to_aperture),
            paper_speed: pair(args.paper_speed, args.to_paper_speed),
        },
        negatives,
        papers,
        light: args.light.into(),
        callier: args.callier.map(CallierFactor::get),
        sigma,
    });
    if let Some(path) = &args.plot {
        let figure = proof.figure().ok_or_else(|| {
            Failure("there is no time to draw: --plot needs a test strip, or --paper with --paper-s or --lux".to_owned())
        })?;
        crate::cli::inputs::draw(&crate::cli::scene(figure), path)?;
    }
    show(&proof, args.json)
}

/// What was and what is, where both are known.
fn pair<Q: Into<f64>>(was: Option<Q>, is: Option<Q>) -> Option<(f64, f64)> {
    Some((was?.into(), is?.into()))
}
