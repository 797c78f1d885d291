//! A test strip: paper exposed through the clear film for several times.

use super::ShortestBlack;
use super::black::Estimator;
use crate::elementary::{antilog, log10};
use crate::measures::Quantity;
use crate::numerics::chance::NORMAL_95;
use crate::printing::why::NoBlack;

/// One exposure of a test strip; typed as 8=1.77.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Exposure {
    /// Time in **seconds**.
    pub seconds: f64,
    /// Reflection density read there.
    pub density: f64,
}

/// Density of the unexposed paper, which a tenth of the shadow point depends on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct White {
    /// The density.
    pub density: f64,
    /// Its standard uncertainty.
    pub sigma: f64,
    /// Whether nobody read it.
    pub assumed: bool,
}

impl White {
    /// What is taken where nobody read it: 0.06 ± 0.03 (assumed; common practice, no source).
    pub const ASSUMED: Self = Self { density: 0.06, sigma: 0.03, assumed: true };

    /// Density of unexposed paper that was read, ± `sigma`.
    #[must_use]
    pub const fn read(density: f64, sigma: f64) -> Self {
        Self { density, sigma, assumed: false }
    }
}

/// Fewest different times.
const FEWEST: usize = 3;
/// A density that falls by more than this many standard uncertainties of a difference is a slip.
const SLIP: f64 = 4.0;
/// Least rise that is a print.
const LEAST_RISE: f64 = 0.30;

/// A test strip of rising times.
#[derive(Clone, Debug, PartialEq)]
pub struct TestStrip {
    /// log10 of each different time, its mean density, and that one's standard uncertainty.
    points: Vec<(f64, f64, f64)>,
    white: White,
}

/// Why exposures make no test strip; `at` counts them from 0.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum StripError {
    /// A time that is none.
    #[error("{seconds} is not an exposure time; write seconds above 0")]
    Time {
        /// Which exposure.
        at: usize,
        /// Its time.
        seconds: f64,
    },
    /// Times out of order.
    #[error("times must rise, and {seconds} s does not come after {before} s")]
    Order {
        /// Which exposure.
        at: usize,
        /// Its time.
        seconds: f64,
        /// The time before it.
        before: f64,
    },
    /// A density that falls.
    #[error(
        "the density falls to {density:.2} at {seconds} s from {before:.2} before, and a print only darkens: check that reading"
    )]
    Falls {
        /// Which exposure.
        at: usize,
        /// Its time.
        seconds: f64,
        /// Its density.
        density: f64,
        /// The highest density before it.
        before: f64,
    },
    /// Too few of them.
    #[error("{found} different times, and {FEWEST} are needed to see where black begins")]
    TooFew {
        /// How many there are.
        found: usize,
    },
    /// No image.
    #[error("the densities rise by only {rise:.2}: give shorter exposures as well")]
    Flat {
        /// Highest minus lowest density.
        rise: f64,
    },
}

impl StripError {
    /// Which exposure is at fault, where one is.
    #[must_use]
    pub const fn at(&self) -> Option<usize> {
        match self {
            Self::Time { at, .. } | Self::Order { at, .. } | Self::Falls { at, .. } => Some(*at),
            Self::TooFew { .. } | Self::Flat { .. } => None,
        }
    }

    const fn at_mut(&mut self) -> Option<&mut usize> {
        match self {
            Self::Time { at, .. } | Self::Order { at, .. } | Self::Falls { at, .. } => Some(at),
            Self::TooFew { .. } | Self::Flat { .. } => None,
        }
    }
}

impl TestStrip {
    /// A strip of `exposures` in the order of their times; equal times are repeats. `sigma` is the
    /// standard uncertainty of one density.
    ///
    /// # Errors
    /// [`StripError`]: the first fault.
    pub fn new(exposures: &[Exposure], white: White, sigma: f64) -> Result<Self, StripError> {
        let (mut before, mut highest) = (0.0_f64, f64::NEG_INFINITY);
        for (at, e) in exposures.iter().enumerate() {
            if !(e.seconds > 0.0 && e.seconds.is_finite()) {
                let seconds = e.seconds;
                return Err(StripError::Time { at, seconds });
            }
            if e.seconds < before {
                return Err(StripError::Order { at, seconds: e.seconds, before });
            }
            if e.density < highest - SLIP * sigma * std::f64::consts::SQRT_2 {
                return Err(StripError::Falls {
                    at,
                    seconds: e.seconds,
                    density: e.density,
                    before: highest,
                });
            }
            before = e.seconds;
            highest = highest.max(e.density);
        }
        let points: Vec<(f64, f64, f64)> = exposures
            .chunk_by(|a, b| a.seconds == b.seconds)
            .map(|same| {
                let n = same.len() as f64;
                let mean = same.iter().map(|e| e.density).sum::<f64>() / n;
                (log10(same[0].seconds), mean, sigma / n.sqrt())
            })
            .collect();
        if points.len() < FEWEST {
            return Err(StripError::TooFew { found: points.len() });
        }
        let lowest = points.iter().map(|p| p.1).fold(f64::INFINITY, f64::min);
        let rise = highest - lowest;
        if !(rise >= LEAST_RISE) {
            return Err(StripError::Flat { rise });
        }
        Ok(Self { points, white })
    }

