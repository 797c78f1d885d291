//! Densities from rendered pictures: how far off they are, how often their intervals hold the truth, whether
//! steps are misplaced, whether pictures that are not linear are refused, and what a bracket gains.
//!
//! No real photograph was tested. `WEDGEBOOK_PICTURES=200 cargo test --release --test simulation -- picture
//! --nocapture` prints the tables with 200 scenes a row.

use crate::light_box::{Rendered, Scene, Step, strip_21, strip_behind, tablet_of};
use crate::tally::asked;
use rand::rngs::SmallRng;
use rand::{Rng, SeedableRng};
use rand_distr::{Distribution, StandardNormal};
use rayon::prelude::*;
use wedgebook::picture::bracket::{Exposure, Shutter, merge};
use wedgebook::picture::layout::Layout;
use wedgebook::picture::photometry::{Known, Stated};
use wedgebook::picture::place::Quad;
use wedgebook::picture::{Asked, Frames, Image, NotRead, PictureNote, Reading};

/// Ranges of density in the table: from 0, in halves.
const RANGES: usize = 7;
/// The first of them of dense steps: from 2.5.
const DENSE: usize = 5;

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
    /// Squares of errors over their stated uncertainty.
    squares: f64,
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
        self.squares += other.squares;
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
            "{name:34} {:4} {:4} {:4}  {}  all {:.3}  error/sd {:.2}  absent {} (wrong limits {})  chi {:.2}  offset {:.4} slope {:.4}",
            self.scenes,
            self.refused,
            self.misplaced,
            cells.join(" "),
            self.covered().1,
            (self.squares / f64::from(self.covered().0.max(1))).sqrt(),
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
    let sigma = scene.certificate_sd;
    let tablet: Vec<Known> = scene.tablet.iter().map(|d| Known { density: *d, sigma }).collect();
    let frames =
        Frames { picture, flat: way.flat.then_some(&r.flat), dark: way.dark.then_some(&r.dark) };
    read_frames(&frames, r, scene, &tablet, way.given)
}

