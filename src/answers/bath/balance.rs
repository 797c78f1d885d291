//! What went into a bath and what went through it.

use crate::answers::{Gather, Section, Value};
use crate::bath::journal::Balance;
use crate::words::{amount, counted, trimmed};
use jiff::civil::Date;

/// What a bath is on a date, on one line: `5 litres, 107 films and 5.992 m² so far, 182 days old`.
#[must_use]
pub fn in_words(balance: &Balance, on: Date) -> String {
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
            format!("{}, {} so far, {age}", amount(balance.litres, 3, "litre"), films(balance))
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

/// The same as an object of its own; people read [`in_words`] instead.
pub(super) fn section(balance: &Balance, on: Date) -> Section {
    let mut section = Section::default().keyed("balance");
    let number = |v: f64| Value::plain(v, 4);
    section.data("mixed", balance.mixed);
    section.data("discarded", balance.discarded);
    section.data("age_days", balance.age_days(balance.discarded.unwrap_or(on)));
    section.data("mixed_litres", number(balance.mixed_litres));
    section.data("litres", number(balance.litres));
    section.data("films", balance.films);
    section.data("film_entries_without_number", balance.uncounted);
    section.data("area_m2", number(balance.area_m2));
    section.data("added_ml", number(balance.added_ml));
    section.data("removed_ml", number(balance.removed_ml));
    section.data("strips", balance.strips);
    section.data("leaders", balance.leaders);
    section.data("celsius_low", balance.celsius.map(|c| number(c.0)));
    section.data("celsius_high", balance.celsius.map(|c| number(c.1)));
    section
}
