//! Intervals are promises: how often those of evenness hold on fields of foreign shape, how often even
//! film is called uneven, and whether spots are found.
//!
//! Quick by default; `WEDGEBOOK_FRAMES=2000 cargo test --release --test evenness_simulation --
//! --nocapture` runs that many rolls a setting and prints the tables.

mod simulation;

use rand::Rng;
use rand::rngs::SmallRng;
use simulation::{noise, seeded};
use wedgebook::evenness::{Evenness, Options, measure};
use wedgebook::measures::Measured;
use wedgebook::readings::{Frame, Frames, Labels, PlaceReading};
use wedgebook::units::{Density, DensitySigma, Millimetres};

fn rolls() -> usize {
    std::env::var("WEDGEBOOK_FRAMES")
        .ok()
        .and_then(|s| s.parse().ok())
        .unwrap_or(300)
}

/// How a roll is read.
#[derive(Clone, Copy, Debug)]
struct Reading {
    columns: usize,
    rows: usize,
    frames: usize,
    repeats: usize,
    /// The true noise.
    sigma: f64,
    /// Whether it is told.
    given: bool,
    /// Decimals of the densities.
    decimals: i32,
}

const ORDINARY: Reading = Reading {
    columns: 5,
    rows: 3,
    frames: 1,
    repeats: 1,
    sigma: 0.010,
    given: false,
    decimals: 3,
};

fn grid(reading: &Reading) -> Vec<(f64, f64)> {
    let at = |k: usize, n: usize, length: f64| {
        let margin = 1.5;
        margin + (length - 2.0 * margin) * k as f64 / (n - 1) as f64
    };
    (0..reading.rows)
        .flat_map(|row| {
            (0..reading.columns).map(move |column| {
                (
                    at(column, reading.columns, 36.0),
                    at(row, reading.rows, 24.0),
                )
            })
        })
        .collect()
}

/// A field of foreign shape: surge that dies away from both long edges, a tilt, and a soft hump.
#[derive(Clone, Copy, Debug)]
struct Truth {
    level: f64,
    along: f64,
    across: f64,
    surge: [f64; 2],
    depth: f64,
    hump: (f64, f64, f64, f64),
}

impl Truth {
    fn even(rng: &mut SmallRng) -> Self {
        Self {
            level: rng.random_range(0.6..1.1),
            along: 0.0,
            across: 0.0,
            surge: [0.0; 2],
            depth: 3.0,
            hump: (0.0, 18.0, 12.0, 8.0),
        }
    }

    fn random(rng: &mut SmallRng) -> Self {
        let size = if rng.random_bool(0.3) { 0.01 } else { 0.06 };
        Self {
            level: rng.random_range(0.6..1.1),
            along: rng.random_range(-size..size) / 36.0,
            across: rng.random_range(-size..size) / 24.0,
            surge: [rng.random_range(-size..size), rng.random_range(-size..size)],
            depth: rng.random_range(1.5..6.0),
            hump: (
                rng.random_range(-size..size),
                rng.random_range(0.0..36.0),
                rng.random_range(0.0..24.0),
                rng.random_range(10.0..20.0),
            ),
        }
    }

    fn at(&self, (x, y): (f64, f64)) -> f64 {
        let (height, cx, cy, width) = self.hump;
        let distance = ((x - cx) / width).powi(2) + ((y - cy) / width).powi(2);
        self.level
            + self.along * (x - 18.0)
            + self.across * (y - 12.0)
            + self.surge[0] * (-y / self.depth).exp()
            + self.surge[1] * (-(24.0 - y) / self.depth).exp()
            + height * (-0.5 * distance).exp()
    }
}

/// The roll as it is read; `spot` adds a density at one place of a frame.
fn read(
    rng: &mut SmallRng,
    reading: &Reading,
    truths: &[Truth],
    spots: &[(usize, usize, f64)],
) -> Frames {
    let round =
        |d: f64| (d * 10_f64.powi(reading.decimals)).round() / 10_f64.powi(reading.decimals);
    let places = grid(reading);
    let frames = truths
        .iter()
        .enumerate()
        .map(|(f, truth)| {
            let mut readings = Vec::new();
            for (i, place) in places.iter().enumerate() {
                let spot: f64 = spots
                    .iter()
                    .filter(|(frame, at, _)| (*frame, *at) == (f, i))
                    .map(|s| s.2)
                    .sum();
                for _ in 0..reading.repeats {
                    let density = truth.at(*place) + spot + noise(rng, reading.sigma);
                    readings.push(PlaceReading {
                        x: Millimetres::new(place.0).unwrap(),
                        y: Millimetres::new(place.1).unwrap(),
                        density: Density::new(round(density)).unwrap(),
                        sigma: DensitySigma::new(if reading.given { reading.sigma } else { 0.010 })
                            .unwrap(),
                        line: 1,
                    });
                }
            }
            Frame {
                name: (f + 1).to_string(),
                readings,
            }
        })
        .collect();
    Frames {
        source: "simulated".to_owned(),
        frames,
        labels: Labels::default(),
        sigma_is_assumed: !reading.given,
        notes: Vec::new(),
    }
}

