//! `read` as a person meets it: rendered pictures of a light box in, readings out.

use crate::desk::Desk;
use crate::light_box::{Rendered, Scene};
use std::fmt::Write;
use std::sync::LazyLock;
use wedgebook::picture::{Image, png_of};

/// One small scene for all tests, with the mask in the flat frame too.
static SCENE: LazyLock<(Scene, Rendered)> = LazyLock::new(|| {
    let scene =
        Scene { width: 480, height: 200, flat_with_mask: true, seed: 5, ..Scene::default() };
    let rendered = scene.render();
    (scene, rendered)
});

fn tablet(scene: &Scene) -> String {
    let mut out = String::from("step,tablet_density,sigma\n");
    for (k, density) in scene.tablet.iter().enumerate() {
        writeln!(out, "{},{density:.2},0.01", k + 1).unwrap();
    }
    out
}

/// A desk with the scene's frames and tablet on it.
fn desk() -> Desk {
    let (scene, rendered) = &*SCENE;
    let desk = Desk::empty();
    let frames = [("p.png", &rendered.image), ("f.png", &rendered.flat), ("d.png", &rendered.dark)];
    for (name, frame) in frames {
        desk.write_bytes(name, &png_of(frame).unwrap());
    }
    desk.write("tablet.csv", &tablet(scene));
    desk
}

const READ: [&str; 12] = [
    "read",
    "p.png",
    "--tablet",
    "tablet.csv",
    "--flat",
    "f.png",
    "--dark",
    "d.png",
    "--out",
    "r.csv",
    "--overlay",
    "o.svg",
];

/// The run without some of its words, and with others.
fn args<'a>(without: &[&str], with: &[&'a str]) -> Vec<&'a str> {
    let kept = READ.into_iter().filter(|word| !without.contains(word));
    kept.chain(with.iter().copied()).collect()
}

#[test]
fn a_picture_gives_the_curve_of_the_film() {
    let desk = desk();
    let (scene, rendered) = &*SCENE;
    // Without unexposed film: the clear end of the strip serves, in a layout.
    assert_eq!(desk.run(&args(&[], &["--save-layout", "l.toml"])).0, 0);
    let clear = &rendered.strip[20].corners;
    let corners = [clear[0], clear[3], clear[2], clear[1]];
    let corners = corners.map(|[x, y]| format!("[{x:.2}, {y:.2}]")).join(", ");
    let layout = desk.read("l.toml");
    desk.write("l.toml", &layout.replace("[strip]", &format!("[strip]\nunexposed = [{corners}]")));
    let with = ["--film", "Larkfold", "--minutes", "9", "--layout", "l.toml"];
    let (status, out, err) = desk.run(&args(&[], &with));
    assert_eq!((status, err.as_str()), (0, ""));
    assert!(out.contains("21 densities of 21 steps") && out.contains("0.0"), "{out}");
    assert!(out.lines().all(|line| line.chars().count() <= 80), "{out}");
    let overlay = desk.read("o.svg");
    assert!(overlay.contains(">21<") && overlay.ends_with("</svg>\n"));
    let mut truth = String::from("step,tablet_density,density,sigma\n");
    writeln!(truth, ",,{:.4},0.0005", rendered.strip[20].density).unwrap();
    for (k, (d, step)) in scene.tablet.iter().zip(&rendered.strip).enumerate() {
        writeln!(truth, "{},{d:.2},{:.4},0.0005", k + 1, step.density).unwrap();
    }
    desk.write("truth.csv", &truth);
    let curve = |file: &str| {
        desk.json(&["curve", file, "--log-exposure-clear", "0", "--json"])["strips"][0].clone()
    };
    let (read, truth) = (curve("r.csv"), curve("truth.csv"));
    assert_eq!((&read["film"], &read["minutes"]), (&"Larkfold".into(), &9.0.into()));
    for quantity in ["contrast_index", "gamma", "speed_point_log_h"] {
        let value = |of: &serde_json::Value, key: &str| of[quantity][key].as_f64().unwrap();
        let width = value(&read, "high") - value(&read, "low");
        let off = (value(&read, "value") - value(&truth, "value")).abs();
        assert!(off <= 0.75 * width + 1e-3, "{quantity}: {read} {truth}");
    }
    // Each density by itself is near the truth.
    let lines: Vec<String> = desk.read("r.csv").lines().skip(1).map(str::to_owned).collect();
    assert_eq!(lines.len(), 22);
    for (line, step) in lines[1..].iter().zip(&rendered.strip) {
        let cells: Vec<&str> = line.split(',').collect();
        let density: f64 = cells[3].parse().unwrap();
        assert!((density - step.density).abs() < 0.012, "{line} {}", step.density);
    }
}

