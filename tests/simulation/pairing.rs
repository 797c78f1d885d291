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

const AIM: f64 = 0.58;

fn celsius(c: f64) -> Celsius {
    Celsius::new(c).unwrap()
}

/// Effective minutes after which the contrast index is the aim, by secants in ln θ on exact curves.
fn exact(emulsion: &Emulsion, developer: &Developer) -> f64 {
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

#[test]
fn times_for_a_contrast() {
    let families = asked("WEDGEBOOK_FAMILIES", 120);
    let mut rng = seeded(77);
    let mut fitter = Fitter::new();
    let temperatures = [20.0, 22.5, 17.5];
    let mut tallies = [(0_u32, 0_u32, 0.0_f64, 0.0_f64); 3];
    let mut energies = (0_u32, 0_u32);
    let mut forms = std::collections::BTreeMap::new();
    while tallies[0].0 < families {
        let emulsion = Emulsion::random(Family::Grains, &mut rng);
        let developer = Developer::random(&mut rng);
        let theta = exact(&emulsion, &developer);
        if !(6.0..13.5).contains(&theta) {
            continue;
        }
        let lowest = emulsion.speed_point() - rng.random_range(0.6..0.9);
        let strips =
            [(5.0, 20.0), (7.0, 20.0), (9.5, 20.0), (12.0, 20.0), (16.0, 20.0), (7.0, 24.0)];
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
                Some(Point {
                    minutes,
                    celsius: celsius(c),
                    value: ci.value,
                    sd: (ci.high - ci.low) / 4.1,
                })
            })
            .collect();
        let growth = Growth::fit(points, celsius(20.0)).unwrap();
        *forms.entry(growth.form.code()).or_insert(0) += 1;
        energies.0 += 1;
        let half = growth.quantile * growth.energy_sd();
        energies.1 += u32::from((growth.energy() - developer.energy).abs() <= half);
        for (tally, c) in tallies.iter_mut().zip(temperatures) {
            let truth = theta / developer.effective(1.0, c);
            let (minutes, sd) = growth.minutes(AIM, celsius(c), 1.0).unwrap();
            let error = (minutes / truth).ln();
            tally.0 += 1;
            tally.1 += u32::from(error.abs() <= growth.quantile * sd);
            tally.2 += error;
            tally.3 += error * error;
        }
    }
    println!("{forms:?}, energy covered {:.3}", f64::from(energies.1) / f64::from(energies.0));
    for ((n, covered, sum, squares), c) in tallies.into_iter().zip(temperatures) {
        let n = f64::from(n);
        let (coverage, rms) = (f64::from(covered) / n, (squares / n).sqrt());
        println!("{c} °C: covered {coverage:.3}, bias {:+.4}, rms {rms:.4}", sum / n);
        if c > 19.0 {
            // Few families tell a coverage only roughly.
            let slack = 2.5 * (0.95_f64 * 0.05 / n).sqrt();
            assert!(rms < if c > 21.0 { 0.04 } else { 0.03 }, "{c} °C: {rms}");
            assert!((0.93 - slack..=0.97 + slack).contains(&coverage), "{c} °C: {coverage}");
        }
    }
}
