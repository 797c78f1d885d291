//! The tone curves of an ICC profile (ICC.1:2010, 10.5 `curv` and 10.15 `para`; field layout from memory).

use super::Channel;
use super::encoding::Encoding;
use super::fault::Refusal;

/// The curve of a channel: of the grey one, or of one of three colours.
///
/// # Errors
/// A profile that is cut, of other colours, or without such a curve.
pub fn curve(profile: &[u8], grey: bool, channel: Channel) -> Result<Encoding, Refusal> {
    let wanted: &[u8; 4] = match (grey, channel) {
        (true, _) => b"kTRC",
        (false, Channel::Red) => b"rTRC",
        (false, Channel::Green) => b"gTRC",
        (false, Channel::Blue) => b"bTRC",
    };
    let element = element(profile, wanted)
        .ok_or_else(|| unknown("a profile without a tone curve for these colours"))?;
    match element.get(..4) {
        Some(b"curv") => table(element),
        Some(b"para") => parametric(element),
        _ => None,
    }
    .ok_or_else(|| unknown("a profile whose tone curve cannot be read"))
}

fn unknown(what: &str) -> Refusal {
    Refusal::Encoding { what: what.to_owned() }
}

fn u32_at(bytes: &[u8], at: usize) -> Option<u32> {
    Some(u32::from_be_bytes(bytes.get(at..at.checked_add(4)?)?.try_into().ok()?))
}

fn u16_at(bytes: &[u8], at: usize) -> Option<u16> {
    Some(u16::from_be_bytes(bytes.get(at..at.checked_add(2)?)?.try_into().ok()?))
}

/// The bytes of a tag. Not more than 100 tags are looked at; profiles have about ten.
fn element<'p>(profile: &'p [u8], wanted: &[u8; 4]) -> Option<&'p [u8]> {
    let count = u32_at(profile, 128)?.min(100) as usize;
    (0..count).map(|k| 132 + 12 * k).find_map(|at| {
        let name = profile.get(at..at + 4)?;
        let (from, length) = (u32_at(profile, at + 4)? as usize, u32_at(profile, at + 8)? as usize);
        (name == wanted).then(|| profile.get(from..from.checked_add(length)?)).flatten()
    })
}

/// `curv`: nothing for linear, one number for a power, else a table.
fn table(element: &[u8]) -> Option<Encoding> {
    match u32_at(element, 8)? as usize {
        0 => Some(Encoding::Linear),
        1 => {
            let power = f64::from(u16_at(element, 12)?) / 256.0;
            Some(if power == 1.0 { Encoding::Linear } else { Encoding::Power(power) })
        }
        count => {
            let bytes = element.get(12..12usize.checked_add(count.checked_mul(2)?)?)?;
            let points: Vec<u16> =
                bytes.chunks_exact(2).map(|b| u16::from_be_bytes([b[0], b[1]])).collect();
            Some(Encoding::Table(points))
        }
    }
}

/// `para`: five kinds, all written as the last of them.
fn parametric(element: &[u8]) -> Option<Encoding> {
    let number =
        |k: usize| u32_at(element, 12 + 4 * k).map(|bits| f64::from(bits.cast_signed()) / 65_536.0);
    let g = number(0)?;
    let all = match u16_at(element, 8)? {
        0 if g == 1.0 => return Some(Encoding::Linear),
        0 => return Some(Encoding::Power(g)),
        1 => {
            let (a, b) = (number(1)?, number(2)?);
            [g, a, b, 0.0, -b / a, 0.0, 0.0]
        }
        2 => {
            let (a, b, c) = (number(1)?, number(2)?, number(3)?);
            [g, a, b, 0.0, -b / a, c, c]
        }
        3 => [g, number(1)?, number(2)?, number(3)?, number(4)?, 0.0, 0.0],
        4 => [g, number(1)?, number(2)?, number(3)?, number(4)?, number(5)?, number(6)?],
        _ => return None,
    };
    Some(Encoding::Parametric(all))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A profile with one tag only, as much of it as is read.
    fn profile(name: &[u8; 4], element: &[u8]) -> Vec<u8> {
        let mut bytes = vec![0; 128];
        bytes.extend(1_u32.to_be_bytes());
        bytes.extend(name);
        bytes.extend(144_u32.to_be_bytes());
        bytes.extend((element.len() as u32).to_be_bytes());
        bytes.extend(element);
        bytes
    }

    fn curv(points: &[u16]) -> Vec<u8> {
        let mut bytes = b"curv\0\0\0\0".to_vec();
        bytes.extend((points.len() as u32).to_be_bytes());
        bytes.extend(points.iter().flat_map(|p| p.to_be_bytes()));
        bytes
    }

    fn para(kind: u16, numbers: &[f64]) -> Vec<u8> {
        let mut bytes = b"para\0\0\0\0".to_vec();
        bytes.extend(kind.to_be_bytes());
        bytes.extend([0, 0]);
        bytes.extend(numbers.iter().flat_map(|n| ((n * 65_536.0).round() as i32).to_be_bytes()));
        bytes
    }

    fn green(element: &[u8]) -> Result<Encoding, Refusal> {
        curve(&profile(b"gTRC", element), false, Channel::Green)
    }

    #[test]
    fn every_kind_of_curve() {
        assert_eq!(green(&curv(&[])), Ok(Encoding::Linear));
        assert_eq!(green(&curv(&[256])), Ok(Encoding::Linear));
        assert_eq!(green(&curv(&[0x0233])), Ok(Encoding::Power(2.199_218_75)));
        assert_eq!(green(&curv(&[0, 9, 65_535])), Ok(Encoding::Table(vec![0, 9, 65_535])));
        assert_eq!(green(&para(0, &[2.0])), Ok(Encoding::Power(2.0)));
        for (kind, numbers, at_half) in [
            (1, vec![2.0, 0.75, 0.25], 0.625 * 0.625),
            (2, vec![2.0, 0.5, 0.25, 0.125], 0.5 * 0.5 + 0.125),
            (3, vec![2.0, 1.0, 0.0, 0.25, 0.75], 0.125),
            (4, vec![2.0, 0.5, 0.25, 0.25, 0.25, 0.125, 0.0], 0.5 * 0.5 + 0.125),
        ] {
            let light = green(&para(kind, &numbers)).unwrap().light(0.5);
            assert!((light - at_half).abs() < 1e-9, "kind {kind}: {light}");
        }
    }

    #[test]
    fn cut_and_foreign_profiles_are_refused() {
        let whole = profile(b"gTRC", &curv(&[0, 9, 65_535]));
        for length in 0..whole.len() {
            assert!(curve(&whole[..length], false, Channel::Green).is_err(), "{length}");
        }
        assert!(curve(&whole, true, Channel::Green).is_err());
        assert!(curve(&whole, false, Channel::Blue).is_err());
        assert!(green(&para(7, &[2.0])).is_err());
    }
}
