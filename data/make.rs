//! Makes the invented demonstration data in this folder: `cargo run --example make-data`.
//!
//! The Tuesday evening class of Ottermouth Wharf, an invented town, develops the invented film
//! Larkfold in the invented developer Quillback, by hand, in trays. The emulsion is simulated
//! from four classes of grains (`tests/support/emulsions`); its density is of none of the shapes that the
//! product fits. Development scales each class by 1 − exp(−k·(θ − 0.4 min)), θ being minutes at
//! 20 °C (activation energy 62 kJ/mol), and adds fog. Readings carry normal noise of 0.008.
//!
//! Leaders lay in room light for a minute: log exposure 2.50. Their pieces differ by 0.02.
//!
//! The picture is a rendered one of a light box, not a photograph: a strip of 9 minutes at 20 °C in the lower
//! opening of a black mask, the tablet in the upper one; the tablet's file is off by 0.010. Two more show a frame
//! of the roll in the strip's place: an evenly lit wall with surges along its long edges, and a negative.
//!
//! They print on the invented paper Stillwater Gloss, through filters 0 to 5, by a light of 3.33 lux:
//! 30 s give log exposure 2.00 in lux·s behind clear tablet.

#[path = "bath_year.rs"]
mod bath_year;
#[path = "../tests/support/emulsions/mod.rs"]
mod emulsions;
#[path = "../tests/support/light_box/mod.rs"]
mod light_box;

use emulsions::paper::Paper;
use emulsions::{Emulsion, Family, noise, seeded, tablet};
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;

const SIGMA: f64 = 0.008;
/// How much faster Larkfold is than the simulation's ordinary film, in log exposure.
const FASTER: f64 = 0.36;
const LABELS: &str = "Larkfold,Quillback 1+6";

/// The class's emulsion after `minutes` at `celsius`.
fn developed(minutes: f64, celsius: f64) -> Emulsion {
    let kelvin = |c: f64| c + 273.15;
    let rate = (62_000.0 / 8.314 * (1.0 / kelvin(20.0) - 1.0 / kelvin(celsius))).exp();
    Emulsion::random(Family::Grains, &mut seeded(2)).after(minutes * rate)
}

/// Rows (step, log exposure or nothing, density) of one strip.
fn readings(emulsion: &Emulsion, seed: u64) -> Vec<(usize, Option<f64>, f64)> {
    let mut rng = seeded(seed);
    let mut rows = vec![(0, None, emulsion.base + noise(&mut rng, SIGMA))];
    rows.extend(
        tablet(-3.05, 0.15, 21)
            .into_iter()
            .enumerate()
            .map(|(i, x)| (i + 1, Some(x), emulsion.density(x + FASTER) + noise(&mut rng, SIGMA))),
    );
    rows
}

fn strip() -> String {
    let mut out = String::from("step,log_exposure,density,minutes,celsius,film,developer,date\n");
    for (step, x, d) in readings(&developed(9.0, 20.0), 11) {
        let x = x.map_or(String::new(), |x| format!("{x:.2}"));
        let _ = writeln!(out, "{step},{x},{d:.2},9,20,{LABELS},2026-03-03");
    }
    out
}

fn family() -> String {
    let mut out =
        String::from("strip,step,tablet_density,density,minutes,celsius,film,developer,date\n");
    let strips = [
        ("A", 5.0, 20.0),
        ("B", 7.0, 20.0),
        ("C", 9.0, 20.0),
        ("D", 12.0, 20.0),
        ("E", 16.0, 20.0),
        ("F", 7.0, 24.0),
    ];
    for (seed, (name, minutes, celsius)) in (21..).zip(strips) {
        for (step, x, d) in readings(&developed(minutes, celsius), seed) {
            let tablet = x.map_or(String::new(), |x| format!("{:.2}", -x));
            let _ = writeln!(
                out,
                "{name},{step},{tablet},{d:.2},{minutes},{celsius},{LABELS},2026-03-10"
            );
        }
    }
    out
}

fn camera_test() -> String {
    let mut rng = seeded(31);
    let emulsion = developed(9.0, 20.0);
    let mut out =
        String::from("exposure_index,stops,density,minutes,celsius,film,developer,note\n");
    let note = "grey card; stops under the meter's reading";
    let _ =
        writeln!(out, "125,,{:.2},9,20,{LABELS},{note}", emulsion.base + noise(&mut rng, SIGMA));
    for stops in (-6..=6).rev() {
        let x = (10.0_f64 / 125.0).log10() - 2.0_f64.log10() * f64::from(stops);
        let _ = writeln!(
            out,
            "125,{stops},{:.2},9,20,{LABELS},{note}",
            emulsion.density(x + FASTER) + noise(&mut rng, SIGMA)
        );
    }
    out
}

