//! A class night: which films can share a tank, in which order, and what contrast each gets.

use super::entered::table as entry_table;
use super::tables::{blank, mixtures, steps, timetable};
use super::{count, developer, fixing_of, moment, note, percent, volume};
use crate::answers::standing::standing_field;
use crate::answers::{
    Answer, BathToday, Block, Column, Description, Field, Fixing, Form, Gather, Need, Note,
    Section, Table, Value, fixing,
};
use crate::bath::history::until;
use crate::bath::journal::{Act, Entry, Journal};
use crate::bath::materials::differences;
use crate::bath::standing::{Standing, State};
use crate::development::Pairing;
use crate::development::agitation::OtherAgitation;
use crate::development::file::PairingFile;
use crate::development::materials::OfAnother;
use crate::session::BathActivity;
use crate::session::cautions::CAUTIONS;
use crate::session::night::{InTank, Known, MOST, NO_ONE_SEES, Tank};
use crate::session::plan::Plan;
use crate::session::sheet::entries::seen_from;
use crate::session::{Night, NightSheet, SessionError, StepKind, followed};
use crate::words::{counted, duration, number, signed};
use jiff::civil::Date;
use std::path::PathBuf;

/// A plan whose films differ, with all that it names, and the day.
#[derive(Clone, Debug)]
pub struct NightQuestion<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// The pairing of each entry of films.
    pub pairings: Vec<(&'a PairingFile, &'a Pairing)>,
    /// The journal of each developer of the plan, where it is kept.
    pub journals: Vec<Option<&'a Journal>>,
    /// The day of the session.
    pub date: Date,
    /// Whether to answer far outside what was calibrated.
    pub extrapolate: bool,
    /// Whether to answer for a bath that is not to be used.
    pub anyway: bool,
    /// The number of the first film, where it is not the next of the journal.
    pub first_number: Option<u32>,
    /// Files of temperatures that were read, one for each tank in their order.
    pub temperatures: &'a [PathBuf],
}

/// The sheet of a class night.
#[derive(Clone, Debug)]
pub struct ClassNight {
    sheet: NightSheet,
    date: Date,
    /// The journal of each developer.
    journals: Vec<Option<PathBuf>>,
    standings: Vec<Option<Standing>>,
    others: Vec<OfAnother>,
    /// Where the agitation of a bath is another than that of a pairing's strips.
    agitations: Vec<OtherAgitation>,
    fixing: Fixing,
    temperatures: Vec<PathBuf>,
}

impl ClassNight {
    /// The sheet of a plan.
    ///
    /// # Errors
    /// [`SessionError`]: a plan that contradicts itself or a bath, or an answer that is no.
    pub fn of(question: NightQuestion<'_>) -> Result<Self, SessionError> {
        let NightQuestion { plan, pairings, date, .. } = &question;
        // What was entered for later days is not known on the day of the session.
        let then: Vec<Option<Journal>> = question
            .journals
            .iter()
            .map(|j| j.map(|j| Journal { entries: until(j, *date).to_vec(), ..j.clone() }))
            .collect();
        let mut others: Vec<OfAnother> = Vec::new();
        for (part, (file, _)) in plan.parts.iter().zip(pairings) {
            let journal = then.get(part.developer).and_then(Option::as_ref);
            let found = journal.map(|j| differences(file, &j.entries, &j.file));
            for other in found.unwrap_or_default() {
                if !others.contains(&other) {
                    others.push(other);
                }
            }
        }
        if let Some(other) = others.first().filter(|_| !question.anyway) {
            return Err(other.clone().into());
        }
        let agitations = plan.parts.iter().zip(pairings).filter_map(|(part, (_, pairing))| {
            let today = plan.developers.get(part.developer)?.developer.agitation.as_deref();
            pairing.agitated_otherwise(today)
        });
        let mut agitations: Vec<OtherAgitation> = agitations.collect();
        agitations.dedup();
        let of_bath = |j: &Option<Journal>| j.as_ref().map(|j| Standing::of(&j.entries, *date));
        let standings: Vec<Option<Standing>> = then.iter().map(of_bath).collect();
        let overruled = |s: &&Standing| question.anyway && s.state != State::Discarded;
        let known = then.iter().zip(&standings).zip(&question.journals);
        let developers = known.map(|((journal, standing), whole)| Known {
            journal: journal.as_ref(),
            standing: standing.as_ref().filter(|s| !overruled(s)),
            activity: journal.as_ref().and_then(|j| followed(j, *date)),
            first_number: whole.map(|j| question.first_number.unwrap_or_else(|| j.next_number())),
        });
        let night = Night {
            plan,
            pairings: pairings.clone(),
            developers: developers.collect(),
            extrapolate: question.extrapolate,
        };
        let sheet = night.sheet()?;
        let journals = plan.developers.iter().map(|d| match &d.developer.source {
            crate::session::plan::Source::Bath { journal, .. } => Some(journal.clone()),
            crate::session::plan::Source::OneShot { .. } => None,
        });
        Ok(Self {
            fixing: fixing_of(plan, &sheet.fixing, &sheet.films),
            sheet,
            date: *date,
            journals: journals.collect(),
            standings,
            others,
            agitations,
            temperatures: question.temperatures.to_vec(),
        })
    }

