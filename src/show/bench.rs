//! The page for the bench: one HTML file that needs nothing else. It has the answer as JSON in it, and a
//! script that counts time by it.
//!
//! Script, style and markup are files of their own in this folder. The page's policy allows the script
//! and the style of these hashes, and nothing else: no other script, no picture, no request.

use super::html::{escaped, fill, hash, in_script};
use super::json;
use crate::answers::{Description, Field, Note};

/// The beginning that all pages share.
const HEAD: &str = include_str!("bench/head.html");
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
    // A class night has a law and a target for each tank; what has none has no time.
    let first = answer["tanks"].get(0).unwrap_or(&answer);
    if first["law"].is_null() {
        return without_time(description);
    }
    let words = |key: &str| escaped(first["words"][key].as_str().unwrap_or_default());
    let (standing, aim) = (words("bath"), words("aim"));
    let script = [LAW, TIMER, SENSES, VIEW].join("\n");
    let policy = format!("script-src 'sha256-{}'; ", hash(&script));
    let answer = in_script(&answer.to_string());
    let key = hash(&answer);
    fill(
        PAGE,
        &[
            ("{head}", &head(&policy, &description.title)),
            ("{name}", &escaped(&description.title)),
            ("{standing}", &standing),
            ("{aim}", &aim),
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

/// The beginning of a page, with what its policy allows beside its style.
fn head(scripts: &str, title: &str) -> String {
    let policy = format!(
        "default-src 'none'; {scripts}style-src 'sha256-{}'; base-uri 'none'; form-action 'none'",
        hash(STYLE)
    );
    fill(HEAD, &[("{policy}", &policy), ("{style}", STYLE), ("{title}", &escaped(title))])
}

/// The page that says why there is no time.
fn without_time(description: &Description) -> String {
    let standing = standing(description);
    let words = |note: &Note| match &note.about {
        Some((_, label)) => format!("<p>{}: {}</p>\n", escaped(label), escaped(&note.words)),
        None => format!("<p>{}</p>\n", escaped(&note.words)),
    };
    let notes = description.notes.iter().map(words);
    fill(
        NO_TIME,
        &[
            ("{head}", &head("", &description.title)),
            ("{title}", &escaped(&description.title)),
            ("{standing}", &escaped(&standing)),
            ("{notes}", &notes.collect::<String>()),
        ],
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_mark_of_the_page_is_that_by_which_it_is_known() {
        let mark = "<!DOCTYPE html>\n<html lang=\"en\" data-page=\"wedgebook-bench\">";
        assert!(HEAD.starts_with(mark));
        for page in [PAGE, NO_TIME] {
            assert!(page.starts_with("{head}"));
        }
    }
}
