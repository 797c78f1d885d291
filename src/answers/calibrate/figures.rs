//! The three figures of a pairing.

use super::Calibrated;
use crate::figures::{
    Aim, CharacteristicFigure, ContrastAt, ContrastTimeFigure, CurveAt, IsoSpeedMark, SpeedAt,
    SpeedContrastFigure, SpeedCurveAt,
};
use crate::measures::{CONTRAST_CONDITION, Measured};

/// Points along a curve.
const POINTS: u32 = 120;

/// The figures of a pairing.
#[derive(Clone, Debug)]
pub struct PairingFigures {
    /// Contrast against development.
    pub contrast_time: ContrastTimeFigure,
    /// The curves of the strips.
    pub strips: CharacteristicFigure,
    /// Exposure index against contrast; `None` where exposures are relative.
    pub speed: Option<SpeedContrastFigure>,
}

impl Calibrated {
    /// The figures.
    #[must_use]
    pub fn figures(&self) -> PairingFigures {
        let title = self.file.name.clone();
        PairingFigures {
            contrast_time: contrast_time(self),
            strips: CharacteristicFigure::of(title, None, &self.pairing.strips),
            speed: self.pairing.absolute.then(|| speed_contrast(self)),
        }
    }
}

fn contrast_time(Calibrated { file, pairing, rows, .. }: &Calibrated) -> ContrastTimeFigure {
    let measure = file.aims.measure;
    let growth = pairing.growth(measure);
    let strips = pairing.strips.iter().filter_map(|s| {
        let q = measure.of(&s.result.as_ref().ok()?.measures).as_ref().ok()?;
        let (minutes, celsius) = (s.strip.minutes?, s.strip.celsius?);
        Some(ContrastAt {
            name: s.strip.name.clone(),
            minutes: minutes.get() * pairing.law().rate(celsius),
            contrast: q.value,
            low: q.low,
            high: q.high,
            celsius: celsius.get(),
        })
    });
    let curve = growth.map_or_else(Vec::new, |growth| {
        let (low, high) = growth.range();
        (0..=POINTS)
            .map(|k| {
                let minutes = 0.8 * low * (1.5 * high / low).powf(f64::from(k) / f64::from(POINTS));
                let (contrast, half) =
                    (growth.value(minutes), growth.quantile * growth.value_sd(minutes));
                CurveAt { minutes, contrast, low: contrast - half, high: contrast + half }
            })
            .collect()
    });
    ContrastTimeFigure {
        title: file.name.clone(),
        subtitle: Some(format!("{} against development", measure.name())),
        measure: measure.name().to_owned(),
        reference_celsius: pairing.reference.get(),
        strips: strips.collect(),
        curve,
        aims: rows
            .iter()
            .map(|row| Aim {
                label: row.label.clone().unwrap_or_else(|| format!("{:.2}", row.contrast)),
                contrast: row.contrast,
                minutes: row.answer.as_ref().ok().map(|a| a.minutes.value),
            })
            .collect(),
        asymptote: growth.filter(|g| g.ceiling_known).map(|g| g.parameters[0].exp()),
    }
}

fn speed_contrast(Calibrated { file, pairing, .. }: &Calibrated) -> SpeedContrastFigure {
    let measure = file.aims.measure;
    let strips = pairing.strips.iter().filter_map(|s| {
        let measures = &s.result.as_ref().ok()?.measures;
        let known = |m: &Measured| m.as_ref().ok().copied();
        let (contrast, speed) = (known(measure.of(measures))?, known(&measures.iso.speed)?);
        Some(SpeedAt {
            name: s.strip.name.clone(),
            contrast: contrast.value,
            contrast_interval: Some((contrast.low, contrast.high)),
            exposure_index: speed.value,
            exposure_index_interval: Some((speed.low, speed.high)),
            celsius: s.strip.celsius?.get(),
        })
    });
    let growth = pairing.growth(measure);
    let curve = growth.map_or_else(Vec::new, |growth| {
        let (low, high) = growth.range();
        let at = |k: u32| low * (high / low).powf(f64::from(k) / f64::from(POINTS));
        let point = |theta: f64| {
            let index = pairing.exposure_index(theta)?;
            let contrast = growth.value(theta);
            Some(SpeedCurveAt {
                contrast,
                exposure_index: index.value,
                low: index.low,
                high: index.high,
            })
        };
        (0..=POINTS).map(at).filter_map(point).collect()
    });
    let iso = pairing.iso_speed().ok().zip(growth).map(|(iso, growth)| IsoSpeedMark {
        contrast: growth.value(iso.minutes.value),
        speed: Some(iso.speed.value),
        rounded: iso.standard.map(|s| s.arithmetic),
    });
    SpeedContrastFigure {
        title: file.name.clone(),
        subtitle: Some(format!(
            "exposure index against {}; ISO 6 asks for {CONTRAST_CONDITION:.2} over 1.30",
            measure.name()
        )),
        measure: measure.name().to_owned(),
        reference_celsius: pairing.reference.get(),
        strips: strips.collect(),
        curve,
        iso,
    }
}
