//! Times for a contrast on families of emulsions of foreign shape, against the exact times.
//!
//! Quick by default; `WEDGEBOOK_FAMILIES=1500 cargo test --release --test simulation pairing --
//! --nocapture` runs that many.

use crate::emulsions::{Developer, Emulsion, Family, noise, seeded, tablet};
use crate::tally::asked;
use rand::Rng;
use wedgebook::curve::{Choice, Fitter, Observations};
use wedgebook::development::{Growth, Point};
use wedgebook::measures::Measures;
use wedgebook::readings::ExposureScale;
use wedgebook::units::Celsius;

pub const AIM: f64 = 0.58;

fn celsius(c: f64) -> Celsius {
    Celsius::new(c).unwrap()
}

/// Effective minutes after which the contrast index is the aim, by secants in ln θ on exact curves.
pub fn exact(emulsion: &Emulsion, developer: &Developer) -> f64 {
    let excess = |u: f64| emulsion.developed(developer, u.exp()).contrast_index() - AIM;
    let (mut u, mut v) = (9.0_f64.ln(), 10.0_f64.ln());
    let (mut at_u, mut at_v) = (excess(u), excess(v));
    for _ in 0..12 {
        let next = (v - at_v * (v - u) / (at_v - at_u)).clamp(0.5, 3.8);
        (u, at_u) = (v, at_v);
        (v, at_v) = (next, excess(next));
        if (v - u).abs() < 1e-8 {
            break;
        }
    }
    v.exp()
}

/// How often intervals held, and how wide they were, over many families.
#[derive(Default)]
struct Held {
    families: u32,
    energy: u32,
    minutes: [u32; 3],
    errors: [f64; 3],
    half_widths: [Vec<f64>; 3],
}

/// Temperatures at which times are asked for.
const ASKED: [f64; 3] = [20.0, 22.5, 17.5];

/// Families of six strips, the last of them developed at `other` °C, in developers with an activation
/// energy within `energies`.
fn times(families: u32, energies: std::ops::Range<f64>, other: f64, seed: u64) -> Held {
    let mut rng = seeded(seed);
    let mut fitter = Fitter::new();
    let mut held = Held::default();
    while held.families < families {
        let emulsion = Emulsion::random(Family::Grains, &mut rng);
        let energy = rng.random_range(energies.clone());
        let developer = Developer { energy, ..Developer::random(&mut rng) };
        let theta = exact(&emulsion, &developer);
        if !(6.0..13.5).contains(&theta) {
            continue;
        }
        let lowest = emulsion.speed_point() - rng.random_range(0.6..0.9);
        let strips =
            [(5.0, 20.0), (7.0, 20.0), (9.5, 20.0), (12.0, 20.0), (16.0, 20.0), (7.0, other)];
        let points: Vec<Point> = strips
            .iter()
            .filter_map(|&(minutes, c)| {
                let film = emulsion.developed(&developer, developer.effective(minutes, c));
                let mut o = Observations::default();
                o.push(f64::NEG_INFINITY, film.base + noise(&mut rng, 0.01), 0.01);
                for x in tablet(lowest, 0.15, 21) {
                    o.push(x, film.density(x) + noise(&mut rng, 0.01), 0.01);
                }
                let fit = fitter.fit(o, Choice::Auto, true).unwrap();
                let ci = Measures::of(&fit, ExposureScale::Absolute).contrast_index.ok()?;
                let sd = (ci.high - ci.low) / 4.1;
                Some(Point { minutes, celsius: celsius(c), value: ci.value, sd })
            })
            .collect();
        let growth = Growth::fit(points, celsius(20.0)).unwrap();
        held.families += 1;
        let half = growth.quantile * growth.energy_sd();
        held.energy += u32::from((growth.energy() - developer.energy).abs() <= half);
        for (k, c) in ASKED.into_iter().enumerate() {
            let truth = theta / developer.effective(1.0, c);
            let (minutes, sd) = growth.minutes(AIM, celsius(c), 1.0).unwrap();
            let error = (minutes / truth).ln();
            held.minutes[k] += u32::from(error.abs() <= growth.quantile * sd);
            held.errors[k] += error * error;
            held.half_widths[k].push(growth.quantile * sd);
        }
    }
    held
}

