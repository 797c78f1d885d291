//! How a frame is uneven: gradients and edge zones, each a weighted sum of the densities read, so
//! that its interval holds whatever the field is.

use super::geometry::Geometry;
use super::places::{Places, distinct, extent};
use super::why::{Axis, Edge, Why};
use crate::numerics::linear::Linear;

/// Depth of an edge zone as a share of what was read, where no depth is given.
const ZONE: f64 = 1.0 / 6.0;
/// Rounding of places, in mm.
const SLACK: f64 = 1e-6;

/// A number and its standard error for readings whose variance is σ².
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// The number.
    pub value: f64,
    /// Its standard error.
    pub error: f64,
}

/// An estimate, or why there is none.
pub type Estimated = Result<Estimate, Why>;

impl Estimate {
    /// A combination of a fit's coefficients.
    pub(super) fn of(fit: &Linear, a: &[f64]) -> Self {
        let (value, error) = fit.combination(a);
        Self { value, error }
    }

    /// The mean of several, independent of one another.
    pub(super) fn mean(several: &[Self]) -> Self {
        let n = several.len() as f64;
        let squares: f64 = several.iter().map(|e| e.error * e.error).sum();
        Self { value: several.iter().map(|e| e.value).sum::<f64>() / n, error: squares.sqrt() / n }
    }

    /// The same, multiplied.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        Self { value: self.value * factor, error: self.error * factor.abs() }
    }
}

/// The gradients of the plane that fits the densities at the places best, per **mm**.
#[derive(Clone, Debug, PartialEq)]
pub struct Gradients {
    /// Along the film, positive where density rises with the frame numbers.
    pub along: Estimated,
    /// Across the film, positive where density rises away from the lower edge.
    pub across: Estimated,
}

impl Gradients {
    /// The gradients of a frame.
    #[must_use]
    pub fn of(places: &Places) -> Self {
        let ones = vec![1.0; places.len()];
        let fit = |columns: &[&Vec<f64>]| {
            let columns: Vec<Vec<f64>> = columns.iter().map(|c| (*c).clone()).collect();
            Linear::fit(&columns, &places.density, &places.weight)
        };
        let plane = (!places.on_one_line()).then(|| fit(&[&ones, &places.x, &places.y]));
        if let Some(plane) = plane.flatten() {
            return Self {
                along: Ok(Estimate::of(&plane, &[0.0, 1.0, 0.0])),
                across: Ok(Estimate::of(&plane, &[0.0, 0.0, 1.0])),
            };
        }
        let only = |values: &Vec<f64>, other: &Vec<f64>, axis: Axis| {
            if distinct(values) < 2 {
                let at = values.first().copied().unwrap_or(0.0);
                return Err(Why::SamePlace { axis, at });
            }
            if distinct(other) > 1 {
                return Err(Why::SlantingLine { axis });
            }
            fit(&[&ones, values]).map(|line| Estimate::of(&line, &[0.0, 1.0])).ok_or(Why::OnePlace)
        };
        Self {
            along: only(&places.x, &places.y, Axis::Along),
            across: only(&places.y, &places.x, Axis::Across),
        }
    }
}

/// The direction in which two edges face each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Facing {
    /// The long edges of the film, lower and upper: where the perforations are.
    Long,
    /// The left and the right side of the frame.
    Sides,
}

/// How much denser two edge zones are than the middle between them.
#[derive(Clone, Debug, PartialEq)]
pub struct Bands {
    /// The lower long edge, or the left side.
    pub first: Estimated,
    /// The upper long edge, or the right side.
    pub second: Estimated,
    /// Both: the mean of the two.
    pub both: Estimated,
}

/// Which places lie in the two edge zones.
pub(super) fn zones(
    places: &Places,
    geometry: &Geometry,
    facing: Facing,
) -> (Vec<bool>, Vec<bool>) {
    let (values, frame) = match facing {
        Facing::Long => (&places.y, geometry.across),
        Facing::Sides => (&places.x, geometry.along),
    };
    let (low, high) = match geometry.edge_mm {
        Some(depth) => (frame.0 + depth, frame.1 - depth),
        None => {
            let (low, high) = extent(values);
            let depth = ZONE * (high - low);
            (low + depth, high - depth)
        }
    };
    let first = values.iter().map(|v| *v <= low + SLACK).collect();
    let second = values.iter().map(|v| *v >= high - SLACK).collect();
    (first, second)
}

