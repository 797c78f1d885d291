//! A report: several answers, one after the other, with what was found in a sentence each.

use super::bath::chart::ControlCharts;
use super::bath::status::BathStatus;
use super::{Answer, Calibrated, Column, Curves, Description, FirstStrip, Papers, Table, Value};
use crate::figures::characteristic;
use crate::figures::draw::Scene;
use crate::session::cautions::CAUTIONS;
use crate::words::{number, rounded_clock, speed_decimals, trimmed};
use jiff::civil::Date;

/// A report.
#[derive(Debug)]
pub struct Report {
    /// Its title.
    pub title: String,
    /// Its day.
    pub date: Date,
    /// Its parts, in their order.
    pub parts: Vec<ReportPart>,
}

/// One answer of a report.
#[derive(Debug)]
pub struct ReportPart {
    /// What the answer says.
    pub description: Description,
    /// What was found, in a sentence.
    pub found: Option<String>,
    /// Its figures.
    pub figures: Vec<Scene>,
    /// Its curves, to be read out.
    pub curves: Vec<Traced>,
}

/// Points along a curve.
#[derive(Clone, Debug, PartialEq)]
pub struct Traced {
    /// The strip.
    pub name: String,
    /// Log exposure, density, its 95 % interval, slope.
    pub points: Vec<[f64; 5]>,
}

/// Every so many points of a curve one is kept: every 0.04 of log exposure.
const KEPT: usize = 2;
/// Every so many of those stand in the table: every 0.2 of log exposure.
const ROWS: usize = 5;

/// Terms, what they mean, and where from.
pub const DEFINITIONS: [(&str, &str, &str); 10] = [
    ("base plus fog", "density of the processed, unexposed film", ""),
    ("gamma", "greatest slope of the curve within the readings", "Hurter and Driffield 1890"),
    (
        "contrast index",
        "slope of the chord between two arcs of radius 0.2 and 2.2 about a point of the line of base plus fog",
        "Niederpruem, Nelson and Yule 1966",
    ),
    ("average gradient", "slope of the chord from the speed point over 1.50 of log exposure", ""),
    ("speed point", "log exposure where the density is 0.10 above base plus fog", "ISO 6:1993"),
    (
        "ISO speed",
        "0.8 over the exposure of the speed point, where the density gains 0.80 over 1.30 of log exposure",
        "ISO 6:1993",
    ),
    (
        "exposure index",
        "what the meter is set to: 0.8 over the exposure of the speed point, at the contrast that film is developed to",
        "",
    ),
    ("range R", "100 times the log exposure range of a paper", "ISO 6846:1992"),
    (
        "activity",
        "how fast a bath develops, 1 being that of the calibration: everything takes 1/activity of its time",
        "",
    ),
    (
        "95 % interval",
        "holds the true value about 95 times in 100, by simulation also for films that are not of the model's shape",
        "",
    ),
];

impl Report {
    /// What was found, a sentence a part.
    #[must_use]
    pub fn summary(&self) -> Vec<&str> {
        self.parts.iter().filter_map(|part| part.found.as_deref()).collect()
    }
}

impl Report {
    /// What protects whoever works by it: times and baths come with the cautions of a session.
    #[must_use]
    pub const fn cautions(&self) -> &'static [&'static str] {
        &CAUTIONS
    }
}

impl Traced {
    /// Its points as a table.
    #[must_use]
    pub fn table(&self) -> Table {
        let mut table = Table::new(vec![
            Column::new("log_exposure", "log exposure"),
            Column::new("density", "density"),
            Column::new("slope", "slope"),
        ]);
        for [x, density, low, high, slope] in self.points.iter().step_by(ROWS) {
            let two = |v: &f64| number(*v, 2);
            let words = format!("{} ({} to {})", two(density), two(low), two(high));
            table.row(vec![
                Value::number(*x, 2),
                Value::number(*density, 2).worded(words),
                Value::number(*slope, 2),
            ]);
        }
        table
    }
}

