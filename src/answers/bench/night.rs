//! A class night at the sink: tank after tank, each with a film, a time, a law and an aim of its own.

use super::{Bench, BenchQuestion, is_after, steps_field};
use crate::answers::session::ClassNight;
use crate::answers::{
    AdjustQuestion, Answer, Block, Description, Field, Gather, NoTime, Note, Section, Value,
};
use crate::development::Pairing;
use crate::development::aim::{NothingLeft, Target};
use crate::development::file::PairingFile;
use crate::session::Plan;
use crate::session::night::{InTank, Tank};
use crate::units::TemperatureUnit;
use crate::words::{degrees, duration, number};
use std::fmt;

/// What is asked of a class night.
#[derive(Clone, Copy, Debug)]
pub struct NightBenchQuestion<'a> {
    /// Its sheet.
    pub night: &'a ClassNight,
    /// Its plan.
    pub plan: &'a Plan,
    /// The pairing of each entry of films.
    pub pairings: &'a [(&'a PairingFile, &'a Pairing)],
    /// Whether to answer far outside what was calibrated.
    pub extrapolate: bool,
    /// Whether to answer for a bath that is not to be used.
    pub anyway: bool,
    /// The command that enters all tanks in the journals of their baths; none where there is no journal.
    pub entering: Option<&'a str>,
}

/// The tanks of a class night, each as a development to follow.
#[derive(Clone, Debug)]
pub struct NightBench<'a> {
    night: &'a ClassNight,
    entering: Option<&'a str>,
    tanks: Vec<BenchTank<'a>>,
}

/// A tank: the development of the film in it whose own time is nearest to that of the tank.
#[derive(Clone, Debug)]
struct BenchTank<'a> {
    bench: Bench<'a>,
    bath: String,
    agitation: Option<&'a str>,
    /// Whose films are in it, one after the other.
    films: String,
    /// What each of them gets.
    whose: Vec<String>,
    /// What is not as in the tank before.
    differs: Vec<Differs>,
    /// Laws of other films in it.
    other_laws: Vec<OtherLaw>,
}

/// Something that is not as in the tank before.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Differs {
    what: &'static str,
    now: String,
    before: String,
}

impl fmt::Display for Differs {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {} (before: {})", self.what, self.now, self.before)
    }
}

/// A film that shares a tank with one of another law.
#[derive(Clone, Debug, PartialEq, Eq)]
struct OtherLaw {
    followed: String,
    factor: String,
    other: String,
    other_factor: String,
}

impl fmt::Display for OtherLaw {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "when the temperature changes, the time follows the law of {} (faster by 10 °C: a factor of {}); that of {} has {}",
            self.followed, self.factor, self.other, self.other_factor
        )
    }
}

impl<'a> NightBench<'a> {
    /// The answer.
    ///
    /// # Errors
    /// [`NothingLeft`] where flare is as long as a scene.
    pub fn of(question: NightBenchQuestion<'a>) -> Result<Self, NothingLeft> {
        let NightBenchQuestion { night, entering, .. } = question;
        let tanks = &night.sheet().tanks;
        let tanks = tanks.iter().map(|tank| BenchTank::of(&question, tank));
        let mut tanks = tanks.collect::<Result<Vec<_>, _>>()?;
        for n in 1..tanks.len() {
            tanks[n].differs = tanks[n].differs_from(&tanks[n - 1]);
        }
        Ok(Self { night, entering, tanks })
    }

    /// Why one of the tanks has no time, if that is so.
    #[must_use]
    pub fn no_time(&self) -> Option<&NoTime> {
        self.tanks.iter().find_map(|tank| tank.bench.adjust.result.as_ref().err())
    }
}

/// The film that a tank's time is followed by: the one whose own time is nearest to it. Where the time is
/// a compromise, the contrast of that film then is the aim, if it is known.
fn followed(tank: &Tank) -> Option<&InTank> {
    let known = |who: &&InTank| !who.is_compromise || who.contrast.is_some();
    let nearest = |a: &&InTank, b: &&InTank| a.longer.abs().total_cmp(&b.longer.abs());
    tank.who.iter().filter(known).min_by(nearest).or_else(|| tank.who.first())
}

