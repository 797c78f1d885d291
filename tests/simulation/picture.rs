//! Densities from rendered pictures: how far off they are, how often their intervals hold the truth, whether
//! steps are misplaced, and whether pictures that are not linear are refused.
//!
//! No real photograph was tested. `WEDGEBOOK_PICTURES=200 cargo test --test simulation -- picture --nocapture`
//! prints the table with 200 scenes a row.

use crate::light_box::{Rendered, Scene, Step, strip_21};
use crate::tally::asked;
use rand::rngs::SmallRng;
use rand::{Rng, SeedableRng};
use rayon::prelude::*;
use wedgebook::picture::layout::Layout;
use wedgebook::picture::photometry::{Known, Stated};
use wedgebook::picture::place::Quad;
use wedgebook::picture::{Asked, Frames, Image, NotRead, Reading};

/// Ranges of density in the table: from 0, in halves.
const RANGES: usize = 7;

/// What scenes of one kind gave.
#[derive(Clone, Default)]
struct Kept {
    scenes: u32,
    refused: u32,
    /// By range: densities, squares of errors, intervals that hold.
    ranges: [(u32, f64, u32); RANGES],
    /// Steps that are more than 1.2 mm from their place, and scenes with one.
    misplaced: u32,
    /// Densities that are withheld, or said to be denser than a limit.
    absent: u32,
    /// Limits that the truth does not reach.
    wrong_limits: u32,
    chi: f64,
    shared: (f64, f64),
}

impl Kept {
    fn merged(mut self, other: Self) -> Self {
        self.scenes += other.scenes;
        self.refused += other.refused;
        for (own, other) in self.ranges.iter_mut().zip(other.ranges) {
            *own = (own.0 + other.0, own.1 + other.1, own.2 + other.2);
        }
        self.misplaced += other.misplaced;
        self.absent += other.absent;
        self.wrong_limits += other.wrong_limits;
        self.chi += other.chi;
        self.shared = (self.shared.0 + other.shared.0, self.shared.1 + other.shared.1);
        self
    }

    fn rms(&self, range: usize) -> f64 {
        let (n, squares, _) = self.ranges[range];
        (squares / f64::from(n.max(1))).sqrt()
    }

    /// All intervals, and those that hold the truth.
    fn covered(&self) -> (u32, f64) {
        let n: u32 = self.ranges.iter().map(|r| r.0).sum();
        let held: u32 = self.ranges.iter().map(|r| r.2).sum();
        (n, f64::from(held) / f64::from(n.max(1)))
    }

    fn print(&self, name: &str) {
        let read = f64::from((self.scenes - self.refused).max(1));
        let cells: Vec<String> = (0..RANGES)
            .map(|k| match self.ranges[k] {
                (0, ..) => "     -     ".to_owned(),
                (n, _, held) => {
                    format!("{:.4} ({:.2})", self.rms(k), f64::from(held) / f64::from(n))
                }
            })
            .collect();
        println!(
            "{name:34} {:4} {:4} {:4}  {}  all {:.3}  absent {} (wrong limits {})  chi {:.2}  offset {:.4} slope {:.4}",
            self.scenes,
            self.refused,
            self.misplaced,
            cells.join(" "),
            self.covered().1,
            self.absent,
            self.wrong_limits,
            self.chi / read,
            self.shared.0 / read,
            self.shared.1 / read
        );
    }
}

fn head() {
    let ranges: Vec<String> = (0..RANGES)
        .map(|k| format!("{:.1} to {:.1} ", 0.5 * k as f64, 0.5 * (k + 1) as f64))
        .collect();
    println!("\nrms of the density (share of 95 % intervals that hold the truth), by density");
    println!("{:34} {:>4} {:>4} {:>4}  {}", "set-up", "n", "ref", "mis", ranges.join(" "));
}

/// The corners of a film by its end steps, as a hand gives them: a pixel off in each direction.
fn corners(steps: &[Step], rng: &mut SmallRng) -> Quad {
    let (first, last) = (&steps[0].corners, &steps[steps.len() - 1].corners);
    Quad(
        [first[0], first[3], last[2], last[1]]
            .map(|[x, y]| (x + rng.random_range(-1.5..1.5), y + rng.random_range(-1.5..1.5))),
    )
}

