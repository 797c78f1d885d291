//! Several pictures of one set-up with different shutter times, merged into one of greater range.

use super::Image;
use crate::elementary::ln;
use std::fmt;
use std::str::FromStr;

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
    /// Two pictures of one shutter time.
    #[error("two pictures of {shutter}; a bracket has different times")]
    Same {
        /// The time of both.
        shutter: Shutter,
    },
    /// Pictures whose light is not in the proportion of their times.
    #[error(
        "the pictures of {short} and {long} differ by a factor of {found:.2}, where {expected:.2} belongs to their times: a time is wrong, the aperture or the light has changed, or the values are not linear"
    )]
    Ratio {
        /// The shorter time.
        short: Shutter,
        /// The longer time.
        long: Shutter,
        /// What the pictures say.
        found: f64,
        /// What the times say.
        expected: f64,
    },
    /// Two neighbours of a bracket that share no well exposed place.
    #[error(
        "the pictures of {short} and {long} have no place that is well exposed in both; take one between them"
    )]
    Apart {
        /// The shorter time.
        short: Shutter,
        /// The longer time.
        long: Shutter,
    },
}

/// Marked shutter times are round numbers, at most so far from the true ones, as a factor: a third of a stop (a mark of
/// 1/60 s is 1/64 s; common practice, no source).
const WORST_MARK: f64 = 1.26;
/// A longer picture counts where its light is expected below this share of the level from which it is clipped.
const WELL_EXPOSED: f64 = 0.92;
/// Bounds of a shutter time in **s**.
const SECONDS: crate::units::Bounds =
    crate::units::Bounds::new("a shutter time in seconds", 1e-6, 3600.0);

/// A shutter time in **s**: from a millionth to an hour.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Shutter(f64);

impl Shutter {
    /// The time in seconds.
    ///
    /// # Errors
    /// Outside its bounds.
    pub fn new(seconds: f64) -> Result<Self, crate::units::OutOfBounds> {
        SECONDS.checked(seconds).map(Self)
    }

    /// In seconds.
    #[must_use]
    pub const fn get(self) -> f64 {
        self.0
    }
}

impl fmt::Display for Shutter {
    /// As cameras mark it: `1/30 s`, `2 s`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let part = 1.0 / self.0;
        if self.0 < 0.3 && (part - part.round()).abs() < 1e-3 * part {
            write!(f, "1/{} s", part.round())
        } else {
            write!(f, "{} s", crate::words::trimmed(self.0, 4))
        }
    }
}

/// A text that is no shutter time.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum NoShutter {
    /// It is no number and no fraction.
    #[error("`{0}` is no shutter time: write seconds, as 1/30 or 0.5")]
    Text(String),
    /// It is outside its bounds.
    #[error(transparent)]
    Bounds(#[from] crate::units::OutOfBounds),
}

impl FromStr for Shutter {
    type Err = NoShutter;

    /// Reads `1/30`, `0.5`, `2`, with or without `s`.
    fn from_str(text: &str) -> Result<Self, NoShutter> {
        let plain = text.trim().trim_end_matches('s').trim_end();
        let number = |text: &str| text.trim().parse::<f64>().ok();
        let seconds = match plain.split_once('/') {
            Some((above, below)) => number(above).zip(number(below)).map(|(a, b)| a / b),
            None => number(plain),
        };
        Ok(Self::new(seconds.ok_or_else(|| NoShutter::Text(text.to_owned()))?)?)
    }
}

/// One picture of a bracket.
#[derive(Clone, Copy, Debug)]
pub struct Exposure<'a> {
    /// Its light.
    pub image: &'a Image,
    /// Its shutter time as marked.
    pub shutter: Shutter,
    /// A dark frame of the same time; where a picture has none, that of the nearest time serves.
    pub dark: Option<&'a Image>,
}

/// Pictures of a bracket in one.
#[derive(Clone, Debug, PartialEq)]
pub struct Merged<'a> {
    /// As the picture of the shortest time, with less noise: light in proportion to that time, above the dark level
    /// of `dark`, and clipped where that picture is.
    pub image: Image,
    /// The shutter times as marked, the shortest first, and how many times the shortest each is by the pictures.
    pub times: Vec<(Shutter, f64)>,
    /// The dark frame of the shortest time, or the nearest. Without any, the light has no dark level: one for all
    /// pixels was found from the pictures and taken off.
    pub dark: Option<&'a Image>,
}

