//! Pictures of a light box, rendered: a step tablet and a strip of film, photographed with a camera.
//!
//! No real photograph stands behind them. Each part of the physics is written down where it is calculated:
//!
//! * `geometry`: a camera that is turned, not quite square to the box, with a lens that bends lines;
//! * `frame`: a frame that may lie in the strip's place;
//! * `film`: tablet and strip with their densities, the mask, dust, pinholes and grain;
//! * `optics`: the box's uneven light, the lens's fall of light, blur and glare;
//! * `sensor`: photon noise, read noise, unequal pixels, dark level, 14 bits.
//!
//! Nothing here is the model by which a picture is measured: glare is a sum of wide halos of the picture itself,
//! not a constant; the flat frame has its own glare and noise; the certificate has errors.
// Each test target uses a part of this.
#![allow(dead_code)]

mod film;
mod frame;
mod geometry;
mod optics;
mod sensor;

use film::Film;
pub use frame::Frame;
use geometry::Camera;
use optics::Field;
use rand::rngs::SmallRng;
use rand::{Rng, SeedableRng};
use rand_distr::{Distribution, StandardNormal};
use wedgebook::picture::Image;

/// The two films of a scene.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    Tablet,
    Strip,
}

/// What is photographed, and how.
#[derive(Clone, Debug)]
pub struct Scene {
    /// Pixels.
    pub width: usize,
    pub height: usize,
    /// Width of what is in view, in mm.
    pub view: f64,
    /// Densities by the tablet's certificate, in the order from left to right.
    pub tablet: Vec<f64>,
    /// Standard deviation of the certificate's errors, each step by itself.
    pub certificate_sd: f64,
    /// True densities of the strip, from left to right.
    pub strip: Vec<f64>,
    /// A frame that lies in the strip's place.
    pub frame: Option<Frame>,
    /// Length of one step of the tablet in mm.
    pub pitch: f64,
    /// Length of a step of the strip over that of the tablet: film shrinks a little.
    pub strip_pitch: f64,
    /// Height of each strip that is in view, in mm.
    pub band: f64,
    /// Distance between the middle lines of the two strips in mm.
    pub apart: f64,
    /// The strip's steps are moved by this along the tablet's, in mm.
    pub shift: f64,
    /// An opaque mask with one opening for each strip; else the box shines all around.
    pub mask: bool,
    /// The flat frame is taken with the mask in place (openings empty) instead of the bare box.
    pub flat_with_mask: bool,
    /// Share of the light that is scattered in the lens.
    pub glare: f64,
    /// Share of the scattered light that is spread evenly over the picture; the rest is halo.
    pub veil: f64,
    /// How much less light the box gives 80 mm from its middle, as a share.
    pub uneven: f64,
    /// Half angle of view at the corner in degrees: light falls by its cosine's fourth power.
    pub half_angle: f64,
    /// Rotation of the camera in degrees.
    pub turn: f64,
    /// Shear of the picture, as a tangent.
    pub skew: f64,
    /// Change of scale at the right and at the lower edge, as shares: a camera not square to the box.
    pub keystone: [f64; 2],
    /// Change of scale at the corner by the lens, as a share.
    pub bend: f64,
    /// Specks of dust on the films.
    pub dust: usize,
    /// Granularity of the strip: 1000 times the standard deviation of density in a circle of 48 µm at density 1.
    pub grain: f64,
    /// Signal of the bare box at its middle, as a share of a full pixel, at 1 second.
    pub exposure: f64,
    /// Electrons in a full pixel.
    pub full: f64,
    /// Read noise in electrons.
    pub read_noise: f64,
    /// Dark level, as a share of a full pixel.
    pub dark_level: f64,
    /// All chance follows from it: placement too, where it is drawn by [`Scene::placed_by_chance`].
    pub seed: u64,
}

