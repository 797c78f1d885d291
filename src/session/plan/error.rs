//! What is wrong with a plan, and where.

use std::path::PathBuf;

/// Why a plan cannot be used.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum PlanError {
    /// It cannot be opened.
    #[error("{}: {reason}; name a plan, or begin one with: wedgebook session --example", .path.display())]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// Why not.
        reason: String,
    },
    /// Something in it cannot be.
    #[error("{}:{line}: {message}", .path.display())]
    Faulty {
        /// The file.
        path: PathBuf,
        /// The line, from 1.
        line: usize,
        /// What was found, and what to do.
        message: String,
    },
}
