//! The sheet of control charts, from outside: what its SVG holds, whatever it is given.

use crate::page::{
    Words, assert_same_bytes, farthest, find, has_turned_words, words, words_that_read_well,
};
use jiff::ToSpan;
use jiff::civil::{Date, date};
use rand::rngs::StdRng;
use rand::{Rng, SeedableRng};
use rand_distr::StandardNormal;
use roxmltree::Document;
use wedgebook::bath::control::{Basis, Chart, Plan, Rule, RuleSet, Sample};
use wedgebook::bath::limits::Allowed;
use wedgebook::figures::draw::Scene;
use wedgebook::figures::{Mark, control_charts};

const ODD: &str = "<&\"'> Quillback 1+6";
const SIGNAL: &str = "#d55e00";

/// Readings to two decimals with a standard deviation of 0.012, days apart.
fn strips(seed: u64, count: usize, days: f64, drift: impl Fn(usize) -> f64) -> Vec<Sample> {
    let mut rng = StdRng::seed_from_u64(seed);
    let mut sample = |n: usize| {
        let value = 0.58 + 0.012 * (rng.sample::<f64, _>(StandardNormal) + drift(n));
        Sample {
            date: date(2026, 3, 2) + ((n as f64 * days) as i64).days(),
            value: (100.0 * value).round() / 100.0,
            batch: None,
        }
    };
    (0..count).map(&mut sample).collect()
}

fn steady(_: usize) -> f64 {
    0.0
}

/// Out of control from the 35th strip on, and then put right.
fn excursion(n: usize) -> f64 {
    if (35..50).contains(&n) { 0.4 * (n as f64 - 34.0) } else { 0.0 }
}

fn plan(name: &str) -> Plan {
    Plan::new(name, 2).with_tolerance(0.58, Allowed::symmetric(0.05).unwrap())
}

fn chart(plan: Plan, samples: &[Sample]) -> Chart {
    Chart::new(plan, samples).unwrap()
}

fn marks(count: usize, days: f64) -> Vec<Mark> {
    let words = ["mixed", "replenished", "replenished", "replenished", "filtered"];
    let mark = |n: usize| Mark {
        date: date(2026, 3, 1) + ((n as f64 * days) as i64).days(),
        text: words[n % words.len()].to_owned(),
    };
    (0..count).map(mark).collect()
}

/// What a page of charts shows.
struct Sheet {
    of: String,
    charts: Vec<Chart>,
    marks: Vec<Mark>,
}

impl Sheet {
    fn scene(&self) -> Scene {
        control_charts(&self.of, &self.charts, &self.marks).scene()
    }
}

fn sheet(charts: Vec<Chart>, marks: Vec<Mark>) -> Sheet {
    Sheet { of: "Quillback 1+6, evening class".to_owned(), charts, marks }
}

fn twelve() -> Sheet {
    let charts = ["contrast index", "gamma", "base plus fog"].map(|name| {
        let samples = strips(name.len() as u64, 12, 6.0, steady);
        chart(plan(name), &samples)
    });
    sheet(charts.into(), marks(4, 17.0))
}

fn sixty() -> Sheet {
    // The way back from an excursion is a trend; here both charts end steadily.
    let level = |plan| Plan { trend_limit: f64::INFINITY, ..plan };
    let out = chart(level(plan("contrast index")), &strips(4, 60, 4.0, excursion));
    let calm = chart(level(Plan::new("gamma", 2)), &strips(6, 60, 4.0, steady));
    sheet(vec![out, calm], marks(14, 17.0))
}

fn ten_thousand() -> Sheet {
    let long = |n: usize| if (6000..6300).contains(&n) { 3.0 } else { 0.0 };
    let charts = (0..2).map(|n| chart(plan("contrast index"), &strips(n, 10_000, 0.4, long)));
    sheet(charts.collect(), marks(500, 8.0))
}

/// Seven panels with everything that can be on them.
fn seven() -> Sheet {
    let mut samples = strips(14, 50, 2.0, steady);
    for (n, sample) in samples.iter_mut().enumerate() {
        let (batch, shift) = match n {
            0..20 => ("A", 0.0),
            // Five strips of each batch on one day.
            20..25 => ("A", 0.0),
            25..38 => ("B", 0.06),
            _ => ("a batch with quite a long name", -0.04),
        };
        (sample.batch, sample.value) = (Some(batch.to_owned()), sample.value + shift);
    }
    let crossing = samples[20].date;
    samples[20..30].iter_mut().for_each(|s| s.date = crossing);
    let batches = Plan { fresh: vec![12], ..plan("contrast index") };
    let nelson = Plan { rules: RuleSet::Nelson, ..plan("gamma") };
    let given = Basis::Given { centre: 0.58, sigma: 0.012 };
    let upper = Allowed::new(None, Some(0.03)).unwrap();
    let of = |n, drift: fn(usize) -> f64| strips(n, 50, 2.0, drift);
    let charts = vec![
        chart(batches, &samples),
        chart(nelson, &of(1, excursion)),
        chart(plan("average gradient").based_on(Basis::Tolerances), &of(2, |n| 0.1 * n as f64)),
        chart(Plan::new("base plus fog", 2).with_tolerance(0.58, upper), &of(3, steady)),
        chart(Plan::new("speed point", 2).based_on(given), &of(4, steady)),
        chart(Plan::new("maximum density", 2), &strips(5, 3, 2.0, steady)),
        chart(Plan::new("mid density", 2), &vec![samples[0].clone(); 30]),
    ];
    sheet(charts, marks(40, 2.5))
}

