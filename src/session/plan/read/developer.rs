//! The developer and its temperature.

use super::{MINUTES, ML, Text, agitation, path};
use crate::session::plan::section::Section;
use crate::session::plan::{
    Developer, NamedDeveloper, Outside, Placed, PlanError, Source, Temperature,
};
use crate::units::{Activity, Capacity};
use crate::words::{did_you_mean, shown};
use toml::de::DeValue;

/// Temperatures at which developers are at home, in °C (common practice, no source).
const USUAL: (f64, f64) = (18.0, 24.0);

/// Keys of a developer among several.
const OF_SEVERAL: [&str; 2] = ["name", "celsius"];

/// The developers: one, or several that a list names.
pub(super) fn developers(
    text: Text<'_>,
    root: &Section<'_>,
) -> Result<Vec<NamedDeveloper>, PlanError> {
    let is_list = |key| matches!(root.value(key).map(|v| v.get_ref()), Some(DeValue::Array(_)));
    if !is_list("bath") && !is_list("one_shot") {
        let developer = developer(text, root)?;
        return Ok(vec![NamedDeveloper { name: None, developer, celsius: None }]);
    }
    let mut all: Vec<NamedDeveloper> = Vec::new();
    for (key, kept) in [("bath", true), ("one_shot", false)] {
        let sections = match is_list(key) {
            true => root.sections(key)?,
            false => root.section(key)?.into_iter().collect(),
        };
        for section in sections {
            let celsius = section.celsius("celsius")?;
            let celsius = celsius.map(|value| Placed { value, line: section.line("celsius") });
            let name = section.text("name", "fine")?.map(str::to_owned);
            if let Some(name) = &name
                && all.iter().any(|other| other.name.as_ref() == Some(name))
            {
                return Err(section
                    .fault("name", format!("{} is the name of another developer", shown(name))));
            }
            let developer = one(text, &section, kept, &OF_SEVERAL)?;
            let journal = |of: &Developer| match &of.source {
                Source::Bath { journal, .. } => Some(journal.clone()),
                Source::OneShot { .. } => None,
            };
            let own = journal(&developer);
            if own.is_some() && all.iter().any(|other| journal(&other.developer) == own) {
                return Err(section.fault(
                    "journal",
                    "is that of another developer too; each bath has a journal of its own",
                ));
            }
            all.push(NamedDeveloper { name, developer, celsius });
        }
    }
    if all.is_empty() {
        return Err(
            root.fault("bath", "names no developer; write one section [bath] or [one_shot]")
        );
    }
    if all.len() > 1 && all.iter().any(|developer| developer.name.is_none()) {
        let key = if is_list("bath") { "bath" } else { "one_shot" };
        return Err(root.fault(key, "where there are several developers each needs a name, and each [[film]] names its developer"));
    }
    Ok(all)
}

/// Which of the developers films go into.
pub(super) fn named(
    section: &Section<'_>,
    developers: &[NamedDeveloper],
) -> Result<usize, PlanError> {
    let names: Vec<&str> = developers.iter().filter_map(|d| d.name.as_deref()).collect();
    match section.text("developer", "fine")? {
        None if developers.len() == 1 => Ok(0),
        None => {
            Err(section.fault("developer", format!("is missing; name one of {}", names.join(", "))))
        }
        Some(name) => {
            developers.iter().position(|d| d.name.as_deref() == Some(name)).ok_or_else(|| {
                let advice = match (did_you_mean(name, names.iter().copied()), names.is_empty()) {
                    (Some(near), _) => format!("did you mean {near}?"),
                    (None, true) => {
                        "the plan has one developer, without a name: leave this out".to_owned()
                    }
                    (None, false) => format!("the developers are {}", names.join(", ")),
                };
                section
                    .fault("developer", format!("there is no developer {}; {advice}", shown(name)))
            })
        }
    }
}

fn developer(text: Text<'_>, root: &Section<'_>) -> Result<Developer, PlanError> {
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
    one(text, &section, kept, &[])
}

/// One developer, whose section may have `more` keys.
fn one(
    text: Text<'_>,
    section: &Section<'_>,
    kept: bool,
    more: &[&'static str],
) -> Result<Developer, PlanError> {
    let missing = |key, what| section.fault(key, format!("is missing; write {what}"));
    let source = if kept {
        let own =
            ["journal", "activity", "capacity_m2_per_litre", "replenish_ml_per_roll", "agitation"];
        section.only(&[&own[..], more].concat())?;
        Source::Bath {
            journal: path(text, section, "journal", "bath.csv")?
                .ok_or_else(|| missing("journal", "the journal of the bath, a CSV file"))?,
            replenish_ml_per_roll: section.number("replenish_ml_per_roll", ML, "90")?,
        }
    } else {
        let own = ["dilution", "stock_celsius", "activity", "capacity_m2_per_litre", "agitation"];
        section.only(&[&own[..], more].concat())?;
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
        agitation: agitation(section)?,
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
