//! Does a bath still develop to spec, and if not, can a longer time restore it?

use super::{Answer, Block, Column, Description, Field, Form, Gather, Note, Section, Table, Value};
use crate::bath::limits::{Allowed, Limits, LimitsFrom, Verdict};
use crate::bath::verify::{
    Action, Change, ControlStrip, Detail, NoTime, Verification, Verifier, VerifyError,
    WatchedReading,
};
use crate::bath::watched::Watched;
use crate::development::agitation::OtherAgitation;
use crate::development::materials::{Materials, OfAnother};
use crate::development::{Measure, Pairing};
#[cfg(feature = "figures")]
use crate::figures::{Chart, control_strip};
use crate::measures::StripAnalysis;
#[cfg(feature = "figures")]
use crate::readings::ExposureScale;
use crate::readings::Strip;
use crate::units::day::{NotADay, day, order};
use crate::units::{Celsius, Minutes};
use crate::words::{counted, number, rounded_clock, shown, signed};
use jiff::civil::Date;

/// What protects people where a bath is thrown away.
const DISPOSAL: &str =
    "before you throw a bath away, read the maker's safety sheet and the local rules for disposal";

/// A control strip with its development.
#[derive(Debug)]
pub struct Control {
    /// Its readings and curve.
    pub analysis: StripAnalysis,
    /// How long it was developed.
    pub minutes: Minutes,
    /// At what temperature.
    pub celsius: Celsius,
}

/// What is asked: control strips in the order of time.
#[derive(Debug)]
pub struct VerifyQuestion<'a> {
    /// What the pairing is called.
    pub name: String,
    /// The film and the developer that it is of.
    pub materials: Materials,
    /// Compare strips of another film or developer all the same.
    pub anyway: bool,
    /// The pairing.
    pub pairing: &'a Pairing,
    /// The measure of contrast that is watched.
    pub measure: Measure,
    /// How far what is watched may lie from its aim.
    pub limits: Limits,
    /// The strips.
    pub strips: Vec<Control>,
}

/// A strip that cannot be compared with the pairing.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{file}: strip {name:?}: {why}")]
pub struct NotVerified {
    /// The file of its readings.
    pub file: String,
    /// Its name.
    pub name: String,
    /// Why.
    pub why: VerifyError,
}

/// A control strip with its verification.
#[derive(Clone, Debug)]
pub struct Verified {
    /// Its name.
    pub name: String,
    /// The date in its readings, as written.
    pub date: Option<String>,
    /// The file of its readings, and the line of the first.
    pub place: (String, u32),
    /// What it is of that the pairing is not.
    pub others: Vec<OfAnother>,
    /// Its agitation, where that is another than the pairing's.
    pub agitation: Option<OtherAgitation>,
    /// How long it was developed.
    pub minutes: Minutes,
    /// At what temperature.
    pub celsius: Celsius,
    /// What it shows of the bath.
    pub verification: Verification,
}

/// A date of readings that is no day.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{file}:{line}, column \"date\": {} {why}", shown(.found))]
pub struct NoDay {
    /// The file.
    pub file: String,
    /// The line.
    pub line: u32,
    /// What stands there.
    pub found: String,
    /// Why it is no day.
    pub why: NotADay,
}

/// The line of a strip's first reading.
fn first_line(strip: &Strip) -> u32 {
    strip.unexposed.iter().chain(&strip.readings).map(|r| r.line).min().unwrap_or(1)
}

/// Control strips of a pairing, verified. The last of them is that of the bath as it is now.
#[derive(Clone, Debug)]
pub struct Verifications {
    /// What the pairing is called.
    pub pairing: String,
    /// Whether exposures are in lux seconds.
    pub absolute: bool,
    /// The limits of all strips.
    pub limits: Limits,
    /// What the bath is of that the pairing is not.
    pub others: Vec<OfAnother>,
    /// The strips before the last.
    pub earlier: Vec<Verified>,
    /// The last strip.
    pub last: Verified,
}

