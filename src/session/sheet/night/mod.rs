//! A class night: films of several people, each of and for something of its own, in as few tanks as their
//! times allow.
//!
//! Each entry of films has its time for today's developer. Films share a tank if they go into the same
//! developer at the same temperature and their times agree within what no one could see
//! ([`NO_ONE_SEES`], [`MOST`]); the tank gets a time between theirs, and what contrast each film has then
//! is calculated again. The tanks of one developer follow each other, the shortest time first.

mod grouping;

pub use grouping::{Asked, MOST, NO_ONE_SEES, groups, together};

use super::mixtures::{Afterwards, Mixture};
use super::steps::{AS_FOR_STRIPS, Step, StepKind, steps};
use super::timetable::timetable_of;
use super::{Batch, Developing, Fixing, NoSession, Session, SessionError, Usage};
use super::{entries, mixtures, timetable};
use crate::bath::film::{Films, Format};
use crate::bath::journal::{Act, Journal};
use crate::bath::standing::Standing;
use crate::development::Pairing;
use crate::development::file::PairingFile;
use crate::development::materials::Material;
use crate::elementary::ln;
use crate::measures::Quantity;
use crate::session::activity::BathActivity;
use crate::session::notes::SessionNote;
use crate::session::numbers::{PlacedFilm, numbered};
use crate::session::plan::Plan;
use crate::units::Minutes;
use crate::words::rounded_seconds;

/// A plan whose films differ, with all that it names.
#[derive(Clone, Debug)]
pub struct Night<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// The pairing of each entry of films.
    pub pairings: Vec<(&'a PairingFile, &'a Pairing)>,
    /// What is known of each developer.
    pub developers: Vec<Known<'a>>,
    /// Whether to answer far outside what was calibrated.
    pub extrapolate: bool,
}

/// What is known of a developer.
#[derive(Clone, Debug)]
pub struct Known<'a> {
    /// Its journal, where it is kept.
    pub journal: Option<&'a Journal>,
    /// Its standing; one that is not to be used has no sheet.
    pub standing: Option<&'a Standing>,
    /// Its activity.
    pub activity: Option<BathActivity>,
    /// The number of its first film.
    pub first_number: Option<u32>,
}

/// An entry of films with what it asks for.
#[derive(Clone, Debug, PartialEq)]
pub struct Planned {
    /// What it is called.
    pub name: String,
    /// Film and developer.
    pub pairing: String,
    /// The films.
    pub films: Films,
    /// Which developer it goes into, counted from 0.
    pub developer: usize,
    /// Its own development.
    pub developing: Developing,
}

/// Films of one entry in a tank.
#[derive(Clone, Debug, PartialEq)]
pub struct InTank {
    /// Which entry of films, counted from 0.
    pub part: usize,
    /// How many of what.
    pub films: Films,
    /// By which share the time differs from its own: 0.02 is 2 % longer.
    pub longer: f64,
    /// Whether it is another time than its own.
    pub is_compromise: bool,
    /// The contrast that it has then, in its measure; `None` where that is too far from what was
    /// calibrated.
    pub contrast: Option<Quantity>,
}

/// A tank.
#[derive(Clone, Debug, PartialEq)]
pub struct Tank {
    /// Which developer, counted from 0.
    pub developer: usize,
    /// Time in the developer, in **seconds**.
    pub seconds: u32,
    /// Temperature of the developer in **°C**.
    pub celsius: f64,
    /// Whose films are in it.
    pub who: Vec<InTank>,
    /// The entry of films that each numbered film is of, in the order of [`Batch::numbered`].
    pub owners: Vec<usize>,
    /// What goes in, its steps and its entries.
    pub batch: Batch,
}

/// A developer of the night.
#[derive(Clone, Debug, PartialEq)]
pub struct NightDeveloper {
    /// Its name, where there are several.
    pub name: Option<String>,
    /// How much film it can develop.
    pub usage: Usage,
    /// Its temperature, activity and wait, as of its first films.
    pub developing: Developing,
    /// Agitation in words.
    pub agitation: String,
}

