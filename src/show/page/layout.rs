//! From a description to pieces, and from pieces to pages.

use super::break_lines::lines;
use super::piece::{Column, Piece, Placed};
use super::table;
use crate::answers::{Block, Description, Field, Note, NoteKind, Section};
use crate::figures::draw::{Anchor, BLACK, CAP_HEIGHT, MILLIMETRE, Scene, Text, text_width};

const MARGIN: f64 = 12.0 * MILLIMETRE;
const TITLE: f64 = 6.0 * MILLIMETRE;
const SUBTITLE: f64 = 3.7 * MILLIMETRE;
/// Capitals of the great value.
const GREAT: f64 = 11.0 * MILLIMETRE / CAP_HEIGHT;
/// The most of the width that the great value takes.
const GREAT_SHARE: f64 = 0.4;
/// The least that the great value is made smaller to; a longer one is no great value.
const LEAST_GREAT: f64 = 0.4;
/// The headings of parts and tables, in the size of type.
const HEADING: f64 = 1.15;
/// A warning, in the size of type.
const WARNING: f64 = 1.7;
/// Height kept free for the foot.
const FOOT: f64 = 6.0 * MILLIMETRE;
/// The share of the width that labels of fields may take.
const LABEL_SHARE: f64 = 0.4;
/// Most lines of one piece; a longer text becomes several.
const MOST_LINES: usize = 24;

/// Sizes of a page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Look {
    pub margin: f64,
    /// Inside the margins.
    pub width: f64,
    pub height: f64,
    /// Size of type.
    pub size: f64,
}

impl Look {
    pub fn new((width, height): (f64, f64), size: f64) -> Self {
        let inside = |side: f64| side * MILLIMETRE - 2.0 * MARGIN;
        Self { margin: MARGIN, width: inside(width), height: inside(height), size }
    }

    /// Side of a box to tick.
    pub fn box_side(&self) -> f64 {
        1.05 * self.size
    }
}

/// Pieces on their pages.
pub(super) struct Layout {
    pub look: Look,
    pub pages: Vec<Vec<Placed>>,
    title: String,
}

impl Layout {
    pub fn of(description: &Description, look: Look) -> Self {
        let mut maker = Maker { look, pieces: Vec::new(), led: Vec::new() };
        maker.description(description);
        let pages = paged(maker.pieces, &look);
        Self { look, pages, title: description.title.clone() }
    }

    /// What stands on a page, for those who cannot see it.
    pub fn in_words(&self, page: usize) -> String {
        let pieces = self.pages.get(page).into_iter().flatten();
        let words = pieces.map(|p| p.piece.words()).filter(|w| !w.is_empty());
        words.collect::<Vec<_>>().join("; ")
    }

    /// The number of the page, and what it belongs to, below all else.
    pub fn draw_foot(&self, scene: &mut Scene, page: usize, of: usize) {
        let size = self.look.size;
        let y = self.look.margin + self.look.height - size;
        let mut put = |text: String, x: f64, anchor| {
            scene.text(Text::new(text, (x, y), size).centred().coloured(BLACK).anchored(anchor));
        };
        let number = format!("page {page} of {of}");
        let room = self.look.width - text_width(&number, size) - 2.0 * size;
        let right = self.look.margin + self.look.width;
        put(number, right, Anchor::End);
        if let Some(title) = lines(&self.title, size, room).into_iter().next() {
            put(title, self.look.margin, Anchor::Start);
        }
    }
}

/// Pieces from top to bottom, on as many pages as they need.
fn paged(pieces: Vec<Piece>, look: &Look) -> Vec<Vec<Placed>> {
    let room = look.height;
    let all: f64 = pieces.iter().map(Piece::height).sum();
    // The foot needs room only where there are several pages.
    let room = if all > room { room - FOOT } else { room };
    let mut pages: Vec<Vec<Placed>> = vec![Vec::new()];
    let mut y = 0.0;
    let mut head: Option<Piece> = None;
    let warning = pieces.iter().filter(|piece| piece.warns).cloned();
    let mut warnings: Vec<Piece> = warning.collect();
    if !warnings.is_empty() {
        warnings.push(Piece::gap(look.size));
    }
    let mut rest = pieces.into_iter().peekable();
    let mut group: Vec<Piece> = Vec::new();
    while let Some(piece) = rest.next() {
        let stays = piece.stays_with_next && rest.peek().is_some();
        group.push(piece);
        if stays {
            continue;
        }
        let height: f64 = group.iter().map(Piece::height).sum();
        let page = pages.last_mut().expect("a page");
        if y + height > room && !page.is_empty() {
            pages.push(Vec::new());
            y = 0.0;
            let is_row = group[0].is_row;
            group.splice(0..0, warnings.iter().cloned());
            if let Some(head) = head.clone().filter(|_| is_row) {
                group.insert(warnings.len(), head);
            }
        }
        let page = pages.last_mut().expect("a page");
        for piece in group.drain(..) {
            if piece.is_gap && page.is_empty() {
                continue;
            }
            if piece.heads {
                head = Some(piece.clone());
            }
            let height = piece.height();
            page.push(Placed { piece, top: look.margin + y });
            y += height;
        }
    }
    pages
}

