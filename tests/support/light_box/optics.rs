//! Light from the box through the films and the lens to the sensor.

use super::Scene;
use super::film::{Film, Speck, density, grain};
use super::geometry::Camera;
use rand::rngs::SmallRng;
use rand::{Rng, SeedableRng};
use rand_distr::{Distribution, StandardNormal};
use rayon::prelude::*;

/// Half sides of the box in mm: it reaches beyond the picture.
const BOX: [f64; 2] = [105.0, 75.0];

/// The halos of the lens: share and width in mm. A long tail, as lenses have (Talvala et al. 2007, from memory),
/// by three bells.
const HALOS: [(f64, f64); 3] = [(0.40, 1.6), (0.35, 8.0), (0.25, 30.0)];

/// Blur of the lens in pixels.
const BLUR: f64 = 0.7;

/// The uneven light of the box, and the lens's fall of light.
pub struct Field {
    uneven: f64,
    slope: [f64; 2],
    ripple: [f64; 2],
    half_angle: f64,
    grain_seed: u64,
}

impl Field {
    pub fn new(scene: &Scene, rng: &mut SmallRng) -> Self {
        let mut within = |most: f64| rng.random_range(-most..=most);
        let slope = [within(0.3), within(0.3)];
        let ripple = [within(1.5), within(1.5)];
        Field {
            uneven: scene.uneven,
            slope,
            ripple,
            half_angle: scene.half_angle.to_radians(),
            grain_seed: scene.seed ^ 0x5555,
        }
    }

    /// Light of the bare box: less towards the edges, a slope, and a ripple of its rows of lamps; 1 at about the
    /// middle.
    fn lamp(&self, [x, y]: [f64; 2]) -> f64 {
        if x.abs() > BOX[0] || y.abs() > BOX[1] {
            return 0.0;
        }
        let (u, v) = (x / 80.0, y / 80.0);
        let fall = u * u + 1.3 * v * v + 0.25 * (u * u * v * v + u * u * u);
        let slope = self.slope[0] * u + self.slope[1] * v;
        let ripple = 0.05 * (x / 2.7 + self.ripple[0]).cos() * (y / 3.1 + self.ripple[1]).cos();
        (1.0 + self.uneven * (slope - fall + ripple)).max(0.05)
    }

    /// What the lens lets through off its axis: the fourth power of the cosine.
    fn lens(&self, radius: f64) -> f64 {
        (radius * self.half_angle.tan()).atan().cos().powi(4)
    }

    /// Light at the sensor with films, mask and dust.
    pub fn light(
        &self,
        camera: &Camera,
        films: &[Film],
        specks: &[Speck],
        scene: &Scene,
    ) -> Vec<f64> {
        self.formed(camera, films, specks, scene, scene.mask)
    }

    /// Light at the sensor without films: the bare box, or the mask where openings are given.
    pub fn flat(&self, camera: &Camera, openings: &[Film], scene: &Scene) -> Vec<f64> {
        if openings.is_empty() {
            return self.formed(camera, &[], &[], scene, false);
        }
        let light = self.seen(camera, scene, |mm| {
            if openings.iter().any(|film| film.open(mm)) { 1.0 } else { 1e-6 }
        });
        self.scattered(camera, scene, light, |mm| {
            if openings.iter().any(|film| film.open(mm)) { 1.0 } else { 1e-6 }
        })
    }

    fn formed(
        &self,
        camera: &Camera,
        films: &[Film],
        specks: &[Speck],
        scene: &Scene,
        mask: bool,
    ) -> Vec<f64> {
        let through = |mm| 10.0_f64.powf(-density(films, mask, mm).0);
        let mut light = self.seen(camera, scene, through);
        self.grained(camera, films, scene, mask, &mut light);
        for speck in specks {
            dusted(camera, scene, speck, &mut light);
        }
        self.scattered(camera, scene, light, through)
    }

    /// Light before blur and glare, the mean of four places in each pixel.
    fn seen(
        &self,
        camera: &Camera,
        scene: &Scene,
        through: impl Fn([f64; 2]) -> f64 + Sync,
    ) -> Vec<f64> {
        let mut light = vec![0.0; scene.width * scene.height];
        light.par_chunks_mut(scene.width).enumerate().for_each(|(y, row)| {
            for (x, light) in row.iter_mut().enumerate() {
                let pixel = [x as f64, y as f64];
                let lens = self.lens(camera.radius(pixel));
                let lamp = self.lamp(camera.millimetres(pixel));
                let sum: f64 = [(-0.25, -0.25), (0.25, -0.25), (-0.25, 0.25), (0.25, 0.25)]
                    .iter()
                    .map(|(u, v)| through(camera.millimetres([pixel[0] + u, pixel[1] + v])))
                    .sum();
                *light = lens * lamp * sum / 4.0;
            }
        });
        light
    }

    fn grained(
        &self,
        camera: &Camera,
        films: &[Film],
        scene: &Scene,
        mask: bool,
        light: &mut [f64],
    ) {
        if scene.grain == 0.0 || films.is_empty() {
            return;
        }
        light.par_chunks_mut(scene.width).enumerate().for_each(|(y, row)| {
            let mut rng = SmallRng::seed_from_u64(self.grain_seed.wrapping_add(y as u64));
            for (x, light) in row.iter_mut().enumerate() {
                let (d, strip) = density(films, mask, camera.millimetres([x as f64, y as f64]));
                if strip {
                    let chance: f64 = StandardNormal.sample(&mut rng);
                    *light *= 10.0_f64.powf(-grain(scene, d) * chance);
                }
            }
        });
    }

