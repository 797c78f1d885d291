//! `wedgebook wash`: how long to wash, or how much fixer is left.

mod args;

pub use args::Args;

use super::{Failure, Outcome, print};
use crate::session::washing::{
    CHANGES_SOURCE, Changes, HALF_TIME_SOURCE, LEAST_BY_HANDBOOK, MINUTES_PER_CHANGE, RESIDUAL,
    Running, percent,
};
use crate::words::{clock, trimmed};
use serde_json::json;
use std::fmt::Write;

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let answer = match args.retained_ml.zip(args.total_ml) {
        Some((retained, total)) => by_changes(args, retained, total)?,
        None => running(args),
    };
    print(&if args.json { answer.document() } else { answer.report() })?;
    Ok(Outcome::Done)
}

struct Answer {
    method: &'static str,
    minutes: f64,
    changes: Option<u32>,
    minutes_each: Option<f64>,
    half_time: Option<f64>,
    left: f64,
    law: String,
}

/// How long, or how much is left.
fn running(args: &Args) -> Answer {
    let (law, from) = match args.half_time {
        Some(half_time) => (Running { half_time }, "as given"),
        None => (Running::default(), HALF_TIME_SOURCE),
    };
    let residual = args.residual.unwrap_or(RESIDUAL);
    let wanted = law.minutes(residual).unwrap_or_default();
    let minutes = args.minutes.unwrap_or(wanted);
    Answer {
        method: "running",
        minutes,
        changes: None,
        minutes_each: None,
        half_time: Some(law.half_time),
        left: law.fraction_left(minutes),
        law: format!("half of the fixer leaves in {} min ({from})", trimmed(law.half_time, 2)),
    }
}

fn by_changes(args: &Args, retained: f64, total: f64) -> Result<Answer, Failure> {
    let law = Changes::new(retained, total).ok_or_else(|| {
        Failure(format!("--retained-ml: {retained} ml stay behind and the filled vessel has {total} ml: less must stay behind"))
    })?;
    let residual = args.residual.unwrap_or(RESIDUAL);
    let changes = args.changes.unwrap_or_else(|| law.changes(residual).unwrap_or_default());
    let (each, from) = match args.minutes_each {
        Some(each) => (each, "as given"),
        None => (MINUTES_PER_CHANGE, CHANGES_SOURCE),
    };
    Ok(Answer {
        method: "changes",
        minutes: f64::from(changes) * each,
        changes: Some(changes),
        minutes_each: Some(each),
        half_time: None,
        left: law.fraction_left(changes),
        law: format!(
            "each change leaves {} of {} ml; {} min each ({from})",
            trimmed(retained, 1),
            trimmed(total, 1),
            trimmed(each, 2)
        ),
    })
}

impl Answer {
    fn notes(&self) -> Vec<String> {
        let mut notes = Vec::new();
        if self.minutes < LEAST_BY_HANDBOOK {
            notes.push(format!("a law of washing tells the least: {HALF_TIME_SOURCE} asks for {LEAST_BY_HANDBOOK} minutes and more in full changes of water every three minutes; where negatives are to last, test the wash"));
        }
        if self.changes.is_some() {
            notes.push("each change is held to stand until film and water are even".to_owned());
        }
        notes
    }

    fn report(&self) -> String {
        let mut out = String::new();
        let clock = clock(self.minutes);
        let _ = match self.changes {
            Some(changes) => {
                writeln!(out, "  wash in           {changes} changes of water, {clock}")
            }
            None => writeln!(out, "  wash for          {clock} in running water"),
        };
        let _ = writeln!(out, "  leaves            {} of the fixer", percent(self.left));
        let _ = writeln!(out, "  law               {}", self.law);
        for note in self.notes() {
            let _ = writeln!(out, "  note: {note}");
        }
        out
    }

    fn document(&self) -> String {
        let document = json!({
            "method": self.method,
            "minutes": self.minutes,
            "changes": self.changes,
            "minutes_each": self.minutes_each,
            "half_time_minutes": self.half_time,
            "fraction_left": self.left,
            "law": self.law,
            "notes": self.notes(),
        });
        format!("{document:#}\n")
    }
}
