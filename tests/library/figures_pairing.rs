//! The figures of a pairing, from outside: what their SVG holds, whatever they are given.

use crate::page::{
    WILD, Words, across, assert_same_bytes, assert_words_are_escaped, farthest, find,
    millimetres_wide, words, words_that_stand_free,
};
use roxmltree::Document;
use wedgebook::figures::draw::{CAP_HEIGHT, MILLIMETRE, Scene};
use wedgebook::figures::{
    Aim, CardCell, CardColumn, CardRow, ContrastAt, ContrastTimeFigure, CurveAt, IsoSpeedMark,
    SpeedAt, SpeedContrastFigure, SpeedCurveAt, TimeTemperatureCard,
};

const ODD: &str = "<&\"'> Larkfold";

/// Growth of contrast with time, as the examples have it.
fn growth(minutes: f64) -> f64 {
    0.98 * (1.0 - (-0.105 * (minutes - 0.8).max(0.0)).exp())
}

fn contrast_strip(name: &str, minutes: f64, celsius: f64, off: f64) -> ContrastAt {
    let contrast = growth(minutes) + off;
    ContrastAt {
        name: name.to_owned(),
        minutes,
        contrast,
        low: contrast - 0.018,
        high: contrast + 0.018,
        celsius,
    }
}

fn growth_curve(from: f64, to: f64) -> Vec<CurveAt> {
    let point = |n: u8| {
        let minutes = from + (to - from) * f64::from(n) / 120.0;
        let half = 0.008 + 0.002 * (minutes - 9.0).abs();
        CurveAt {
            minutes,
            contrast: growth(minutes),
            low: growth(minutes) - half,
            high: growth(minutes) + half,
        }
    };
    (0..=120).map(point).collect()
}

fn aim(label: &str, contrast: f64) -> Aim {
    let minutes = 0.8 - (1.0 - contrast / 0.98).ln() / 0.105;
    Aim { label: label.to_owned(), contrast, minutes: minutes.is_finite().then_some(minutes) }
}

fn contrast_time() -> ContrastTimeFigure {
    ContrastTimeFigure {
        title: "Larkfold in Quillback 1+6".to_owned(),
        subtitle: Some("five strips, Ottermouth Wharf".to_owned()),
        measure: "contrast index".to_owned(),
        reference_celsius: 20.0,
        strips: vec![
            contrast_strip("A", 4.5, 20.0, 0.008),
            contrast_strip("B", 6.5, 20.0, -0.011),
            contrast_strip("C", 9.0, 20.0, 0.004),
            contrast_strip("D", 13.0, 20.0, 0.002),
            contrast_strip("E", 10.8, 24.0, -0.012),
        ],
        curve: growth_curve(3.0, 16.0),
        aims: vec![aim("N−1", 0.45), aim("N", 0.58), aim("N+1", 0.68)],
        asymptote: Some(0.98),
    }
}

fn crowded_contrast_time() -> ContrastTimeFigure {
    let labels = ["0.53", "0.54", "N−½", "N", "N+½", "hard paper, condenser head", "0.59", "0.97"];
    let aims = labels.iter().zip([0.53, 0.54, 0.55, 0.56, 0.57, 0.58, 0.59, 1.1]);
    ContrastTimeFigure {
        aims: aims.map(|(label, contrast)| aim(label, contrast)).collect(),
        strips: (0..12u8)
            .map(|n| {
                let (minutes, celsius) = (3.0 + f64::from(n), 16.0 + 1.5 * f64::from(n / 2));
                contrast_strip(&format!("strip {n}"), minutes, celsius, 0.0)
            })
            .collect(),
        ..contrast_time()
    }
}

/// A card with so many rows and columns, reachable or not as it comes.
fn card_of(rows: u8, columns: u8) -> TimeTemperatureCard {
    let column = |k: u8| CardColumn {
        heading: format!("{:.2}", 0.46 + 0.06 * f64::from(k)),
        second: Some(["N−2", "N−1", "N", "N+1", "N+2"][usize::from(k % 5)].to_owned()),
        third: Some(format!("EI {}", 100 + 10 * k)),
        asked: k == 2,
    };
    let row = |n: u8| {
        let celsius = 16.0 + f64::from(n);
        let cell = |k: u8| {
            let effective = aim("", 0.46 + 0.06 * f64::from(k)).minutes.unwrap_or(99.0);
            let minutes = effective * (-0.085 * (celsius - 20.0)).exp();
            match minutes {
                m if m > 25.0 => CardCell::Unreachable,
                m if m < 4.0 => CardCell::Short { minutes },
                _ => CardCell::Time { minutes, outside: !(5.0..14.0).contains(&minutes) },
            }
        };
        CardRow { celsius, cells: (0..columns).map(cell).collect() }
    };
    TimeTemperatureCard {
        standing: Some("good: control strip A was in spec (today)".to_owned()),
        warns: false,
        pairing: "Larkfold in Quillback 1+6".to_owned(),
        date: Some("14 March".to_owned()),
        activity: Some("bath activity 0.92 (0.89 to 0.95)".to_owned()),
        measure: "contrast index".to_owned(),
        reference_celsius: Some(20.0),
        columns: (0..columns).map(column).collect(),
        rows: (0..rows).map(row).collect(),
        notes: vec![
            "† temperature law with an assumed activation energy of 80 kJ/mol".to_owned(),
            "agitate for the first 30 s, then 10 s in every minute".to_owned(),
        ],
        fahrenheit: true,
    }
}

