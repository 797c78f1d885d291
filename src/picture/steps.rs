//! Where the steps of a strip lie: a comb of edges, fitted to the light along the strip.
//!
//! The edges lie at x(j) = start + pitch·j + bow·j·(n − j)·4/n², j from 0 to n: even steps, and a bow for what
//! tilt of the camera does. Each edge scores ln(1 + (z/3)²), z being the difference of light on both of its
//! sides in standard deviations: an edge without contrast, as on a flat toe, says nothing, and an edge of
//! great contrast does not outvote all others.

use super::Image;
use super::patch::median;
use super::place::Quad;
use crate::elementary::{hypot, ln_1p};
use std::fmt;

/// Places along the strip for each step at which the light is taken.
const FINE: usize = 40;
/// The inner share of the breadth and of a step that is measured.
pub const INNER: f64 = 0.55;
/// How far the first edge may lie from the corners, in steps: less than a half, for nothing in the light of a flat
/// toe shows which step is which.
const FARTHEST: f64 = 0.45;
/// How far the pitch may be from that of the corners.
const PITCH: f64 = 0.04;
/// The most that tilt bows the middle of the strip, in steps.
const MOST_BOW: f64 = 0.6;
/// Standard deviation of the pitch of a strip against that of the tablet beside it, where both have the same on
/// the film.
const TIED: f64 = 0.004;
/// The same of the bow, in steps.
const TIED_BOW: f64 = 0.06;
/// Least score over the same comb set between the edges, in each edge that could be seen.
const LEAST_SCORE: f64 = 1.0;

/// Edges of steps along a strip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Comb {
    /// Steps.
    pub steps: usize,
    /// The first edge, in steps from the beginning of the area.
    pub start: f64,
    /// Distance of edges, in steps of the area.
    pub pitch: f64,
    /// How far the middle lies from the middle of even steps, in steps.
    pub bow: f64,
    /// Mean score of an edge.
    pub score: f64,
}

/// Why no steps are found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoSteps {
    /// Nothing changes along the strip as steps do.
    Even,
    /// The strip is smaller than four pixels a step.
    Small,
}

impl fmt::Display for NoSteps {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Even => "no steps are seen: check its corners and the number of its steps",
            Self::Small => "its steps are smaller than 8 pixels: take the picture from nearer",
        })
    }
}

impl std::error::Error for NoSteps {}

impl Comb {
    /// Even steps from end to end.
    #[must_use]
    pub const fn even(steps: usize) -> Self {
        Self { steps, start: 0.0, pitch: 1.0, bow: 0.0, score: 0.0 }
    }

    /// The place of edge `j`, as a share of the length of the area.
    #[must_use]
    pub fn edge(&self, j: f64) -> f64 {
        let n = self.steps as f64;
        let bow = self.bow * 4.0 * j * (n - j) / (n * n);
        (self.start + self.pitch * j + bow) / n
    }

    /// The areas of the steps.
    #[must_use]
    pub fn boxes(&self, area: &Quad) -> Vec<Quad> {
        let edges = |k: usize| (self.edge(k as f64), self.edge(k as f64 + 1.0));
        (0..self.steps).map(|k| area.part(edges(k), (0.0, 1.0))).collect()
    }

    /// The comb that fits the light of `area` best, with its ends within 0.45 steps of the area's; `beside` is the
    /// comb of the tablet in the same picture, where both have steps of the same size.
    ///
    /// # Errors
    /// [`NoSteps`].
    pub fn found(
        image: &Image,
        area: &Quad,
        steps: usize,
        beside: Option<&Self>,
    ) -> Result<Self, NoSteps> {
        if area.length() < 8.0 * steps as f64 || area.breadth() < 8.0 {
            return Err(NoSteps::Small);
        }
        let score = Score::of(&profile(image, area, steps), steps);
        let even = Self::even(steps);
        let tie = |comb: &Self| {
            beside.map_or(0.0, |other| {
                let pitch = (comb.pitch / other.pitch - 1.0) / TIED;
                let bow = (comb.bow - other.bow) / TIED_BOW;
                0.5 * (pitch * pitch + bow * bow)
            })
        };
        let value = |comb: &Self| score.of_comb(comb) - tie(comb);
        let mut best = (f64::NEG_INFINITY, even);
        // Starts and ends on a grid of a twentieth of a step, bows of a tenth.
        let ends: Vec<f64> = (-9..=9).map(|k| f64::from(k) * FARTHEST / 9.0).collect();
        let bows: Vec<f64> = (-6..=6).map(|k| f64::from(k) * MOST_BOW / 6.0).collect();
        for start in &ends {
            for end in &ends {
                let pitch = 1.0 + (end - start) / steps as f64;
                if (pitch - 1.0).abs() > PITCH {
                    continue;
                }
                for bow in &bows {
                    let comb = Self { start: *start, pitch, bow: *bow, ..even };
                    let found = value(&comb);
                    // Of equals, the one that is nearest to the corners.
                    let away = 1e-3 * (start.abs() + (pitch - 1.0).abs() * 10.0 + bow.abs());
                    if found - away > best.0 {
                        best = (found - away, comb);
                    }
                }
            }
        }
        let comb = refined(best.1, value);
        // The same comb, half a step on: what no steps would score.
        let between = Self { start: comb.start + 0.5 * comb.pitch, ..comb };
        let won = score.of_comb(&comb) - score.of_comb(&between);
        let seen = score.seen(&comb).max(1.0);
        if won < LEAST_SCORE * seen || seen < 2.0 {
            return Err(NoSteps::Even);
        }
        Ok(Self { score: won / seen, ..comb })
    }
}

