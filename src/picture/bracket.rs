//! Several pictures of one set-up with different shutter times, merged into one of greater range.

use super::Image;

/// Pictures that cannot be merged.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum BracketFault {
    /// No picture at all.
    #[error("there is no picture to merge")]
    None,
    /// Pictures of different sizes.
    #[error(
        "pictures of a bracket must be of one size: {first} and {other} pixels; take them in one go and export them alike"
    )]
    Sizes {
        /// Size of the first.
        first: String,
        /// Another size.
        other: String,
    },
    /// A shutter time that is none.
    #[error("a shutter time of {seconds} s; give the seconds of each picture")]
    Seconds {
        /// What was given.
        seconds: f64,
    },
    /// Two pictures of one shutter time.
    #[error("two pictures of {seconds} s; a bracket has different times")]
    Same {
        /// The time of both.
        seconds: f64,
    },
    /// Pictures whose light is not in the proportion of their times.
    #[error(
        "the pictures of {short} s and {long} s differ by a factor of {found:.2}, where {expected:.2} belongs to their times: a time is wrong, the aperture or the light has changed, or the values are not linear"
    )]
    Ratio {
        /// The shorter time.
        short: f64,
        /// The longer time.
        long: f64,
        /// What the pictures say.
        found: f64,
        /// What the times say.
        expected: f64,
    },
    /// Two neighbours of a bracket that share no well exposed place.
    #[error(
        "the pictures of {short} s and {long} s have no place that is well exposed in both; take one between them"
    )]
    Apart {
        /// The shorter time.
        short: f64,
        /// The longer time.
        long: f64,
    },
}

/// Marked shutter times are round numbers, at most so far from the true ones, as a factor (a mark of 1/60 s is
/// 1/64 s; common practice, no source), with some room.
const WORST_MARK: f64 = 1.20;

/// Merges pictures of one set-up, each with its shutter time in seconds.
///
/// Each pixel is the sum of its unclipped light less the dark level, over the sum of their times: the best
/// average where photons make the noise. The result is scaled to the shortest time, has no dark level any more,
/// and is clipped where the shortest picture is. The ratios of the times are measured from the pictures, because
/// marked times are round. `dark` is a picture with the lens capped; without it, one level for all pixels follows
/// from how neighbours of the bracket differ.
///
/// # Errors
/// [`BracketFault`] where sizes or times do not fit.
pub fn merge(pictures: &[(Image, f64)], dark: Option<&Image>) -> Result<Image, BracketFault> {
    let mut order: Vec<&(Image, f64)> = pictures.iter().collect();
    order.sort_by(|a, b| a.1.total_cmp(&b.1));
    let (shortest, _) = order.first().ok_or(BracketFault::None)?;
    for (image, seconds) in &order {
        if !(*seconds > 0.0 && seconds.is_finite()) {
            return Err(BracketFault::Seconds { seconds: *seconds });
        }
        same_size(shortest, image)?;
    }
    if let Some(dark) = dark {
        same_size(shortest, dark)?;
    }
    let level = |pixel: usize| dark.map_or(0.0, |d| f64::from(d.light[pixel]));
    let mut relative = vec![1.0];
    let mut floors = Vec::new();
    for pair in order.windows(2) {
        let found = against(pair[0], pair[1], level, dark.is_some())?;
        relative.push(relative.last().copied().unwrap_or(1.0) * found.ratio);
        floors.push(found.floor);
    }
    floors.sort_by(f64::total_cmp);
    let floor =
        if dark.is_some() { 0.0 } else { floors.get(floors.len() / 2).copied().unwrap_or(0.0) };
    let light = (0..shortest.light.len())
        .map(|pixel| {
            let dark = level(pixel) + floor;
            let (mut sum, mut times) = (0.0, 0.0);
            for ((image, _), time) in order.iter().zip(&relative) {
                let value = image.light[pixel];
                if value < image.clipped_from {
                    sum += f64::from(value) - dark;
                    times += time;
                }
            }
            if times > 0.0 { (sum / times) as f32 } else { shortest.clipped_from }
        })
        .collect();
    // Just below it lies the greatest light that the shortest picture holds, less its dark level.
    let clipped_from = shortest.clipped_from;
    Ok(Image { width: shortest.width, height: shortest.height, light, clipped_from })
}

fn same_size(first: &Image, other: &Image) -> Result<(), BracketFault> {
    let size = |image: &Image| format!("{} × {}", image.width, image.height);
    if (first.width, first.height) == (other.width, other.height) {
        Ok(())
    } else {
        Err(BracketFault::Sizes { first: size(first), other: size(other) })
    }
}

struct Against {
    ratio: f64,
    floor: f64,
}

