//! The word that may have been meant.

/// Shortest text that counts as the beginning of a word.
const BEGINNING: usize = 3;

/// The one of `names` that `found` may stand for, if one is near: a slip of the pen (one letter in
/// three at most, an exchange of two neighbours counting as one), or the beginning of a name, or a
/// name with an ending. Case does not matter; blanks and hyphens are as underscores.
///
/// ```
/// use wedgebook::words::did_you_mean;
///
/// let names = ["mix", "film", "replenish"];
/// assert_eq!(did_you_mean("Flim", names), Some("film"));
/// assert_eq!(did_you_mean("mixed", names), Some("mix"));
/// assert_eq!(did_you_mean("wash", names), None);
/// ```
#[must_use]
pub fn did_you_mean<'a>(found: &str, names: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let plain = |text: &str| text.trim().to_lowercase().replace([' ', '-'], "_");
    let found = plain(found);
    let letters = found.chars().count();
    let near = |name: &'a str| {
        let wanted = plain(name);
        let count = wanted.chars().count();
        let most = ((count + 1) / 3).max(1);
        let begins = begins(&found, &wanted);
        // Words differ by as many letters at least as one is longer.
        if letters.abs_diff(count) > most && !begins {
            return None;
        }
        let distance = strsim::damerau_levenshtein(&found, &wanted);
        (distance <= most && distance < letters || begins).then_some((distance, name))
    };
    names.into_iter().filter_map(near).min_by_key(|(distance, _)| *distance).map(|(_, name)| name)
}

/// Whether `found` is the beginning of `wanted`, or `wanted` with letters after it.
fn begins(found: &str, wanted: &str) -> bool {
    let short = found.len().min(wanted.len());
    let ending = found.strip_prefix(wanted);
    short >= BEGINNING
        && (wanted.starts_with(found) || ending.is_some_and(|e| e.chars().all(char::is_alphabetic)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_misses_are_recognised_and_strangers_are_not() {
        let names = ["density", "minutes", "step", "celsius", "log_exposure"];
        assert_eq!(did_you_mean("Densty", names), Some("density"));
        assert_eq!(did_you_mean("minuts", names), Some("minutes"));
        assert_eq!(did_you_mean("Log Exposur", names), Some("log_exposure"));
        assert_eq!(did_you_mean("stpe", names), Some("step"));
        assert_eq!(did_you_mean("dens", names), Some("density"));
        assert_eq!(did_you_mean("135", ["135-36", "120"]), Some("135-36"));
        for stranger in ["step_no", "operator", "x", "", "ei"] {
            assert_eq!(did_you_mean(stranger, names), None, "{stranger}");
        }
    }
}