/// The comb that scores best near `comb`, one value at a time in ever smaller steps.
fn refined(mut comb: Comb, value: impl Fn(&Comb) -> f64) -> Comb {
    let mut best = value(&comb);
    let n = comb.steps as f64;
    for halvings in 0..7 {
        let by = 0.08 * 0.5_f64.powi(halvings);
        for _ in 0..4 {
            let before = best;
            let moves: [(f64, f64, f64); 10] = [
                (by, 0.0, 0.0),
                (-by, 0.0, 0.0),
                (0.0, by, 0.0),
                (0.0, -by, 0.0),
                (0.0, 0.0, by),
                (0.0, 0.0, -by),
                (by, -by, 0.0),
                (-by, by, 0.0),
                (by, 0.0, -by),
                (-by, 0.0, by),
            ];
            for (start, end, bow) in moves {
                let tried = Comb {
                    start: comb.start + start,
                    pitch: comb.pitch + end / n,
                    bow: comb.bow + bow,
                    ..comb
                };
                let inside = tried.start.abs() <= FARTHEST
                    && (tried.pitch - 1.0).abs() <= PITCH
                    && tried.bow.abs() <= MOST_BOW;
                let found = if inside { value(&tried) } else { f64::NEG_INFINITY };
                if found > best {
                    (best, comb) = (found, tried);
                }
            }
            if best <= before {
                break;
            }
        }
    }
    comb
}

/// Steps beyond each end of a strip over which the light is taken.
const BEYOND: f64 = 1.0;

/// The light along a strip, as the median across its inner breadth, from a step before it to a step after it;
/// places outside the picture have none.
fn profile(image: &Image, area: &Quad, steps: usize) -> Vec<Option<f64>> {
    let count = FINE * (steps + 2);
    let across = (area.breadth() * INNER).round().clamp(8.0, 60.0) as usize;
    let mut lights = Vec::with_capacity(across);
    (0..count)
        .map(|k| {
            let s = ((k as f64 + 0.5) / FINE as f64 - BEYOND) / steps as f64;
            lights.clear();
            lights.extend((0..across).filter_map(|n| {
                let t = 0.5 + INNER * ((n as f64 + 0.5) / across as f64 - 0.5);
                let (x, y) = area.at(s, t);
                image.between(x, y)
            }));
            (lights.len() * 2 > across).then(|| median(&mut lights))
        })
        .collect()
}

/// What an edge at each place along the strip scores.
struct Score {
    values: Vec<f64>,
    steps: usize,
}

impl Score {
    fn of(profile: &[Option<f64>], steps: usize) -> Self {
        // Sums, for means of windows on both sides: from 0.06 to 0.40 of a step.
        let (near, far) = (FINE * 6 / 100, FINE * 40 / 100);
        let mean = |from: usize, to: usize| {
            let window: Option<Vec<f64>> = profile.get(from..to)?.iter().copied().collect();
            window.map(|w| w.iter().sum::<f64>() / w.len() as f64)
        };
        let mut jumps: Vec<f64> = profile
            .windows(2)
            .filter_map(|pair| Some((pair[1]? - pair[0]?).abs()))
            .filter(|jump| *jump > 0.0)
            .collect();
        // Neighbours share pixels where steps are small: the noise of a window is taken as that of one place.
        let noise = (median(&mut jumps) * 1.05).max(1e-6);
        let values = (0..profile.len())
            .map(|k| {
                let before = k.checked_sub(far).and_then(|from| mean(from, k - near));
                let after = mean(k + near, k + far);
                let (Some(before), Some(after)) = (before, after) else { return 0.0 };
                // Light is seen by its ratio, down to the noise: dense steps count as thin ones do.
                let z = (after - before) / hypot(noise, 0.004 * before.max(after));
                ln_1p((z / 3.0).powi(2))
            })
            .collect();
        Self { values, steps }
    }