/// A tablet of 21 steps, 0.15 apart.
pub fn tablet_21() -> Vec<f64> {
    tablet_of(21, 0.15)
}

/// A tablet of so many steps, `by` apart.
pub fn tablet_of(steps: usize, by: f64) -> Vec<f64> {
    (0..steps).map(|k| 0.05 + by * k as f64).collect()
}

/// A strip of a film that was exposed through such a tablet: base plus fog at one end, a soft shoulder at the other.
pub fn strip_21(contrast: f64) -> Vec<f64> {
    (0..21).map(|k| 0.15 * f64::from(20 - k)).map(|h| film(h, contrast)).collect()
}

/// The same film behind any tablet.
pub fn strip_behind(tablet: &[f64], contrast: f64) -> Vec<f64> {
    let densest = tablet.iter().copied().fold(0.0, f64::max);
    tablet.iter().map(|d| film(densest - d, contrast)).collect()
}

/// Density of the film behind this log exposure.
fn film(h: f64, contrast: f64) -> f64 {
    // Logistic in the slope at the toe and at the shoulder: no curve model of the program.
    let soft = |x: f64, width: f64| width * (1.0 + (x / width).exp()).ln();
    0.28 + contrast * (soft(h - 0.5, 0.16) - soft(h - 2.9, 0.3))
}

impl Default for Scene {
    fn default() -> Self {
        Scene {
            width: 960,
            height: 600,
            view: 160.0,
            tablet: tablet_21(),
            certificate_sd: 0.010,
            strip: strip_21(0.6),
            frame: None,
            pitch: 6.35,
            strip_pitch: 0.999,
            band: 14.0,
            apart: 32.0,
            shift: 0.0,
            mask: true,
            flat_with_mask: false,
            glare: 0.02,
            veil: 0.4,
            uneven: 0.15,
            half_angle: 15.0,
            turn: 0.6,
            skew: 0.002,
            keystone: [0.006, -0.004],
            bend: 0.003,
            dust: 60,
            grain: 10.0,
            exposure: 0.8,
            full: 40_000.0,
            read_noise: 3.0,
            dark_level: 0.002,
            seed: 1,
        }
    }
}

impl Scene {
    /// The same in 1920 × 1200 pixels.
    #[must_use]
    pub fn large(mut self) -> Self {
        (self.width, self.height) = (2 * self.width, 2 * self.height);
        self
    }

    /// Camera and strips placed as a careful person would, by chance: turned up to 2°, a little out of square.
    #[must_use]
    pub fn placed_by_chance(mut self) -> Self {
        let mut rng = SmallRng::seed_from_u64(self.seed ^ 0x9e37_79b9_7f4a_7c15);
        let mut within = |most: f64| rng.random_range(-most..=most);
        self.turn = within(2.0);
        self.skew = within(0.005);
        self.keystone = [within(0.015), within(0.015)];
        self.bend = within(0.006);
        self.shift = within(1.0);
        self.apart += within(2.0);
        self.strip_pitch = 1.0 + within(0.002);
        self.uneven *= 1.0 + within(0.5);
        self
    }

    /// Everything but the exposures: one placement, of which any number of pictures may be taken.
    pub fn set_up(&self) -> SetUp {
        let mut rng = SmallRng::seed_from_u64(self.seed);
        let camera = Camera::new(self);
        let mut certificate = |d: &f64| {
            let error: f64 = StandardNormal.sample(&mut rng);
            (d + self.certificate_sd * error).max(0.0)
        };
        let tablet: Vec<f64> = self.tablet.iter().map(&mut certificate).collect();
        let films = [
            Film::new(self, Which::Tablet, tablet.clone(), &mut rng),
            match &self.frame {
                Some(frame) => Film::of_frame(self, frame, &mut rng),
                None => Film::new(self, Which::Strip, self.strip.clone(), &mut rng),
            },
        ];
        let field = Field::new(self, &mut rng);
        let specks = film::specks(self, &films, &mut rng);
        let films_light = field.light(&camera, &films, &specks, self);
        SetUp { scene: self.clone(), camera, films, field, films_light, tablet }
    }

