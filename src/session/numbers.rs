//! Which film is which: a number for each, and where it lies.

use super::limits::Limits;
use crate::bath::film::{Films, Format};
use crate::bath::journal::Numbered;

/// A film with its number, its place and its format.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlacedFilm {
    /// Its number and where it lies.
    pub film: Numbered,
    /// Its format.
    pub format: Format,
}

/// The films of a batch from the number `first` on, in the order of the formats.
///
/// Rolls in a tank lie on reels, as many on each as the vessel is said to take; reel 1 is the lowest, and
/// place 1 on a reel is next to its core. Sheets, and all film in a tray, have a place only.
///
/// ```
/// use wedgebook::bath::film::{Films, Format};
/// use wedgebook::session::{Limits, Room, numbered};
///
/// let room = Room { format: Format::Roll120, holds: 4, on_a_reel: 2, least_ml: 0.0 };
/// let limits = Limits { rooms: vec![room], solution_ml: 1000.0, area_m2: 1.0 };
/// let films = numbered(&Films(vec![(3, Format::Roll120)]), &limits, true, 12);
/// let words: Vec<String> = films.iter().map(|f| f.film.to_string()).collect();
/// assert_eq!(words, ["12=r1p1", "13=r1p2", "14=r2p1"]);
/// ```
#[must_use]
pub fn numbered(films: &Films, limits: &Limits, in_tank: bool, first: u32) -> Vec<PlacedFilm> {
    let mut placed = Vec::new();
    let mut reels = 0;
    let mut loose = 0;
    let mut number = first;
    for &(count, format) in &films.0 {
        let on_a_reel = limits.room(format).map_or(1, |room| room.on_a_reel.max(1));
        for n in 0..count {
            let (reel, place) = if in_tank && !format.is_sheet() {
                (Some(reels + n / on_a_reel + 1), n % on_a_reel + 1)
            } else {
                loose += 1;
                (None, loose)
            };
            let film = Numbered { number, reel, place: Some(place) };
            placed.push(PlacedFilm { film, format });
            number = number.saturating_add(1);
        }
        reels += count.div_ceil(on_a_reel);
    }
    placed
}

#[cfg(test)]
mod tests {
    use super::super::limits::Room;
    use super::*;

    #[test]
    fn reels_of_formats_follow_each_other_and_sheets_have_places() {
        let sheet: Format = "4x5in".parse().unwrap();
        let room = |format, on_a_reel| Room { format, holds: 6, on_a_reel, least_ml: 0.0 };
        let limits = Limits {
            rooms: vec![room(Format::Roll135x36, 1), room(Format::Roll120, 2), room(sheet, 1)],
            solution_ml: 1000.0,
            area_m2: 1.0,
        };
        let words = |films: &[(u32, Format)], in_tank| {
            let placed = numbered(&Films(films.to_vec()), &limits, in_tank, 5);
            placed.iter().map(|p| p.film.to_string()).collect::<Vec<_>>().join(" ")
        };
        let rolls = [(2, Format::Roll135x36), (3, Format::Roll120)];
        assert_eq!(words(&rolls, true), "5=r1p1 6=r2p1 7=r3p1 8=r3p2 9=r4p1");
        assert_eq!(words(&rolls[..1], false), "5=p1 6=p2");
        assert_eq!(words(&[(3, sheet)], true), "5=p1 6=p2 7=p3");
    }
}