fn odd() -> Sheet {
    let mut figure = seven();
    let samples = strips(8, 30, 3.0, excursion);
    figure.charts[0] = chart(plan(&ODD.repeat(9)), &samples);
    figure.of = ODD.repeat(12);
    for (n, mark) in figure.marks.iter_mut().enumerate() {
        mark.text = if n % 2 == 0 { ODD.repeat(6) } else { String::new() };
    }
    figure
}

fn sheets() -> Vec<Sheet> {
    let one = |samples: &[Sample]| sheet(vec![chart(plan("contrast index"), samples)], Vec::new());
    vec![
        twelve(),
        sixty(),
        ten_thousand(),
        seven(),
        odd(),
        one(&strips(1, 60, 4.0, excursion)),
        one(&strips(1, 9, 0.0, steady)),
        one(&strips(1, 1, 0.0, steady)),
        one(&strips(1, 400, 30.0, excursion)),
        sheet(Vec::new(), marks(3, 9.0)),
        sheet(Vec::new(), Vec::new()),
    ]
}

/// The pieces (from one M to the next) of all paths that are filled or stroked with a colour.
fn pieces(svg: &str, colour: &str) -> Vec<String> {
    let document = Document::parse(svg).expect("well-formed");
    let paths = document.descendants().filter(|n| n.has_tag_name("path"));
    let own = paths.filter(|n| {
        let painted = |name| n.attribute(name).is_some_and(|c| c.eq_ignore_ascii_case(colour));
        painted("fill") || painted("stroke")
    });
    own.flat_map(|n| {
        let pieces = n.attribute("d").unwrap_or_default().split('M').skip(1);
        pieces.map(str::to_owned).collect::<Vec<_>>()
    })
    .collect()
}

#[test]
fn no_two_texts_overlap_and_none_leaves_the_page() {
    for (k, figure) in sheets().into_iter().enumerate() {
        let scene = figure.scene();
        words_that_read_well(&scene, &format!("sheet {k}"));
        assert!(!has_turned_words(&scene.to_svg()));
    }
}

#[test]
fn the_same_figure_gives_the_same_bytes() {
    let scenes = || sheets().iter().map(Sheet::scene).collect();
    assert_same_bytes(scenes(), scenes());
}

fn is_out(rule: Rule) -> bool {
    matches!(rule, Rule::BeyondThree | Rule::AboveTolerance | Rule::BelowTolerance)
}

/// Each of few strips that break a rule has its own mark, those beyond a limit another one.
#[test]
fn every_signal_has_its_mark() {
    let figure = sixty();
    let (mut out, mut other) = (0, 0);
    for chart in &figure.charts {
        for signals in chart.signals().chunk_by(|a, b| a.index == b.index) {
            if signals.iter().any(|s| is_out(s.rule)) {
                out += 1;
            } else {
                other += 1;
            }
        }
    }
    assert!(out > 5 && other > 5, "{out} {other}");
    let (curved, straight): (Vec<String>, Vec<String>) =
        pieces(&figure.scene().to_svg(), SIGNAL).into_iter().partition(|p| p.contains('C'));
    // One more of each in the legend; both charts end steadily, so there is none in the heads.
    assert!(figure.charts.iter().all(|c| c.in_control() == Some(true)));
    assert_eq!((straight.len(), curved.len()), (out + 1, other + 1));
}

/// Strips beyond the limits are marked however many others there are.
#[test]
fn no_signal_is_thinned_out() {
    let spike = |n: usize| if n % 250 == 249 { 12.0 } else { 0.0 };
    let quiet = Plan { allowance: 9.0, average_limit: 99.0, ..Plan::new("contrast index", 2) };
    let samples: Vec<Sample> = (0..10_000)
        .map(|n| Sample {
            date: date(2000, 1, 1) + (n as i64).days(),
            value: 0.58 + 0.01 * (spike(n) + f64::from(n as u32 % 2)),
            batch: None,
        })
        .collect();
    let figure = sheet(vec![chart(quiet, &samples)], Vec::new());
    let svg = figure.scene().to_svg();
    let diamonds = pieces(&svg, SIGNAL).iter().filter(|p| !p.contains('C')).count();
    // 40 on the chart, one in the head (the last strip is one), one in the legend.
    assert_eq!(diamonds, 42);
    assert!(svg.len() < 200_000, "{} bytes for 10 000 strips", svg.len());
}

