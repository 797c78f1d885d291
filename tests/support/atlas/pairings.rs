//! Families of strips that calibrate a film in a developer, and one control strip.

use super::films::Noise;
use super::{Answers, Case, Found, Mean, logarithm};
use crate::emulsions::{Developer, Draws, Emulsion, Family, Given, tablet};
use wedgebook::bath::verify::{Change, ControlStrip, Verifier, pairing_limits};
use wedgebook::curve::Choice;
use wedgebook::development::{Measure, Pairing, Wanted};
use wedgebook::measures::{Quantity, analyse};
use wedgebook::readings::{ExposureScale, Labels, Reading, Strip};
use wedgebook::units::{Celsius, Density, DensitySigma, LogExposure, Minutes};

const QUANTITIES: [&str; 10] = [
    "minutes at 20 °C, log",
    "minutes at 17.5 °C, log",
    "minutes at 22.5 °C, log",
    "exposure index, log",
    "ISO speed, log",
    "base plus fog",
    "activation energy",
    "activity of a good bath",
    "activity of a weak bath",
    "good bath unchanged",
];

/// Contrast index that minutes are asked for.
const AIM: f64 = 0.58;
/// Effective minutes for which exposure index and base plus fog are asked.
const ASKED: f64 = 9.0;
/// Activity of the weak bath.
const WEAK: f64 = 0.85;
const STEPS: usize = 21;

const KINDS: [Family; 4] =
    [Family::Grains, Family::TwoLayers, Family::NormalToe(130), Family::LongLine];

/// Times and temperatures of the strips.
const ONE: [(f64, f64); 5] = [(5.0, 20.0), (7.0, 20.0), (9.5, 20.0), (12.0, 20.0), (16.0, 20.0)];
const TWO: [(f64, f64); 6] =
    [(5.0, 20.0), (7.0, 20.0), (9.5, 20.0), (12.0, 20.0), (16.0, 20.0), (7.0, 24.0)];

#[derive(Clone, Copy, Debug)]
pub struct Calibration {
    pub family: Family,
    pub name: &'static str,
    pub strips: &'static [(f64, f64)],
    pub noise: Noise,
    /// Activation energies of the developers, in kJ/mol.
    pub energies: (f64, f64),
}

/// All calibrations in the atlas.
pub fn all() -> impl Iterator<Item = Calibration> {
    let calibration = |family, name, strips, noise, energies| Calibration {
        family,
        name,
        strips,
        noise,
        energies,
    };
    let middle = (45.0, 75.0);
    let conditions = [
        ("two temperatures", &TWO[..], Noise::USUAL),
        ("one temperature", &ONE[..], Noise::USUAL),
        ("noise 0.005+1%", &TWO[..], Noise::GROWS),
        ("noise 0.005+1%, stated", &TWO[..], Noise::GROWS_STATED),
    ];
    let of_each = conditions.into_iter().flat_map(move |(name, strips, noise)| {
        KINDS.into_iter().map(move |family| calibration(family, name, strips, noise, middle))
    });
    let ends = [
        ("two temperatures, 30-45 kJ/mol", &TWO[..], (30.0, 45.0)),
        ("two temperatures, 75-85 kJ/mol", &TWO[..], (75.0, 85.0)),
        ("one temperature, 30-45 kJ/mol", &ONE[..], (30.0, 45.0)),
        ("one temperature, 75-85 kJ/mol", &ONE[..], (75.0, 85.0)),
    ];
    let of_ends = ends.into_iter().map(move |(name, strips, energies)| {
        calibration(Family::Grains, name, strips, Noise::USUAL, energies)
    });
    of_each.chain(of_ends)
}

/// An emulsion in a developer.
struct World {
    emulsion: Emulsion,
    developer: Developer,
    below: f64,
}

impl Calibration {
    fn world(&self, numbers: &[f64]) -> World {
        let mut given = Given::new(numbers);
        let emulsion = Emulsion::random(self.family, &mut given);
        let energy = given.within(self.energies.0..self.energies.1);
        let developer = Developer { energy, ..Developer::random(&mut given) };
        World { emulsion, developer, below: given.within(0.6..0.9) }
    }

    /// The strips of the calibration, then the good and the weak control strip at 21 °C.
    fn developments(&self) -> impl Iterator<Item = (f64, f64, f64)> {
        let strips = self.strips.iter().map(|&(minutes, c)| (minutes, c, 1.0));
        strips.chain([(ASKED, 21.0, 1.0), (ASKED, 21.0, WEAK)])
    }
}

impl World {
    fn film(&self, (minutes, c, activity): (f64, f64, f64)) -> Emulsion {
        self.emulsion.developed(&self.developer, activity * self.developer.effective(minutes, c))
    }

    /// Log of the effective minutes after which a measure is as wanted.
    fn effective(&self, measure: impl Fn(&Emulsion) -> f64, wanted: f64) -> f64 {
        crate::emulsions::bisect(3.0_f64.ln(), 24.0_f64.ln(), |u| {
            measure(&self.emulsion.developed(&self.developer, u.exp())) - wanted
        })
    }
}

