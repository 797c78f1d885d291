//! The binary as a person meets it: stdout, stderr and exit status of single runs.

use assert_cmd::Command;
use std::path::{Path, PathBuf};

/// A folder of its own for each test, and one run in it.
struct Desk(tempfile::TempDir);

struct Run {
    status: i32,
    out: String,
    err: String,
}

impl Desk {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    fn with(self, name: &str, body: impl AsRef<[u8]>) -> Self {
        std::fs::write(self.0.path().join(name), body).unwrap();
        self
    }

    fn run(&self, args: &[&str]) -> Run {
        let output = Command::cargo_bin("wedgebook")
            .unwrap()
            .args(args)
            .current_dir(self.0.path())
            .output()
            .unwrap();
        let out = String::from_utf8(output.stdout).unwrap();
        crate::desk::documents::hold(args, &out);
        Run {
            status: output.status.code().unwrap(),
            out,
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }
}

fn data(name: &str) -> String {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("data").join(name).display().to_string()
}

/// 21 steps of a toe and a straight line.
fn steps(row: impl Fn(usize, f64, f64) -> String) -> String {
    (0..21)
        .map(|i| {
            let x = -3.0 + 0.15 * f64::from(i as u32);
            row(i, x, 0.2 + 0.12 * ((x + 2.0) / 0.2).exp().ln_1p())
        })
        .collect()
}

fn csv(row: impl Fn(usize, f64, f64) -> String) -> String {
    format!("log_exposure,density\n,0.20\n{}", steps(row))
}

fn complains(body: impl AsRef<[u8]>, message: &str) {
    let run = Desk::new().with("a.csv", body).run(&["curve", "a.csv"]);
    assert_eq!((run.status, run.err.trim_end()), (2, message));
}

#[test]
fn unusable_files_get_one_clear_message() {
    complains(
        "",
        "wedgebook: a.csv: the file is empty; its first row must name the columns, as strip,log_exposure,density",
    );
    complains(
        "log_exposure,density\n",
        "wedgebook: a.csv:1: no rows follow the names of the columns; write one row for each reading",
    );
    complains(
        "log_exposure,density\n-1,0.5\n",
        "wedgebook: a.csv: strip \"a\": too few steps for a curve: 1 of different exposure, and 4 are needed",
    );
    complains(
        "log_exposure,density\n-2,0.3\n-1,0.8\n0,1.4\n",
        "wedgebook: a.csv: strip \"a\": too few steps for a curve: 3 of different exposure, and 4 are needed",
    );
    complains(
        csv(|_, x, _| format!("{x:.2},0.20\n")),
        "wedgebook: a.csv: strip \"a\": the densities rise by only 0.00: there is no image to fit",
    );
}

#[test]
fn ten_megabytes_of_noise() {
    let mut state = 1_u64;
    let noise: Vec<u8> = std::iter::repeat_with(|| {
        state =
            state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 56) as u8
    })
    .take(10_000_000)
    .collect();
    complains(
        noise,
        "wedgebook: a.csv: this is neither text nor a workbook; save the table as CSV, .xlsx or .ods",
    );
}

#[test]
fn every_bad_row_is_told_in_one_go() {
    complains(
        "log_exposure,density\n-1,NaN\n-2,1e999\nabc,0.5\n-1.5,0.6.2\n",
        "wedgebook: a.csv:2, column \"density\": \"NaN\" is not a number; write one density, as 0.62\n\
         a.csv:3, column \"density\": 1e999 is not a density: it must be between -0.5 and 6; check the decimal point\n\
         a.csv:4, column \"log_exposure\": \"abc\" is not a number; write one number, as 1.5, or leave the cell empty for the unexposed film\n\
         a.csv:5, column \"density\": \"0.6.2\" is not a number; write one density, as 0.62",
    );
}

