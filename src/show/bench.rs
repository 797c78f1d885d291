//! The page for the bench: one HTML file that needs nothing else. It has the answer as JSON in it, and a
//! script that counts time by it.
//!
//! Script, style and markup are files of their own in this folder. The page's policy allows the script
//! and the style of these hashes, and nothing else: no other script, no picture, no request.

use super::json;
use crate::answers::{Block, Description, Field, Note};
use sha2::{Digest, Sha256};

const PAGE: &str = include_str!("bench/bench.html");
const NO_TIME: &str = include_str!("bench/no_time.html");
const STYLE: &str = include_str!("bench/bench.css");
/// Effective development and the time that is left: the same numbers as `development::drift`.
const LAW: &str = include_str!("bench/law.js");
/// What is kept of a development, and what follows from it.
const TIMER: &str = include_str!("bench/timer.js");
/// Beats, sounds, voice and the screen that stays on.
const SENSES: &str = include_str!("bench/senses.js");
/// The page itself: what is shown and what is tapped.
const VIEW: &str = include_str!("bench/view.js");

/// The page of an answer. One without a time, for a bath that is not to be used, says so and has no
/// script.
#[must_use]
pub fn render(description: &Description) -> String {
    let answer = json::value(description);
    if answer["law"].is_null() {
        return without_time(description);
    }
    let script = [LAW, TIMER, SENSES, VIEW].join("\n");
    let policy = format!(
        "default-src 'none'; script-src 'sha256-{}'; style-src 'sha256-{}'; base-uri 'none'; form-action 'none'",
        hash(&script),
        hash(STYLE)
    );
    let standing = standing(description);
    let answer = in_script(&answer.to_string());
    let key = hash(&answer);
    fill(
        PAGE,
        &[
            ("{policy}", &policy),
            ("{style}", STYLE),
            ("{title}", &escaped(&description.title)),
            ("{standing}", &escaped(&standing)),
            ("{aim}", &escaped(&words_of(description, "contrast"))),
            ("{key}", &key),
            ("{answer}", &answer),
            ("{script}", &script),
        ],
    )
}

/// The standing of the bath, where it is kept.
fn standing(description: &Description) -> String {
    let words = |field: &Field| format!("{}: {}", field.label, field.value.for_people());
    description.first.as_ref().map(words).unwrap_or_default()
}

/// What people read of a field.
fn words_of(description: &Description, key: &str) -> String {
    let field = description.blocks.iter().find_map(|block| match block {
        Block::Field(field) if field.key == key => Some(field.value.for_people()),
        _ => None,
    });
    field.unwrap_or_default()
}

/// The page that says why there is no time.
fn without_time(description: &Description) -> String {
    let policy = format!(
        "default-src 'none'; style-src 'sha256-{}'; base-uri 'none'; form-action 'none'",
        hash(STYLE)
    );
    let standing = standing(description);
    let words = |note: &Note| match &note.about {
        Some((_, label)) => format!("<p>{}: {}</p>\n", escaped(label), escaped(&note.words)),
        None => format!("<p>{}</p>\n", escaped(&note.words)),
    };
    let notes = description.notes.iter().map(words);
    fill(
        NO_TIME,
        &[
            ("{policy}", &policy),
            ("{style}", STYLE),
            ("{title}", &escaped(&description.title)),
            ("{standing}", &escaped(&standing)),
            ("{notes}", &notes.collect::<String>()),
        ],
    )
}

/// The template with a text in the place of each mark. Marks within the texts stay as they are.
pub(super) fn fill(template: &str, texts: &[(&str, &str)]) -> String {
    let mut page =
        String::with_capacity(template.len() + texts.iter().map(|t| t.1.len()).sum::<usize>());
    let mut rest = template;
    let next = |rest: &str| {
        let found = texts.iter().filter_map(|(mark, text)| Some((rest.find(mark)?, *mark, *text)));
        found.map(|(at, mark, text)| (at, mark.len(), text.to_owned())).min_by_key(|found| found.0)
    };
    while let Some((at, length, text)) = next(rest) {
        page.push_str(&rest[..at]);
        page.push_str(&text);
        rest = &rest[at + length..];
    }
    page.push_str(rest);
    page
}

/// Text between tags.
pub(super) fn escaped(text: &str) -> String {
    let text = crate::words::visible(text);
    text.chars().fold(String::new(), |mut all, c| {
        match c {
            '&' => all.push_str("&amp;"),
            '<' => all.push_str("&lt;"),
            '>' => all.push_str("&gt;"),
            '"' => all.push_str("&quot;"),
            '\'' => all.push_str("&#39;"),
            c => all.push(c),
        }
        all
    })
}

/// JSON within an element of script: nothing in it ends the element or begins another, and what would
/// act is escaped. All such characters stand within strings.
pub(super) fn in_script(json: &str) -> String {
    json.chars().fold(String::with_capacity(json.len()), |mut all, c| {
        if matches!(c, '<' | '>' | '&' | '\u{2028}' | '\u{2029}') || crate::words::acts(c) {
            all.push_str(&format!("\\u{:04x}", u32::from(c)));
        } else {
            all.push(c);
        }
        all
    })
}

/// SHA-256 of a text in base 64, as a policy has it.
pub(super) fn hash(text: &str) -> String {
    base64(&Sha256::digest(text.as_bytes()))
}

/// Base 64 (RFC 4648, section 4).
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::new();
    for three in bytes.chunks(3) {
        let byte = |n: usize| u32::from(three.get(n).copied().unwrap_or(0));
        let bits = byte(0) << 16 | byte(1) << 8 | byte(2);
        for n in 0..4 {
            let letter = LETTERS[(bits >> (18 - 6 * n) & 63) as usize];
            text.push(if n <= three.len() { char::from(letter) } else { '=' });
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn base64_is_that_of_the_standard() {
        // RFC 4648, section 10.
        for (bytes, text) in
            [("", ""), ("f", "Zg=="), ("fo", "Zm8="), ("foo", "Zm9v"), ("foobar", "Zm9vYmFy")]
        {
            assert_eq!(base64(bytes.as_bytes()), text);
        }
        // FIPS 180-4: the hash of "abc".
        assert_eq!(hash("abc"), "ungWv48Bz+pBQUDeXa4iI7ADYaOWF3qctBD/YfIAFa0=");
    }

    #[test]
    fn marks_within_texts_stay() {
        assert_eq!(fill("<{a}|{b}>", &[("{b}", "{a}"), ("{a}", "{b}")]), "<{b}|{a}>");
    }

    #[test]
    fn nothing_in_the_json_ends_its_element() {
        let json = serde_json::json!({ "name": "</script>\u{2028}\u{202e}&" }).to_string();
        let text = in_script(&json);
        assert!(text.is_ascii() && !text.contains(['<', '>', '&']), "{text}");
        assert_eq!(
            serde_json::from_str::<serde_json::Value>(&text).unwrap()["name"],
            "</script>\u{2028}\u{202e}&"
        );
    }

    #[test]
    fn the_mark_of_the_page_is_that_by_which_it_is_known() {
        for page in [PAGE, NO_TIME] {
            assert!(
                page.starts_with(
                    "<!DOCTYPE html>\n<html lang=\"en\" data-page=\"wedgebook-bench\">"
                )
            );
        }
    }
}
