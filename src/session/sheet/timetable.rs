//! When the steps of each batch come.

use super::steps::{Step, StepKind};
use crate::session::notes::SessionNote;

/// From this many hours on a session is long.
const LONG: u64 = 12;

/// When a step of a batch begins and ends, in seconds from the beginning of the session.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Timed {
    /// What is done.
    pub kind: StepKind,
    /// Beginning.
    pub from: u64,
    /// End.
    pub to: u64,
}

/// When the steps of each batch come: one batch after the other, after `lead` seconds. A batch ends
/// when it is hung up; it dries while the next one is developed.
pub(super) fn timetable(steps: &[Step], batches: usize, lead: u64) -> Vec<Vec<Timed>> {
    timetable_of(&vec![steps; batches], lead)
}

/// The same for batches that each have steps of their own.
pub(super) fn timetable_of<S: AsRef<[Step]>>(batches: &[S], lead: u64) -> Vec<Vec<Timed>> {
    let mut clock = lead;
    let mut all = Vec::with_capacity(batches.len());
    for steps in batches {
        let steps = steps.as_ref();
        let mut times = Vec::with_capacity(steps.len());
        for step in steps {
            let (from, to) = (clock, clock + u64::from(step.seconds));
            times.push(Timed { kind: step.kind, from, to });
            if step.kind != StepKind::Dry {
                clock = to;
            }
        }
        all.push(times);
    }
    all
}

/// A session that is too long for one.
pub(super) fn too_long(seconds: u64) -> Option<SessionNote> {
    let hours = seconds / 3600;
    (hours >= LONG).then_some(SessionNote::TooLong { hours })
}

#[cfg(test)]
mod tests {
    use super::super::steps::StepSource;
    use super::*;

    #[test]
    fn batches_follow_each_other_and_drying_does_not_hold_them_up() {
        let step = |kind, seconds| Step {
            kind,
            seconds,
            celsius: None,
            how: String::new(),
            source: StepSource::Stated,
        };
        let steps =
            [step(StepKind::Load, 600), step(StepKind::Develop, 660), step(StepKind::Dry, 7200)];
        let times = timetable(&steps, 2, 120);
        let at = |batch: usize, step: usize| (times[batch][step].from, times[batch][step].to);
        assert_eq!([at(0, 0), at(0, 1), at(0, 2)], [(120, 720), (720, 1380), (1380, 8580)]);
        assert_eq!([at(1, 0), at(1, 1), at(1, 2)], [(1380, 1980), (1980, 2640), (2640, 9840)]);
        assert_eq!(too_long(12 * 3600 - 1), None);
        assert!(too_long(12 * 3600).is_some());
    }
}
