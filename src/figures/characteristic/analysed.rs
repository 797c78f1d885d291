//! The figure of analysed strips.

use super::{
    CharacteristicFigure, ContrastIndexMark, CurvePoint, IsoTriangle, PlotPoint, StripCurve,
};
use crate::measures::{Analysed, ContrastCondition, StripAnalysis};
use crate::readings::ExposureScale;

/// Points along a curve: enough that it looks round at any size.
const POINTS: u32 = 240;

impl CharacteristicFigure {
    /// The figure of `analyses`, all in one frame.
    #[must_use]
    pub fn of(title: String, subtitle: Option<String>, analyses: &[StripAnalysis]) -> Self {
        Self {
            title,
            subtitle,
            absolute: analyses.iter().all(|a| a.strip.scale == ExposureScale::Absolute),
            strips: analyses.iter().map(StripCurve::of).collect(),
        }
    }
}

impl StripCurve {
    /// What the figure shows of one strip.
    #[must_use]
    pub fn of(analysis: &StripAnalysis) -> Self {
        let strip = &analysis.strip;
        let mut points: Vec<PlotPoint> = strip
            .readings
            .iter()
            .filter_map(|r| {
                let log_exposure = r.log_exposure?.get();
                Some(PlotPoint { log_exposure, density: r.density.get(), suspect: false })
            })
            .collect();
        let unexposed = strip.unexposed.iter().map(|r| r.density.get()).collect();
        let shown = Self { name: strip.name.clone(), unexposed, ..Self::default() };
        let Ok(analysed) = &analysis.result else {
            return Self { points, ..shown };
        };
        for suspect in &analysed.fit.suspects {
            if let Some(point) =
                suspect.index.checked_sub(strip.unexposed.len()).and_then(|i| points.get_mut(i))
            {
                point.suspect = true;
            }
        }
        marked(Self { points, ..shown }, analysed)
    }
}

/// Adds the curve and the marks of its measures.
fn marked(shown: StripCurve, Analysed { fit, measures }: &Analysed) -> StripCurve {
    let curve = fit.curve.as_ref();
    let (low, high) = curve.range();
    let at = |k: u32| low + (high - low) * f64::from(k) / f64::from(POINTS);
    let points = (0..=POINTS).map(at).map(|x| {
        let density = curve.density(x);
        let half = fit.quantile * curve.density_sd(x);
        CurvePoint { x, density, low: density - half, high: density + half }
    });
    let base = measures.base_plus_fog.as_ref().ok().map(|q| q.value);
    let speed_point = measures.speed_point.as_ref().ok().map(|m| (m.value, curve.density(m.value)));
    let index = measures.contrast_index.as_ref().ok().zip(measures.contrast_index_chord);
    let iso = speed_point.zip(measures.iso.delta_d.as_ref().ok()).map(|(m, delta_d)| IsoTriangle {
        m,
        delta_d: delta_d.value,
        condition: ContrastCondition::of(delta_d),
    });
    StripCurve {
        curve: points.collect(),
        base_plus_fog: base,
        speed_point,
        contrast_index: index.map(|(value, chord)| ContrastIndexMark { chord, value: value.value }),
        iso,
        ..shown
    }
}
