//! The figures of a pairing, from outside: what their SVG holds, whatever they are given.

use crate::page::{
    WILD, Words, across, assert_same_bytes, assert_words_are_escaped, farthest, find,
    millimetres_wide, strips_of, words, words_that_read_well, words_that_stand_free,
};
use roxmltree::Document;
use wedgebook::curve::Choice;
use wedgebook::development::file::{Aims, PairingFile};
use wedgebook::development::{Measure, Pairing};
use wedgebook::figures::draw::{CAP_HEIGHT, MILLIMETRE, Scene};
use wedgebook::figures::{CardCell, CardColumn, CardRow, TimeTemperatureCard, contrast_time};
use wedgebook::units::Celsius;

const ODD: &str = "<&\"'> Larkfold";

/// Rows of a strip whose contrast grows with time as the examples' does; `speed` shifts it.
fn rows(name: &str, minutes: f64, celsius: f64, speed: f64) -> String {
    let name = name.replace('"', "\"\"");
    let theta = minutes * 1.09_f64.powf(celsius - 20.0);
    let slope = 1.15 * (1.0 - (-0.12 * (theta - 0.8)).exp());
    let row = |n: u8| {
        let x = -3.0 + 0.15 * f64::from(n) - speed;
        let straight = 0.25 * (1.0 + ((x + speed + 2.2 + 0.01 * theta) / 0.25).exp()).ln();
        format!("\"{name}\",{x:.2},{:.2},{minutes},{celsius}\n", 0.25 + slope * straight)
    };
    format!("\"{name}\",,0.25,{minutes},{celsius}\n") + &(0..=20).map(row).collect::<String>()
}

/// A pairing of strips, and its file with aims for these scenes.
fn calibrated(
    strips: &[String],
    name: &str,
    scenes: &[f64],
    relative: bool,
) -> (PairingFile, Pairing) {
    let scale = if relative { "relative_log_exposure" } else { "log_exposure" };
    let text = format!("strip,{scale},density,minutes,celsius\n{}", strips.concat());
    let strips = strips_of(&text);
    let aims =
        Aims { scene_stops: scenes.to_vec(), measure: Measure::ContrastIndex, ..Aims::default() };
    let reference = Celsius::new(20.0).unwrap();
    let file = PairingFile::new(name.to_owned(), reference, None, aims, &strips);
    (file, Pairing::calibrate(strips, Choice::Auto, reference).unwrap())
}

fn five(speed: f64) -> Vec<String> {
    let developed =
        [("A", 4.5, 20.0), ("B", 6.5, 20.0), ("C", 9.0, 20.0), ("D", 13.0, 20.0), ("E", 8.0, 24.0)];
    developed.map(|(name, minutes, celsius)| rows(name, minutes, celsius, speed)).to_vec()
}

fn scene_of(strips: &[String], name: &str, scenes: &[f64], relative: bool) -> Scene {
    let (file, pairing) = calibrated(strips, name, scenes, relative);
    contrast_time(&file, &pairing).scene()
}

fn usual() -> Scene {
    scene_of(&five(0.0), "Larkfold in Quillback 1+6", &[6.0, 7.0, 8.0, 9.0], false)
}

