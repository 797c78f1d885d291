//! The figures of papers, proofs and tone reproduction, from outside: what their SVG holds, whatever
//! they are given.

use crate::page::{
    Words, across, assert_same_bytes, assert_words_are_escaped, farthest, find, strips_of, words,
    words_that_read_well,
};
use crate::printing::{bench, papers};
use roxmltree::Document;
use wedgebook::curve::Choice;
use wedgebook::figures::draw::Scene;
use wedgebook::figures::{ProofCurve, paper_curves, proof, tone_reproduction};
use wedgebook::printing::proof::{Exposure, TestStrip, TimeReference, White, from_paper};
use wedgebook::printing::tone::{Chain, PrintFor};
use wedgebook::printing::{PaperStrip, analyse_papers};
use wedgebook::readings::ExposureScale;

const ODD: &str = "<&\"'> Stillwater Gloss";

/// A paper's density, as the examples have it.
fn density(x: f64, range: f64) -> f64 {
    0.06 + 2.0 / (1.0 + (-5.4 * (x - 0.6) / range).exp())
}

/// Rows of a strip of paper at a setting; the tenth reading is off by `off`.
fn rows(paper: &str, setting: &str, range: f64, off: f64) -> String {
    let (paper, setting) = (paper.replace('"', "\"\""), setting.replace('"', "\"\""));
    let row = |n: u8| {
        let x = -1.0 + 0.15 * f64::from(n);
        let d = density(x, range) + if n == 9 { off } else { 0.0 };
        format!("\"{setting}\",{x:.2},{d:.2},\"{paper}\"\n")
    };
    format!("\"{setting}\",,0.06,\"{paper}\"\n") + &(0..21).map(row).collect::<String>()
}

fn analysed(rows: &[String]) -> Vec<PaperStrip> {
    let text = format!("filter,log_exposure,density,paper\n{}", rows.concat());
    analyse_papers(strips_of(&text), Choice::Auto)
}

fn one(range: f64, off: f64) -> Vec<PaperStrip> {
    analysed(&[rows("Stillwater Gloss", "2", range, off)])
}

fn several(count: u8) -> Vec<PaperStrip> {
    let row = |n: u8| rows("Stillwater Gloss", &n.to_string(), 1.5 - 0.08 * f64::from(n), 0.0);
    analysed(&(0..count).map(row).collect::<Vec<_>>())
}

fn test_strip(scale: f64) -> (TestStrip, Vec<Exposure>) {
    let at = |seconds: f64| density(seconds.log10() - 0.2, 1.0);
    let exposures = [3.0, 5.6, 8.0, 11.0, 16.0, 22.0, 32.0]
        .map(|s| Exposure { seconds: scale * s, density: (100.0 * at(s)).round() / 100.0 });
    let strip = TestStrip::new(&exposures, White::read(0.06, 0.01), 0.01).unwrap();
    (strip, exposures.to_vec())
}

fn proof_of(scale: f64, scaled: bool) -> Scene {
    let (strip, exposures) = test_strip(scale);
    let found = strip.shortest_black().unwrap();
    proof(ProofCurve::Strip(&strip, &exposures), Some(&found), scaled).scene()
}

fn reproduction(names: (&str, &str), stops: f64, scale: ExposureScale) -> Scene {
    let setup = bench(stops, 10.0, PrintFor::Middle, 2);
    let paper = papers()[2].result.as_ref().unwrap();
    let chain = Chain::new(setup.camera, setup.film, setup.printed, paper).unwrap();
    let reproduction = chain.reproduction();
    let gradient = Some(reproduction.gradient).filter(|g| g.is_finite());
    tone_reproduction(names, scale, &chain, &reproduction, gradient)
}

const NAMES: (&str, &str) = ("Larkfold in Quillback 1+6 on Stillwater Gloss", "a scene of 7 stops");

fn odd_scenes() -> Vec<Scene> {
    let long = ODD.repeat(12);
    let strip = |setting: &str| rows(&long, setting, 1.0, 0.0);
    vec![
        paper_curves(&analysed(&[strip(ODD)])).scene(),
        paper_curves(&analysed(&["a", "b", "c"].map(|n| strip(&format!("{ODD} {n}"))))).scene(),
        reproduction((&long, &format!("{ODD}{long}")), 7.0, ExposureScale::Absolute),
    ]
}

