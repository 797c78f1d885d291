//! Wide sheets: one column a strip, headed by its name, and one row a step.
//!
//! ```text
//! tablet_density,A,B 7 min
//! minutes,5,
//! celsius,20,20
//! base,0.21,0.22
//! 3.05,0.22,0.24
//! ```
//!
//! A sheet is wide when its row of headings has no column of long sheets but those of the step and its
//! exposure, and other headings after them: these are the strips. A row whose first cells hold the name of
//! a value ([`VALUES`]) gives that value to each strip; every other row is a step. An empty cell is no
//! reading. A time may stand at the end of a heading, as `B 7 min`.

use super::columns::{
    ExposureColumns, Known, Layout, exposure_columns, near_name, nearest, refuse_duplicates,
};
use super::draft::Draft;
use super::fault::ReadError;
use super::gather::{Gathered, Input, celsius_of, minutes_of, noise};
use super::intake::RowTaker;
use super::judge::{TableFacts, table_notes};
use super::note::Note;
use super::rows::{CellReader, RowReader, is_unexposed};
use super::table::{Header, Row, TableRow};
use super::{ReadOptions, Reading};
use crate::units::typed::{minutes_and_seconds, number};
use crate::units::{Density, DensityNoise, DensitySigma};
use std::sync::Arc;

/// The values that a row may give to each strip, by the name in its first cell.
const VALUES: [(&str, Known); 12] = [
    ("minutes", Known::Minutes),
    ("celsius", Known::Celsius),
    ("fahrenheit", Known::Fahrenheit),
    ("sigma", Known::Sigma),
    ("film", Known::Film),
    ("paper", Known::Film),
    ("developer", Known::Developer),
    ("date", Known::Date),
    ("note", Known::Note),
    ("filter", Known::Filter),
    ("grade", Known::Filter),
    ("agitation", Known::Agitation),
];

/// Where the columns of a wide sheet stand.
#[derive(Debug)]
pub(super) struct WideColumns {
    step: Option<usize>,
    exposure: ExposureColumns,
    /// The columns of step and exposure, whose cells name the rows.
    heads: Vec<usize>,
    /// The columns of strips.
    strips: Vec<usize>,
    /// Columns without a heading, after the first strip.
    nameless: Vec<usize>,
}

impl WideColumns {
    /// The columns of a wide sheet; `None` where the header is not that of one.
    pub(super) fn of(header: &Header) -> Option<Self> {
        // Two columns for one quantity are a fault of any sheet.
        if !header.may_be_wide || refuse_duplicates(header).is_err() {
            return None;
        }
        let heads: Vec<usize> =
            (0..header.columns.len()).filter(|at| header.columns[*at].known.is_some()).collect();
        let named = |at: &usize| !header.columns[*at].heading.trim().is_empty();
        let (strips, nameless): (Vec<usize>, Vec<usize>) =
            (0..header.columns.len()).filter(|at| !heads.contains(at)).partition(named);
        let of_a_step = |at: &usize| {
            let known = header.columns[*at].known;
            known.is_some_and(|known| known == Known::Step || known.is_exposure())
        };
        let is_wide = heads.iter().all(of_a_step)
            && strips.first().is_some_and(|first| heads.iter().all(|head| head < first))
            && !a_density_is_meant(header, &strips);
        let exposure = exposure_columns(header).ok()?.ok()?;
        let is_step = |at: &usize| header.columns[*at].known == Some(Known::Step);
        let first = strips.first().copied().unwrap_or_default();
        // A column without a heading before the strips can only be that of the steps.
        let (before, nameless): (Vec<usize>, Vec<usize>) =
            nameless.into_iter().partition(|at| *at < first);
        let step = heads.iter().copied().find(is_step).or(before.first().copied());
        let heads = heads.into_iter().chain(before).collect();
        is_wide.then_some(Self { step, exposure, heads, strips, nameless })
    }
}

