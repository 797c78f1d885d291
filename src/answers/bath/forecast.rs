//! How long will a bath last?

use super::{BathRecord, NotFollowed};
use crate::answers::adjust::aim_words;
use crate::answers::standing::{Withheld, standing_field};
use crate::answers::{Answer, Description, Field, Form, Gather, Note, Section, Value};
use crate::bath::film::Format;
use crate::bath::forecast::{
    Assumptions, Coefficient, Coefficients, Count, Forecast, LONGEST_DAYS, LOWEST_ACTIVITY,
    MOST_FILMS, NoForecast, Question, Span, Strips, evidence,
};
use crate::bath::history::BathHistory;
use crate::development::aim::Target;
use crate::development::{Measure, Pairing, Unreachable, Wanted};
use crate::elementary::exp_m1;
use crate::measures::{Measured, Quantity};
use crate::words::{degrees, number, rounded_clock, trimmed};
use std::fmt;

const WEEK: f64 = 7.0;

/// The lowest usable activity, and where it comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum Lowest {
    /// As given.
    Given(f64),
    /// Assumed.
    Assumed,
    /// From the longest time that film is developed for.
    Longest {
        /// The activity.
        activity: f64,
        /// The longest time in **minutes**.
        longest: f64,
        /// The time in a fresh bath, in **minutes**.
        fresh: f64,
        /// What is developed for, in words.
        aim: String,
    },
}

/// Why no lowest activity follows from a longest time.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NoLowest {
    /// The aim cannot be reached.
    #[error(transparent)]
    Unreachable(#[from] Unreachable),
    /// A fresh bath needs that long already.
    #[error("a fresh bath already needs {} for the aim, and the longest time is {}", rounded_clock(*.fresh), rounded_clock(*.longest))]
    TooShort {
        /// The longest time in **minutes**.
        longest: f64,
        /// The time in a fresh bath, in **minutes**.
        fresh: f64,
    },
}

impl Lowest {
    /// The activity at which the aim needs the `longest` time in **minutes**, at the temperature of the
    /// pairing.
    ///
    /// # Errors
    /// [`NoLowest`] where a fresh bath does not reach the aim in that time.
    pub fn of_longest(
        pairing: &Pairing,
        measure: Measure,
        target: &Target,
        longest: f64,
    ) -> Result<Self, NoLowest> {
        let wanted = Wanted {
            measure,
            contrast: target.contrast,
            celsius: pairing.reference,
            activity: 1.0,
            extrapolate: false,
        };
        let fresh = pairing.adjust(&wanted)?.minutes.value;
        if fresh >= longest {
            return Err(NoLowest::TooShort { longest, fresh });
        }
        let aim =
            format!("{}, at {}", aim_words(measure, target), degrees(pairing.reference.get()));
        Ok(Self::Longest { activity: fresh / longest, longest, fresh, aim })
    }

    /// The activity.
    #[must_use]
    pub const fn activity(&self) -> f64 {
        match self {
            Self::Given(activity) | Self::Longest { activity, .. } => *activity,
            Self::Assumed => LOWEST_ACTIVITY,
        }
    }

    const fn code(&self) -> &'static str {
        match self {
            Self::Given(_) => "given",
            Self::Assumed => "assumed",
            Self::Longest { .. } => "longest_time",
        }
    }
}

impl fmt::Display for Lowest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Given(_) => f.write_str("as given"),
            Self::Assumed => f.write_str(
                "assumed (development then takes a quarter longer; common practice, no source)",
            ),
            Self::Longest { longest, fresh, aim, .. } => write!(
                f,
                "{aim} then takes {} instead of {}",
                rounded_clock(*longest),
                rounded_clock(*fresh)
            ),
        }
    }
}

