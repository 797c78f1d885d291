//! Leader families and later pieces, on films whose leader grows in ways of its own: how often the
//! interval of the bath's activity holds.
//!
//! The truth is not of the model's family: growth that starts slowly and speeds up, two layers, growth
//! with the logarithm of time. Pieces differ by 0.012 to 0.045 in density, each reading errs by 0.010
//! and is written to 0.01, every time errs by 3 s and every temperature by 0.2 °C, in the family and later.
//!
//! Quick by default; `WEDGEBOOK_LEADERS=2000 cargo test --release --test simulation leader -- --nocapture`
//! runs that many families of each kind and prints the table.

use crate::emulsions::{noise, seeded};
use crate::tally::{Tally, asked};
use rand::Rng;
use rand::rngs::SmallRng;
use wedgebook::development::leader::{LeaderGrowth, Tested, leader_of_bytes};
use wedgebook::development::temperature::relative_rate;
use wedgebook::units::{Celsius, Minutes};

/// How the density of a leader grows.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Kind {
    /// First order: 1 − exp(−k·(θ − θ0)).
    FirstOrder,
    /// An S in time: 1 − exp(−(k·θ)^n), n from 1.2 to 1.8.
    Autocatalytic,
    /// A quick layer and a slow one.
    TwoLayers,
    /// With the logarithm of time: ln(1 + θ/τ).
    LogTime,
}

const KINDS: [Kind; 4] = [Kind::FirstOrder, Kind::Autocatalytic, Kind::TwoLayers, Kind::LogTime];

const FAMILY: [f64; 7] = [1.5, 2.5, 3.5, 5.0, 7.0, 10.0, 14.0];

/// A film in a developer.
struct Leader {
    kind: Kind,
    base: f64,
    most: f64,
    rate: f64,
    shape: f64,
    energy: f64,
    /// Standard deviation from piece to piece.
    piece: f64,
}

impl Leader {
    fn random(kind: Kind, rng: &mut SmallRng) -> Self {
        Self {
            kind,
            base: rng.random_range(0.18..0.35),
            most: rng.random_range(1.4..2.4),
            rate: rng.random_range(-1.7..-0.8_f64).exp(),
            shape: rng.random_range(0.0..1.0),
            energy: (56.0 + noise(rng, 15.0)).clamp(25.0, 90.0),
            piece: rng.random_range(0.012_f64.ln()..0.045_f64.ln()).exp(),
        }
    }

    /// The density after `theta` effective minutes at 20 °C.
    fn density(&self, theta: f64) -> f64 {
        let (k, shape) = (self.rate, self.shape);
        let share = match self.kind {
            Kind::FirstOrder => 1.0 - (-k * (theta - 0.5 * shape).max(0.0)).exp(),
            Kind::Autocatalytic => 1.0 - (-(k * theta).powf(1.2 + 0.6 * shape)).exp(),
            Kind::TwoLayers => {
                let quick = 0.3 + 0.4 * shape;
                let layer = |k: f64| 1.0 - (-k * theta).exp();
                quick * layer(2.0 * k) + (1.0 - quick) * layer(0.5 * k)
            }
            Kind::LogTime => 0.45 * (1.0 + k * theta * (1.5 + shape)).ln(),
        };
        self.base + self.most * share
    }

    fn celsius(&self, theta_at: f64) -> f64 {
        relative_rate(self.energy, degrees(theta_at), degrees(20.0))
    }

    /// One piece, as it is read: it errs by its own, by the clock and by the thermometer.
    fn piece(&self, minutes: f64, celsius: f64, activity: f64, rng: &mut SmallRng) -> f64 {
        let time = minutes + noise(rng, 0.05);
        let theta = activity * time * self.celsius(celsius + noise(rng, 0.2));
        self.density(theta) + noise(rng, self.piece)
    }
}

fn degrees(celsius: f64) -> Celsius {
    Celsius::new(celsius).unwrap()
}

/// A reading of a density, to two decimals.
fn reading(density: f64, rng: &mut SmallRng) -> f64 {
    (100.0 * (density + noise(rng, 0.010))).round() / 100.0
}

/// A family as a file has it, with a piece that was only fixed if `fixed`.
fn calibrated(
    leader: &Leader,
    fixed: bool,
    warm: Option<f64>,
    rng: &mut SmallRng,
) -> Option<LeaderGrowth> {
    let mut text = String::from("minutes,celsius,density\n");
    if fixed {
        text += &format!("0,20,{}\n", reading(leader.base, rng));
    }
    let warm = warm.map(|celsius| (2.5, celsius));
    for (minutes, celsius) in FAMILY.iter().map(|m| (*m, 20.0)).chain(warm) {
        let density = leader.piece(minutes, celsius, 1.0, rng);
        text += &format!("{minutes},{celsius},{}\n", reading(density, rng));
    }
    let family = leader_of_bytes("simulated.csv", text.as_bytes(), None).unwrap();
    LeaderGrowth::of(&family).ok()
}

/// How often the interval of the activity holds, its bounds where only one end is known, and how often no
/// family was one.
#[derive(Default)]
struct Found {
    tally: Tally,
    one_sided: u32,
    one_sided_hold: u32,
    no_family: u32,
}

/// What is asked of the simulation.
#[derive(Clone, Copy)]
struct Setting {
    seed: u64,
    /// Temperatures of the later piece.
    celsius: (f64, f64),
    /// Temperature of a piece of the family that is not at 20 °C.
    warm: Option<f64>,
    /// The later piece's time over the best one.
    off_best: (f64, f64),
}