/// Whether a heading is more likely meant for the column `density` of a long sheet than for a strip: it
/// comes near that word, or is the letter D without other strips beside it.
fn a_density_is_meant(header: &Header, strips: &[usize]) -> bool {
    strips.iter().any(|at| {
        let heading = header.columns[*at].heading.trim();
        let alone = strips.len() == 1 || heading.chars().count() > 1;
        alone && near_name(heading) == Some("density")
    })
}

/// The name of a strip in its heading, and the time that stands at its end, as in `A 7 min`,
/// `A (9:30 min)` and `7 min`, which is name and time.
fn name_and_time(heading: &str) -> (&str, Option<&str>) {
    let whole = heading.trim();
    let open = whole.strip_suffix(')').filter(|rest| rest.contains('(')).unwrap_or(whole);
    let unit = ["minutes", "min.", "min"].into_iter().find_map(|unit| {
        let at = open.len().checked_sub(unit.len())?;
        open.get(at..)?.eq_ignore_ascii_case(unit).then(|| open[..at].trim_end())
    });
    let Some(rest) = unit else { return (whole, None) };
    let is_part = |c: char| c.is_ascii_digit() || matches!(c, ':' | '.' | ',');
    let before = rest.trim_end_matches(is_part);
    let time = rest[before.len()..].trim_start_matches(',');
    let is_time = minutes_and_seconds(time).is_some() || number(time, true).is_ok();
    let is_apart = before.is_empty() || before.ends_with(|c: char| c.is_whitespace() || c == '(');
    if !is_time || !is_apart {
        return (whole, None);
    }
    let ends = |c: char| c.is_whitespace() || matches!(c, ',' | ';' | ':' | '(');
    match before.trim_end_matches(ends) {
        "" => (whole, Some(time)),
        name => (name, Some(time)),
    }
}

/// Gathers the rows of a wide sheet.
#[derive(Debug)]
pub(super) struct WideGatherer<'a> {
    file: Arc<str>,
    cells: CellReader<'a>,
    options: &'a ReadOptions,
    noise: DensityNoise,
    columns: WideColumns,
    /// A layout a strip, as a long sheet with its densities would have it, and the strip.
    strips: Vec<WideStrip>,
    temperatures_are_bare: bool,
    faults: Vec<ReadError>,
}

/// One strip of a wide sheet while its rows come in.
#[derive(Debug)]
struct WideStrip {
    layout: Layout,
    draft: Draft,
    sigma: Option<DensitySigma>,
}

impl<'a> WideGatherer<'a> {
    /// A sheet with these columns.
    pub(super) fn new(input: &Input<'a>, cells: CellReader<'a>, columns: WideColumns) -> Self {
        let mut gatherer = Self {
            file: Arc::clone(&input.file),
            cells,
            options: input.options,
            noise: noise(input.options),
            columns,
            strips: Vec::new(),
            temperatures_are_bare: false,
            faults: Vec::new(),
        };
        gatherer.head();
        gatherer
    }

    /// Begins the strips: their names, and the times in their headings.
    fn head(&mut self) {
        let header = self.cells.header;
        for column in self.columns.strips.clone() {
            let (name, time) = name_and_time(&header.columns[column].heading);
            let mut cells = vec![String::new(); column];
            cells.push(time.unwrap_or_default().to_owned());
            let excerpt = header.place.excerpt.clone();
            let row = TableRow { line: header.place.line, cells, excerpt, ..TableRow::default() };
            let mut draft = Draft::new(name, &row);
            if let Some(first) = self.strips.iter().find(|strip| *strip.draft.name == *name) {
                self.faults.push(ReadError::SameStrip {
                    at: Box::new(header.place.clone()),
                    first: header.column(first.layout.density),
                    second: header.column(column),
                    strip: name.into(),
                });
            }
            self.faults.extend(minutes_of(&self.cells, &mut draft, &row, column));
            let layout = Layout::of_density(self.columns.step, self.columns.exposure, column);
            self.strips.push(WideStrip { layout, draft, sigma: None });
        }
    }

