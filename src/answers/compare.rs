//! How do several strips, or several pairings, differ?

use super::adjust::{aim_words, temperature};
use super::{Answer, Block, Column, Description, Form, Gather, Note, Table, Value};
use crate::curve::Choice;
use crate::development::aim::Target;
use crate::development::{Measure, Pairing, Wanted};
use crate::measures::differences::{Difference, Scale, beyond_doubt, difference};
use crate::measures::{Measured, Measures, Quantity, StripAnalysis, analyse};
use crate::readings::{ExposureScale, Strip};
use crate::units::{Celsius, TemperatureUnit};
use crate::words::{list_and, number};

/// What is compared, in one of the things.
#[derive(Clone, Debug)]
pub struct Compared {
    /// For programs.
    pub key: &'static str,
    /// For people.
    pub label: &'static str,
    /// By difference or by ratio.
    pub scale: Scale,
    /// How it is written.
    pub form: Form,
    /// The value in each of the things, or why there is none.
    pub values: Vec<Result<Quantity, String>>,
    /// How each of them after the first differs from it.
    pub differences: Vec<Option<(Difference, bool)>>,
}

/// Several strips side by side.
#[derive(Debug)]
pub struct StripsCompared {
    /// The strips.
    pub strips: Vec<StripAnalysis>,
    /// What is compared.
    pub rows: Vec<Compared>,
}

/// What is asked of pairings.
#[derive(Debug)]
pub struct PairingsQuestion {
    /// Their names.
    pub names: Vec<String>,
    /// The pairings.
    pub pairings: Vec<Pairing>,
    /// The measure of contrast.
    pub measure: Measure,
    /// The contrast that is wanted of all.
    pub target: Target,
    /// Temperature of the bath.
    pub celsius: Celsius,
    /// The unit that temperatures are shown in.
    pub unit: TemperatureUnit,
}

/// Several pairings side by side.
#[derive(Debug)]
pub struct PairingsCompared {
    /// What was asked.
    pub question: PairingsQuestion,
    /// What is compared.
    pub rows: Vec<Compared>,
}

impl Compared {
    fn new(
        (key, label): (&'static str, &'static str),
        (scale, form): (Scale, Form),
        values: Vec<Result<Quantity, String>>,
    ) -> Self {
        Self { key, label, scale, form, values, differences: Vec::new() }
    }
}

/// A longer name does not stand at the head of a column.
const SHORT_NAME: usize = 14;

/// Fills in the differences from the first; all of them share one chance of error.
fn differ(rows: &mut [Compared]) {
    for row in rows.iter_mut() {
        let first = row.values.first().and_then(|v| v.as_ref().ok()).copied();
        let from_first = |value: &Result<Quantity, String>| {
            let difference = difference(&first?, value.as_ref().ok()?, row.scale)?;
            Some((difference, false))
        };
        row.differences = row.values.iter().skip(1).map(from_first).collect();
    }
    let all = || rows.iter().flat_map(|row| row.differences.iter().flatten());
    let chances: Vec<f64> = all().map(|(difference, _)| difference.chance).collect();
    let doubtless = beyond_doubt(&chances);
    let found = rows.iter_mut().flat_map(|row| row.differences.iter_mut().flatten());
    found.zip(doubtless).for_each(|((_, mark), doubtless)| *mark = doubtless);
}

impl StripsCompared {
    /// Fits and compares strips.
    #[must_use]
    pub fn of(strips: Vec<Strip>, choice: Choice) -> Self {
        let strips = analyse(strips, choice);
        let of = |measured: fn(&Measures) -> &Measured| {
            let one = |a: &StripAnalysis| match &a.result {
                Ok(analysed) => (*measured(&analysed.measures)).map_err(|why| why.to_string()),
                Err(why) => Err(why.to_string()),
            };
            strips.iter().map(one).collect::<Vec<_>>()
        };
        let plain = (Scale::Difference, Form::Decimals(3));
        let mut rows = vec![
            Compared::new(("base_plus_fog", "base plus fog"), plain, of(|m| &m.base_plus_fog)),
            Compared::new(("contrast_index", "contrast index"), plain, of(|m| &m.contrast_index)),
            Compared::new(
                ("average_gradient", "average gradient"),
                plain,
                of(|m| &m.average_gradient),
            ),
            Compared::new(("gamma", "gamma"), plain, of(|m| &m.gamma)),
        ];
        let scale = strips.first().map(|a| a.strip.scale);
        if strips.iter().all(|a| Some(a.strip.scale) == scale) {
            let label = match scale {
                Some(ExposureScale::Absolute) => "speed point, log H",
                _ => "speed point, relative log H",
            };
            let point = of(|m| &m.speed_point);
            rows.push(Compared::new(("speed_point_log_h", label), plain, point));
        }
        differ(&mut rows);
        Self { strips, rows }
    }

