//! One control strip against a pairing, on simulated families of foreign emulsions: how true the
//! activity is, how often its interval holds, and how often "time can restore it" is called rightly.
//!
//! Quick by default; `WEDGEBOOK_FAMILIES=400 cargo test --release --test simulation verify --
//! --nocapture` runs that many, and `WEDGEBOOK_REPEATABILITY=0.01` lets every development err by 1 %.

use crate::emulsions::{Developer, Emulsion, Family, noise, seeded, tablet};
use crate::tally::asked;
use rand::Rng;
use rand::rngs::SmallRng;
use wedgebook::bath::verify::{
    Action, Change, ControlStrip, Verification, Verifier, VerifyError, VerifyNote, pairing_limits,
};
use wedgebook::curve::Choice;
use wedgebook::development::{Measure, Pairing};
use wedgebook::measures::analyse;
use wedgebook::readings::{ExposureScale, Labels, Reading, Strip};
use wedgebook::units::{Celsius, Density, DensitySigma, LogExposure, Minutes};

pub const FAMILY: [(f64, f64); 6] =
    [(5.0, 20.0), (7.0, 20.0), (9.5, 20.0), (12.0, 20.0), (16.0, 20.0), (7.0, 24.0)];
pub const MINUTES: f64 = 9.0;

/// What is done to a strip besides its development.
#[derive(Clone, Copy, Default)]
pub struct Harm {
    pub fog: f64,
    /// Log exposure by which the film needs more.
    pub lost: f64,
}

pub struct World {
    pub emulsion: Emulsion,
    pub developer: Developer,
    pub lowest: f64,
    /// Standard deviation by which the log of every development errs.
    pub repeatability: f64,
}

impl World {
    pub fn random(rng: &mut SmallRng) -> Self {
        let emulsion = Emulsion::random(Family::Grains, rng);
        Self {
            lowest: emulsion.speed_point() - rng.random_range(0.6..0.9),
            developer: Developer::random(rng),
            emulsion,
            repeatability: asked("WEDGEBOOK_REPEATABILITY", 0.005),
        }
    }

    /// A strip of 21 steps and one unexposed patch, developed in a bath of `activity`; with the
    /// activity that it really had.
    pub fn strip(
        &self,
        (minutes, c): (f64, f64),
        activity: f64,
        harm: Harm,
        sigma: f64,
        rng: &mut SmallRng,
    ) -> (Strip, f64) {
        let own = noise(rng, self.repeatability).exp();
        let theta = activity * own * self.developer.effective(minutes, c);
        let film = self.emulsion.developed(&self.developer, theta);
        let mut reading = |x: Option<f64>| Reading {
            step: None,
            log_exposure: x.map(|x| LogExposure::new(x).unwrap()),
            density: Density::new(
                x.map_or(film.base, |x| film.density(x - harm.lost)) + harm.fog + noise(rng, sigma),
            )
            .unwrap(),
            sigma: DensitySigma::new(sigma).unwrap(),
            line: 1,
        };
        let strip = Strip {
            name: format!("{minutes} min at {c}"),
            source: "simulated".to_owned(),
            scale: ExposureScale::Absolute,
            unexposed: vec![reading(None)],
            readings: tablet(self.lowest, 0.15, 21).into_iter().map(|x| reading(Some(x))).collect(),
            sigma_is_assumed: false,
            exposure_sigma: None,
            common_sigma: None,
            minutes: Some(Minutes::new(minutes).unwrap()),
            celsius: Some(Celsius::new(c).unwrap()),
            labels: Labels::default(),
            notes: Vec::new(),
        };
        (strip, activity * own)
    }

    pub fn pairing(&self, rng: &mut SmallRng) -> Pairing {
        let strips = FAMILY.map(|at| self.strip(at, 1.0, Harm::default(), 0.010, rng).0).to_vec();
        Pairing::calibrate(strips, Choice::Auto, Celsius::new(20.0).unwrap()).unwrap()
    }
}

pub fn verify(pairing: &Pairing, strip: Strip) -> Result<Verification, VerifyError> {
    let verifier = Verifier {
        pairing,
        measure: Measure::ContrastIndex,
        limits: pairing_limits(None).unwrap(),
    };
    let (minutes, celsius) = (strip.minutes.unwrap(), strip.celsius.unwrap());
    let analysis = &analyse(vec![strip], Choice::Auto)[0];
    verifier.verify(&ControlStrip { analysis, minutes, celsius })
}

fn families() -> usize {
    asked("WEDGEBOOK_FAMILIES", 60)
}

/// Share of `count` calls that were right.
#[derive(Default)]
struct Calls {
    count: f64,
    right: f64,
}

impl Calls {
    fn add(&mut self, right: bool) {
        self.count += 1.0;
        self.right += f64::from(u8::from(right));
    }

    fn share(&self) -> f64 {
        self.right / self.count
    }
}

