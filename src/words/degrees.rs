//! Temperatures.

use super::trimmed;

/// A temperature in °C, with one decimal where it has one: `20 °C`, `20.5 °C`.
#[must_use]
pub fn degrees(celsius: f64) -> String {
    format!("{} °C", trimmed(celsius, 1))
}

/// A temperature given in °C as °F, with one decimal where it has one: `68 °F`.
#[must_use]
pub fn degrees_fahrenheit(celsius: f64) -> String {
    format!("{} °F", trimmed(celsius * 1.8 + 32.0, 1))
}

/// A temperature given in °C, in both units: °F first, as for someone who writes °F.
///
/// ```
/// use wedgebook::words::degrees_both;
///
/// assert_eq!(degrees_both((70.0 - 32.0) / 1.8), "70 °F (21.1 °C)");
/// ```
#[must_use]
pub fn degrees_both(celsius: f64) -> String {
    format!("{} ({})", degrees_fahrenheit(celsius), degrees(celsius))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn degrees_have_a_decimal_where_they_need_one() {
        assert_eq!([20.0, 21.11, 20.96, -4.0].map(degrees), ["20 °C", "21.1 °C", "21 °C", "−4 °C"]);
        assert_eq!(degrees_fahrenheit(24.0), "75.2 °F");
    }
}
