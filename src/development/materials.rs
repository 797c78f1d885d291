//! The film and the developer that a pairing, strips and a bath are of, and whether they are the same.

use super::file::{PairingFile, StripRecord};
use crate::readings::Strip;
use crate::words::{did_you_mean, list_and};

/// A film and a developer by their names; what is not named is no difference.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Materials {
    /// The film.
    pub film: Option<String>,
    /// The developer, maybe with its dilution: `Quillback 1+6`.
    pub developer: Option<String>,
}

/// Which of the two.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Material {
    /// The film.
    Film,
    /// The developer.
    Developer,
}

impl Material {
    /// Its word.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Film => "film",
            Self::Developer => "developer",
        }
    }

    /// What a strip says of it.
    fn of_strip(self, strip: &Strip) -> Option<&str> {
        let label = match self {
            Self::Film => &strip.labels.film,
            Self::Developer => &strip.labels.developer,
        };
        label.as_deref().map(str::trim).filter(|name| !name.is_empty())
    }

    /// Whether two names are of the same material. Case and blanks do not count, nor does a dilution that
    /// only one of the two has.
    fn same(self, one: &str, other: &str) -> bool {
        match self {
            Self::Film => plain(one) == plain(other),
            Self::Developer => {
                let ((one, own), (other, its)) = (diluted(one), diluted(other));
                let named = one.is_empty() || other.is_empty() || one == other;
                named && (own.is_empty() || its.is_empty() || own == its)
            }
        }
    }

    /// Whether one name may be a slip of the other: a letter or two, and the same digits.
    fn slip(self, one: &str, other: &str) -> bool {
        let digits = |t: &str| t.chars().filter(char::is_ascii_digit).collect::<String>();
        digits(one) == digits(other) && did_you_mean(one, [other]).is_some()
    }
}

/// A name without case and blanks.
fn plain(name: &str) -> String {
    name.to_lowercase().split_whitespace().collect()
}

/// The name and the dilution of a developer, without case and blanks: `quillback` and `1+6`.
fn diluted(name: &str) -> (String, String) {
    let plain = plain(name);
    let is_part = |c: char| c.is_ascii_digit() || matches!(c, '+' | ':' | '.' | ',');
    let start = plain.trim_end_matches(is_part).len();
    let (name, dilution) = plain.split_at(start);
    match dilution.contains(['+', ':']) {
        true => (name.to_owned(), dilution.replace(':', "+")),
        false => (plain, String::new()),
    }
}

/// What is of another film or developer than the pairing.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the pairing is of the {} {expected}, and {whose} of the {0} {found}{1}", .what.name(), question(*.what, .expected, .found))]
pub struct OfAnother {
    /// Which of the two.
    pub what: Material,
    /// That of the pairing.
    pub expected: String,
    /// What the other one is, with its verb: `strip A is`, `the strips are`.
    pub whose: String,
    /// That of the other one.
    pub found: String,
}

fn question(what: Material, expected: &str, found: &str) -> String {
    match what.slip(found, expected) {
        true => format!(": did you mean {expected}?"),
        false => String::new(),
    }
}

/// Strips of several films or developers.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Mixed {
    /// There are several.
    #[error("the strips are of {} {}s: {}{}", .names.len(), .what.name(), list_and(.names), slips(*.what, .names))]
    Several {
        /// Which of the two.
        what: Material,
        /// Their names, in the order of the strips.
        names: Vec<String>,
    },
    /// None is of the one that is wanted.
    #[error("no strip is of the {} {wanted}; they are of {}", .what.name(), list_and(.names))]
    None {
        /// Which of the two.
        what: Material,
        /// What is wanted.
        wanted: String,
        /// What there is.
        names: Vec<String>,
    },
}

fn slips(what: Material, names: &[String]) -> &'static str {
    let near = |k: usize| names[..k].iter().any(|other| what.slip(&names[k], other));
    match (1..names.len()).any(near) {
        true => "; is one of them a slip?",
        false => "",
    }
}

impl Materials {
    /// Of strips: the first names.
    #[must_use]
    pub fn of_strips(strips: &[Strip]) -> Self {
        let of = |what: Material| {
            strips.iter().find_map(|strip| what.of_strip(strip)).map(str::to_owned)
        };
        Self { film: of(Material::Film), developer: of(Material::Developer) }
    }