#[test]
fn what_was_mistaken_is_recognised() {
    complains(
        csv(|i, _, d| format!("{:.2},{d:.2}\n", 0.0 - 0.15 * i as f64)),
        "wedgebook: a.csv:2: strip \"a\": density falls as exposure rises, as if the tablet was read from its other end; reverse the order of the densities; --reversed takes them in the opposite order",
    );
    complains(
        format!(
            "log_exposure,density\n,0.63\n{}",
            steps(|_, x, d| format!("{x:.2},{:.3}\n", 10_f64.powf(-d)))
        ),
        "wedgebook: a.csv:2: strip \"a\": values from 0 to 1 that fall as exposure rises are transmittances, not densities; write density = -log10(transmittance)",
    );
    complains(
        csv(|_, x, d| format!("{:.5},{d:.2}\n", 10_f64.powf(x))),
        "wedgebook: a.csv:2: strip \"a\": the values of \"log_exposure\" run from 0.001 to 1 like exposures, not like their logarithms; name the column exposure (lux s)",
    );
    complains(
        format!(
            "strip,log_exposure,density,minutes\n{}",
            steps(|i, x, d| format!("A,{x:.2},{d:.2},{}\n", if i < 10 { 8 } else { 9 }))
        ),
        "wedgebook: a.csv:12, column \"minutes\": strip \"A\" has the time \"9\" here but 8 min in line 2; a strip is developed once: correct one of them, or give two strips two names",
    );
}

/// An uncertainty that grows with density is that of each reading: the column says the same.
#[test]
fn an_uncertainty_that_grows_with_density() {
    let growing = csv(|_, x, d| format!("{x:.2},{d:.2}\n"));
    let rows = growing.lines().skip(1).map(|row| {
        let density: f64 = row.rsplit(',').next().unwrap().parse().unwrap();
        format!("{row},{:.6}\n", 0.005 + 0.01 * density)
    });
    let column = format!("log_exposure,density,sigma\n{}", rows.collect::<String>());
    let desk = Desk::new().with("a.csv", growing).with("b.csv", column);
    let stated = desk.run(&["curve", "a.csv", "--json", "--density-sigma", "0.005+1%"]);
    let given = desk.run(&["curve", "b.csv", "--json"]);
    assert_eq!((stated.status, given.status), (0, 0), "{}{}", stated.err, given.err);
    let gamma = |out: &str| {
        let json: serde_json::Value = serde_json::from_str(out).unwrap();
        ["value", "low", "high"].map(|key| json["strips"][0]["gamma"][key].as_f64().unwrap())
    };
    for (a, b) in gamma(&stated.out).into_iter().zip(gamma(&given.out)) {
        assert!((a - b).abs() < 1e-6, "{a} {b}");
    }
    for wrong in ["0.005+1", "0.005+30%", "5%", "+1%", "0+1%"] {
        let run = desk.run(&["curve", "a.csv", "--density-sigma", wrong]);
        assert_eq!((run.status, run.out.as_str()), (2, ""), "{wrong}");
        let words =
            format!("\"{wrong}\" is not a standard uncertainty of densities: write a number");
        assert!(run.err.contains(&words), "{}", run.err);
    }
}

#[test]
fn places_that_are_no_files() {
    let desk = Desk::new().with("a.csv", csv(|_, x, d| format!("{x:.2},{d:.2}\n")));
    for (args, message) in [
        (&["curve", "."][..], "wedgebook: .: this is a directory; name the readings file in it"),
        (&["curve", "b.csv"], "wedgebook: b.csv: no such file; check the path"),
        (
            &["curve", "a.csv", "--plot", "a.jpg"],
            "wedgebook: a.jpg: its extension is .jpg; a figure is written as .svg or .png",
        ),
        (
            &["curve", "a.csv", "--csv", "none/a.csv"],
            "wedgebook: none/a.csv: there is no folder none; make it, or write to another one",
        ),
    ] {
        let run = desk.run(args);
        assert_eq!((run.status, run.err.trim_end(), run.out.as_str()), (2, message, ""));
    }
}

#[test]
fn a_file_that_may_not_be_read() {
    use std::os::unix::fs::PermissionsExt;
    let desk = Desk::new().with("a.csv", csv(|_, x, d| format!("{x:.2},{d:.2}\n")));
    std::fs::set_permissions(desk.path("a.csv"), std::fs::Permissions::from_mode(0o000)).unwrap();
    // An administrator may read everything; then there is nothing to complain of.
    let readable = std::fs::File::open(desk.path("a.csv")).is_ok();
    let run = desk.run(&["curve", "a.csv"]);
    assert_eq!(run.status, if readable { 0 } else { 2 });
    assert_eq!(
        run.err.contains("may not be read") || run.err.contains("permission"),
        !readable,
        "{}",
        run.err
    );
}

