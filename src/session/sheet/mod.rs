//! The sheet of a session: what its plan, pairing and bath come to.

mod developing;
pub(crate) mod entries;
mod fault;
mod mixtures;
pub mod night;
mod steps;
mod timetable;
mod usage;
mod waiting;

pub use developing::{Developing, SceneAim};
pub use fault::{NoBath, NoSession, SessionError};
pub use mixtures::{Afterwards, Mixture};
pub use steps::{Step, StepKind, StepSource};
pub use timetable::Timed;
pub use usage::Usage;
pub use waiting::Wait;

use super::activity::BathActivity;
use super::batches::batches;
use super::capacity::{Capacity, KEPT, ONE_SHOT};
use super::fixing::{ClearingTest, replenisher_ml};
use super::notes::SessionNote;
use super::numbers::{PlacedFilm, numbered};
use super::plan::{Plan, PlanError, Source, Stated};
use crate::bath::film::Films;
use crate::bath::journal::{Act, Journal};
use crate::bath::standing::Standing;
use crate::development::Pairing;
use crate::development::file::PairingFile;

/// A plan with all that it names.
#[derive(Clone, Debug)]
pub struct Session<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// The pairing's file.
    pub file: &'a PairingFile,
    /// The pairing.
    pub pairing: &'a Pairing,
    /// The bath's journal, where the plan names one.
    pub journal: Option<&'a Journal>,
    /// The standing of that bath; one that is not to be used has no sheet.
    pub standing: Option<&'a Standing>,
    /// The bath's activity as far as it is known: [`super::latest_strip`] of the journal, or any other
    /// estimate. What the plan states goes before it; without either, 1 is assumed.
    pub activity: Option<BathActivity>,
    /// Whether to answer far outside what was calibrated.
    pub extrapolate: bool,
    /// The number of the first film; `None` where films get no numbers.
    pub first_number: Option<u32>,
}

/// One batch.
#[derive(Clone, Debug, PartialEq)]
pub struct Batch {
    /// What goes in.
    pub films: Films,
    /// Its area in **m²**.
    pub area_m2: f64,
    /// How full the vessel is, up to 1.
    pub fullness: f64,
    /// The films by number, where they have numbers.
    pub numbered: Vec<PlacedFilm>,
    /// When its steps begin and end.
    pub steps: Vec<Timed>,
    /// What is to be entered in the journal after it; nothing without a bath.
    pub entries: Vec<Act>,
}

/// Fixing, as the clearing test has it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fixing {
    /// The test.
    pub test: ClearingTest,
    /// Fixing time over clearing time.
    pub factor: f64,
    /// Fresh fixer for a roll of 135 film of 36 exposures, in **ml**.
    pub ml_per_roll: Stated,
    /// Fresh fixer for all films, in **ml**.
    pub replenish_ml: f64,
    /// For how many rolls of 135 film of 36 exposures the fresh fixer in hand is enough, where that is
    /// known.
    pub rolls_in_hand: Option<f64>,
}

/// The sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// What the session is called.
    pub title: String,
    /// Film and developer.
    pub pairing: String,
    /// When it begins, in minutes after midnight.
    pub start: Option<u32>,
    /// All films.
    pub films: Films,
    /// Their area in **m²**, from nominal dimensions.
    pub area_m2: f64,
    /// `tank` or `tray`.
    pub vessel: &'static str,
    /// Solution in it, in **ml**.
    pub solution_ml: f64,
    /// Development.
    pub developing: Developing,
    /// How much film the developer can develop.
    pub usage: Usage,
    /// The batches, in their order.
    pub batches: Vec<Batch>,
    /// What is to be poured and mixed.
    pub mixtures: Vec<Mixture>,
    /// The steps of each batch.
    pub steps: Vec<Step>,
    /// Fixing.
    pub fixing: Fixing,
    /// What to know beside the numbers.
    pub notes: Vec<SessionNote>,
}

impl Sheet {
    /// From the beginning until the last batch hangs, in seconds.
    #[must_use]
    pub fn seconds(&self) -> u64 {
        let last = self.batches.last();
        let hangs = last.and_then(|b| b.steps.iter().find(|s| s.kind == StepKind::Dry));
        hangs.map_or(0, |dry| dry.from)
    }
}