/// Exposure index at a contrast, as the examples have it.
fn index(contrast: f64) -> f64 {
    118.0 * 10f64.powf(0.55 * (contrast - 0.58))
}

fn speed_strip(name: &str, contrast: f64, celsius: f64, off: f64) -> SpeedAt {
    let exposure_index = index(contrast) * 10f64.powf(off);
    SpeedAt {
        name: name.to_owned(),
        contrast,
        contrast_interval: Some((contrast - 0.018, contrast + 0.018)),
        exposure_index,
        exposure_index_interval: Some((exposure_index / 1.07, exposure_index * 1.07)),
        celsius,
    }
}

fn speed_contrast() -> SpeedContrastFigure {
    let point = |n: u8| {
        let contrast = 0.3 + 0.01 * f64::from(n);
        let exposure_index = index(contrast);
        SpeedCurveAt {
            contrast,
            exposure_index,
            low: exposure_index / 1.04,
            high: exposure_index * 1.04,
        }
    };
    SpeedContrastFigure {
        title: "Larkfold in Quillback 1+6".to_owned(),
        subtitle: Some("five strips, Ottermouth Wharf".to_owned()),
        measure: "contrast index".to_owned(),
        reference_celsius: 20.0,
        strips: vec![
            speed_strip("A", 0.34, 20.0, 0.01),
            speed_strip("B", 0.46, 20.0, -0.014),
            speed_strip("C", 0.58, 20.0, 0.012),
            speed_strip("D", 0.71, 20.0, 0.002),
            speed_strip("E", 0.64, 24.0, -0.02),
        ],
        curve: (0..=46).map(point).collect(),
        iso: Some(IsoSpeedMark {
            contrast: 0.615,
            speed: Some(index(0.615)),
            rounded: Some(125.0),
        }),
    }
}

fn crowded_speed_contrast() -> SpeedContrastFigure {
    let mut figure = speed_contrast();
    for n in 0..12u8 {
        let off = 0.03 * (f64::from(n % 3) - 1.0);
        let contrast = 0.5 + 0.012 * f64::from(n);
        figure.strips.push(speed_strip(&format!("late {n}"), contrast, 15.0 + f64::from(n), off));
    }
    figure
}

/// Every figure with long and awkward words wherever there are words.
fn odd_scenes() -> Vec<Scene> {
    let (long, odd) = (ODD.repeat(12), ODD.to_owned());
    let mut contrast = crowded_contrast_time();
    let mut speed = crowded_speed_contrast();
    contrast.strips.iter_mut().for_each(|s| s.name.clone_from(&long));
    contrast.aims.iter_mut().for_each(|a| a.label.clone_from(&long));
    speed.strips.iter_mut().for_each(|s| s.name.clone_from(&odd));
    for measure in [&mut contrast.measure, &mut speed.measure] {
        measure.clone_from(&long);
    }
    (contrast.title, speed.title) = (odd.clone(), long.clone());
    (contrast.subtitle, speed.subtitle) = (Some(long.clone()), None);
    let card = |mut card: TimeTemperatureCard| {
        for column in &mut card.columns {
            (column.heading, column.second) = (odd.clone(), Some(long.clone()));
        }
        card.notes = vec![long.clone(); 6];
        (card.date, card.activity) = (Some(odd.clone()), Some(long.clone()));
        (card.pairing, card.measure) = (long.clone(), long.clone());
        card.scene()
    };
    vec![contrast.scene(), speed.scene(), card(card_of(12, 7)), card(card_of(3, 2))]
}

