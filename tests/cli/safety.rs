//! Nothing of the user's is lost: outputs, dates and numbers that are refused, and files that stay as
//! they are.

mod calibrate_again;
mod dates;
mod journal_doubts;
mod journal_forgives;
mod materials;
mod outputs;
mod text_that_acts;
mod workbooks;

use crate::desk::Desk;

/// Runs a command that is refused: exit status 2, this message, nothing on stdout, and every file on the
/// desk as before.
#[track_caller]
fn refused(desk: &Desk, args: &[&str], message: &str) {
    let before = desk.all();
    let (status, out, err) = desk.run(args);
    assert_eq!(err, format!("wedgebook: {message}\n"), "{args:?}");
    assert_eq!((status, out.as_str()), (2, ""), "{args:?}: {err}");
    assert_eq!(desk.all(), before, "{args:?}");
}
