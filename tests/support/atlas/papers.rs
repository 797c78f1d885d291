//! Strips of paper.

use super::films::{Noise, means, misread, observations};
use super::{Answers, Case, Mean};
use crate::emulsions::paper::{Paper, PaperKind};
use crate::emulsions::{Draws, Given, tablet};
use rand::rngs::SmallRng;
use wedgebook::curve::{Choice, Fitter};
use wedgebook::printing::PaperMeasures;
use wedgebook::readings::ExposureScale;

const QUANTITIES: [&str; 6] =
    ["D min", "D max", "paper speed, log", "range R", "average gradient", "gamma"];

/// A condition under which papers are printed and read.
#[derive(Clone, Copy, Debug)]
pub struct Condition {
    pub name: &'static str,
    pub noise: Noise,
    pub unexposed: usize,
    pub steps: usize,
    pub step: f64,
    pub misreads: usize,
}

const ORDINARY: Condition = Condition {
    name: "21 steps",
    noise: Noise::USUAL,
    unexposed: 1,
    steps: 21,
    step: 0.15,
    misreads: 0,
};

pub const CONDITIONS: [Condition; 8] = [
    ORDINARY,
    Condition { name: "noise 0.005+1%", noise: Noise::GROWS, ..ORDINARY },
    Condition { name: "noise 0.005+1%, stated", noise: Noise::GROWS_STATED, ..ORDINARY },
    Condition { name: "31 steps", steps: 31, step: 0.10, ..ORDINARY },
    Condition { name: "11 steps", steps: 11, step: 0.30, ..ORDINARY },
    Condition { name: "shoulder not reached", steps: 13, ..ORDINARY },
    Condition { name: "no unexposed patch", unexposed: 0, ..ORDINARY },
    Condition { name: "one misread", misreads: 1, ..ORDINARY },
];

/// A paper's strip under a condition.
#[derive(Clone, Copy, Debug)]
pub struct Print {
    pub kind: PaperKind,
    pub condition: Condition,
}

/// All strips of paper in the atlas.
pub fn all() -> impl Iterator<Item = Print> {
    CONDITIONS.into_iter().flat_map(|condition| {
        crate::emulsions::paper::PAPERS.into_iter().map(move |kind| Print { kind, condition })
    })
}

impl Print {
    fn paper(&self, numbers: &[f64]) -> Paper {
        Paper::random(self.kind, &mut Given::new(numbers))
    }
}

impl Case for Print {
    type Design = Vec<f64>;

    fn kind(&self) -> String {
        format!("{:?}", self.kind)
    }

    fn condition(&self) -> &'static str {
        self.condition.name
    }

    fn quantities(&self) -> &'static [&'static str] {
        &QUANTITIES
    }

    fn design(&self, numbers: &[f64]) -> Option<Vec<f64>> {
        let mut given = Given::new(numbers);
        let paper = Paper::random(self.kind, &mut given);
        let lowest = paper.points()[0] - given.within(0.4..0.9);
        Some(tablet(lowest, self.condition.step, self.condition.steps))
    }

    fn readings(&self, numbers: &[f64], tablet: &Vec<f64>) -> Vec<Mean> {
        let paper = self.paper(numbers);
        let Condition { unexposed, noise, .. } = self.condition;
        means(unexposed, paper.d_min, tablet, noise, |x| paper.density(x))
    }

    fn truths(&self, numbers: &[f64], tablet: &Vec<f64>, _: &Answers) -> Vec<f64> {
        let paper = self.paper(numbers);
        let net = paper.d_max() - paper.d_min;
        let range = paper.range_r();
        vec![
            paper.d_min,
            paper.d_max(),
            paper.speed_p().log10(),
            range,
            100.0 * (0.9 * net - 0.04) / range,
            paper.gamma(tablet[0], tablet[tablet.len() - 1]),
        ]
    }

    fn measured(&self, readings: &[(Mean, f64)], _: &Vec<f64>) -> Answers {
        let noise = self.condition.noise;
        let o = observations(readings, noise);
        let Ok(fit) = Fitter::new().fit(o, Choice::Auto, !noise.stated) else {
            return Answers::none(QUANTITIES.len());
        };
        let m = PaperMeasures::of(&fit, ExposureScale::Absolute);
        let speed = m.speed_p.as_ref().ok().map(|p| super::logarithm(*p));
        let all = [&m.d_min, &m.d_max, &m.speed_p, &m.range_r, &m.average_gradient, &m.gamma];
        let mut found: Vec<_> = all.iter().map(|m| m.as_ref().ok().copied()).collect();
        found[2] = speed;
        Answers::of(found)
    }

    fn damage(&self, densities: &mut [f64], rng: &mut SmallRng) {
        misread(self.condition.misreads, densities, rng);
    }
}