fn scenes() -> Vec<Scene> {
    let paper = &papers()[2];
    let analysed_paper = paper.result.as_ref().unwrap();
    let reference = TimeReference::Lux(2.0);
    let shift = reference.log_seconds_less_log_exposure() + 0.3;
    let from_curve = ProofCurve::Paper(paper, shift);
    let found = from_paper(&analysed_paper.measures, reference, 0.3, 0.01).ok();
    let bare = strips_of("filter,log_exposure,density,paper\n2,0.5,0.9,Stillwater\n");
    let charts = [
        paper_curves(&one(1.0, 0.0)).scene(),
        paper_curves(&one(1.0, 0.2)).scene(),
        paper_curves(&analyse_papers(bare, Choice::Auto)).scene(),
        paper_curves(&several(3)).scene(),
        paper_curves(&several(7)).scene(),
        paper_curves(&several(12)).scene(),
        paper_curves(papers()).scene(),
        paper_curves(&[]).scene(),
        proof_of(1.0, false),
        proof_of(0.02, true),
        proof_of(300.0, false),
        proof(from_curve, found.as_ref(), false).scene(),
        proof(from_curve, None, false).scene(),
    ];
    let tones = [4.0, 7.0, 9.0, 12.0]
        .into_iter()
        .zip([ExposureScale::Absolute, ExposureScale::Relative].into_iter().cycle())
        .map(|(stops, scale)| reproduction(NAMES, stops, scale));
    charts.into_iter().chain(tones).chain(odd_scenes()).collect()
}

#[test]
fn no_two_texts_overlap_and_none_leaves_the_page() {
    for (k, scene) in scenes().iter().enumerate() {
        assert!(!words_that_read_well(scene, &format!("figure {k}")).is_empty());
        assert!(farthest(&scene.to_svg()) < 1e4, "figure {k}");
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
fn the_range_is_as_long_as_it_says() {
    let papers = one(1.0, 0.0);
    let svg = paper_curves(&papers).scene().to_svg();
    let all = words(&svg);
    let unit = 2.0 * (across(&all, "1.0") - across(&all, "0.5"));
    let range = papers[0].result.as_ref().unwrap().measures.range_r.as_ref().unwrap().value;
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
    let tones = reproduction(NAMES, 7.0, ExposureScale::Absolute);
    for scene in [paper_curves(&one(1.0, 0.0)).scene(), tones] {
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
    let svg = reproduction(NAMES, 9.0, ExposureScale::Absolute).to_svg();
    let document = Document::parse(&svg).unwrap();
    let closed = |d: &str| {
        let points: Vec<&str> = d.trim_start_matches('M').split('L').collect();
        points.len() == 5 && points.first() == points.last()
    };
    let paths = document.descendants().filter_map(|n| n.attribute("d"));
    assert_eq!(paths.filter(|d| closed(d)).count(), 3);
    let all = words(&svg);
    for label in
        ["film", "camera and flare", "paper", "tone reproduction", "1:1 line", "metered tone"]
    {
        find(&all, label);
    }
    for start in ["overall gradient ", "shadows lost below −"] {
        assert!(all.iter().any(|w| w.text.starts_with(start)), "{start}");
    }
}

#[test]
fn seconds_stand_where_their_logarithms_are() {
    let all = words(&proof_of(1.0, false).to_svg());
    let octave = across(&all, "20") - across(&all, "10");
    let decade = across(&all, "30") - across(&all, "3");
    assert!((decade / octave - 10_f64.log2()).abs() < 1e-3);
    let found = test_strip(1.0).0.shortest_black().unwrap();
    let seconds = format!("{:.1} s", found.seconds.value);
    for label in
        [&seconds, &format!("shortest black {seconds}"), &format!("black {:.2}", found.density)]
    {
        find(&all, label);
    }
}

#[test]
fn strips_differ_without_colour() {
    let svg = paper_curves(&several(6)).scene().to_svg();
    let document = Document::parse(&svg).unwrap();
    let dashes: std::collections::HashSet<&str> =
        document.descendants().filter_map(|n| n.attribute("stroke-dasharray")).collect();
    assert!(dashes.len() >= 5, "{dashes:?}");
}