const NAMES: [&str; 9] = [
    "mean", "along", "across", "lower", "upper", "long", "left", "sides", "range",
];

/// The exact values on a balanced grid, by sums over its places.
fn exact(reading: &Reading, truth: &Truth) -> [f64; 9] {
    let places = grid(reading);
    let d: Vec<f64> = places.iter().map(|p| truth.at(*p)).collect();
    let mean = |keep: &dyn Fn(f64, f64) -> bool| {
        let kept: Vec<f64> = places
            .iter()
            .zip(&d)
            .filter(|(p, _)| keep(p.0, p.1))
            .map(|(_, d)| *d)
            .collect();
        kept.iter().sum::<f64>() / kept.len() as f64
    };
    let slope = |v: &dyn Fn(&(f64, f64)) -> f64| {
        let centre = places.iter().map(v).sum::<f64>() / places.len() as f64;
        let top: f64 = places
            .iter()
            .zip(&d)
            .map(|(p, d)| (v(p) - centre) * d)
            .sum();
        let bottom: f64 = places.iter().map(|p| (v(p) - centre).powi(2)).sum();
        top / bottom
    };
    // Zones of a sixth of what was read.
    let (low, high) = (1.5 + 21.0 / 6.0, 22.5 - 21.0 / 6.0);
    let (left, right) = (1.5 + 33.0 / 6.0, 34.5 - 33.0 / 6.0);
    let middle = mean(&|_, y| y > low + 1e-9 && y < high - 1e-9);
    let lower = mean(&|_, y| y <= low + 1e-9) - middle;
    let upper = mean(&|_, y| y >= high - 1e-9) - middle;
    let centre = mean(&|x, _| x > left + 1e-9 && x < right - 1e-9);
    let at_left = mean(&|x, _| x <= left + 1e-9) - centre;
    let at_right = mean(&|x, _| x >= right - 1e-9) - centre;
    let range =
        d.iter().copied().fold(f64::MIN, f64::max) - d.iter().copied().fold(f64::MAX, f64::min);
    [
        mean(&|_, _| true),
        36.0 * slope(&|p| p.0),
        24.0 * slope(&|p| p.1),
        lower,
        upper,
        (lower + upper) / 2.0,
        at_left,
        (at_left + at_right) / 2.0,
        range,
    ]
}

fn measured(pattern: &wedgebook::evenness::Pattern) -> [&Measured; 9] {
    let p = pattern;
    [
        &p.mean,
        &p.along,
        &p.across,
        &p.long_edges.first,
        &p.long_edges.second,
        &p.long_edges.both,
        &p.sides.first,
        &p.sides.both,
        &p.range,
    ]
}

fn coverage(reading: &Reading, seed: u64, truth: fn(&mut SmallRng) -> Truth) -> [f64; 9] {
    let mut rng = seeded(seed);
    let mut covered = [0_u32; 9];
    let mut count = 0;
    let mut widths = [0.0; 9];
    for _ in 0..rolls() {
        let truths: Vec<Truth> = (0..reading.frames).map(|_| truth(&mut rng)).collect();
        let frames = read(&mut rng, reading, &truths, &[]);
        let evenness = measure(&frames, &Options::default()).unwrap();
        for (frame, truth) in evenness.frames.iter().zip(&truths) {
            count += 1;
            let exact = exact(reading, truth);
            for (k, q) in measured(&frame.pattern).into_iter().enumerate() {
                let q = q.as_ref().unwrap();
                covered[k] += u32::from(q.low <= exact[k] && exact[k] <= q.high);
                widths[k] += q.high - q.low;
            }
        }
    }
    let shares = covered.map(|c| f64::from(c) / f64::from(count));
    println!("{reading:?}");
    for ((name, share), w) in NAMES.iter().zip(shares).zip(widths) {
        print!("  {name} {share:.3} ({:.4})", w / f64::from(count));
    }
    println!();
    shares
}

