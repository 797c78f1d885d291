//! What does the characteristic curve of each strip measure?

mod measures;
mod several;

use super::{Answer, Column, Description, Field, Form, Gather, Note, Section, Table, Value};
use crate::curve::{Choice, FittedCurve, Suspect};
#[cfg(feature = "figures")]
use crate::figures::{Chart, characteristic};
use crate::measures::{
    Analysed, Analysis, ContrastCondition, IsoSpeed, Measured, Quantity, StandardSpeed,
    StraightLine, StripAnalysis, Why, analyse,
};
use crate::readings::{ExposureScale, Strip};
use crate::units::{Celsius, LogExposure, Minutes};
use crate::words::{list_and, number, trimmed};
use std::fmt;

/// The curves of strips and their measures.
#[derive(Debug)]
pub struct Curves {
    /// The strips, each with its curve or the reason why it has none.
    pub strips: Vec<StripAnalysis>,
    /// Strips of one film that were developed alike, together.
    pub alike: Vec<Alike>,
}

/// Strips of one film that were developed alike.
#[derive(Debug)]
pub struct Alike {
    /// Their names.
    pub names: Vec<String>,
    /// The ISO speed of their means.
    pub iso: IsoSpeed,
}

impl Alike {
    /// The groups of strips with the same film, developer, time and temperature.
    fn groups(strips: &[StripAnalysis]) -> Vec<Self> {
        let development = |s: &Strip| {
            let (film, developer) = (s.labels.film.clone(), s.labels.developer.clone());
            (film, developer, s.minutes.map(Minutes::get), s.celsius.map(Celsius::get), s.scale)
        };
        let mut groups: Vec<Vec<&StripAnalysis>> = Vec::new();
        for strip in strips.iter().filter(|a| a.strip.minutes.is_some() && a.result.is_ok()) {
            let of = development(&strip.strip);
            match groups.iter_mut().find(|g| development(&g[0].strip) == of) {
                Some(group) => group.push(strip),
                None => groups.push(vec![strip]),
            }
        }
        let together = |group: Vec<&StripAnalysis>| {
            let measures: Vec<_> = group.iter().filter_map(|a| a.measures()).collect();
            let iso = IsoSpeed::of_several(&measures, group[0].strip.scale)?;
            Some(Self { names: group.iter().map(|a| a.strip.name.clone()).collect(), iso })
        };
        groups.into_iter().filter_map(together).collect()
    }
}

/// Distance in log exposure of the rows of [`Curves::table`].
const STEP: f64 = 0.02;

impl Curves {
    /// Fits and measures strips.
    #[must_use]
    pub fn of(strips: Vec<Strip>, choice: Choice) -> Self {
        Self::of_analysed(analyse(strips, choice))
    }

    /// Strips that are fitted and measured already.
    #[must_use]
    pub fn of_analysed(strips: Vec<StripAnalysis>) -> Self {
        Self { alike: Alike::groups(&strips), strips }
    }

    /// The strips that have no curve.
    pub fn unusable(&self) -> impl Iterator<Item = &StripAnalysis> {
        self.strips.iter().filter(|a| a.result.is_err())
    }

    /// The figure of all curves.
    #[must_use]
    #[cfg(feature = "figures")]
    pub fn figure(&self) -> Chart {
        characteristic(&self.strips)
    }

    /// The columns of [`Self::measures`]: keys of JSON, those of an object after its name (`iso_speed`), and
    /// after a quantity the ends of its 95 % interval (`gamma_low`, `gamma_high`).
    #[must_use]
    pub fn measure_columns() -> Vec<String> {
        measures::columns()
    }

    /// The measures as a table: a row a strip, empty where a number is missing; the last cell says why.
    pub fn measures(&self) -> impl Iterator<Item = Vec<String>> {
        self.strips.iter().map(measures::row)
    }

    /// The fitted curves, a point every 0.02 of log exposure from the first reading of each strip to its
    /// last: strip, log exposure, density with its 95 % interval, slope.
    pub fn table(&self) -> impl Iterator<Item = (&str, [f64; 5])> {
        let curves = self.strips.iter().filter_map(|a| Some((a, a.result.as_ref().ok()?)));
        curves.flat_map(|(analysis, analysed)| {
            let curve = analysed.fit.curve.as_ref();
            let (low, high) = curve.range();
            (0..=((high - low) / STEP + 1e-9).floor() as u32).map(move |k| {
                let x = low + STEP * f64::from(k);
                let (density, sd) = curve.density_and_sd(x);
                let half = analysed.fit.quantile * sd;
                let point = [x, density, density - half, density + half, curve.slope(x)];
                (analysis.strip.name.as_str(), point)
            })
        })
    }
}

