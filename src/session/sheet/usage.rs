//! How much film the developer can develop, and how much of that a session uses.

use super::{Developing, NoBath, NoSession, Session, SessionError};
use crate::bath::film::Films;
use crate::bath::journal::Balance;
use crate::session::activity::ActivitySource;
use crate::session::capacity::{Capacity, outstanding_m2};
use crate::session::fixing::rolls;
use crate::session::notes::SessionNote;
use crate::session::plan::Source;

/// How much film the developer can develop.
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
        let unusable = |why| SessionError::Bath { journal: file.to_string(), why };
        if let Some(on) = balance.discarded {
            return Err(unusable(NoBath::Discarded { on }));
        }
        if !balance.in_use() {
            return Err(unusable(NoBath::NotMixed));
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

    /// How much film the developer can develop, checked batch by batch.
    pub(super) fn usage(
        &self,
        bath: Option<&Balance>,
        batches: &[Films],
        developing: &Developing,
        notes: &mut Vec<SessionNote>,
    ) -> Result<Usage, SessionError> {
        let capacity = self.capacity();
        let session_m2 = self.plan.films().area_m2();
        let rate = match &self.plan.developer.source {
            Source::Bath { replenish_ml_per_roll, .. } => *replenish_ml_per_roll,
            Source::OneShot { .. } => None,
        };
        if capacity.assumed {
            notes.push(SessionNote::CapacityAssumed { m2_per_litre: capacity.m2_per_litre });
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
            notes.push(SessionNote::ReplenishmentAssumed);
        }
        // Replenished after each batch, only one batch is open at a time.
        let at_once = if rate.is_some() { usage.most_m2 } else { session_m2 };
        usage.most_m2 = usage.before_m2 + at_once;
        if usage.most_m2 > usage.capacity_m2 * (1.0 + 1e-9) {
            let (open_m2, capacity_m2) = (usage.most_m2, usage.capacity_m2);
            if developing.activity.source == ActivitySource::Assumed {
                let assumed = capacity.assumed;
                return Err(NoSession::BeyondCapacity { open_m2, capacity_m2, assumed }.into());
            }
            notes.push(SessionNote::BeyondCapacity { open_m2, capacity_m2 });
        }
        Ok(usage)
    }
}
