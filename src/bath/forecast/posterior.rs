//! What is believed of the coefficients: priors, their update by a stretch of strips, quadrature.
//!
//! The coordinates are ln of the expected loss over the stretch, ln of the ratio of its parts by use
//! and by age, and ln of the grain. Strips of one stretch tell the whole loss well and its parts
//! badly; in these coordinates that is a straight ridge, and in ln c_use and ln c_age a bent one. The
//! Jacobian between the two is 1, so densities need no correction.

use super::filter::{State, run};
use super::stretch::Stretch;
use super::{Assumptions, Values};
use nalgebra::{Matrix3, Vector3};

/// Coordinates of the coefficients.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Frame {
    /// ln c_use, ln c_age, ln g.
    Plain,
    /// ln(c_use·u + c_age·d), ln(c_use·u) − ln(c_age·d), ln g, for given u and d.
    Total { m2_per_litre: f64, days: f64 },
}

impl Frame {
    /// That of a stretch. Where film or days are missing, a little stands in: any u and d do, and
    /// these only make the coordinates apt.
    fn of_stretch(stretch: &Stretch) -> Self {
        let (m2_per_litre, days) = stretch.until_last_strip;
        Self::Total {
            m2_per_litre: m2_per_litre.max(1e-3),
            days: days.max(0.1),
        }
    }

    fn from_logs(self, logs: &Vector3<f64>) -> Vector3<f64> {
        match self {
            Self::Plain => *logs,
            Self::Total { m2_per_litre, days } => {
                let (u, d) = (logs.x + m2_per_litre.ln(), logs.y + days.ln());
                let more = u.max(d);
                Vector3::new(more + (-(u - d).abs()).exp().ln_1p(), u - d, logs.z)
            }
        }
    }

    fn to_logs(self, at: &Vector3<f64>) -> Vector3<f64> {
        match self {
            Self::Plain => *at,
            Self::Total { m2_per_litre, days } => {
                // ln of the logistic function of ±ratio.
                let share = |ratio: f64| ratio.min(0.0) - (-ratio.abs()).exp().ln_1p();
                Vector3::new(
                    at.x + share(at.y) - m2_per_litre.ln(),
                    at.x + share(-at.y) - days.ln(),
                    at.z,
                )
            }
        }
    }

    /// Derivatives of the coordinates by the logs, at `at`.
    fn by_logs(self, at: &Vector3<f64>) -> Matrix3<f64> {
        match self {
            Self::Plain => Matrix3::identity(),
            Self::Total { .. } => {
                let share = crate::numerics::special::logistic(at.y);
                Matrix3::new(share, 1.0 - share, 0.0, 1.0, -1.0, 0.0, 0.0, 0.0, 1.0)
            }
        }
    }
}

/// A normal distribution of the coefficients in some coordinates.
#[derive(Clone, Debug)]
pub(super) struct Belief {
    frame: Frame,
    mean: Vector3<f64>,
    covariance: Matrix3<f64>,
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
        let priors = [
            assumptions.loss_by_use,
            assumptions.loss_by_age,
            assumptions.grain,
        ];
        let of = |f: fn(&super::Prior) -> f64| Vector3::from_iterator(priors.iter().map(f));
        Self {
            frame: Frame::Plain,
            mean: of(|p| p.median.ln()),
            covariance: Matrix3::from_diagonal(&of(|p| p.log_sd.powi(2))),
        }
    }

    /// What `nodes` of the quadrature over `stretch` make of it for the next one: their mean and
    /// covariance, wider by the wandering. The widening ends where the prior's own width is reached.
    pub fn carried(nodes: &[Node], stretch: &Stretch, assumptions: &Assumptions) -> Self {
        let frame = Frame::of_stretch(stretch);
        let (mean, mut covariance) = moments(nodes, |n| frame.from_logs(&n.logs));
        let (_, of_logs) = moments(nodes, |n| n.logs);
        let widening = |wander: f64, variance: f64, prior: f64| {
            wander.powi(2) * (1.0 - variance / prior.powi(2)).max(0.0)
        };
        let by_logs = frame.by_logs(&mean);
        let wider = Vector3::new(
            widening(
                assumptions.wander_use,
                of_logs[(0, 0)],
                assumptions.loss_by_use.log_sd,
            ),
            widening(
                assumptions.wander_age,
                of_logs[(1, 1)],
                assumptions.loss_by_age.log_sd,
            ),
            0.0,
        );
        covariance += by_logs * Matrix3::from_diagonal(&wider) * by_logs.transpose();
        Self {
            frame,
            mean,
            covariance,
        }
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
        let (mean, covariance) = moments(&first, |n| frame.from_logs(&n.logs));
        let root = covariance.cholesky().map_or(root, |c| c.l());
        let nodes = posterior.nodes(&mean, &root, points);
        let usable = nodes.iter().all(|n| n.weight.is_finite());
        if usable { nodes } else { first }
    }
}

