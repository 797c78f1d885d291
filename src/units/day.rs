//! Days as people write them: 2026-06-11, 11.06.2026, 12 June 2026, 10/03/2026.

use jiff::civil::Date;
use std::fmt;

/// The months by their English names.
const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

/// Which number comes first where only numbers and strokes are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Order {
    /// Day, month, year.
    DayFirst,
    /// Month, day, year.
    MonthFirst,
}

/// How a day is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum DayForm {
    /// 2026-06-11 (ISO 8601).
    #[default]
    Iso,
    /// 11.06.2026.
    Points,
    /// 11 June 2026.
    Words,
    /// 11/06/2026 or 06/11/2026.
    Strokes(Order),
}

/// Why a text is not a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotADay {
    /// It is not written as a day, or there is no such day.
    #[error("is not a date; write year-month-day, as 2026-03-04")]
    Form,
    /// It is not clear which is the day and which is the month.
    #[error("is {} or {}, and nothing shows which; write year-month-day, as {}", DayForm::Words.write(*.day_first), DayForm::Words.write(*.month_first), day_first)]
    Ambiguous {
        /// With the day first.
        day_first: Date,
        /// With the month first.
        month_first: Date,
    },
}

/// The day that `text` names, and how it is written: `2026-06-11`, `11.06.2026` (day, month, year),
/// `12 June 2026`, `12 Jun 2026` or `June 12, 2026`. Where only numbers and strokes are written, as
/// `10/03/2026`, a number above 12 is the day; if there is none, `order` says which it is.
///
/// # Errors
/// [`NotADay`].
///
/// # Example
/// ```
/// use jiff::civil::date;
/// use wedgebook::units::day::{DayForm, NotADay, Order, day};
///
/// assert_eq!(day("11.06.2026", None), Ok((date(2026, 6, 11), DayForm::Points)));
/// assert_eq!(day("12 June 2026", None), Ok((date(2026, 6, 12), DayForm::Words)));
/// assert!(matches!(day("10/03/2026", None), Err(NotADay::Ambiguous { .. })));
/// assert_eq!(day("10/03/2026", Some(Order::DayFirst)).map(|d| d.0), Ok(date(2026, 3, 10)));
/// ```
pub fn day(text: &str, order: Option<Order>) -> Result<(Date, DayForm), NotADay> {
    let text = text.trim();
    let of = |[y, m, d]: [&str; 3]| date(y, m, d).ok_or(NotADay::Form);
    if let Some(parts @ [year, month, day]) = split(text, '-')
        && [year.len(), month.len(), day.len()] == [4, 2, 2]
    {
        return of(parts).map(|date| (date, DayForm::Iso));
    }
    if let Some([day, month, year]) = split(text, '.') {
        return of([year, month, day]).map(|date| (date, DayForm::Points));
    }
    if let Some([first, second, year]) = split(text, '/') {
        let day_first = date(year, second, first);
        let month_first = date(year, first, second);
        return match (day_first, month_first) {
            (Some(date), None) => Ok((date, DayForm::Strokes(Order::DayFirst))),
            (None, Some(date)) => Ok((date, DayForm::Strokes(Order::MonthFirst))),
            (Some(one), Some(other)) if one == other => {
                Ok((one, DayForm::Strokes(order.unwrap_or(Order::DayFirst))))
            }
            (Some(one), Some(other)) => match order {
                Some(Order::DayFirst) => Ok((one, DayForm::Strokes(Order::DayFirst))),
                Some(Order::MonthFirst) => Ok((other, DayForm::Strokes(Order::MonthFirst))),
                None => Err(NotADay::Ambiguous { day_first: one, month_first: other }),
            },
            (None, None) => Err(NotADay::Form),
        };
    }
    in_words(text).map(|date| (date, DayForm::Words)).ok_or(NotADay::Form)
}

/// Which number comes first in the days of one file, by those of them that can be only one day. `None`
/// where none decides, or where they contradict each other.
#[must_use]
pub fn order<'t>(texts: impl IntoIterator<Item = &'t str>) -> Option<Order> {
    let mut found = None;
    for text in texts {
        let Ok((date, DayForm::Strokes(order))) = day(text, None) else { continue };
        // 05/05/2026 is the same day either way.
        if date.day() == date.month() {
            continue;
        }
        match found {
            None => found = Some(order),
            Some(other) if other != order => return None,
            Some(_) => {}
        }
    }
    found
}

/// Three parts of digits.
fn split(text: &str, separator: char) -> Option<[&str; 3]> {
    let mut parts = text.split(separator).map(str::trim);
    let parts = [parts.next()?, parts.next()?, parts.next().filter(|_| parts.next().is_none())?];
    let digits = |part: &&str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    parts.iter().all(digits).then_some(parts)
}

