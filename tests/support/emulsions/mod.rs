//! Invented emulsions whose curves are of none of the product's own shapes, and strips read off them.
//!
//! Shared by the tests, the benches and the program that makes the demonstration data. The exact
//! measures here are found by plain bisection on the exact curve, not by the product's code.

#![allow(dead_code)]

pub mod paper;

use rand::rngs::SmallRng;
use rand::{Rng, SeedableRng};
use rand_distr::{Distribution, Normal};

/// Where an invented material takes the numbers from that make it one of its kind.
pub trait Draws {
    /// A number from `range`.
    fn within(&mut self, range: std::ops::Range<f64>) -> f64;
}

impl Draws for SmallRng {
    fn within(&mut self, range: std::ops::Range<f64>) -> f64 {
        Rng::random_range(self, range)
    }
}

/// Numbers that are given, each as a share of the range asked for: the same shares make the same material.
#[derive(Debug)]
pub struct Given<'a> {
    shares: &'a [f64],
    /// How many were taken.
    pub taken: usize,
}

impl<'a> Given<'a> {
    pub fn new(shares: &'a [f64]) -> Self {
        Self { shares, taken: 0 }
    }
}

impl Draws for Given<'_> {
    fn within(&mut self, range: std::ops::Range<f64>) -> f64 {
        let share = self.shares[self.taken];
        self.taken += 1;
        range.start + share * (range.end - range.start)
    }
}

/// Kind of emulsion.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Family {
    /// Four classes of grains whose sizes vary within a class; a grain develops when it has caught
    /// enough quanta.
    Grains,
    /// The same with grains all alike within a class: a lumpy curve that few makers would sell.
    Lumpy,
    /// A growth curve with a lopsided S: D = Dm·(1 + e^(−k(x − x0)))^(−ν).
    Lopsided,
    /// A stretched saturation: D = Dm·(1 − exp(−(H/H0)^q)).
    Stretched,
    /// A toe whose slope rises as the normal distribution, of this standard deviation in thousandths,
    /// into a straight line without end.
    NormalToe(u32),
    /// A toe that is a branch of a hyperbola, into a straight line without end.
    HyperbolicToe,
    /// A hyperbola's toe, a straight line, and a hyperbola's shoulder.
    LongLine,
    /// The same with a straight line so short that the shoulder begins soon after the toe.
    ShortLine,
    /// A fast layer and a slow layer, each with a toe, a line and a shoulder.
    TwoLayers,
}

impl Family {
    /// A number of its own, for a seed.
    pub fn number(self) -> u64 {
        match self {
            Self::Grains => 0,
            Self::Lumpy => 1,
            Self::Lopsided => 2,
            Self::Stretched => 3,
            Self::HyperbolicToe => 4,
            Self::LongLine => 5,
            Self::TwoLayers => 6,
            Self::ShortLine => 7,
            Self::NormalToe(width) => 100 + u64::from(width),
        }
    }
}

/// The families of ordinary emulsions, lumpy ones left out.
pub const FAMILIES: [Family; 3] = [Family::Grains, Family::Lopsided, Family::Stretched];

/// One class of grains.
#[derive(Clone, Copy, Debug)]
struct Class {
    /// log10 of the exposure that gives one quantum to a grain, on average.
    log_h: f64,
    /// Quanta that make a grain developable.
    quanta: f64,
    /// Density when all are developed.
    density: f64,
    /// Standard deviation of log10 sensitivity within the class.
    spread: f64,
}

impl Class {
    /// Share of the class's grains developed: the mean over their sensitivities, by Gauss and
    /// Hermite's rule of five points.
    fn developed(&self, x: f64) -> f64 {
        const RULE: [(f64, f64); 5] = [
            (-2.856_970, 0.011_257_4),
            (-1.355_626, 0.222_075_9),
            (0.0, 0.533_333_3),
            (1.355_626, 0.222_075_9),
            (2.856_970, 0.011_257_4),
        ];
        let share = |z: f64| at_least(self.quanta, 10_f64.powf(x - self.log_h + self.spread * z));
        if self.spread == 0.0 { share(0.0) } else { RULE.iter().map(|(z, w)| w * share(*z)).sum() }
    }
}

