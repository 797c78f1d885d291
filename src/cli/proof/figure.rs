//! The proof's figure: density over seconds.

use super::{Proof, Source};
use crate::cli::Failure;
use crate::figures::{CurvePoint, ProofFigure};

/// Points along a curve.
const POINTS: u32 = 200;

pub fn figure(proof: &Proof) -> Result<ProofFigure, Failure> {
    let Some(time) = &proof.time else {
        return Err(Failure(
            "there is no time to draw: --plot needs a test strip, or --paper with --paper-seconds or --lux".to_owned(),
        ));
    };
    let found = time.found.as_ref().ok();
    let (points, curve, subtitle) = match &time.source {
        Source::Strip(strip, readings) => {
            let ends = (strip.points().next(), strip.points().last());
            let (low, high) = match ends {
                (Some(first), Some(last)) => (first.0, last.0),
                _ => (0.0, 0.0),
            };
            let points = readings.iter().map(|e| (e.seconds, e.density)).collect();
            let curve = along(low, high, |x| {
                let density = strip.density(x);
                (density, 0.0)
            });
            (points, curve, "test strip through clear film".to_owned())
        }
        Source::Paper { strip, shift } => {
            let strip = &proof.papers[*strip];
            let curve = strip.result.as_ref().map_or_else(
                |_| Vec::new(),
                |paper| {
                    let own = paper.fit.curve.as_ref();
                    let (low, high) = own.range();
                    along(low + shift, high + shift, |x| {
                        (own.density(x - shift), paper.fit.quantile * own.density_sd(x - shift))
                    })
                },
            );
            let paper = strip.strip.labels.film.as_deref().unwrap_or("the paper");
            let subtitle = format!("{paper}, setting {}, through clear film", strip.setting());
            (Vec::new(), curve, subtitle)
        }
    };
    let scaled = if time.change.is_none() { "" } else { "; as tested, before scaling" };
    Ok(ProofFigure {
        title: "Contact proof".to_owned(),
        subtitle: Some(subtitle + scaled),
        points,
        curve,
        d_max: found.map(|f| f.d_max.value),
        black: found.map(|f| f.density),
        seconds: found.map(|f| (f.seconds.value, f.seconds.low, f.seconds.high)),
    })
}

/// The curve between two log times, from its density and half its interval.
fn along(low: f64, high: f64, at: impl Fn(f64) -> (f64, f64)) -> Vec<CurvePoint> {
    (0..=POINTS)
        .map(|k| {
            let x = low + (high - low) * f64::from(k) / f64::from(POINTS);
            let (density, half) = at(x);
            CurvePoint { x, density, low: density - half, high: density + half }
        })
        .collect()
}
