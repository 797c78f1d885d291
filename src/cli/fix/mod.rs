//! `wedgebook fix`: from a clearing test to the fixing time.

mod args;

pub use args::Args;

use super::{Failure, Outcome, print};
use crate::bath::film::{Films, NOMINAL};
use crate::session::fixing::{ClearingTest, FACTOR, ML_PER_ROLL, SOURCE, SPENT, replenisher_ml};
use crate::words::{clock, trimmed};
use serde_json::json;
use std::fmt::Write;

/// Where the volume of fresh fixer comes from.
const PRACTICE: &str = "common practice, no source";
const CAUTION: &str =
    "spent fixer holds silver: dispose of it as the maker's safety sheet and the local rules say";

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let answer = Answer::of(args);
    print(&if args.json { answer.document() } else { answer.report() })?;
    Ok(match answer.test.is_spent() {
        Some(true) => Outcome::No,
        _ => Outcome::Done,
    })
}

struct Answer {
    test: ClearingTest,
    factor: f64,
    factor_source: &'static str,
    films: Films,
    ml_per_roll: f64,
    ml_source: &'static str,
    in_hand_ml: Option<f64>,
}

impl Answer {
    fn of(args: &Args) -> Self {
        let own = "as given";
        let source = |given: bool, otherwise| if given { own } else { otherwise };
        Self {
            test: ClearingTest { seconds: args.clearing, fresh_seconds: args.fresh },
            factor: args.factor.unwrap_or(FACTOR),
            factor_source: source(args.factor.is_some(), SOURCE),
            films: Films(args.rolls.iter().chain(&args.sheets).copied().collect()),
            ml_per_roll: args.ml_per_roll.unwrap_or(ML_PER_ROLL),
            ml_source: source(args.ml_per_roll.is_some(), PRACTICE),
            in_hand_ml: args.in_hand_ml,
        }
    }

    /// How long to fix, unless the fixer is spent.
    fn seconds(&self) -> Option<f64> {
        let is_spent = self.test.is_spent() == Some(true);
        (!is_spent).then(|| self.test.fixing_seconds(self.factor))
    }

    fn notes(&self) -> Vec<String> {
        let mut notes = Vec::new();
        if self.test.fresh_seconds.is_none() {
            notes.push("whether the fixer is spent cannot be told: give --fresh, the clearing time of the same film when it was fresh".to_owned());
        }
        if self.test.slowed().is_some_and(|slowed| slowed < 0.8) {
            notes.push(
                "it clears faster than when it was fresh: was it warmer, or another film?"
                    .to_owned(),
            );
        }
        if self.factor_source == SOURCE && self.seconds().is_some() {
            notes.push("twice the clearing time is for conventional emulsions; where the film's maker asks for more, give --factor".to_owned());
        }
        if !self.films.0.is_empty() {
            notes.push(NOMINAL.to_owned());
        }
        notes
    }

    fn report(&self) -> String {
        let mut out = String::new();
        let test = &self.test;
        let fresh = match (test.fresh_seconds, test.slowed()) {
            (Some(fresh), Some(slowed)) => format!(
                ", {} s when it was fresh: {slowed:.2} times as long, and {SPENT} is spent ({SOURCE})",
                trimmed(fresh, 1)
            ),
            _ => String::new(),
        };
        let _ = writeln!(out, "  clears in         {} s{fresh}", trimmed(test.seconds, 1));
        let _ = match self.seconds() {
            Some(seconds) => writeln!(
                out,
                "  fix for           {}, {} times the clearing time ({})",
                clock(seconds / 60.0),
                trimmed(self.factor, 2),
                self.factor_source
            ),
            None => writeln!(
                out,
                "  fix for           none: the fixer is spent; mix a fresh one and test it"
            ),
        };
        let rate =
            format!("{} ml a roll of 135-36 ({})", trimmed(self.ml_per_roll, 1), self.ml_source);
        if !self.films.0.is_empty() {
            let ml = replenisher_ml(&self.films, self.ml_per_roll);
            let _ = writeln!(
                out,
                "  fresh fixer       {} ml for {}, {} m²: {rate}",
                trimmed(ml, 0),
                self.films,
                trimmed(self.films.area_m2(), 4)
            );
        }
        if let Some(in_hand) = self.in_hand_ml {
            let rolls = in_hand / self.ml_per_roll;
            let _ = write!(
                out,
                "  in hand           {} ml, for {} rolls of 135-36",
                trimmed(in_hand, 1),
                trimmed(rolls.floor(), 0)
            );
            out.push_str(&match self.films.0.is_empty() {
                true => format!(": {rate}\n"),
                false => "\n".to_owned(),
            });
        }
        for note in self.notes() {
            let _ = writeln!(out, "  note: {note}");
        }
        if self.seconds().is_none() {
            let _ = writeln!(out, "  caution: {CAUTION}");
        }
        out
    }

    fn document(&self) -> String {
        let films = !self.films.0.is_empty();
        let document = json!({
            "clearing_seconds": self.test.seconds,
            "fresh_clearing_seconds": self.test.fresh_seconds,
            "slowed": self.test.slowed(),
            "spent": self.test.is_spent(),
            "spent_at": SPENT,
            "fixing_seconds": self.seconds(),
            "factor": self.factor,
            "factor_source": self.factor_source,
            "films": films.then(|| self.films.to_string()),
            "area_m2": films.then(|| self.films.area_m2()),
            "ml_per_roll": self.ml_per_roll,
            "ml_per_roll_source": self.ml_source,
            "replenish_ml": films.then(|| replenisher_ml(&self.films, self.ml_per_roll)),
            "in_hand_ml": self.in_hand_ml,
            "rolls_carried": self.in_hand_ml.map(|ml| ml / self.ml_per_roll),
            "notes": self.notes(),
        });
        format!("{document:#}\n")
    }
}
