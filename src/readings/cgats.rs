//! ISO 28178 exchange text, known by the name of its first edition, CGATS: keywords, a data format
//! that names the fields, and the data, in one or more tables.

use std::sync::Arc;

use super::columns::{Known, normalised};
use super::fault::ReadError;
use super::gather::{Gathered, Input};
use super::intake::{Intake, RowTaker};
use super::place::Place;
use super::table::{Constant, HeadedColumn, Header, TableRow};

/// Whether `text` is of this format: it starts with a name of the standard, or has a data format.
pub(super) fn recognised(text: &str) -> bool {
    let first = text.lines().map(str::trim).find(|line| !line.is_empty()).unwrap_or("");
    let upper = first.to_ascii_uppercase();
    let named = ["CGATS", "ISO28178", "ISO 28178"].iter().any(|name| upper.starts_with(name));
    (named && !first.contains([',', ';', '\t']))
        || text.lines().any(|line| line.trim() == "BEGIN_DATA_FORMAT")
}

/// A line of the file that is not empty.
#[derive(Clone, Debug)]
struct Line<'t> {
    number: u32,
    text: &'t str,
    tokens: Vec<String>,
}

impl Line<'_> {
    fn keyword(&self) -> &str {
        self.tokens.first().map_or("", String::as_str)
    }

    fn value(&self) -> &str {
        self.tokens.get(1).map_or("", String::as_str)
    }
}

/// The words of a line: separated by blanks, in quotation marks where they contain one (doubled inside
/// them), up to a `#`.
fn tokens(line: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut rest = line.trim_start();
    while let Some(first) = rest.chars().next().filter(|first| *first != '#') {
        if first != '"' {
            let end = rest.find(char::is_whitespace).unwrap_or(rest.len());
            found.push(rest[..end].to_owned());
            rest = rest[end..].trim_start();
            continue;
        }
        let mut word = String::new();
        let mut marks = rest.char_indices().skip(1).peekable();
        let mut end = rest.len();
        while let Some((at, c)) = marks.next() {
            if c != '"' {
                word.push(c);
            } else if marks.next_if(|(_, next)| *next == '"').is_some() {
                word.push('"');
            } else {
                end = at + 1;
                break;
            }
        }
        found.push(word);
        rest = rest[end..].trim_start();
    }
    found
}

/// Reads `text` into `gathered`, table after table.
pub(super) fn read(input: &Input<'_>, text: &str, gathered: &mut Gathered) {
    let lines: Vec<Line<'_>> = (1..)
        .zip(text.lines())
        .map(|(number, text)| Line { number, text, tokens: tokens(text) })
        .filter(|line| !line.tokens.is_empty())
        .collect();
    let mut rest = lines.as_slice();
    for rank in 1.. {
        let (table, after) = match Table::split_off(rest, &input.file) {
            Ok(split) => split,
            Err(fault) => return gathered.faults.push(fault),
        };
        let stem = match rank {
            1 => input.stem.clone(),
            _ => format!("{} table {rank}", input.stem),
        };
        table
            .read(&Input { file: Arc::clone(&input.file), stem, options: input.options }, gathered);
        rest = after;
        if !rest.iter().any(|line| line.keyword().starts_with("BEGIN_DATA")) {
            return;
        }
    }
}

/// One table: the lines of its head, of its data format, and of its data.
struct Table<'t> {
    file: Arc<str>,
    head: Vec<&'t Line<'t>>,
    fields: Vec<String>,
    format_line: &'t Line<'t>,
    data: &'t [Line<'t>],
}

