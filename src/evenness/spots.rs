//! Single places that depart from the smooth field of the others.
//!
//! Of the places left, the one whose density the others foretell worst is taken away, again and again,
//! up to a share of all. Each time its departure over the standard error of foretelling is turned into
//! a chance, raised by the number of places that were looked at. Those taken away up to the last whose
//! chance is small are spots; two spots cannot hide each other.
//!
//! # Source
//! The order of testing is that of B. Rosner 1983 (from memory); here the mean is a smooth field.

use super::geometry::Geometry;
use super::noise::Noise;
use super::places::Places;
use super::surface::{Field, polynomial};
use crate::measures::Quantity;
use crate::numerics::chance::{student_quantile, student_two_sided};
use crate::numerics::mixed::Scale;

/// Chance with which a spot may be named on a whole roll of even film; in simulations it is up to 0.02,
/// because how rough the field is must be found out too.
pub(super) const LEVEL: f64 = 0.015;
/// Least number of places among which a spot can stand out.
pub(super) const FEWEST: usize = 6;
/// Share of the places that can be spots, and their greatest number.
const MOST: (usize, usize) = (4, 12);
/// After so many places in a row that are no spots, there are none beyond.
const PATIENCE: usize = 4;
/// Places that are left out in turn to see which one departs most: so many from each of two fields.
const CANDIDATES: usize = 2;
/// Chance below which a frame scatters more than the noise that is known.
const SCATTERS: f64 = 0.05;

/// A place that departs from the field of the others.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    /// Its index among the places.
    pub index: usize,
    /// Along the film, in mm.
    pub x: f64,
    /// Across the film, in mm.
    pub y: f64,
    /// How much denser it is than the field of the others there; negative for a light spot.
    pub size: Quantity,
}

/// What was found of spots.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Spots {
    /// The spots, the most certain first.
    pub spots: Vec<Spot>,
    /// The chance that a frame without spots has one this clear, looked for at each of its places.
    pub chance: f64,
}

/// A place's departure from what the others foretell.
#[derive(Clone, Copy, Debug)]
struct Departure {
    index: usize,
    /// Its size, and its standard error with that one's degrees of freedom.
    size: f64,
    error: f64,
    degrees_of_freedom: f64,
}

impl Departure {
    /// The chance of one as large at one place.
    fn chance(&self) -> f64 {
        student_two_sided(self.size / self.error, self.degrees_of_freedom)
    }
}

/// The spots of a frame; `looked_at` is the number of places in all frames.
#[must_use]
pub fn spots(geometry: &Geometry, places: &Places, noise: &Noise, looked_at: usize) -> Spots {
    let n = places.len();
    let mut found = Spots { chance: 1.0, ..Spots::default() };
    if n < FEWEST {
        return found;
    }
    let mut away: Vec<usize> = Vec::new();
    let mut last = 0;
    for _ in 0..(n / MOST.0).min(MOST.1) {
        let Some(worst) = worst(geometry, places, noise, &away) else {
            break;
        };
        let (chance, left) = (worst.chance(), n - away.len());
        away.push(worst.index);
        if chance * (looked_at as f64) < LEVEL {
            last = away.len();
        }
        if away.len() - last >= PATIENCE {
            break;
        }
        found.chance = found.chance.min(chance * left as f64);
    }
    away.truncate(last);
    let sized = |&index: &usize| {
        let departure = departure(geometry, places, noise, &away, index)?;
        let half = student_quantile(0.025, departure.degrees_of_freedom) * departure.error;
        Some(Spot {
            index,
            x: places.x[index],
            y: places.y[index],
            size: Quantity::around(departure.size, half),
        })
    };
    found.spots = away.iter().filter_map(sized).collect();
    found
}

/// The place that departs most among those not taken away: of the few that look worst in the field
/// of all, and in a plane (which a great spot cannot bend to itself), the one that the others
/// contradict most.
fn worst(geometry: &Geometry, places: &Places, noise: &Noise, away: &[usize]) -> Option<Departure> {
    let kept = places.without(away);
    let index: Vec<usize> = (0..places.len()).filter(|i| !away.contains(i)).collect();
    let field = Field::of(geometry, &kept, scale(noise))?;
    let in_field = |x, y| field.at(geometry, x, y);
    let (basis, plane) = polynomial(geometry, &kept, 1)?;
    let in_plane = |x, y| {
        let row: Vec<f64> = basis.at(geometry, x, y).collect();
        let (value, error) = plane.combination(&row);
        (value, error * error)
    };
    let mut candidates: Vec<usize> = Vec::new();
    for foretold in [&in_field as &dyn Fn(f64, f64) -> (f64, f64), &in_plane] {
        let mut order: Vec<(usize, f64)> = index
            .iter()
            .map(|&i| {
                let (value, variance) = foretold(places.x[i], places.y[i]);
                let left = (1.0 / places.weight[i] - variance).max(1e-3 / places.weight[i]);
                (i, (places.density[i] - value).abs() / left.sqrt())
            })
            .collect();
        order.sort_by(|a, b| b.1.total_cmp(&a.1));
        candidates.extend(order.iter().take(CANDIDATES).map(|(i, _)| i));
    }
    candidates.sort_unstable();
    candidates.dedup();
    candidates
        .into_iter()
        .filter_map(|i| departure(geometry, places, noise, away, i))
        .min_by(|a, b| a.chance().total_cmp(&b.chance()))
}

/// The departure of place `index` from the field of the places that are neither it nor away.
fn departure(
    geometry: &Geometry,
    places: &Places,
    noise: &Noise,
    away: &[usize],
    index: usize,
) -> Option<Departure> {
    let left_out: Vec<usize> = away.iter().copied().chain([index]).collect();
    let field = Field::of(geometry, &places.without(&left_out), scale(noise))?;
    let (value, variance) = field.at(geometry, places.x[index], places.y[index]);
    let scale = field.variance().max(noise.least);
    let degrees_of_freedom = field.degrees_of_freedom();
    (degrees_of_freedom >= 1.0).then(|| Departure {
        index,
        size: places.density[index] - value,
        error: (scale * (1.0 / places.weight[index] + variance)).sqrt(),
        degrees_of_freedom,
    })
}

/// On film that scatters from place to place a spot must stand out of that; where nobody gave the
/// noise, the scatter of the others is all there is to go by.
fn scale(noise: &Noise) -> Scale {
    if noise.is_assumed() {
        return Scale::Free;
    }
    Scale::Measured {
        variance: noise.variance,
        degrees_of_freedom: noise.degrees_of_freedom,
        level: SCATTERS,
    }
}
