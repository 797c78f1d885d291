//! `wedgebook evenness` as a person meets it, and what the library finds in frames whose unevenness is
//! known.

use crate::desk::{Desk, data};
use crate::emulsions::{noise, seeded};
use serde_json::Value;
use std::fmt::Write;
use std::io::Write as _;
use wedgebook::evenness::{Evenness, Form, Options, Printing, measure};
use wedgebook::readings::frames_of_bytes;

/// A file of frames read at `columns` × `rows` places.
fn roll(
    frames: usize,
    (columns, rows): (usize, usize),
    density: impl Fn(usize, f64, f64) -> f64,
) -> String {
    let mut out = String::from("frame,x_mm,y_mm,density\n");
    let mut rng = seeded(3);
    for frame in 1..=frames {
        for row in 0..rows {
            for column in 0..columns {
                let x = 2.0 + 32.0 * column as f64 / (columns - 1) as f64;
                let y = 2.0 + 20.0 * row as f64 / (rows - 1) as f64;
                let d = density(frame, x, y) + noise(&mut rng, 0.004);
                let _ = writeln!(out, "{frame},{x},{y},{d:.3}");
            }
        }
    }
    out
}

fn measured(text: &str) -> Evenness {
    let frames = frames_of_bytes("roll.csv", text.as_bytes(), None).unwrap();
    measure(&frames, &Options::default()).unwrap()
}

/// The forms found, each with its frame.
fn forms(text: &str) -> Vec<(Option<String>, Form)> {
    let findings = measured(text).findings(&Printing::default());
    findings.into_iter().map(|f| (f.frame, f.form)).collect()
}

fn only(form: Form) -> Vec<(Option<String>, Form)> {
    vec![(Some("1".to_owned()), form)]
}

#[test]
fn each_form_is_named() {
    let one = |density: &dyn Fn(f64, f64) -> f64| forms(&roll(1, (9, 5), |_, x, y| density(x, y)));
    assert_eq!(one(&|_, _| 0.8), []);
    assert_eq!(one(&|x, _| 0.8 + 0.002 * x), only(Form::Along));
    assert_eq!(one(&|_, y| 0.8 - 0.002 * y), only(Form::Across));
    let edge = |d: f64| 0.06 * (-d / 4.0).exp();
    assert_eq!(one(&|_, y| 0.8 + edge(y) + edge(24.0 - y)), only(Form::LongEdges));
    assert_eq!(one(&|_, y| 0.8 + 2.0 * edge(y)), only(Form::LowerEdge));
    assert_eq!(one(&|_, y| 0.8 - 2.0 * edge(24.0 - y)), only(Form::UpperEdge));
    assert_eq!(one(&|x, _| 0.8 - edge(x) - edge(36.0 - x)), only(Form::Sides));
    let bell = |x: f64, y: f64| if (x, y) == (10.0, 7.0) { 0.08 } else { 0.0 };
    assert_eq!(one(&|x, y| 0.8 - bell(x, y)), only(Form::Spot(10.0, 7.0)));
}

#[test]
fn a_wave_with_the_perforations_is_named_and_has_its_height() {
    let wave = |x: f64| 0.015 * (std::f64::consts::TAU * x / 4.75).cos();
    let text =
        roll(1, (33, 9), |_, x, y| 0.8 + wave(x) * ((-y / 2.0).exp() + (-(24.0 - y) / 2.0).exp()));
    assert!(forms(&text).contains(&(Some("1".into()), Form::Perforations)));
    let text = roll(1, (33, 3), |_, x, y| 0.8 + if y == 12.0 { 0.0 } else { wave(x) });
    let height = measured(&text).frames[0].pattern.perforations.unwrap();
    assert!(height.low < 0.03 && 0.03 < height.high, "{height:?}");
}

