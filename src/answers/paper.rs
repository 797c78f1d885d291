//! What speed, range and grade has a paper, and which setting gives a wanted range?

use super::curve::{model, suspects, three_decimals};
use super::{Answer, Block, Column, Description, Field, Form, Gather, Note, Section, Table, Value};
use crate::curve::Choice;
#[cfg(feature = "figures")]
use crate::figures::{Chart, paper_curves};
use crate::measures::{Measured, Quantity};
use crate::printing::PaperMeasures;
use crate::printing::grade::GRADES_ASSUMED;
use crate::printing::iso_6846::{printed_range, printed_speed};
use crate::printing::settings::{Chosen, NoSetting};
use crate::printing::{Grade, NoGrade, PaperStrip, Settings, analyse_papers, name};
use crate::readings::{ExposureScale, Strip};
use crate::words::{speed_decimals, trimmed};

/// A paper, at one setting or several.
#[derive(Debug)]
pub struct Papers {
    /// The strips, each with its curve or the reason why it has none.
    pub strips: Vec<PaperStrip>,
    /// The range that was wanted, and the setting that gives it.
    pub wanted: Option<WantedRange>,
}

/// A range that was wanted.
#[derive(Clone, Debug)]
pub struct WantedRange {
    /// The range R.
    pub range_r: f64,
    /// The setting, or why none gives it.
    pub setting: Result<Chosen, NoSetting>,
}

impl Papers {
    /// Fits and measures strips of paper, and finds the setting for a wanted range R.
    #[must_use]
    pub fn of(strips: Vec<Strip>, choice: Choice, wanted_range_r: Option<f64>) -> Self {
        let strips = analyse_papers(strips, choice);
        let wanted = wanted_range_r.map(|range_r| WantedRange {
            range_r,
            setting: Settings::of(&strips).for_range(range_r),
        });
        Self { strips, wanted }
    }

    /// The strips that have no curve.
    pub fn unusable(&self) -> impl Iterator<Item = &PaperStrip> {
        self.strips.iter().filter(|p| p.result.is_err())
    }

    fn title(&self) -> String {
        match (name(&self.strips), self.strips.as_slice()) {
            (Some(name), [_]) => name.to_owned(),
            (Some(name), several) => format!("{name}: {} strips", several.len()),
            (None, [only]) => format!("Paper curve of {}", only.strip.name),
            (None, several) => format!("Paper curves of {} strips", several.len()),
        }
    }

    /// The figure of the curves.
    #[must_use]
    #[cfg(feature = "figures")]
    pub fn figure(&self) -> Chart {
        paper_curves(&self.strips)
    }

    fn setting(&self, all: &mut Description) {
        let Some(wanted) = &self.wanted else {
            return all.data("setting", Value::Missing);
        };
        let mut section = Section::default().keyed("setting");
        let range = Value::plain(wanted.range_r, 1);
        section.field("wanted_range_r", "wanted range R", range);
        match &wanted.setting {
            Ok(chosen) => setting_fields(&mut section, chosen),
            Err(why) => {
                section.field("between", "setting", Value::Missing);
                section.data("nearest", Value::Missing);
                section.data("nearest_range_r", Value::Missing);
                all.notes.push(Note::missing("setting", "setting", why));
            }
        }
        all.add(section);
    }

    /// One row a strip, for people.
    fn table(&self) -> (Table, Vec<Note>) {
        let columns = ["setting", "range R", "speed P", "Dmin", "Dmax", "gradient", "grade"];
        let mut table = Table::new(columns.map(|label| Column::new(label, label)).to_vec());
        let mut notes = Vec::new();
        for strip in &self.strips {
            let name = strip.setting();
            let mut own = strip_notes(strip);
            let mut cells = vec![Value::from(name)];
            let m = strip.measures();
            let mut cell =
                |label: &'static str, value: Option<&Measured>, form: fn(&Quantity) -> Value| {
                    let Some(value) = value else { return cells.push(Value::Missing) };
                    let (field, note) = Field::measured(label, label, value, form);
                    cells.push(field.value);
                    own.extend(note);
                };
            cell("range R", m.map(|m| &m.range_r), whole);
            cell("speed P", m.map(|m| &m.speed_p), speed);
            cell("minimum density", m.map(|m| &m.d_min), bare);
            cell("maximum density", m.map(|m| &m.d_max), bare);
            cell("average gradient", m.map(|m| &m.average_gradient), bare);
            let (grade, note) = grade(m.and_then(|m| m.range_r.as_ref().ok()));
            cells.push(grade.map_or(Value::Missing, |g| grade_words(g).into()));
            own.extend(note);
            table.row(cells);
            notes.extend(own.into_iter().map(|note| (name.to_owned(), note)));
        }
        (table, Note::merged(notes))
    }
}

