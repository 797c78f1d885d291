//! How long is a contact proof exposed, and what paper does each negative need?

use super::paper::{grade_value, no_grade, setting_fields};
use super::{Answer, Column, Description, Field, Form, Gather, Note, Section, Table, Value};
use crate::development::aim::{CONDENSER, Light, Printing};
#[cfg(feature = "figures")]
use crate::figures::{Chart, ProofCurve, proof};
use crate::measures::Quantity;
use crate::printing::grade::GRADES_ASSUMED;
use crate::printing::proof::{
    Change, Exposure, Needed, Negative, ShortestBlack, TestStrip, TimeReference, from_paper,
};
use crate::printing::settings::{Chosen, NoSetting};
use crate::printing::{Grade, NoBlack, NoGrade, PaperStrip, Settings};
use std::fmt;

/// What the time comes from.
#[derive(Clone, Debug)]
pub enum TimeFrom {
    /// A test strip with its readings.
    Strip(TestStrip, Vec<Exposure>),
    /// The curve of one of the papers, through film of this base plus fog.
    Paper {
        /// Which of the papers.
        strip: usize,
        /// What turns its log exposures into seconds.
        reference: TimeReference,
        /// Base plus fog of the film.
        base_plus_fog: f64,
    },
}

/// What is asked.
#[derive(Debug)]
pub struct ProofQuestion {
    /// What the time comes from, where a time is asked for.
    pub time: Option<TimeFrom>,
    /// What has changed between the test and the proof.
    pub change: Change,
    /// The negatives that are to be printed.
    pub negatives: Vec<Negative>,
    /// The strips of the paper, one for each setting; empty where the paper is not known.
    pub papers: Vec<PaperStrip>,
    /// The light that the negatives are printed with.
    pub light: Light,
    /// Its Callier factor, where it is known.
    pub callier: Option<f64>,
    /// Standard uncertainty of one density.
    pub sigma: f64,
}

/// The time of the proof.
#[derive(Clone, Debug)]
pub struct ProofTime {
    /// What it comes from.
    pub from: TimeFrom,
    /// The shortest exposure that prints clear film as black, before the change.
    pub found: Result<ShortestBlack, NoBlack>,
    /// What has changed since.
    pub change: Change,
}

/// A negative with the paper that it needs.
#[derive(Clone, Debug)]
pub struct NegativeOnPaper {
    /// The negative.
    pub negative: Negative,
    /// The range that it needs.
    pub needed: Needed,
    /// The grade of that range.
    pub grade: Result<Grade, NoGrade>,
    /// The setting of the paper that gives it, where the paper is known.
    pub setting: Option<Result<Chosen, NoSetting>>,
}

/// What is assumed in a proof.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ProofNote {
    /// The density of the unexposed paper.
    WhiteAssumed,
    /// The Callier factor of condenser light.
    CallierAssumed,
    /// The limits between grades.
    GradesAssumed,
}

impl fmt::Display for ProofNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::WhiteAssumed => f.write_str(
                "the density of the unexposed paper is assumed to be 0.06 ± 0.03 (common practice, no source); a test strip with a patch of 0 s gives it",
            ),
            Self::CallierAssumed => write!(
                f,
                "a Callier factor of {CONDENSER} for condenser light is assumed (common practice, no source)"
            ),
            Self::GradesAssumed => f.write_str(GRADES_ASSUMED),
        }
    }
}

/// The time of a contact proof, and the paper that each negative needs.
#[derive(Debug)]
pub struct Proof {
    /// The time, where it was asked for.
    pub time: Option<ProofTime>,
    /// The negatives.
    pub negatives: Vec<NegativeOnPaper>,
    /// The strips of the paper.
    pub papers: Vec<PaperStrip>,
    /// What is assumed.
    pub notes: Vec<ProofNote>,
}

