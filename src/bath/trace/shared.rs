//! What faulty films share and good ones do not, and how far so few films can show it.
//!
//! The films are split by each thing that the journal has of them: the films on reel 1 and those that were
//! not, those of one batch and the others. If a split had nothing to do with the fault, every choice of as
//! many films would be as likely to be the faulty ones. The chance that so many of them or more fall within
//! it is that of the hypergeometric distribution (R. A. Fisher, The Design of Experiments, 1935: the exact
//! test of a table of two rows and two columns, one-sided).
//!
//! Several splits are looked at, and one of them may agree with the fault by chance. So the chance that
//! counts is that the best of *all* splits agrees as well as the one in question: every choice of faulty
//! films is tried, and the share of choices is counted whose best split is as good (the single-step method
//! of P. H. Westfall and S. S. Young, Resampling-Based Multiple Testing, 1993, with all choices in place of
//! random ones). Where there are more than [`MOST_CHOICES`] choices, the chance of the split times the
//! number of splits is its upper bound.

use super::super::journal::{Act, Entry};
use super::formats;
use crate::numerics::chance::{choices, hypergeometric_upper};
use jiff::civil::Date;
use std::fmt;

/// From this chance on an agreement counts as chance.
pub const LEVEL: f64 = 0.05;
/// Most choices of faulty films that are tried one by one.
pub const MOST_CHOICES: f64 = 50_000.0;
/// Films on each side of a trial: if all of one side are faulty and none of the other, the chance is 1 in
/// 20, which is [`LEVEL`].
pub const TRIAL_FILMS: u32 = 3;
/// Two chances that differ by less are one.
const SAME: f64 = 1e-9;

/// Something that films may have in common.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Factor {
    /// The bath, from one mix to the next.
    Bath,
    /// The day.
    Day,
    /// The batch of a day.
    Batch,
    /// Which batch of its session it was: the first, the second.
    Order,
    /// The reel.
    Reel,
    /// The place on the reel.
    Place,
    /// The reel and the place on it.
    Spot,
    /// Tank or tray.
    Vessel,
    /// The format.
    Format,
    /// The pairing: film and developer.
    Pairing,
    /// The development, as N+1.
    Development,
    /// The time of development.
    Time,
    /// The temperature of the developer.
    Temperature,
}

impl Factor {
    /// Its code for programs.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Bath => "bath",
            Self::Day => "day",
            Self::Batch => "batch",
            Self::Order => "order",
            Self::Reel => "reel",
            Self::Place => "place",
            Self::Spot => "reel_and_place",
            Self::Vessel => "vessel",
            Self::Format => "format",
            Self::Pairing => "pairing",
            Self::Development => "development",
            Self::Time => "time",
            Self::Temperature => "temperature",
        }
    }
}

/// A film with what the journal has of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Case {
    /// Its number.
    pub number: u32,
    /// The day.
    pub date: Date,
    /// What it has, as far as that is known: each factor once.
    pub has: Vec<(Factor, String)>,
}

