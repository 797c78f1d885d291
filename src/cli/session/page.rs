//! A session as a page to print.

use super::Told;
use super::words::{
    activity, aim, clock_words, entries, exposure_index, fixing, fresh_fixer, moment, remark,
    usage, volume,
};
use crate::figures::{CheckColumn, CheckTable, Checklist, Headline};
use crate::session::cautions::CAUTIONS;
use crate::session::{Batch, Sheet, StepKind, entry_words};
use crate::words::{duration, trimmed};

/// The page.
pub fn checklist(told: &Told<'_>) -> Checklist {
    let sheet = told.sheet;
    let area = trimmed(sheet.area_m2, 4);
    let mut notes = vec![
        format!("developer: {}", usage(sheet)),
        format!("fixer: {}", fixing(sheet)),
        format!("fresh fixer: {}", fresh_fixer(sheet)),
    ];
    notes.extend(sheet.notes.iter().cloned());
    let mut tables = vec![mixtures(sheet), batches(sheet), steps(sheet)];
    tables.extend(journal(told));
    Checklist {
        title: format!("{}, {}", sheet.title, told.date),
        details: vec![format!("{}: {}, {area} m²", sheet.pairing, sheet.films)],
        cautions: CAUTIONS.map(str::to_owned).to_vec(),
        headline: Some(headline(sheet)),
        tables,
        notes,
    }
}

fn headline(sheet: &Sheet) -> Headline {
    let d = &sheet.developing;
    let mut words = vec![format!(
        "develop at {:.1} °C, {:.2} to {:.2} min",
        d.celsius.get(),
        d.minutes.low,
        d.minutes.high
    )];
    words.push(aim(sheet));
    words.push(format!("activity {}", activity(sheet)));
    if let Some(wait) = &d.wait {
        words.push(format!(
            "first wait {:.0} min, from {:.1} °C to {:.1} °C",
            wait.minutes.ceil(),
            wait.from,
            wait.to
        ));
    } else if let Some(index) = exposure_index(sheet) {
        words.push(format!("exposure index {index}"));
    }
    Headline { number: duration(d.seconds.into()), words }
}

fn column(heading: &str) -> CheckColumn {
    CheckColumn { heading: heading.to_owned(), is_number: false }
}

fn numbers(heading: &str) -> CheckColumn {
    CheckColumn { is_number: true, ..column(heading) }
}

fn mixtures(sheet: &Sheet) -> CheckTable {
    let ml = |v: Option<f64>| v.map_or(String::new(), volume);
    let row = |m: &crate::session::Mixture| {
        let each = match m.times {
            1 => m.after.to_owned(),
            n => format!("for each of {n} batches, {}", m.after),
        };
        let parts = m.parts.as_ref();
        vec![
            m.name.to_owned(),
            volume(m.total_ml),
            parts.map_or("as it is".to_owned(), |(d, ..)| d.to_string()),
            ml(parts.map(|p| p.1)),
            ml(parts.map(|p| p.2)),
            m.water_celsius.map_or(String::new(), |c| format!("{c:.1}")),
            each,
        ]
    };
    CheckTable {
        heading: "To pour and mix".to_owned(),
        columns: vec![
            column(""),
            numbers("ml"),
            column("parts"),
            numbers("stock, ml"),
            numbers("water, ml"),
            numbers("water, °C"),
            column("afterwards"),
        ],
        boxes: 1,
        rows: sheet.mixtures.iter().map(row).collect(),
    }
}

fn steps(sheet: &Sheet) -> CheckTable {
    let row = |step: &crate::session::Step| {
        vec![
            step.kind.name().to_owned(),
            duration(step.seconds.into()),
            step.celsius.map_or(String::new(), |c| format!("{c:.1}")),
            step.how.clone(),
            step.source.clone(),
        ]
    };
    CheckTable {
        heading: match sheet.batches.len() {
            1 => "Steps".to_owned(),
            _ => "Steps of each batch".to_owned(),
        },
        columns: vec![column(""), numbers("time"), numbers("°C"), column("how"), column("from")],
        boxes: sheet.batches.len(),
        rows: sheet.steps.iter().map(row).collect(),
    }
}

fn batches(sheet: &Sheet) -> CheckTable {
    let shown = [
        StepKind::Load,
        StepKind::Develop,
        StepKind::Stop,
        StepKind::Fix,
        StepKind::Wash,
        StepKind::Dry,
    ];
    let row = |(n, batch): (usize, &Batch)| {
        let at = |kind| {
            let step = batch.steps.iter().find(|s| s.kind == kind);
            step.map_or(String::new(), |s| moment(sheet, s.from))
        };
        let mut cells = vec![(n + 1).to_string(), batch.films.to_string()];
        cells.extend(shown.map(at));
        cells
    };
    let mut columns = vec![numbers(""), column("films")];
    columns.extend(shown.map(|kind| numbers(kind.name())));
    CheckTable {
        heading: format!(
            "Batches in a {} of {} ml; {}, all hung up after {}",
            sheet.vessel,
            volume(sheet.solution_ml),
            clock_words(sheet),
            duration(sheet.seconds())
        ),
        columns,
        boxes: 1,
        rows: sheet.batches.iter().enumerate().map(row).collect(),
    }
}

/// What to enter afterwards, where there is a journal.
fn journal(told: &Told<'_>) -> Option<CheckTable> {
    let journal = told.journal?;
    let row = |(batch, act): (usize, &crate::bath::journal::Act)| {
        vec![told.date.to_string(), entry_words(act), remark(told, batch)]
    };
    Some(CheckTable {
        heading: format!("To enter in {} afterwards", journal.display()),
        columns: vec![column("date"), column("entry"), column("note")],
        boxes: 1,
        rows: entries(told).map(row).collect(),
    })
}