/// Weighted mean and covariance of a function of the nodes.
fn moments(nodes: &[Node], of: impl Fn(&Node) -> Vector3<f64>) -> (Vector3<f64>, Matrix3<f64>) {
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

struct Posterior<'a> {
    belief: &'a Belief,
    /// Inverse of the root of the belief's covariance.
    whitening: Matrix3<f64>,
    frame: Frame,
    stretch: &'a Stretch,
    start: &'a State,
}

/// Value, gradient and expected information of the log posterior.
struct Expansion {
    value: f64,
    gradient: Vector3<f64>,
    information: Matrix3<f64>,
}

impl<'a> Posterior<'a> {
    fn new(belief: &'a Belief, stretch: &'a Stretch, start: &'a State) -> Self {
        let root = belief.covariance.cholesky().map_or_else(
            || Matrix3::from_diagonal(&belief.covariance.diagonal().map(|v| v.abs().sqrt())),
            |c| c.l(),
        );
        Self {
            belief,
            whitening: root.try_inverse().unwrap_or_else(Matrix3::identity),
            frame: Frame::of_stretch(stretch),
            stretch,
            start,
        }
    }

    /// Standardised deviation from the belief.
    fn deviation(&self, logs: &Vector3<f64>) -> Vector3<f64> {
        self.whitening * (self.belief.frame.from_logs(logs) - self.belief.mean)
    }

    /// By forward differences: four filters side by side.
    fn expand(&self, at: &Vector3<f64>) -> Expansion {
        const STEP: f64 = 1e-5;
        let mut logs = [self.frame.to_logs(at); 4];
        for j in 0..3 {
            let mut moved = *at;
            moved[j] += STEP;
            logs[j + 1] = self.frame.to_logs(&moved);
        }
        let mut information = Matrix3::zeros();
        let filtered = run(
            &self.stretch.steps,
            &logs.each_ref().map(Values::of_logs),
            self.start,
            |v, f| {
                let over = 1.0 / (STEP * STEP * f[0]);
                let (dv, df) = (
                    Vector3::new(v[1] - v[0], v[2] - v[0], v[3] - v[0]),
                    Vector3::new(f[1] - f[0], f[2] - f[0], f[3] - f[0]),
                );
                information += (dv * dv.transpose() + df * df.transpose() * (0.5 / f[0])) * over;
            },
        );
        let deviations = logs.each_ref().map(|l| self.deviation(l));
        let mut by_coordinate = Matrix3::zeros();
        for j in 0..3 {
            by_coordinate.set_column(j, &((deviations[j + 1] - deviations[0]) / STEP));
        }
        let ll = filtered.log_likelihood;
        let of_strips = Vector3::new(ll[1] - ll[0], ll[2] - ll[0], ll[3] - ll[0]) / STEP;
        Expansion {
            value: ll[0] - 0.5 * deviations[0].norm_squared(),
            gradient: of_strips - by_coordinate.transpose() * deviations[0],
            information: information + by_coordinate.transpose() * by_coordinate,
        }
    }