    /// The sheet.
    #[must_use]
    pub const fn sheet(&self) -> &NightSheet {
        &self.sheet
    }

    /// The day of the session.
    #[must_use]
    pub const fn date(&self) -> Date {
        self.date
    }

    /// What is to be entered in the journal of each kept developer after the session, in order.
    #[must_use]
    pub fn entries(&self) -> Vec<(PathBuf, Vec<Entry>)> {
        let journals = self.journals.iter().enumerate();
        let with = journals.filter_map(|(index, journal)| Some((index, journal.clone()?)));
        with.map(|(index, journal)| {
            let entries = self.entries_of(index, &journal);
            (journal, entries)
        })
        .filter(|(_, entries)| !entries.is_empty())
        .collect()
    }

    fn entries_of(&self, developer: usize, journal: &PathBuf) -> Vec<Entry> {
        let tanks = self.sheet.tanks.iter().enumerate();
        let of: Vec<(usize, &Tank)> = tanks.filter(|(_, t)| t.developer == developer).collect();
        let mut entries = Vec::new();
        for (n, (at, tank)) in of.iter().enumerate() {
            let note = format!("{}, batch {} of {}", self.sheet.title, n + 1, of.len());
            for act in &tank.batch.entries {
                let mut act = act.clone();
                if let (Act::Film { load: Some(load), .. }, Some(log)) =
                    (&mut act, self.temperatures.get(*at))
                {
                    load.temperatures = Some(seen_from(Some(journal), log));
                }
                entries.push(Entry::new(self.date, act, Some(note.clone())));
            }
        }
        entries
    }

    /// The entry of a journal that shows that this session is entered already.
    #[must_use]
    pub fn entered_in<'j>(&self, journal: &'j Journal, entries: &[Entry]) -> Option<&'j Entry> {
        let first = entries.first()?;
        let same =
            |e: &&Entry| (e.date, &e.note) == (first.date, &first.note) && e.act.is_as(&first.act);
        journal.entries.iter().find(same)
    }

    /// A developer as it is known today: its standing where it is kept, and its activity.
    #[must_use]
    pub(in crate::answers) fn bath(&self, developer: usize, activity: &BathActivity) -> BathToday {
        let standing = self.standings.get(developer).and_then(Option::as_ref);
        BathToday::of_session(standing, activity, &self.others)
    }

    /// What the journal gets of a tank, in words; where there is no journal, whose films they are.
    #[must_use]
    pub(in crate::answers) fn entry_words(&self, tank: usize) -> String {
        let sheet = &self.sheet;
        let tank = &sheet.tanks[tank];
        let who = |who: &InTank| format!("{} ({})", sheet.planned[who.part].name, who.films);
        let mut words: Vec<String> = tank.who.iter().map(who).collect();
        let numbers = tank.batch.numbered.iter().map(|placed| placed.film.number.to_string());
        let numbers: Vec<String> = numbers.collect();
        if !numbers.is_empty() {
            words.push(format!("films {}", numbers.join(" ")));
        }
        for act in &tank.batch.entries {
            if let Act::Replenish { added_ml, .. } = act {
                words.push(format!("{} ml of replenisher", number(*added_ml, 0)));
            }
        }
        format!("{}: {}", self.developer(tank.developer), words.join(", "))
    }

    fn moment(&self, seconds: u64) -> String {
        moment(self.sheet.start, seconds)
    }

    /// The name of a developer: its own, or that of what it is.
    pub(in crate::answers) fn developer(&self, index: usize) -> String {
        let journal = self.journals.get(index).and_then(Option::as_ref);
        let named = self.sheet.developers.iter().find(|_| self.sheet.developers.len() == 1);
        let names = self.names();
        names.get(index).cloned().flatten().unwrap_or_else(|| match (journal, named) {
            (Some(journal), _) => journal.display().to_string(),
            _ => "used once".to_owned(),
        })
    }

    /// The names of developers that films go into, by their place in the plan.
    fn names(&self) -> Vec<Option<String>> {
        let used: Vec<usize> = (0..self.journals.len()).filter(|at| self.is_used(*at)).collect();
        let mut names = vec![None; self.journals.len()];
        for (at, developer) in used.into_iter().zip(&self.sheet.developers) {
            names[at].clone_from(&developer.name);
        }
        names
    }

    fn is_used(&self, developer: usize) -> bool {
        self.sheet.planned.iter().any(|planned| planned.developer == developer)
    }
}

