//! The checklist, from outside: what its SVG holds, whatever it is given.

use crate::page::{
    self, Edges, Words, assert_words_are_escaped, find, has_turned_words, millimetres_wide,
    numbers, overlap, words_that_stand_free,
};
use roxmltree::Document;
use wedgebook::figures::draw::{CAP_HEIGHT, MILLIMETRE, Scene};
use wedgebook::figures::{CheckColumn, CheckTable, Checklist, Headline};

const ODD: &str = "<&\"'> Larkfold";

fn column(heading: &str, is_number: bool) -> CheckColumn {
    CheckColumn { heading: heading.to_owned(), is_number }
}

fn texts(words: &[&str]) -> Vec<String> {
    words.iter().map(|w| (*w).to_owned()).collect()
}

/// A list with so many rows in each table, boxes before each, and notes.
fn list(rows: usize, boxes: usize, notes: usize) -> Checklist {
    let row = |n: usize| {
        let how = "30 s, then 10 s in every minute";
        texts(&[&format!("step {n}"), &format!("{n}:30"), how, "common practice, no source"])
    };
    let table = |heading: &str, boxes| CheckTable {
        heading: heading.to_owned(),
        columns: vec![
            column("", false),
            column("time", true),
            column("how", false),
            column("from", false),
        ],
        boxes,
        rows: (1..=rows).map(row).collect(),
    };
    let note = "keep the stop bath, the fixer and the wash within about 3 °C of the developer";
    Checklist {
        title: "Ottermouth Wharf, Tuesday class".to_owned(),
        details: texts(&["Larkfold in Quillback 1+6: 6 × 135-36"]),
        cautions: texts(&["Wear gloves.", "Pour acid into water, never water into acid."]),
        headline: Some(Headline {
            number: "11:00".to_owned(),
            words: texts(&["develop at 21.5 °C", "contrast index 0.615", "activity 0.92"]),
        }),
        tables: vec![table("Steps", boxes), table("Afterwards", 1)],
        notes: vec![note.to_owned(); notes],
    }
}

/// Long and awkward words wherever there are words.
fn odd() -> Checklist {
    let (long, mut list) = (ODD.repeat(12), list(4, 3, 0));
    let spaced = format!("{ODD} ").repeat(40);
    list.title.clone_from(&long);
    list.details = vec![long.clone(), ODD.to_owned()];
    list.cautions = vec![spaced.clone(), long.clone()];
    list.notes = vec![spaced.clone(), long.clone()];
    list.headline = Some(Headline {
        number: long.clone(),
        words: vec![spaced.clone(), long.clone(), spaced.clone()],
    });
    for table in &mut list.tables {
        table.heading.clone_from(&long);
        table.columns[1].heading.clone_from(&long);
        for row in &mut table.rows {
            row[2].clone_from(&spaced);
            row[3].clone_from(&long);
            row.push("beyond the columns".to_owned());
        }
        table.rows.push(Vec::new());
    }
    list
}

fn lists() -> Vec<Checklist> {
    let mut many = list(3, 1, 2);
    many.tables = vec![many.tables[0].clone(); 12];
    let mut bare = list(2, 0, 0);
    (bare.headline, bare.cautions, bare.details) = (None, Vec::new(), Vec::new());
    let mut loud = list(3, 1, 200);
    loud.cautions = vec!["Wear gloves.".to_owned(); 300];
    let sizes = [(1, 1, 1), (7, 2, 6), (9, 8, 12), (7, 9, 3), (60, 1, 4), (400, 3, 40), (0, 1, 2)];
    let mut all: Vec<Checklist> = sizes.into_iter().map(|(r, b, n)| list(r, b, n)).collect();
    all.extend([many, bare, loud, odd(), Checklist::default()]);
    all
}

fn words(scene: &Scene) -> Vec<Words> {
    page::words(&scene.to_svg())
}