    /// The mode, by Fisher's scoring with halved steps, and the root of the covariance there.
    fn mode(&self) -> (Vector3<f64>, Matrix3<f64>) {
        let mut at = self
            .frame
            .from_logs(&self.belief.frame.to_logs(&self.belief.mean));
        let mut here = self.expand(&at);
        if self.stretch.strips > 0 {
            'scoring: for _ in 0..20 {
                let Some(factor) = here.information.cholesky() else {
                    break;
                };
                let mut step = factor.solve(&here.gradient);
                // In units of standard deviations: steps below a hundredth are not worth a filter run.
                let promised = here.gradient.dot(&step);
                if !(promised > 1e-4) {
                    break;
                }
                step *= (3.0 / step.amax()).min(1.0);
                for _ in 0..12 {
                    let next = at + step;
                    let there = self.expand(&next);
                    if there.value > here.value {
                        (at, here) = (next, there);
                        continue 'scoring;
                    }
                    step *= 0.4;
                }
                break;
            }
        }
        let root = here
            .information
            .cholesky()
            .and_then(|c| c.inverse().cholesky())
            .map_or_else(Matrix3::identity, |c| c.l());
        (at, root)
    }

    fn nodes(&self, centre: &Vector3<f64>, root: &Matrix3<f64>, points: usize) -> Vec<Node> {
        const LANES: usize = 8;
        let rule = gauss_hermite(points);
        let mut nodes = Vec::with_capacity(points.pow(3));
        for a in &rule {
            for b in &rule {
                for c in &rule {
                    let z = Vector3::new(a.0, b.0, c.0);
                    let logs = self.frame.to_logs(&(centre + root * z));
                    nodes.push(Node {
                        // The log of the weight, to begin with.
                        weight: (a.1 * b.1 * c.1).ln() + 0.5 * z.norm_squared()
                            - 0.5 * self.deviation(&logs).norm_squared(),
                        values: Values::of_logs(&logs),
                        logs,
                        state: *self.start,
                    });
                }
            }
        }
        for together in nodes.chunks_mut(LANES) {
            let last = together.len() - 1;
            let values: [Values; LANES] = std::array::from_fn(|i| together[i.min(last)].values);
            let done = run(&self.stretch.steps, &values, self.start, |_, _| ());
            for (i, node) in together.iter_mut().enumerate() {
                node.weight += done.log_likelihood[i];
                node.state = done.states[i];
            }
        }
        let most = nodes.iter().fold(f64::NEG_INFINITY, |m, n| m.max(n.weight));
        for node in &mut nodes {
            node.weight = (node.weight - most).exp();
        }
        let sum: f64 = nodes.iter().map(|n| n.weight).sum();
        for node in &mut nodes {
            node.weight /= sum;
        }
        nodes
    }
}

/// Points and weights for the mean of a function of a standard normal variable: eigenvalues of the
/// recurrence's matrix and the squares of the eigenvectors' first elements.
///
/// # Source
/// G. H. Golub and J. H. Welsch 1969, Calculation of Gauss quadrature rules.
fn gauss_hermite(points: usize) -> Vec<(f64, f64)> {
    const MOST: usize = 16;
    let points = points.min(MOST);
    let matrix = nalgebra::DMatrix::from_fn(points, points, |i, j| {
        if i.abs_diff(j) == 1 {
            (i.max(j) as f64).sqrt()
        } else {
            0.0
        }
    });
    let eigen = matrix.symmetric_eigen();
    let mut rule: Vec<(f64, f64)> = (0..points)
        .map(|k| (eigen.eigenvalues[k], eigen.eigenvectors[(0, k)].powi(2)))
        .collect();
    rule.sort_by(|a, b| a.0.total_cmp(&b.0));
    rule
}
