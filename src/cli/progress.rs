//! What is seen of work that lasts: a line on the terminal from the second second on.
//!
//! It goes to stderr, where that is a terminal. It is not shown with --quiet, and not with --json into a
//! pipe or a file, where a program waits for the answer.

use super::is_quiet;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::IsTerminal;
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::sync::{Mutex, PoisonError};
use std::thread::JoinHandle;
use std::time::Duration;

/// Work that ends sooner shows nothing.
const SHOWN_AFTER: Duration = Duration::from_secs(1);
/// How often the line is drawn again.
const REDRAWN: Duration = Duration::from_millis(200);

/// The line that is shown now.
static SHOWN: Mutex<Option<ProgressBar>> = Mutex::new(None);

/// Work under way. The line goes when it is dropped.
pub struct Work(Option<Watched>);

struct Watched {
    bar: ProgressBar,
    /// Dropped when the work is done.
    done: Option<Sender<()>>,
    clock: Option<JoinHandle<()>>,
}

/// Begins work that is called `what`, in so many parts where they are counted; `json` says that the
/// answer is for a program.
pub fn begin(what: String, parts: Option<usize>, json: bool) -> Work {
    let to_program = json && !std::io::stdout().is_terminal();
    if is_quiet() || to_program || !std::io::stderr().is_terminal() {
        return Work(None);
    }
    let bar = ProgressBar::with_draw_target(
        parts.map(|parts| parts as u64),
        ProgressDrawTarget::hidden(),
    );
    let template = match parts {
        Some(_) => "{msg} {wide_bar} {pos} of {len}, {elapsed}",
        None => "{msg}, {elapsed}",
    };
    if let Ok(style) = ProgressStyle::with_template(template) {
        bar.set_style(style.progress_chars("=> "));
    }
    bar.set_message(what);
    let (done, ended) = channel::<()>();
    let shown = bar.clone();
    let clock = std::thread::spawn(move || {
        if ended.recv_timeout(SHOWN_AFTER) == Err(RecvTimeoutError::Timeout) {
            *SHOWN.lock().unwrap_or_else(PoisonError::into_inner) = Some(shown.clone());
            shown.set_draw_target(ProgressDrawTarget::stderr());
            shown.enable_steady_tick(REDRAWN);
        }
    });
    Work(Some(Watched { bar, done: Some(done), clock: Some(clock) }))
}

impl Work {
    /// So many parts are done.
    pub fn did(&self, parts: usize) {
        if let Work(Some(watched)) = self {
            watched.bar.inc(parts as u64);
        }
    }
}

impl Drop for Watched {
    fn drop(&mut self) {
        self.done.take();
        // The clock may be about to show the line.
        if let Some(clock) = self.clock.take() {
            let _ = clock.join();
        }
        clear();
    }
}

/// Takes the line away, so that the terminal is as it was.
pub fn clear() {
    if let Some(bar) = SHOWN.lock().unwrap_or_else(PoisonError::into_inner).take() {
        bar.finish_and_clear();
    }
}

/// Writes something else to the terminal, without the line in between.
pub fn suspended(write: impl FnOnce()) {
    let bar = SHOWN.lock().unwrap_or_else(PoisonError::into_inner).clone();
    match bar {
        Some(bar) => bar.suspend(write),
        None => write(),
    }
}
