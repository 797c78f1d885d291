//! Properties of papers, proofs and tone reproduction.

use crate::emulsions::paper::{PAPERS, Paper};
use crate::emulsions::{noise, seeded};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use std::path::Path;
use std::sync::OnceLock;
use wedgebook::curve::{Choice, Fitter, Observations};
use wedgebook::development::Pairing;
use wedgebook::measures::Why;
use wedgebook::printing::proof::{Change, Exposure, StripError, TestStrip, White};
use wedgebook::printing::tone::{
    Camera, Change as Tried, Film, GREY, PrintFor, PrintSetup, Printed, Tone,
};
use wedgebook::printing::{PaperMeasures, PaperStrip, Settings, analyse_papers};
use wedgebook::readings::{ExposureScale, ReadOptions, read_files};
use wedgebook::units::{Celsius, LogExposure};

fn data(name: &str) -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("data").join(name)
}

fn options(clear: f64) -> ReadOptions {
    ReadOptions { log_exposure_clear: LogExposure::new(clear).ok(), ..ReadOptions::default() }
}

/// The demonstration's paper at its six settings.
pub fn papers() -> &'static [PaperStrip] {
    static PAPERS: OnceLock<Vec<PaperStrip>> = OnceLock::new();
    PAPERS.get_or_init(|| {
        let readings = read_files(&[data("paper.csv")], &options(2.0)).unwrap();
        analyse_papers(readings.strips, Choice::Auto)
    })
}

fn pairing() -> &'static Pairing {
    static PAIRING: OnceLock<Pairing> = OnceLock::new();
    PAIRING.get_or_init(|| {
        let readings = read_files(&[data("family.csv")], &options(0.0)).unwrap();
        let celsius = Celsius::new(20.0).unwrap();
        Pairing::calibrate(readings.strips, Choice::Auto, celsius).unwrap()
    })
}

pub fn bench(stops: f64, theta: f64, print_for: PrintFor, paper: usize) -> PrintSetup<'static> {
    PrintSetup {
        camera: Camera { stops, flare: 0.4, grey: GREY, correction: 0.0 },
        film: Film { pairing: pairing(), theta, exposure_index: None },
        printed: Printed { callier: 1.0, print_for, correction: 0.0 },
        papers: papers(),
        paper,
    }
}

/// A paper of any kind with its noisy strip.
fn measured(kind: usize, seed: u64, shift: f64, scale: ExposureScale) -> (Paper, PaperMeasures) {
    let mut rng = seeded(seed);
    let paper = Paper::random(PAPERS[kind % PAPERS.len()], &mut rng);
    let lowest = paper.points()[0] - 0.6;
    let mut o = Observations::default();
    o.push(f64::NEG_INFINITY, paper.d_min + noise(&mut rng, 0.01), 0.01);
    for k in 0..21 {
        let x = lowest + 0.15 * f64::from(k);
        o.push(x + shift, paper.density(x) + noise(&mut rng, 0.01), 0.01);
    }
    let fit = Fitter::new().fit(o, Choice::Auto, true).unwrap();
    let measures = PaperMeasures::of(&fit, scale);
    (paper, measures)
}

fn config() -> ProptestConfig {
    ProptestConfig {
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(6846),
        cases: 96,
        ..ProptestConfig::default()
    }
}

