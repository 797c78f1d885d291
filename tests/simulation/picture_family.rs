//! From pictures to a time and to the state of a bath: families of foreign emulsions whose strips are read from
//! rendered pictures, beside the same strips read with a densitometer.
//!
//! Quick by default; `WEDGEBOOK_PICTURE_FAMILIES=100 cargo test --release --test simulation picture_family --
//! --nocapture` runs that many (seven pictures each).

use crate::emulsions::{Emulsion, noise, seeded, tablet};
use crate::light_box::{Scene, tablet_21};
use crate::pairing::{AIM, exact};
use crate::tally::{Tally, asked};
use crate::verify::{FAMILY, MINUTES, World, verify};
use rand::Rng;
use rand::rngs::SmallRng;
use rayon::prelude::*;
use wedgebook::curve::Choice;
use wedgebook::development::{Measure, Pairing};
use wedgebook::picture::photometry::Known;
use wedgebook::picture::{Asked, Frames, Reading as PictureReading};
use wedgebook::readings::{CommonSigma, ExposureScale, Labels, Reading, Strip};
use wedgebook::units::{
    Celsius, Density, DensitySigma, LogExposure, Minutes, OffsetSigma, SlopeSigma,
};

/// Standard uncertainty of a densitometer's readings, and of the tablet's certificate.
const SIGMA: f64 = 0.010;
/// Steps of the tablet; behind the last one the strip was covered: it is unexposed.
const STEPS: usize = 21;
/// Activity of the bath that is verified.
const ACTIVITY: f64 = 0.9;

/// A developed strip: log exposures, rising, and the film.
struct Developed {
    minutes: f64,
    celsius: f64,
    x: Vec<f64>,
    film: Emulsion,
}

impl Developed {
    fn of(world: &World, (minutes, celsius): (f64, f64), activity: f64) -> Self {
        let theta = activity * world.developer.effective(minutes, celsius);
        let film = world.emulsion.developed(&world.developer, theta);
        Self { minutes, celsius, x: tablet(world.lowest, 0.15, STEPS - 1), film }
    }

    fn strip(
        &self,
        common_sigma: Option<CommonSigma>,
        mut read: impl FnMut(Option<f64>) -> Option<(f64, f64)>,
    ) -> Strip {
        let mut reading = |x: Option<f64>| {
            let (density, sigma) = read(x)?;
            Some(Reading {
                step: None,
                log_exposure: x.map(|x| LogExposure::new(x).unwrap()),
                density: Density::new(density).unwrap(),
                sigma: DensitySigma::new(sigma).unwrap(),
                line: 1,
            })
        };
        Strip {
            name: format!("{} min at {}", self.minutes, self.celsius),
            source: "simulated".to_owned(),
            scale: ExposureScale::Absolute,
            unexposed: reading(None).into_iter().collect(),
            readings: self.x.iter().filter_map(|x| reading(Some(*x))).collect(),
            sigma_is_assumed: false,
            exposure_sigma: None,
            common_sigma,
            minutes: Some(Minutes::new(self.minutes).unwrap()),
            celsius: Some(Celsius::new(self.celsius).unwrap()),
            labels: Labels::default(),
            notes: Vec::new(),
        }
    }

    fn density(&self, x: Option<f64>) -> f64 {
        x.map_or(self.film.base, |x| self.film.density(x))
    }

    /// As a densitometer reads it.
    fn by_densitometer(&self, rng: &mut SmallRng) -> Strip {
        self.strip(None, |x| Some((self.density(x) + noise(rng, SIGMA), SIGMA)))
    }

    /// As a picture beside the tablet shows it: `truth` are the tablet's densities, `known` its certificate.
    fn by_picture(&self, truth: &[f64], known: &[Known], seed: u64) -> Option<Strip> {
        // Behind the tablet's clear step the strip had most light.
        let exposed = self.x.iter().rev().map(|x| Some(*x)).chain([None]);
        let scene = Scene {
            seed,
            tablet: truth.to_vec(),
            certificate_sd: 0.0,
            strip: exposed.map(|x| self.density(x)).collect(),
            flat_with_mask: true,
            ..Scene::default()
        }
        .placed_by_chance();
        let r = scene.render();
        let frames = Frames { picture: &r.image, flat: Some(&r.flat), dark: Some(&r.dark) };
        let asked = Asked { tablet: known, layout: None, step_mm: Some(scene.pitch) };
        let reading = PictureReading::of(&frames, &asked).ok()?;
        let shared = CommonSigma {
            offset: OffsetSigma::new(reading.shared.offset).unwrap(),
            slope: SlopeSigma::new(reading.shared.slope).unwrap(),
        };
        Some(self.strip(Some(shared), |x| {
            // The strip's steps are in the tablet's order, from most exposure to none.
            let at = x.map_or(STEPS - 1, |x| self.x.iter().rev().position(|y| *y == x).unwrap());
            let found = reading.steps[at].stated.found()?;
            Some((found.density.max(0.0), found.sigma))
        }))
    }
}

