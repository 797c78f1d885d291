//! What a vessel and its solution can take at a time.

use crate::bath::film::{Films, Format};

/// How a vessel takes a format.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Room {
    /// The format.
    pub format: Format,
    /// How many the vessel holds at a time, if it holds nothing else; a whole number of reels.
    pub holds: u32,
    /// How many share a reel; 1 for sheets.
    pub on_a_reel: u32,
    /// Solution that one of them needs, in **ml**; 0 where nobody said.
    pub least_ml: f64,
}

/// What one batch can be at most.
#[derive(Clone, Debug, PartialEq)]
pub struct Limits {
    /// The formats that the vessel takes.
    pub rooms: Vec<Room>,
    /// Solution in the vessel, in **ml**.
    pub solution_ml: f64,
    /// Film that the solution in the vessel develops, in **m²**.
    pub area_m2: f64,
}

/// Two sums that differ by less than this share are one.
const SLACK: f64 = 1e-9;

/// Why films make no batches.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum BatchError {
    /// A format that the vessel is not said to take.
    #[error(
        "how many {format} the vessel holds is not known: add it to vessel.holds, as \"{format}\" = 4"
    )]
    NoRoom {
        /// The format.
        format: Format,
    },
    /// One film needs more solution than there is.
    #[error(
        "one {format} needs {needed} ml to be covered and the vessel takes {there} ml: take a larger one"
    )]
    NotCovered {
        /// The format.
        format: Format,
        /// What it needs, in **ml**.
        needed: f64,
        /// What there is, in **ml**.
        there: f64,
    },
    /// One film is more than the solution develops.
    #[error(
        "one {format} has {area:.4} m² and the solution in the vessel develops {capacity:.4} m²: take more or stronger solution, or state a greater capacity if the maker's sheet allows it"
    )]
    Overworked {
        /// The format.
        format: Format,
        /// Its area in **m²**.
        area: f64,
        /// What the solution develops, in **m²**.
        capacity: f64,
    },
}

impl BatchError {
    /// The format of which not one film can be developed.
    #[must_use]
    pub const fn format(&self) -> Format {
        match self {
            Self::NoRoom { format }
            | Self::NotCovered { format, .. }
            | Self::Overworked { format, .. } => *format,
        }
    }
}

impl Limits {
    pub(super) fn room(&self, format: Format) -> Option<&Room> {
        self.rooms.iter().find(|room| room.format == format)
    }

    /// How full the vessel is, 1 being full: reels of each format over the reels that it holds of
    /// them. `None` for a format that it does not take.
    #[must_use]
    pub fn fullness(&self, films: &Films) -> Option<f64> {
        let share = |(count, format): &(u32, Format)| {
            let room = self.room(*format)?;
            let reels = |films: u32| f64::from(films.div_ceil(room.on_a_reel.max(1)));
            Some(reels(*count) / reels(room.holds))
        };
        films.0.iter().map(share).sum()
    }

    /// Solution that films need to be covered, in **ml**.
    #[must_use]
    pub fn needed_ml(&self, films: &Films) -> f64 {
        let need = |(count, format): &(u32, Format)| {
            f64::from(*count) * self.room(*format).map_or(0.0, |room| room.least_ml)
        };
        films.0.iter().map(need).sum()
    }

    /// Whether films are one batch: room for all, solution to cover them and to develop them.
    #[must_use]
    pub fn takes(&self, films: &Films) -> bool {
        let within = |found: f64, most: f64| found <= most * (1.0 + SLACK);
        self.fullness(films).is_some_and(|full| within(full, 1.0))
            && within(self.needed_ml(films), self.solution_ml)
            && within(films.area_m2(), self.area_m2)
    }

    /// Why not even one film of a format can be developed, if that is so.
    pub(super) fn refusal(&self, format: Format) -> Option<BatchError> {
        let Some(room) = self.room(format).filter(|room| room.holds > 0) else {
            return Some(BatchError::NoRoom { format });
        };
        let one = Films(vec![(1, format)]);
        if room.least_ml > self.solution_ml * (1.0 + SLACK) {
            return Some(BatchError::NotCovered {
                format,
                needed: room.least_ml,
                there: self.solution_ml,
            });
        }
        (!self.takes(&one)).then(|| BatchError::Overworked {
            format,
            area: one.area_m2(),
            capacity: self.area_m2,
        })
    }
}
