//! Where the proof's time comes from: the test strip, or a paper's curve with a reference.

use super::{Args, Source, Time};
use crate::cli::Failure;
use crate::printing::PaperStrip;
use crate::printing::proof::{Change, Exposure, TestStrip, TimeReference, from_paper};
use crate::readings::ExposureScale;

/// The time that was asked for, if one was.
pub fn time(
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
        return Ok(Some(Time { source: Source::Strip(strip, exposures), found, change }));
    }
    if args.paper_seconds.is_none() && args.lux.is_none() {
        return Ok(None);
    }
    let at = setting(args.setting.as_deref(), papers)?;
    let strip = &papers[at];
    let base = args.base_plus_fog.ok_or_else(|| {
        Failure(
            "the proof's time hangs on the film: give its base plus fog, --base-plus-fog"
                .to_owned(),
        )
    })?;
    let reference = match (args.paper_seconds, args.lux) {
        (Some(seconds), _) => TimeReference::Tablet { seconds, clear: clear(args, strip)? },
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
    Ok(Some(Time { source: Source::Paper { strip: at, shift }, found, change }))
}

/// The paper's log exposure behind clear tablet.
fn clear(args: &Args, strip: &PaperStrip) -> Result<f64, Failure> {
    match (args.log_exposure_clear, strip.strip.scale) {
        (Some(clear), _) => Ok(clear.get()),
        (None, ExposureScale::Relative) => Ok(0.0),
        (None, ExposureScale::Absolute) => Err(Failure(
            "the paper's exposures are in lux·s: give --lux, or --log-exposure-clear, the log exposure of the bare light in those seconds".to_owned(),
        )),
    }
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
                Failure(format!("the paper has no setting {name:?}; it has {}", names()))
            }),
    }
}