/// What is asked.
#[derive(Debug)]
pub struct ForecastQuestion {
    /// The bath.
    pub record: BathRecord,
    /// The film that is developed.
    pub film: Format,
    /// The lowest usable activity.
    pub lowest: Lowest,
    /// Films a week; the pace of the journal where it is not known.
    pub films_per_week: Option<f64>,
    /// Activity that replenishment keeps; the present one where it is not known.
    pub hold: Option<f64>,
    /// Strength of the replenisher, 1 being a fresh bath's; assumed where it is not known.
    pub replenisher: Option<f64>,
    /// Whether to calculate for a bath that is not to be used.
    pub anyway: bool,
}

/// Why a part of the answer is missing.
#[derive(Clone, Debug, PartialEq)]
pub enum Absent {
    /// There is no bath.
    NoBath,
    /// The bath is not to be used.
    Withheld(Withheld),
    /// The strips do not give it.
    Forecast(NoForecast),
}

impl fmt::Display for Absent {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoBath => f.write_str("there is no bath"),
            Self::Withheld(why) => why.fmt(f),
            Self::Forecast(why) => why.fmt(f),
        }
    }
}

/// How long a bath will last.
#[derive(Debug)]
pub struct BathForecast {
    /// What was asked.
    pub question: ForecastQuestion,
    /// What was found, where there is a bath.
    pub found: Option<Found>,
}

/// What was found of a bath.
#[derive(Debug)]
pub struct Found {
    /// The forecast.
    pub forecast: Forecast,
    /// The life of the bath, for its dates.
    pub life: BathHistory,
    /// Volume of the bath now, in **litres**.
    pub litres: f64,
    asked: Question,
}

impl BathForecast {
    /// Follows the bath and looks ahead.
    ///
    /// # Errors
    /// [`NotFollowed`] where the entries of the journal contradict each other.
    pub fn of(question: ForecastQuestion) -> Result<Self, NotFollowed> {
        if !question.record.balance.in_use() {
            return Ok(Self { question, found: None });
        }
        let mut assumptions = Assumptions::default();
        if let Some(strength) = question.replenisher {
            assumptions.replenisher = strength;
        }
        let (life, bath) = question.record.follow(&assumptions)?;
        let asked = Question {
            film_m2: question.film.area_m2(),
            limit: Some(question.lowest.activity()),
            films_per_day: question.films_per_week.map(|n| n / WEEK),
            hold: question.hold,
            ..Question::default()
        };
        let forecast = bath.answer(&asked);
        let found = Some(Found { forecast, life, litres: bath.litres, asked });
        Ok(Self { question, found })
    }

    /// A part of the forecast, or why it is missing. A number of films or a date is withheld where the
    /// bath is not to be used.
    fn part<T: Copy>(
        &self,
        is_plan: bool,
        of: impl Fn(&Forecast) -> &Result<T, NoForecast>,
    ) -> Result<T, Absent> {
        let standing = &self.question.record.standing;
        let Some(found) = &self.found else { return Err(Absent::NoBath) };
        if is_plan && standing.withholds() && !self.question.anyway {
            return Err(Absent::Withheld(Withheld(standing.clone())));
        }
        (*of(&found.forecast)).map_err(Absent::Forecast)
    }

    /// Films left at the pace.
    ///
    /// # Errors
    /// Why they are not known or not given.
    pub fn films_left(&self) -> Result<Count, Absent> {
        self.part(true, |f| &f.films_left)
    }

    /// Films left if they are all developed now.
    ///
    /// # Errors
    /// Why they are not known or not given.
    pub fn films_left_today(&self) -> Result<Count, Absent> {
        self.part(true, |f| &f.films_left_now)
    }

    /// The activity now.
    ///
    /// # Errors
    /// Why it is not known.
    pub fn activity(&self) -> Measured<Absent> {
        self.part(false, |f| &f.activity)
    }

    fn pace(&self) -> String {
        match self.part(false, |f| &f.films_per_day) {
            Ok(pace) => {
                format!(" of {}, at {} a week", self.question.film, trimmed(pace * WEEK, 1))
            }
            Err(_) => String::new(),
        }
    }