impl Bands {
    /// The bands of a frame: the coefficients of the two zones beside a constant and the gradient the
    /// other way.
    #[must_use]
    pub fn of(places: &Places, geometry: &Geometry, facing: Facing) -> Self {
        let (first, second) = zones(places, geometry, facing);
        let names = match facing {
            Facing::Long => [Edge::Lower, Edge::Upper],
            Facing::Sides => [Edge::Left, Edge::Right],
        };
        let (values, other) = match facing {
            Facing::Long => (&places.y, &places.x),
            Facing::Sides => (&places.x, &places.y),
        };
        let absent = |why: Why| Self { first: Err(why), second: Err(why), both: Err(why) };
        if distinct(values) < 2 || first.iter().zip(&second).all(|(a, b)| *a || *b) {
            let axis = if facing == Facing::Long { Axis::Across } else { Axis::Along };
            return absent(Why::NoMiddle { axis });
        }
        let has = [first.contains(&true), second.contains(&true)];
        let number = |zone: &[bool]| zone.iter().map(|z| f64::from(u8::from(*z))).collect();
        let mut columns: Vec<Vec<f64>> = vec![vec![1.0; places.len()]];
        if distinct(other) > 1 {
            columns.push(other.clone());
        }
        let before = columns.len();
        for (zone, has) in [&first, &second].into_iter().zip(has) {
            if has {
                columns.push(number(zone));
            }
        }
        let Some(fit) = Linear::fit(&columns, &places.density, &places.weight) else {
            return absent(Why::NotSeparated);
        };
        let coefficient = |at: usize, share: f64, a: &mut Vec<f64>| a[at] = share;
        let one = |rank: usize| {
            if !has[rank] {
                return Err(Why::NoEdge { edge: names[rank] });
            }
            let mut a = vec![0.0; columns.len()];
            coefficient(before + rank * usize::from(has[0]), 1.0, &mut a);
            Ok(Estimate::of(&fit, &a))
        };
        let both = || {
            one(0)?;
            one(1)?;
            let mut a = vec![0.0; columns.len()];
            a[before..].fill(0.5);
            Ok(Estimate::of(&fit, &a))
        };
        Self { first: one(0), second: one(1), both: both() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evenness::Options;

    fn grid(density: impl Fn(f64, f64) -> f64) -> Places {
        let mut places = Places::default();
        for y in [2.0, 7.0, 12.0, 17.0, 22.0] {
            for x in [2.0, 10.0, 18.0, 26.0, 34.0] {
                places.push((x, y), density(x, y), 1e4);
            }
        }
        places
    }

    fn geometry(places: &Places, options: &Options) -> Geometry {
        Geometry::of(std::slice::from_ref(places), options).unwrap()
    }

    #[test]
    fn a_plane_has_its_gradients() {
        let gradients = Gradients::of(&grid(|x, y| 0.8 + 0.001 * x - 0.002 * y));
        assert!((gradients.along.unwrap().value - 0.001).abs() < 1e-12);
        let across = gradients.across.unwrap();
        // Five columns of y about their mean: Σ = 5·(10² + 5² + 0 + 5² + 10²) = 1250.
        assert!((across.value + 0.002).abs() < 1e-12);
        assert!((across.error - 0.01 / 1250_f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn places_on_a_line_tell_one_direction_at_most() {
        let row = |place: fn(f64) -> (f64, f64)| {
            let mut places = Places::default();
            for t in [0.0, 1.0, 2.0, 3.0] {
                places.push(place(t), 0.8 + 0.01 * t, 1e4);
            }
            Gradients::of(&places)
        };
        let level = row(|t| (t, 12.0));
        assert!((level.along.unwrap().value - 0.01).abs() < 1e-12);
        assert_eq!(level.across.unwrap_err(), Why::SamePlace { axis: Axis::Across, at: 12.0 });
        let slanting = row(|t| (t, t));
        assert_eq!(slanting.along.unwrap_err(), Why::SlantingLine { axis: Axis::Along });
        assert_eq!(slanting.across.unwrap_err(), Why::SlantingLine { axis: Axis::Across });
    }

    #[test]
    fn edge_zones_stand_out_beside_a_gradient() {
        let edge = |y: f64| if y < 5.0 { 0.05 } else { 0.0 };
        let places = grid(|x, y| 0.8 + 0.001 * x + edge(y));
        let bands = Bands::of(&places, &geometry(&places, &Options::default()), Facing::Long);
        assert!((bands.first.unwrap().value - 0.05).abs() < 1e-12);
        assert!(bands.second.unwrap().value.abs() < 1e-12);
        let both = bands.both.unwrap();
        assert!((both.value - 0.025).abs() < 1e-12);
        // Means of 5, 5 and 15 places: ¼(1/5 + 1/5) + 1/15 of σ².
        assert!((both.error - 0.01 * (0.1_f64 + 1.0 / 15.0).sqrt()).abs() < 1e-9);
    }

    #[test]
    fn zones_without_places_have_no_band() {
        let places = grid(|_, _| 0.8);
        let deep = Options { edge_mm: Some(1.0), ..Options::default() };
        let bands = Bands::of(&places, &geometry(&places, &deep), Facing::Sides);
        assert_eq!(bands.first.unwrap_err(), Why::NoEdge { edge: Edge::Left });
        let mut two = Places::default();
        for (x, y) in [(2.0, 2.0), (34.0, 2.0), (2.0, 22.0), (34.0, 22.0)] {
            two.push((x, y), 0.8, 1e4);
        }
        let bands = Bands::of(&two, &geometry(&two, &Options::default()), Facing::Long);
        assert!(matches!(bands.both.unwrap_err(), Why::NoMiddle { .. }));
    }
}
