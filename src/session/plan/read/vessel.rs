//! The tank or tray, and how many films it holds.

use super::{ML, MOST_FILMS};
use crate::bath::film::Format;
use crate::session::limits::{Limits, Room};
use crate::session::plan::section::Section;
use crate::session::plan::{PlanError, Vessel};

pub(super) fn vessel(section: &Section<'_>) -> Result<Vessel, PlanError> {
    section.only(&["kind", "solution_ml", "holds", "on_a_reel", "least_ml"])?;
    let missing = |key| section.missing(key);
    let kinds = [("tank", "tank"), ("tray", "tray")];
    let solution_ml =
        section.number("solution_ml", ML, "1000")?.ok_or_else(|| missing("solution_ml"))?;
    let holds = section.section("holds")?.ok_or_else(|| missing("holds"))?;
    let mut rooms = Vec::new();
    for (name, format) in holds.formats()? {
        let holds = holds.count(name, MOST_FILMS)?.ok_or_else(|| missing("holds"))?;
        rooms.push(Room { format, holds, on_a_reel: 1, least_ml: 0.0 });
    }
    for key in ["on_a_reel", "least_ml"] {
        let Some(table) = section.section(key)? else {
            continue;
        };
        for (name, format) in table.formats()? {
            let room = rooms.iter_mut().find(|room| room.format == format);
            let room =
                room.ok_or_else(|| table.fault(name, "vessel.holds does not name this format"))?;
            match key {
                "on_a_reel" => room.on_a_reel = reel(&table, name, room)?,
                _ => room.least_ml = table.number(name, ML, "250")?.unwrap_or(0.0),
            }
        }
    }
    alike(&mut rooms, Format::Roll135x36, Format::Roll135x24);
    alike(&mut rooms, Format::Roll120, Format::Roll220);
    Ok(Vessel {
        kind: section.choice("kind", &kinds)?.unwrap_or("tank"),
        limits: Limits { rooms, solution_ml, area_m2: f64::INFINITY },
        line: section.line("solution_ml"),
    })
}

/// How many films share a reel.
fn reel(table: &Section<'_>, name: &str, room: &Room) -> Result<u32, PlanError> {
    let count = table.count(name, MOST_FILMS)?.unwrap_or(1);
    if room.format.is_sheet() && count > 1 {
        return Err(table.fault(name, "sheets are not on reels; leave it out"));
    }
    if !room.holds.is_multiple_of(count) {
        let holds = room.holds;
        return Err(table.fault(
            name,
            format!("the vessel holds {holds} of them, which is no whole number of reels of {count}; correct one of the two"),
        ));
    }
    Ok(count)
}

/// A format that fits the reels of another is held as that one (common practice, no source), where
/// nothing is said of it. Two long films never share a reel.
fn alike(rooms: &mut Vec<Room>, known: Format, other: Format) {
    let find = |rooms: &[Room], format| rooms.iter().find(|r| r.format == format).copied();
    let (Some(known), None) = (find(rooms, known), find(rooms, other)) else {
        return;
    };
    let reels = known.holds / known.on_a_reel;
    rooms.push(Room { format: other, holds: reels, on_a_reel: 1, least_ml: known.least_ml });
}
