//! What an answer says, once, as data: sections of fields, tables, lists, notes.
//!
//! An answer makes a [`Description`] of itself; the faces of the program ([`crate::show`]) turn it into
//! text, JSON or a printed page, and compute nothing.

use super::value::Value;
use crate::measures::Quantity;
use std::borrow::Cow;
use std::fmt::Display;

/// A key of JSON: snake_case, with the unit where there is one.
pub type Key = Cow<'static, str>;

/// All that an answer says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Description {
    /// What must be seen before all else, such as the standing of a bath: above the title.
    pub first: Option<Field>,
    /// What the answer is about, in one line.
    pub title: String,
    /// A second line: what the first leaves out.
    pub subtitle: Option<String>,
    /// Fields whose values stand in the title or the subtitle: in JSON, and not a second time for people.
    pub heading: Vec<Field>,
    /// What it says, in order.
    pub blocks: Vec<Block>,
    /// Remarks, what is assumed, why a number is missing, cautions.
    pub notes: Vec<Note>,
}

/// A part of a description.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// One thing that is known.
    Field(Field),
    /// Fields and tables that belong together.
    Section(Section),
    /// Rows with the same columns.
    Table(Table),
    /// Sections that are alike, one after the other: a list in JSON.
    Sections {
        /// The key of the list.
        key: Key,
        /// The sections; their own keys are not used.
        items: Vec<Section>,
    },
    /// What only a machine reads, such as the parameters of a curve: in JSON, and on no other face.
    Data {
        /// Its key.
        key: Key,
        /// What it is.
        value: Value,
    },
    /// The same facts, laid out in one way for people and in another for programs: a table of the main
    /// numbers where a program gets a list of all.
    Twofold {
        /// For text and pages.
        people: Vec<Block>,
        /// For JSON.
        programs: Vec<Block>,
    },
    /// A sentence for people, and the fields whose values stand in it, for programs.
    Line {
        /// The sentence.
        words: String,
        /// What it says.
        fields: Vec<Field>,
    },
}

/// One thing that is known: a key for programs, a label for people, and the value.
#[derive(Clone, Debug, PartialEq)]
pub struct Field {
    /// Its key in JSON.
    pub key: Key,
    /// What people call it.
    pub label: Cow<'static, str>,
    /// What it is.
    pub value: Value,
    /// Whether the answer stands or falls with it: the first to be seen on a page.
    pub leads: bool,
    /// Whether it warns of using what follows: white on black on a page.
    pub warns: bool,
}

/// A titled part of a description. Without a key its fields stand in JSON where the section stands.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Section {
    /// The key of an object in JSON.
    pub key: Option<Key>,
    /// The title.
    pub title: Option<String>,
    /// Fields whose values stand in the title: in JSON, and not a second time for people.
    pub heading: Vec<Field>,
    /// What stands in it.
    pub blocks: Vec<Block>,
    /// Notes that belong to this section: in JSON under its own `notes`, if it has any.
    pub notes: Option<Vec<Note>>,
}

/// Rows with the same columns.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// Its key in JSON; without one the rows stand in no list, only in what is [`Column::lifted`].
    pub key: Option<Key>,
    /// The title.
    pub title: Option<String>,
    /// The columns.
    pub columns: Vec<Column>,
    /// The rows.
    pub rows: Vec<Row>,
    /// Boxes to tick before each row on a printed page.
    pub boxes: usize,
}

/// A column of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// Its key in JSON.
    pub key: Key,
    /// What people call it.
    pub label: Cow<'static, str>,
    /// The key of an object in JSON that has this column's cells by the keys of their rows.
    pub lifted: Option<Key>,
    /// Whether it only says again, for programs, what people see in another column.
    pub for_programs: bool,
}

/// A row of a table.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Row {
    /// What names the row in a lifted column.
    pub key: Option<Key>,
    /// A cell a column.
    pub cells: Vec<Value>,
}

/// What kind of note it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoteKind {
    /// Something to know.
    Remark,
    /// Why a number is missing.
    Missing,
    /// What protects people.
    Caution,
    /// Where a program finds what people see at once.
    ForPrograms,
}

/// A note: its words come from the value's own `Display`.
#[derive(Clone, Debug, PartialEq)]
pub struct Note {
    /// What kind it is.
    pub kind: NoteKind,
    /// Key and label of what it is about, where a number is missing.
    pub about: Option<(Key, Cow<'static, str>)>,
    /// The words.
    pub words: String,
    /// What a person may state so that the note is not needed any more.
    pub need: Option<Need>,
}

/// What a person may state so that less is assumed or missing. Each face says in its own way how: the
/// command line names the option.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// Clearing time of the fixer when it was fresh.
    FreshClearingTime,
    /// Fixing time over clearing time.
    FixingFactor,
    /// Standard uncertainty of a density reading.
    DensitySigma,
    /// Length and width of a frame.
    FrameSize,
    /// Distance of the perforations.
    Pitch,
    /// Which films are good.
    GoodFilms,
    /// That what follows from a plan be entered in the journal.
    Entering,
}

