//! What the pages for a browser have in common: a template filled in, text and JSON that do not act, and the
//! hashes of their policy.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};

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
    STANDARD.encode(Sha256::digest(text.as_bytes()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hash_is_that_of_the_standard() {
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
}
