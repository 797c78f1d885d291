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

/// The places of all frames, and a column for the level of each frame.
fn pooled(frames: &[Places]) -> (Places, Vec<Vec<f64>>) {
    let mut all = Places::default();
    for frame in frames {
        for i in 0..frame.len() {
            all.push((frame.x[i], frame.y[i]), frame.density[i], frame.weight[i]);
        }
    }
    let level = |group: usize| {
        let member = |(g, f): (usize, &Places)| {
            std::iter::repeat_n(f64::from(u8::from(g == group)), f.len())
        };
        frames.iter().enumerate().flat_map(member).collect()
    };
    (all, (0..frames.len()).map(level).collect())
}

/// The sum of squares that one polynomial for all frames leaves, each about a level of its own, and
/// the number of its coefficients.
#[must_use]
pub fn common_polynomial(
    geometry: &Geometry,
    frames: &[Places],
    degree: usize,
) -> Option<(f64, usize)> {
    let (all, levels) = pooled(frames);
    (1..=degree).rev().find_map(|degree| {
        let basis = Basis::of_degree(&all, degree).without_level();
        let columns: Vec<Vec<f64>> =
            levels.iter().cloned().chain(basis.columns(geometry, &all)).collect();
        let fit = Linear::fit(&columns, &all.density, &all.weight)?;
        (!basis.is_empty()).then_some((fit.sum_of_squares, basis.len()))
    })
}

/// A field that is as rough as the readings ask for: a plane (and waves along the edges, where the
/// places stand close enough), and products of higher degree whose coefficients are drawn to 0, the more the higher the degree, after (i² + j²)⁻¹.
#[derive(Clone, Debug, PartialEq)]
pub struct Field {
    basis: Basis,
    /// Standard deviation of each coefficient beyond the plane, over that of all.
    spread: Vec<f64>,
    /// Coefficients that stand before those of the basis.
    groups: usize,
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
        let (all, levels) = pooled(frames);
        let full = Basis::of_degree(&all, HIGHEST).with_waves(geometry, &all);
        // On one slanting line the plane is not determined; along the film is then enough.
        [full.clone(), full.along()].into_iter().find_map(|basis| {
            // The frames' levels stand for the constant.
            let basis = basis.without_level();
            let spread: Vec<f64> = basis.spreads().collect();
            let mut columns = basis.columns(geometry, &all);
            let plane = basis.len() - spread.len();
            let mut random = columns.split_off(plane);
            for (column, spread) in random.iter_mut().zip(&spread) {
                column.iter_mut().for_each(|v| *v *= spread);
            }
            let fixed: Vec<Vec<f64>> = levels.iter().cloned().chain(columns).collect();
            let fit = Mixed::fit(&fixed, &random, (&all.density, &all.weight), scale)?;
            Some(Self { basis, spread, groups: frames.len(), fit })
        })
    }

    /// The coefficients' multipliers at a place, for the mean level of the groups.
    fn row(&self, geometry: &Geometry, x: f64, y: f64, level: f64) -> Vec<f64> {
        let plane = self.basis.len() - self.spread.len();
        let mut row = vec![level / self.groups as f64; self.groups];
        let spread = std::iter::repeat_n(&1.0, plane).chain(&self.spread);
        row.extend(self.basis.at(geometry, x, y).zip(spread).map(|(v, s)| v * s));
        row
    }

    /// The field at a place and the variance of its error, for weights that are 1/σ²; in a field of
    /// several frames, about the mean of their levels.
    #[must_use]
    pub fn at(&self, geometry: &Geometry, x: f64, y: f64) -> (f64, f64) {
        self.fit.combination(&self.row(geometry, x, y, 1.0))
    }

    /// The field at one place less that at another, and the variance of its error.
    #[must_use]
    pub fn between(&self, geometry: &Geometry, a: (f64, f64), b: (f64, f64)) -> (f64, f64) {
        let (up, down) = (self.row(geometry, a.0, a.1, 0.0), self.row(geometry, b.0, b.1, 0.0));
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
