//! What is to be poured and mixed.

use super::Developing;
use crate::session::dilution::Dilution;
use crate::session::notes::SessionNote;
use crate::session::plan::{Plan, Source};
use crate::units::Celsius;
use std::fmt;

/// A solution of the session.
#[derive(Clone, Debug, PartialEq)]
pub struct Mixture {
    /// Its name.
    pub name: &'static str,
    /// How many times it is made; one for all batches, or one for each.
    pub times: usize,
    /// Volume of each, in **ml**.
    pub total_ml: f64,
    /// Stock and water, in **ml**; `None` where it is poured ready for use.
    pub parts: Option<(Dilution, f64, f64)>,
    /// Temperature of the water that brings it to the developer's, in °C.
    pub water_celsius: Option<f64>,
    /// What becomes of it afterwards.
    pub after: Afterwards,
}

/// What becomes of a solution after the session.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Afterwards {
    /// It is poured back into the bath.
    BackIntoBath,
    /// It is thrown away.
    UsedOnce,
    /// It is kept while it works.
    KeptWhileItWorks,
    /// It is kept until it is spent.
    KeptUntilSpent,
}

impl Afterwards {
    /// Its code for programs.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::BackIntoBath => "back_into_bath",
            Self::UsedOnce => "used_once",
            Self::KeptWhileItWorks => "kept_while_it_works",
            Self::KeptUntilSpent => "kept_until_spent",
        }
    }
}

impl fmt::Display for Afterwards {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::BackIntoBath => "from the bath and back into it",
            Self::UsedOnce => "used once",
            Self::KeptWhileItWorks => "kept while it works",
            Self::KeptUntilSpent => "kept until it is spent",
        })
    }
}

/// What is to be poured and mixed, in the order of its use.
pub(super) fn mixtures(
    plan: &Plan,
    developing: &Developing,
    batches: usize,
    notes: &mut Vec<SessionNote>,
) -> Vec<Mixture> {
    let total_ml = plan.vessel.limits.solution_ml;
    let mixed = |name, dilution: Option<Dilution>, after| Mixture {
        name,
        times: 1,
        total_ml,
        parts: dilution.map(|d| {
            let (stock, water) = d.volumes(total_ml);
            (d, stock, water)
        }),
        water_celsius: None,
        after,
    };
    let mut developer = match &plan.developer.source {
        Source::Bath { .. } => mixed("developer", None, Afterwards::BackIntoBath),
        Source::OneShot { dilution, .. } => {
            mixed("developer", Some(*dilution), Afterwards::UsedOnce)
        }
    };
    if let Source::OneShot { dilution, stock_celsius, .. } = &plan.developer.source {
        developer.times = batches;
        let celsius = developing.celsius.get();
        let water = stock_celsius.and_then(|stock| dilution.water_celsius(celsius, stock.get()));
        developer.water_celsius = water.filter(|c| Celsius::new(*c).is_ok());
        if let (Some(water), None) = (water, developer.water_celsius) {
            notes.push(SessionNote::StockTooFar { celsius, water });
        }
    }
    vec![
        developer,
        mixed("stop bath", plan.stop.dilution, Afterwards::KeptWhileItWorks),
        mixed("fixer", plan.fix.dilution, Afterwards::KeptUntilSpent),
        mixed("wetting agent", plan.wetting.dilution, Afterwards::UsedOnce),
    ]
}
