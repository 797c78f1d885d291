//! Strips that all the others contradict.

use super::Values;
use super::belief::{Belief, Node, moments};
use super::filter::{State, run};
use super::stretch::{Step, Stretch, Then};
use crate::elementary::exp;
use nalgebra::{Matrix2, RowVector2, Vector2};

/// Standard deviations by which a strip must be off to be told.
const OFF: f64 = 4.0;
/// Standard deviations by which it must be off while it still has its say in the coefficients.
const SUSPECT: f64 = 2.5;
/// Most suspects that are looked at.
const SUSPECTS: usize = 3;
/// Strips below which none can be told to be the wrong one.
const FEWEST: usize = 3;

/// A strip that the other events contradict.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Contradiction {
    /// Its day.
    pub day: f64,
    /// By how many standard deviations it lies above (+) or below (−) what the others let expect.
    pub off: f64,
    /// Whether it is a piece of leader.
    pub leader: bool,
}

/// The strips of `stretch` that lie off by more than four standard deviations from what all others
/// let expect, before and after. A misread strip makes the bath look restless and so excuses itself:
/// each suspect is judged by coefficients that have not seen it.
pub(super) fn contradictions(
    stretch: &Stretch,
    start: &State,
    belief: &Belief,
    nodes: &[Node],
) -> Vec<Contradiction> {
    if stretch.strips < FEWEST {
        return Vec::new();
    }
    let by = |nodes: &[Node]| {
        let values = Values::of_logs(&moments(nodes, |n| n.logs).0);
        deviations(&stretch.steps, &values, start)
    };
    let mut suspects = by(nodes);
    suspects.retain(|(_, z)| z.abs() > SUSPECT);
    suspects.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
    suspects.truncate(SUSPECTS);
    let mut found: Vec<Contradiction> = suspects
        .into_iter()
        .filter_map(|(at, _)| {
            let mut without = stretch.clone();
            without.steps[at].then = Then::Nothing;
            without.strips -= 1;
            let rest = belief.updated(&without, start, 4);
            let (_, off) = by(&rest).into_iter().find(|(step, _)| *step == at)?;
            let day = stretch.steps[at].day;
            (off.abs() > OFF).then_some(Contradiction { day, off, leader: false })
        })
        .collect();
    found.sort_by(|a, b| a.day.total_cmp(&b.day));
    found
}

/// What a step did to the state, as far as the way back needs it.
enum Trace {
    Observed { unexpected: f64, expected: f64, gain: Vector2<f64> },
    Moved(Matrix2<f64>),
}

/// Of every strip (by its step) the deviation from what all the others let expect, in standard
/// deviations: the filter forwards, then the smoother's recursion backwards.
///
/// # Source
/// P. de Jong 1989, Smoothing and interpolation with the state-space model.
fn deviations(steps: &[Step], values: &Values, start: &State) -> Vec<(usize, f64)> {
    let mut state = *start;
    let traces: Vec<Trace> = steps
        .iter()
        .map(|step| {
            let loss = values.loss(step.m2_per_litre, step.days);
            let before =
                State { x: state.x - loss, xx: state.xx + values.dispersion * loss, ..state };
            state = run(std::slice::from_ref(step), &[*values], &state, |_, _| ()).states[0];
            match step.then {
                Then::Strip { ln_activity, sd } => {
                    let expected = before.xx + sd * sd;
                    Trace::Observed {
                        unexpected: ln_activity - before.x,
                        expected,
                        gain: Vector2::new(before.xx, before.xs) / expected,
                    }
                }
                Then::Mix { keep, fresh } => {
                    let kept = keep * exp(before.x);
                    let mixed = kept + fresh * before.s;
                    Trace::Moved(Matrix2::new(kept / mixed, fresh / mixed, 0.0, 1.0))
                }
                Then::Nothing => Trace::Moved(Matrix2::identity()),
            }
        })
        .collect();
    let see = RowVector2::new(1.0, 0.0);
    let (mut r, mut n) = (Vector2::zeros(), Matrix2::zeros());
    let mut list = Vec::new();
    for (at, trace) in traces.iter().enumerate().rev() {
        match trace {
            Trace::Observed { unexpected, expected, gain } => {
                let error = unexpected / expected - gain.dot(&r);
                let precision = 1.0 / expected + gain.dot(&(n * gain));
                list.push((at, error / precision.sqrt()));
                let rest = Matrix2::identity() - gain * see;
                r = see.transpose() * (unexpected / expected) + rest.transpose() * r;
                n = see.transpose() * see / *expected + rest.transpose() * n * rest;
            }
            Trace::Moved(by) => {
                r = by.transpose() * r;
                n = by.transpose() * n * by;
            }
        }
    }
    list
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Leaving a strip out by hand: between two others, from both sides.
    #[test]
    fn the_recursion_leaves_each_strip_out() {
        let values = Values { by_use: 1.0, by_age: 0.01, dispersion: 0.004 };
        let seen = [(0.02, 0.01), (-0.09, 0.012), (-0.08, 0.02)];
        let steps: Vec<Step> = seen
            .iter()
            .map(|&(ln_activity, sd)| Step {
                m2_per_litre: 0.01,
                days: 3.0,
                day: 0.0,
                then: Then::Strip { ln_activity, sd },
            })
            .collect();
        let start = State { x: 0.0, s: 1.0, xx: 0.03 * 0.03, xs: 0.0, ss: 0.05 * 0.05 };
        let (loss, noise) = (0.04, 0.004 * 0.04);
        // From before: a strip at the first step. From after: the third, brought back.
        let first = start.xx + noise;
        let gain = first / (first + 1e-4);
        let before = (-loss + gain * (0.02 + loss) - loss, gain * 1e-4 + noise);
        let after = (-0.08 + loss, 4e-4 + noise);
        let weight = before.1.recip() + after.1.recip();
        let mean = (before.0 / before.1 + after.0 / after.1) / weight;
        let by_hand = (-0.09 - mean) / (weight.recip() + 0.012 * 0.012).sqrt();
        let found = deviations(&steps, &values, &start);
        let (_, z) = found.iter().find(|(at, _)| *at == 1).unwrap();
        assert!((z - by_hand).abs() < 1e-12, "{z} {by_hand}");
    }
}