impl Verifications {
    /// Verifies all strips, or none where one cannot be; `None` where there are none.
    ///
    /// # Errors
    /// [`NotVerified`] for the first strip that cannot be compared with the pairing.
    pub fn of(question: VerifyQuestion<'_>) -> Result<Option<Self>, NotVerified> {
        let VerifyQuestion { name, materials, anyway, pairing, measure, limits, strips } = question;
        let verifier = Verifier { pairing, measure, limits };
        let verified = |control: &Control| {
            let Control { analysis, minutes, celsius } = control;
            let strip = &analysis.strip;
            let own = Materials::of_strips(std::slice::from_ref(strip));
            let others = materials.differences(&own, "the strip is");
            let failed =
                |why| NotVerified { file: strip.source.clone(), name: strip.name.clone(), why };
            if let Some(other) = others.first().filter(|_| !anyway) {
                return Err(failed(VerifyError::OfAnother(Box::new(other.clone()))));
            }
            let agitation = pairing.agitated_otherwise(strip.labels.agitation.as_deref());
            let developed = ControlStrip { analysis, minutes: *minutes, celsius: *celsius };
            let verification = verifier.verify(&developed).map_err(failed)?;
            Ok(Verified {
                name: strip.name.clone(),
                date: strip.labels.date.clone(),
                place: (strip.source.clone(), first_line(strip)),
                others,
                agitation,
                minutes: *minutes,
                celsius: *celsius,
                verification,
            })
        };
        let mut earlier: Vec<Verified> = strips.iter().map(verified).collect::<Result<_, _>>()?;
        let limits = verifier.limits;
        Ok(earlier.pop().map(|last| Self {
            pairing: name,
            absolute: pairing.absolute,
            limits,
            others: Vec::new(),
            earlier,
            last,
        }))
    }

    /// The day of each strip by the dates in the readings; `None` where there is no date. Other dates of
    /// the same file show whether day or month comes first where only numbers and strokes are written.
    ///
    /// # Errors
    /// [`NoDay`] for the first date that is none.
    pub fn days(&self) -> Result<Vec<Option<Date>>, NoDay> {
        let dates = |file: &str| {
            let of_file = self.strips().filter(move |s| s.place.0 == *file);
            order(of_file.filter_map(|s| s.date.as_deref()).collect::<Vec<_>>())
        };
        let one = |strip: &Verified| {
            let (file, line) = &strip.place;
            let Some(found) = &strip.date else { return Ok(None) };
            match day(found, dates(file)) {
                Ok((date, _)) => Ok(Some(date)),
                Err(why) => {
                    Err(NoDay { file: file.clone(), line: *line, found: found.clone(), why })
                }
            }
        };
        self.strips().map(one).collect()
    }

    /// All strips, in their order.
    pub fn strips(&self) -> impl Iterator<Item = &Verified> {
        self.earlier.iter().chain([&self.last])
    }

    /// How many strips are out of spec.
    #[must_use]
    pub fn out_of_spec(&self) -> usize {
        self.strips().filter(|s| !s.verification.in_spec).count()
    }

    /// The figure of the last strip.
    #[must_use]
    #[cfg(feature = "figures")]
    pub fn figure(&self) -> Chart {
        let scale = match self.absolute {
            true => ExposureScale::Absolute,
            false => ExposureScale::Relative,
        };
        control_strip(&self.last.name, &self.development(), scale, &self.last.verification)
    }

    fn development(&self) -> String {
        format!("{}, {} min at {} °C", self.pairing, self.last.minutes, self.last.celsius)
    }

    /// The main numbers of every strip, for people.
    fn overview(&self) -> Table {
        let mut table = Table::new(vec![
            Column::new("strip", "strip"),
            Column::new("activity", "activity"),
            Column::new("contrast", "contrast off aim"),
            Column::new("base_plus_fog", "fog off aim"),
            Column::new("speed_gain_log_h", "speed off aim"),
            Column::new("action", "what to do"),
        ]);
        for strip in self.strips() {
            let v = &strip.verification;
            let off = |what| {
                let q = v.of(what).and_then(|w| w.deviation.as_ref().ok());
                q.map(|q| Value::in_form(q.value, Form::SignedDecimals(3))).into()
            };
            table.row(vec![
                strip.name.as_str().into(),
                Value::number(v.activity.value, 3),
                off(Watched::Contrast),
                off(Watched::BasePlusFog),
                off(Watched::Speed),
                v.advice.action.code().into(),
            ]);
        }
        table
    }

    fn limits(&self) -> Section {
        let mut section = Section::default().keyed("limits");
        section.data("source", self.limits.from.code());
        for (quantity, allowed) in self.limits.iter() {
            section.data(quantity.code(), allowed_value(allowed));
        }
        section
    }
}

