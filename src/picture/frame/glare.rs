//! Glare at any place of a masked picture, also where no black is beside it.
//!
//! A lens scatters a share of its light around each place: B(x) = v + Σ a(k)·(G(k) ∗ L)(x). L is the light of the
//! picture, G(k) bells of fixed widths, v a veil that is everywhere the same. The shares a(k) and v are fitted to
//! the light of the black mask, where there is nothing but glare, and hold in the openings too.
//!
//! # Source
//! That glare is a wide halo of the picture itself: E.-V. Talvala et al. 2007 (from memory). The widths are
//! assumed; the mask shows how much there is of each.

use crate::elementary::exp;
use crate::numerics::linear::Linear;
use crate::picture::Image;
use crate::picture::patch::median;
use crate::picture::place::{Point, Quad};

/// Standard deviations of the halos in **mm**: assumed.
const WIDTHS: [f64; 3] = [2.0, 6.0, 20.0];
/// Length of a coarse cell in **mm**.
const COARSE_MM: f64 = 0.7;
/// The mask counts from so far beside an opening, in **mm**: nearer, its edge is not sharp.
const NEAR_MM: f64 = 1.2;
/// And up to so far.
const FAR_MM: f64 = 15.0;
/// Fewest coarse cells of black.
const FEWEST: usize = 60;
/// Black cells farther from the fit than so many standard deviations are no plain mask.
const OUTLIER: f64 = 5.0;

/// The glare of a picture.
#[derive(Clone, Debug)]
pub struct Glare {
    /// Pixels of a coarse cell.
    cell: usize,
    columns: usize,
    rows: usize,
    /// Glare of each coarse cell.
    glare: Vec<f64>,
    /// Root mean square of what the fit leaves over on the mask.
    pub left_over: f64,
}

impl Glare {
    /// The glare of a picture with these openings in its mask; `None` where too little mask is in view.
    #[must_use]
    pub fn of(
        image: &Image,
        dark: Option<&Image>,
        openings: &[Quad],
        pixels_per_mm: f64,
    ) -> Option<Self> {
        let cell = (COARSE_MM * pixels_per_mm).round().max(1.0) as usize;
        let (columns, rows) = (image.width / cell, image.height / cell);
        let light = coarse(image, dark, cell, (columns, rows));
        let near: Vec<Quad> = openings.iter().map(|o| grown(o, NEAR_MM * pixels_per_mm)).collect();
        let far: Vec<Quad> = openings.iter().map(|o| grown(o, FAR_MM * pixels_per_mm)).collect();
        let middle = |k: usize| {
            let to = |n: usize| (n * cell) as f64 + 0.5 * (cell as f64 - 1.0);
            (to(k % columns), to(k / columns))
        };
        let is_mask = |k: &usize| {
            let at = middle(*k);
            !near.iter().any(|o| o.contains(at)) && far.iter().any(|o| o.contains(at))
        };
        let mut black: Vec<usize> = (0..light.len()).filter(is_mask).collect();
        let halos: Vec<Vec<f64>> = WIDTHS
            .iter()
            .map(|mm| blurred(&light, columns, rows, mm * pixels_per_mm / cell as f64))
            .collect();
        // Twice: the second time without cells that are no plain mask.
        let mut fitted = None;
        for _ in 0..2 {
            if black.len() < FEWEST {
                return None;
            }
            let shares = shares(&light, &halos, &black)?;
            let at = |k: usize| {
                let sum: f64 = shares.halos.iter().zip(&halos).map(|(a, halo)| a * halo[k]).sum();
                sum + shares.veil
            };
            let off: Vec<f64> = black.iter().map(|k| light[*k] - at(*k)).collect();
            let middle_off = 1.4826 * median(&mut off.iter().map(|o| o.abs()).collect::<Vec<_>>());
            let mut kept = off.iter().map(|o| o.abs() <= OUTLIER * middle_off);
            black.retain(|_| kept.next().unwrap_or(true));
            let square = off.iter().filter(|o| o.abs() <= OUTLIER * middle_off).map(|o| o * o);
            let left_over = (square.sum::<f64>() / black.len().max(1) as f64).sqrt();
            let glare = (0..light.len()).map(at).collect();
            fitted = Some(Self { cell, columns, rows, glare, left_over });
        }
        fitted
    }

    /// The glare at a place in **pixels**, between the four coarse cells around it.
    #[must_use]
    pub fn at(&self, (x, y): Point) -> f64 {
        let to = |v: f64, most: usize| {
            let cells = (v - 0.5 * (self.cell as f64 - 1.0)) / self.cell as f64;
            let cells = cells.clamp(0.0, most.saturating_sub(1) as f64);
            let low = (cells.floor() as usize).min(most.saturating_sub(2));
            (low, (low + 1).min(most - 1), cells - low as f64)
        };
        let ((left, right, u), (upper, lower, v)) = (to(x, self.columns), to(y, self.rows));
        let of = |column: usize, row: usize| self.glare[row * self.columns + column];
        (1.0 - v) * ((1.0 - u) * of(left, upper) + u * of(right, upper))
            + v * ((1.0 - u) * of(left, lower) + u * of(right, lower))
    }
}

/// The area with its sides so many pixels farther out.
pub fn grown(area: &Quad, by: f64) -> Quad {
    let (along, across) = (by / area.length(), by / area.breadth());
    area.part((-along, 1.0 + along), (-across, 1.0 + across))
}

