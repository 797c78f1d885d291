//! What helps where the library says what is needed: messages below the command line name no options.

use super::way::Way;
use super::{Failure, Outcome, asked_by_page, complain, remark, show};
use crate::answers::calibrate::NotCalibrated;
use crate::answers::standing::NotGiven;
use crate::answers::verify::NotVerified;
use crate::answers::{Answer, Description, Need, NoTime};
use crate::bath::journal::{CellError, Fault, Journal, JournalError, JournalNote};
use crate::bath::materials::OfAnotherFamily;
use crate::bath::standing::{Standing, State};
use crate::bath::verify::VerifyError;
use crate::development::Unreachable;
use crate::development::materials::{Mixed, OfAnother};
use crate::evenness::FRAME_135;
#[cfg(feature = "pictures")]
use crate::picture::{PictureError, Refusal};
use crate::readings::{Note, ReadError, ReadErrors};
use crate::session::{NoSession, PlanError, SessionError};
use crate::units::FrameSize;
use std::path::Path;

/// Faults of files, each with the option that helps.
pub fn faults(errors: &ReadErrors) -> Failure {
    Failure(errors.lines(|fault| match fault {
        ReadError::ReversedTablet { already_reversed: true, .. } => {
            (!asked_by_page()).then_some("leave out --reversed")
        }
        ReadError::ReversedTablet { .. } | ReadError::Transmittances { certain: false, .. } => {
            Some(Way::Reversed.words())
        }
        ReadError::Fahrenheit { .. } => Some(Way::Fahrenheit.words()),
        _ => None,
    }))
}

/// Prints what the reader of files noticed.
pub fn notes<'n>(notes: impl IntoIterator<Item = &'n Note>) {
    for note in notes {
        match note {
            Note::RelativeToClear { .. } => {
                remark(format_args!("note: {note}; {}", Way::Exposure.words()));
            }
            note => remark(format_args!("note: {note}")),
        }
    }
}

/// Prints what was noticed in a journal. What is most likely a slip of the hand is not left out.
pub fn journal_notes(journal: &Journal) {
    for note in &journal.notes {
        match journal.doubts.contains(note) {
            true => complain(format_args!("note: {note}")),
            false => remark(format_args!("note: {note}")),
        }
    }
}

/// Prints the option that gives more. A page has a button for it.
fn offer(option: &str) {
    if !asked_by_page() {
        remark(option);
    }
}

/// Prints how a time is calculated that is not given.
pub fn no_time(why: &NoTime, extrapolated: bool) {
    match why {
        NoTime::Withheld(why) => anyway(&why.0),
        NoTime::Unreachable(
            Unreachable::Temperature { .. }
            | Unreachable::Contrast { .. }
            | Unreachable::Time { .. },
        ) if !extrapolated => {
            offer("use --extrapolate to calculate further outside");
        }
        NoTime::Unreachable(_) | NoTime::NoIndex | NoTime::OneStrip => {}
    }
}

/// Shows the answer for a bath that is not to be used, and how it is calculated.
pub fn withheld(answer: &NotGiven, json: bool) -> Result<Outcome, Failure> {
    let outcome = show(answer, json)?;
    anyway(&answer.why.0);
    Ok(outcome)
}

/// Why a picture cannot be read, with the option that helps.
#[cfg(feature = "pictures")]
pub fn no_picture(why: &PictureError) -> Failure {
    match why {
        PictureError::Refused { why: Refusal::NoEncoding, .. } => {
            Failure(format!("{why}: --linear"))
        }
        _ => Failure(why.to_string()),
    }
}

/// A path as a shell takes it.
fn quoted(path: &Path) -> String {
    let path = path.display().to_string();
    if path.contains(char::is_whitespace) { format!("\"{path}\"") } else { path }
}

/// What the grid of a frame in a picture is for.
pub fn for_evenness(grid: &Path, size: Option<FrameSize>) {
    // The size that is assumed for 135 film need not be given.
    let given = size.filter(|FrameSize { length, width }| (*length, *width) != FRAME_135);
    let frame = given.map_or(String::new(), |FrameSize { length, width }| {
        format!(" --frame-mm {length}x{width}")
    });
    complain(format_args!("next: wedgebook evenness {}{frame}", quoted(grid)));
}

/// What the printing densities of a negative are for.
pub fn for_proof(negative: &Path, base_plus_fog: Option<f64>) {
    complain(format_args!(
        "next: wedgebook proof --negative {} --paper PAPER.csv",
        quoted(negative)
    ));
    if let Some(base) = base_plus_fog {
        complain(format_args!(
            "the time of its contact proof: wedgebook proof --paper PAPER.csv --setting NAME --paper-s S --base-plus-fog {base:.2}"
        ));
    }
}

/// What a session without a sheet ends with. For a bath that is not to be used, `answer` says so, and
/// `page` writes it where a page is wanted.
pub fn without_sheet(
    why: SessionError,
    json: bool,
    answer: impl FnOnce(Standing) -> NotGiven,
    page: impl FnOnce(&NotGiven) -> Result<(), Failure>,
) -> Result<Outcome, Failure> {
    match why {
        SessionError::No(NoSession::Withheld(standing)) => {
            let answer = answer(standing);
            page(&answer)?;
            withheld(&answer, json)
        }
        SessionError::No(why) => {
            no_session(&why);
            Ok(Outcome::No)
        }
        why => Err(no_sheet(&why)),
    }
}

