//! Densities from a picture against the same definitions written a second time, in NumPy and SciPy.
//!
//! Source: SciPy 1, `optimize.least_squares` with Huber's loss, on data/box.png; `tests/support/picture_photometry.py`
//! makes `data/picture_photometry.csv`.

use std::path::Path;
use wedgebook::picture::layout::Layout;
use wedgebook::picture::photometry::Known;
use wedgebook::picture::{Asked, Frames, Image, Options, Reading, read};
use wedgebook::readings::Tablet;

#[test]
fn densities_of_the_demonstration() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let frame =
        |name: &str| -> Image { read(&root.join("data").join(name), Options::default()).unwrap() };
    let (picture, flat, dark) = (frame("box.png"), frame("box-flat.png"), frame("box-dark.png"));
    let (tablet, _) = Tablet::read(&root.join("data/tablet.csv")).unwrap();
    let known: Vec<Known> = tablet
        .steps
        .iter()
        .map(|step| Known { density: step.value, sigma: step.sigma.unwrap() })
        .collect();
    let fixtures = root.join("tests/published/data");
    let layout = std::fs::read_to_string(fixtures.join("picture_layout.toml")).unwrap();
    let layout = Layout::of_text(&layout).unwrap();
    let frames = Frames { picture: &picture, flat: Some(&flat), dark: Some(&dark) };
    let asked = Asked { tablet: &known, layout: Some(&layout), step_mm: None };
    let reading = Reading::of(&frames, &asked).unwrap();
    let path = fixtures.join("picture_photometry.csv");
    let mut rows = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(path).unwrap();
    let mut checked = 0;
    for row in rows.deserialize() {
        let (what, step, value): (String, Option<usize>, f64) = row.unwrap();
        let own = match what.as_str() {
            "clear" => reading.calibration.clear,
            "kappa" => reading.calibration.kappa,
            _ => {
                let steps = &reading.steps[step.unwrap() - 1];
                steps.stated.found().unwrap().density
            }
        };
        assert!((own - value).abs() < 1e-6, "{what} {step:?}: {own} not {value}");
        checked += 1;
    }
    assert_eq!(checked, 2 + 21);
}
