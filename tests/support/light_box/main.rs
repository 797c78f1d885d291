//! Writes the pictures of a rendered light box: the films, a flat and a dark frame, as linear 16-bit PNG.
//!
//! `cargo run --example light-box -- FOLDER` makes the folder where it is missing. `WEDGEBOOK_SEED` changes the
//! scene, `WEDGEBOOK_LARGE=1` makes 1920 × 1200 pixels, `WEDGEBOOK_OPEN=1` leaves the mask away. No real
//! photograph stands behind these pictures.

#[path = "mod.rs"]
mod light_box;

use light_box::Scene;
use std::fmt::Write as _;
use std::path::PathBuf;
use wedgebook::picture::png_of;

fn main() -> std::io::Result<()> {
    let folder = std::env::args().nth(1).map(PathBuf::from);
    let folder = folder.ok_or_else(|| std::io::Error::other("name a folder for the pictures"))?;
    let asked = |name: &str| std::env::var(name).is_ok_and(|value| value == "1");
    let seed = std::env::var("WEDGEBOOK_SEED").ok().and_then(|n| n.parse().ok()).unwrap_or(1);
    let mut scene = Scene { seed, mask: !asked("WEDGEBOOK_OPEN"), ..Scene::default() };
    if asked("WEDGEBOOK_LARGE") {
        scene = scene.large();
    }
    let rendered = scene.placed_by_chance().render();
    std::fs::create_dir_all(&folder)?;
    std::fs::write(folder.join("picture.png"), png_of(&rendered.image)?)?;
    std::fs::write(folder.join("flat.png"), png_of(&rendered.flat)?)?;
    std::fs::write(folder.join("dark.png"), png_of(&rendered.dark)?)?;
    let mut truth = String::from("film,step,density,left,top,right,bottom\n");
    for (film, steps) in [("tablet", &rendered.tablet), ("strip", &rendered.strip)] {
        for (k, step) in steps.iter().enumerate() {
            let [a, b, c, d] = step.corners;
            let (left, right) = ((a[0] + d[0]) / 2.0, (b[0] + c[0]) / 2.0);
            let (top, bottom) = ((a[1] + b[1]) / 2.0, (c[1] + d[1]) / 2.0);
            let _ = writeln!(
                truth,
                "{film},{},{:.4},{left:.1},{top:.1},{right:.1},{bottom:.1}",
                k + 1,
                step.density
            );
        }
    }
    std::fs::write(folder.join("truth.csv"), truth)
}