impl Session<'_> {
    /// The sheet.
    ///
    /// # Errors
    /// [`SessionError`]: a plan that contradicts itself or its bath, or an answer that is no.
    pub fn sheet(&self) -> Result<Sheet, SessionError> {
        let plan = self.plan;
        let mut notes = Vec::new();
        if let Some(standing) = self.standing.filter(|s| s.withholds()) {
            return Err(NoSession::Withheld(standing.clone()).into());
        }
        let bath = self.balance()?;
        let developing = self.developing(&mut notes)?;
        let fixing = self.fixing()?;
        let films = plan.films();
        let made = self.batches()?;
        let usage = self.usage(bath.as_ref(), &made, &developing, &mut notes)?;
        let steps = steps::steps(plan, &developing, &fixing, &mut notes);
        let mixtures = mixtures::mixtures(plan, &developing, made.len(), &mut notes);
        // The vessel is loaded while the developer is waited for.
        let load = steps.iter().find(|s| s.kind == StepKind::Load);
        let load = load.map_or(0, |s| u64::from(s.seconds));
        let wait = developing.wait.map_or(0, |wait| wait.seconds());
        let lead = wait.saturating_sub(load);
        if made.len() > 1 {
            notes.push(SessionNote::EveryBatch { celsius: developing.celsius.get() });
        }
        let times = timetable::timetable(&steps, made.len(), lead);
        let mut next = self.first_number;
        let batches: Vec<Batch> = (1..)
            .zip(made)
            .zip(times)
            .map(|((batch, films), steps)| {
                let of_batch = next
                    .map(|next| numbered(&films, &plan.vessel.limits, plan.vessel.is_tank(), next));
                let numbered = of_batch.unwrap_or_default();
                next = next.map(|next| next.saturating_add(numbered.len() as u32));
                let load = entries::load(plan, &developing, batch, &numbered);
                Batch {
                    area_m2: films.area_m2(),
                    fullness: plan.vessel.limits.fullness(&films).unwrap_or(1.0),
                    steps,
                    entries: entries::entries(plan, &films, load),
                    films,
                    numbered,
                }
            })
            .collect();
        let on_reels = |film: &PlacedFilm| film.film.reel.is_some();
        if batches.iter().flat_map(|b| &b.numbered).any(on_reels) {
            notes.push(SessionNote::Places);
        }
        notes.push(SessionNote::NominalArea);
        let mut sheet = Sheet {
            title: plan.title.clone(),
            pairing: self.file.name.clone(),
            start: plan.start,
            area_m2: films.area_m2(),
            films,
            vessel: plan.vessel.kind,
            solution_ml: plan.vessel.limits.solution_ml,
            developing,
            usage,
            batches,
            mixtures,
            steps,
            fixing,
            notes,
        };
        sheet.notes.extend(timetable::too_long(sheet.seconds()));
        Ok(sheet)
    }

    /// A fault at a line of the plan.
    fn fault(&self, line: usize, message: impl Into<String>) -> SessionError {
        let path = self.plan.file.clone();
        let message = message.into();
        PlanError::Faulty { path, line, message }.into()
    }

    /// How much film a litre of the developer can develop.
    fn capacity(&self) -> Capacity {
        let assumed = match self.plan.developer.source {
            Source::Bath { .. } => KEPT,
            Source::OneShot { .. } => ONE_SHOT,
        };
        Capacity::stated_or(self.plan.developer.capacity_m2_per_litre, assumed)
    }

    fn batches(&self) -> Result<Vec<Films>, SessionError> {
        let plan = self.plan;
        let mut limits = plan.vessel.limits.clone();
        let capacity = self.capacity();
        limits.area_m2 = capacity.of_ml(limits.solution_ml);
        batches(&plan.films().0, &limits).map_err(|error| {
            let format = error.format();
            let line = plan.films.iter().find(|(_, f)| f.value == format);
            let assumed = match error {
                super::BatchError::Overworked { .. } if capacity.assumed => {
                    "; the capacity is assumed, and capacity_m2_per_litre states it"
                }
                _ => "",
            };
            self.fault(line.map_or(plan.vessel.line, |(_, f)| f.line), format!("{error}{assumed}"))
        })
    }

    fn fixing(&self) -> Result<Fixing, SessionError> {
        let fix = &self.plan.fix;
        let test = ClearingTest {
            seconds: fix.clearing_seconds,
            fresh_seconds: fix.fresh_clearing_seconds,
        };
        if let (Some(true), Some(fresh)) = (test.is_spent(), test.fresh_seconds) {
            let seconds = test.seconds;
            return Err(NoSession::FixerSpent { seconds, fresh_seconds: fresh }.into());
        }
        let films = self.plan.films();
        Ok(Fixing {
            test,
            factor: fix.factor.value,
            ml_per_roll: fix.ml_per_roll,
            replenish_ml: replenisher_ml(&films, fix.ml_per_roll.value),
            rolls_in_hand: fix.in_hand_ml.map(|ml| ml / fix.ml_per_roll.value),
        })
    }
}
