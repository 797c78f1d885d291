//! A whole reading: areas found, light measured, calibrated, densities stated.

use super::Image;
use super::layout::{Layout, StripPlace};
use super::note::PictureNote;
use super::openings::openings;
use super::patch::{Patch, median};
use super::photometry::{Calibration, Found, Known, Seen, SetUp, Shared, Stated, ToneEffect};
use super::place::Quad;
use super::refusal::{NotRead, Which};
use super::steps::{Comb, INNER};
use crate::elementary::{hypot, ln};

/// Distance of a step in **mm** where none is stated, for the place of the local black: assumed.
pub const STEP_MM: f64 = 5.0;
/// Where the local black is taken, in **mm** beside a step.
const BESIDE: (f64, f64) = (2.0, 3.5);
/// A mask is darker than this share of the brightest step.
const MASK: f64 = 0.1;
/// A side's black that is so many times that of the other side is not of the mask alone.
const OTHER: f64 = 1.5;
/// Uncertainty of a local black, as a share of it and of the difference of both sides: assumed. In rendered pictures the
/// glare on a dense step was within 0.02 to 0.04 of the mean of its sides, which differed by 0.3, and within 0.04 to 0.10
/// where they differed by 0.6.
const BLACK_SHARE: f64 = 0.01;
const BLACK_SIDES: f64 = 0.15;
/// The difference of the sides where only one is seen, as a share of its black: assumed.
const ONE_SIDE: f64 = 0.33;
/// What dust leaves of its error after the outliers are taken out, as a share of the pixels that were left out: assumed
/// (0.01 in rendered pictures).
const DUST_LEFT: f64 = 0.02;
/// Faint dust that noise hides, as a share of the scatter of the pixels: assumed (0.01 in rendered pictures, whose mean
/// of dense steps came out that much too dark).
const HIDDEN: f64 = 0.02;
/// A share of clipped pixels that is no dust.
const CLIPPED: f64 = 0.002;
/// A share of the tablet's steps that may be clipped.
const MOST_CLIPPED: f64 = 0.25;
/// Light that is left out in a step, as dust, from which it is noted.
const DUSTY: f64 = 0.03;
/// A flat frame whose darkest step has less than this share of its brightest is uneven.
const UNEVEN: f64 = 0.6;

/// The frames of one set-up, in linear light.
#[derive(Clone, Copy, Debug)]
pub struct Frames<'a> {
    /// Tablet and strip.
    pub picture: &'a Image,
    /// The light box without them, best with the mask in its place.
    pub flat: Option<&'a Image>,
    /// The same with the lens covered.
    pub dark: Option<&'a Image>,
}

impl Frames<'_> {
    /// Width and height of all frames.
    ///
    /// # Errors
    /// [`NotRead::OtherSize`] where they differ.
    pub fn size(&self) -> Result<(usize, usize), NotRead> {
        let size = |image: &Image| (image.width, image.height);
        let own = size(self.picture);
        for (other, which) in [(self.flat, "flat"), (self.dark, "dark")] {
            if let Some(other) = other.filter(|other| size(other) != own) {
                return Err(NotRead::OtherSize { which, found: size(other), picture: own });
            }
        }
        Ok(own)
    }
}

/// What is known before.
#[derive(Clone, Debug)]
pub struct Asked<'a> {
    /// The tablet's steps, in the order of its file.
    pub tablet: &'a [Known],
    /// Where they lie, if that is given.
    pub layout: Option<&'a Layout>,
    /// Length of a step in **mm**, if it is stated.
    pub step_mm: Option<f64>,
}

/// A step of the strip.
#[derive(Clone, Debug, PartialEq)]
pub struct StripStep {
    /// The tablet's step that it was exposed through, from 0.
    pub step: usize,
    /// Its area.
    pub area: Quad,
    /// Its density.
    pub stated: Stated,
}