impl Answer for Curves {
    fn describe(&self) -> Description {
        let mut all = Description::new(match self.strips.as_slice() {
            [_] => "Characteristic curve".to_owned(),
            several => format!("Characteristic curves of {} strips", several.len()),
        });
        let items = self.strips.iter().map(strip_section).collect();
        let strips = super::Block::Sections { key: "strips".into(), items };
        all.add(match self.strips.len() {
            ..=1 => strips,
            _ => super::Block::Twofold {
                people: several::for_people(&self.strips),
                programs: vec![strips],
            },
        });
        if !self.alike.is_empty() {
            let items = self.alike.iter().map(alike_section).collect();
            all.add(super::Block::Sections { key: "developed_alike".into(), items });
        }
        all
    }
}

/// Film, developer, time, temperature and date of a strip, as far as they are known.
fn development(strip: &Strip) -> Option<String> {
    let labels = &strip.labels;
    let parts = [
        labels.film.clone(),
        labels.developer.clone(),
        strip.minutes.map(|m| format!("{m} min")),
        strip.celsius.map(|c| format!("{c} °C")),
        labels.date.clone(),
    ];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}

/// All that is known of one strip.
#[must_use]
pub fn strip_section(analysis: &StripAnalysis) -> Section {
    let strip = &analysis.strip;
    let title = match development(strip) {
        Some(development) => format!("strip {}: {development}", strip.name),
        None => format!("strip {}", strip.name),
    };
    let mut section = Section::titled(title);
    section.heading.push(Field::new("strip", "strip", strip.name.as_str()));
    let labels = &strip.labels;
    for (key, label) in [
        ("film", &labels.film),
        ("developer", &labels.developer),
        ("date", &labels.date),
        ("note", &labels.note),
        ("filter", &labels.filter),
    ] {
        if let Some(text) = label {
            let field = Field::new(key, key, text.as_str());
            match key {
                "note" | "filter" => section.add(field),
                _ => section.heading.push(field),
            }
        }
    }
    let minutes = strip.minutes.map(|m| Value::plain(Minutes::get(m), 2).unit(" min"));
    section.heading.push(Field::new("minutes", "developed for", minutes));
    let celsius = strip.celsius.map(|c| Value::plain(Celsius::get(c), 2).unit(" °C"));
    section.heading.push(Field::new("celsius", "temperature", celsius));
    section.field("n", "readings", strip.readings.len() + strip.unexposed.len());
    let mut notes: Vec<Note> = strip.notes.iter().map(Note::remark).collect();
    match &analysis.result {
        Err(error) => {
            notes.push(Note::remark(error));
            section.field("model", "curve", Value::Missing);
            no_measures(&mut section);
        }
        Ok(analysed) => {
            notes.extend(analysed.fit.notes.iter().map(Note::remark));
            measures(analysis, analysed, &mut section, &mut notes);
        }
    }
    section.notes = Some(notes);
    section
}

fn measures(
    analysis: &StripAnalysis,
    analysed: &Analysed,
    section: &mut Section,
    notes: &mut Vec<Note>,
) {
    let Analysed { fit, measures: m } = analysed;
    section.add(model(fit));

    let log_h = match analysis.strip.scale {
        ExposureScale::Absolute => "log H (lux·s)",
        ExposureScale::Relative => "relative log H",
    };
    let mut row = |section: &mut Section, key: &'static str, label: String, value: &Measured| {
        section.measured(notes, key, label, value, three_decimals);
    };
    row(section, "base_plus_fog", "base plus fog".into(), &m.base_plus_fog);
    row(section, "d_max", "maximum density".into(), &m.d_max);
    row(section, "gamma", "gamma (greatest slope)".into(), &m.gamma);
    let line = straight_line(m.straight_line);
    section.add(line.0);
    notes.extend(line.1);
    let mut row = |section: &mut Section, key: &'static str, label: String, value: &Measured| {
        section.measured(notes, key, label, value, three_decimals);
    };
    row(section, "contrast_index", "contrast index".into(), &m.contrast_index);
    row(section, "average_gradient", "average gradient (1.50)".into(), &m.average_gradient);
    row(section, "speed_point_log_h", format!("speed point, {log_h}"), &m.speed_point);
    let iso = iso(&m.iso);
    section.add(iso.0);
    let label = format!("fractional-gradient speed point, {log_h}");
    row(section, "fractional_gradient_log_h", label, &m.fractional_gradient);
    row(section, "delta_x_log_h", format!("Delta-X speed point, {log_h}"), &m.delta_x);

    if let Some(sigma) = m.exposure_sigma {
        let label = "standard uncertainty of the log exposure";
        section.field("exposure_sigma_log_h", label, Value::number(sigma, 3));
    }
    if let Some(common) = &analysis.strip.common_sigma {
        let label = "standard uncertainty of all densities, offset";
        section.field("offset_sigma", label, Value::number(common.offset.get(), 4));
        let label = "standard uncertainty of all densities, slope";
        section.field("slope_sigma", label, Value::number(common.slope.get(), 4));
    }

    notes.extend(iso.1);
    if m.iso.standard.is_some() {
        notes.push(Note::remark(OneStrip));
    }
    section.add(suspects(analysis));
}

