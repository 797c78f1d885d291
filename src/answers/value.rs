//! What a field or a cell holds, with all that a face needs to write it.

use crate::measures::{Quantity, StandardSpeed};
use crate::words::{decimals_for, duration, number, rounded_clock, signed, trimmed};
use std::borrow::Cow;

/// What a field or a cell holds.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// Nothing: `null` in JSON, its reason among the notes.
    Missing,
    /// Nothing to say here: an empty cell for people, left out of JSON.
    Empty,
    /// Yes or no.
    Flag(bool),
    /// A whole number.
    Count(i64),
    /// A number, with or without its interval.
    Amount(Amount),
    /// A name or a remark.
    Text(String),
    /// One of a few possibilities: a code for programs and words for people.
    Term {
        /// snake_case, for programs.
        code: Cow<'static, str>,
        /// For people.
        words: String,
    },
    /// One value for programs, and words that say it to people.
    Worded(Box<Value>, String),
    /// Several of the same kind.
    List(Vec<Value>),
    /// Several with names.
    Map(Vec<(Cow<'static, str>, Value)>),
}

/// A number with all that is needed to write it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Amount {
    /// The number, to full precision.
    pub value: f64,
    /// Its interval.
    pub interval: Option<(f64, f64)>,
    /// How it is written.
    pub form: Form,
    /// What it is counted in: `" min"`, with the space before it.
    pub unit: &'static str,
}

/// How a number is written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Form {
    /// With as many decimals as its interval deserves.
    Auto,
    /// With this many decimals.
    Decimals(usize),
    /// With at most this many decimals, none that are zero at its end.
    Plain(usize),
    /// With a sign in any case, and as many decimals as its interval deserves.
    Signed,
    /// With a sign in any case, and this many decimals.
    SignedDecimals(usize),
    /// Minutes of a development as a clock shows them: to 5 s, from 10 minutes on to 15 s.
    Clock,
    /// Seconds as a clock shows them.
    ClockOfSeconds,
    /// With this many decimals, and in place of the interval its larger half, rounded up: `0.608 ±0.030`.
    PlusMinus(usize),
    /// A share of 1 in per cent, with this many decimals.
    Percent(usize),
}

impl Amount {
    /// The number alone, with its unit where it has no interval.
    #[must_use]
    pub fn written(&self) -> String {
        let unit = if self.interval.is_some() { "" } else { self.unit };
        format!("{}{unit}", self.one(self.value))
    }

    /// The interval in brackets, with the unit.
    #[must_use]
    pub fn interval_written(&self) -> Option<String> {
        let (low, high) = self.interval?;
        if let Form::PlusMinus(decimals) = self.form {
            let unit = 10_f64.powi(-(decimals as i32));
            let half = (high - self.value).max(self.value - low);
            // A little above a whole number of units is that many: a number such as 0.011 is not exact.
            let half = (half / unit - 1e-6).ceil() * unit;
            return Some(format!("±{}{}", number(half, decimals), self.unit));
        }
        Some(format!("({} to {}){}", self.one(low), self.one(high), self.unit))
    }

    /// Number and interval: `0.784 (0.773 to 0.794)`.
    #[must_use]
    pub fn in_full(&self) -> String {
        match self.interval_written() {
            Some(interval) => format!("{} {interval}", self.written()),
            None => self.written(),
        }
    }

    fn one(&self, value: f64) -> String {
        match self.form {
            Form::Auto => number(value, self.decimals()),
            Form::Decimals(decimals) | Form::PlusMinus(decimals) => number(value, decimals),
            Form::Plain(decimals) => trimmed(value, decimals),
            Form::Signed => signed(value, self.decimals()),
            Form::SignedDecimals(decimals) => signed(value, decimals),
            Form::Clock => rounded_clock(value),
            Form::ClockOfSeconds => duration(value.max(0.0).round() as u64),
            Form::Percent(decimals) => format!("{} %", number(100.0 * value, decimals)),
        }
    }

    fn decimals(&self) -> usize {
        self.interval.map_or(3, |(low, high)| decimals_for(0.5 * (high - low)))
    }
}

impl Value {
    /// A number without interval, with a fixed count of decimals.
    #[must_use]
    pub const fn number(value: f64, decimals: usize) -> Self {
        Self::in_form(value, Form::Decimals(decimals))
    }

    /// A number without interval, with at most so many decimals.
    #[must_use]
    pub const fn plain(value: f64, decimals: usize) -> Self {
        Self::in_form(value, Form::Plain(decimals))
    }

    /// A number without interval.
    #[must_use]
    pub const fn in_form(value: f64, form: Form) -> Self {
        Self::Amount(Amount { value, interval: None, form, unit: "" })
    }

    /// A number with its interval; decimals follow it.
    #[must_use]
    pub const fn quantity(q: &Quantity) -> Self {
        Self::quantity_as(q, Form::Auto)
    }

    /// A number with its interval, in a form.
    #[must_use]
    pub const fn quantity_as(q: &Quantity, form: Form) -> Self {
        Self::Amount(Amount { value: q.value, interval: Some((q.low, q.high)), form, unit: "" })
    }

    /// A deviation with its interval.
    #[must_use]
    pub const fn deviation(q: &Quantity) -> Self {
        Self::quantity_as(q, Form::Signed)
    }

    /// A number with its interval; decimals follow it.
    #[must_use]
    pub const fn in_form_with(value: f64, interval: (f64, f64)) -> Self {
        Self::Amount(Amount { value, interval: Some(interval), form: Form::Decimals(3), unit: "" })
    }

