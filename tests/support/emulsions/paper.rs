//! Invented printing papers, whose curves are of none of the product's shapes.

use super::{Bend, Draws, at_least, bisect, steepest};

/// Kind of paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PaperKind {
    /// Silver of three close classes of grains, seen by light that passes it twice; the surface
    /// reflects a little whatever lies below, so that black is approached slowly.
    Reflected,
    /// Two such emulsions of different speed on one support, of which the filter gives the slower
    /// one less: a shoulder in the middle of the curve where the filter is soft.
    Variable,
    /// A growth curve with a lopsided S: D = Dmin + Dn·(1 + e^(−k(x − x0)))^(−ν).
    Lopsided,
    /// A stretched saturation, with a long toe and an abrupt shoulder: D = Dmin + Dn·(1 − exp(−(H/H0)^q)).
    Stretched,
    /// A long toe, a straight line and a shorter shoulder.
    LongToe,
    /// A toe that is a sharp branch of a hyperbola, a straight line, and a long shoulder.
    SharpToe,
}

/// All kinds.
pub const PAPERS: [PaperKind; 6] = [
    PaperKind::Reflected,
    PaperKind::Variable,
    PaperKind::Lopsided,
    PaperKind::Stretched,
    PaperKind::LongToe,
    PaperKind::SharpToe,
];

/// Silver that seen once is share·depth in density, over a base and under a surface that reflects.
#[derive(Clone, Copy, Debug)]
struct Layer {
    /// log10 of the exposure of the middle class.
    log_h: f64,
    /// Distance of the classes in log exposure.
    spacing: f64,
    quanta: f64,
    share: f64,
}

impl Layer {
    fn developed(&self, x: f64) -> f64 {
        let class = |k: f64| {
            let at = self.log_h + k * self.spacing;
            at_least(self.quanta, self.quanta * 10_f64.powf(x - at))
        };
        self.share * (0.3 * class(-1.0) + 0.4 * class(0.0) + 0.3 * class(1.0))
    }
}

#[derive(Clone, Debug)]
enum Shape {
    Silver {
        layers: Vec<Layer>,
        depth: f64,
        surface: f64,
    },
    Lopsided {
        dn: f64,
        k: f64,
        x0: f64,
        nu: f64,
    },
    Stretched {
        dn: f64,
        x0: f64,
        q: f64,
    },
    /// A line of a slope between a toe at a log exposure and a shoulder.
    Line {
        x0: f64,
        slope: f64,
        dn: f64,
        toe: Bend,
        shoulder: Bend,
    },
}

/// A paper, developed.
#[derive(Clone, Debug)]
pub struct Paper {
    pub d_min: f64,
    shape: Shape,
}

impl Paper {
    /// A random paper of a range R of about 50 to 150, its speed P near 200.
    pub fn random(kind: PaperKind, rng: &mut impl Draws) -> Self {
        let d_min = rng.within(0.03..0.12);
        let x0 = 1.05 + rng.within(-0.3..0.3);
        let dn = rng.within(1.6..2.15);
        let shape = match kind {
            PaperKind::Reflected => Shape::Silver {
                layers: vec![Layer {
                    log_h: x0,
                    spacing: rng.within(0.08..0.26),
                    quanta: rng.within(3.0..9.0),
                    share: 1.0,
                }],
                depth: rng.within(2.2..3.2),
                surface: 10_f64.powf(-(d_min + dn)),
            },
            PaperKind::Variable => {
                let apart = rng.within(0.1..0.5);
                let slow = rng.within(0.35..0.6);
                let layer = |log_h, share, spacing| Layer { log_h, spacing, quanta: 6.0, share };
                Shape::Silver {
                    layers: vec![
                        layer(x0, 1.0 - slow, rng.within(0.08..0.18)),
                        layer(x0 + apart, slow, rng.within(0.08..0.18)),
                    ],
                    depth: rng.within(2.2..3.2),
                    surface: 10_f64.powf(-(d_min + dn)),
                }
            }
            PaperKind::Lopsided => {
                Shape::Lopsided { dn, k: rng.within(4.0..10.0), x0, nu: rng.within(0.6..1.6) }
            }
            PaperKind::Stretched => Shape::Stretched { dn, x0, q: rng.within(0.9..2.2) },
            PaperKind::LongToe => Shape::Line {
                x0: x0 - 0.3,
                slope: rng.within(1.8..3.2),
                dn,
                toe: Bend::Normal(rng.within(0.15..0.28)),
                shoulder: Bend::Normal(rng.within(0.06..0.14)),
            },
            PaperKind::SharpToe => Shape::Line {
                x0: x0 - 0.3,
                slope: rng.within(1.8..3.2),
                dn,
                toe: Bend::Hyperbola(rng.within(0.01..0.03)),
                shoulder: Bend::Normal(rng.within(0.15..0.25)),
            },
        };
        Self { d_min, shape }
    }

    /// The demonstration's paper behind a filter, 0 soft to 5 hard: the slow layer is of less
    /// speed the softer the filter.
    pub fn stillwater(filter: f64) -> Self {
        let apart = 0.75 - 0.13 * filter;
        let layer = |log_h, share| Layer {
            log_h,
            spacing: 0.12 + 0.025 * (5.0 - filter),
            quanta: 6.0,
            share,
        };
        let fast = 0.47 + 0.07 * filter;
        Self {
            d_min: 0.06,
            shape: Shape::Silver {
                layers: vec![layer(fast, 0.5), layer(fast + apart, 0.5)],
                depth: 2.7,
                surface: 10_f64.powf(-2.16),
            },
        }
    }

    /// Exact density.
    pub fn density(&self, x: f64) -> f64 {
        match &self.shape {
            Shape::Silver { layers, depth, surface } => {
                let seen = layers.iter().map(|l| l.developed(x)).sum::<f64>() * depth;
                -(surface + (10_f64.powf(-self.d_min) - surface) * 10_f64.powf(-seen)).log10()
            }
            Shape::Lopsided { dn, k, x0, nu } => {
                self.d_min + dn * (1.0 + (-k * (x - x0)).exp()).powf(-nu)
            }
            Shape::Stretched { dn, x0, q } => {
                self.d_min + dn * -(-(10_f64.powf((x - x0) * q))).exp_m1()
            }
            Shape::Line { x0, slope, dn, toe, shoulder } => {
                let end = x0 + dn / slope;
                self.d_min + slope * (toe.risen(x - x0) - shoulder.risen(x - end))
            }
        }
    }

    /// Density that no exposure exceeds.
    pub fn d_max(&self) -> f64 {
        self.density(5.0)
    }

    /// The log exposure of a density, by bisection.
    pub fn log_exposure_at(&self, density: f64) -> f64 {
        bisect(-6.0, 4.0, |x| self.density(x) - density)
    }

    /// The points of ISO 6846: 0.04 above the least density, 0.60 above it, and 0.90 of the net
    /// greatest density.
    pub fn points(&self) -> [f64; 3] {
        let net = self.d_max() - self.d_min;
        [0.04, 0.60, 0.9 * net].map(|above| self.log_exposure_at(self.d_min + above))
    }

    /// Greatest slope on [low, high].
    pub fn gamma(&self, low: f64, high: f64) -> f64 {
        steepest(low, high, |x| (self.density(x + 1e-4) - self.density(x - 1e-4)) / 2e-4)
    }

    pub fn range_r(&self) -> f64 {
        let [highlight, _, shadow] = self.points();
        100.0 * (shadow - highlight)
    }

    pub fn speed_p(&self) -> f64 {
        1000.0 / 10_f64.powf(self.points()[1])
    }
}
