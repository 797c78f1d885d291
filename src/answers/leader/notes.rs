//! What goes with a leader test.

use crate::development::leader::{TEMPERATURE_SLIP, TIME_SLIP};
use crate::development::temperature::assumed_law;
use crate::elementary::sinh;
use crate::words::{number, percent, rounded_clock};
use std::fmt;

/// A piece whose temperature is farther from the family's, in **°C**, has an interval that the assumed
/// temperature law widens.
const NEAR: f64 = 0.5;

/// What goes with a leader test. `Display` is one sentence.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum LeaderNote {
    /// What no leader shows.
    NotSeen,
    /// What activity 1 is.
    Fresh,
    /// Long times show little.
    LongTimes {
        /// The longest time of the family, in **minutes**.
        minutes: f64,
        /// Half the width of its interval of ln a, where it shows anything.
        half_width: Option<f64>,
    },
    /// The shortest time of the family is the best.
    Shorter(f64),
    /// Short times differ by hand.
    ShortTimes,
    /// Whence the scatter between pieces.
    Scatter {
        /// Its standard deviation.
        sd: f64,
        /// Degrees of freedom of the family.
        freedom: u32,
        /// Standard uncertainty of a reading, and whether it is assumed.
        reading: (f64, bool),
    },
    /// The activity is not that of a developer that is used as it should be.
    Odd(f64),
    /// The base is assumed.
    AssumedBase(f64),
    /// The temperature law is assumed.
    AssumedLaw {
        /// How far the piece is from the family's temperature, in **°C**.
        away: f64,
    },
    /// Neither law fits.
    Interpolated,
    /// The piece's interval is wide.
    Coarse(f64),
}

impl fmt::Display for LeaderNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::NotSeen => f.write_str(
                "a leader shows the activity of the bath only: not its fog, and not the speed of the film. A bath that fogs can have activity 1. Use a control strip, or a camera test, to see them",
            ),
            Self::Fresh => f.write_str(
                "activity 1 is that of the bath in which the family was developed: develop the family in a fresh bath, from one roll, and later pieces from a roll of the same film, exposed in the same way (common practice, no source)",
            ),
            Self::LongTimes { minutes, half_width } => {
                let shows = half_width.map_or_else(
                    || "says next to nothing".to_owned(),
                    |half| format!("shows the activity only to {}", plus_minus(half)),
                );
                write!(
                    f,
                    "long times say little, because the density hardly changes there: a piece of {} {shows}",
                    rounded_clock(minutes)
                )
            }
            Self::Shorter(minutes) => write!(
                f,
                "the shortest time of the family, {}, is the best one: a still shorter one may be better, but the family does not show it",
                rounded_clock(minutes)
            ),
            Self::ShortTimes => f.write_str(
                "at so short a time pouring in and out count: always do it in the same way (common practice, no source)",
            ),
            Self::Scatter { sd, freedom, reading: (reading, assumed) } => {
                write!(
                    f,
                    "in every interval pieces differ by {} in density, a time errs by {} s, a temperature by {TEMPERATURE_SLIP} °C and a reading by {} (standard deviations; common practice, no source, but that {}",
                    number(sd, 3),
                    number(60.0 * TIME_SLIP, 0),
                    number(reading, 3),
                    match freedom {
                        0 => "nothing is yet known of these pieces: more of them make it surer",
                        _ => "of pieces has the family's own scatter in it",
                    }
                )?;
                f.write_str(if assumed { ")" } else { ", and that of readings was stated)" })
            }
            Self::Odd(activity) => write!(
                f,
                "activity {} is far from that of a usual bath: check time, temperature and density, and whether the piece is of the family's film and had as much light",
                number(activity, 2)
            ),
            Self::AssumedBase(base) => write!(
                f,
                "the base of the film is assumed to be {base} (common practice, no source), which hardly matters; a piece that was only fixed, in a row of 0 minutes, gives it"
            ),
            Self::AssumedLaw { away } if away > NEAR => write!(
                f,
                "the temperature is {} °C from that of the family, and {}: that widens the interval. Test at the family's temperature, or add a piece at another temperature to the family",
                number(away, 1),
                assumed_law()
            ),
            Self::AssumedLaw { .. } => write!(
                f,
                "{}: test at the family's temperature",
                assumed_law()
            ),
            Self::Interpolated => f.write_str(
                "no simple law describes this growth: the curve is drawn through the pieces, so that their errors count fully",
            ),
            Self::Coarse(half) => write!(
                f,
                "{} is coarse: develop two or three pieces, or use a time nearer to the best one",
                plus_minus(half)
            ),
        }
    }
}

/// The half width of an interval of ln a, as people say it: ±9 %.
fn plus_minus(half: f64) -> String {
    format!("±{}", percent(sinh(half), 0))
}