/// What a picture gave.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// Where all lies, to be kept for the next picture.
    pub layout: Layout,
    /// The calibration.
    pub calibration: Calibration,
    /// The strip's steps in the order of the tablet's.
    pub steps: Vec<StripStep>,
    /// The patch of unexposed film, where the layout names one.
    pub unexposed: Option<(Quad, Stated)>,
    /// What their errors have in common.
    pub shared: Shared,
    /// What the tone curve that fits the tablet best would do to these densities; absent where it cannot be tested.
    pub tone: Option<ToneEffect>,
    /// What was noticed.
    pub notes: Vec<PictureNote>,
}

impl Reading {
    /// Reads a strip by a tablet.
    ///
    /// # Errors
    /// [`NotRead`].
    pub fn of(frames: &Frames<'_>, asked: &Asked<'_>) -> Result<Self, NotRead> {
        let own = frames.size()?;
        if let Some(layout) = asked.layout {
            layout.fits(own, asked.tablet.len())?;
            return Attempt { frames, asked, layout }.read();
        }
        let flat = frames.flat.ok_or(NotRead::NoLayout)?;
        let found = openings(flat).map_err(NotRead::Openings)?;
        // Which opening has the tablet shows in its light: the other one does not follow its file.
        let layouts = [(0, 1), (1, 0)].map(|(tablet, strip)| {
            Layout::of_areas(own, asked.step_mm, found[tablet], found[strip])
        });
        let [first, second] =
            layouts.map(|layout| Attempt { frames, asked, layout: &layout }.read());
        match (first, second) {
            (Ok(a), Ok(b)) => Ok(if a.calibration.chi <= b.calibration.chi { a } else { b }),
            (Ok(one), Err(_)) | (Err(_), Ok(one)) => Ok(one),
            (Err(a), Err(b)) => Err(if a.misfit() <= b.misfit() { a } else { b }),
        }
    }
}

impl Reading {
    /// Reads the same places in other frames of the same set-up: another channel.
    ///
    /// # Errors
    /// [`NotRead`].
    pub fn again(&self, frames: &Frames<'_>, tablet: &[Known]) -> Result<Self, NotRead> {
        let layout = Some(&self.layout);
        Self::of(frames, &Asked { tablet, layout, step_mm: self.layout.step_mm })
    }
}

/// One way in which the picture may be understood.
struct Attempt<'a> {
    frames: &'a Frames<'a>,
    asked: &'a Asked<'a>,
    layout: &'a Layout,
}

/// A step as it is seen, before it is known whether there is a mask.
struct Look {
    light: Patch,
    /// Light of the flat frame and its relative error.
    flat: (f64, f64),
    /// Black beside it and its error.
    black: Option<(f64, f64)>,
}

