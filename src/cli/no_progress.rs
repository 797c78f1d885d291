//! Work under way where there is no terminal: nothing is shown.

/// Work under way.
pub struct Work;

/// Begins work.
pub fn begin(_what: String, _parts: Option<usize>, _json: bool) -> Work {
    Work
}

impl Work {
    /// So many parts are done.
    pub fn did(&self, _parts: usize) {}
}

/// Writes something.
pub fn suspended(write: impl FnOnce()) {
    write();
}
