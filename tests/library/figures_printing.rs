//! The figures of papers, proofs and tone reproduction, from outside: what their SVG holds, whatever
//! they are given.

use crate::page::{
    WILD, Words, across, assert_same_bytes, assert_words_are_escaped, farthest, find, words,
    words_that_stand_free,
};
use roxmltree::Document;
use wedgebook::figures::draw::Scene;
use wedgebook::figures::{
    CurvePoint, PaperCurve, PaperFigure, PlotPoint, ProofFigure, ToneFigure, TonePoint, Traced,
};

const ODD: &str = "<&\"'> Stillwater Gloss";

/// A paper's density, as the examples have it.
fn density(x: f64, range: f64) -> f64 {
    0.06 + 2.0 / (1.0 + (-5.4 * (x - 0.6) / range).exp())
}

fn paper(name: &str, range: f64) -> PaperCurve {
    let at = |above: f64| 0.6 + range / 5.4 * (above / (2.0 - above)).ln();
    let reading = |n: u8| {
        let x = -1.0 + 0.15 * f64::from(n);
        PlotPoint {
            log_exposure: x,
            density: density(x, range) + if n == 9 { 0.2 } else { 0.0 },
            suspect: n == 9,
        }
    };
    let point = |n: u8| {
        let x = -1.0 + 0.025 * f64::from(n);
        CurvePoint {
            x,
            density: density(x, range),
            low: density(x, range) - 0.01,
            high: density(x, range) + 0.01,
        }
    };
    PaperCurve {
        name: name.to_owned(),
        points: (0..21).map(reading).collect(),
        unexposed: vec![0.06, 0.07],
        curve: (0..=120).map(point).collect(),
        d_min: Some(0.06),
        d_max: Some(2.06),
        highlight: Some((at(0.04), 0.10)),
        speed_point: Some((at(0.60), 0.66)),
        shadow: Some((at(1.80), 1.86)),
        range_r: Some(100.0 * (at(1.80) - at(0.04))),
        speed_p: Some(1000.0 / 10_f64.powf(at(0.60))),
    }
}

fn one() -> PaperFigure {
    PaperFigure {
        title: "Stillwater Gloss".to_owned(),
        subtitle: Some("setting 2".to_owned()),
        absolute: true,
        papers: vec![paper("setting 2", 1.0)],
    }
}

fn several(count: u8) -> PaperFigure {
    PaperFigure {
        papers: (0..count)
            .map(|n| paper(&format!("setting {n}"), 1.4 - 0.1 * f64::from(n)))
            .collect(),
        absolute: false,
        ..one()
    }
}

fn proof() -> ProofFigure {
    let at = |seconds: f64| density(seconds.log10() - 0.2, 1.0);
    let point = |n: u8| {
        let x = 0.4 + 0.01 * f64::from(n);
        let d = at(10_f64.powf(x));
        CurvePoint { x, density: d, low: d - 0.02, high: d + 0.02 }
    };
    ProofFigure {
        title: "Contact proof".to_owned(),
        subtitle: Some("test strip through clear film".to_owned()),
        points: [3.0, 5.6, 8.0, 11.0, 16.0, 22.0, 32.0].map(|s| (s, at(s))).to_vec(),
        curve: (0..=110).map(point).collect(),
        d_max: Some(2.06),
        black: Some(1.86),
        seconds: Some((16.2, 15.1, 17.4)),
    }
}

fn tone(luminance: f64) -> TonePoint {
    let film_exposure = -1.1 + luminance;
    let negative = 0.3 + 0.11 * ((film_exposure + 2.0) / 0.18).exp().ln_1p();
    TonePoint { luminance, film_exposure, negative, print: density(1.55 - negative, 1.0) }
}

fn reproduction() -> ToneFigure {
    let between = |from: f64, to: f64, n: u8| from + (to - from) * f64::from(n) / 60.0;
    ToneFigure {
        title: "Larkfold in Quillback 1+6 on Stillwater Gloss".to_owned(),
        subtitle: Some("a scene of 7 stops".to_owned()),
        absolute: true,
        tones: (0..=60).map(|n| tone(between(-1.36, 0.74, n))).collect(),
        film: (0..=60)
            .map(|n| tone(between(-1.8, 1.1, n)))
            .map(|t| (t.film_exposure, t.negative))
            .collect(),
        paper: (0..=60)
            .map(|n| between(0.0, 2.0, n))
            .map(|d| (d, density(1.55 - d, 1.0)))
            .collect(),
        paper_exposure: (1.55, 1.0),
        limits: Some((0.10, 1.86)),
        traced: [("darkest tone", -1.36), ("metered tone", 0.0), ("brightest tone", 0.74)]
            .map(|(name, l)| Traced { name: name.to_owned(), tone: tone(l) })
            .to_vec(),
        one_to_one: Some(tone(0.0)),
        gradient: Some(0.98),
        lost: vec!["shadows lost below −3.2 stops".to_owned()],
    }
}