impl Proof {
    /// The answer.
    #[must_use]
    pub fn of(question: ProofQuestion) -> Self {
        let ProofQuestion { time, change, negatives, papers, light, callier, sigma } = question;
        let mut notes = Vec::new();
        if matches!(&time, Some(TimeFrom::Strip(strip, _)) if strip.white().assumed) {
            notes.push(ProofNote::WhiteAssumed);
        }
        let time = time.map(|from| ProofTime::of(from, change, &papers, sigma));
        if !negatives.is_empty() {
            if light == Light::Condenser && callier.is_none() {
                notes.push(ProofNote::CallierAssumed);
            }
            notes.push(ProofNote::GradesAssumed);
        }
        let factor = Printing { light, callier, ..Printing::default() }.factor();
        let settings = (!papers.is_empty()).then(|| Settings::of(&papers));
        let on_paper = |negative: Negative| {
            let needed = negative.needed(factor, sigma);
            let range = needed.range_r.value;
            NegativeOnPaper {
                needed,
                grade: Grade::of(range),
                setting: settings.as_ref().map(|s| s.for_range(range)),
                negative,
            }
        };
        let negatives = negatives.into_iter().map(on_paper).collect();
        Self { time, negatives, papers, notes }
    }

    /// The figure of density over seconds; `None` where no time was asked for.
    #[must_use]
    #[cfg(feature = "figures")]
    pub fn figure(&self) -> Option<Chart> {
        let time = self.time.as_ref()?;
        let from = match &time.from {
            TimeFrom::Strip(strip, readings) => ProofCurve::Strip(strip, readings),
            TimeFrom::Paper { strip, reference, base_plus_fog } => ProofCurve::Paper(
                &self.papers[*strip],
                reference.log_seconds_less_log_exposure() + base_plus_fog,
            ),
        };
        Some(proof(from, time.found.as_ref().ok(), !time.change.is_none()))
    }

    fn time_fields(&self, all: &mut Description, time: &ProofTime) {
        let words = match &time.from {
            TimeFrom::Strip(_, readings) => {
                format!("from a test strip of {} exposures", readings.len())
            }
            TimeFrom::Paper { strip, .. } => {
                let strip = &self.papers[*strip];
                let paper = strip.strip.labels.film.as_deref().unwrap_or("the paper");
                format!("from the curve of {paper}, setting {}", strip.setting())
            }
        };
        all.subtitle = Some(words);
        let (field, note) = Field::measured("seconds", "expose for", &time.seconds(), seconds);
        all.add(Field { leads: true, ..field });
        all.notes.extend(note);
        let found = time.found.as_ref().ok();
        if time.change.is_none() {
            all.data("measured_seconds", found.map(|f| seconds(&f.seconds)));
            all.data("factor", Value::number(time.change.factor(), 3));
        } else {
            all.field("measured_seconds", "tested", found.map(|f| seconds(&f.seconds)));
            all.field("factor", "changed by a factor of", Value::number(time.change.factor(), 3));
        }
        let label = "black (0.90 of the net maximum density)";
        all.field("black_density", label, found.map(|f| Value::number(f.density, 2)));
        let d_max = found.map(|f| Value::quantity_as(&f.d_max, Form::Decimals(2)));
        all.field("d_max", "maximum density", d_max);
        let mut from = Section::default().keyed("from");
        match &time.from {
            TimeFrom::Strip(strip, readings) => {
                from.data("test_strip", readings.len());
                from.field("white", "unexposed paper", Value::number(strip.white().density, 2));
                from.data("white_assumed", strip.white().assumed);
            }
            TimeFrom::Paper { strip, .. } => from.data("paper", self.papers[*strip].setting()),
        }
        all.add(from);
    }

    fn no_time(all: &mut Description) {
        for key in ["seconds", "measured_seconds", "factor", "black_density", "d_max", "from"] {
            all.data(key, Value::Missing);
        }
    }