/// The contrast of a card's columns: minutes at 20 °C.
fn growth_minutes(contrast: f64) -> Option<f64> {
    let minutes = 0.8 - (1.0 - contrast / 0.98).ln() / 0.105;
    minutes.is_finite().then_some(minutes)
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
            let effective = growth_minutes(0.46 + 0.06 * f64::from(k)).unwrap_or(99.0);
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

/// Every figure with long and awkward words wherever there are words.
fn odd_scenes() -> Vec<Scene> {
    let (long, odd) = (ODD.repeat(12), ODD.to_owned());
    let strips: Vec<String> = (0..12_u8)
        .map(|n| {
            rows(&format!("{odd} {n}"), 4.0 + f64::from(n), 16.0 + 1.5 * f64::from(n / 2), 0.0)
        })
        .collect();
    let odd_chart = scene_of(&strips, &long, &[7.0, 7.1, 7.2, 7.3, 7.4, 7.5, 9.0, 4.0], false);
    let card = |mut card: TimeTemperatureCard| {
        for column in &mut card.columns {
            (column.heading, column.second) = (odd.clone(), Some(long.clone()));
        }
        card.notes = vec![long.clone(); 6];
        (card.date, card.activity) = (Some(odd.clone()), Some(long.clone()));
        (card.pairing, card.measure) = (long.clone(), long.clone());
        card.scene()
    };
    vec![odd_chart, card(card_of(12, 7)), card(card_of(3, 2))]
}

fn charts() -> Vec<Scene> {
    let crowd: Vec<String> =
        (0..16_u8).map(|n| rows(&format!("strip {n}"), 3.0 + f64::from(n), 20.0, 0.0)).collect();
    let scenes: Vec<f64> = (0..30).map(|n| 5.0 + 0.15 * f64::from(n)).collect();
    vec![
        usual(),
        scene_of(&five(0.0)[..2], "two strips", &[7.0], false),
        scene_of(&five(0.0), "no aims", &[], false),
        scene_of(&five(0.0), "relative", &[7.0, 8.0], true),
        scene_of(&five(-2.3), "a slow film", &[7.0, 8.0], false),
        scene_of(&crowd, "a crowd", &scenes, false),
    ]
}

fn cards() -> Vec<Scene> {
    let sizes = [(9, 4), (5, 1), (12, 5), (12, 7), (1, 1), (3, 9), (24, 6)];
    let cards = sizes.into_iter().map(|(rows, columns)| card_of(rows, columns).scene());
    cards.chain([TimeTemperatureCard::default().scene()]).collect()
}

fn scenes() -> Vec<Scene> {
    charts().into_iter().chain(cards()).chain(odd_scenes()).collect()
}

#[test]
fn no_two_texts_overlap_and_none_leaves_the_page() {
    for (k, scene) in scenes().iter().enumerate() {
        assert!(!words_that_stand_free(scene, &format!("figure {k}")).is_empty());
    }
    for (k, scene) in charts().iter().enumerate() {
        words_that_read_well(scene, &format!("chart {k}"));
        assert!(farthest(&scene.to_svg()) < 1e4);
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
    let (file, pairing) = calibrated(&five(0.0), "Larkfold", &[7.0], false);
    let svg = contrast_time(&file, &pairing).scene().to_svg();
    let all = words(&svg);
    let place = |label: &str| across(&all, label);
    let minute = (place("8") - place("4")) / 4.0;
    let contrast = file.aims.printing.contrast(7.0).unwrap();
    let minutes = pairing.growth(Measure::ContrastIndex).unwrap().effective_minutes(contrast);
    let wanted = place("4") + minute * (minutes.unwrap() - 4.0);
    let document = Document::parse(&svg).unwrap();
    let dashes =
        document.descendants().filter(|n| n.attribute("stroke-dasharray") == Some("2.50 2.50"));
    let drops: String = dashes.filter_map(|n| n.attribute("d")).collect();
    let starts = drops.split('M').filter_map(|d| d.split(' ').next()?.parse::<f64>().ok());
    let near = starts.filter(|x| (x - wanted).abs() < 0.1).count();
    assert_eq!(near, 2, "one down to the axis, and one through the exposure indices");
    let time = wedgebook::words::rounded_clock(minutes.unwrap());
    for label in ["N", &format!("{contrast:.2}"), &time, "20 °C", "24 °C"] {
        find(&all, label);
    }
}

#[test]
fn an_aim_that_nothing_reaches_says_so() {
    let svg = scene_of(&five(0.0), "Larkfold", &[3.0], false).to_svg();
    assert!(svg.contains(">not reached<") && svg.contains("is not reached"));
    assert!(!svg.contains("2.50 2.50"), "there is no dropline");
}

#[test]
fn labels_of_close_aims_keep_their_order() {
    let scenes: Vec<f64> = (0..8).map(|n| 7.0 + 0.03 * f64::from(n)).collect();
    let (file, pairing) = calibrated(&five(0.0), "Larkfold", &scenes, true);
    let all = words(&contrast_time(&file, &pairing).scene().to_svg());
    let mut tops: Vec<(f64, f64)> = Vec::new();
    for word in all.iter().filter(|w| w.text.starts_with("0.") && w.edges[0] > 560.0) {
        tops.push((word.edges[1], word.text.parse().unwrap()));
    }
    assert_eq!(tops.len(), 8);
    assert!(tops.windows(2).all(|w| w[1].0 - w[0].0 > 14.0 && w[1].1 <= w[0].1), "{tops:?}");
}

#[test]
fn exposure_indices_stand_where_their_logarithms_are() {
    let all = words(&usual().to_svg());
    let on_axis = |w: &&Words| w.edges[2] < 72.0 && w.text.parse::<f64>().is_ok_and(|v| v > 20.0);
    let ticks: Vec<(f64, f64)> =
        all.iter().filter(on_axis).map(|w| (w.text.parse().unwrap(), w.edges[3])).collect();
    assert!(ticks.len() > 3, "{ticks:?}");
    let (first, last) = (ticks[0], ticks[ticks.len() - 1]);
    for (value, y) in &ticks {
        let share = (value / first.0).ln() / (last.0 / first.0).ln();
        assert!((first.1 + share * (last.1 - first.1) - y).abs() < 0.02, "{ticks:?}");
    }
}

/// The line is named by its exact value; the rounded ISO speed stands beside it in the legend.
#[test]
fn the_iso_speed_is_written_at_its_exact_value() {
    let (file, pairing) = calibrated(&five(0.0), "Larkfold", &[7.0], false);
    let iso = pairing.iso_speed().unwrap();
    let all = words(&contrast_time(&file, &pairing).scene().to_svg());
    let exact = format!("{:.0}", iso.speed.value);
    let name = find(&all, "ISO speed").edges;
    assert!(all.iter().any(|w| w.text == exact && (w.edges[3] - name[3]).abs() < 0.1));
    let standard = iso.standard.unwrap();
    let rounded = format!("speed there {exact}, ISO {}/{}°", standard.arithmetic, standard.degrees);
    find(&all, &rounded);
}

#[test]
fn slow_films_have_decimals() {
    let (file, pairing) = calibrated(&five(-2.3), "a slow film", &[7.0], false);
    let speed = pairing.iso_speed().unwrap().speed.value;
    assert!(speed < 2.0, "{speed}");
    let svg = contrast_time(&file, &pairing).scene().to_svg();
    let all = words(&svg);
    let name = find(&all, "ISO speed").edges;
    let value = all.iter().find(|w| w.edges[0] > name[2] && (w.edges[3] - name[3]).abs() < 0.1);
    let written = &value.unwrap().text;
    assert!(written.contains('.') && (written.parse::<f64>().unwrap() - speed).abs() < 0.05);
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
    let chart = usual().to_svg();
    assert!(!chart.contains("mm\""), "a chart has no paper size");
}

#[test]
fn times_on_a_card_are_large() {
    for (rows, columns, least) in
        [(6, 2, 8.0), (8, 3, 6.0), (9, 4, 5.3), (12, 5, 4.0), (12, 7, 3.5)]
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
fn a_card_needs_no_colour_and_has_its_reference_row_and_the_column_asked_for_in_black() {
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
    assert_eq!(white, ["0.58", "N", "EI 120", "20 °C", "68 °F"]);
}
