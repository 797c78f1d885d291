//! The atlas: every measure on invented materials of foreign shape, under every condition, against the
//! exact truth. A cell is one quantity of one kind of material under one condition.

pub mod films;
pub mod known;
pub mod pairings;
pub mod papers;
pub mod table;

use crate::emulsions::{noise, seeded};
use crate::tally::Tally;
use rand::Rng;
use rand::rngs::SmallRng;
use rayon::prelude::*;
use wedgebook::measures::Quantity;

/// How many numbers make a material, at most.
const NUMBERS: usize = 40;

/// One reading as it is on average, and its standard deviation.
#[derive(Clone, Copy, Debug)]
pub struct Mean {
    /// Log exposure, minus infinity for unexposed material.
    pub x: f64,
    pub density: f64,
    pub sd: f64,
}

/// What was found of one quantity, if anything.
pub type Found = Option<Quantity>;

/// What the product answered.
pub struct Answers {
    /// One for each quantity.
    pub found: Vec<Found>,
    /// Ends of the straight line, if one was found.
    pub line: (f64, f64),
}

impl Answers {
    pub fn of(found: Vec<Found>) -> Self {
        Self { found, line: (f64::NAN, f64::NAN) }
    }

    pub fn none(quantities: usize) -> Self {
        Self::of(vec![None; quantities])
    }
}

/// A kind of material under a condition.
pub trait Case: Sync {
    /// What stays as it is when the material's numbers are varied: the tablet's place.
    type Design: Send + Sync;

    fn kind(&self) -> String;
    fn condition(&self) -> &'static str;
    fn quantities(&self) -> &'static [&'static str];
    /// The design, or `None` for a material that is left out.
    fn design(&self, numbers: &[f64]) -> Option<Self::Design>;
    fn readings(&self, numbers: &[f64], design: &Self::Design) -> Vec<Mean>;
    /// The exact quantities; `answers` are there for those whose truth depends on the answer.
    fn truths(&self, numbers: &[f64], design: &Self::Design, answers: &Answers) -> Vec<f64>;
    /// What the product finds from densities read at the design's places.
    fn measured(&self, readings: &[(Mean, f64)], design: &Self::Design) -> Answers;
    /// Damage done to densities, as misreads.
    fn damage(&self, _densities: &mut [f64], _rng: &mut SmallRng) {}
}

/// One cell.
#[derive(Clone)]
pub struct Cell {
    pub kind: String,
    pub condition: &'static str,
    pub quantity: &'static str,
    pub tally: Tally,
    /// Widths that intervals of someone would have who knows the true shape.
    pub known: Vec<f64>,
}

impl Cell {
    /// Median width over the median width with the true shape known.
    pub fn ratio(&self) -> f64 {
        self.tally.median_width() / median(&self.known)
    }
}

pub fn median(numbers: &[f64]) -> f64 {
    let mut sorted = numbers.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted.get(sorted.len() / 2).copied().unwrap_or(f64::NAN)
}

/// How much is simulated.
#[derive(Clone, Copy, Debug)]
pub struct Extent {
    pub runs: usize,
    /// Of how many of them the width with the true shape known is worked out.
    pub known: usize,
    pub seed: u64,
}

/// The cells of one case.
pub fn cells<C: Case>(case: &C, extent: Extent) -> Vec<Cell> {
    let names = case.quantities();
    let name = format!("{} {}", case.kind(), case.condition());
    // FNV-1a: a case keeps its seed whatever stands beside it.
    let own = name
        .bytes()
        .fold(0xcbf2_9ce4_8422_2325_u64, |h, b| (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3));
    let one = |run: usize| {
        let mut rng = seeded(own ^ extent.seed.wrapping_mul(0x9e37_79b9) ^ (run as u64) << 20);
        loop {
            let numbers: [f64; NUMBERS] = std::array::from_fn(|_| rng.random());
            let Some(design) = case.design(&numbers) else { continue };
            let means = case.readings(&numbers, &design);
            let mut densities: Vec<f64> =
                means.iter().map(|m| m.density + noise(&mut rng, m.sd)).collect();
            case.damage(&mut densities, &mut rng);
            let read: Vec<(Mean, f64)> = means.into_iter().zip(densities).collect();
            let answers = case.measured(&read, &design);
            let truths = case.truths(&numbers, &design, &answers);
            let known =
                (run < extent.known).then(|| known::widths(case, &numbers, &design, &answers));
            return (answers.found, truths, known);
        }
    };
    let runs: Vec<_> = (0..extent.runs).into_par_iter().map(one).collect();
    let mut cells: Vec<Cell> = names
        .iter()
        .map(|&quantity| Cell {
            kind: case.kind(),
            condition: case.condition(),
            quantity,
            tally: Tally::default(),
            known: Vec::new(),
        })
        .collect();
    for (found, truths, known) in runs {
        for (k, cell) in cells.iter_mut().enumerate() {
            // A quantity that the material has not got has no truth.
            if truths[k].is_finite() {
                cell.tally.enter(&found[k].ok_or(()), truths[k]);
                cell.known.extend(known.as_ref().and_then(|w| w[k].filter(|_| found[k].is_some())));
            }
        }
    }
    cells
}

/// The common logarithm of a positive quantity.
pub fn logarithm(q: Quantity) -> Quantity {
    Quantity { value: q.value.log10(), low: q.low.log10(), high: q.high.log10() }
}
