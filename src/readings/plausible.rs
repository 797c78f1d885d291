//! Recognises readings that are numbers, but of another quantity than that of their column.
//!
//! Exact answers do not exist here; each rule is wide enough to let every ordinary strip pass and
//! says in its documentation what it looks at.

use crate::elementary::ln;

/// Density that a strip must lose from its lower to its upper half of exposures before it counts as
/// falling: above reading noise and uneven fog of a strip without an image.
const LEAST_FALL: f64 = 0.10;
/// Correlation of density with log exposure at and below which a strip falls as a whole.
const FALLING_CORRELATION: f64 = -0.5;
/// A density below this is less than any film base has, so a value below it is a transmittance.
const LESS_THAN_ANY_BASE: f64 = 0.04;
/// The greatest density that a densitometer reads; above it, values are percent.
const GREATEST_DENSITY: f64 = 6.0;
/// Number of distinct values, and ratio of the greatest to the least, from which a progression is judged.
const PROGRESSION: (usize, f64) = (5, 16.0);
/// Greatest relative spread of the ratios in a geometric progression.
const EVEN_RATIOS: f64 = 0.25;
/// Least relative spread of the differences in a progression that is not arithmetic.
const UNEVEN_DIFFERENCES: f64 = 0.5;

/// What a strip whose values fall with exposure probably is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Falling {
    /// Densities paired with the exposures from the wrong end.
    Reversed {
        /// They could be transmittances too.
        perhaps_transmittances: bool,
    },
    /// Transmittances.
    Transmittances {
        /// From 0 to 100.
        percent: bool,
        /// A reversed tablet is ruled out.
        certain: bool,
    },
}

/// What the readings are if their values fall as exposure rises over the strip as a whole; `None`
/// if they do not fall.
///
/// The unexposed film distinguishes the two: it has the highest transmittance and the lowest density.
/// Without it, a value lower than any film base has speaks for transmittances.
pub(super) fn falling(exposed: &[(f64, f64)], unexposed: &[f64]) -> Option<Falling> {
    if !falls(exposed) {
        return None;
    }
    let values = || exposed.iter().map(|(_, value)| *value).chain(unexposed.iter().copied());
    let (low, high) =
        values().fold((f64::MAX, f64::MIN), |(low, high), v| (low.min(v), high.max(v)));
    let percent = high > GREATEST_DENSITY;
    let reversed = |perhaps_transmittances| Some(Falling::Reversed { perhaps_transmittances });
    if low < 0.0 || high > 100.0 || (high > 1.0 && !percent) {
        return reversed(false);
    }
    if percent {
        return Some(Falling::Transmittances { percent, certain: true });
    }
    if !unexposed.is_empty() {
        let clear = unexposed.iter().sum::<f64>() / unexposed.len() as f64;
        let margin = 0.1 * (high - low);
        if clear >= high - margin {
            return Some(Falling::Transmittances { percent, certain: true });
        }
        if clear <= low + margin {
            return reversed(false);
        }
    }
    if low < LESS_THAN_ANY_BASE {
        return Some(Falling::Transmittances { percent, certain: false });
    }
    reversed(true)
}

/// Whether the values fall over the strip as a whole: at least three distinct exposures, a clearly
/// negative correlation, and a fall of the mean from the lower to the upper half.
fn falls(points: &[(f64, f64)]) -> bool {
    let mut exposures: Vec<f64> = points.iter().map(|(x, _)| *x).collect();
    exposures.sort_by(f64::total_cmp);
    exposures.dedup();
    let [least, .., greatest] = exposures.as_slice() else {
        return false;
    };
    if exposures.len() < 3 {
        return false;
    }
    let middle = 0.5 * (least + greatest);
    let half_mean = |upper: bool| {
        let half = points.iter().filter(|(x, _)| (*x > middle) == upper);
        let (count, sum) = half.fold((0_usize, 0.0), |(count, sum), (_, d)| (count + 1, sum + d));
        sum / count as f64
    };
    half_mean(false) - half_mean(true) > LEAST_FALL && correlation(points) <= FALLING_CORRELATION
}

/// Pearson's correlation; 0 where one of the two does not vary.
fn correlation(points: &[(f64, f64)]) -> f64 {
    let n = points.len() as f64;
    let mean_x = points.iter().map(|(x, _)| x).sum::<f64>() / n;
    let mean_y = points.iter().map(|(_, y)| y).sum::<f64>() / n;
    let (xx, yy, xy) = points.iter().fold((0.0, 0.0, 0.0), |(xx, yy, xy), (x, y)| {
        let (dx, dy) = (x - mean_x, y - mean_y);
        (xx + dx * dx, yy + dy * dy, xy + dx * dy)
    });
    if xx > 0.0 && yy > 0.0 { xy / (xx * yy).sqrt() } else { 0.0 }
}