/// The setting between those measured, and the nearest of them.
pub(super) fn setting_fields(section: &mut Section, chosen: &Chosen) {
    let between = chosen.between.as_ref().map(|q| Value::quantity_as(q, Form::Decimals(1)));
    section.field("between", "setting", between);
    section.field("nearest", "nearest setting measured", chosen.nearest.label.as_str());
    section.field("nearest_range_r", "its range R", whole(&chosen.nearest.range_r));
}

const fn whole(q: &Quantity) -> Value {
    Value::quantity_as(q, Form::Decimals(0))
}

fn speed(q: &Quantity) -> Value {
    Value::quantity_as(q, Form::Decimals(speed_decimals(q.value)))
}

const fn two_decimals(q: &Quantity) -> Value {
    Value::quantity_as(q, Form::Decimals(2))
}

const fn bare(q: &Quantity) -> Value {
    Value::number(q.value, 2)
}

/// The grade of a range, where it has one, or the note why not.
fn grade(range: Option<&Quantity>) -> (Option<Grade>, Option<Note>) {
    match range.map(|r| Grade::of(r.value)) {
        None => (None, None),
        Some(Ok(grade)) => (Some(grade), None),
        Some(Err(why)) => (None, Some(no_grade(why))),
    }
}

pub(super) fn no_grade(why: NoGrade) -> Note {
    Note::missing("grade", "grade", why)
}

pub(super) fn grade_words(grade: Grade) -> String {
    format!("{} ({})", grade.number, grade.label)
}

/// A grade as an object of its own.
pub(super) fn grade_value(grade: Grade) -> Value {
    Value::Map(vec![
        ("number".into(), i64::from(grade.number).into()),
        ("label".into(), grade.label.into()),
        ("table".into(), "ANSI PH2.2-1966".into()),
        ("limits_assumed".into(), true.into()),
    ])
    .worded(grade_words(grade))
}

fn strip_notes(strip: &PaperStrip) -> Vec<Note> {
    let mut notes: Vec<Note> = strip.strip.notes.iter().map(Note::remark).collect();
    match &strip.result {
        Err(error) => notes.push(Note::remark(error)),
        Ok(paper) => notes.extend(paper.fit.notes.iter().map(Note::remark)),
    }
    notes
}

impl Answer for Papers {
    fn describe(&self) -> Description {
        let mut all = Description::new(self.title());
        let sections: Vec<Section> = self.strips.iter().map(strip_section).collect();
        let measures = match self.strips.as_slice() {
            [only] => only.measures(),
            several => {
                let words = format!("{} strips: see strips", several.len());
                all.notes.push(Note::for_programs_only(words));
                None
            }
        };
        let known = |value: Option<&Measured>| value.and_then(|v| v.as_ref().ok()).map(whole);
        all.data("speed_p", known(measures.map(|m| &m.speed_p)));
        all.data("range_r", known(measures.map(|m| &m.range_r)));
        all.data("d_min", known(measures.map(|m| &m.d_min)));
        all.data("d_max", known(measures.map(|m| &m.d_max)));
        self.setting(&mut all);
        let graded = self.strips.iter().filter_map(|s| s.measures()?.range_r.as_ref().ok());
        let graded = graded.filter(|r| Grade::of(r.value).is_ok()).count() > 0;
        let programs = vec![Block::Sections { key: "strips".into(), items: sections.clone() }];
        let people = match sections.as_slice() {
            [only] => vec![only.clone().into()],
            _ => {
                let (table, notes) = self.table();
                vec![
                    Section {
                        blocks: vec![table.into()],
                        notes: Some(notes),
                        ..Section::default()
                    }
                    .into(),
                ]
            }
        };
        all.add(Block::Twofold { people, programs });
        if graded {
            all.note(GRADES_ASSUMED);
        }
        all
    }

