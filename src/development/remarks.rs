//! What a person wrote into a pairing's file as TOML comments, kept when the file is written again.

use toml_edit::{Decor, DocumentMut, Item, Table, TomlError, Value};

/// The first line of the comments that this program writes at the head of a file.
pub(super) const HEAD: &str = "# A pairing of a film and a developer. You can edit the aims; results are calculated again from the readings.";

/// The comments of a person in a file, each with its place.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Remarks(Vec<Remark>);

#[derive(Clone, Debug, PartialEq, Eq)]
struct Remark {
    place: Place,
    /// Its lines, each with its `#`.
    lines: Vec<String>,
}

/// A place for comments: a table or a setting, and whether they stand at the end of its line instead of
/// above it. `None` is the end of the file.
type Place = Option<(String, bool)>;

impl Remarks {
    /// How many lines they are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.0.iter().map(|remark| remark.lines.len()).sum()
    }

    /// Whether there are none.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The comments of a file, but those that this program writes.
    ///
    /// # Errors
    /// That of a text that is no TOML.
    pub(super) fn of(text: &str) -> Result<Self, TomlError> {
        let mut document: DocumentMut = body(text).parse()?;
        let mut remarks = Vec::new();
        let mut add = |place, text: &str| {
            let lines = text.lines().map(str::trim).filter(|line| line.starts_with('#'));
            let lines: Vec<String> = lines.map(str::to_owned).collect();
            if !lines.is_empty() {
                remarks.push(Remark { place, lines });
            }
        };
        each(document.as_table_mut(), "", &mut |place, decor, inside| {
            for (after, raw) in [(false, decor.prefix()), (true, decor.suffix())] {
                add(Some((place.to_owned(), after)), raw.and_then(|r| r.as_str()).unwrap_or(""));
            }
            add(Some((place.to_owned(), false)), &inside);
        });
        add(None, document.trailing().as_str().unwrap_or_default());
        Ok(Self(remarks))
    }

    /// `toml`, which has no comments, with these in their places. Those whose places are gone stand at the
    /// end.
    ///
    /// # Errors
    /// That of a text that is no TOML.
    pub(super) fn put_into(&self, toml: &str) -> Result<String, TomlError> {
        let mut document: DocumentMut = toml.parse()?;
        let mut left: Vec<&Remark> = self.0.iter().collect();
        each(document.as_table_mut(), "", &mut |place, decor, _| {
            left.retain(|remark| match &remark.place {
                Some((of, after)) if of == place => {
                    let now = if *after { decor.suffix() } else { decor.prefix() };
                    let now = now.and_then(|raw| raw.as_str()).unwrap_or_default();
                    if *after {
                        decor.set_suffix(format!("{now} {}", remark.lines.join(" ")));
                    } else {
                        decor.set_prefix(format!("{now}{}\n", remark.lines.join("\n")));
                    }
                    false
                }
                _ => true,
            });
        });
        let mut text = document.to_string();
        for line in left.iter().flat_map(|remark| &remark.lines) {
            text.push_str(line);
            text.push('\n');
        }
        Ok(text)
    }
}

/// Visits every place for comments in a table, with the comments inside an array of several lines. A strip
/// is named by its name.
fn each(table: &mut Table, within: &str, visit: &mut impl FnMut(&str, &mut Decor, String)) {
    for (mut key, item) in table.iter_mut() {
        let place = format!("{within}.{}", key.get());
        match item {
            Item::Value(value) => {
                visit(&place, key.leaf_decor_mut(), inside(value));
                visit(&format!("{place} ="), value.decor_mut(), String::new());
            }
            Item::Table(table) => {
                visit(&place, table.decor_mut(), String::new());
                each(table, &place, visit);
            }
            Item::ArrayOfTables(tables) => {
                for table in tables.iter_mut() {
                    let name = table.get("name").and_then(Item::as_str).unwrap_or_default();
                    let place = format!("{place} {name}");
                    visit(&place, table.decor_mut(), String::new());
                    each(table, &place, visit);
                }
            }
            Item::None => {}
        }
    }
}

/// The comments between the values of an array.
fn inside(value: &Value) -> String {
    let Some(array) = value.as_array() else { return String::new() };
    let decors = array.iter().map(Value::decor);
    let raw = decors.flat_map(|decor| [decor.prefix(), decor.suffix()]).flatten();
    raw.chain([array.trailing()]).filter_map(|raw| raw.as_str()).collect()
}

/// What follows the comments at the head that this program writes.
fn body(text: &str) -> &str {
    let text = text.trim_start_matches('\u{FEFF}');
    if !text.starts_with(HEAD) {
        return text;
    }
    let head: usize =
        text.split_inclusive('\n').take_while(|line| !line.trim().is_empty()).map(str::len).sum();
    &text[head..]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_stay_with_their_lines() {
        let old = format!(
            "{HEAD}\n# result\n\n# mine\nname = \"a # b\" # of June\nnote = \"\"\"two\n# no comment\nlines\"\"\"\n\n# print on grade 2\n[aims]\nscene_stops = [\n  5.0, # flat\n  6.0,\n]\n[[strip]]\n# thin\nname = \"A\"\nminutes = 5.0 # by the clock\n[[strip]]\nname = \"B\"\n# gone\nminutes = 6.0\n# last\n"
        );
        let remarks = Remarks::of(&old).expect("TOML");
        assert_eq!(remarks.len(), 8);
        let new = "name = \"a\"\nnote = 'x'\n\n[aims]\nscene_stops = [5.0]\n\n[[strip]]\nname = \"A\"\nminutes = 5.0\n";
        let text = remarks.put_into(new).expect("TOML");
        assert_eq!(
            text,
            "# mine\nname = \"a\" # of June\nnote = 'x'\n\n# print on grade 2\n[aims]\n# flat\nscene_stops = [5.0]\n\n[[strip]]\n# thin\nname = \"A\"\nminutes = 5.0 # by the clock\n# gone\n# last\n"
        );
        // Written again, nothing moves.
        assert_eq!(Remarks::of(&text).and_then(|r| r.put_into(new)), Ok(text));
        let none = Remarks::of(&format!("{HEAD}\n# result\n\n{new}"));
        assert_eq!(none, Ok(Remarks::default()));
    }
}
