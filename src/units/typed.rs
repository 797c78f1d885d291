//! Text to a number, a time or a temperature, as a person types it.

use super::{Celsius, OutOfBounds};
use std::borrow::Cow;
use std::str::FromStr;

/// Why a text is not a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NumberFault {
    /// It is other text.
    NotANumber,
    /// It would be one with a decimal point in place of its comma, which is not allowed here.
    DecimalComma,
}

/// A number with a decimal point, or with a decimal comma where `comma_allowed`; the minus may be a
/// hyphen or U+2212. A number too great for a machine is infinite: bounds refuse it later.
///
/// # Errors
/// [`NumberFault`], also for `nan`, `inf` and other words that a machine takes for numbers.
pub fn number(text: &str, comma_allowed: bool) -> Result<f64, NumberFault> {
    let numeric = |c: char| c.is_ascii_digit() || matches!(c, '+' | '-' | '.' | 'e' | 'E');
    if text.chars().all(numeric) {
        return text.parse().map_err(|_| NumberFault::NotANumber);
    }
    let mut text = Cow::Borrowed(text);
    if text.contains('\u{2212}') {
        text = Cow::Owned(text.replace('\u{2212}', "-"));
    }
    let comma = text.contains(',');
    if comma && !text.contains('.') {
        text = Cow::Owned(text.replacen(',', ".", 1));
    }
    match text.parse::<f64>() {
        Ok(_) if !text.chars().all(numeric) => Err(NumberFault::NotANumber),
        Ok(_) if comma && !comma_allowed => Err(NumberFault::DecimalComma),
        Ok(value) => Ok(value),
        Err(_) => Err(NumberFault::NotANumber),
    }
}

/// **Minutes** of a time written as minutes and seconds, `m:ss`; `None` if it is not so written.
#[must_use]
pub fn minutes_and_seconds(text: &str) -> Option<f64> {
    let (minutes, seconds) = text.split_once(':')?;
    let digits = |part: &str, most: usize| {
        let fits = (1..=most).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
        fits.then(|| part.parse::<f64>().ok()).flatten()
    };
    let (minutes, seconds) = (digits(minutes, 4)?, digits(seconds, 2).filter(|s| *s < 60.0)?);
    (text.len() - text.find(':')? == 3).then_some(minutes + seconds / 60.0)
}

/// The unit of a temperature.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum TemperatureUnit {
    /// Degrees Celsius.
    #[default]
    Celsius,
    /// Degrees Fahrenheit.
    Fahrenheit,
}

impl TemperatureUnit {
    /// °F where `fahrenheit`, else °C.
    #[must_use]
    pub const fn fahrenheit_if(fahrenheit: bool) -> Self {
        if fahrenheit { Self::Fahrenheit } else { Self::Celsius }
    }

    /// `degrees` of this unit in **degrees Celsius**: itself, or (degrees - 32)/1.8.
    #[must_use]
    pub fn to_celsius(self, degrees: f64) -> f64 {
        match self {
            Self::Celsius => degrees,
            Self::Fahrenheit => (degrees - 32.0) / 1.8,
        }
    }
}

/// The number in the text of a temperature, and the unit that the text itself names, if any: `20`,
/// `68F`, `68 °F`.
#[must_use]
pub fn degrees_and_unit(text: &str) -> (&str, Option<TemperatureUnit>) {
    let (rest, unit) = match text.char_indices().next_back() {
        Some((end, 'C' | 'c')) => (&text[..end], Some(TemperatureUnit::Celsius)),
        Some((end, 'F' | 'f')) => (&text[..end], Some(TemperatureUnit::Fahrenheit)),
        _ => (text, None),
    };
    (rest.trim_end().trim_end_matches(['°', 'º']).trim_end(), unit)
}

/// A temperature of a bath as a person types it, with the unit in which it was typed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Temperature {
    /// The temperature.
    pub celsius: Celsius,
    /// The unit; °C where none was typed.
    pub unit: TemperatureUnit,
}

impl FromStr for Temperature {
    type Err = NotATemperature;

