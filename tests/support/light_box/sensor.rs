//! From light to numbers: photon noise, unequal pixels, read noise, dark level, 14 bits scaled to 16.

use super::Scene;
use rand::SeedableRng;
use rand::rngs::SmallRng;
use rand_distr::{Distribution, Poisson, StandardNormal};
use rayon::prelude::*;
use wedgebook::picture::Image;

/// The greatest number of 14 bits.
const MOST: f64 = 16_383.0;
/// What 14 bits are multiplied with to fill 16.
const SCALE: f64 = 4.0;
/// Standard deviation of how much pixels differ, the same pixel always alike.
const UNEQUAL: f64 = 0.004;

/// A picture of this light: 1 gives the scene's `exposure` in 1 second.
pub fn picture(scene: &Scene, light: &[f64], seconds: f64, frame: u64) -> Image {
    let mut values = vec![0.0_f32; light.len()];
    let w = scene.width;
    values.par_chunks_mut(w).enumerate().for_each(|(y, row)| {
        let mut chance = SmallRng::seed_from_u64(
            scene.seed.wrapping_mul(0x9e37_79b9).wrapping_add(frame).wrapping_mul(0x1_0001)
                ^ y as u64,
        );
        let mut pixel = SmallRng::seed_from_u64(0xface ^ y as u64);
        for (value, light) in row.iter_mut().zip(&light[y * w..]) {
            let unequal: f64 = StandardNormal.sample(&mut pixel);
            let mean = light * scene.exposure * seconds * scene.full * (1.0 + UNEQUAL * unequal);
            let noise: f64 = StandardNormal.sample(&mut chance);
            let electrons = if mean <= 0.0 {
                0.0
            } else if mean < 60.0 {
                Poisson::new(mean).map_or(mean, |p| p.sample(&mut chance))
            } else {
                let photons: f64 = StandardNormal.sample(&mut chance);
                mean + mean.sqrt() * photons
            };
            let share = (electrons + scene.read_noise * noise) / scene.full + scene.dark_level;
            let number = (share * MOST).round().clamp(0.0, MOST);
            *value = (number * SCALE / 65_535.0) as f32;
        }
    });
    let clipped_from = (MOST * SCALE / 65_535.0) as f32;
    Image { width: w, height: scene.height, light: values, clipped_from }
}