#[test]
fn a_layout_serves_for_the_next_picture_and_can_be_edited() {
    let desk = desk();
    let first = args(&[], &["--save-layout", "l.toml", "--step-mm", "6.35"]);
    assert_eq!(desk.run(&first).0, 0);
    let readings = desk.read("r.csv");
    let layout = desk.read("l.toml");
    let again = args(&[], &["--layout", "l.toml"]);
    assert_eq!(desk.run(&again).0, 0);
    // The boxes in the file have two decimals.
    let numbers = |text: &str| -> Vec<f64> {
        text.lines().skip(1).map(|l| l.split(',').nth(3).unwrap().parse().unwrap()).collect()
    };
    for (a, b) in numbers(&readings).iter().zip(numbers(&desk.read("r.csv"))) {
        assert!((a - b).abs() < 5e-4, "{a} {b}");
    }
    // Without boxes, and with the tablet the other way round.
    let table: Vec<&str> = layout.lines().filter(|l| !l.starts_with("  [[")).collect();
    let mut table = table.join("\n").replace("boxes = [\n]", "");
    let line = table.lines().find(|l| l.starts_with("corners")).unwrap().to_owned();
    let corners: Vec<&str> = line["corners = [".len()..line.len() - 1].split("], ").collect();
    let [a, b, c, d] = [0, 1, 2, 3].map(|k| corners[k].trim_matches(['[', ']']));
    table = table.replace(&line, &format!("corners = [[{c}], [{d}], [{a}], [{b}]]"));
    desk.write("turned.toml", &table);
    let (status, out, err) = desk.run(&args(&[], &["--layout", "turned.toml"]));
    assert_eq!(status, 0, "{err}");
    assert!(out.contains("the tablet lies the other way round"), "{out}");
    for (a, b) in numbers(&readings).iter().zip(numbers(&desk.read("r.csv"))) {
        assert!((a - b).abs() < 3e-3, "{a} {b}");
    }
    // Ends that are not in view.
    let hidden = table.replace("first_step = 1", "ends_in_view = false");
    desk.write("hidden.toml", &hidden);
    let (status, _, err) = desk.run(&args(&[], &["--layout", "hidden.toml"]));
    assert_eq!(status, 2);
    assert!(err.contains("anchor = { step = 11"), "{err}");
    let middle = SCENE.1.strip[10]
        .corners
        .iter()
        .fold([0.0, 0.0], |m, c| [m[0] + c[0] / 4.0, m[1] + c[1] / 4.0]);
    let anchored = format!("anchor = {{ step = 11, at = [{:.1}, {:.1}] }}", middle[0], middle[1]);
    desk.write("anchored.toml", &hidden.replace("[strip]", &format!("[strip]\n{anchored}")));
    let (status, _, err) = desk.run(&args(&[], &["--layout", "anchored.toml"]));
    assert_eq!(status, 0, "{err}");
    for (a, b) in numbers(&readings).iter().zip(numbers(&desk.read("r.csv"))) {
        assert!((a - b).abs() < 3e-3, "{a} {b}");
    }
    // What a layout may not be.
    for (from, to, words) in [
        ("width = 480", "width = 481", "is for 481 × 200 pixels"),
        ("steps = 21", "steps = 22", "22"),
        ("layout_format = 1", "layout_format = 9", "format 9"),
        ("layout_format = 1", "layout_form = 1", "line 4"),
    ] {
        desk.write("edited.toml", &layout.replace(from, to));
        let (status, out, err) = desk.run(&args(&[], &["--layout", "edited.toml"]));
        assert_eq!((status, out.as_str()), (2, ""));
        assert!(err.contains(words), "{words}: {err}");
    }
    assert_eq!(desk.run(&args(&[], &["--save-layout", "tablet.csv"])).0, 2, "an input");
}

