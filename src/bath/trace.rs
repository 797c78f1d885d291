//! One film of a journal by its number: the bath then, the strips before and after it, the films beside it.

pub mod shared;

use super::film::{Format, films_in};
use super::journal::{Act, Balance, Entry, Load, Numbered};
use super::standing::Standing;

/// A film with all that the journal has of its development.
#[derive(Clone, Debug, PartialEq)]
pub struct Traced {
    /// Its number, and where it lay.
    pub film: Numbered,
    /// Its format, where the words of the entry say it.
    pub format: Option<Format>,
    /// The entry of its batch.
    pub entry: Entry,
    /// How the batch was developed.
    pub load: Load,
    /// The developer, as its mix names it.
    pub bath: Option<String>,
    /// How the bath was just before.
    pub before: Balance,
    /// Whether film could go in, by what was entered before it.
    pub standing: Standing,
    /// The entry of the last control strip of this bath before it.
    pub strip_before: Option<Entry>,
    /// The entry of the first control strip of this bath after it.
    pub strip_after: Option<Entry>,
    /// The other films of its batch.
    pub beside: Vec<(Numbered, Option<Format>)>,
}

/// Why a film is not found.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotFound {
    /// The journal has no numbers.
    #[error("no film of {journal} has a number; a session that is entered gives each film one")]
    NoNumbers {
        /// The journal.
        journal: String,
    },
    /// It has others.
    #[error("{journal} has no film {number}; it has {}", crate::words::ranges(.there))]
    NoSuchFilm {
        /// The journal.
        journal: String,
        /// The number.
        number: u32,
        /// The numbers that there are, in their order.
        there: Vec<u32>,
    },
}

/// Which batch of its session film was.
fn batch(entry: &Entry) -> Option<u32> {
    match &entry.act {
        Act::Film { load: Some(load), .. } => load.batch,
        _ => None,
    }
}

/// The numbers of all films of entries, in their order.
#[must_use]
pub fn numbers(entries: &[Entry]) -> Vec<u32> {
    let mut all: Vec<u32> = entries.iter().flat_map(Entry::numbered).map(|f| f.number).collect();
    all.sort_unstable();
    all
}

/// The formats of the films of an entry, in the order of its numbers; nothing where its words do not say
/// them, or say another count.
#[must_use]
pub fn formats(entry: &Entry) -> Vec<Option<Format>> {
    let count = entry.numbered().len();
    let Act::Film { films, .. } = &entry.act else { return Vec::new() };
    let named = films_in(films).map(|films| films.0).unwrap_or_default();
    let total: u64 = named.iter().map(|(n, _)| u64::from(*n)).sum();
    if total != count as u64 {
        return vec![None; count];
    }
    named.into_iter().flat_map(|(n, format)| (0..n).map(move |_| Some(format))).collect()
}

/// Traces a film by its number in the entries of a journal, whose name is `journal` in messages.
///
/// # Errors
/// [`NotFound`], with the numbers that there are.
pub fn trace(journal: &str, entries: &[Entry], number: u32) -> Result<Traced, NotFound> {
    let holds = |entry: &Entry| entry.numbered().iter().position(|film| film.number == number);
    let found = entries.iter().enumerate().find_map(|(at, entry)| Some((at, holds(entry)?)));
    let Some((at, place)) = found else {
        let (journal, there) = (journal.to_owned(), numbers(entries));
        return Err(match there.is_empty() {
            true => NotFound::NoNumbers { journal },
            false => NotFound::NoSuchFilm { journal, number, there },
        });
    };
    let entry = &entries[at];
    // A batch of films that differ has an entry for each kind.
    let same_batch = |other: &Entry| {
        (other.date, &other.note) == (entry.date, &entry.note) && batch(other) == batch(entry)
    };
    let begins = match batch(entry) {
        Some(_) => entries.iter().position(same_batch).unwrap_or(at),
        None => at,
    };
    let (earlier, later) = (&entries[..begins], &entries[at + 1..]);
    let is_mix = |entry: &&Entry| matches!(entry.act, Act::Mix { .. });
    let is_strip = |entry: &&Entry| matches!(entry.act, Act::Strip(_));
    let mixed = earlier.iter().rposition(|entry| is_mix(&entry));
    let of_bath = &earlier[mixed.unwrap_or(0)..];
    let bath = of_bath.first().and_then(|mix| match &mix.act {
        Act::Mix { what, dilution, .. } => what.clone().or_else(|| dilution.clone()),
        _ => None,
    });
    let mut before = Balance::default();
    earlier.iter().for_each(|entry| before.enter(entry));
    let load = match &entry.act {
        Act::Film { load: Some(load), .. } => (**load).clone(),
        _ => Load::default(),
    };
    let of =
        |entry: &Entry| entry.numbered().iter().copied().zip(formats(entry)).collect::<Vec<_>>();
    let (film, format) = of(entry).swap_remove(place);
    let mut films: Vec<_> = match batch(entry) {
        Some(_) => entries.iter().filter(|other| same_batch(other)).flat_map(of).collect(),
        None => of(entry),
    };
    films.retain(|(other, _)| other.number != number);
    Ok(Traced {
        film,
        format,
        standing: Standing::of(earlier, entry.date),
        strip_before: of_bath.iter().rev().find(is_strip).cloned(),
        strip_after: later.iter().take_while(|e| !is_mix(e)).find(is_strip).cloned(),
        entry: entry.clone(),
        load,
        bath,
        before,
        beside: films,
    })
}

