//! What does a piece of exposed leader show of the bath?

mod notes;

use super::adjust::temperature;
use super::{Answer, Column, Description, Field, Form, Gather, Note, Section, Table, Value};
use crate::development::Form as Law;
use crate::development::leader::{
    LeaderError, LeaderFamily, LeaderGrowth, NoActivity, TestTime, TestTimes, Tested,
};
use crate::elementary::{exp, ln};
use crate::measures::Quantity;
use crate::units::{Celsius, TemperatureUnit};
use crate::words::{counted, list_and, number, rounded_clock};
use notes::LeaderNote;

/// Below this time, in **minutes**, pouring and agitation make pieces differ (common practice, no source).
const SHORT: f64 = 1.5;
/// Half the width of an interval of ln a from which it is coarse.
const COARSE: f64 = 0.2;
/// A longest time beyond this multiple of those that serve well is one that says little.
const PAST: f64 = 1.02;
/// Activities of baths that are in use; others are mostly a slip (common practice, no source).
const USUAL: (f64, f64) = (0.5, 1.3);

/// What is asked.
#[derive(Clone, Debug)]
pub struct LeaderQuestion<'a> {
    /// The pieces that were developed in the fresh bath.
    pub family: &'a LeaderFamily,
    /// The piece of the bath that is tested; none where only the calibration is asked for.
    pub piece: Option<Tested>,
    /// The temperature that test times are for, where it is not the family's.
    pub celsius: Option<Celsius>,
    /// The unit that temperatures are shown in.
    pub unit: TemperatureUnit,
}

/// The calibration of a leader, and what a piece shows by it.
#[derive(Clone, Debug)]
pub struct LeaderTest<'a> {
    /// What was asked.
    pub question: LeaderQuestion<'a>,
    /// The growth of the leader's density.
    pub growth: LeaderGrowth,
    /// The times at which density answers most to activity.
    pub times: TestTimes,
    /// The activity by the piece.
    pub activity: Option<Result<Quantity, NoActivity>>,
}

impl<'a> LeaderTest<'a> {
    /// The calibration, and what the piece shows.
    ///
    /// # Errors
    /// [`LeaderError`] where the family is no calibration.
    pub fn of(question: LeaderQuestion<'a>) -> Result<Self, LeaderError> {
        let growth = LeaderGrowth::of(question.family)?;
        let of_piece = question.piece.as_ref().map(|piece| piece.celsius);
        let celsius = of_piece.or(question.celsius).unwrap_or(growth.reference);
        let activity = question.piece.as_ref().map(|piece| growth.activity(piece));
        Ok(Self { times: growth.test_times(celsius), activity, growth, question })
    }

    fn notes(&self) -> Vec<LeaderNote> {
        let (growth, family) = (&self.growth, self.question.family);
        let mut notes = vec![LeaderNote::NotSeen, LeaderNote::Fresh];
        if let Some(Ok(q)) = &self.activity {
            let half = 0.5 * ln(q.high / q.low);
            notes.extend((half > COARSE).then_some(LeaderNote::Coarse(half)));
            let odd = q.low > USUAL.1 || q.high < USUAL.0;
            notes.extend(odd.then_some(LeaderNote::Odd(q.value)));
        }
        if let Some(last) = self.times.all.last() {
            let TestTime { minutes, half_width, .. } = *last;
            if minutes > PAST * self.times.as_good.1 {
                notes.push(LeaderNote::LongTimes { minutes, half_width });
            }
        }
        let best = self.times.best.minutes;
        if self.times.shortest_is_best {
            notes.push(LeaderNote::Shorter(best));
        }
        notes.extend((best < SHORT).then_some(LeaderNote::ShortTimes));
        if growth.growth.energy_is_assumed() {
            let away = (self.times.celsius.get() - growth.growth.mean_celsius()).abs();
            notes.push(LeaderNote::AssumedLaw { away });
        }
        if growth.growth.form == Law::Interpolated {
            notes.push(LeaderNote::Interpolated);
        }
        notes.push(LeaderNote::Scatter {
            sd: growth.piece_sd,
            freedom: growth.freedom,
            reading: (growth.reading_sd, family.sigma_is_assumed),
        });
        if growth.base_is_assumed {
            notes.push(LeaderNote::AssumedBase(growth.base));
        }
        notes
    }

    /// What the piece shows.
    fn piece(
        &self,
        piece: &Tested,
        activity: &Result<Quantity, NoActivity>,
        all: &mut Description,
    ) {
        match activity {
            Ok(q) => {
                all.leading("activity", "activity", Value::quantity_as(q, Form::Decimals(2)));
                let longer =
                    Quantity { value: 1.0 / q.value, low: 1.0 / q.high, high: 1.0 / q.low };
                let longer = Value::quantity_as(&longer, Form::Decimals(2));
                all.field("time_factor", "times are multiplied by", longer);
            }
            Err(why) => {
                all.leading("activity", "activity", Value::Missing);
                let (low, high) = why.ends();
                if let Some(low) = low {
                    all.field("activity_at_least", "it is at least", Value::number(low, 2));
                }
                if let Some(high) = high {
                    all.field("activity_at_most", "it is at most", Value::number(high, 2));
                }
                all.data("why", why.code());
                all.notes.push(Note::missing("activity", "activity", why));
            }
        }
        let readings: Vec<String> = piece.densities.iter().map(|d| number(*d, 2)).collect();
        let words = match readings.len() {
            1 => number(piece.density(), 2),
            _ => format!("{}, mean of {}", number(piece.density(), 3), list_and(&readings)),
        };
        all.field("density", "density", Value::number(piece.density(), 3).worded(words));
        let (minutes, celsius) = (piece.minutes.get(), piece.celsius);
        all.field("minutes", "developed for", Value::in_form(minutes, Form::Clock));
        all.field("celsius", "at", self.degrees(celsius));
        let expected = self.growth.expected(minutes, celsius);
        let value = Value::number(expected.density, 2);
        all.field("expected_density", "a fresh bath would give", value);
    }