impl Note {
    fn of(kind: NoteKind, words: impl Display) -> Self {
        Self { kind, about: None, words: words.to_string(), need: None }
    }

    /// The same note, with what may be stated so that it is not needed.
    #[must_use]
    pub fn needing(self, need: Option<Need>) -> Self {
        Self { need, ..self }
    }

    /// Something to know.
    #[must_use]
    pub fn remark(words: impl Display) -> Self {
        Self::of(NoteKind::Remark, words)
    }

    /// Why a number is missing.
    #[must_use]
    pub fn missing(
        key: impl Into<Key>,
        label: impl Into<Cow<'static, str>>,
        why: impl Display,
    ) -> Self {
        Self { about: Some((key.into(), label.into())), ..Self::of(NoteKind::Missing, why) }
    }

    /// Where a program finds what people see at once.
    #[must_use]
    pub fn for_programs_only(words: impl Display) -> Self {
        Self::of(NoteKind::ForPrograms, words)
    }

    /// Notes on several things by name: those that say the same are said once, of all of them.
    #[must_use]
    pub fn merged(notes: Vec<(String, Self)>) -> Vec<Self> {
        let mut found: Vec<(Vec<String>, Self)> = Vec::new();
        for (name, note) in notes {
            match found.iter_mut().find(|(_, other)| *other == note) {
                Some((names, _)) => names.push(name),
                None => found.push((vec![name], note)),
            }
        }
        let named = |(names, note): (Vec<String>, Self)| {
            let names = names.join(", ");
            let about = Some(match note.about {
                Some((key, label)) => {
                    (format!("{names}: {key}").into(), format!("{names}: {label}").into())
                }
                None => (names.clone().into(), names.into()),
            });
            Self { about, ..note }
        };
        found.into_iter().map(named).collect()
    }

    /// What protects people.
    #[must_use]
    pub fn caution(words: impl Display) -> Self {
        Self::of(NoteKind::Caution, words)
    }

    /// The same note, of a number that stands within the object `key` of JSON.
    #[must_use]
    pub fn within(mut self, key: &str) -> Self {
        if let Some((own, _)) = &mut self.about {
            *own = format!("{key}.{own}").into();
        }
        self
    }

    /// The note for people: `gamma: the slope is not determined`.
    #[must_use]
    pub fn for_people(&self) -> String {
        match &self.about {
            Some((_, label)) => format!("{label}: {}", self.words),
            None => self.words.clone(),
        }
    }

    /// The note for programs: it begins with the key of the number that is missing.
    #[must_use]
    pub fn for_programs(&self) -> String {
        match &self.about {
            Some((key, _)) => format!("{key}: {}", self.words),
            None => self.words.clone(),
        }
    }
}

impl Description {
    /// A description with a title and nothing else.
    #[must_use]
    pub fn new(title: impl Into<String>) -> Self {
        Self { title: title.into(), ..Self::default() }
    }

    /// Adds something to know.
    pub fn note(&mut self, words: impl Display) {
        self.notes.push(Note::remark(words));
    }

    /// Adds several things to know.
    pub fn notes<T: Display>(&mut self, notes: impl IntoIterator<Item = T>) {
        self.notes.extend(notes.into_iter().map(Note::remark));
    }

    /// Adds what protects people.
    pub fn caution(&mut self, words: impl Display) {
        self.notes.push(Note::caution(words));
    }

    /// All notes, those of sections too, to be completed by a face.
    pub fn complete_notes(&mut self, complete: &mut impl FnMut(&mut Note)) {
        self.notes.iter_mut().for_each(&mut *complete);
        complete_in(&mut self.blocks, complete);
    }
}

fn complete_in(blocks: &mut [Block], complete: &mut impl FnMut(&mut Note)) {
    for block in blocks {
        let sections = match block {
            Block::Section(section) => std::slice::from_mut(section),
            Block::Sections { items, .. } => items.as_mut_slice(),
            Block::Twofold { people, programs } => {
                complete_in(people, complete);
                complete_in(programs, complete);
                continue;
            }
            Block::Field(_) | Block::Table(_) | Block::Data { .. } | Block::Line { .. } => continue,
        };
        for section in sections {
            section.notes.iter_mut().flatten().for_each(&mut *complete);
            complete_in(&mut section.blocks, complete);
        }
    }
}

/// Where blocks are gathered: a whole description, or a section of one.
pub trait Gather {
    /// The blocks so far.
    fn blocks(&mut self) -> &mut Vec<Block>;

    /// Adds a block.
    fn add(&mut self, block: impl Into<Block>) {
        self.blocks().push(block.into());
    }

    /// Adds a field.
    fn field(
        &mut self,
        key: impl Into<Key>,
        label: impl Into<Cow<'static, str>>,
        value: impl Into<Value>,
    ) {
        self.add(Field::new(key, label, value));
    }

