//! The command line: one file per command. Text and JSON go to stdout, diagnostics to stderr.

mod adjust;
mod aims;
mod args;
mod bath;
mod bench;
mod calibrate;
mod compare;
#[cfg(feature = "cli")]
mod completions;
mod convert;
mod curve;
mod drift;
mod evenness;
mod exposure;
mod fix;
mod here;
mod hint;
mod inputs;
mod leader;
mod list;
#[cfg(feature = "cli")]
mod man;
#[cfg(not(feature = "pictures"))]
mod no_pictures;
mod options;
mod paper;
#[cfg_attr(not(feature = "cli"), path = "no_progress.rs")]
mod progress;
mod proof;
#[cfg(feature = "pictures")]
mod read;
mod report;
#[cfg(feature = "cli")]
mod schema;
mod session;
mod start;
mod tone;
mod trace;
mod typing;
mod verify;
mod wash;
mod way;

use crate::answers::{Answer, Description};
use crate::figures::Chart;
use crate::figures::draw::Scene;
use crate::show::{json, piece, text};
use crate::words::visible;
use std::fmt::Display;
use std::io::{ErrorKind, Write};
use std::process::ExitCode;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicBool, Ordering};

/// How a command ended, as an exit status.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Outcome {
    /// 0: done.
    Done,
    /// 1: done, and the answer is no.
    No,
    /// 2: wrong usage or unusable input.
    Unusable,
}

/// The exit status of a program that was told to end.
#[cfg(all(feature = "cli", not(target_family = "wasm")))]
const INTERRUPTED: i32 = 130;

/// Whether notes and hints are left out.
static QUIET: AtomicBool = AtomicBool::new(false);

/// What stops a command: a message for the user.
struct Failure(String);

impl<E: Display> From<E> for Failure {
    fn from(error: E) -> Self {
        Self(error.to_string())
    }
}

/// Whether a page asks, which shows the answer as a piece of itself.
static PIECE: OnceLock<bool> = OnceLock::new();

/// Whether figures are for a narrow screen.
static NARROW: OnceLock<bool> = OnceLock::new();

/// Parses the command line, runs the command, and gives its exit status.
#[must_use]
pub fn run() -> ExitCode {
    // Where a handler cannot be set, a file that is half made may stay.
    #[cfg(all(feature = "cli", not(target_family = "wasm")))]
    let _ = ctrlc::set_handler(|| {
        progress::clear();
        crate::files::end(INTERRUPTED)
    });
    let args = args::Args::read();
    QUIET.store(args.quiet, Ordering::Relaxed);
    let _ = PIECE.set(args.with_html);
    let _ = NARROW.set(args.narrow);
    let outcome = match args.command {
        args::Command::Type(args) => typing::run(&args),
        args::Command::Curve(args) => curve::run(&args),
        args::Command::Exposure(args) => exposure::run(&args),
        args::Command::Calibrate(args) => calibrate::run(&args),
        args::Command::Adjust(args) => adjust::run(&args),
        args::Command::Compare(args) => compare::run(&args),
        args::Command::Convert(args) => convert::run(&args),
        args::Command::Drift(args) => drift::run(&args),
        args::Command::Bench(args) => bench::run(&args),
        args::Command::Verify(args) => verify::run(&args),
        args::Command::Leader(args) => leader::run(&args),
        args::Command::Bath(args) => bath::run(&args),
        #[cfg(feature = "pictures")]
        args::Command::Read(args) => read::run(&args),
        #[cfg(not(feature = "pictures"))]
        args::Command::Read(args) => no_pictures::run(&args),
        args::Command::Evenness(args) => evenness::run(&args),
        args::Command::Paper(args) => paper::run(&args),
        args::Command::Proof(args) => proof::run(&args),
        args::Command::Tone(args) => tone::run(&args),
        args::Command::Report(args) => report::run(&args),
        args::Command::Session(args) => session::run(&args),
        args::Command::Trace(args) => trace::run(&args),
        args::Command::Fix(args) => fix::run(&args),
        args::Command::Wash(args) => wash::run(&args),
        #[cfg(feature = "cli")]
        args::Command::Schema(args) => schema::run(&args),
        #[cfg(feature = "cli")]
        args::Command::Completions(args) => completions::run(&args),
        #[cfg(feature = "cli")]
        args::Command::Man(args) => man::run(&args),
        args::Command::Start(args) => start::run(&args),
        args::Command::List(args) => list::run(&args),
    };
    here::tell();
    match outcome {
        Ok(Outcome::Done) => ExitCode::SUCCESS,
        Ok(Outcome::No) => ExitCode::from(1),
        Ok(Outcome::Unusable) => ExitCode::from(2),
        Err(Failure(message)) => {
            complain(message);
            ExitCode::from(2)
        }
    }
}

/// Writes a message to stderr; a closed stderr is no reason to stop.
fn complain(message: impl Display) {
    let message = message.to_string();
    progress::suspended(|| {
        let _ = writeln!(std::io::stderr(), "wedgebook: {}", visible(&message));
    });
}

/// Writes a note or a hint to stderr: what can be left out, because the answer stands without it.
fn remark(message: impl Display) {
    if !is_quiet() {
        complain(message);
    }
}

/// Whether notes and hints are left out.
fn is_quiet() -> bool {
    QUIET.load(Ordering::Relaxed)
}

/// Writes `text` to stdout; a reader that has seen enough ends the command quietly.
fn print(text: &str) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => Err(error.into()),
        _ => Ok(()),
    }
}

/// The width of the terminal. Where there is none, that of the variable COLUMNS, or else 80.
fn width() -> usize {
    let stated = || std::env::var("COLUMNS").ok()?.parse().ok().filter(|columns| *columns > 0);
    match terminal_size::terminal_size() {
        Some((terminal_size::Width(columns), _)) => columns.into(),
        None => stated().unwrap_or(text::WIDTH),
    }
}

/// The JSON document with the answer as a piece of a page beside its keys.
fn with_piece(description: &Description, on_page: &Description) -> String {
    let mut document = json::value(description);
    document["html"] = piece::render(on_page).into();
    format!("{document}\n")
}

/// Whether a page asks: it has fields and buttons, and no options.
fn asked_by_page() -> bool {
    PIECE.get() == Some(&true)
}

/// A figure as it is drawn.
fn scene(figure: Chart) -> Scene {
    if NARROW.get() == Some(&true) { figure.narrowed().scene() } else { figure.scene() }
}

/// Prints an answer as text, or as one JSON document; the outcome says whether the answer is a no.
fn show(answer: &impl Answer, as_json: bool) -> Result<Outcome, Failure> {
    here::tell();
    let description = hint::described(answer);
    print(&match as_json {
        true if asked_by_page() => with_piece(&description, &answer.describe()),
        true => json::render(&description),
        false => text::render(&description, width()),
    })?;
    Ok(if answer.is_no() { Outcome::No } else { Outcome::Done })
}