impl Answer for Verifications {
    fn describe(&self) -> Description {
        let (v, name) = (&self.last.verification, &self.last.name);
        let mut all = Description::new(format!("Control strip {name}: {}", headline(v)));
        all.subtitle = Some(self.development());
        let several = self.earlier.len() + 1;
        if several > 1 {
            let count = counted(several, "control strip");
            let out = match self.out_of_spec() {
                0 => "all in spec".to_owned(),
                out => format!("{out} out of spec"),
            };
            all.line(format!("The last of {count}, {out}."), Vec::new());
        }
        all.heading.push(Field::new("pairing", "pairing", self.pairing.as_str()));
        self.last.heading(&mut all.heading);
        self.last.body(&self.limits, &mut all);
        all.add(self.limits());
        let mut programs = Vec::new();
        let items = self.strips().map(|s| s.section(&self.limits)).collect();
        programs.push(Block::Sections { key: "strips".into(), items });
        let people = match several {
            1 => Vec::new(),
            _ => vec![Block::Table(self.overview().titled("all strips"))],
        };
        all.add(Block::Twofold { people, programs });
        all.notes(&self.others);
        if several == 1 {
            all.notes.extend(self.last.notes());
        } else {
            let of = |s: &Verified| s.notes().into_iter().map(|n| (s.name.clone(), n)).collect();
            let notes = self.strips().flat_map(|s| -> Vec<(String, Note)> { of(s) });
            all.notes.extend(Note::merged(notes.collect()));
        }
        all.note(format_args!("limits: {}", self.limits.from));
        if v.advice.action == Action::Replace {
            all.caution(DISPOSAL);
        }
        all
    }

    fn is_no(&self) -> bool {
        self.out_of_spec() > 0
    }
}

impl Verified {
    fn heading(&self, fields: &mut Vec<Field>) {
        fields.push(Field::new("strip", "strip", self.name.as_str()));
        fields.push(Field::new("date", "date", self.date.clone()));
        let minutes = Value::plain(self.minutes.get(), 2).unit(" min");
        fields.push(Field::new("minutes", "developed for", minutes));
        let celsius = Value::plain(self.celsius.get(), 2).unit(" °C");
        fields.push(Field::new("celsius", "temperature", celsius));
    }

    /// All that is known of the strip.
    fn section(&self, limits: &Limits) -> Section {
        let mut section = Section { notes: Some(self.notes()), ..Section::default() };
        self.heading(&mut section.heading);
        self.body(limits, &mut section);
        section
    }

    fn body(&self, limits: &Limits, to: &mut impl Gather) {
        let v = &self.verification;
        let in_spec = match v.in_spec {
            true => "yes".to_owned(),
            false => format!("no: {}", v.advice.out_in_words()),
        };
        to.leading("in_spec", "in spec", Value::from(v.in_spec).worded(in_spec));
        let action = format!("{}: {}", v.advice.action, v.advice.because);
        to.field("action", "what to do", Value::term(v.advice.action.code(), action));
        to.data("reason", v.advice.because.code());
        to.field("activity", "activity", Value::quantity_as(&v.activity, Form::Decimals(3)));
        let restores = match &v.minutes_to_restore {
            Ok(_) => "yes".to_owned(),
            Err(why) => format!("no: {why}"),
        };
        let value = Value::from(v.time_can_restore()).worded(restores);
        to.field("time_can_restore", "time restores the aim", value);
        match &v.minutes_to_restore {
            Ok(q) => to.field("minutes_to_restore", "time for the aim", Value::time(q)),
            Err(_) => to.data("minutes_to_restore", Value::Missing),
        }
        let why = v.minutes_to_restore.as_ref().err().map(NoTime::code);
        to.data("not_restorable", why);
        to.add(self.watched(limits));
        to.data("change", change(&v.change));
    }

    fn watched(&self, limits: &Limits) -> Table {
        let allowed = match limits.from {
            LimitsFrom::Assumed => "limits (assumed)",
            _ => "limits",
        };
        let mut table = Table::new(vec![
            Column::new("what", "").for_programs(),
            Column::new("name", "watched"),
            Column::new("step_log_h", "").for_programs(),
            Column::new("reading", "strip"),
            Column::new("aim", "aim"),
            Column::new("deviation", "off aim").lifted("deviations"),
            Column::new("allowed", allowed),
            Column::new("verdict", "").for_programs(),
        ])
        .keyed("watched");
        for w in &self.verification.watched {
            table.keyed_row(w.what.code(), row(w));
        }
        table
    }

