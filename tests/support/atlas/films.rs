//! Strips of film.

use super::{Answers, Case, Found, Mean};
use crate::emulsions::{Draws, Emulsion, Family, Given, tablet};
use rand::Rng;
use rand::rngs::SmallRng;
use wedgebook::curve::{Choice, Fitter, Observations};
use wedgebook::measures::{Measured, Measures};
use wedgebook::readings::ExposureScale;

pub const KINDS: [Family; 12] = [
    Family::Grains,
    Family::Lumpy,
    Family::Lopsided,
    Family::Stretched,
    Family::NormalToe(20),
    Family::NormalToe(130),
    Family::NormalToe(250),
    Family::NormalToe(400),
    Family::HyperbolicToe,
    Family::LongLine,
    Family::ShortLine,
    Family::TwoLayers,
];

const QUANTITIES: [&str; 10] = [
    "base plus fog",
    "gamma",
    "straight line",
    "contrast index",
    "average gradient",
    "speed point",
    "delta D",
    "fractional gradient",
    "delta-X",
    "D max",
];

/// How readings err.
#[derive(Clone, Copy, Debug)]
pub struct Noise {
    pub fixed: f64,
    /// What it gains with density.
    pub share: f64,
    /// Whether the fit is told; it assumes 0.010 otherwise.
    pub stated: bool,
}

impl Noise {
    pub const USUAL: Self = Self { fixed: 0.010, share: 0.0, stated: false };
    pub const GROWS: Self = Self { fixed: 0.005, share: 0.01, stated: false };
    pub const GROWS_STATED: Self = Self { stated: true, ..Self::GROWS };

    pub fn of(self, density: f64) -> f64 {
        self.fixed + self.share * density.max(0.0)
    }

    /// What the fit is told of a reading.
    pub fn told(self, found: f64) -> f64 {
        if self.stated { self.of(found) } else { 0.010 }
    }
}

/// A condition under which strips are made and read.
#[derive(Clone, Copy, Debug)]
pub struct Condition {
    pub name: &'static str,
    pub noise: Noise,
    pub unexposed: usize,
    pub steps: usize,
    pub step: f64,
    /// How far below the speed point the tablet begins.
    pub below: (f64, f64),
    pub misreads: usize,
}

const ORDINARY: Condition = Condition {
    name: "21 steps",
    noise: Noise::USUAL,
    unexposed: 1,
    steps: 21,
    step: 0.15,
    below: (0.5, 0.9),
    misreads: 0,
};

pub const CONDITIONS: [Condition; 11] = [
    ORDINARY,
    Condition { name: "noise 0.005+1%", noise: Noise::GROWS, ..ORDINARY },
    Condition { name: "noise 0.005+1%, stated", noise: Noise::GROWS_STATED, ..ORDINARY },
    Condition { name: "31 steps", steps: 31, step: 0.10, ..ORDINARY },
    Condition { name: "11 steps", steps: 11, step: 0.30, ..ORDINARY },
    Condition { name: "7 steps", steps: 7, step: 0.40, below: (0.2, 0.4), ..ORDINARY },
    Condition { name: "toe not reached", below: (-0.15, -0.05), ..ORDINARY },
    Condition { name: "shoulder not reached", steps: 15, ..ORDINARY },
    Condition { name: "no unexposed patch", unexposed: 0, ..ORDINARY },
    Condition { name: "one misread", misreads: 1, ..ORDINARY },
    Condition { name: "two misreads", misreads: 2, ..ORDINARY },
];

/// A film's strip under a condition.
#[derive(Clone, Copy, Debug)]
pub struct Film {
    pub family: Family,
    pub condition: Condition,
}

/// All strips of film in the atlas.
pub fn all() -> impl Iterator<Item = Film> {
    CONDITIONS
        .into_iter()
        .flat_map(|condition| KINDS.into_iter().map(move |family| Film { family, condition }))
}

impl Film {
    fn emulsion(&self, numbers: &[f64]) -> Emulsion {
        Emulsion::random(self.family, &mut Given::new(numbers))
    }
}

