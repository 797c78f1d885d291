//! The numbers that say how a frame is uneven.

use super::geometry::Geometry;
use super::noise::Noise;
use super::places::Places;
use super::surface::Field;
use super::test::{LEVEL, Sums, Test};
use super::why::Why;
use crate::measures::{Measured, Quantity};
use crate::numerics::chance::{fisher_quantile, student_quantile};

/// Two edge zones against the middle between them, as density differences.
#[derive(Clone, Debug, PartialEq)]
pub struct Band {
    /// The lower long edge, or the left side.
    pub first: Measured<Why>,
    /// The upper long edge, or the right side.
    pub second: Measured<Why>,
    /// The mean of both.
    pub both: Measured<Why>,
}

/// How a frame is uneven; spots are left out of all of it. Differences are positive where the edge is
/// denser than the middle, or where density rises with x or y.
#[derive(Clone, Debug, PartialEq)]
pub struct Pattern {
    /// Mean density.
    pub mean: Measured<Why>,
    /// Gradient along the film, density per **10 mm**.
    pub along_per_10_mm: Measured<Why>,
    /// The same over the length of the frame.
    pub along: Measured<Why>,
    /// Gradient across the film, density per **10 mm**.
    pub across_per_10_mm: Measured<Why>,
    /// The same over the width of the frame.
    pub across: Measured<Why>,
    /// The two long edges.
    pub long_edges: Band,
    /// The two sides.
    pub sides: Band,
    /// Height of a pattern that repeats with the perforations, from trough to crest.
    pub perforations: Measured<Why>,
    /// The chance of one as high on even film.
    pub perforations_chance: Option<f64>,
    /// Highest less lowest density of the smooth field at the places read.
    pub range: Measured<Why>,
    /// Standard deviation of the film's own scatter from place to place, beyond the noise of reading.
    pub scatter: Measured<Why>,
}

impl Pattern {
    /// The numbers with their keys and what people call them.
    pub const fn named(&self) -> [(&'static str, &'static str, &Measured<Why>); 14] {
        [
            ("mean", "mean density", &self.mean),
            ("gradient_along_per_10_mm", "gradient along, per 10 mm", &self.along_per_10_mm),
            ("gradient_along", "gradient along, over the frame", &self.along),
            ("gradient_across_per_10_mm", "gradient across, per 10 mm", &self.across_per_10_mm),
            ("gradient_across", "gradient across, over the frame", &self.across),
            ("long_edges", "long edges above the middle", &self.long_edges.both),
            ("lower_edge", "lower edge above the middle", &self.long_edges.first),
            ("upper_edge", "upper edge above the middle", &self.long_edges.second),
            ("sides", "sides above the middle", &self.sides.both),
            ("left_side", "left side above the middle", &self.sides.first),
            ("right_side", "right side above the middle", &self.sides.second),
            ("perforations", "wave with the perforations", &self.perforations),
            ("smooth_range", "range of the smooth field", &self.range),
            ("scatter", "scatter from place to place", &self.scatter),
        ]
    }
}

/// Highest less lowest value of a smooth field at the places read.
///
/// The estimate's extremes were looked for, which makes it too large; the lower end allows for that
/// (Scheffé's factor for the field's degrees of freedom), and is 0 unless the field is uneven.
pub(super) fn range(
    field: Option<(&Field, &[Places])>,
    geometry: &Geometry,
    noise: &Noise,
    uneven: bool,
) -> Measured<Why> {
    let (field, frames) = field.ok_or(Why::NoField)?;
    let at = |x: f64, y: f64| (field.at(geometry, x, y).0, (x, y));
    let values: Vec<(f64, (f64, f64))> =
        frames.iter().flat_map(|p| p.x.iter().zip(&p.y)).map(|(x, y)| at(*x, *y)).collect();
    let lowest = values.iter().min_by(|a, b| a.0.total_cmp(&b.0));
    let highest = values.iter().max_by(|a, b| a.0.total_cmp(&b.0));
    let (Some(low), Some(high)) = (lowest, highest) else {
        return Err(Why::NoField);
    };
    let (value, variance) = field.between(geometry, high.1, low.1);
    let error = (variance * noise.variance).sqrt();
    let used = field.used().max(1.0);
    let looked_for = (used * fisher_quantile(0.05, used, noise.degrees_of_freedom)).sqrt();
    let quantile = student_quantile(0.025, noise.degrees_of_freedom);
    Ok(Quantity {
        value,
        low: if uneven { (value - looked_for * error).max(0.0) } else { 0.0 },
        high: value + quantile * error,
    })
}

/// The film's own scatter from place to place: what is left of the variance about the finest
/// polynomial after that of reading, with an interval from Fisher's distribution.
pub(super) fn scatter(
    sums: &Sums,
    places: &Places,
    noise: &Noise,
    test: Option<Test>,
) -> Measured<Why> {
    let freedom = sums.scatter.degrees_of_freedom;
    if freedom == 0 {
        return Err(Why::NoScatter);
    }
    let found = test.is_some_and(|t| t.scatter < LEVEL);
    if noise.is_assumed() && !found {
        return Err(Why::NoiseAssumed);
    }
    let ratio = sums.scatter.sum_of_squares / freedom as f64 / noise.variance;
    let quantile = |upper: f64| fisher_quantile(upper, freedom as f64, noise.degrees_of_freedom);
    // A place's mean of repeats is surer than one reading; the mean weight stands for all places.
    let weight = places.weight.iter().sum::<f64>() / places.len() as f64;
    let deviation = |ratio: f64| ((ratio - 1.0).max(0.0) * noise.variance / weight).sqrt();
    Ok(Quantity {
        value: deviation(ratio),
        low: deviation(ratio / quantile(0.025)),
        high: deviation(ratio / quantile(0.975)),
    })
}
