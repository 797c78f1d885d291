//! Formats of film, and how much of it a bath has to develop: rolls and sheets to areas.
//!
//! Area is nominal width times nominal length, in **m²**, one side. A sheet's is that of its name;
//! its true edges are a millimetre or two shorter.

use std::fmt;
use std::str::FromStr;

/// Width of 135 film in **metres** (ISO 1007).
const WIDTH_135: f64 = 0.035;
/// Overall length of a 135 film of 36 exposures with leader and trailer, in **metres** (from memory).
const LENGTH_135_36: f64 = 1.6;
/// Advance from frame to frame in **metres**: 8 perforations of 4.75 mm (ISO 1007).
const ADVANCE_135: f64 = 0.038;
/// Width of 120 and 220 film in **metres** (ISO 732; the number from memory).
const WIDTH_120: f64 = 0.0615;
/// Length of a 120 film in **metres** (from memory; films of 0.76 to 0.84 m are met with).
const LENGTH_120: f64 = 0.83;
/// Shortest and longest side of a sheet in **metres**.
const SIDE: std::ops::RangeInclusive<f64> = 0.01..=1.0;

/// What an area from formats is to be called wherever it shows.
pub const NOMINAL: &str = "area from nominal dimensions";

/// A format of film.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Format {
    /// 135 film of 36 exposures.
    Roll135x36,
    /// 135 film of 24 exposures.
    Roll135x24,
    /// 120 roll film.
    Roll120,
    /// 220 roll film: twice as long.
    Roll220,
    /// A sheet.
    Sheet {
        /// Width in `unit`.
        width: f64,
        /// Height in `unit`.
        height: f64,
        /// What they are measured in.
        unit: Unit,
    },
}

/// What a sheet is measured in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Inches.
    Inch,
    /// Centimetres.
    Centimetre,
    /// Millimetres.
    Millimetre,
}

impl Unit {
    const ALL: [Self; 3] = [Self::Inch, Self::Centimetre, Self::Millimetre];

    const fn name(self) -> &'static str {
        match self {
            Self::Inch => "in",
            Self::Centimetre => "cm",
            Self::Millimetre => "mm",
        }
    }

    const fn metres(self) -> f64 {
        match self {
            Self::Inch => 0.0254,
            Self::Centimetre => 0.01,
            Self::Millimetre => 0.001,
        }
    }
}

/// Text that names no format.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{found:?} is not a format of film: {advice}")]
pub struct FormatError {
    /// The text.
    pub found: String,
    /// What to write.
    pub advice: &'static str,
}

impl Format {
    /// The rolls.
    pub const ROLLS: [Self; 4] = [Self::Roll135x36, Self::Roll135x24, Self::Roll120, Self::Roll220];

    const fn roll_name(self) -> Option<&'static str> {
        match self {
            Self::Roll135x36 => Some("135-36"),
            Self::Roll135x24 => Some("135-24"),
            Self::Roll120 => Some("120"),
            Self::Roll220 => Some("220"),
            Self::Sheet { .. } => None,
        }
    }

    /// Whether it is a sheet.
    #[must_use]
    pub const fn is_sheet(self) -> bool {
        matches!(self, Self::Sheet { .. })
    }

    /// Its area in **m²**: nominal width × length.
    #[must_use]
    pub fn area_m2(self) -> f64 {
        match self {
            Self::Roll135x36 => WIDTH_135 * LENGTH_135_36,
            Self::Roll135x24 => WIDTH_135 * (LENGTH_135_36 - 12.0 * ADVANCE_135),
            Self::Roll120 => WIDTH_120 * LENGTH_120,
            Self::Roll220 => WIDTH_120 * 2.0 * LENGTH_120,
            Self::Sheet { width, height, unit } => width * height * unit.metres().powi(2),
        }
    }
}

impl fmt::Display for Format {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Sheet { width, height, unit } => write!(f, "{width}x{height}{}", unit.name()),
            roll => f.write_str(roll.roll_name().unwrap_or_default()),
        }
    }
}

impl FromStr for Format {
    type Err = FormatError;

    /// A roll (135-36, 135-24, 120, 220) or a sheet by its sides (4x5in, 9x12cm, 90x120mm).
    fn from_str(text: &str) -> Result<Self, FormatError> {
        read(text.trim()).map_err(|advice| FormatError { found: text.trim().to_owned(), advice })
    }
}

const KNOWN: &str =
    "rolls are 135-36, 135-24, 120 and 220, sheets are written 4x5in, 9x12cm or 90x120mm";

/// The format that `text` names, or what to write.
fn read(text: &str) -> Result<Format, &'static str> {
    let mut rolls = Format::ROLLS.into_iter();
    if let Some(roll) = rolls.find(|roll| roll.roll_name() == Some(text)) {
        return Ok(roll);
    }
    let (width, rest) = text.split_once(is_times).ok_or(KNOWN)?;
    let unit = Unit::ALL.into_iter().find(|u| rest.ends_with(u.name()));
    let bare = unit.map_or(rest, |u| rest.strip_suffix(u.name()).unwrap_or(rest));
    let (width, height) = (side(width).ok_or(KNOWN)?, side(bare).ok_or(KNOWN)?);
    let unit = unit.ok_or("add the unit, as in 4x5in, 9x12cm or 90x120mm")?;
    let fits = |side: f64| SIDE.contains(&(side * unit.metres()));
    if !(fits(width) && fits(height)) {
        return Err("a sheet's sides lie between 10 mm and 1 m");
    }
    Ok(Format::Sheet { width, height, unit })
}

