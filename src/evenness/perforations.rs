//! A pattern along the edges that repeats with the perforations.

use super::contrasts::{Facing, zones};
use super::geometry::Geometry;
use super::noise::Noise;
use super::places::{Places, levels};
use super::why::Why;
use crate::elementary::{cos, hypot, sin};
use crate::measures::{Measured, Quantity};
use crate::numerics::chance::{fisher_upper, student_quantile};
use crate::numerics::linear::Linear;

/// Least number of pitches that the readings must span.
const PITCHES: f64 = 2.0;
/// Chance below which a wave counts as found.
const LEVEL: f64 = 0.05;

/// A wave a·cos(2πx/p) + b·sin(2πx/p) with the covariance of a and b for readings whose variance
/// is σ².
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wave {
    a: f64,
    b: f64,
    covariance: [f64; 3],
}

/// Whether places along the film stand close enough, and far enough in all, for waves of a pitch.
///
/// # Errors
/// [`Why::TooCoarse`] where they do not.
pub(super) fn resolves(columns: &[f64], pitch: f64) -> Result<(), Why> {
    let gaps = columns.windows(2).map(|pair| pair[1] - pair[0]);
    let gap = gaps.fold(0.0, f64::max);
    let span = columns.last().unwrap_or(&0.0) - columns.first().unwrap_or(&0.0);
    if gap >= pitch / 2.0 || span < PITCHES * pitch {
        return Err(Why::TooCoarse { pitch, span: PITCHES * pitch, gap });
    }
    Ok(())
}

impl Wave {
    /// The wave along the edge zones of a frame.
    ///
    /// # Errors
    /// [`Why`] where there are no perforations, or the readings stand too far apart for them.
    pub fn of(places: &Places, geometry: &Geometry) -> Result<Self, Why> {
        let pitch = geometry.pitch?;
        let (lower, upper) = zones(places, geometry, Facing::Long);
        let mut edge = Places::default();
        let mut sides = Vec::new();
        for i in (0..places.len()).filter(|i| lower[*i] || upper[*i]) {
            edge.push((places.x[i], places.y[i]), places.density[i], places.weight[i]);
            sides.push(lower[i]);
        }
        resolves(&levels(&edge.x), pitch)?;
        let number = |lower: bool| sides.iter().map(|s| f64::from(u8::from(*s == lower))).collect();
        let angle = |x: &f64| std::f64::consts::TAU * x / pitch;
        let mut design: Vec<Vec<f64>> =
            [true, false].into_iter().filter(|side| sides.contains(side)).map(number).collect();
        let square = |x: &f64| {
            let u = geometry.scaled(*x, 0.0).0;
            u * u
        };
        design.push(edge.x.clone());
        design.push(edge.x.iter().map(square).collect());
        design.push(edge.x.iter().map(|x| cos(angle(x))).collect());
        design.push(edge.x.iter().map(|x| sin(angle(x))).collect());
        let fit = Linear::fit(&design, &edge.density, &edge.weight).ok_or(Why::FewAlongEdge)?;
        let n = design.len();
        let at = |i: usize, j: usize| fit.covariance[j * n + i];
        Ok(Self {
            a: fit.coefficients[n - 2],
            b: fit.coefficients[n - 1],
            covariance: [at(n - 2, n - 2), at(n - 2, n - 1), at(n - 1, n - 1)],
        })
    }

    /// The mean of several waves: perforations stand alike in all frames, for a frame's advance is a
    /// whole number of them.
    #[must_use]
    pub fn mean(several: &[Self]) -> Self {
        let n = several.len() as f64;
        let sum = |of: &dyn Fn(&Self) -> f64| several.iter().map(of).sum::<f64>();
        Self {
            a: sum(&|w| w.a) / n,
            b: sum(&|w| w.b) / n,
            covariance: [0, 1, 2].map(|k| sum(&|w| w.covariance[k]) / (n * n)),
        }
    }

    /// The chance of a wave as high as this on even film.
    #[must_use]
    pub fn chance(&self, noise: &Noise) -> f64 {
        let [aa, ab, bb] = self.covariance;
        let determinant = aa * bb - ab * ab;
        let form = (bb * self.a * self.a - 2.0 * ab * self.a * self.b + aa * self.b * self.b)
            / determinant;
        fisher_upper(form / 2.0 / noise.variance, 2.0, noise.degrees_of_freedom)
    }

    /// From trough to crest, 2√(a² + b²). The lower end of the interval is 0 unless the wave is found:
    /// an amplitude is never negative, and noise alone has one.
    pub fn height(&self, noise: &Noise) -> Measured<Why> {
        let [aa, ab, bb] = self.covariance;
        let amplitude = hypot(self.a, self.b);
        let variance = if amplitude > 0.0 {
            (self.a * self.a * aa + 2.0 * self.a * self.b * ab + self.b * self.b * bb)
                / (amplitude * amplitude)
        } else {
            aa.max(bb)
        };
        let quantile = student_quantile(0.025, noise.degrees_of_freedom);
        let half = quantile * (variance * noise.variance).sqrt();
        let found = self.chance(noise) < LEVEL;
        Ok(Quantity {
            value: 2.0 * amplitude,
            low: if found { 2.0 * (amplitude - half).max(0.0) } else { 0.0 },
            high: 2.0 * (amplitude + half),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evenness::Options;
    use crate::evenness::noise::Source;

    fn edges(step: f64, density: impl Fn(f64) -> f64) -> (Geometry, Places) {
        let mut places = Places::default();
        for y in [1.0, 12.0, 23.0] {
            for k in 0..=(34.0 / step) as u32 {
                let x = 1.0 + step * f64::from(k);
                places.push((x, y), density(x), 1e4);
            }
        }
        let frames = [places.clone()];
        (Geometry::of(&frames, &Options::default()).unwrap(), places)
    }

    #[test]
    fn a_wave_of_the_pitch_is_found_with_its_height() {
        let wave = |x: f64| 0.8 + 0.001 * x + 0.02 * sin(std::f64::consts::TAU * x / 4.75 + 1.0);
        let (geometry, places) = edges(1.5, wave);
        let noise = Noise {
            variance: 1.0,
            degrees_of_freedom: f64::INFINITY,
            source: Source::Given,
            least: 0.0,
        };
        let wave = Wave::of(&places, &geometry).unwrap();
        let height = wave.height(&noise).unwrap();
        assert!((height.value - 0.04).abs() < 1e-9, "{height:?}");
        assert!(height.low > 0.03 && height.high < 0.05, "{height:?}");
        assert!(wave.chance(&noise) < 1e-6);
        let same = Wave::mean(&[wave, wave]);
        assert!(same.height(&noise).unwrap().low > height.low);
    }

    #[test]
    fn readings_too_far_apart_say_so() {
        let (geometry, places) = edges(8.0, |_| 0.8);
        let why = Wave::of(&places, &geometry).unwrap_err();
        assert_eq!(why, Why::TooCoarse { pitch: 4.75, span: 9.5, gap: 8.0 });
        assert_eq!(
            why.to_string(),
            "a pattern of 4.75 mm needs readings less than 2.4 mm apart along the edge, over 9.5 mm or more; the widest gap is 8.0 mm"
        );
    }
}