    /// Adds the field that the answer stands or falls with.
    fn leading(
        &mut self,
        key: impl Into<Key>,
        label: impl Into<Cow<'static, str>>,
        value: impl Into<Value>,
    ) {
        self.add(Field { leads: true, ..Field::new(key, label, value) });
    }

    /// Adds what only a machine reads.
    fn data(&mut self, key: impl Into<Key>, value: impl Into<Value>) {
        self.add(Block::Data { key: key.into(), value: value.into() });
    }

    /// Adds a sentence for people, with the fields whose values stand in it.
    fn line(&mut self, words: impl Into<String>, fields: Vec<Field>) {
        self.add(Block::Line { words: words.into(), fields });
    }
}

impl Gather for Description {
    fn blocks(&mut self) -> &mut Vec<Block> {
        &mut self.blocks
    }
}

impl Gather for Section {
    fn blocks(&mut self) -> &mut Vec<Block> {
        &mut self.blocks
    }
}

impl Description {
    /// Adds a measure as a field: the number with its interval, or nothing, with the reason among the
    /// notes.
    pub fn measured<W: Display>(
        &mut self,
        key: impl Into<Key>,
        label: impl Into<Cow<'static, str>>,
        measured: &Result<Quantity, W>,
        form: impl FnOnce(&Quantity) -> Value,
    ) {
        let (field, note) = Field::measured(key, label, measured, form);
        self.add(field);
        self.notes.extend(note);
    }
}

impl Section {
    /// A section with a title whose fields stand in JSON where the section stands.
    #[must_use]
    pub fn titled(title: impl Into<String>) -> Self {
        Self { title: Some(title.into()), ..Self::default() }
    }

    /// The same section as an object of its own in JSON.
    #[must_use]
    pub fn keyed(self, key: impl Into<Key>) -> Self {
        Self { key: Some(key.into()), ..self }
    }

    /// Adds a measure, whose reason where it is missing goes into `notes`.
    pub fn measured<W: Display>(
        &mut self,
        notes: &mut Vec<Note>,
        key: impl Into<Key>,
        label: impl Into<Cow<'static, str>>,
        measured: &Result<Quantity, W>,
        form: impl FnOnce(&Quantity) -> Value,
    ) {
        let (field, note) = Field::measured(key, label, measured, form);
        self.add(field);
        notes.extend(note);
    }
}

impl Field {
    /// A field.
    #[must_use]
    pub fn new(
        key: impl Into<Key>,
        label: impl Into<Cow<'static, str>>,
        value: impl Into<Value>,
    ) -> Self {
        let (leads, warns) = (false, false);
        Self { key: key.into(), label: label.into(), value: value.into(), leads, warns }
    }

    /// A measure as a field, with a note where it is missing.
    pub fn measured<W: Display>(
        key: impl Into<Key>,
        label: impl Into<Cow<'static, str>>,
        measured: &Result<Quantity, W>,
        form: impl FnOnce(&Quantity) -> Value,
    ) -> (Self, Option<Note>) {
        let (key, label) = (key.into(), label.into());
        match measured {
            Ok(quantity) => (Self::new(key, label, form(quantity)), None),
            Err(why) => {
                let note = Note::missing(key.clone(), label.clone(), why);
                (Self::new(key, label, Value::Missing), Some(note))
            }
        }
    }
}

impl Table {
    /// A table without rows.
    #[must_use]
    pub fn new(columns: Vec<Column>) -> Self {
        Self { columns, ..Self::default() }
    }

    /// The same table as a list in JSON.
    #[must_use]
    pub fn keyed(self, key: impl Into<Key>) -> Self {
        Self { key: Some(key.into()), ..self }
    }

    /// The same table with a title.
    #[must_use]
    pub fn titled(self, title: impl Into<String>) -> Self {
        Self { title: Some(title.into()), ..self }
    }

    /// Adds a row.
    pub fn row(&mut self, cells: Vec<Value>) {
        self.rows.push(Row { key: None, cells });
    }

    /// Adds a row that has a key of its own.
    pub fn keyed_row(&mut self, key: impl Into<Key>, cells: Vec<Value>) {
        self.rows.push(Row { key: Some(key.into()), cells });
    }
}

impl Column {
    /// A column.
    #[must_use]
    pub fn new(key: impl Into<Key>, label: impl Into<Cow<'static, str>>) -> Self {
        Self { key: key.into(), label: label.into(), lifted: None, for_programs: false }
    }

    /// The same column, which people do not see: it says again what another column says.
    #[must_use]
    pub fn for_programs(self) -> Self {
        Self { for_programs: true, ..self }
    }

    /// The same column, whose cells also stand in an object of JSON by the keys of their rows.
    #[must_use]
    pub fn lifted(self, key: impl Into<Key>) -> Self {
        Self { lifted: Some(key.into()), ..self }
    }
}

impl From<Field> for Block {
    fn from(field: Field) -> Self {
        Self::Field(field)
    }
}

impl From<Section> for Block {
    fn from(section: Section) -> Self {
        Self::Section(section)
    }
}

impl From<Table> for Block {
    fn from(table: Table) -> Self {
        Self::Table(table)
    }
}
