//! What is believed of the coefficients, and what the strips of a stretch make of it.

use super::filter::State;
use super::frame::Frame;
use super::posterior::Posterior;
use super::stretch::Stretch;
use super::{Assumptions, Prior, Values};
use crate::elementary::{exp, ln};
use nalgebra::{Matrix3, Vector3};

/// A normal distribution of the coefficients in some coordinates.
#[derive(Clone, Debug)]
pub(super) struct Belief {
    pub frame: Frame,
    pub mean: Vector3<f64>,
    pub covariance: Matrix3<f64>,
}

/// A point of the quadrature.
#[derive(Clone, Copy, Debug)]
pub(super) struct Node {
    pub weight: f64,
    pub logs: Vector3<f64>,
    pub values: Values,
    pub state: State,
}

impl Belief {
    /// The priors.
    pub fn prior(assumptions: &Assumptions) -> Self {
        let priors = [assumptions.loss_by_use, assumptions.loss_by_age, assumptions.dispersion];
        let of = |f: fn(&Prior) -> f64| Vector3::from_iterator(priors.iter().map(f));
        Self {
            frame: Frame::Plain,
            mean: of(|p| ln(p.median)),
            covariance: Matrix3::from_diagonal(&of(|p| p.log_sd.powi(2))),
        }
    }

    /// What `nodes` of the quadrature over `stretch` make of it for the next one: their mean and
    /// covariance, wider by the wandering. The widening ends where the prior's own width is reached.
    pub fn carried(nodes: &[Node], stretch: &Stretch, assumptions: &Assumptions) -> Self {
        let frame = Frame::of_stretch(stretch);
        let (mean, mut covariance) = moments(nodes, |n| frame.coordinates(&n.logs));
        let (_, of_logs) = moments(nodes, |n| n.logs);
        let widening = |wander: f64, variance: f64, prior: f64| {
            wander.powi(2) * (1.0 - variance / prior.powi(2)).max(0.0)
        };
        let by_logs = frame.by_logs(&mean);
        let wider = Vector3::new(
            widening(assumptions.wander_use, of_logs[(0, 0)], assumptions.loss_by_use.log_sd),
            widening(assumptions.wander_age, of_logs[(1, 1)], assumptions.loss_by_age.log_sd),
            0.0,
        );
        covariance += by_logs * Matrix3::from_diagonal(&wider) * by_logs.transpose();
        Self { frame, mean, covariance }
    }

    /// The update by the strips of `stretch`: nodes of Gauss and Hermite's rule with `points` to a
    /// dimension, about the posterior's mean and scaled by its covariance.
    ///
    /// A first rule of fewer points about the posterior's mode finds mean and covariance.
    pub fn updated(&self, stretch: &Stretch, start: &State, points: usize) -> Vec<Node> {
        let posterior = Posterior::new(self, stretch, start);
        let (mode, root) = posterior.mode();
        let first = posterior.nodes(&mode, &root, if points < 6 { 3 } else { 5 });
        let frame = posterior.frame;
        let (mean, covariance) = moments(&first, |n| frame.coordinates(&n.logs));
        let root = covariance.cholesky().map_or(root, |c| c.l());
        let nodes = posterior.nodes(&mean, &root, points);
        let usable = nodes.iter().all(|n| n.weight.is_finite());
        if usable { nodes } else { first }
    }
}

/// Weighted mean and covariance of a function of the nodes.
pub(super) fn moments(
    nodes: &[Node],
    of: impl Fn(&Node) -> Vector3<f64>,
) -> (Vector3<f64>, Matrix3<f64>) {
    let mean: Vector3<f64> = nodes.iter().map(|n| of(n) * n.weight).sum();
    let covariance = nodes
        .iter()
        .map(|n| {
            let d = of(n) - mean;
            d * d.transpose() * n.weight
        })
        .sum();
    (mean, covariance)
}

/// Weights in place of their logarithms, adding up to 1.
pub(super) fn normalise(nodes: &mut [Node]) {
    let most = nodes.iter().fold(f64::NEG_INFINITY, |m, n| m.max(n.weight));
    for node in &mut *nodes {
        node.weight = exp(node.weight - most);
    }
    let sum: f64 = nodes.iter().map(|n| n.weight).sum();
    for node in &mut *nodes {
        node.weight /= sum;
    }
}