#[test]
fn order_of_rows_does_not_matter_and_names_are_kept_apart() {
    let rising = csv(|_, x, d| format!("{x:.2},{d:.2}\n"));
    let falling: Vec<&str> = rising.lines().skip(1).collect();
    let falling = format!(
        "log_exposure,density\n{}\n",
        falling.into_iter().rev().collect::<Vec<_>>().join("\n")
    );
    let desk = Desk::new().with("a.csv", &rising).with("b.csv", falling);
    let (a, b) = (desk.run(&["curve", "a.csv"]), desk.run(&["curve", "b.csv"]));
    assert_eq!((a.status, a.out.replace("strip a", "strip b")), (0, b.out));
    let named =
        format!("strip,log_exposure,density\n{}", steps(|_, x, d| format!("A,{x:.2},{d:.2}\n")));
    let desk = Desk::new().with("a.csv", &named).with("b.csv", named);
    let run = desk.run(&["curve", "a.csv", "b.csv"]);
    assert_eq!(
        (run.status, run.err.trim_end()),
        (0, "wedgebook: note: 2 strips are named \"A\"; they are kept apart by their files")
    );
    assert!(run.out.contains("\n  a: A ") && run.out.contains("\n  b: A "), "{}", run.out);
}

#[test]
fn a_misread_step_is_named() {
    let desk = Desk::new().with(
        "a.csv",
        csv(|i, x, d| format!("{x:.2},{:.2}\n", d + if i == 9 { 0.3 } else { 0.0 })),
    );
    let run = desk.run(&["curve", "a.csv"]);
    assert_eq!(run.status, 0);
    let row = run.out.lines().find(|l| l.trim_start().starts_with("line 12")).unwrap_or_default();
    let cells: Vec<&str> = row.split_whitespace().collect();
    assert!(run.out.contains("suspect readings, not used"), "{}", run.out);
    assert_eq!(cells, ["line", "12", "−1.65", "0.73", "+0.30"], "{}", run.out);
}

/// One good strip and one that is unusable: the good one is not lost.
#[test]
fn nothing_is_lost() {
    let good = steps(|_, x, d| format!("good,{x:.2},{d:.2}\n"));
    let desk = Desk::new().with("a.csv", format!("strip,log_exposure,density\n{good}bad,-1,0.5\n"));
    let run = desk.run(&["curve", "a.csv", "--json"]);
    assert_eq!(run.status, 2);
    let document: serde_json::Value = serde_json::from_str(&run.out).unwrap();
    assert!(document["strips"][0]["gamma"]["value"].as_f64().unwrap() > 0.5);
    assert!(document["strips"][1]["gamma"].is_null() && document["strips"][1]["model"].is_null());
}

/// The stable keys of the JSON document, in their order.
#[test]
fn the_json_document_keeps_its_shape() {
    let run = Desk::new().run(&["curve", &data("strip.csv"), "--json"]);
    assert_eq!((run.status, run.err.as_str()), (0, ""));
    let document: serde_json::Value = serde_json::from_str(&run.out).unwrap();
    let strip = document["strips"][0].as_object().unwrap();
    let keys: Vec<&str> = strip.keys().map(String::as_str).collect();
    assert_eq!(
        keys,
        [
            "strip",
            "film",
            "developer",
            "date",
            "minutes",
            "celsius",
            "n",
            "model",
            "base_plus_fog",
            "d_max",
            "gamma",
            "straight_line",
            "contrast_index",
            "average_gradient",
            "speed_point_log_h",
            "iso",
            "fractional_gradient_log_h",
            "delta_x_log_h",
            "suspect_readings",
            "notes"
        ]
    );
    let iso: Vec<&str> = strip["iso"].as_object().unwrap().keys().map(String::as_str).collect();
    assert_eq!(
        iso,
        ["delta_d", "condition", "contrast_met", "speed", "rounded", "degrees", "absolute"]
    );
    for q in ["base_plus_fog", "gamma", "contrast_index", "average_gradient", "speed_point_log_h"] {
        let [low, value, high] = ["low", "value", "high"].map(|k| strip[q][k].as_f64().unwrap());
        assert!(low < value && value < high, "{q}");
    }
}

