//! How film was developed that a journal has by number: where each film lay, and the time, temperature and
//! aim of all that were in the vessel together.

use super::cell_error::CellError;
use super::columns::Column;
use super::entry::Cell;
use crate::units::Bounds;
use std::fmt;

/// The greatest number of a film.
pub const GREATEST: u32 = 999_999;

/// A film by its number, and where it lay.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Numbered {
    /// Its number, from 1 to [`GREATEST`].
    pub number: u32,
    /// Its reel, from 1; `None` for a sheet, or in a tray.
    pub reel: Option<u32>,
    /// Its place on the reel, or among the sheets, from 1; `None` where nobody said.
    pub place: Option<u32>,
}

/// Films that were developed together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Load {
    /// The films.
    pub films: Vec<Numbered>,
    /// Which batch of its session it was, from 1.
    pub batch: Option<u32>,
    /// `tank` or `tray`.
    pub vessel: Option<String>,
    /// The pairing that the time is from.
    pub pairing: Option<String>,
    /// Time of development in **minutes**.
    pub minutes: Option<f64>,
    /// Temperature of the developer in **degrees Celsius** when film went in.
    pub celsius: Option<f64>,
    /// The contrast that it was developed for, in the pairing's measure.
    pub contrast: Option<f64>,
    /// The development in the trade's short form, as N+1.
    pub development: Option<String>,
    /// The file of temperatures that were read during development.
    pub temperatures: Option<String>,
}

/// What the films of a load are written as: `12=r1p1 13=r1p2`, or `12` where nobody said more.
impl fmt::Display for Numbered {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.number)?;
        if self.reel.is_some() || self.place.is_some() {
            f.write_str("=")?;
        }
        self.reel.map_or(Ok(()), |reel| write!(f, "r{reel}"))?;
        self.place.map_or(Ok(()), |place| write!(f, "p{place}"))
    }
}

impl Numbered {
    /// Where it lay, in words: `reel 1, place 2`.
    #[must_use]
    pub fn lay(&self) -> Option<String> {
        match (self.reel, self.place) {
            (Some(reel), Some(place)) => Some(format!("reel {reel}, place {place}")),
            (Some(reel), None) => Some(format!("reel {reel}")),
            (None, Some(place)) => Some(format!("place {place}")),
            (None, None) => None,
        }
    }
}

/// The films that a cell names; they may be separated by blanks, `+` or commas.
pub(super) fn films(text: &str) -> Result<Vec<Numbered>, CellError> {
    let words = text.split([' ', '\u{a0}', ',', '+', ';']).filter(|word| !word.is_empty());
    let films: Option<Vec<Numbered>> = words.map(one).collect();
    films.ok_or_else(|| CellError::NotNumbers { found: text.into() })
}

fn one(word: &str) -> Option<Numbered> {
    let whole = |digits: &str| {
        let plain = digits.bytes().all(|b| b.is_ascii_digit());
        plain.then(|| digits.parse::<u32>().ok()).flatten().filter(|n| (1..=GREATEST).contains(n))
    };
    let (number, lay) = word.split_once('=').map_or((word, None), |(n, lay)| (n, Some(lay)));
    let number = whole(number)?;
    let Some(lay) = lay else {
        return Some(Numbered { number, reel: None, place: None });
    };
    let lay = lay.to_ascii_lowercase();
    let (reel, place) = match lay.split_once('p') {
        Some((reel, place)) => (reel, Some(whole(place)?)),
        None => (lay.as_str(), None),
    };
    let reel = match reel {
        "" => None,
        reel => Some(whole(reel.strip_prefix('r')?)?),
    };
    (reel.is_some() || place.is_some()).then_some(Numbered { number, reel, place })
}

/// The bounds of a batch of a session.
pub(super) const BATCH: Bounds = Bounds::new("a whole number of a batch", 1.0, 1e6);

impl Load {
    /// Whether nothing is known.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// Its cells beside those of the film.
    pub(super) fn cells(&self) -> Vec<(Column, Option<Cell<'_>>)> {
        let text = |text: &'_ Option<String>| {
            text.as_deref().map(str::trim).is_some_and(|t| !t.is_empty())
        };
        let texts = [
            (Column::Vessel, &self.vessel),
            (Column::Pairing, &self.pairing),
            (Column::Development, &self.development),
            (Column::Temperatures, &self.temperatures),
        ];
        let numbers = [
            (Column::Load, self.batch.map(f64::from)),
            (Column::Minutes, self.minutes),
            (Column::Celsius, self.celsius),
            (Column::Contrast, self.contrast),
        ];
        let mut cells: Vec<(Column, Option<Cell<'_>>)> =
            vec![(Column::Numbers, (!self.films.is_empty()).then_some(Cell::Films(&self.films)))];
        cells.extend(texts.into_iter().map(|(column, words)| {
            let cell = text(words).then(|| Cell::Text(words.as_deref().unwrap_or("").trim()));
            (column, cell)
        }));
        cells.extend(numbers.into_iter().map(|(column, n)| (column, n.map(Cell::Number))));
        cells
    }
}

/// Films as a cell has them.
pub(super) fn written(films: &[Numbered]) -> String {
    films.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_is_read() {
        let all = [
            Numbered { number: 12, reel: Some(1), place: Some(2) },
            Numbered { number: 13, reel: None, place: Some(3) },
            Numbered { number: 14, reel: Some(2), place: None },
            Numbered { number: 999_999, reel: None, place: None },
        ];
        assert_eq!(written(&all), "12=r1p2 13=p3 14=r2 999999");
        assert_eq!(films(&written(&all)), Ok(all.to_vec()));
        assert_eq!(films("12 + 13,14;15").map(|f| f.len()), Ok(4));
        assert_eq!(all[0].lay().as_deref(), Some("reel 1, place 2"));
    }

    #[test]
    fn what_is_no_number_is_refused() {
        for bad in [
            "0", "1000000", "-3", "+-3", "12=", "12=r", "12=rp", "12=x1", "12=r0", "a", "12=p1r1",
            "1.5",
        ] {
            assert!(films(bad).is_err(), "{bad}");
        }
        assert_eq!(films(""), Ok(Vec::new()));
    }
}
