//! Intervals are promises, on papers too: how often they cover the truth on papers of foreign shape.
//!
//! Quick by default; `WEDGEBOOK_PAPERS=2000 cargo test --release --test printing_simulation --
//! --nocapture` simulates that many papers of each kind and prints the tables.

mod simulation;

use rand::Rng;
use rand::rngs::SmallRng;
use simulation::paper::{PAPERS, Paper, PaperKind};
use simulation::{noise, seeded, tablet};
use wedgebook::curve::{Choice, Fitter, Observations};
use wedgebook::measures::Measured;
use wedgebook::printing::PaperMeasures;
use wedgebook::printing::proof::{Exposure, TestStrip, White};
use wedgebook::readings::ExposureScale;

fn papers() -> usize {
    std::env::var("WEDGEBOOK_PAPERS")
        .ok()
        .and_then(|s| s.parse().ok())
        .unwrap_or(250)
}

#[derive(Clone, Copy, Default)]
struct Tally {
    n: u32,
    covered: u32,
    below: u32,
    absent: u32,
    error: f64,
    square: f64,
    width: f64,
}

impl Tally {
    fn enter(&mut self, measured: &Measured, truth: f64) {
        let Ok(q) = measured else {
            self.absent += 1;
            return;
        };
        self.n += 1;
        self.covered += u32::from(q.low <= truth && truth <= q.high);
        self.below += u32::from(truth < q.low);
        self.error += q.value - truth;
        self.square += (q.value - truth).powi(2);
        self.width += q.high - q.low;
    }

    fn merge(&mut self, o: &Self) {
        self.n += o.n;
        self.covered += o.covered;
        self.below += o.below;
        self.absent += o.absent;
        self.error += o.error;
        self.square += o.square;
        self.width += o.width;
    }

    fn coverage(&self) -> f64 {
        f64::from(self.covered) / f64::from(self.n)
    }

    fn print(&self, name: &str, quantity: &str) {
        let n = f64::from(self.n);
        println!(
            "{name:10} {quantity:17} covered {:5.3}  (below {:5.3})  bias {:+.4}  rms {:.4}  half-width/1.96 {:.4}  absent {}",
            self.coverage(),
            f64::from(self.below) / n,
            self.error / n,
            (self.square / n).sqrt(),
            self.width / n / 3.92,
            self.absent
        );
    }
}

const QUANTITIES: [&str; 5] = ["Dmin", "Dmax", "speed P", "range R", "average gradient"];

#[derive(Clone, Copy)]
struct Setting {
    sigma: f64,
    unexposed: usize,
    /// Number of steps and their distance in log exposure.
    tablet: (usize, f64),
    seed: u64,
}

const ORDINARY: Setting = Setting {
    sigma: 0.010,
    unexposed: 1,
    tablet: (21, 0.15),
    seed: 1,
};

/// A tablet printed so that several steps lie on either side of the paper's range, read once.
fn readings(paper: &Paper, setting: &Setting, rng: &mut SmallRng) -> Observations {
    let lowest = paper.points()[0] - rng.random_range(0.4..0.9);
    let mut o = Observations::default();
    for _ in 0..setting.unexposed {
        o.push(
            f64::NEG_INFINITY,
            paper.d_min + noise(rng, setting.sigma),
            0.01,
        );
    }
    for x in tablet(lowest, setting.tablet.1, setting.tablet.0) {
        o.push(x, paper.density(x) + noise(rng, setting.sigma), 0.01);
    }
    o
}

fn simulate(kind: PaperKind, setting: &Setting) -> ([Tally; 5], u32) {
    let mut rng = seeded(setting.seed + kind as u64 * 7919);
    let mut fitter = Fitter::new();
    let mut tallies = [Tally::default(); 5];
    let mut suspects = 0;
    for _ in 0..papers() {
        let paper = Paper::random(kind, &mut rng);
        let o = readings(&paper, setting, &mut rng);
        let fit = fitter.fit(o, Choice::Auto, true).unwrap();
        suspects += fit.suspects.len() as u32;
        let m = PaperMeasures::of(&fit, ExposureScale::Absolute);
        let net = paper.d_max() - paper.d_min;
        let gradient = 100.0 * (0.9 * net - 0.04) / paper.range_r();
        let truths = [
            (&m.d_min, paper.d_min),
            (&m.d_max, paper.d_max()),
            (&m.speed_p, paper.speed_p()),
            (&m.range_r, paper.range_r()),
            (&m.average_gradient, gradient),
        ];
        for (tally, (measured, truth)) in tallies.iter_mut().zip(truths) {
            tally.enter(measured, truth);
        }
    }
    (tallies, suspects)
}