/// A developer: how fast each class of grains develops, and what goes with it.
#[derive(Clone, Copy, Debug)]
pub struct Developer {
    /// Rate of each class per minute at 20 °C.
    pub rates: [f64; 4],
    /// Minutes before anything develops.
    pub induction: f64,
    /// Speed gained, in log exposure per unit of ln(minutes).
    pub speed: f64,
    /// Fog gained per minute.
    pub fog: f64,
    /// Activation energy in kJ/mol.
    pub energy: f64,
}

impl Default for Developer {
    fn default() -> Self {
        Self {
            rates: [0.16, 0.14, 0.12, 0.11],
            induction: 0.4,
            speed: 0.06,
            fog: 0.004,
            energy: 62.0,
        }
    }
}

impl Developer {
    /// A random developer of ordinary vigour.
    pub fn random(rng: &mut impl Draws) -> Self {
        let vigour = rng.within(0.08..0.18);
        Self {
            rates: std::array::from_fn(|_| vigour * rng.within(0.75..1.3)),
            induction: rng.within(0.1..0.9),
            speed: rng.within(0.02..0.10),
            fog: rng.within(0.001..0.006),
            energy: rng.within(30.0..85.0),
        }
    }

    /// Minutes at 20 °C that do what `minutes` at `celsius` do.
    pub fn effective(&self, minutes: f64, celsius: f64) -> f64 {
        let kelvin = |c: f64| c + 273.15;
        minutes * (self.energy * 1e3 / 8.314 * (1.0 / kelvin(20.0) - 1.0 / kelvin(celsius))).exp()
    }
}

#[derive(Clone, Debug)]
enum Shape {
    Grains([Class; 4]),
    Lopsided {
        dm: f64,
        k: f64,
        x0: f64,
        nu: f64,
    },
    Stretched {
        dm: f64,
        x0: f64,
        q: f64,
    },
    /// Bends at their log exposures: the slope changes there by so much, over a width.
    Bends {
        bends: Vec<(f64, f64, Bend)>,
    },
}

/// How a slope goes from 0 to 1 about 0.
#[derive(Clone, Copy, Debug)]
enum Bend {
    /// As the normal distribution of this standard deviation.
    Normal(f64),
    /// As along a hyperbola: ½·(1 + u/√(u² + 4τ²)).
    Hyperbola(f64),
}

impl Bend {
    /// The integral of the slope up to `u`.
    fn risen(self, u: f64) -> f64 {
        match self {
            Self::Normal(sd) => {
                let z = u / sd;
                let below = 0.5 * statrs::function::erf::erfc(-z / std::f64::consts::SQRT_2);
                u * below + sd * (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt()
            }
            Self::Hyperbola(t) => {
                let root = (u * u + 4.0 * t * t).sqrt();
                // Without cancellation below the bend.
                if u < 0.0 { 2.0 * t * t / (root - u) } else { 0.5 * (u + root) }
            }
        }
    }
}

/// An emulsion, developed.
#[derive(Clone, Debug)]
pub struct Emulsion {
    pub base: f64,
    shape: Shape,
}

impl Emulsion {
    /// A random emulsion of ordinary contrast: its speed point lies near log H −2.3.
    pub fn random<D: Draws>(family: Family, rng: &mut D) -> Self {
        let base = rng.within(0.08..0.36);
        let contrast = rng.within(0.42..0.78);
        let shape = match family {
            Family::Grains | Family::Lumpy => {
                let spread = if family == Family::Grains { rng.within(0.18..0.30) } else { 0.0 };
                let spacing = rng.within(0.42..0.62);
                let mut at = -1.6 + rng.within(-0.2..0.2);
                Shape::Grains(std::array::from_fn(|i| {
                    let quanta: f64 = rng.within(1.6..4.0);
                    let class = Class {
                        log_h: at - quanta.log10(),
                        quanta,
                        spread,
                        density: contrast
                            * spacing
                            * rng.within(0.85..1.15)
                            * [0.75, 1.0, 1.05, 0.9][i],
                    };
                    at += spacing * rng.within(0.9..1.1);
                    class
                }))
            }
            Family::Lopsided => {
                let nu = rng.within(0.8..2.2);
                let k = rng.within(1.9..2.8);
                // Steepest slope of the growth curve is Dm·k·(ν/(ν + 1))^(ν + 1).
                let steepest = k * (nu / (nu + 1.0_f64)).powf(nu + 1.0);
                Shape::Lopsided {
                    dm: 1.15 * contrast / steepest,
                    k,
                    x0: rng.within(-1.7..-1.2),
                    nu,
                }
            }
            Family::Stretched => {
                let q = rng.within(0.55..0.75);
                let steepest = q * std::f64::consts::LN_10 / std::f64::consts::E;
                Shape::Stretched { dm: 1.15 * contrast / steepest, x0: rng.within(-1.0..-0.6), q }
            }
            Family::NormalToe(thousandths) => {
                let toe = Bend::Normal(f64::from(thousandths) / 1000.0);
                Shape::Bends { bends: vec![(rng.within(-2.6..-2.2), contrast, toe)] }
            }
            Family::HyperbolicToe => {
                let toe = Bend::Hyperbola(rng.within(0.03..0.12));
                Shape::Bends { bends: vec![(rng.within(-2.6..-2.2), contrast, toe)] }
            }
            Family::LongLine | Family::ShortLine => {
                let at: f64 = rng.within(-2.6..-2.2);
                let long = if family == Family::LongLine { 1.8..2.4 } else { 1.0..1.5 };
                let end = at + rng.within(long);
                let toe = Bend::Hyperbola(rng.within(0.05..0.15));
                let shoulder = Bend::Hyperbola(rng.within(0.05..0.20));
                Shape::Bends { bends: vec![(at, contrast, toe), (end, -contrast, shoulder)] }
            }
            Family::TwoLayers => {
                let at: f64 = rng.within(-2.6..-2.3);
                let next = at + rng.within(0.9..1.3);
                let bend = |rng: &mut D| Bend::Normal(rng.within(0.15..0.30));
                let fast = contrast * rng.within(0.7..1.0);
                let slow = contrast * rng.within(0.8..1.2);
                let lower = rng.within(0.1..0.3);
                Shape::Bends {
                    bends: vec![
                        (at, fast, bend(rng)),
                        (next + lower, -fast, bend(rng)),
                        (next, slow, bend(rng)),
                        (next + 1.6, -slow, bend(rng)),
                    ],
                }
            }
        };
        Self { base, shape }
    }