/// A number with a decimal point or comma.
fn side(text: &str) -> Option<f64> {
    let text = text.trim();
    match text.contains(',') {
        true => text.replace(',', ".").parse().ok(),
        false => text.parse().ok(),
    }
}

fn is_times(c: char) -> bool {
    matches!(c, 'x' | 'X' | '×' | '*')
}

/// Films that go through a bath together: how many of each format.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Films(pub Vec<(u32, Format)>);

impl Films {
    /// Their area in **m²**, to the square millimetre.
    #[must_use]
    pub fn area_m2(&self) -> f64 {
        let area: f64 = self.0.iter().map(|(n, f)| f64::from(*n) * f.area_m2()).sum();
        (area * 1e6).round() / 1e6
    }
}

impl fmt::Display for Films {
    /// In words that [`counted`] understands: `3 × 135-36 + 6 × 4x5in`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, (count, format)) in self.0.iter().enumerate() {
            let plus = if index == 0 { "" } else { " + " };
            write!(f, "{plus}{count} × {format}")?;
        }
        Ok(())
    }
}

/// The films that `words` name, as in `3 × 135-36 + 6 × 4x5in`; `None` if they do not say how many of what.
#[must_use]
pub fn films_in(words: &str) -> Option<Films> {
    words
        .split(['+', ',', ';', '&'])
        .map(|part| films_in_part(part.trim()))
        .collect::<Option<_>>()
        .map(Films)
}

/// How many films `words` name; `None` if they do not say.
#[must_use]
pub fn counted(words: &str) -> Option<u64> {
    films_in(words).map(|films| films.0.iter().map(|(count, _)| u64::from(*count)).sum())
}

fn films_in_part(part: &str) -> Option<(u32, Format)> {
    let counted = || {
        let (count, format) = part.split_once(is_times)?;
        Some((count.trim().parse().ok()?, read(format.trim()).ok()?))
    };
    // `4x5in` by itself is one sheet, and not four of `5in`, which is no format.
    counted().or_else(|| read(part).ok().map(|format| (1, format)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn area(text: &str) -> f64 {
        text.parse::<Format>().unwrap().area_m2()
    }

    /// A roll of 135 with 36 exposures, a 120 film and a sheet of 8 × 10 inches are held to be alike
    /// for a developer (common practice, no source).
    #[test]
    fn a_roll_and_a_large_sheet_are_alike() {
        let sheet = area("8x10in");
        assert!((sheet - 80.0 * 0.0254 * 0.0254).abs() < 1e-12);
        for roll in ["135-36", "120"] {
            assert!((area(roll) / sheet - 1.0).abs() < 0.1, "{roll}");
        }
        assert_eq!(area("220"), 2.0 * area("120"));
        assert!((0.65..0.75).contains(&(area("135-24") / area("135-36"))));
    }

    #[test]
    fn sheets_in_three_units() {
        assert!((area("9x12cm") - area("90x120mm")).abs() < 1e-12);
        assert!((area("6,5 × 9 cm") - 0.00585).abs() < 1e-12);
        assert_eq!("4X5in".parse::<Format>().unwrap().to_string(), "4x5in");
    }

    #[test]
    fn what_is_no_format_is_told() {
        let message = |text: &str| text.parse::<Format>().unwrap_err().to_string();
        assert_eq!(
            message("4x5"),
            "\"4x5\" is not a format of film: add the unit, as in 4x5in, 9x12cm or 90x120mm"
        );
        assert_eq!(
            message("4x5cmm").split(": ").next(),
            Some("\"4x5cmm\" is not a format of film")
        );
        for bad in ["400x500in", "0x5in", "-4x5in", "nanx5in", "135", "", "x", "×in"] {
            assert!(bad.parse::<Format>().is_err(), "{bad}");
        }
    }

    #[test]
    fn words_are_counted_where_they_say() {
        let sheet = "4x5in".parse().unwrap();
        let films = Films(vec![(3, Format::Roll135x36), (6, sheet), (1, Format::Roll120)]);
        assert_eq!(films.to_string(), "3 × 135-36 + 6 × 4x5in + 1 × 120");
        assert_eq!(counted(&films.to_string()), Some(10));
        assert_eq!(counted("3x135-36, 120"), Some(4));
        assert_eq!(counted("4x5in"), Some(1));
        for vague in ["", "some", "120 rolls", "3 films", "3 × wide"] {
            assert_eq!(counted(vague), None, "{vague}");
        }
        assert_eq!(films.area_m2(), (films.area_m2() * 1e6).round() / 1e6);
    }
}
