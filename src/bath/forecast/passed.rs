//! The strips of a journal as the filter passes them, for given coefficients.

use super::filter::{State, run};
use super::stretch::{Step, Then, stretches};
use super::{Assumptions, Event, ForecastError, Values};

/// A strip as the filter passed it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passed {
    /// Its day.
    pub day: f64,
    /// ln a expected before it was read, and the standard deviation expected of the reading.
    pub expected: (f64, f64),
    /// ln a once it was read, and its standard deviation.
    pub filtered: (f64, f64),
    /// Its log-likelihood.
    pub log_likelihood: f64,
}

/// Follows the events with given coefficients and tells of every strip what was expected of it.
///
/// # Errors
/// [`ForecastError`] where the events cannot be followed.
pub fn passed(
    events: &[Event],
    assumptions: &Assumptions,
    values: &Values,
) -> Result<Vec<Passed>, ForecastError> {
    let now = events.last().map_or(0.0, |e| e.day);
    let history = stretches(events, assumptions, now)?;
    let mut list = Vec::new();
    let mut state = history.fresh;
    for stretch in &history.stretches {
        if stretch.new_bath {
            state = history.fresh;
        }
        state = pass(&stretch.steps, values, state, &mut list);
    }
    Ok(list)
}

/// The same for one stretch.
pub(super) fn pass(steps: &[Step], values: &Values, start: State, list: &mut Vec<Passed>) -> State {
    let mut state = start;
    for step in steps {
        let Then::Strip { ln_activity, .. } = step.then else {
            state = run(std::slice::from_ref(step), &[*values], &state, |_, _| ()).states[0];
            continue;
        };
        let mut expected = (0.0, 0.0);
        let one = run(std::slice::from_ref(step), &[*values], &state, |v, f| {
            expected = (ln_activity - v[0], f[0].sqrt());
        });
        state = one.states[0];
        list.push(Passed {
            day: step.day,
            expected,
            filtered: (state.x, state.xx.sqrt()),
            log_likelihood: one.log_likelihood[0],
        });
    }
    state
}
