//! How a bath stands, in words and as JSON.

use crate::bath::journal::Balance;
use jiff::civil::Date;
use serde_json::{Value, json};

/// A number to at most so many decimals, without zeros at its end.
pub fn number(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    }
}

fn plural(count: impl Into<i128>, noun: &str) -> String {
    let count = count.into();
    format!("{count} {noun}{}", if count == 1 { "" } else { "s" })
}

/// How the bath stands on a date, on one line.
pub fn standing(balance: &Balance, on: Date) -> String {
    let Some(age) = balance.age_days(on) else {
        return "nothing mixed yet".to_owned();
    };
    match balance.discarded {
        Some(day) => {
            let age = balance.age_days(day).unwrap_or(age);
            format!("discarded on {day}, {} old, after {}", plural(age, "day"), films(balance))
        }
        None => {
            let age = match age {
                0 => "mixed today".to_owned(),
                days => format!("{} old", plural(days, "day")),
            };
            let litres = number(balance.litres, 3);
            format!("{litres} litres, {} so far, {age}", films(balance))
        }
    }
}

fn films(balance: &Balance) -> String {
    if balance.area_m2 == 0.0 {
        return "no film".to_owned();
    }
    let counted = match (balance.films, balance.uncounted) {
        (0, _) => String::new(),
        (films, 0) => format!("{} and ", plural(films, "film")),
        (films, _) => format!("{} and more, ", plural(films, "film")),
    };
    format!("{counted}{} m²", number(balance.area_m2, 4))
}

/// How the bath stands on a date, as JSON.
pub fn json(balance: &Balance, on: Date) -> Value {
    let date = |date: Option<Date>| date.map(|d| d.to_string());
    json!({
        "mixed": date(balance.mixed),
        "discarded": date(balance.discarded),
        "age_days": balance.age_days(balance.discarded.unwrap_or(on)),
        "mixed_litres": balance.mixed_litres,
        "litres": balance.litres,
        "films": balance.films,
        "film_entries_without_number": balance.uncounted,
        "area_m2": balance.area_m2,
        "added_ml": balance.added_ml,
        "removed_ml": balance.removed_ml,
        "strips": balance.strips,
        "celsius_low": balance.celsius.map(|c| c.0),
        "celsius_high": balance.celsius.map(|c| c.1),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_no_zeros_at_their_end() {
        assert_eq!(number(1.5, 3), "1.5");
        assert_eq!(number(100.0, 0), "100");
        assert_eq!(number(0.0004, 3), "0");
        assert_eq!(number(0.168, 3), "0.168");
    }
}