    fn negatives_table(&self, notes: &mut Vec<Note>) -> Table {
        let mut table = Table::new(vec![
            Column::new("negative", "negative"),
            Column::new("low", "lowest"),
            Column::new("high", "highest"),
            Column::new("needed_log_range", "log exposure range").for_programs(),
            Column::new("needed_range_r", "needs range R"),
            Column::new("grade", "grade"),
            Column::new("setting", "setting"),
        ])
        .keyed("negatives");
        let mut of_rows = Vec::new();
        for row in &self.negatives {
            let mut own = Vec::new();
            let grade = row.grade.map_err(|why| own.push(no_grade(why))).ok();
            let setting = match &row.setting {
                None => Value::Missing.worded(""),
                Some(Ok(chosen)) => setting_value(chosen),
                Some(Err(why)) => {
                    own.push(Note::missing("setting", "setting", why));
                    Value::Missing
                }
            };
            table.row(vec![
                row.negative.name.as_str().into(),
                Value::number(row.negative.low, 2),
                Value::number(row.negative.high, 2),
                Value::quantity_as(&row.needed.log_range, Form::Decimals(2)),
                Value::quantity_as(&row.needed.range_r, Form::Decimals(0)),
                grade.map(grade_value).into(),
                setting,
            ]);
            of_rows.extend(own.into_iter().map(|note| (row.negative.name.clone(), note)));
        }
        notes.extend(Note::merged(of_rows));
        table
    }
}

impl ProofTime {
    fn of(from: TimeFrom, mut change: Change, papers: &[PaperStrip], sigma: f64) -> Self {
        let found = match &from {
            TimeFrom::Strip(strip, _) => strip.shortest_black(),
            TimeFrom::Paper { strip, reference, base_plus_fog } => {
                // The film is that of the proof itself.
                change.base_plus_fog = None;
                match &papers[*strip].result {
                    Ok(paper) => from_paper(&paper.measures, *reference, *base_plus_fog, sigma),
                    Err(error) => Err(error.clone().into()),
                }
            }
        };
        Self { from, found, change }
    }

    /// The time to set now.
    ///
    /// # Errors
    /// [`NoBlack`] where none is found.
    pub fn seconds(&self) -> Result<Quantity, NoBlack> {
        self.found.clone().map(|f| self.change.scaled(f.seconds))
    }
}

/// The setting as an object of its own.
fn setting_value(chosen: &Chosen) -> Value {
    let mut section = Section::default();
    setting_fields(&mut section, chosen);
    let words = match &chosen.between {
        Some(between) => {
            let between = Value::quantity_as(between, Form::Decimals(1)).for_people();
            format!("{between}, near {}", chosen.nearest.label)
        }
        None => format!("{} (R {:.0})", chosen.nearest.label, chosen.nearest.range_r.value),
    };
    Value::of_section(&section).worded(words)
}

/// A time to about three digits.
fn seconds(q: &Quantity) -> Value {
    let decimals = match q.value {
        ..10.0 => 2,
        ..100.0 => 1,
        _ => 0,
    };
    Value::quantity_as(q, Form::Decimals(decimals)).unit(" s")
}

impl Answer for Proof {
    fn describe(&self) -> Description {
        let mut all = Description::new("Contact proof");
        match &self.time {
            Some(time) => self.time_fields(&mut all, time),
            None => Self::no_time(&mut all),
        }
        let only = match self.negatives.as_slice() {
            [one] => Some(Value::quantity(&one.needed.range_r)),
            _ => None,
        };
        all.data("needed_range_r", only);
        let mut notes = Vec::new();
        let mut table = self.negatives_table(&mut notes);
        if !table.rows.is_empty() {
            table.title = Some("negatives".to_owned());
        }
        all.add(table);
        all.notes.extend(notes);
        all.notes(&self.notes);
        all
    }

    fn is_no(&self) -> bool {
        let missing = |row: &NegativeOnPaper| match &row.setting {
            Some(setting) => setting.is_err(),
            None => row.grade.is_err(),
        };
        self.time.as_ref().is_some_and(|t| t.found.is_err()) || self.negatives.iter().any(missing)
    }
}