fn alarms(reading: &Reading, seed: u64) -> (f64, f64) {
    let mut rng = seeded(seed);
    let (mut uneven, mut spotted) = (0, 0);
    for _ in 0..rolls() {
        let truth = Truth::even(&mut rng);
        let frames = read(&mut rng, reading, &vec![truth; reading.frames], &[]);
        let evenness: Evenness = measure(&frames, &Options::default()).unwrap();
        uneven += u32::from(evenness.uneven());
        spotted += u32::from(evenness.frames.iter().any(|f| !f.spots.is_empty()));
    }
    let n = rolls() as f64;
    (f64::from(uneven) / n, f64::from(spotted) / n)
}

/// Shares of rolls whose spot is named, of rolls with a false spot beside, and of intervals of the
/// spot's size, the gradient along and both long edges that hold.
fn found(reading: &Reading, seed: u64, size: f64, at: &[usize]) -> [f64; 5] {
    let mut rng = seeded(seed);
    let mut counts = [0_u32; 5];
    for _ in 0..rolls() {
        let truths: Vec<Truth> = (0..reading.frames)
            .map(|_| Truth::random(&mut rng))
            .collect();
        let planted: Vec<(usize, usize, f64)> = at.iter().map(|i| (0, *i, size)).collect();
        let frames = read(&mut rng, reading, &truths, &planted);
        let evenness = measure(&frames, &Options::default()).unwrap();
        let frame = &evenness.frames[0];
        let named = at.iter().all(|i| frame.spots.iter().any(|s| s.index == *i));
        let spots: usize = evenness.frames.iter().map(|f| f.spots.len()).sum();
        counts[0] += u32::from(named);
        counts[1] += u32::from(spots > at.len() || (!named && spots > 0));
        let holds = |q: &wedgebook::measures::Quantity, v: f64| q.low <= v && v <= q.high;
        counts[2] += u32::from(
            frame
                .spots
                .iter()
                .filter(|s| at.contains(&s.index))
                .all(|s| holds(&s.size, size)),
        );
        let exact = exact(reading, &truths[0]);
        counts[3] += u32::from(holds(frame.pattern.along.as_ref().unwrap(), exact[1]));
        counts[4] += u32::from(holds(
            frame.pattern.long_edges.both.as_ref().unwrap(),
            exact[5],
        ));
    }
    counts.map(|c| f64::from(c) / rolls() as f64)
}

#[test]
fn explore_spots() {
    let given = Reading {
        given: true,
        ..ORDINARY
    };
    let six = Reading {
        frames: 6,
        ..ORDINARY
    };
    let dense = Reading {
        columns: 12,
        rows: 8,
        ..ORDINARY
    };
    for (reading, at) in [
        (ORDINARY, vec![0]),
        (ORDINARY, vec![7]),
        (given, vec![0]),
        (given, vec![7]),
        (six, vec![0]),
        (six, vec![7]),
        (given, vec![3, 11]),
        (dense, vec![50]),
    ] {
        for size in [0.0, -0.1, -0.3] {
            println!(
                "{}x{} given {} frames {} at {at:?} {size} {:.3?}",
                reading.columns,
                reading.rows,
                reading.given,
                reading.frames,
                found(&reading, 5, size, &at)
            );
        }
    }
}

#[test]
fn explore() {
    let given = Reading {
        given: true,
        ..ORDINARY
    };
    let six = Reading {
        frames: 6,
        ..ORDINARY
    };
    let settings = [
        ORDINARY,
        given,
        Reading {
            sigma: 0.02,
            ..ORDINARY
        },
        Reading {
            sigma: 0.005,
            ..ORDINARY
        },
        six,
        Reading {
            sigma: 0.005,
            ..six
        },
        Reading {
            repeats: 2,
            ..ORDINARY
        },
        Reading {
            repeats: 2,
            sigma: 0.02,
            given: true,
            ..ORDINARY
        },
        Reading {
            decimals: 2,
            sigma: 0.008,
            ..six
        },
        Reading {
            columns: 3,
            rows: 3,
            ..ORDINARY
        },
        Reading {
            columns: 3,
            rows: 3,
            ..given
        },
        Reading {
            columns: 8,
            rows: 6,
            ..ORDINARY
        },
        Reading {
            columns: 8,
            rows: 6,
            ..given
        },
    ];
    for reading in settings {
        coverage(&reading, 1, Truth::random);
        println!("   alarms {:?}", alarms(&reading, 2));
    }
}