/// The sheet of a class night.
#[derive(Clone, Debug, PartialEq)]
pub struct NightSheet {
    /// What the session is called.
    pub title: String,
    /// When it begins, in minutes after midnight.
    pub start: Option<u32>,
    /// All films.
    pub films: Films,
    /// Their area in **m²**, from nominal dimensions.
    pub area_m2: f64,
    /// `tank` or `tray`.
    pub vessel: &'static str,
    /// Solution in it, in **ml**.
    pub solution_ml: f64,
    /// What the films ask for, in the order of the plan.
    pub planned: Vec<Planned>,
    /// The developers.
    pub developers: Vec<NightDeveloper>,
    /// The tanks, in their order.
    pub tanks: Vec<Tank>,
    /// What is to be poured and mixed; with each developer the name that it has in the plan.
    pub mixtures: Vec<(Option<String>, Mixture)>,
    /// The steps of each tank but for the developer's time, which is that of the first one.
    pub steps: Vec<Step>,
    /// Fixing.
    pub fixing: Fixing,
    /// What to know beside the numbers; those on some films only with what these are called.
    pub notes: Vec<(Option<String>, SessionNote)>,
}

impl NightSheet {
    /// From the beginning until the last tank is emptied, in seconds.
    #[must_use]
    pub fn seconds(&self) -> u64 {
        let dry = |tank: &Tank| tank.batch.steps.iter().find(|s| s.kind == StepKind::Dry).copied();
        self.tanks.last().and_then(dry).map_or(0, |dry| dry.from)
    }
}

/// A tank before its place in the night is known.
struct Made {
    developer: usize,
    films: Films,
    who: Vec<InTank>,
    seconds: u32,
}

