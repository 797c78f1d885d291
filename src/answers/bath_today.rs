//! The bath that film goes into, as an answer takes it.

use super::standing::Withheld;
use super::{Gather, Value};
use crate::bath::forecast::ForecastNote;
use crate::bath::standing::Standing;
use crate::development::materials::OfAnother;
use crate::measures::Quantity;
use crate::session::BathActivity;

/// The bath that the film goes into.
#[derive(Clone, Debug)]
pub enum BathToday {
    /// A bath of which only the activity is said: 1 as calibrated.
    Given(f64),
    /// A kept bath with a journal.
    Kept(KeptBath),
}

/// What a journal says of a bath today.
#[derive(Clone, Debug)]
pub struct KeptBath {
    /// Its standing.
    pub standing: Standing,
    /// Its activity; `None` where it was not followed because the bath is not to be used.
    pub activity: Option<Quantity>,
    /// What it is of that the pairing is not.
    pub others: Vec<OfAnother>,
    /// What the activity rests on.
    pub notes: Vec<ForecastNote>,
}

impl BathToday {
    /// The bath of a session: kept where it has a standing, with the activity that the session is for.
    pub(super) fn of_session(
        standing: Option<&Standing>,
        activity: &BathActivity,
        others: &[OfAnother],
    ) -> Self {
        let value = activity.value;
        let (low, high) = activity.interval.unwrap_or((value, value));
        match standing {
            Some(standing) => Self::Kept(KeptBath {
                standing: standing.clone(),
                activity: Some(Quantity { value, low, high }),
                others: others.to_vec(),
                notes: Vec::new(),
            }),
            None => Self::Given(value),
        }
    }

    /// Why no time is given: the bath is not to be used, and nobody wants it `anyway`; or it was
    /// thrown away, so that nothing can be calculated.
    pub(super) fn withheld(&self, anyway: bool) -> Option<Withheld> {
        match self {
            Self::Kept(kept)
                if kept.standing.withholds() && !(anyway && kept.activity.is_some()) =>
            {
                Some(Withheld(kept.standing.clone()))
            }
            _ => None,
        }
    }

    /// The activity that is developed for: to three decimals, as it is written on a card.
    pub(super) fn activity(&self) -> Option<Quantity> {
        match self {
            Self::Given(activity) => Some(Quantity::around(*activity, 0.0)),
            Self::Kept(kept) => kept.activity.map(|q| {
                let to = |v: f64| (v * 1e3).round() / 1e3;
                Quantity { value: to(q.value), low: to(q.low), high: to(q.high) }
            }),
        }
    }

    /// The standing of the bath, where it is kept.
    pub(super) fn standing(&self) -> Option<&Standing> {
        match self {
            Self::Kept(kept) => Some(&kept.standing),
            Self::Given(_) => None,
        }
    }

    /// What it is of that the pairing is not, and what the activity rests on.
    pub(super) fn notes(&self) -> Vec<String> {
        match self {
            Self::Kept(kept) => {
                let others = kept.others.iter().map(ToString::to_string);
                others.chain(kept.notes.iter().map(ToString::to_string)).collect()
            }
            Self::Given(_) => Vec::new(),
        }
    }

    /// Adds the activity as a field.
    pub(super) fn add_activity(&self, all: &mut impl Gather) {
        let activity = self.activity();
        let words = match (self, &activity) {
            (Self::Given(activity), _) if *activity == 1.0 => "1, as calibrated".to_owned(),
            (Self::Given(activity), _) => activity.to_string(),
            (Self::Kept(_), Some(q)) => Value::quantity(q).for_people(),
            (Self::Kept(_), None) => "not followed".to_owned(),
        };
        let value = activity.map_or(Value::Missing, |q| Value::plain(q.value, 3));
        all.field("activity", "activity of the bath", value.worded(words));
    }
}