/// What a fit says of itself, for programs.
#[test]
fn the_model_says_how_well_it_was_found() {
    let model = |name: &str| {
        let run = Desk::new().run(&["curve", &data("strip.csv"), "--model", name, "--json"]);
        let document: serde_json::Value = serde_json::from_str(&run.out).unwrap();
        document["strips"][0]["model"].clone()
    };
    let shoulder = model("shoulder");
    let used = shoulder["n"].as_f64().unwrap();
    let freedom = shoulder["degrees_of_freedom"].as_f64().unwrap();
    // Six parameters, of which the priors on the two widths spare the readings a part.
    assert!(used >= 20.0 && freedom >= used - 6.0 && freedom < used - 4.0, "{used} {freedom}");
    assert_eq!(shoulder["stop_reason"], "no_decrease_left");
    let pairs = shoulder["correlations"].as_array().unwrap();
    assert_eq!(pairs.len(), 6 * 5 / 2);
    assert!(pairs.iter().all(|p| p["value"].as_f64().unwrap().abs() <= 1.0));
    // A line through the readings that is steeper meets base plus fog later.
    let pivot = pairs.iter().find(|p| p["between"] == serde_json::json!(["gamma", "log_inertia"]));
    assert!(pivot.unwrap()["value"].as_f64().unwrap() > 0.3, "{pivot:?}");
    assert!(model("smooth").get("correlations").is_none());
}

/// Every file of the demonstration through every output.
#[test]
fn the_demonstration_runs() {
    let desk = Desk::new();
    for name in ["strip.csv", "family.csv", "camera-test.csv", "strip-semicolon.csv", "strip.ods"] {
        let run = desk.run(&["curve", &data(name), "--plot", "a.svg", "--csv", "a.csv"]);
        assert_eq!(run.status, 0, "{name}: {}", run.err);
        // In the heading of a table the words stand below one another.
        assert!(run.out.contains("contrast") && run.out.contains("index"), "{name}");
        assert!(
            std::fs::read_to_string(desk.path("a.svg")).unwrap().ends_with("</svg>\n"),
            "{name}"
        );
        let table = std::fs::read_to_string(desk.path("a.csv")).unwrap();
        assert!(
            table.starts_with("strip,log_exposure,density,density_low,density_high,slope\n")
                && table.lines().count() > 100
        );
        let png = desk.run(&["curve", &data(name), "--plot", "a.png"]);
        assert_eq!(png.status, 0);
        assert!(std::fs::read(desk.path("a.png")).unwrap().starts_with(b"\x89PNG"));
    }
}

#[test]
fn relative_exposures_give_no_absolute_speed() {
    let run = Desk::new().run(&["curve", &data("family.csv"), "--json"]);
    let document: serde_json::Value = serde_json::from_str(&run.out).unwrap();
    let strip = &document["strips"][0];
    assert_eq!(
        (strip["iso"]["speed"].is_null(), &strip["iso"]["absolute"]),
        (true, &serde_json::json!(false))
    );
    assert!(strip["notes"].to_string().contains("exposures are relative"));
}

/// The README's first block, and the example in the command's help.
#[test]
fn the_printed_commands_run() {
    let readme =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap();
    let block = readme.split("```sh\n").nth(1).unwrap().split("```").next().unwrap().to_owned();
    let help = Desk::new().run(&["curve", "--help"]).out;
    let example = help
        .lines()
        .find(|l| l.trim_start().starts_with("wedgebook curve data/"))
        .unwrap()
        .to_owned();
    for line in [block.trim(), example.trim()] {
        let args = line
            .split_once(" -- ")
            .map_or_else(|| line.trim_start_matches("wedgebook "), |(_, args)| args);
        let desk = Desk::new();
        let args: Vec<String> = args
            .split(' ')
            .map(|a| a.strip_prefix("data/").map_or_else(|| a.to_owned(), data))
            .collect();
        let run = desk.run(&args.iter().map(String::as_str).collect::<Vec<_>>());
        assert_eq!(run.status, 0, "{line}: {}", run.err);
        assert!(desk.path("curve.svg").exists());
    }
}

