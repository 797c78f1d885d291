//! The light of an area of a picture: a mean without dust, with its standard error.

use super::Image;
use super::place::Quad;

/// Values farther from the median than so many standard deviations are left out: dust and scratches.
const OUTLIER: f64 = 4.0;
/// A standard deviation from the median of the absolute deviations, for normal noise.
const FROM_MEDIAN: f64 = 1.4826;
/// The step between two values of a file of 16 bits.
const ONE_VALUE: f64 = 1.0 / 65535.0;

/// The light of an area.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Patch {
    /// Mean in linear light, less the dark frame.
    pub mean: f64,
    /// Its standard error, from the scatter of the pixels.
    pub error: f64,
    /// Pixels.
    pub pixels: usize,
    /// The share of pixels that are clipped.
    pub clipped: f64,
    /// The share of pixels that were left out.
    pub left_out: f64,
}

impl Patch {
    /// The light of the pixels whose middles lie in `quad`: the mean of those within four standard deviations of the
    /// median. `None` with fewer than nine pixels in the picture.
    #[must_use]
    pub fn of(image: &Image, dark: Option<&Image>, quad: &Quad) -> Option<Self> {
        let (low, high) = quad.bounds();
        let rows = (low.1.ceil().max(0.0) as usize)..=(high.1.floor().max(0.0) as usize);
        let columns = (low.0.ceil().max(0.0) as usize)..=(high.0.floor().max(0.0) as usize);
        let mut values = Vec::new();
        let mut clipped = 0_usize;
        for row in rows.filter(|row| *row < image.height) {
            for column in columns.clone().filter(|column| *column < image.width) {
                if !quad.contains((column as f64, row as f64)) {
                    continue;
                }
                let light = image.at(column, row);
                clipped += usize::from(light >= image.clipped_from);
                let below = dark.map_or(0.0, |dark| f64::from(dark.at(column, row)));
                values.push(f64::from(light) - below);
            }
        }
        let pixels = values.len();
        if pixels < 9 {
            return None;
        }
        let middle = median(&mut values.clone());
        let mut off: Vec<f64> = values.iter().map(|v| (v - middle).abs()).collect();
        let most = OUTLIER * (FROM_MEDIAN * median(&mut off)).max(ONE_VALUE);
        values.retain(|v| (v - middle).abs() <= most);
        let n = values.len() as f64;
        let mean = values.iter().sum::<f64>() / n;
        let square = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (n - 1.0).max(1.0);
        // Values of a file are rounded: a mean is no surer than its share of one.
        let error = ((square + ONE_VALUE * ONE_VALUE / 12.0) / n).sqrt();
        let share = |count: usize| count as f64 / pixels as f64;
        Some(Self {
            mean,
            error,
            pixels,
            clipped: share(clipped),
            left_out: share(pixels - values.len()),
        })
    }
}

/// The median; the values change their order. 0 of none.
pub(super) fn median(values: &mut [f64]) -> f64 {
    let middle = values.len() / 2;
    match values.is_empty() {
        true => 0.0,
        false => *values.select_nth_unstable_by(middle, f64::total_cmp).1,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: Quad = Quad([(0.0, 0.0), (0.0, 19.0), (29.0, 19.0), (29.0, 0.0)]);

    fn image(of: impl Fn(usize, usize) -> f32) -> Image {
        let light = (0..600).map(|k| of(k % 30, k / 30)).collect();
        Image { width: 30, height: 20, light, clipped_from: 1.0 }
    }

    #[test]
    fn dust_is_left_out_and_the_dark_is_taken_off() {
        let seen = image(|x, y| match (x, y) {
            (5..8, 5..8) => 0.1,
            _ => 0.5 + if (x + y) % 2 == 0 { 0.01 } else { -0.01 },
        });
        let dark = image(|_, _| 0.1);
        let patch = Patch::of(&seen, Some(&dark), &ALL).unwrap();
        assert!((patch.mean - 0.4).abs() < 2e-4, "{patch:?}");
        assert!((patch.error - 0.01 / 591_f64.sqrt()).abs() < 1e-5);
        assert!((patch.left_out - 9.0 / 600.0).abs() < 1e-12);
        assert_eq!((patch.pixels, patch.clipped), (600, 0.0));
    }

    #[test]
    fn clipped_pixels_are_counted_and_small_areas_have_no_light() {
        let patch = Patch::of(&image(|x, _| if x < 15 { 1.0 } else { 0.9 }), None, &ALL);
        assert_eq!(patch.unwrap().clipped, 0.5);
        let little = Quad([(0.0, 0.0), (0.0, 1.0), (3.0, 1.0), (3.0, 0.0)]);
        assert_eq!(Patch::of(&image(|_, _| 0.5), None, &little), None);
        let outside = Quad([(40.0, 0.0), (40.0, 19.0), (60.0, 19.0), (60.0, 0.0)]);
        assert_eq!(Patch::of(&image(|_, _| 0.5), None, &outside), None);
    }
}