    fn degrees(&self, celsius: Celsius) -> Value {
        let words = temperature(celsius.get(), self.question.unit);
        Value::plain(celsius.get(), 2).worded(words)
    }

    /// For which time a piece is developed.
    fn best(&self) -> Section {
        let (times, mut section) = (&self.times, Section::titled("test time").keyed("test_time"));
        section.field("celsius", "at", self.degrees(times.celsius));
        section.field("minutes", "best", Value::in_form(times.best.minutes, Form::Clock));
        let (from, to) = times.as_good;
        let words = format!("from {} to {}", rounded_clock(from), rounded_clock(to));
        let ends = [("from", from), ("to", to)].map(|(k, v)| (k.into(), Value::number(v, 2)));
        let value = Value::Map(ends.to_vec()).worded(words);
        section.field("as_good", "nearly as good", value);
        section.add(interval("expected_activity", times.best.half_width));
        section
    }

    /// What is expected of pieces of several times.
    fn table(&self) -> Table {
        let mut table = Table::new(vec![
            Column::new("minutes", "developed for"),
            Column::new("density", "density"),
            Column::new("expected_activity", "activity 1 shows as"),
        ])
        .keyed("times")
        .titled(format!(
            "a fresh bath at {}",
            temperature(self.times.celsius.get(), self.question.unit)
        ));
        for time in &self.times.all {
            table.row(vec![
                Value::in_form(time.minutes, Form::Clock),
                Value::number(time.density, 2),
                interval("", time.half_width).value,
            ]);
        }
        table
    }

    /// How the density grows.
    fn growth(&self) -> Section {
        let (growth, family) = (&self.growth, self.question.family);
        let mut section = Section::titled("growth of the leader's density").keyed("growth");
        section.field("pieces", "pieces", Value::from(family.pieces.len()));
        section.field("base", "base", {
            let base = Value::number(growth.base, 2);
            match growth.base_is_assumed {
                true => base.worded(format!("{} (assumed)", number(growth.base, 2))),
                false => base,
            }
        });
        section.data("base_is_assumed", growth.base_is_assumed);
        let form = growth.growth.form;
        let words = match form {
            Law::FirstOrder => "first order: the density grows towards an end",
            Law::LogTime => "by the logarithm of the time",
            Law::Interpolated => "through the pieces",
        };
        section.field("form", "law", Value::term(form.code(), words));
        if form == Law::FirstOrder {
            let p = &growth.growth.parameters;
            if let Some(end) = growth.ceiling() {
                section.field("density_at_end", "the end", Value::number(end, 2));
            }
            let half_time = std::f64::consts::LN_2 / exp(p[1]);
            section.field(
                "half_minutes",
                "half of what is left takes",
                Value::in_form(half_time, Form::Clock),
            );
            section.data("k_per_minute", Value::number(exp(p[1]), 4));
            section.data("start_minutes", Value::number(p[2], 3));
        }
        section.field("reference_celsius", "at", self.degrees(growth.reference));
        section.field("piece_sd", "from piece to piece", Value::number(growth.piece_sd, 3));
        section.data("activation_energy_kj_per_mol", Value::number(growth.growth.energy(), 0));
        section.data("law_is_assumed", growth.growth.energy_is_assumed());
        section
    }
}

/// The interval that one piece is expected to give where the activity is 1.
fn interval(key: &'static str, half: Option<f64>) -> Field {
    let value = match half {
        Some(half) => {
            let (low, high) = (exp(-half), exp(half));
            let words = format!("{} to {}", number(low, 2), number(high, 2));
            Value::quantity_as(&Quantity { value: 1.0, low, high }, Form::Decimals(2)).worded(words)
        }
        None => Value::Missing,
    };
    Field::new(key, "activity 1 shows as", value)
}

impl Answer for LeaderTest<'_> {
    fn describe(&self) -> Description {
        let family = self.question.family;
        let title = match (&self.activity, &self.question.piece) {
            (Some(Ok(q)), _) => format!(
                "Leader test: activity {} ({} to {})",
                number(q.value, 2),
                number(q.low, 2),
                number(q.high, 2)
            ),
            (Some(Err(_)), _) => "Leader test: the piece does not show the activity".to_owned(),
            (None, _) => {
                format!("Leader test: develop for {}", rounded_clock(self.times.best.minutes))
            }
        };
        let mut all = Description::new(title);
        let of = [&family.labels.film, &family.labels.developer].map(|name| name.as_deref());
        all.subtitle = match of {
            [Some(film), Some(developer)] => Some(format!("{film} in {developer}")),
            [one, other] => one.or(other).map(str::to_owned),
        };
        let pieces = counted(family.pieces.len() as u64, "piece");
        let words = format!("{}, {pieces}", family.source);
        all.heading.push(Field::new(
            "family",
            "family",
            Value::from(family.source.as_str()).worded(words),
        ));
        for (key, value) in [("film", of[0]), ("developer", of[1])] {
            all.data(key, value);
        }
        if let (Some(piece), Some(activity)) = (&self.question.piece, &self.activity) {
            self.piece(piece, activity, &mut all);
        }
        all.add(self.best());
        all.add(self.table());
        all.add(self.growth());
        all.notes(self.notes());
        all
    }

    fn is_no(&self) -> bool {
        matches!(self.activity, Some(Err(_)))
    }
}
