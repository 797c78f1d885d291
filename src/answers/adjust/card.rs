//! The card for the wall: the answer for every temperature and every scene of the aims.

use super::grid::Column;
use super::{Adjust, BathToday};
use crate::development::SHORTEST;
use crate::figures::{CardCell, CardColumn, CardRow, TimeTemperatureCard};
use crate::units::{Celsius, TemperatureUnit};
use crate::words::{list_and, number, speed_decimals, trimmed};

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
        let temperatures = self.temperatures(TemperatureUnit::Celsius);
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

    fn cell(&self, contrast: f64, celsius: Celsius) -> CardCell {
        match self.at(contrast, celsius) {
            Some(a) if a.minutes.value < SHORTEST => CardCell::Short { minutes: a.minutes.value },
            Some(a) => CardCell::Time { minutes: a.minutes.value, outside: a.extrapolated },
            None => CardCell::Unreachable,
        }
    }
}
