//! An answer as aligned text: widths are computed, and no line is longer than the terminal is wide.

use crate::answers::{Block, Column, Description, Field, Note, NoteKind, Section, Table, Value};
use crate::words::visible;
use textwrap::{WordSplitter, core::display_width};

/// The width where there is no terminal.
pub const WIDTH: usize = 80;
/// Below this nothing can be laid out; a narrower terminal breaks the lines itself.
const NARROWEST: usize = 24;
/// Space between columns.
const GAP: usize = 2;
/// The narrowest that a column of words is made.
const NARROW_COLUMN: usize = 10;
/// The widest that a column is made for the sake of its heading, which then runs over several lines.
const WIDE_HEADING: usize = 16;
/// The share of a line that labels may take.
const LABEL_SHARE: f64 = 0.6;

/// The description as text, every line ended.
#[must_use]
pub fn render(description: &Description, width: usize) -> String {
    let mut text = Text { out: String::new(), width: width.max(NARROWEST) };
    if let Some(first) = &description.first {
        text.paragraph(0, &format!("{}: ", first.label), &first.value.for_people());
    }
    text.paragraph(0, "", &description.title);
    if let Some(subtitle) = &description.subtitle {
        text.paragraph(2, "", subtitle);
    }
    let (cautions, others): (Vec<&Note>, Vec<&Note>) =
        description.notes.iter().partition(|n| n.kind == NoteKind::Caution);
    if !cautions.is_empty() {
        // What protects people comes first.
        text.gap();
        text.notes(2, cautions);
        text.gap();
    }
    text.blocks(2, &description.blocks);
    text.notes(2, others);
    text.out
}

/// Each line of a text broken so that it is no wider than `width`; what follows begins below its beginning.
#[must_use]
pub fn filled(text: &str, width: usize) -> String {
    let width = width.max(NARROWEST);
    let one = |line: &str| {
        if display_width(line) <= width {
            return line.to_owned();
        }
        let indent = " ".repeat(line.len() - line.trim_start().len());
        let end = &line[line.trim_end().len()..];
        wrapped(line.trim(), width, &indent, &indent).join("\n") + end
    };
    text.split('\n').map(one).collect::<Vec<_>>().join("\n")
}

struct Text {
    out: String,
    width: usize,
}

impl Text {
    fn line(&mut self, line: &str) {
        self.out.push_str(&visible(line.trim_end()));
        self.out.push('\n');
    }

    fn gap(&mut self) {
        if !self.out.is_empty() && !self.out.ends_with("\n\n") {
            self.out.push('\n');
        }
    }

    /// Lines that begin at `indent`, the first with `lead`, the others below what follows it.
    fn paragraph(&mut self, indent: usize, lead: &str, words: &str) {
        let first = format!("{}{lead}", " ".repeat(indent));
        let hang =
            if display_width(&first) * 4 > self.width * 3 { indent } else { display_width(&first) };
        for line in wrapped(words, self.width, &first, &" ".repeat(hang)) {
            self.line(&line);
        }
    }

    fn blocks(&mut self, indent: usize, blocks: &[Block]) {
        let blocks = flat(blocks);
        let mut rest = blocks.as_slice();
        while let Some((block, after)) = rest.split_first() {
            match block {
                Block::Field(_) => {
                    let fields: Vec<&Field> = rest.iter().map_while(|b| field(b)).collect();
                    self.fields(indent, &fields);
                    rest = &rest[fields.len()..];
                    continue;
                }
                Block::Section(section) => self.section(indent, section),
                Block::Sections { items, .. } => {
                    for section in items {
                        self.section(indent, section);
                    }
                }
                Block::Table(table) => self.table(indent, table),
                Block::Line { words, .. } => self.paragraph(indent, "", words),
                Block::Twofold { .. } | Block::Data { .. } => {}
            }
            rest = after;
        }
    }

    fn section(&mut self, indent: usize, section: &Section) {
        if let Some(title) = &section.title {
            self.gap();
            self.paragraph(indent.saturating_sub(2), "", title);
        }
        self.blocks(indent, &section.blocks);
        self.notes(indent, section.notes.iter().flatten());
    }

    fn fields(&mut self, indent: usize, fields: &[&Field]) {
        let most = (LABEL_SHARE * self.width as f64) as usize;
        let labels = fields.iter().map(|f| display_width(&f.label)).max().unwrap_or(0).min(most);
        let values = aligned(fields.iter().map(|f| &f.value));
        for (field, value) in fields.iter().zip(values) {
            let label = wrapped(&field.label, labels.max(1), "", "");
            let (last, before) = label.split_last().expect("a line of label");
            for line in before {
                self.line(&format!("{}{line}", " ".repeat(indent)));
            }
            let lead =
                format!("{last}{}", " ".repeat(labels + GAP - display_width(last).min(labels)));
            self.paragraph(indent, &lead, &value);
        }
    }

