//! The options that help where the library says what is needed: messages below the command line name
//! none.

use super::{Failure, complain};
use crate::answers::{Answer, Description, Need};
use crate::readings::{Note, ReadError, ReadErrors};

/// Faults of files, each with the option that helps.
pub fn faults(errors: &ReadErrors) -> Failure {
    Failure(errors.lines(|fault| match fault {
        ReadError::ReversedTablet { already_reversed: true, .. } => Some("leave out --reversed"),
        ReadError::ReversedTablet { .. } | ReadError::Transmittances { certain: false, .. } => {
            Some("--reversed takes them in the opposite order")
        }
        ReadError::Fahrenheit { .. } => Some("--fahrenheit takes the whole column as °F"),
        _ => None,
    }))
}

/// Tells what the reader of files noticed.
pub fn notes<'n>(notes: impl IntoIterator<Item = &'n Note>) {
    for note in notes {
        match note {
            Note::RelativeToClear { .. } => {
                complain(format_args!("note: {note}; give it with --log-exposure-clear"));
            }
            note => complain(format_args!("note: {note}")),
        }
    }
}

/// What an answer says, with the options that state what it assumes or lacks.
pub fn described(answer: &impl Answer) -> Description {
    let mut description = answer.describe();
    description.complete_notes(&mut |note| {
        if let Some(need) = note.need.take() {
            note.words.push_str(&format!("; state it with {}", option(need)));
        }
    });
    description
}

/// The option that states something.
const fn option(need: Need) -> &'static str {
    match need {
        Need::FreshClearingTime => "--fresh-s",
        Need::FixingFactor => "--factor",
        Need::DensitySigma => "--density-sigma",
        Need::FrameSize => "--frame-mm",
        Need::Pitch => "--pitch-mm",
    }
}
