//! The places of a frame, repeats taken together.

use crate::elementary::{atan2, cos, sin};
use std::collections::HashMap;

use crate::readings::Frame;

/// Places closer than this in both directions are one, in mm.
const SAME: f64 = 1e-6;
/// Places that are nowhere farther apart than this in one direction do not show how density changes in it,
/// in mm: a densitometer's spot is as wide, and no place is measured better.
const ONE_LINE: f64 = 2.0;
/// Steps that a densitometer may read in, the coarsest first.
const STEPS: [f64; 3] = [0.01, 0.001, 0.0001];

/// The places of one frame with the means of their readings.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Places {
    /// Along the film, in mm.
    pub x: Vec<f64>,
    /// Across the film, in mm.
    pub y: Vec<f64>,
    /// Mean density, weighted by 1/σ².
    pub density: Vec<f64>,
    /// Sum of 1/σ² of the readings.
    pub weight: Vec<f64>,
}

/// What repeats say of the noise: their weighted sum of squares about the means of their places.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Repeats {
    /// Sum of squares over σ².
    pub sum_of_squares: f64,
    /// Readings less places.
    pub degrees_of_freedom: usize,
}

impl Places {
    /// The places of a frame in the order of their first readings. `step` is that of the readings'
    /// last decimal: no reading is surer than rounding allows, σ ≥ step/√12.
    #[must_use]
    pub fn of(frame: &Frame, step: f64) -> (Self, Repeats) {
        let mut places = Self::default();
        let mut squares = Vec::new();
        let mut known: HashMap<[i64; 2], usize> = HashMap::new();
        let least = step / 12_f64.sqrt();
        for reading in &frame.readings {
            let (x, y, d) = (reading.x.get(), reading.y.get(), reading.density.get());
            let weight = reading.sigma.get().max(least).powi(-2);
            let key = [x, y].map(|v| (v / SAME).round() as i64);
            match known.get(&key).copied() {
                Some(i) => {
                    // Running mean and sum of squares.
                    let total = places.weight[i] + weight;
                    let off = d - places.density[i];
                    squares.push(weight * places.weight[i] / total * off * off);
                    places.density[i] += off * weight / total;
                    places.weight[i] = total;
                }
                None => {
                    known.insert(key, places.len());
                    places.push((x, y), d, weight);
                }
            }
        }
        let repeats =
            Repeats { sum_of_squares: squares.iter().sum(), degrees_of_freedom: squares.len() };
        (places, repeats)
    }

    /// Appends a place.
    pub fn push(&mut self, (x, y): (f64, f64), density: f64, weight: f64) {
        self.x.push(x);
        self.y.push(y);
        self.density.push(density);
        self.weight.push(weight);
    }

    /// Number of places.
    #[must_use]
    pub fn len(&self) -> usize {
        self.x.len()
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.x.is_empty()
    }

    /// Whether all places lie on one line, whatever its direction, give or take half the width of a spot.
    #[must_use]
    pub fn on_one_line(&self) -> bool {
        let n = self.len() as f64;
        let mean = |v: &[f64]| v.iter().sum::<f64>() / n;
        let (x, y) = (mean(&self.x), mean(&self.y));
        let sum = |f: &dyn Fn(f64, f64) -> f64| -> f64 {
            self.x.iter().zip(&self.y).map(|(a, b)| f(a - x, b - y)).sum()
        };
        let (xx, xy, yy) = (sum(&|a, _| a * a), sum(&|a, b| a * b), sum(&|_, b| b * b));
        // The direction in which the places spread most.
        let angle = 0.5 * atan2(2.0 * xy, xx - yy);
        let off = |(a, b): (&f64, &f64)| ((b - y) * cos(angle) - (a - x) * sin(angle)).abs();
        self.x.iter().zip(&self.y).all(|place| off(place) <= 0.5 * ONE_LINE)
    }

    /// All but the places named.
    #[must_use]
    pub fn without(&self, left_out: &[usize]) -> Self {
        let mut kept = Self::default();
        for i in (0..self.len()).filter(|i| !left_out.contains(i)) {
            kept.push((self.x[i], self.y[i]), self.density[i], self.weight[i]);
        }
        kept
    }

    /// The weighted mean density.
    #[must_use]
    pub fn mean(&self) -> f64 {
        let total: f64 = self.weight.iter().sum();
        let sum: f64 = self.density.iter().zip(&self.weight).map(|(d, w)| d * w).sum();
        sum / total
    }
}

/// Lowest and highest of some numbers.
#[must_use]
pub fn extent(values: &[f64]) -> (f64, f64) {
    let fold = |(low, high): (f64, f64), v: &f64| (low.min(*v), high.max(*v));
    values.iter().fold((f64::INFINITY, f64::NEG_INFINITY), fold)
}

/// How many different places along one direction there are; one where none is far from the others.
#[must_use]
pub fn distinct(values: &[f64]) -> usize {
    let (low, high) = extent(values);
    if high - low < ONE_LINE { values.len().min(1) } else { levels(values).len() }
}

/// The different numbers, rising.
#[must_use]
pub fn levels(values: &[f64]) -> Vec<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted.dedup_by(|a, b| (*a - *b).abs() <= SAME);
    sorted
}

/// The step that all densities are multiples of; 0 where there is none.
#[must_use]
pub fn reading_step(frames: &[Frame]) -> f64 {
    let readings = || frames.iter().flat_map(|f| &f.readings);
    let multiple = |step: f64| {
        readings().all(|r| {
            let steps = r.density.get() / step;
            (steps - steps.round()).abs() < 1e-6
        })
    };
    STEPS.into_iter().find(|s| multiple(*s)).unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::readings::frames_of_bytes;

    fn frames(rows: &str) -> Vec<Frame> {
        let text = format!("x_mm,y_mm,density,sigma\n{rows}");
        frames_of_bytes("a.csv", text.as_bytes(), None).unwrap().frames
    }

    #[test]
    fn repeats_are_one_place_with_their_scatter() {
        let frames = frames("1,2,0.80,0.01\n5,2,0.90,0.01\n1,2,0.83,0.01\n1,2,0.86,0.01\n");
        let (places, repeats) = Places::of(&frames[0], 0.01);
        assert_eq!(places.len(), 2);
        assert!((places.density[0] - 0.83).abs() < 1e-12);
        assert!((places.weight[0] - 3e4).abs() < 1e-6);
        // 0.03² + 0² + 0.03² over 0.01².
        assert!((repeats.sum_of_squares - 18.0).abs() < 1e-9);
        assert_eq!(repeats.degrees_of_freedom, 2);
    }

    #[test]
    fn no_reading_is_surer_than_its_rounding() {
        let frames = frames("1,2,0.80,0.0001\n");
        assert_eq!(reading_step(&frames), 0.01);
        let (places, _) = Places::of(&frames[0], 0.01);
        assert!((places.weight[0] - 12e4).abs() < 1e-6);
    }
}