/// The straight line: its slope and its ends.
fn straight_line(line: Result<StraightLine, Why>) -> (Section, Vec<Note>) {
    let mut section = Section::default().keyed("straight_line");
    let mut notes = Vec::new();
    let slope = line.map(|line| line.slope);
    section.measured(&mut notes, "slope", "slope of the straight line", &slope, three_decimals);
    let (from, to) = (line.ok().map(|l| l.from), line.ok().map(|l| l.to));
    section.data("from_log_h", Value::or_missing(from.map(|x| Value::number(x, 2))));
    section.data("to_log_h", Value::or_missing(to.map(|x| Value::number(x, 2))));
    if let Ok(StraightLine { from, to, .. }) = line {
        let ends = format!("{} to {}", number(from, 2), number(to, 2));
        section.field("ends", "ends of the straight line, log H", Value::Empty.worded(ends));
    }
    (section, notes.into_iter().map(|note| note.within("straight_line")).collect())
}

/// Why a speed is no ISO speed.
#[derive(Clone, Copy, Debug, PartialEq)]
enum NoIsoSpeed {
    /// The contrast condition is not met, or too near to say.
    Condition(ContrastCondition),
    /// The series has no such speed.
    OutsideSeries(f64),
}

impl fmt::Display for NoIsoSpeed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Condition(ContrastCondition::TooNear) => f.write_str(
                "the contrast condition is too near to say; the mean of several strips developed alike can decide it",
            ),
            Self::Condition(_) => f.write_str("the contrast condition is not met"),
            Self::OutsideSeries(speed) => {
                write!(f, "the standard's series has no speed near {}", trimmed(*speed, 2))
            }
        }
    }
}

/// An ISO speed from one strip alone.
struct OneStrip;

impl fmt::Display for OneStrip {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the ISO speed is from one strip; the standard takes the mean of several")
    }
}

/// The model of a fitted curve.
pub(super) fn model(fit: &FittedCurve) -> Section {
    let mut model = Section::default().keyed("model");
    model.field("name", "curve", fit.curve.name());
    let parameters = fit.curve.named_parameters().into_iter();
    let parameters = parameters.map(|(name, v)| (name.to_string().into(), Value::number(v, 4)));
    model.data("parameters", Value::Map(parameters.collect()));
    let scatter = Value::number(fit.residual_sd, 3);
    model.field("residual_sd", "residual standard deviation", scatter);
    model.data("n", fit.readings_used);
    model.data("degrees_of_freedom", Value::number(fit.degrees_of_freedom, 1));
    model.data("stop_reason", fit.stop.code());
    model.data("correlations", correlations(fit));
    model
}

/// The correlations of the parameters, pair by pair. Left out of the smooth model, whose many
/// coefficients mean nothing one by one.
fn correlations(fit: &FittedCurve) -> Value {
    let names: Vec<String> =
        fit.curve.named_parameters().into_iter().map(|(name, _)| name.to_string()).collect();
    let curve = fit.curve.alone().unwrap_or(fit.curve.as_ref());
    let n = curve.parameters().len();
    if names.len() != n {
        return Value::Empty;
    }
    let pair = |(j, k): (usize, usize)| {
        let between = [j, k].map(|i| Value::Text(names[i].clone())).to_vec();
        Value::Map(vec![
            ("between".into(), Value::List(between)),
            ("value".into(), Value::number(fit.correlation(j, k), 3)),
        ])
    };
    let pairs = (0..n).flat_map(|j| (j + 1..n).map(move |k| (j, k)));
    Value::List(pairs.map(pair).collect())
}