impl ReportPart {
    /// Any answer, without figures.
    #[must_use]
    pub fn of(answer: &impl Answer) -> Self {
        Self {
            description: answer.describe(),
            found: None,
            figures: Vec::new(),
            curves: Vec::new(),
        }
    }

    /// The same with figures.
    #[must_use]
    pub fn with(self, figures: Vec<Scene>) -> Self {
        Self { figures, ..self }
    }

    /// The same with what was found.
    #[must_use]
    pub fn found(self, words: impl Into<String>) -> Self {
        Self { found: Some(words.into()), ..self }
    }

    /// A bath, by the name of its journal: its status, and its charts.
    #[must_use]
    pub fn of_bath(name: &str, status: &BathStatus, charts: &ControlCharts) -> [Self; 2] {
        let record = &status.question.record;
        let found = format!("The bath {name} on {}: {}.", record.on, record.standing);
        [Self::of(status).found(found), Self::of(charts).with(vec![charts.figure().scene()])]
    }

    /// A pairing that has one strip.
    #[must_use]
    pub fn of_first_strip(first: &FirstStrip) -> Self {
        let strip = std::slice::from_ref(&first.one.analysis);
        Self::of(first).with(vec![characteristic(strip).scene()])
    }

    /// The curves of strips.
    #[must_use]
    pub fn of_curves(curves: &Curves) -> Self {
        let mut traced: Vec<Traced> = Vec::new();
        let mut count = 0;
        for (strip, point) in curves.table() {
            if traced.last().is_none_or(|last| last.name != strip) {
                traced.push(Traced { name: strip.to_owned(), points: Vec::new() });
                count = 0;
            }
            if let (0, Some(last)) = (count % KEPT, traced.last_mut()) {
                last.points.push(point);
            }
            count += 1;
        }
        let of = |a: &crate::measures::StripAnalysis| {
            let ci = a.measures()?.contrast_index.as_ref().ok()?;
            let interval = format!("{} to {}", number(ci.low, 3), number(ci.high, 3));
            let value = number(ci.value, 3);
            Some(format!("{} {value} ({interval})", a.strip.name))
        };
        let found: Vec<String> = curves.strips.iter().filter_map(of).collect();
        let part = Self::of(curves).with(vec![curves.figure().scene()]);
        let found =
            (!found.is_empty()).then(|| format!("Contrast index of strips: {}.", found.join(", ")));
        Self { curves: traced, found, ..part }
    }

    /// A pairing.
    #[must_use]
    pub fn of_pairing(calibrated: &Calibrated) -> Self {
        let figures = vec![calibrated.figure().scene(), calibrated.strips_figure().scene()];
        let part = Self::of(calibrated).with(figures);
        let row = calibrated.rows.iter().find(|row| row.stops == 7.0);
        let Some(adjusted) = row.and_then(|row| row.answer.as_ref().ok()) else { return part };
        let minutes = &adjusted.minutes;
        let clock = rounded_clock;
        let index = adjusted.exposure_index.map(|index| {
            format!(", at exposure index {}", number(index.value, speed_decimals(index.value)))
        });
        let words = format!(
            "{}: a normal scene of 7 stops needs {} ({} to {}) at {} °C{}.",
            calibrated.file.name,
            clock(minutes.value),
            clock(minutes.low),
            clock(minutes.high),
            trimmed(calibrated.pairing.reference.get(), 1),
            index.unwrap_or_default()
        );
        part.found(words)
    }

    /// A paper.
    #[must_use]
    pub fn of_papers(papers: &Papers) -> Self {
        let part = Self::of(papers).with(vec![papers.figure().scene()]);
        let of = |paper: &crate::printing::PaperStrip| {
            let range = paper.measures()?.range_r.as_ref().ok()?;
            Some(format!("setting {} {}", paper.setting(), number(range.value, 0)))
        };
        let found: Vec<String> = papers.strips.iter().filter_map(of).collect();
        match found.is_empty() {
            true => part,
            false => part.found(format!("Range R of the paper: {}.", found.join(", "))),
        }
    }
}