#[test]
fn limits_are_named_and_provisional_ones_called_so() {
    let has = |svg: &str, start: &str| words(svg).iter().any(|w| w.text.starts_with(start));
    let few = twelve().scene().to_svg();
    assert!(has(&few, "provisional limit 0.") && has(&few, "tolerance 0.63"));
    assert!(has(&few, "all: limits are provisional: they come from 12 strips"));
    let many = sixty().scene().to_svg();
    assert!(has(&many, "limit 0.") && !has(&many, "provisional"));
    let batches = seven().scene().to_svg();
    for start in ["batch B", "contrast index: batch B reads"] {
        assert!(
            has(&batches, start),
            "{start}: {:?}",
            words(&batches).iter().map(|w| &w.text).collect::<Vec<_>>()
        );
    }
    assert!(has(&batches, "there are 3 control strips"));
}

/// A label may be cut by no hairline of another event, and crowded ones say how many are named.
#[test]
fn event_labels_stand_free() {
    for figure in [twelve(), sixty(), seven(), ten_thousand()] {
        let svg = figure.scene().to_svg();
        let names = ["mixed", "replenished", "filtered"];
        let labels: Vec<Words> =
            words(&svg).into_iter().filter(|w| names.contains(&w.text.as_str())).collect();
        assert!(labels.len() > 3);
        let mut hairlines = 0;
        for piece in pieces(&svg, "#8a939b") {
            let numbers: Vec<f64> =
                piece.split(['L', ' ']).filter_map(|v| v.parse().ok()).collect();
            let [x, from, to_x, to] = numbers[..] else {
                continue;
            };
            hairlines += usize::from(x == to_x);
            for label in labels.iter().filter(|_| x == to_x) {
                let [left, top, right, bottom] = label.edges;
                let cut = left < x && x < right && from.min(to) < bottom && from.max(to) > top;
                assert!(!cut, "{} is cut at {x}", label.text);
            }
        }
        assert!(hairlines > labels.len(), "{hairlines}");
    }
    let crowded = ten_thousand().scene().to_svg();
    assert!(words(&crowded).iter().any(|w| w.text.contains("of 500 named")));
}

/// Weekly replenishments leave the rare events legible.
#[test]
fn what_is_routine_gets_ticks() {
    let start = date(2026, 1, 6);
    let mark = |week: i64, text: &str| Mark {
        date: start.saturating_add(jiff::Span::new().weeks(week)),
        text: text.to_owned(),
    };
    let mut marks: Vec<Mark> = (0..40).map(|n| mark(n, "replenished")).collect();
    marks.extend([mark(0, "mixed"), mark(19, "discarded"), mark(19, "mixed")]);
    let samples: Vec<Sample> = (0..40)
        .map(|n| Sample { date: mark(n, "").date, value: 0.6 + 0.01 * (n % 3) as f64, batch: None })
        .collect();
    let svg = sheet(vec![chart(Plan::new("contrast", 2), &samples)], marks).scene().to_svg();
    let all = words(&svg);
    for text in ["mixed", "discarded, mixed"] {
        find(&all, text);
    }
    assert!(!all.iter().any(|w| w.text == "replenished"));
    assert!(all.iter().any(|w| w.text.contains("short ticks: replenished (40 days)")));
}

#[test]
fn dates_stand_below_the_last_panel() {
    let svg = sixty().scene().to_svg();
    let all = words(&svg);
    let (april, year) = (find(&all, "Apr").edges, find(&all, "2026").edges);
    assert!(year[1] > april[3] && all.iter().filter(|w| w.text == "Apr").count() == 1);
}

/// What a chart accepts, its figure draws: far dates, huge values, values that are all alike.
#[test]
fn extremes_are_drawn() {
    let sample = |date: Date, value: f64| Sample { date, value, batch: None };
    let flat = vec![sample(date(2026, 1, 1), 1e9); 30];
    let huge: Vec<Sample> =
        (0..30).map(|n| sample(date(2026, 1, 1), if n % 2 == 0 { 1e9 } else { -1e9 })).collect();
    let far = [sample(Date::MIN, 0.5), sample(Date::MAX, 0.6)];
    let tiny: Vec<Sample> =
        (0..30).map(|n| sample(date(2026, 1, 1), 1e-300 * f64::from(n))).collect();
    let all = [(flat.as_slice(), 9), (&huge, 0), (&far, 2), (&tiny, 9)];
    for (samples, decimals) in all {
        let chart = chart(Plan::new("density", decimals), samples);
        let mut marks = marks(3, 2.0);
        marks[0].date = Date::MIN;
        marks[2].date = Date::MAX;
        for marks in [Vec::new(), marks] {
            let scene = sheet(vec![chart.clone()], marks).scene();
            let svg = scene.to_svg();
            assert!(farthest(&svg) < 1e5);
            find(&words(&svg), "control strips");
            assert!(scene.to_png_at(0.5).is_ok());
        }
    }
}