/// Which frames are taken, and whether the corners are given.
#[derive(Clone, Copy)]
struct Way {
    flat: bool,
    dark: bool,
    given: bool,
}

const ALL: Way = Way { flat: true, dark: true, given: true };

fn read(rendered: &Rendered, scene: &Scene, way: Way) -> Result<Reading, NotRead> {
    read_picture(&rendered.image, rendered, scene, way)
}

fn read_picture(
    picture: &Image,
    r: &Rendered,
    scene: &Scene,
    way: Way,
) -> Result<Reading, NotRead> {
    let mut rng = SmallRng::seed_from_u64(scene.seed ^ 0xabc);
    let tablet: Vec<Known> =
        scene.tablet.iter().map(|d| Known { density: *d, sigma: scene.certificate_sd }).collect();
    let size = (picture.width, picture.height);
    let layout = Layout::of_areas(
        size,
        Some(scene.pitch),
        corners(&r.tablet, &mut rng),
        corners(&r.strip, &mut rng),
    );
    let frames =
        Frames { picture, flat: way.flat.then_some(&r.flat), dark: way.dark.then_some(&r.dark) };
    let layout = way.given.then_some(&layout);
    Reading::of(&frames, &Asked { tablet: &tablet, layout, step_mm: Some(scene.pitch) })
}

fn kept(r: &Rendered, scene: &Scene, reading: Result<Reading, NotRead>) -> Kept {
    let mut kept = Kept { scenes: 1, ..Kept::default() };
    let reading = match reading {
        Ok(reading) => reading,
        Err(why) => {
            if std::env::var_os("WEDGEBOOK_WHY").is_some() {
                println!("seed {}: {why}", scene.seed);
            }
            kept.refused = 1;
            return kept;
        }
    };
    kept.chi = reading.calibration.chi;
    kept.shared = (reading.shared.offset, reading.shared.slope);
    let found: Vec<f64> =
        reading.steps.iter().filter_map(|s| Some(s.stated.found()?.density)).collect();
    let mean = found.iter().sum::<f64>() / found.len() as f64;
    let mut off = false;
    let tablet = reading.layout.tablet.boxes.clone().unwrap();
    let placed = reading.steps.iter().map(|step| (step.area, &r.strip[step.step]));
    for (area, truth) in placed.chain(tablet.into_iter().zip(&r.tablet)) {
        let middle = (0..4).fold((0.0, 0.0), |m, k| {
            (m.0 + truth.corners[k][0] / 4.0, m.1 + truth.corners[k][1] / 4.0)
        });
        let found = area.middle();
        let away = (found.0 - middle.0).hypot(found.1 - middle.1);
        off |= away * scene.view / scene.width as f64 > 1.2;
    }
    kept.misplaced = u32::from(off);
    for step in &reading.steps {
        let truth = r.strip[step.step].density;
        match step.stated {
            Stated::Density(found) => {
                let range = ((truth / 0.5) as usize).min(RANGES - 1);
                let away = reading.shared.slope * (found.density - mean);
                let sd = found.sigma.hypot(reading.shared.offset).hypot(away);
                let error = found.density - truth;
                let cell = &mut kept.ranges[range];
                cell.0 += 1;
                cell.1 += error * error;
                cell.2 += u32::from(error.abs() <= 1.96 * sd);
            }
            Stated::DenserThan(limit) => {
                kept.absent += 1;
                kept.wrong_limits += u32::from(truth < limit);
            }
            Stated::Withheld => kept.absent += 1,
        }
    }
    kept
}

/// Scenes of one kind, each placed by chance and with a strip of another contrast.
fn scenes(count: u64, of: impl Fn(Scene) -> Scene + Sync, way: Way) -> Kept {
    let one = |seed: u64| {
        let contrast = 0.45 + 0.55 * ((seed * 7) % 10) as f64 / 9.0;
        let scene = Scene { seed: seed + 100, strip: strip_21(contrast), ..Scene::default() };
        let scene = of(scene).placed_by_chance();
        let rendered = scene.render();
        kept(&rendered, &scene, read(&rendered, &scene, way))
    };
    (0..count).into_par_iter().map(one).reduce(Kept::default, Kept::merged)
}

