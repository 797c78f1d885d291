//! How long is film washed, and how much fixer is left?

use super::fixing::origin;
use super::{Answer, Description, Field, Gather, Value};
use crate::session::Origin;
use crate::session::washing::{
    CHANGES_SOURCE, Changes, HALF_TIME, HALF_TIME_SOURCE, MINUTES_PER_CHANGE, RESIDUAL, RetainsAll,
    Running, WashingNote, notes, percent,
};
use crate::words::{clock, counted, trimmed};

/// How film is washed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WashedBy {
    /// In running water.
    Running {
        /// Minutes in which half of the fixer leaves, where they are stated.
        half_time: Option<f64>,
        /// Minutes of washing; otherwise as many as are needed.
        minutes: Option<f64>,
    },
    /// In changes of water.
    Changes {
        /// What stays behind when the water is poured out, in **ml**.
        retained_ml: f64,
        /// What the filled vessel has, in **ml**.
        total_ml: f64,
        /// How many; otherwise as many as are needed.
        changes: Option<u32>,
        /// Minutes that each stands, where they are stated.
        minutes_each: Option<f64>,
    },
}

/// How film is washed, and what may be left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WashQuestion {
    /// How.
    pub by: WashedBy,
    /// Share of the fixer that may be left, where it is stated.
    pub residual: Option<f64>,
}

/// A wash, and how much fixer it leaves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wash {
    /// Minutes of it.
    pub minutes: f64,
    /// Share of the fixer that is left.
    pub left: f64,
    law: Law,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Law {
    Running(Running, Origin),
    Changes { law: Changes, changes: u32, each: f64, from: Origin },
}

impl Wash {
    /// The wash that leaves no more than may be left, or what a given wash leaves.
    ///
    /// # Errors
    /// [`RetainsAll`] where the water that stays behind is not less than that of the filled vessel.
    pub fn of(question: WashQuestion) -> Result<Self, RetainsAll> {
        let residual = question.residual.unwrap_or(RESIDUAL);
        Ok(match question.by {
            WashedBy::Running { half_time, minutes } => {
                let law = Running { half_time: half_time.unwrap_or(HALF_TIME) };
                let wanted = || law.minutes(residual).unwrap_or_default();
                let minutes = minutes.unwrap_or_else(wanted);
                let from = HALF_TIME_SOURCE.unless(half_time.as_ref());
                Self { minutes, left: law.fraction_left(minutes), law: Law::Running(law, from) }
            }
            WashedBy::Changes { retained_ml, total_ml, changes, minutes_each } => {
                let law = Changes::new(retained_ml, total_ml)?;
                let wanted = || law.changes(residual).unwrap_or_default();
                let changes = changes.unwrap_or_else(wanted);
                let each = minutes_each.unwrap_or(MINUTES_PER_CHANGE);
                let from = CHANGES_SOURCE.unless(minutes_each.as_ref());
                let minutes = f64::from(changes) * each;
                let left = law.fraction_left(changes);
                Self { minutes, left, law: Law::Changes { law, changes, each, from } }
            }
        })
    }

    fn notes(&self) -> Vec<WashingNote> {
        notes(self.minutes, matches!(self.law, Law::Changes { .. }))
    }
}

impl Answer for Wash {
    fn describe(&self) -> Description {
        let time = clock(self.minutes);
        let (method, title) = match self.law {
            Law::Running(..) => ("running", format!("Wash for {time} in running water")),
            Law::Changes { changes, .. } => {
                let changes = counted(changes, "change");
                ("changes", format!("Wash in {changes} of water, {time} in all"))
            }
        };
        let mut all = Description::new(title);
        all.heading.push(Field::new("method", "method", Value::term(method, method)));
        all.heading.push(Field::new("minutes", "wash for", Value::number(self.minutes, 2)));
        let left = Value::number(self.left, 4).worded(percent(self.left));
        all.field("fraction_left", "fixer left", left);
        let minutes = |minutes: f64, from: Origin| {
            Value::plain(minutes, 2).worded(format!("{} min ({from})", trimmed(minutes, 2)))
        };
        let ml = |ml: f64| Value::plain(ml, 1).unit(" ml");
        match self.law {
            Law::Running(law, from) => {
                let half_time = minutes(law.half_time, from);
                all.field("half_time_minutes", "half of it leaves in", half_time);
                all.data("half_time_source", origin(from));
                nothing(
                    &mut all,
                    &["changes", "minutes_each", "minutes_each_source", "retained_ml", "total_ml"],
                );
            }
            Law::Changes { law, changes, each, from } => {
                all.heading.push(Field::new("changes", "changes of water", changes));
                all.field("minutes_each", "each change stands for", minutes(each, from));
                all.data("minutes_each_source", origin(from));
                all.field("retained_ml", "water that stays behind", ml(law.retained()));
                all.field("total_ml", "water in the filled vessel", ml(law.total()));
                nothing(&mut all, &["half_time_minutes", "half_time_source"]);
            }
        }
        all.notes(self.notes());
        all
    }
}

/// What the other way of washing has: nothing here, so that one document has the keys of both.
fn nothing(all: &mut Description, keys: &[&'static str]) {
    for key in keys {
        all.data(*key, Value::Missing);
    }
}