#[test]
fn one_strip_gives_the_activity_and_whether_time_restores_it() {
    let mut rng = seeded(5);
    let (mut n, mut sum, mut squares) = (0.0, 0.0, 0.0);
    let mut covered = Calls::default();
    let mut slow = Calls::default();
    let mut fogged = Calls::default();
    let mut lost = Calls::default();
    let mut gained = Calls::default();
    for k in 0..families() {
        let world = World::random(&mut rng);
        let pairing = world.pairing(&mut rng);
        let celsius = [20.0, 21.5, 22.5][k % 3];
        for activity in [0.7, 0.8, 0.9, 1.0, 1.1] {
            let mut strip = |harm| world.strip((MINUTES, celsius), activity, harm, 0.008, &mut rng);
            let (control, truth) = strip(Harm::default());
            let v = verify(&pairing, control).unwrap();
            let error = v.activity.value - truth;
            n += 1.0;
            sum += error;
            squares += error * error;
            covered.add((v.activity.low..=v.activity.high).contains(&truth));
            slow.add(v.time_can_restore());
            let harmed = strip(Harm { fog: 0.08, lost: 0.0 });
            fogged.add(verify(&pairing, harmed.0).is_ok_and(|v| !v.time_can_restore()));
            let harmed = strip(Harm { fog: 0.0, lost: 0.2 });
            lost.add(verify(&pairing, harmed.0).is_ok_and(|v| !v.time_can_restore()));
            // More exposure than the pairing's strips had: no bath does that.
            let exposed = strip(Harm { fog: 0.0, lost: -0.2 });
            gained.add(
                verify(&pairing, exposed.0).is_ok_and(|v| {
                    v.notes.contains(&VerifyNote::ExposedMore) && v.time_can_restore()
                }),
            );
        }
    }
    let (bias, sd) = (sum / n, (squares / n).sqrt());
    println!("{n} strips: bias {bias:+.4}, sd {sd:.4}, covered {:.3}", covered.share());
    println!(
        "called rightly: slow bath {:.3}, fog {:.3}, speed lost {:.3}, exposed more {:.3}",
        slow.share(),
        fogged.share(),
        lost.share(),
        gained.share()
    );
    assert!(bias.abs() <= 0.01, "{bias}");
    assert!(sd <= 0.015, "{sd}");
    // Few families tell a coverage only roughly.
    let slack = 2.5 * (0.95_f64 * 0.05 / (n / 5.0)).sqrt();
    assert!((0.93 - slack..=0.97 + slack).contains(&covered.share()));
    for calls in [slow, fogged, lost, gained] {
        assert!(calls.share() >= 0.95, "{}", calls.share());
    }
}

#[test]
fn five_readings_tell_the_activity_too() {
    let mut rng = seeded(6);
    let mut covered = Calls::default();
    for _ in 0..families() {
        let world = World::random(&mut rng);
        let pairing = world.pairing(&mut rng);
        let at = (MINUTES, 20.0);
        let (mut strip, truth) = world.strip(at, 0.85, Harm::default(), 0.008, &mut rng);
        strip.readings = [6, 9, 13, 17].map(|k| strip.readings[k].clone()).to_vec();
        let v = verify(&pairing, strip).unwrap();
        assert!((v.activity.value - truth).abs() < 0.08, "{} {truth}", v.activity.value);
        covered.add((v.activity.low..=v.activity.high).contains(&truth));
    }
    println!("five readings: covered {:.3}", covered.share());
    assert!(covered.share() > 0.87, "{}", covered.share());
}

#[test]
fn what_to_do() {
    let mut rng = seeded(7);
    let world = World::random(&mut rng);
    let pairing = world.pairing(&mut rng);
    let mut strip = |activity, harm| {
        verify(&pairing, world.strip((MINUTES, 20.0), activity, harm, 0.004, &mut rng).0).unwrap()
    };
    let none = Harm::default();
    let fresh = strip(1.0, none);
    assert!(fresh.in_spec && fresh.advice.action == Action::Use, "{}", fresh.advice);
    let slow = strip(0.72, none);
    assert!(!slow.in_spec && slow.advice.action == Action::Lengthen, "{}", slow.advice);
    let minutes = slow.minutes_to_restore.unwrap().value;
    assert!((minutes / (MINUTES / 0.72) - 1.0).abs() < 0.04, "{minutes}");
    assert_eq!(strip(0.55, none).advice.action, Action::Replenish);
    assert_eq!(strip(1.35, none).advice.action, Action::Shorten);
    let fogged = strip(1.0, Harm { fog: 0.10, lost: 0.0 });
    assert_eq!(fogged.advice.action, Action::Replace);
    assert!(
        matches!(&fogged.change, Change::Shifted { fog, .. } if (fog.value - 0.10).abs() < 0.02)
    );
    let slower = strip(1.0, Harm { fog: 0.0, lost: 0.30 });
    assert_eq!(slower.advice.action, Action::Replenish);
    assert!(slower.notes.contains(&VerifyNote::WrongStep { steps: 2.0 }), "{:?}", slower.notes);
    assert!(slower.notes.contains(&VerifyNote::MaybeExposedLess));
}

#[test]
fn a_strip_of_another_film_is_refused() {
    let mut rng = seeded(8);
    let world = World::random(&mut rng);
    let pairing = world.pairing(&mut rng);
    let (mut strip, _) = world.strip((MINUTES, 20.0), 1.0, Harm::default(), 0.008, &mut rng);
    // A film with a hump that this one cannot have.
    for reading in &mut strip.readings {
        let x = reading.log_exposure.unwrap().get();
        let hump = 0.15 * (-((x + 1.6) / 0.3_f64).powi(2)).exp();
        reading.density = Density::new(reading.density.get() + hump).unwrap();
    }
    let refused = verify(&pairing, strip.clone()).unwrap_err();
    assert!(matches!(refused, VerifyError::AnotherFilm { .. }), "{refused}");
    // A base that is too clear.
    let (mut strip, _) = world.strip((MINUTES, 20.0), 1.0, Harm::default(), 0.008, &mut rng);
    for reading in strip.readings.iter_mut().chain(&mut strip.unexposed) {
        reading.density = Density::new(reading.density.get() - 0.15).unwrap();
    }
    let refused = verify(&pairing, strip).unwrap_err();
    assert!(matches!(refused, VerifyError::AnotherBase { .. }), "{refused}");
}
