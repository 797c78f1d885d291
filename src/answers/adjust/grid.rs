//! The contrasts and the temperatures over which a card or a table goes.

use super::Adjust;
use crate::development::aim::development_label;
use crate::development::{Adjusted, Pairing, Wanted};
use crate::units::{Celsius, TemperatureUnit};
use crate::words::{number, trimmed};

/// Degrees beyond the calibrated temperatures that it goes on for.
const BEYOND: f64 = 2.0;
/// Contrasts closer than this are one contrast.
const SAME: f64 = 5e-4;

/// A contrast of a card or a table.
pub(super) struct Column {
    /// The contrast.
    pub contrast: f64,
    /// The scene that it fits to the paper, in stops.
    pub stops: Option<f64>,
    /// Whether it was asked for.
    pub asked: bool,
    /// Whether tones of the scene are lost, where they were followed one by one.
    pub loses: bool,
}

/// Whole degrees over the calibrated temperatures and a little beyond; even ones in °F.
pub(super) fn temperatures(pairing: &Pairing, unit: TemperatureUnit) -> Vec<Celsius> {
    let (low, high) = pairing.temperatures();
    let (low, high) = (low.floor() - BEYOND, high.ceil() + BEYOND);
    let all: Vec<f64> = match unit {
        TemperatureUnit::Celsius => (low as i32..=high as i32).map(f64::from).collect(),
        TemperatureUnit::Fahrenheit => {
            let half = |c: f64| (c * 1.8 + 32.0) / 2.0;
            let even = half(low).ceil() as i32..=half(high).floor() as i32;
            even.map(|f| (f64::from(2 * f) - 32.0) / 1.8).collect()
        }
    };
    all.into_iter().filter_map(|c| Celsius::new(c).ok()).collect()
}

impl Adjust<'_> {
    /// The scenes of the aims, and the contrast that was asked for.
    pub(super) fn columns(&self) -> Vec<Column> {
        let q = &self.question;
        let wanted = q.target.contrast;
        let of_scene = |&stops: &f64| {
            let (contrast, loses) = match &q.paper {
                Some(paper) => {
                    let target = paper.target(stops).ok()?;
                    (target.contrast, target.scene.is_some_and(|scene| !scene.keeps_all()))
                }
                None => (q.printing.contrast(stops)?, false),
            };
            let same_scene = q.target.scene.as_ref().is_none_or(|scene| scene.stops == stops);
            let asked = same_scene && (contrast - wanted).abs() < SAME;
            Some(Column { contrast, stops: Some(stops), asked, loses })
        };
        let mut columns: Vec<Column> = q.scene_stops.iter().filter_map(of_scene).collect();
        if !columns.iter().any(|c| c.asked) {
            let stops = q.target.scene.as_ref().map(|scene| scene.stops);
            let loses = q.target.scene.as_ref().is_some_and(|scene| !scene.keeps_all());
            columns.push(Column { contrast: wanted, stops, asked: true, loses });
            columns.sort_by(|a, b| b.contrast.total_cmp(&a.contrast));
        }
        columns
    }

    /// Whole degrees over the calibrated temperatures and a little beyond; even ones in °F.
    pub(super) fn temperatures(&self, unit: TemperatureUnit) -> Vec<Celsius> {
        temperatures(self.question.pairing, unit)
    }

    pub(super) fn at(&self, contrast: f64, celsius: Celsius) -> Option<Adjusted> {
        let wanted = Wanted { contrast, celsius, ..self.wanted };
        self.question.pairing.adjust(&wanted).ok()
    }
}

impl Column {
    /// What stands below the contrast: `N · 7 stops`.
    pub(super) fn second(&self) -> String {
        match self.stops {
            None => "asked for".to_owned(),
            Some(stops) => match development_label(stops) {
                Some(label) => format!("{label} · {} stops", trimmed(stops, 2)),
                None => format!("{} stops", trimmed(stops, 2)),
            },
        }
    }

    /// Contrast and scene: `0.62 (N · 7 stops)`.
    pub(super) fn name(&self) -> String {
        format!("{} ({})", number(self.contrast, 2), self.second())
    }
}
