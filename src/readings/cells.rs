//! The text of one cell to a number, a time or a temperature.

use std::borrow::Cow;

/// Why a cell holds no number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum NumberFault {
    /// It is other text.
    NotANumber,
    /// It would be one with a decimal point in place of its comma, which is not allowed here.
    DecimalComma,
}

/// A number with a decimal point, or with a decimal comma where `comma_allowed`; the minus may be a
/// hyphen or U+2212. A number too great for a machine is infinite: bounds refuse it later.
pub(crate) fn number(text: &str, comma_allowed: bool) -> Result<f64, NumberFault> {
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
pub(super) fn minutes_and_seconds(text: &str) -> Option<f64> {
    let (minutes, seconds) = text.split_once(':')?;
    let digits = |part: &str, most: usize| {
        let fits = (1..=most).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
        fits.then(|| part.parse::<f64>().ok()).flatten()
    };
    let (minutes, seconds) = (digits(minutes, 4)?, digits(seconds, 2).filter(|s| *s < 60.0)?);
    (text.len() - text.find(':')? == 3).then_some(minutes + seconds / 60.0)
}

/// The unit of a temperature.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum TemperatureUnit {
    /// Degrees Celsius.
    Celsius,
    /// Degrees Fahrenheit.
    Fahrenheit,
}

impl TemperatureUnit {
    /// `degrees` of this unit in **degrees Celsius**: itself, or (degrees - 32)/1.8.
    pub(crate) fn to_celsius(self, degrees: f64) -> f64 {
        match self {
            Self::Celsius => degrees,
            Self::Fahrenheit => (degrees - 32.0) / 1.8,
        }
    }
}

/// The number of a temperature cell and the unit that the cell itself names, if any: `20`, `68F`,
/// `68 °F`.
pub(crate) fn degrees_and_unit(text: &str) -> (&str, Option<TemperatureUnit>) {
    let (rest, unit) = match text.char_indices().next_back() {
        Some((end, 'C' | 'c')) => (&text[..end], Some(TemperatureUnit::Celsius)),
        Some((end, 'F' | 'f')) => (&text[..end], Some(TemperatureUnit::Fahrenheit)),
        _ => (text, None),
    };
    (rest.trim_end().trim_end_matches(['°', 'º']).trim_end(), unit)
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
}
