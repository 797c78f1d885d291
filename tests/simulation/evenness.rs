//! Intervals are promises: how often those of evenness hold on fields of foreign shape, how often even
//! film is called uneven, and whether spots are found.
//!
//! Quick by default; `WEDGEBOOK_FRAMES=2000 cargo test --release --test simulation evenness --
//! --nocapture` runs that many rolls a setting and prints the tables.

use crate::emulsions::{noise, seeded};
use crate::tally::asked;
use rand::Rng;
use rand::rngs::SmallRng;
use wedgebook::evenness::{Evenness, Options, measure};
use wedgebook::measures::Measured;
use wedgebook::readings::{Frame, Frames, Labels, PlaceReading};
use wedgebook::units::{Density, DensitySigma, Millimetres};

fn rolls() -> usize {
    asked("WEDGEBOOK_FRAMES", 1500)
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

const ORDINARY: Reading =
    Reading { columns: 5, rows: 3, frames: 1, repeats: 1, sigma: 0.010, given: false, decimals: 3 };

fn grid(reading: &Reading) -> Vec<(f64, f64)> {
    let at = |k: usize, n: usize, length: f64| {
        let margin = 1.5;
        margin + (length - 2.0 * margin) * k as f64 / (n - 1) as f64
    };
    (0..reading.rows)
        .flat_map(|row| {
            (0..reading.columns)
                .map(move |column| (at(column, reading.columns, 36.0), at(row, reading.rows, 24.0)))
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
            Frame { name: (f + 1).to_string(), readings }
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

const NAMES: [&str; 9] =
    ["mean", "along", "across", "lower", "upper", "long", "left", "sides", "range"];

/// The exact values on a balanced grid, by sums over its places.
fn exact(reading: &Reading, truth: &Truth) -> [f64; 9] {
    let places = grid(reading);
    let d: Vec<f64> = places.iter().map(|p| truth.at(*p)).collect();
    let mean = |keep: &dyn Fn(f64, f64) -> bool| {
        let kept: Vec<f64> =
            places.iter().zip(&d).filter(|(p, _)| keep(p.0, p.1)).map(|(_, d)| *d).collect();
        kept.iter().sum::<f64>() / kept.len() as f64
    };
    let slope = |v: &dyn Fn(&(f64, f64)) -> f64| {
        let centre = places.iter().map(v).sum::<f64>() / places.len() as f64;
        let top: f64 = places.iter().zip(&d).map(|(p, d)| (v(p) - centre) * d).sum();
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

fn measured(pattern: &wedgebook::evenness::Pattern) -> [&Measured<wedgebook::evenness::Why>; 9] {
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
        let truths: Vec<Truth> = (0..reading.frames).map(|_| Truth::random(&mut rng)).collect();
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
            frame.spots.iter().filter(|s| at.contains(&s.index)).all(|s| holds(&s.size, size)),
        );
        let exact = exact(reading, &truths[0]);
        counts[3] += u32::from(holds(frame.pattern.along.as_ref().unwrap(), exact[1]));
        counts[4] += u32::from(holds(frame.pattern.long_edges.both.as_ref().unwrap(), exact[5]));
    }
    counts.map(|c| f64::from(c) / rolls() as f64)
}

const GIVEN: Reading = Reading { given: true, ..ORDINARY };
const SIX: Reading = Reading { frames: 6, ..ORDINARY };
const TWICE: Reading = Reading { repeats: 2, ..ORDINARY };

/// Three standard errors of a share in all rolls.
fn room(share: f64) -> f64 {
    3.0 * (share * (1.0 - share) / rolls() as f64).sqrt()
}

/// Every interval but that of the range, which allows for having looked for the extremes, holds about
/// 95 times in 100; none holds less than 94 times, as far as so many rolls can tell.
fn assert_covered(reading: &Reading, seed: u64, most: f64) {
    let shares = coverage(reading, seed, Truth::random);
    for (name, share) in NAMES.iter().zip(shares) {
        let most = if *name == "range" { 1.0 } else { most };
        assert!(
            (0.94 - room(0.94).min(0.02)..=most).contains(&share),
            "{name} is covered {share:.3} in {reading:?}"
        );
    }
}

#[test]
fn intervals_hold_with_the_noise_given() {
    assert_covered(&GIVEN, 1, 0.98);
}

#[test]
fn intervals_hold_with_the_noise_from_scatter() {
    assert_covered(&ORDINARY, 2, 0.98);
    let rounded = Reading { sigma: 0.008, decimals: 2, ..SIX };
    assert_covered(&rounded, 3, 0.99);
}

#[test]
fn intervals_hold_with_the_noise_from_repeats() {
    assert_covered(&TWICE, 4, 0.98);
    // Told half of the truth: the repeats are believed.
    let mut wrong = 0;
    let mut rng = seeded(5);
    let reading = Reading { sigma: 0.02, ..TWICE };
    let rolls = rolls();
    for _ in 0..rolls {
        let truth = Truth::random(&mut rng);
        let mut frames = read(&mut rng, &reading, &[truth], &[]);
        frames.sigma_is_assumed = false;
        let evenness = measure(&frames, &Options::default()).unwrap();
        let exact = exact(&reading, &truth)[1];
        let along = evenness.frames[0].pattern.along.as_ref().unwrap();
        wrong += usize::from(!(along.low <= exact && exact <= along.high));
    }
    let share = 1.0 - wrong as f64 / rolls as f64;
    assert!(share > 0.94 - room(0.94).min(0.02), "{share}");
}

/// A σ of 0.010 that is only assumed and is half or twice the truth changes no interval.
#[test]
fn a_wrong_assumption_does_no_harm() {
    for (sigma, seed) in [(0.005, 6), (0.02, 7)] {
        assert_covered(&Reading { sigma, ..ORDINARY }, seed, 0.99);
    }
}

/// The mean of six frames of one field, read in hundredths, and of six frames that differ.
#[test]
fn intervals_of_all_frames_together_hold() {
    let reading = Reading { sigma: 0.008, decimals: 2, ..SIX };
    for (alike, seed) in [(true, 31), (false, 32)] {
        let mut rng = seeded(seed);
        let mut covered = [0_u32; 8];
        for _ in 0..rolls() {
            let mut truths: Vec<Truth> = (0..6).map(|_| Truth::random(&mut rng)).collect();
            if alike {
                let first = truths[0];
                truths.fill(first);
            }
            let frames = read(&mut rng, &reading, &truths, &[]);
            let evenness = measure(&frames, &Options::default()).unwrap();
            let together = evenness.together.unwrap();
            let each: Vec<[f64; 9]> = truths.iter().map(|t| exact(&reading, t)).collect();
            for (k, q) in measured(&together.pattern).into_iter().take(8).enumerate() {
                let truth = each.iter().map(|e| e[k]).sum::<f64>() / 6.0;
                let q = q.as_ref().unwrap();
                covered[k] += u32::from(q.low <= truth && truth <= q.high);
            }
        }
        let shares = covered.map(|c| f64::from(c) / rolls() as f64);
        println!("together, alike {alike}: {shares:.3?}");
        for (name, share) in NAMES.iter().zip(shares) {
            assert!(
                (0.94 - room(0.94).min(0.02)..=0.99).contains(&share),
                "{name} {share:.3}, alike {alike}"
            );
        }
    }
}

/// Waves from none to clear ones, on a frame read every 1.5 mm along three rows.
#[test]
fn the_height_of_a_wave_holds() {
    let mut rng = seeded(41);
    let (mut covered, mut found, mut even) = (0, 0, 0);
    let rolls = rolls();
    for k in 0..rolls {
        let height = if k % 2 == 0 { 0.0 } else { rng.random_range(0.0..0.02) };
        let phase = rng.random_range(0.0..std::f64::consts::TAU);
        let mut frames = read(
            &mut rng,
            &Reading { columns: 23, ..ORDINARY },
            &[Truth::even(&mut seeded(k as u64))],
            &[],
        );
        for reading in &mut frames.frames[0].readings {
            let angle = std::f64::consts::TAU * reading.x.get() / 4.75 + phase;
            let edge = if reading.y.get() == 12.0 { 0.0 } else { 1.0 };
            let density = reading.density.get() + edge * 0.5 * height * angle.sin();
            reading.density = Density::new(density).unwrap();
        }
        let evenness = measure(&frames, &Options::default()).unwrap();
        let pattern = &evenness.frames[0].pattern;
        let wave = pattern.perforations.as_ref().unwrap();
        covered += usize::from(wave.low <= height && height <= wave.high);
        if height == 0.0 {
            even += 1;
            found += usize::from(evenness.uneven());
        }
    }
    let (covered, found) = (covered as f64 / rolls as f64, found as f64 / even as f64);
    println!("waves covered {covered:.3}, false alarms {found:.3}");
    assert!(covered > 0.94 - room(0.94).min(0.02), "{covered}");
    // Half of the rolls are even.
    assert!(found < 0.05 + 1.5 * room(0.05), "{found}");
}

#[test]
fn even_film_is_called_even() {
    let dense = Reading { columns: 8, rows: 6, ..ORDINARY };
    for (reading, seed) in [(GIVEN, 11), (ORDINARY, 12), (SIX, 13), (TWICE, 14), (dense, 15)] {
        let (uneven, spotted) = alarms(&reading, seed);
        println!("{reading:?}: uneven {uneven:.3}, spots {spotted:.3}");
        assert!(uneven <= 0.05 + room(0.05), "{uneven} in {reading:?}");
        assert!(spotted <= 0.02 + room(0.02), "{spotted} in {reading:?}");
    }
}

/// An air bell of 0.10 in the middle and in a corner of a frame whose field is uneven besides.
#[test]
fn spots_are_found_and_do_not_bend_the_rest() {
    for (reading, at, named, seed) in
        [(ORDINARY, 7, 0.85, 21), (GIVEN, 7, 0.93, 22), (SIX, 7, 0.93, 23), (SIX, 0, 0.75, 24)]
    {
        let [found, falsely, size, along, long] = found(&reading, seed, -0.10, &[at]);
        println!("{reading:?} at {at}: {found:.3} {falsely:.3} {size:.3} {along:.3} {long:.3}");
        assert!(found > named, "named {found} of {reading:?}");
        assert!(falsely < 0.10, "false {falsely} of {reading:?}");
        assert!(size > 0.85, "sized {size} of {reading:?}");
    }
    // A spot of 0.20 is always seen, and the gradient holds as if it were not there.
    let [found, _, _, along, long] = found(&SIX, 25, -0.20, &[0]);
    assert!(found > 0.93 && along > 0.92 && long > 0.92, "{found} {along} {long}");
    // Two spots do not hide each other.
    let two = found_two();
    assert!(two > 0.85, "{two}");
}

fn found_two() -> f64 {
    found(&GIVEN, 26, -0.20, &[3, 11])[0]
}
