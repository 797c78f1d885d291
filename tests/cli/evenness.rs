//! `evenness` as a person meets it.

use crate::desk::{Desk, data};

fn grid(density: impl Fn(f64, f64) -> f64) -> String {
    let mut text = String::from("x_mm,y_mm,density\n");
    for (row, y) in [2.0, 12.0, 22.0].into_iter().enumerate() {
        for (column, x) in [2.0, 10.0, 18.0, 26.0, 34.0].into_iter().enumerate() {
            let noise =
                [0.004, -0.005, 0.002, -0.003, 0.003, -0.001, 0.001][(5 * row + column) % 7];
            text.push_str(&format!("{x},{y},{:.3}\n", density(x, y) + noise));
        }
    }
    text
}

#[test]
fn the_demonstration_has_dense_edges_and_an_air_bell() {
    let desk = Desk::empty();
    let frames = data("evenness.csv");
    let (status, out, err) = desk.run(&["evenness", &frames, "--plot", "map.svg"]);
    assert_eq!((status, err.as_str()), (1, ""), "unevenness that is seen is a no");
    assert!(out.starts_with("Uneven, and seen in a print: both long edges denser than the middle in all\nframes (0.10 in the print)"), "{out}");
    assert!(out.contains("frame 4: a light spot at x"), "{out}");
    assert!(out.contains("common practice, no source"), "{out}");
    assert!(desk.read("map.svg").ends_with("</svg>\n"));
    let v = desk.json(&["evenness", &frames, "--json"]);
    let together = &v["together"];
    let edges = &together["long_edges"];
    // The places read nearest to the edges are 0.043 and 0.055 denser than those in the middle.
    assert!((0.035..0.055).contains(&edges["value"].as_f64().unwrap()), "{edges}");
    let along = &together["gradient_along"];
    assert!(along["low"].as_f64() < Some(0.0) && Some(0.0) < along["high"].as_f64(), "{along}");
}

#[test]
fn an_even_frame_is_called_even() {
    let desk = Desk::empty();
    desk.write("even.csv", &grid(|_, _| 0.80));
    let (status, out, err) = desk.run(&["evenness", "even.csv"]);
    assert_eq!((status, err.as_str()), (0, ""), "{out}");
    desk.write("sloping.csv", &grid(|x, _| 0.70 + 0.006 * x));
    let (status, out, _) = desk.run(&["evenness", "sloping.csv"]);
    assert_eq!(status, 1);
    assert!(out.contains("Uneven"), "{out}");
    // On a very soft paper a small slope is not seen.
    desk.write("slight.csv", &grid(|x, _| 0.80 + 0.0008 * x));
    let (status, out, _) = desk.run(&["evenness", "slight.csv", "--paper-gradient", "1.0"]);
    assert_eq!(status, 0, "{out}");
}

#[test]
fn what_cannot_be_measured_is_told() {
    let desk = Desk::empty();
    for (body, message) in [
        ("x_mm,density\n2,0.8\n", "no column \"y_mm\""),
        ("x_mm,y_mm,density\n2,2,abc\n", "bad.csv:2, column \"density\": \"abc\" is not a number"),
        ("x_mm,y_mm,density\n", "no rows follow"),
        ("x_mm,x_mm,y_mm,density\n1,2,3,0.5\n", "both give the x_mm"),
        ("x_mm,y_mm,density\n2,2,0.8\n", "read a grid of 5 × 3 places"),
    ] {
        desk.write("bad.csv", body);
        let (status, out, err) = desk.run(&["evenness", "bad.csv"]);
        assert_eq!((status, out.as_str()), (2, ""), "{body}");
        assert!(err.contains(message) && err.lines().count() == 1, "{err}");
    }
    // Places on one line: nothing can be told across it.
    let mut line = String::from("x_mm,y_mm,density\n");
    for k in 0..8 {
        line.push_str(&format!("{},12,{}\n", 2 + 4 * k, 0.80 + 0.003 * f64::from(k % 3)));
    }
    desk.write("line.csv", &line);
    let v = desk.json(&["evenness", "line.csv", "--json"]);
    assert!(v["together"]["gradient_across"].is_null(), "{v}");
    let notes = v["notes"].to_string();
    assert!(
        notes.contains("gradient_across_per_10_mm: all places have the same y, 12 mm"),
        "{notes}"
    );
}