proptest! {
    #![proptest_config(config())]

    /// More exposure for every step is less speed and the same range.
    #[test]
    fn a_range_does_not_know_the_speed(kind in 0_usize..4, seed in 0_u64..10_000, shift in -1.5..1.5_f64) {
        let (_, here) = measured(kind, seed, 0.0, ExposureScale::Absolute);
        let (_, there) = measured(kind, seed, shift, ExposureScale::Absolute);
        let (a, b) = (here.speed_p.unwrap(), there.speed_p.unwrap());
        prop_assert!((a.value / b.value * 10_f64.powf(-shift) - 1.0).abs() < 1e-3);
        if let (Ok(a), Ok(b)) = (&here.range_r, &there.range_r) {
            prop_assert!((a.value - b.value).abs() < 0.05, "{} {}", a.value, b.value);
        }
    }

    /// Whatever is told is in order, and lies near the truth; relative exposures have no speed.
    #[test]
    fn measures_keep_their_order(kind in 0_usize..4, seed in 0_u64..10_000) {
        let (paper, m) = measured(kind, seed, 0.0, ExposureScale::Relative);
        prop_assert!(matches!(m.speed_p, Err(Why::RelativeExposures(_))));
        for q in [&m.d_min, &m.d_max, &m.highlight, &m.speed_point, &m.shadow, &m.range_r, &m.average_gradient, &m.gamma].into_iter().flatten() {
            prop_assert!(q.low <= q.value && q.value <= q.high && q.high - q.low < 1e3);
        }
        let (t, p) = (m.highlight.unwrap().value, m.speed_point.unwrap().value);
        prop_assert!(t < p);
        if let Ok(s) = m.shadow {
            prop_assert!(p < s.value);
            let range = m.range_r.unwrap().value;
            prop_assert!((range - paper.range_r()).abs() < 0.35 * paper.range_r());
            prop_assert!(m.average_gradient.unwrap().value < m.gamma.unwrap().high);
        }
    }

    /// All times longer by a factor give a proof longer by it.
    #[test]
    fn a_proof_is_of_the_size_of_its_strip(times in 0.05..40.0_f64, dark in 1.6..2.2_f64, seed in 0_u64..1000) {
        let mut rng = seeded(seed);
        let exposures: Vec<Exposure> = (0..8).map(|k| {
            let x = 0.15 * f64::from(k);
            Exposure { seconds: 4.0 * 10_f64.powf(x), density: dark / (1.0 + (-7.0 * (x - 0.15)).exp()) + noise(&mut rng, 0.005) }
        }).collect();
        let longer: Vec<Exposure> = exposures.iter().map(|e| Exposure { seconds: times * e.seconds, ..*e }).collect();
        let solve = |e: &[Exposure]| TestStrip::new(e, White::read(0.0, 0.01), 0.01).unwrap().shortest_black();
        match (solve(&exposures), solve(&longer)) {
            (Ok(a), Ok(b)) => {
                prop_assert!((b.seconds.value / a.seconds.value / times - 1.0).abs() < 1e-6);
                prop_assert!((b.seconds.high / a.seconds.high / times - 1.0).abs() < 1e-4);
                prop_assert!(a.seconds.low < a.seconds.value && a.seconds.value < a.seconds.high);
                prop_assert!((a.density - 0.9 * a.d_max.value).abs() < 1e-9);
            }
            (Err(a), Err(b)) => prop_assert_eq!(a, b),
            other => prop_assert!(false, "{other:?}"),
        }
    }

    /// There and back is no change, and changes multiply.
    #[test]
    fn changes_can_be_undone(b in (0.0..1.0_f64, 0.0..1.0_f64), n in (2.0..32.0_f64, 2.0..32.0_f64), p in (50.0..800.0_f64, 50.0..800.0_f64)) {
        let there = Change { base_plus_fog: Some(b), aperture: Some(n), paper_speed: Some(p) };
        let swap = |(a, b): (f64, f64)| (b, a);
        let back = Change { base_plus_fog: Some(swap(b)), aperture: Some(swap(n)), paper_speed: Some(swap(p)) };
        prop_assert!((there.factor() * back.factor() - 1.0).abs() < 1e-9);
        let alone = [Change { base_plus_fog: Some(b), ..Change::default() }, Change { aperture: Some(n), ..Change::default() }, Change { paper_speed: Some(p), ..Change::default() }];
        let product: f64 = alone.iter().map(Change::factor).product();
        prop_assert!((product / there.factor() - 1.0).abs() < 1e-12);
    }

    /// A softer paper is a lower setting.
    #[test]
    fn settings_follow_the_range(range in 66.0..130.0_f64, more in 0.2..5.0_f64) {
        let settings = Settings::of(papers());
        let at = |r: f64| settings.for_range(r).unwrap().between.unwrap();
        let (here, softer) = (at(range), at((range + more).min(131.0)));
        prop_assert!(softer.value < here.value);
        prop_assert!(here.low <= here.value && here.value <= here.high);
    }

    /// Brighter tones are denser in the negative and lighter in the print, and the print stands where it
    /// was told to.
    #[test]
    fn tones_keep_their_order(stops in 4.0..11.0_f64, theta in 5.0..18.0_f64, paper in 0_usize..6, which in 0_usize..4) {
        let print_for = [PrintFor::Middle, PrintFor::Highlight, PrintFor::Shadow, PrintFor::Proof][which];
        let chain = bench(stops, theta, print_for, paper).chain().unwrap();
        let r = chain.reproduction();
        for pair in r.tones.windows(2) {
            prop_assert!(pair[0].film_exposure < pair[1].film_exposure);
            prop_assert!(pair[0].negative < pair[1].negative);
            prop_assert!(pair[0].paper_exposure > pair[1].paper_exposure);
            prop_assert!(pair[0].print >= pair[1].print);
        }
        let measures = &papers()[paper].result.as_ref().unwrap().measures;
        let (white, black) = chain.limits();
        let camera = chain.camera();
        let (at, target) = match print_for {
            PrintFor::Middle => (chain.tone(0.0).print, measures.d_min.as_ref().unwrap().value + GREY),
            PrintFor::Highlight => (chain.tone(camera.brightest()).print, white),
            PrintFor::Shadow => (chain.tone(camera.darkest()).print, black),
            PrintFor::Proof => (chain.print(chain.paper_exposure(chain.negative(f64::NEG_INFINITY))), black),
        };
        prop_assert!((at - target).abs() < 2e-3, "{at} for {target}");
    }

    /// What is lost is lost and what is kept is kept.
    #[test]
    fn lost_tones_lie_beyond_the_limits(stops in 4.0..11.0_f64, theta in 5.0..18.0_f64, paper in 0_usize..6) {
        let chain = bench(stops, theta, PrintFor::Middle, paper).chain().unwrap();
        let r = chain.reproduction();
        let (white, black) = chain.limits();
        let from = r.shadows.map_or(f64::NEG_INFINITY, |l| l.from);
        let to = r.highlights.map_or(f64::INFINITY, |l| l.from);
        for t in r.tones.iter().filter(|t: &&Tone| from + 0.01 < t.luminance && t.luminance < to - 0.01) {
            prop_assert!((white - 0.02..=black + 0.02).contains(&t.print), "{t:?}");
        }
        prop_assert!(r.lost_stops() <= stops + 1e-9);
    }
}

