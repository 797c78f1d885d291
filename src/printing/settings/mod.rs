//! One paper at several settings (filters, grades): the setting that gives a wanted range.

mod scale;

use super::paper::PaperStrip;
use crate::measures::Quantity;
use scale::Scale;

/// A setting with the range that was measured at it.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// As the readings name it.
    pub label: String,
    /// The label as a number: 2, 2.5, 2½; 00 is one softer than 0 (common practice, no source).
    pub number: Option<f64>,
    /// Range R there.
    pub range_r: Quantity,
}

/// The settings of a paper that have a range, the softest first.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Settings {
    list: Vec<Setting>,
}

/// The setting for a wanted range.
#[derive(Clone, Debug, PartialEq)]
pub struct Chosen {
    /// The setting measured whose range is nearest.
    pub nearest: Setting,
    /// The setting between those measured, interpolated, where settings are numbers.
    pub between: Option<Quantity>,
}

/// Why no setting gives a wanted range.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NoSetting {
    /// No strip has a range.
    #[error("no strip of this paper has a range R")]
    NoRange,
    /// It is softer than the softest.
    #[error(
        "a range R of {wanted:.0} is softer than this paper at its softest ({label}: R {range:.0})"
    )]
    TooSoft {
        /// Range wanted.
        wanted: f64,
        /// The softest setting.
        label: String,
        /// Its range.
        range: f64,
    },
    /// It is harder than the hardest.
    #[error(
        "a range R of {wanted:.0} is harder than this paper at its hardest ({label}: R {range:.0})"
    )]
    TooHard {
        /// Range wanted.
        wanted: f64,
        /// The hardest setting.
        label: String,
        /// Its range.
        range: f64,
    },
}

/// A filter or grade as a number, if it is one.
fn number(label: &str) -> Option<f64> {
    let text = label.trim().replace(',', ".");
    if text.len() > 1 && text.bytes().all(|b| b == b'0') {
        return Some(1.0 - text.len() as f64);
    }
    let (whole, half) = match text.strip_suffix('½') {
        Some("") => ("0", 0.5),
        Some(whole) => (whole.trim_end(), 0.5),
        None => (text.as_str(), 0.0),
    };
    let value: f64 = whole.parse().ok()?;
    value.is_finite().then_some(value + half)
}

impl Settings {
    /// The settings of `papers` that have a range.
    #[must_use]
    pub fn of(papers: &[PaperStrip]) -> Self {
        let setting = |strip: &PaperStrip| {
            let range_r = *strip.result.as_ref().ok()?.measures.range_r.as_ref().ok()?;
            let label = strip.setting().to_owned();
            Some(Setting { number: number(&label), label, range_r })
        };
        Self::new(papers.iter().filter_map(setting).collect())
    }

    /// Settings in any order.
    #[must_use]
    pub fn new(mut list: Vec<Setting>) -> Self {
        list.sort_by(|a, b| b.range_r.value.total_cmp(&a.range_r.value));
        Self { list }
    }

    /// The settings, the softest first.
    #[must_use]
    pub fn list(&self) -> &[Setting] {
        &self.list
    }

    /// The setting that gives a range of `wanted`; a range beyond the softest or hardest setting
    /// that its interval does not tell from it gives that setting.
    ///
    /// # Errors
    /// [`NoSetting`] where none does.
    pub fn for_range(&self, wanted: f64) -> Result<Chosen, NoSetting> {
        let (Some(softest), Some(hardest)) = (self.list.first(), self.list.last()) else {
            return Err(NoSetting::NoRange);
        };
        let beyond = |s: &Setting| (wanted, s.label.clone(), s.range_r.value);
        if wanted > softest.range_r.high {
            let (wanted, label, range) = beyond(softest);
            return Err(NoSetting::TooSoft { wanted, label, range });
        }
        if wanted < hardest.range_r.low {
            let (wanted, label, range) = beyond(hardest);
            return Err(NoSetting::TooHard { wanted, label, range });
        }
        let off = |s: &&Setting| (s.range_r.value - wanted).abs();
        let nearest = self.list.iter().min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(softest);
        Ok(Chosen {
            nearest: nearest.clone(),
            between: Scale::of(&self.list).map(|scale| scale.at(wanted)),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn settings(list: &[(&str, f64)]) -> Settings {
        let setting = |&(label, r): &(&str, f64)| Setting {
            label: label.to_owned(),
            number: number(label),
            range_r: Quantity { value: r, low: r - 3.0, high: r + 3.0 },
        };
        Settings::new(list.iter().map(setting).collect())
    }

    #[test]
    fn labels_are_numbers_or_not() {
        let found = ["2", " 2.5 ", "2½", "½", "0", "00", "1,5", "60Y", "", "inf"].map(number);
        let wanted = [
            Some(2.0),
            Some(2.5),
            Some(2.5),
            Some(0.5),
            Some(0.0),
            Some(-1.0),
            Some(1.5),
            None,
            None,
            None,
        ];
        assert_eq!(found, wanted);
    }

    #[test]
    fn a_measured_range_gives_its_own_setting() {
        let all = settings(&[("0", 150.0), ("1", 130.0), ("2", 112.0), ("3", 95.0), ("4", 70.0)]);
        for (at, r) in [(1.0, 130.0), (3.0, 95.0)] {
            let between = all.for_range(r).unwrap().between.unwrap();
            assert!((between.value - at).abs() < 1e-9);
            assert!(between.low < at && at < between.high);
        }
        let chosen = all.for_range(104.0).unwrap();
        let between = chosen.between.unwrap();
        assert!((2.0..3.0).contains(&between.value), "{between:?}");
        assert_eq!(chosen.nearest.label, "2");
    }

    #[test]
    fn beyond_the_ends_within_their_intervals_is_the_end() {
        let all = settings(&[("0", 150.0), ("4", 70.0)]);
        let between = all.for_range(152.0).unwrap().between.unwrap();
        assert_eq!((between.value, between.low), (0.0, 0.0));
        assert!(matches!(all.for_range(154.0), Err(NoSetting::TooSoft { .. })));
        assert!(matches!(all.for_range(60.0), Err(NoSetting::TooHard { .. })));
        assert_eq!(Settings::default().for_range(100.0), Err(NoSetting::NoRange));
    }

    #[test]
    fn words_and_single_settings_are_not_interpolated() {
        let all = settings(&[("soft", 140.0), ("hard", 80.0)]);
        let chosen = all.for_range(100.0).unwrap();
        assert_eq!((chosen.nearest.label.as_str(), chosen.between), ("hard", None));
        assert_eq!(settings(&[("2", 104.0)]).for_range(105.0).unwrap().between, None);
    }

    #[test]
    fn the_order_of_numbers_may_be_either() {
        let all = settings(&[("1", 70.0), ("2", 100.0), ("3", 140.0)]);
        let value = all.for_range(100.0).unwrap().between.unwrap().value;
        assert!((value - 2.0).abs() < 1e-9);
    }
}
