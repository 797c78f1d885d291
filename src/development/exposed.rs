//! Film that was exposed at another index than that of its development: what the shadows lose, and what is
//! left of the scene for the print.

use super::adjust::{Wanted, reach};
use super::aim::Printing;
use super::pairing::{Measure, Pairing};
use crate::elementary::log2;
use crate::measures::Quantity;
use crate::numerics::search::root;
use crate::units::{ExposureIndex, STOP};
use crate::words::{number, rounded_clock, speed_decimals, trimmed};
use std::fmt;

/// Less than this many stops cannot be seen in a shadow (common practice, no source).
const LEAST_LOSS: f64 = 0.15;

/// Film exposed at an index, developed to an index.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Exposed {
    /// What the meter was set to.
    pub index: ExposureIndex,
    /// Exposure index of the development.
    pub developed: Quantity,
    /// Stops of exposure that the film lacks: log2 of the one over the other. Negative where it has more
    /// exposure than it needs.
    pub short: Quantity,
}

/// A scene that cannot be developed for: what the longest development within reach gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Longest {
    /// Minutes in the bath.
    pub minutes: f64,
    /// Contrast of that development.
    pub contrast: f64,
    /// Stops that the shadows lose all the same.
    pub lost: f64,
    /// Stops that are left of the scene.
    pub left: f64,
    /// Range R of the paper that these need; `None` where nothing is left.
    pub range_r: Option<f64>,
}

impl Exposed {
    /// Stops that the shadows lose.
    #[must_use]
    pub fn lost(&self) -> Quantity {
        let Quantity { value, low, high } = self.short;
        Quantity { value: value.max(0.0), low: low.max(0.0), high: high.max(0.0) }
    }
}

impl fmt::Display for Exposed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Quantity { value, low, high } = self.short;
        let index = trimmed(self.index.get(), 2);
        let own = number(self.developed.value, speed_decimals(self.developed.value));
        if value > LEAST_LOSS {
            write!(
                f,
                "exposed at {index} and developed to an exposure index of {own}: the darkest {value:.1} stops ({:.1} to {high:.1}) of the scene have no detail, and no development brings it back",
                low.max(0.0)
            )
        } else if value < -LEAST_LOSS {
            write!(
                f,
                "exposed at {index} and developed to an exposure index of {own}: nothing is lost in the shadows; the film has {:.1} stops more exposure than it needs, so the negative is denser and takes longer to print",
                -value
            )
        } else {
            write!(
                f,
                "exposed at {index}, close to the exposure index {own} of this development: nothing is lost that can be seen"
            )
        }
    }
}

impl fmt::Display for Longest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "the longest development within reach, {}, gives {} and loses the darkest {:.1} stops of the scene",
            rounded_clock(self.minutes),
            number(self.contrast, 2),
            self.lost
        )?;
        match self.range_r {
            Some(range) => write!(
                f,
                "; the {:.1} stops that are left need a paper of range R {range:.0}",
                self.left
            ),
            None => f.write_str("; nothing that prints is left of it"),
        }
    }
}

impl Pairing {
    /// Film that was exposed at `index` and has `theta` effective minutes; `None` where exposures are
    /// relative or the strips show no speed point.
    #[must_use]
    pub fn exposed(&self, index: ExposureIndex, theta: f64) -> Option<Exposed> {
        let developed = self.exposure_index(theta)?;
        let short = |own: f64| log2(index.get() / own);
        let short = Quantity {
            value: short(developed.value),
            low: short(developed.high),
            high: short(developed.low),
        };
        Some(Exposed { index, developed, short })
    }

    /// Stops of a scene that have detail when film is exposed at `index` and developed so that these fit the
    /// paper: the s for which
    ///
    /// ```text
    /// s = S − max(0, log2(index/EI(θ(G(s)))))
    /// ```
    ///
    /// S being the scene, G the contrast that [`Printing::contrast`] gives for s, θ the development to it
    /// and EI its exposure index. The right side falls when s rises, so that there is one solution. It is
    /// looked for from 1 stop; θ goes no farther than [`reach`] times the longest of the strips.
    ///
    /// `None` where exposures are relative.
    #[must_use]
    pub fn left_of_scene(
        &self,
        stops: f64,
        index: ExposureIndex,
        measure: Measure,
        printing: &Printing,
        extrapolate: bool,
    ) -> Option<f64> {
        let growth = self.growth(measure)?;
        let longest = growth.range().1 * reach(extrapolate);
        let too_long = |s: f64| {
            let contrast = printing.contrast(s);
            let theta = contrast.and_then(|c| growth.effective_minutes(c)).unwrap_or(longest);
            let short = self.exposed(index, theta.min(longest))?.short.value;
            Some(s - (stops - short.max(0.0)))
        };
        if too_long(stops)? <= 0.0 {
            return Some(stops);
        }
        let least = 1.0_f64.min(stops);
        Some(root(|s| too_long(s).unwrap_or(f64::NAN), least, stops).unwrap_or(least))
    }

    /// What the longest development within reach gives of a scene of `stops`.
    #[must_use]
    pub fn longest(
        &self,
        stops: f64,
        index: ExposureIndex,
        wanted: &Wanted,
        printing: &Printing,
    ) -> Option<Longest> {
        let growth = self.growth(wanted.measure)?;
        let theta = growth.range().1 * reach(wanted.extrapolate);
        let minutes = theta / (growth.rate(wanted.celsius) * wanted.activity);
        let contrast = growth.value(theta);
        let lost = self.exposed(index, theta)?.lost().value;
        let left = stops - lost;
        let range = STOP * left - printing.flare_at(left);
        let range_r =
            (left > 1.0 && range > 0.05).then_some(100.0 * range * printing.factor() * contrast);
        Some(Longest { minutes, contrast, lost, left, range_r })
    }
}
