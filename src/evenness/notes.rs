//! What should be known beside the numbers: every note, with its numbers, worded here.

use super::analysis::{FEWEST_PLACES, FrameEvenness};
use super::geometry::{FrameSize, Geometry};
use super::print::{Printing, Transition};
use super::{Evenness, Pattern};
use crate::words::{list_and, number};
use std::fmt;

/// Below this density film is hardly exposed.
const HARDLY_EXPOSED: f64 = 0.25;
/// Frames smaller than this in both directions were perhaps not measured in millimetres.
const SMALL_MM: f64 = 6.0;

/// What should be known beside the numbers.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EvennessNote {
    /// Repeats contradict the standard uncertainty that was given.
    #[error(
        "repeats scatter {ratio:.1} times as much as the standard uncertainty given; the repeats are used"
    )]
    RepeatsContradict {
        /// Standard deviation of the repeats over what was given.
        ratio: f64,
    },
    /// Nobody gave the standard uncertainty of readings.
    #[error(
        "a standard uncertainty of 0.010 is assumed for each reading; repeated readings of each place determine it"
    )]
    SigmaAssumed,
    /// The size of the frame is assumed.
    #[error("a frame of 36 × 24 mm is assumed (135 film)")]
    FrameAssumed,
    /// The size of the frame is not known.
    #[error(
        "the size of the frame is not known: \"over the frame\" is over the {length:.1} × {width:.1} mm that were read"
    )]
    FrameAsRead {
        /// Along the film, in mm.
        length: f64,
        /// Across it, in mm.
        width: f64,
    },
    /// Frames with too few places.
    #[error("fewer than {FEWEST_PLACES} places were read of frame {}: nothing follows from them", list_and(.frames))]
    FewPlaces {
        /// Their names.
        frames: Vec<String>,
    },
    /// All places lie very near one another.
    #[error(
        "all places lie within {length:.1} × {width:.1} mm: check that x_mm and y_mm are millimetres on the film"
    )]
    Small {
        /// Along the film, in mm.
        length: f64,
        /// Across it, in mm.
        width: f64,
    },
    /// Frames with little density.
    #[error(
        "hardly exposed, where uneven development shows little: frame {}; expose to a density of about 0.8",
        list_and(.frames)
    )]
    HardlyExposed {
        /// Their names.
        frames: Vec<String>,
    },
    /// What would be seen in a print and lies within the intervals.
    #[error(
        "the readings do not exclude this, which would be seen in a print: {}; read more places",
        .possible.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
    )]
    NotExcluded {
        /// What, and how large it can be in the print.
        possible: Vec<Possible>,
    },
}

/// What the readings do not exclude.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Possible {
    /// A gradient, or edges unlike the middle.
    pub what: &'static str,
    /// The most that it can be in the print.
    pub in_print: f64,
}

impl fmt::Display for Possible {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} (up to {} in the print)", self.what, number(self.in_print, 2))
    }
}

impl Evenness {
    /// What the readings are too few or too noisy to exclude, though it would be seen in a print.
    #[must_use]
    pub fn not_excluded(&self, printing: &Printing) -> Option<EvennessNote> {
        if self.uneven() {
            return None;
        }
        let pattern: &Pattern = match &self.together {
            Some(together) => &together.pattern,
            None => &self.frames.first()?.pattern,
        };
        let possible: Vec<Possible> = [
            ("a gradient along", &pattern.along, Transition::Gradual),
            ("a gradient across", &pattern.across, Transition::Gradual),
            ("long edges unlike the middle", &pattern.long_edges.both, Transition::Edge),
            ("sides unlike the middle", &pattern.sides.both, Transition::Edge),
        ]
        .into_iter()
        .filter_map(|(what, measured, transition)| {
            let q = measured.as_ref().ok()?;
            let most = q.low.abs().max(q.high.abs()) * printing.slope();
            (most >= printing.threshold(transition)).then_some(Possible { what, in_print: most })
        })
        .collect();
        (!possible.is_empty()).then_some(EvennessNote::NotExcluded { possible })
    }
}

/// Notes on the frames as they were read.
pub(super) fn notes(
    frames: &[FrameEvenness],
    geometry: &Geometry,
    sigma_is_assumed: bool,
) -> Vec<EvennessNote> {
    let mut notes = Vec::new();
    notes.extend(sigma_is_assumed.then_some(EvennessNote::SigmaAssumed));
    match geometry.size {
        FrameSize::Assumed135 => notes.push(EvennessNote::FrameAssumed),
        FrameSize::AsRead => notes
            .push(EvennessNote::FrameAsRead { length: geometry.length(), width: geometry.width() }),
        FrameSize::Given => {}
    }
    let named = |of: &dyn Fn(&FrameEvenness) -> bool| -> Vec<String> {
        frames.iter().filter(|f| of(f)).map(|f| f.name.clone()).collect()
    };
    let few = named(&|f| f.places.len() < FEWEST_PLACES);
    if !few.is_empty() {
        notes.push(EvennessNote::FewPlaces { frames: few });
    }
    let small = |(low, high): (f64, f64)| high - low < SMALL_MM;
    if small(geometry.read_along) && small(geometry.read_across) {
        notes.push(EvennessNote::Small {
            length: geometry.read_along.1 - geometry.read_along.0,
            width: geometry.read_across.1 - geometry.read_across.0,
        });
    }
    let thin = named(&|f| f.pattern.mean.as_ref().is_ok_and(|m| m.value < HARDLY_EXPOSED));
    if !thin.is_empty() {
        notes.push(EvennessNote::HardlyExposed { frames: thin });
    }
    notes
}
