//! Is a bath in control?

use super::BathRecord;
use crate::answers::standing::standing_field;
use crate::answers::{
    Answer, Block, Column, Description, Field, Form, Gather, Note, Section, Table, Value,
};
use crate::bath::control::{
    Alphabet, Basis, Chart, ChartSignal, ControlError, Point, Rule, Stretch,
};
use crate::bath::history::chart;
#[cfg(feature = "figures")]
use crate::bath::journal::{Act, Entry};
use crate::bath::limits::{Limits, LimitsFrom};
use crate::bath::watched::Watched;
#[cfg(feature = "figures")]
use crate::figures::{Chart as Page, Mark, control_charts};
use crate::words::{counted, number};

/// Strips that a line of text shows.
const WIDTH: usize = 20;

/// What is asked.
#[derive(Debug)]
pub struct ChartQuestion {
    /// The bath.
    pub record: BathRecord,
    /// The tolerances.
    pub limits: Limits,
    /// What is charted.
    pub watched: Vec<Watched>,
    /// Where centre and control limits come from.
    pub basis: Basis,
    /// What the lines of the text are drawn with, where they are drawn.
    pub alphabet: Option<Alphabet>,
}

/// The control charts of a bath.
#[derive(Debug)]
pub struct ControlCharts {
    /// The bath.
    pub record: BathRecord,
    /// Where the tolerances come from.
    pub tolerances: LimitsFrom,
    /// The charts, or why there are none.
    pub charts: Vec<(Watched, Result<Chart, ControlError>)>,
    alphabet: Option<Alphabet>,
}

impl ControlCharts {
    /// Charts the control strips.
    #[must_use]
    pub fn of(question: ChartQuestion) -> Self {
        let ChartQuestion { record, limits, watched, basis, alphabet } = question;
        let one = |w: Watched| (w, chart(&record.entries, w, &limits, basis));
        let charts = watched.into_iter().map(one).collect();
        Self { charts, tolerances: limits.from, record, alphabet }
    }

    fn made(&self) -> impl Iterator<Item = (Watched, &Chart)> {
        self.charts.iter().filter_map(|(w, chart)| Some((*w, chart.as_ref().ok()?)))
    }

    /// Whether the present bath has a strip: those of an earlier bath do not judge it.
    fn judges(&self) -> bool {
        self.record.balance.strips > 0
    }

    /// The page of charts, with what happened to the bath.
    #[cfg(feature = "figures")]
    #[must_use]
    pub fn figure(&self) -> Page {
        let mark = |entry: &Entry| {
            let text = match &entry.act {
                Act::Mix { .. } => "mixed",
                Act::Replenish { .. } => "replenished",
                Act::Discard => "discarded",
                _ => return None,
            };
            Some(Mark { date: entry.date, text: text.to_owned() })
        };
        let marks: Vec<Mark> = self.record.entries.iter().filter_map(mark).collect();
        // A bath is called by its pairing, or else by what was mixed last.
        let mixed = self.record.entries.iter().rev().find_map(|entry| match &entry.act {
            Act::Mix { what, .. } => what.clone(),
            _ => None,
        });
        let name = match &self.record.pairing {
            Ok((file, _)) => file.name.clone(),
            Err(_) => mixed.unwrap_or_else(|| "the bath".to_owned()),
        };
        let charts: Vec<Chart> = self.made().map(|(_, chart)| chart.clone()).collect();
        control_charts(&name, &charts, &marks)
    }

    /// One row a chart: its line, the last value, how the bath stands.
    fn lines(&self) -> Table {
        let mut table = Table::new(vec![
            Column::new("quantity", "watched"),
            Column::new("line", format!("last {WIDTH} strips")),
            Column::new("last", "last"),
            Column::new("state", "state"),
        ])
        .titled("activity, and what is off aim");
        for (watched, chart) in self.made() {
            let state = (!self.judges()).then(|| "no strip of this bath".to_owned());
            table.row(vec![
                watched.name().into(),
                self.alphabet.map_or(Value::Empty, |a| chart.sparkline(WIDTH, a).into()),
                Value::number(chart.last().value, chart.plan().decimals),
                state.unwrap_or_else(|| self.record.state(chart).to_string()).into(),
            ]);
        }
        table
    }

    /// Centre, control limits and tolerances of the last stretch of each chart.
    fn limits(&self) -> Table {
        let mut table = Table::new(vec![
            Column::new("quantity", "limits"),
            Column::new("centre", "centre"),
            Column::new("lower", "lower"),
            Column::new("upper", "upper"),
            Column::new("from", "made from"),
            Column::new("tolerance", "tolerance"),
        ]);
        for (watched, chart) in self.made() {
            let stretch = chart.last_stretch();
            let decimals = chart.plan().decimals;
            let fine = |v: Option<f64>| v.map(|v| Value::number(v, decimals + 1)).into();
            let control = stretch.control.as_ref().ok();
            let made_from = control.map_or(Value::Empty, |c| match c.values {
                0 if c.assumed.is_some() => "assumed".into(),
                0 => "given".into(),
                n => counted(n as u64, "strip").into(),
            });
            table.row(vec![
                watched.name().into(),
                fine(control.map(|c| c.centre)),
                fine(control.map(|c| c.lower)),
                fine(control.map(|c| c.upper)),
                made_from,
                tolerance(stretch, decimals).into(),
            ]);
        }
        table
    }