fn semicolons() -> String {
    let mut out = String::from("step;log_exposure;density\n");
    for (step, x, d) in readings(&developed(12.0, 20.0), 41) {
        let x = x.map_or(String::new(), |x| format!("{x:.2}"));
        let _ = writeln!(out, "{}", format!("{step};{x};{d:.2}").replace('.', ","));
    }
    out
}

/// Six frames of an evenly lit wall, read at 5 × 3 places each. The tank is always inverted the same
/// way and too fast: solution surges along both long edges (0.06, dying away within 4 mm), a little
/// more along the upper one. An air bell sat on frame 4.
fn evenness() -> String {
    let mut rng = seeded(61);
    let mut out = String::from("frame,x_mm,y_mm,density,film,developer,date\n");
    for (frame, level) in (1..).zip([0.82, 0.84, 0.83, 0.81, 0.83, 0.82]) {
        for y in [2.0, 12.0, 22.0] {
            for x in [2.0, 10.0, 18.0, 26.0, 34.0] {
                let surge = 0.085 * f64::exp(-y / 4.0) + 0.105 * f64::exp(-(24.0 - y) / 4.0);
                let bell = if (frame, x, y) == (4, 26.0, 12.0) { -0.14 } else { 0.0 };
                let density = level + surge + bell + noise(&mut rng, SIGMA);
                let _ = writeln!(out, "{frame},{x},{y},{density:.2},{LABELS},2026-03-17");
            }
        }
    }
    out
}

/// A spreadsheet with one sheet, in OpenDocument's minimal form.
fn spreadsheet() -> Vec<u8> {
    const MIME: &str = "application/vnd.oasis.opendocument.spreadsheet";
    let text = |t: &str| {
        format!(
            "<table:table-cell office:value-type=\"string\"><text:p>{t}</text:p></table:table-cell>"
        )
    };
    let number = |v: f64| {
        format!(
            "<table:table-cell office:value-type=\"float\" office:value=\"{v:.2}\"><text:p>{v:.2}</text:p></table:table-cell>"
        )
    };
    let mut rows: Vec<String> = vec![["step", "log_exposure", "density"].map(text).concat()];
    for (step, x, d) in readings(&developed(7.0, 20.0), 51) {
        let x = x.map_or("<table:table-cell/>".to_owned(), number);
        rows.push(format!("{}{x}{}", text(&step.to_string()), number(d)));
    }
    let rows: String =
        rows.iter().map(|r| format!("<table:table-row>{r}</table:table-row>")).collect();
    let content = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?><office:document-content xmlns:office=\"urn:oasis:names:tc:opendocument:xmlns:office:1.0\" xmlns:table=\"urn:oasis:names:tc:opendocument:xmlns:table:1.0\" xmlns:text=\"urn:oasis:names:tc:opendocument:xmlns:text:1.0\" office:version=\"1.2\"><office:body><office:spreadsheet><table:table table:name=\"strip\">{rows}</table:table></office:spreadsheet></office:body></office:document-content>"
    );
    let manifest = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?><manifest:manifest xmlns:manifest=\"urn:oasis:names:tc:opendocument:xmlns:manifest:1.0\" manifest:version=\"1.2\"><manifest:file-entry manifest:full-path=\"/\" manifest:media-type=\"{MIME}\"/><manifest:file-entry manifest:full-path=\"content.xml\" manifest:media-type=\"text/xml\"/></manifest:manifest>"
    );
    let mut archive = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    let stored =
        zip::write::SimpleFileOptions::default().compression_method(zip::CompressionMethod::Stored);
    for (name, body) in
        [("mimetype", MIME), ("META-INF/manifest.xml", &manifest), ("content.xml", &content)]
    {
        archive.start_file(name, stored).expect("an archive in memory");
        archive.write_all(body.as_bytes()).expect("an archive in memory");
    }
    archive.finish().expect("an archive in memory").into_inner()
}

/// log10 of the exposure of the bare light in 30 s.
const BARE: f64 = 2.00;
/// Base plus fog of the class's negatives.
const CLEAR_FILM: f64 = 0.30;

/// The paper behind each filter, through the tablet, for 30 s.
fn paper() -> String {
    let mut out = String::from("filter,step,tablet_density,density,paper,date\n");
    let labels = "Stillwater Gloss,2026-03-17";
    for filter in 0..=5_u8 {
        let paper = Paper::stillwater(f64::from(filter));
        let mut rng = seeded(61 + u64::from(filter));
        let white = paper.d_min + noise(&mut rng, SIGMA);
        let _ = writeln!(out, "{filter},0,,{white:.2},{labels}");
        for (i, tablet) in tablet(0.05, 0.15, 21).into_iter().enumerate() {
            let density = paper.density(BARE - tablet) + noise(&mut rng, SIGMA);
            let step = i + 1;
            let _ = writeln!(out, "{filter},{step},{tablet:.2},{density:.2},{labels}");
        }
    }
    out
}