    /// A date so many days ahead; `None` where that is later than ten years.
    fn date(&self, days: f64) -> Option<String> {
        let life = &self.found.as_ref()?.life;
        let now = life.day(self.question.record.on);
        (days < LONGEST_DAYS).then(|| life.date(now + days).to_string())
    }

    fn dates(&self, span: &Span) -> Value {
        let date = |days| match self.date(days) {
            Some(date) => Value::from(date),
            None => Value::Missing.worded("later than ten years"),
        };
        let [value, low, high] = [span.median, span.low, span.high].map(date);
        let words =
            format!("{} ({} to {})", value.for_people(), low.for_people(), high.for_people());
        Value::Map(vec![("value".into(), value), ("low".into(), low), ("high".into(), high)])
            .worded(words)
    }

    /// Adds one part: its value, or nothing with the reason among the notes.
    fn add<T: Copy>(
        all: &mut Description,
        key: &'static str,
        label: String,
        part: &Result<T, Absent>,
        value: impl FnOnce(&T) -> Value,
    ) {
        match part {
            Ok(part) => all.field(key, label, value(part)),
            // One reason for several things is said once.
            Err(why) if all.notes.iter().any(|n| n.words == why.to_string()) => {
                all.data(key, Value::Missing);
            }
            Err(why) => {
                all.field(key, label.clone(), Value::Missing);
                all.notes.push(Note::missing(key, label, why));
            }
        }
    }
}

fn count(c: &Count, after: &str) -> Value {
    let one = |n: u32| match n {
        n if n >= MOST_FILMS => Value::from(n).worded(format!("{MOST_FILMS} or more")),
        n => n.into(),
    };
    let [value, low, high] = [c.median, c.low, c.high].map(one);
    let words =
        format!("{} ({} to {}){after}", value.for_people(), low.for_people(), high.for_people());
    Value::Map(vec![("value".into(), value), ("low".into(), low), ("high".into(), high)])
        .worded(words)
}

/// The share of the activity that so much of a cause takes.
fn share(c: &Coefficient, amount: f64) -> Value {
    let of = |v: f64| -exp_m1(-v * amount);
    let q = &c.quantity;
    let shares = Quantity { value: of(q.value), low: of(q.low), high: of(q.high) };
    let value = Value::quantity_as(&shares, Form::Percent(2));
    let assumed = if c.assumed { ", mostly assumed" } else { "" };
    let words = format!("{}{assumed}", value.for_people());
    value.worded(words)
}

fn coefficients(c: &Coefficients) -> Section {
    let mut section = Section::default().keyed("coefficients");
    for (key, c) in [("by_use", &c.by_use), ("by_age", &c.by_age), ("dispersion", &c.dispersion)] {
        let fields = vec![
            ("quantity".into(), Value::quantity(&c.quantity)),
            ("said".into(), Value::number(c.said, 3)),
            ("assumed".into(), c.assumed.into()),
        ];
        section.data(key, Value::Map(fields));
    }
    section
}

