//! The developer and its temperature.

use super::{MINUTES, ML, Text, agitation, path};
use crate::session::plan::section::Section;
use crate::session::plan::{Developer, Outside, Placed, PlanError, Source, Temperature};
use crate::units::{Activity, Capacity};

/// Temperatures at which developers are at home, in °C (common practice, no source).
const USUAL: (f64, f64) = (18.0, 24.0);

pub(super) fn developer(text: Text<'_>, root: &Section<'_>) -> Result<Developer, PlanError> {
    root.one_of(["bath", "one_shot"])?;
    let (section, kept) = match (root.section("bath")?, root.section("one_shot")?) {
        (Some(bath), _) => (bath, true),
        (None, Some(once)) => (once, false),
        (None, None) => {
            return Err(root.fault(
                "bath",
                "is missing; name the developer in a section [bath] with its journal, or [one_shot] with its dilution",
            ));
        }
    };
    let missing = |key, what| section.fault(key, format!("is missing; write {what}"));
    let source = if kept {
        section.only(&[
            "journal",
            "activity",
            "capacity_m2_per_litre",
            "replenish_ml_per_roll",
            "agitation",
        ])?;
        Source::Bath {
            journal: path(text, &section, "journal", "bath.csv")?
                .ok_or_else(|| missing("journal", "the journal of the bath, a CSV file"))?,
            replenish_ml_per_roll: section.number("replenish_ml_per_roll", ML, "90")?,
        }
    } else {
        section.only(&[
            "dilution",
            "stock_celsius",
            "activity",
            "capacity_m2_per_litre",
            "agitation",
        ])?;
        Source::OneShot {
            dilution: section
                .parsed("dilution", "1+6")?
                .ok_or_else(|| missing("dilution", "parts of stock and of water, as \"1+6\""))?,
            stock_celsius: section.celsius("stock_celsius")?,
        }
    };
    Ok(Developer {
        source,
        capacity_m2_per_litre: section.number("capacity_m2_per_litre", Capacity::BOUNDS, "0.5")?,
        activity: section.number("activity", Activity::BOUNDS, "0.95")?,
        agitation: agitation(&section)?,
        line: section.line("journal"),
    })
}

pub(super) fn temperature(section: &Section<'_>) -> Result<Temperature, PlanError> {
    let of_wait = ["earlier_celsius", "minutes_apart", "surroundings_celsius"];
    section
        .only(&["celsius", "lowest", "highest", "outside", of_wait[0], of_wait[1], of_wait[2]])?;
    let missing = |key, why| section.fault(key, format!("is missing; {why}"));
    let celsius = section
        .celsius("celsius")?
        .ok_or_else(|| missing("celsius", "what does the thermometer in the developer say?"))?;
    let (lowest, highest) = (section.celsius("lowest")?, section.celsius("highest")?);
    let assumed = lowest.is_none() || highest.is_none();
    let lowest = lowest.map_or(USUAL.0, |c| c.get());
    let highest = highest.map_or(USUAL.1, |c| c.get());
    if lowest >= highest {
        let key = if section.has("lowest") { "lowest" } else { "highest" };
        return Err(section.fault(
            key,
            format!(
                "the lowest temperature, {lowest} °C, must lie below the highest, {highest} °C"
            ),
        ));
    }
    let waits = section.choice("outside", &[("time", false), ("wait", true)])?;
    let outside = if waits.unwrap_or(false) {
        const WHY: &str = "to tell how long to wait it takes an earlier reading, the minutes between the two, and the temperature of the room or the water bath";
        Outside::Wait {
            earlier: section.celsius(of_wait[0])?.ok_or_else(|| missing(of_wait[0], WHY))?,
            minutes_apart: section
                .number(of_wait[1], MINUTES, "10")?
                .ok_or_else(|| missing(of_wait[1], WHY))?,
            surroundings: section.celsius(of_wait[2])?.ok_or_else(|| missing(of_wait[2], WHY))?,
        }
    } else {
        if let Some(key) = of_wait.into_iter().find(|key| section.has(key)) {
            return Err(
                section.fault(key, "is only for outside = \"wait\"; write that, or leave it out")
            );
        }
        Outside::Time
    };
    Ok(Temperature {
        celsius: Placed { value: celsius, line: section.line("celsius") },
        lowest,
        highest,
        assumed,
        outside,
    })
}
