//! The plan of a session: a TOML file that a person writes.
//!
//! Paths in it are relative to the plan's own folder. A temperature is in °C, or a text with its unit,
//! as `"69F"`. Every key is described in the example, [`example`].

mod error;
mod read;
pub(crate) mod section;
mod values;

pub use error::PlanError;
pub use section::Placed;

use super::dilution::Dilution;
use super::limits::Limits;
use super::washing::{Changes, Running};
use crate::bath::film::{Films, Format};
use crate::development::Measure;
use crate::units::Celsius;
use std::path::{Path, PathBuf};

/// The demonstration's plan, with every key explained.
const EXAMPLE: &str = include_str!("../../../data/session.toml");

/// A commented plan that runs with the demonstration's data, for a file in the folder above them.
#[must_use]
pub fn example() -> String {
    let here = EXAMPLE.replace("\"../pairing.toml\"", "\"pairing.toml\"");
    here.replace("\"bath.csv\"", "\"data/bath.csv\"")
}

/// A plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// Its file, as the user wrote it.
    pub file: PathBuf,
    /// What the session is called.
    pub title: String,
    /// When it begins, in minutes after midnight.
    pub start: Option<u32>,
    /// The pairing's file.
    pub pairing: PathBuf,
    /// Films, by format.
    pub films: Vec<(u32, Placed<Format>)>,
    /// What each entry of films is of and for, in their order.
    pub parts: Vec<Part>,
    /// What is wanted of the negatives.
    pub aim: Aim,
    /// The tank or tray.
    pub vessel: Vessel,
    /// The developer; the first of several.
    pub developer: Developer,
    /// All developers, in their order.
    pub developers: Vec<NamedDeveloper>,
    /// The developer's temperature.
    pub temperature: Temperature,
    /// The stop bath.
    pub stop: Stop,
    /// The fixer.
    pub fix: Fix,
    /// The wash.
    pub wash: Wash,
    /// The wetting agent.
    pub wetting: Wetting,
    /// Minutes to load the vessel and to set up a batch.
    pub load_minutes: Stated,
    /// Minutes to dry.
    pub dry_minutes: Stated,
}

/// What an entry of films is of and for.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Whose it is, or what it is called.
    pub name: Option<String>,
    /// The pairing's file.
    pub pairing: PathBuf,
    /// What is wanted of the negatives.
    pub aim: Aim,
    /// Which developer it goes into, counted from 0.
    pub developer: usize,
    /// Line of the entry.
    pub line: usize,
}

/// A developer with its name, where a plan has several.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedDeveloper {
    /// Its name.
    pub name: Option<String>,
    /// The developer.
    pub developer: Developer,
    /// Its temperature, where it has one of its own.
    pub celsius: Option<Placed<Celsius>>,
}

/// A number that the plan states, or that is assumed for want of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stated {
    /// The number.
    pub value: f64,
    /// Whether it is assumed.
    pub assumed: bool,
}

/// What is wanted of the negatives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Aim {
    /// A contrast; otherwise it follows from the scene.
    pub contrast: Option<f64>,
    /// Range of the scene in stops.
    pub scene_stops: Option<f64>,
    /// Measure of contrast, where the pairing's own is not meant.
    pub measure: Option<Measure>,
}

/// A tank or tray.
#[derive(Clone, Debug, PartialEq)]
pub struct Vessel {
    /// `tank` or `tray`.
    pub kind: &'static str,
    /// What one batch can be, but for what the solution develops.
    pub limits: Limits,
    /// Line of its volume.
    pub line: usize,
}

/// The developer.
#[derive(Clone, Debug, PartialEq)]
pub struct Developer {
    /// Where it comes from.
    pub source: Source,
    /// Film that a litre develops, in m², where the plan states it.
    pub capacity_m2_per_litre: Option<f64>,
    /// Activity, where the plan states it.
    pub activity: Option<f64>,
    /// Agitation in words.
    pub agitation: Option<String>,
    /// Line of its section.
    pub line: usize,
}

/// Where the developer comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum Source {
    /// A bath that is kept.
    Bath {
        /// Its journal.
        journal: PathBuf,
        /// Replenisher in ml for the area of a 135 film of 36 exposures.
        replenish_ml_per_roll: Option<f64>,
    },
    /// Solution that is used once.
    OneShot {
        /// Stock and water.
        dilution: Dilution,
        /// Temperature of the stock.
        stock_celsius: Option<Celsius>,
    },
}

/// The developer's temperature, and what to do if it is not as wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Temperature {
    /// By the thermometer, now.
    pub celsius: Placed<Celsius>,
    /// Lowest that is wanted.
    pub lowest: f64,
    /// Highest that is wanted.
    pub highest: f64,
    /// Whether that range is assumed.
    pub assumed: bool,
    /// What to do outside of it.
    pub outside: Outside,
}