/// All numbered films of entries as cases.
#[must_use]
pub fn cases(entries: &[Entry]) -> Vec<Case> {
    let mut cases = Vec::new();
    let mut bath = None;
    for entry in entries {
        if matches!(entry.act, Act::Mix { .. }) {
            bath = Some(entry.date);
        }
        let Act::Film { load: Some(load), .. } = &entry.act else { continue };
        let all = |factor, words: Option<String>| words.map(|words| (factor, words));
        let plain = |value: Option<f64>| value.map(|v| crate::words::trimmed(v, 4));
        let common: Vec<_> = [
            all(Factor::Bath, bath.map(|mixed| format!("the bath mixed {mixed}"))),
            all(Factor::Day, Some(entry.date.to_string())),
            all(Factor::Batch, load.batch.map(|n| format!("batch {n} of {}", entry.date))),
            all(Factor::Order, load.batch.map(|n| format!("batch {n} of its session"))),
            all(Factor::Vessel, load.vessel.as_ref().map(|v| format!("the {v}"))),
            all(Factor::Pairing, load.pairing.as_ref().map(|p| format!("pairing {p}"))),
            all(Factor::Development, load.development.as_ref().map(|d| format!("development {d}"))),
            all(Factor::Time, plain(load.minutes).map(|m| format!("{m} min"))),
            all(Factor::Temperature, plain(load.celsius).map(|c| format!("{c} °C"))),
        ]
        .into_iter()
        .flatten()
        .collect();
        for (film, format) in load.films.iter().zip(formats(entry)) {
            let own = [
                all(Factor::Reel, film.reel.map(|n| format!("reel {n}"))),
                all(Factor::Place, film.place.map(|n| format!("place {n}"))),
                all(Factor::Spot, film.reel.and(film.place).and(film.lay())),
                all(Factor::Format, format.map(|format| format.to_string())),
            ];
            let has = common.iter().cloned().chain(own.into_iter().flatten()).collect();
            cases.push(Case { number: film.number, date: entry.date, has });
        }
    }
    cases
}

/// The chance of an agreement, with all splits counted that were looked at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Chance {
    /// Counted over all choices.
    Exact(f64),
    /// An upper bound.
    AtMost(f64),
}

impl Chance {
    /// The number, or its bound.
    #[must_use]
    pub const fn value(self) -> f64 {
        match self {
            Self::Exact(chance) | Self::AtMost(chance) => chance,
        }
    }
}

/// Something that more of the faulty films have than of the good ones.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// What they have; several where these films do not separate them.
    pub what: Vec<(Factor, String)>,
    /// Faulty films that have it.
    pub faulty_with: u32,
    /// Good films that have it.
    pub good_with: u32,
    /// Chance of this split alone (Fisher's exact test, one-sided).
    pub alone: f64,
    /// Chance of a split as good among all that were looked at.
    pub among_all: Chance,
}

impl Candidate {
    /// Whether it is more than chance, at [`LEVEL`].
    #[must_use]
    pub fn points(&self) -> bool {
        self.among_all.value() <= LEVEL + SAME
    }
}

/// The one trial that would decide: so many films with it, as many without, all else alike.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    /// What is varied.
    pub factor: Factor,
    /// What one half of the films has.
    pub with: String,
    /// What the same films have too, and what must be the same for all films of the trial.
    pub alike: Vec<(Factor, String)>,
    /// Films on each side.
    pub films: u32,
}

impl fmt::Display for Trial {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (n, with) = (self.films, &self.with);
        match self.factor {
            Factor::Reel | Factor::Spot => {
                write!(f, "{n} films on {with} and {n} on other reels, in one batch")?
            }
            Factor::Place => {
                write!(f, "{n} films at {with} and {n} at other places, on the same reels")?
            }
            Factor::Bath => write!(
                f,
                "{n} films in {with} and {n} in a fresh bath, on the same reels and places"
            )?,
            Factor::Day | Factor::Batch => write!(
                f,
                "{n} films as on that occasion ({with}), {n} as on another, on the same reels and places"
            )?,
            Factor::Order => write!(
                f,
                "{n} films in {with} and {n} in another batch of the same session, on the same reels and places"
            )?,
            Factor::Vessel => {
                write!(f, "{n} films in {with} and {n} in another vessel, in the same bath")?
            }
            Factor::Format => {
                write!(f, "{n} films of {with} and {n} of another format, in one batch")?
            }
            Factor::Pairing => {
                write!(f, "{n} films by {with} and {n} by another, on the same reels and places")?
            }
            Factor::Development | Factor::Time | Factor::Temperature => {
                write!(
                    f,
                    "{n} films with {with} and {n} with another, on the same reels and places"
                )?;
            }
        }
        if !self.alike.is_empty() {
            let alike: Vec<&str> = self.alike.iter().map(|(_, words)| words.as_str()).collect();
            write!(
                f,
                ", and the same for all of them in what goes with it so far ({})",
                alike.join(", ")
            )?;
        }
        write!(
            f,
            "; all evenly exposed alike. If all {n} of the first are faulty and none of the others, chance does that in 1 of 20 such trials"
        )
    }
}

