//! Where the proof's time comes from: the test strip, or a paper's curve with a reference.

use super::Args;
use crate::answers::TimeFrom;
use crate::cli::Failure;
use crate::printing::PaperStrip;
use crate::printing::proof::{Exposure, TestStrip, TimeReference};
use crate::readings::ExposureScale;

/// What the time comes from, if one was asked for.
pub fn time(
    args: &Args,
    test: Option<(TestStrip, Vec<Exposure>)>,
    papers: &[PaperStrip],
) -> Result<Option<TimeFrom>, Failure> {
    if let Some((strip, exposures)) = test {
        return Ok(Some(TimeFrom::Strip(strip, exposures)));
    }
    if args.paper_s.is_none() && args.lux.is_none() {
        return Ok(None);
    }
    let at = setting(args.setting.as_deref(), papers)?;
    let strip = &papers[at];
    let base_plus_fog = args.to_base_plus_fog.or(args.base_plus_fog).ok_or_else(|| {
        Failure(
            "the time depends on the film: give its base plus fog with --base-plus-fog".to_owned(),
        )
    })?;
    let reference = match (args.paper_s, args.lux) {
        (Some(seconds), _) => {
            TimeReference::Tablet { seconds: seconds.get(), clear: clear(args, strip)? }
        }
        (None, Some(lux)) if strip.strip.scale == ExposureScale::Absolute => {
            TimeReference::Lux(lux.get())
        }
        _ => {
            return Err(Failure(
                "--lux needs exposures in lux·s, and the paper's are relative: give --log-exposure-clear, or --paper-s instead".to_owned(),
            ));
        }
    };
    let base_plus_fog = base_plus_fog.get();
    Ok(Some(TimeFrom::Paper { strip: at, reference, base_plus_fog }))
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