    /// A number with its unit or without one, as `20`, `21,5C` or `68 °F`.
    fn from_str(text: &str) -> Result<Self, NotATemperature> {
        let (digits, own_unit) = degrees_and_unit(text.trim());
        let degrees = number(digits, true)
            .map_err(|_| NotATemperature::NotANumber { found: text.to_owned() })?;
        let unit = own_unit.unwrap_or_default();
        match Celsius::new(unit.to_celsius(degrees)) {
            Ok(celsius) => Ok(Self { celsius, unit }),
            Err(bounds) => {
                let celsius = TemperatureUnit::Fahrenheit.to_celsius(degrees);
                Err(match own_unit.is_none() && Celsius::new(celsius).is_ok() {
                    true => NotATemperature::PerhapsFahrenheit { degrees, celsius },
                    false => NotATemperature::OutOfBounds(bounds),
                })
            }
        }
    }
}

/// Text that is not a temperature of a bath.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NotATemperature {
    /// It is other text.
    #[error("{found:?} is not a temperature: write 20, 20C or 68F")]
    NotANumber {
        /// The text.
        found: String,
    },
    /// Too hot in °C, but a bath's if it is in °F.
    #[error(
        "{degrees} °C is too hot for a bath; if it is {degrees} °F, which is {celsius:.1} °C, write {degrees}F"
    )]
    PerhapsFahrenheit {
        /// The number.
        degrees: f64,
        /// What it is in **degrees Celsius** if it is in °F.
        celsius: f64,
    },
    /// Too cold or too hot.
    #[error(transparent)]
    OutOfBounds(#[from] OutOfBounds),
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_with_point_and_comma() {
        assert_eq!(number("0.62", false), Ok(0.62));
        assert_eq!(number("-1e-3", false), Ok(-0.001));
        assert_eq!(number("\u{2212}1,25", true), Ok(-1.25));
        assert_eq!(number("0,62", false), Err(NumberFault::DecimalComma));
        for text in [
            "",
            "0.6.2",
            "1,234.5",
            "1.234,5",
            "1,2,3",
            "nan",
            "inf",
            "-Infinity",
            "0x1f",
            "1 2",
            "e",
        ] {
            assert_eq!(number(text, true), Err(NumberFault::NotANumber), "{text}");
        }
        assert_eq!(number("1e999", false), Ok(f64::INFINITY));
    }

    #[test]
    fn times_in_minutes_and_seconds() {
        assert_eq!(minutes_and_seconds("6:30"), Some(6.5));
        assert_eq!(minutes_and_seconds("0:45"), Some(0.75));
        for text in ["6:3", "6:60", "6:30:00", ":30", "6:", "-6:30", "6.5"] {
            assert_eq!(minutes_and_seconds(text), None, "{text}");
        }
    }

    #[test]
    fn temperatures_with_their_unit() {
        use TemperatureUnit::{Celsius, Fahrenheit};
        assert_eq!(degrees_and_unit("20"), ("20", None));
        assert_eq!(degrees_and_unit("20 °C"), ("20", Some(Celsius)));
        assert_eq!(degrees_and_unit("68F"), ("68", Some(Fahrenheit)));
        assert_eq!(degrees_and_unit("20°"), ("20", None));
        assert_eq!(Fahrenheit.to_celsius(68.0), 20.0);
    }

    #[test]
    fn a_temperature_keeps_its_unit() {
        use TemperatureUnit::{Celsius, Fahrenheit};
        let read = |text: &str| text.parse::<Temperature>().map(|t| (t.celsius.get(), t.unit));
        assert_eq!(read(" 21,5 "), Ok((21.5, Celsius)));
        assert_eq!(read("21.3C"), Ok((21.3, Celsius)));
        assert_eq!(read("68 °F"), Ok((20.0, Fahrenheit)));
        let message = |text| read(text).unwrap_err().to_string();
        assert_eq!(
            message("70"),
            "70 °C is too hot for a bath; if it is 70 °F, which is 21.1 °C, write 70F"
        );
        assert_eq!(
            message("70C"),
            "70 is not a temperature of a bath in °C: it must be between 0 and 60"
        );
        assert_eq!(
            message("-1"),
            "-1 is not a temperature of a bath in °C: it must be between 0 and 60"
        );
        assert_eq!(message("warm"), "\"warm\" is not a temperature: write 20, 20C or 68F");
    }
}
