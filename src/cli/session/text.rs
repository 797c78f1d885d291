//! A session as text.

use super::Told;
use super::words::{
    activity, aim, clock_words, develop, entries, exposure_index, fixing, fresh_fixer, moment,
    parts, percent, remark, usage, volume,
};
use crate::answers::bath::in_words as standing;
use crate::session::cautions::CAUTIONS;
use crate::session::{Sheet, StepKind, entry_words};
use crate::words::{duration, trimmed};
use std::fmt::Write;

/// The sheet.
pub fn report(told: &Told<'_>) -> String {
    let sheet = told.sheet;
    let mut out = format!(
        "{}, {}\n{}: {}, {} m²\n\n",
        sheet.title,
        told.date,
        sheet.pairing,
        sheet.films,
        trimmed(sheet.area_m2, 4)
    );
    for caution in CAUTIONS {
        let _ = writeln!(out, "  caution: {caution}");
    }
    developer(&mut out, told);
    batches(&mut out, sheet);
    mixtures(&mut out, sheet);
    steps(&mut out, sheet);
    timetable(&mut out, sheet);
    journal(&mut out, told);
    out.push('\n');
    for note in &sheet.notes {
        let _ = writeln!(out, "  note: {note}");
    }
    out
}

fn developer(out: &mut String, told: &Told<'_>) {
    let sheet = told.sheet;
    let d = &sheet.developing;
    out.push_str("\ndeveloper\n");
    let mut line = |what: &str, words: &str| {
        let _ = writeln!(out, "  {what:<18}{words}");
    };
    if let (Some(journal), Some(balance)) = (told.journal, &sheet.usage.bath) {
        let bath = standing(balance, told.date);
        line("bath", &format!("{}: {bath}", journal.display()));
    }
    line("carries", &usage(sheet));
    line("aim", &aim(sheet));
    line("activity", &activity(sheet));
    if let Some(wait) = &d.wait {
        line(
            "wait",
            &format!(
                "{:.0} min, from {:.1} °C to {:.1} °C in surroundings of {:.1} °C",
                wait.minutes.ceil(),
                wait.from,
                wait.to,
                wait.surroundings
            ),
        );
    }
    line("temperature", &format!("{:.1} °C", d.celsius.get()));
    line("develop for", &develop(sheet));
    if let Some(index) = exposure_index(sheet) {
        line("exposure index", &index);
    }
    out.push_str("\nfixer\n");
    let mut line = |what: &str, words: &str| {
        let _ = writeln!(out, "  {what:<18}{words}");
    };
    line("clearing test", &fixing(sheet));
    line("fresh fixer", &fresh_fixer(sheet));
}

fn batches(out: &mut String, sheet: &Sheet) {
    let _ = writeln!(
        out,
        "\n{} in a {} of {} ml",
        match sheet.batches.len() {
            1 => "1 batch".to_owned(),
            n => format!("{n} batches"),
        },
        sheet.vessel,
        volume(sheet.solution_ml)
    );
    for (n, batch) in sheet.batches.iter().enumerate() {
        let _ = writeln!(
            out,
            "  {:>3}  {}, {} m², {} full",
            n + 1,
            batch.films,
            trimmed(batch.area_m2, 4),
            percent(batch.fullness)
        );
    }
}

fn mixtures(out: &mut String, sheet: &Sheet) {
    out.push_str("\nto pour and mix\n");
    for mixture in &sheet.mixtures {
        let times = match mixture.times {
            1 => String::new(),
            n => format!(" for each of {n} batches"),
        };
        let _ = writeln!(
            out,
            "  {:<18}{} ml{times}, {}; {}",
            mixture.name,
            volume(mixture.total_ml),
            parts(mixture),
            mixture.after
        );
    }
}

fn steps(out: &mut String, sheet: &Sheet) {
    out.push_str("\nsteps of each batch\n");
    let _ = writeln!(out, "  {:<16}{:>8}{:>8}  {:<34}from", "", "time", "°C", "how");
    for step in &sheet.steps {
        let celsius = step.celsius.map_or(String::new(), |c| format!("{c:.1}"));
        let _ = writeln!(
            out,
            "  {:<16}{:>8}{celsius:>8}  {:<34}{}",
            step.kind.name(),
            duration(step.seconds.into()),
            step.how,
            step.source
        );
    }
}

fn timetable(out: &mut String, sheet: &Sheet) {
    let _ = writeln!(out, "\ntimetable, {}", clock_words(sheet));
    let kinds = sheet.steps.iter().map(|step| step.kind);
    let heads: String = kinds.map(|kind| format!("{:>14}", kind.name())).collect();
    let _ = writeln!(out, "  batch{heads}");
    for (n, batch) in sheet.batches.iter().enumerate() {
        let times = batch.steps.iter();
        let cells: String = times.map(|step| format!("{:>14}", moment(sheet, step.from))).collect();
        let _ = writeln!(out, "  {:>5}{cells}", n + 1);
    }
    let dry = sheet.batches.last().and_then(|b| {
        let step = b.steps.iter().find(|s| s.kind == StepKind::Dry)?;
        Some(moment(sheet, step.to))
    });
    let _ = writeln!(
        out,
        "  all hung up after {}, dry at {}",
        duration(sheet.seconds()),
        dry.unwrap_or_default()
    );
}

fn journal(out: &mut String, told: &Told<'_>) {
    let Some(journal) = told.journal else {
        return;
    };
    let _ = writeln!(out, "\nto enter in {} afterwards", journal.display());
    for (batch, act) in entries(told) {
        let _ =
            writeln!(out, "  {}  {}; note: {}", told.date, entry_words(act), remark(told, batch));
    }
    let _ = writeln!(out, "  or all at once: wedgebook session {} --enter", told.plan.display());
}
