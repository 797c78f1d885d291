//! Baths that live lives of their own, and how often the forecast's intervals hold.
//!
//! The truth is not of the model's family: coefficients are drawn flat in their logarithm and wider
//! than the priors, every film and every pause has a loss of its own (log-normal, now and then a
//! multiple), and earlier baths of the same journal had other coefficients.
//!
//! Quick by default; `WEDGEBOOK_BATHS=2000 cargo test --release --test simulation bath --
//! --nocapture` runs that many.

use crate::tally::{Tally, asked};
use rand::rngs::StdRng;
use rand::{Rng, SeedableRng};
use rand_distr::{Distribution, Exp1, StandardNormal};
use wedgebook::bath::forecast::{Assumptions, Bath, Event, EventKind, ROLL_M2, mixed};

fn normal(rng: &mut StdRng) -> f64 {
    StandardNormal.sample(rng)
}

/// A factor of mean 1: log-normal, and one time in twenty `rare` times as large.
fn uneven(rare: f64, scatter: f64, rng: &mut StdRng) -> f64 {
    const OFTEN: f64 = 0.05;
    let factor = if rng.random_bool(OFTEN) { rare } else { 1.0 };
    let mean = (1.0 + OFTEN * (rare - 1.0)) * (0.5 * scatter * scatter).exp();
    factor * (scatter * normal(rng)).exp() / mean
}

/// What a bath really does.
#[derive(Clone, Copy)]
struct Truth {
    by_use: f64,
    by_age: f64,
    film_scatter: f64,
    pause_scatter: f64,
    replenisher: f64,
}

impl Truth {
    fn random(rng: &mut StdRng) -> Self {
        let a = Assumptions::default();
        let mut flat = |median: f64, half: f64| median * rng.random_range(-half..half).exp();
        Self {
            by_use: flat(a.loss_by_use.median, 1.3),
            by_age: flat(a.loss_by_age.median, 1.8),
            film_scatter: flat(0.2, 0.6),
            pause_scatter: flat(0.25, 0.6),
            replenisher: 1.0 + 0.03 * normal(rng),
        }
    }

    /// A bath of the same recipe.
    fn kin(&self, rng: &mut StdRng) -> Self {
        Self {
            by_use: self.by_use * (0.15 * normal(rng)).exp(),
            by_age: self.by_age * (0.3 * normal(rng)).exp(),
            replenisher: 1.0 + 0.03 * normal(rng),
            ..*self
        }
    }

    fn film(&self, m2_per_litre: f64, rng: &mut StdRng) -> f64 {
        self.by_use * m2_per_litre * uneven(2.0, self.film_scatter, rng)
    }

    /// A pause is made of stretches of ten days at most, each with its own rate.
    fn pause(&self, days: f64, rng: &mut StdRng) -> f64 {
        let pieces = (days / 10.0).ceil();
        (0..pieces as u32)
            .map(|_| self.by_age * days / pieces * uneven(2.5, self.pause_scatter, rng))
            .sum()
    }
}

struct Life {
    truth: Truth,
    litres: f64,
    x: f64,
    day: f64,
    events: Vec<Event>,
}

impl Life {
    fn push(&mut self, kind: EventKind) {
        self.events.push(Event { day: self.day, kind });
    }

    fn mix(&mut self, rng: &mut StdRng) {
        self.x = 0.03 * normal(rng);
        self.push(EventKind::Mix { litres: self.litres });
    }

    fn pause(&mut self, days: f64, rng: &mut StdRng) {
        self.x -= self.truth.pause(days, rng);
        self.day += days;
    }

    fn film(&mut self, replenish_ml: f64, rng: &mut StdRng) {
        self.x -= self.truth.film(ROLL_M2 / self.litres, rng);
        self.push(EventKind::Film { area_m2: ROLL_M2 });
        if replenish_ml > 0.0 {
            let ml = 1e-3 * replenish_ml;
            self.x = mixed(self.x.exp(), self.litres, ml, ml, self.truth.replenisher).ln();
            self.push(EventKind::Replenish { added_ml: replenish_ml, removed_ml: replenish_ml });
        }
    }