    /// The value that the row gives to each strip, where its first cells name one and hold nothing else.
    fn value_of(&self, row: &impl Row) -> Option<Known> {
        let mut filled =
            self.columns.heads.iter().map(|at| row.cell(*at)).filter(|c| !c.is_empty());
        let (first, None) = (filled.next()?, filled.next()) else { return None };
        let known = Known::from_heading(first)?;
        VALUES.iter().any(|(_, value)| *value == known).then_some(known)
    }

    /// Takes in a row that gives a value to each strip.
    fn value(&mut self, value: Known, row: &impl Row) {
        let fahrenheit = value == Known::Fahrenheit || self.options.fahrenheit;
        self.temperatures_are_bare |= value == Known::Celsius;
        for strip in &mut self.strips {
            let column = strip.layout.density;
            let text = row.cell(column);
            if text.is_empty() {
                continue;
            }
            let (cells, draft) = (&self.cells, &mut strip.draft);
            match value {
                Known::Minutes => self.faults.extend(minutes_of(cells, draft, row, column)),
                Known::Celsius | Known::Fahrenheit => {
                    self.faults.extend(celsius_of(cells, draft, row, column, fahrenheit));
                }
                Known::Sigma => match cells.sigma(row, column) {
                    Ok(sigma) => strip.sigma = sigma.or(strip.sigma),
                    Err(fault) => {
                        draft.has_faults = true;
                        self.faults.push(fault);
                    }
                },
                value => {
                    if let Some(which) = Layout::label(value) {
                        draft.label(which, text, row.line());
                    }
                }
            }
        }
    }

    /// Takes in a row that is a step.
    fn step(&mut self, row: &impl Row) {
        let (cells, options) = (self.cells, self.options);
        let is_read = |strip: &WideStrip| !row.cell(strip.layout.density).is_empty();
        // All strips have the exposure in the same cells.
        let first = self.strips.iter().find(|strip| is_read(strip));
        let Some(exposure) = first
            .map(|strip| RowReader { cells, layout: &strip.layout, options }.log_exposure(row))
        else {
            return;
        };
        if let Err(fault) = &exposure {
            self.faults.push(fault.clone());
        }
        let step = self.columns.step.map(|column| row.cell(column));
        for WideStrip { layout, draft, .. } in self.strips.iter_mut().filter(|s| is_read(s)) {
            let density = RowReader { cells, layout, options }.density(row);
            let (exposure, density) = match (&exposure, density) {
                (Ok(exposure), Ok(density)) => (exposure.clone(), density),
                (_, density) => {
                    draft.has_faults = true;
                    self.faults.extend(density.err());
                    continue;
                }
            };
            let noise = self.noise;
            draft.measured(exposure, density, |log_exposure, density: Density| Reading {
                step: step.filter(|step| !step.is_empty()).map(Into::into),
                log_exposure,
                density,
                sigma: noise.at(density.get()),
                line: row.line(),
            });
        }
    }

    /// The fault of a row whose exposure is neither a number nor the name of a value.
    fn unknown(&self, row: &impl Row) -> Option<ReadError> {
        let column = self.columns.exposure.deciding_column();
        let text = row.cell(column);
        let is_word = text.chars().any(char::is_alphabetic)
            && !text.chars().any(|c| c.is_ascii_digit())
            && !is_unexposed(text);
        is_word.then(|| ReadError::UnknownRow {
            at: self.cells.place(row, column),
            found: text.into(),
            near: nearest(text, VALUES.iter().map(|(name, _)| *name), &SYNONYMS),
        })
    }