    /// The rules that are broken, with the label that stands for them on the figure.
    fn rules(&self) -> Table {
        let mut broken: Vec<(Rule, usize)> = Vec::new();
        for signal in self.made().flat_map(|(_, chart)| chart.signals()) {
            match broken.iter_mut().find(|(rule, _)| *rule == signal.rule) {
                Some((_, count)) => *count += 1,
                None => broken.push((signal.rule, 1)),
            }
        }
        broken.sort_unstable();
        let mut table = Table::new(vec![
            Column::new("label", "on the figure"),
            Column::new("rule", "rule that is broken"),
            Column::new("times", "times"),
        ]);
        for (rule, times) in broken {
            table.row(vec![rule.short().into(), rule.words().into(), times.into()]);
        }
        table
    }
}

/// How a bath stands by a chart: state, gravest rule, how many more, since when.
pub(super) fn state_cells(record: &BathRecord, chart: &Result<Chart, ControlError>) -> Vec<Value> {
    let state = match chart {
        Ok(chart) => record.state(chart),
        Err(_) => return vec!["not known".into(), Value::Missing, Value::Empty, Value::Missing],
    };
    let (word, rule) = match (state.standing, state.rule) {
        (Err(why), _) => {
            (Value::Missing.worded("not known"), Value::Missing.worded(why.to_string()))
        }
        (Ok(standing), None) => (standing.code().into(), Value::Missing.worded("")),
        (Ok(standing), Some(rule)) => {
            let more = match state.more {
                0 => String::new(),
                n => format!(", and {}", counted(n as u64, "more rule")),
            };
            let words = format!("{}{more}", rule.words());
            (standing.code().into(), Value::term(rule.code(), words))
        }
    };
    let since = state.since.map_or(Value::Missing.worded(""), Value::from);
    vec![word, rule, state.more.into(), since]
}

/// `−0.050 to 0.050`.
fn tolerance(stretch: &Stretch, decimals: usize) -> String {
    let Some(t) = &stretch.tolerance else { return "none".to_owned() };
    match (t.lower().map(|v| number(v, decimals)), t.upper().map(|v| number(v, decimals))) {
        (Some(low), Some(high)) => format!("{low} to {high}"),
        (Some(low), None) => format!("from {low}"),
        (None, high) => format!("to {}", high.unwrap_or_default()),
    }
}

impl Answer for ControlCharts {
    fn describe(&self) -> Description {
        let record = &self.record;
        let mut all = Description::new(format!("Control charts: {}", record.title()));
        all.first = Some(standing_field(&record.standing));
        all.heading.push(Field::new("bath", "journal", record.file.as_str()));
        all.heading.push(Field::new("on", "day", record.on));
        let items = self.made().map(|(w, chart)| section(w, chart, self.judges())).collect();
        let rules = self.rules();
        let explained = !rules.rows.is_empty();
        let people = [self.lines(), self.limits(), rules].map(Block::Table).to_vec();
        let programs = vec![Block::Sections { key: "charts".into(), items }];
        all.add(Block::Twofold { people, programs });
        all.data("tolerances", self.tolerances.code());
        for (watched, chart) in &self.charts {
            if let Err(why) = chart {
                all.notes.push(Note::missing(watched.code(), watched.charted_name(), why));
            }
        }
        let of = |(watched, chart): (Watched, &Chart)| -> Vec<(String, Note)> {
            let name = watched.name();
            chart.notes().iter().map(|n| (name.to_owned(), Note::remark(n))).collect()
        };
        all.notes.extend(Note::merged(self.made().flat_map(of).collect()));
        if explained {
            all.note("a number after a label on the figure, as in \"limit +3\": so many more rules are broken from that strip on");
        }
        all.note(format_args!("tolerances: {}", self.tolerances));
        all
    }

    fn is_no(&self) -> bool {
        self.record.standing.withholds()
    }
}

/// A chart for programs.
fn section(watched: Watched, chart: &Chart, judges: bool) -> Section {
    let mut section = Section::default();
    section.data("quantity", watched.code());
    section.data("in_control", chart.in_control().filter(|_| judges));
    let standing = chart.standing().ok().filter(|_| judges);
    section.data("state", standing.map(|s| Value::from(s.code())));
    section.data("stretches", Value::List(chart.stretches().iter().map(stretch).collect()));
    section.data("points", Value::List(chart.points().iter().map(point).collect()));
    let signal = |s: &ChartSignal| {
        Value::Map(vec![
            ("rule".into(), s.rule.code().into()),
            ("date".into(), s.date.into()),
            ("point".into(), s.index.into()),
        ])
    };
    section.data("signals", Value::List(chart.signals().iter().map(signal).collect()));
    section
}

fn plain(value: Option<f64>) -> Value {
    value.map(|v| Value::in_form(v, Form::Decimals(4))).into()
}

fn point(p: &Point) -> Value {
    Value::Map(vec![
        ("date".into(), p.date.into()),
        ("value".into(), plain(Some(p.value))),
        ("batch_shift".into(), plain(Some(p.shift))),
        ("strips".into(), p.strips.into()),
        ("moving_range".into(), plain(p.moving_range)),
        ("weighted_average".into(), plain(p.average)),
        ("cusum_high".into(), plain(p.sums.map(|s| s.0))),
        ("cusum_low".into(), plain(p.sums.map(|s| s.1))),
    ])
}

fn stretch(s: &Stretch) -> Value {
    let control = s.control.as_ref().ok();
    Value::Map(vec![
        ("from_point".into(), s.points.start.into()),
        ("to_point".into(), s.points.end.saturating_sub(1).into()),
        ("centre".into(), plain(control.map(|c| c.centre))),
        ("lower".into(), plain(control.map(|c| c.lower))),
        ("upper".into(), plain(control.map(|c| c.upper))),
        ("provisional".into(), control.map(|c| c.provisional).into()),
        ("tolerance_lower".into(), plain(s.tolerance.and_then(|t| t.lower()))),
        ("tolerance_upper".into(), plain(s.tolerance.and_then(|t| t.upper()))),
    ])
}