    /// A strip from all that was read of it, the unexposed paper (0 s) among it. The paper's white is
    /// `white` where it is given, else what was read, else [`White::ASSUMED`]. The exposures of the
    /// strip come with it.
    ///
    /// # Errors
    /// [`StripError`]: the first fault.
    pub fn of_readings(
        readings: &[Exposure],
        white: Option<f64>,
        sigma: f64,
    ) -> Result<(Self, Vec<Exposure>), StripError> {
        let (unexposed, exposed): (Vec<usize>, Vec<usize>) =
            (0..readings.len()).partition(|at| readings[*at].seconds == 0.0);
        let white = match (white, unexposed.len()) {
            (Some(density), _) => White::read(density, sigma),
            (None, 0) => White::ASSUMED,
            (None, n) => {
                let n = n as f64;
                let sum: f64 = unexposed.iter().map(|at| readings[*at].density).sum();
                White::read(sum / n, sigma / n.sqrt())
            }
        };
        let exposures: Vec<Exposure> = exposed.iter().map(|at| readings[*at]).collect();
        match Self::new(&exposures, white, sigma) {
            Ok(strip) => Ok((strip, exposures)),
            Err(mut error) => {
                if let Some(at) = error.at_mut() {
                    *at = exposed[*at];
                }
                Err(error)
            }
        }
    }

    /// What was taken for the paper's white.
    #[must_use]
    pub const fn white(&self) -> White {
        self.white
    }

    /// log10 of each different time with the mean density there.
    pub fn points(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.points.iter().map(|p| (p.0, p.1))
    }

    /// The strip's density against log10 of seconds, between its readings.
    #[must_use]
    pub fn density(&self, log_seconds: f64) -> f64 {
        self.estimator().density(log_seconds)
    }

    fn estimator(&self) -> Estimator {
        let of = |f: fn(&(f64, f64, f64)) -> f64| self.points.iter().map(f).collect();
        Estimator {
            x: of(|p| p.0),
            density: of(|p| p.1),
            sigma: of(|p| p.2),
            white: self.white.density,
        }
    }

    /// The shortest time that gives the shadow point.
    ///
    /// The density is interpolated over log time by a monotone cubic; black is where the last
    /// readings level off. The interval is from the readings' uncertainty, that of the paper's
    /// white, and half of what the cubic differs from straight lines.
    ///
    /// # Errors
    /// The reason why the strip does not show it.
    pub fn shortest_black(&self) -> Result<ShortestBlack, NoBlack> {
        let best = self.estimator();
        let found = best.solve()?;
        // Each reading moved by its standard uncertainty, up and down: half the difference is its share.
        let share = |moved: &dyn Fn(f64) -> Estimator| {
            let at = |sign: f64| moved(sign).solve().ok();
            match (at(1.0), at(-1.0)) {
                (Some(up), Some(down)) => (0.5 * (up.x - down.x), 0.5 * (up.d_max - down.d_max)),
                (Some(one), None) | (None, Some(one)) => (one.x - found.x, one.d_max - found.d_max),
                (None, None) => (0.0, 0.0),
            }
        };
        let mut shares: Vec<(f64, f64)> = (0..self.points.len())
            .map(|k| {
                share(&|sign| {
                    let mut moved = best.clone();
                    moved.density[k] += sign * moved.sigma[k];
                    moved
                })
            })
            .collect();
        shares.push(share(&|sign| Estimator {
            white: best.white + sign * self.white.sigma,
            ..best.clone()
        }));
        let spread = |f: fn(&(f64, f64)) -> f64| shares.iter().map(|s| f(s).powi(2)).sum::<f64>();
        let x_sd = (spread(|s| s.0) + found.shape_sd.powi(2) + found.rest_sd.powi(2)).sqrt();
        let d_sd = (spread(|s| s.1) + found.d_max_rest_sd.powi(2)).sqrt();
        Ok(ShortestBlack {
            seconds: Quantity {
                value: antilog(found.x),
                low: antilog(found.x - NORMAL_95 * x_sd),
                high: antilog(found.x + NORMAL_95 * x_sd),
            },
            density: found.target,
            d_max: Quantity {
                value: found.d_max,
                low: found.d_max - NORMAL_95 * d_sd,
                high: found.d_max + NORMAL_95 * d_sd,
            },
        })
    }
}