    fn is_no(&self) -> bool {
        self.wanted.as_ref().is_some_and(|w| w.setting.is_err())
    }
}

/// All that is known of one strip.
fn strip_section(analysis: &PaperStrip) -> Section {
    let strip = &analysis.strip;
    let labels = &strip.labels;
    let setting = labels.filter.as_ref().map(|f| format!("setting {f}"));
    let parts = [labels.film.clone(), setting, labels.developer.clone(), labels.date.clone()];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    let mut section = Section::titled(match parts.is_empty() {
        true => format!("strip {}", strip.name),
        false => format!("strip {}: {}", strip.name, parts.join(", ")),
    });
    section.heading.push(Field::new("strip", "strip", strip.name.as_str()));
    for (key, text) in [
        ("paper", &labels.film),
        ("filter", &labels.filter),
        ("developer", &labels.developer),
        ("date", &labels.date),
        ("note", &labels.note),
    ] {
        if let Some(text) = text {
            let field = Field::new(key, key, text.as_str());
            if key == "note" { section.add(field) } else { section.heading.push(field) }
        }
    }
    section.field("n", "readings", strip.readings.len() + strip.unexposed.len());
    section.field("absolute", "exposures in lux·s", strip.scale == ExposureScale::Absolute);
    let mut notes = strip_notes(analysis);
    match &analysis.result {
        Ok(paper) => section.add(model(&paper.fit)),
        Err(_) => section.field("model", "curve", Value::Missing),
    }
    let log_h = match strip.scale {
        ExposureScale::Absolute => "log H (lux·s)",
        ExposureScale::Relative => "relative log H",
    };
    let m = analysis.measures();
    let mut row = |key: &'static str,
                   label: String,
                   value: Option<&Measured>,
                   form: fn(&Quantity) -> Value| {
        match value {
            Some(value) => section.measured(&mut notes, key, label, value, form),
            None => section.data(key, Value::Missing),
        }
    };
    let range = "range R (100 × log exposure from T to S)".to_owned();
    row("speed_p", "paper speed P (1000/Hm)".into(), m.map(|m| &m.speed_p), speed);
    row("range_r", range, m.map(|m| &m.range_r), whole);
    row("d_min", "minimum density".into(), m.map(|m| &m.d_min), three_decimals);
    row("d_max", "maximum density".into(), m.map(|m| &m.d_max), three_decimals);
    let gradient = "average gradient from T to S".to_owned();
    row("average_gradient", gradient, m.map(|m| &m.average_gradient), two_decimals);
    row("gamma", "greatest slope".into(), m.map(|m| &m.gamma), two_decimals);
    let point = |name: &str| format!("{name}, {log_h}");
    row("highlight_log_h", point("highlight point T"), m.map(|m| &m.highlight), three_decimals);
    row("speed_point_log_h", point("speed point m"), m.map(|m| &m.speed_point), three_decimals);
    row("shadow_log_h", point("shadow point S"), m.map(|m| &m.shadow), three_decimals);
    let shadow = "density of the shadow point".to_owned();
    row("shadow_density", shadow, m.map(|m| &m.shadow_density), three_decimals);
    let (grade, note) = grade(m.and_then(|m| m.range_r.as_ref().ok()));
    notes.extend(note);
    let value = |of: fn(&PaperMeasures) -> &Measured| m.and_then(|m| of(m).as_ref().ok());
    let speed = value(|m| &m.speed_p).and_then(|p| printed_speed(p.value));
    let range = value(|m| &m.range_r).and_then(|r| printed_range(r.value));
    let speed = speed.map(|p| Value::plain(p, 2).worded(format!("ISO P{}", trimmed(p, 2))));
    section.field("speed_p_rounded", "speed as the standard prints it", speed);
    let range = range.map(|r| Value::from(r).worded(format!("ISO R{r}")));
    section.field("range_r_rounded", "range as the standard prints it", range);
    section.field("grade", "grade", grade.map(grade_value));
    section.add(suspects(analysis));
    section.notes = Some(notes);
    section
}