impl Attempt<'_> {
    fn read(&self) -> Result<Reading, NotRead> {
        let mut notes = Vec::new();
        let known = self.asked.tablet;
        let (tablet_comb, mut tablet) = self.tablet_boxes(known.len())?;
        let (first, mut strip) = self.strip_boxes(tablet_comb.as_ref())?;
        let densities: Vec<f64> = known.iter().map(|k| k.density).collect();
        let step_mm = self.layout.step_mm.or(self.asked.step_mm);
        let mm = step_mm.unwrap_or_else(|| {
            notes.push(PictureNote::AssumedStep(STEP_MM));
            STEP_MM
        });
        let mut looks = self.looks(Which::Tablet, &tablet, per_mm(&tablet, mm))?;
        if self.runs(&looks, &densities) > 0.0 {
            tablet.reverse();
            looks.reverse();
            notes.push(PictureNote::Turned(Which::Tablet));
        }
        let part = densities
            .get(first..first + strip.len())
            .ok_or(NotRead::MoreSteps { strip: first + strip.len(), tablet: known.len() })?;
        let mut of_strip = self.looks(Which::Strip, &strip, per_mm(&strip, mm))?;
        // Where the tablet is dense, the strip had little light and is thin.
        if self.runs(&of_strip, part) < 0.0 {
            strip.reverse();
            of_strip.reverse();
            notes.push(PictureNote::Turned(Which::Strip));
        }
        // Which way round a layout has them matters only where a person gave it.
        if self.asked.layout.is_none() {
            notes.retain(|note| !matches!(note, PictureNote::Turned(_)));
        }
        let set_up =
            SetUp { mask: self.has_mask(&looks, &of_strip), flat: self.frames.flat.is_some() };
        notes.extend((!set_up.mask).then_some(PictureNote::NoMask));
        notes.extend((!set_up.flat).then_some(PictureNote::NoFlat));
        notes.extend(self.frames.dark.is_none().then_some(PictureNote::NoDark));
        let calibration = self.calibrated(&looks, set_up, &mut notes)?;
        let clipped = of_strip.iter().filter(|look| look.light.clipped > CLIPPED).count();
        if clipped > 0 {
            return Err(NotRead::Clipped { which: Which::Strip, steps: clipped });
        }
        self.note_light(&looks, &of_strip, first, &mut notes);
        let mut stated: Vec<Stated> =
            of_strip.iter().map(|look| calibration.density(&look.seen(set_up))).collect();
        let patch = match self.layout.strip.unexposed {
            Some(corners) => {
                let quad = Quad(corners);
                let looks = self.looks(Which::Strip, &[quad], per_mm(&strip, mm))?;
                if looks.iter().any(|look| look.light.clipped > CLIPPED) {
                    return Err(NotRead::Clipped { which: Which::Strip, steps: 1 });
                }
                looks.first().map(|look| (quad, calibration.density(&look.seen(set_up))))
            }
            None => None,
        };
        stated.extend(patch.map(|(_, stated)| stated));
        let mut found: Vec<Found> = stated.iter().filter_map(|s| s.found().copied()).collect();
        if found.len() < 2 {
            return Err(NotRead::NoDensities);
        }
        let mut shared = Shared::parted(&calibration, &mut found);
        let determined = of_strip.iter().zip(&stated);
        let lights: Vec<(f64, Seen)> = determined
            .filter_map(|(look, stated)| Some((stated.found()?.density, look.seen(set_up))))
            .collect();
        let effect = calibration.tone.as_ref().map(|tone| tone.effect(&calibration, &lights));
        if let Some((tone, effect)) = calibration.tone.as_ref().zip(effect) {
            let ToneEffect { contrast, contrast_sd, offset } = effect;
            if tone.is_seen() {
                let chi = calibration.chi;
                return Err(NotRead::ToneCurve { gain: tone.gain, contrast, contrast_sd, chi });
            }
            if tone.is_possible() {
                notes.push(PictureNote::ToneCurve { gain: tone.gain, contrast, contrast_sd });
                shared.slope = hypot(shared.slope, contrast);
                shared.offset = hypot(shared.offset, offset);
            }
        }
        let mut parted = found.into_iter();
        for stated in stated.iter_mut().filter(|stated| stated.found().is_some()) {
            if let Some(found) = parted.next() {
                *stated = Stated::Density(found);
            }
        }
        let unexposed = patch.and_then(|(quad, _)| Some((quad, stated.pop()?)));
        let areas = strip.iter().enumerate();
        let steps: Vec<StripStep> = areas
            .zip(stated)
            .map(|((k, area), stated)| StripStep { step: first + k, area: *area, stated })
            .collect();
        let layout = Layout { step_mm, ..self.layout.with_boxes(tablet, first, strip) };
        Ok(Reading { layout, calibration, steps, unexposed, shared, tone: effect, notes })
    }

    fn tablet_boxes(&self, steps: usize) -> Result<(Option<Comb>, Vec<Quad>), NotRead> {
        if let Some(boxes) = &self.layout.tablet.boxes {
            return Ok((None, boxes.clone()));
        }
        let area = self.layout.tablet.area()?;
        let comb = Comb::found(self.frames.picture, &area, steps, None)
            .map_err(|why| NotRead::Steps { which: Which::Tablet, why })?;
        Ok((Some(comb), comb.boxes(&area)))
    }

    /// The tablet's step at the beginning of the strip, from 0, and the strip's boxes.
    fn strip_boxes(&self, tablet: Option<&Comb>) -> Result<(usize, Vec<Quad>), NotRead> {
        let place: &StripPlace = &self.layout.strip;
        let first = place.first_step.unwrap_or(1) - 1;
        if let Some(boxes) = &place.boxes {
            return Ok((first, boxes.clone()));
        }
        let known = self.asked.tablet.len();
        let steps = place.steps.unwrap_or(known);
        if steps > known {
            return Err(NotRead::MoreSteps { strip: steps, tablet: known });
        }
        if !place.ends_in_view && place.anchor.is_none() {
            return Err(NotRead::NoAnchor);
        }
        let area = place.area()?;
        // Both were on one piece of light: their steps have the same length where both have all steps.
        let beside = tablet.filter(|_| steps == known);
        let scaled = beside.map(|comb| {
            let ratio = self.layout.tablet.area().map_or(1.0, |t| t.length() / area.length());
            Comb { pitch: comb.pitch * ratio, ..*comb }
        });
        let comb = Comb::found(self.frames.picture, &area, steps, scaled.as_ref())
            .map_err(|why| NotRead::Steps { which: Which::Strip, why })?;
        let boxes = comb.boxes(&area);
        let Some(anchor) = &place.anchor else { return Ok((first, boxes)) };
        let at = boxes.iter().position(|area| area.contains(anchor.point()));
        let at = at.ok_or(NotRead::AnchorOutside)?;
        match (anchor.step - 1).checked_sub(at) {
            Some(first) if first + steps <= known => Ok((first, boxes)),
            _ => Err(NotRead::MoreSteps { strip: anchor.step + steps - at - 1, tablet: known }),
        }
    }

    fn looks(
        &self,
        which: Which,
        boxes: &[Quad],
        pixels_per_mm: f64,
    ) -> Result<Vec<Look>, NotRead> {
        let (inner, outer) = (0.5 - 0.5 * INNER, 0.5 + 0.5 * INNER);
        let whole = (inner, outer);
        let Frames { picture, flat, dark } = *self.frames;
        boxes
            .iter()
            .enumerate()
            .map(|(k, area)| {
                let outside = || NotRead::Outside { which, step: k + 1 };
                let part = area.part(whole, whole);
                let light = Patch::of(picture, dark, &part).ok_or_else(outside)?;
                let share = |mm: f64| mm * pixels_per_mm / area.breadth();
                let (near, far) = (share(BESIDE.0), share(BESIDE.1));
                let sides =
                    [(-far, -near), (1.0 + near, 1.0 + far)].map(|side| area.part(whole, side));
                let beside = |image: &Image| {
                    let seen = sides
                        .iter()
                        .filter(|side| side.is_within(image.width, image.height))
                        .filter_map(|side| Patch::of(image, dark, side));
                    black(&seen.collect::<Vec<_>>())
                };
                let flat = match flat {
                    None => (1.0, 0.0),
                    Some(flat) => {
                        let patch = Patch::of(flat, dark, &part).ok_or_else(outside)?;
                        if patch.clipped > CLIPPED {
                            return Err(NotRead::ClippedFlat);
                        }
                        // Through the mask the flat frame has its own glare.
                        let glare = beside(flat).filter(|(black, _)| *black < MASK * patch.mean);
                        let net = patch.mean - glare.map_or(0.0, |(black, _)| black);
                        if !(net > 10.0 * patch.error) {
                            return Err(NotRead::DarkFlat);
                        }
                        (net, patch.error / net)
                    }
                };
                Ok(Look { light, flat, black: beside(picture) })
            })
            .collect()
    }

    /// How light runs with density: the covariance of their ranks' signs, above 0 where both rise together.
    fn runs(&self, looks: &[Look], densities: &[f64]) -> f64 {
        let mean = densities.iter().sum::<f64>() / densities.len() as f64;
        let light = |look: &Look| ln((look.light.mean / look.flat.0).max(1e-9));
        let logs: f64 = looks.iter().map(light).sum::<f64>() / looks.len() as f64;
        looks.iter().zip(densities).map(|(look, d)| (light(look) - logs) * (d - mean)).sum()
    }

    fn has_mask(&self, tablet: &[Look], strip: &[Look]) -> bool {
        let lights = tablet.iter().chain(strip).map(|look| look.light.mean);
        let brightest = lights.fold(0.0, f64::max);
        let masked = |look: &&Look| look.black.is_some_and(|(black, _)| black < MASK * brightest);
        tablet.iter().chain(strip).filter(masked).count() == tablet.len() + strip.len()
    }

    fn calibrated(
        &self,
        looks: &[Look],
        set_up: SetUp,
        notes: &mut Vec<PictureNote>,
    ) -> Result<Calibration, NotRead> {
        let is_clipped = |look: &Look| look.light.clipped > CLIPPED;
        let clipped = looks.iter().filter(|look| is_clipped(look)).count();
        if clipped as f64 > MOST_CLIPPED * looks.len() as f64 {
            return Err(NotRead::Clipped { which: Which::Tablet, steps: clipped });
        }
        notes.extend((clipped > 0).then_some(PictureNote::ClippedTablet(clipped)));
        let steps: Vec<(Known, Seen)> = self
            .asked
            .tablet
            .iter()
            .zip(looks)
            .filter(|(_, look)| !is_clipped(look))
            .map(|(known, look)| (*known, look.seen(set_up)))
            .collect();
        let calibration = Calibration::of(&steps, set_up).map_err(NotRead::Calibration)?;
        if calibration.is_doubtful() {
            notes.push(PictureNote::Doubtful(calibration.chi));
        }
        Ok(calibration)
    }

    fn note_light(
        &self,
        tablet: &[Look],
        strip: &[Look],
        first: usize,
        notes: &mut Vec<PictureNote>,
    ) {
        let flats = || tablet.iter().chain(strip).map(|look| look.flat.0);
        let (low, high) = (flats().fold(f64::MAX, f64::min), flats().fold(0.0, f64::max));
        if low < UNEVEN * high {
            notes.push(PictureNote::UnevenFlat(low / high));
        }
        let dusty = |looks: &[Look], first: usize| {
            let steps = looks.iter().enumerate().filter(|(_, look)| look.light.left_out > DUSTY);
            steps.map(|(k, _)| first + k + 1).collect::<Vec<_>>()
        };
        for (which, steps) in
            [(Which::Tablet, dusty(tablet, 0)), (Which::Strip, dusty(strip, first))]
        {
            if !steps.is_empty() {
                notes.push(PictureNote::Dust { which, steps });
            }
        }
    }
}

