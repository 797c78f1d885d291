//! Tablet and strip, the mask over them, dust and grain.

use super::{Frame, Scene, Which};
use rand::Rng;
use rand::rngs::SmallRng;

/// Density of the mask: black card under black tape.
const MASK: f64 = 5.5;

/// One film on the box. Lengths in mm from the middle of the box, x to the right, y down.
pub struct Film {
    pub which: Which,
    pub densities: Vec<f64>,
    pitch: f64,
    /// Start of the first step on the film's middle line, and the film's direction.
    start: [f64; 2],
    direction: [f64; 2],
    /// Half of the film's width.
    half_width: f64,
    /// The mask's opening: left, top, right, bottom. Without a mask, none.
    opening: Option<[f64; 4]>,
    /// Middle line and half height of what is in view, for a film without mask.
    half_band: f64,
    /// A frame, with unexposed film around it.
    frame: Option<Frame>,
    /// An opening that shows unexposed film: left, top, right, bottom.
    rebate: Option<[f64; 4]>,
}

/// Film beyond the edges of a frame, and beyond its right side, in mm.
const BEYOND: f64 = 4.0;
const AFTER: f64 = 18.0;

impl Film {
    /// A frame in an opening of its size. The film lies as a hand lays it, 0.3 mm and 0.3° unsure.
    pub fn of_frame(scene: &Scene, frame: &Frame, rng: &mut SmallRng) -> Self {
        let tilt = rng.random_range(-0.3_f64..0.3).to_radians();
        let direction = [tilt.cos(), tilt.sin()];
        let y = 7.0 - scene.apart / 2.0 + (scene.apart - 14.0) + frame.width / 2.0;
        let [dx, dy] = [rng.random_range(-0.3..0.3), rng.random_range(-0.3..0.3)];
        let middle = [scene.shift + dx + frame.moved[0], y + dy + frame.moved[1]];
        let start = [0, 1].map(|k| middle[k] - direction[k] * frame.length / 2.0);
        let (half_length, half_width) = (frame.length / 2.0, frame.width / 2.0);
        let opening =
            [scene.shift - half_length, y - half_width, scene.shift + half_length, y + half_width];
        Film {
            which: Which::Strip,
            densities: vec![frame.level],
            pitch: frame.length,
            start,
            direction,
            half_width: half_width + BEYOND,
            opening: Some(opening),
            half_band: half_width,
            rebate: frame.rebate.then(|| {
                let right = scene.shift + half_length;
                [right + 6.0, y - 5.0, right + 15.0, y + 5.0]
            }),
            frame: Some(frame.clone()),
        }
    }

    pub fn opening(&self) -> Option<[f64; 4]> {
        self.opening
    }

    pub fn new(scene: &Scene, which: Which, densities: Vec<f64>, rng: &mut SmallRng) -> Self {
        let (pitch, y, shift) = match which {
            Which::Tablet => (scene.pitch, -scene.apart / 2.0, 0.0),
            Which::Strip => (scene.pitch * scene.strip_pitch, scene.apart / 2.0, scene.shift),
        };
        let length = pitch * densities.len() as f64;
        let full = scene.pitch * scene.tablet.len() as f64;
        // Both begin at the left; the hand that lays them down is 0.3 mm and 0.3° unsure.
        let tilt = rng.random_range(-0.3_f64..0.3).to_radians();
        let direction = [tilt.cos(), tilt.sin()];
        let [dx, dy] = [rng.random_range(-0.3..0.3), rng.random_range(-0.3..0.3)];
        let middle = [dx + shift + (length - full) / 2.0, y + dy];
        let start = [0, 1].map(|k| middle[k] - direction[k] * length / 2.0);
        let half_band = scene.band / 2.0;
        // The mask covers the edges of the film, and up to 0.4 mm of its end steps.
        let mut cut = || rng.random_range(0.0..0.4);
        let (left, right) = (cut(), cut());
        let opening = scene.mask.then(|| {
            [
                start[0] + left,
                y - half_band,
                start[0] + direction[0] * length - right,
                y + half_band,
            ]
        });
        let half_width = if scene.mask { half_band + 1.5 } else { half_band };
        Film {
            which,
            densities,
            pitch,
            start,
            direction,
            half_width,
            opening,
            half_band,
            frame: None,
            rebate: None,
        }
    }

    /// Place along and across the film.
    fn along(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let [dx, dy] = [x - self.start[0], y - self.start[1]];
        let [c, s] = self.direction;
        [dx * c + dy * s, dy * c - dx * s]
    }

