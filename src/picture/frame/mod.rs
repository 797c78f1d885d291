//! What lies in the strip's place need not be a strip: a frame, measured over a grid of cells beside the tablet.
//!
//! The cells of an evenly exposed frame are the readings of [`crate::evenness`]; those of a negative give its
//! printing densities ([`PrintingDensities`]). The opening of the mask shows the frame from edge to edge. A margin
//! along the edges is left out, where film and mask lie over one another.
//!
//! In the middle of a frame no black is beside it. The halos of the lens are fitted to all black that is in view
//! ([`Glare`]), in the picture and in the flat frame, and taken off in both: an even frame does not show the edge
//! of the mask.

mod dust;
mod glare;
mod negative;
mod noise;
mod note;
mod place;
mod refusal;
mod tablet;

pub use glare::Glare;
pub use negative::{Extreme, PrintingDensities};
pub use note::FrameNote;
pub use place::{FramePlace, Lying, Side};
pub use refusal::NoFrame;

use super::layout::Layout;
use super::openings::all_openings;
use super::patch::{Patch, median};
use super::photometry::{Calibration, Known, Seen, SetUp, Stated};
use super::place::Quad;
use super::refusal::NotRead;
use super::{Frames, Image};
use crate::elementary::hypot;
use glare::grown;
use tablet::Tablet;

/// Width along the edges of a frame that is left out, in **mm**: film and mask are laid by hand.
pub const MARGIN_MM: f64 = 1.0;
/// The greatest share of the shorter side that the margin has.
const MOST_MARGIN: f64 = 0.125;
/// Fewest pixels along a side of a cell.
const LEAST_PIXELS: f64 = 4.0;
/// Fewest cells along the shorter side.
const FEWEST: usize = 5;
/// Where the mask is looked for, in **mm** beside an opening.
const BESIDE: (f64, f64) = (1.5, 3.5);
/// A mask is darker than this share of what is in its opening.
const MASK: f64 = 0.1;
/// A share of clipped pixels that is no dust.
const CLIPPED: f64 = 0.002;
/// Light that is left out in a cell, as dust, from which it is noted.
const DUSTY: f64 = 0.25;
/// Film has more density than this; less is bare light.
const BARE: f64 = 0.03;
/// An evenly exposed frame whose side has less than this share of its density ends there.
const THIN: f64 = 0.5;
/// A share of cells along a side that is bare.
const BARE_SHARE: f64 = 0.25;
/// A share of cells that may be too dense to be seen.
const MOST_DENSE: f64 = 0.05;
/// Standard uncertainty of the fitted glare as a share of it: a halo between the widths that are fitted was off by
/// 0.15 in the middle of an opening, and by 0.3 in its corner.
const GLARE_SHARE: f64 = 0.20;
/// A third opening has less than this share of the area of the second one.
const THIRD: f64 = 0.5;
/// Standard uncertainty of a cell that neighbouring cells do not show: light and glare that change a little from frame
/// to frame. Assumed; with it, intervals hold in rendered pictures.
pub const UNSEEN: f64 = 0.0007;
/// An opening for a tablet is so many times longer than broad, at least.
const LONG: f64 = 2.0;

/// What the frame shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shows {
    /// An evenly lit, blank surface: one density, but for uneven development.
    Even,
    /// A picture.
    Scene,
}

impl Shows {
    /// Cells along the shorter side. For evenness: every 2 mm of 135 film, close enough for a wave with the
    /// perforations. For a scene: the size of a densitometer's small spot.
    const fn cells(self) -> usize {
        match self {
            Self::Even => 11,
            Self::Scene => 22,
        }
    }
}

/// What is known before.
#[derive(Clone, Debug)]
pub struct FrameAsked<'a> {
    /// The tablet's steps, in the order of its file.
    pub tablet: &'a [Known],
    /// Where tablet and frame lie, if that is given: the corners of the strip are those of the frame, the first
    /// two at its left side, the upper one first.
    pub layout: Option<&'a Layout>,
    /// Length of the frame along the film and width across it in **mm**.
    pub size: (f64, f64),
    /// What the frame shows.
    pub shows: Shows,
}

/// One cell of the grid.
#[derive(Clone, Debug, PartialEq)]
pub struct Cell {
    /// Its middle along the film in **mm** from the left side.
    pub x: f64,
    /// Its middle across the film in **mm** from the lower edge.
    pub y: f64,
    /// Its area in the picture.
    pub area: Quad,
    /// Its density.
    pub stated: Stated,
}

