//! What a forecast rests on, in words.

use super::contradiction::Contradiction;
use super::outlook::{Count, Span};
use super::{Bath, LONGEST_DAYS, MOST_FILMS, ROLL_M2};
use std::fmt;

impl fmt::Display for Count {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let words = |n: u32| {
            if n >= MOST_FILMS { format!("{MOST_FILMS} or more") } else { n.to_string() }
        };
        write!(f, "{} ({} to {})", words(self.median), words(self.low), words(self.high))
    }
}

impl fmt::Display for Span {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let words = |days: f64| {
            if days >= LONGEST_DAYS {
                format!("{LONGEST_DAYS:.0} or more")
            } else {
                format!("{:.0}", days.floor())
            }
        };
        write!(f, "{} ({} to {}) days", words(self.median), words(self.low), words(self.high))
    }
}

impl Bath {
    /// Nothing is told of a bath if no strip of the journal was ever read.
    pub(super) fn carried(&self) -> Result<(), String> {
        if self.strips.present + self.strips.earlier > 0 {
            return Ok(());
        }
        Err(format!(
            "no control strip has been read yet: one now and another after about {} would tell",
            films(self.films_between_strips())
        ))
    }

    /// Films of 36 exposures by which a tenth of the activity should be lost, as far as is assumed.
    fn films_between_strips(&self) -> f64 {
        (0.1 * self.litres / (self.assumptions.loss_by_use.median * ROLL_M2)).ceil().max(1.0)
    }

    /// What is assumed in the forecast and what to know about it, a sentence each.
    #[must_use]
    pub fn notes(&self) -> Vec<String> {
        if self.carried().is_err() {
            return Vec::new();
        }
        let mut notes = self.on_strips();
        let a = &self.assumptions;
        if let Ok(c) = self.coefficients() {
            let mostly = |said: f64| if said < 0.1 { "" } else { "more than half " };
            if c.by_use.assumed {
                notes.push(format!(
                    "the loss by use rests {}on an assumption: {:.1} % for a film of 36 exposures in a litre, within a factor of {:.1} (common practice, no source)",
                    mostly(c.by_use.said),
                    percent(a.loss_by_use.median * ROLL_M2),
                    a.loss_by_use.factor()
                ));
            }
            if c.by_age.assumed {
                notes.push(format!(
                    "the loss by age rests {}on an assumption: {:.1} % in 30 days, within a factor of {:.1} (common practice, no source)",
                    mostly(c.by_age.said),
                    percent(a.loss_by_age.median * 30.0),
                    a.loss_by_age.factor()
                ));
            }
            if c.dispersion.assumed {
                notes.push(format!(
                    "how unevenly activity is lost rests {}on an assumption: a film that takes 5 % takes {:.1} % more or less (common practice, no source)",
                    mostly(c.dispersion.said),
                    100.0 * (0.05 * a.dispersion.median).sqrt()
                ));
            }
        }
        if self.replenished {
            notes.push(format!(
                "the replenisher is taken to be {:.2} ± {:.2} times as strong as a new bath (assumed)",
                a.replenisher, a.replenisher_sd
            ));
        }
        notes
    }

    /// What there is to say of the strips.
    fn on_strips(&self) -> Vec<String> {
        let mut notes = Vec::new();
        if self.strips.present == 0 {
            notes.push(format!(
                "no control strip since the bath was mixed: its activity was then taken to be 1 ± {:.2} (assumed), and the rest comes from earlier baths; a strip now would tell",
                self.assumptions.mixing_sd
            ));
        }
        if self.strips.earlier > 0 {
            notes.push(format!(
                "{} of earlier baths are used too; from bath to bath the loss by use is taken to differ by {:.0} % and that by age by {:.0} % (assumed)",
                strips(self.strips.earlier),
                100.0 * self.assumptions.wander_use,
                100.0 * self.assumptions.wander_age
            ));
        }
        for Contradiction { day, off } in &self.contradictions {
            notes.push(format!(
                "the strip of {} lies {:.1} standard deviations {} what the other events let expect: read it again, or look for an event that is missing",
                ago(self.now - day),
                off.abs(),
                if *off > 0.0 { "above" } else { "below" }
            ));
        }
        notes
    }
}

/// A loss of ln a as a percentage of the activity.
fn percent(loss: f64) -> f64 {
    -100.0 * (-loss).exp_m1()
}

fn films(n: f64) -> String {
    if n == 1.0 {
        "one film of 36 exposures".to_owned()
    } else {
        format!("{n:.0} films of 36 exposures")
    }
}

fn strips(n: usize) -> String {
    if n == 1 { "one strip".to_owned() } else { format!("{n} strips") }
}

fn ago(days: f64) -> String {
    match days.round() {
        0.0 => "today".to_owned(),
        1.0 => "yesterday".to_owned(),
        n => format!("{n:.0} days ago"),
    }
}