impl Answer for ClassNight {
    fn describe(&self) -> Description {
        let sheet = &self.sheet;
        let mut all = Description::new(format!("{}, {}", sheet.title, self.date));
        let of_used = self.standings.iter().enumerate().filter(|(n, _)| self.is_used(*n));
        let mut standings = of_used.filter_map(|(n, s)| Some((n, s.as_ref()?)));
        all.first = standings.next().map(|(_, standing)| standing_field(standing));
        let area = Value::plain(sheet.area_m2, 4).unit(" m²");
        let of = self.one_pairing().map_or(String::new(), |pairing| format!("{pairing}: "));
        all.subtitle = Some(format!("{of}{}, {}", sheet.films, area.for_people()));
        all.heading = vec![
            Field::new("title", "session", sheet.title.as_str()),
            Field::new("date", "date", self.date),
            Field::new("films", "films", fixing::films(&sheet.films)),
            Field::new("area_m2", "area", area),
            Field::new("vessel", "vessel", sheet.vessel),
            Field::new("solution_ml", "solution", volume(sheet.solution_ml)),
        ];
        for (index, standing) in standings {
            let field = standing_field(standing);
            let label = format!("bath {}", self.developer(index));
            all.add(Field {
                key: format!("standing_{}", index + 1).into(),
                label: label.into(),
                ..field
            });
        }
        all.add(self.wishes());
        all.add(Block::Twofold {
            people: vec![self.tanks().into(), self.compromises().into()],
            programs: vec![self.tank_list()],
        });
        self.developers(&mut all);
        let mixed: Vec<_> = sheet.mixtures.iter().map(|(of, m)| (of.as_deref(), m)).collect();
        all.add(mixtures(&mixed));
        let other = steps(&sheet.steps, sheet.tanks.len(), Some(StepKind::Develop));
        all.add(other.titled("the other steps of each tank"));
        all.add(Block::Twofold { people: vec![self.timetable().into()], programs: Vec::new() });
        let seconds = sheet.seconds();
        let words = format!("all hung up after {}", duration(seconds));
        all.line(words, vec![Field::new("seconds", "all hung up after", count(seconds))]);
        if sheet.tanks.iter().any(|tank| !tank.batch.numbered.is_empty()) {
            all.add(self.numbered());
        }
        let mut fixer = Section::titled("fixer").keyed("fixing");
        self.fixing.test(&mut fixer);
        self.fixing.fresh_fixer(&mut fixer);
        all.add(fixer);
        let mut lists = Vec::new();
        for (journal, entries) in self.entries() {
            let mut table = entry_table(&entries, Some(&journal), &[]);
            table.key = Some("entries".into());
            let mut section = Section::default();
            section.data("journal", journal.display().to_string());
            section.add(table);
            lists.push(section);
        }
        let kept = !lists.is_empty();
        if kept {
            all.add(Block::Sections { key: "journals".into(), items: lists });
        }
        for caution in CAUTIONS {
            all.caution(caution);
        }
        all.notes(&self.others);
        all.notes(&self.agitations);
        all.note(format!(
            "films share a tank if their times differ by no more than {} % from that of the tank, or by as much as their own time is uncertain, but no more than {} % (assumed; common practice, no source)",
            number(100.0 * NO_ONE_SEES, 0),
            number(100.0 * MOST, 0)
        ));
        for (of, own) in &sheet.notes {
            let mut note = note(own);
            if let Some(of) = of {
                note.words = format!("{of}: {}", note.words);
            }
            all.notes.push(note);
        }
        if kept {
            let words = "after the session, enter its film and its replenishment in the journal";
            all.notes.push(Note::remark(words).needing(Some(Need::Entering)));
        }
        all
    }
}