    /// The picture with its flat and dark frames, each of 1 second.
    pub fn render(&self) -> Rendered {
        let set_up = self.set_up();
        Rendered {
            image: set_up.picture(1.0),
            flat: set_up.flat(1.0),
            dark: set_up.dark(),
            tablet: set_up.steps(Which::Tablet),
            strip: set_up.steps(Which::Strip),
            tablet_densities: set_up.tablet.clone(),
            set_up,
        }
    }
}

/// One step as it is in the picture.
#[derive(Clone, Debug)]
pub struct Step {
    /// True density.
    pub density: f64,
    /// Corners in pixels: upper left, upper right, lower right, lower left; whole numbers are middles of pixels.
    pub corners: [[f64; 2]; 4],
}

/// A rendered picture, and the truth about it.
pub struct Rendered {
    pub image: Image,
    pub flat: Image,
    pub dark: Image,
    /// Steps of the tablet from left to right.
    pub tablet: Vec<Step>,
    /// Steps of the strip from left to right.
    pub strip: Vec<Step>,
    /// True densities of the tablet; the certificate is the scene's `tablet`.
    pub tablet_densities: Vec<f64>,
    /// For more pictures of the same set-up.
    pub set_up: SetUp,
}

/// Box, films and camera in place.
pub struct SetUp {
    scene: Scene,
    camera: Camera,
    films: [Film; 2],
    field: Field,
    /// Light at the sensor with the films in place: 1 at the middle of the bare box.
    films_light: Vec<f64>,
    /// True densities of the tablet.
    tablet: Vec<f64>,
}

impl SetUp {
    /// A picture of the films with this shutter time in seconds.
    pub fn picture(&self, seconds: f64) -> Image {
        sensor::picture(&self.scene, &self.films_light, seconds, 11 ^ seconds.to_bits())
    }

    /// A flat frame: the box without films.
    pub fn flat(&self, seconds: f64) -> Image {
        let openings: &[Film] = if self.scene.flat_with_mask { &self.films } else { &[] };
        let light = self.field.flat(&self.camera, openings, &self.scene);
        sensor::picture(&self.scene, &light, seconds, 22 ^ seconds.to_bits())
    }

    /// A dark frame: the lens capped.
    pub fn dark(&self) -> Image {
        sensor::picture(&self.scene, &vec![0.0; self.films_light.len()], 1.0, 33)
    }

    /// A picture with no film in view: only the mask, or the bare box.
    pub fn nothing(&self) -> Image {
        self.flat(1.0)
    }

    /// The steps of one film in the picture.
    pub fn steps(&self, which: Which) -> Vec<Step> {
        let film = &self.films[which as usize];
        (0..film.densities.len())
            .map(|k| Step {
                density: film.densities[k],
                corners: film.corners(k).map(|mm| self.camera.pixel(mm)),
            })
            .collect()
    }

    /// The density of the frame or the strip at a place of the picture, without grain and dust.
    pub fn density_at(&self, pixel: [f64; 2]) -> Option<f64> {
        self.films[Which::Strip as usize].density(self.camera.millimetres(pixel))
    }

    /// The corners of the opening for the frame or strip, in pixels: upper left, lower left, lower right, upper
    /// right.
    pub fn opening(&self) -> Option<[[f64; 2]; 4]> {
        let [l, t, r, b] = self.films[Which::Strip as usize].opening()?;
        Some([[l, t], [l, b], [r, b], [r, t]].map(|mm| self.camera.pixel(mm)))
    }

    /// Where a place of the picture, in pixels, lies on the box, in mm from its middle.
    pub fn millimetres(&self, pixel: [f64; 2]) -> [f64; 2] {
        self.camera.millimetres(pixel)
    }
}