/// Developers as published have energies from 25 to 85 kJ/mol: the middle of that range, and both of its
/// ends apart, where a prior could speak against the strips. With strips at 24 °C they determine the law;
/// with all strips at 20 °C it is assumed.
#[test]
fn times_for_a_contrast() {
    let families = asked("WEDGEBOOK_FAMILIES", 60);
    // Few families tell a coverage only roughly.
    let slack = 2.6 * (0.95_f64 * 0.05 / f64::from(families)).sqrt();
    // Families with strips of two temperatures, over all energies: how many, and how often the minutes at
    // 20 and 22.5 °C held.
    let mut pooled = (0_u32, [0_u32; 2]);
    println!(
        "energies      strips at   energy   minutes covered at 20, 22.5, 17.5   rms   half width"
    );
    for (k, energies) in [30.0..45.0, 45.0..75.0, 75.0..85.0].into_iter().enumerate() {
        for other in [24.0, 20.0] {
            let held = times(families, energies.clone(), other, 77 + k as u64);
            let n = f64::from(held.families);
            let share = |count: u32| f64::from(count) / n;
            let covered = held.minutes.map(share);
            let rms = held.errors.map(|e| (e / n).sqrt());
            let half = held.half_widths.clone().map(|mut w| {
                w.sort_by(f64::total_cmp);
                w[w.len() / 2]
            });
            println!(
                "{energies:?} kJ/mol  {other} °C  {:.3}  {covered:.3?}  {rms:.4?}  {half:.4?}",
                share(held.energy)
            );
            assert!(rms[0] < 0.03, "{energies:?}, {other} °C: {rms:?}");
            let enough = 0.93 - slack;
            if other > 20.0 {
                pooled.0 += held.families;
                pooled.1.iter_mut().zip(held.minutes).for_each(|(sum, held)| *sum += held);
                assert!(
                    share(held.energy) >= enough,
                    "{energies:?}: energy {}",
                    share(held.energy)
                );
                assert!(covered.iter().all(|c| *c >= enough), "{energies:?}: {covered:?}");
                // Two temperatures bring times that are as sure as this.
                assert!(half.iter().all(|h| *h < 0.06), "{energies:?}: {half:?}");
                assert!(rms[1].max(rms[2]) < 0.04, "{energies:?}: {rms:?}");
            } else {
                // An energy at the end of the assumed range is as far off as the interval is wide.
                assert!(covered.iter().all(|c| *c >= 0.80 - slack), "{energies:?}: {covered:?}");
                assert!(covered[0] >= enough, "{energies:?}: {covered:?}");
                assert!(half[1] < 0.15 && half[2] < 0.15, "{energies:?}: {half:?}");
            }
        }
    }
    let n = f64::from(pooled.0);
    let slack = 2.5 * (0.95_f64 * 0.05 / n).sqrt();
    for (held, c) in pooled.1.into_iter().zip(ASKED) {
        let coverage = f64::from(held) / n;
        assert!((0.93 - slack..=0.97 + slack).contains(&coverage), "{c} °C: {coverage}");
    }
}

/// Two strips only: how contrast grows between them and a little beyond. Many pairs of times, on all foreign
/// families of emulsions; asked for are the minutes to a contrast that the true curve has at a time between
/// the two, below and above them.
#[test]
fn times_from_two_strips() {
    let pairs = asked("WEDGEBOOK_FAMILIES", 60);
    let mut rng = seeded(4711);
    let mut fitter = Fitter::new();
    let (mut asked, mut held, mut wide) = ([0_u32; 3], [0_u32; 3], [0.0_f64; 3]);
    for family in [Family::Grains, Family::Lopsided, Family::LongLine, Family::TwoLayers] {
        for _ in 0..pairs {
            let emulsion = Emulsion::random(family, &mut rng);
            let developer = Developer::random(&mut rng);
            let first: f64 = rng.random_range(5.0..9.0);
            let second = first * rng.random_range(1.25..2.2);
            let lowest = emulsion.speed_point() - rng.random_range(0.6..0.9);
            let point = |minutes: f64, rng: &mut _, fitter: &mut Fitter| {
                let film = emulsion.developed(&developer, minutes);
                let mut o = Observations::default();
                o.push(f64::NEG_INFINITY, film.base + noise(rng, 0.01), 0.01);
                for x in tablet(lowest, 0.15, 21) {
                    o.push(x, film.density(x) + noise(rng, 0.01), 0.01);
                }
                let fit = fitter.fit(o, Choice::Auto, true).ok()?;
                let ci = Measures::of(&fit, ExposureScale::Absolute).contrast_index.ok()?;
                let sd = (ci.high - ci.low) / 4.1;
                Some(Point { minutes, celsius: celsius(20.0), value: ci.value, sd })
            };
            let points: Option<Vec<Point>> =
                [first, second].into_iter().map(|t| point(t, &mut rng, &mut fitter)).collect();
            let Some(growth) = points.and_then(|p| Growth::fit(p, celsius(20.0))) else { continue };
            let inside = first * (second / first).powf(rng.random_range(0.25..0.75));
            let [below, above] = [first / 1.3, second * 1.3];
            for (k, truth) in [inside, below, above].into_iter().enumerate() {
                let contrast = emulsion.developed(&developer, truth).contrast_index();
                // A contrast that the growth never reaches has no time, and so no interval.
                let Some((minutes, sd)) = growth.minutes(contrast, celsius(20.0), 1.0) else {
                    continue;
                };
                asked[k] += 1;
                held[k] += u32::from((minutes / truth).ln().abs() <= growth.quantile * sd);
                wide[k] += growth.quantile * sd;
            }
        }
    }
    for (k, place) in ["between", "below", "above"].into_iter().enumerate() {
        let n = f64::from(asked[k]);
        let coverage = f64::from(held[k]) / n;
        println!("{place} the two strips: {coverage:.3} of {n}, half width {:.3}", wide[k] / n);
        let slack = 2.6 * (0.95_f64 * 0.05 / n).sqrt();
        assert!((0.93 - slack..=0.995).contains(&coverage), "{place}: {coverage}");
    }
}
