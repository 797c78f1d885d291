//! What does this film do in this developer?

#[cfg(feature = "figures")]
mod figures;

use super::curve::strip_section;
use super::one_strip::FirstStrip;
use super::{
    Answer, Block, Column, Description, Field, Form, Gather, Note, Row, Section, Table, Value,
};
use crate::curve::Choice;
use crate::development::aim::development_label;
use crate::development::changes::{Change, Setting};
use crate::development::file::{Aims, PairingFile, REFERENCE_CELSIUS, name_of};
use crate::development::materials::{Material, Materials, Mixed, OfAnother, of_one, only};
use crate::development::surface::NAMES;
use crate::development::temperature::factor_per_ten_degrees;
use crate::development::{
    Adjusted, Form as GrowthForm, Growth, Measure, OneStrip, Pairing, PairingError, Unreachable,
    Wanted,
};
use crate::elementary::exp;
use crate::measures::Quantity;
use crate::readings::Strip;
use crate::units::{Celsius, LogExposure, OutOfBounds, TemperatureUnit};
use crate::words::{number, trimmed};

/// What is asked.
#[derive(Clone, Debug)]
pub struct CalibrateQuestion {
    /// The strips of one film in one developer.
    pub strips: Vec<Strip>,
    /// Only the strips of this film and this developer.
    pub only: Materials,
    /// The temperature that effective times are for; [`REFERENCE_CELSIUS`] where nothing is said.
    pub reference: Option<Celsius>,
    /// The unit that temperatures are shown in.
    pub unit: TemperatureUnit,
    /// What the negatives are for.
    pub aims: Aims,
    /// What the pairing is called; film and developer where nothing is said.
    pub name: Option<String>,
    /// A remark for the file.
    pub note: Option<String>,
    /// Log exposure behind clear tablet that the strips were read with; that of the pairing that this one
    /// replaces where nothing is said.
    pub log_exposure_clear: Option<LogExposure>,
    /// The pairing that this one replaces: what is not said here is kept of it, as are its limits and
    /// comments.
    pub before: Option<PairingFile>,
}

/// One row of the table of times.
#[derive(Clone, Debug)]
pub struct TimesRow {
    /// The scene, in stops.
    pub stops: f64,
    /// The trade's name for its development.
    pub label: Option<String>,
    /// The contrast that fits the scene to the paper.
    pub contrast: f64,
    /// The time at the reference temperature.
    pub answer: Result<Adjusted, Unreachable>,
}

/// A pairing with its table of times.
#[derive(Debug)]
pub struct Calibrated {
    /// What is kept of it.
    pub file: PairingFile,
    /// The pairing.
    pub pairing: Pairing,
    /// The table of times.
    pub rows: Vec<TimesRow>,
    /// What it changes and what it keeps of the pairing that it replaces.
    pub changes: Vec<Change>,
    unit: TemperatureUnit,
}