    /// The score of an edge at a share of the strip's length.
    fn at(&self, share: f64) -> f64 {
        let place = (share * self.steps as f64 + BEYOND) * FINE as f64 - 0.5;
        let low = place.floor();
        if low < 0.0 || low as usize + 1 >= self.values.len() {
            return 0.0;
        }
        let (k, u) = (low as usize, place - low);
        (1.0 - u) * self.values[k] + u * self.values[k + 1]
    }

    fn of_comb(&self, comb: &Comb) -> f64 {
        (0..=comb.steps).map(|j| self.at(comb.edge(j as f64))).sum()
    }

    /// How many edges are seen: those of a contrast above the noise.
    fn seen(&self, comb: &Comb) -> f64 {
        (0..=comb.steps).filter(|j| self.at(comb.edge(*j as f64)) > 1.0).count() as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::elementary::antilog;

    const AREA: Quad = Quad([(50.0, 20.0), (50.0, 60.0), (470.0, 62.0), (470.0, 22.0)]);

    /// A strip of 21 steps whose step k has this light; edges lie where `truth` has them.
    fn picture(truth: &Comb, light: impl Fn(usize) -> f64) -> Image {
        let mut state = 7_u32;
        let mut random = || {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from(state >> 8) / f64::from(1 << 24) - 0.5
        };
        let edges: Vec<f64> =
            (0..=truth.steps).map(|j| 50.0 + 420.0 * truth.edge(j as f64)).collect();
        let (width, height) = (520, 80);
        let mut pixels = Vec::new();
        for y in 0..height {
            for x in 0..width {
                let below = edges.iter().filter(|edge| **edge <= x as f64).count();
                let tilted = 20.0 + 2.0 * (x as f64 - 50.0) / 420.0;
                let inside = (tilted..tilted + 40.0).contains(&(y as f64));
                let value = match below {
                    k @ 1..=21 if inside => light(k - 1),
                    _ => 0.0005,
                };
                pixels.push((value * (1.0 + 0.02 * random()) + 2e-4 * random()) as f32);
            }
        }
        Image { width, height, light: pixels, clipped_from: 1.0 }
    }

    fn off(found: &Comb, truth: &Comb) -> f64 {
        let away = |j: usize| (found.edge(j as f64) - truth.edge(j as f64)).abs() * 21.0;
        (0..=21).map(away).fold(0.0, f64::max)
    }

    #[test]
    fn edges_of_a_tablet_are_found_though_its_corners_are_off() {
        for (start, pitch, bow) in [(0.3, 0.99, 0.2), (-0.25, 1.01, -0.3), (0.0, 1.0, 0.0)] {
            let truth = Comb { start, pitch, bow, ..Comb::even(21) };
            let image = picture(&truth, |k| 0.8 * antilog(-0.05 - 0.12 * k as f64));
            let found = Comb::found(&image, &AREA, 21, None).unwrap();
            assert!(off(&found, &truth) < 0.12, "{found:?} {truth:?}");
        }
    }

    #[test]
    fn a_flat_toe_and_shoulder_are_placed_by_the_pitch_of_the_tablet() {
        let truth = Comb { start: 0.2, pitch: 0.995, bow: 0.1, ..Comb::even(21) };
        let flat = |k: usize| 0.4 * antilog(-0.25 * (k.clamp(6, 14) - 6) as f64);
        let image = picture(&truth, flat);
        let tablet = Comb { start: -0.1, ..truth };
        let found = Comb::found(&image, &AREA, 21, Some(&tablet)).unwrap();
        assert!(off(&found, &truth) < 0.15, "{found:?}");
    }

    #[test]
    fn what_has_no_steps_has_no_comb() {
        let even = picture(&Comb::even(21), |_| 0.3);
        let inner = Quad([(70.0, 25.0), (70.0, 55.0), (450.0, 55.0), (450.0, 25.0)]);
        assert_eq!(Comb::found(&even, &inner, 21, None), Err(NoSteps::Even));
        assert_eq!(Comb::found(&even, &AREA, 80, None), Err(NoSteps::Small));
    }
}
