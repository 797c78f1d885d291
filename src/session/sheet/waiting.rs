//! The temperature when film goes in, and how long to wait for it.

use super::{Session, SessionError};
use crate::session::cautions::refusal;
use crate::session::cooling::{Cooling, CoolingError};
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

impl Wait {
    /// The wait in whole minutes, rounded up, as **seconds**.
    #[must_use]
    pub fn seconds(&self) -> u64 {
        (self.minutes - 1e-9).ceil().max(0.0) as u64 * 60
    }
}

impl Session<'_> {
    /// The temperature when film goes in, what to wait for, and how the solution cools.
    #[allow(clippy::type_complexity)]
    pub(super) fn celsius(
        &self,
        notes: &mut Vec<String>,
    ) -> Result<(Celsius, Option<Wait>, Option<Cooling>), SessionError> {
        let plan = &self.plan.temperature;
        let (now, line) = (plan.celsius.value.get(), plan.celsius.line);
        let wanted = now.clamp(plan.lowest, plan.highest);
        let called = if now > wanted { "above" } else { "below" };
        let range = format!("{} to {} °C", plan.lowest, plan.highest);
        let assumed = if plan.assumed {
            ", which is assumed (common practice, no source)"
        } else {
            ""
        };
        let fault = |why: &str| self.fault(line, format!("temperature.celsius: {why}"));
        let (to, wait, cooling) = match plan.outside {
            Outside::Time => {
                if now != wanted {
                    notes.push(format!(
                        "{now:.1} °C lies {called} the range that is wanted, {range}{assumed}; the time is for the developer as it is"
                    ));
                }
                (now, None, None)
            }
            Outside::Wait {
                earlier,
                minutes_apart,
                surroundings,
            } => {
                let around = surroundings.get();
                let cooling = Cooling::from_readings(earlier.get(), minutes_apart, now, around);
                if now == wanted {
                    (now, None, cooling.ok())
                } else {
                    let cooling = cooling.map_err(|why| fault(&why.to_string()))?;
                    let minutes = cooling.minutes(now, wanted).map_err(no)?;
                    let wait = Wait {
                        from: now,
                        to: wanted,
                        surroundings: around,
                        minutes,
                    };
                    notes.push(format!(
                        "{now:.1} °C lies {called} the range that is wanted, {range}{assumed}; the wait follows from two readings by Newton's law: read the thermometer again before film goes in"
                    ));
                    (wanted, Some(wait), Some(cooling))
                }
            }
        };
        if let Some(why) = refusal(to) {
            return Err(fault(&why));
        }
        let celsius = Celsius::new(to).map_err(|bounds| fault(&bounds.to_string()))?;
        Ok((celsius, wait, cooling))
    }
}

fn no(why: CoolingError) -> SessionError {
    SessionError::No(format!("the developer cannot be waited for: {why}"))
}