/// Merges pictures of one set-up, each with its shutter time.
///
/// Each pixel is the sum of its unclipped light less the dark level, over the sum of their times: the best
/// average where photons make the noise. The ratios of the times are measured from the pixels that two
/// neighbours both have unclipped, because marked times are round. Without any dark frame, one level for all
/// pixels follows from how neighbours differ. Whether a longer picture counts in a pixel is decided by the light
/// of the shorter ones: by its own light, noise would be left out on one side.
///
/// # Errors
/// [`BracketFault`] where sizes or times do not fit.
pub fn merge<'a>(pictures: &[Exposure<'a>]) -> Result<Merged<'a>, BracketFault> {
    let mut order: Vec<&Exposure<'a>> = pictures.iter().collect();
    order.sort_by(|a, b| a.shutter.get().total_cmp(&b.shutter.get()));
    let shortest = order.first().ok_or(BracketFault::None)?.image;
    for one in &order {
        same_size(shortest, one.image)?;
        one.dark.map_or(Ok(()), |dark| same_size(shortest, dark))?;
    }
    let darks: Vec<Option<&Image>> = order.iter().map(|one| nearest_dark(&order, one)).collect();
    let dark = darks.first().copied().flatten();
    let mut relative = vec![1.0];
    let mut floors = Vec::new();
    for (pair, darks) in order.windows(2).zip(darks.windows(2)) {
        let found = against(pair[0], pair[1], darks[0].zip(darks[1]))?;
        relative.push(relative.last().copied().unwrap_or(1.0) * found.ratio);
        floors.push(found.floor);
    }
    floors.sort_by(f64::total_cmp);
    let floor =
        if dark.is_some() { 0.0 } else { floors.get(floors.len() / 2).copied().unwrap_or(0.0) };
    let level = |dark: Option<&Image>, pixel: usize| match dark {
        Some(dark) => f64::from(dark.light[pixel]),
        None => floor,
    };
    let light = (0..shortest.light.len())
        .map(|pixel| {
            let (mut sum, mut times) = (0.0, 0.0);
            for ((one, time), dark) in order.iter().zip(&relative).zip(&darks) {
                let value = one.image.light[pixel];
                let most = WELL_EXPOSED * f64::from(one.image.clipped_from);
                let is_too_bright = times > 0.0 && sum / times * time > most;
                if value >= one.image.clipped_from || is_too_bright {
                    break;
                }
                sum += f64::from(value) - level(*dark, pixel);
                times += time;
            }
            let own = dark.map_or(0.0, |dark| f64::from(dark.light[pixel]));
            if times > 0.0 { (sum / times + own) as f32 } else { shortest.clipped_from }
        })
        .collect();
    let clipped_from = shortest.clipped_from;
    let image = Image { width: shortest.width, height: shortest.height, light, clipped_from };
    let times = order.iter().map(|one| one.shutter).zip(relative).collect();
    Ok(Merged { image, times, dark })
}

