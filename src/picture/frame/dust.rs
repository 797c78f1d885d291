//! The light of a cell of even film, without specks and their soft edges.

use crate::picture::Image;
use crate::picture::patch::{Patch, median};
use crate::picture::place::Quad;

/// Light farther from the median than so many standard deviations is dust, in a pixel or in a mean of nine.
const OUTLIER: f64 = 4.0;
/// A standard deviation from the median of the absolute deviations, for normal noise.
const FROM_MEDIAN: f64 = 1.4826;
/// The step between two values of a file of 16 bits.
const ONE_VALUE: f64 = 1.0 / 65535.0;
/// The least share of the pixels that is left; with less it is no speck.
const LEAST: f64 = 0.4;
/// Fewest pixels.
const FEWEST: usize = 9;

/// The light of the same pixels in the picture and in the flat frame: those of `area` that are not dust in the
/// picture. A pixel is dust where its light, or the mean of it and its neighbours, departs from the cell's, or where
/// it lies beside one. `None` with fewer than nine pixels in the picture.
#[must_use]
pub fn without(
    image: &Image,
    flat: &Image,
    dark: Option<&Image>,
    area: &Quad,
) -> Option<(Patch, Patch)> {
    let (low, high) = area.bounds();
    let (left, top) = (low.0.ceil().max(0.0) as usize, low.1.ceil().max(0.0) as usize);
    let right = (high.0.floor().max(0.0) as usize + 1).min(image.width);
    let bottom = (high.1.floor().max(0.0) as usize + 1).min(image.height);
    if left >= right || top >= bottom {
        return None;
    }
    let (columns, rows) = (right - left, bottom - top);
    let below = |x: usize, y: usize| dark.map_or(0.0, |dark| f64::from(dark.at(x, y)));
    let light: Vec<Option<f64>> = (0..columns * rows)
        .map(|k| {
            let (x, y) = (left + k % columns, top + k / columns);
            let inside = area.contains((x as f64, y as f64));
            inside.then(|| f64::from(image.at(x, y)) - below(x, y))
        })
        .collect();
    let pixels = light.iter().flatten().count();
    if pixels < FEWEST {
        return None;
    }
    let around = |k: usize| {
        let (x, y) = (k % columns, k / columns);
        let span = |at: usize, most: usize| at.saturating_sub(1)..(at + 2).min(most);
        span(y, rows)
            .flat_map(move |row| span(x, columns).map(move |column| row * columns + column))
    };
    let smooth: Vec<Option<f64>> = (0..light.len())
        .map(|k| {
            light[k]?;
            let near: Vec<f64> = around(k).filter_map(|n| light[n]).collect();
            Some(near.iter().sum::<f64>() / near.len() as f64)
        })
        .collect();
    let off = [outliers(&light), outliers(&smooth)];
    let is_dust = |k: usize| around(k).any(|n| off[0][n] || off[1][n]);
    let kept: Vec<usize> =
        (0..light.len()).filter(|k| light[*k].is_some() && !is_dust(*k)).collect();
    if kept.len() < FEWEST || (kept.len() as f64) < LEAST * pixels as f64 {
        return Some((Patch::of(image, dark, area)?, Patch::of(flat, dark, area)?));
    }
    let patch = |of: &Image| {
        let at = |k: &usize| (left + k % columns, top + k / columns);
        let values = kept.iter().map(|k| {
            let (x, y) = at(k);
            f64::from(of.at(x, y)) - below(x, y)
        });
        let n = kept.len() as f64;
        let mean = values.clone().sum::<f64>() / n;
        let square = values.map(|v| (v - mean).powi(2)).sum::<f64>() / (n - 1.0);
        let clipped = kept.iter().map(at).filter(|(x, y)| of.at(*x, *y) >= of.clipped_from).count();
        Patch {
            mean,
            error: ((square + ONE_VALUE * ONE_VALUE / 12.0) / n).sqrt(),
            pixels,
            clipped: clipped as f64 / n,
            left_out: 1.0 - n / pixels as f64,
        }
    };
    Some((patch(image), patch(flat)))
}

/// Which values depart from the median.
fn outliers(values: &[Option<f64>]) -> Vec<bool> {
    let mut all: Vec<f64> = values.iter().flatten().copied().collect();
    let middle = median(&mut all);
    let mut off: Vec<f64> = all.iter().map(|v| (v - middle).abs()).collect();
    let most = OUTLIER * (FROM_MEDIAN * median(&mut off)).max(ONE_VALUE);
    values.iter().map(|v| v.is_some_and(|v| (v - middle).abs() > most)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::elementary::hypot;

    #[test]
    fn a_soft_speck_goes_with_its_edge() {
        let noise = |k: usize| 0.004 * (((k * 7919) % 101) as f64 / 100.0 - 0.5);
        let speck =
            |x: f64, y: f64| 1.0 - 0.3 * (1.5 - hypot(x - 12.0, y - 9.0) / 2.0).clamp(0.0, 1.0);
        let of = |light: &dyn Fn(usize) -> f64| Image {
            width: 24,
            height: 20,
            light: (0..480).map(|k| light(k) as f32).collect(),
            clipped_from: 1.0,
        };
        let image = of(&|k| (0.4 + noise(k)) * speck((k % 24) as f64, (k / 24) as f64));
        let flat = of(&|_| 0.8);
        let area = Quad([(0.0, 0.0), (0.0, 19.0), (23.0, 19.0), (23.0, 0.0)]);
        let (clean, of_flat) = without(&image, &flat, None, &area).unwrap();
        assert!((clean.mean - 0.4).abs() < 3e-4, "{clean:?}");
        assert!((0.05..0.25).contains(&clean.left_out) && (of_flat.mean - 0.8).abs() < 1e-6);
        let all = image.light.iter().map(|v| f64::from(*v)).sum::<f64>() / 480.0;
        assert!(all < 0.397, "with the speck: {all}");
        // Half of the cell is no speck.
        let halves = of(&|k| if k % 24 < 12 { 0.2 } else { 0.4 });
        let (both, _) = without(&halves, &flat, None, &area).unwrap();
        assert!((both.mean - 0.3).abs() < 1e-3, "{both:?}");
    }
}