/// One family: error of ln minutes and whether its interval held, and the same of ln activity.
#[derive(Default)]
struct Found {
    minutes: Tally,
    activity: Tally,
}

impl Found {
    fn add(&mut self, strips: Vec<Strip>, control: Strip, minutes: f64) {
        let reference = Celsius::new(20.0).unwrap();
        let pairing = Pairing::calibrate(strips, Choice::Auto, reference).unwrap();
        let growth = pairing.growth(Measure::ContrastIndex).unwrap();
        let (value, sd) = growth.minutes(AIM, reference, 1.0).unwrap();
        let (off, half) = ((value / minutes).ln(), growth.quantile * sd);
        self.minutes.add((off, off - half, off + half), 0.0);
        if let Ok(found) = verify(&pairing, control) {
            let a = found.activity;
            self.activity.add((a.value.ln(), a.low.ln(), a.high.ln()), ACTIVITY.ln());
        }
    }

    fn merged(mut self, other: Self) -> Self {
        self.minutes.merge(&other.minutes);
        self.activity.merge(&other.activity);
        self
    }
}

/// A family by densitometer and by pictures; `None` where the aim lies outside its strips, or a picture is
/// refused.
fn family(seed: u64) -> Option<[Found; 2]> {
    let mut rng = seeded(seed);
    let world = World::random(&mut rng);
    let truth = exact(&world.emulsion, &world.developer);
    if !(6.0..13.5).contains(&truth) {
        return None;
    }
    // One tablet for all pictures.
    let tablet = tablet_21();
    let known: Vec<Known> = tablet
        .iter()
        .map(|d| Known { density: (d + noise(&mut rng, SIGMA)).max(0.0), sigma: SIGMA })
        .collect();
    let developed: Vec<Developed> =
        FAMILY.iter().map(|at| Developed::of(&world, *at, 1.0)).collect();
    let control = Developed::of(&world, (MINUTES, 20.0), ACTIVITY);
    let [mut by_densitometer, mut by_picture] = [Found::default(), Found::default()];
    let strips = developed.iter().map(|d| d.by_densitometer(&mut rng)).collect();
    by_densitometer.add(strips, control.by_densitometer(&mut rng), truth);
    let mut picture = |d: &Developed| d.by_picture(&tablet, &known, rng.random());
    let strips: Option<Vec<Strip>> = developed.iter().map(&mut picture).collect();
    by_picture.add(strips?, picture(&control)?, truth);
    Some([by_densitometer, by_picture])
}

#[test]
fn pictures_give_times_and_activities_as_good_as_a_densitometers() {
    let families = asked("WEDGEBOOK_PICTURE_FAMILIES", 4);
    let all: Vec<[Found; 2]> =
        (0..2 * families).into_par_iter().filter_map(|k| family(9000 + k)).collect();
    let asked = all.len();
    let [densitometer, picture] = all.into_iter().fold(<[Found; 2]>::default(), |sum, one| {
        let [a, b] = sum;
        let [c, d] = one;
        [a.merged(c), b.merged(d)]
    });
    println!("{asked} families");
    for (name, found) in [("densitometer", &densitometer), ("picture", &picture)] {
        println!(
            "{name:14} ln minutes rms {:.4} covered {:.3}; ln activity rms {:.4} covered {:.3} of {}",
            found.minutes.rms(),
            found.minutes.coverage(),
            found.activity.rms(),
            found.activity.coverage(),
            found.activity.n
        );
    }
    // Errors of few families scatter: by 1/√(2n) each.
    let slack = 1.0 + 2.0 / (asked as f64).sqrt();
    assert!(asked as u64 * 4 >= families, "{asked} of {families} families");
    assert!(picture.minutes.rms() <= 1.3 * slack * densitometer.minutes.rms());
    assert!(picture.activity.rms() <= 1.3 * slack * densitometer.activity.rms());
    assert!(picture.minutes.coverage() > 0.93 - 0.35 / (asked as f64).sqrt());
}
