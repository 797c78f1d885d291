//! The figure of measured papers.

use super::{PaperCurve, PaperFigure};
use crate::figures::characteristic::{CurvePoint, PlotPoint};
use crate::measures::Measured;
use crate::printing::iso_6846::{HIGHLIGHT, SPEED};
use crate::printing::{Paper, PaperStrip};
use crate::readings::ExposureScale;

/// Points along a curve.
const POINTS: u32 = 240;

impl PaperFigure {
    /// The figure of `papers`, all in one frame.
    #[must_use]
    pub fn of(title: String, subtitle: Option<String>, papers: &[PaperStrip]) -> Self {
        Self {
            title,
            subtitle,
            absolute: papers.iter().all(|p| p.strip.scale == ExposureScale::Absolute),
            papers: papers.iter().map(PaperCurve::of).collect(),
        }
    }
}

impl PaperCurve {
    /// What the figure shows of one strip.
    #[must_use]
    pub fn of(paper: &PaperStrip) -> Self {
        let strip = &paper.strip;
        let point = |r: &crate::readings::Reading| {
            Some(PlotPoint {
                log_exposure: r.log_exposure?.get(),
                density: r.density.get(),
                suspect: false,
            })
        };
        let mut points: Vec<PlotPoint> = strip.readings.iter().filter_map(point).collect();
        let suspects = paper.result.iter().flat_map(|p| &p.fit.suspects);
        for suspect in suspects {
            if let Some(point) =
                suspect.index.checked_sub(strip.unexposed.len()).and_then(|i| points.get_mut(i))
            {
                point.suspect = true;
            }
        }
        let shown = Self {
            name: match &strip.labels.filter {
                Some(filter) => format!("setting {filter}"),
                None => strip.name.clone(),
            },
            points,
            unexposed: strip.unexposed.iter().map(|r| r.density.get()).collect(),
            ..Self::default()
        };
        match &paper.result {
            Ok(paper) => measured(shown, paper),
            Err(_) => shown,
        }
    }
}

/// Adds the curve and the marks of its measures.
fn measured(shown: PaperCurve, Paper { fit, measures: m }: &Paper) -> PaperCurve {
    let curve = fit.curve.as_ref();
    let (low, high) = curve.range();
    let at = |k: u32| low + (high - low) * f64::from(k) / f64::from(POINTS);
    let points = (0..=POINTS).map(at).map(|x| {
        let density = curve.density(x);
        let half = fit.quantile * curve.density_sd(x);
        CurvePoint { x, density, low: density - half, high: density + half }
    });
    let value = |q: &Measured| q.as_ref().ok().map(|q| q.value);
    let net = |x: &Measured, above: f64| Some((value(x)?, value(&m.d_min)? + above));
    PaperCurve {
        curve: points.collect(),
        d_min: value(&m.d_min),
        d_max: value(&m.d_max),
        highlight: net(&m.highlight, HIGHLIGHT),
        speed_point: net(&m.speed_point, SPEED),
        shadow: value(&m.shadow).zip(value(&m.shadow_density)),
        range_r: value(&m.range_r),
        speed_p: value(&m.speed_p),
        ..shown
    }
}