/// A strip by hand that nearly meets the contrast condition, twice: together they decide it.
#[test]
fn strips_developed_alike_are_averaged() {
    let desk = Desk::new();
    let line = |x: f64, off: f64| 0.30 + 0.612 * (x + 2.26).max(0.0) + off;
    let rows = |name: &str, minutes: u32, off: f64| -> String {
        let step = |k: u32| {
            let x = -3.0 + 0.15 * f64::from(k);
            format!("{name},{x:.2},{:.3},{minutes},20\n", line(x, off * f64::from(k % 3)))
        };
        (0..21).map(step).collect::<String>() + &format!("{name},,0.300,{minutes},20\n")
    };
    let header = "strip,log_exposure,density,minutes,celsius\n";
    let all = rows("A", 9, 0.004) + &rows("B", 9, -0.004) + &rows("C", 12, 0.0);
    let desk = desk.with("three.csv", header.to_owned() + &all);
    let run = desk.run(&["curve", "three.csv", "--json"]);
    let json: serde_json::Value = serde_json::from_str(&run.out).unwrap();
    let [alike] = json["developed_alike"].as_array().unwrap().as_slice() else {
        panic!("one group: {json}")
    };
    assert_eq!(alike["strips"], serde_json::json!(["A", "B"]));
    let delta_d = |strip: &serde_json::Value| strip["iso"]["delta_d"]["value"].as_f64().unwrap();
    let mean = 0.5 * (delta_d(&json["strips"][0]) + delta_d(&json["strips"][1]));
    assert!((delta_d(alike) - mean).abs() < 1e-12);
    let width = |q: &serde_json::Value| q["high"].as_f64().unwrap() - q["low"].as_f64().unwrap();
    assert!(
        width(&alike["iso"]["delta_d"]) < 0.8 * width(&json["strips"][0]["iso"]["delta_d"]),
        "{alike}"
    );
    assert!(desk.run(&["curve", "three.csv"]).out.contains("mean of strips A and B"));
}

/// What all exposures have in common as an error is in the speeds, and not in contrasts; half of an interval
/// becomes √(half² + (1.96·σ)²).
#[test]
fn the_uncertainty_of_the_exposure_is_in_the_speeds_alone() {
    let desk = crate::desk::Desk::empty();
    let of = |more: &[&str]| {
        let path = crate::desk::data("strip.csv");
        let args = [&["curve", path.as_str(), "--json"][..], more].concat();
        desk.json(&args)["strips"][0].clone()
    };
    let (exact, stated) = (of(&[]), of(&["--exposure-sigma", "0.05"]));
    for key in ["contrast_index", "gamma", "base_plus_fog"] {
        assert_eq!(exact[key], stated[key], "{key}");
    }
    let half = |v: &serde_json::Value, key: &str| {
        let at = |end: &str| v[key][end].as_f64().unwrap();
        (at("high") - at("low")) / 2.0
    };
    for key in ["speed_point_log_h", "delta_x_log_h"] {
        let wide = half(&exact, key).hypot(1.959_964 * 0.05);
        assert!((half(&stated, key) - wide).abs() < 1e-6, "{key}");
    }
    assert_eq!(stated["exposure_sigma_log_h"], 0.05);
    let speed = |v: &serde_json::Value| v["iso"]["speed"]["high"].as_f64().unwrap();
    assert!(speed(&stated) > 1.1 * speed(&exact), "{stated}");
    let (status, _, err) =
        desk.run(&["curve", &crate::desk::data("strip.csv"), "--exposure-sigma", "5"]);
    assert_eq!(status, 2);
    assert!(err.contains("a standard uncertainty of a log exposure"), "{err}");
}

/// More strips do not make the exposure surer, and the pairing keeps what was stated.
#[test]
fn the_uncertainty_of_the_exposure_is_not_averaged_away() {
    let desk = crate::desk::Desk::empty();
    let family = crate::desk::data("family.csv");
    let args = ["calibrate", &family, "--log-exposure-clear", "0", "--out", "p.toml"];
    assert_eq!(desk.run(&[&args[..], &["--exposure-sigma", "0.04"]].concat()).0, 0);
    assert_eq!(desk.read("p.toml").matches("exposure_sigma = 0.04").count(), 6);
    let v = desk.json(&["adjust", "p.toml", "--contrast", "0.55", "--json"]);
    let at = |end: &str| v["exposure_index"][end].as_f64().unwrap().log10();
    assert!((at("high") - at("low")) / 2.0 > 1.96 * 0.04, "{v}");
    desk.write(
        "q.toml",
        &desk.read("p.toml").replacen("exposure_sigma = 0.04", "exposure_sigma = 4.0", 1),
    );
    let (status, _, err) = desk.run(&["adjust", "q.toml", "--contrast", "0.55"]);
    assert!(status == 2 && err.contains("a standard uncertainty of a log exposure"), "{err}");
}

