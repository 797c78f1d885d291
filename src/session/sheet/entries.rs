//! What is to be entered in the journal after a batch.

use super::Developing;
use crate::bath::film::Films;
use crate::bath::journal::{Act, Load};
use crate::session::fixing::replenisher_ml;
use crate::session::numbers::PlacedFilm;
use crate::session::plan::{Plan, Source};
use std::path::{Path, PathBuf};

/// What is kept of numbered films of a batch: where they lay, and how they were developed.
pub(super) fn load(
    plan: &Plan,
    developing: &Developing,
    batch: u32,
    films: &[PlacedFilm],
) -> Option<Load> {
    let kept = |value: f64| (value * 1e4).round() / 1e4;
    (!films.is_empty()).then(|| Load {
        films: films.iter().map(|placed| placed.film).collect(),
        batch: Some(batch),
        vessel: Some(plan.vessel.kind.to_owned()),
        pairing: Some(seen_from(plan.journal(), &plan.pairing)),
        minutes: Some(kept(f64::from(developing.seconds) / 60.0)),
        celsius: Some(kept(developing.celsius.get())),
        contrast: Some(kept(developing.contrast)),
        development: developing.aim.and_then(|aim| aim.label()),
        temperatures: None,
    })
}

/// A path as seen from the journal's folder, where it lies in or below it; else as the plan has it.
pub(crate) fn seen_from(journal: Option<&PathBuf>, path: &Path) -> String {
    let folder = journal.and_then(|journal| journal.parent()).unwrap_or(Path::new(""));
    path.strip_prefix(folder).unwrap_or(path).display().to_string()
}

/// The entries of a batch: its film, and the replenishment that it asks for.
pub(super) fn entries(plan: &Plan, films: &Films, load: Option<Load>) -> Vec<Act> {
    film(plan, films, load).into_iter().chain(replenishment(plan, films)).collect()
}

/// The entry of film; none without a bath.
pub(super) fn film(plan: &Plan, films: &Films, load: Option<Load>) -> Option<Act> {
    plan.journal()?;
    Some(Act::Film { films: films.to_string(), area_m2: films.area_m2(), load: load.map(Box::new) })
}

/// The replenishment that films ask for.
pub(super) fn replenishment(plan: &Plan, films: &Films) -> Option<Act> {
    let Source::Bath { replenish_ml_per_roll: Some(rate), .. } = &plan.developer.source else {
        return None;
    };
    let ml = measurable(replenisher_ml(films, *rate));
    Some(Act::Replenish { added_ml: ml, removed_ml: ml })
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