fn wide_reproduction() -> ToneFigure {
    let spread = |n: u8| -2.6 + 0.06 * f64::from(n);
    ToneFigure {
        tones: (0..=60).map(|n| tone(spread(n))).collect(),
        traced: (0..9)
            .map(|n| Traced { name: format!("tone {n}"), tone: tone(-2.6 + 0.4 * f64::from(n)) })
            .collect(),
        absolute: false,
        ..reproduction()
    }
}

/// Every figure with long and awkward words wherever there are words.
fn odd_scenes() -> Vec<Scene> {
    let (long, odd) = (ODD.repeat(12), ODD.to_owned());
    let mut single = one();
    single.papers[0].name.clone_from(&long);
    (single.title, single.subtitle) = (odd.clone(), Some(long.clone()));
    let mut family = several(5);
    family.papers.iter_mut().for_each(|p| p.name.clone_from(&long));
    family.title.clone_from(&odd);
    let mut strip = proof();
    (strip.title, strip.subtitle) = (odd.clone(), Some(long.clone()));
    let mut diagram = reproduction();
    (diagram.title, diagram.subtitle) = (odd, Some(long.clone()));
    diagram.traced.iter_mut().for_each(|t| t.name.clone_from(&long));
    diagram.lost = vec![long.clone(), long];
    vec![single.scene(), family.scene(), strip.scene(), diagram.scene()]
}

fn scenes() -> Vec<Scene> {
    let mut bare = one();
    let only = &mut bare.papers[0];
    (only.curve, only.unexposed) = (Vec::new(), Vec::new());
    (only.d_max, only.shadow, only.range_r) = (None, None, None);
    let mut close = proof();
    (close.black, close.d_max) = (Some(2.03), Some(2.06));
    let mut late = proof();
    late.seconds = Some((31.9, 30.0, 34.0));
    let mut unknown = proof();
    (unknown.seconds, unknown.black, unknown.d_max) = (None, None, None);
    let mut steep = reproduction();
    steep.paper_exposure = (f64::NAN, 1.0);
    let charts = [
        one().scene(),
        bare.scene(),
        several(3).scene(),
        several(7).scene(),
        several(12).scene(),
        PaperFigure::default().scene(),
        proof().scene(),
        close.scene(),
        late.scene(),
        unknown.scene(),
        ProofFigure::default().scene(),
        reproduction().scene(),
        wide_reproduction().scene(),
        steep.scene(),
        ToneFigure::default().scene(),
    ];
    charts.into_iter().chain(odd_scenes()).collect()
}

#[test]
fn no_two_texts_overlap_and_none_leaves_the_page() {
    for (k, scene) in scenes().iter().enumerate() {
        assert!(!words_that_stand_free(scene, &format!("figure {k}")).is_empty());
    }
}

#[test]
fn the_same_figure_gives_the_same_bytes() {
    assert_same_bytes(scenes(), scenes());
}

#[test]
fn awkward_words_are_escaped() {
    odd_scenes().iter().for_each(|scene| assert_words_are_escaped(&scene.to_svg()));
}

#[test]
fn figures_survive_numbers_that_are_none() {
    for value in WILD {
        let mut single = one();
        let p = &mut single.papers[0];
        (p.points[3].log_exposure, p.points[4].density) = (value, value);
        (p.curve[5].x, p.curve[9].density) = (value, value);
        (p.curve[20].low, p.curve[30].high) = (value, value);
        (p.d_min, p.unexposed[1]) = (Some(value), value);
        p.highlight = Some((value, 0.1));
        (p.range_r, p.speed_p) = (Some(value), Some(value));
        let mut ends = several(4);
        for paper in &mut ends.papers {
            (paper.d_max, paper.shadow) = (Some(value), Some((0.9, value)));
        }
        let mut strip = proof();
        (strip.points[0], strip.points[1].1) = ((value, 1.0), value);
        (strip.curve[3].x, strip.curve[4].density) = (value, value);
        (strip.curve[20].low, strip.curve[30].high) = (value, value);
        (strip.d_max, strip.black) = (Some(value), Some(value));
        strip.seconds = Some((value, 1.0, 2.0));
        let mut wide = proof();
        wide.seconds = Some((16.0, value, value));
        let mut diagram = reproduction();
        (diagram.tones[3].print, diagram.tones[9].luminance) = (value, value);
        (diagram.film[4], diagram.paper[5]) = ((value, 1.0), (1.0, value));
        diagram.paper_exposure = (value, value);
        diagram.limits = Some((0.1, value));
        diagram.traced[1].tone.negative = value;
        diagram.one_to_one.as_mut().unwrap().print = value;
        diagram.gradient = Some(value);
        for scene in [single.scene(), ends.scene(), strip.scene(), wide.scene(), diagram.scene()] {
            let svg = scene.to_svg();
            assert!(farthest(&svg) < 1e5, "{value} reached the page");
            assert!(scene.to_png_at(0.5).is_ok());
        }
    }
}