impl ClassNight {
    /// Film and developer, where all films are of one pairing.
    fn one_pairing(&self) -> Option<&str> {
        let (first, rest) = self.sheet.planned.split_first()?;
        rest.iter().all(|other| other.pairing == first.pairing).then_some(first.pairing.as_str())
    }

    /// What each entry of films asks for: its aim, its exposure index, its own time.
    fn wishes(&self) -> Table {
        let one_pairing = self.one_pairing().is_some();
        let mut table = Table::new(vec![
            Column::new("name", "whose"),
            Column::new("films", "films"),
            Column { for_programs: one_pairing, ..Column::new("pairing", "film and developer") },
            // The table of tanks has it for people.
            Column::new("developer", "bath").for_programs(),
            Column::new("aim", "for"),
            Column::new("contrast", "contrast"),
            Column::new("measure", "measure").for_programs(),
            Column::new("exposure_index", "exposure index"),
            Column::new("minutes", "own time"),
        ])
        .titled("what the films ask for")
        .keyed("planned");
        for planned in &self.sheet.planned {
            let d = &planned.developing;
            let aim = d.aim.as_ref().map(|aim| {
                let entries = vec![
                    ("scene_stops".into(), Value::plain(aim.stops, 2)),
                    ("label".into(), aim.label().into()),
                    ("paper_range_r".into(), Value::plain(aim.paper_range, 1)),
                ];
                let label = aim.label().map_or(String::new(), |label| format!(" ({label})"));
                Value::Map(entries).worded(format!("{} stops{label}", aim.stops))
            });
            let index = d
                .exposure_index
                .as_ref()
                .map(|q| Value::quantity_as(q, Form::Decimals(0)).worded(number(q.value, 0)));
            table.row(vec![
                planned.name.as_str().into(),
                fixing::films(&planned.films),
                planned.pairing.as_str().into(),
                self.developer(planned.developer).into(),
                aim.unwrap_or_else(|| Value::Missing.worded("as stated")),
                Value::number(d.contrast, 3),
                d.measure.code().into(),
                blank(index),
                Value::time(&d.minutes).worded(duration(d.seconds.into())),
            ]);
        }
        table
    }

    /// Which films go in together, in their order.
    fn tanks(&self) -> Table {
        let sheet = &self.sheet;
        let several = sheet.developers.len() > 1;
        let mut table = Table::new(vec![
            Column::new("tank", "tank"),
            Column { for_programs: !several, ..Column::new("developer", "bath") },
            Column::new("who", "whose films"),
            Column::new("seconds", "develop for"),
            Column::new("celsius", "°C"),
            Column::new("fullness", "full"),
        ])
        .titled(format!(
            "{} of {} ml, in this order",
            counted(sheet.tanks.len(), sheet.vessel),
            volume(sheet.solution_ml).for_people()
        ));
        for (n, tank) in sheet.tanks.iter().enumerate() {
            let who = |who: &InTank| format!("{} ({})", sheet.planned[who.part].name, who.films);
            let who: Vec<String> = tank.who.iter().map(who).collect();
            table.row(vec![
                (n + 1).into(),
                self.developer(tank.developer).into(),
                who.join(", ").into(),
                Value::from(tank.seconds).worded(duration(tank.seconds.into())),
                Value::number(tank.celsius, 1),
                percent(tank.batch.fullness).into(),
            ]);
        }
        table
    }

    /// Where films get another time than their own, and what contrast they have then.
    fn compromises(&self) -> Table {
        let mut table = Table::new(vec![
            Column::new("tank", "tank"),
            Column::new("name", "whose"),
            Column::new("own", "own time"),
            Column::new("gets", "gets"),
            Column::new("longer", "that is"),
            Column::new("contrast", "contrast then"),
            Column::new("wanted", "wanted"),
        ]);
        for (n, tank) in self.sheet.tanks.iter().enumerate() {
            for who in tank.who.iter().filter(|who| who.is_compromise) {
                table.title = Some("compromises: a time between those of the films".to_owned());
                let planned = &self.sheet.planned[who.part];
                table.row(vec![
                    (n + 1).into(),
                    planned.name.as_str().into(),
                    duration(planned.developing.seconds.into()).into(),
                    duration(tank.seconds.into()).into(),
                    format!("{} %", signed(100.0 * who.longer, 1)).into(),
                    who.contrast.as_ref().map(contrast).into(),
                    Value::number(planned.developing.contrast, 3),
                ]);
            }
        }
        table
    }

