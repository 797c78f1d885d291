//! One answer a question: what a person can ask is a function here that takes what is known and gives an
//! answer that owns all that follows from it. An answer describes itself once ([`Description`]); the
//! faces in [`crate::show`] render the description.

pub mod adjust;
pub mod bath;
mod bath_today;
mod bench;
pub mod calibrate;
pub mod compare;
mod convert;
pub mod curve;
mod description;
pub mod drift;
pub mod evenness;
mod exposure;
pub mod fixing;
pub mod frame;
pub mod leader;
#[cfg(feature = "files")]
mod list;
mod one_strip;
pub mod paper;
mod paper_aim;
pub mod proof;
pub mod read;
#[cfg(feature = "figures")]
pub mod report;
pub mod session;
pub mod standing;
mod start;
pub mod tone;
pub mod trace;
mod typed;
mod value;
pub mod verify;
pub mod washing;

pub use adjust::{
    Adjust, AdjustQuestion, DevelopedQuestion, DevelopedTable, Got, NoTime, TimesTable,
};
pub use bath_today::{BathToday, KeptBath};
pub use bench::{Bench, BenchQuestion, NightBench, NightBenchQuestion};
pub use calibrate::{CalibrateQuestion, Calibrated, Calibration};
pub use compare::{PairingsCompared, PairingsQuestion, StripsCompared};
pub use convert::{ConvertQuestion, Converted};
pub use curve::Curves;
pub use description::{
    Block, Column, Description, Field, Gather, Key, Need, Note, NoteKind, Row, Section, Table,
};
pub use drift::{Drift, DriftQuestion};
pub use evenness::EvennessReport;
pub use exposure::{Exposure, ExposureQuestion};
pub use fixing::{Fixing, FixingQuestion};
pub use frame::{EvenFrame, NegativeRead};
pub use leader::{LeaderQuestion, LeaderTest};
#[cfg(feature = "files")]
pub use list::Listing;
pub use one_strip::{FirstStrip, OneStripQuestion, OneStripToday};
pub use paper::Papers;
pub use paper_aim::PaperAim;
pub use proof::{Proof, ProofQuestion, TimeFrom};
pub use read::{PictureRead, ReadQuestion};
pub use session::{SessionQuestion, SessionSheet};
pub use start::{Laid, Started};
pub use tone::{DevelopedFor, ToneQuestion, ToneReproduction};
pub use typed::{AboutStrip, NotTaken, OutOfLine, Typed, TypedSheet, TypedStrip};
pub use value::{Amount, Form, Value};
pub use verify::{Verifications, VerifyQuestion};
pub use washing::{Wash, WashQuestion, WashedBy};

/// What answers a question.
pub trait Answer {
    /// All that is known, as data.
    fn describe(&self) -> Description;

    /// Whether the answer is a no: out of spec, not reachable, spent.
    fn is_no(&self) -> bool {
        false
    }
}