impl Answer for BathForecast {
    fn describe(&self) -> Description {
        let q = &self.question;
        let record = &q.record;
        let mut all = Description::new(record.title());
        all.first = Some(standing_field(&record.standing));
        all.subtitle = Some(super::in_words(&record.balance, record.on));
        all.heading.push(Field::new("bath", "journal", record.file.as_str()));
        all.heading.push(Field::new("on", "day", record.on));
        let pace = self.pace();
        let left = self.films_left();
        Self::add(&mut all, "films_left", "films left".into(), &left, |c| count(c, &pace));
        let today = self.films_left_today();
        let label = "films left if all are developed today";
        Self::add(&mut all, "films_left_today", label.into(), &today, |c| count(c, ""));
        let until = self.part(true, |f| &f.days_left);
        let label = "lasts until, without replenishment";
        Self::add(&mut all, "until", label.into(), &until, |span| self.dates(span));
        let by_age = self.part(true, |f| &f.days_left_unused);
        let label = "lasts until, by age alone";
        Self::add(&mut all, "until_by_age", label.into(), &by_age, |span| self.dates(span));
        let activity = self.activity();
        Self::add(&mut all, "activity", "activity now".into(), &activity, |a| {
            Value::quantity_as(a, Form::Decimals(3))
        });
        let lowest = q.lowest.activity();
        let words = format!("{}: {}", number(lowest, 3), q.lowest);
        all.field(
            "lowest_activity",
            "lowest usable activity",
            Value::number(lowest, 3).worded(words),
        );
        all.data("lowest_activity_from", q.lowest.code());
        let hold = q.hold.or(activity.as_ref().ok().map(|a| a.value));
        let label = match hold {
            Some(hold) => format!("replenisher after each film to keep {}", number(hold, 2)),
            None => "replenisher after each film".to_owned(),
        };
        let replenisher = self.part(true, |f| &f.replenishment_ml);
        Self::add(&mut all, "replenishment_ml_per_film", label, &replenisher, |ml| {
            Value::quantity_as(ml, Form::Decimals(0)).unit(" ml")
        });
        all.data("films", Value::Count(i64::try_from(record.balance.films).unwrap_or(i64::MAX)));
        all.data("area_m2", Value::plain(record.balance.area_m2, 4));
        all.data("age_days", record.balance.age_days(record.on));
        all.data("film", q.film.to_string());
        let per_week = self.part(false, |f| &f.films_per_day).ok();
        all.data("films_per_week", per_week.map(|p| Value::number(p * WEEK, 1)));
        let known = self.part(false, |f| &f.coefficients).ok();
        if let (Some(c), Some(found)) = (&known, &self.found) {
            let film = q.film.area_m2() / found.litres;
            all.field("lost_per_film", "a film takes of the activity", share(&c.by_use, film));
            all.field("lost_per_week", "a week takes of it", share(&c.by_age, WEEK));
        }
        match &known {
            Some(c) => all.add(coefficients(c)),
            None => all.data("coefficients", Value::Missing),
        }
        self.rests_on(&mut all);
        all
    }

    fn is_no(&self) -> bool {
        let spent = |count: Result<Count, Absent>| match count {
            Ok(count) => count.median == 0,
            Err(why) => !matches!(why, Absent::Forecast(_)),
        };
        spent(self.films_left()) || spent(self.films_left_today())
    }
}

impl BathForecast {
    /// The strips, the levels of the intervals, and what is assumed.
    fn rests_on(&self, all: &mut Description) {
        let counts = |s: &Strips| {
            let entries = [("present", s.present), ("earlier", s.earlier)];
            Value::Map(entries.map(|(key, n)| (key.into(), n.into())).to_vec())
        };
        let none = Strips { present: 0, earlier: 0 };
        let (strips, leaders) = match &self.found {
            Some(found) => (found.forecast.strips, found.forecast.leaders),
            None => (none, none),
        };
        let present = evidence(strips.present, leaders.present);
        let earlier = match leaders.earlier {
            0 => strips.earlier.to_string(),
            n => evidence(strips.earlier, n),
        };
        match strips.present + strips.earlier + leaders.present + leaders.earlier {
            0 => all.data("strips", counts(&none)),
            _ => {
                let words = format!("{present} of this bath, {earlier} of earlier ones");
                all.field("strips", "rests on", counts(&strips).worded(words));
            }
        }
        all.data("leaders", counts(&leaders));
        let Some(found) = &self.found else {
            return all.data("interval_level", Value::Missing);
        };
        let level = found.asked.level;
        all.data(
            "interval_level",
            Value::Map(vec![
                ("films_left".into(), Value::number(level, 2)),
                ("until".into(), Value::number(level, 2)),
                ("others".into(), Value::number(0.95, 2)),
            ]),
        );
        all.notes(&found.forecast.notes);
        if self.films_left().is_ok() || self.films_left_today().is_ok() {
            all.note(format_args!(
                "intervals of films and dates are of {:.0} %, the others of 95 %",
                100.0 * level
            ));
        }
    }
}