#[test]
fn scatter_beyond_the_noise_is_named() {
    let mottle = |x: f64, y: f64| 0.03 * (7.1 * x * y + 3.3 * x).sin();
    let text = roll(1, (5, 3), |_, x, y| 0.8 + mottle(x, y));
    let twice = {
        let rows: Vec<&str> = text.lines().skip(1).collect();
        // Each place read again, 0.004 off.
        let again = rows.iter().enumerate().map(|(k, row)| {
            let (place, density) = row.rsplit_once(',').unwrap();
            let off = if k % 2 == 0 { 0.004 } else { -0.004 };
            format!("{place},{:.3}\n", density.parse::<f64>().unwrap() + off)
        });
        format!("{text}{}", again.collect::<String>())
    };
    let evenness = measured(&twice);
    let scatter = evenness.frames[0].pattern.scatter.unwrap();
    assert!(scatter.low > 0.01 && scatter.value < 0.05, "{scatter:?}");
    assert!(forms(&twice).iter().any(|(_, form)| *form == Form::Scatter));
    // Without repeats nobody knows the noise.
    let why = measured(&roll(1, (5, 3), |_, _, _| 0.8)).frames[0].pattern.scatter;
    assert!(why.unwrap_err().to_string().contains("only assumed"));
}

#[test]
fn what_frames_have_in_common_is_told_from_what_one_has() {
    let edge = |y: f64| 0.06 * ((-y / 4.0).exp() + (-(24.0 - y) / 4.0).exp());
    let alike = roll(6, (5, 3), |_, _, y| 0.8 + edge(y));
    let evenness = measured(&alike);
    let together = evenness.together.as_ref().unwrap();
    assert!(together.uneven && !together.different);
    assert_eq!(forms(&alike), [(None, Form::LongEdges)]);

    let odd =
        roll(6, (5, 3), |frame, x, y| 0.8 + edge(y) + if frame == 3 { 0.003 * x } else { 0.0 });
    let evenness = measured(&odd);
    assert!(evenness.together.as_ref().unwrap().different);
    let forms = forms(&odd);
    assert!(forms.contains(&(None, Form::LongEdges)), "{forms:?}");
    assert!(forms.contains(&(Some("3".into()), Form::Along)), "{forms:?}");
    let other = |f: &(Option<String>, Form)| f.0.as_deref().is_some_and(|frame| frame != "3");
    assert!(!forms.iter().any(other), "{forms:?}");
}

#[test]
fn numbers_that_readings_cannot_carry_say_why() {
    let row = "x_mm,y_mm,density\n2,12,0.80\n10,12,0.81\n18,12,0.80\n26,12,0.79\n34,12,0.80\n";
    let pattern = measured(row).frames[0].pattern.clone();
    assert!(pattern.along.is_ok());
    assert_eq!(pattern.across.unwrap_err().to_string(), "all places have the same y, 12 mm");
    assert!(pattern.long_edges.both.unwrap_err().to_string().contains("three rows"));
    assert!(pattern.perforations.unwrap_err().to_string().contains("widest gap is 8.0 mm"));
    let mixed =
        "frame,x_mm,y_mm,density\na,2,2,0.8\na,18,2,0.8\na,2,22,0.81\na,18,22,0.8\nb,2,2,0.8\n";
    let evenness = measured(mixed);
    assert_eq!(
        evenness.frames[1].pattern.mean.unwrap_err(),
        wedgebook::evenness::Why::FewPlaces { read: 1 }
    );
    assert!(evenness.frames[1].test.is_none() && evenness.frames[1].field.is_none());
    assert!(
        evenness.notes.iter().any(|n| n.to_string().contains("frame b")),
        "{:?}",
        evenness.notes
    );
}

