//! What several commands read in the same way: temperatures, times, pairings.

use super::Failure;
use super::args::Temperature;
use crate::development::Pairing;
use crate::development::file::PairingFile;
use crate::measures::Quantity;
use crate::units::Celsius;
use crate::words::rounded_clock;
use std::path::{Path, PathBuf};

/// A temperature as typed, in °C; `fahrenheit` says what a number without a unit is.
pub fn celsius(typed: Temperature, fahrenheit: bool) -> Result<Celsius, Failure> {
    let is_fahrenheit = typed.fahrenheit.unwrap_or(fahrenheit);
    let value = if is_fahrenheit { (typed.value - 32.0) / 1.8 } else { typed.value };
    Celsius::new(value).map_err(|bounds| {
        let in_celsius = (typed.value - 32.0) / 1.8;
        if !is_fahrenheit && Celsius::new(in_celsius).is_ok() {
            Failure(format!("{0} °C is too hot for a bath; if it is {0} °F, which is {in_celsius:.1} °C, write {0}F", typed.value))
        } else {
            Failure(bounds.to_string())
        }
    })
}

/// Minutes from "7.5" or "7:30".
pub fn minutes(text: &str) -> Option<f64> {
    let value = match text.trim().split_once(':') {
        None => text.trim().parse().ok()?,
        Some((minutes, seconds)) => {
            let seconds: f64 = seconds.parse().ok().filter(|s| (0.0..60.0).contains(s))?;
            f64::from(minutes.parse::<u32>().ok()?) + seconds / 60.0
        }
    };
    Some(value).filter(|v: &f64| v.is_finite() && *v >= 0.0)
}

/// A time with its interval: `7.5 min (7:30), 7.2 to 7.8`.
pub fn time(q: &Quantity) -> String {
    format!("{:.2} min ({}), {:.2} to {:.2}", q.value, rounded_clock(q.value), q.low, q.high)
}

/// A number with its interval.
pub fn quantity(q: &Quantity, decimals: usize) -> String {
    format!("{:.decimals$} ({:.decimals$} to {:.decimals$})", q.value, q.low, q.high)
}

/// `pairing.svg` → `pairing-family.svg`.
pub fn beside(path: &Path, what: &str) -> PathBuf {
    let stem = path.file_stem().map_or_else(String::new, |s| s.to_string_lossy().into_owned());
    let extension = path.extension().map_or_else(String::new, |e| e.to_string_lossy().into_owned());
    path.with_file_name(format!("{stem}-{what}.{extension}"))
}

/// The pairing in a file.
pub fn pairing(path: &Path) -> Result<(PairingFile, Pairing), Failure> {
    let file = PairingFile::read(path)?;
    let pairing = file.pairing(path)?;
    Ok((file, pairing))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_minutes_or_minutes_and_seconds() {
        assert_eq!(minutes("7:30"), Some(7.5));
        assert_eq!(minutes(" 7.5 "), Some(7.5));
        assert_eq!((minutes("7:61"), minutes("-1"), minutes("x")), (None, None, None));
    }
}