/// The paper behind filter 2, through clear film, for several times.
fn proof_strip() -> String {
    let paper = Paper::stillwater(2.0);
    let mut rng = seeded(71);
    let mut out = String::from("seconds,density\n");
    let _ = writeln!(out, "0,{:.2}", paper.d_min + noise(&mut rng, SIGMA));
    for seconds in [3.0, 4.0, 5.6, 8.0, 11.0, 16.0, 22.0, 32.0_f64] {
        let x = BARE + (seconds / 30.0).log10() - CLEAR_FILM;
        let density = paper.density(x) + noise(&mut rng, SIGMA);
        let _ = writeln!(out, "{seconds},{density:.2}");
    }
    out
}

fn negatives() -> String {
    String::from(
        "negative,low,high\nferry at dusk,0.42,1.21\nquay in fog,0.55,1.22\nwindow light,0.36,1.58\n",
    )
}

/// log exposure of a leader that lay in room light.
const ROOM_LIGHT: f64 = 2.5;
/// Standard deviation in density from piece to piece of a leader.
const PIECE_SD: f64 = 0.02;

/// Pieces of leader from a fresh bath; the first was only fixed.
fn leader() -> String {
    let mut rng = seeded(81);
    let mut out = String::from("piece,minutes,celsius,density,film,developer,date\n");
    for (piece, minutes) in (1..).zip([0.0, 1.5, 2.5, 3.5, 5.0, 7.0, 10.0, 14.0]) {
        let emulsion = developed(minutes, 20.0);
        let density = match minutes > 0.0 {
            true => emulsion.density(ROOM_LIGHT) + noise(&mut rng, PIECE_SD),
            false => emulsion.base,
        };
        let density = density + noise(&mut rng, SIGMA);
        let _ = writeln!(out, "L{piece},{minutes},20,{density:.2},{LABELS},2026-03-10");
    }
    out
}

/// A tablet, and a strip of the class beside it in the mask on the light box.
fn scene() -> light_box::Scene {
    let emulsion = developed(9.0, 20.0);
    let steps = tablet(-3.05, 0.15, 21);
    light_box::Scene {
        width: 480,
        height: 200,
        tablet: steps.iter().map(|x| ((-x) * 100.0).round() / 100.0).collect(),
        strip: steps.iter().map(|x| emulsion.density(x + FASTER)).collect(),
        flat_with_mask: true,
        seed: 71,
        ..light_box::Scene::default()
    }
}

/// The same box with a frame of the class's roll in the lower opening, and unexposed film in a small third one: the
/// evenly lit wall of `evenness`, or the ferry at dusk, an invented negative.
fn framed(frame: light_box::Frame) -> light_box::Scene {
    light_box::Scene {
        height: 250,
        apart: 30.0,
        frame: Some(light_box::Frame { rebate: true, ..frame }),
        ..scene()
    }
}

fn wall() -> light_box::Frame {
    light_box::Frame {
        streaks: [0.0, 0.085, 0.0, 0.105],
        depth: 4.0,
        ..light_box::Frame::even(0.82)
    }
}

fn tablet_file(scene: &light_box::Scene) -> String {
    let mut out = String::from("step,tablet_density,sigma\n");
    for (k, density) in scene.tablet.iter().enumerate() {
        let _ = writeln!(out, "{},{density:.2},{:.3}", k + 1, scene.certificate_sd);
    }
    out
}

fn main() -> std::io::Result<()> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("data");
    for (name, body) in [
        ("strip.csv", strip()),
        ("family.csv", family()),
        ("camera-test.csv", camera_test()),
        ("strip-semicolon.csv", semicolons()),
        ("evenness.csv", evenness()),
        ("paper.csv", paper()),
        ("leader.csv", leader()),
        ("proof-strip.csv", proof_strip()),
        ("negatives.csv", negatives()),
    ] {
        std::fs::write(folder.join(name), body)?;
    }
    std::fs::write(folder.join("strip.ods"), spreadsheet())?;
    let scene = scene();
    std::fs::write(folder.join("tablet.csv"), tablet_file(&scene))?;
    let rendered = scene.render();
    // One flat frame serves for both frames: the mask is the same.
    let (wall, ferry) =
        (framed(wall()).render(), framed(light_box::Frame::scene(0.82, 0.2, 1.0)).render());
    let frames = [
        ("box.png", &rendered.image),
        ("box-flat.png", &rendered.flat),
        ("box-dark.png", &rendered.dark),
        ("wall.png", &wall.image),
        ("mask.png", &wall.flat),
        ("ferry.png", &ferry.image),
    ];
    for (name, frame) in frames {
        std::fs::write(folder.join(name), wedgebook::picture::png_of(frame)?)?;
    }
    bath_year::write(&folder, LABELS, |minutes, celsius, shift| {
        let emulsion = developed(minutes, celsius);
        (emulsion.base, move |x: f64| emulsion.density(x + FASTER - shift))
    });
    Ok(())
}