/// Why there is no pairing.
#[derive(Debug, thiserror::Error)]
pub enum NotCalibrated {
    /// The strips are of another film or developer than the pairing that would be replaced.
    #[error(transparent)]
    OfAnother(#[from] OfAnother),
    /// The strips are of several films or developers, or of none that is wanted.
    #[error(transparent)]
    Mixed(#[from] Mixed),
    /// The reference of the pairing that would be replaced is no temperature of a developer.
    #[error("reference_celsius: {0}")]
    Reference(OutOfBounds),
    /// The strips make no pairing.
    #[error(transparent)]
    Pairing(#[from] PairingError),
}

impl Calibrated {
    /// Calibrates.
    ///
    /// # Errors
    /// [`NotCalibrated`].
    pub fn of(question: CalibrateQuestion) -> Result<Self, NotCalibrated> {
        Prepared::of(question)?.family()
    }
}

/// What strips make: a pairing, or the beginning of one.
#[derive(Debug)]
pub enum Calibration {
    /// A pairing.
    Family(Box<Calibrated>),
    /// One strip only.
    One(Box<FirstStrip>),
}

impl Calibration {
    /// Calibrates.
    ///
    /// # Errors
    /// [`NotCalibrated`].
    pub fn of(question: CalibrateQuestion) -> Result<Self, NotCalibrated> {
        let prepared = Prepared::of(question)?;
        if prepared.strips.len() == 1 {
            return prepared.one().map(|one| Self::One(Box::new(one)));
        }
        prepared.family().map(|family| Self::Family(Box::new(family)))
    }

    /// What is kept of it.
    #[must_use]
    pub fn file(&self) -> &PairingFile {
        match self {
            Self::Family(family) => &family.file,
            Self::One(one) => &one.file,
        }
    }

    /// Without what it changes: what stands at the head of its file.
    #[must_use]
    pub fn results(&self) -> Description {
        match self {
            Self::Family(family) => family.results(),
            Self::One(one) => one.results(),
        }
    }
}

impl Answer for Calibration {
    fn describe(&self) -> Description {
        match self {
            Self::Family(family) => family.describe(),
            Self::One(one) => one.describe(),
        }
    }
}

/// Strips of one film in one developer, and the file that keeps them.
struct Prepared {
    file: PairingFile,
    strips: Vec<Strip>,
    reference: Celsius,
    changes: Vec<Change>,
    unit: TemperatureUnit,
}

impl Prepared {
    fn of(question: CalibrateQuestion) -> Result<Self, NotCalibrated> {
        let CalibrateQuestion {
            strips,
            only: wanted,
            reference,
            unit,
            aims,
            name,
            note,
            log_exposure_clear,
            before,
        } = question;
        let strips =
            wanted.film.iter().try_fold(strips, |s, film| only(Material::Film, film, s))?;
        let wanted = wanted.developer.iter();
        let strips = wanted.into_iter().try_fold(strips, |s, d| only(Material::Developer, d, s))?;
        if name.is_none() {
            of_one(&strips)?;
        }
        let before = before.as_ref();
        let now = Materials::of_strips(&strips);
        let differs = before.map(|b| b.materials().differences(&now, "the strips are"));
        if let Some(differs) = differs.into_iter().flatten().next() {
            return Err(differs.into());
        }
        let named = before.filter(|before| before.is_named()).map(|before| before.name.clone());
        let name = name.or(named).unwrap_or_else(|| name_of(&strips));
        let note = note.or_else(|| before.and_then(|before| before.note.clone()));
        let kept = before.map_or(REFERENCE_CELSIUS, |before| before.reference_celsius);
        let reference =
            reference.map_or_else(|| Celsius::new(kept), Ok).map_err(NotCalibrated::Reference)?;
        let mut file = PairingFile::new(name, reference, note, aims, &strips);
        file.log_exposure_clear = log_exposure_clear.map(LogExposure::get);
        if let Some(before) = before {
            file.log_exposure_clear = file.log_exposure_clear.or(before.log_exposure_clear);
            file.limits = before.limits;
            file.remarks = before.remarks.clone();
        }
        let changes = before.map(|before| file.changes(before)).unwrap_or_default();
        Ok(Self { file, strips, reference, changes, unit })
    }

    fn family(self) -> Result<Calibrated, NotCalibrated> {
        let Self { file, strips, reference, changes, unit } = self;
        let pairing = Pairing::calibrate(strips, Choice::Auto, reference)?;
        let rows = rows(&pairing, &file.aims);
        Ok(Calibrated { file, pairing, rows, changes, unit })
    }

    fn one(self) -> Result<FirstStrip, NotCalibrated> {
        let Self { file, mut strips, changes, unit, .. } = self;
        let Some(strip) = strips.pop() else {
            return Err(PairingError::TooFew { found: 0, needed: 2 }.into());
        };
        Ok(FirstStrip { file, one: OneStrip::of(strip)?, changes, unit })
    }
}

impl Calibrated {
    /// A pairing that is kept in a file.
    #[must_use]
    pub fn of_kept(file: PairingFile, pairing: Pairing, unit: TemperatureUnit) -> Self {
        let rows = rows(&pairing, &file.aims);
        Self { file, pairing, rows, changes: Vec::new(), unit }
    }

    /// Without what it changes: what stands at the head of its file.
    #[must_use]
    pub fn results(&self) -> Description {
        self.described(&[])
    }
}

/// The times for each scene range of the aims, at the reference temperature.
fn rows(pairing: &Pairing, aims: &Aims) -> Vec<TimesRow> {
    let row = |&stops: &f64| {
        let contrast = aims.printing.contrast(stops)?;
        let wanted = Wanted {
            measure: aims.measure,
            contrast,
            celsius: pairing.reference,
            activity: 1.0,
            extrapolate: false,
        };
        let (label, answer) = (development_label(stops), pairing.adjust(&wanted));
        Some(TimesRow { stops, label, contrast, answer })
    };
    aims.scene_stops.iter().filter_map(row).collect()
}

impl Answer for Calibrated {
    fn describe(&self) -> Description {
        self.described(&self.changes)
    }
}

impl Calibrated {
    fn described(&self, changes: &[Change]) -> Description {
        let Self { file, pairing, .. } = self;
        let reference = super::adjust::temperature(pairing.reference.get(), self.unit);
        let strips = pairing.strips.len();
        let title = format!("{}: {strips} strips, reference {reference}", file.name);
        let mut all = Description::new(title);
        let mut section = Section::default().keyed("pairing");
        section.heading.push(Field::new("name", "name", file.name.as_str()));
        let celsius = Value::plain(pairing.reference.get(), 2);
        section.heading.push(Field::new("reference_celsius", "reference", celsius));
        let mut notes: Vec<Note> = pairing.notes.iter().map(Note::remark).collect();

        section.add(self.times(&reference, &mut notes));
        section.add(self.iso(&mut notes));
        section.data("contrast_time", contrast_time(self.law()));
        section.add(growth_table(pairing));
        section.add(self.temperature());
        match pairing.surface() {
            Some(_) => section.add(self.surface()),
            None => section.data("surface", Value::Missing),
        }
        let items = pairing.strips.iter().map(strip_section).collect();
        let programs = vec![Block::Sections { key: "strips".into(), items }];
        section.add(Block::Twofold { people: Vec::new(), programs });
        let assumptions = file.aims.printing.assumptions_for(&file.aims.scene_stops);
        notes.extend(assumptions.iter().map(Note::remark));
        section.notes = Some(notes);
        all.add(section);
        if !changes.is_empty() {
            all.add(changes_table(changes));
        }
        all
    }
}

impl Calibrated {
    /// The growth of the measure that aims are given in.
    fn law(&self) -> (Measure, &Growth) {
        let measure = self.file.aims.measure;
        (measure, self.pairing.growth(measure).unwrap_or_else(|| self.pairing.law()))
    }

    fn iso(&self, notes: &mut Vec<Note>) -> Block {
        let iso = match self.pairing.iso_speed() {
            Ok(iso) => iso,
            Err(why) => {
                notes.push(Note::missing("iso", "ISO speed", why));
                return Field::new("iso", "ISO speed", Value::Missing).into();
            }
        };
        let mut section = Section::default().keyed("iso");
        let speed = Value::quantity(&iso.speed);
        section.field("speed", "speed at the contrast condition", speed);
        let written = iso
            .standard
            .map(|s| Value::from(s).worded(format!("{}/{}°", trimmed(s.arithmetic, 2), s.degrees)));
        if written.is_none() {
            notes.push(
                Note::missing("rounded", "ISO speed", NoStandard(iso.speed.value)).within("iso"),
            );
        }
        section.field("rounded", "ISO speed", written);
        section.data("degrees", iso.standard.map(|s| s.degrees));
        section.field("minutes", "developed for", Value::time(&iso.minutes));
        section.into()
    }

    fn temperature(&self) -> Section {
        let law = self.law().1;
        let energy = Quantity::around(law.energy(), law.quantile * law.energy_sd());
        let mut section = Section::default().keyed("temperature");
        let energy = Value::quantity_as(&energy, Form::Decimals(0)).unit(" kJ/mol");
        let label = "activation energy";
        section.field("activation_energy_kj_per_mol", label, energy);
        let factor = factor_per_ten_degrees(law.energy());
        let words = match self.pairing.law().energy_is_assumed() {
            true => format!(
                "{}, assumed (published range 1.5 to 3.2); strips at a second temperature determine it",
                number(factor, 2)
            ),
            false => number(factor, 2),
        };
        let factor = Value::number(factor, 2).worded(words);
        section.field("factor_per_10_celsius", "faster by 10 °C, a factor of", factor);
        section.data("assumed", self.pairing.law().energy_is_assumed());
        section
    }

    fn surface(&self) -> Section {
        let mut section = Section::default().keyed("surface");
        let Some(surface) = self.pairing.surface() else { return section };
        let parameters = NAMES.iter().zip(surface.parameters);
        let parameters =
            parameters.map(|(name, value)| ((*name).into(), Value::number(value, 4))).collect();
        section.data("parameters", Value::Map(parameters));
        let label = "residual standard deviation of the surface";
        section.field("residual_sd", label, Value::number(surface.residual_sd, 3));
        let by_strip: Vec<Value> =
            surface.residual_sd_by_strip.iter().map(|sd| Value::number(*sd, 3)).collect();
        let names = self.pairing.strips.iter().zip(&surface.residual_sd_by_strip);
        let words: Vec<String> =
            names.map(|(s, sd)| format!("{} {}", s.strip.name, number(*sd, 3))).collect();
        let by_strip = Value::List(by_strip).worded(words.join(", "));
        section.field("residual_sd_by_strip", "the same by strip", by_strip);
        section
    }

    fn times(&self, reference: &str, notes: &mut Vec<Note>) -> Table {
        let mut table = Table::new(vec![
            Column::new("contrast", self.file.aims.measure.name()),
            Column::new("minutes", format!("time at {reference}")),
            Column::new("exposure_index", "exposure index"),
            Column::new("scene_stops", "scene"),
            Column::new("label", "label").for_programs(),
            Column::new("extrapolated", "outside the strips").for_programs(),
        ])
        .keyed("times");
        let mut of_rows = Vec::new();
        let mut relative = false;
        for row in &self.rows {
            let answer = row.answer.as_ref();
            if let Err(why) = answer {
                let name = format!("{} stops", trimmed(row.stops, 2));
                of_rows.push((name, Note::missing("minutes", "time", why)));
            }
            relative |= answer.is_ok_and(|a| a.exposure_index.is_none());
            let name = format!("{} stops", trimmed(row.stops, 2));
            let scene = match &row.label {
                Some(label) => format!("{name} ({label})"),
                None => name.clone(),
            };
            let adjusted = answer.ok();
            let own_notes = adjusted.into_iter().flat_map(|a| &a.notes);
            of_rows.extend(own_notes.map(|note| (name.clone(), Note::remark(note))));
            table.rows.push(Row {
                key: None,
                cells: vec![
                    Value::number(row.contrast, 3),
                    answer.ok().map(|a| Value::time(&a.minutes)).into(),
                    answer.ok().and_then(|a| a.exposure_index.as_ref().map(Value::quantity)).into(),
                    Value::plain(row.stops, 2).worded(scene),
                    row.label.as_deref().into(),
                    adjusted.is_some_and(|a| a.extrapolated).into(),
                ],
            });
        }
        notes.extend(Note::merged(of_rows));
        if relative {
            let why = "the exposures of the strips are relative";
            notes.push(Note::missing("exposure_index", "exposure index", why));
        }
        table
    }
}

/// The law of growth for programs.
fn contrast_time((measure, law): (Measure, &Growth)) -> Value {
    Value::Map(vec![
        ("measure".into(), measure.code().into()),
        ("form".into(), law.form.code().into()),
        ("parameters".into(), parameters(law)),
        ("residual_sd".into(), Value::number(law.residual_sd, 3)),
    ])
}

fn parameters(law: &Growth) -> Value {
    Value::List(law.parameters.iter().map(|p| Value::number(*p, 4)).collect())
}

/// What is kept of the pairing before, and what is changed.
pub(super) fn changes_table(changes: &[Change]) -> Table {
    let mut table = Table::new(vec![
        Column::new("change", ""),
        Column::new("place", ""),
        Column::new("before", "before"),
        Column::new("now", "now"),
    ])
    .keyed("changes")
    .titled("Compared with the pairing that was in this file");
    let value = |setting: &Setting| match setting {
        Setting::Number(number) => Value::plain(*number, 6),
        Setting::Numbers(numbers) => {
            let words: Vec<String> = numbers.iter().map(|n| trimmed(*n, 6)).collect();
            let list = numbers.iter().map(|n| Value::plain(*n, 6)).collect();
            Value::List(list).worded(words.join(", "))
        }
        Setting::Text(text) => text.as_str().into(),
    };
    let unset = || Value::Missing.worded("not set");
    let strip = |name: &str| Value::from(format!("strip {name}"));
    for change in changes {
        table.row(match change {
            Change::Kept { place, setting } => {
                vec![Value::term("kept", "kept"), (*place).into(), value(setting), value(setting)]
            }
            Change::Set { place, before, now } => vec![
                Value::term("changed", "changed"),
                (*place).into(),
                before.as_ref().map_or_else(unset, value),
                now.as_ref().map_or_else(unset, value),
            ],
            Change::Added(name) => {
                vec![Value::term("added", "added"), strip(name), Value::Empty, Value::Empty]
            }
            Change::LeftOut(name) => {
                vec![Value::term("left_out", "left out"), strip(name), Value::Empty, Value::Empty]
            }
            Change::ReadAgain(name) => {
                vec![Value::term("changed", "changed"), strip(name), Value::Empty, Value::Empty]
            }
        });
    }
    table
}

/// How each measure of contrast grows.
fn growth_table(pairing: &Pairing) -> Table {
    let mut table = Table::new(vec![
        Column::new("measure", "measure"),
        Column::new("form", "growth with time"),
        Column::new("parameters", "parameters").for_programs(),
        Column::new("residual_sd", "scatter of the strips"),
    ])
    .keyed("growth");
    for measure in Measure::ALL {
        let name = Value::term(measure.code(), measure.name());
        table.row(match pairing.growth(measure) {
            Some(law) => vec![
                name,
                Value::term(law.form.code(), law_words(law)),
                parameters(law),
                Value::number(law.residual_sd, 3),
            ],
            None => {
                let words = "cannot be determined from the strips";
                vec![name, Value::Missing.worded(words), Value::Missing, Value::Missing]
            }
        });
    }
    table
}

/// A law of growth in words.
fn law_words(growth: &Growth) -> String {
    let p = &growth.parameters;
    match growth.form {
        GrowthForm::FirstOrder if growth.ceiling_known => {
            format!("first order, to {}, {} per minute", number(exp(p[0]), 2), number(exp(p[1]), 3))
        }
        GrowthForm::FirstOrder => {
            format!("first order, {} per minute; its end is not known", number(exp(p[1]), 3))
        }
        GrowthForm::Interpolated => "interpolated between the strips: no law fits".to_owned(),
        GrowthForm::LogTime => format!(
            "straight line in log time, {} per doubling; its end is not known",
            number(p[1] * std::f64::consts::LN_2, 3)
        ),
    }
}

/// A speed outside the standard's series.
struct NoStandard(f64);

impl std::fmt::Display for NoStandard {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "the standard's series has no speed near {}", trimmed(self.0, 2))
    }
}
