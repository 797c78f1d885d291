//! One session in the darkroom: which films go in together, how much of what is mixed, and when
//! each step comes, with fixing and washing on their own.
//!
//! | module | holds |
//! |---|---|
//! | [`plan`] | the plan, a TOML file, with the line of every fault |
//! | [`sheet`](Sheet) | the sheet that a plan, a pairing and a bath come to |
//! | [`batches`](batches()) | batches that the vessel and its solution can take |
//! | [`numbers`](numbered()) | a number and a place for each film |
//! | [`cooling`](Cooling) | how long a solution takes to another temperature |
//! | [`dilution`](Dilution) | stock and water |
//! | [`capacity`] | film that a solution develops |
//! | [`fixing`] | from a clearing test to the fixing time |
//! | [`washing`] | how much fixer is left |
//! | [`cautions`] | what is said before anything else |

mod activity;
mod batches;
pub mod capacity;
pub mod cautions;
mod cooling;
mod dilution;
pub mod fixing;
mod limits;
mod notes;
mod numbers;
mod origin;
pub mod plan;
pub(crate) mod sheet;
pub mod washing;

pub use activity::{ActivitySource, BathActivity, followed, latest_leader, latest_strip};
pub use batches::batches;
pub use cooling::{Cooling, CoolingError};
pub use dilution::{Dilution, DilutionError};
pub use limits::{BatchError, Limits, Room};
pub use notes::{Range, SessionNote};
pub use numbers::{PlacedFilm, numbered};
pub use origin::Origin;
pub use plan::{Plan, PlanError};
pub use sheet::night::{self, Night, NightSheet};
pub use sheet::{
    Afterwards, Batch, Developing, Fixing, Mixture, NoBath, NoSession, SceneAim, Session,
    SessionError, Sheet, Step, StepKind, StepSource, Timed, Usage, Wait,
};