/// Whether values of a log exposure column are exposures themselves: all positive, and either at
/// least two (and a quarter of them) beyond `plausible`, or in a geometric progression of equal ratios.
pub(super) fn looks_like_exposures(values: &[f64], plausible: f64) -> bool {
    let mut values = values.to_vec();
    values.sort_by(f64::total_cmp);
    values.dedup_by(|a, b| (*a - *b).abs() <= 1e-9 * b.abs());
    let (Some(least), Some(greatest)) = (values.first(), values.last()) else {
        return false;
    };
    if *least <= 0.0 {
        return false;
    }
    let beyond = values.iter().filter(|value| **value > plausible).count();
    if beyond >= 2 && 4 * beyond >= values.len() {
        return true;
    }
    let (fewest, ratio) = PROGRESSION;
    values.len() >= fewest
        && greatest / least >= ratio
        && relative_spread(values.windows(2).map(|w| ln(w[1] / w[0]))) <= EVEN_RATIOS
        && relative_spread(values.windows(2).map(|w| w[1] - w[0])) >= UNEVEN_DIFFERENCES
}

/// Standard deviation over mean of positive numbers.
fn relative_spread(items: impl Iterator<Item = f64> + Clone) -> f64 {
    let (count, sum) =
        items.clone().fold((0_usize, 0.0), |(count, sum), item| (count + 1, sum + item));
    let mean = sum / count as f64;
    let variance = items.map(|item| (item - mean).powi(2)).sum::<f64>() / count as f64;
    variance.sqrt() / mean
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::elementary::antilog;

    fn steps(first: f64, step: f64, n: u32) -> Vec<f64> {
        (0..n).map(|i| first + step * f64::from(i)).collect()
    }

    #[test]
    fn log_exposures_pass() {
        assert!(!looks_like_exposures(&steps(0.15, 0.15, 20), 12.0));
        assert!(!looks_like_exposures(&steps(0.05, 0.30, 11), 12.0));
        assert!(!looks_like_exposures(&steps(-2.9, 0.15, 21), 12.0));
        assert!(!looks_like_exposures(&[0.1, 0.4, 1.5], 12.0));
        assert!(
            !looks_like_exposures(&[0.3, 0.6, 0.9, 12.5], 12.0),
            "one slip is not a column of exposures"
        );
        assert!(!looks_like_exposures(&[], 12.0));
    }

    #[test]
    fn exposures_are_recognised() {
        let doubling: Vec<f64> = (0..12).map(|i| 0.01 * 2_f64.powi(i)).collect();
        assert!(looks_like_exposures(&doubling, 12.0));
        assert!(looks_like_exposures(
            &[0.01, 0.014, 0.02, 0.028, 0.04, 0.057, 0.08, 0.11, 0.16],
            12.0
        ));
        assert!(looks_like_exposures(&[1.0, 2.0, 20.0, 30.0], 12.0));
    }

    #[test]
    fn a_strip_with_an_image_or_none_does_not_fall() {
        let rising: Vec<_> = steps(0.0, 0.15, 21).into_iter().map(|x| (x, 0.2 + 0.6 * x)).collect();
        assert_eq!(falling(&rising, &[0.2]), None);
        let even: Vec<_> = steps(0.0, 0.15, 21).into_iter().map(|x| (x, 0.2 - 0.02 * x)).collect();
        assert_eq!(falling(&even, &[]), None);
        assert_eq!(falling(&[(0.0, 1.0), (1.0, 0.2)], &[]), None, "two exposures have no trend");
    }

    #[test]
    fn the_unexposed_film_tells_transmittance_from_order() {
        let points = |f: fn(f64) -> f64| -> Vec<_> {
            steps(0.0, 0.2, 12).into_iter().map(|x| (x, f(x))).collect()
        };
        let density = points(|x| 0.95 - 0.35 * x);
        assert_eq!(
            falling(&density, &[0.14]),
            Some(Falling::Reversed { perhaps_transmittances: false })
        );
        assert_eq!(
            falling(&density, &[]),
            Some(Falling::Reversed { perhaps_transmittances: true })
        );
        let transmittance = points(|x| antilog(-0.2 - 0.6 * x));
        let expected = |certain| Some(Falling::Transmittances { percent: false, certain });
        assert_eq!(falling(&transmittance, &[0.65]), expected(true));
        assert_eq!(falling(&transmittance, &[]), expected(false));
        let percent: Vec<_> = transmittance.iter().map(|(x, t)| (*x, 100.0 * t)).collect();
        let expected = Some(Falling::Transmittances { percent: true, certain: true });
        assert_eq!(falling(&percent, &[]), expected);
    }
}
