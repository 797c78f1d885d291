//! From the stretches of a journal to what is believed of the present bath.

use super::belief::{Belief, Node};
use super::filter::State;
use super::stretch::History;
use super::{Assumptions, Coefficient, Coefficients};
use crate::elementary::{cbrt, exp};
use crate::measures::Quantity;
use crate::numerics::chance::NORMAL_95;

/// Points of the quadrature to a dimension, at most and at least.
const POINTS: (usize, usize) = (11, 4);
/// Steps of filters that the last quadrature may take.
const BUDGET: f64 = 1e6;
/// Nodes whose weights add up to less than this are left out of the forecast.
const NEGLIGIBLE: f64 = 1e-4;

/// What a journal teaches.
pub(super) struct Learned {
    /// The quadrature over the last stretch.
    pub nodes: Vec<Node>,
    /// What was believed of the coefficients, and known of the bath, at that stretch's start.
    pub belief: Belief,
    pub start: State,
}

/// Runs through all stretches.
pub(super) fn learn(history: &History, assumptions: &Assumptions) -> Learned {
    let mut belief = Belief::prior(assumptions);
    let mut state = history.fresh;
    let mut nodes = Vec::new();
    let steps: usize = history.stretches.iter().map(|s| s.steps.len()).sum();
    let earlier = if steps < 2000 { 6 } else { POINTS.1 };
    for (k, stretch) in history.stretches.iter().enumerate() {
        if stretch.new_bath {
            state = history.fresh;
        }
        let last = k + 1 == history.stretches.len();
        if stretch.strips == 0 && k < history.present {
            // An earlier bath without strips says nothing, and its state ends with it.
            continue;
        }
        let points = if last {
            let bearable = cbrt(BUDGET / stretch.steps.len() as f64) as usize;
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
    Learned { nodes, belief, start: state }
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
pub(super) fn coefficients(nodes: &[Node], assumptions: &Assumptions) -> Coefficients {
    let of = |j: usize, prior: f64| {
        let mean: f64 = nodes.iter().map(|n| n.weight * n.logs[j]).sum();
        let variance: f64 = nodes.iter().map(|n| n.weight * (n.logs[j] - mean).powi(2)).sum();
        let half = NORMAL_95 * variance.sqrt();
        let said = (1.0 - variance / prior.powi(2)).clamp(0.0, 1.0);
        Coefficient {
            quantity: Quantity { value: exp(mean), low: exp(mean - half), high: exp(mean + half) },
            said,
            assumed: said < 0.5,
        }
    };
    Coefficients {
        by_use: of(0, assumptions.loss_by_use.log_sd),
        by_age: of(1, assumptions.loss_by_age.log_sd),
        dispersion: of(2, assumptions.dispersion.log_sd),
    }
}

/// The nodes that matter, weights adding up to 1.
pub(super) fn heaviest(mut nodes: Vec<Node>) -> Vec<Node> {
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
