//! One row of text cells to one entry, with every fault of the row.

use super::cell_error::CellError;
use super::check::{self, Flaw};
use super::columns::Column;
use super::entry::{Act, Entry, LeaderResult, StripResult};
use super::errors::Fault;
use super::layout::Layout;
use super::load::{self, Load};
use super::strays::Strays;
use crate::bath::film::films_in;
use crate::units::day::{DayForm, Order, day};
use crate::words::did_you_mean;
use csv::StringRecord;
use jiff::civil::Date;
use std::collections::HashMap;
use std::sync::Arc;

/// Reads the rows of one journal.
pub(super) struct Rows<'a> {
    pub(super) file: &'a Arc<str>,
    pub(super) layout: &'a Layout,
    pub(super) today: Date,
    /// Whether a decimal comma cannot be taken for a separator.
    pub(super) comma_allowed: bool,
    /// Whether day or month comes first where only numbers and strokes are written, if other rows show it.
    pub(super) order: Option<Order>,
    /// How the last date is written.
    pub(super) form: DayForm,
    /// Date of the row before, if it had one.
    pub(super) last: Option<Date>,
    /// Whether the last number with a fraction had a decimal comma.
    pub(super) decimal_comma: Option<bool>,
    /// The first line whose area follows from its films, and how many there are.
    pub(super) nominal: Option<(u64, u64)>,
    /// The numbers of films so far, with their lines.
    pub(super) numbers: HashMap<u32, u64>,
    pub(super) faults: Vec<Fault>,
    pub(super) strays: Strays,
}

/// The cells of one row.
struct Row<'a> {
    record: &'a StringRecord,
    line: u64,
}

/// A fault has been noted, and there is no value.
pub(super) struct FaultRecorded;

impl<'a> Rows<'a> {
    pub(super) fn new(
        file: &'a Arc<str>,
        layout: &'a Layout,
        comma_allowed: bool,
        today: Date,
    ) -> Self {
        Self {
            file,
            layout,
            today,
            comma_allowed,
            order: None,
            form: DayForm::default(),
            last: None,
            decimal_comma: None,
            nominal: None,
            numbers: HashMap::new(),
            faults: Vec::new(),
            strays: Strays::default(),
        }
    }

    /// The entry of a row; `None` if it has faults, which are then noted.
    pub(super) fn entry(&mut self, record: &StringRecord, line: u64) -> Option<Entry> {
        let row = Row { record, line };
        let before = self.faults.len();
        let (date, act) = (self.date(&row), self.act(&row));
        let (Ok(date), Ok(act)) = (date, act) else {
            return None;
        };
        let note = self.text(&row, Column::Note);
        let entry = Entry { date, act, note, line };
        let mut flaws = check::flaws(&entry);
        flaws.extend(check::numbers(&entry, &mut self.numbers));
        for flaw in flaws {
            self.fault(line, flaw);
        }
        (self.faults.len() == before).then_some(entry)
    }

    /// Notes a fault of a cell.
    pub(super) fn fault(&mut self, line: u64, (column, what): Flaw) -> FaultRecorded {
        let heading = self.layout.position(column);
        let heading = heading.map_or(column.name(), |at| &*self.layout.headings[at]);
        self.faults
            .push(Fault { column: Some(heading.into()), ..Fault::of_line(self.file, line, what) });
        FaultRecorded
    }