/// Densities rounded so coarsely that they do not scatter at all: no interval is of width 0.
#[test]
fn rounding_leaves_its_width() {
    let text = roll(1, (5, 3), |_, _, _| 0.8)
        .lines()
        .map(|line| match line.rsplit_once(',') {
            Some((place, "density")) => format!("{place},density\n"),
            Some((place, _)) => format!("{place},0.80\n"),
            None => String::new(),
        })
        .collect::<String>();
    let evenness = measured(&text);
    assert!(!evenness.uneven());
    let along = evenness.frames[0].pattern.along.unwrap();
    assert!(along.high - along.low > 0.004, "{along:?}");
    let one_step = text.replacen("0.80\n", "0.81\n", 1);
    assert!(!measured(&one_step).uneven(), "one step of the last digit is no spot");
}

/// How a run of the command ended.
struct Run {
    status: i32,
    out: String,
    err: String,
}

/// A desk with one file on it.
fn with(name: &str, body: impl AsRef<[u8]>) -> Desk {
    let desk = Desk::empty();
    desk.write_bytes(name, body.as_ref());
    desk
}

fn command(desk: &Desk, args: &[&str]) -> Run {
    let args: Vec<&str> = std::iter::once("evenness").chain(args.iter().copied()).collect();
    let (status, out, err) = desk.run(&args);
    Run { status, out, err }
}

fn demonstration() -> String {
    std::fs::read_to_string(data("evenness.csv")).unwrap()
}

#[test]
fn the_demonstration_is_read_as_it_was_made() {
    let desk = with("roll.csv", demonstration());
    let run = command(&desk, &["roll.csv", "--plot", "map.svg"]);
    assert_eq!((run.status, run.err.as_str()), (1, ""));
    for part in [
        "6 frames, 90 readings at 90 places: Larkfold, Quillback 1+6, 2026-03-17",
        "Uneven, and seen in a print: both long edges denser than the middle in all\nframes (0.10 in the print); a light spot at x 26, y 12 mm in frame 4",
        "surge: solution rushes",
        "(common practice, no",
        "air bells: bubbles kept",
        "note: a standard uncertainty of 0.010 is assumed",
        "note: a frame of 36 × 24 mm is assumed",
    ] {
        assert!(run.out.contains(part), "{part} in {}", run.out);
    }
    let svg = desk.read("map.svg");
    roxmltree::Document::parse(&svg).unwrap();
    for words in ["upper edge", "lower edge, lowest in the bath", "all frames together", "frame 6"]
    {
        assert!(svg.contains(words), "{words}");
    }
}

#[test]
fn the_json_document_keeps_its_shape() {
    let desk = with("roll.csv", demonstration());
    let run = command(&desk, &["roll.csv", "--json"]);
    assert_eq!(run.status, 1);
    let document: Value = serde_json::from_str(&run.out).unwrap();
    let evenness = &document;
    let keys =
        |value: &Value| -> Vec<String> { value.as_object().unwrap().keys().cloned().collect() };
    assert_eq!(
        keys(evenness),
        [
            "film",
            "developer",
            "date",
            "n",
            "verdict",
            "note",
            "noise",
            "frame_mm",
            "print",
            "findings",
            "fits_with",
            "together",
            "frames",
            "notes"
        ]
    );
    let numbers = [
        "mean",
        "gradient_along_per_10_mm",
        "gradient_along",
        "gradient_across_per_10_mm",
        "gradient_across",
        "long_edges",
        "lower_edge",
        "upper_edge",
        "sides",
        "left_side",
        "right_side",
        "perforations",
        "smooth_range",
    ];
    let frame = &evenness["frames"][3];
    let mut expected = vec!["frame", "n", "places", "uneven", "chance_if_even"];
    expected.extend(numbers);
    expected.extend(["scatter", "spots"]);
    assert_eq!(keys(frame), expected);
    let mut expected = numbers.to_vec();
    expected.extend(["uneven", "frames_differ", "chance_if_even", "chance_if_alike"]);
    assert_eq!(keys(&evenness["together"]), expected);
    assert_eq!(keys(&frame["long_edges"]), ["value", "low", "high"]);
    assert!(frame["perforations"].is_null());
    let notes = evenness["notes"].to_string();
    assert!(
        notes.contains("perforations: a pattern of 4.75 mm needs readings less than 2.4 mm apart")
    );
    let spot = &frame["spots"][0];
    assert_eq!((spot["x_mm"].as_f64(), spot["y_mm"].as_f64()), (Some(26.0), Some(12.0)));
    assert!(spot["size"]["high"].as_f64().unwrap() < -0.1);
    assert_eq!(evenness["verdict"]["seen_in_print"], true);
}