#[test]
fn the_range_is_as_long_as_it_says() {
    let svg = one().scene().to_svg();
    let all = words(&svg);
    let unit = 2.0 * (across(&all, "1.0") - across(&all, "0.5"));
    let range = one().papers[0].range_r.unwrap();
    let label = format!("R {range:.0}");
    let at = find(&all, &label);
    // The bar below the label: the longest level line near it.
    let document = Document::parse(&svg).unwrap();
    let mut longest = 0.0_f64;
    for path in document.descendants().filter_map(|n| n.attribute("d")) {
        let Some((from, to)) = path.strip_prefix('M').and_then(|p| p.split_once('L')) else {
            continue;
        };
        let point = |text: &str| {
            let mut parts = text.split(['M', 'L', ' ', 'Z']).map(|v| v.parse::<f64>().ok());
            Some((parts.next()??, parts.next()??))
        };
        if let (Some(a), Some(b)) = (point(from), point(to))
            && (a.1 - b.1).abs() < 1e-9
            && (0.0..14.0).contains(&(a.1 - at.edges[3]))
        {
            longest = longest.max(b.0 - a.0);
        }
    }
    assert!(
        (longest / unit - range / 100.0).abs() < 0.01,
        "{longest} at {unit} a unit for {range}"
    );
}

#[test]
fn a_slope_of_one_stands_at_45_degrees() {
    for scene in [one().scene(), reproduction().scene()] {
        let all = words(&scene.to_svg());
        let up = |label: &str| {
            let left = |w: &&Words| w.text == label && w.edges[2] < 75.0;
            all.iter().find(left).map(|w| w.edges[3]).expect(label)
        };
        let vertical = up("0.5") - up("1.0");
        // The lowest of its kind, and of two on one line the first.
        let bottom = |label: &str| {
            let same = all.iter().filter(|w| w.text == label);
            let lowest = same.max_by(|a, b| {
                let key = |w: &Words| (w.edges[3], -w.edges[0]);
                key(a).partial_cmp(&key(b)).unwrap()
            });
            lowest.map(|w| (w.edges[0] + w.edges[2]) / 2.0).expect(label)
        };
        let horizontal = (bottom("1.0") - bottom("0.5")).abs();
        assert!((vertical - horizontal).abs() < 0.1, "{vertical} {horizontal}");
    }
}

#[test]
fn a_tone_goes_round_in_a_rectangle() {
    let figure = ToneFigure { traced: reproduction().traced[1..2].to_vec(), ..reproduction() };
    let svg = figure.scene().to_svg();
    let document = Document::parse(&svg).unwrap();
    let closed = |d: &str| {
        let points: Vec<&str> = d.trim_start_matches('M').split('L').collect();
        points.len() == 5 && points.first() == points.last()
    };
    let paths = document.descendants().filter_map(|n| n.attribute("d"));
    assert_eq!(paths.filter(|d| closed(d)).count(), 1);
    let all = words(&svg);
    for label in [
        "film",
        "camera and flare",
        "paper",
        "tone reproduction",
        "1:1 line",
        "overall gradient 0.98",
        "shadows lost below −3.2 stops",
        "metered tone",
    ] {
        find(&all, label);
    }
}

#[test]
fn seconds_stand_where_their_logarithms_are() {
    let all = words(&proof().scene().to_svg());
    let octave = across(&all, "20") - across(&all, "10");
    let decade = across(&all, "30") - across(&all, "3");
    assert!((decade / octave - 10_f64.log2()).abs() < 1e-3);
    for label in ["Dmax 2.06", "black 1.86", "16.2 s", "shortest black 16.2 s"] {
        find(&all, label);
    }
}

#[test]
fn strips_differ_without_colour() {
    let svg = several(6).scene().to_svg();
    let document = Document::parse(&svg).unwrap();
    let dashes: std::collections::HashSet<&str> =
        document.descendants().filter_map(|n| n.attribute("stroke-dasharray")).collect();
    assert!(dashes.len() >= 5, "{dashes:?}");
}