/// Makes pieces of a description.
pub(super) struct Maker {
    pub look: Look,
    pub pieces: Vec<Piece>,
    /// Fields that stand beside the great value and not a second time in their sections.
    led: Vec<Field>,
}

impl Maker {
    fn description(&mut self, all: &Description) {
        let (size, width) = (self.look.size, self.look.width);
        if let Some(first) = &all.first {
            let words = format!("{}: {}", first.label, first.value.for_people());
            if first.warns {
                self.warning(&words);
            } else {
                self.paragraph(&words, 1.2 * size, 0.0);
            }
            self.gap(0.6);
        }
        self.paragraph(&all.title, TITLE, 0.0);
        if let Some(subtitle) = &all.subtitle {
            self.paragraph(subtitle, SUBTITLE, 0.0);
        }
        self.gap(0.9);
        let (cautions, notes): (Vec<&Note>, Vec<&Note>) = all
            .notes
            .iter()
            .filter(|n| n.kind != NoteKind::ForPrograms)
            .partition(|n| n.kind == NoteKind::Caution);
        self.cautions(&cautions);
        let mut leading = Vec::new();
        led(&all.blocks, &mut leading);
        self.great(&leading, width);
        self.blocks(&all.blocks);
        self.gap(0.9);
        self.notes(notes.into_iter());
    }

    pub fn gap(&mut self, sizes: f64) {
        let again = self.pieces.last().is_none_or(|piece| piece.is_gap);
        if !again {
            self.pieces.push(Piece::gap(sizes * self.look.size));
        }
    }

    /// A text over the width, a piece a line.
    fn paragraph(&mut self, text: &str, size: f64, indent: f64) {
        for line in lines(text, size, self.look.width - indent) {
            self.pieces.push(Piece::text(size, vec![Column::starting(indent, vec![line])]));
        }
    }

    /// What must be seen before all else, in one block.
    fn warning(&mut self, text: &str) {
        let size = WARNING * self.look.size;
        let inset = 0.5 * size;
        let all = lines(text, size, self.look.width - 2.0 * inset);
        for lines in all.chunks(MOST_LINES) {
            let columns = vec![Column::starting(inset, lines.to_vec())];
            let piece = Piece::text(size, columns);
            self.pieces.push(Piece { padding: 0.5 * inset, warns: true, ..piece });
        }
    }

    /// What protects people, in a frame.
    fn cautions(&mut self, cautions: &[&Note]) {
        let (size, inset) = (self.look.size, 0.7 * self.look.size);
        let room = self.look.width - 2.0 * inset - indent(size);
        let mut marks = Vec::new();
        let mut words = Vec::new();
        for caution in cautions {
            let own = lines(&caution.for_people(), size, room);
            marks.extend((0..own.len()).map(|n| if n == 0 { "!" } else { "" }.to_owned()));
            words.extend(own);
        }
        for (marks, words) in marks.chunks(MOST_LINES).zip(words.chunks(MOST_LINES)) {
            self.pieces.push(Piece {
                padding: inset,
                framed: true,
                ..Piece::text(
                    size,
                    vec![
                        Column::starting(inset, marks.to_vec()),
                        Column::starting(inset + indent(size), words.to_vec()),
                    ],
                )
            });
        }
        self.gap(0.9);
    }