    /// Blur, then glare: halos of all that the lens sees, also a little beyond the frame, and an even veil.
    fn scattered(
        &self,
        camera: &Camera,
        scene: &Scene,
        light: Vec<f64>,
        through: impl Fn([f64; 2]) -> f64 + Sync,
    ) -> Vec<f64> {
        let (w, h) = (scene.width, scene.height);
        let sharp = blurred(&light, w, h, BLUR);
        if scene.glare == 0.0 {
            return sharp;
        }
        // A coarse picture, one cell about a mm, with a margin of 30 mm.
        let cell = scene.width as f64 / scene.view;
        let margin = 30usize;
        let (columns, rows) = (
            (w as f64 / cell).ceil() as usize + 2 * margin,
            (h as f64 / cell).ceil() as usize + 2 * margin,
        );
        let pixel = |cells: f64| (cells - margin as f64) * cell - 0.5;
        let mut coarse = vec![0.0; columns * rows];
        coarse.par_chunks_mut(columns).enumerate().for_each(|(j, row)| {
            for (i, value) in row.iter_mut().enumerate() {
                for k in 0..16 {
                    let at = [
                        pixel(i as f64 + f64::from(k % 4) / 4.0 + 0.125),
                        pixel(j as f64 + f64::from(k / 4) / 4.0 + 0.125),
                    ];
                    let mm = camera.millimetres(at);
                    *value += self.lens(camera.radius(at)) * self.lamp(mm) * through(mm) / 16.0;
                }
            }
        });
        let mut halo = vec![0.0; coarse.len()];
        for (share, width) in HALOS {
            for (sum, value) in halo.iter_mut().zip(blurred(&coarse, columns, rows, width)) {
                *sum += share * value;
            }
        }
        let veil = sharp.iter().sum::<f64>() / sharp.len() as f64;
        let at =
            |column: usize, row: usize| halo[row.min(rows - 1) * columns + column.min(columns - 1)];
        let mut out = sharp;
        out.par_chunks_mut(w).enumerate().for_each(|(y, row)| {
            // Values of cells stand at their middles.
            let v = (y as f64 + 0.5) / cell + margin as f64 - 0.5;
            let (j, fv) = (v.floor(), v - v.floor());
            for (x, light) in row.iter_mut().enumerate() {
                let u = (x as f64 + 0.5) / cell + margin as f64 - 0.5;
                let (i, fu) = (u.floor() as usize, u - u.floor());
                let j = j as usize;
                let upper = (1.0 - fu) * at(i, j) + fu * at(i + 1, j);
                let lower = (1.0 - fu) * at(i, j + 1) + fu * at(i + 1, j + 1);
                let halo = (1.0 - fv) * upper + fv * lower;
                *light = (1.0 - scene.glare) * *light
                    + scene.glare * ((1.0 - scene.veil) * halo + scene.veil * veil);
            }
        });
        out
    }
}

/// One speck before the light.
fn dusted(camera: &Camera, scene: &Scene, speck: &Speck, light: &mut [f64]) {
    let middle = camera.pixel(speck.at);
    let reach = speck.reach() * scene.width as f64 / scene.view * 1.1 + 1.0;
    let range = |middle: f64, most: usize| {
        ((middle - reach).max(0.0) as usize)..((middle + reach).max(0.0) as usize + 1).min(most)
    };
    for y in range(middle[1], scene.height) {
        for x in range(middle[0], scene.width) {
            let density = speck.density(camera.millimetres([x as f64, y as f64]));
            light[y * scene.width + x] *= 10.0_f64.powf(-density);
        }
    }
}

/// A bell-shaped blur; beyond the edges the picture is as at them.
fn blurred(light: &[f64], w: usize, h: usize, sd: f64) -> Vec<f64> {
    let reach = (4.0 * sd).ceil() as isize;
    let bell: Vec<f64> = (-reach..=reach).map(|k| (-0.5 * (k as f64 / sd).powi(2)).exp()).collect();
    let sum: f64 = bell.iter().sum();
    let near = |k: usize, step: usize, most: usize| {
        (k as isize + step as isize - reach).clamp(0, most as isize - 1) as usize
    };
    let mut across = vec![0.0; light.len()];
    across.par_chunks_mut(w).enumerate().for_each(|(y, row)| {
        let from = &light[y * w..(y + 1) * w];
        for (x, value) in row.iter_mut().enumerate() {
            *value =
                bell.iter().enumerate().map(|(k, b)| b * from[near(x, k, w)]).sum::<f64>() / sum;
        }
    });
    let mut down = vec![0.0; light.len()];
    down.par_chunks_mut(w).enumerate().for_each(|(y, row)| {
        for (k, b) in bell.iter().enumerate() {
            let from = near(y, k, h) * w;
            for (value, light) in row.iter_mut().zip(&across[from..from + w]) {
                *value += b / sum * light;
            }
        }
    });
    down
}
