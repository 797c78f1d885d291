//! The estimates of a frame, their means over frames, and the pattern that they are.

use super::analysis::FEWEST_PLACES;
use super::contrasts::{Bands, Estimate, Estimated, Facing, Gradients};
use super::geometry::Geometry;
use super::noise::Noise;
use super::pattern::{Band, Pattern, range};
use super::perforations::Wave;
use super::places::Places;
use super::surface::Field;
use super::why::Why;

/// The estimates of one frame, or their means.
#[derive(Clone, Debug)]
pub(super) struct Estimates {
    mean: Estimated,
    gradients: Gradients,
    long: Bands,
    sides: Bands,
    wave: Result<Wave, Why>,
}

impl Estimates {
    /// The estimates of a frame.
    pub(super) fn of(geometry: &Geometry, places: &Places) -> Self {
        let n = places.len();
        if n < FEWEST_PLACES {
            let why = Why::FewPlaces { read: n };
            let bands = Bands { first: Err(why), second: Err(why), both: Err(why) };
            return Self {
                mean: Err(why),
                gradients: Gradients { along: Err(why), across: Err(why) },
                long: bands.clone(),
                sides: bands,
                wave: Err(why),
            };
        }
        let total: f64 = places.weight.iter().sum();
        Self {
            mean: Ok(Estimate { value: places.mean(), error: total.sqrt().recip() }),
            gradients: Gradients::of(places),
            long: Bands::of(places, geometry, Facing::Long),
            sides: Bands::of(places, geometry, Facing::Sides),
            wave: Wave::of(places, geometry),
        }
    }

    /// The means over the frames that have them.
    pub(super) fn mean(all: &[&Self]) -> Self {
        let mean = |of: &dyn Fn(&Self) -> &Estimated| {
            gathered(all, of).map(|several| Estimate::mean(&several))
        };
        Self {
            mean: mean(&|e| &e.mean),
            gradients: Gradients {
                along: mean(&|e| &e.gradients.along),
                across: mean(&|e| &e.gradients.across),
            },
            long: Bands {
                first: mean(&|e| &e.long.first),
                second: mean(&|e| &e.long.second),
                both: mean(&|e| &e.long.both),
            },
            sides: Bands {
                first: mean(&|e| &e.sides.first),
                second: mean(&|e| &e.sides.second),
                both: mean(&|e| &e.sides.both),
            },
            wave: gathered(all, &|e| &e.wave).map(|several| Wave::mean(&several)),
        }
    }

    /// The chance of a wave as high on even film, where one can be looked for.
    pub(super) fn wave_chance(&self, noise: &Noise) -> Option<f64> {
        self.wave.as_ref().ok().map(|w| w.chance(noise))
    }

    /// The pattern with its intervals, the smooth field's range among them.
    pub(super) fn pattern(
        &self,
        (geometry, noise): (&Geometry, &Noise),
        field: Option<(&Field, &[Places])>,
        uneven: bool,
    ) -> Pattern {
        let measured = |estimate: &Estimated| estimate.map(|e| noise.quantity(e.value, e.error));
        let times =
            |estimate: &Estimated, factor: f64| measured(&estimate.map(|e| e.times(factor)));
        let band = |bands: &Bands| Band {
            first: measured(&bands.first),
            second: measured(&bands.second),
            both: measured(&bands.both),
        };
        let Gradients { along, across } = &self.gradients;
        Pattern {
            mean: measured(&self.mean),
            along_per_10_mm: times(along, 10.0),
            along: times(along, geometry.length()),
            across_per_10_mm: times(across, 10.0),
            across: times(across, geometry.width()),
            long_edges: band(&self.long),
            sides: band(&self.sides),
            perforations: self.wave.and_then(|w| w.height(noise)),
            perforations_chance: self.wave_chance(noise),
            range: range(field, geometry, noise, uneven),
            scatter: Err(Why::OfEachFrame),
        }
    }
}

/// What at least two frames have; else the reason of the first that has not.
fn gathered<'a, T: Clone + 'a>(
    all: &[&'a Estimates],
    of: &dyn Fn(&'a Estimates) -> &'a Result<T, Why>,
) -> Result<Vec<T>, Why> {
    let have: Vec<T> = all.iter().filter_map(|e| of(e).clone().ok()).collect();
    if have.len() >= 2 {
        return Ok(have);
    }
    let why = all.iter().find_map(|e| of(e).as_ref().err());
    Err(why.copied().unwrap_or(Why::NoFrame))
}