    fn cell<'r>(&self, row: &Row<'r>, column: Column) -> &'r str {
        let position = self.layout.position(column);
        position.and_then(|at| row.record.get(at)).unwrap_or("").trim()
    }

    fn text(&self, row: &Row<'_>, column: Column) -> Option<String> {
        let text = self.cell(row, column);
        (!text.is_empty()).then(|| text.to_owned())
    }

    fn date(&mut self, row: &Row<'_>) -> Result<Date, FaultRecorded> {
        let text = self.cell(row, Column::Date);
        let (date, form) = match day(text, self.order) {
            Ok(day) => day,
            Err(why) => {
                let wrong = CellError::NotADate { found: text.into(), why };
                return Err(self.fault(row.line, (Column::Date, wrong)));
            }
        };
        self.form = form;
        // The clock of another computer may be a zone ahead.
        let latest = self.today.tomorrow().unwrap_or(self.today);
        let flaw = match check::date(date, self.last, latest) {
            Some((column, CellError::Future { found, .. })) => {
                Some((column, CellError::Future { found, today: self.today }))
            }
            flaw => flaw,
        };
        // One wrong date is one fault: the rows after it are held against it, whatever it is.
        self.last = Some(date);
        match flaw {
            Some(flaw) => Err(self.fault(row.line, flaw)),
            None => Ok(date),
        }
    }

    fn number(&mut self, row: &Row<'_>, column: Column) -> Result<Option<f64>, FaultRecorded> {
        let text = self.cell(row, column);
        if text.is_empty() {
            return Ok(None);
        }
        if text.contains(['.', ',']) {
            self.decimal_comma = Some(text.contains(','));
        }
        match column.number(text, self.comma_allowed) {
            Ok(number) => Ok(Some(self.layout.signed(column, number))),
            Err(wrong) => Err(self.fault(row.line, (column, wrong))),
        }
    }

    /// A film whose area follows neither from a number nor from its format.
    fn no_area(&mut self, row: &Row<'_>, films: &str) -> FaultRecorded {
        let bounds = Column::AreaM2.bounds();
        let mut write = format!("{}, as {}", bounds.quantity, Column::AreaM2.example());
        if !films.is_empty() {
            write.push_str(", or name the films by their format, as 3 x 135-36");
        }
        self.fault(row.line, (Column::AreaM2, CellError::Empty { act: "film", write }))
    }

    fn needed(
        &mut self,
        row: &Row<'_>,
        act: &'static str,
        column: Column,
    ) -> Result<f64, FaultRecorded> {
        self.number(row, column)?.ok_or_else(|| {
            let write = format!("{}, as {}", column.bounds().quantity, column.example());
            self.fault(row.line, (column, CellError::Empty { act, write }))
        })
    }

    fn act(&mut self, row: &Row<'_>) -> Result<Act, FaultRecorded> {
        let text = self.cell(row, Column::Act);
        let Some(name) = act_name(text) else {
            let wrong =
                CellError::UnknownAct { found: text.into(), near: did_you_mean(text, Act::NAMES) };
            return Err(self.fault(row.line, (Column::Act, wrong)));
        };
        self.strays.look(row.record, row.line, self.layout, name);
        Ok(match name {
            "mix" => Act::Mix {
                litres: self.needed(row, name, Column::Litres)?,
                what: self.text(row, Column::What),
                dilution: self.text(row, Column::Dilution),
            },
            "film" => {
                let films = self.text(row, Column::Films).unwrap_or_default();
                let load = self.load(row)?;
                let area = match self.number(row, Column::AreaM2)? {
                    None => {
                        films_in(&films).map(|films| films.area_m2()).filter(|area| *area > 0.0)
                    }
                    Some(area_m2) => return Ok(Act::Film { films, area_m2, load }),
                };
                let Some(area_m2) = area else {
                    return Err(self.no_area(row, &films));
                };
                self.nominal = Some(self.nominal.map_or((row.line, 1), |(line, n)| (line, n + 1)));
                Act::Film { films, area_m2, load }
            }
            "replenish" => {
                let added = self.needed(row, name, Column::AddedMl);
                let removed = self.number(row, Column::RemovedMl)?;
                let added_ml = added?;
                Act::Replenish { added_ml, removed_ml: removed.unwrap_or(added_ml) }
            }
            "strip" => Act::Strip(Box::new(self.strip(row)?)),
            "leader" => Act::Leader(Box::new(self.leader(row)?)),
            "discard" => Act::Discard,
            _ => Act::Note,
        })
    }

    /// What is known of film beside its area.
    fn load(&mut self, row: &Row<'_>) -> Result<Option<Box<Load>>, FaultRecorded> {
        let films = load::films(self.cell(row, Column::Numbers));
        let films = films.map_err(|wrong| self.fault(row.line, (Column::Numbers, wrong)));
        let batch = self.number(row, Column::Load)?;
        if let Some(found) = batch.filter(|n| n.fract() != 0.0) {
            let wrong = CellError::OutOfBounds { found, bounds: Column::Load.bounds() };
            return Err(self.fault(row.line, (Column::Load, wrong)));
        }
        let load = Load {
            films: films?,
            // Of what is out of bounds there is a fault, and no entry.
            batch: batch.map(|n| n as u32),
            vessel: self.text(row, Column::Vessel),
            pairing: self.text(row, Column::Pairing),
            minutes: self.number(row, Column::Minutes)?,
            celsius: self.number(row, Column::Celsius)?,
            contrast: self.number(row, Column::Contrast)?,
            development: self.text(row, Column::Development),
            temperatures: self.text(row, Column::Temperatures),
        };
        Ok((!load.is_empty()).then(|| Box::new(load)))
    }

    fn strip(&mut self, row: &Row<'_>) -> Result<StripResult, FaultRecorded> {
        let mut strip = StripResult {
            name: self.text(row, Column::Strip).unwrap_or_default(),
            batch: self.text(row, Column::Batch),
            pairing: self.text(row, Column::Pairing),
            verdict: self.text(row, Column::Verdict).unwrap_or_default(),
            ..StripResult::default()
        };
        self.fill(row, strip.numbers_mut()).map(|()| strip)
    }

    fn leader(&mut self, row: &Row<'_>) -> Result<LeaderResult, FaultRecorded> {
        let mut leader = LeaderResult {
            name: self.text(row, Column::Strip),
            family: self.text(row, Column::Pairing),
            ..LeaderResult::default()
        };
        self.fill(row, leader.numbers_mut()).map(|()| leader)
    }

    /// Sets numbers from their cells; every fault is noted.
    fn fill<const N: usize>(
        &mut self,
        row: &Row<'_>,
        numbers: [(Column, &mut Option<f64>); N],
    ) -> Result<(), FaultRecorded> {
        let mut outcome = Ok(());
        for (column, slot) in numbers {
            match self.number(row, column) {
                Ok(number) => *slot = number,
                Err(noted) => outcome = Err(noted),
            }
        }
        outcome
    }
}

fn act_name(text: &str) -> Option<&'static str> {
    Act::NAMES.into_iter().find(|name| name.eq_ignore_ascii_case(text))
}
