//! Smooth fields: polynomials of low degree by least squares, and a field as rough as the readings
//! ask for.

use super::basis::{Basis, HIGHEST};
use super::geometry::Geometry;
use super::places::Places;
use crate::numerics::linear::Linear;
use crate::numerics::mixed::{Mixed, Scale};

/// Coefficients per place that a polynomial fitted by least squares may have.
const SHARE: f64 = 0.5;

/// The polynomial of highest degree, `most` at most, that the places determine; 0 is the mean. Beyond a
/// parabola it has waves along the edges, where the places stand close enough.
#[must_use]
pub fn polynomial(geometry: &Geometry, places: &Places, most: usize) -> Option<(Basis, Linear)> {
    let fit = |basis: Basis| {
        let few = basis.len() <= 3 || basis.len() as f64 <= SHARE * places.len() as f64;
        let columns = basis.columns(geometry, places);
        let fit = few.then(|| Linear::fit(&columns, &places.density, &places.weight))??;
        Some((basis, fit))
    };
    let degrees = || (1..=most.min(HIGHEST)).rev();
    let full = |degree| {
        let basis = Basis::of_degree(places, degree);
        if degree > 2 { basis.with_waves(geometry, places) } else { basis }
    };
    degrees()
        .find_map(|degree| fit(full(degree)))
        // Places on one slanting line: along the film says all there is to say.
        .or_else(|| degrees().find_map(|degree| fit(Basis::of_degree(places, degree).along())))
        .or_else(|| fit(Basis::of_degree(places, 0)))
}

/// A column whose size within the frames is below this share of its size is the same all over them.
const SAME: f64 = 1e-9;

/// The places of several frames, and columns of them from which the levels of the frames are taken out: the
/// weighted mean of each frame. Coefficients are then those of a fit in which each frame has a level of its
/// own, without a column for each.
struct Levelled {
    all: Places,
    /// Densities less the mean of their frame.
    density: Vec<f64>,
    columns: Vec<Vec<f64>>,
    /// The mean of the frames' means of each column.
    means: Vec<f64>,
    /// The mean of the frames' mean densities, and its variance for weights that are 1/σ².
    level: (f64, f64),
}

impl Levelled {
    fn of(frames: &[Places], columns: impl FnOnce(&Places) -> Vec<Vec<f64>>) -> Self {
        let mut all = Places::default();
        for frame in frames {
            for i in 0..frame.len() {
                all.push((frame.x[i], frame.y[i]), frame.density[i], frame.weight[i]);
            }
        }
        let groups = frames.len() as f64;
        let taken_out = |column: &mut [f64]| {
            let (mut from, mut sum) = (0, 0.0);
            for frame in frames {
                let own = &mut column[from..from + frame.len()];
                let total: f64 = frame.weight.iter().sum();
                let mean = own.iter().zip(&frame.weight).map(|(v, w)| v * w).sum::<f64>() / total;
                own.iter_mut().for_each(|v| *v -= mean);
                sum += mean;
                from += frame.len();
            }
            sum / groups
        };
        let mut density = all.density.clone();
        let level = taken_out(&mut density);
        let variance = frames.iter().map(|f| f.weight.iter().sum::<f64>().recip()).sum::<f64>();
        let mut columns = columns(&all);
        let means = columns
            .iter_mut()
            .map(|column| {
                let size = |column: &[f64]| column.iter().map(|v| v * v).sum::<f64>().sqrt();
                let whole = size(column);
                let mean = taken_out(column);
                if size(column) < SAME * whole {
                    column.fill(0.0);
                }
                mean
            })
            .collect();
        Self { all, density, columns, means, level: (level, variance / (groups * groups)) }
    }
}

/// The sum of squares that one polynomial for all frames leaves, each about a level of its own, and
/// the number of its coefficients.
#[must_use]
pub fn common_polynomial(
    geometry: &Geometry,
    frames: &[Places],
    degree: usize,
) -> Option<(f64, usize)> {
    (1..=degree).rev().find_map(|degree| {
        let mut terms = 0;
        let levelled = Levelled::of(frames, |all| {
            let basis = Basis::of_degree(all, degree).without_level();
            terms = basis.len();
            basis.columns(geometry, all)
        });
        let spare = levelled.density.len().checked_sub(frames.len() + terms);
        let fit = Linear::fit(&levelled.columns, &levelled.density, &levelled.all.weight);
        spare.and(fit).map(|fit| (fit.sum_of_squares, terms))
    })
}

/// A field that is as rough as the readings ask for: a plane (and waves along the edges, where the
/// places stand close enough), and products of higher degree whose coefficients are drawn to 0, the more the higher the degree, after (i² + j²)⁻¹.
#[derive(Clone, Debug, PartialEq)]
pub struct Field {
    basis: Basis,
    /// Standard deviation of each coefficient beyond the plane, over that of all.
    spread: Vec<f64>,
    /// The mean of each column of the basis over the frames.
    means: Vec<f64>,
    /// The mean of the frames' mean densities, and its variance for weights that are 1/σ².
    level: (f64, f64),
    fit: Mixed,
}

impl Field {
    /// The field of one frame.
    #[must_use]
    pub fn of(geometry: &Geometry, places: &Places, scale: Scale) -> Option<Self> {
        Self::of_frames(geometry, std::slice::from_ref(places), scale)
    }

