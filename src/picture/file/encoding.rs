//! How values follow from light, and the way back.

use super::fault::Refusal;
use crate::elementary::pow;
use std::fmt;

/// The numbers alpha and beta of BT.709's curve, with the digits by which its two parts meet (ITU-T H.273, from
/// memory).
const BT_709: (f64, f64) = (1.099_296_826_809_44, 0.018_053_968_510_807);

/// How the values of a file follow from light.
#[derive(Clone, Debug, PartialEq)]
pub enum Encoding {
    /// In proportion.
    Linear,
    /// The curve of sRGB (IEC 61966-2-1).
    Srgb,
    /// Light is the value to this power.
    Power(f64),
    /// The curve of ITU-R BT.709.
    Bt709,
    /// ICC's parametric curve: `(a v + b)^g + e` from `d` on, below it `c v + f`; in the order g, a, b, c, d, e, f.
    Parametric([f64; 7]),
    /// Light at equally spaced values, 65535 for full light; straight lines between.
    Table(Vec<u16>),
}

/// Who says how values follow from light.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// The profile in the file.
    Profile,
    /// A field of the file: TIFF's transfer function, PNG's sRGB, gAMA or cICP.
    File,
    /// The user; the file says nothing.
    User,
    /// The user; the file says something else.
    UserAgainstFile,
}

impl fmt::Display for Encoding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Encoding::Linear => write!(f, "linear"),
            Encoding::Srgb => write!(f, "the sRGB curve"),
            Encoding::Power(power) => write!(f, "a power of {power:.3}"),
            Encoding::Bt709 => write!(f, "the curve of BT.709"),
            Encoding::Parametric(_) => write!(f, "a parametric curve"),
            Encoding::Table(points) => write!(f, "a table of {} points", points.len()),
        }
    }
}

impl Encoding {
    /// Light of a value; both from 0 to 1.
    #[must_use]
    pub fn light(&self, value: f64) -> f64 {
        match self {
            Encoding::Linear => value,
            Encoding::Srgb if value <= 0.04045 => value / 12.92,
            Encoding::Srgb => pow((value + 0.055) / 1.055, 2.4),
            Encoding::Power(power) => pow(value, *power),
            Encoding::Bt709 if value < 4.5 * BT_709.1 => value / 4.5,
            Encoding::Bt709 => pow((value + BT_709.0 - 1.0) / BT_709.0, 1.0 / 0.45),
            Encoding::Parametric([g, a, b, c, d, e, f]) => {
                if value >= *d {
                    pow((a * value + b).max(0.0), *g) + e
                } else {
                    c * value + f
                }
            }
            Encoding::Table(points) => between(points, value),
        }
    }

    /// Light of each of the 65536 values.
    ///
    /// # Errors
    /// A curve that does not rise from dark to light: no value could be turned back into light.
    pub(super) fn table(&self) -> Result<Vec<f32>, Refusal> {
        let table: Vec<f32> =
            (0..=u16::MAX).map(|v| self.light(f64::from(v) / 65_535.0) as f32).collect();
        let sound = table.iter().all(|v| v.is_finite() && (-0.01..=1.01).contains(v))
            && table.windows(2).all(|pair| pair[0] <= pair[1] + 1e-6)
            && table[0] < 0.1
            && table[65_535] > 0.5;
        if sound {
            Ok(table)
        } else {
            Err(Refusal::Encoding { what: format!("{self} that does not rise from dark to light") })
        }
    }
}

/// Between the points of a table, by a straight line.
fn between(points: &[u16], value: f64) -> f64 {
    let Some(last) = points.len().checked_sub(1) else { return value };
    let place = value.clamp(0.0, 1.0) * last as f64;
    let below = (place.floor() as usize).min(last);
    let above = (below + 1).min(last);
    let share = place - below as f64;
    ((1.0 - share) * f64::from(points[below]) + share * f64::from(points[above])) / 65_535.0
}

/// What the file says and what the user says, as one.
///
/// # Errors
/// Where neither says anything, or the file says what cannot be undone.
pub(super) fn agreed(
    said: Result<Option<(Encoding, Origin)>, Refusal>,
    linear: bool,
) -> Result<(Encoding, Origin), Refusal> {
    match said {
        Ok(Some((Encoding::Linear, origin))) => Ok((Encoding::Linear, origin)),
        Ok(None) if linear => Ok((Encoding::Linear, Origin::User)),
        _ if linear => Ok((Encoding::Linear, Origin::UserAgainstFile)),
        Ok(Some(said)) => Ok(said),
        Ok(None) => Err(Refusal::NoEncoding),
        Err(why) => Err(why),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn curves_meet_where_their_parts_do_and_end_at_one() {
        for encoding in [Encoding::Srgb, Encoding::Bt709, Encoding::Power(2.2), Encoding::Linear] {
            assert!((encoding.light(1.0) - 1.0).abs() < 1e-12);
            assert_eq!(encoding.light(0.0), 0.0);
            assert!(encoding.table().is_ok());
        }
        let step = |e: &Encoding, at: f64| e.light(at + 1e-9) - e.light(at - 1e-9);
        assert!(step(&Encoding::Srgb, 0.04045) < 1e-6);
        assert!(step(&Encoding::Bt709, 4.5 * BT_709.1) < 1e-6);
        // IEC 61966-2-1: a value of 0.5 is a light of 0.214.
        assert!((Encoding::Srgb.light(0.5) - 0.2140).abs() < 1e-4);
        // sRGB written as a parametric curve of type 3.
        let a = 1.0 / 1.055;
        let same = Encoding::Parametric([2.4, a, 0.055 * a, 1.0 / 12.92, 0.04045, 0.0, 0.0]);
        for v in [0.0, 0.01, 0.04, 0.05, 0.3, 0.9] {
            assert!((same.light(v) - Encoding::Srgb.light(v)).abs() < 1e-12);
        }
    }

    #[test]
    fn tables_are_straight_between_their_points() {
        let table = Encoding::Table(vec![0, 16_384, 65_535]);
        assert!((table.light(0.25) - 8192.0 / 65_535.0).abs() < 1e-12);
        assert!((table.light(0.75) - 40_959.5 / 65_535.0).abs() < 1e-12);
        assert!(Encoding::Table(vec![65_535, 0]).table().is_err());
        assert!(Encoding::Power(f64::NAN).table().is_err());
    }

    #[test]
    fn the_user_is_heard_where_the_file_is_silent_or_wrong() {
        let said = |e| Ok(Some((e, Origin::File)));
        assert_eq!(agreed(Ok(None), false), Err(Refusal::NoEncoding));
        assert_eq!(agreed(Ok(None), true).unwrap().1, Origin::User);
        assert_eq!(agreed(said(Encoding::Srgb), true).unwrap().1, Origin::UserAgainstFile);
        assert_eq!(agreed(said(Encoding::Srgb), false).unwrap().0, Encoding::Srgb);
        assert_eq!(agreed(said(Encoding::Linear), true).unwrap().1, Origin::File);
    }
}