/// What to do with a developer that is too warm or too cold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Outside {
    /// Develop as it is, for the time that fits.
    Time,
    /// Wait.
    Wait {
        /// An earlier reading of the thermometer.
        earlier: Celsius,
        /// Minutes between the two readings.
        minutes_apart: f64,
        /// Temperature of the room, or of the water bath that it stands in.
        surroundings: Celsius,
    },
}

/// The stop bath.
#[derive(Clone, Debug, PartialEq)]
pub struct Stop {
    /// Time in seconds.
    pub seconds: Stated,
    /// Stock and water.
    pub dilution: Option<Dilution>,
    /// Agitation in words.
    pub agitation: Option<String>,
}

/// The fixer.
#[derive(Clone, Debug, PartialEq)]
pub struct Fix {
    /// Clearing time today, in seconds.
    pub clearing_seconds: f64,
    /// Clearing time when it was fresh.
    pub fresh_clearing_seconds: Option<f64>,
    /// Fixing time over clearing time.
    pub factor: Stated,
    /// Fresh fixer for a roll, in ml.
    pub ml_per_roll: Stated,
    /// Fresh fixer in hand, in ml.
    pub in_hand_ml: Option<f64>,
    /// Stock and water, where it is mixed for the session.
    pub dilution: Option<Dilution>,
    /// Agitation in words.
    pub agitation: Option<String>,
}

/// The wash.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wash {
    /// Share of the fixer that may be left.
    pub residual: Stated,
    /// How.
    pub method: Washing,
}

/// How film is washed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Washing {
    /// In running water.
    Running {
        /// Its law.
        law: Running,
        /// Whether the half-time is assumed.
        assumed: bool,
    },
    /// In changes of water.
    Changes {
        /// Its law.
        law: Changes,
        /// Minutes that each stands.
        minutes_each: Stated,
    },
}

/// The wetting agent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wetting {
    /// Time in seconds.
    pub seconds: Stated,
    /// Stock and water.
    pub dilution: Option<Dilution>,
}

impl Vessel {
    /// Whether rolls lie on reels in it.
    #[must_use]
    pub fn is_tank(&self) -> bool {
        self.kind == "tank"
    }
}

impl Plan {
    /// The journal of the bath; `None` for a developer that is used once.
    #[must_use]
    pub const fn journal(&self) -> Option<&PathBuf> {
        match &self.developer.source {
            Source::Bath { journal, .. } => Some(journal),
            Source::OneShot { .. } => None,
        }
    }

    /// Reads a plan.
    ///
    /// # Errors
    /// [`PlanError`]: the first fault, with its line.
    #[cfg(feature = "files")]
    pub fn read(path: &Path) -> Result<Self, PlanError> {
        let unreadable = |reason: String| PlanError::Unreadable { path: path.to_owned(), reason };
        let text = crate::files::text(path).map_err(unreadable)?;
        Self::parse(path, &text)
    }

    /// Reads a plan's `text`; `path` stands for it in messages, and its folder is that of the paths
    /// in it.
    ///
    /// # Errors
    /// [`PlanError`]: the first fault, with its line.
    pub fn parse(path: &Path, text: &str) -> Result<Self, PlanError> {
        read::plan(section::Source { path, text: text.trim_start_matches('\u{FEFF}') })
    }

    /// Whether its films differ in what they are of and for: each then has its own time.
    #[must_use]
    pub fn is_class_night(&self) -> bool {
        let Some((first, rest)) = self.parts.split_first() else { return false };
        rest.iter().any(|part| {
            (&part.pairing, part.aim, part.developer)
                != (&first.pairing, first.aim, first.developer)
        })
    }

    /// The plan with only some of its entries of films, all of which go into one developer. Pairing and aim
    /// are those of the first of them.
    #[must_use]
    pub fn with_parts(&self, which: &[usize]) -> Self {
        let mut plan = self.clone();
        let take = |at: &usize| Some((*self.films.get(*at)?, self.parts.get(*at)?.clone()));
        let taken: Vec<_> = which.iter().filter_map(take).collect();
        (plan.films, plan.parts) = taken.into_iter().unzip();
        if let Some(first) = plan.parts.first() {
            plan.pairing.clone_from(&first.pairing);
            plan.aim = first.aim;
            if let Some(own) = self.developers.get(first.developer) {
                plan.developer = own.developer.clone();
                plan.temperature.celsius = own.celsius.unwrap_or(plan.temperature.celsius);
            }
        }
        plan
    }

    /// How many films of each format.
    #[must_use]
    pub fn films(&self) -> Films {
        Films(self.films.iter().map(|(n, f)| (*n, f.value)).collect())
    }
}