/// A frame that was measured.
#[derive(Clone, Debug, PartialEq)]
pub struct FrameReading {
    /// Where all lies, to be kept for the next picture.
    pub layout: Layout,
    /// Where the frame lies.
    pub place: FramePlace,
    /// Width that was left out along the edges, in **mm**.
    pub margin: f64,
    /// Length and width of a cell in **mm**.
    pub cell: (f64, f64),
    /// Cells along the film.
    pub columns: usize,
    /// Cells across it.
    pub rows: usize,
    /// The cells, row by row from the lower edge.
    pub cells: Vec<Cell>,
    /// Standard deviation of a cell by itself, from neighbouring cells; `None` of a scene.
    pub scatter: Option<f64>,
    /// The calibration by the tablet.
    pub calibration: Calibration,
    /// The patch of unexposed film, where the layout names one.
    pub unexposed: Option<(Quad, Stated)>,
    /// What was noticed.
    pub notes: Vec<FrameNote>,
}

impl FrameReading {
    /// Measures a frame by a tablet.
    ///
    /// # Errors
    /// [`NoFrame`].
    pub fn of(frames: &Frames<'_>, asked: &FrameAsked<'_>) -> Result<Self, NoFrame> {
        let size = frames.size()?;
        let flat = frames.flat.ok_or(NoFrame::NoFlat)?;
        let attempt = |layout: &Layout, place: FramePlace| {
            Attempt { frames, flat, asked, layout, place }.read()
        };
        if let Some(layout) = asked.layout {
            layout.fits(size, asked.tablet.len()).map_err(NotRead::from)?;
            let place = FramePlace::between(&layout.strip.area()?, asked.size)?;
            return attempt(layout, place);
        }
        let openings = all_openings(flat)?;
        // The largest go first: a third one, which is small, shows unexposed film.
        let (one, other, third) = match openings.as_slice() {
            [one, other] => (one, other, None),
            [one, other, third] if third.area().abs() < THIRD * other.area().abs() => {
                (one, other, Some(third))
            }
            _ => return Err(NoFrame::Openings(openings.len())),
        };
        // Which opening has the tablet shows in its shape, and else in its light.
        let mut worst: Option<NoFrame> = None;
        let mut best: Option<Self> = None;
        for (tablet, frame) in [(one, other), (other, one)] {
            if tablet.length().max(tablet.breadth()) < LONG * tablet.length().min(tablet.breadth())
            {
                continue;
            }
            let found = FramePlace::in_opening(frame, asked.size).and_then(|place| {
                let mut layout = Layout::of_areas(size, None, *tablet, place.area);
                let inwards = -MARGIN_MM * place.pixels_per_mm();
                layout.strip.unexposed = third.map(|third| grown(third, inwards).0);
                attempt(&layout, place)
            });
            match found {
                Ok(found) => {
                    let chi = found.calibration.chi;
                    if best.as_ref().is_none_or(|best| chi < best.calibration.chi) {
                        best = Some(found);
                    }
                }
                Err(why) => {
                    if worst.as_ref().is_none_or(|worst| says_more(&why) > says_more(worst)) {
                        worst = Some(why);
                    }
                }
            }
        }
        best.ok_or_else(|| worst.unwrap_or(NoFrame::NoTablet))
    }

    /// Standard uncertainty of a cell of an even frame by itself: its scatter, and [`UNSEEN`]. `None` of a scene.
    #[must_use]
    pub fn sigma(&self) -> Option<f64> {
        self.scatter.map(|scatter| hypot(scatter, UNSEEN))
    }

    /// The densities that were found, row by row.
    pub fn densities(&self) -> Vec<Option<f64>> {
        self.cells.iter().map(|cell| Some(cell.stated.found()?.density)).collect()
    }
}

/// Of two reasons, the one that was met later says more.
fn says_more(why: &NoFrame) -> u8 {
    match why {
        NoFrame::Shape { .. } => 0,
        NoFrame::NotRead(NotRead::Steps { .. }) => 1,
        NoFrame::NotRead(_) => 2,
        _ => 3,
    }
}

/// One way in which the picture may be understood.
struct Attempt<'a> {
    frames: &'a Frames<'a>,
    flat: &'a Image,
    asked: &'a FrameAsked<'a>,
    layout: &'a Layout,
    place: FramePlace,
}

/// The glare in both frames.
struct Glares {
    picture: Glare,
    flat: Glare,
}

/// The light of an area, before it is a density.
struct Light {
    patch: Patch,
    seen: Seen,
}