/// A year of four digits, a month and a day of one or two.
fn date(year: &str, month: &str, day: &str) -> Option<Date> {
    let short = |part: &str| (1..=2).contains(&part.len()).then(|| part.parse().ok()).flatten();
    let year = (year.len() == 4).then(|| year.parse().ok()).flatten()?;
    Date::new(year, short(month)?, short(day)?).ok()
}

/// `12 June 2026`, `12. Jun. 2026` or `June 12, 2026`.
fn in_words(text: &str) -> Option<Date> {
    let mut parts = text.split([' ', ',', '\u{A0}']).filter(|part| !part.is_empty());
    let parts = [parts.next()?, parts.next()?, parts.next().filter(|_| parts.next().is_none())?];
    let [first, second, year] = parts.map(|part| part.trim_end_matches('.'));
    let month = |name: &str| {
        let name = name.to_lowercase();
        let index =
            MONTHS.iter().position(|m| *m == name || name.len() == 3 && m.starts_with(&name));
        index.or_else(|| (name == "sept").then_some(8)).map(|index| (index + 1).to_string())
    };
    match (month(first), month(second)) {
        (Some(month), None) => date(year, &month, second),
        (None, Some(month)) => date(year, &month, first),
        _ => None,
    }
}

impl DayForm {
    /// The day in this form.
    #[must_use]
    pub fn write(self, date: Date) -> String {
        let (y, m, d) = (date.year(), date.month(), date.day());
        match self {
            Self::Iso => format!("{y:04}-{m:02}-{d:02}"),
            Self::Points => format!("{d:02}.{m:02}.{y:04}"),
            Self::Words => {
                let month = MONTHS[usize::try_from(m - 1).unwrap_or(0)];
                format!("{d} {}{} {y:04}", month[..1].to_uppercase(), &month[1..])
            }
            Self::Strokes(Order::DayFirst) => format!("{d:02}/{m:02}/{y:04}"),
            Self::Strokes(Order::MonthFirst) => format!("{m:02}/{d:02}/{y:04}"),
        }
    }
}

impl fmt::Display for Order {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::DayFirst => "day first",
            Self::MonthFirst => "month first",
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_as_people_write_them() {
        let june = Date::new(2026, 6, 12).unwrap();
        for (text, form) in [
            ("2026-06-12", DayForm::Iso),
            ("12.06.2026", DayForm::Points),
            ("12.6.2026", DayForm::Points),
            ("12 June 2026", DayForm::Words),
            ("12. Jun 2026", DayForm::Words),
            ("June 12, 2026", DayForm::Words),
            ("12 jun. 2026", DayForm::Words),
            (" 12\u{A0}June 2026 ", DayForm::Words),
        ] {
            assert_eq!(day(text, None), Ok((june, form)), "{text}");
            assert_eq!(day(&form.write(june), None), Ok((june, form)));
        }
        for bad in [
            "2026-3-4",
            "04.03.26",
            "2026-02-30",
            "20260304",
            "2026-03-04T10",
            "",
            "+026-03-04",
            "31/02/2026",
            "13/13/2026",
            "4 Mai 2026",
            "4 March",
            "spring",
            "04-03-2026",
            "2026.03.04",
            "10/03/26",
            "4 5 2026",
            "June July 2026",
            "12 June 2026 noon",
        ] {
            assert_eq!(day(bad, None), Err(NotADay::Form), "{bad}");
        }
    }

    #[test]
    fn strokes_need_a_day_that_decides() {
        let march = Date::new(2026, 3, 10).unwrap();
        let october = Date::new(2026, 10, 3).unwrap();
        let text = "10/03/2026";
        let doubt = NotADay::Ambiguous { day_first: march, month_first: october };
        assert_eq!(day(text, None), Err(doubt));
        assert_eq!(
            doubt.to_string(),
            "is 10 March 2026 or 3 October 2026, and nothing shows which; write year-month-day, as 2026-03-10"
        );
        assert_eq!(order([text, "05/05/2026"]), None);
        assert_eq!(order([text, "13/03/2026"]), Some(Order::DayFirst));
        assert_eq!(order([text, "03/13/2026", "x"]), Some(Order::MonthFirst));
        assert_eq!(order(["13/03/2026", "03/13/2026"]), None);
        assert_eq!(day(text, Some(Order::MonthFirst)).unwrap().0, october);
        // The same day either way is no riddle.
        assert!(day("05/05/2026", None).is_ok());
    }
}
