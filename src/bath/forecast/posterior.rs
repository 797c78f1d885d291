//! The posterior of the coefficients over one stretch: its mode, and quadrature about a point.

use super::Values;
use super::belief::{Belief, Node, normalise};
use super::filter::{State, run};
use super::frame::Frame;
use super::gauss_hermite::gauss_hermite;
use super::stretch::Stretch;
use crate::elementary::ln;
use nalgebra::{Matrix3, Vector3};

pub(super) struct Posterior<'a> {
    belief: &'a Belief,
    /// Inverse of the root of the belief's covariance.
    whitening: Matrix3<f64>,
    pub frame: Frame,
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
    pub fn new(belief: &'a Belief, stretch: &'a Stretch, start: &'a State) -> Self {
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
        self.whitening * (self.belief.frame.coordinates(logs) - self.belief.mean)
    }

    /// By forward differences: four filters side by side.
    fn expand(&self, at: &Vector3<f64>) -> Expansion {
        const STEP: f64 = 1e-5;
        let mut logs = [self.frame.logs_at(at); 4];
        for j in 0..3 {
            let mut moved = *at;
            moved[j] += STEP;
            logs[j + 1] = self.frame.logs_at(&moved);
        }
        let mut information = Matrix3::zeros();
        let filtered =
            run(&self.stretch.steps, &logs.each_ref().map(Values::of_logs), self.start, |v, f| {
                let over = 1.0 / (STEP * STEP * f[0]);
                let (dv, df) = (
                    Vector3::new(v[1] - v[0], v[2] - v[0], v[3] - v[0]),
                    Vector3::new(f[1] - f[0], f[2] - f[0], f[3] - f[0]),
                );
                information += (dv * dv.transpose() + df * df.transpose() * (0.5 / f[0])) * over;
            });
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
    pub fn mode(&self) -> (Vector3<f64>, Matrix3<f64>) {
        let mut at = self.frame.coordinates(&self.belief.frame.logs_at(&self.belief.mean));
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

    pub fn nodes(&self, centre: &Vector3<f64>, root: &Matrix3<f64>, points: usize) -> Vec<Node> {
        const LANES: usize = 8;
        let rule = gauss_hermite(points);
        let mut nodes = Vec::with_capacity(points.pow(3));
        for a in &rule {
            for b in &rule {
                for c in &rule {
                    let z = Vector3::new(a.0, b.0, c.0);
                    let logs = self.frame.logs_at(&(centre + root * z));
                    nodes.push(Node {
                        // The log of the weight, to begin with.
                        weight: ln(a.1 * b.1 * c.1) + 0.5 * z.norm_squared()
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
        normalise(&mut nodes);
        nodes
    }
}

#[cfg(test)]
mod tests {
    use super::super::Assumptions;
    use super::super::belief::moments;
    use super::*;
    use crate::bath::forecast::{Event, EventKind, stretch::stretches};

    fn of_strips(strips: &[(f64, u32, f64)]) -> (Stretch, State) {
        let mut events = vec![Event { day: 0.0, kind: EventKind::Mix { litres: 1.0 } }];
        for &(day, films, ln_activity) in strips {
            let film = EventKind::Film { area_m2: 0.056 };
            let strip = EventKind::Strip { ln_activity, sd: 0.012 };
            let kinds = std::iter::repeat_n(film, films as usize).chain([strip]);
            events.extend(kinds.map(|kind| Event { day, kind }));
        }
        let now = strips[strips.len() - 1].0 + 10.0;
        let mut history = stretches(&events, &Assumptions::default(), now).unwrap();
        (history.stretches.remove(0), history.fresh)
    }

    /// Against a sum over a fine and even net in ln c_use, ln c_age and ln g.
    #[test]
    fn quadrature_agrees_with_a_fine_net() {
        let prior = Belief::prior(&Assumptions::default());
        for strips in [
            &[(1.0, 1, -0.06)][..],
            &[(0.0, 0, 0.01), (30.0, 3, -0.14)],
            &[(0.0, 0, 0.01), (12.0, 1, -0.05), (40.0, 2, -0.19), (41.0, 1, -0.26)],
        ] {
            let (stretch, start) = of_strips(strips);
            let posterior = Posterior::new(&prior, &stretch, &start);
            let n = 60;
            let mut net = Vec::new();
            for i in 0..n * n * n {
                let part = |k: usize| 9.0 * (k as f64 + 0.5) / n as f64 - 4.5;
                let z = Vector3::new(part(i % n), part(i / n % n), part(i / (n * n)));
                let logs = prior.mean + prior.covariance.map(f64::sqrt) * z;
                let values = Values::of_logs(&logs);
                let done = run(&stretch.steps, &[values], &start, |_, _| ());
                net.push(Node {
                    weight: done.log_likelihood[0]
                        - 0.5 * posterior.deviation(&logs).norm_squared(),
                    logs,
                    values,
                    state: done.states[0],
                });
            }
            normalise(&mut net);
            let nodes = prior.updated(&stretch, &start, 11);
            let (mean, covariance) = moments(&nodes, |n| n.logs);
            let (exact, exact_covariance) = moments(&net, |n| n.logs);
            for j in 0..3 {
                let sd = exact_covariance[(j, j)].sqrt();
                assert!(
                    (mean[j] - exact[j]).abs() < 0.03 * sd,
                    "{j}: {} {} {sd}",
                    mean[j],
                    exact[j]
                );
                assert!(
                    (covariance[(j, j)].sqrt() / sd - 1.0).abs() < 0.03,
                    "{j}: {} {sd}",
                    covariance[(j, j)].sqrt()
                );
            }
            // What is asked most: the activity after one more film.
            let after = |nodes: &[Node]| {
                moments(nodes, |n| Vector3::repeat(n.state.x - n.values.loss(0.056, 5.0)))
            };
            let ((m, v), (em, ev)) = (after(&nodes), after(&net));
            assert!((m.x - em.x).abs() < 0.02 * ev[(0, 0)].sqrt(), "{} {}", m.x, em.x);
            assert!((v[(0, 0)] / ev[(0, 0)] - 1.0).abs() < 0.06, "{v} {ev}");
        }
    }
}
