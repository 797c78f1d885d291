//! From the scene to the print: camera, film, light, paper.

use super::camera::{Camera, METERED};
use super::print_table::PrintTable;
use super::reproduction::Reproduction;
use crate::curve::FitError;
use crate::development::Pairing;
use crate::development::surface::Surface;
use crate::elementary::log10;
use crate::measures::{SPEED_CONSTANT, Why};
use crate::printing::paper::Paper;
use crate::units::STOP;
use std::sync::Arc;

/// What the print is exposed for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PrintFor {
    /// The metered tone prints as a grey of 18 % of the paper's white.
    Middle,
    /// The brightest tone prints at the highlight point.
    Highlight,
    /// The darkest tone prints at the shadow point.
    Shadow,
    /// The clear film prints at the shadow point, as in a contact proof.
    Proof,
}

/// The film and how it is developed and exposed.
#[derive(Clone, Copy, Debug)]
pub struct Film<'a> {
    /// Its pairing.
    pub pairing: &'a Pairing,
    /// Effective development in minutes.
    pub theta: f64,
    /// Exposure index that the meter is set to; `None` is the pairing's own at this development.
    pub exposure_index: Option<f64>,
}

/// How the negative is printed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Printed {
    /// Callier factor of the light.
    pub callier: f64,
    /// What it is exposed for.
    pub print_for: PrintFor,
    /// Stops of print exposure over that.
    pub correction: f64,
}

/// Why there is no chain.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ChainError {
    /// Flare leaves nothing.
    #[error(
        "flare of {flare} leaves nothing of a scene of {stops} stops: a smaller flare is needed"
    )]
    Flare {
        /// The flare.
        flare: f64,
        /// The scene.
        stops: f64,
    },
    /// No surface.
    #[error("the strips of this pairing give no development surface; calibrate with more strips")]
    NoSurface,
    /// No speed point.
    #[error("the strips of this pairing do not show the speed point, by which exposure is metered")]
    NoSpeed,
    /// An exposure index for relative exposures.
    #[error(
        "the pairing's exposures are relative: an exposure index has no meaning for it; leave it out, and the pairing's own speed point is taken"
    )]
    Relative,
    /// The paper's curve lacks a measure.
    #[error("the paper's curve cannot be printed on: {0}")]
    Paper(Why),
    /// The paper has no curve.
    #[error("the paper has no curve: {0}")]
    NoCurve(FitError),
}

/// Everything between the scene and the print.
#[derive(Clone, Debug)]
pub struct Chain<'a> {
    camera: Camera,
    veil: f64,
    surface: &'a Surface,
    theta: f64,
    /// Log exposure of the metered tone, flare apart.
    metered: f64,
    printed: Printed,
    paper: Arc<PrintTable>,
    /// Log exposure on the paper through no negative at all.
    bare: f64,
}

/// One tone on its way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tone {
    /// log10 of the scene's luminance, relative to the metered tone.
    pub luminance: f64,
    /// log10 of the film's exposure.
    pub film_exposure: f64,
    /// Density of the negative.
    pub negative: f64,
    /// log10 of the paper's exposure.
    pub paper_exposure: f64,
    /// Density of the print.
    pub print: f64,
}

impl<'a> Chain<'a> {
    /// The chain of a camera, a film, a light and a paper.
    ///
    /// # Errors
    /// [`ChainError`] where one of them does not allow it.
    pub fn new(
        camera: Camera,
        film: Film<'a>,
        printed: Printed,
        paper: &Paper,
    ) -> Result<Self, ChainError> {
        Self::on(camera, film, printed, Arc::new(PrintTable::of(paper)?))
    }

    /// The same on a paper whose table is at hand.
    pub(super) fn on(
        camera: Camera,
        film: Film<'a>,
        printed: Printed,
        paper: Arc<PrintTable>,
    ) -> Result<Self, ChainError> {
        let veil =
            camera.veil().ok_or(ChainError::Flare { flare: camera.flare, stops: camera.stops })?;
        let surface = film.pairing.surface().ok_or(ChainError::NoSurface)?;
        let metered = match film.exposure_index {
            Some(_) if !film.pairing.absolute => return Err(ChainError::Relative),
            Some(index) => log10(SPEED_CONSTANT / index),
            None => film.pairing.speed_point(film.theta).ok_or(ChainError::NoSpeed)?.value,
        } + log10(METERED);
        let mut chain =
            Self { camera, veil, surface, theta: film.theta, metered, printed, paper, bare: 0.0 };
        chain.bare = chain.exposed();
        Ok(chain)
    }

    /// The print's exposure through no negative.
    fn exposed(&self) -> f64 {
        let paper = &self.paper;
        let (target, negative) = match self.printed.print_for {
            PrintFor::Middle => (
                paper.log_exposure(paper.d_min + super::camera::GREY),
                self.negative(self.film_exposure(0.0)),
            ),
            PrintFor::Highlight => {
                (paper.printable.0, self.negative(self.film_exposure(self.camera.brightest())))
            }
            PrintFor::Shadow => {
                (paper.printable.1, self.negative(self.film_exposure(self.camera.darkest())))
            }
            PrintFor::Proof => (paper.printable.1, self.negative(f64::NEG_INFINITY)),
        };
        target + self.printed.callier * negative + STOP * self.printed.correction
    }

    /// The camera.
    #[must_use]
    pub const fn camera(&self) -> &Camera {
        &self.camera
    }

    /// Densities of the paper's highlight and shadow point.
    #[must_use]
    pub fn limits(&self) -> (f64, f64) {
        self.paper.limits
    }

    /// log10 of the film's exposure at a luminance.
    #[must_use]
    pub fn film_exposure(&self, luminance: f64) -> f64 {
        self.metered + self.camera.image(self.veil, luminance)
    }

    /// Density of the negative at a log exposure of the film.
    #[must_use]
    pub fn negative(&self, film_exposure: f64) -> f64 {
        self.surface.density(film_exposure, self.theta)
    }

    /// log10 of the paper's exposure behind a density of the negative.
    #[must_use]
    pub fn paper_exposure(&self, negative: f64) -> f64 {
        self.bare - self.printed.callier * negative
    }

    /// Density of the print at a log exposure of the paper.
    #[must_use]
    pub fn print(&self, paper_exposure: f64) -> f64 {
        self.paper.density(paper_exposure)
    }

    /// A tone from the scene to the print.
    #[must_use]
    pub fn tone(&self, luminance: f64) -> Tone {
        let film_exposure = self.film_exposure(luminance);
        let negative = self.negative(film_exposure);
        let paper_exposure = self.paper_exposure(negative);
        Tone {
            luminance,
            film_exposure,
            negative,
            paper_exposure,
            print: self.print(paper_exposure),
        }
    }

    /// What becomes of the scene.
    #[must_use]
    pub fn reproduction(&self) -> Reproduction {
        Reproduction::of(self)
    }
}