fn read_frames(
    frames: &Frames<'_>,
    r: &Rendered,
    scene: &Scene,
    tablet: &[Known],
    given: bool,
) -> Result<Reading, NotRead> {
    let mut rng = SmallRng::seed_from_u64(scene.seed ^ 0xabc);
    let picture = frames.picture;
    let size = (picture.width, picture.height);
    let layout = Layout::of_areas(
        size,
        Some(scene.pitch),
        corners(&r.tablet, &mut rng),
        corners(&r.strip, &mut rng),
    );
    let layout = given.then_some(&layout);
    Reading::of(frames, &Asked { tablet, layout, step_mm: Some(scene.pitch) })
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
                kept.squares += (error / sd).powi(2);
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

/// The contrast of the film in a scene: from 0.45 to 1 by turns.
fn contrast(seed: u64) -> f64 {
    0.45 + 0.55 * ((seed * 7) % 10) as f64 / 9.0
}

/// Scenes of one kind, each placed by chance and with a strip of another contrast.
fn scenes(count: u64, of: impl Fn(Scene) -> Scene + Sync, way: Way) -> Kept {
    let one = |seed: u64| {
        let scene = Scene { seed: seed + 100, strip: strip_21(contrast(seed)), ..Scene::default() };
        let scene = of(scene).placed_by_chance();
        let rendered = scene.render();
        kept(&rendered, &scene, read(&rendered, &scene, way))
    };
    (0..count).into_par_iter().map(one).reduce(Kept::default, Kept::merged)
}

/// What is asked of intervals: overall, and not badly off in a range. The errors of one scene go together by the
/// tablet's certificate, so that scenes count, not densities.
fn assert_held(name: &str, kept: &Kept) {
    let (_, covered) = kept.covered();
    let slack = 0.5 / f64::from(kept.scenes).sqrt();
    assert!((0.93 - slack..=0.98 + slack).contains(&covered), "{name}: {covered}");
    for (k, (n, _, held)) in kept.ranges.iter().enumerate() {
        let share = f64::from(*held) / f64::from((*n).max(1));
        assert!(*n < 40 || share > 0.90 - slack, "{name}, range {k}: {share}");
    }
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
    assert_held("masked", &masked);
    let (n, held) = open.covered();
    assert!(n == 0 || held > 0.90 - 0.3 / f64::from(open.scenes).sqrt(), "{held}");
}

/// Scenes that no constant of the program was chosen by.
#[test]
fn intervals_hold_in_scenes_of_other_kinds() {
    let count = match asked("WEDGEBOOK_PICTURES", 1) {
        few if few < 10 => 1,
        many => many,
    };
    let tablet = |steps: usize, by: f64| {
        move |scene: Scene| {
            let tablet = tablet_of(steps, by);
            let strip = strip_behind(&tablet, contrast(scene.seed));
            Scene { pitch: 133.0 / steps as f64, tablet, strip, ..scene }
        }
    };
    type Kind<'a> = (&'a str, &'a (dyn Fn(Scene) -> Scene + Sync));
    let kinds: [Kind<'_>; 9] = [
        ("other seeds", &|scene| Scene { seed: scene.seed + 70_000, ..scene }),
        ("640 × 400 pixels", &|scene| Scene { width: 640, height: 400, ..scene }),
        ("dust 200", &|scene| Scene { dust: 200, ..scene }),
        ("halo, little veil", &|scene| Scene { veil: 0.1, ..scene }),
        ("certificate 0.005", &|scene| Scene { certificate_sd: 0.005, ..scene }),
        ("certificate 0.02", &|scene| Scene { certificate_sd: 0.02, ..scene }),
        ("31 steps of 0.10", &tablet(31, 0.10)),
        ("15 steps of 0.20", &tablet(15, 0.20)),
        ("contrast 0.4 to 1.2", &|scene| {
            let strip = strip_21(0.4 + 0.8 * ((scene.seed * 3) % 10) as f64 / 9.0);
            Scene { strip, ..scene }
        }),
    ];
    head();
    let mut all = Kept::default();
    for (name, kind) in kinds {
        let found = scenes(count, |scene| kind(Scene { seed: scene.seed + 30_000, ..scene }), ALL);
        found.print(name);
        assert_eq!(found.misplaced, 0, "{name}");
        if count > 10 {
            assert_held(name, &found);
        }
        all = all.merged(found);
    }
    all.print("all of these");
    assert_held("all", &all);
}

/// What a picture that went through a curve gave: whether a curve is noted, the error of contrast, its stated
/// uncertainty, and whether the effect that is stated for a tone curve agrees with the error.
type Read = (bool, f64, f64, bool);

/// Reads a scene whose frames all went through one curve: they are of one camera. `None` where that is refused.
fn through(curve: &dyn Fn(f32) -> f32, r: &Rendered, scene: &Scene) -> Option<Read> {
    let curved = |frame: &Image| {
        let light = frame.light.iter().map(|v| curve(*v)).collect();
        Image { light, ..frame.clone() }
    };
    let [picture, flat, dark] = [&r.image, &r.flat, &r.dark].map(curved);
    let frames = Frames { picture: &picture, flat: Some(&flat), dark: Some(&dark) };
    let sigma = scene.certificate_sd;
    let tablet: Vec<Known> = scene.tablet.iter().map(|d| Known { density: *d, sigma }).collect();
    let reading = read_frames(&frames, r, scene, &tablet, true).ok()?;
    let noted = |n: &PictureNote| matches!(n, PictureNote::ToneCurve { .. });
    let (error, sd) = slope_error(r, &reading);
    let tone = reading.tone?;
    let within = (tone.contrast - error).abs() <= 1.96 * tone.contrast_sd.hypot(sd);
    Some((reading.notes.iter().any(noted), error, sd, within))
}

/// The slope of errors over densities: the relative error of contrast. With the uncertainty that is stated: the
/// shared slope, and what the steps have by themselves.
fn slope_error(r: &Rendered, reading: &Reading) -> (f64, f64) {
    let all: Vec<(f64, f64, f64)> = reading
        .steps
        .iter()
        .filter_map(|s| {
            let (found, truth) = (s.stated.found()?, r.strip[s.step].density);
            Some((truth, found.density - truth, found.sigma))
        })
        .collect();
    let mean = all.iter().map(|a| a.0).sum::<f64>() / all.len() as f64;
    let square: f64 = all.iter().map(|a| (a.0 - mean).powi(2)).sum();
    let slope = all.iter().map(|a| (a.0 - mean) * a.1).sum::<f64>() / square;
    let own: f64 = all.iter().map(|a| ((a.0 - mean) * a.2 / square).powi(2)).sum();
    (slope, reading.shared.slope.hypot(own.sqrt()))
}

#[test]
fn pictures_with_a_tone_curve_are_refused() {
    let count = asked("WEDGEBOOK_PICTURES", 3).min(100);
    let srgb =
        |v: f32| if v <= 0.003_130_8 { 12.92 * v } else { 1.055 * v.powf(1.0 / 2.4) - 0.055 };
    type Curve<'a> = (&'a str, bool, &'a (dyn Fn(f32) -> f32 + Sync));
    // Whether all must be refused.
    let curves: [Curve<'_>; 12] = [
        ("linear", false, &|v| v),
        ("gamma 2.2", true, &|v| v.powf(1.0 / 2.2)),
        ("sRGB", true, &srgb),
        ("gamma 1.1", true, &|v| v.powf(1.0 / 1.1)),
        ("gamma 0.9", true, &|v| v.powf(1.0 / 0.9)),
        ("gamma 1.05", true, &|v| v.powf(1.0 / 1.05)),
        ("gamma 0.95", true, &|v| v.powf(1.0 / 0.95)),
        ("gamma 1.02", false, &|v| v.powf(1.0 / 1.02)),
        ("v (1 − 0.05 v)", false, &|v| v * (1.0 - 0.05 * v)),
        ("v (1 − 0.1 v)", false, &|v| v * (1.0 - 0.1 * v)),
        ("v (1 − 0.2 v)", true, &|v| v * (1.0 - 0.2 * v)),
        ("v (1 − 0.3 v)", true, &|v| v * (1.0 - 0.3 * v)),
    ];
    println!(
        "\n{:16} {:>4} {:>7} {:>6}  contrast of those that are read: error (mean, rms), sd stated; in the interval by the tone curve",
        "curve", "n", "refused", "noted"
    );
    // One scene through all curves.
    let scenes: Vec<Vec<Option<Read>>> = (0..count)
        .into_par_iter()
        .map(|seed| {
            let scene = Scene { seed: seed + 300, ..Scene::default() }.placed_by_chance();
            let r = scene.render();
            curves.iter().map(|(_, _, curve)| through(curve, &r, &scene)).collect()
        })
        .collect();
    for (k, (name, all, _)) in curves.into_iter().enumerate() {
        let found: Vec<Option<Read>> = scenes.iter().map(|scene| scene[k]).collect();
        let read: Vec<_> = found.iter().flatten().collect();
        let n = read.len().max(1) as f64;
        let mean = read.iter().map(|r| r.1).sum::<f64>() / n;
        let rms = |of: &dyn Fn(&Read) -> f64| {
            (read.iter().map(|r| of(r).powi(2)).sum::<f64>() / n).sqrt()
        };
        let share = |of: &dyn Fn(&Read) -> bool| read.iter().filter(|r| of(r)).count() as f64 / n;
        let refused = found.len() - read.len();
        print!("{name:16} {count:4} {refused:7}");
        if !read.is_empty() {
            print!(
                " {:6.0}  {mean:+.4} {:.4} {:.4}  {:.2}",
                n * share(&|r| r.0),
                rms(&|r| r.1),
                rms(&|r| r.2),
                share(&|r| r.3)
            );
        }
        println!();
        assert!(refused == count as usize || !all, "{name}");
        if name == "linear" {
            assert!(refused * 50 <= found.len() + 25, "{refused} linear pictures refused");
        }
    }
}

/// How often a linear picture is taken for one with a tone curve: the same pictures, with many certificates.
#[test]
fn linear_pictures_are_rarely_taken_for_curved_ones() {
    let count = asked("WEDGEBOOK_PICTURES", 3).min(100);
    const CERTIFICATES: usize = 30;
    const SIGMAS: [f64; 3] = [0.005, 0.010, 0.030];
    // Refused and noted, by the certificate's uncertainty.
    let all: Vec<[(u32, u32); 3]> = (0..count)
        .into_par_iter()
        .map(|seed| {
            let scene = Scene { seed: seed + 600, ..Scene::default() }.placed_by_chance();
            let r = scene.render();
            let frames = Frames { picture: &r.image, flat: Some(&r.flat), dark: Some(&r.dark) };
            // The places are found once.
            let layout = read(&r, &scene, ALL).unwrap().layout;
            let mut rng = SmallRng::seed_from_u64(seed);
            SIGMAS.map(|sd| {
                let (mut refused, mut noted) = (0, 0);
                for _ in 0..CERTIFICATES {
                    let mut known = |truth: &f64| {
                        let error: f64 = StandardNormal.sample(&mut rng);
                        Known { density: (truth + sd * error).max(0.0), sigma: sd }
                    };
                    let tablet: Vec<Known> = r.tablet_densities.iter().map(&mut known).collect();
                    let is_note = |n: &PictureNote| matches!(n, PictureNote::ToneCurve { .. });
                    let layout = Some(&layout);
                    let asked = Asked { tablet: &tablet, layout, step_mm: Some(scene.pitch) };
                    match Reading::of(&frames, &asked) {
                        Ok(reading) => noted += u32::from(reading.notes.iter().any(is_note)),
                        Err(_) => refused += 1,
                    }
                }
                (refused, noted)
            })
        })
        .collect();
    for (k, sd) in SIGMAS.into_iter().enumerate() {
        let refused: u32 = all.iter().map(|scene| scene[k].0).sum();
        let noted: u32 = all.iter().map(|scene| scene[k].1).sum();
        let n = count as f64 * CERTIFICATES as f64;
        let share = |k: u32| f64::from(k) / n;
        println!(
            "certificate {sd}: {n} linear pictures, {refused} refused ({:.4}), {noted} noted ({:.4})",
            share(refused),
            share(noted)
        );
        // 1 in 1000 and 1 in 100 are aimed at.
        assert!(share(refused) < 0.002 + 3.0 / n, "{sd}: {refused}");
        assert!(share(noted) < 0.02 + 6.0 / n, "{sd}: {noted}");
    }
}

/// One picture against a bracket of three, with shutters that are off by some per cent, and films that reach 3.5.
#[test]
fn a_bracket_helps_where_the_strip_is_dense() {
    let count = asked("WEDGEBOOK_PICTURES", 3);
    head();
    let films = |scene: Scene| {
        let strip = strip_21(0.9 + 0.5 * ((scene.seed * 3) % 10) as f64 / 9.0);
        Scene { strip, ..scene }
    };
    for glare in [0.005, 0.02] {
        let both = |seed: u64| {
            let scene = films(Scene { seed: seed + 900, glare, ..Scene::default() });
            let scene = scene.placed_by_chance();
            let r = scene.render();
            let times = [1.0, 8.0, 64.0];
            // The marks are 1, 8 and 64 s.
            let others = [r.set_up.picture(8.0 * 1.04), r.set_up.picture(64.0 * 0.95)];
            let images = [&r.image, &others[0], &others[1]];
            let exposure = |k: usize| Exposure {
                image: images[k],
                shutter: Shutter::new(times[k]).unwrap(),
                dark: (k == 0).then_some(&r.dark),
            };
            let merged = merge(&[exposure(1), exposure(0), exposure(2)]).unwrap();
            let one = kept(&r, &scene, read(&r, &scene, ALL));
            (one, kept(&r, &scene, read_picture(&merged.image, &r, &scene, ALL)))
        };
        let (one, bracket) = (0..count).into_par_iter().map(both).reduce(
            || (Kept::default(), Kept::default()),
            |a, b| (a.0.merged(b.0), a.1.merged(b.1)),
        );
        one.print(&format!("one picture, {} %", 100.0 * glare));
        bracket.print(&format!("bracket of 1, 8, 64 s, {} %", 100.0 * glare));
        assert_eq!((bracket.misplaced, bracket.wrong_limits), (0, one.wrong_limits));
        let slack = 1.0 + 0.5 / f64::from(one.scenes).sqrt();
        for range in 0..DENSE {
            let at_most = one.rms(range) * slack + 0.001;
            assert!(bracket.rms(range) <= at_most, "{glare}, range {range}");
        }
        // Few steps are so dense: they are counted together.
        let dense = |kept: &Kept| {
            let (n, squares) =
                kept.ranges[DENSE..].iter().fold((0, 0.0), |s, r| (s.0 + r.0, s.1 + r.1));
            (squares / f64::from(n.max(1))).sqrt()
        };
        assert!(
            dense(&bracket) <= dense(&one) * slack,
            "{glare}: {} {}",
            dense(&bracket),
            dense(&one)
        );
        assert!(bracket.absent <= one.absent);
        assert_held("bracket", &bracket);
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
