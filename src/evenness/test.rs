//! Is it uneven at all? Tests with one level of 5 %, shared out among them: a parabola over the frame
//! against the mean, scatter from place to place against the noise of reading, spots, and a wave with
//! the perforations where it can be looked for.

use super::geometry::Geometry;
use super::noise::Noise;
use super::places::{Places, Repeats};
use super::surface::{common_polynomial, polynomial};
use crate::numerics::chance::fisher_upper;

/// Degree of the polynomial that stands for smooth unevenness.
pub(super) const DEGREE: usize = 2;
/// Highest degree of the polynomial that scatter is counted from.
const FINEST: usize = 8;
/// How the level is shared out among smooth field, scatter and spots (Bonferroni, weighted).
const SHARES: [f64; 3] = [0.6, 0.1, 0.3];
/// What a wave with the perforations, where it can be looked for, takes of the smooth field's share.
const WAVE_SHARE: f64 = 0.1;
/// The level of a verdict.
pub const LEVEL: f64 = 0.05;

/// The sums of squares of one frame, over σ².
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Sums {
    /// About the mean.
    pub about_mean: f64,
    /// About the parabola.
    pub about_parabola: f64,
    /// Coefficients of the parabola beside the mean.
    pub terms: usize,
    /// About the finest polynomial, with what it leaves over.
    pub scatter: Repeats,
}

impl Sums {
    /// The sums of a frame's places.
    #[must_use]
    pub fn of(geometry: &Geometry, places: &Places) -> Self {
        let fit = |degree| polynomial(geometry, places, degree);
        let (Some((_, mean)), Some((basis, parabola)), Some((_, finest))) =
            (fit(0), fit(DEGREE), fit(FINEST))
        else {
            return Self::default();
        };
        Self {
            about_mean: mean.sum_of_squares,
            about_parabola: parabola.sum_of_squares,
            terms: basis.len() - 1,
            scatter: Repeats {
                sum_of_squares: finest.sum_of_squares,
                degrees_of_freedom: finest.degrees_of_freedom,
            },
        }
    }
}

/// The chances that even film looks as uneven as this.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Test {
    /// In its smooth field.
    pub field: f64,
    /// In its scatter from place to place.
    pub scatter: f64,
    /// In its spots.
    pub spots: f64,
    /// In a wave with the perforations, where the readings stand close enough for one.
    pub wave: Option<f64>,
}

impl Test {
    /// The test of one frame: scatter is held against the noise of reading, the smooth field against
    /// that of intervals.
    #[must_use]
    pub fn of(
        sums: &Sums,
        (reading, intervals): (&Noise, &Noise),
        spots: f64,
        wave: Option<f64>,
    ) -> Self {
        let terms = sums.terms as f64;
        let explained = (sums.about_mean - sums.about_parabola) / terms;
        let left = sums.scatter.degrees_of_freedom as f64;
        let scatter = sums.scatter.sum_of_squares / left;
        Self {
            field: chance(explained, terms, intervals),
            scatter: chance(scatter, left, reading),
            spots,
            wave,
        }
    }

    /// The chance in any of them.
    #[must_use]
    pub fn chance(&self) -> f64 {
        let [field, scatter, spots] = SHARES;
        let least = self.scatter / scatter;
        let least = least.min(self.spots / spots);
        least.min(smooth(self.field, self.wave, field))
    }
}

/// The chance of a smooth field or a wave, over their share of the level.
fn smooth(field: f64, wave: Option<f64>, share: f64) -> f64 {
    let least = match wave {
        Some(wave) => (field / (share - WAVE_SHARE)).min(wave / WAVE_SHARE),
        None => field / share,
    };
    least.min(1.0)
}

fn chance(variance: f64, degrees_of_freedom: f64, noise: &Noise) -> f64 {
    if degrees_of_freedom < 1.0 {
        return 1.0;
    }
    fisher_upper(variance / noise.variance, degrees_of_freedom, noise.degrees_of_freedom)
}

/// What several frames have in common, and what not: chances that even film looks like this.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Agreement {
    /// A smooth field as marked as the common one, or a wave with the perforations, on even film.
    pub common: f64,
    /// Frames as different as these, on film that is alike in all of them.
    pub different: f64,
}

impl Agreement {
    /// Splits the smooth fields of frames into a common one and the rest; needs two frames that carry
    /// one.
    #[must_use]
    pub fn of(
        geometry: &Geometry,
        frames: &[Places],
        sums: &[Sums],
        noise: &Noise,
        wave: Option<f64>,
    ) -> Option<Self> {
        let sum = |of: fn(&Sums) -> f64| sums.iter().map(of).sum::<f64>();
        let terms: usize = sums.iter().map(|s| s.terms).sum();
        let (pooled, rank) = common_polynomial(geometry, frames, DEGREE)?;
        let common = (sum(|s| s.about_mean) - pooled) / rank as f64;
        let rest = terms.checked_sub(rank).filter(|r| *r > 0)? as f64;
        let different = (pooled - sum(|s| s.about_parabola)) / rest;
        Some(Self {
            common: smooth(chance(common, rank as f64, noise), wave, 1.0),
            different: chance(different, rest, noise),
        })
    }
}