    fn table(&mut self, indent: usize, table: &Table) {
        if let Some(title) = &table.title {
            self.gap();
            self.paragraph(indent.saturating_sub(2), "", title);
        } else if !table.rows.is_empty() {
            self.gap();
        }
        if table.rows.is_empty() {
            // A table that may be empty has a title only where it is not.
            if table.title.is_none() {
                return;
            }
            return self.line(&format!("{}none", " ".repeat(indent)));
        }
        let shown: Vec<usize> = (0..table.columns.len())
            .filter(|&k| !table.columns[k].for_programs)
            .filter(|&k| table.rows.iter().any(|row| row.cells[k] != Value::Empty))
            .collect();
        let columns: Vec<Cells> = shown.iter().map(|&k| Cells::of(table, k)).collect();
        match widths(&columns, self.width - indent) {
            Some(widths) => self.grid(indent, &columns, &widths, table.rows.len()),
            None => self.records(indent, table, &shown),
        }
    }

    /// Rows below one another in columns.
    fn grid(&mut self, indent: usize, columns: &[Cells], widths: &[usize], rows: usize) {
        let heads: Vec<Vec<String>> = columns
            .iter()
            .zip(widths)
            .map(|(column, width)| wrapped(&column.label, *width, "", ""))
            .collect();
        let height = heads.iter().map(Vec::len).max().unwrap_or(0);
        if columns.iter().any(|c| !c.label.is_empty()) {
            // Headings stand on the line above the first row.
            let heads = heads
                .into_iter()
                .map(|head| [vec![String::new(); height - head.len()], head].concat())
                .collect::<Vec<_>>();
            self.row(indent, columns, widths, &heads);
        }
        for row in 0..rows {
            let cells: Vec<Vec<String>> = columns
                .iter()
                .zip(widths)
                .map(|(column, width)| match column.is_number {
                    true => vec![column.cells[row].clone()],
                    false => wrapped(&column.cells[row], *width, "", ""),
                })
                .collect();
            self.row(indent, columns, widths, &cells);
        }
    }

    fn row(&mut self, indent: usize, columns: &[Cells], widths: &[usize], cells: &[Vec<String>]) {
        let height = cells.iter().map(Vec::len).max().unwrap_or(0);
        for n in 0..height {
            let mut line = " ".repeat(indent);
            for (k, (cell, width)) in cells.iter().zip(widths).enumerate() {
                if k > 0 {
                    line.push_str(&" ".repeat(GAP));
                }
                let text = cell.get(n).map_or("", String::as_str);
                let pad = " ".repeat(width.saturating_sub(display_width(text)));
                let (before, after) =
                    if columns[k].is_number { (pad.as_str(), "") } else { ("", pad.as_str()) };
                line.push_str(before);
                line.push_str(text);
                line.push_str(after);
            }
            self.line(&line);
        }
    }

    /// Each row as fields of its own, where the columns are too many for the width.
    fn records(&mut self, indent: usize, table: &Table, shown: &[usize]) {
        for (n, row) in table.rows.iter().enumerate() {
            if n > 0 {
                self.gap();
            }
            let fields: Vec<Field> = shown
                .iter()
                .filter(|&&k| row.cells[k] != Value::Empty)
                .map(|&k| {
                    let column = &table.columns[k];
                    Field::new(column.key.clone(), column.label.clone(), row.cells[k].clone())
                })
                .collect();
            self.fields(indent, &fields.iter().collect::<Vec<_>>());
        }
    }

    fn notes<'a>(&mut self, indent: usize, notes: impl IntoIterator<Item = &'a Note>) {
        for note in notes.into_iter().filter(|n| n.kind != NoteKind::ForPrograms) {
            let lead = match note.kind {
                NoteKind::Remark | NoteKind::Missing | NoteKind::ForPrograms => "note: ",
                NoteKind::Caution => "caution: ",
            };
            self.paragraph(indent, lead, &note.for_people());
        }
    }
}

/// The blocks, those of sections without a title among the others, and without what only a machine reads.
fn flat(blocks: &[Block]) -> Vec<&Block> {
    let mut all = Vec::new();
    for block in blocks {
        match block {
            Block::Section(section) if section.title.is_none() && section.notes.is_none() => {
                all.extend(flat(&section.blocks));
            }
            Block::Twofold { people, .. } => all.extend(flat(people)),
            Block::Data { .. } => {}
            block => all.push(block),
        }
    }
    all
}

fn field(block: &Block) -> Option<&Field> {
    match block {
        Block::Field(field) => Some(field),
        _ => None,
    }
}