/// Pixels in a mm, by the length of a step.
fn per_mm(boxes: &[Quad], step_mm: f64) -> f64 {
    let mut lengths: Vec<f64> = boxes.iter().map(Quad::length).collect();
    median(&mut lengths) / step_mm
}

/// The black of the sides of a step, and its standard uncertainty. A side that is much brighter than the other is
/// not of the mask alone.
fn black(sides: &[Patch]) -> Option<(f64, f64)> {
    let darkest = sides.iter().map(|side| side.mean).fold(f64::MAX, f64::min);
    let noise = sides.iter().map(|side| side.error).fold(0.0, f64::max);
    let taken: Vec<&Patch> =
        sides.iter().filter(|side| side.mean <= OTHER * darkest.max(0.0) + 5.0 * noise).collect();
    let n = taken.len() as f64;
    if taken.is_empty() {
        return None;
    }
    let mean = taken.iter().map(|side| side.mean).sum::<f64>() / n;
    let error = taken.iter().map(|side| side.error.powi(2)).sum::<f64>().sqrt() / n;
    let apart = match taken.as_slice() {
        [one, other] => (one.mean - other.mean).abs(),
        // One side says nothing of the way across.
        _ => ONE_SIDE * mean,
    };
    let error = hypot(hypot(error, BLACK_SHARE * mean), BLACK_SIDES * apart);
    Some((mean, error))
}

impl Look {
    fn seen(&self, set_up: SetUp) -> Seen {
        let (black, black_error) = match (set_up.mask, self.black) {
            (true, Some(black)) => black,
            _ => (1.0, 0.0),
        };
        let Patch { mean, error, pixels, left_out, .. } = self.light;
        let scatter = error * ((1.0 - left_out) * pixels as f64).sqrt();
        let dust = hypot(DUST_LEFT * left_out * mean, HIDDEN * scatter);
        Seen {
            light: self.light.mean,
            light_error: hypot(self.light.error, dust),
            flat: self.flat.0,
            flat_error: self.flat.1,
            black,
            black_error,
        }
    }
}
