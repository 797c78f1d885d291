//! The temperature when film goes in, and how long to wait for it.

use super::{NoSession, Session, SessionError};
use crate::session::cautions::refusal;
use crate::session::cooling::Cooling;
use crate::session::notes::{Range, SessionNote};
use crate::session::plan::Outside;
use crate::units::Celsius;

/// A developer that is too warm or too cold, and is waited for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wait {
    /// Temperature now, in °C.
    pub from: f64,
    /// Temperature to wait for, in °C.
    pub to: f64,
    /// Temperature of the surroundings, in °C.
    pub surroundings: f64,
    /// Minutes to wait.
    pub minutes: f64,
}

/// A developer that film can go into.
pub(super) struct Ready {
    /// Its temperature then.
    pub celsius: Celsius,
    /// What to wait for.
    pub wait: Option<Wait>,
    /// How it cools, where two readings tell.
    pub cooling: Option<Cooling>,
}

impl Wait {
    /// The wait in whole minutes, rounded up, as **seconds**.
    #[must_use]
    pub fn seconds(&self) -> u64 {
        (self.minutes - 1e-9).ceil().max(0.0) as u64 * 60
    }
}

impl Session<'_> {
    /// The temperature when film goes in, what to wait for, and how the solution cools.
    pub(super) fn celsius(&self, notes: &mut Vec<SessionNote>) -> Result<Ready, SessionError> {
        let plan = &self.plan.temperature;
        let (now, line) = (plan.celsius.value.get(), plan.celsius.line);
        let wanted = now.max(plan.lowest).min(plan.highest);
        let range = Range { lowest: plan.lowest, highest: plan.highest, assumed: plan.assumed };
        let fault = |why: &str| self.fault(line, format!("temperature.celsius: {why}"));
        let (to, wait, cooling) = match plan.outside {
            Outside::Time => {
                if now != wanted {
                    notes.push(SessionNote::AsItIs { now, range });
                }
                (now, None, None)
            }
            Outside::Wait { earlier, minutes_apart, surroundings } => {
                let around = surroundings.get();
                let cooling = Cooling::from_readings(earlier.get(), minutes_apart, now, around);
                if now == wanted {
                    (now, None, cooling.ok())
                } else {
                    let cooling = cooling.map_err(|why| fault(&why.to_string()))?;
                    let minutes = cooling.minutes(now, wanted).map_err(NoSession::from)?;
                    let wait = Wait { from: now, to: wanted, surroundings: around, minutes };
                    notes.push(SessionNote::Waited { now, range });
                    (wanted, Some(wait), Some(cooling))
                }
            }
        };
        if let Some(why) = refusal(to) {
            return Err(fault(&why));
        }
        let celsius = Celsius::new(to).map_err(|bounds| fault(&bounds.to_string()))?;
        Ok(Ready { celsius, wait, cooling })
    }
}