    /// Ends the table: its strips and faults go to `gathered`.
    pub(super) fn finish(mut self, gathered: &mut Gathered) {
        let header = self.cells.header;
        let mut notes = Vec::new();
        if let Some(strip) = self.strips.first() {
            let bare = self.temperatures_are_bare.then_some((0, false));
            let layout = Layout { temperature: bare, ..strip.layout.clone() };
            notes = table_notes(&self.file, &layout, self.options);
        }
        let (read, empty): (Vec<WideStrip>, Vec<WideStrip>) =
            std::mem::take(&mut self.strips).into_iter().partition(WideStrip::is_read);
        if read.is_empty() && self.faults.is_empty() {
            self.faults.push(ReadError::NoDensities { at: Box::new(header.place.clone()) });
        }
        if !empty.is_empty() {
            let strips = empty.into_iter().map(|strip| strip.draft.name.into()).collect();
            notes.push(Note::EmptyStrips { file: Arc::clone(&self.file), strips });
        }
        for strip in read {
            let layout = &strip.layout;
            let reader = RowReader { cells: self.cells, layout, options: self.options };
            let table = TableFacts {
                header,
                scale: reader.scale(),
                exposure: layout.exposure,
                density: layout.density,
                options: self.options,
            };
            match table.judged(strip.with_sigma()) {
                Ok(strip) => gathered.strips.extend(strip),
                Err(faults) => self.faults.extend(faults),
            }
        }
        let place = |fault: &ReadError| {
            let place = fault.place();
            place.map(|place| (place.line, place.column.as_ref().map(|column| column.number)))
        };
        self.faults.sort_by_key(place);
        self.faults.dedup();
        gathered.table_notes(notes);
        gathered.faults.append(&mut self.faults);
    }
}

/// Other words for the values, for suggestions only.
const SYNONYMS: [(&str, &str); 4] =
    [("min", "minutes"), ("time", "minutes"), ("temp", "celsius"), ("temperature", "celsius")];

impl WideStrip {
    /// Whether a density was found in its column.
    fn is_read(&self) -> bool {
        let draft = &self.draft;
        draft.has_faults
            || !(draft.readings.is_empty() && draft.unexposed.is_empty() && draft.beyond.is_empty())
    }

    /// The strip, with its own uncertainty in each reading where a row gave one.
    fn with_sigma(self) -> Draft {
        let Self { mut draft, sigma, .. } = self;
        if let Some(sigma) = sigma {
            let readings = draft.readings.iter_mut().chain(&mut draft.unexposed);
            readings.for_each(|reading| reading.sigma = sigma);
            draft.sigmas_given = draft.readings.len() + draft.unexposed.len();
        }
        draft
    }
}

impl RowTaker for WideGatherer<'_> {
    fn fault(&mut self, fault: ReadError) {
        self.faults.push(fault);
    }

    /// Takes in one row: a step, or a value for each strip.
    fn row(&mut self, row: &impl Row) {
        let is_number = |at: &usize| number(row.cell(*at), true).is_ok();
        if let Some(column) = self.columns.nameless.iter().copied().find(is_number) {
            let at = Box::new(self.cells.header.row_place(row.line(), row.excerpt()));
            let column = u32::try_from(column + 1).unwrap_or(u32::MAX);
            self.faults.push(ReadError::NamelessStrip { at, column });
        }
        match self.value_of(row) {
            Some(value) => self.value(value, row),
            None => match self.unknown(row) {
                Some(fault) => self.faults.push(fault),
                None => self.step(row),
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_at_the_end_of_a_heading() {
        for (heading, name, time) in [
            ("A 7 min", "A", Some("7")),
            ("A, 9:30 min", "A", Some("9:30")),
            ("A (7.5 minutes)", "A", Some("7.5")),
            ("7,5 Min.", "7,5 Min.", Some("7,5")),
            (" 7 min ", "7 min", Some("7")),
            ("A7 min", "A7 min", None),
            ("A min", "A min", None),
            ("A 7", "A 7", None),
            ("min", "min", None),
            ("A 7:5 min", "A 7:5 min", None),
            ("é 7min", "é", Some("7")),
            ("A, ,7 min", "A", Some("7")),
        ] {
            assert_eq!(name_and_time(heading), (name, time), "{heading}");
        }
    }
}
