//! Why there is no sheet.

use crate::session::plan::PlanError;

/// Why there is no sheet.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SessionError {
    /// The plan cannot be used.
    #[error(transparent)]
    Plan(#[from] PlanError),
    /// The bath cannot be used.
    #[error("{0}")]
    Bath(String),
    /// All is well with the plan, and the answer is no.
    #[error("{0}")]
    No(String),
}