/// Three shutter times become one picture; times are checked against the light.
#[test]
fn a_bracket_is_read_as_one_picture() {
    let desk = desk();
    let (_, rendered) = &*SCENE;
    for (name, seconds) in [("long.png", 8.2), ("longest.png", 61.0)] {
        desk.write_bytes(name, &png_of(&rendered.set_up.picture(seconds)).unwrap());
    }
    desk.write_bytes("dark-long.png", &png_of(&rendered.dark).unwrap());
    let with = ["--shutter", "1", "--also", "long.png=8", "--also", "longest.png=60s"];
    let with = [&with[..], &["--also-dark", "dark-long.png=8"]].concat();
    let json = desk.json(&args(&[], &[&with[..], &["--json"]].concat()));
    let times: Vec<f64> = json["bracket"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["times_shortest"].as_f64().unwrap())
        .collect();
    assert!((times[1] - 8.2).abs() < 0.02 && (times[2] - 61.0).abs() < 0.3, "{times:?}");
    for (row, step) in json["readings"].as_array().unwrap().iter().zip(&rendered.strip) {
        let density = row["density"].as_f64().unwrap();
        assert!((density - step.density).abs() < 0.012, "{row} {}", step.density);
    }
    let refused = |with: &[&str], words: &str| {
        let before = desk.all();
        let (status, out, err) = desk.run(&args(&[], with));
        assert_eq!((status, out.as_str()), (2, ""), "{err}");
        assert!(err.contains(words), "{words}: {err}");
        assert!(desk.all() == before, "{words}: something was written");
    };
    // More than a third of a stop from its mark.
    refused(&["--shutter", "1", "--also", "long.png=6"], "differ by a factor of 8.2");
    refused(&["--shutter", "1", "--also", "long.png=1"], "two pictures of 1 s");
    refused(&["--shutter", "1", "--also", "long.png"], "as long.png=1/4");
    refused(&["--shutter", "1", "--also", "long.png=fast"], "is no shutter time");
    refused(&["--also", "long.png=8"], "--shutter");
    let none = ["--shutter", "1", "--also", "long.png=8", "--also-dark", "dark-long.png=4"];
    refused(&none, "no picture has that time");
}

/// A picture in colour whose blue channel is another one.
fn in_colour(green: &Image, blue: &Image) -> Vec<u8> {
    let mut file = Vec::new();
    let size = (green.width as u32, green.height as u32);
    let mut encoder = png::Encoder::new(&mut file, size.0, size.1);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Sixteen);
    encoder.set_source_gamma(png::ScaledFloat::new(1.0));
    let mut writer = encoder.write_header().unwrap();
    let value = |v: f32| ((v.clamp(0.0, 1.0) * 65_535.0).round() as u16).to_be_bytes();
    let bytes: Vec<u8> = green
        .light
        .iter()
        .zip(&blue.light)
        .flat_map(|(g, b)| [value(*g), value(*g), value(*b)].concat())
        .collect();
    writer.write_image_data(&bytes).unwrap();
    writer.finish().unwrap();
    file
}