#[test]
fn the_status_says_whether_it_is_seen() {
    let slight = roll(1, (9, 5), |_, x, _| 0.8 + 0.0004 * x);
    let desk = with("a.csv", &slight);
    let run = command(&desk, &["a.csv"]);
    assert_eq!(run.status, 0, "{}", run.out);
    assert!(run.out.starts_with("Uneven, and not seen in a print"), "{}", run.out);
    for args in [&["a.csv", "--paper-gradient", "4"][..], &["a.csv", "--visible-gradual", "0.02"]] {
        let run = command(&desk, args);
        assert_eq!(run.status, 1, "{args:?} {}", run.out);
        assert!(run.out.starts_with("Uneven, and seen in a print"), "{}", run.out);
    }
    let given = command(
        &desk,
        &[
            "a.csv",
            "--paper-gradient",
            "2",
            "--visible",
            "0.02",
            "--visible-gradual",
            "0.05",
            "--frame-mm",
            "36x24",
            "--density-sigma",
            "0.005",
        ],
    );
    assert!(
        !given.out.contains("assumed") && !given.out.contains("common practice, no source\n"),
        "{}",
        given.out
    );
    let even = command(&with("b.csv", roll(1, (9, 5), |_, _, _| 0.8)), &["b.csv"]);
    assert_eq!(even.status, 0);
    assert!(even.out.starts_with("Even: no difference"), "{}", even.out);
}

#[test]
fn a_densitometer_abroad() {
    let comma = demonstration().replace(',', ";").replace('.', ",");
    let (point, comma) = (
        command(&with("roll.csv", demonstration()), &["roll.csv"]),
        command(&with("roll.csv", format!("\u{FEFF}{comma}")), &["roll.csv"]),
    );
    // The date and the film's strength have no points; only the labels' commas differ.
    assert_eq!(point.out, comma.out);
}

/// The demonstration as a sheet of OpenDocument's minimal form gives the same as the text.
#[test]
fn a_workbook_is_read() {
    let cell = |text: &str| match text.parse::<f64>() {
        Ok(value) => {
            format!("<table:table-cell office:value-type=\"float\" office:value=\"{value}\"/>")
        }
        Err(_) => format!(
            "<table:table-cell office:value-type=\"string\"><text:p>{text}</text:p></table:table-cell>"
        ),
    };
    let row = |line: &str| {
        let cells: String = line.split(',').map(cell).collect();
        format!("<table:table-row>{cells}</table:table-row>")
    };
    let rows: String = demonstration().lines().map(row).collect();
    let content = format!(
        "<?xml version=\"1.0\"?><office:document-content xmlns:office=\"urn:oasis:names:tc:opendocument:xmlns:office:1.0\" xmlns:table=\"urn:oasis:names:tc:opendocument:xmlns:table:1.0\" xmlns:text=\"urn:oasis:names:tc:opendocument:xmlns:text:1.0\"><office:body><office:spreadsheet><table:table table:name=\"roll\">{rows}</table:table></office:spreadsheet></office:body></office:document-content>"
    );
    let mime = "application/vnd.oasis.opendocument.spreadsheet";
    let manifest = "<?xml version=\"1.0\"?><manifest:manifest xmlns:manifest=\"urn:oasis:names:tc:opendocument:xmlns:manifest:1.0\"/>";
    let mut archive = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    let stored =
        zip::write::SimpleFileOptions::default().compression_method(zip::CompressionMethod::Stored);
    for (name, body) in
        [("mimetype", mime), ("META-INF/manifest.xml", manifest), ("content.xml", &content)]
    {
        archive.start_file(name, stored).unwrap();
        archive.write_all(body.as_bytes()).unwrap();
    }
    let book = archive.finish().unwrap().into_inner();
    let run = command(&with("roll.ods", book), &["roll.ods"]);
    let text = command(&with("roll.csv", demonstration()), &["roll.csv"]);
    assert_eq!((run.status, run.err.as_str()), (1, ""));
    assert_eq!(run.out, text.out);
}