/// Readings as the fit takes them.
pub fn observations(readings: &[(Mean, f64)], noise: Noise) -> Observations {
    let mut o = Observations::default();
    for (mean, density) in readings {
        o.push(mean.x, *density, noise.told(*density));
    }
    o
}

/// The means of a tablet's readings, after those of `unexposed` patches.
pub fn means(
    unexposed: usize,
    base: f64,
    tablet: &[f64],
    noise: Noise,
    density: impl Fn(f64) -> f64,
) -> Vec<Mean> {
    let mean = |x: f64, density: f64| Mean { x, density, sd: noise.of(density) };
    let patches = (0..unexposed).map(|_| mean(f64::NEG_INFINITY, base));
    patches.chain(tablet.iter().map(|&x| mean(x, density(x)))).collect()
}

/// Misreads: densities of other patches, or slips of a digit.
pub fn misread(many: usize, densities: &mut [f64], rng: &mut SmallRng) {
    for _ in 0..many {
        let k = rng.random_range(1..densities.len());
        let off = rng.random_range(0.10..0.50);
        densities[k] = (densities[k] + if rng.random() { off } else { -off }).max(0.0);
    }
}

fn known(measured: &Measured) -> Found {
    measured.as_ref().ok().copied()
}

impl Case for Film {
    type Design = Vec<f64>;

    fn kind(&self) -> String {
        match self.family {
            Family::NormalToe(width) => format!("NormalToe 0.{width:03}"),
            family => format!("{family:?}"),
        }
    }

    fn condition(&self) -> &'static str {
        self.condition.name
    }

    fn quantities(&self) -> &'static [&'static str] {
        &QUANTITIES
    }

    fn design(&self, numbers: &[f64]) -> Option<Vec<f64>> {
        let mut given = Given::new(numbers);
        let emulsion = Emulsion::random(self.family, &mut given);
        let below = given.within(self.condition.below.0..self.condition.below.1);
        Some(tablet(emulsion.speed_point() - below, self.condition.step, self.condition.steps))
    }

    fn readings(&self, numbers: &[f64], tablet: &Vec<f64>) -> Vec<Mean> {
        let emulsion = self.emulsion(numbers);
        let Condition { unexposed, noise, .. } = self.condition;
        means(unexposed, emulsion.base, tablet, noise, |x| emulsion.density(x))
    }

    fn truths(&self, numbers: &[f64], tablet: &Vec<f64>, found: &Answers) -> Vec<f64> {
        let e = self.emulsion(numbers);
        let last = tablet[tablet.len() - 1];
        // The slope between the ends that were found: its promise is for these ends.
        let (from, to) = found.line;
        let line = (e.density(to) - e.density(from)) / (to - from);
        vec![
            e.base,
            e.gamma(tablet[0], last),
            line,
            e.contrast_index(),
            e.average_gradient(),
            e.speed_point(),
            e.delta_d(),
            e.fractional_gradient(),
            e.delta_x(),
            e.density(last),
        ]
    }

    fn measured(&self, readings: &[(Mean, f64)], _: &Vec<f64>) -> Answers {
        let noise = self.condition.noise;
        let o = observations(readings, noise);
        let Ok(fit) = Fitter::new().fit(o, Choice::Auto, !noise.stated) else {
            return Answers::none(QUANTITIES.len());
        };
        let m = Measures::of(&fit, ExposureScale::Absolute);
        let line = m.straight_line.as_ref().ok();
        let found = vec![
            known(&m.base_plus_fog),
            known(&m.gamma),
            line.map(|l| l.slope),
            known(&m.contrast_index),
            known(&m.average_gradient),
            known(&m.speed_point),
            known(&m.iso.delta_d),
            known(&m.fractional_gradient),
            known(&m.delta_x),
            known(&m.d_max),
        ];
        Answers { found, line: line.map_or((f64::NAN, f64::NAN), |l| (l.from, l.to)) }
    }

    fn damage(&self, densities: &mut [f64], rng: &mut SmallRng) {
        misread(self.condition.misreads, densities, rng);
    }
}