    fn names(&self) -> Vec<String> {
        self.strips.iter().map(|a| a.strip.name.clone()).collect()
    }

    /// The figure of all curves.
    #[cfg(feature = "figures")]
    #[must_use]
    pub fn figure(&self) -> crate::figures::Chart {
        crate::figures::characteristic(&self.strips)
    }
}

impl PairingsCompared {
    /// Compares pairings: time, exposure index and base plus fog for one contrast at one temperature.
    #[must_use]
    pub fn of(question: PairingsQuestion) -> Self {
        let wanted = Wanted {
            measure: question.measure,
            contrast: question.target.contrast,
            celsius: question.celsius,
            activity: 1.0,
            extrapolate: false,
        };
        let all: Vec<_> = question.pairings.iter().map(|p| p.adjust(&wanted)).collect();
        let of = |value: &dyn Fn(&crate::development::Adjusted) -> Result<Quantity, String>| {
            let one = |a: &Result<_, crate::development::Unreachable>| match a {
                Ok(adjusted) => value(adjusted),
                Err(why) => Err(why.to_string()),
            };
            all.iter().map(one).collect::<Vec<_>>()
        };
        let known = |q: Option<Quantity>, why: &str| q.ok_or_else(|| why.to_owned());
        let times = of(&|a| Ok(a.minutes));
        let index = of(&|a| known(a.exposure_index, "exposures are relative"));
        let base = of(&|a| known(a.base_plus_fog, "the strips do not show it"));
        let factor = question.pairings.iter().map(|p| Ok(p.factor_per_ten_degrees())).collect();
        let ratio = |form| (Scale::Ratio, form);
        let mut rows = vec![
            Compared::new(("minutes", "develop for"), ratio(Form::Clock), times),
            Compared::new(("exposure_index", "exposure index"), ratio(Form::Auto), index),
            Compared::new(
                ("base_plus_fog", "base plus fog"),
                (Scale::Difference, Form::Decimals(3)),
                base,
            ),
            Compared::new(
                ("factor_per_10_celsius", "faster by 10 °C, a factor of"),
                ratio(Form::Decimals(2)),
                factor,
            ),
        ];
        differ(&mut rows);
        Self { question, rows }
    }

    /// The figure of their growth.
    #[cfg(feature = "figures")]
    #[must_use]
    pub fn figure(&self) -> crate::figures::Chart {
        let q = &self.question;
        let all: Vec<_> = q.names.iter().map(String::as_str).zip(&q.pairings).collect();
        crate::figures::growths(&all, q.measure, q.target.contrast)
    }
}

/// The tables of values and differences, and why some are missing.
///
/// Strips have a table for each quantity. Pairings, whose quantities are few, stand in one.
fn tables(all: &mut Description, what: &str, names: &[String], rows: &[Compared], in_one: bool) {
    let short = names.first().filter(|name| name.chars().count() <= SHORT_NAME);
    let first = short.map_or("the first", String::as_str);
    let columns = [
        Column::new("quantity", "quantity"),
        Column::new("name", what.to_owned()),
        Column::new("value", "value"),
        Column::new("difference", format!("against {first}")),
        Column::new("scale", "scale"),
        Column::new("beyond_doubt", "beyond doubt"),
    ];
    let mut programs = Table::new(columns.to_vec()).keyed("compared");
    let mut people = Vec::new();
    for row in rows {
        let shown = [1, 2, 3, 5].map(|k: usize| columns[k].clone());
        let mut table = Table::new(shown.to_vec()).titled(row.label);
        for (n, name) in names.iter().enumerate() {
            let value = match &row.values[n] {
                Ok(q) => Value::quantity_as(q, row.form),
                Err(why) => {
                    let key = format!("{name}: {}", row.key);
                    let note = Note::missing(key, format!("{name}: {}", row.label), why);
                    all.notes.push(note);
                    Value::Missing
                }
            };
            let (difference, mark) = match n.checked_sub(1).map(|k| row.differences[k]) {
                None => (Value::Empty, Value::Empty),
                Some(None) => (Value::Missing, Value::Missing),
                Some(Some((d, doubtless))) => {
                    let value = match row.scale {
                        Scale::Difference => Value::quantity_as(&d.value, Form::SignedDecimals(3)),
                        Scale::Ratio => times(&d.value),
                    };
                    (value, Value::Flag(doubtless))
                }
            };
            let name = Value::from(name.as_str());
            table.row(vec![name.clone(), value.clone(), difference.clone(), mark.clone()]);
            let scale = match row.scale {
                Scale::Difference => "difference",
                Scale::Ratio => "ratio",
            };
            programs.row(vec![row.key.into(), name, value, difference, scale.into(), mark]);
        }
        people.push(Block::Table(table));
    }
    if in_one {
        people = vec![Block::Table(side_by_side(what, names, rows))];
    }
    all.add(Block::Twofold { people, programs: vec![Block::Table(programs)] });
    all.note(
        "beyond doubt: so great a difference between equals is found less than 5 times in 100, all comparisons together",
    );
}