    /// Minutes of a development, as a clock shows them.
    #[must_use]
    pub const fn time(q: &Quantity) -> Self {
        Self::quantity_as(q, Form::Clock)
    }

    /// The same number with a unit, which is written with the space that stands before it.
    #[must_use]
    pub fn unit(self, unit: &'static str) -> Self {
        match self {
            Self::Amount(amount) => Self::Amount(Amount { unit, ..amount }),
            other => other,
        }
    }

    /// One of a few possibilities.
    #[must_use]
    pub fn term(code: impl Into<Cow<'static, str>>, words: impl Into<String>) -> Self {
        Self::Term { code: code.into(), words: words.into() }
    }

    /// The value for programs, and words that say it to people.
    #[must_use]
    pub fn worded(self, words: impl Into<String>) -> Self {
        Self::Worded(Box::new(self), words.into())
    }

    /// The fields of a section, as one value.
    #[must_use]
    pub fn of_section(section: &super::Section) -> Self {
        let field = |block: &super::Block| match block {
            super::Block::Field(f) => Some((f.key.clone(), f.value.clone())),
            super::Block::Data { key, value } => Some((key.clone(), value.clone())),
            _ => None,
        };
        Self::Map(section.blocks.iter().filter_map(field).collect())
    }

    /// A value, or nothing.
    #[must_use]
    pub fn or_missing<T: Into<Self>>(value: Option<T>) -> Self {
        value.map_or(Self::Missing, Into::into)
    }

    /// Whether people see it flush right, as numbers stand in a column.
    #[must_use]
    pub const fn is_number(&self) -> bool {
        matches!(self, Self::Amount(_) | Self::Count(_))
    }

    /// Whether people see it flush right in a column: a number, or a time, which is a number in words of
    /// its own.
    #[must_use]
    pub fn stands_as_number(&self) -> bool {
        // A mark may stand before it.
        let is_time = |words: &str| {
            let words = words.trim_start_matches("* ");
            words.contains(':') && words.chars().all(|c| c.is_ascii_digit() || c == ':')
        };
        match self {
            Self::Worded(value, words) => value.is_number() && is_time(words),
            other => other.is_number(),
        }
    }

    /// Whether there is nothing in it for people to see.
    #[must_use]
    pub fn is_blank(&self) -> bool {
        matches!(self, Self::Empty) || matches!(self, Self::Worded(_, words) if words.is_empty())
    }

    /// What people read.
    #[must_use]
    pub fn for_people(&self) -> String {
        match self {
            Self::Missing => "none".to_owned(),
            Self::Empty => String::new(),
            Self::Flag(flag) => if *flag { "yes" } else { "no" }.to_owned(),
            Self::Count(count) => count.to_string(),
            Self::Amount(amount) => amount.in_full(),
            Self::Text(text) => text.clone(),
            Self::Term { words, .. } | Self::Worded(_, words) => words.clone(),
            Self::List(values) if values.is_empty() => "none".to_owned(),
            Self::List(values) => {
                values.iter().map(Self::for_people).collect::<Vec<_>>().join(", ")
            }
            Self::Map(entries) => {
                let one = |(name, value): &(Cow<'static, str>, Self)| {
                    format!("{} {}", name.replace('_', " "), value.for_people())
                };
                entries.iter().map(one).collect::<Vec<_>>().join(", ")
            }
        }
    }
}

impl From<bool> for Value {
    fn from(flag: bool) -> Self {
        Self::Flag(flag)
    }
}

impl From<&str> for Value {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<String> for Value {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<u32> for Value {
    fn from(count: u32) -> Self {
        Self::Count(i64::from(count))
    }
}

impl From<i32> for Value {
    fn from(count: i32) -> Self {
        Self::Count(i64::from(count))
    }
}

impl From<i64> for Value {
    fn from(count: i64) -> Self {
        Self::Count(count)
    }
}

impl From<u64> for Value {
    fn from(count: u64) -> Self {
        Self::Count(i64::try_from(count).unwrap_or(i64::MAX))
    }
}

impl From<usize> for Value {
    fn from(count: usize) -> Self {
        Self::Count(i64::try_from(count).unwrap_or(i64::MAX))
    }
}

impl From<&Quantity> for Value {
    fn from(q: &Quantity) -> Self {
        Self::quantity(q)
    }
}

impl From<StandardSpeed> for Value {
    fn from(speed: StandardSpeed) -> Self {
        match speed.arithmetic {
            whole if whole.fract() == 0.0 => Self::Count(whole as i64),
            slow => Self::plain(slow, 2),
        }
    }
}

impl<T: Into<Value>> From<Option<T>> for Value {
    fn from(value: Option<T>) -> Self {
        Self::or_missing(value)
    }
}

impl From<jiff::civil::Date> for Value {
    fn from(date: jiff::civil::Date) -> Self {
        Self::Text(date.to_string())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_written_with_their_interval() {
        let q = Quantity { value: 0.7837, low: 0.7731, high: 0.7943 };
        assert_eq!(Value::quantity(&q).for_people(), "0.784 (0.773 to 0.794)");
        assert_eq!(Value::deviation(&q).for_people(), "+0.784 (+0.773 to +0.794)");
        let q = Quantity { value: 11.49, low: 11.34, high: 11.64 };
        assert_eq!(Value::time(&q).for_people(), "11:30 (11:15 to 11:45)");
        assert_eq!(Value::number(20.0, 1).unit(" °C").for_people(), "20.0 °C");
        let q = Quantity { value: 64.0, low: 55.2, high: 76.1 };
        assert_eq!(Value::quantity(&q).unit(" ml").for_people(), "64 (55 to 76) ml");
    }
}
