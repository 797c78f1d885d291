//! The rendered pictures are what they say: densities at the places of the steps, glare, noise.

use crate::light_box::{Rendered, Scene, Step, Which};
use wedgebook::picture::Image;

/// Mean light of the inner half of a step.
fn inner(image: &Image, step: &Step) -> f64 {
    let [a, b, c, d] = step.corners;
    let mut sum = 0.0;
    for i in 0..10 {
        for j in 0..10 {
            let (u, v) = (0.25 + f64::from(i) / 18.0, 0.25 + f64::from(j) / 18.0);
            let at = |k: usize| {
                (1.0 - v) * ((1.0 - u) * a[k] + u * b[k]) + v * ((1.0 - u) * d[k] + u * c[k])
            };
            sum += image.between(at(0), at(1)).expect("in view");
        }
    }
    sum / 100.0
}

fn density(r: &Rendered, step: &Step) -> f64 {
    let dark = inner(&r.dark, step);
    -((inner(&r.image, step) - dark) / (inner(&r.flat, step) - dark)).log10()
}

fn clean(glare: f64) -> Scene {
    Scene { glare, dust: 0, certificate_sd: 0.0, grain: 0.0, ..Scene::default() }
}

#[test]
fn without_glare_each_step_has_its_density() {
    for mask in [true, false] {
        let r = Scene { mask, ..clean(0.0) }.placed_by_chance().render();
        for step in r.tablet.iter().chain(&r.strip).filter(|s| s.density < 2.0) {
            let found = density(&r, step);
            // Noise of a hundred places, and the flat's.
            assert!((found - step.density).abs() < 0.01, "{found} for {}", step.density);
        }
    }
}

#[test]
fn glare_makes_dense_steps_lighter() {
    let r = Scene { mask: false, ..clean(0.02) }.render();
    let dense = r.tablet.last().unwrap();
    let found = density(&r, dense);
    // Steps of 3 behind glare of a part of 2 % of clear.
    assert!((1.7..2.4).contains(&found), "{found}");
    let masked = clean(0.02).render();
    assert!(density(&masked, masked.tablet.last().unwrap()) > found + 0.2);
}

#[test]
fn the_same_seed_is_the_same_picture_and_brackets_are_in_proportion() {
    let scene = Scene { seed: 7, ..Scene::default() }.placed_by_chance();
    let (a, b) = (scene.render(), scene.render());
    assert_eq!(a.image, b.image);
    assert_ne!(a.image, Scene { seed: 8, ..scene }.render().image);
    let short = a.set_up.picture(0.25);
    let step = &a.tablet[0];
    let dark = inner(&a.dark, step);
    let ratio = (inner(&a.image, step) - dark) / (inner(&short, step) - dark);
    assert!((ratio - 4.0).abs() < 0.02, "{ratio}");
    let long = a.set_up.picture(4.0);
    assert!(long.light.iter().any(|v| *v >= long.clipped_from));
}

#[test]
fn the_certificate_differs_from_the_truth_by_its_errors() {
    let r = Scene { seed: 3, ..Scene::default() }.render();
    let certificate = Scene::default().tablet;
    let squares: f64 =
        certificate.iter().zip(&r.tablet_densities).map(|(c, t)| (c - t).powi(2)).sum();
    let sd = (squares / certificate.len() as f64).sqrt();
    assert!((0.005..0.016).contains(&sd), "{sd}");
    let steps = r.set_up.steps(Which::Strip);
    let [a, b, ..] = steps[0].corners.map(|c| r.set_up.millimetres(c));
    assert!(((b[0] - a[0]).hypot(b[1] - a[1]) - 6.35 * 0.999).abs() < 1e-3);
}