    /// The tanks for programs.
    fn tank_list(&self) -> Block {
        let items = self.sheet.tanks.iter().enumerate().map(|(n, t)| self.tank(n, t)).collect();
        Block::Sections { key: "tanks".into(), items }
    }

    fn tank(&self, n: usize, tank: &Tank) -> Section {
        let mut section = Section::default();
        section.field("tank", "tank", n + 1);
        section.field("developer", "bath", self.developer(tank.developer));
        section.field("films", "films", fixing::films(&tank.batch.films));
        section.field("area_m2", "area", Value::plain(tank.batch.area_m2, 4));
        section.field("fullness", "full", Value::in_form(tank.batch.fullness, Form::Percent(0)));
        section.field("seconds", "develop for", tank.seconds);
        section.field("celsius", "°C", Value::number(tank.celsius, 1));
        let mut who = Table::new(vec![
            Column::new("name", "whose"),
            Column::new("films", "films"),
            Column::new("own_seconds", "own time"),
            Column::new("longer", "longer"),
            Column::new("compromise", "compromise"),
            Column::new("contrast_wanted", "wanted"),
            Column::new("contrast", "contrast then"),
        ])
        .keyed("who");
        for one in &tank.who {
            let planned = &self.sheet.planned[one.part];
            who.row(vec![
                planned.name.as_str().into(),
                fixing::films(&one.films),
                planned.developing.seconds.into(),
                Value::number(one.longer, 4),
                one.is_compromise.into(),
                Value::number(planned.developing.contrast, 3),
                one.contrast.as_ref().map(contrast).into(),
            ]);
        }
        section.add(who);
        let mut steps = Table::new(vec![
            Column::new("step", "step"),
            Column::new("from_seconds", "from"),
            Column::new("to_seconds", "to"),
            Column::new("at", "at"),
        ])
        .keyed("steps");
        for step in &tank.batch.steps {
            let at = self.moment(step.from);
            steps.row(vec![step.kind.code().into(), count(step.from), count(step.to), at.into()]);
        }
        section.add(steps);
        section
    }

    /// Each developer: its activity, its bath, its capacity.
    fn developers(&self, all: &mut Description) {
        let names = self.names();
        let used = (0..self.journals.len()).filter(|at| self.is_used(*at));
        let mut items = Vec::new();
        for (at, own) in used.zip(&self.sheet.developers) {
            let mut section = Section {
                title: Some(match names[at].as_deref() {
                    Some(name) => format!("developer {name}"),
                    None => "developer".to_owned(),
                }),
                ..Section::default()
            };
            section.data("name", names[at].as_deref());
            let journal = self.journals[at].as_ref();
            developer::of_night(&mut section, own, journal, self.date);
            items.push(section);
        }
        all.add(Block::Sections { key: "developers".into(), items });
    }

    fn timetable(&self) -> Table {
        let sheet = &self.sheet;
        let tanks = sheet.tanks.iter().map(|tank| tank.batch.steps.as_slice());
        timetable("tank", &sheet.steps, sheet.start, tanks)
    }

    /// The films by number, whose they are, and where each lies.
    fn numbered(&self) -> Table {
        let sheet = &self.sheet;
        let mut table = Table::new(vec![
            Column::new("number", "film"),
            Column::new("name", "whose"),
            Column::new("tank", "tank"),
            Column::new("format", "format"),
            Column::new("reel", "reel"),
            Column::new("place", "place"),
        ])
        .titled("films by number")
        .keyed("numbered");
        table.boxes = 1;
        for (n, tank) in sheet.tanks.iter().enumerate() {
            for (placed, owner) in tank.batch.numbered.iter().zip(&tank.owners) {
                let name = sheet.planned.get(*owner).map(|planned| planned.name.as_str());
                table.row(vec![
                    placed.film.number.into(),
                    name.into(),
                    (n + 1).into(),
                    placed.format.to_string().into(),
                    blank(placed.film.reel.map(Value::from)),
                    placed.film.place.into(),
                ]);
            }
        }
        table
    }
}

/// A contrast with its interval.
const fn contrast(q: &crate::measures::Quantity) -> Value {
    Value::quantity_as(q, Form::Decimals(3))
}