    /// The same film developed for `minutes` at the reference temperature, as made being nine, in
    /// the demonstration's developer.
    pub fn after(&self, minutes: f64) -> Self {
        self.developed(&Developer::default(), minutes)
    }

    /// The same film in `developer` after `minutes` at 20 °C; as made, it has been in for nine.
    ///
    /// # Panics
    /// For families whose development is not described: lopsided and stretched ones.
    pub fn developed(&self, developer: &Developer, minutes: f64) -> Self {
        let grown = |rate: f64| {
            let share = |t: f64| 1.0 - (-rate * (t - developer.induction).max(0.0)).exp();
            share(minutes) / share(9.0)
        };
        let gained = developer.speed * (minutes / 9.0).ln();
        let mut shape = self.shape.clone();
        match &mut shape {
            Shape::Grains(classes) => {
                for (class, rate) in classes.iter_mut().zip(developer.rates) {
                    class.density *= grown(rate);
                    class.log_h -= gained;
                }
            }
            // Two bends belong to one layer, and each layer has a rate of its own.
            Shape::Bends { bends } => {
                for (k, (at, slope, _)) in bends.iter_mut().enumerate() {
                    *slope *= grown(developer.rates[k / 2]);
                    *at -= gained;
                }
            }
            Shape::Lopsided { dm, x0, .. } | Shape::Stretched { dm, x0, .. } => {
                *dm *= grown(developer.rates[0]);
                *x0 -= gained;
            }
        }
        Self { base: self.base + developer.fog * (minutes - 9.0), shape }
    }

    /// Exact density.
    pub fn density(&self, x: f64) -> f64 {
        self.base
            + match &self.shape {
                Shape::Grains(classes) => classes.iter().map(|c| c.density * c.developed(x)).sum(),
                Shape::Lopsided { dm, k, x0, nu } => dm * (1.0 + (-k * (x - x0)).exp()).powf(-nu),
                Shape::Stretched { dm, x0, q } => dm * -(-(10_f64.powf((x - x0) * q))).exp_m1(),
                Shape::Bends { bends } => {
                    bends.iter().map(|(at, slope, bend)| slope * bend.risen(x - at)).sum()
                }
            }
    }

    /// Slope by central difference.
    pub fn slope(&self, x: f64) -> f64 {
        (self.density(x + 1e-4) - self.density(x - 1e-4)) / 2e-4
    }

