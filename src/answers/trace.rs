//! How was a film developed, and what do faulty films share?

mod shared;

pub use shared::{FaultQuestion, Judged, NotCompared, SharedFault};

use super::bath::balance;
use super::bath::entered::entry_words;
use super::standing::standing_field;
use super::{Answer, Column, Description, Field, Form, Gather, Note, Table, Value};
use crate::bath::journal::{Act, Entry, Journal};
use crate::bath::trace::{NotFound, Traced, trace};
use crate::development::drift::Reading;
use crate::session::{ActivitySource, BathActivity, followed};
use crate::words::{duration, list_and, number, trimmed};
use std::borrow::Cow;
use std::path::Path;

/// A film of a journal.
#[derive(Clone, Debug)]
pub struct TraceQuestion<'a> {
    /// The journal.
    pub journal: &'a Journal,
    /// The number of the film.
    pub number: u32,
}

/// How a film was developed.
#[derive(Clone, Debug)]
pub struct TracedFilm {
    journal: String,
    traced: Traced,
    activity: Option<BathActivity>,
    temperatures: Option<Result<Vec<Reading>, String>>,
}

impl TracedFilm {
    /// Traces a film. `read` gives the temperatures of the file that the journal names for its batch, or
    /// why they cannot be read.
    ///
    /// # Errors
    /// [`NotFound`], with the numbers that there are.
    pub fn of(
        question: &TraceQuestion<'_>,
        read: impl FnOnce(&str) -> Result<Vec<Reading>, String>,
    ) -> Result<Self, NotFound> {
        let TraceQuestion { journal, number } = question;
        let traced = trace(&journal.file, &journal.entries, *number)?;
        // Only what was entered before the film was known then.
        let before = journal.entries.iter().take_while(|e| e.line != traced.entry.line);
        let then = Journal { entries: before.cloned().collect(), ..(*journal).clone() };
        let activity = followed(&then, traced.entry.date).filter(|a| {
            matches!(a.source, ActivitySource::Strip { .. } | ActivitySource::EarlierBaths)
        });
        let temperatures = traced.load.temperatures.as_deref().map(read);
        Ok(Self { journal: journal.file.to_string(), traced, activity, temperatures })
    }

    /// What is known of the film.
    #[must_use]
    pub const fn traced(&self) -> &Traced {
        &self.traced
    }

    /// The bath as a person calls it: its developer, or else its journal.
    fn bath(&self) -> String {
        let stem =
            || Path::new(&self.journal).file_stem().map(|s| s.to_string_lossy().into_owned());
        self.traced.bath.clone().or_else(stem).unwrap_or_default()
    }

    fn time(&self) -> Option<String> {
        let seconds = (60.0 * self.traced.load.minutes?).round();
        Some(duration(seconds.max(0.0) as u64))
    }

    fn degrees(&self) -> Option<String> {
        Some(format!("{} °C", number(self.traced.load.celsius?, 1)))
    }

    /// The development in the short form of the trade, or the contrast where it has none.
    fn development(&self) -> Option<String> {
        let load = &self.traced.load;
        let contrast =
            || load.contrast.map(|contrast| format!("contrast {}", trimmed(contrast, 3)));
        load.development.clone().or_else(contrast)
    }

    /// The line for the margin of the contact sheet: number, date, bath, time, temperature, development.
    #[must_use]
    pub fn margin(&self) -> String {
        let known = [
            Some(format!("no. {}", self.traced.film.number)),
            Some(self.traced.entry.date.to_string()),
            Some(self.bath()),
            self.time(),
            self.degrees(),
            self.development(),
        ];
        known.into_iter().flatten().collect::<Vec<_>>().join(" · ")
    }
}

/// Lowest, mean over time and highest of temperatures, in °C. A reading holds half-way to its neighbours.
fn summary(readings: &[Reading]) -> Option<(f64, f64, f64)> {
    let celsius = |r: &Reading| r.celsius.get();
    let low = readings.iter().map(celsius).reduce(f64::min)?;
    let high = readings.iter().map(celsius).reduce(f64::max)?;
    let (mut sum, mut time) = (0.0, 0.0);
    for pair in readings.windows(2) {
        let minutes = pair[1].minutes - pair[0].minutes;
        sum += 0.5 * (celsius(&pair[0]) + celsius(&pair[1])) * minutes;
        time += minutes;
    }
    let mean = if time > 0.0 { sum / time } else { low };
    Some((low, mean, high))
}

