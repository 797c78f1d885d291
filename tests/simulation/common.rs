//! Densities that all have an error in common, an offset and a slope: whether intervals allow for it.
//!
//! Quick by default; `WEDGEBOOK_FAMILIES=400 cargo test --release --test simulation common -- --nocapture`
//! runs that many.

use crate::emulsions::{noise, seeded};
use crate::pairing::{AIM, exact};
use crate::tally::{Tally, asked};
use crate::verify::{FAMILY, Harm, MINUTES, World, verify};
use rand::rngs::SmallRng;
use wedgebook::curve::Choice;
use wedgebook::development::{Measure, Pairing};
use wedgebook::measures::{StripAnalysis, analyse};
use wedgebook::readings::{CommonSigma, Strip};
use wedgebook::units::{Celsius, Density, OffsetSigma, SlopeSigma};

/// Standard deviations of what the densities have in common: many times those of a good picture, so that they
/// decide how sure the measures are.
const OFFSET: f64 = 0.02;
const SLOPE: f64 = 0.02;

/// The errors of one tablet.
struct Tablet {
    offset: f64,
    slope: f64,
}

impl Tablet {
    fn drawn(rng: &mut SmallRng) -> Self {
        Self { offset: noise(rng, OFFSET), slope: noise(rng, SLOPE) }
    }

    /// The strip as it is read by this tablet.
    fn read(&self, mut strip: Strip, stated: bool) -> Strip {
        let all = || strip.unexposed.iter().chain(&strip.readings).map(|r| r.density.get());
        let middle = all().sum::<f64>() / all().count() as f64;
        for r in strip.unexposed.iter_mut().chain(&mut strip.readings) {
            let d = r.density.get();
            r.density = Density::new(d + self.offset + self.slope * (d - middle)).unwrap();
        }
        strip.common_sigma = stated.then(|| CommonSigma {
            offset: OffsetSigma::new(OFFSET).unwrap(),
            slope: SlopeSigma::new(SLOPE).unwrap(),
        });
        strip
    }
}

fn one(strip: Strip) -> StripAnalysis {
    analyse(vec![strip], Choice::Auto).remove(0)
}

#[test]
fn an_error_that_all_densities_have_in_common_is_in_the_intervals() {
    let families = asked("WEDGEBOOK_FAMILIES", 60);
    let mut rng = seeded(77);
    let names = ["base plus fog", "contrast index", "gamma", "speed point"];
    let mut stated: [Tally; 4] = Default::default();
    let mut silent: [Tally; 4] = Default::default();
    let (mut minutes, mut minutes_silent) = (Tally::default(), Tally::default());
    let mut activity = Tally::default();
    for _ in 0..families {
        let world = World::random(&mut rng);
        let tablet = Tablet::drawn(&mut rng);
        let strips: Vec<Strip> = FAMILY
            .iter()
            .map(|at| world.strip(*at, 1.0, Harm::default(), 0.010, &mut rng).0)
            .collect();
        let (time, celsius) = FAMILY[2];
        let theta = world.developer.effective(time, celsius);
        let film = world.emulsion.developed(&world.developer, theta);
        let truths = [
            film.base,
            film.contrast_index(),
            film.gamma(world.lowest, world.lowest + 3.0),
            film.speed_point(),
        ];
        for (is_stated, tallies) in [(true, &mut stated), (false, &mut silent)] {
            let read = one(tablet.read(strips[2].clone(), is_stated));
            let m = read.measures().unwrap();
            let found = [&m.base_plus_fog, &m.contrast_index, &m.gamma, &m.speed_point];
            for ((tally, found), truth) in tallies.iter_mut().zip(found).zip(truths) {
                tally.enter(found, truth);
            }
        }
        let truth = exact(&world.emulsion, &world.developer);
        if !(6.0..13.5).contains(&truth) {
            continue;
        }
        let reference = Celsius::new(20.0).unwrap();
        for (is_stated, tally) in [(true, &mut minutes), (false, &mut minutes_silent)] {
            let read = strips.iter().map(|s| tablet.read(s.clone(), is_stated)).collect();
            let pairing = Pairing::calibrate(read, Choice::Auto, reference).unwrap();
            let growth = pairing.growth(Measure::ContrastIndex).unwrap();
            let (value, sd) = growth.minutes(AIM, reference, 1.0).unwrap();
            let half = growth.quantile * sd;
            tally.add((value, value * (-half).exp(), value * half.exp()), truth);
            if is_stated {
                // A control strip that was read by another tablet.
                let other = Tablet::drawn(&mut rng);
                let (strip, truth) =
                    world.strip((MINUTES, 20.0), 0.9, Harm::default(), 0.010, &mut rng);
                if let Ok(found) = verify(&pairing, other.read(strip, true)) {
                    let a = found.activity;
                    activity.add((a.value, a.low, a.high), truth);
                }
            }
        }
    }
    let print = |name: &str, tally: &Tally| {
        let half = 0.5 * tally.median_width();
        println!("{name:26} {:.3}  rms {:.4}  half {half:.4}", tally.coverage(), tally.rms());
    };
    for ((name, stated), silent) in names.iter().zip(&stated).zip(&silent) {
        print(name, stated);
        print(&format!("{name}, not stated"), silent);
    }
    print("minutes", &minutes);
    print("minutes, not stated", &minutes_silent);
    print("activity", &activity);
    let slack = 0.5 / f64::from(minutes.n).sqrt();
    // The speed point hardly moves with either error.
    let strip = names.iter().zip(&stated).take(3);
    for (name, tally) in strip.chain([(&"minutes", &minutes), (&"activity", &activity)]) {
        assert!(tally.coverage() > 0.93 - slack, "{name}: {}", tally.coverage());
    }
    // What is not stated is missed: the test would see it.
    assert!(silent[0].coverage() < 0.75 && silent[1].coverage() < 0.88);
    assert!(minutes_silent.coverage() < 0.85, "{}", minutes_silent.coverage());
}
