//! Stock and water: volumes, and the water's temperature.

use crate::units::typed::number;
use std::fmt;
use std::str::FromStr;

/// So many parts of stock to so many parts of water, as 1+6.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dilution {
    stock: f64,
    water: f64,
}

/// Most parts that a dilution may have.
const MOST: f64 = 1000.0;

/// Text that names no dilution.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error(
    "{found:?} is not a dilution: write parts of stock and of water, as 1+6, or 1+0 for stock as it is"
)]
pub struct DilutionError {
    /// The text.
    pub found: String,
}

impl Dilution {
    /// From parts of stock, above 0, and parts of water, 0 or more.
    #[must_use]
    pub fn new(stock: f64, water: f64) -> Option<Self> {
        let fits = stock > 0.0 && stock <= MOST && (0.0..=MOST).contains(&water);
        fits.then_some(Self { stock, water })
    }

    /// Volumes of stock and of water in `total`, all in one unit:
    ///
    /// ```text
    /// stock = total·a/(a + b),  water = total·b/(a + b)
    /// ```
    #[must_use]
    pub fn volumes(&self, total: f64) -> (f64, f64) {
        let stock = total * self.stock / (self.stock + self.water);
        (stock, total - stock)
    }

    /// Temperature of the water that brings stock at one temperature to a mixture at another:
    ///
    /// ```text
    /// T_water = ((a + b)·T_mixture − a·T_stock)/b
    /// ```
    ///
    /// Stock and water are held to take up the same heat per volume, and no heat of mixing is counted.
    /// `None` without water.
    ///
    /// ```
    /// use wedgebook::session::Dilution;
    ///
    /// let one_to_four: Dilution = "1+4".parse()?;
    /// assert_eq!(one_to_four.volumes(1000.0), (200.0, 800.0));
    /// assert_eq!(one_to_four.water_celsius(20.0, 16.0), Some(21.0));
    /// # Ok::<(), wedgebook::session::DilutionError>(())
    /// ```
    #[must_use]
    pub fn water_celsius(&self, mixture: f64, stock: f64) -> Option<f64> {
        let water = ((self.stock + self.water) * mixture - self.stock * stock) / self.water;
        (self.water > 0.0).then_some(water)
    }
}

impl fmt::Display for Dilution {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}+{}", self.stock, self.water)
    }
}

impl FromStr for Dilution {
    type Err = DilutionError;

    fn from_str(text: &str) -> Result<Self, DilutionError> {
        let part = |text: &str| number(text.trim(), true).ok();
        let parsed = text.split_once('+').and_then(|(stock, water)| {
            // A sign is no part of a part.
            let bare = !water.contains(['+', '-']) && !stock.contains('-');
            bare.then_some(())?;
            Self::new(part(stock)?, part(water)?)
        });
        parsed.ok_or_else(|| DilutionError { found: text.to_owned() })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn volumes_add_up() {
        for text in ["1+6", "1 + 49", "2+3", "1+0", "1+1,5"] {
            let dilution: Dilution = text.parse().unwrap();
            let (stock, water) = dilution.volumes(700.0);
            assert!((stock + water - 700.0).abs() < 1e-9, "{text}");
        }
        assert_eq!("1+6".parse::<Dilution>().unwrap().volumes(700.0), (100.0, 600.0));
        assert_eq!("1 + 6".parse::<Dilution>().unwrap().to_string(), "1+6");
    }

    /// Heat is kept: the parts' heats add up to the mixture's.
    #[test]
    fn the_waters_temperature_keeps_heat() {
        let dilution: Dilution = "1+6".parse().unwrap();
        let water = dilution.water_celsius(20.0, 15.0).unwrap();
        assert!((15.0 + 6.0 * water - 7.0 * 20.0).abs() < 1e-9);
        assert_eq!("1+0".parse::<Dilution>().unwrap().water_celsius(20.0, 15.0), None);
    }

    #[test]
    fn what_is_no_dilution_is_told() {
        for bad in ["", "1", "1:6", "0+6", "1+-6", "-1+6", "a+b", "1+", "1+6+2", "1+1e9", "nan+1"] {
            assert!(bad.parse::<Dilution>().is_err(), "{bad}");
        }
        let message = "1:6".parse::<Dilution>().unwrap_err().to_string();
        assert!(message.contains("as 1+6"), "{message}");
    }
}
