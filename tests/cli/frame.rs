//! `read --as frame` and `--as negative`: rendered pictures in, what `evenness` and `proof` take out.

use crate::desk::Desk;
use crate::light_box::{Frame, Rendered, Scene};
use std::fmt::Write;
use std::sync::LazyLock;
use wedgebook::picture::{Image, png_of};

fn scene(frame: Frame) -> (Scene, Rendered) {
    let scene = Scene {
        width: 480,
        height: 250,
        apart: 30.0,
        frame: Some(Frame { rebate: true, ..frame }),
        flat_with_mask: true,
        seed: 5,
        ..Scene::default()
    };
    let rendered = scene.render();
    (scene, rendered)
}

/// A frame with a streak of 0.05 along its lower edge.
static FRAME: LazyLock<(Scene, Rendered)> =
    LazyLock::new(|| scene(Frame { streaks: [0.0, 0.08, 0.0, 0.0], ..Frame::even(0.8) }));
static NEGATIVE: LazyLock<(Scene, Rendered)> =
    LazyLock::new(|| scene(Frame::scene(0.85, 0.2, 1.0)));

/// A desk with the frames of a scene and its tablet.
fn desk((scene, rendered): &(Scene, Rendered)) -> Desk {
    let desk = Desk::empty();
    let frames = [("p.png", &rendered.image), ("f.png", &rendered.flat), ("d.png", &rendered.dark)];
    for (name, frame) in frames {
        put(&desk, name, frame);
    }
    let mut tablet = String::from("step,tablet_density,sigma\n");
    for (k, density) in scene.tablet.iter().enumerate() {
        writeln!(tablet, "{},{density:.2},0.01", k + 1).unwrap();
    }
    desk.write("tablet.csv", &tablet);
    desk
}

fn put(desk: &Desk, name: &str, image: &Image) {
    desk.write_bytes(name, &png_of(image).unwrap());
}

