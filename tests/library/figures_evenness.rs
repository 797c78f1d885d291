//! The density map, from outside: what its SVG holds, whether words stand on one another, and that no
//! data can break it.

use crate::page::{words, words_that_stand_free};
use roxmltree::Document;
use wedgebook::figures::{DensityMapFigure, FieldGrid, MapFrame, MapPanel, MapPlace};

const FRAME: MapFrame = MapFrame { along: (0.0, 36.0), across: (0.0, 24.0) };

/// A field with a slope and a bowl in it, about a level.
fn field(level: f64) -> impl Fn(f64, f64) -> f64 {
    move |x, y| level + 0.001 * x + 0.0003 * (y - 12.0).powi(2)
}

fn panel(name: &str, (columns, rows): (u32, u32), level: f64, spot: Option<u32>) -> MapPanel {
    let at = |k: u32, n: u32, length: f64| 1.5 + (length - 3.0) * f64::from(k) / f64::from(n - 1);
    let places = (0..columns * rows)
        .map(|k| {
            let (x, y) = (at(k % columns, columns, 36.0), at(k / columns, rows, 24.0));
            let size = (spot == Some(k)).then_some(-0.12);
            MapPlace { x, y, value: field(level)(x, y) + size.unwrap_or(0.0), spot: size }
        })
        .collect();
    MapPanel {
        name: name.to_owned(),
        detail: "mean 0.85".to_owned(),
        relative: level == 0.0,
        field: FieldGrid::of((1.5, 34.5), (1.5, 22.5), (34, 22), field(level)),
        places,
    }
}

fn one(size: (u32, u32)) -> DensityMapFigure {
    DensityMapFigure {
        title: "Evenness of frame 7".to_owned(),
        subtitle: Some("Larkfold".to_owned()),
        frame: FRAME,
        large: panel("frame 7", size, 0.8, Some(7)),
        small: Vec::new(),
    }
}

fn several(count: usize) -> DensityMapFigure {
    let small =
        (1..=count).map(|n| panel(&format!("frame {n}"), (5, 3), 0.0, (n == 3).then_some(7)));
    DensityMapFigure {
        title: format!("Evenness of {count} frames"),
        large: panel("all frames together", (5, 3), 0.0, None),
        small: small.collect(),
        ..one((5, 3))
    }
}

#[test]
fn words_do_not_stand_on_one_another() {
    for (name, figure) in [
        ("one", one((5, 3))),
        ("dense", one((24, 16))),
        ("six", several(6)),
        ("two", several(2)),
        ("many", several(30)),
    ] {
        assert!(words_that_stand_free(&figure.scene(), name).len() > 15, "{name}");
    }
}

#[test]
fn few_places_have_their_numbers_and_many_have_contours_named() {
    let texts = |figure: &DensityMapFigure| -> Vec<String> {
        words(&figure.scene().to_svg()).into_iter().map(|w| w.text).collect()
    };
    let few = texts(&one((5, 3)));
    assert!(few.contains(&"0.87".to_owned()), "{few:?}");
    let many = texts(&one((24, 16)));
    assert!(many.contains(&"−0.12".to_owned()), "the spot's departure: {many:?}");
    for shown in
        ["spot", "contour every 0.01", "density", "upper edge", "lower edge, lowest in the bath"]
    {
        assert!(few.contains(&shown.to_owned()) && many.contains(&shown.to_owned()), "{shown}");
    }
    let six = texts(&several(6));
    assert!(six.contains(&"the frame's mean".to_owned()) && six.contains(&"frame 6".to_owned()));
    assert!(texts(&several(30)).contains(&"and 6 more frames".to_owned()));
}

/// Greys only: nothing of the map is told by a hue.
#[test]
fn the_map_is_grey() {
    let svg = several(6).scene().to_svg();
    let document = Document::parse(&svg).unwrap();
    let fills = document.descendants().filter_map(|n| n.attribute("fill"));
    for fill in fills.filter(|f| f.starts_with('#')) {
        let part = |at: usize| i32::from_str_radix(&fill[at..at + 2], 16).unwrap();
        let (red, green, blue) = (part(1), part(3), part(5));
        let spread = red.max(green).max(blue) - red.min(green).min(blue);
        assert!(spread < 20, "{fill}");
    }
}

#[test]
fn no_data_break_the_map() {
    let nothing = DensityMapFigure::default();
    Document::parse(&nothing.scene().to_svg()).unwrap();
    let mut odd = one((5, 3));
    odd.frame.along = (0.0, f64::NAN);
    odd.large.field.values[3] = f64::INFINITY;
    odd.large.places[2].x = f64::NAN;
    odd.large.places[4].value = f64::INFINITY;
    odd.large.name =
        "a name that is much longer than a panel of the map is wide, and goes on".to_owned();
    Document::parse(&odd.scene().to_svg()).unwrap();
    let mut tall = one((3, 5));
    tall.frame = MapFrame { along: (0.0, 56.0), across: (0.0, 84.0) };
    assert!(tall.scene().to_png().unwrap().starts_with(b"\x89PNG"));
}