/// Prints how an answer is calculated for a bath that is not to be used. For one that was thrown away
/// none is.
pub fn anyway(standing: &Standing) {
    if standing.state == State::DoNotUse {
        offer("use --anyway to calculate all the same");
    }
}

/// Why there is no pairing; `out` is where it would go.
pub fn not_calibrated(out: &Path, why: &NotCalibrated) -> Failure {
    match why {
        NotCalibrated::OfAnother(_) => Failure(format!(
            "{}: {why}; write to another file, or {}",
            out.display(),
            Way::Replace.words()
        )),
        NotCalibrated::Mixed(Mixed::Several { .. }) if asked_by_page() => Failure(format!(
            "{why}; choose the strips of one, or give the pairing a name of your own"
        )),
        NotCalibrated::Mixed(Mixed::Several { what, .. }) => Failure(format!(
            "{why}; --{} NAME takes the strips of one, and --name NAME takes all under a name of your own",
            what.name()
        )),
        _ => Failure(why.to_string()),
    }
}

/// Why a control strip is not verified.
pub fn not_verified(why: &NotVerified) -> Failure {
    match why.why {
        VerifyError::RelativeStrip => Failure(format!("{why}: {}", Way::Exposure.words())),
        VerifyError::OfAnother(_) => Failure(format!("{why}; {}", Way::Anyway.words())),
        _ => Failure(why.to_string()),
    }
}

/// Why a pairing does not go with a bath.
pub fn of_another(why: &OfAnother) -> Failure {
    Failure(format!("{why}; {}", Way::Anyway.words()))
}

/// Why a leader family does not go with a bath.
pub fn another_family(why: &OfAnotherFamily) -> Failure {
    Failure(format!("{why}; {}", Way::Anyway.words()))
}

/// Why a bath is not calculated with what its journal has.
pub fn doubtful(doubt: &JournalNote) -> Failure {
    Failure(format!("{doubt}; correct it in the journal, or {}", Way::Anyway.words()))
}

/// Why a journal is not read, with the command that begins one where that helps.
pub fn no_journal(error: &JournalError) -> Failure {
    match error {
        JournalError::Missing { file } | JournalError::Empty { file } => {
            Failure(format!("{error}: {}", begun(file)))
        }
        JournalError::Faults(faults) => match faults.0.iter().find_map(entering) {
            Some((link, way)) => Failure(format!("{error}{link}{}", way.words())),
            None => Failure(error.to_string()),
        },
        _ => Failure(error.to_string()),
    }
}

/// Why the entries of a session are not made.
pub fn not_entered(error: &JournalError) -> Failure {
    let repeated = |f: &Fault| matches!(f.what, CellError::Repeated { .. });
    match error {
        JournalError::Faults(faults) if faults.0.iter().any(repeated) => {
            Failure(format!("{error}; {}", Way::Again.words()))
        }
        _ => Failure(error.to_string()),
    }
}

/// How a journal is begun.
fn begun(file: &str) -> String {
    if asked_by_page() {
        "mix the bath first".to_owned()
    } else {
        format!("wedgebook bath mix {file} --litres N")
    }
}

/// How an entry can be made that is refused, and what stands between that and the reason.
fn entering(fault: &Fault) -> Option<(&'static str, Way)> {
    match fault.what {
        _ if fault.line.is_some() => None,
        CellError::OutOfOrder { .. } => Some((", or ", Way::Late)),
        CellError::Unlikely(_) => Some((", or ", Way::Sure)),
        CellError::Repeated { .. } => Some(("; ", Way::Again)),
        _ => None,
    }
}

/// What an answer says, with the options that state what it assumes or lacks.
pub fn described(answer: &impl Answer) -> Description {
    let mut description = answer.describe();
    description.complete_notes(&mut |note| {
        if let Some(need) = note.need.take() {
            note.words.push_str("; ");
            note.words.push_str(option(need));
        }
    });
    description
}

/// The option that states something.
const fn option(need: Need) -> &'static str {
    match need {
        Need::FreshClearingTime => "state it with --fresh-s",
        Need::FixingFactor => "state it with --factor",
        Need::DensitySigma => "state it with --density-sigma",
        Need::FrameSize => "state it with --frame-mm",
        Need::Pitch => "state it with --pitch-mm",
        Need::GoodFilms => "name them with --good",
        Need::Entering => "--enter makes these entries",
    }
}

/// What is wrong with a plan, and where a plan with every key is to be had.
pub fn no_plan(why: &PlanError) -> Failure {
    Failure(match why {
        PlanError::Unreadable { .. } => {
            format!("{why}; name a plan, or begin one with: wedgebook session --example")
        }
        PlanError::Missing { .. } => format!("{why}; see wedgebook session --example"),
        PlanError::Faulty { .. } => why.to_string(),
    })
}

/// Why a plan cannot be used with its bath.
fn no_sheet(why: &SessionError) -> Failure {
    match why {
        SessionError::Plan(why) => no_plan(why),
        SessionError::Bath { journal, .. } => Failure(format!("{why}: {}", begun(journal))),
        SessionError::OfAnother(why) => of_another(why),
        SessionError::No(_) => Failure(why.to_string()),
    }
}

/// Prints why the answer to a plan is no, and how it is calculated all the same.
fn no_session(why: &NoSession) {
    complain(why);
    if let NoSession::Unreachable(Unreachable::Temperature { .. } | Unreachable::Contrast { .. }) =
        why
    {
        offer("use --extrapolate to calculate further outside");
    }
}
