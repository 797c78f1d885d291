//! The card for the wall: the answer for every temperature and every scene of the aims.

use super::{Adjust, BathToday};
use crate::development::aim::development_label;
use crate::development::{Adjusted, SHORTEST, Wanted};
use crate::figures::{CardCell, CardColumn, CardRow, TimeTemperatureCard};
use crate::units::Celsius;
use crate::words::{list_and, number, speed_decimals, trimmed};

/// Degrees beyond the calibrated temperatures that the card goes on for.
const BEYOND: i32 = 2;
/// Contrasts closer than this are one contrast.
const SAME: f64 = 5e-4;

/// A contrast of the card.
struct Column {
    contrast: f64,
    stops: Option<f64>,
    asked: bool,
    /// Whether tones of the scene are lost, where they were followed one by one.
    loses: bool,
}

impl Adjust<'_> {
    /// The card, which holds for the bath's activity today. `None` where times are withheld.
    ///
    /// Contrasts that no temperature gives have no column; a note names them.
    #[must_use]
    pub fn card(&self) -> Option<TimeTemperatureCard> {
        let q = &self.question;
        if q.bath.withheld(q.anyway).is_some() {
            return None;
        }
        let temperatures = self.temperatures();
        let reached = |column: &Column| {
            temperatures.iter().find_map(|&celsius| self.at(column.contrast, celsius))
        };
        let (kept, dropped): (Vec<Column>, Vec<Column>) =
            self.columns().into_iter().partition(|c| reached(c).is_some());
        let assumptions = match &q.paper {
            Some(_) => q.target.assumptions.clone(),
            None => q.printing.assumptions_for(q.scene_stops),
        };
        let mut notes: Vec<String> = assumptions.iter().map(|note| format!("† {note}")).collect();
        let losing: Vec<String> = kept.iter().filter(|c| c.loses).map(Column::name).collect();
        if !losing.is_empty() {
            notes.push(format!("not all tones of the scene print: {}", list_and(&losing)));
        }
        notes.extend(q.pairing.law_assumed().map(|note| format!("† {note}")));
        if !dropped.is_empty() {
            let names: Vec<String> = dropped.iter().map(Column::name).collect();
            notes.push(format!("not reached at any temperature: {}", list_and(&names)));
        }
        let columns = kept.iter().map(|column| CardColumn {
            heading: number(column.contrast, 2),
            second: Some(column.second()),
            third: reached(column)
                .and_then(|a| a.exposure_index)
                .map(|index| format!("EI {}", number(index.value, speed_decimals(index.value)))),
            asked: column.asked,
        });
        let standing = q.bath.standing();
        Some(TimeTemperatureCard {
            pairing: q.name.to_owned(),
            standing: standing.map(ToString::to_string),
            warns: standing.is_some_and(crate::bath::standing::Standing::withholds),
            date: standing.and_then(|s| s.strip()).map(|strip| format!("strip of {}", strip.date)),
            activity: Some(match &q.bath {
                BathToday::Given(1.0) => "bath activity 1, as calibrated".to_owned(),
                _ => format!("bath activity {}", trimmed(self.wanted.activity, 3)),
            }),
            measure: match q.target.scene.as_ref().and_then(|scene| scene.on.as_ref()) {
                Some(on) => format!("{} for {}", q.measure.name(), on.paper),
                None => format!(
                    "{} for a paper of range R {}",
                    q.measure.name(),
                    trimmed(q.printing.range_r(), 1)
                ),
            },
            reference_celsius: Some(q.pairing.reference.get()),
            columns: columns.collect(),
            rows: temperatures
                .iter()
                .map(|&celsius| CardRow {
                    celsius: celsius.get(),
                    cells: kept.iter().map(|c| self.cell(c.contrast, celsius)).collect(),
                })
                .collect(),
            notes,
            fahrenheit: true,
        })
    }

    /// The scenes of the aims, and the contrast that was asked for.
    fn columns(&self) -> Vec<Column> {
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

    /// Whole degrees over the calibrated temperatures and a little beyond.
    fn temperatures(&self) -> Vec<Celsius> {
        let (low, high) = self.question.pairing.temperatures();
        let whole = (low.floor() as i32 - BEYOND..=high.ceil() as i32 + BEYOND).map(f64::from);
        whole.filter_map(|c| Celsius::new(c).ok()).collect()
    }

    fn at(&self, contrast: f64, celsius: Celsius) -> Option<Adjusted> {
        let wanted = Wanted { contrast, celsius, ..self.wanted };
        self.question.pairing.adjust(&wanted).ok()
    }

    fn cell(&self, contrast: f64, celsius: Celsius) -> CardCell {
        match self.at(contrast, celsius) {
            Some(a) if a.minutes.value < SHORTEST => CardCell::Short { minutes: a.minutes.value },
            Some(a) => CardCell::Time { minutes: a.minutes.value, outside: a.extrapolated },
            None => CardCell::Unreachable,
        }
    }
}

impl Column {
    fn second(&self) -> String {
        match self.stops {
            None => "asked for".to_owned(),
            Some(stops) => match development_label(stops) {
                Some(label) => format!("{label} · {} stops", trimmed(stops, 2)),
                None => format!("{} stops", trimmed(stops, 2)),
            },
        }
    }

    fn name(&self) -> String {
        format!("{} ({})", number(self.contrast, 2), self.second())
    }
}
