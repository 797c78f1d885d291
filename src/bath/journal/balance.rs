//! How a bath stands: entries folded one by one, and what may follow what.

use super::cell_error::CellError;
use super::columns::Column;
use super::entry::{Act, Entry};
use crate::bath::film;
use jiff::civil::Date;

/// How a bath stands after some entries. All but [`Balance::last`] counts from the last mix.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Balance {
    /// When it was mixed; `None` before any mix.
    pub mixed: Option<Date>,
    /// When it was discarded.
    pub discarded: Option<Date>,
    /// Date of the last entry, of whatever kind.
    pub last: Option<Date>,
    /// Volume as mixed, in **litres**.
    pub mixed_litres: f64,
    /// Volume now, in **litres**: as mixed, and all that was added, less all that was removed.
    pub litres: f64,
    /// Films developed, where the entries name a number.
    pub films: u64,
    /// Entries of film whose words name no number.
    pub uncounted: u64,
    /// Film developed, in **m²**.
    pub area_m2: f64,
    /// Replenisher added, in **ml**.
    pub added_ml: f64,
    /// Removed, in **ml**.
    pub removed_ml: f64,
    /// Control strips.
    pub strips: u64,
    /// Pieces of leader.
    pub leaders: u64,
    /// Lowest and highest temperature of the strips, in **degrees Celsius**.
    pub celsius: Option<(f64, f64)>,
}

/// Sums are kept to this share of their unit, so that 0.1 + 0.2 is 0.3.
const GRAIN: f64 = 1e9;

fn tidy(sum: f64) -> f64 {
    (sum * GRAIN).round() / GRAIN
}

impl Balance {
    /// Whether there is a bath: mixed, and not discarded.
    #[must_use]
    pub const fn in_use(&self) -> bool {
        self.mixed.is_some() && self.discarded.is_none()
    }

    /// Age in days on a date, from the day of mixing; `None` before any mix.
    #[must_use]
    pub fn age_days(&self, on: Date) -> Option<i64> {
        self.mixed.map(|mixed| i64::from((on - mixed).get_days()))
    }

    /// Why `entry` cannot follow, if it cannot: there is no bath, or not so much of it.
    pub(super) fn refusal(&self, entry: &Entry) -> Option<(Column, CellError)> {
        let act = entry.act.name();
        if matches!(entry.act, Act::Mix { .. } | Act::Note) {
            return None;
        }
        if let Some(on) = self.discarded {
            return Some((Column::Act, CellError::Discarded { act, on }));
        }
        if self.mixed.is_none() {
            return Some((Column::Act, CellError::NoBath { act }));
        }
        match entry.act {
            Act::Replenish { removed_ml, .. } if tidy(removed_ml / 1e3) > self.litres => {
                let wrong =
                    CellError::TooMuch { found: removed_ml, there: tidy(self.litres * 1e3) };
                Some((Column::RemovedMl, wrong))
            }
            _ => None,
        }
    }

    /// The balance after `entry`.
    pub fn enter(&mut self, entry: &Entry) {
        match &entry.act {
            Act::Mix { litres, .. } => {
                *self = Self {
                    mixed: Some(entry.date),
                    mixed_litres: *litres,
                    litres: *litres,
                    ..Self::default()
                };
            }
            Act::Film { films, area_m2, .. } => {
                match film::counted(films) {
                    Some(count) => self.films = self.films.saturating_add(count),
                    None => self.uncounted += 1,
                }
                self.area_m2 = tidy(self.area_m2 + area_m2);
            }
            Act::Replenish { added_ml, removed_ml } => {
                self.added_ml = tidy(self.added_ml + added_ml);
                self.removed_ml = tidy(self.removed_ml + removed_ml);
                self.litres = tidy(self.litres + (added_ml - removed_ml) / 1e3);
            }
            Act::Strip(strip) => {
                self.strips += 1;
                if let Some(celsius) = strip.celsius {
                    let (low, high) = self.celsius.unwrap_or((celsius, celsius));
                    self.celsius = Some((low.min(celsius), high.max(celsius)));
                }
            }
            Act::Leader(_) => self.leaders += 1,
            Act::Note => {}
            Act::Discard => {
                self.discarded = Some(entry.date);
                self.litres = 0.0;
            }
        }
        self.last = Some(entry.date);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn after(acts: Vec<Act>) -> Balance {
        let mut balance = Balance::default();
        for (day, act) in acts.into_iter().enumerate() {
            let on = date(2026, 3, 1 + i8::try_from(day).unwrap());
            let entry = Entry::new(on, act, None);
            assert_eq!(balance.refusal(&entry), None);
            balance.enter(&entry);
        }
        balance
    }

    fn mix(litres: f64) -> Act {
        let (what, dilution) = (None, None);
        Act::Mix { litres, what, dilution }
    }

    fn replenish(added_ml: f64, removed_ml: f64) -> Act {
        Act::Replenish { added_ml, removed_ml }
    }

    fn film(films: &str, area_m2: f64) -> Act {
        let films = films.to_owned();
        Act::film(films, area_m2)
    }

    fn strip(celsius: f64) -> Act {
        Act::Strip(Box::new(super::super::StripResult {
            celsius: Some(celsius),
            ..Default::default()
        }))
    }

    #[test]
    fn a_bath_is_summed_up() {
        let balance = after(vec![
            mix(1.5),
            film("3 × 135-36", 0.1),
            film("some", 0.2),
            replenish(100.0, 100.0),
            replenish(250.0, 0.0),
            strip(20.5),
            strip(19.0),
        ]);
        assert_eq!((balance.films, balance.uncounted), (3, 1));
        assert_eq!(balance.area_m2, 0.3);
        assert_eq!((balance.litres, balance.mixed_litres), (1.75, 1.5));
        assert_eq!((balance.added_ml, balance.removed_ml), (350.0, 100.0));
        assert_eq!((balance.strips, balance.celsius), (2, Some((19.0, 20.5))));
        assert_eq!(balance.age_days(date(2026, 3, 31)), Some(30));
        assert!(balance.in_use());
    }

    #[test]
    fn a_mix_begins_anew() {
        let balance = after(vec![mix(1.0), film("120", 0.05), Act::Discard, mix(2.0)]);
        let (films, area) = (balance.films, balance.area_m2);
        assert_eq!((films, area, balance.litres), (0, 0.0, 2.0));
        assert_eq!((balance.discarded, balance.age_days(date(2026, 3, 4))), (None, Some(0)));
    }

    #[test]
    fn all_may_be_removed_and_no_more() {
        let mut balance = after(vec![mix(0.3), replenish(0.1, 100.0)]);
        let wish = |ml| Entry::new(date(2026, 3, 9), replenish(1.0, ml), None);
        assert_eq!(balance.refusal(&wish(200.1)), None);
        let more = balance.refusal(&wish(200.2)).unwrap();
        assert_eq!(
            more.1.to_string(),
            "200.2 ml is more than the bath has, 200.1 ml; check this entry and those before it"
        );
        balance.enter(&wish(200.1));
        assert_eq!(balance.litres, 0.001);
    }
}
