//! What is to be entered in the journal after a batch.

use crate::bath::film::Films;
use crate::bath::journal::Act;
use crate::session::fixing::replenisher_ml;
use crate::session::plan::{Plan, Source};

/// The entries of a batch: its film, and the replenishment that it asks for.
pub(super) fn entries(plan: &Plan, films: &Films) -> Vec<Act> {
    let Source::Bath { replenish_ml_per_roll, .. } = &plan.developer.source else {
        return Vec::new();
    };
    let mut entries = vec![Act::Film { films: films.to_string(), area_m2: films.area_m2() }];
    if let Some(rate) = replenish_ml_per_roll {
        let ml = measurable(replenisher_ml(films, *rate));
        entries.push(Act::Replenish { added_ml: ml, removed_ml: ml });
    }
    entries
}

/// A volume that can be measured: whole millilitres, below ten in tenths.
fn measurable(ml: f64) -> f64 {
    let per_ml = if ml < 10.0 { 10.0 } else { 1.0 };
    (ml * per_ml).round().max(1.0) / per_ml
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn volumes_can_be_measured() {
        assert_eq!([450.4, 9.96, 0.01].map(measurable), [450.0, 10.0, 0.1]);
    }
}