    /// The log exposure of a density, by bisection.
    pub fn log_exposure_at(&self, density: f64) -> f64 {
        bisect(-8.0, 4.0, |x| self.density(x) - density)
    }

    pub fn speed_point(&self) -> f64 {
        self.log_exposure_at(self.base + 0.1)
    }

    pub fn delta_d(&self) -> f64 {
        let m = self.speed_point();
        self.density(m + 1.3) - self.density(m)
    }

    pub fn average_gradient(&self) -> f64 {
        let m = self.speed_point();
        (self.density(m + 1.5) - self.density(m)) / 1.5
    }

    /// Greatest slope on [low, high].
    pub fn gamma(&self, low: f64, high: f64) -> f64 {
        steepest(low, high, |x| self.slope(x))
    }

    pub fn contrast_index(&self) -> f64 {
        let angle = |o: f64, r: f64| {
            bisect(0.0, std::f64::consts::FRAC_PI_2, |t| {
                -(self.density(o + r * t.cos()) - self.base - r * t.sin())
            })
        };
        let m = self.speed_point();
        let o = bisect(m - 0.6, m + 0.3, |o| angle(o, 0.2) - angle(o, 2.2));
        angle(o, 2.2).tan()
    }

    pub fn fractional_gradient(&self) -> f64 {
        let f = |x: f64| self.slope(x) - 0.2 * (self.density(x + 1.5) - self.density(x));
        let m = self.speed_point();
        bisect(m - 1.2, m + 0.6, f)
    }

    pub fn delta_x(&self) -> f64 {
        let d = self.delta_d();
        self.speed_point() - (0.83 - 0.86 * d + 0.24 * d * d)
    }
}

/// Root of a function that rises through zero between `low` and `high`, or the end that is nearer to it:
/// C. J. F. Ridders' method of 1979, in which each bracket is bisected and bent straight.
pub fn bisect(low: f64, high: f64, f: impl Fn(f64) -> f64) -> f64 {
    let ((mut a, mut at_a), (mut b, mut at_b)) = ((low, f(low)), (high, f(high)));
    if !(at_a < 0.0) {
        return a;
    }
    if !(at_b > 0.0) {
        return b;
    }
    while b - a > 1e-11 {
        let middle = 0.5 * (a + b);
        let at_middle = f(middle);
        let bent = (at_middle * at_middle - at_a * at_b).sqrt();
        let x = (middle - (middle - a) * at_middle / bent).clamp(a, b);
        let at_x = f(x);
        for (x, at) in [(middle, at_middle), (x, at_x)] {
            if at < 0.0 && x > a {
                (a, at_a) = (x, at);
            } else if at >= 0.0 && x < b {
                (b, at_b) = (x, at);
            }
        }
        if at_x == 0.0 {
            break;
        }
    }
    if at_b.abs() < at_a.abs() { b } else { a }
}

/// Greatest slope on [low, high]: on a grid, then on a finer one about the best place.
fn steepest(low: f64, high: f64, slope: impl Fn(f64) -> f64) -> f64 {
    let best = |from: f64, to: f64, n: i32| {
        let at = |k: i32| from + (to - from) * f64::from(k) / f64::from(n);
        let of = |k: i32| (at(k), slope(at(k)));
        (0..=n).map(of).fold((from, 0.0), |a, b| if b.1 > a.1 { b } else { a })
    };
    let step = (high - low) / 150.0;
    let (x, _) = best(low, high, 150);
    best((x - step).max(low), (x + step).min(high), 40).1
}

/// Chance that a Poisson number of mean `h` is at least `quanta` (regularised incomplete gamma, so
/// that `quanta` need not be whole).
fn at_least(quanta: f64, h: f64) -> f64 {
    statrs::function::gamma::gamma_lr(quanta, h.max(1e-12))
}

/// Log exposures of a tablet of `steps` even steps.
pub fn tablet(lowest: f64, step: f64, steps: usize) -> Vec<f64> {
    (0..steps).map(|i| lowest + step * i as f64).collect()
}

/// Normal noise.
pub fn noise(rng: &mut SmallRng, sd: f64) -> f64 {
    Normal::new(0.0, sd).unwrap().sample(rng)
}

pub fn seeded(seed: u64) -> SmallRng {
    SmallRng::seed_from_u64(seed)
}