impl Night<'_> {
    /// The session of some entries, which go into one developer.
    fn session<'p>(&'p self, plan: &'p Plan, part: usize) -> Session<'p> {
        let known = &self.developers[self.plan.parts[part].developer];
        let (file, pairing) = self.pairings[part];
        Session {
            plan,
            file,
            pairing,
            journal: known.journal,
            standing: known.standing,
            activity: known.activity.clone(),
            extrapolate: self.extrapolate,
            first_number: known.first_number,
        }
    }

    /// The sheet.
    ///
    /// # Errors
    /// [`SessionError`]: a plan that contradicts itself or one of its baths, films of two developers in one,
    /// or an answer that is no.
    pub fn sheet(&self) -> Result<NightSheet, SessionError> {
        let used = (0..self.plan.developers.len())
            .filter(|developer| !of_developer(self.plan, *developer).is_empty());
        let mut standings = used.filter_map(|developer| self.developers.get(developer)?.standing);
        if let Some(standing) = standings.find(|s| s.withholds()) {
            return Err(NoSession::Withheld(standing.clone()).into());
        }
        self.one_developer_each()?;
        let plan = self.plan;
        let mut noted = Vec::new();
        let planned = (0..plan.parts.len())
            .map(|part| self.planned(part, &mut noted))
            .collect::<Result<Vec<_>, SessionError>>()?;
        let mut notes = gathered(noted);
        let whole = self.session(plan, 0);
        let fixing = whole.fixing()?;
        let mut made = Vec::new();
        let mut developers = Vec::new();
        let mut mixed = Vec::new();
        for (index, named) in plan.developers.iter().enumerate() {
            let parts: Vec<usize> = of_developer(plan, index);
            let Some(&first) = parts.first() else { continue };
            let own_plan = plan.with_parts(&parts);
            let session = self.session(&own_plan, first);
            let mut own = Vec::new();
            let tanks = self.tanks(index, &parts, &planned)?;
            let batches: Vec<Films> = tanks.iter().map(|tank: &Made| tank.films.clone()).collect();
            let bath = session.balance()?;
            let developing = planned[first].developing.clone();
            let usage = session.usage(bath.as_ref(), &batches, &developing, &mut own)?;
            let solutions = mixtures::mixtures(&own_plan, &developing, tanks.len(), &mut own);
            for mixture in solutions {
                let is_developer = matches!(mixture.after, Afterwards::BackIntoBath)
                    || mixture.name == "developer";
                if is_developer {
                    mixed.insert(developers.len(), (named.name.clone(), mixture));
                } else if developers.is_empty() {
                    mixed.push((None, mixture));
                }
            }
            notes.extend(own.into_iter().map(|note| (named.name.clone(), note)));
            let stated = named.developer.agitation.as_deref();
            developers.push(NightDeveloper {
                name: named.name.clone(),
                usage,
                developing,
                agitation: stated.unwrap_or(AS_FOR_STRIPS).to_owned(),
            });
            made.extend(tanks);
        }
        let mut own = Vec::new();
        let lists: Vec<Vec<Step>> = made
            .iter()
            .map(|tank| {
                let part = tank.who.first().map_or(0, |who| who.part);
                let own_plan = plan.with_parts(&[part]);
                let developing =
                    Developing { seconds: tank.seconds, ..planned[part].developing.clone() };
                steps(&own_plan, &developing, &fixing, &mut own)
            })
            .collect();
        let load = lists.first().and_then(|list| list.iter().find(|s| s.kind == StepKind::Load));
        let load = load.map_or(0, |s| u64::from(s.seconds));
        let waits = planned.iter().filter_map(|p| p.developing.wait.map(|wait| wait.seconds()));
        let lead = waits.max().unwrap_or(0).saturating_sub(load);
        let times = timetable_of(&lists, lead);
        let tanks = self.placed(made, times, &planned);
        let reels = tanks.iter().flat_map(|t| &t.batch.numbered).any(|f| f.film.reel.is_some());
        own.extend(reels.then_some(SessionNote::Places));
        own.push(SessionNote::NominalArea);
        let films = by_format(&plan.films());
        let mut sheet = NightSheet {
            title: plan.title.clone(),
            start: plan.start,
            area_m2: films.area_m2(),
            films,
            vessel: plan.vessel.kind,
            solution_ml: plan.vessel.limits.solution_ml,
            planned,
            developers,
            tanks,
            mixtures: mixed,
            steps: lists.into_iter().next().unwrap_or_default(),
            fixing,
            notes,
        };
        own.extend(timetable::too_long(sheet.seconds()));
        sheet.notes.extend(own.into_iter().map(|note| (None, note)));
        let mut once: Vec<(Option<String>, SessionNote)> = Vec::new();
        for note in std::mem::take(&mut sheet.notes) {
            if !once.contains(&note) {
                once.push(note);
            }
        }
        sheet.notes = once;
        Ok(sheet)
    }

    /// Films of developers that differ never share a bath.
    fn one_developer_each(&self) -> Result<(), SessionError> {
        for index in 0..self.plan.developers.len() {
            let parts = of_developer(self.plan, index);
            let Some((first, rest)) = parts.split_first() else { continue };
            for part in rest {
                let whose = format!("the pairing of {} is", called(self.plan, *part));
                let (one, other) = (self.pairings[*first].0, self.pairings[*part].0);
                let found = one.materials().differences(&other.materials(), &whose);
                if let Some(other) = found.into_iter().find(|o| o.what == Material::Developer) {
                    return Err(other.into());
                }
            }
        }
        Ok(())
    }

    fn planned(
        &self,
        part: usize,
        noted: &mut Vec<(String, Vec<SessionNote>)>,
    ) -> Result<Planned, SessionError> {
        let own_plan = self.plan.with_parts(&[part]);
        let session = self.session(&own_plan, part);
        let mut notes = Vec::new();
        let developing = session.developing(&mut notes)?;
        let name = called(self.plan, part);
        noted.push((name.clone(), notes));
        Ok(Planned {
            name,
            pairing: self.pairings[part].0.name.clone(),
            films: own_plan.films(),
            developer: self.plan.parts[part].developer,
            developing,
        })
    }

    /// The tanks of a developer: entries whose times agree, in batches that the vessel takes.
    fn tanks(
        &self,
        developer: usize,
        parts: &[usize],
        planned: &[Planned],
    ) -> Result<Vec<Made>, SessionError> {
        let asked: Vec<Asked> =
            parts.iter().map(|part| asked(&planned[*part].developing)).collect();
        let mut made = Vec::new();
        for group in groups(&asked) {
            let members: Vec<usize> = group.iter().map(|at| parts[*at]).collect();
            let own_plan = self.plan.with_parts(&members);
            let mut queue: Vec<(usize, u32, Format)> = members
                .iter()
                .zip(&own_plan.films)
                .map(|(part, (count, format))| (*part, *count, format.value))
                .collect();
            for films in self.session(&own_plan, members[0]).batches()? {
                let mut who: Vec<(usize, Films)> = Vec::new();
                for (count, format) in &films.0 {
                    for (part, count) in dealt(&mut queue, *count, *format) {
                        match who.iter_mut().find(|(other, _)| *other == part) {
                            Some((_, films)) => films.0.push((count, *format)),
                            None => who.push((part, Films(vec![(count, *format)]))),
                        }
                    }
                }
                made.push(self.tank(developer, films, who, planned));
            }
        }
        Ok(made)
    }

    /// A tank of films whose times agree: its time, and what each film has then.
    fn tank(
        &self,
        developer: usize,
        films: Films,
        who: Vec<(usize, Films)>,
        planned: &[Planned],
    ) -> Made {
        let of: Vec<Asked> =
            who.iter().map(|(part, _)| asked(&planned[*part].developing)).collect();
        let minutes = together(&of).unwrap_or_default();
        let least = of.iter().map(|a| a.range().0).fold(0.0, f64::max);
        let most = of.iter().map(|a| a.range().1).fold(f64::INFINITY, f64::min);
        // A clock's coarse step must not lead out of what each may get.
        let coarse = rounded_seconds(minutes).unwrap_or_default();
        let within = (least..=most).contains(&(f64::from(coarse) / 60.0));
        let fine = (60.0 * minutes / 5.0).round() * 5.0;
        let seconds = if within || of.len() == 1 { coarse } else { fine as u32 };
        let in_tank = |(part, films): (usize, Films)| {
            let own = &planned[part].developing;
            let got = Minutes::new(f64::from(seconds) / 60.0).ok().and_then(|minutes| {
                let activity = Quantity::around(own.activity.value, 0.0);
                let pairing = self.pairings[part].1;
                let got = pairing.developed(minutes, own.celsius, &activity, true).ok()?;
                got.measures.iter().find(|(measure, _)| *measure == own.measure).map(|(_, q)| *q)
            });
            InTank {
                part,
                films,
                longer: f64::from(seconds) / 60.0 / own.minutes.value - 1.0,
                is_compromise: seconds != own.seconds,
                contrast: got,
            }
        };
        Made { developer, films, who: who.into_iter().map(in_tank).collect(), seconds }
    }

    /// The tanks with their steps, their films by number, and their entries.
    fn placed(
        &self,
        made: Vec<Made>,
        times: Vec<Vec<super::Timed>>,
        planned: &[Planned],
    ) -> Vec<Tank> {
        let limits = &self.plan.vessel.limits;
        let mut next: Vec<Option<u32>> = self.developers.iter().map(|d| d.first_number).collect();
        let mut tanks: Vec<Tank> = Vec::new();
        for (tank, steps) in made.into_iter().zip(times) {
            let first = &mut next[tank.developer];
            let placed =
                first.map(|n| numbered(&tank.films, limits, self.plan.vessel.is_tank(), n));
            let placed = placed.unwrap_or_default();
            *first = first.map(|n| n.saturating_add(placed.len() as u32));
            let owners = owners(&placed, &tank.who);
            let batch = 1 + tanks.iter().filter(|t| t.developer == tank.developer).count();
            let mut acts: Vec<Act> = Vec::new();
            for who in &tank.who {
                let own_plan = self.plan.with_parts(&[who.part]);
                let developing =
                    Developing { seconds: tank.seconds, ..planned[who.part].developing.clone() };
                let of: Vec<PlacedFilm> = placed
                    .iter()
                    .zip(&owners)
                    .filter(|(_, owner)| **owner == who.part)
                    .map(|(film, _)| *film)
                    .collect();
                let load = entries::load(&own_plan, &developing, batch as u32, &of);
                acts.extend(entries::film(&own_plan, &who.films, load));
            }
            acts.extend(entries::replenishment(&self.of(tank.developer), &tank.films));
            tanks.push(Tank {
                developer: tank.developer,
                seconds: tank.seconds,
                celsius: tank
                    .who
                    .first()
                    .map_or(f64::NAN, |who| planned[who.part].developing.celsius.get()),
                who: tank.who,
                owners,
                batch: Batch {
                    area_m2: tank.films.area_m2(),
                    fullness: limits.fullness(&tank.films).unwrap_or(1.0),
                    films: tank.films,
                    numbered: placed,
                    steps,
                    entries: acts,
                },
            });
        }
        tanks
    }

    /// The plan of one developer.
    fn of(&self, developer: usize) -> Plan {
        self.plan.with_parts(&of_developer(self.plan, developer))
    }
}