fn refused(body: &str, args: &[&str], message: &str) {
    let desk = with("a.csv", body);
    let args: Vec<&str> = std::iter::once("a.csv").chain(args.iter().copied()).collect();
    let run = command(&desk, &args);
    assert_eq!((run.status, run.err.trim_end(), run.out.as_str()), (2, message, ""),);
}

#[test]
fn bad_input_gets_one_clear_message() {
    let places = "x_mm,y_mm,density\n2,2,0.8\n18,2,0.8\n34,22,0.81\n";
    for (body, message) in [
        (
            "",
            "wedgebook: a.csv: the file is empty; its first row must name the columns, as frame,x_mm,y_mm,density",
        ),
        (
            "2,2,0.8\n",
            "wedgebook: a.csv:1: the first row has numbers; it must have the names of the columns, as frame,x_mm,y_mm,density",
        ),
        (
            "x_mm,y_mm,density\n",
            "wedgebook: a.csv:1: no rows follow the names of the columns; write one row for each reading",
        ),
        (
            "x,y_mm,density\n2,2,0.8\n",
            "wedgebook: a.csv:1: no column \"x_mm\"; found x, y_mm and density; did you mean \"x_mm\" by \"x\"?",
        ),
        (
            "x_mm,y_mm,X mm,density\n2,2,2,0.8\n",
            "wedgebook: a.csv:1: columns 1 \"x_mm\" and 3 \"X mm\" both give the x_mm; keep one (repeats are rows of their own)",
        ),
        (
            "x_mm,y_mm,density\n2,two,0.8\n",
            "wedgebook: a.csv:2, column \"y_mm\": \"two\" is not a number; write millimetres, as 12.5",
        ),
        (
            "x_mm,y_mm,density\n2,,0.8\n",
            "wedgebook: a.csv:2, column \"y_mm\": the cell is empty; write where on the frame the density was read, in mm",
        ),
        (
            "x_mm,y_mm,density\n2000,2,0.8\n",
            "wedgebook: a.csv:2, column \"x_mm\": 2000 is not a place on a frame in mm: it must be between -500 and 500; write millimetres from the frame's left side (x) and lower edge (y)",
        ),
        (
            "frame,x_mm,y_mm,density\n,2,2,0.8\n",
            "wedgebook: a.csv:2, column \"frame\": the cell is empty; write the name of the frame in each of its rows",
        ),
        (
            "x_mm,y_mm,density\n2,2,15.8\n18,2,16.1\n34,2,15.5\n",
            "wedgebook: a.csv:2, column \"density\": the densities run from 15.5 to 16.1 like transmittances in percent; write density = -log10(percent/100)",
        ),
        (
            "x_mm,y_mm,density\n2,2,0.8\n18,2,8\n34,2,0.8\n",
            "wedgebook: a.csv:3, column \"density\": 8 is not a density: it must be between -0.5 and 6; check the decimal point",
        ),
        (
            "x_mm,y_mm,density,sigma\n2,2,0.8,0\n",
            "wedgebook: a.csv:2, column \"sigma\": 0 is not a standard uncertainty of a density: it must be between 0.0001 and 1; check what was typed",
        ),
        (
            "x_mm,y_mm,density\n2,2\n",
            "wedgebook: a.csv:2: 2 cells for 3 columns; leave an empty cell empty, but keep its separator",
        ),
        (
            "x_mm,y_mm,density\n2,2,0.8\n2,2,0.81\n18,2,0.8\n",
            "wedgebook: a.csv: no frame was read at 3 places or more (the most is 2); read a grid of 5 × 3 places over each frame",
        ),
        (
            "frame,x_mm,y_mm,density\n1,2,2,0.8\n1,34,2,0.8\n1,34,22,0.8\n2,40,2,0.8\n2,72,2,0.8\n2,72,22,0.8\n",
            "wedgebook: a.csv: frame 1 was read from x 2 to 34 mm and frame 2 from x 40 to 72 mm; x_mm counts from each frame's own left side",
        ),
    ] {
        refused(body, &[], message);
    }
    refused(
        places,
        &["--frame-mm", "30x24"],
        "wedgebook: a.csv: places reach from 2 to 34 mm along and from 2 to 22 mm across, beyond a frame of 30 × 24 mm; x counts from each frame's own left side, y from its lower edge",
    );
    refused(
        places,
        &["--plot", "a.jpg"],
        "wedgebook: a.jpg: its extension is .jpg; a figure is written as .svg or .png",
    );
    let desk = with("a.csv", places);
    assert_eq!(
        command(&desk, &["b.csv"]).err.trim_end(),
        "wedgebook: b.csv: no such file; check the path"
    );
    for bad in
        [["--frame-mm", "36"], ["--edge-mm", "0"], ["--visible", "-1"], ["--paper-gradient", "x"]]
    {
        let run = command(&desk, &["a.csv", bad[0], bad[1]]);
        assert_eq!((run.status, run.out.as_str()), (2, ""), "{bad:?}");
    }
    let both = command(&desk, &["a.csv", "--paper-gradient", "2", "--paper-range", "90"]);
    assert_eq!(both.status, 2);
}