impl Glares {
    /// The light of an area in both frames.
    fn light(&self, attempt: &Attempt<'_>, area: &Quad) -> Result<Option<Light>, NoFrame> {
        let Frames { picture, dark, .. } = *attempt.frames;
        let patches = match attempt.asked.shows {
            Shows::Even => dust::without(picture, attempt.flat, dark, area),
            // A scene has details that are no dust.
            Shows::Scene => Patch::of(picture, dark, area).zip(Patch::of(attempt.flat, dark, area)),
        };
        let Some((patch, flat)) = patches else { return Ok(None) };
        if flat.clipped > CLIPPED {
            return Err(NoFrame::Flat { clipped: true });
        }
        let middle = area.middle();
        let net = flat.mean - self.flat.at(middle);
        if !(net > 10.0 * flat.error) {
            return Err(NoFrame::Flat { clipped: false });
        }
        let black = self.picture.at(middle).max(0.0);
        let seen = Seen {
            light: patch.mean,
            light_error: patch.error,
            flat: net,
            flat_error: flat.error / net,
            black,
            black_error: hypot(GLARE_SHARE * black, self.picture.left_over),
        };
        Ok(Some(Light { patch, seen }))
    }
}

impl Attempt<'_> {
    fn read(&self) -> Result<FrameReading, NoFrame> {
        let mut notes = Vec::new();
        let (columns, rows, margin) = self.grid()?;
        let known = self.asked.tablet;
        let mut tablet = Tablet::found(self.frames.picture, self.layout, known.len())?;
        let (area, frame) = (tablet.area, &self.place.area);
        self.check_mask(&[area, *frame])?;
        let per_mm = self.place.pixels_per_mm();
        let unexposed = self.layout.strip.unexposed.map(Quad);
        // The patch lies in an opening of its own, of which not all is named.
        let around = unexposed.map(|area| grown(&area, 2.0 * MARGIN_MM * per_mm));
        let openings: Vec<Quad> = [area, *frame].into_iter().chain(around).collect();
        let glare = |image, in_flat| {
            Glare::of(image, self.frames.dark, &openings, per_mm).ok_or(NoFrame::NoMask { in_flat })
        };
        let glares =
            Glares { picture: glare(self.frames.picture, false)?, flat: glare(self.flat, true)? };
        let calibration = tablet.calibrate(self, &glares, &mut notes)?;
        notes.extend(self.frames.dark.is_none().then_some(FrameNote::NoDark));
        if calibration.is_doubtful() {
            notes.push(FrameNote::Doubtful(calibration.chi));
        }
        let cells = self.cells((columns, rows, margin), &glares, &calibration, &mut notes)?;
        let unexposed = match unexposed {
            Some(area) => {
                let light = glares.light(self, &area)?;
                let light = light.ok_or(NoFrame::Outside)?;
                if light.patch.clipped > CLIPPED {
                    return Err(NoFrame::Clipped { cells: 1 });
                }
                Some((area, calibration.density(&light.seen)))
            }
            None => None,
        };
        let (length, width) = self.asked.size;
        let cell = ((length - 2.0 * margin) / columns as f64, (width - 2.0 * margin) / rows as f64);
        let mut layout = self.layout.clone();
        layout.tablet.boxes = Some(tablet.boxes);
        let place = self.place;
        let mut reading = FrameReading {
            layout,
            place,
            margin,
            cell,
            columns,
            rows,
            cells,
            scatter: None,
            calibration,
            unexposed,
            notes,
        };
        reading.check_sides(self.asked.shows)?;
        if self.asked.shows == Shows::Even {
            reading.scatter = noise::of_cells(&reading.densities(), columns);
        }
        Ok(reading)
    }

    /// Cells along and across, and the margin.
    fn grid(&self) -> Result<(usize, usize, f64), NoFrame> {
        let (length, width) = self.asked.size;
        let short = length.min(width);
        let margin = MARGIN_MM.min(MOST_MARGIN * short);
        let inner = short - 2.0 * margin;
        let pixels = inner * self.place.pixels_per_mm();
        let across = self.asked.shows.cells().min((pixels / LEAST_PIXELS) as usize);
        if across < FEWEST {
            return Err(NoFrame::Small {
                pixels: self.place.area.length().min(self.place.area.breadth()),
            });
        }
        let count = |side: f64| ((side - 2.0 * margin) / inner * across as f64).round() as usize;
        Ok((count(length), count(width), margin))
    }

    /// Refuses a picture or a flat frame without black around both openings.
    fn check_mask(&self, openings: &[Quad]) -> Result<(), NoFrame> {
        let per_mm = self.place.pixels_per_mm();
        let dark = self.frames.dark;
        for (image, in_flat) in [(self.flat, true), (self.frames.picture, false)] {
            let bright = openings.iter().filter_map(|o| Patch::of(image, dark, o)).map(|p| p.mean);
            let brightest = bright.fold(0.0, f64::max);
            for opening in openings {
                let (near, far) =
                    (grown(opening, BESIDE.0 * per_mm), grown(opening, BESIDE.1 * per_mm));
                let beside = (0..4).map(|k| {
                    let (a, b) = (near.0[k], near.0[(k + 1) % 4]);
                    let (c, d) = (far.0[(k + 1) % 4], far.0[k]);
                    Quad([a, b, c, d])
                });
                let black: Vec<f64> = beside
                    .filter(|side| side.is_within(image.width, image.height))
                    .filter_map(|side| Patch::of(image, dark, &side))
                    .map(|patch| patch.mean)
                    .collect();
                // The picture's light is that of the tablet's clear steps, of which the mean is a small part.
                let most = if in_flat { MASK } else { 2.0 * MASK } * brightest;
                if black.len() < 3 || median(&mut black.clone()) > most {
                    return Err(NoFrame::NoMask { in_flat });
                }
            }
        }
        Ok(())
    }

    fn cells(
        &self,
        (columns, rows, margin): (usize, usize, f64),
        glares: &Glares,
        calibration: &Calibration,
        notes: &mut Vec<FrameNote>,
    ) -> Result<Vec<Cell>, NoFrame> {
        let (length, width) = self.asked.size;
        let edge =
            |k: usize, n: usize, side: f64| margin + (side - 2.0 * margin) * k as f64 / n as f64;
        let (mut cells, mut clipped, mut dusty) = (Vec::new(), 0, 0);
        for row in 0..rows {
            for column in 0..columns {
                let along = (edge(column, columns, length), edge(column + 1, columns, length));
                let across = (edge(row, rows, width), edge(row + 1, rows, width));
                let area = self.place.part(along, across);
                let light = glares.light(self, &area)?;
                let light = light.ok_or(NoFrame::Outside)?;
                clipped += usize::from(light.patch.clipped > CLIPPED);
                dusty += usize::from(light.patch.left_out > DUSTY);
                let stated = calibration.density(&light.seen);
                let (x, y) = (0.5 * (along.0 + along.1), 0.5 * (across.0 + across.1));
                cells.push(Cell { x, y, area, stated });
            }
        }
        if clipped > 0 {
            return Err(NoFrame::Clipped { cells: clipped });
        }
        notes.extend((dusty > 0).then_some(FrameNote::Dust(dusty)));
        Ok(cells)
    }
}