/// The entries of films that go into a developer.
fn of_developer(plan: &Plan, developer: usize) -> Vec<usize> {
    (0..plan.parts.len()).filter(|part| plan.parts[*part].developer == developer).collect()
}

/// What an entry of films is called: its name, or its films.
fn called(plan: &Plan, part: usize) -> String {
    let name = plan.parts[part].name.clone();
    name.unwrap_or_else(|| plan.with_parts(&[part]).films().to_string())
}

/// The time that films ask for, and how certain it is by the pairing alone.
fn asked(developing: &Developing) -> Asked {
    let q = &developing.minutes;
    let all = ln(q.high / q.low) / 2.0;
    let of_bath = developing.activity.ln_half_width();
    let own = (all * all - of_bath * of_bath).max(0.0).sqrt();
    Asked { minutes: q.value, ln_half_width: own }
}

/// Takes so many films of a format from the front of a queue.
fn dealt(queue: &mut [(usize, u32, Format)], count: u32, format: Format) -> Vec<(usize, u32)> {
    let mut left = count;
    let mut taken = Vec::new();
    for (part, there, _) in queue.iter_mut().filter(|(_, _, own)| *own == format) {
        let take = left.min(*there);
        if take > 0 {
            taken.push((*part, take));
            *there -= take;
            left -= take;
        }
    }
    taken
}

