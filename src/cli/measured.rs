//! Measures in JSON: a number with its interval, or null with the reason among the notes.

use crate::measures::Measured;
use serde_json::{Value, json};

/// Notes that grow by the reasons of what is missing.
pub struct Noted {
    pub notes: Vec<String>,
}

impl Noted {
    pub fn new(notes: Vec<String>) -> Self {
        Self { notes }
    }

    /// A measure as JSON; `None` has no reason of its own.
    pub fn value<W: std::fmt::Display>(
        &mut self,
        name: &str,
        measured: Option<&Measured<W>>,
    ) -> Value {
        match measured {
            Some(Ok(quantity)) => json!(quantity),
            Some(Err(why)) => {
                self.notes.push(format!("{name}: {why}"));
                Value::Null
            }
            None => Value::Null,
        }
    }
}