fn table(setting: &Setting) -> [Tally; 5] {
    let mut all = [Tally::default(); 5];
    for kind in PAPERS {
        let (tallies, suspects) = simulate(kind, setting);
        for ((sum, t), q) in all.iter_mut().zip(&tallies).zip(QUANTITIES) {
            t.print(&format!("{kind:?}"), q);
            sum.merge(t);
        }
        println!("suspects {suspects}");
    }
    for (t, q) in all.iter().zip(QUANTITIES) {
        t.print("all", q);
    }
    all
}

#[test]
fn intervals_of_papers_cover() {
    println!("σ 0.010 as assumed, one unexposed patch");
    for (q, t) in QUANTITIES.iter().zip(&table(&ORDINARY)) {
        assert!(
            (0.93..=0.97).contains(&t.coverage()),
            "{q} is covered {:.3}",
            t.coverage()
        );
        assert!(t.absent * 4 < t.n, "{q} is missing {} times", t.absent);
    }
}

#[test]
#[ignore = "thorough: run with --include-ignored"]
fn other_strips_of_paper() {
    for (words, setting) in [
        (
            "σ half",
            Setting {
                sigma: 0.005,
                ..ORDINARY
            },
        ),
        (
            "σ double",
            Setting {
                sigma: 0.020,
                ..ORDINARY
            },
        ),
        (
            "no unexposed patch",
            Setting {
                unexposed: 0,
                ..ORDINARY
            },
        ),
        (
            "three unexposed patches",
            Setting {
                unexposed: 3,
                ..ORDINARY
            },
        ),
        (
            "31 steps of 0.10",
            Setting {
                tablet: (31, 0.10),
                ..ORDINARY
            },
        ),
        (
            "11 steps of 0.30",
            Setting {
                tablet: (11, 0.301),
                ..ORDINARY
            },
        ),
    ] {
        println!("{words}");
        table(&setting);
    }
}

/// log10 of a second's exposure through clear film, sign reversed.
const LIGHT: f64 = -0.4;

/// A test strip of a few times in a ratio, from about a fifth of the shadow point's time on.
fn strip(paper: &Paper, rng: &mut SmallRng) -> (Vec<Exposure>, f64) {
    let shadow = paper.points()[2];
    let n = rng.random_range(6..=10);
    let ratio: f64 = [0.10, 0.15, 0.20][rng.random_range(0..3)];
    let beyond = rng.random_range(0.25..0.6);
    let first = shadow + LIGHT + beyond - ratio * (n - 1) as f64;
    let exposures = (0..n)
        .map(|k| {
            let x = first + ratio * k as f64;
            Exposure {
                seconds: 10_f64.powf(x),
                density: paper.density(x - LIGHT) + noise(rng, 0.01),
            }
        })
        .collect();
    (exposures, 10_f64.powf(shadow + LIGHT))
}

#[test]
fn intervals_of_proofs_cover() {
    let (mut seconds, mut d_max, mut refused) = (Tally::default(), Tally::default(), 0);
    for kind in PAPERS {
        let mut rng = seeded(3 + kind as u64);
        let (mut own, mut own_black) = (Tally::default(), Tally::default());
        for k in 0..papers() {
            let paper = Paper::random(kind, &mut rng);
            let (exposures, truth) = strip(&paper, &mut rng);
            let white = if k % 2 == 0 {
                White::read(paper.d_min + noise(&mut rng, 0.01), 0.01)
            } else {
                White::ASSUMED
            };
            let Ok(strip) = TestStrip::new(&exposures, white, 0.01) else {
                refused += 1;
                continue;
            };
            let found = strip.shortest_black();
            own.enter(
                &found.as_ref().map(|f| f.seconds).map_err(Clone::clone),
                truth,
            );
            own_black.enter(&found.map(|f| f.d_max), paper.d_max());
        }
        own.print(&format!("{kind:?}"), "seconds");
        own_black.print(&format!("{kind:?}"), "Dmax");
        seconds.merge(&own);
        d_max.merge(&own_black);
    }
    seconds.print("all", "seconds");
    d_max.print("all", "Dmax");
    println!("refused {refused}");
    assert!(
        (0.93..=0.97).contains(&seconds.coverage()),
        "{:.3}",
        seconds.coverage()
    );
}
