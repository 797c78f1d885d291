//! A bath as its journal tells: its activity, the coefficients of its loss.

use super::filter::{Passed, State, pass};
use super::mixture::{Part, quantile};
use super::posterior::{Belief, Node};
use super::stretch::{History, stretches};
use super::{Assumptions, Coefficient, Coefficients, Event, EventKind, ForecastError, Values};
use crate::measures::{Measured, Quantity};

/// Points of the quadrature to a dimension, at most and at least.
const POINTS: (usize, usize) = (11, 4);
/// Steps of filters that the last quadrature may take.
const BUDGET: f64 = 6e5;
/// Nodes whose weights add up to less than this are left out of the forecast.
const NEGLIGIBLE: f64 = 1e-4;
/// Days over which the usual pace is taken.
const PACE_DAYS: f64 = 180.0;
/// Standard deviations by which a strip must be off to be told.
const CONTRADICTION: f64 = 4.0;

/// How many control strips there are.
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
    /// Day of the last strip of the present bath.
    pub last_strip: Option<f64>,
    /// Whether it was replenished.
    pub replenished: bool,
    /// What is assumed.
    pub assumptions: Assumptions,
    /// Strips of the present bath that lie off by more than four standard deviations, and by how many.
    pub contradictions: Vec<(f64, f64)>,
    /// m² of film a day, or why that cannot be told.
    usual_m2_per_day: Result<f64, String>,
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
            let why = if events.is_empty() {
                "nothing has happened yet"
            } else {
                "it was thrown away"
            };
            return Err(ForecastError::NothingNow(why));
        };
        let (all, starts) = learn(&history, assumptions);
        let coefficients = coefficients(&all, assumptions);
        let present: usize = history.stretches[history.present..]
            .iter()
            .map(|s| s.strips)
            .sum();
        let total: usize = history.stretches.iter().map(|s| s.strips).sum();
        Ok(Self {
            now,
            litres,
            mixed: history.mixed,
            strips: Strips {
                present,
                earlier: total - present,
            },
            last_strip: history.last_strip,
            replenished: history.replenished,
            assumptions: *assumptions,
            contradictions: contradictions(&history, &coefficients, starts),
            usual_m2_per_day: usual(events, now),
            coefficients,
            nodes: heaviest(all),
        })
    }

    /// Activity now, with its 95 % interval.
    ///
    /// # Errors
    /// The reason where no strip carries it.
    pub fn activity(&self) -> Measured {
        self.activity_after(0.0, 0.0)
    }

    /// Activity after `area_m2` of film and `days` from now, without replenishment.
    ///
    /// # Errors
    /// The reason where no strip carries it.
    pub fn activity_after(&self, area_m2: f64, days: f64) -> Measured {
        self.carried()?;
        let parts: Vec<Part> = self
            .nodes
            .iter()
            .map(|n| {
                let loss = n.values.loss(area_m2 / self.litres, days);
                Part {
                    weight: n.weight,
                    mean: n.state.x - loss,
                    sd: (n.state.xx + n.values.grain * loss).sqrt(),
                }
            })
            .collect();
        let at = |p| quantile(&parts, p).exp();
        Ok(Quantity {
            value: at(0.5),
            low: at(0.025),
            high: at(0.975),
        })
    }

    /// The coefficients of loss.
    ///
    /// # Errors
    /// The reason where no strip carries them.
    pub fn coefficients(&self) -> Result<Coefficients, String> {
        self.carried()?;
        Ok(self.coefficients)
    }

    /// Films of `area_m2` a day by the journal's last 180 days.
    ///
    /// # Errors
    /// The reason where the journal is too short to tell.
    pub fn usual_films_per_day(&self, area_m2: f64) -> Result<f64, String> {
        self.usual_m2_per_day.clone().map(|m2| m2 / area_m2)
    }
}

/// Runs through all stretches; the nodes of the last one, and the state at the start of each.
fn learn(history: &History, assumptions: &Assumptions) -> (Vec<Node>, Vec<State>) {
    let mut belief = Belief::prior(assumptions);
    let mut state = history.fresh;
    let mut nodes = Vec::new();
    let mut starts = Vec::with_capacity(history.stretches.len());
    let steps: usize = history.stretches.iter().map(|s| s.steps.len()).sum();
    let earlier = if steps < 2000 { 6 } else { POINTS.1 };
    for (k, stretch) in history.stretches.iter().enumerate() {
        if stretch.new_bath {
            state = history.fresh;
        }
        starts.push(state);
        let last = k + 1 == history.stretches.len();
        if stretch.strips == 0 && k < history.present {
            // An earlier bath without strips says nothing, and its state ends with it.
            continue;
        }
        let points = if last {
            let bearable = (BUDGET / stretch.steps.len() as f64).cbrt() as usize;
            bearable.clamp(POINTS.1, POINTS.0)
        } else {
            earlier
        };
        nodes = belief.updated(stretch, &state, points);
        if !last {
            belief = Belief::carried(&nodes, stretch, assumptions);
            state = pooled(&nodes);
        }
    }
    (nodes, starts)
}