impl<'a> BenchTank<'a> {
    fn of(question: &NightBenchQuestion<'a>, tank: &Tank) -> Result<Self, NothingLeft> {
        let NightBenchQuestion { night, plan, pairings, .. } = *question;
        let planned = &night.sheet().planned;
        let first = followed(tank).unwrap_or(&tank.who[0]);
        let developing = &planned[first.part].developing;
        let (file, pairing) = pairings[first.part];
        let printing = file.aims.printing;
        let compromise = first.contrast.filter(|_| first.is_compromise);
        let target = match (compromise, developing.aim) {
            (Some(contrast), _) => Target::contrast(contrast.value),
            (None, Some(aim)) => Target::scene(aim.stops, &printing)?,
            (None, None) => Target::contrast(developing.contrast),
        };
        let agitation = plan.developers[tank.developer].developer.agitation.as_deref();
        let bench = Bench::of(BenchQuestion {
            adjust: AdjustQuestion {
                name: &file.name,
                pairing,
                measure: developing.measure,
                target,
                exposed_at: None,
                agitation,
                celsius: developing.celsius,
                unit: TemperatureUnit::Celsius,
                bath: night.bath(tank.developer, &developing.activity),
                // The sheet has checked what each film asks for; a compromise is close to that.
                extrapolate: question.extrapolate || compromise.is_some(),
                anyway: question.anyway,
                scene_stops: &[],
                printing,
                paper: None,
            },
            date: night.date(),
            session: None,
            entering: Vec::new(),
        });
        let name = |who: &InTank| format!("{} ({})", planned[who.part].name, who.films);
        // Films of one pairing stand under its name.
        let mixed = tank.who.iter().any(|who| pairings[who.part].0.name != file.name);
        let gets = |who: &InTank| {
            let of = &pairings[who.part].0.name;
            let name = |who| if mixed { format!("{}, {of}", name(who)) } else { name(who) };
            let own = &planned[who.part].developing;
            let aim = format!("{} {}", own.measure.name(), number(own.contrast, 3));
            let own_time = duration(own.seconds.into());
            let time = match (who.is_compromise, &who.contrast) {
                (false, _) => return format!("{}: {aim}", name(who)),
                (true, Some(then)) => format!("gets {}", number(then.value, 3)),
                (true, None) => "what it gets is not known".to_owned(),
            };
            format!("{}: {aim} at its own time of {own_time}, {time}", name(who))
        };
        let mut other_laws = Vec::new();
        for who in &tank.who {
            let (other, law) = pairings[who.part];
            let factor = |p: &Pairing| number(p.factor_per_ten_degrees().value, 2);
            let one = OtherLaw {
                followed: file.name.clone(),
                factor: factor(pairing),
                other: other.name.clone(),
                other_factor: factor(law),
            };
            if one.factor != one.other_factor && !other_laws.contains(&one) {
                other_laws.push(one);
            }
        }
        Ok(Self {
            bench,
            bath: night.developer(tank.developer),
            agitation,
            films: tank.who.iter().map(name).collect::<Vec<_>>().join(", "),
            whose: tank.who.iter().map(gets).collect(),
            differs: Vec::new(),
            other_laws,
        })
    }

    /// What is not as in the tank before.
    fn differs_from(&self, before: &Self) -> Vec<Differs> {
        let both = |what, of: &dyn Fn(&Self) -> String| {
            let (now, before) = (of(self), of(before));
            (now != before).then_some(Differs { what, now, before })
        };
        let question = |tank: &Self| tank.bench.adjust.question.clone();
        let time = |tank: &Self| {
            let minutes = tank.bench.adjust.result.as_ref().ok().map(|a| a.minutes);
            Value::or_missing(minutes.as_ref().map(Value::time))
        };
        let words = |value: Value| match value {
            Value::Amount(amount) => amount.written(),
            other => other.for_people(),
        };
        [
            both("developer", &|tank| tank.bath.clone()),
            both("film and developer", &|tank| question(tank).name.to_owned()),
            both("develop for", &|tank| words(time(tank))),
            both("temperature", &|tank| degrees(question(tank).celsius.get())),
            both("activity", &|tank| {
                let activity = question(tank).bath.activity();
                let known = activity.filter(|q| q.value != 1.0);
                known.map_or_else(|| "1, as calibrated".to_owned(), |q| number(q.value, 3))
            }),
            both("agitation", &|tank| {
                tank.agitation.unwrap_or("as for the strips of the pairing").to_owned()
            }),
        ]
        .into_iter()
        .flatten()
        .collect()
    }

    fn section(&self, n: usize, count: usize, entry: String) -> (Section, Vec<Note>) {
        let described = self.bench.describe();
        let mut all = Section::titled(format!("tank {n} of {count}: {}", self.films));
        all.data("tank", n);
        all.data("name", self.films.as_str());
        all.field("developer", "developer", self.bath.as_str());
        let list = |texts: Vec<String>| {
            let words = texts.join("; ");
            Value::List(texts.into_iter().map(Value::from).collect()).worded(words)
        };
        all.field("whose", "films", list(self.whose.clone()));
        let differs: Vec<String> = self.differs.iter().map(ToString::to_string).collect();
        if n > 1 {
            all.field("differs", "not as in the tank before", list(differs));
        }
        all.data("entry", entry);
        all.blocks.extend(described.first.map(Block::Field));
        // What to expect of each film stands in the sheet of the session.
        let shown = |block: &Block| !matches!(block, Block::Section(_));
        all.blocks.extend(described.blocks.into_iter().filter(shown));
        (all, described.notes)
    }
}

impl Answer for NightBench<'_> {
    fn describe(&self) -> Description {
        let sheet = self.night.sheet();
        let mut all = Description::new(format!("{}, {}", sheet.title, self.night.date()));
        all.heading = vec![
            Field::new("session", "session", sheet.title.as_str()),
            Field::new("date", "date", self.night.date()),
        ];
        let count = self.tanks.len();
        let mut notes = Vec::new();
        let mut items = Vec::new();
        for (n, tank) in (1..).zip(&self.tanks) {
            let entry = self.night.entry_words(n - 1);
            let (section, own) = tank.section(n, count, entry);
            items.push(section);
            let laws = tank.other_laws.iter().map(Note::remark);
            notes.extend(own.into_iter().chain(laws).map(|note| (format!("tank {n}"), note)));
        }
        all.add(Block::Sections { key: "tanks".into(), items });
        all.add(steps_field(sheet.steps.iter().filter(|step| is_after(step))));
        let entering = self.entering.iter().map(|&command| command.into()).collect();
        all.data("entering", Value::List(entering));
        all.notes = Note::merged(notes);
        all
    }

    fn is_no(&self) -> bool {
        self.no_time().is_some()
    }
}