fn scenes() -> Vec<Scene> {
    let mut few = contrast_time();
    few.strips.truncate(2);
    few.curve.clear();
    let sizes = [(9, 4), (5, 1), (12, 5), (12, 7), (1, 1), (3, 9), (24, 6)];
    let cards = sizes.into_iter().map(|(rows, columns)| card_of(rows, columns).scene());
    let charts = [
        contrast_time().scene(),
        crowded_contrast_time().scene(),
        few.scene(),
        ContrastTimeFigure::default().scene(),
        speed_contrast().scene(),
        crowded_speed_contrast().scene(),
        SpeedContrastFigure::default().scene(),
        TimeTemperatureCard::default().scene(),
    ];
    charts.into_iter().chain(cards).chain(odd_scenes()).collect()
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
fn charts_survive_numbers_that_are_none() {
    for value in WILD {
        let mut contrast = contrast_time();
        contrast.strips[0].minutes = value;
        contrast.strips[1].contrast = value;
        contrast.strips[2].low = value;
        contrast.strips[3].high = value;
        contrast.strips[4].celsius = value;
        contrast.curve[3].minutes = value;
        contrast.curve[30].contrast = value;
        contrast.curve[50].low = value;
        contrast.curve[70].high = value;
        contrast.aims[0].minutes = Some(value);
        contrast.aims[1].contrast = value;
        (contrast.asymptote, contrast.reference_celsius) = (Some(value), value);
        let mut speed = speed_contrast();
        speed.strips[0].exposure_index = value;
        speed.strips[1].contrast = value;
        speed.strips[2].contrast_interval = Some((value, 0.6));
        speed.strips[3].exposure_index_interval = Some((80.0, value));
        speed.curve[3].contrast = value;
        speed.curve[10].exposure_index = value;
        (speed.curve[20].low, speed.curve[30].high) = (value, value);
        let iso = |contrast, speed| {
            let rounded = None;
            Some(IsoSpeedMark { contrast, speed: Some(speed), rounded })
        };
        for mark in [iso(value, 125.0), iso(0.6, value)] {
            speed.iso = mark;
            for scene in [contrast.scene(), speed.scene()] {
                let svg = scene.to_svg();

                assert!(farthest(&svg) < 1e5, "{value} reached the page");
                find(&words(&svg), "fitted curve");
                assert!(scene.to_png_at(0.5).is_ok());
            }
        }
    }
}

#[test]
fn a_card_survives_numbers_that_are_none() {
    for value in WILD {
        let mut card = card_of(6, 3);
        card.rows[0].celsius = value;
        card.rows[1].cells[0] = CardCell::Time { minutes: value, outside: true };
        card.rows[1].cells[1] = CardCell::Short { minutes: value };
        card.rows[2].cells.clear();
        card.rows[3].cells.extend([CardCell::Unreachable; 9]);
        card.reference_celsius = Some(value);
        let svg = card.scene().to_svg();

        assert!(farthest(&svg) < 1000.0, "{value} reached the page");
        assert!(svg.contains("this contrast is not reached") || value == 1e-300);
    }
}

#[test]
fn an_aim_drops_to_its_time_and_says_it() {
    let svg = contrast_time().scene().to_svg();
    let all = words(&svg);
    let place = |label: &str| across(&all, label);
    let minute = (place("12") - place("8")) / 4.0;
    let wanted = place("8") + minute * (aim("N", 0.58).minutes.unwrap() - 8.0);
    let document = Document::parse(&svg).unwrap();
    let dashes =
        document.descendants().find(|n| n.attribute("stroke-dasharray") == Some("2.50 2.50"));
    let drops = dashes.and_then(|n| n.attribute("d")).expect("droplines");
    let starts = drops.split('M').filter_map(|d| d.split(' ').next()?.parse::<f64>().ok());
    let nearest = starts.map(|x| (x - wanted).abs()).fold(f64::INFINITY, f64::min);
    assert!(nearest < 0.1, "{nearest} beside");
    for label in ["N", "0.58", "9:20", "asymptote 0.98", "20 °C", "24 °C"] {
        find(&all, label);
    }
}

#[test]
fn an_aim_that_nothing_reaches_says_so() {
    let mut figure = contrast_time();
    figure.aims = vec![aim("N+3", 1.1)];
    let svg = figure.scene().to_svg();
    assert!(svg.contains(">not reached<") && svg.contains("is not reached"));
    assert!(!svg.contains("2.50 2.50"), "there is no dropline");
}

#[test]
fn labels_of_close_aims_keep_their_order() {
    let figure = ContrastTimeFigure {
        aims: (0..8u8).map(|n| aim(&format!("aim {n}"), 0.55 + 0.004 * f64::from(n))).collect(),
        ..contrast_time()
    };
    let all = words(&figure.scene().to_svg());
    let tops: Vec<f64> = (0..8).map(|n| find(&all, &format!("aim {n}")).edges[1]).collect();
    assert!(tops.windows(2).all(|w| w[0] - w[1] > 15.0), "{tops:?}");
}

#[test]
fn exposure_indices_stand_where_their_logarithms_are() {
    let all = words(&speed_contrast().scene().to_svg());
    let height = |label: &str| find(&all, label).edges[3];
    let stop = height("80") - height("160");
    let third = height("100") - height("125");
    assert!((third / stop - 1.25f64.log2()).abs() < 1e-3, "{}", third / stop);
    for label in ["ISO 125", "ISO contrast", "ISO speed 125", "64", "200"] {
        find(&all, label);
    }
}

#[test]
fn only_a_rounded_speed_is_called_rounded() {
    let mut figure = speed_contrast();
    assert!(figure.scene().to_svg().contains(">rounded from 123<"));
    figure.iso.as_mut().expect("the ISO speed").rounded = None;
    let svg = figure.scene().to_svg();
    assert!(svg.contains(">ISO speed 123<") && !svg.contains("rounded from"));
}

#[test]
fn a_card_prints_on_a5() {
    for (columns, size) in [
        (1, ("148.00mm", "210.00mm")),
        (5, ("148.00mm", "210.00mm")),
        (6, ("210.00mm", "148.00mm")),
    ] {
        let scene = card_of(7, columns).scene();
        let svg = scene.to_svg();
        let document = Document::parse(&svg).unwrap();
        let root = document.root_element();
        assert_eq!(
            (root.attribute("width"), root.attribute("height")),
            (Some(size.0), Some(size.1))
        );
        let view = root.attribute("viewBox").unwrap();
        let sides: Vec<f64> = view.split(' ').map(|v| v.parse().unwrap()).collect();
        let millimetres: f64 = size.0.trim_end_matches("mm").parse().unwrap();
        assert!((sides[2] - millimetres * MILLIMETRE).abs() < 0.01);
        let wide = millimetres_wide(scene.to_png().unwrap());
        assert!((wide - millimetres).abs() < 0.2, "{wide} mm");
    }
    let chart = contrast_time().scene().to_svg();
    assert!(!chart.contains("mm\""), "a chart has no paper size");
}

#[test]
fn times_on_a_card_are_large() {
    for (rows, columns, least) in
        [(6, 2, 8.0), (8, 3, 6.0), (9, 4, 5.3), (12, 5, 4.0), (12, 7, 4.0)]
    {
        let all = words(&card_of(rows, columns).scene().to_svg());
        let is_time = |w: &&Words| w.text.contains(':') && w.text.as_bytes()[0].is_ascii_digit();
        let times = all.iter().filter(is_time).map(|w| w.size * CAP_HEIGHT / MILLIMETRE);
        let (smallest, count) = times.fold((f64::INFINITY, 0), |(s, n), v| (v.min(s), n + 1));
        assert!(count >= rows, "{count} times in {rows} rows");
        assert!(smallest >= least, "{rows} × {columns}: {smallest:.1} mm");
    }
}

#[test]
fn a_card_says_times_as_a_clock_and_explains_its_signs() {
    let mut card = card_of(1, 1);
    let footers = [
        "outside the range that was calibrated",
        "short: development may be uneven",
        "this contrast is not reached",
    ];
    let time = |minutes, outside| CardCell::Time { minutes, outside };
    let cases = [
        (time(6.79, false), "6:45", [false, false, false]),
        (time(12.31, true), "12:15", [true, false, false]),
        (time(3.9, true), "3:55", [true, true, false]),
        (time(3.99, false), "4:00", [false, false, false]),
        (CardCell::Short { minutes: 4.5 }, "4:30", [false, true, false]),
        (CardCell::Unreachable, "", [false, false, true]),
    ];
    for (cell, written, explained) in cases {
        card.rows[0].cells = vec![cell];
        let svg = card.scene().to_svg();
        assert!(svg.contains(&format!(">{written}<")) || written.is_empty(), "{written}");
        assert_eq!(footers.map(|f| svg.contains(&format!(">{f}"))), explained, "{cell:?}");
    }
}

#[test]
fn an_assumption_marks_the_heading() {
    let marked = |notes: &[&str]| {
        let mut card = card_of(3, 2);
        card.notes = notes.iter().map(|n| (*n).to_owned()).collect();
        let all = words(&card.scene().to_svg());
        (all[0].text.ends_with(" †"), all.iter().any(|w| w.text == "†"))
    };
    assert_eq!(marked(&["† assumed"]), (true, true));
    assert_eq!(marked(&["agitate"]), (false, false));
}

#[test]
fn a_card_needs_no_colour_and_has_its_reference_row_in_black() {
    let svg = card_of(9, 4).scene().to_svg();
    let document = Document::parse(&svg).unwrap();
    for name in ["fill", "stroke"] {
        for colour in document.descendants().filter_map(|n| n.attribute(name)) {
            let grey =
                colour == "none" || colour[1..3] == colour[3..5] && colour[3..5] == colour[5..7];
            assert!(grey, "{colour}");
        }
    }
    let white = document
        .descendants()
        .filter(|n| n.has_tag_name("text") && n.attribute("fill") == Some("#ffffff"));
    let white: Vec<_> = white.filter_map(|n| n.text()).collect();
    assert_eq!(white, ["20 °C", "68 °F"]);
}