/// Mean and covariance of the state over all nodes.
fn pooled(nodes: &[Node]) -> State {
    let mean =
        |f: &dyn Fn(&State) -> f64| -> f64 { nodes.iter().map(|n| n.weight * f(&n.state)).sum() };
    let (x, s) = (mean(&|n| n.x), mean(&|n| n.s));
    State {
        x,
        s,
        xx: mean(&|n| n.xx + (n.x - x).powi(2)),
        xs: mean(&|n| n.xs + (n.x - x) * (n.s - s)),
        ss: mean(&|n| n.ss + (n.s - s).powi(2)),
    }
}

/// Log-normal intervals from the moments of the logarithms.
fn coefficients(nodes: &[Node], assumptions: &Assumptions) -> Coefficients {
    let of = |j: usize, prior: f64| {
        let mean: f64 = nodes.iter().map(|n| n.weight * n.logs[j]).sum();
        let variance: f64 = nodes
            .iter()
            .map(|n| n.weight * (n.logs[j] - mean).powi(2))
            .sum();
        let half = 1.96 * variance.sqrt();
        let said = (1.0 - variance / prior.powi(2)).clamp(0.0, 1.0);
        Coefficient {
            quantity: Quantity {
                value: mean.exp(),
                low: (mean - half).exp(),
                high: (mean + half).exp(),
            },
            said,
            assumed: said < 0.5,
        }
    };
    Coefficients {
        by_use: of(0, assumptions.loss_by_use.log_sd),
        by_age: of(1, assumptions.loss_by_age.log_sd),
        grain: of(2, assumptions.grain.log_sd),
    }
}

/// Strips of the present bath that the rest of it contradicts.
fn contradictions(
    history: &History,
    coefficients: &Coefficients,
    starts: Vec<State>,
) -> Vec<(f64, f64)> {
    let values = Values {
        by_use: coefficients.by_use.quantity.value,
        by_age: coefficients.by_age.quantity.value,
        grain: coefficients.grain.quantity.value,
    };
    let mut passed: Vec<(Passed, f64)> = Vec::new();
    for (stretch, start) in history.stretches.iter().zip(starts).skip(history.present) {
        let mut list = Vec::new();
        pass(&stretch.steps, &values, start, &mut list);
        passed.extend(list.into_iter().zip(stretch.seen()));
    }
    passed
        .into_iter()
        .map(|(p, seen)| (p.day, (seen - p.expected.0) / p.expected.1))
        .filter(|(_, off)| off.abs() > CONTRADICTION)
        .collect()
}

/// Film a day over the last [`PACE_DAYS`].
fn usual(events: &[Event], now: f64) -> Result<f64, String> {
    let first = events.first().map_or(now, |e| e.day);
    let since = first.max(now - PACE_DAYS);
    let (mut area, mut films) = (0.0, 0);
    for event in events.iter().rev().take_while(|e| e.day >= since) {
        if let EventKind::Film { area_m2 } = event.kind {
            area += area_m2;
            films += 1;
        }
    }
    let days = now - since;
    if days < 7.0 {
        Err(format!(
            "the journal is {days:.0} days old, and a usual pace takes a week at least: give the pace"
        ))
    } else if films < 2 {
        Err(format!(
            "{films} films were developed within the last {days:.0} days, and a usual pace takes two at least: give the pace"
        ))
    } else {
        Ok(area / days)
    }
}

/// The nodes that matter, weights adding up to 1.
fn heaviest(mut nodes: Vec<Node>) -> Vec<Node> {
    nodes.sort_by(|a, b| b.weight.total_cmp(&a.weight));
    let mut sum = 0.0;
    let enough = nodes.iter().position(|n| {
        sum += n.weight;
        sum > 1.0 - NEGLIGIBLE
    });
    nodes.truncate(enough.map_or(nodes.len(), |k| k + 1));
    for node in &mut nodes {
        node.weight /= sum;
    }
    nodes
}
