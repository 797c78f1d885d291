//! Numbers for people to read. The minus sign is U+2212, and no number is written as −0.
//!
//! Files that programs read (CSV, JSON, TOML) have the ASCII hyphen instead: they use `{}` of the
//! standard library.

use super::NOTHING;
use crate::elementary::{antilog, log10};

/// Most decimals that [`decimals_for`] gives.
const MOST: i32 = 4;
/// Decimals where the half width says nothing.
const USUAL: usize = 3;

/// A number with a fixed count of decimals.
///
/// ```
/// use wedgebook::words::number;
///
/// assert_eq!(number(-2.305, 2), "−2.31");
/// assert_eq!(number(-0.001, 2), "0.00");
/// assert_eq!(number(f64::NAN, 2), "–");
/// ```
#[must_use]
pub fn number(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return match value {
            v if v == f64::INFINITY => "∞".to_owned(),
            v if v == f64::NEG_INFINITY => "−∞".to_owned(),
            _ => NOTHING.to_owned(),
        };
    }
    let written = format!("{:.decimals$}", value.abs());
    if value < 0.0 && !is_zero(&written) { format!("−{written}") } else { written }
}

/// Decimals of a film's or a paper's speed, or of an exposure index: the standard's series has decimals
/// below 4 (1, 1.25, 1.6, 2, 2.5, 3.2).
///
/// ```
/// use wedgebook::words::{number, speed_decimals};
///
/// let written = [0.62, 2.5, 125.0].map(|speed| number(speed, speed_decimals(speed)));
/// assert_eq!(written, ["0.62", "2.50", "125"]);
/// ```
#[must_use]
pub fn speed_decimals(speed: f64) -> usize {
    if speed < 4.0 { 2 } else { 0 }
}

/// A number with its sign, plus or minus; zero has none.
///
/// ```
/// use wedgebook::words::signed;
///
/// assert_eq!(signed(0.12, 2), "+0.12");
/// assert_eq!(signed(-0.12, 2), "−0.12");
/// assert_eq!(signed(0.001, 2), "0.00");
/// ```
#[must_use]
pub fn signed(value: f64, decimals: usize) -> String {
    let written = number(value, decimals);
    if value > 0.0 && !is_zero(&written) { format!("+{written}") } else { written }
}

/// A number with at most so many decimals: zeros at the end of the decimals are left out.
///
/// ```
/// use wedgebook::words::trimmed;
///
/// assert_eq!(trimmed(1.5, 3), "1.5");
/// assert_eq!(trimmed(100.0, 3), "100");
/// ```
#[must_use]
pub fn trimmed(value: f64, decimals: usize) -> String {
    let text = number(value, decimals);
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    }
}

/// A number with a fixed count of decimals and its unit, if it has one.
#[must_use]
pub fn with_unit(value: f64, decimals: usize, unit: &str) -> String {
    match unit {
        "" => number(value, decimals),
        unit => format!("{} {unit}", number(value, decimals)),
    }
}

/// A share of one as a percentage: `37 %`.
#[must_use]
pub fn percent(share: f64, decimals: usize) -> String {
    with_unit(100.0 * share, decimals, "%")
}

/// The count of decimals that suits a value whose interval has this half width: the half width keeps
/// one digit, or two where it begins below 2.5. At most four decimals.
///
/// A half width of zero, or none (NaN), says nothing: three decimals.
///
/// ```
/// use wedgebook::words::decimals_for;
///
/// assert_eq!(decimals_for(8.5), 0);   // 104 (96 to 113)
/// assert_eq!(decimals_for(0.04), 2);  // 2.11 (2.07 to 2.15)
/// assert_eq!(decimals_for(0.012), 3); // 0.784 (0.772 to 0.796)
/// ```
#[must_use]
pub fn decimals_for(half_width: f64) -> usize {
    if !(half_width.is_finite() && half_width > 0.0) {
        return USUAL;
    }
    let exponent = log10(half_width).floor().clamp(-20.0, 20.0);
    let leading = half_width / antilog(exponent);
    let places = if leading < 2.5 { 1 - exponent as i32 } else { -exponent as i32 };
    usize::try_from(places.clamp(0, MOST)).unwrap_or(0)
}

fn is_zero(written: &str) -> bool {
    written.bytes().all(|b| matches!(b, b'0' | b'.'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_a_true_minus_and_no_negative_zero() {
        assert_eq!(number(-2.305, 1), "−2.3");
        assert_eq!(number(-0.001, 2), "0.00");
        assert_eq!(number(0.1, 2), "0.10");
        assert_eq!(signed(-0.0, 1), "0.0");
        assert_eq!(trimmed(-0.0004, 3), "0");
        assert_eq!(trimmed(0.168, 3), "0.168");
        assert_eq!(with_unit(-2.0, 1, "mm"), "−2.0 mm");
        assert_eq!(percent(0.375, 1), "37.5 %");
    }

    #[test]
    fn decimals_follow_the_half_width() {
        assert_eq!(
            [1e-9, 0.001, 0.02, 0.04, 0.9, 1.0, 9.0, 10.0, 1e9].map(decimals_for),
            [4, 4, 3, 2, 1, 1, 0, 0, 0]
        );
        assert_eq!([0.0, -1.0, f64::NAN, f64::INFINITY].map(decimals_for), [3; 4]);
    }
}
