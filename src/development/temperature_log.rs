//! The temperatures of a bath during development, from a file or as they are typed.

use super::drift::Reading;
use crate::readings::{Cells, Names, Note, ReadError, ReadErrors, SmallTable};
use crate::units::{ElapsedMinutes, NotAQuantity, NotATemperature, Temperature, TemperatureUnit};
#[cfg(feature = "files")]
use std::path::Path;
use std::str::FromStr;

static NAMES: Names = Names {
    needed: &[("time", &["minutes", "time"]), ("temperature", &["celsius", "fahrenheit"])],
    optional: &["note"],
    synonyms: &[
        ("min", "minutes"),
        ("t", "minutes"),
        ("clock", "time"),
        ("temp", "celsius"),
        ("temperature", "celsius"),
        ("degrees", "celsius"),
        ("remark", "note"),
    ],
    example: "minutes,celsius",
};

const NO_TIME: &str = "write when the temperature was read, or remove the row";
const NO_TEMPERATURE: &str = "write the temperature, or remove the row";
/// Minutes of a day.
const DAY: f64 = 24.0 * 60.0;

/// The temperatures of a bath during one development.
#[derive(Clone, Debug, PartialEq)]
pub struct TemperatureLog {
    /// The thermometer readings, at least one, in the order of their times.
    pub readings: Vec<Reading>,
    /// The unit of the first of them.
    pub unit: TemperatureUnit,
    /// What the reader noticed.
    pub notes: Vec<Note>,
}

impl TemperatureLog {
    /// Readings that were typed.
    ///
    /// # Errors
    /// Where a time does not come after the one before it.
    pub fn of_readings(typed: &[TimedTemperature]) -> Result<Self, NotAfter> {
        let late = typed.windows(2).find(|pair| pair[1].minutes <= pair[0].minutes);
        if let Some([before, one]) = late {
            return Err(NotAfter { minutes: one.minutes.get(), before: before.minutes.get() });
        }
        let unit = typed.first().map(|one| one.temperature.unit).unwrap_or_default();
        let reading = |one: &TimedTemperature| Reading {
            minutes: one.minutes.get(),
            celsius: one.temperature.celsius,
        };
        Ok(Self { readings: typed.iter().map(reading).collect(), unit, notes: Vec::new() })
    }
}

/// Reads a file of temperatures. The first row names the columns, in any order:
///
/// | column | content |
/// |---|---|
/// | `minutes` | minutes since the film went in, as 2.5 or 2:30 |
/// | or `time` | the time of day, as 19:42 or 19:42:30; the film went in at the first one |
/// | `celsius` or `fahrenheit` | the temperature; a cell may name its own unit, as 68F |
/// | `note` | free text, not used |
///
/// The formats are those of [`read_files`](crate::readings::read_files), but for ISO 28178 text.
///
/// # Errors
/// [`ReadErrors`] with every fault of the file.
#[cfg(feature = "files")]
pub fn read_temperatures(path: &Path) -> Result<TemperatureLog, ReadErrors> {
    log(SmallTable::read(path, &NAMES)?)
}

/// Reads temperatures from the `bytes` of a file; `name` stands for the file in messages.
///
/// # Errors
/// [`ReadErrors`] with every fault.
///
/// # Example
/// ```
/// use wedgebook::development::temperatures_of_bytes;
///
/// let log = temperatures_of_bytes("log.csv", b"time;celsius\n23:58;20,5\n0:03;20,0\n")?;
/// assert_eq!(log.readings[1].minutes, 5.0);
/// assert_eq!(log.readings[0].celsius.get(), 20.5);
/// # Ok::<(), wedgebook::readings::ReadErrors>(())
/// ```
pub fn temperatures_of_bytes(name: &str, bytes: &[u8]) -> Result<TemperatureLog, ReadErrors> {
    log(SmallTable::of_bytes(name, bytes, &NAMES)?)
}

fn log(table: SmallTable) -> Result<TemperatureLog, ReadErrors> {
    let (mut began, mut before, mut unit) = (None, f64::NEG_INFINITY, None);
    let (readings, notes) = table.rows(|cells| {
        let (column, minutes) = match cells.has("time") {
            true => {
                let now = time_of_day(cells)?;
                // A session may go on past midnight.
                ("time", (now - *began.get_or_insert(now)).rem_euclid(DAY))
            }
            false => {
                let read = cells.minutes("minutes", ElapsedMinutes::BOUNDS)?;
                ("minutes", read.ok_or_else(|| cells.empty("minutes", NO_TIME))?)
            }
        };
        let fahrenheit = cells.has("fahrenheit");
        let column_of_degrees = if fahrenheit { "fahrenheit" } else { "celsius" };
        let temperature = cells
            .temperature(column_of_degrees, fahrenheit)?
            .ok_or_else(|| cells.empty(column_of_degrees, NO_TEMPERATURE))?;
        if minutes <= before {
            let (at, found) = (cells.place(column), cells.text(column).into());
            return Err(ReadError::NotRising { at, found });
        }
        before = minutes;
        unit.get_or_insert(temperature.unit);
        Ok(Reading { minutes, celsius: temperature.celsius })
    })?;
    Ok(TemperatureLog { readings, unit: unit.unwrap_or_default(), notes })
}

/// Minutes after midnight of a time of day, as 19:42 or 19:42:30.
fn time_of_day(cells: &Cells<'_>) -> Result<f64, ReadError> {
    let text = cells.text("time");
    if text.is_empty() {
        return Err(cells.empty("time", NO_TIME));
    }
    let mut parts = text.split(':').map(|part| part.trim().parse::<u32>().ok());
    let mut part = |below: u32| parts.next().flatten().filter(|value| *value < below);
    let (hours, minutes) = (part(24), part(60));
    let seconds = if text.matches(':').count() > 1 { part(60) } else { Some(0) };
    match (hours, minutes, seconds, parts.next()) {
        (Some(hours), Some(minutes), Some(seconds), None) => {
            Ok(f64::from(hours * 60 + minutes) + f64::from(seconds) / 60.0)
        }
        _ => Err(ReadError::NotATimeOfDay { at: cells.place("time"), found: text.into() }),
    }
}

/// A reading of the thermometer as a person types it: the minutes since the film went in and the
/// temperature, as `0=23.5`, `2:30=23,0` or `5=72F`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TimedTemperature {
    /// Minutes since the film went in.
    pub minutes: ElapsedMinutes,
    /// The temperature.
    pub temperature: Temperature,
}

impl FromStr for TimedTemperature {
    type Err = NotAReading;

    fn from_str(text: &str) -> Result<Self, NotAReading> {
        let (minutes, temperature) = text.split_once('=').ok_or(NotAReading::NoPair)?;
        Ok(Self { minutes: minutes.parse()?, temperature: temperature.parse()? })
    }
}

/// Text that is no reading of a thermometer.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NotAReading {
    /// There is no equals sign in it.
    #[error("write minutes and a temperature, as 0=23.5")]
    NoPair,
    /// The minutes are none.
    #[error(transparent)]
    Minutes(#[from] NotAQuantity),
    /// The temperature is none.
    #[error(transparent)]
    Temperature(#[from] NotATemperature),
}

/// A time that does not come after the one before it.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("times must rise, and {minutes} min does not come after {before} min")]
pub struct NotAfter {
    /// The time in **minutes**.
    pub minutes: f64,
    /// The one before it.
    pub before: f64,
}
