//! Columns that an old journal gets when an entry first fills them.

use super::columns::Column;
use super::entry::{Act, Entry};
use super::layout::Layout;
use super::parse::Parsed;
use super::struck::STRUCK;
use crate::readings::delimited::Records;

/// The columns that entries of numbered film fill and that the journal lacks.
pub(super) fn missing(entries: &[Entry], layout: &Layout) -> Vec<Column> {
    let loads = entries.iter().filter(|e| matches!(e.act, Act::Film { load: Some(_), .. }));
    let mut missing: Vec<Column> = Vec::new();
    for (column, _) in loads.flat_map(Entry::cells) {
        let is_of_film = column.is_of_load()
            || matches!(
                column,
                Column::Pairing | Column::Minutes | Column::Celsius | Column::Contrast
            );
        if is_of_film && layout.position(column).is_none() && !missing.contains(&column) {
            missing.push(column);
        }
    }
    missing
}

/// The good bytes of a journal with further columns before its last one, whose cell says whether a row is
/// whole. Every cell that is there stays; entries that were taken back keep their form too.
pub(super) fn widened(bytes: &[u8], parsed: &Parsed, columns: &[Column]) -> Vec<u8> {
    let delimiter = parsed.style.delimiter;
    let good = &bytes[..parsed.end];
    // Letters of any one-byte encoding stand for themselves: only ASCII is looked at.
    let text: String = good.iter().map(|byte| char::from(byte.min(&0x7F).to_owned())).collect();
    let mut places: Vec<(usize, bool)> = Vec::new();
    let mut rows: Vec<std::ops::Range<usize>> = Vec::new();
    let mut at = 0;
    let mut is_heading = true;
    // A line `sep=;` is no row.
    if text.trim_start_matches('\u{7F}').starts_with("sep=") {
        at = text.find('\n').map_or(text.len(), |end| end + 1);
    }
    let mut records = Records::new(&text[at..], delimiter, 0);
    let width = parsed.layout.as_ref().map_or(0, |layout| layout.columns.len());
    while let Some((_, raw)) = records.next((!is_heading).then_some(width)) {
        let row = at + records.start();
        places.push((row + before_last_cell(raw, delimiter), is_heading));
        rows.push(row..row + raw.len());
        is_heading = false;
    }
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        // A text in quotation marks may have such a line too.
        if line.starts_with(STRUCK) && !rows.iter().any(|row| row.contains(&start)) {
            places.push((start + before_last_cell(line, delimiter), false));
        }
        start += line.len();
    }
    places.sort_unstable();
    let mut wide = Vec::with_capacity(good.len() + 16 * places.len());
    let mut done = 0;
    for (place, heading) in places {
        wide.extend_from_slice(&good[done..place]);
        for column in columns {
            if heading {
                wide.extend_from_slice(column.name().as_bytes());
            }
            wide.push(delimiter);
        }
        done = place;
    }
    wide.extend_from_slice(&good[done..]);
    wide
}

/// Where the last cell of a row begins, in bytes. Separators in quotation marks do not count.
fn before_last_cell(raw: &str, delimiter: u8) -> usize {
    let mut quoted = false;
    let mut last = 0;
    for (at, byte) in raw.bytes().enumerate() {
        quoted ^= byte == b'"';
        if byte == delimiter && !quoted {
            last = at + 1;
        }
    }
    last
}

#[cfg(test)]
mod tests {
    use super::super::Journal;
    use super::super::parse::parse;
    use super::*;
    use jiff::civil::date;

    fn wide(text: &str) -> String {
        let parsed = parse(&"bath.csv".into(), text.as_bytes(), date(2026, 12, 31)).unwrap();
        let wide = widened(text.as_bytes(), &parsed, &[Column::Numbers, Column::Load]);
        String::from_utf8(wide).unwrap()
    }

    #[test]
    fn every_row_gets_the_columns_before_its_last() {
        let text = "\u{FEFF}date,act,litres,area_m2,strip,what,verdict\r\n# a remark, of the class\r\n\
            2026-01-05,mix,1,,,\"Quillback, é\r\nold\",\r\n\
            # struck out 2026-01-07,2026-01-06,film,,0.1,,,\r\n\r\n\
            \"2026-01-08\",strip,,,a,,\"in spec, \"\"good\"\"\"\r\n";
        let found = wide(text);
        assert_eq!(
            found,
            "\u{FEFF}date,act,litres,area_m2,strip,what,numbers,load,verdict\r\n# a remark, of the class\r\n\
            2026-01-05,mix,1,,,\"Quillback, é\r\nold\",,,\r\n\
            # struck out 2026-01-07,2026-01-06,film,,0.1,,,,,\r\n\r\n\
            \"2026-01-08\",strip,,,a,,,,\"in spec, \"\"good\"\"\"\r\n"
        );
        let read =
            |text: &str| Journal::parse("bath.csv", text.as_bytes(), date(2026, 12, 31)).unwrap();
        let (old, new) = (read(text), read(&found));
        assert_eq!((old.entries, old.struck.len()), (new.entries, new.struck.len()));
        assert_eq!(new.struck.len(), 1);
    }

    #[test]
    fn a_line_that_names_the_separator_stays() {
        let text = "sep=;\ndate;act;litres\n2026-01-05;mix;1,5";
        assert_eq!(wide(text), "sep=;\ndate;act;numbers;load;litres\n2026-01-05;mix;;;1,5");
    }

    #[test]
    fn a_last_column_that_is_the_date() {
        let text = "act,litres,date\nmix,1,2026-01-05\n";
        assert_eq!(wide(text), "act,litres,numbers,load,date\nmix,1,,,2026-01-05\n");
    }
}