/// The entry of films that each numbered film is of.
fn owners(placed: &[PlacedFilm], who: &[InTank]) -> Vec<usize> {
    let mut queue: Vec<(usize, u32, Format)> = who
        .iter()
        .flat_map(|w| w.films.0.iter().map(|(count, format)| (w.part, *count, *format)))
        .collect();
    let one = |film: &PlacedFilm| {
        dealt(&mut queue, 1, film.format).first().map_or(usize::MAX, |(part, _)| *part)
    };
    placed.iter().map(one).collect()
}

/// Films with each format once, in the order of their first mention.
fn by_format(films: &Films) -> Films {
    let mut merged = Films::default();
    for (count, format) in &films.0 {
        match merged.0.iter_mut().find(|(_, other)| other == format) {
            Some((sum, _)) => *sum = sum.saturating_add(*count),
            None => merged.0.push((*count, *format)),
        }
    }
    merged
}

/// Notes of all entries, each once: with whom it is of, unless it holds for every one.
fn gathered(noted: Vec<(String, Vec<SessionNote>)>) -> Vec<(Option<String>, SessionNote)> {
    let mut notes: Vec<(Option<String>, SessionNote)> = Vec::new();
    for note in noted.iter().flat_map(|(_, own)| own) {
        if notes.iter().any(|(_, there)| there == note) {
            continue;
        }
        let of = noted.iter().filter(|(_, own)| own.contains(note));
        let names: Vec<&str> = of.map(|(name, _)| name.as_str()).collect();
        let whose = (names.len() < noted.len()).then(|| names.join(", "));
        notes.push((whose, note.clone()));
    }
    notes
}