/// What faulty films share.
#[derive(Clone, Debug, PartialEq)]
pub struct Shared {
    /// Numbers of the faulty films.
    pub faulty: Vec<u32>,
    /// Numbers of the good films.
    pub good: Vec<u32>,
    /// How many ways to split the films were looked at; those that split them alike count once.
    pub splits: usize,
    /// What more of the faulty than of the good films have, the best first.
    pub candidates: Vec<Candidate>,
    /// The smallest chance that any split of these films could have: above [`LEVEL`] they can show
    /// nothing.
    pub least: Chance,
    /// The trial that would decide about the first candidate.
    pub trial: Option<Trial>,
}

/// A way to split the films: which have something.
struct Split {
    what: Vec<(Factor, String)>,
    with: Vec<bool>,
    /// Chance by the number of faulty films among those that have it.
    chances: Vec<f64>,
}

impl Split {
    fn of(cases: &[&Case], faulty: usize) -> Vec<Self> {
        let mut splits: Vec<Self> = Vec::new();
        for what in cases.iter().flat_map(|case| &case.has) {
            if splits.iter().any(|split| split.what.contains(what)) {
                continue;
            }
            let with: Vec<bool> = cases.iter().map(|case| case.has.contains(what)).collect();
            let count = with.iter().filter(|with| **with).count();
            if count == cases.len() {
                continue;
            }
            match splits.iter_mut().find(|split| split.with == with) {
                Some(split) => split.what.push(what.clone()),
                None => {
                    let chance = |k| hypergeometric_upper(k, count, faulty, cases.len());
                    let chances = (0..=faulty.min(count)).map(chance).collect();
                    splits.push(Self { what: vec![what.clone()], with, chances });
                }
            }
        }
        splits
    }

    /// The chance if the films of these places in the list are the faulty ones.
    fn chance(&self, chosen: &[usize]) -> f64 {
        self.chances[chosen.iter().filter(|at| self.with[**at]).count()]
    }
}

/// Compares faulty films with good ones. A film that is in both lists counts as faulty; at least one of
/// each is needed, else there are no candidates.
#[must_use]
pub fn shared(faulty: &[&Case], good: &[&Case]) -> Shared {
    let good: Vec<&Case> =
        good.iter().copied().filter(|g| !faulty.iter().any(|f| f.number == g.number)).collect();
    let numbers = |cases: &[&Case]| cases.iter().map(|case| case.number).collect::<Vec<u32>>();
    let all: Vec<&Case> = faulty.iter().copied().chain(good.iter().copied()).collect();
    let (count, total) = (faulty.len(), all.len());
    let splits = if good.is_empty() { Vec::new() } else { Split::of(&all, count) };
    let found: Vec<usize> = (0..count).collect();
    // The best chance of every choice of faulty films, in order.
    let few = choices(total, count) <= MOST_CHOICES;
    let mut best: Vec<f64> = Vec::new();
    if few && !splits.is_empty() {
        each_choice(total, count, |chosen| {
            best.push(splits.iter().map(|s| s.chance(chosen)).fold(1.0, f64::min));
        });
        best.sort_by(f64::total_cmp);
    }
    let among_all = |alone: f64| match best.is_empty() {
        false => {
            let as_good = best.partition_point(|chance| *chance <= alone + SAME);
            Chance::Exact(as_good as f64 / best.len() as f64)
        }
        true => Chance::AtMost((alone * splits.len() as f64).min(1.0)),
    };
    let least = splits.iter().filter_map(|s| s.chances.last().copied()).fold(1.0, f64::min);
    let mut candidates: Vec<Candidate> = splits
        .iter()
        .filter_map(|split| {
            let among =
                |cases: std::ops::Range<usize>| split.with[cases].iter().filter(|w| **w).count();
            let (bad, fine) = (among(0..count), among(count..total));
            // More of the faulty than of the good, as shares.
            let more = bad * (total - count) > fine * count;
            let alone = split.chance(&found);
            more.then(|| Candidate {
                what: split.what.clone(),
                faulty_with: bad as u32,
                good_with: fine as u32,
                alone,
                among_all: among_all(alone),
            })
        })
        .collect();
    candidates.sort_by(|a, b| a.alone.total_cmp(&b.alone));
    Shared {
        faulty: numbers(faulty),
        good: numbers(&good),
        splits: splits.len(),
        trial: candidates.first().and_then(trial),
        candidates,
        least: among_all(least),
    }
}