    fn notes(&self) -> Vec<Note> {
        let v = &self.verification;
        let mut notes: Vec<Note> = self.others.iter().map(Note::remark).collect();
        notes.extend(self.agitation.iter().map(Note::remark));
        notes.extend(v.notes.iter().map(Note::remark));
        for w in &v.watched {
            if let Err(why) = w.deviation {
                notes.push(Note::missing(w.what.code(), w.name(), why));
            } else if let Err(why) = w.reading {
                let label = format!("{} by the strip alone", w.name());
                notes.push(Note::missing(w.what.code(), label, why));
            }
        }
        notes
    }
}

/// What matters most, in a few words.
fn headline(v: &Verification) -> String {
    match (v.in_spec, v.advice.action, &v.minutes_to_restore) {
        (true, ..) => "in spec".to_owned(),
        (false, Action::Lengthen | Action::Shorten, Ok(q)) => {
            format!("out of spec, develop {}", rounded_clock(q.value))
        }
        (false, Action::Use, _) => "near its limits, develop a second one".to_owned(),
        (false, action, _) => format!("out of spec, {action} the bath"),
    }
}

fn row(w: &WatchedReading) -> Vec<Value> {
    let decimals = match w.detail {
        Detail::Step(_) => 2,
        _ if w.what == Watched::DensityDifference => 2,
        _ => 3,
    };
    let step = match w.detail {
        Detail::Step(x) => Value::number(x, 2),
        _ => Value::Empty,
    };
    let reading =
        w.reading.as_ref().ok().map(|q| Value::quantity(q).worded(number(q.value, decimals)));
    let deviation = w.deviation.as_ref().ok();
    vec![
        w.what.code().into(),
        w.name().into(),
        step,
        reading.into(),
        w.aim.map(|aim| Value::number(aim, decimals)).into(),
        deviation.map(|q| Value::quantity_as(q, Form::SignedDecimals(3))).into(),
        match (&w.allowed, w.verdict) {
            (None, _) => Value::Empty,
            (Some(allowed), Some(Verdict::Within)) => allowed_value(allowed),
            (Some(allowed), verdict) => {
                let value = allowed_value(allowed);
                let words = format!("{}, {}", value.for_people(), verdict_words(verdict));
                value.worded(words)
            }
        },
        w.verdict.map(|v| verdict_words(Some(v))).into(),
    ]
}

const fn verdict_words(verdict: Option<Verdict>) -> &'static str {
    match verdict {
        Some(Verdict::Within) => "within",
        Some(Verdict::Below) => "below",
        Some(Verdict::Above) => "above",
        None => "not judged",
    }
}

/// How far a reading may lie from its aim: `±0.05`, `−0.10 to +0.05`, `to +0.03`.
fn allowed_value(a: &Allowed) -> Value {
    let signed = |v: f64| signed(v, 2);
    let words = match (a.lower(), a.upper()) {
        (Some(l), Some(u)) if (l + u).abs() < 1e-12 => format!("±{u:.2}"),
        (Some(l), Some(u)) => format!("{} to {}", signed(l), signed(u)),
        (Some(l), None) => format!("from {}", signed(l)),
        (None, u) => format!("to {}", u.map(signed).unwrap_or_default()),
    };
    let side = |v: Option<f64>| v.map(|v| Value::in_form(v, Form::SignedDecimals(2))).into();
    Value::Map(vec![("lower".into(), side(a.lower())), ("upper".into(), side(a.upper()))])
        .worded(words)
}

fn change(change: &Change) -> Value {
    let kind = |kind: &'static str| ("kind".into(), kind.into());
    Value::Map(match change {
        Change::Nothing => vec![kind("none")],
        Change::Shifted { fog, speed_gain } => vec![
            kind("shifted"),
            ("fog".into(), Value::deviation(fog)),
            (Watched::Speed.code().into(), Value::deviation(speed_gain)),
        ],
        Change::Shape { residual } => {
            vec![kind("shape"), ("residual_sd".into(), Value::number(*residual, 3))]
        }
    })
}