/// The cells of one column.
struct Cells {
    label: String,
    cells: Vec<String>,
    is_number: bool,
}

impl Cells {
    fn of(table: &Table, k: usize) -> Self {
        let Column { label, .. } = &table.columns[k];
        let values = || table.rows.iter().map(|row| &row.cells[k]);
        let is_number = values().any(Value::stands_as_number)
            && values().all(|v| v.stands_as_number() || *v == Value::Missing || v.is_blank());
        let mut cells =
            if is_number { aligned(values()) } else { values().map(Value::for_people).collect() };
        if is_number {
            // Numbers stand below one another whatever follows them; those in words of their own, such
            // as times, end at one place.
            let width = cells.iter().map(|c| display_width(c)).max().unwrap_or(0);
            for (cell, value) in cells.iter_mut().zip(values()) {
                let pad = " ".repeat(width - display_width(cell));
                match value {
                    Value::Worded(..) => cell.insert_str(0, &pad),
                    _ => cell.push_str(&pad),
                }
            }
        }
        Self { label: label.to_string(), cells, is_number }
    }

    /// The width that it would like, and the least that it can do with.
    fn width(&self) -> (usize, usize) {
        let longest = |text: &str| text.split(' ').map(display_width).max().unwrap_or(0);
        let cells = self.cells.iter().map(|c| display_width(c)).max().unwrap_or(0);
        let words = self.cells.iter().map(|c| longest(c)).max().unwrap_or(0);
        let head = display_width(&self.label)
            .min(WIDE_HEADING)
            .max(longest(&self.label).min(2 * NARROW_COLUMN));
        if self.is_number {
            let least = cells.max(longest(&self.label));
            (least.max(head), least)
        } else {
            let least = words.max(longest(&self.label)).clamp(1, 2 * NARROW_COLUMN);
            let wanted = cells.max(head).max(1);
            (wanted, least.max(NARROW_COLUMN).min(wanted))
        }
    }
}

/// Widths of columns that fit, the widest columns of words being made narrower; none where they cannot.
fn widths(columns: &[Cells], room: usize) -> Option<Vec<usize>> {
    let room = room.checked_sub(GAP * columns.len().saturating_sub(1))?;
    let (mut widths, least): (Vec<usize>, Vec<usize>) = columns.iter().map(Cells::width).unzip();
    while widths.iter().sum::<usize>() > room {
        let widest =
            (0..widths.len()).filter(|&k| widths[k] > least[k]).max_by_key(|&k| (widths[k], k))?;
        widths[widest] -= 1;
    }
    Some(widths)
}

/// Values with their decimal points below one another, and their intervals too.
fn aligned<'a>(values: impl Iterator<Item = &'a Value> + Clone) -> Vec<String> {
    let amounts: Vec<_> = values
        .clone()
        .map(|v| match v {
            Value::Amount(amount) => Some((amount.written(), amount.interval_written())),
            Value::Count(count) => Some((count.to_string(), None)),
            _ => None,
        })
        .collect();
    let before =
        |text: &str| text.find(['.', ':', ' ']).map_or(text, |at| &text[..at]).chars().count();
    let whole = amounts.iter().flatten().map(|(text, _)| before(text)).max().unwrap_or(0);
    let pad = |text: &str| format!("{}{text}", " ".repeat(whole - before(text)));
    let widest = amounts
        .iter()
        .flatten()
        .filter(|(_, interval)| interval.is_some())
        .map(|(text, _)| display_width(&pad(text)))
        .max()
        .unwrap_or(0);
    let write = |(amount, value): (&Option<(String, Option<String>)>, &Value)| match amount {
        Some((text, Some(interval))) => {
            let number = pad(text);
            format!("{number}{} {interval}", " ".repeat(widest - display_width(&number)))
        }
        Some((text, None)) => pad(text),
        None => value.for_people(),
    };
    amounts.iter().zip(values).map(write).collect()
}

fn wrapped(words: &str, width: usize, first: &str, others: &str) -> Vec<String> {
    let options = textwrap::Options::new(width.max(1))
        .initial_indent(first)
        .subsequent_indent(others)
        .word_splitter(WordSplitter::NoHyphenation)
        .break_words(true);
    // One line break is a space here: a value cannot break the layout.
    let words = words.replace(['\n', '\r', '\t'], " ");
    // Spaces at the beginning hold decimal points below one another.
    let spaces = words.len() - words.trim_start().len();
    let first = format!("{first}{}", " ".repeat(spaces));
    let lines = textwrap::wrap(words.trim(), options.initial_indent(&first));
    match lines.is_empty() {
        true => vec![first.trim_end().to_owned()],
        false => lines.into_iter().map(std::borrow::Cow::into_owned).collect(),
    }
}