/// Along the way slopes multiply: camera, film, light, paper.
#[test]
fn the_gradient_is_the_product_of_its_links() {
    for callier in [1.0, 1.3] {
        let mut bench = bench(7.0, 9.0, PrintFor::Middle, 2);
        bench.printed.callier = callier;
        let chain = bench.chain().unwrap();
        let (a, b) = (chain.tone(-0.05), chain.tone(0.05));
        let slope = |y: fn(&Tone) -> f64, x: fn(&Tone) -> f64| (y(&b) - y(&a)) / (x(&b) - x(&a));
        let camera = slope(|t| t.film_exposure, |t| t.luminance);
        let film = slope(|t| t.negative, |t| t.film_exposure);
        let light = slope(|t| t.paper_exposure, |t| t.negative);
        let paper = slope(|t| t.print, |t| t.paper_exposure);
        assert!((light + callier).abs() < 1e-9);
        let product = -camera * film * light * paper;
        let found = chain.reproduction().middle_gradient;
        assert!((found - product).abs() < 1e-9, "{found} {product}");
    }
}

/// Contrast goes up with development, with harder paper and with condenser light.
#[test]
fn contrast_follows_time_paper_and_light() {
    let gradient = |bench: PrintSetup<'_>| bench.chain().unwrap().reproduction().middle_gradient;
    let by_time = [6.0, 9.0, 14.0].map(|t| gradient(bench(7.0, t, PrintFor::Middle, 2)));
    assert!(by_time.windows(2).all(|w| w[0] < w[1]), "{by_time:?}");
    let by_paper = [0, 2, 4].map(|p| gradient(bench(7.0, 9.0, PrintFor::Middle, p)));
    assert!(by_paper.windows(2).all(|w| w[0] < w[1]), "{by_paper:?}");
    let mut condenser = bench(7.0, 9.0, PrintFor::Middle, 2);
    condenser.printed.callier = 1.3;
    assert!((gradient(condenser) / by_time[1] - 1.3).abs() < 0.01);
}