#[test]
fn pictures_of_a_masked_box_give_densities_and_open_ones_no_false_confidence() {
    let count = asked("WEDGEBOOK_PICTURES", 3);
    head();
    let glare = |glare: f64| move |scene: Scene| Scene { glare, ..scene };
    let mut masked = Kept::default();
    for share in [0.01, 0.02] {
        let name = format!("mask, {} %, bare flat, corners", 100.0 * share);
        let found = scenes(count, glare(share), ALL);
        found.print(&name);
        masked = masked.merged(found);
        let found = scenes(
            count,
            |scene| Scene { flat_with_mask: true, ..glare(share)(scene) },
            Way { given: false, ..ALL },
        );
        found.print(&format!("mask, {} %, masked flat, found", 100.0 * share));
        masked = masked.merged(found);
    }
    masked.print("mask, all of these");
    let open = scenes(count, |scene| Scene { mask: false, ..scene }, ALL);
    open.print("open box, 2 %");
    let no_flat = scenes(count, |scene| scene, Way { flat: false, ..ALL });
    no_flat.print("mask, 2 %, no flat");
    let no_dark = scenes(count, |scene| scene, Way { dark: false, ..ALL });
    no_dark.print("mask, 2 %, no dark");
    assert_eq!(masked.misplaced, 0);
    assert!(masked.refused * 50 <= masked.scenes, "{} refused", masked.refused);
    for range in 0..5 {
        assert!(masked.rms(range) <= 0.005 * 1.3, "{range}: {}", masked.rms(range));
    }
    assert!(masked.rms(5) <= 0.008 * 1.3, "{}", masked.rms(5));
    let (_, covered) = masked.covered();
    // Errors of one scene go together: the shares of a few scenes scatter.
    let slack = 0.15 / f64::from(masked.scenes).sqrt();
    assert!(covered > 0.93 - slack && covered < 0.98 + slack, "{covered}");
    let (n, held) = open.covered();
    assert!(n == 0 || held > 0.90 - 0.3 / f64::from(open.scenes).sqrt(), "{held}");
}

const MILD: &str = "soft shoulder";

#[test]
fn pictures_with_a_tone_curve_are_refused() {
    let count = asked("WEDGEBOOK_PICTURES", 3).min(20);
    let srgb =
        |v: f32| if v <= 0.003_130_8 { 12.92 * v } else { 1.055 * v.powf(1.0 / 2.4) - 0.055 };
    type Curve<'a> = (&'a str, &'a (dyn Fn(f32) -> f32 + Sync));
    let curves: [Curve<'_>; 5] = [
        ("gamma 2.2", &|v| v.powf(1.0 / 2.2)),
        ("sRGB", &srgb),
        ("gamma 1.1", &|v| v.powf(1.0 / 1.1)),
        ("gamma 0.9", &|v| v.powf(1.0 / 0.9)),
        // No encoding, and mild: it is printed how often it is seen.
        (MILD, &|v| v * (1.0 - 0.3 * v)),
    ];
    for (name, curve) in curves {
        let refused: u64 = (0..count)
            .into_par_iter()
            .map(|seed| {
                let scene = Scene { seed: seed + 300, ..Scene::default() }.placed_by_chance();
                let mut rendered = scene.render();
                // All frames went through the same camera.
                for frame in [&mut rendered.image, &mut rendered.flat, &mut rendered.dark] {
                    frame.light.iter_mut().for_each(|v| *v = curve(*v));
                }
                u64::from(read(&rendered, &scene, ALL).is_err())
            })
            .sum();
        println!("{name:14} refused {refused} of {count}");
        assert!(refused == count || name == MILD, "{name}");
    }
}

#[test]
fn pictures_without_a_tablet_are_refused() {
    let scene = Scene { seed: 9, ..Scene::default() };
    let rendered = scene.render();
    let nothing = rendered.set_up.nothing();
    assert!(read_picture(&nothing, &rendered, &scene, ALL).is_err());
    assert!(read_picture(&rendered.dark, &rendered, &scene, ALL).is_err());
    let over = rendered.set_up.picture(30.0);
    let refused = read_picture(&over, &rendered, &scene, ALL);
    assert!(matches!(refused, Err(NotRead::Clipped { .. })), "{refused:?}");
}
