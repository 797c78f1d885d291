//! The tables of a session: batches, what to pour, steps, when each comes.

use super::{SessionSheet, count, moment, percent, volume};
use crate::answers::fixing::films;
use crate::answers::{Block, Column, Form, Gather, Section, Table, Value};
use crate::session::{Batch, Mixture, Step, StepKind, Timed};
use crate::words::{counted, duration};

impl SessionSheet {
    /// Which films go in together.
    pub(super) fn batches(&self) -> Table {
        let sheet = &self.sheet;
        let mut table = Table::new(vec![
            Column::new("batch", "batch"),
            Column::new("films", "films"),
            Column::new("area_m2", "m²"),
            Column::new("fullness", "full"),
        ])
        .titled(format!(
            "{} in a {} of {} ml",
            counted(sheet.batches.len(), "batch"),
            sheet.vessel,
            volume(sheet.solution_ml).for_people()
        ));
        for (n, batch) in sheet.batches.iter().enumerate() {
            table.row(vec![
                (n + 1).into(),
                batch.films.to_string().into(),
                Value::plain(batch.area_m2, 4),
                percent(batch.fullness).into(),
            ]);
        }
        table
    }

    /// The films by number, and where each lies.
    pub(super) fn numbered(&self) -> Table {
        let batches = self.sheet.batches.iter().enumerate();
        let films: Vec<_> =
            batches.flat_map(|(n, b)| b.numbered.iter().map(move |film| (n + 1, film))).collect();
        let one_batch = self.sheet.batches.len() == 1;
        let reels = films.iter().any(|(_, placed)| placed.film.reel.is_some());
        let mut table = Table::new(vec![
            Column::new("number", "film"),
            Column { for_programs: one_batch, ..Column::new("batch", "batch") },
            Column::new("format", "format"),
            Column { for_programs: !reels, ..Column::new("reel", "reel") },
            Column::new("place", "place"),
        ])
        .titled("films by number")
        .keyed("numbered");
        table.boxes = 1;
        for (batch, placed) in films {
            table.row(vec![
                placed.film.number.into(),
                batch.into(),
                placed.format.to_string().into(),
                blank(placed.film.reel.map(Value::from)),
                placed.film.place.into(),
            ]);
        }
        table
    }

    /// The batches with the times of their steps, for programs.
    pub(super) fn batch_list(&self) -> Block {
        let items = self.sheet.batches.iter().enumerate().map(|(n, b)| self.batch(n, b)).collect();
        Block::Sections { key: "batches".into(), items }
    }

    fn batch(&self, n: usize, batch: &Batch) -> Section {
        let mut section = Section::default();
        section.field("batch", "batch", n + 1);
        section.field("films", "films", films(&batch.films));
        section.field("area_m2", "area", Value::plain(batch.area_m2, 4));
        section.field("fullness", "full", Value::in_form(batch.fullness, Form::Percent(0)));
        let mut steps = Table::new(vec![
            Column::new("step", "step"),
            Column::new("from_seconds", "from"),
            Column::new("to_seconds", "to"),
            Column::new("at", "at"),
        ])
        .keyed("steps");
        for step in &batch.steps {
            steps.row(vec![
                step.kind.code().into(),
                count(step.from),
                count(step.to),
                self.moment(step.from).into(),
            ]);
        }
        section.add(steps);
        section
    }

    /// What is poured and mixed.
    pub(super) fn mixtures(&self) -> Table {
        let all: Vec<_> = self.sheet.mixtures.iter().map(|m| (None, m)).collect();
        mixtures(&all)
    }

    /// The steps of each batch.
    pub(super) fn steps(&self) -> Table {
        let batches = self.sheet.batches.len();
        let title = if batches == 1 { "steps" } else { "steps of each batch" };
        steps(&self.sheet.steps, batches, None).titled(title)
    }

    /// When each step of each batch begins.
    pub(super) fn timetable(&self) -> Table {
        let sheet = &self.sheet;
        let batches = sheet.batches.iter().map(|batch| batch.steps.as_slice());
        timetable("batch", &sheet.steps, sheet.start, batches)
    }
}

/// `null` for programs and nothing to see for people, where there is no value.
pub(super) fn blank(value: Option<Value>) -> Value {
    value.unwrap_or_else(|| Value::Missing.worded(""))
}

/// Solutions, each with the name of the developer where there are several.
pub(super) fn mixtures(all: &[(Option<&str>, &Mixture)]) -> Table {
    let once = all.iter().all(|(_, m)| m.times == 1);
    let mut table = Table::new(vec![
        Column::new("name", "solution"),
        Column { for_programs: once, ..Column::new("times", "times") },
        Column::new("total_ml", "ml"),
        Column::new("dilution", "parts"),
        Column::new("stock_ml", "stock, ml"),
        Column::new("water_ml", "water, ml"),
        Column::new("water_celsius", "water, °C"),
        Column::new("after", "afterwards"),
    ])
    .titled("to pour and mix")
    .keyed("mixtures");
    table.boxes = 1;
    for (of, mixture) in all {
        let parts = mixture.parts.as_ref();
        let ml = |v: Option<f64>| blank(v.map(volume));
        table.row(vec![
            of.map_or_else(|| mixture.name.into(), |of| format!("{} {of}", mixture.name).into()),
            mixture.times.into(),
            volume(mixture.total_ml),
            match parts {
                Some((dilution, ..)) => dilution.to_string().into(),
                None => Value::Missing.worded("as it is"),
            },
            ml(parts.map(|p| p.1)),
            ml(parts.map(|p| p.2)),
            blank(mixture.water_celsius.map(|c| Value::number(c, 1))),
            Value::term(mixture.after.code(), mixture.after.to_string()),
        ]);
    }
    table
}

/// When each step begins, in each batch or tank of a session that begins so many minutes after midnight, or
/// at 0:00:00.
pub(super) fn timetable<'a>(
    of: &'static str,
    steps: &[Step],
    start: Option<u32>,
    all: impl Iterator<Item = &'a [Timed]>,
) -> Table {
    let mut columns = vec![Column::new(of, of)];
    columns.extend(steps.iter().map(|step| Column::new(step.kind.code(), step.kind.name())));
    let clock = match start {
        Some(_) => "times of day",
        None => "times from the beginning",
    };
    let mut table = Table::new(columns).titled(format!("timetable, {clock}"));
    for (n, timed) in all.enumerate() {
        let at = |s: &Timed| count(s.from).worded(moment(start, s.from));
        let mut cells = vec![Value::from(n + 1)];
        cells.extend(timed.iter().map(at));
        table.row(cells);
    }
    table
}

/// The steps of so many batches; one that each batch has in its own way is left out.
pub(super) fn steps(steps: &[Step], batches: usize, without: Option<StepKind>) -> Table {
    let mut table = Table::new(vec![
        Column::new("step", "step"),
        Column::new("seconds", "time"),
        Column::new("celsius", "°C"),
        Column::new("how", "how"),
        Column::new("source", "from"),
    ])
    .keyed("steps");
    table.boxes = batches;
    for step in steps.iter().filter(|step| Some(step.kind) != without) {
        table.row(vec![
            Value::term(step.kind.code(), step.kind.name()),
            Value::from(step.seconds).worded(duration(step.seconds.into())),
            blank(step.celsius.map(|c| Value::number(c, 1))),
            step.how.as_str().into(),
            Value::term(step.source.code(), step.source.to_string()),
        ]);
    }
    table
}
