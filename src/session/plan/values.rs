//! The values of a table: numbers, words, temperatures, formats.

use super::PlanError;
use super::section::{Found, Section};
use crate::bath::film::Format;
use crate::units::typed::{TemperatureUnit, degrees_and_unit, number};
use crate::units::{Bounds, Celsius, OutOfBounds};
use crate::words::{did_you_mean, shown};
use toml::Spanned;
use toml::de::DeValue;

impl<'a> Section<'a> {
    /// A number within bounds, of which `example` is one.
    pub fn number(&self, key: &str, bounds: Bounds, example: &str) -> Found<f64> {
        let Some(value) = self.value(key) else {
            return Ok(None);
        };
        let text = match value.get_ref() {
            DeValue::Integer(n) if n.radix() == 10 => n.as_str(),
            DeValue::Float(n) => n.as_str(),
            other => {
                return Err(self.other_kind(
                    key,
                    other,
                    &format!("{}, as {example}", bounds.quantity),
                ));
            }
        };
        let found: f64 = text.replace('_', "").parse().unwrap_or(f64::NAN);
        if bounds.contains(found) {
            return Ok(Some(found));
        }
        Err(self.fault(key, OutOfBounds { found, bounds }))
    }

    /// A whole number from 1 to `most`.
    pub fn count(&self, key: &str, most: u32) -> Found<u32> {
        let Some(value) = self.value(key) else {
            return Ok(None);
        };
        let count = match value.get_ref() {
            DeValue::Integer(n) if n.radix() == 10 => n.as_str().replace('_', "").parse().ok(),
            _ => None,
        };
        match count.filter(|n| (1..=most).contains(n)) {
            Some(count) => Ok(Some(count)),
            None => Err(self.fault(key, format!("write a whole number from 1 to {most}"))),
        }
    }

    /// A text, not empty, on one line.
    pub fn text(&self, key: &str, example: &str) -> Found<&'a str> {
        let Some(value) = self.value(key) else {
            return Ok(None);
        };
        let DeValue::String(text) = value.get_ref() else {
            return Err(self.other_kind(key, value.get_ref(), &format!("a text, as {example:?}")));
        };
        let text = text.trim();
        if text.is_empty() || text.contains(char::is_control) {
            return Err(self.fault(key, format!("write a text on one line, as {example:?}")));
        }
        Ok(Some(text))
    }

    /// A text that stands for something.
    pub fn parsed<T: std::str::FromStr>(&self, key: &str, example: &str) -> Found<T>
    where
        T::Err: std::fmt::Display,
    {
        let text = self.text(key, example)?;
        let parsed = text.map(str::parse).transpose();
        parsed.map_err(|error: T::Err| self.fault(key, error))
    }

    /// One of a few words.
    pub fn choice<T: Copy>(&self, key: &str, choices: &[(&'static str, T)]) -> Found<T> {
        let names: Vec<&'static str> = choices.iter().map(|(name, _)| *name).collect();
        let Some(text) = self.text(key, names[0])? else {
            return Ok(None);
        };
        match choices.iter().find(|(name, _)| *name == text) {
            Some((_, choice)) => Ok(Some(*choice)),
            None => Err(self.fault(
                key,
                format!("{} is none of its words: write {}", shown(text), names.join(" or ")),
            )),
        }
    }

    /// What is typed as one word elsewhere: a number, or a text that stands for one.
    pub fn written<T: std::str::FromStr>(&self, key: &str, example: &str) -> Found<T>
    where
        T::Err: std::fmt::Display,
    {
        let Some(value) = self.value(key) else {
            return Ok(None);
        };
        let text = match value.get_ref() {
            DeValue::Integer(n) if n.radix() == 10 => n.as_str().replace('_', ""),
            DeValue::Float(n) => n.as_str().replace('_', ""),
            DeValue::String(text) => text.trim().to_owned(),
            other => return Err(self.other_kind(key, other, &format!("a number, as {example}"))),
        };
        text.parse().map(Some).map_err(|error: T::Err| self.fault(key, error))
    }

    /// A temperature in °C, or one with its unit, as "70F".
    pub fn celsius(&self, key: &str) -> Found<Celsius> {
        let Some(value) = self.value(key) else {
            return Ok(None);
        };
        const WANTED: &str = "degrees Celsius, as 20.5, or a temperature with its unit, as \"69F\"";
        let (degrees, unit) = match value.get_ref() {
            DeValue::Integer(n) if n.radix() == 10 => (n.as_str(), None),
            DeValue::Float(n) => (n.as_str(), None),
            DeValue::String(text) => degrees_and_unit(text.trim()),
            other => return Err(self.other_kind(key, other, WANTED)),
        };
        let Ok(degrees) = number(&degrees.replace('_', ""), true) else {
            return Err(self.other_kind(key, value.get_ref(), WANTED));
        };
        let celsius = unit.unwrap_or(TemperatureUnit::Celsius).to_celsius(degrees);
        let kept = Celsius::new(celsius).map_err(|bounds| {
            let as_fahrenheit = TemperatureUnit::Fahrenheit.to_celsius(degrees);
            match unit {
                None if Celsius::new(as_fahrenheit).is_ok() => self.fault(
                    key,
                    format!("{degrees} °C is too hot for a bath; if it is {degrees} °F, write \"{degrees}F\""),
                ),
                _ => self.fault(key, bounds),
            }
        });
        kept.map(Some)
    }

    /// The format of film that a key's text names.
    pub fn format(&self, key: &str) -> Found<Format> {
        let text = self.text(key, "135-36")?;
        let parsed = text.map(|text| format_of(text).map_err(|why| self.fault(key, why)));
        parsed.transpose()
    }

    /// The keys of a table of formats, as `holds = { "135-36" = 4 }`, in their order.
    pub fn formats(&self) -> Result<Vec<(&'a str, Format)>, PlanError> {
        let mut keys: Vec<_> = self.table.keys().collect();
        keys.sort_by_key(|k| k.span().start);
        let format = |key: &'a Spanned<std::borrow::Cow<'a, str>>| {
            let name: &'a str = key.get_ref().as_ref();
            let format = format_of(name).map_err(|why| self.fault(name, why))?;
            Ok((name, format))
        };
        keys.into_iter().map(format).collect()
    }
}

/// The format that a text names, or what is wrong with it, with the one that may have been meant.
fn format_of(text: &str) -> Result<Format, String> {
    text.parse::<Format>().map_err(|error| {
        let rolls = Format::ROLLS.map(|roll| roll.to_string());
        match did_you_mean(text, rolls.iter().map(String::as_str)) {
            Some(roll) => {
                format!("{} is not a format of film; did you mean {roll:?}?", shown(text))
            }
            None => error.to_string(),
        }
    })
}
