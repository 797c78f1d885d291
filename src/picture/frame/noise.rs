//! How much neighbouring cells of a frame scatter by themselves.

use crate::picture::patch::median;

/// A standard deviation from the median of absolute values, for normal noise.
const FROM_MEDIAN: f64 = 1.4826;
/// Blocks beyond so many standard deviations are dust, or a place where the film is uneven.
const OUTLIER: f64 = 3.0;
/// What a normal distribution that is cut there has of its variance.
const CUT: f64 = 0.9733;
/// Fewest blocks of four cells.
const FEWEST: usize = 12;

/// The standard deviation of one cell by itself: noise, grain and dust.
///
/// From blocks of two by two cells: z = (a − b − c + d)/2 has the variance of one cell, and whatever changes only
/// along or only across the frame, as gradients and streaks do, cancels. `None` with fewer than twelve blocks.
#[must_use]
pub fn of_cells(densities: &[Option<f64>], columns: usize) -> Option<f64> {
    let rows = densities.len() / columns.max(1);
    let of = |column: usize, row: usize| densities[row * columns + column];
    let mut twists = Vec::new();
    for row in 1..rows {
        for column in 1..columns {
            let four = (
                of(column - 1, row - 1),
                of(column, row - 1),
                of(column - 1, row),
                of(column, row),
            );
            if let (Some(a), Some(b), Some(c), Some(d)) = four {
                twists.push(0.5 * (a - b - c + d));
            }
        }
    }
    if twists.len() < FEWEST {
        return None;
    }
    let most =
        OUTLIER * FROM_MEDIAN * median(&mut twists.iter().map(|z| z.abs()).collect::<Vec<_>>());
    let kept: Vec<f64> = twists.into_iter().filter(|z| z.abs() <= most).collect();
    let square = kept.iter().map(|z| z * z).sum::<f64>() / kept.len() as f64;
    Some((square / CUT).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn streaks_and_spots_are_no_noise() {
        let mut state = 5_u32;
        let mut random = || {
            let mut sum = 0.0;
            for _ in 0..12 {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                sum += f64::from(state >> 8) / f64::from(1 << 24);
            }
            sum - 6.0
        };
        let mut cells = Vec::new();
        for row in 0..24 {
            for column in 0..36 {
                let streak = if row < 3 { 0.1 } else { 0.0 };
                let spot = if (row, column) == (9, 9) { 0.5 } else { 0.0 };
                cells
                    .push(Some(0.8 + streak + spot + 0.002 * f64::from(column) + 0.004 * random()));
            }
        }
        let found = of_cells(&cells, 36).unwrap();
        assert!((found - 0.004).abs() < 0.0004, "{found}");
        assert_eq!(of_cells(&cells[..12], 4), None);
    }
}
