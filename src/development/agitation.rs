//! How a bath is moved: a time holds for the agitation that the strips had.

use super::pairing::Pairing;
use crate::readings::Strip;
use std::fmt;

/// A manner of agitation, of the trade's own words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Manner {
    /// The tank is turned over at intervals.
    Inversion,
    /// A drum turns all the time.
    Rotary,
    /// Film is moved in an open tray.
    Tray,
    /// Film stands still.
    Stand,
}

const WORDS: [(&str, Manner); 10] = [
    ("invert", Manner::Inversion),
    ("inversion", Manner::Inversion),
    ("rotary", Manner::Rotary),
    ("rotation", Manner::Rotary),
    ("drum", Manner::Rotary),
    ("continuous", Manner::Rotary),
    ("tray", Manner::Tray),
    ("dish", Manner::Tray),
    ("stand", Manner::Stand),
    ("still", Manner::Stand),
];

fn manner(words: &str) -> Option<Manner> {
    let words = words.to_lowercase();
    WORDS.iter().find(|(word, _)| words.contains(word)).map(|(_, manner)| *manner)
}

/// The numbers in the words: seconds, and how often.
fn numbers(words: &str) -> Vec<&str> {
    words.split(|c: char| !c.is_ascii_digit()).filter(|digits| !digits.is_empty()).collect()
}

/// Whether two descriptions may be of the same agitation: the manner is the same, or one of them names
/// none, and so are the numbers, or one of them has none.
#[must_use]
pub fn same(one: &str, other: &str) -> bool {
    let plain = |words: &str| words.split_whitespace().collect::<String>().to_lowercase();
    let manners = manner(one).zip(manner(other));
    let (own, its) = (numbers(one), numbers(other));
    let alike = match manners {
        Some((one, other)) => one == other,
        // Words of which no manner is known are compared as they are.
        None => plain(one) == plain(other) || !(own.is_empty() || its.is_empty()),
    };
    alike && (own.is_empty() || its.is_empty() || own == its)
}

/// Agitation that differs from that of the strips.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OtherAgitation {
    /// That of the strips.
    pub strips: String,
    /// That of today.
    pub today: String,
}

impl fmt::Display for OtherAgitation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "the agitation is another than that of the calibrated strips ({}; now {}): contrast, speed and evenness may differ, and by how much cannot be determined without strips that are agitated so",
            self.strips, self.today
        )
    }
}

/// The manners of agitation of strips, each once.
#[must_use]
pub fn of_strips<'a>(strips: impl IntoIterator<Item = &'a Strip>) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for words in strips.into_iter().filter_map(|strip| strip.labels.agitation.as_deref()) {
        let words = words.trim();
        if !words.is_empty() && !all.iter().any(|known| same(known, words)) {
            all.push(words.to_owned());
        }
    }
    all
}

impl Pairing {
    /// The agitation of its strips, where they state one.
    #[must_use]
    pub fn agitation(&self) -> Option<String> {
        of_strips(self.strips.iter().map(|s| &s.strip)).into_iter().next()
    }

    /// How `today` differs from the agitation of its strips; `None` where it does not, or nobody states it.
    #[must_use]
    pub fn agitated_otherwise(&self, today: Option<&str>) -> Option<OtherAgitation> {
        let (strips, today) = (self.agitation()?, today?);
        let all = of_strips(self.strips.iter().map(|s| &s.strip));
        let known = all.iter().any(|known| same(known, today));
        (!known).then(|| OtherAgitation { strips, today: today.to_owned() })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_manner_and_the_numbers_count() {
        for (one, other, alike) in [
            ("inversion, 10 s in every minute", "Inversion,  10 s in every minute", true),
            ("inversion", "4 inversions each 60 s", true),
            ("inversion, 10 s in 60 s", "inversion, 5 s in 30 s", false),
            ("inversion", "rotary", false),
            ("rotary", "drum, all the time", true),
            ("stand", "tray", false),
            ("by hand", "by hand", true),
            ("by hand", "with a stick", false),
        ] {
            assert_eq!(same(one, other), alike, "{one}; {other}");
            assert_eq!(same(other, one), alike, "{other}; {one}");
        }
    }
}
