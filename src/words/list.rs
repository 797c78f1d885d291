//! Lists, counted nouns and quoted text.

use super::{acts, trimmed};
use std::fmt;

/// Longest text that a message repeats.
const LONGEST: usize = 40;
/// Longest list that a message repeats.
const MOST: usize = 12;

/// "a, b or c".
#[must_use]
pub fn list_or<T: AsRef<str>>(items: &[T]) -> String {
    joined(items, "or")
}

/// "a, b and c".
#[must_use]
pub fn list_and<T: AsRef<str>>(items: &[T]) -> String {
    joined(items, "and")
}

/// The items in a row with a word before the last; cut where it is long, and "nothing" where it is
/// empty. Each item is cut as [`shown`] cuts it.
fn joined<T: AsRef<str>>(items: &[T], word: &str) -> String {
    let mut parts: Vec<String> = items.iter().take(MOST).map(|item| short(item.as_ref())).collect();
    if items.len() > MOST {
        parts.push(format!("{} more", items.len() - MOST));
        return format!("{} and {}", parts[..MOST].join(", "), parts[MOST]);
    }
    match parts.split_last() {
        None => "nothing".to_owned(),
        Some((only, [])) => only.clone(),
        Some((last, rest)) => format!("{} {word} {last}", rest.join(", ")),
    }
}

/// Whole numbers in their order, as `12 to 14, 17`.
///
/// ```
/// use wedgebook::words::ranges;
///
/// assert_eq!(ranges(&[12, 13, 14, 17, 19, 20]), "12 to 14, 17, 19, 20");
/// assert_eq!(ranges(&[]), "");
/// ```
#[must_use]
pub fn ranges(numbers: &[u32]) -> String {
    let mut parts: Vec<(u32, u32)> = Vec::new();
    for &number in numbers {
        match parts.last_mut() {
            Some((_, last)) if last.checked_add(1) == Some(number) => *last = number,
            _ => parts.push((number, number)),
        }
    }
    let words = |(first, last): &(u32, u32)| match last - first {
        0 => first.to_string(),
        1 => format!("{first}, {last}"),
        _ => format!("{first} to {last}"),
    };
    parts.iter().map(words).collect::<Vec<_>>().join(", ")
}

/// A count with its noun: "1 film", "2 films", "2 batches", "3 entries", "2 films of 36 exposures".
#[must_use]
pub fn counted<N: fmt::Display + PartialEq + From<u8>>(count: N, noun: &str) -> String {
    if count == N::from(1) { format!("1 {noun}") } else { format!("{count} {}", plural(noun)) }
}

/// An amount with the word for its unit: "1 litre", "1.5 litres"; at most so many decimals.
///
/// ```
/// use wedgebook::words::amount;
///
/// assert_eq!(amount(1.0, 3, "litre"), "1 litre");
/// assert_eq!(amount(2.5, 3, "litre"), "2.5 litres");
/// ```
#[must_use]
pub fn amount(value: f64, decimals: usize, noun: &str) -> String {
    let text = trimmed(value, decimals);
    if text == "1" { format!("1 {noun}") } else { format!("{text} {}", plural(noun)) }
}

/// A noun in the plural; of "film of 36 exposures" the first noun.
fn plural(noun: &str) -> String {
    let (head, rest) = match noun.find(" of ") {
        Some(at) => noun.split_at(at),
        None => (noun, ""),
    };
    let hisses = ["s", "x", "ch", "sh"].iter().any(|end| head.ends_with(end));
    match head.strip_suffix('y') {
        Some(stem) if !stem.ends_with(['a', 'e', 'i', 'o', 'u']) => format!("{stem}ies{rest}"),
        _ if hisses => format!("{head}es{rest}"),
        _ => format!("{head}s{rest}"),
    }
}

/// `text` in quotation marks, without control characters, cut where it is long.
#[must_use]
pub fn shown(text: &str) -> String {
    format!("\"{}\"", short(text))
}

/// `text` without characters that act, cut where it is long.
#[must_use]
pub fn short(text: &str) -> String {
    let mut cut: String = text
        .chars()
        .take(LONGEST)
        .map(|c| if acts(c) || c.is_control() { ' ' } else { c })
        .collect();
    if text.chars().nth(LONGEST).is_some() {
        cut.push('…');
    }
    cut
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_texts_and_lists_are_cut() {
        assert_eq!(shown("a\nb"), "\"a b\"");
        assert_eq!(shown(&"é".repeat(41)), format!("\"{}…\"", "é".repeat(40)));
        let names = |n: usize| (1..=n).map(|i| i.to_string()).collect::<Vec<_>>();
        assert_eq!(list_and(&names(0)), "nothing");
        assert_eq!(list_and(&names(1)), "1");
        assert_eq!(list_and(&names(3)), "1, 2 and 3");
        assert_eq!(list_or(&names(3)), "1, 2 or 3");
        let fourteen = "1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12 and 2 more";
        assert_eq!(list_and(&names(14)), fourteen);
        assert_eq!(list_or(&names(14)), fourteen);
    }

    #[test]
    fn nouns_follow_their_count() {
        assert_eq!(counted(1, "film"), "1 film");
        assert_eq!(counted(0, "film"), "0 films");
        assert_eq!(counted(2, "batch"), "2 batches");
        assert_eq!(counted(2, "entry"), "2 entries");
        assert_eq!(counted(2, "day"), "2 days");
        assert_eq!(counted(2, "film of 36 exposures"), "2 films of 36 exposures");
        assert_eq!(amount(0.9996, 3, "litre"), "1 litre");
        assert_eq!(amount(0.0, 3, "litre"), "0 litres");
    }
}
