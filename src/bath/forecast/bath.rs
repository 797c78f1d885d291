//! A bath by its journal: its activity, the coefficients of its loss.

use super::belief::Node;
use super::contradiction::{Contradiction, contradictions};
use super::learn::{coefficients, heaviest, learn};
use super::mixture::{Part, quantile};
use super::pace::{Pace, usual};
use super::stretch::stretches;
use super::{Assumptions, Coefficients, Event, EventKind, ForecastError, NoForecast};
use crate::elementary::exp;
use crate::measures::{Measured, Quantity};

/// How many control strips, or pieces of leader, there are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Strips {
    /// In the present bath.
    pub present: usize,
    /// In earlier baths of the journal.
    pub earlier: usize,
}

/// A bath, followed until now.
#[derive(Clone, Debug)]
pub struct Bath {
    /// Now, in days.
    pub now: f64,
    /// Volume now, in litres.
    pub litres: f64,
    /// When it was mixed.
    pub mixed: f64,
    /// How many strips there are.
    pub strips: Strips,
    /// How many pieces of leader there are, which are followed as strips are.
    pub leaders: Strips,
    /// Day of the last strip or piece of the present bath.
    pub last_strip: Option<f64>,
    /// Whether it was replenished.
    pub replenished: bool,
    /// What is assumed.
    pub assumptions: Assumptions,
    /// Strips among the last hundred of the present bath that the other events contradict.
    pub contradictions: Vec<Contradiction>,
    /// The usual pace, or why there is none.
    pub(super) pace: Result<Pace, NoForecast>,
    coefficients: Coefficients,
    pub(super) nodes: Vec<Node>,
}

impl Bath {
    /// Follows the events of a journal, in their order, until `now`.
    ///
    /// # Errors
    /// [`ForecastError`] where the events contradict each other or there is no bath now.
    pub fn follow(
        events: &[Event],
        assumptions: &Assumptions,
        now: f64,
    ) -> Result<Self, ForecastError> {
        let history = stretches(events, assumptions, now)?;
        let Some(litres) = history.litres else {
            let why =
                if events.is_empty() { "nothing has happened yet" } else { "it was thrown away" };
            return Err(ForecastError::NothingNow(why));
        };
        let learned = learn(&history, assumptions);
        let mut contradictions = history.stretches.last().map_or_else(Vec::new, |stretch| {
            contradictions(stretch, &learned.start, &learned.belief, &learned.nodes)
        });
        for contradiction in &mut contradictions {
            contradiction.leader = only_leader(events, contradiction.day);
        }
        let leaders = leaders(events);
        let present: usize = history.stretches[history.present..].iter().map(|s| s.strips).sum();
        let total: usize = history.stretches.iter().map(|s| s.strips).sum();
        Ok(Self {
            now,
            litres,
            mixed: history.mixed,
            strips: Strips {
                present: present - leaders.present,
                earlier: total - present - leaders.earlier,
            },
            leaders,
            last_strip: history.last_strip,
            replenished: history.replenished,
            assumptions: *assumptions,
            contradictions,
            pace: usual(events, now),
            coefficients: coefficients(&learned.nodes, assumptions),
            nodes: heaviest(learned.nodes),
        })
    }

    /// Activity now, with its 95 % interval.
    ///
    /// # Errors
    /// The reason where no strip gives it.
    pub fn activity(&self) -> Measured<NoForecast> {
        self.activity_after(0.0, 0.0)
    }

    /// Activity after `area_m2` of film and `days` from now, without replenishment.
    ///
    /// # Errors
    /// The reason where no strip gives it.
    pub fn activity_after(&self, area_m2: f64, days: f64) -> Measured<NoForecast> {
        self.carried()?;
        let parts: Vec<Part> = self
            .nodes
            .iter()
            .map(|n| {
                let loss = n.values.loss(area_m2 / self.litres, days);
                Part {
                    weight: n.weight,
                    mean: n.state.x - loss,
                    sd: (n.state.xx + n.values.dispersion * loss).sqrt(),
                }
            })
            .collect();
        let at = |p| exp(quantile(&parts, p));
        Ok(Quantity { value: at(0.5), low: at(0.025), high: at(0.975) })
    }

    /// The coefficients of loss.
    ///
    /// # Errors
    /// The reason where no strip gives them.
    pub fn coefficients(&self) -> Result<Coefficients, NoForecast> {
        self.carried()?;
        Ok(self.coefficients)
    }

    /// Films of `area_m2` a day by the journal's last 180 days.
    ///
    /// # Errors
    /// The reason where the journal is too short.
    pub fn usual_films_per_day(&self, area_m2: f64) -> Result<f64, NoForecast> {
        match &self.pace {
            Ok(pace) => Ok(pace.m2_per_day / area_m2),
            Err(why) => Err(*why),
        }
    }
}

/// How many pieces of leader there are since the last mix and before it.
fn leaders(events: &[Event]) -> Strips {
    let mixed = events.iter().rposition(|e| matches!(e.kind, EventKind::Mix { .. }));
    let (earlier, present) = events.split_at(mixed.unwrap_or(0));
    let count = |events: &[Event]| {
        events.iter().filter(|e| matches!(e.kind, EventKind::Leader { .. })).count()
    };
    Strips { present: count(present), earlier: count(earlier) }
}

/// Whether what was read on a day were pieces of leader alone.
fn only_leader(events: &[Event], day: f64) -> bool {
    let mut of_day = events.iter().filter(|e| e.day == day);
    let strip = of_day.clone().any(|e| matches!(e.kind, EventKind::Strip { .. }));
    !strip && of_day.any(|e| matches!(e.kind, EventKind::Leader { .. }))
}
