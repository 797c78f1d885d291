//! A table of the plan, whose values are asked for by name and told of by line.

use super::PlanError;
use crate::words::{did_you_mean, shown};
use std::path::Path;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// The text of a plan.
#[derive(Clone, Copy)]
pub(crate) struct Source<'a> {
    pub path: &'a Path,
    pub text: &'a str,
}

impl Source<'_> {
    pub fn line(&self, at: usize) -> usize {
        let before = &self.text.as_bytes()[..at.min(self.text.len())];
        before.iter().filter(|b| **b == b'\n').count() + 1
    }

    pub fn fault(&self, at: usize, message: impl Into<String>) -> PlanError {
        PlanError::Faulty {
            path: self.path.to_owned(),
            line: self.line(at),
            message: message.into(),
        }
    }
}

/// A value with its line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed<T> {
    /// The value.
    pub value: T,
    /// Its line in the plan, from 1.
    pub line: usize,
}

/// One table.
#[derive(Clone, Copy)]
pub(crate) struct Section<'a> {
    source: Source<'a>,
    /// Its name, as `[bath]` has it; empty for the plan itself.
    name: &'a str,
    pub(super) table: &'a DeTable<'a>,
    /// Where it begins.
    at: usize,
}

pub(crate) type Found<T> = Result<Option<T>, PlanError>;

impl<'a> Section<'a> {
    pub fn root(source: Source<'a>, table: &'a Spanned<DeTable<'a>>) -> Self {
        Self { source, name: "", table: table.get_ref(), at: 0 }
    }

    /// A key as a message names it.
    fn called(&self, key: &str) -> String {
        // A key in quotation marks may hold anything.
        let key = key.replace(char::is_control, " ");
        match self.name {
            "" => key,
            name => format!("{name}.{key}"),
        }
    }

    pub(super) fn value(&self, key: &str) -> Option<&'a Spanned<DeValue<'a>>> {
        self.table.get(key)
    }

    /// Whether the key stands there.
    pub fn has(&self, key: &str) -> bool {
        self.value(key).is_some()
    }

    /// The line of a key, or that of the section.
    pub fn line(&self, key: &str) -> usize {
        let at = self.table.get_key_value(key).map(|(k, _)| k.span().start);
        self.source.line(at.unwrap_or(self.at))
    }

    /// A fault at a key, or of the whole section if it has no such key.
    pub fn fault(&self, key: &str, message: impl std::fmt::Display) -> PlanError {
        let at = self.table.get_key_value(key).map(|(k, _)| k.span().start);
        let called = self.called(key);
        self.source.fault(at.unwrap_or(self.at), format!("{called}: {message}"))
    }

    /// A key that must be there is not.
    pub fn missing(&self, key: &str) -> PlanError {
        PlanError::Missing {
            path: self.source.path.to_owned(),
            line: self.line(key),
            key: self.called(key),
        }
    }

    pub(super) fn other_kind(&self, key: &str, found: &DeValue<'_>, wanted: &str) -> PlanError {
        let found = match found {
            DeValue::String(text) => format!("the text {}", shown(text)),
            DeValue::Boolean(flag) => format!("{flag}"),
            DeValue::Integer(n) => format!("the number {}", n.as_str()),
            DeValue::Float(n) => format!("the number {}", n.as_str()),
            DeValue::Datetime(date) => format!("the date {date}"),
            DeValue::Array(_) => "a list".to_owned(),
            DeValue::Table(_) => "a table".to_owned(),
        };
        self.fault(key, format!("{found} cannot stand here; write {wanted}"))
    }

    /// Refuses every key that is not among those known.
    pub fn only(&self, known: &[&'static str]) -> Result<(), PlanError> {
        let unknown = self.table.keys().filter(|k| !known.contains(&k.get_ref().as_ref()));
        let Some(first) = unknown.min_by_key(|k| k.span().start) else {
            return Ok(());
        };
        let found = first.get_ref().as_ref();
        let advice = match did_you_mean(found, known.iter().copied()) {
            Some(near) => format!("did you mean {near}?"),
            None => format!("the keys here are {}", known.join(", ")),
        };
        let place = match self.name {
            "" => "a plan".to_owned(),
            name => format!("[{name}]"),
        };
        let message = format!("{place} has no key {}; {advice}", shown(found));
        Err(self.source.fault(first.span().start, message))
    }

    /// At most one of these keys, for they say the same thing in different ways.
    pub fn one_of(&self, keys: [&str; 2]) -> Result<(), PlanError> {
        if keys.iter().all(|key| self.has(key)) {
            let [first, second] = keys;
            let both = format!("contradicts {}: keep one of the two", self.called(first));
            return Err(self.fault(second, both));
        }
        Ok(())
    }

    pub fn section(&self, key: &'a str) -> Found<Section<'a>> {
        let Some(value) = self.value(key) else {
            return Ok(None);
        };
        let DeValue::Table(table) = value.get_ref() else {
            return Err(self.other_kind(key, value.get_ref(), &format!("a section [{key}]")));
        };
        let at = self.table.get_key_value(key).map(|(k, _)| k.span().start);
        Ok(Some(Section { source: self.source, name: key, table, at: at.unwrap_or(self.at) }))
    }

    /// The tables of a list, as `[[film]]` begins them.
    pub fn sections(&self, key: &'a str) -> Result<Vec<Section<'a>>, PlanError> {
        let Some(value) = self.value(key) else {
            return Ok(Vec::new());
        };
        let wanted = format!("each as a section [[{key}]]");
        let DeValue::Array(list) = value.get_ref() else {
            return Err(self.other_kind(key, value.get_ref(), &wanted));
        };
        let one = |item: &'a Spanned<DeValue<'a>>| match item.get_ref() {
            DeValue::Table(table) => {
                Ok(Section { source: self.source, name: key, table, at: item.span().start })
            }
            other => Err(self.other_kind(key, other, &wanted)),
        };
        list.iter().map(one).collect()
    }
}