fn trial(candidate: &Candidate) -> Option<Trial> {
    let (first, rest) = candidate.what.split_first()?;
    // Reel and place together say more than each of them alone, and are varied last.
    Some(Trial { factor: first.0, with: first.1.clone(), alike: rest.to_vec(), films: TRIAL_FILMS })
}

/// Every choice of `count` of `total` places, as a list in order.
fn each_choice(total: usize, count: usize, mut done: impl FnMut(&[usize])) {
    let mut chosen: Vec<usize> = (0..count).collect();
    if count > total {
        return;
    }
    loop {
        done(&chosen);
        let Some(at) = (0..count).rev().find(|at| chosen[*at] < total - count + at) else {
            return;
        };
        chosen[at] += 1;
        for next in at + 1..count {
            chosen[next] = chosen[next - 1] + 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::rngs::SmallRng;
    use rand::seq::SliceRandom;
    use rand::{Rng, SeedableRng};

    fn film(number: u32, reel: u32, place: u32, batch: u32) -> Case {
        let date = jiff::civil::date(2026, 11, 17);
        let has = vec![
            (Factor::Batch, format!("batch {batch}")),
            (Factor::Reel, format!("reel {reel}")),
            (Factor::Place, format!("place {place}")),
        ];
        Case { number, date, has }
    }

    /// Batches of some reels with two places each.
    fn films(batches: u32, reels: u32) -> Vec<Case> {
        let mut all = Vec::new();
        for batch in 1..=batches {
            for reel in 1..=reels {
                for place in 1..=2 {
                    all.push(film(all.len() as u32 + 1, reel, place, batch));
                }
            }
        }
        all
    }

    fn compare(all: &[Case], faulty: &[u32]) -> Shared {
        let (bad, good): (Vec<&Case>, Vec<&Case>) =
            all.iter().partition(|case| faulty.contains(&case.number));
        shared(&bad, &good)
    }

    #[test]
    fn every_choice_is_tried_once() {
        let mut all = Vec::new();
        each_choice(5, 3, |chosen| all.push(chosen.to_vec()));
        assert_eq!(all.len(), 10);
        all.dedup();
        assert_eq!(all.len(), 10);
        let mut none = 0;
        each_choice(4, 4, |_| none += 1);
        assert_eq!(none, 1);
    }

    #[test]
    fn a_fault_of_one_place_is_found() {
        // Two batches of three reels: place 2 is faulty everywhere.
        let found = compare(&films(2, 3), &[2, 4, 6, 8, 10, 12]);
        let first = &found.candidates[0];
        assert_eq!(first.what, [(Factor::Place, "place 2".to_owned())]);
        assert_eq!((first.faulty_with, first.good_with), (6, 0));
        assert!((first.alone - 1.0 / 924.0).abs() < 1e-12);
        // The choices "place 1", "place 2", "batch 1" and "batch 2" are as good as this one.
        assert_eq!(first.among_all, Chance::Exact(4.0 / 924.0));
        assert!(first.points());
        let trial = found.trial.unwrap().to_string();
        assert!(trial.starts_with("3 films at place 2 and 3 at other places"), "{trial}");
    }

    #[test]
    fn few_films_show_nothing() {
        let found = compare(&films(1, 2), &[1, 2]);
        assert_eq!(found.candidates[0].what[0].1, "reel 1");
        assert!((found.candidates[0].alone - 1.0 / 6.0).abs() < 1e-12);
        assert_eq!(found.least, Chance::Exact(4.0 / 6.0));
        assert!(!found.candidates[0].points());
        assert!(compare(&films(1, 2), &[1, 2, 3, 4]).candidates.is_empty());
        assert!(compare(&films(1, 2), &[]).candidates.is_empty());
    }

    #[test]
    fn what_the_films_do_not_separate_counts_once() {
        let mut all = films(1, 4);
        for case in &mut all {
            let vessel = if case.number <= 2 { "the tank" } else { "the tray" };
            case.has.push((Factor::Vessel, vessel.to_owned()));
        }
        let before = compare(&films(1, 4), &[1, 2]).splits;
        let found = compare(&all, &[1, 2]);
        assert_eq!(found.candidates[0].what.len(), 2);
        // The tray is a split of its own.
        assert_eq!(found.splits, before + 1);
        assert!(found.trial.unwrap().to_string().contains("the tank"));
    }

    #[test]
    fn many_films_have_a_bound() {
        let all = films(10, 3);
        let faulty: Vec<u32> = (1..=60).filter(|n| n % 2 == 0).collect();
        let found = compare(&all, &faulty);
        assert!(matches!(found.candidates[0].among_all, Chance::AtMost(chance) if chance < 1e-9));
        assert!(found.candidates[0].points());
    }

    /// The level is a promise: films that are faulty by chance are said to share something in no more than
    /// 5 of 100 cases, whatever the number of films, reels, batches and faults; with faults of one reel of
    /// a large tank it is found.
    #[test]
    fn false_alarms_keep_the_level() {
        const RUNS: u32 = 600;
        let mut rng = SmallRng::seed_from_u64(20_261_129);
        let (mut alarms, mut runs) = (0_u32, 0_u32);
        for (batches, reels) in [(1, 3), (1, 6), (2, 3), (2, 4), (5, 5)] {
            let all = films(batches, reels);
            let mut own = 0_u32;
            for _ in 0..RUNS {
                let count = rng.random_range(1..all.len().min(9));
                let mut numbers: Vec<u32> = all.iter().map(|case| case.number).collect();
                numbers.shuffle(&mut rng);
                let found = compare(&all, &numbers[..count]);
                own += u32::from(found.candidates.first().is_some_and(Candidate::points));
            }
            println!(
                "{batches} batches of {reels} reels: false alarms {:.4}",
                f64::from(own) / f64::from(RUNS)
            );
            // 5 % and three standard deviations of the count.
            assert!(f64::from(own) <= 30.0 + 3.0 * 5.34, "{batches} {reels}: {own}");
            (alarms, runs) = (alarms + own, runs + RUNS);
        }
        println!("all: {:.4}", f64::from(alarms) / f64::from(runs));
        assert!(f64::from(alarms) / f64::from(runs) <= LEVEL);
        // A method that never finds anything keeps its level too.
        assert!(alarms > 0);
    }

    #[test]
    fn true_causes_are_found() {
        let mut rng = SmallRng::seed_from_u64(5);
        let all = films(3, 4);
        let mut found = 0;
        for _ in 0..300 {
            // Reel 2 is faulty in nine of ten films, all others in one of twenty.
            let is_faulty = |case: &&Case, rng: &mut SmallRng| {
                let on_reel = case.has.contains(&(Factor::Reel, "reel 2".to_owned()));
                rng.random_bool(if on_reel { 0.9 } else { 0.05 })
            };
            let faulty: Vec<u32> = all
                .iter()
                .filter(|case| is_faulty(case, &mut rng))
                .map(|case| case.number)
                .collect();
            let first = compare(&all, &faulty).candidates.into_iter().next();
            found += u32::from(first.is_some_and(|c| c.points() && c.what[0].1 == "reel 2"));
        }
        println!("reel 2 is found in {found} of 300");
        assert!(found >= 240, "{found}");
    }
}