impl<'t> Table<'t> {
    fn split_off(
        lines: &'t [Line<'t>],
        file: &Arc<str>,
    ) -> Result<(Self, &'t [Line<'t>]), ReadError> {
        let find = |from: usize, keyword: &'static str| {
            let found = lines[from..].iter().position(|line| line.keyword() == keyword);
            found.map(|at| from + at).ok_or_else(|| {
                let last = lines.last().map_or((1, ""), |line| (line.number, line.text));
                ReadError::MissingKeyword {
                    at: Box::new(Place::of_line(file, last.0, last.1)),
                    keyword,
                }
            })
        };
        let format = find(0, "BEGIN_DATA_FORMAT")?;
        let format_end = find(format, "END_DATA_FORMAT")?;
        let begin = find(format_end, "BEGIN_DATA")?;
        let end = find(begin, "END_DATA")?;
        let first = lines[format].tokens[1..].iter();
        let fields =
            first.chain(lines[format + 1..format_end].iter().flat_map(|line| &line.tokens));
        let table = Self {
            file: Arc::clone(file),
            head: lines[..format].iter().chain(&lines[format_end + 1..begin]).collect(),
            fields: fields.cloned().collect(),
            format_line: lines[format..format_end].last().unwrap_or(&lines[format]),
            data: &lines[begin + 1..end],
        };
        Ok((table, &lines[end + 1..]))
    }

    fn read(&self, input: &Input<'_>, gathered: &mut Gathered) {
        let counts = [("NUMBER_OF_FIELDS", self.fields.len()), ("NUMBER_OF_SETS", self.data.len())];
        let miscounted: Vec<ReadError> = counts
            .into_iter()
            .filter_map(|(keyword, found)| self.miscounted(keyword, found))
            .collect();
        let cut_off = self.data.is_empty() && !miscounted.is_empty();
        gathered.faults.extend(miscounted);
        let (columns, constants) = self.columns();
        let place = Place::of_line(&self.file, self.format_line.number, self.format_line.text);
        let header = Header { place, columns, may_be_wide: false };
        if let Some(fault) = self.colour_only(&header) {
            return gathered.faults.push(fault);
        }
        if cut_off {
            return;
        }
        gathered.table(input, &header, false, |gatherer| {
            for line in self.data {
                match self.row(line, &constants) {
                    Ok(row) => gatherer.row(&row),
                    Err(fault) => gatherer.fault(fault),
                }
            }
        });
    }

    /// The row of one line of data, which must have a value for each field.
    fn row(&self, line: &Line<'_>, constants: &Arc<[Constant]>) -> Result<TableRow, ReadError> {
        if line.tokens.len() != self.fields.len() {
            return Err(ReadError::FieldCount {
                at: Box::new(Place::of_line(&self.file, line.number, line.text)),
                found: line.tokens.len(),
                expected: self.fields.len(),
                advice: "write one set in a line, \"\" for an empty value, and quotation marks round a text with blanks",
            });
        }
        Ok(TableRow {
            line: line.number,
            cells: line.tokens.clone(),
            excerpt: Some(line.text.into()),
            constants: Arc::clone(constants),
        })
    }

    /// The columns of the data, then the keywords of the head, which are for the whole table.
    fn columns(&self) -> (Vec<HeadedColumn>, Arc<[Constant]>) {
        let has = |name: &str| self.fields.iter().any(|field| normalised(field) == name);
        let mut columns: Vec<HeadedColumn> = self
            .fields
            .iter()
            .map(|field| HeadedColumn {
                known: field_meaning(field, has("step"), has("sample_id")),
                heading: field.clone(),
            })
            .collect();
        let mut constants = Vec::new();
        for line in &self.head {
            let Some(known) = keyword_meaning(line.keyword()) else {
                continue;
            };
            if line.value().trim().is_empty()
                || columns.iter().any(|column| column.known == Some(known))
            {
                continue;
            }
            columns.push(HeadedColumn { heading: line.keyword().to_owned(), known: Some(known) });
            constants.push(Constant {
                line: line.number,
                excerpt: line.text.into(),
                text: line.value().to_owned(),
            });
        }
        (columns, constants.into())
    }

    fn miscounted(&self, keyword: &'static str, found: usize) -> Option<ReadError> {
        let line = self.head.iter().rev().find(|line| line.keyword() == keyword)?;
        (line.value().parse() != Ok(found)).then(|| ReadError::StatedCount {
            at: Box::new(Place::of_line(&self.file, line.number, line.text)),
            keyword,
            stated: line.value().into(),
            found,
        })
    }

    /// The fault of a table that has densities through colour filters but no visual density.
    fn colour_only(&self, header: &Header) -> Option<ReadError> {
        let colour = |field: &&String| {
            let name = normalised(field);
            ["d_red", "d_green", "d_blue", "d_cyan", "d_magenta", "d_yellow"]
                .contains(&name.as_str())
        };
        let found: Vec<String> = self.fields.iter().filter(colour).cloned().collect();
        let no_density = header.columns.iter().all(|column| column.known != Some(Known::Density));
        (no_density && !found.is_empty())
            .then(|| ReadError::ColourDensities { at: Box::new(header.place.clone()), found })
    }
}

/// What a field of the data format is, by the standard's name or by the column's own.
fn field_meaning(field: &str, has_step: bool, has_sample_id: bool) -> Option<Known> {
    match normalised(field).as_str() {
        "d_vis" | "d_visual" => Some(Known::Density),
        "sample_id" if !has_step => Some(Known::Step),
        "sample_name" if !has_step && !has_sample_id => Some(Known::Step),
        _ => Known::from_heading(field),
    }
}

/// What a keyword of the head gives for the whole table.
fn keyword_meaning(keyword: &str) -> Option<Known> {
    match normalised(keyword).as_str() {
        "table_name" => Some(Known::Strip),
        "created" => Some(Known::Date),
        _ => Known::from_heading(keyword).filter(|known| {
            use Known as K;
            let whole = [
                K::Strip,
                K::Minutes,
                K::Celsius,
                K::Fahrenheit,
                K::Film,
                K::Developer,
                K::Date,
                K::Note,
            ];
            whole.contains(known) || *known == K::ExposureIndex
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_quotations_and_comments() {
        assert_eq!(
            tokens("  A1\t0.62  \"pushed \"\"hard\"\"\" # remark"),
            ["A1", "0.62", "pushed \"hard\""]
        );
        assert_eq!(tokens("NOTE \"a # is no comment\""), ["NOTE", "a # is no comment"]);
        assert_eq!(tokens("\"\" \"open"), ["", "open"]);
        assert!(tokens("# only a remark").is_empty());
    }
}