    /// The value that is to be seen from afar, and beside it the others that lead.
    fn great(&mut self, leading: &[Field], width: f64) {
        let Some((first, others)) = leading.split_first() else { return };
        let number = first.value.for_people();
        let natural = text_width(&number, GREAT);
        let scale = (GREAT_SHARE * width / natural.max(1e-6)).min(1.0);
        if scale < LEAST_GREAT || number.trim().is_empty() {
            return;
        }
        let size = GREAT * scale;
        let beside = 1.15 * self.look.size;
        let indent = text_width(&number, size) + 1.5 * beside;
        let mut words = lines(&first.label, beside, width - indent);
        for field in others {
            let line = format!("{} {}", field.label, field.value.for_people());
            words.extend(lines(&line, beside, width - indent));
        }
        if words.len() > MOST_LINES {
            return;
        }
        self.led = leading.to_vec();
        self.pieces.push(Piece {
            great: Some((number, size)),
            ..Piece::text(beside, vec![Column::starting(indent, words)])
        });
        self.gap(1.2);
    }

    pub fn blocks(&mut self, blocks: &[Block]) {
        let fields: Vec<&Field> = blocks
            .iter()
            .flat_map(|block| match block {
                Block::Field(field) => std::slice::from_ref(field),
                _ => &[],
            })
            .filter(|f| !self.led.contains(f))
            .collect();
        let labels = self.label_width(&fields);
        for block in blocks {
            match block {
                Block::Field(field) if self.led.contains(field) => {}
                Block::Field(field) => self.field(field, labels),
                Block::Section(section) => self.section(section),
                Block::Sections { items, .. } => items.iter().for_each(|s| self.section(s)),
                Block::Table(table) => table::add(self, table),
                Block::Line { words, .. } => self.paragraph(words, self.look.size, 0.0),
                Block::Twofold { people, .. } => self.blocks(people),
                Block::Data { .. } => {}
            }
        }
    }

    fn section(&mut self, section: &Section) {
        if let Some(title) = &section.title {
            self.heading(title);
        }
        self.blocks(&section.blocks);
        let notes = section.notes.iter().flatten();
        self.notes(notes.filter(|n| n.kind != NoteKind::ForPrograms));
        if section.title.is_some() {
            self.gap(0.6);
        }
    }

    /// The title of a part, which does not stand alone at the foot of a page.
    pub fn heading(&mut self, title: &str) {
        self.gap(0.9);
        let before = self.pieces.len();
        self.paragraph(title, HEADING * self.look.size, 0.0);
        for piece in &mut self.pieces[before..] {
            piece.stays_with_next = true;
        }
    }

    fn label_width(&self, fields: &[&Field]) -> f64 {
        let widest =
            fields.iter().map(|f| text_width(&f.label, self.look.size)).fold(0.0, f64::max);
        widest.min(LABEL_SHARE * self.look.width)
    }

    /// A label and its value beside it.
    pub fn field(&mut self, field: &Field, labels: f64) {
        let size = self.look.size;
        let label = lines(&field.label, size, labels + 1e-6);
        let x = labels + 1.2 * size;
        let value = lines(&field.value.for_people(), size, self.look.width - x);
        let mut label = label.chunks(MOST_LINES);
        let mut value = value.chunks(MOST_LINES);
        loop {
            let (label, value) = (label.next(), value.next());
            if label.is_none() && value.is_none() {
                return;
            }
            let columns = [(0.0, label), (x, value)];
            let columns = columns.into_iter().filter_map(|(x, lines)| Some((x, lines?)));
            let columns = columns.map(|(x, lines)| Column::starting(x, lines.to_vec())).collect();
            self.pieces.push(Piece::text(size, columns));
        }
    }

    fn notes<'a>(&mut self, notes: impl Iterator<Item = &'a Note>) {
        let size = self.look.size;
        let width = self.look.width - indent(size);
        for note in notes {
            for (n, line) in lines(&note.for_people(), size, width).into_iter().enumerate() {
                let mark = if n == 0 { vec!["•".to_owned()] } else { Vec::new() };
                let columns = vec![
                    Column::starting(0.3 * size, mark),
                    Column::starting(indent(size), vec![line]),
                ];
                self.pieces.push(Piece::text(size, columns));
            }
        }
    }
}

/// From a mark to its words.
fn indent(size: f64) -> f64 {
    1.3 * size
}

/// The fields that lead, those of sections too.
fn led(blocks: &[Block], into: &mut Vec<Field>) {
    for block in blocks {
        match block {
            Block::Field(field) if field.leads => into.push(field.clone()),
            Block::Section(section) => led(&section.blocks, into),
            Block::Twofold { people, .. } => led(people, into),
            _ => {}
        }
    }
}