    /// The film's density at a place; `None` beside it.
    pub fn density(&self, at: [f64; 2]) -> Option<f64> {
        let [along, across] = self.along(at);
        if let Some(frame) = &self.frame {
            let (x, y) = (along, self.half_band - across);
            let is_film = across.abs() <= self.half_width
                && (-BEYOND..=frame.length + AFTER).contains(&along);
            let is_exposed = (0.0..=frame.length).contains(&x) && (0.0..=frame.width).contains(&y);
            return is_film.then(|| if is_exposed { frame.density(x, y) } else { frame.base });
        }
        let step = (along / self.pitch).floor();
        (across.abs() <= self.half_width && step >= 0.0)
            .then(|| self.densities.get(step as usize).copied())
            .flatten()
    }

    /// Whether the mask is open here.
    pub fn open(&self, [x, y]: [f64; 2]) -> bool {
        let mut openings = self.opening.iter().chain(&self.rebate);
        openings.any(|[l, t, r, b]| (*l..=*r).contains(&x) && (*t..=*b).contains(&y))
    }

    /// The corners of a step as far as the mask shows its height: upper left, upper right, lower right, lower left.
    pub fn corners(&self, step: usize) -> [[f64; 2]; 4] {
        let [c, s] = self.direction;
        let corner = |edge: usize, side: f64| {
            let along = self.pitch * edge as f64;
            let across = match self.opening {
                Some([_, top, _, bottom]) => {
                    let y = if side < 0.0 { top } else { bottom };
                    (y - self.start[1] - along * s) / c
                }
                None => side * self.half_band,
            };
            [self.start[0] + along * c - across * s, self.start[1] + along * s + across * c]
        };
        [corner(step, -1.0), corner(step + 1, -1.0), corner(step + 1, 1.0), corner(step, 1.0)]
    }
}

/// Density of all that lies on the box at a place, and whether it is the strip's.
pub fn density(films: &[Film], mask: bool, at: [f64; 2]) -> (f64, bool) {
    if mask && !films.iter().any(|film| film.open(at)) {
        return (MASK, false);
    }
    films
        .iter()
        .find_map(|film| film.density(at).map(|d| (d, film.which == Which::Strip)))
        .unwrap_or((0.0, false))
}

/// A speck of dust, or a pinhole: an ellipse in mm whose density is added with a soft edge.
pub struct Speck {
    pub at: [f64; 2],
    pub half_axes: [f64; 2],
    pub angle: f64,
    pub density: f64,
}

impl Speck {
    /// Density that it adds at a place.
    pub fn density(&self, [x, y]: [f64; 2]) -> f64 {
        let (s, c) = self.angle.sin_cos();
        let [dx, dy] = [x - self.at[0], y - self.at[1]];
        let u = (dx * c + dy * s) / self.half_axes[0];
        let v = (dy * c - dx * s) / self.half_axes[1];
        self.density * (1.5 - u.hypot(v)).clamp(0.0, 1.0)
    }

    /// Beyond this distance in mm it adds nothing.
    pub fn reach(&self) -> f64 {
        1.5 * self.half_axes[0].max(self.half_axes[1])
    }
}

/// Dust over both films: mostly round grains, one in eight a fibre, one in ten a pinhole.
pub fn specks(scene: &Scene, films: &[Film], rng: &mut SmallRng) -> Vec<Speck> {
    (0..scene.dust)
        .map(|_| {
            let film = &films[rng.random_range(0..films.len())];
            let along = rng.random_range(0.0..=film.pitch * film.densities.len().max(1) as f64);
            let across = rng.random_range(-film.half_band..=film.half_band);
            let [c, s] = film.direction;
            let at =
                [film.start[0] + along * c - across * s, film.start[1] + along * s + across * c];
            let size = 0.06 * 5.0_f64.powf(rng.random_range(0.0..1.0));
            let half_axes = if rng.random_range(0..8) == 0 {
                [rng.random_range(0.5..2.0), 0.04]
            } else {
                [size, size * rng.random_range(0.5..1.0)]
            };
            let here = film.density(at).unwrap_or(0.0);
            let density =
                if rng.random_range(0..10) == 0 { -0.8 * here } else { rng.random_range(0.2..1.5) };
            Speck { at, half_axes, angle: rng.random_range(0.0..std::f64::consts::PI), density }
        })
        .collect()
}

/// Standard deviation of density in one pixel by grain.
///
/// Granularity falls with the root of the area that is looked at (Selwyn's law) and rises with the root of
/// density; both from memory.
pub fn grain(scene: &Scene, density: f64) -> f64 {
    let pixel = 1000.0 * scene.view / scene.width as f64;
    let circle = std::f64::consts::PI * 24.0_f64.powi(2);
    scene.grain / 1000.0 * (circle / (pixel * pixel)).sqrt() * density.max(0.0).sqrt()
}
