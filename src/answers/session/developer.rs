//! The developer of a session: its time, its temperature, its activity, its capacity.

use super::{SessionSheet, percent};
use crate::answers::{Field, Form, Gather, Section, Value};
use crate::bath::journal::Balance;
use crate::session::night::NightDeveloper;
use crate::session::{ActivitySource, BathActivity, Usage, Wait};
use crate::words::{amount, counted, duration, number, trimmed};
use jiff::civil::Date;
use std::borrow::Cow;
use std::path::PathBuf;

type Entries = Vec<(Cow<'static, str>, Value)>;

impl SessionSheet {
    /// The developer; what a person must see from afar leads.
    pub(super) fn developer(&self) -> Section {
        let (d, usage) = (&self.sheet.developing, &self.sheet.usage);
        let mut section = Section::titled("developer").keyed("developer");
        let time = Value::from(d.seconds).worded(duration(d.seconds.into()));
        section.leading("seconds", "develop for", time);
        let celsius = Value::number(d.celsius.get(), 1).unit(" °C");
        section.leading("celsius", "developer at", celsius);
        let index = d.exposure_index.as_ref();
        match index.map(|q| Value::quantity_as(q, Form::Decimals(0))) {
            Some(index) => section.leading("exposure_index", "exposure index", index),
            None => section.data("exposure_index", Value::Missing),
        }
        section.leading("contrast", d.measure.name(), Value::number(d.contrast, 3));
        section.data("measure", d.measure.code());
        let aim = |a: &crate::session::SceneAim| {
            let entries: Entries = vec![
                ("scene_stops".into(), Value::plain(a.stops, 2)),
                ("label".into(), a.label().into()),
                ("paper_range_r".into(), Value::plain(a.paper_range, 1)),
            ];
            Value::Map(entries).worded(a.to_string())
        };
        match &d.aim {
            Some(a) => section.field("aim", "for", aim(a)),
            None => section.data("aim", Value::Missing),
        }
        section.leading("activity", "activity", activity(&d.activity));
        match &d.wait {
            Some(w) => section.leading("wait", "first wait", wait(w)),
            None => section.data("wait", Value::Missing),
        }
        let minutes = Value::quantity_as(&d.minutes, Form::Decimals(2)).unit(" min");
        section.field("minutes", "calculated time", minutes);
        section.field("extrapolated", "outside the calibration", d.extrapolated);
        let (code, label, words) = match (&usage.bath, &self.journal) {
            (Some(balance), Some(journal)) => {
                let bath = standing(balance, self.date);
                ("bath", "bath", format!("{}: {bath}", journal.display()))
            }
            _ => ("one_shot", "developer", "used once".to_owned()),
        };
        section.field("source", label, Value::term(code, words));
        section.add(capacity(usage));
        section
    }
}

/// A developer of a class night: its activity, what to wait for, its bath and its capacity.
pub(super) fn of_night(
    section: &mut Section,
    own: &NightDeveloper,
    journal: Option<&PathBuf>,
    date: Date,
) {
    let d = &own.developing;
    section.field("celsius", "developer at", Value::number(d.celsius.get(), 1).unit(" °C"));
    section.field("activity", "activity", activity(&d.activity));
    section.field("agitation", "agitation", own.agitation.as_str());
    match &d.wait {
        Some(w) => section.field("wait", "first wait", wait(w)),
        None => section.data("wait", Value::Missing),
    }
    let (code, label, words) = match (&own.usage.bath, journal) {
        (Some(balance), Some(journal)) => {
            ("bath", "bath", format!("{}: {}", journal.display(), standing(balance, date)))
        }
        _ => ("one_shot", "developer", "used once".to_owned()),
    };
    section.field("source", label, Value::term(code, words));
    section.add(capacity(&own.usage));
}

/// A bath on one line: how much, how much film so far, how old.
pub(super) fn standing(balance: &Balance, on: Date) -> String {
    let litres = amount(balance.litres, 3, "litre");
    let film = match (balance.films, balance.area_m2) {
        (_, 0.0) => "no film so far".to_owned(),
        (0, area) => format!("{} m² so far", trimmed(area, 4)),
        (films, area) => {
            let more = if balance.uncounted > 0 { " or more" } else { "" };
            format!("{}{more} and {} m² so far", counted(films, "film"), trimmed(area, 4))
        }
    };
    let age = match balance.age_days(on) {
        None => "not mixed".to_owned(),
        Some(0) => "mixed today".to_owned(),
        Some(days) => format!("{} old", counted(days, "day")),
    };
    format!("{litres}, {film}, {age}")
}

/// The activity with where it comes from.
fn activity(known: &BathActivity) -> Value {
    let value = match known.interval {
        Some((low, high)) => {
            format!("{} ({} to {})", number(known.value, 3), number(low, 3), number(high, 3))
        }
        None => trimmed(known.value, 3),
    };
    let (code, from, strip) = match &known.source {
        ActivitySource::Plan => ("plan", "as stated".to_owned(), Value::Missing),
        ActivitySource::Strip { name, date, line, verdict, area_since_m2, followed, .. } => {
            let by = if *followed { "calculated from" } else { "by" };
            let since = match *area_since_m2 {
                0.0 => "no film since".to_owned(),
                area => format!("{} m² of film since", trimmed(area, 4)),
            };
            // Strips are often named by their day.
            let of = match name.contains(&date.to_string()) {
                true => String::new(),
                false => format!(" of {date}"),
            };
            let strip: Entries = vec![
                ("name".into(), name.as_str().into()),
                ("date".into(), (*date).into()),
                ("line".into(), usize::try_from(*line).unwrap_or(usize::MAX).into()),
                ("verdict".into(), verdict.as_str().into()),
                ("area_since_m2".into(), Value::plain(*area_since_m2, 4)),
            ];
            ("strip", format!("{by} strip {name}{of}, {since}"), Value::Map(strip))
        }
        ActivitySource::Leader { name, date, line, area_since_m2, followed } => {
            let by = if *followed { "calculated from" } else { "by" };
            let since = match *area_since_m2 {
                0.0 => "no film since".to_owned(),
                area => format!("{} m² of film since", trimmed(area, 4)),
            };
            let piece: Entries = vec![
                ("name".into(), name.as_deref().into()),
                ("date".into(), (*date).into()),
                ("line".into(), usize::try_from(*line).unwrap_or(usize::MAX).into()),
                ("area_since_m2".into(), Value::plain(*area_since_m2, 4)),
            ];
            let words = format!("{by} a leader piece of {date}, {since}");
            ("leader", words, Value::Map(piece))
        }
        ActivitySource::EarlierBaths => {
            let words = "calculated from the strips of earlier baths; this one has none yet";
            ("earlier_baths", words.to_owned(), Value::Missing)
        }
        ActivitySource::Assumed => ("assumed", "assumed".to_owned(), Value::Missing),
    };
    let number = |v: Option<f64>| v.map(|v| Value::number(v, 3)).into();
    let entries: Entries = vec![
        ("value".into(), Value::number(known.value, 3)),
        ("low".into(), number(known.interval.map(|i| i.0))),
        ("high".into(), number(known.interval.map(|i| i.1))),
        ("source".into(), code.into()),
        ("strip".into(), strip),
    ];
    Value::Map(entries).worded(format!("{value}, {from}"))
}

fn wait(wait: &Wait) -> Value {
    let words = format!(
        "{} min, from {} °C to {} °C in surroundings of {} °C",
        number(wait.minutes.ceil(), 0),
        number(wait.from, 1),
        number(wait.to, 1),
        number(wait.surroundings, 1)
    );
    let entries: Entries = vec![
        ("minutes".into(), Value::number(wait.minutes, 2)),
        ("from_celsius".into(), Value::number(wait.from, 1)),
        ("to_celsius".into(), Value::number(wait.to, 1)),
        ("surroundings_celsius".into(), Value::number(wait.surroundings, 1)),
    ];
    Value::Map(entries).worded(words)
}

/// How much film the developer can develop, and the session's share of it.
fn capacity(u: &Usage) -> Field {
    let mut words = format!(
        "{} m² in this session, {} of the {} m² that {} can develop ({} m² a litre{})",
        trimmed(u.session_m2, 4),
        percent(u.share()),
        trimmed(u.capacity_m2, 3),
        amount(u.litres, 3, "litre"),
        trimmed(u.capacity.m2_per_litre, 3),
        if u.capacity.assumed { ", assumed" } else { "" },
    );
    if u.bath.is_some() {
        words.push_str(&format!(
            "; before it {} m² that no replenishment has made good, {}",
            trimmed(u.before_m2, 4),
            percent(u.before_m2 / u.capacity_m2)
        ));
    }
    let number = |v: f64| Value::plain(v, 4);
    let entries: Entries = vec![
        ("m2_per_litre".into(), number(u.capacity.m2_per_litre)),
        ("assumed".into(), u.capacity.assumed.into()),
        ("litres".into(), number(u.litres)),
        ("m2".into(), number(u.capacity_m2)),
        ("before_m2".into(), number(u.before_m2)),
        ("session_m2".into(), number(u.session_m2)),
        ("share".into(), number(u.share())),
    ];
    Field::new("capacity", "capacity", Value::Map(entries).worded(words))
}
