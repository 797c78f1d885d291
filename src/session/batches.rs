//! Which films go in together: batches that the vessel and its solution can take.

use super::limits::{BatchError, Limits};
use crate::bath::film::{Films, Format};

/// Batches of films, each of which [`Limits::takes`], every film in one of them.
///
/// Roll formats may go in together; sheets go in with sheets of their own size only, as is common
/// practice (no source). Films are put into the first batch that takes one more, for every order of
/// the roll formats; the fewest batches win.
///
/// # Errors
/// [`BatchError`] for a format of which not one film can be developed.
///
/// ```
/// use wedgebook::bath::film::Format;
/// use wedgebook::session::{Limits, Room, batches};
///
/// let room = |format, holds| Room { format, holds, on_a_reel: 1, least_ml: 0.0 };
/// let limits = Limits {
///     rooms: vec![room(Format::Roll135x36, 4), room(Format::Roll120, 2)],
///     solution_ml: 1000.0,
///     area_m2: 0.5,
/// };
/// let made = batches(&[(6, Format::Roll135x36), (1, Format::Roll120)], &limits)?;
/// let words: Vec<String> = made.iter().map(ToString::to_string).collect();
/// assert_eq!(words, ["4 × 135-36", "2 × 135-36 + 1 × 120"]);
/// # Ok::<(), wedgebook::session::BatchError>(())
/// ```
pub fn batches(films: &[(u32, Format)], limits: &Limits) -> Result<Vec<Films>, BatchError> {
    let films = merged(films);
    if let Some(refusal) = films.iter().find_map(|(_, f)| limits.refusal(*f)) {
        return Err(refusal);
    }
    let (sheets, rolls): (Vec<_>, Vec<_>) = films.into_iter().partition(|(_, f)| f.is_sheet());
    let tried = orders(&rolls).into_iter().map(|order| packed(&order, limits));
    let mut made = tried.min_by_key(Vec::len).unwrap_or_default();
    for sheet in sheets {
        made.extend(packed(&[sheet], limits));
    }
    Ok(made)
}

/// One entry for each format, in the order of their first mention.
fn merged(films: &[(u32, Format)]) -> Vec<(u32, Format)> {
    let mut merged: Vec<(u32, Format)> = Vec::new();
    for &(count, format) in films.iter().filter(|(count, _)| *count > 0) {
        match merged.iter_mut().find(|(_, f)| *f == format) {
            Some((sum, _)) => *sum = sum.saturating_add(count),
            None => merged.push((count, format)),
        }
    }
    merged
}

/// Every order of a few entries; there are four roll formats.
fn orders(entries: &[(u32, Format)]) -> Vec<Vec<(u32, Format)>> {
    if entries.len() < 2 {
        return vec![entries.to_vec()];
    }
    let mut all = Vec::new();
    for first in 0..entries.len() {
        let mut rest = entries.to_vec();
        let head = rest.remove(first);
        for mut order in orders(&rest) {
            order.insert(0, head);
            all.push(order);
        }
    }
    all
}

/// Films in order, each into the first batch that takes it.
fn packed(films: &[(u32, Format)], limits: &Limits) -> Vec<Films> {
    let mut made: Vec<Films> = Vec::new();
    for &(count, format) in films {
        let mut left = count;
        for batch in &mut made {
            left -= put(batch, format, left, limits);
        }
        while left > 0 {
            let mut batch = Films::default();
            let into = put(&mut batch, format, left, limits);
            if into == 0 {
                return made;
            }
            left -= into;
            made.push(batch);
        }
    }
    made
}

/// Puts as many films into a batch as it takes, and says how many.
fn put(batch: &mut Films, format: Format, most: u32, limits: &Limits) -> u32 {
    let with = |more: u32| {
        let mut films = batch.clone();
        films.0.push((more, format));
        films
    };
    let most = most.min(limits.room(format).map_or(0, |room| room.holds));
    let into = (1..=most).rev().find(|n| limits.takes(&with(*n))).unwrap_or(0);
    if into > 0 {
        batch.0.push((into, format));
    }
    into
}

#[cfg(test)]
mod tests {
    use super::super::limits::Room;
    use super::*;

    fn room(format: Format, holds: u32, on_a_reel: u32, least_ml: f64) -> Room {
        Room { format, holds, on_a_reel, least_ml }
    }

    fn limits(rooms: Vec<Room>) -> Limits {
        Limits { rooms, solution_ml: 1000.0, area_m2: 1.0 }
    }

    fn words(films: &[(u32, Format)], limits: &Limits) -> Vec<String> {
        let made = batches(films, limits).unwrap();
        made.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn a_reel_of_two_takes_the_room_of_one() {
        let limits =
            limits(vec![room(Format::Roll120, 6, 2, 0.0), room(Format::Roll135x36, 5, 1, 0.0)]);
        // Two reels of 120 are two thirds of the tank, one reel of 135 a fifth.
        assert_eq!(
            words(&[(3, Format::Roll120), (2, Format::Roll135x36)], &limits),
            ["3 × 120 + 1 × 135-36", "1 × 135-36"]
        );
        let one = Films(vec![(1, Format::Roll120)]);
        assert!((limits.fullness(&one).unwrap() - 1.0 / 3.0).abs() < 1e-12);
    }

    #[test]
    fn solution_limits_a_batch_before_the_reels_do() {
        let mut covered = limits(vec![room(Format::Roll135x36, 8, 1, 300.0)]);
        assert_eq!(words(&[(7, Format::Roll135x36)], &covered).len(), 3);
        covered.rooms[0].least_ml = 0.0;
        covered.area_m2 = 0.12;
        assert_eq!(words(&[(7, Format::Roll135x36)], &covered).len(), 4);
    }

    #[test]
    fn sheets_keep_to_themselves() {
        let sheet: Format = "4x5in".parse().unwrap();
        let larger: Format = "8x10in".parse().unwrap();
        let limits = limits(vec![
            room(Format::Roll120, 3, 1, 0.0),
            room(sheet, 6, 1, 0.0),
            room(larger, 2, 1, 0.0),
        ]);
        let films = [(1, sheet), (1, Format::Roll120), (1, larger), (4, sheet)];
        assert_eq!(words(&films, &limits), ["1 × 120", "5 × 4x5in", "1 × 8x10in"]);
    }

    /// Where the order of formats matters, the better one is found.
    #[test]
    fn the_better_order_wins() {
        let limits =
            limits(vec![room(Format::Roll135x36, 3, 1, 0.0), room(Format::Roll120, 2, 1, 0.0)]);
        let films = [(1, Format::Roll135x36), (2, Format::Roll120), (2, Format::Roll135x36)];
        assert_eq!(words(&films, &limits).len(), 2);
    }

    #[test]
    fn what_cannot_be_developed_is_told() {
        let mut limits = limits(vec![room(Format::Roll120, 1, 1, 500.0)]);
        let told =
            |limits: &Limits, format| batches(&[(1, format)], limits).unwrap_err().to_string();
        assert!(told(&limits, Format::Roll220).contains("\"220\" = 4"));
        limits.area_m2 = 0.01;
        assert!(told(&limits, Format::Roll120).contains("develops 0.0100 m²"));
        limits.solution_ml = 300.0;
        assert!(told(&limits, Format::Roll120).contains("needs 500 ml to be covered"));
        assert_eq!(batches(&[(0, Format::Roll220)], &limits), Ok(Vec::new()));
    }
}