const ORDINARY: Setting =
    Setting { seed: 5, celsius: (18.0, 22.0), warm: None, off_best: (0.8, 1.4) };

fn simulate(kind: Kind, setting: &Setting, families: usize) -> Found {
    let mut rng = seeded(setting.seed + 7919 * kind as u64);
    let mut found = Found::default();
    for number in 0..families {
        let leader = Leader::random(kind, &mut rng);
        let Some(growth) = calibrated(&leader, number % 2 == 0, setting.warm, &mut rng) else {
            found.no_family += 1;
            continue;
        };
        for _ in 0..4 {
            let between = |(low, high): (f64, f64), rng: &mut SmallRng| match low < high {
                true => rng.random_range(low..high),
                false => low,
            };
            let activity = rng.random_range(0.65_f64.ln()..1.15_f64.ln()).exp();
            let celsius = (10.0 * between(setting.celsius, &mut rng)).round() / 10.0;
            let best = growth.test_times(degrees(celsius)).best.minutes;
            let minutes = (4.0 * best * between(setting.off_best, &mut rng)).round() / 4.0;
            let density = leader.piece(minutes, celsius, activity, &mut rng);
            let readings = 1 + usize::from(rng.random_bool(0.5));
            let piece = Tested {
                densities: (0..readings).map(|_| reading(density, &mut rng)).collect(),
                reading_sd: 0.010,
                minutes: Minutes::new(minutes.max(0.5)).unwrap(),
                celsius: degrees(celsius),
            };
            match growth.activity(&piece) {
                Ok(q) => found.tally.add((q.value, q.low, q.high), activity),
                Err(why) => {
                    found.tally.absent += 1;
                    let (low, high) = why.ends();
                    if low.is_some() || high.is_some() {
                        found.one_sided += 1;
                        let holds = low.is_none_or(|low| low <= activity)
                            && high.is_none_or(|high| activity <= high);
                        found.one_sided_hold += u32::from(holds);
                    }
                }
            }
        }
    }
    found
}

fn table(name: &str, setting: &Setting) -> Vec<(Kind, Found)> {
    let families = asked("WEDGEBOOK_LEADERS", 300);
    KINDS
        .iter()
        .map(|&kind| {
            let found = simulate(kind, setting, families);
            found.tally.print(&format!("{kind:?}"), name);
            println!(
                "  one end only {}, holds {}; no family {}",
                found.one_sided, found.one_sided_hold, found.no_family
            );
            (kind, found)
        })
        .collect()
}

fn pooled(found: &[(Kind, Found)]) -> f64 {
    let mut all = Tally::default();
    found.iter().for_each(|(_, f)| all.merge(&f.tally));
    all.print("all", "activity");
    all.coverage()
}

#[test]
fn the_activity_by_a_piece_near_the_best_time_is_covered() {
    let found = table("activity", &ORDINARY);
    let coverage = pooled(&found);
    assert!((0.93..=0.97).contains(&coverage), "{coverage:.3}");
    for (kind, f) in &found {
        assert!(f.tally.coverage() >= 0.90, "{kind:?}: {:.3}", f.tally.coverage());
        assert!(f.tally.absent * 10 < f.tally.n, "{kind:?}: {} absent", f.tally.absent);
        assert!(f.tally.median_width() < 0.5, "{kind:?}: {:.3}", f.tally.median_width());
        assert_eq!(f.no_family, 0, "{kind:?}");
    }
}

/// Far from the family's temperature the assumed law is not sure, and the interval says so.
#[test]
fn the_activity_at_another_temperature_is_covered() {
    let cold = Setting { celsius: (14.0, 16.0), seed: 6, ..ORDINARY };
    let found = table("cold", &cold);
    let coverage = pooled(&found);
    assert!((0.93..=0.98).contains(&coverage), "{coverage:.3}");
    let width = |found: &[(Kind, Found)]| found[0].1.tally.median_width();
    let near = table("near", &Setting { celsius: (20.0, 20.0), seed: 6, ..ORDINARY });
    assert!(width(&found) > 1.5 * width(&near), "{} {}", width(&found), width(&near));
    // A piece of the family at 25 °C makes a law of the family's own, which is the truth's.
    let own = table("own law", &Setting { warm: Some(25.0), ..cold });
    let coverage = pooled(&own);
    assert!((0.92..=0.98).contains(&coverage), "{coverage:.3}");
}

/// At times other than the best one the interval is wider, or has one end only, and holds.
#[test]
fn the_activity_by_a_late_piece_is_covered_and_says_less() {
    let best = table("best", &Setting { off_best: (1.0, 1.0), seed: 7, ..ORDINARY });
    let late = table("late", &Setting { off_best: (2.5, 3.5), seed: 7, ..ORDINARY });
    let coverage = pooled(&late);
    assert!((0.92..=0.985).contains(&coverage), "{coverage:.3}");
    let width = |found: &[(Kind, Found)]| found[0].1.tally.median_width();
    assert!(width(&late) > 1.3 * width(&best), "{} {}", width(&late), width(&best));
    let (one, hold) = late
        .iter()
        .fold((0, 0), |(one, hold), (_, f)| (one + f.one_sided, hold + f.one_sided_hold));
    assert!(f64::from(hold) >= 0.93 * f64::from(one), "{hold} of {one}");
}
