//! What a forecast cannot give: every reason, with its numbers.

use crate::words::{counted, number};
use std::fmt;

/// Why a part of a forecast is missing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoForecast {
    /// No control strip of the journal was ever read.
    NoStrip {
        /// Films of 36 exposures by which a tenth of the activity should be lost, as far as is assumed.
        films: u32,
    },
    /// The journal is too young for a usual pace.
    YoungJournal,
    /// Too little film for a usual pace.
    FewFilms {
        /// Days over which the pace would be taken.
        days: f64,
    },
    /// An activity that replenishment cannot keep for certain.
    CannotHold {
        /// The activity; `None` is the present one.
        activity: Option<f64>,
        /// Strength of the replenisher.
        strength: f64,
        /// Its standard deviation.
        sd: f64,
    },
    /// An area of a film that is not positive.
    FilmArea,
    /// A pace that is not positive.
    Pace,
    /// A lowest activity that is not positive.
    Lowest,
    /// A probability that is none.
    Level,
    /// An activity to hold that is not positive.
    Hold,
}

impl fmt::Display for NoForecast {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoStrip { films } => write!(
                f,
                "no control strip has been read yet: read one now, and another after about {}",
                counted(*films, "film of 36 exposures")
            ),
            Self::YoungJournal => f.write_str(
                "the journal is less than a week old, too young for a usual pace: state how many films a week",
            ),
            Self::FewFilms { days } => write!(
                f,
                "fewer than two films were developed in the last {days:.0} days, too few for a usual pace: state how many films a week"
            ),
            Self::CannotHold { activity, strength, sd } => {
                match activity {
                    Some(a) => write!(f, "an activity of {}", number(*a, 2))?,
                    None => f.write_str("the present activity")?,
                }
                write!(
                    f,
                    " cannot be kept for certain: it is too near the strength of the replenisher, {} ± {} (assumed); choose a lower one",
                    number(*strength, 2),
                    number(*sd, 2)
                )
            }
            Self::FilmArea => f.write_str("the area of a film must be a positive number"),
            Self::Pace => f.write_str("the number of films a day must be positive"),
            Self::Lowest => f.write_str("the lowest usable activity must be a positive number"),
            Self::Level => f.write_str("the probability of an interval must be between 0 and 1"),
            Self::Hold => f.write_str("the activity to keep must be a positive number"),
        }
    }
}
