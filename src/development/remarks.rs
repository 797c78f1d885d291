//! What a person wrote into a pairing's file as TOML comments, kept when the file is written again.

/// The first line of the comments that this program writes at the head of a file.
pub(super) const HEAD: &str =
    "# A pairing of a film and a developer. You can edit the aims; results are calculated again from the readings.";

/// The comments of a person in a file, each with its place.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Remarks(Vec<Remark>);

#[derive(Clone, Debug, PartialEq, Eq)]
struct Remark {
    /// The line that it stands above, or at the end of; `None` at the end of the file.
    anchor: Option<Anchor>,
    /// Whether it stands at the end of the line.
    after: bool,
    /// With its `#`.
    text: String,
}

/// A table and a key in it; an empty key for the line of the table's name. A strip's table is named with
/// the strip.
type Anchor = (String, String);

impl Remarks {
    /// How many lines they are.
    #[must_use]
    pub const fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether there are none.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The comments of `text`, but those that this program writes.
    pub(super) fn of(text: &str) -> Self {
        let mut remarks = Vec::new();
        let mut waiting: Vec<Remark> = Vec::new();
        for line in lines(body(text)) {
            let Some(comment) = line.comment else {
                if line.anchor.is_some() {
                    remarks.extend(waiting.drain(..).map(|r| Remark { anchor: line.anchor.clone(), ..r }));
                }
                continue;
            };
            let after = line.anchor.is_some();
            if after {
                remarks.extend(waiting.drain(..).map(|r| Remark { anchor: line.anchor.clone(), ..r }));
            }
            let remark = Remark { anchor: line.anchor, after, text: comment.to_owned() };
            if after { remarks.push(remark) } else { waiting.push(remark) }
        }
        remarks.extend(waiting);
        Self(remarks)
    }

    /// `toml`, which has no comments, with these in their places. Those whose places are gone stand at the
    /// end.
    pub(super) fn put_into(&self, toml: &str) -> String {
        let mut left: Vec<&Remark> = self.0.iter().collect();
        let mut text = String::new();
        for line in lines(toml) {
            let (here, others): (Vec<_>, Vec<_>) =
                left.into_iter().partition(|r| line.anchor.is_some() && r.anchor == line.anchor);
            left = others;
            let (after, above): (Vec<_>, Vec<_>) = here.into_iter().partition(|r| r.after);
            for remark in above {
                text.push_str(&format!("{}\n", remark.text));
            }
            text.push_str(line.text);
            for remark in after {
                text.push_str(&format!(" {}", remark.text));
            }
            text.push('\n');
        }
        for remark in left {
            text.push_str(&format!("{}\n", remark.text));
        }
        text
    }
}

/// What follows the comments at the head that this program writes.
fn body(text: &str) -> &str {
    if !text.trim_start_matches('\u{FEFF}').starts_with(HEAD) {
        return text;
    }
    let head: usize =
        text.split_inclusive('\n').take_while(|line| !line.trim().is_empty()).map(str::len).sum();
    &text[head..]
}

/// One line of TOML.
struct Line<'a> {
    text: &'a str,
    /// What begins in it, if anything does.
    anchor: Option<Anchor>,
    /// Its comment.
    comment: Option<&'a str>,
}

/// The lines of a TOML text.
fn lines(text: &str) -> Vec<Line<'_>> {
    let mut scan = Scan::default();
    let mut table = String::new();
    let all: Vec<&str> = text.lines().collect();
    let mut found = Vec::new();
    for (index, text) in all.iter().enumerate() {
        let begins = scan.is_between();
        let comment = scan.comment(text);
        let code = comment.map_or(*text, |comment| &text[..text.len() - comment.len()]).trim();
        let anchor = match code.split_once('=') {
            _ if !begins || code.is_empty() => None,
            _ if code.starts_with('[') => {
                table = code.to_owned();
                if code == "[[strip]]" {
                    let own = all[index + 1..].iter().take_while(|line| !line.starts_with('['));
                    let name = own.map(|line| line.trim()).find(|line| line.starts_with("name"));
                    table.push_str(name.unwrap_or_default());
                }
                Some((table.clone(), String::new()))
            }
            Some((key, _)) => Some((table.clone(), key.trim().to_owned())),
            None => None,
        };
        found.push(Line { text, anchor, comment });
    }
    found
}

/// Where in a TOML text a line begins and ends.
#[derive(Default)]
struct Scan {
    /// The quotation marks of a text of several lines that is open.
    open: Option<&'static str>,
    /// How many brackets of arrays are open.
    depth: usize,
}

impl Scan {
    /// Whether a key or a table may begin here.
    const fn is_between(&self) -> bool {
        self.open.is_none() && self.depth == 0
    }

    /// The comment in the next line, with its `#`.
    fn comment<'a>(&mut self, line: &'a str) -> Option<&'a str> {
        let is_table = self.is_between() && line.trim_start().starts_with('[');
        let mut rest = line;
        while !rest.is_empty() {
            if let Some(quotes) = self.open {
                let (before, after) = rest.split_once(quotes)?;
                // A quotation mark after a backslash is part of the text.
                let backslashes = before.bytes().rev().take_while(|b| *b == b'\\').count();
                if quotes.starts_with('"') && backslashes % 2 == 1 {
                    rest = &rest[before.len() + 1..];
                    continue;
                }
                self.open = None;
                rest = after;
                continue;
            }
            let several = ["\"\"\"", "'''"].into_iter().find(|quotes| rest.starts_with(quotes));
            let one = ["\"", "'"].into_iter().find(|quotes| rest.starts_with(quotes));
            if let Some(quotes) = several.or(one) {
                self.open = Some(quotes);
                rest = &rest[quotes.len()..];
                continue;
            }
            match rest.as_bytes()[0] {
                b'#' => return Some(rest),
                b'[' if !is_table => self.depth += 1,
                b']' if !is_table => self.depth = self.depth.saturating_sub(1),
                _ => {}
            }
            rest = &rest[rest.chars().next().map_or(1, char::len_utf8)..];
        }
        // A text in single quotation marks ends with its line.
        self.open = self.open.filter(|quotes| quotes.len() == 3);
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_stay_with_their_lines() {
        let old = format!(
            "{HEAD}\n# result\n\n# mine\nname = \"a # b\" # of June\nnote = \"\"\"two\n# no comment\nlines\"\"\"\n\n# print on grade 2\n[aims]\nscene_stops = [\n  5.0, # flat\n  6.0,\n]\n[[strip]]\n# thin\nname = \"A\"\nminutes = 5.0 # by the clock\n[[strip]]\nname = \"B\"\n# gone\nminutes = 6.0\n# last\n"
        );
        let remarks = Remarks::of(&old);
        assert_eq!(remarks.len(), 8);
        let new = "name = \"a\"\nnote = 'x'\n\n[aims]\nscene_stops = [5.0]\n\n[[strip]]\nname = \"A\"\nminutes = 5.0\n";
        let text = remarks.put_into(new);
        assert_eq!(
            text,
            "# mine\nname = \"a\" # of June\nnote = 'x'\n\n# print on grade 2\n[aims]\nscene_stops = [5.0]\n\n[[strip]]\n# thin\nname = \"A\"\nminutes = 5.0 # by the clock\n# flat\n# gone\n# last\n"
        );
        // Written again, nothing moves.
        assert_eq!(Remarks::of(&text).put_into(new), text);
        assert!(Remarks::of(&format!("{HEAD}\n# result\n\n{new}")).is_empty());
    }
}