/// The squares of a page.
fn boxes(scene: &Scene) -> Vec<Edges> {
    let svg = scene.to_svg();
    let document = Document::parse(&svg).expect("well-formed");
    let paths = document.descendants().filter_map(|n| n.attribute("d"));
    let square = |d: &str| {
        let n = numbers(d);
        let is_box = n.len() == 8 && (n[2] - n[0] - (n[5] - n[3])).abs() < 0.02;
        is_box.then(|| [n[0], n[1], n[4], n[5]])
    };
    paths.filter_map(square).collect()
}

#[test]
fn no_two_texts_overlap_and_none_leaves_the_page_or_lies_on_a_box() {
    for (k, list) in lists().iter().enumerate() {
        let scene = list.scene();
        let all = words_that_stand_free(&scene, &format!("list {k}"));
        assert!(!all.is_empty() && !has_turned_words(&scene.to_svg()));
        for (square, a) in boxes(&scene).iter().flat_map(|s| all.iter().map(move |a| (s, a))) {
            assert!(!overlap(&a.edges, square), "list {k}: {} on a box", a.text);
        }
    }
}

#[test]
fn type_is_legible() {
    for list in lists() {
        let smallest = words(&list.scene()).iter().map(|w| w.size).fold(f64::INFINITY, f64::min);
        assert!(smallest >= 0.9 * 2.2 * MILLIMETRE - 0.01, "{}", smallest / MILLIMETRE);
    }
    let usual = words(&list(7, 2, 6).scene());
    assert!(find(&usual, "step 1").size >= 3.0 * MILLIMETRE);
    assert!(find(&usual, "11:00").size * CAP_HEIGHT >= 10.0 * MILLIMETRE);
}

#[test]
fn a_box_for_each_batch_before_each_row() {
    for (asked, drawn) in [(0, 0), (1, 1), (2, 2), (8, 8), (9, 1), (200, 1)] {
        let mut list = list(5, asked, 0);
        list.tables.truncate(1);
        let scene = list.scene();
        assert_eq!(boxes(&scene).len(), 5 * drawn, "{asked}");
        let numbered = words(&scene).iter().any(|w| w.text == "2");
        assert_eq!(numbered, drawn > 1);
    }
}

#[test]
fn what_finds_no_room_is_counted() {
    let shown = |scene: &Scene| words(scene).iter().filter(|w| w.text.starts_with("step ")).count();
    let scene = list(400, 1, 40).scene();
    let hidden: Vec<usize> = words(&scene)
        .iter()
        .filter_map(|w| w.text.strip_prefix("… and ")?.strip_suffix(" more")?.parse().ok())
        .collect();
    assert_eq!(hidden.len(), 2);
    assert_eq!(hidden.iter().sum::<usize>() + shown(&scene), 800);
    assert!(words(&scene).iter().any(|w| w.text == "… more notes than the page has room for"));
    let scene = list(7, 2, 6).scene();
    assert_eq!(shown(&scene), 14);
    assert!(!words(&scene).iter().any(|w| w.text.starts_with('…')));
}

#[test]
fn it_prints_on_a4_in_black() {
    let scene = list(7, 2, 6).scene();
    let svg = scene.to_svg();
    let document = Document::parse(&svg).unwrap();
    let root = document.root_element();
    let size = (root.attribute("width"), root.attribute("height"));
    assert_eq!(size, (Some("210.00mm"), Some("297.00mm")));
    for name in ["fill", "stroke"] {
        for colour in document.descendants().filter_map(|n| n.attribute(name)) {
            assert!(["none", "#000000", "#ffffff"].contains(&colour), "{colour}");
        }
    }
    assert!(svg.contains("Pour acid into water"), "its description tells it too");
    let wide = millimetres_wide(scene.to_png().unwrap());
    assert!((wide - 210.0).abs() < 0.2, "{wide} mm");
}

#[test]
fn the_same_list_gives_the_same_bytes_and_awkward_words_are_escaped() {
    for list in lists() {
        assert_eq!(list.scene().to_svg(), list.clone().scene().to_svg());
    }
    let svg = odd().scene().to_svg();
    assert!(!svg.contains("NaN"));
    assert_words_are_escaped(&svg);
}
