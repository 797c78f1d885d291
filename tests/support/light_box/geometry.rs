//! From the box's plane in mm to the picture's pixels, and back.

use super::Scene;
use nalgebra::{Matrix3, Vector3};

/// A pinhole camera that is turned and not quite square to the box, with a lens whose scale changes with the
/// square of the distance from the middle.
pub struct Camera {
    to_pixels: Matrix3<f64>,
    to_millimetres: Matrix3<f64>,
    middle: [f64; 2],
    corner: f64,
    bend: f64,
}

impl Camera {
    pub fn new(scene: &Scene) -> Self {
        let (w, h) = (scene.width as f64, scene.height as f64);
        let middle = [(w - 1.0) / 2.0, (h - 1.0) / 2.0];
        let scale = w / scene.view;
        let (sin, cos) = scene.turn.to_radians().sin_cos();
        let turned = Matrix3::new(cos, -sin, 0.0, sin, cos, 0.0, 0.0, 0.0, 1.0);
        let sheared = Matrix3::new(scale, scale * scene.skew, 0.0, 0.0, scale, 0.0, 0.0, 0.0, 1.0);
        let [kx, ky] = scene.keystone;
        let keystone = Matrix3::new(1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 2.0 * kx / w, 2.0 * ky / h, 1.0);
        let moved = Matrix3::new(1.0, 0.0, middle[0], 0.0, 1.0, middle[1], 0.0, 0.0, 1.0);
        let to_pixels = moved * keystone * turned * sheared;
        let to_millimetres = to_pixels.try_inverse().expect("a camera that sees the box");
        Camera { to_pixels, to_millimetres, middle, corner: w.hypot(h) / 2.0, bend: scene.bend }
    }

    /// Distance from the picture's middle; 1 at a corner.
    pub fn radius(&self, [x, y]: [f64; 2]) -> f64 {
        (x - self.middle[0]).hypot(y - self.middle[1]) / self.corner
    }

    pub fn millimetres(&self, pixel: [f64; 2]) -> [f64; 2] {
        let stretch = 1.0 + self.bend * self.radius(pixel).powi(2);
        let [x, y] = [0, 1].map(|k| self.middle[k] + (pixel[k] - self.middle[k]) * stretch);
        of(&self.to_millimetres, [x, y])
    }

    pub fn pixel(&self, millimetres: [f64; 2]) -> [f64; 2] {
        let straight = of(&self.to_pixels, millimetres);
        let mut pixel = straight;
        // The bend is small: each pass gains two digits and more.
        for _ in 0..12 {
            let stretch = 1.0 + self.bend * self.radius(pixel).powi(2);
            pixel = [0, 1].map(|k| self.middle[k] + (straight[k] - self.middle[k]) / stretch);
        }
        pixel
    }
}

fn of(matrix: &Matrix3<f64>, [x, y]: [f64; 2]) -> [f64; 2] {
    let p = matrix * Vector3::new(x, y, 1.0);
    [p.x / p.z, p.y / p.z]
}