    fn strip(&mut self, rng: &mut StdRng) {
        let sd = rng.random_range(0.005..0.02);
        self.push(EventKind::Strip { ln_activity: self.x + sd * normal(rng), sd });
    }

    /// Films in sessions, `strips` control strips strewn among them.
    fn run(&mut self, films: u32, strips: u32, gap: f64, replenish_ml: f64, rng: &mut StdRng) {
        let mut read = 0;
        for k in 0..films {
            if k > 0 && rng.random_bool(0.6) {
                let wait: f64 = Exp1.sample(rng);
                self.pause(gap * wait, rng);
            }
            while read * films < k * strips {
                self.strip(rng);
                read += 1;
            }
            self.film(replenish_ml, rng);
        }
        while read < strips {
            self.strip(rng);
            read += 1;
        }
        let wait: f64 = Exp1.sample(rng);
        self.pause(gap * wait, rng);
    }

    /// Films that still go in at `limit` or more.
    fn films_left(&self, limit: f64, gap: f64, rng: &mut StdRng) -> u32 {
        let (mut x, mut films) = (self.x, 0);
        while x >= limit.ln() && films < 9999 {
            films += 1;
            x -= self.truth.film(ROLL_M2 / self.litres, rng) + self.truth.pause(gap, rng);
        }
        films
    }

    fn days_left(&self, limit: f64, rng: &mut StdRng) -> f64 {
        let (mut x, mut days) = (self.x, 0.0);
        while x >= limit.ln() && days < 3650.0 {
            let loss = self.truth.pause(5.0, rng);
            let part = ((x - limit.ln()) / loss).min(1.0);
            (x, days) = (x - loss, days + 5.0 * part);
        }
        days
    }
}

#[derive(Default)]
struct Table {
    activity: Tally,
    films: Tally,
    films_now: Tally,
    days: Tally,
    replenishment: Tally,
    by_use: Tally,
    by_age: Tally,
    contradictions: usize,
}

impl Table {
    fn print(&self, name: &str) {
        self.activity.print(name, "ln activity now, 95 %");
        self.films.print(name, "ln films left, 90 %");
        self.films_now.print(name, "ln films, one session");
        self.days.print(name, "ln days by age, 90 %");
        self.replenishment.print(name, "ln replenishment, 95 %");
        self.by_use.print(name, "ln loss by use, 95 %");
        self.by_age.print(name, "ln loss by age, 95 %");
        println!("{name} strips called contradictory: {}", self.contradictions);
    }
}

/// Half a film more, so that none has a logarithm.
fn log_films(n: u32) -> f64 {
    (f64::from(n) + 0.5).ln()
}