/// The example in the command's help.
#[test]
fn the_printed_command_runs() {
    let desk = with("evenness.csv", demonstration());
    let help = command(&desk, &["--help"]).out;
    let example = help
        .lines()
        .find_map(|l| l.trim_start().strip_prefix("wedgebook evenness data/"))
        .unwrap()
        .to_owned();
    let run = command(&desk, &example.split(' ').collect::<Vec<_>>());
    assert_eq!(run.status, 1, "{}", run.err);
    assert!(desk.has("evenness.svg"));
}

/// Places that lie nearly on a line tell nothing of the direction across it, however the numbers differ in
/// their last decimals.
#[test]
fn places_nearly_on_a_line_have_no_gradient_across_it() {
    let frame = |y: fn(f64) -> f64| {
        let rows = [2.0, 10.0, 18.0, 26.0, 34.0]
            .map(|x: f64| format!("{x},{},{:.3}\n", y(x), 0.80 + 0.0015 * x));
        let text = format!("x_mm,y_mm,density\n{}", rows.concat());
        let frames = frames_of_bytes("a.csv", text.as_bytes(), None).unwrap();
        measure(&frames, &Options::default()).unwrap().frames[0].pattern.clone()
    };
    let level = frame(|x| 12.0 + 1e-4 * (x * 7.0).sin());
    let along = level.along_per_10_mm.unwrap();
    assert!((along.value - 0.015).abs() < 0.004, "{along:?}");
    assert!(level.across.is_err() && level.long_edges.both.is_err());
    let slanting = frame(|x| 2.0 + 0.6 * x + 0.3 * (x * 7.0).sin());
    assert!(slanting.along.is_err() && slanting.across.is_err());
    // Three millimetres off the line are seen.
    let bent = frame(|x| 8.0 + 0.02 * (x - 18.0).powi(2));
    assert!(bent.along.is_ok() && bent.across.is_ok());
}