/// A film that stains is denser in blue light; a neutral one is not.
#[test]
fn a_stain_shows_between_blue_and_green() {
    let desk = desk();
    let (scene, rendered) = &*SCENE;
    for (stain, is_seen) in [(0.0, false), (0.06, true)] {
        let strip: Vec<f64> = scene.strip.iter().map(|d| d + stain * (d - 0.28)).collect();
        let blue = Scene { strip, ..scene.clone() }.render();
        // Another noise than that of the green channel.
        let blue_picture = blue.set_up.picture(1.001);
        desk.write_bytes("p.png", &in_colour(&rendered.image, &blue_picture));
        for (name, frame) in [("f.png", &rendered.flat), ("d.png", &rendered.dark)] {
            desk.write_bytes(name, &in_colour(frame, frame));
        }
        let densest = stain * (scene.strip[0] - 0.28);
        for channel in ["green", "blue"] {
            let json = desk.json(&args(&[], &["--channel", channel, "--json"]));
            let of = |key: &str| json["stain_densest"][key].as_f64().unwrap();
            assert!(of("low") <= densest && densest <= of("high"), "{json}");
            assert!(of("high") - of("low") < 0.05, "{json}");
            assert!(json["stain"]["value"].as_f64().unwrap().abs() < densest + 0.01);
            assert_eq!(json["notes"].to_string().contains("stains: density in blue"), is_seen);
        }
    }
    let grey = self::desk().json(&args(&[], &["--json"]));
    assert!(grey.get("stain").is_none());
}

/// A curve that is too mild for the scatter of the tablet's steps is seen by its trend.
#[test]
fn a_mild_tone_curve_is_refused_with_its_effect() {
    let desk = desk();
    let (_, rendered) = &*SCENE;
    for (name, frame) in
        [("p.png", &rendered.image), ("f.png", &rendered.flat), ("d.png", &rendered.dark)]
    {
        let light = frame.light.iter().map(|v| v.powf(1.025)).collect();
        desk.write_bytes(name, &png_of(&Image { light, ..frame.clone() }).unwrap());
    }
    let (status, out, err) = desk.run(&READ);
    assert_eq!((status, out.as_str()), (2, ""), "{err}");
    assert!(err.contains("a tone curve: ") && err.contains("% too high"), "{err}");
    assert!(!desk.has("r.csv"));
}

/// What each refusal says; nothing is written.
#[test]
fn what_is_no_measurement_is_refused_and_nothing_is_written() {
    let (scene, rendered) = &*SCENE;
    let put = |desk: &Desk, name: &str, image: &Image| {
        desk.write_bytes(name, &png_of(image).unwrap());
    };
    let curved = |image: &Image, power: f32| {
        let light = image.light.iter().map(|v| v.powf(power)).collect();
        Image { light, ..image.clone() }
    };
    let desk = desk();
    desk.refuses(&args(&["--flat", "f.png"], &[]), "where are tablet and strip?");
    desk.refuses(&args(&[], &["--scanner"]), "--callier-checked");
    for power in [1.0 / 2.2, 2.2] {
        for (name, frame) in
            [("p.png", &rendered.image), ("f.png", &rendered.flat), ("d.png", &rendered.dark)]
        {
            put(&desk, name, &curved(frame, power));
        }
        desk.refuses(&READ, "it is not linear, or this is not its tablet");
    }
    let desk = self::desk();
    put(&desk, "p.png", &rendered.dark);
    assert_eq!(desk.run(&READ).0, 2, "all black");
    put(&desk, "p.png", &rendered.flat);
    assert_eq!(desk.run(&READ).0, 2, "no tablet in view");
    put(&desk, "p.png", &rendered.set_up.picture(30.0));
    let (status, _, err) = desk.run(&READ);
    assert_eq!(status, 2);
    assert!(err.contains("clipped"), "{err}");
    put(&desk, "p.png", &rendered.image);
    let small = Image { width: 1, height: 1, light: vec![0.5], clipped_from: 1.0 };
    put(&desk, "d.png", &small);
    desk.refuses(&READ, "the dark frame has 1 × 1 pixels");
    put(&desk, "d.png", &rendered.dark);
    // Another tablet: of 0.10 a step.
    let other =
        Scene { tablet: (0..21).map(|k| 0.05 + 0.10 * f64::from(k)).collect(), ..scene.clone() };
    desk.write("tablet.csv", &tablet(&other));
    desk.refuses(&READ, "this is not its tablet");
    desk.write("tablet.csv", "step,log_exposure\n1,-1\n2,-2\n3,-3\n4,-4\n");
    desk.refuses(&READ, "give a file with the column tablet_density");
    assert!(!desk.has("r.csv") && !desk.has("o.svg"));
}