/// Means of cells of `cell` pixels, less the dark frame.
fn coarse(
    image: &Image,
    dark: Option<&Image>,
    cell: usize,
    (columns, rows): (usize, usize),
) -> Vec<f64> {
    let mean = |k: usize| {
        let (left, upper) = ((k % columns) * cell, (k / columns) * cell);
        let mut sum = 0.0;
        for row in upper..upper + cell {
            for column in left..left + cell {
                let below = dark.map_or(0.0, |dark| f64::from(dark.at(column, row)));
                sum += f64::from(image.at(column, row)) - below;
            }
        }
        sum / (cell * cell) as f64
    };
    (0..columns * rows).map(mean).collect()
}

/// How much of each halo there is, and the veil.
struct Shares {
    halos: [f64; WIDTHS.len()],
    veil: f64,
}

/// Least squares over the black cells, without those that would be below 0: glare adds light.
fn shares(light: &[f64], halos: &[Vec<f64>], black: &[usize]) -> Option<Shares> {
    let y: Vec<f64> = black.iter().map(|k| light[*k]).collect();
    let ones = vec![1.0; y.len()];
    let columns: Vec<Vec<f64>> = halos
        .iter()
        .map(|halo| black.iter().map(|k| halo[*k]).collect())
        .chain([ones.clone()])
        .collect();
    let mut used: Vec<usize> = (0..columns.len()).collect();
    while !used.is_empty() {
        let taken: Vec<Vec<f64>> = used.iter().map(|k| columns[*k].clone()).collect();
        let fit = Linear::fit(&taken, &y, &ones)?;
        let lowest =
            (0..used.len()).min_by(|a, b| fit.coefficients[*a].total_cmp(&fit.coefficients[*b]))?;
        if fit.coefficients[lowest] >= 0.0 {
            let of = |column: usize| {
                used.iter().position(|k| *k == column).map_or(0.0, |k| fit.coefficients[k])
            };
            return Some(Shares { halos: std::array::from_fn(of), veil: of(WIDTHS.len()) });
        }
        used.remove(lowest);
    }
    Some(Shares { halos: [0.0; WIDTHS.len()], veil: 0.0 })
}

/// The light under a bell of this standard deviation in cells; beyond the picture there is none.
fn blurred(light: &[f64], columns: usize, rows: usize, sd: f64) -> Vec<f64> {
    let reach = (4.0 * sd).ceil() as usize;
    let bell: Vec<f64> = (0..=reach).map(|k| exp(-0.5 * (k as f64 / sd).powi(2))).collect();
    let whole = bell[0] + 2.0 * bell[1..].iter().sum::<f64>();
    let along = |from: &[f64], first: usize, stride: usize, count: usize, at: usize| {
        let low = at.saturating_sub(reach);
        let high = (at + reach).min(count - 1);
        let sum: f64 = (low..=high).map(|k| bell[k.abs_diff(at)] * from[first + k * stride]).sum();
        sum / whole
    };
    let across: Vec<f64> =
        (0..light.len()).map(|k| along(light, k - k % columns, 1, columns, k % columns)).collect();
    (0..light.len()).map(|k| along(&across, k % columns, columns, rows, k / columns)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two openings on black with a halo of 4 pixels and a veil.
    fn picture(share: f64, veil: f64) -> (Image, [Quad; 2]) {
        let (width, height) = (200, 160);
        let openings = [
            Quad([(20.0, 20.0), (20.0, 50.0), (180.0, 50.0), (180.0, 20.0)]),
            Quad([(60.0, 80.0), (60.0, 130.0), (140.0, 130.0), (140.0, 80.0)]),
        ];
        let sharp: Vec<f64> = (0..width * height)
            .map(|k| {
                let at = ((k % width) as f64, (k / width) as f64);
                let inside = openings.iter().position(|o| o.contains(at));
                inside.map_or(0.0, |which| [0.6, 0.2][which])
            })
            .collect();
        let halo = blurred(&sharp, width, height, 9.0);
        let light = sharp.iter().zip(halo).map(|(l, h)| (l + share * h + veil) as f32).collect();
        (Image { width, height, light, clipped_from: 1.0 }, openings)
    }

    #[test]
    fn the_mask_shows_the_glare_in_the_openings() {
        let (image, openings) = picture(0.02, 0.001);
        let glare = Glare::of(&image, None, &openings, 3.0).unwrap();
        // The halo is of none of the widths that are fitted: worst near a corner.
        for (at, sharp, most) in
            [((100.0, 105.0), 0.2, 0.2), ((66.0, 86.0), 0.2, 0.4), ((100.0, 35.0), 0.6, 0.25)]
        {
            let truth = image.between(at.0, at.1).unwrap() - sharp;
            let found = glare.at(at);
            assert!((found / truth - 1.0).abs() < most, "{at:?}: {found} {truth}");
        }
    }

    #[test]
    fn without_a_mask_there_is_none() {
        let image = Image { width: 60, height: 40, light: vec![0.5; 2400], clipped_from: 1.0 };
        let all = Quad([(0.0, 0.0), (0.0, 39.0), (59.0, 39.0), (59.0, 0.0)]);
        assert!(Glare::of(&image, None, &[all], 3.0).is_none());
    }
}
