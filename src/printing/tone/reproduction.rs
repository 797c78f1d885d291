//! What becomes of a scene in the print: contrast, and what is lost at its ends.

use super::chain::{Chain, Tone};
use crate::units::STOP;

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
    /// They print between them, but hardly apart from one another, and this is where most of their
    /// separation is lost.
    Flat(Link),
}

/// A link of the chain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Link {
    /// The camera: flare veils the shadows.
    Flare,
    /// The film: its toe or its shoulder.
    Film,
    /// The paper: the flat ends of its curve.
    Paper,
}

/// The link that gives the tones at `outer` the smallest share of the slope that it gives the scene
/// as a whole, from `first` to `last`.
fn weakest(tones: &[Tone], outer: usize, (first, last): (usize, usize)) -> Link {
    let slopes = |a: &Tone, b: &Tone| {
        let film = (b.negative - a.negative) / (b.film_exposure - a.film_exposure);
        let paper = (b.print - a.print) / (b.paper_exposure - a.paper_exposure);
        let camera = (b.film_exposure - a.film_exposure) / (b.luminance - a.luminance);
        [camera, film, paper]
    };
    let near = &tones[outer.saturating_sub(1)];
    let here = slopes(near, &tones[(outer + 1).min(tones.len() - 1)]);
    let whole = slopes(&tones[first], &tones[last]);
    let links = [Link::Flare, Link::Film, Link::Paper];
    let shares = here.iter().zip(whole).map(|(h, w)| h / w);
    shares.zip(links).min_by(|a, b| a.0.total_cmp(&b.0)).map_or(Link::Film, |(_, link)| link)
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
        let tones: Vec<Tone> = (0..=pieces).map(|k| chain.tone(dark + step * k as f64)).collect();
        let (white, black) = chain.limits();
        let printed = |t: &Tone| (white..=black).contains(&t.print);
        let whole = span(&tones, printed);
        let chord = whole.map_or(f64::NAN, |(a, b)| gradient(&tones[a], &tones[b]));
        // Separation of each tone from its neighbours.
        let apart = |k: usize| gradient(&tones[k.saturating_sub(1)], &tones[(k + 1).min(pieces)]);
        let alive: Vec<bool> =
            (0..=pieces).map(|k| printed(&tones[k]) && !(apart(k) < FRACTION * chord)).collect();
        let first = alive.iter().position(|a| *a);
        let last = alive.iter().rposition(|a| *a);
        let (Some(first), Some(last)) = (first, last) else {
            return Self::all_lost(tones, (dark, bright), chain.limits());
        };
        let end = |k: usize, outer: Option<usize>, limit: f64, cause: Cause| {
            let outer = outer?;
            let (inner, beyond) = (&tones[k], &tones[outer]);
            // Where the print passes its limit between the two; else the tones lie too close.
            let past = (beyond.print - limit) * (inner.print - limit) < 0.0;
            let (share, cause) = if past {
                ((inner.print - limit) / (inner.print - beyond.print), cause)
            } else {
                (0.5, Cause::Flat(weakest(&tones, outer, (first, last))))
            };
            let from = inner.luminance + share * (beyond.luminance - inner.luminance);
            Some((from, cause))
        };
        let lost = |found: Option<(f64, Cause)>, edge: f64| {
            found.map(|(from, cause)| Lost { from, stops: (edge - from).abs() / STOP, cause })
        };
        let shadows = end(first, first.checked_sub(1), black, Cause::Black);
        let highlights = end(last, Some(last + 1).filter(|k| *k <= pieces), white, Cause::White);
        let kept = |found: Option<(f64, Cause)>, k: usize| {
            found.map_or(tones[k], |(from, _)| chain.tone(from))
        };
        Self {
            gradient: gradient(&kept(shadows, first), &kept(highlights, last)),
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
        [self.shadows, self.highlights].iter().flatten().fold(0.0, |sum, l| sum + l.stops)
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