/// Of two changes of one kind that remedy all, the smaller one is offered; without loss, none is.
#[test]
fn remedies_are_the_smallest_that_do() {
    let all = bench(7.0, 14.0, PrintFor::Middle, 3).remedies();
    assert!(!all.is_empty());
    assert!(all.windows(2).all(|w| w[0].is_whole() || !w[1].is_whole()));
    assert!(bench(4.0, 8.0, PrintFor::Middle, 1).remedies().is_empty());
    let now = bench(7.0, 14.0, PrintFor::Middle, 3).chain().unwrap();
    let now = now.reproduction().lost_stops();
    assert!(all.iter().all(|m| m.lost_stops < now - 0.1));
}

/// What a setup loses, in stops of the scene.
fn lost(setup: &PrintSetup<'_>) -> f64 {
    setup.chain().map_or(f64::INFINITY, |c| c.reproduction().lost_stops())
}

/// Every change of the same kind that is smaller than a remedy, made by hand here: none remedies all. Where
/// none does, no change of that kind loses less than the one that is offered.
#[test]
fn no_smaller_change_would_do() {
    let thirds = || (1..=9).flat_map(|k| [f64::from(k) / 3.0, -f64::from(k) / 3.0]);
    let (mut whole, mut part) = (0, 0);
    for (stops, theta, paper) in [
        (7.0, 14.0, 3),
        (7.0, 12.0, 2),
        (6.0, 15.0, 2),
        (8.0, 9.0, 3),
        (5.5, 10.0, 4),
        (9.0, 8.0, 1),
    ] {
        let setup = bench(stops, theta, PrintFor::Middle, paper);
        for remedy in setup.remedies() {
            // Sizes of the changes, and what is lost with each.
            let (size, tried): (f64, Vec<(f64, f64)>) = match &remedy.change {
                Tried::Exposure(found) => {
                    let with = |stops: f64| {
                        let mut camera = setup.camera;
                        camera.correction += stops;
                        (stops.abs(), lost(&PrintSetup { camera, ..setup }))
                    };
                    (found.abs(), thirds().map(with).collect())
                }
                Tried::PrintExposure(found) => {
                    let with = |stops: f64| {
                        let mut printed = setup.printed;
                        printed.correction += stops;
                        (stops.abs(), lost(&PrintSetup { printed, ..setup }))
                    };
                    (found.abs(), thirds().map(with).collect())
                }
                Tried::Setting { range_r, .. } => {
                    let range = |k: usize| {
                        setup.papers[k]
                            .result
                            .as_ref()
                            .unwrap()
                            .measures
                            .range_r
                            .as_ref()
                            .unwrap()
                            .value
                    };
                    let away = |k: usize| (range(k) - range(paper)).abs();
                    let with = |k| (away(k), lost(&PrintSetup { paper: k, ..setup }));
                    let others = (0..setup.papers.len()).filter(|k| *k != paper);
                    ((range_r - range(paper)).abs(), others.map(with).collect())
                }
                Tried::Development { theta: found, .. } => {
                    let with = |k: i32| {
                        let theta =
                            setup.film.theta * (found / setup.film.theta).powf(f64::from(k) / 40.0);
                        let film = Film { theta, ..setup.film };
                        ((theta / setup.film.theta).ln().abs(), lost(&PrintSetup { film, ..setup }))
                    };
                    ((found / setup.film.theta).ln().abs(), (1..=40).map(with).collect())
                }
            };
            // Times are tried in steps of their own: one of these may lie between two of them.
            let step = match remedy.change {
                Tried::Development { .. } => 0.03,
                _ => 1e-9,
            };
            if remedy.is_whole() {
                whole += 1;
                let smaller = tried.iter().filter(|(own, _)| *own < size - step);
                assert!(smaller.clone().all(|(_, lost)| *lost >= 0.1), "{remedy:?} {tried:?}");
            } else {
                part += 1;
                assert!(
                    tried.iter().all(|(_, lost)| *lost >= remedy.lost_stops - 0.05),
                    "{remedy:?} {tried:?}"
                );
            }
        }
    }
    assert!(whole >= 4 && part >= 4, "{whole} {part}");
}