impl Answer for TracedFilm {
    fn describe(&self) -> Description {
        let t = &self.traced;
        let mut all = Description::new(format!("Film {}, {}", t.film.number, t.entry.date));
        all.first = Some(standing_field(&t.standing));
        let batch = t.load.batch.map(|batch| format!("batch {batch}"));
        let places =
            [t.format.map(|format| format.to_string()), t.film.lay(), batch, t.load.vessel.clone()];
        let places: Vec<String> = places.into_iter().flatten().collect();
        all.subtitle = (!places.is_empty()).then(|| places.join(", "));
        all.heading = vec![
            Field::new("number", "number", t.film.number),
            Field::new("date", "date", t.entry.date),
            Field::new("journal", "journal", self.journal.as_str()),
            Field::new("line", "line", t.entry.line),
            Field::new("format", "format", t.format.map(|format| format.to_string())),
            Field::new("reel", "reel", t.film.reel),
            Field::new("place", "place", t.film.place),
            Field::new("batch", "batch", t.load.batch),
            Field::new("vessel", "vessel", t.load.vessel.as_deref()),
        ];
        let before = balance::in_words(&t.before, t.entry.date);
        let words =
            t.bath.as_ref().map_or_else(|| before.clone(), |bath| format!("{bath}: {before}"));
        let bath: Vec<(Cow<'static, str>, Value)> = vec![
            ("what".into(), t.bath.as_deref().into()),
            ("mixed".into(), t.before.mixed.into()),
            ("litres".into(), Value::plain(t.before.litres, 3)),
            ("films".into(), t.before.films.into()),
            ("area_m2".into(), Value::plain(t.before.area_m2, 4)),
            ("age_days".into(), t.before.age_days(t.entry.date).into()),
        ];
        all.field("bath", "the bath before", Value::Map(bath).worded(words));
        let activity = self.activity.as_ref().map(|a| match a.interval {
            Some((low, high)) => Value::in_form_with(a.value, (low, high)),
            None => Value::number(a.value, 3),
        });
        self.known(&mut all, "activity", "its activity", activity, NotKept::Activity);
        let seconds = t.load.minutes.map(|minutes| {
            let words = self.time().unwrap_or_default();
            Value::Count((60.0 * minutes).round() as i64).worded(words)
        });
        self.known(&mut all, "seconds", "developed for", seconds, NotKept::Time);
        let celsius = t.load.celsius.map(|celsius| Value::number(celsius, 1).unit(" °C"));
        self.known(&mut all, "celsius", "developer at", celsius, NotKept::Temperature);
        self.temperatures(&mut all);
        let contrast = t.load.contrast.map(|contrast| Value::plain(contrast, 3));
        self.known(&mut all, "contrast", "for a contrast of", contrast, NotKept::Contrast);
        match &t.load.development {
            Some(label) => all.field("development", "development", label.as_str()),
            None => all.data("development", Value::Missing),
        }
        match &t.load.pairing {
            Some(pairing) => all.field("pairing", "pairing", pairing.as_str()),
            None => all.data("pairing", Value::Missing),
        }
        let strip = |entry: &Option<Entry>| entry.as_ref().map(strip_value);
        let before = strip(&t.strip_before);
        self.known(&mut all, "strip_before", "control strip before", before, NotKept::StripBefore);
        let after = strip(&t.strip_after);
        self.known(&mut all, "strip_after", "control strip after", after, NotKept::StripAfter);
        let margin = self.margin();
        all.line(format!("margin: {margin}"), vec![Field::new("margin", "margin", margin)]);
        all.add(self.beside());
        all
    }
}

/// What a journal does not have of a film.
#[derive(Clone, Copy, Debug, thiserror::Error)]
enum NotKept {
    #[error("no control strip of the journal had an activity before")]
    Activity,
    #[error("the journal does not have it")]
    Time,
    #[error("the journal does not have it")]
    Temperature,
    #[error("the journal does not have it")]
    Contrast,
    #[error("the journal has none of this bath before the film")]
    StripBefore,
    #[error("the journal has none of this bath after the film")]
    StripAfter,
}

impl TracedFilm {
    fn known(
        &self,
        all: &mut Description,
        key: &'static str,
        label: &'static str,
        value: Option<Value>,
        why: NotKept,
    ) {
        if value.is_none() {
            all.notes.push(Note::missing(key, label, why));
        }
        all.field(key, label, Value::or_missing(value));
    }