/// The line of the longer picture's light over that of the shorter one, where the longer one is well exposed.
///
/// Its slope is the ratio of the times; where the dark level is still in both, it is crossed at that level.
fn against(
    (short, short_time): &(Image, f64),
    (long, long_time): &(Image, f64),
    dark: impl Fn(usize) -> f64,
    without_level: bool,
) -> Result<Against, BracketFault> {
    if short_time == long_time {
        return Err(BracketFault::Same { seconds: *short_time });
    }
    let apart = BracketFault::Apart { short: *short_time, long: *long_time };
    let most = 0.9 * long.clipped_from;
    // Sums about the origin first, then about the means.
    let (mut n, mut x, mut y, mut xx, mut xy) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for (pixel, (s, l)) in short.light.iter().zip(&long.light).enumerate() {
        if *l < most && *s < 0.9 * short.clipped_from {
            let (s, l) = (f64::from(*s) - dark(pixel), f64::from(*l) - dark(pixel));
            n += 1.0;
            x += s;
            y += l;
            xx += s * s;
            xy += s * l;
        }
    }
    let bright = y / n > 0.002 && n >= 16.0;
    if !bright {
        return Err(apart);
    }
    let spread = xx - x * x / n;
    let ratio = if without_level { xy / xx } else { (xy - x * y / n) / spread };
    let expected = long_time / short_time;
    let wrong = !(ratio / expected < WORST_MARK && expected / ratio < WORST_MARK);
    if wrong {
        let (short, long) = (*short_time, *long_time);
        return Err(BracketFault::Ratio { short, long, found: ratio, expected });
    }
    // y = floor + ratio (x − floor).
    let floor = if without_level { 0.0 } else { (y / n - ratio * x / n) / (1.0 - ratio) };
    Ok(Against { ratio, floor })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn picture(seconds: f64, level: f64) -> (Image, f64) {
        let light: Vec<f32> = (0..400)
            .map(|k| (10.0_f64.powf(-f64::from(k) / 150.0) * seconds + level).min(1.0) as f32)
            .collect();
        (Image { width: 20, height: 20, light, clipped_from: 1.0 }, seconds)
    }

    fn greatest_error(merged: &Image, seconds: f64) -> f64 {
        let errors = merged.light.iter().enumerate().map(|(k, v)| {
            (f64::from(*v) / (10.0_f64.powf(-(k as f64) / 150.0) * seconds)).log10().abs()
        });
        errors.fold(0.0, f64::max)
    }

    #[test]
    fn a_bracket_is_one_picture_of_the_shortest_time() {
        for level in [0.0, 0.004] {
            let pictures = [picture(4.0, level), picture(0.5, level), picture(16.0, level)];
            let merged = merge(&pictures, None).unwrap();
            assert!(greatest_error(&merged, 0.5) < 1e-3, "{}", greatest_error(&merged, 0.5));
            let dark = Image { light: vec![level as f32; 400], ..pictures[0].0.clone() };
            let merged = merge(&pictures, Some(&dark)).unwrap();
            assert!(greatest_error(&merged, 0.5) < 1e-4);
        }
    }

    #[test]
    fn marked_times_are_round_but_not_wrong() {
        let (long, _) = picture(4.1, 0.0);
        let merged = merge(&[picture(0.5, 0.0), (long.clone(), 4.0)], None).unwrap();
        assert!(greatest_error(&merged, 0.5) < 1e-3);
        let wrong = merge(&[picture(0.5, 0.0), (long, 1.0)], None);
        assert!(
            matches!(wrong, Err(BracketFault::Ratio { found, .. }) if (found - 8.2).abs() < 0.01)
        );
    }

    #[test]
    fn what_makes_no_bracket_is_refused() {
        assert_eq!(merge(&[], None), Err(BracketFault::None));
        let twice = [picture(1.0, 0.0), picture(1.0, 0.0)];
        assert_eq!(merge(&twice, None), Err(BracketFault::Same { seconds: 1.0 }));
        let none = merge(&[picture(1.0, 0.0), (picture(1.0, 0.0).0, f64::NAN)], None);
        assert!(matches!(none, Err(BracketFault::Seconds { .. })));
        let (mut other, _) = picture(2.0, 0.0);
        (other.width, other.height) = (40, 10);
        assert!(matches!(
            merge(&[picture(1.0, 0.0), (other, 2.0)], None),
            Err(BracketFault::Sizes { .. })
        ));
        let far = merge(&[picture(0.001, 0.0), picture(1e5, 0.0)], None);
        assert!(matches!(far, Err(BracketFault::Apart { .. })), "{far:?}");
    }
}