#[cfg(test)]
mod tests {
    use super::super::journal::Journal;
    use super::*;
    use jiff::civil::date;

    const ROWS: &str = "date,act,litres,what,films,area_m2,strip,activity,verdict,numbers,load\n\
        2026-01-01,mix,1,Old,,,,,,,\n\
        2026-01-02,strip,,,,,o,0.7,out of spec: replace,,\n\
        2026-01-05,mix,1,Quillback 1+6,,,,,,,\n\
        2026-01-06,strip,,,,,a,1,in spec,,\n\
        2026-01-06,film,,,2 × 120 + 1 × 135-36,0.158,,,,7=r1p1 8=r1p2 9=r2p1,1\n\
        2026-01-06,film,,,3 films,0.158,,,,10=r1p1,2\n\
        2026-01-09,strip,,,,,b,0.98,in spec,,\n\
        2026-01-12,mix,1,,,,,,,,\n\
        2026-01-12,film,,,120,0.05,,,,11,1\n\
        2026-01-12,mix,1,,,,,,,,\n\
        2026-01-13,strip,,,,,c,1,in spec,,\n";

    fn journal() -> Journal {
        Journal::parse("bath.csv", ROWS.as_bytes(), date(2026, 12, 31)).unwrap()
    }

    fn strip(entry: Option<&Entry>) -> Option<&str> {
        match &entry?.act {
            Act::Strip(strip) => Some(&strip.name),
            _ => None,
        }
    }

    #[test]
    fn a_film_has_the_bath_of_its_day() {
        let journal = journal();
        let found = trace("bath.csv", &journal.entries, 8).unwrap();
        assert_eq!(found.bath.as_deref(), Some("Quillback 1+6"));
        assert_eq!((found.film.reel, found.film.place), (Some(1), Some(2)));
        assert_eq!(found.format, Some(Format::Roll120));
        assert_eq!(strip(found.strip_before.as_ref()), Some("a"));
        assert_eq!(strip(found.strip_after.as_ref()), Some("b"));
        assert_eq!(found.before.films, 0);
        assert_eq!(found.beside.iter().map(|f| f.0.number).collect::<Vec<_>>(), [7, 9]);
        assert_eq!(found.beside[1].1, Some(Format::Roll135x36));
        let second = trace("bath.csv", &journal.entries, 10).unwrap();
        assert_eq!((second.before.films, second.format, second.load.batch), (3, None, Some(2)));
    }

    #[test]
    fn strips_of_other_baths_are_not_its_own() {
        let found = trace("bath.csv", &journal().entries, 11).unwrap();
        assert_eq!((found.strip_before, found.strip_after), (None, None));
        assert_eq!(found.bath, None);
    }

    #[test]
    fn an_unknown_number_is_answered_with_those_there_are() {
        let journal = journal();
        let missing = trace("bath.csv", &journal.entries, 6).unwrap_err().to_string();
        assert_eq!(missing, "bath.csv has no film 6; it has 7 to 11");
        let none = trace("bath.csv", &journal.entries[..1], 6).unwrap_err().to_string();
        assert!(none.starts_with("no film of bath.csv has a number"), "{none}");
    }
}