/// A row for each thing: its values, and how they differ from those of the first.
fn side_by_side(what: &str, names: &[String], rows: &[Compared]) -> Table {
    let mut columns = vec![Column::new("name", what.to_owned())];
    columns.extend(rows.iter().map(|row| Column::new(row.key, row.label)));
    let mut table = Table::new(columns).titled("values, and how they differ from the first");
    for (n, name) in names.iter().enumerate() {
        let cell = |row: &Compared| {
            let value = row.values[n].as_ref().ok().map(|q| Value::quantity_as(q, row.form));
            let value = Value::or_missing(value);
            let difference = n.checked_sub(1).and_then(|k| row.differences[k]);
            let Some((difference, doubtless)) = difference else { return value };
            let differs = match row.scale {
                Scale::Difference => Value::quantity_as(&difference.value, Form::SignedDecimals(3)),
                Scale::Ratio => times(&difference.value),
            };
            let doubt = if doubtless { ", beyond doubt" } else { "" };
            let words = format!("{}; {}{doubt}", value.for_people(), differs.for_people());
            value.worded(words)
        };
        let cells = std::iter::once(Value::from(name.as_str())).chain(rows.iter().map(cell));
        table.row(cells.collect());
    }
    table
}

/// A ratio in words: `× 1.12 (1.05 to 1.20)`.
fn times(ratio: &Quantity) -> Value {
    let two = |v: f64| number(v, 2);
    let words = format!("× {} ({} to {})", two(ratio.value), two(ratio.low), two(ratio.high));
    Value::quantity_as(ratio, Form::Decimals(2)).worded(words)
}

impl Answer for StripsCompared {
    fn describe(&self) -> Description {
        let names = self.names();
        let mut all = Description::new(format!("Strips compared: {}", list_and(&names)));
        tables(&mut all, "strip", &names, &self.rows, false);
        let development = |a: &StripAnalysis| (a.strip.minutes, a.strip.celsius);
        let first = self.strips.first().map(development);
        if self.strips.iter().any(|a| Some(development(a)) != first) {
            all.note("the strips were not developed alike: times or temperatures differ");
        }
        let scale = self.strips.first().map(|a| a.strip.scale);
        if self.strips.iter().any(|a| Some(a.strip.scale) != scale) {
            all.note("speed points are not compared: some exposures are relative and some are not");
        } else if scale == Some(ExposureScale::Relative) {
            all.note(
                "the exposures are relative: speed points may be compared where all strips were exposed alike",
            );
        }
        all
    }
}

impl Answer for PairingsCompared {
    fn describe(&self) -> Description {
        let q = &self.question;
        let mut all = Description::new(format!("Pairings compared: {}", list_and(&q.names)));
        let aim = Value::number(q.target.contrast, 3).worded(aim_words(q.measure, &q.target));
        all.field("contrast", "aim", aim);
        all.data("measure", q.measure.code());
        let words = temperature(q.celsius.get(), q.unit);
        all.field("celsius", "temperature", Value::plain(q.celsius.get(), 2).worded(words));
        tables(&mut all, "pairing", &q.names, &self.rows, true);
        let assumed: Vec<&str> = q
            .names
            .iter()
            .zip(&q.pairings)
            .filter(|(_, p)| p.law().energy_is_assumed())
            .map(|(name, _)| name.as_str())
            .collect();
        if !assumed.is_empty() {
            all.note(format!("the temperature law is assumed: {}", list_and(&assumed)));
        }
        all.notes(&q.target.assumptions);
        all
    }
}
