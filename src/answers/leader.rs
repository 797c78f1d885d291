//! What does a piece of exposed leader show of the bath?

use super::adjust::temperature;
use super::{Answer, Column, Description, Field, Form, Gather, Note, Section, Table, Value};
use crate::development::Form as Law;
use crate::development::leader::{
    LeaderError, LeaderFamily, LeaderGrowth, NoActivity, TEMPERATURE_SLIP, TIME_SLIP, TestTime,
    TestTimes, Tested,
};
use crate::development::temperature::{ASSUMED_ENERGY, factor_per_ten_degrees};
use crate::measures::Quantity;
use crate::units::{Celsius, TemperatureUnit};
use crate::words::{counted, list_and, number, percent, rounded_clock};
use std::fmt;

/// A piece whose temperature is farther from the family's, in **°C**, has an interval that the assumed
/// temperature law widens.
const NEAR: f64 = 0.5;
/// Below this time, in **minutes**, pouring and agitation make pieces differ (common practice, no source).
const SHORT: f64 = 1.5;
/// The share of an interval that a piece may be wide, and still be of use: half its width, in ln a.
const COARSE: f64 = 0.2;
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

/// What goes with a leader test. `Display` is one sentence.
#[derive(Clone, Copy, Debug, PartialEq)]
enum LeaderNote {
    /// What no leader shows.
    NotSeen,
    /// What activity 1 is.
    Fresh,
    /// Long times show little.
    LongTimes {
        /// The longest time of the family, in **minutes**.
        minutes: f64,
        /// Half the width of its interval of ln a, where it shows anything.
        half_width: Option<f64>,
    },
    /// The shortest time of the family is the best.
    Shorter(f64),
    /// Short times differ by hand.
    ShortTimes,
    /// Whence the scatter between pieces.
    Scatter {
        /// Its standard deviation.
        sd: f64,
        /// Degrees of freedom of the family.
        freedom: u32,
        /// Standard uncertainty of a reading, and whether it is assumed.
        reading: (f64, bool),
    },
    /// The activity is not that of a developer that is used as it should be.
    Odd(f64),
    /// The base is assumed.
    AssumedBase(f64),
    /// The temperature law is assumed.
    AssumedLaw {
        /// How far the piece is from the family's temperature, in **°C**.
        away: f64,
    },
    /// Neither law fits.
    Interpolated,
    /// The piece's interval is wide.
    Coarse(f64),
}

impl fmt::Display for LeaderNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::NotSeen => f.write_str(
                "a leader shows the activity of the bath only: not its fog, and not the speed of the film. A bath that fogs can have activity 1. Use a control strip, or a camera test, to see them",
            ),
            Self::Fresh => f.write_str(
                "activity 1 is that of the bath in which the family was developed: develop the family in a fresh bath, from one roll, and later pieces from a roll of the same film, exposed in the same way (common practice, no source)",
            ),
            Self::LongTimes { minutes, half_width } => {
                let shows = half_width.map_or_else(
                    || "says next to nothing".to_owned(),
                    |half| format!("shows the activity only to {}", plus_minus(half)),
                );
                write!(
                    f,
                    "long times say little, because the density hardly changes there: a piece of {} {shows}",
                    rounded_clock(minutes)
                )
            }
            Self::Shorter(minutes) => write!(
                f,
                "the shortest time of the family, {}, is the best one: a still shorter one may be better, but the family does not show it",
                rounded_clock(minutes)
            ),
            Self::ShortTimes => f.write_str(
                "at so short a time pouring in and out count: always do it in the same way (common practice, no source)",
            ),
            Self::Scatter { sd, freedom, reading: (reading, assumed) } => {
                write!(
                    f,
                    "in every interval pieces differ by {} in density, a time errs by {} s, a temperature by {TEMPERATURE_SLIP} °C and a reading by {} (standard deviations; common practice, no source, but that {}",
                    number(sd, 3),
                    number(60.0 * TIME_SLIP, 0),
                    number(reading, 3),
                    match freedom {
                        0 => "nothing is yet known of these pieces: more of them make it surer",
                        _ => "of pieces has the family's own scatter in it",
                    }
                )?;
                f.write_str(if assumed { ")" } else { ", and that of readings was stated)" })
            }
            Self::Odd(activity) => write!(
                f,
                "activity {} is far from that of a usual bath: check time, temperature and density, and whether the piece is of the family's film and had as much light",
                number(activity, 2)
            ),
            Self::AssumedBase(base) => write!(
                f,
                "the base of the film is assumed to be {base} (common practice, no source), which hardly matters; a piece that was only fixed, in a row of 0 minutes, gives it"
            ),
            Self::AssumedLaw { away } if away > NEAR => write!(
                f,
                "the temperature is {} °C from that of the family, whose temperature law is assumed (a factor of {} in 10 °C): that widens the interval. Test at the family's temperature, or add a piece at another temperature to the family",
                number(away, 1),
                number(factor_per_ten_degrees(ASSUMED_ENERGY), 1)
            ),
            Self::AssumedLaw { .. } => write!(
                f,
                "the temperature law is assumed (a factor of {} in 10 °C): test at the family's temperature",
                number(factor_per_ten_degrees(ASSUMED_ENERGY), 1)
            ),
            Self::Interpolated => f.write_str(
                "no simple law describes this growth: the curve is drawn through the pieces, so that their errors count fully",
            ),
            Self::Coarse(half) => write!(
                f,
                "{} is coarse: develop two or three pieces, or use a time nearer to the best one",
                plus_minus(half)
            ),
        }
    }
}

/// The half width of an interval of ln a, as people say it: ±9 %.
fn plus_minus(half: f64) -> String {
    format!("±{}", percent(half.sinh(), 0))
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
            let half = 0.5 * (q.high / q.low).ln();
            notes.extend((half > COARSE).then_some(LeaderNote::Coarse(half)));
            let odd = q.low > USUAL.1 || q.high < USUAL.0;
            notes.extend(odd.then_some(LeaderNote::Odd(q.value)));
        }
        if let Some(last) = self.times.all.last() {
            let TestTime { minutes, half_width, .. } = *last;
            if minutes > self.times.as_good.1 {
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
            let half_time = std::f64::consts::LN_2 / p[1].exp();
            section.field(
                "half_minutes",
                "half of what is left takes",
                Value::in_form(half_time, Form::Clock),
            );
            section.data("k_per_minute", Value::number(p[1].exp(), 4));
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
            let (low, high) = ((-half).exp(), half.exp());
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