/// The readings that the others contradict.
pub(super) fn suspects<M>(analysis: &Analysis<M>) -> Table {
    suspects_with(analysis, None)
}

/// The same, with a first column that has one value in all rows.
fn suspects_with<M>(analysis: &Analysis<M>, first: Option<(&'static str, Value)>) -> Table {
    let (name, value) = first.unzip();
    let columns = [
        Column::new("step", "step"),
        Column::new("log_exposure", "log exposure"),
        Column::new("density", "density"),
        Column::new("residual", "off the curve of the others"),
    ];
    let first = name.map(|name| Column::new(name, name));
    let mut table =
        Table::new(first.into_iter().chain(columns).collect()).keyed("suspect_readings");
    for suspect in analysis.result.iter().flat_map(|a| &a.fit.suspects) {
        table.title = Some("suspect readings, not used".to_owned());
        table.row(value.iter().cloned().chain(suspect_row(analysis, suspect)).collect());
    }
    table
}

/// What a strip without a curve has in JSON: every measure as `null`. People read the reason alone.
fn no_measures(section: &mut Section) {
    let keys = [
        "base_plus_fog",
        "d_max",
        "gamma",
        "contrast_index",
        "average_gradient",
        "speed_point_log_h",
        "fractional_gradient_log_h",
        "delta_x_log_h",
    ];
    for key in keys {
        section.data(key, Value::Missing);
    }
    let mut line = Section::default().keyed("straight_line");
    for key in ["slope", "from_log_h", "to_log_h"] {
        line.data(key, Value::Missing);
    }
    section.add(line);
    let mut iso = Section::default().keyed("iso");
    for key in ["delta_d", "condition", "contrast_met", "speed", "rounded", "degrees", "absolute"] {
        iso.data(key, Value::Missing);
    }
    section.add(iso);
    section.data("suspect_readings", Value::List(Vec::new()));
}

pub(super) const fn three_decimals(q: &Quantity) -> Value {
    Value::quantity_as(q, Form::Decimals(3))
}

/// The ISO speed of strips that were developed alike.
fn alike_section(alike: &Alike) -> Section {
    let names = list_and(&alike.names);
    let mut section = Section::titled(format!("mean of strips {names}, developed alike"));
    let strips = alike.names.iter().map(|n| Value::from(n.as_str())).collect();
    section.heading.push(Field::new("strips", "strips", Value::List(strips)));
    let (iso, notes) = iso(&alike.iso);
    section.add(iso);
    section.notes = Some(notes);
    section
}

fn iso(iso: &IsoSpeed) -> (Section, Vec<Note>) {
    let mut section = Section::default().keyed("iso");
    let mut notes = Vec::new();
    let label = "density gained over 1.30 (ISO 6)";
    section.measured(&mut notes, "delta_d", label, &iso.delta_d, three_decimals);
    let condition = iso.condition.map(|c| Value::term(c.code(), c.to_string()));
    section.field("condition", "contrast condition 0.80 ± 0.05", condition);
    section.data("contrast_met", iso.condition.and_then(ContrastCondition::met));
    section.measured(&mut notes, "speed", "speed, 0.8/Hm", &iso.speed, Value::quantity);
    let written = |s: StandardSpeed| {
        Value::from(s).worded(format!("{}/{}°", trimmed(s.arithmetic, 2), s.degrees))
    };
    section.field("rounded", "ISO speed", iso.standard.map(written));
    if let (Ok(speed), None, Some(condition)) = (&iso.speed, iso.standard, iso.condition) {
        let why = match condition {
            ContrastCondition::Met => NoIsoSpeed::OutsideSeries(speed.value),
            other => NoIsoSpeed::Condition(other),
        };
        notes.push(Note::missing("rounded", "ISO speed", why));
    }
    section.data("degrees", iso.standard.map(|s| s.degrees));
    section.field("absolute", "exposures in lux·s", iso.absolute);
    (section, notes.into_iter().map(|note| note.within("iso")).collect())
}

fn suspect_row<M>(analysis: &Analysis<M>, suspect: &Suspect) -> Vec<Value> {
    let reading = analysis.reading(suspect.index);
    vec![
        match &reading.step {
            Some(step) => Value::Text(step.to_string()),
            None => Value::Missing.worded(format!("line {}", reading.line)),
        },
        match reading.log_exposure {
            Some(x) => Value::number(LogExposure::get(x), 2),
            None => Value::Missing.worded("unexposed"),
        },
        Value::number(reading.density.get(), 2),
        Value::in_form(suspect.residual, Form::SignedDecimals(2)),
    ]
}
