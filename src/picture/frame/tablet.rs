//! The tablet beside a frame.

use super::{Attempt, CLIPPED, FrameNote, Glares, NoFrame, SET_UP};
use crate::elementary::ln;
use crate::picture::Image;
use crate::picture::layout::Layout;
use crate::picture::photometry::{Calibration, Known, Seen};
use crate::picture::place::Quad;
use crate::picture::refusal::{NotRead, Which};
use crate::picture::steps::{Comb, INNER};

/// A share of the tablet's steps that may be clipped.
const MOST_CLIPPED: f64 = 0.25;

/// The tablet in the picture.
pub struct Tablet {
    /// The area of all steps.
    pub area: Quad,
    /// The boxes of its steps; in the order of its file after [`Tablet::calibrate`].
    pub boxes: Vec<Quad>,
}

impl Tablet {
    /// The steps of the tablet, in either order.
    pub fn found(image: &Image, layout: &Layout, steps: usize) -> Result<Self, NoFrame> {
        if let Some(boxes) = &layout.tablet.boxes {
            // From the first step's beginning to the last one's end.
            let (first, last) = (boxes[0].0, boxes[boxes.len() - 1].0);
            let area = layout.tablet.corners.unwrap_or([first[0], first[1], last[2], last[3]]);
            return Ok(Self { area: Quad(area), boxes: boxes.clone() });
        }
        let area = layout.tablet.area()?;
        let comb = Comb::found(image, &area, steps, None)
            .map_err(|why| NotRead::Steps { which: Which::Tablet, why })?;
        Ok(Self { area, boxes: comb.boxes(&area) })
    }

    /// The calibration; turns the boxes into the order of the file.
    pub fn calibrate(
        &mut self,
        attempt: &Attempt<'_>,
        glares: &Glares,
        notes: &mut Vec<FrameNote>,
    ) -> Result<Calibration, NoFrame> {
        let known = attempt.asked.tablet;
        let (inner, outer) = (0.5 - 0.5 * INNER, 0.5 + 0.5 * INNER);
        let mut lights = Vec::new();
        for (k, area) in self.boxes.iter().enumerate() {
            let part = area.part((inner, outer), (inner, outer));
            let light = glares.light(attempt, &part)?;
            lights.push(light.ok_or(NotRead::Outside { which: Which::Tablet, step: k + 1 })?);
        }
        let of = |seen: &Seen| ln((seen.light / seen.flat).max(1e-9));
        let densities = known.iter().map(|k| k.density);
        let mean = densities.clone().sum::<f64>() / known.len() as f64;
        let rises: f64 =
            lights.iter().zip(densities).map(|(light, d)| of(&light.seen) * (d - mean)).sum();
        if rises > 0.0 {
            self.boxes.reverse();
            lights.reverse();
        }
        let clipped = lights.iter().filter(|light| light.patch.clipped > CLIPPED).count();
        if clipped as f64 > MOST_CLIPPED * lights.len() as f64 {
            return Err(NotRead::Clipped { which: Which::Tablet, steps: clipped }.into());
        }
        notes.extend((clipped > 0).then_some(FrameNote::ClippedTablet(clipped)));
        let steps: Vec<(Known, Seen)> = known
            .iter()
            .zip(&lights)
            .filter(|(_, light)| light.patch.clipped <= CLIPPED)
            .map(|(known, light)| (*known, light.seen))
            .collect();
        Ok(Calibration::of(&steps, SET_UP).map_err(NotRead::Calibration)?)
    }
}