    /// The field that frames have in common, each about a level of its own.
    #[must_use]
    pub fn of_frames(geometry: &Geometry, frames: &[Places], scale: Scale) -> Option<Self> {
        let mut all = Places::default();
        for frame in frames {
            (0..frame.len()).for_each(|i| all.push((frame.x[i], frame.y[i]), 0.0, 1.0));
        }
        let full = Basis::of_degree(&all, HIGHEST).with_waves(geometry, &all);
        // On one slanting line the plane is not determined; along the film is then enough.
        [full.clone(), full.along()].into_iter().find_map(|basis| {
            // The frames' levels stand for the constant.
            let basis = basis.without_level();
            let spread: Vec<f64> = basis.spreads().collect();
            let plane = basis.len() - spread.len();
            let levelled = Levelled::of(frames, |all| {
                let mut columns = basis.columns(geometry, all);
                for (column, spread) in columns[plane..].iter_mut().zip(&spread) {
                    column.iter_mut().for_each(|v| *v *= spread);
                }
                columns
            });
            let (fixed, random) = levelled.columns.split_at(plane);
            let observations = (levelled.density.as_slice(), levelled.all.weight.as_slice());
            let fit = Mixed::fit_without(frames.len(), fixed, random, observations, scale)?;
            let (means, level) = (levelled.means, levelled.level);
            Some(Self { basis, spread, means, level, fit })
        })
    }

    /// The coefficients' multipliers at a place.
    fn row(&self, geometry: &Geometry, x: f64, y: f64) -> Vec<f64> {
        let plane = self.basis.len() - self.spread.len();
        let spread = std::iter::repeat_n(&1.0, plane).chain(&self.spread);
        self.basis.at(geometry, x, y).zip(spread).map(|(v, s)| v * s).collect()
    }

    /// The field at a place and the variance of its error, for weights that are 1/σ²; in a field of
    /// several frames, about the mean of their levels.
    #[must_use]
    pub fn at(&self, geometry: &Geometry, x: f64, y: f64) -> (f64, f64) {
        let mut row = self.row(geometry, x, y);
        row.iter_mut().zip(&self.means).for_each(|(v, mean)| *v -= mean);
        let (above, variance) = self.fit.combination(&row);
        // Means of frames and what is left about them have independent errors.
        (self.level.0 + above, self.level.1 + variance)
    }

    /// The field at one place less that at another, and the variance of its error.
    #[must_use]
    pub fn between(&self, geometry: &Geometry, a: (f64, f64), b: (f64, f64)) -> (f64, f64) {
        let (up, down) = (self.row(geometry, a.0, a.1), self.row(geometry, b.0, b.1));
        let difference: Vec<f64> = up.iter().zip(&down).map(|(a, b)| a - b).collect();
        self.fit.combination(&difference)
    }

    /// Variance of the readings over their σ², as known or as estimated.
    #[must_use]
    pub fn variance(&self) -> f64 {
        self.fit.variance
    }

    /// Degrees of freedom of that variance.
    #[must_use]
    pub fn degrees_of_freedom(&self) -> f64 {
        self.fit.degrees_of_freedom
    }

    /// Degrees of freedom that the field uses up, those of the frames' levels left out.
    #[must_use]
    pub fn used(&self) -> f64 {
        let plane = self.basis.len() - self.spread.len();
        plane as f64 + self.fit.used
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evenness::Options;

    fn grid(density: impl Fn(f64, f64) -> f64) -> (Geometry, Places) {
        let mut places = Places::default();
        for y in [2.0, 12.0, 22.0] {
            for x in [2.0, 10.0, 18.0, 26.0, 34.0] {
                places.push((x, y), density(x, y), 1e4);
            }
        }
        let frames = [places.clone()];
        (Geometry::of(&frames, &Options::default()).unwrap(), places)
    }

    #[test]
    fn fifteen_places_carry_a_parabola_and_no_more() {
        let bowl = |x: f64, y: f64| 0.8 + 1e-4 * (x - 18.0).powi(2) + 2e-4 * x * y;
        let (geometry, places) = grid(bowl);
        let (basis, fit) = polynomial(&geometry, &places, 8).unwrap();
        assert_eq!((basis.len(), fit.degrees_of_freedom), (6, 9));
        assert!(fit.sum_of_squares < 1e-18 * 1e4);
    }

    #[test]
    fn a_field_follows_a_bowl() {
        let bowl = |x: f64, y: f64| 0.8 + 3e-4 * (x - 18.0).powi(2) + 1e-3 * y;
        let (geometry, places) = grid(bowl);
        let field = Field::of(&geometry, &places, Scale::Known(1.0)).unwrap();
        for (x, y) in [(2.0, 2.0), (18.0, 12.0), (34.0, 22.0)] {
            let (value, variance) = field.at(&geometry, x, y);
            assert!((value - bowl(x, y)).abs() < 0.007, "{x} {y} {value}");
            assert!(variance > 0.0 && variance < 1e-4);
        }
        let (difference, _) = field.between(&geometry, (34.0, 22.0), (2.0, 2.0));
        assert!((difference - 0.02).abs() < 0.004, "{difference}");
    }

    #[test]
    fn one_line_of_places_still_has_a_field() {
        let mut places = Places::default();
        for k in 0..7 {
            let t = f64::from(k);
            places.push((5.0 * t, 3.0 * t), 0.8 + 0.01 * t, 1e4);
        }
        let geometry = Geometry::of(&[places.clone()], &Options::default()).unwrap();
        assert!(Field::of(&geometry, &places, Scale::Free).is_some());
        assert!(polynomial(&geometry, &places, 2).is_some());
    }
}