/// An offset and a slope that all densities have in common: the slope goes into contrast, the offset into base
/// plus fog; the pairing keeps both, and more strips do not average them away.
#[test]
fn what_all_densities_have_in_common_is_in_the_intervals() {
    let desk = crate::desk::Desk::empty();
    let with = |name: &str, offset: &str, slope: &str| {
        let family = std::fs::read_to_string(crate::desk::data("family.csv")).unwrap();
        let mut lines = family.lines();
        let mut text = format!("{},offset_sigma,slope_sigma\n", lines.next().unwrap());
        for line in lines {
            text += &format!("{line},{offset},{slope}\n");
        }
        desk.write(name, &text);
    };
    with("plain.csv", "", "");
    with("offset.csv", "0.05", "0");
    with("slope.csv", "0", "0.05");
    let strip = |file: &str| {
        desk.json(&["curve", file, "--log-exposure-clear", "0", "--json"])["strips"][0].clone()
    };
    let half = |v: &serde_json::Value, key: &str| {
        let at = |end: &str| v[key][end].as_f64().unwrap();
        (at("high") - at("low")) / 2.0
    };
    let (plain, offset, slope) = (strip("plain.csv"), strip("offset.csv"), strip("slope.csv"));
    let grown = |v: &serde_json::Value, key: &str| {
        (half(v, key).powi(2) - half(&plain, key).powi(2)).max(0.0).sqrt() / 1.959_964
    };
    assert!((grown(&offset, "base_plus_fog") - 0.05).abs() < 1e-4, "{offset}");
    assert!(grown(&offset, "contrast_index") < 1e-3 && grown(&offset, "gamma") < 2e-3);
    let gamma = plain["gamma"]["value"].as_f64().unwrap();
    assert!((grown(&slope, "gamma") / (0.05 * gamma) - 1.0).abs() < 0.1, "{slope}");
    assert!(
        grown(&slope, "contrast_index")
            > 0.045 * plain["contrast_index"]["value"].as_f64().unwrap()
    );
    assert_eq!((&slope["slope_sigma"], &slope["offset_sigma"]), (&0.05.into(), &0.0.into()));
    assert!(plain["slope_sigma"].is_null());
    assert_eq!(plain["model"]["parameters"], slope["model"]["parameters"]);

    let minutes = |file: &str, pairing: &str| {
        let args = ["calibrate", file, "--log-exposure-clear", "0", "--out", pairing];
        assert_eq!(desk.run(&args).0, 0);
        half_of_ln_minutes(&desk, pairing)
    };
    let (plain, slope) = (minutes("plain.csv", "plain.toml"), minutes("slope.csv", "slope.toml"));
    assert_eq!(desk.read("slope.toml").matches("slope_sigma = 0.05").count(), 6);
    // 5 % of contrast is at least 5 % of time.
    assert!(
        slope > plain && (slope.powi(2) - plain.powi(2)).sqrt() > 1.96 * 0.05,
        "{plain} {slope}"
    );
    let again = half_of_ln_minutes(&desk, "slope.toml");
    assert!((again - slope).abs() < 1e-9, "read back from its file: {again}");
    let damaged = desk.read("slope.toml").replacen("slope_sigma = 0.05", "slope_sigma = 5.0", 1);
    desk.write("damaged.toml", &damaged);
    let (status, _, err) = desk.run(&["adjust", "damaged.toml", "--contrast", "0.55"]);
    assert!(status == 2 && err.contains("standard uncertainty of the slope"), "{err}");
}

fn half_of_ln_minutes(desk: &crate::desk::Desk, pairing: &str) -> f64 {
    let v = desk.json(&["adjust", pairing, "--contrast", "0.55", "--json"]);
    let at = |end: &str| v["minutes"][end].as_f64().unwrap();
    (at("high") / at("low")).ln() / 2.0
}