fn strip(readings: &[(Mean, f64)], (minutes, c): (f64, f64), noise: Noise) -> Strip {
    let reading = |(mean, density): &(Mean, f64)| Reading {
        step: None,
        log_exposure: LogExposure::new(mean.x).ok(),
        density: Density::new(*density).unwrap(),
        sigma: DensitySigma::new(noise.told(*density)).unwrap(),
        line: 1,
    };
    Strip {
        name: format!("{minutes} min at {c}"),
        source: "simulated".to_owned(),
        scale: ExposureScale::Absolute,
        unexposed: vec![reading(&readings[0])],
        readings: readings[1..].iter().map(reading).collect(),
        sigma_is_assumed: !noise.stated,
        exposure_sigma: None,
        common_sigma: None,
        minutes: Minutes::new(minutes).ok(),
        celsius: Celsius::new(c).ok(),
        labels: Labels::default(),
        notes: Vec::new(),
    }
}

/// The activity that a control strip is found to have, and whether nothing else is said to have changed.
fn verdict(pairing: &Pairing, strip: Strip) -> (Found, bool) {
    let verifier = Verifier {
        pairing,
        measure: Measure::ContrastIndex,
        limits: pairing_limits(None).unwrap(),
    };
    let (minutes, celsius) = (strip.minutes.unwrap(), strip.celsius.unwrap());
    let analysis = &analyse(vec![strip], Choice::Auto)[0];
    let verified = verifier.verify(&ControlStrip { analysis, minutes, celsius });
    verified.map_or((None, false), |v| (Some(v.activity), v.change == Change::Nothing))
}

impl Case for Calibration {
    type Design = Vec<f64>;

    fn kind(&self) -> String {
        format!("{:?} developed", self.family)
    }

    fn condition(&self) -> &'static str {
        self.name
    }

    fn quantities(&self) -> &'static [&'static str] {
        &QUANTITIES
    }

    /// Left out are materials whose time for the aim lies outside the strips.
    fn design(&self, numbers: &[f64]) -> Option<Vec<f64>> {
        let world = self.world(numbers);
        let theta = world.effective(Emulsion::contrast_index, AIM).exp();
        let lowest = world.emulsion.speed_point() - world.below;
        (6.0..13.5).contains(&theta).then(|| tablet(lowest, 0.15, STEPS))
    }

    fn readings(&self, numbers: &[f64], tablet: &Vec<f64>) -> Vec<Mean> {
        let world = self.world(numbers);
        self.developments()
            .flat_map(|development| {
                let film = world.film(development);
                super::films::means(1, film.base, tablet, self.noise, |x| film.density(x))
            })
            .collect()
    }

    fn truths(&self, numbers: &[f64], _: &Vec<f64>, _: &Answers) -> Vec<f64> {
        let world = self.world(numbers);
        let aim = world.effective(Emulsion::contrast_index, AIM);
        let condition = world.effective(Emulsion::delta_d, 0.80);
        let minutes =
            |c: f64| aim / std::f64::consts::LN_10 - world.developer.effective(1.0, c).log10();
        let speed = |theta: f64| {
            0.8_f64.log10() - world.emulsion.developed(&world.developer, theta).speed_point()
        };
        vec![
            minutes(20.0),
            minutes(17.5),
            minutes(22.5),
            speed(ASKED),
            speed(condition.exp()),
            world.emulsion.developed(&world.developer, ASKED).base,
            world.developer.energy,
            1.0,
            WEAK,
            1.0,
        ]
    }

    fn measured(&self, readings: &[(Mean, f64)], _: &Vec<f64>) -> Answers {
        let mut parts = readings.chunks_exact(STEPS + 1);
        let strips: Vec<Strip> =
            self.strips.iter().map(|at| strip(parts.next().unwrap(), *at, self.noise)).collect();
        let reference = Celsius::new(20.0).unwrap();
        let Ok(pairing) = Pairing::calibrate(strips, Choice::Auto, reference) else {
            return Answers::none(QUANTITIES.len());
        };
        let minutes = |c: f64| {
            let wanted = Wanted {
                measure: Measure::ContrastIndex,
                contrast: AIM,
                celsius: Celsius::new(c).unwrap(),
                activity: 1.0,
                extrapolate: false,
            };
            pairing.adjust(&wanted).ok().map(|a| logarithm(a.minutes))
        };
        let law = pairing.law();
        let mut control =
            || verdict(&pairing, strip(parts.next().unwrap(), (ASKED, 21.0), self.noise));
        let ((good, unchanged), (weak, _)) = (control(), control());
        Answers::of(vec![
            minutes(20.0),
            minutes(17.5),
            minutes(22.5),
            pairing.exposure_index(ASKED).map(logarithm),
            pairing.iso_speed().ok().map(|s| logarithm(s.speed)),
            pairing.base_plus_fog(ASKED),
            Some(Quantity::around(law.energy(), law.quantile * law.energy_sd())),
            good,
            weak,
            // Held where it is true; it has no width.
            Some(Quantity::around(f64::from(u8::from(unchanged)), 0.0)),
        ])
    }
}
