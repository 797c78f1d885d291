//! How does a bath stand today?

use super::{BathRecord, NoPairing, NotFollowed, balance};
use crate::answers::adjust::{aim_words, temperature};
use crate::answers::standing::{Withheld, standing_field};
use crate::answers::{Answer, Column, Description, Field, Form, Gather, Note, Table, Value};
use crate::bath::control::{Basis, Chart, ControlError};
use crate::bath::forecast::{Assumptions, ForecastNote, NoForecast};
use crate::bath::history::chart;
use crate::bath::journal::{Act, Entry};
use crate::bath::limits::Limits;
use crate::bath::watched::Watched;
use crate::development::aim::Target;
use crate::development::{Adjusted, Measure, Unreachable, Wanted};
use crate::measures::{Measured, Quantity};
use crate::units::{Celsius, TemperatureUnit};
use crate::words::{amount, number, trimmed};
use std::fmt;

/// What is watched of a bath: all but the densities of fixed steps, which show the same once more.
const WATCHED: [Watched; 4] =
    [Watched::Activity, Watched::Contrast, Watched::BasePlusFog, Watched::Speed];

/// What is asked.
#[derive(Debug)]
pub struct StatusQuestion {
    /// The bath.
    pub record: BathRecord,
    /// Its limits.
    pub limits: Limits,
    /// The measure of contrast and the contrast that is wanted, where the pairing is at hand.
    pub aim: Option<(Measure, Target)>,
    /// Temperature of the bath; that of the pairing where it is not known.
    pub celsius: Option<Celsius>,
    /// The unit that temperatures are shown in.
    pub unit: TemperatureUnit,
    /// Whether to calculate for a bath that is not to be used.
    pub anyway: bool,
}

/// Why nothing is known of the activity of a bath, or no time is given.
#[derive(Clone, Debug, PartialEq)]
pub enum Unknown {
    /// There is no bath.
    NoBath,
    /// The strips do not give it.
    Forecast(NoForecast),
    /// The bath is not to be used.
    Withheld(Withheld),
    /// There is no pairing.
    NoPairing(NoPairing),
    /// The pairing cannot give it.
    Unreachable(Unreachable),
}

impl fmt::Display for Unknown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoBath => f.write_str("there is no bath"),
            Self::Forecast(why) => why.fmt(f),
            Self::Withheld(why) => why.fmt(f),
            Self::NoPairing(why) => why.fmt(f),
            Self::Unreachable(why) => why.fmt(f),
        }
    }
}

/// How a bath stands.
#[derive(Debug)]
pub struct BathStatus {
    /// What was asked.
    pub question: StatusQuestion,
    /// Its activity.
    pub activity: Measured<Unknown>,
    /// The control charts of the present bath; none where no strip of it was read.
    pub charts: Vec<(Watched, Result<Chart, ControlError>)>,
    /// How long film is developed today.
    pub today: Result<Adjusted, Unknown>,
    /// What the activity rests on.
    pub notes: Vec<ForecastNote>,
}

impl BathStatus {
    /// Follows the bath.
    ///
    /// # Errors
    /// [`NotFollowed`] where the entries of the journal contradict each other.
    pub fn of(question: StatusQuestion) -> Result<Self, NotFollowed> {
        let record = &question.record;
        if !record.balance.in_use() {
            return Ok(Self {
                activity: Err(Unknown::NoBath),
                charts: Vec::new(),
                today: Err(Unknown::NoBath),
                notes: Vec::new(),
                question,
            });
        }
        let (_, bath) = record.follow(&Assumptions::default())?;
        let activity = bath.activity().map_err(Unknown::Forecast);
        let charts = match record.balance.strips {
            0 => Vec::new(),
            _ => WATCHED
                .into_iter()
                .map(|w| (w, chart(&record.entries, w, &question.limits, Basis::Aim)))
                .collect(),
        };
        Ok(Self {
            today: question.today(&activity),
            charts,
            notes: bath.notes(),
            activity,
            question,
        })
    }