    /// Of a bath, by what was mixed: the developer's name and its dilution.
    #[must_use]
    pub fn of_bath(what: Option<&str>, dilution: Option<&str>) -> Self {
        let developer = match (what, dilution) {
            (Some(what), Some(dilution)) if diluted(what).1.is_empty() => {
                Some(format!("{what} {dilution}"))
            }
            (what, dilution) => what.or(dilution).map(str::to_owned),
        };
        Self { film: None, developer }
    }

    /// What of `other` differs from this pairing's; `whose` names it with its verb: `strip A is`.
    #[must_use]
    pub fn differences(&self, other: &Self, whose: &str) -> Vec<OfAnother> {
        let both = [
            (Material::Film, &self.film, &other.film),
            (Material::Developer, &self.developer, &other.developer),
        ];
        let differs = |(what, expected, found): (Material, &Option<String>, &Option<String>)| {
            let (expected, found) = (expected.clone()?, found.clone()?);
            let whose = whose.to_owned();
            (!what.same(&expected, &found)).then_some(OfAnother { what, expected, whose, found })
        };
        both.into_iter().filter_map(differs).collect()
    }
}

impl PairingFile {
    /// What it is of, by its strips.
    #[must_use]
    pub fn materials(&self) -> Materials {
        let of =
            |f: fn(&StripRecord) -> Option<&str>| self.strips.iter().find_map(f).map(str::to_owned);
        Materials { film: of(StripRecord::film), developer: of(StripRecord::developer) }
    }
}

/// The strips of one film, or of one developer. Those that do not name theirs are taken along.
///
/// # Errors
/// [`Mixed::None`] where none names the one that is wanted.
pub fn only(what: Material, wanted: &str, mut strips: Vec<Strip>) -> Result<Vec<Strip>, Mixed> {
    let names = names(what, &strips);
    if !names.iter().any(|name| what.same(name, wanted)) {
        return Err(Mixed::None { what, wanted: wanted.to_owned(), names });
    }
    strips.retain(|strip| what.of_strip(strip).is_none_or(|name| what.same(name, wanted)));
    Ok(strips)
}

/// Whether strips are all of one film and one developer.
///
/// # Errors
/// [`Mixed::Several`].
pub fn of_one(strips: &[Strip]) -> Result<(), Mixed> {
    for what in [Material::Film, Material::Developer] {
        let names = names(what, strips);
        if names.len() > 1 {
            return Err(Mixed::Several { what, names });
        }
    }
    Ok(())
}

/// The different names among strips.
fn names(what: Material, strips: &[Strip]) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for name in strips.iter().filter_map(|strip| what.of_strip(strip)) {
        if !names.iter().any(|other| what.same(other, name)) {
            names.push(name.to_owned());
        }
    }
    names
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_the_same() {
        let developer = |one, other| Material::Developer.same(one, other);
        for (one, other) in [
            ("Quillback 1+6", "quillback  1 + 6"),
            ("Quillback 1+6", "Quillback"),
            ("Quillback 1+6", "Quillback 1:6"),
            ("Quillback 1+6", "1+6"),
            ("Quillback", "QUILLBACK"),
            ("No. 7", "no.7"),
        ] {
            assert!(developer(one, other) && developer(other, one), "{one} {other}");
        }
        for (one, other) in [
            ("Quillback 1+6", "Quillback 1+9"),
            ("Quillback 1+6", "Quilback 1+6"),
            ("No. 7", "No. 8"),
            ("Quillback", "Sandpiper"),
        ] {
            assert!(!developer(one, other), "{one} {other}");
        }
        assert!(Material::Film.same("Larkfold 200", "larkfold200"));
        assert!(!Material::Film.same("Larkfold 200", "Larkfold"));
        assert!(Material::Film.slip("Larkfeld", "Larkfold"));
        assert!(!Material::Film.slip("Larkfold 100", "Larkfold 200"), "other digits, another film");
    }

    #[test]
    fn a_bath_by_its_mix() {
        let of = |what, dilution| Materials::of_bath(what, dilution).developer;
        assert_eq!(of(Some("Quillback"), Some("1+6")).as_deref(), Some("Quillback 1+6"));
        assert_eq!(of(Some("Quillback 1+6"), Some("1+6")).as_deref(), Some("Quillback 1+6"));
        assert_eq!(of(None, Some("1+6")).as_deref(), Some("1+6"));
        assert_eq!(of(None, None), None);
    }
}