/// The last table is for replenished baths only.
fn one(strips: u32, tables: [&mut Table; 3], rng: &mut StdRng) {
    let mut life = Life {
        truth: Truth::random(rng),
        litres: rng.random_range(0.6..2.0) * if strips > 6 { 2.0 } else { 1.0 },
        x: 0.0,
        day: 0.0,
        events: Vec::new(),
    };
    let gap = rng.random_range(2.0..15.0);
    // Films that take a quarter of the activity as far as is assumed.
    let usual = 5.0 * life.litres;
    let mut films = || (usual * rng.random_range(0.3..1.1)).ceil().max(2.0) as u32;
    let (now, before) = (films(), films());
    if rng.random_bool(0.25) {
        life.mix(rng);
        life.run(before, 1 + strips / 2, gap, 0.0, rng);
        life.truth = life.truth.kin(rng);
    }
    let replenish_ml = if rng.random_bool(0.4) { rng.random_range(20.0..80.0) } else { 0.0 };
    life.mix(rng);
    life.run(now, strips, gap, replenish_ml, rng);
    let bath = Bath::follow(&life.events, &Assumptions::default(), life.day).unwrap();
    let activity = bath.activity().unwrap();
    let limit = if activity.value > 0.86 { 0.8 } else { 0.9 * activity.value };
    let pace = 1.0 / gap;
    let left = bath.films_left(ROLL_M2, Some(pace), limit, 0.9).unwrap();
    let left_now = bath.films_left(ROLL_M2, None, limit, 0.9).unwrap();
    let days = bath.days_left(0.0, limit, 0.9).unwrap();
    let c = bath.coefficients().unwrap();
    let truth_left = life.films_left(limit, gap, rng);
    let truth_now = life.films_left(limit, 0.0, rng);
    let truth_days = life.days_left(limit, rng);
    let hold = 0.85;
    let ml = bath.replenishment(ROLL_M2, Some(pace), Some(hold)).ok();
    let keep = (-life.truth.by_use * ROLL_M2 / life.litres - life.truth.by_age * gap).exp();
    // Beyond all bounds where the replenisher is too weak.
    let share = hold * (1.0 - keep) / (life.truth.replenisher - hold * keep);
    let truth_ml =
        if (0.0..=1.0).contains(&share) { 1e3 * life.litres * share } else { f64::INFINITY };
    let logs = |value: f64, low: f64, high: f64| (value.ln(), low.ln(), high.ln());
    for table in tables.into_iter().take(if replenish_ml > 0.0 { 3 } else { 2 }) {
        table.contradictions += bath.contradictions.len();
        table.activity.add(logs(activity.value, activity.low, activity.high), life.x);
        for (tally, n, truth) in
            [(&mut table.films, left, truth_left), (&mut table.films_now, left_now, truth_now)]
        {
            tally.add((log_films(n.median), log_films(n.low), log_films(n.high)), log_films(truth));
        }
        table
            .days
            .add(logs(days.median + 1.0, days.low + 1.0, days.high + 1.0), (truth_days + 1.0).ln());
        if let Some(q) = ml {
            let truth = truth_ml.ln();
            table.replenishment.add(logs(q.value, q.low, q.high), truth);
        }
        for (tally, coefficient, truth) in [
            (&mut table.by_use, c.by_use, life.truth.by_use),
            (&mut table.by_age, c.by_age, life.truth.by_age),
        ] {
            let q = coefficient.quantity;
            tally.add(logs(q.value, q.low, q.high), truth.ln());
        }
    }
}

#[test]
fn intervals_hold() {
    let baths: u32 = asked("WEDGEBOOK_BATHS", 300);
    let mut rng = StdRng::seed_from_u64(20_260_301);
    let (mut all, mut replenished) = (Table::default(), Table::default());
    let groups: [(&str, &[u32]); 3] =
        [("2 or 3 strips", &[2, 3]), ("4 to 8 strips", &[4, 6, 8]), ("15 strips", &[15])];
    for (name, counts) in groups {
        let mut table = Table::default();
        for k in 0..baths / 3 {
            let strips = counts[k as usize % counts.len()];
            one(strips, [&mut table, &mut all, &mut replenished], &mut rng);
        }
        table.print(name);
    }
    replenished.print("replenished, any number of strips");
    all.print("all");
    // Few baths tell a coverage only roughly.
    let slack = |p: f64| 2.5 * (p * (1.0 - p) / f64::from(all.films.n)).sqrt();
    for (name, tally, low, high) in [
        ("activity", &all.activity, 0.93, 0.97),
        ("films left", &all.films, 0.85, 0.95),
        ("films left in one session", &all.films_now, 0.85, 0.95),
        ("days left by age", &all.days, 0.85, 0.95),
        ("replenishment", &all.replenishment, 0.92, 0.98),
    ] {
        let coverage = tally.coverage();
        assert!((low - slack(low)..=high + slack(high)).contains(&coverage), "{name}: {coverage}");
    }
}