    /// Whether nothing is wrong at the last strip; `None` where nothing is known.
    #[must_use]
    pub fn in_control(&self) -> Option<bool> {
        let known = || self.charts.iter().filter_map(|(_, c)| c.as_ref().ok()?.in_control());
        known().next().map(|_| known().all(|in_control| in_control))
    }

    fn control(&self) -> Table {
        let mut table = Table::new(vec![
            Column::new("quantity", "").for_programs(),
            Column::new("name", "watched"),
            Column::new("state", "state"),
            Column::new("rule", "because"),
            Column::new("more_rules", "").for_programs(),
            Column::new("since", "since"),
        ])
        .keyed("charts");
        for (watched, chart) in &self.charts {
            let mut cells = vec![watched.code().into(), watched.name().into()];
            cells.extend(super::chart::state_cells(&self.question.record, chart));
            table.row(cells);
        }
        table
    }

    fn signals(&self) -> Value {
        let of = |(watched, chart): &(Watched, Result<Chart, ControlError>)| -> Vec<Value> {
            let signal = |s: &crate::bath::control::ChartSignal| {
                let event = Value::Map(vec![
                    ("quantity".into(), watched.code().into()),
                    ("date".into(), s.date.into()),
                ]);
                Value::Map(vec![("rule".into(), s.rule.code().into()), ("event".into(), event)])
            };
            chart.iter().flat_map(|c| c.last_signals().iter().map(signal)).collect()
        };
        Value::List(self.charts.iter().flat_map(of).collect())
    }

    /// The activity by the last strip alone.
    fn last_strip(&self) -> Value {
        // A strip of an earlier bath says nothing of this one.
        let of_this = |e: &&Entry| !matches!(e.act, Act::Mix { .. });
        let mut entries = self.question.record.entries.iter().rev().take_while(of_this);
        let found = entries.find_map(|e| match &e.act {
            Act::Strip(strip) => Some((strip, e.date)),
            _ => None,
        });
        let Some((strip, date)) = found else { return Value::Missing };
        let words = match strip.activity {
            Some(activity) => {
                format!("activity {}, {} ({date})", number(activity, 3), strip.verdict)
            }
            None => format!("{} ({date})", strip.verdict),
        };
        Value::Map(vec![
            ("name".into(), strip.name.as_str().into()),
            ("date".into(), date.into()),
            ("activity".into(), strip.activity.map(|a| Value::number(a, 3)).into()),
            ("verdict".into(), strip.verdict.as_str().into()),
        ])
        .worded(words)
    }
}

impl StatusQuestion {
    /// The time for the aim in the bath as it is.
    fn today(&self, activity: &Measured<Unknown>) -> Result<Adjusted, Unknown> {
        let record = &self.record;
        if record.standing.withholds() && !self.anyway {
            return Err(Unknown::Withheld(Withheld(record.standing.clone())));
        }
        let activity = activity.as_ref().map_err(Clone::clone)?;
        let (pairing, (measure, target)) = match (&record.pairing, &self.aim) {
            (Err(why), _) => return Err(Unknown::NoPairing(why.clone())),
            (Ok(_), None) => return Err(Unknown::NoPairing(NoPairing::NotNamed)),
            (Ok((_, pairing)), Some(aim)) => (pairing, aim),
        };
        let wanted = Wanted {
            measure: *measure,
            contrast: target.contrast,
            celsius: self.celsius.unwrap_or(pairing.reference),
            activity: activity.value,
            extrapolate: false,
        };
        let adjusted = pairing.adjust(&wanted).map_err(Unknown::Unreachable)?;
        Ok(adjusted.allowing_for(activity))
    }

    /// What the time is for.
    fn aim(&self) -> Option<(f64, String)> {
        let (_, pairing) = self.record.pairing.as_ref().ok()?;
        let (measure, target) = self.aim.as_ref()?;
        let celsius = self.celsius.unwrap_or(pairing.reference).get();
        let at = temperature(celsius, self.unit);
        Some((celsius, format!("{}, at {at}", aim_words(*measure, target))))
    }
}

