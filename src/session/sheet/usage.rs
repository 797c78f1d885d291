//! What the developer carries, and how much of that a session uses.

use super::{Developing, Session, SessionError};
use crate::bath::film::Films;
use crate::bath::journal::Balance;
use crate::session::activity::ActivitySource;
use crate::session::capacity::{ASSUMED, Capacity, outstanding_m2};
use crate::session::fixing::rolls;
use crate::session::plan::Source;

/// What the developer carries.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Usage {
    /// Film that a litre develops.
    pub capacity: Capacity,
    /// Developer of the session in **litres**: the bath, or what is mixed for all batches.
    pub litres: f64,
    /// Film that it develops, in **m²**.
    pub capacity_m2: f64,
    /// Film that it has developed before and that no replenishment has made good, in **m²**.
    pub before_m2: f64,
    /// Film of the session, in **m²**.
    pub session_m2: f64,
    /// The most that is open at one time during the session, in **m²**.
    pub most_m2: f64,
    /// How the bath stands before the session.
    pub bath: Option<Balance>,
}

impl Usage {
    /// The session's share of the capacity.
    #[must_use]
    pub fn share(&self) -> f64 {
        self.session_m2 / self.capacity_m2
    }
}

impl Session<'_> {
    /// How the bath stands, if there is one and it is in use.
    pub(super) fn balance(&self) -> Result<Option<Balance>, SessionError> {
        let Some(journal) = self.journal else {
            return Ok(None);
        };
        let (balance, file) = (journal.balance(), &journal.file);
        let unusable = |why: String| {
            SessionError::Bath(format!(
                "{file}: {why}; enter the new one with: wedgebook bath mix {file} --litres N"
            ))
        };
        if let Some(on) = balance.discarded {
            return Err(unusable(format!("the bath was discarded on {on}")));
        }
        if !balance.in_use() {
            return Err(unusable("no bath is mixed".to_owned()));
        }
        let (needed, there) = (self.plan.vessel.limits.solution_ml, balance.litres * 1e3);
        if needed > there * (1.0 + 1e-9) {
            return Err(self.fault(
                self.plan.vessel.line,
                format!("vessel.solution_ml: {needed} ml are more than the bath of {file} has, {there:.0} ml: pour less, or mix a larger bath"),
            ));
        }
        Ok(Some(balance))
    }

    /// What the developer carries, checked batch by batch.
    pub(super) fn usage(
        &self,
        bath: Option<&Balance>,
        batches: &[Films],
        developing: &Developing,
        notes: &mut Vec<String>,
    ) -> Result<Usage, SessionError> {
        let capacity = self.capacity();
        let session_m2 = self.plan.films().area_m2();
        let rate = match &self.plan.developer.source {
            Source::Bath { replenish_ml_per_roll, .. } => *replenish_ml_per_roll,
            Source::OneShot { .. } => None,
        };
        if capacity.assumed {
            notes.push(format!("a capacity of {} m² a litre is {ASSUMED}", capacity.m2_per_litre));
        }
        let mut usage = Usage {
            capacity,
            litres: self.plan.vessel.limits.solution_ml / 1e3 * batches.len() as f64,
            capacity_m2: 0.0,
            before_m2: 0.0,
            session_m2,
            most_m2: batches.iter().map(Films::area_m2).fold(0.0, f64::max),
            bath: bath.copied(),
        };
        let (Some(journal), Some(balance)) = (self.journal, bath) else {
            usage.capacity_m2 = capacity.of_ml(usage.litres * 1e3);
            return Ok(usage);
        };
        usage.litres = balance.litres;
        usage.capacity_m2 = capacity.of_ml(usage.litres * 1e3);
        usage.before_m2 = outstanding_m2(journal, rate.map(|ml| ml * rolls(1.0)));
        if rate.is_none() && balance.added_ml > 0.0 {
            notes.push("film before the bath's last replenishment is taken to be made good by it; replenish_ml_per_roll tells it exactly".to_owned());
        }
        // Replenished after each batch, only one batch is open at a time.
        let at_once = if rate.is_some() { usage.most_m2 } else { session_m2 };
        usage.most_m2 = usage.before_m2 + at_once;
        if usage.most_m2 > usage.capacity_m2 * (1.0 + 1e-9) {
            let story = format!(
                "the bath is worked beyond its capacity: {:.3} m² of film that nothing has made good, with this session, against {:.3} m²",
                usage.most_m2, usage.capacity_m2
            );
            if developing.activity.source == ActivitySource::Assumed {
                let assumed = if capacity.assumed { ", which is assumed" } else { "" };
                return Err(SessionError::No(format!(
                    "{story}{assumed}; replenish it or mix a new one, or enter a control strip that tells its activity"
                )));
            }
            notes.push(format!("{story}; its activity says what it still does, and a control strip after the session how long it goes on"));
        }
        Ok(usage)
    }
}
