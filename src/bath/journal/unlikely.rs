//! Entries that are possible and most likely a slip of the hand. They are refused when they are made, unless
//! a person is sure; a file that has them is read.

use super::Balance;
use super::cell_error::CellError;
use super::check::Flaw;
use super::columns::Column;
use super::entry::{Act, Entry};
use crate::bath::film::films_in;
use std::fmt;

/// Largest bath in **litres** (common practice, no source).
const LITRES: f64 = 100.0;
/// Most film that goes through a bath between two entries, in **m² a litre**: about fifty rolls (common
/// practice, no source).
const AREA_A_LITRE: f64 = 3.0;
/// How far a stated area may be from that of the films that are named, as a factor.
const AREA_FACTOR: f64 = 2.0;
/// Most replenisher in one entry, in volumes of the bath (common practice, no source).
const VOLUMES: f64 = 2.0;
/// Temperatures of a black-and-white developer in **°C** (common practice, no source).
const CELSIUS: std::ops::RangeInclusive<f64> = 12.0..=32.0;
/// Longest development in **minutes** (common practice, no source).
const MINUTES: f64 = 180.0;

/// What is unlikely about an entry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Unlikely {
    /// A bath of so many litres.
    Litres(f64),
    /// So much film in **m²** for a bath of so many litres.
    AreaForBath(f64, f64),
    /// So much film in **m²** where the films that are named have another area.
    AreaForFilms(f64, f64),
    /// So much replenisher in **ml** for a bath of so many litres.
    Added(f64, f64),
    /// A developer of so many **°C**.
    Celsius(f64),
    /// A development of so many **minutes**.
    Minutes(f64),
}

impl fmt::Display for Unlikely {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Litres(found) => {
                write!(f, "{found} litres is more than most baths have, {LITRES} litres")
            }
            Self::AreaForBath(found, litres) => write!(
                f,
                "{found} m² is a lot of film for one entry and a bath of {litres} litres: more than {AREA_A_LITRE} m² a litre"
            ),
            Self::AreaForFilms(found, nominal) => {
                write!(f, "{found} m² is not the area of these films, {nominal} m²")
            }
            Self::Added(found, litres) => {
                write!(f, "{found} ml is more than twice the bath's volume, {litres} litres")
            }
            Self::Celsius(found) => write!(
                f,
                "{found} °C is no usual temperature of a developer, {} to {} °C",
                CELSIUS.start(),
                CELSIUS.end()
            ),
            Self::Minutes(found) => {
                write!(f, "{found} minutes is longer than most developments, {MINUTES} minutes")
            }
        }
    }
}

/// How far a stated area may be from that of the films before a bath is not calculated with it, as a factor:
/// what a person was sure of is less far.
const DOUBT_FACTOR: f64 = 5.0;

/// What makes an entry of film that stands in a journal so doubtful that the bath is not calculated with it.
pub(super) fn doubtful(entry: &Entry, bath: &Balance) -> Option<Unlikely> {
    match unlikely(entry, bath)? {
        (_, CellError::Unlikely(what)) => match what {
            Unlikely::AreaForFilms(found, nominal) => {
                let factor = found / nominal;
                (!(1.0 / DOUBT_FACTOR..=DOUBT_FACTOR).contains(&factor)).then_some(what)
            }
            Unlikely::AreaForBath(found, litres) => {
                (found > DOUBT_FACTOR * AREA_A_LITRE * litres).then_some(what)
            }
            _ => None,
        },
        _ => None,
    }
}

/// What is unlikely about a development.
fn developed(celsius: Option<f64>, minutes: Option<f64>) -> Option<(Column, Unlikely)> {
    let celsius = celsius.filter(|celsius| !CELSIUS.contains(celsius));
    let minutes = minutes.filter(|minutes| *minutes > MINUTES);
    celsius
        .map(|found| (Column::Celsius, Unlikely::Celsius(found)))
        .or(minutes.map(|found| (Column::Minutes, Unlikely::Minutes(found))))
}

/// What is unlikely about an entry in a bath that stands so.
pub(super) fn unlikely(entry: &Entry, bath: &Balance) -> Option<Flaw> {
    let litres = bath.litres;
    let (column, what) = match &entry.act {
        Act::Mix { litres, .. } if *litres > LITRES => (Column::Litres, Unlikely::Litres(*litres)),
        Act::Film { films, area_m2, .. } => {
            let nominal = films_in(films).map(|films| films.area_m2()).filter(|area| *area > 0.0);
            let factor = nominal.map_or(1.0, |nominal| area_m2 / nominal);
            if let Some(nominal) = nominal
                && !(1.0 / AREA_FACTOR..=AREA_FACTOR).contains(&factor)
            {
                (Column::AreaM2, Unlikely::AreaForFilms(*area_m2, nominal))
            } else if *area_m2 > AREA_A_LITRE * litres && litres > 0.0 {
                (Column::AreaM2, Unlikely::AreaForBath(*area_m2, litres))
            } else {
                return None;
            }
        }
        Act::Replenish { added_ml, .. } if *added_ml > VOLUMES * 1e3 * litres && litres > 0.0 => {
            (Column::AddedMl, Unlikely::Added(*added_ml, litres))
        }
        Act::Strip(strip) => developed(strip.celsius, strip.minutes)?,
        Act::Leader(leader) => developed(leader.celsius, leader.minutes)?,
        _ => return None,
    };
    Some((column, CellError::Unlikely(what)))
}