/// The command line, with other words.
fn args<'a>(what: &'a str, with: &[&'a str]) -> Vec<&'a str> {
    let all =
        "read p.png --tablet tablet.csv --flat f.png --dark d.png --frame-mm 36x24 --out g.csv";
    let all = all.split(' ').chain(["--as", what]);
    let all: Vec<&str> = all.collect();
    // What is given again takes the place of what is there.
    let given: Vec<&str> = with.iter().copied().filter(|w| w.starts_with("--")).collect();
    let mut kept = Vec::new();
    let mut words = all.into_iter();
    while let Some(word) = words.next() {
        if given.contains(&word) {
            words.next();
        } else {
            kept.push(word);
        }
    }
    kept.extend(with.iter().copied().filter(|word| !word.is_empty()));
    kept
}

#[test]
fn a_streak_is_measured_from_the_light_box() {
    let desk = desk(&FRAME);
    let labels = ["--film", "Larkfold", "--date", "2026-11-20", "--minutes", "9", "--name", "12"];
    let (status, out, err) = desk.run(&args("frame", &labels));
    assert_eq!(status, 0, "{err}");
    assert!(out.contains("187 densities over a frame of 36 × 24 mm"), "{out}");
    assert!(out.contains("lower edge the picture's lower one"), "{out}");
    assert!(out.lines().all(|line| line.chars().count() <= 80), "{out}");
    assert_eq!(err, "wedgebook: next: wedgebook evenness g.csv\n");
    let grid = desk.read("g.csv");
    assert!(
        grid.starts_with("frame,x_mm,y_mm,density,sigma,film,date,note\n12,2.00,2.00,"),
        "{grid}"
    );
    assert!(grid.contains("developed 9 min"), "{grid}");
    let overlay = desk.read("g-frame.svg");
    for words in [">lower edge<", ">left side<", ">right side<", ">upper edge<", ">34<"] {
        assert!(overlay.contains(words), "{words}");
    }
    let found = desk.json(&["evenness", "g.csv", "--json"]);
    assert_eq!(found["film"], "Larkfold");
    let finding = found["findings"].as_array().unwrap();
    let lower = finding.iter().find(|f| f["form"] == "lower_edge").expect("the streak");
    let size = lower["size"]["value"].as_f64().unwrap();
    // What it is in the zone: the mean of the cells at 2 and 4 mm, and of the rest.
    assert!((0.015..0.045).contains(&size), "{size}");
    assert_eq!(desk.run(&["evenness", "g.csv"]).2, "", "no edit is needed");
    // The size of 135 film is assumed, and said to be.
    let without = args("frame", &[]);
    let without: Vec<&str> =
        without.into_iter().filter(|w| !["--frame-mm", "36x24"].contains(w)).collect();
    let (status, out, _) = desk.run(&without);
    assert_eq!(status, 0);
    assert!(out.contains("a frame of 36 × 24 mm is assumed"), "{out}");
    // The grid may be made anew, in its own place and by its own layout.
    let again = ["--save-layout", "l.toml", "--json"];
    let first = desk.json(&args("frame", &again));
    assert_eq!(first["readings"].as_array().unwrap().len(), 187);
    let second = desk.json(&args("frame", &["--layout", "l.toml", "--json"]));
    let mean = |of: &serde_json::Value| of["mean_density"].as_f64().unwrap();
    assert!((mean(&first) - mean(&second)).abs() < 1e-3, "{first} {second}");
    // Turned by half in the layout: the streak is at the other edge.
    let layout = desk.read("l.toml");
    let of_strip = layout.find("[strip]").unwrap();
    let line = layout[of_strip..].lines().find(|l| l.starts_with("corners")).unwrap();
    let corners: Vec<&str> = line["corners = [".len()..line.len() - 1].split("], ").collect();
    let [a, b, c, d] = [0, 1, 2, 3].map(|k| corners[k].trim_matches(['[', ']']));
    let turned = format!("corners = [[{c}], [{d}], [{a}], [{b}]]");
    desk.write("turned.toml", &layout.replace(line, &turned));
    assert_eq!(desk.run(&args("frame", &["--layout", "turned.toml"])).0, 0);
    let found = desk.json(&["evenness", "g.csv", "--json"]);
    assert!(found["findings"].to_string().contains("upper_edge"), "{found}");
}

#[test]
fn a_negative_goes_into_the_proof() {
    let desk = desk(&NEGATIVE);
    let with = ["--name", "ferry", "--overlay", "o.png"];
    let (status, out, err) = desk.run(&args("negative", &with));
    assert_eq!(status, 0, "{err}");
    assert!(out.contains("base plus fog") && !out.contains("not measured"), "{out}");
    assert!(err.contains("next: wedgebook proof --negative g.csv --paper PAPER.csv"), "{err}");
    assert!(err.contains("--base-plus-fog 0.30"), "{err}");
    assert!(desk.has("o.png"));
    let read = desk.json(&args("negative", &["--json"]));
    let of = |key: &str| read[key]["value"].as_f64().unwrap();
    assert!((of("base_plus_fog") - 0.3).abs() < 0.015, "{read}");
    assert!((of("high") - of("low") - of("density_range")).abs() < 1e-9);
    let low = NEGATIVE.0.frame.as_ref().unwrap();
    // Near the extremes of the scene itself.
    let all =
        (0..=60).flat_map(|i| (0..=40).map(move |j| (f64::from(i) * 0.6, f64::from(j) * 0.6)));
    let densities: Vec<f64> = all.map(|(x, y)| low.density(x, y)).collect();
    let least = densities.iter().copied().fold(f64::MAX, f64::min);
    let most = densities.iter().copied().fold(0.0, f64::max);
    assert!((0.0..0.05).contains(&(of("low") - least)), "{least} {read}");
    assert!((-0.06..0.01).contains(&(of("high") - most)), "{most} {read}");
    // Into the proof, with its own uncertainty.
    assert_eq!(desk.run(&args("negative", &["--name", "ferry"])).0, 0);
    let (status, _, err) = desk.run(&["proof", "--negative", "g.csv"]);
    assert_eq!((status, err.as_str()), (0, ""));
    let proof = desk.json(&["proof", "--negative", "g.csv", "--json"]);
    let row = &proof["negatives"][0];
    assert_eq!(row["negative"], "ferry");
    let range = |of: &serde_json::Value, key: &str| of["needed_log_range"][key].as_f64().unwrap();
    assert!((range(row, "value") - of("density_range")).abs() < 2e-3, "{row}");
    let half = |q: &serde_json::Value| q["high"].as_f64().unwrap() - q["value"].as_f64().unwrap();
    assert!((half(&row["needed_log_range"]) - half(&read["density_range"])).abs() < 5e-4, "{row}");
}

/// One clear error each, and nothing is written.
#[test]
fn what_is_no_frame_is_refused_and_nothing_is_written() {
    let (_, rendered) = &*FRAME;
    let desk = self::desk(&FRAME);
    let frame = |with: &[&'static str]| args("frame", with);
    desk.refuses(&frame(&["--frame-mm", "56x56"]), "a frame of 56 × 56 mm is 1.00 times");
    desk.refuses(&frame(&["--frame-mm", "36x22.5"]), "the opening is 1.50 times as long");
    desk.refuses(&frame(&["--step-mm", "5"]), "--step-mm is for strips");
    desk.refuses(&args("strip", &[]), "--frame-mm is the size of a frame");
    let no_flat: Vec<&str> = frame(&["--flat"]).into_iter().filter(|w| *w != "--flat").collect();
    desk.refuses(&no_flat, "a frame needs a flat frame");
    // Nothing on the box, or nothing in view.
    put(&desk, "p.png", &rendered.flat);
    desk.refuses(&frame(&[]), "tablet");
    put(&desk, "p.png", &rendered.dark);
    assert_eq!(desk.run(&frame(&[])).0, 2);
    put(&desk, "p.png", &rendered.set_up.picture(30.0));
    desk.refuses(&frame(&[]), "clipped");
    put(&desk, "p.png", &rendered.image);
    let all_bright = Image { light: vec![0.7; 480 * 250], ..rendered.flat.clone() };
    put(&desk, "f.png", &all_bright);
    desk.refuses(&frame(&[]), "no black mask");
    // A frame that is cut by the picture's lower side.
    let cut = |image: &Image| {
        let height = 196;
        let light = image.light[..480 * height].to_vec();
        Image { height, light, ..image.clone() }
    };
    for (name, image) in
        [("p.png", &rendered.image), ("f.png", &rendered.flat), ("d.png", &rendered.dark)]
    {
        put(&desk, name, &cut(image));
    }
    let (status, _, err) = desk.run(&frame(&[]));
    assert_eq!(status, 2, "{err}");
    // A frame that was moved in its opening: its lower edge is in view, and unexposed film below it.
    for (moved, words) in
        [([0.0, -3.0], "along the lower edge"), ([-3.0, 0.0], "along the right side")]
    {
        let desk = self::desk(&scene(Frame { moved, ..Frame::even(0.8) }));
        desk.refuses(&frame(&[]), words);
    }
    // Bare light beside a negative.
    let off = self::desk(&scene(Frame { moved: [0.0, -7.0], ..Frame::scene(0.85, 0.2, 1.0) }));
    off.refuses(&args("negative", &[]), "along the lower edge");
    // Too dense.
    let black = self::desk(&scene(Frame::even(4.5)));
    black.refuses(&frame(&[]), "the frame is too dense");
}
