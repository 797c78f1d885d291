//! What text, page and JSON of a session say alike.

use super::Told;
use crate::bath::journal::Act;
use crate::cli::inputs::quantity;
use crate::session::{ActivitySource, Mixture, Sheet};
use crate::words::{duration, trimmed};

/// When something comes: a time of day where the session has one, else from its beginning.
pub fn moment(sheet: &Sheet, seconds: u64) -> String {
    let all = seconds + 60 * u64::from(sheet.start.unwrap_or(0));
    let (hours, minutes, seconds) = (all / 3600, all / 60 % 60, all % 60);
    match sheet.start {
        Some(_) if hours >= 24 => {
            format!("{}:{minutes:02}:{seconds:02} +{} d", hours % 24, hours / 24)
        }
        _ => format!("{hours}:{minutes:02}:{seconds:02}"),
    }
}

/// What the times of a timetable count from.
pub const fn clock_words(sheet: &Sheet) -> &'static str {
    match sheet.start {
        Some(_) => "times of day",
        None => "times from the beginning",
    }
}

/// The aim, as "contrast index 0.615, for a scene of 7 stops".
pub fn aim(sheet: &Sheet) -> String {
    let d = &sheet.developing;
    let what = d.aim.as_ref().map_or(String::new(), |a| format!(", for {a}"));
    format!("{} {:.3}{what}", d.measure.name(), d.contrast)
}

/// The activity with where it comes from.
pub fn activity(sheet: &Sheet) -> String {
    let known = &sheet.developing.activity;
    let value = match known.interval {
        Some((low, high)) => format!("{:.3} ({low:.3} to {high:.3})", known.value),
        None => trimmed(known.value, 3),
    };
    let from = match &known.source {
        ActivitySource::Plan => "as the plan has it".to_owned(),
        ActivitySource::Strip { name, date, area_since_m2, followed, .. } => {
            let by = if *followed { "followed from" } else { "by" };
            let since = match *area_since_m2 {
                0.0 => "no film since".to_owned(),
                area => format!("{} m² of film since", trimmed(area, 4)),
            };
            // Strips are often named by their day.
            match name.contains(&date.to_string()) {
                true => format!("{by} strip {name}, {since}"),
                false => format!("{by} strip {name} of {date}, {since}"),
            }
        }
        ActivitySource::Estimate(words) => words.clone(),
        ActivitySource::Assumed => "assumed".to_owned(),
    };
    format!("{value}, {from}")
}

/// The time of development.
pub fn develop(sheet: &Sheet) -> String {
    let d = &sheet.developing;
    let q = &d.minutes;
    let clock = duration(d.seconds.into());
    format!("{clock} ({:.2} min, {:.2} to {:.2})", q.value, q.low, q.high)
}

/// The exposure index.
pub fn exposure_index(sheet: &Sheet) -> Option<String> {
    let index = sheet.developing.exposure_index.as_ref()?;
    Some(quantity(index, 0))
}

/// What the developer carries, and the session's share of it.
pub fn usage(sheet: &Sheet) -> String {
    let u = &sheet.usage;
    let assumed = if u.capacity.assumed { " (assumed)" } else { "" };
    let mut words = format!(
        "{} m² are {} of the {} m² that {} litres develop, at {} m² a litre{assumed}",
        trimmed(u.session_m2, 4),
        percent(u.share()),
        trimmed(u.capacity_m2, 3),
        trimmed(u.litres, 3),
        trimmed(u.capacity.m2_per_litre, 3),
    );
    if u.bath.is_some() {
        words.push_str(&format!(
            "; before it {} m² that nothing has made good, {}",
            trimmed(u.before_m2, 4),
            percent(u.before_m2 / u.capacity_m2)
        ));
    }
    words
}

/// A share as "37 %".
pub fn percent(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}

/// Stock and water of a mixture, as "1+6: 286 ml and 1714 ml of water".
pub fn parts(mixture: &Mixture) -> String {
    let Some((dilution, stock, water)) = &mixture.parts else {
        return "as it is".to_owned();
    };
    let warm = mixture.water_celsius.map_or(String::new(), |c| format!(" at {c:.1} °C"));
    format!("{dilution}: {} ml of stock, {} ml of water{warm}", volume(*stock), volume(*water))
}

/// A volume that can be measured: whole millilitres, below a hundred in tenths.
pub fn volume(ml: f64) -> String {
    trimmed(ml, if ml < 100.0 { 1 } else { 0 })
}

/// What goes with fixing.
pub fn fixing(sheet: &Sheet) -> String {
    let f = &sheet.fixing;
    let mut words = format!("clears in {} s", trimmed(f.test.seconds, 1));
    if let (Some(fresh), Some(slowed)) = (f.test.fresh_seconds, f.test.slowed()) {
        words.push_str(&format!(
            ", {slowed:.2} times as long as when fresh ({} s); {} is spent ({})",
            trimmed(fresh, 1),
            crate::session::fixing::SPENT,
            crate::session::fixing::SOURCE
        ));
    } else {
        words.push_str("; whether it is spent cannot be told without fresh_clearing_seconds");
    }
    words
}

/// Fresh fixer, and how far it carries.
pub fn fresh_fixer(sheet: &Sheet) -> String {
    let f = &sheet.fixing;
    let carried = f.rolls_carried.map_or(String::new(), |rolls| {
        format!("; what is in hand carries {} rolls of 135-36", trimmed(rolls.floor(), 0))
    });
    let rate = &f.ml_per_roll;
    let from = if rate.assumed { "common practice, no source" } else { "as the plan has it" };
    format!(
        "{} ml for this session, {} ml a roll of 135-36 by area ({from}){carried}",
        volume(f.replenish_ml),
        trimmed(rate.value, 1)
    )
}

/// The remark that goes with a batch's entries.
pub fn remark(told: &Told<'_>, batch: usize) -> String {
    let (title, count) = (&told.sheet.title, told.sheet.batches.len());
    format!("{title}, batch {} of {count}", batch + 1)
}

/// All entries in their order, each with the batch that it belongs to.
pub fn entries<'a>(told: &'a Told<'_>) -> impl Iterator<Item = (usize, &'a Act)> + 'a {
    let batches = told.sheet.batches.iter().enumerate();
    batches.flat_map(|(n, batch)| batch.entries.iter().map(move |act| (n, act)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn volumes_can_be_measured() {
        assert_eq!([14.285, 285.714, 2000.0].map(volume), ["14.3", "286", "2000"]);
    }
}
