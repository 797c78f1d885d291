//! What becomes of a scene in the print: contrast, and what is lost at its ends.

use super::camera::STOP;
use super::chain::{Chain, Tone};

/// Distance of the tones that are looked at, in log luminance: a sixth of a stop.
const APART: f64 = STOP / 6.0;
/// A tone whose separation in the print has fallen to less than this share of the average is lost.
///
/// # Source
/// The fraction of L. A. Jones and H. R. Condit's criterion for the film's toe (1941), here taken for
/// the whole way to the print: our choice.
const FRACTION: f64 = 0.3;

/// Why tones are lost at one end of the scene.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cause {
    /// They print beyond the paper's shadow point.
    Black,
    /// They print below the paper's highlight point.
    White,
    /// They print between them, but hardly apart from one another: the film's toe or shoulder, or flare.
    Flat,
}

/// Tones that are lost at one end of the scene.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lost {
    /// From this luminance on, log10 relative to the metered tone.
    pub from: f64,
    /// How many stops of the scene that is.
    pub stops: f64,
    /// Why.
    pub cause: Cause,
}

/// What becomes of a scene in the print.
#[derive(Clone, Debug, PartialEq)]
pub struct Reproduction {
    /// Tones from the darkest to the brightest, a sixth of a stop apart or closer.
    pub tones: Vec<Tone>,
    /// Density that the print falls by for each unit of log luminance, between the first tone and the
    /// last that are not lost; 1 is the scene's own contrast. NaN where all is lost.
    pub gradient: f64,
    /// The same at the metered tone.
    pub middle_gradient: f64,
    /// What is lost of the shadows.
    pub shadows: Option<Lost>,
    /// What is lost of the highlights.
    pub highlights: Option<Lost>,
}

impl Reproduction {
    pub(super) fn of(chain: &Chain<'_>) -> Self {
        let (dark, bright) = (chain.camera().darkest(), chain.camera().brightest());
        let pieces = ((bright - dark) / APART).ceil().max(8.0) as usize;
        let step = (bright - dark) / pieces as f64;
        let tones: Vec<Tone> = (0..=pieces)
            .map(|k| chain.tone(dark + step * k as f64))
            .collect();
        let (white, black) = chain.limits();
        let printed = |t: &Tone| (white..=black).contains(&t.print);
        let whole = span(&tones, printed);
        let chord = whole.map_or(f64::NAN, |(a, b)| gradient(&tones[a], &tones[b]));
        // Separation of each tone from its neighbours.
        let apart = |k: usize| gradient(&tones[k.saturating_sub(1)], &tones[(k + 1).min(pieces)]);
        let alive: Vec<bool> = (0..=pieces)
            .map(|k| printed(&tones[k]) && !(apart(k) < FRACTION * chord))
            .collect();
        let first = alive.iter().position(|a| *a);
        let last = alive.iter().rposition(|a| *a);
        let (Some(first), Some(last)) = (first, last) else {
            return Self::all_lost(tones, (dark, bright), chain.limits());
        };
        let end = |k: usize, beyond: Option<usize>, limit: f64, cause: Cause| {
            let Some(outer) = beyond else {
                return None;
            };
            let (inner, outer) = (&tones[k], &tones[outer]);
            // Where the print passes its limit between the two; else the tones lie too close.
            let past = (outer.print - limit) * (inner.print - limit) < 0.0;
            let share = if past {
                (inner.print - limit) / (inner.print - outer.print)
            } else {
                0.5
            };
            let from = inner.luminance + share * (outer.luminance - inner.luminance);
            Some((from, if past { cause } else { Cause::Flat }))
        };
        let lost = |found: Option<(f64, Cause)>, edge: f64| {
            found.map(|(from, cause)| Lost {
                from,
                stops: (edge - from).abs() / STOP,
                cause,
            })
        };
        let shadows = end(first, first.checked_sub(1), black, Cause::Black);
        let highlights = end(
            last,
            Some(last + 1).filter(|k| *k <= pieces),
            white,
            Cause::White,
        );
        Self {
            gradient: gradient(&tones[first], &tones[last]),
            middle_gradient: gradient(&chain.tone(-0.05), &chain.tone(0.05)),
            shadows: lost(shadows, dark),
            highlights: lost(highlights, bright),
            tones,
        }
    }

    fn all_lost(tones: Vec<Tone>, (dark, bright): (f64, f64), (_, black): (f64, f64)) -> Self {
        let stops = (bright - dark) / STOP;
        let is_black = tones[tones.len() / 2].print > black;
        let lost = |from: f64, cause| Some(Lost { from, stops, cause });
        Self {
            gradient: f64::NAN,
            middle_gradient: f64::NAN,
            shadows: is_black.then(|| lost(bright, Cause::Black)).flatten(),
            highlights: (!is_black).then(|| lost(dark, Cause::White)).flatten(),
            tones,
        }
    }

    /// Stops of the scene that are lost at both ends.
    #[must_use]
    pub fn lost_stops(&self) -> f64 {
        [self.shadows, self.highlights]
            .iter()
            .flatten()
            .map(|l| l.stops)
            .sum()
    }
}

/// First and last tone that are as wanted, where they are not one and the same.
fn span(tones: &[Tone], wanted: impl Fn(&Tone) -> bool) -> Option<(usize, usize)> {
    let first = tones.iter().position(&wanted)?;
    let last = tones.iter().rposition(&wanted)?;
    (first < last).then_some((first, last))
}

/// Density that the print falls by for each unit of log luminance.
fn gradient(dark: &Tone, bright: &Tone) -> f64 {
    (dark.print - bright.print) / (bright.luminance - dark.luminance)
}