#[test]
fn slips_of_a_test_strip_are_placed() {
    let strip = |pairs: &[(f64, f64)]| {
        let exposures: Vec<Exposure> =
            pairs.iter().map(|&(seconds, density)| Exposure { seconds, density }).collect();
        TestStrip::new(&exposures, White::ASSUMED, 0.01).map(drop)
    };
    assert!(strip(&[(4.0, 1.2), (8.0, 1.7), (16.0, 2.0)]).is_ok());
    // A small fall is noise, and equal times are repeats.
    assert!(strip(&[(4.0, 1.2), (4.0, 1.18), (8.0, 2.0), (16.0, 1.97)]).is_ok());
    let order = strip(&[(4.0, 1.2), (8.0, 1.7), (6.0, 1.9)]).unwrap_err();
    assert_eq!(order.at(), Some(2));
    let falls = strip(&[(4.0, 1.2), (8.0, 1.7), (16.0, 1.5)]).unwrap_err();
    assert!(matches!(falls, StripError::Falls { at: 2, .. }));
    assert_eq!(strip(&[(0.0, 1.2)]).unwrap_err().at(), Some(0));
    assert!(matches!(strip(&[(4.0, 1.2), (4.0, 1.2)]), Err(StripError::TooFew { found: 1 })));
    let nan = strip(&[(f64::NAN, 1.2), (4.0, 1.2)]);
    assert!(matches!(nan, Err(StripError::Time { at: 0, .. })));
}

/// A strip cut off before its black has a speed, and neither a maximum density nor a range.
#[test]
fn black_out_of_sight_is_told() {
    for kind in PAPERS {
        let paper = Paper::random(kind, &mut seeded(kind as u64 + 40));
        let [highlight, speed, shadow] = paper.points();
        let end = speed + 0.55 * (shadow - speed);
        let mut o = Observations::default();
        o.push(f64::NEG_INFINITY, paper.d_min, 0.01);
        for k in 0..16 {
            let x = highlight - 0.4 + (end - highlight + 0.4) * f64::from(k) / 15.0;
            o.push(x, paper.density(x), 0.01);
        }
        let fit = Fitter::new().fit(o, Choice::Auto, true).unwrap();
        let m = PaperMeasures::of(&fit, ExposureScale::Absolute);
        assert!(m.speed_p.is_ok(), "{kind:?}: {:?}", m.speed_p);
        for absent in [&m.d_max, &m.shadow, &m.range_r, &m.average_gradient] {
            let why = absent.as_ref().unwrap_err();
            assert!(
                matches!(why, Why::NotBlack { .. } | Why::NotQuiteBlack { .. }),
                "{kind:?}: {why}"
            );
        }
    }
}
