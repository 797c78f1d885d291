//! How a bath stands, in words and as JSON.

use crate::bath::journal::Balance;
use crate::words::{counted, trimmed};
use jiff::civil::Date;
use serde_json::{Value, json};

/// How the bath stands on a date, on one line.
pub fn standing(balance: &Balance, on: Date) -> String {
    let Some(age) = balance.age_days(on) else {
        return "nothing mixed yet".to_owned();
    };
    match balance.discarded {
        Some(day) => {
            let age = balance.age_days(day).unwrap_or(age);
            format!("discarded on {day}, {} old, after {}", counted(age, "day"), films(balance))
        }
        None => {
            let age = match age {
                0 => "mixed today".to_owned(),
                days => format!("{} old", counted(days, "day")),
            };
            let litres = trimmed(balance.litres, 3);
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
        (films, 0) => format!("{} and ", counted(films, "film")),
        (films, _) => format!("{} and more, ", counted(films, "film")),
    };
    format!("{counted}{} m²", trimmed(balance.area_m2, 4))
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