impl Answer for BathStatus {
    fn describe(&self) -> Description {
        let record = &self.question.record;
        let b = &record.balance;
        let mut all = Description::new(record.title());
        all.first = Some(standing_field(&record.standing));
        all.subtitle = Some(super::in_words(b, record.on));
        all.heading.push(Field::new("bath", "journal", record.file.as_str()));
        all.heading.push(Field::new("on", "day", record.on));
        all.heading.push(Field::new("what", "developer", record.developer()));
        let minutes = self.today.as_ref().map(|a| a.minutes).map_err(Clone::clone);
        let (field, note) =
            Field::measured("minutes_today", "develop today", &minutes, Value::time);
        all.add(Field { leads: true, ..field });
        all.notes.extend(note);
        let aim = self.question.aim().filter(|_| self.today.is_ok());
        all.data("contrast", self.question.aim.as_ref().map(|a| Value::number(a.1.contrast, 3)));
        all.data("measure", self.question.aim.as_ref().map(|a| a.0.code()));
        match aim {
            Some((celsius, words)) => {
                all.field("celsius", "for", Value::plain(celsius, 2).worded(words));
            }
            None => all.data("celsius", Value::Missing),
        }
        let three = |q: &Quantity| Value::quantity_as(q, Form::Decimals(3));
        let (field, note) = Field::measured("activity", "activity now", &self.activity, three);
        all.add(field);
        // One reason for two things is said once.
        all.notes.extend(note.filter(|n| all.notes.iter().all(|other| other.words != n.words)));
        match self.last_strip() {
            Value::Missing => all.data("last_strip", Value::Missing),
            strip => all.field("last_strip", "last strip", strip),
        }
        if let Some(leader) = &record.standing.leader {
            let value = Value::Map(vec![
                ("name".into(), leader.name.as_deref().into()),
                ("date".into(), leader.date.into()),
                ("activity".into(), leader.activity.map(|a| Value::number(a, 3)).into()),
            ]);
            all.field("last_leader", "last leader piece", value.worded(leader.to_string()));
        }
        let count = i64::try_from(b.films).unwrap_or(i64::MAX);
        all.data("films", Value::Count(count));
        all.data("area_m2", Value::plain(b.area_m2, 4));
        all.data("age_days", b.age_days(record.on));
        if b.added_ml > 0.0 {
            let litres = |ml: f64| amount(ml / 1e3, 2, "litre");
            let words = format!("{} in, {} out", litres(b.added_ml), litres(b.removed_ml));
            let value = Value::plain(b.added_ml, 1).worded(words);
            all.field("added_ml", "replenished", value);
        }
        if let Some((low, high)) = b.celsius {
            let words = format!("{} to {} °C", trimmed(low, 1), trimmed(high, 1));
            let sides =
                vec![("low".into(), Value::plain(low, 2)), ("high".into(), Value::plain(high, 2))];
            let label = "temperature of its strips";
            all.field("strips_celsius", label, Value::Map(sides).worded(words));
        }
        match self.in_control() {
            Some(in_control) => all.field("in_control", "in control", in_control),
            None => {
                let why = match b.strips {
                    _ if !b.in_use() => Unknown::NoBath.to_string(),
                    0 => "no control strip of this bath was read".to_owned(),
                    n => ControlError::FewStrips { found: n as usize }.to_string(),
                };
                all.field("in_control", "in control", Value::Missing.worded("not known"));
                all.notes.push(Note::missing("in_control", "in control", why));
            }
        }
        all.add(self.control());
        all.data("signals", self.signals());
        all.add(balance::section(b, record.on));
        for (watched, chart) in &self.charts {
            if let Err(why) = chart {
                all.notes.push(Note::missing(watched.code(), watched.charted_name(), why));
            }
        }
        all.notes(&self.notes);
        if let (Ok(adjusted), Some((_, target))) = (&self.today, &self.question.aim) {
            all.notes(&adjusted.notes);
            all.notes(&target.assumptions);
        }
        all
    }

    fn is_no(&self) -> bool {
        let record = &self.question.record;
        let withheld = record.standing.withholds() && !self.question.anyway;
        !record.balance.in_use() || withheld || self.in_control() == Some(false)
    }
}