impl FrameReading {
    /// Refuses a frame that ends inside its opening, and one that is too dense.
    fn check_sides(&self, shows: Shows) -> Result<(), NoFrame> {
        let dense: Vec<&Cell> =
            self.cells.iter().filter(|cell| cell.stated.found().is_none()).collect();
        let of = self.cells.len();
        if dense.len() as f64 > MOST_DENSE * of as f64 {
            let limits = dense.iter().filter_map(|cell| match cell.stated {
                Stated::DenserThan(limit) => Some(limit),
                _ => None,
            });
            let limit = limits.fold(f64::INFINITY, f64::min);
            return Err(NoFrame::Dense { cells: dense.len(), of, limit });
        }
        let mut all: Vec<f64> = self.densities().into_iter().flatten().collect();
        let middle = median(&mut all);
        for side in Side::ALL {
            let mut along: Vec<f64> = (0..self.cells.len())
                .filter(|k| {
                    let (column, row) = (k % self.columns, k / self.columns);
                    match side {
                        Side::Left => column == 0,
                        Side::Right => column + 1 == self.columns,
                        Side::Lower => row == 0,
                        Side::Upper => row + 1 == self.rows,
                    }
                })
                .filter_map(|k| Some(self.cells[k].stated.found()?.density))
                .collect();
            let bare = along.iter().filter(|d| **d < BARE).count() as f64;
            let ends = bare > BARE_SHARE * along.len() as f64;
            if ends || shows == Shows::Even && median(&mut along) < THIN * middle {
                return Err(NoFrame::NotCovered(side));
            }
        }
        Ok(())
    }
}

/// How the picture is calibrated here: with a mask and a flat frame.
const SET_UP: SetUp = SetUp { mask: true, flat: true };