/// The dark frame of a picture, or else that of the nearest time.
fn nearest_dark<'a>(all: &[&Exposure<'a>], one: &Exposure<'a>) -> Option<&'a Image> {
    let away = |other: &Exposure<'_>| ln(other.shutter.get() / one.shutter.get()).abs();
    let with = all.iter().filter_map(|other| Some((away(other), other.dark?)));
    with.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, dark)| dark)
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
    short: &Exposure<'_>,
    long: &Exposure<'_>,
    darks: Option<(&Image, &Image)>,
) -> Result<Against, BracketFault> {
    let times = (short.shutter, long.shutter);
    if short.shutter == long.shutter {
        return Err(BracketFault::Same { shutter: short.shutter });
    }
    // Sums about the origin first, then about the means.
    let (mut n, mut x, mut y, mut xx, mut xy) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for (pixel, (s, l)) in short.image.light.iter().zip(&long.image.light).enumerate() {
        if *l < 0.9 * long.image.clipped_from && *s < 0.9 * short.image.clipped_from {
            let level = |dark: &Image| f64::from(dark.light[pixel]);
            let (a, b) = darks.map_or((0.0, 0.0), |(a, b)| (level(a), level(b)));
            let (s, l) = (f64::from(*s) - a, f64::from(*l) - b);
            n += 1.0;
            x += s;
            y += l;
            xx += s * s;
            xy += s * l;
        }
    }
    let bright = y / n > 0.002 && n >= 16.0;
    if !bright {
        return Err(BracketFault::Apart { short: times.0, long: times.1 });
    }
    let spread = xx - x * x / n;
    let ratio = if darks.is_some() { xy / xx } else { (xy - x * y / n) / spread };
    let expected = times.1.get() / times.0.get();
    let wrong = !(ratio / expected < WORST_MARK && expected / ratio < WORST_MARK);
    if wrong {
        return Err(BracketFault::Ratio { short: times.0, long: times.1, found: ratio, expected });
    }
    // y = floor + ratio (x − floor).
    let floor = if darks.is_some() { 0.0 } else { (y / n - ratio * x / n) / (1.0 - ratio) };
    Ok(Against { ratio, floor })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::elementary::{antilog, log10};

    fn picture(seconds: f64, level: f64) -> Image {
        let light: Vec<f32> = (0..400)
            .map(|k| (antilog(-f64::from(k) / 150.0) * seconds + level).min(1.0) as f32)
            .collect();
        Image { width: 20, height: 20, light, clipped_from: 1.0 }
    }

    fn of(image: &Image, seconds: f64) -> Exposure<'_> {
        Exposure { image, shutter: Shutter::new(seconds).unwrap(), dark: None }
    }

    fn greatest_error(merged: &Image, seconds: f64) -> f64 {
        let errors =
            merged.light.iter().enumerate().map(|(k, v)| {
                log10(f64::from(*v) / (antilog(-(k as f64) / 150.0) * seconds)).abs()
            });
        errors.fold(0.0, f64::max)
    }

    /// The light less the dark frame.
    fn net(merged: &Merged<'_>) -> Image {
        let dark = merged.dark.unwrap();
        let light = merged.image.light.iter().zip(&dark.light).map(|(l, d)| l - d).collect();
        Image { light, ..merged.image.clone() }
    }

    #[test]
    fn a_bracket_is_one_picture_of_the_shortest_time() {
        for level in [0.0, 0.004] {
            let times = [4.0, 0.5, 16.0];
            let pictures = times.map(|seconds| picture(seconds, level));
            let mut all = [0, 1, 2].map(|k| of(&pictures[k], times[k]));
            let merged = merge(&all).unwrap();
            assert!(greatest_error(&merged.image, 0.5) < 1e-3 && merged.dark.is_none());
            let dark = Image { light: vec![level as f32; 400], ..pictures[0].clone() };
            all[2].dark = Some(&dark);
            let merged = merge(&all).unwrap();
            assert!(greatest_error(&net(&merged), 0.5) < 1e-4 && merged.dark == Some(&dark));
            let found: Vec<f64> = merged.times.iter().map(|(_, time)| *time).collect();
            assert!((found[1] - 8.0).abs() < 1e-3 && (found[2] - 32.0).abs() < 0.01, "{found:?}");
        }
    }

    #[test]
    fn each_picture_has_the_dark_level_of_its_own_time() {
        let (short, long) = (picture(0.5, 0.001), picture(4.0, 0.02));
        let dark = |level: f32| Image { light: vec![level; 400], ..short.clone() };
        let darks = [dark(0.001), dark(0.02)];
        let own =
            |image, seconds, k: usize| Exposure { dark: Some(&darks[k]), ..of(image, seconds) };
        let merged = merge(&[own(&short, 0.5, 0), own(&long, 4.0, 1)]).unwrap();
        assert!(greatest_error(&net(&merged), 0.5) < 1e-4);
    }

    #[test]
    fn marked_times_are_round_but_not_wrong() {
        let (short, long) = (picture(0.5, 0.0), picture(4.1, 0.0));
        let merged = merge(&[of(&short, 0.5), of(&long, 4.0)]).unwrap();
        assert!(greatest_error(&merged.image, 0.5) < 1e-3);
        let wrong = merge(&[of(&short, 0.5), of(&long, 1.0)]);
        assert!(
            matches!(wrong, Err(BracketFault::Ratio { found, .. }) if (found - 8.2).abs() < 0.01)
        );
    }

    #[test]
    fn what_makes_no_bracket_is_refused() {
        assert_eq!(merge(&[]), Err(BracketFault::None));
        let one = picture(1.0, 0.0);
        let second = Shutter::new(1.0).unwrap();
        assert_eq!(
            merge(&[of(&one, 1.0), of(&one, 1.0)]),
            Err(BracketFault::Same { shutter: second })
        );
        let other = Image { width: 40, height: 10, ..picture(2.0, 0.0) };
        assert!(matches!(
            merge(&[of(&one, 1.0), of(&other, 2.0)]),
            Err(BracketFault::Sizes { .. })
        ));
        let (short, long) = (picture(0.001, 0.0), picture(3000.0, 0.0));
        let far = merge(&[of(&short, 0.001), of(&long, 3000.0)]);
        assert!(matches!(far, Err(BracketFault::Apart { .. })), "{far:?}");
    }

    #[test]
    fn shutter_times_are_read_as_cameras_mark_them() {
        let seconds = |text: &str| text.parse::<Shutter>().map(Shutter::get);
        assert_eq!(seconds("1/30"), Ok(1.0 / 30.0));
        assert_eq!(seconds(" 2 s"), Ok(2.0));
        assert_eq!(seconds("0.5"), Ok(0.5));
        for wrong in ["", "fast", "1/0", "1/", "-1", "nan", "1e9"] {
            assert!(seconds(wrong).is_err(), "{wrong}");
        }
        let written = |seconds: f64| Shutter::new(seconds).unwrap().to_string();
        assert_eq!((written(1.0 / 30.0), written(0.5)), ("1/30 s".into(), "0.5 s".into()));
    }
}