    /// The temperatures that were read, where a file was entered.
    fn temperatures(&self, all: &mut Description) {
        let (key, label) = ("temperatures", "temperatures read");
        let Some(file) = self.traced.load.temperatures.as_deref() else {
            all.data(key, Value::Missing);
            return;
        };
        let found = match &self.temperatures {
            Some(Ok(readings)) => summary(readings),
            Some(Err(why)) => {
                all.notes.push(Note::missing(key, label, why));
                None
            }
            None => None,
        };
        let value = found.map(|(low, mean, high)| {
            let one = |celsius: f64| number(celsius, 1);
            let words = format!("{} to {} °C, mean {} °C ({file})", one(low), one(high), one(mean));
            let entries: Vec<(Cow<'static, str>, Value)> = vec![
                ("file".into(), file.into()),
                ("lowest".into(), Value::number(low, 2)),
                ("mean".into(), Value::number(mean, 2)),
                ("highest".into(), Value::number(high, 2)),
            ];
            Value::Map(entries).worded(words)
        });
        all.field(key, label, Value::or_missing(value));
    }

    /// The other films of the batch.
    fn beside(&self) -> Table {
        let mut table = Table::new(vec![
            Column::new("number", "film"),
            Column::new("format", "format"),
            Column::new("reel", "reel"),
            Column::new("place", "place"),
        ])
        .keyed("beside");
        if !self.traced.beside.is_empty() {
            table.title = Some("in the same batch".to_owned());
        }
        let blank = |value: Option<Value>| value.unwrap_or_else(|| Value::Missing.worded(""));
        for (film, format) in &self.traced.beside {
            table.row(vec![
                film.number.into(),
                blank(format.map(|format| format.to_string().into())),
                blank(film.reel.map(Value::from)),
                blank(film.place.map(Value::from)),
            ]);
        }
        table
    }
}

/// A control strip on one line.
fn strip_value(entry: &Entry) -> Value {
    let Act::Strip(strip) = &entry.act else { return entry_words(&entry.act).into() };
    let activity = strip.activity.map(|a| format!("activity {}", number(a, 3)));
    let own = (strip.name != entry.date.to_string()).then(|| strip.name.clone());
    let words = [Some(entry.date.to_string()), own, Some(strip.verdict.clone()), activity];
    let entries: Vec<(Cow<'static, str>, Value)> = vec![
        ("name".into(), strip.name.as_str().into()),
        ("date".into(), entry.date.into()),
        ("line".into(), entry.line.into()),
        ("verdict".into(), strip.verdict.as_str().into()),
        ("activity".into(), strip.activity.map(|a| Value::number(a, 4)).into()),
    ];
    let words: Vec<String> = words.into_iter().flatten().collect();
    Value::Map(entries).worded(words.join(", "))
}

/// Films by number, in words.
fn films(numbers: &[u32]) -> String {
    let mut sorted = numbers.to_vec();
    sorted.sort_unstable();
    match sorted.as_slice() {
        [] => "no film".to_owned(),
        [one] => format!("film {one}"),
        several => {
            let words = crate::words::ranges(several);
            let parts: Vec<&str> = words.split(", ").collect();
            format!("films {}", list_and(&parts))
        }
    }
}

/// A chance as far as it means something.
fn chance(value: f64) -> Value {
    match value {
        small if small < 0.001 => Value::number(small, 6).worded("< 0.001"),
        value => Value::in_form(value, Form::Decimals(3)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Celsius;

    #[test]
    fn the_mean_is_over_time() {
        let reading =
            |minutes, celsius| Reading { minutes, celsius: Celsius::new(celsius).unwrap() };
        let log = [reading(0.0, 22.0), reading(1.0, 20.0), reading(9.0, 20.0)];
        let (low, mean, high) = summary(&log).unwrap();
        assert_eq!((low, high), (20.0, 22.0));
        assert!((mean - (21.0 + 8.0 * 20.0) / 9.0).abs() < 1e-12);
        assert_eq!(summary(&log[..1]), Some((22.0, 22.0, 22.0)));
        assert_eq!(summary(&[]), None);
    }

    #[test]
    fn films_in_words() {
        assert_eq!(films(&[14, 12, 13, 20]), "films 12 to 14 and 20");
        assert_eq!((films(&[3]), films(&[])), ("film 3".to_owned(), "no film".to_owned()));
    }
}
