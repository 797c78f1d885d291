//! Text that came from elsewhere, made safe to show.

use std::borrow::Cow;

/// Whether a character would act instead of being seen: control characters but line ends and tabs, among
/// them those with which terminals are commanded, and characters that turn the direction of what follows.
#[must_use]
pub fn acts(c: char) -> bool {
    match c {
        '\n' | '\t' => false,
        '\u{061C}'
        | '\u{200E}'
        | '\u{200F}'
        | '\u{202A}'..='\u{202E}'
        | '\u{2066}'..='\u{2069}' => true,
        _ => c.is_control(),
    }
}

/// The text with a sign for every character that [`acts`].
///
/// ```
/// use wedgebook::words::visible;
///
/// assert_eq!(visible("red \u{1b}[31m"), "red \u{fffd}[31m");
/// ```
#[must_use]
pub fn visible(text: &str) -> Cow<'_, str> {
    if !text.chars().any(acts) {
        return Cow::Borrowed(text);
    }
    text.chars().map(|c| if acts(c) { '\u{FFFD}' } else { c }).collect::<String>().into()
}

/// A cell of text for a CSV file that spreadsheets open: one that they would take as a formula gets an
/// apostrophe before it, which they do not show.
///
/// ```
/// use wedgebook::words::no_formula;
///
/// assert_eq!(no_formula("=1+1"), "'=1+1");
/// assert_eq!(no_formula("strip 3"), "strip 3");
/// ```
#[must_use]
pub fn no_formula(text: &str) -> Cow<'_, str> {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        format!("'{text}").into()
    } else {
        text.into()
    }
}
