//! The characteristic-curve figure, from outside: what its SVG and its PNG hold.

use crate::page::{farthest, numbers, strips_of, words, words_that_read_well};
use roxmltree::{Document, Node};
use std::collections::BTreeSet;
use wedgebook::curve::Choice;
use wedgebook::figures::draw::Scene;
use wedgebook::figures::{Chart, FigureError, characteristic};
use wedgebook::measures::{StripAnalysis, analyse};

const FRAME: &str = "#8a939b";
const CURVE: &str = "#0072b2";
const AMBER: &str = "#9c5a00";

/// A toe that runs into a straight line: readings to two decimals, those at `off` 0.3 too dense.
fn rows(name: &str, slope: f64, off: &[u8]) -> String {
    let mut text = format!("\"{}\",,0.10,9,20\n", name.replace('"', "\"\""));
    for n in 0..21_u8 {
        let x = -3.0 + 0.15 * f64::from(n);
        let d = 0.1 + 0.2 * slope * (1.0 + ((x + 2.0) / 0.2).exp()).ln();
        let d = if off.contains(&n) { d + 0.3 } else { d };
        text.push_str(&format!("\"{}\",{x:.2},{d:.2},9,20\n", name.replace('"', "\"\"")));
    }
    text
}

const HEAD: &str = "strip,log_exposure,density,minutes,celsius\n";

fn analysed(rows: &[String]) -> Vec<StripAnalysis> {
    analyse(strips_of(&format!("{HEAD}{}", rows.concat())), Choice::Auto)
}

fn one() -> Chart {
    characteristic(&analysed(&[rows("a", 0.9, &[])]))
}

fn family(count: usize) -> Chart {
    let all: Vec<String> =
        (0..count).map(|n| rows(&format!("no. {n}"), 0.4 + 0.05 * n as f64, &[])).collect();
    characteristic(&analysed(&all))
}

fn points(data: &str) -> Vec<(f64, f64)> {
    numbers(data).chunks(2).map(|pair| (pair[0], pair[1])).collect()
}

/// The paths with this stroke.
fn stroked<'a>(document: &'a Document<'_>, colour: &str) -> Vec<Node<'a, 'a>> {
    document.descendants().filter(|n| n.attribute("stroke") == Some(colour)).collect()
}

/// (left, top, right, bottom) of the plot area, from the rectangle that clips it.
fn plot_area(document: &Document<'_>) -> (f64, f64, f64, f64) {
    let clip = document.descendants().find(|n| n.has_tag_name("clipPath")).expect("a clip");
    let rect = clip.first_element_child().expect("its rectangle");
    let side = |name: &str| -> f64 { rect.attribute(name).unwrap().parse().unwrap() };
    let (x, y) = (side("x"), side("y"));
    (x, y, x + side("width"), y + side("height"))
}

fn curve_points(document: &Document<'_>) -> Vec<(f64, f64)> {
    let lines = stroked(document, CURVE);
    let data = lines.iter().filter_map(|n| n.attribute("d"));
    points(data.max_by_key(|d| d.len()).expect("the curve"))
}

#[test]
fn one_unit_is_as_long_across_as_up() {
    for slope in [0.4, 0.9, 2.2] {
        let svg = characteristic(&analysed(&[rows("a", slope, &[])])).scene().to_svg();
        let document = Document::parse(&svg).unwrap();
        let all = words(&svg);
        let label = |text: &str, left: bool| {
            let (x0, _, _, bottom) = plot_area(&document);
            let own = all.iter().find(|w| {
                w.text == text && if left { w.edges[2] < x0 } else { w.edges[1] > bottom }
            });
            own.unwrap_or_else(|| panic!("no label {text}")).edges
        };
        let step = |a: &str, b: &str, left: bool| {
            let (a, b) = (label(a, left), label(b, left));
            if left { a[3] - b[3] } else { (b[0] + b[2] - a[0] - a[2]) / 2.0 }
        };
        let across = step("−1.8", "−0.6", false) / 1.2;
        let up = step("0.0", "0.6", true) / 0.6;
        assert!((across / up - 1.0).abs() < 1e-3, "{across} across, {up} up");
    }
}

#[test]
fn one_stop_of_the_top_axis_is_log_2_of_the_bottom_axis() {
    let strips = analysed(&[rows("a", 0.9, &[])]);
    let svg = characteristic(&strips).scene().to_svg();
    let document = Document::parse(&svg).unwrap();
    let (_, top, _, bottom) = plot_area(&document);
    let x_of = |label: &str, y_near: f64| -> f64 {
        let found = document.descendants().find(|n| {
            let y: f64 = n.attribute("y").and_then(|y| y.parse().ok()).unwrap_or(f64::NAN);
            n.has_tag_name("text") && n.text() == Some(label) && (y - y_near).abs() < 25.0
        });
        found.unwrap_or_else(|| panic!("no label {label}")).attribute("x").unwrap().parse().unwrap()
    };
    let stop = x_of("1", top) - x_of("0", top);
    let decade = (x_of("−0.9", bottom) - x_of("−1.8", bottom)) / 0.9;
    assert!((stop / decade - 2f64.log10()).abs() < 1e-3, "{}", stop / decade);
    let measures = &strips[0].result.as_ref().unwrap().measures;
    let m = measures.speed_point.as_ref().unwrap().value;
    let speed_point = x_of("−1.8", bottom) + (m + 1.8) * decade;
    assert!((x_of("0", top) - speed_point).abs() < 0.02, "zero stands at the speed point");
}

#[test]
fn same_figure_same_bytes() {
    let (one, other) = (family(2), family(2));
    assert_eq!(one.scene().to_svg(), other.scene().to_svg());
    assert_eq!(one.scene().to_png().unwrap(), other.scene().to_png().unwrap());
}

#[test]
fn names_are_escaped_and_long_ones_shortened() {
    let names = ["<&\"'> one", &"long ".repeat(40), "third"];
    let svg = characteristic(&analysed(&names.map(|n| rows(n, 0.9, &[])))).scene().to_svg();
    let document = Document::parse(&svg).expect("well-formed");
    let texts: Vec<&str> = document
        .descendants()
        .filter(|n| n.has_tag_name("text"))
        .filter_map(|n| n.text())
        .collect();
    assert!(texts.contains(&"<&\"'> one"), "{texts:?}");
    assert!(texts.iter().any(|t| t.starts_with("long") && t.ends_with('…')), "{texts:?}");
    assert!(!svg.contains('\r') && svg.ends_with("</svg>\n"));
}

#[test]
fn the_title_says_what_is_shown() {
    let head = "log_exposure,density,film,developer\n";
    let body = (0..20).map(|n| {
        let x = -3.0 + 0.15 * f64::from(n);
        format!(
            "{x:.2},{:.2},Larkfold,Quillback 1+6\n",
            0.1 + 0.2 * (1.0 + ((x + 2.0) / 0.2).exp()).ln()
        )
    });
    let strips = analyse(strips_of(&(head.to_owned() + &body.collect::<String>())), Choice::Auto);
    let svg = characteristic(&strips).scene().to_svg();
    assert!(svg.contains(">Characteristic curve of Larkfold in Quillback 1+6</text>"));
}

#[test]
fn curves_of_a_family_are_labelled_at_their_ends() {
    let scene = family(3).scene();
    let svg = scene.to_svg();
    let document = Document::parse(&svg).unwrap();
    let (_, _, right, _) = plot_area(&document);
    let all = words_that_read_well(&scene, "family");
    let labels = all.iter().filter(|w| w.text == "9 min, 20 °C" && w.edges[0] > right);
    assert_eq!(labels.count(), 3);
}

#[test]
fn curves_keep_their_decimals() {
    let svg = one().scene().to_svg();
    let document = Document::parse(&svg).unwrap();
    let curve = curve_points(&document);
    let fractions: BTreeSet<i64> =
        curve.iter().map(|p| (p.0.fract() * 100.0).round() as i64).collect();
    assert!(fractions.len() > 20, "only {} different fractions", fractions.len());
    for node in document.descendants() {
        for number in
            node.attribute("d").unwrap_or("").split(|c: char| c.is_alphabetic() || c == ' ')
        {
            let decimals = number.split_once('.').map(|(_, d)| d.len());
            assert!(number.is_empty() || decimals == Some(2), "{number}");
        }
    }
}

#[test]
fn words_of_the_legend_stand_below_the_plot_and_inside_the_page() {
    for count in [1, 3, 8, 30] {
        let scene = family(count).scene();
        let svg = scene.to_svg();
        let document = Document::parse(&svg).unwrap();
        let (_, _, _, bottom) = plot_area(&document);
        let all = words_that_read_well(&scene, &format!("{count} strips"));
        let legend: Vec<_> =
            all.iter().filter(|w| w.text.starts_with("no.") && w.edges[1] > bottom).collect();
        assert_eq!(legend.len(), if count == 1 { 0 } else { count.min(8) });
    }
}

#[test]
fn many_strips_are_counted() {
    let svg = family(30).scene().to_svg();
    assert!(svg.contains(">first 8 of 30 strips<") && svg.contains(">and 22 more<"));
}

/// What a reading may be at most stays on the page, with a curve or without.
#[test]
fn extreme_readings_are_drawn() {
    for row in ["-9,0.1", "9,3.0", "-1,6.0", "0,-0.05"] {
        let text = format!("log_exposure,density\n-2,0.2\n-1.5,0.6\n-1.2,0.9\n{row}\n");
        let scene = characteristic(&analyse(strips_of(&text), Choice::Auto)).scene();
        assert!(farthest(&scene.to_svg()) < 10_000.0, "{row}");
        assert!(!words_that_read_well(&scene, row).is_empty());
    }
}

#[test]
fn strips_without_curves_and_no_strip_have_axes() {
    let bare = |name: &str| format!("{name},-1.0,0.5,9,20\n");
    for rows in [vec![], vec![bare("a")], vec![bare("a"), bare("b"), bare("c")]] {
        let strips = if rows.is_empty() { Vec::new() } else { analysed(&rows) };
        let scene: Scene = characteristic(&strips).scene();
        let svg = scene.to_svg();
        let document = Document::parse(&svg).unwrap();
        assert!(!stroked(&document, FRAME).is_empty());
        assert!(svg.contains(">log exposure (lux·s)<") && svg.contains(">density<"));
        assert_eq!(svg.contains(">no strips<"), rows.is_empty());
    }
}

#[test]
fn suspect_readings_are_marked_and_explained() {
    let with = characteristic(&analysed(&[rows("a", 0.9, &[9, 14])])).scene().to_svg();
    assert!(with.contains(">suspect reading<"));
    let document = Document::parse(&with).unwrap();
    let vermillion = stroked(&document, "#d55e00");
    let count = |step: char| -> usize {
        let data = vermillion.iter().filter_map(|n| n.attribute("d"));
        data.map(|d| d.matches(step).count()).sum()
    };
    // A circle is closed, a cross is two lines.
    assert_eq!((count('Z'), count('L')), (3, 6), "two readings and the sample in the legend");
    let without = one().scene().to_svg();
    assert!(!without.contains("suspect") && !without.contains("#d55e00"));
}

#[test]
fn the_iso_triangle_is_1_30_by_0_80() {
    let svg = one().scene().to_svg();
    let document = Document::parse(&svg).unwrap();
    let unit = {
        let curve = curve_points(&document);
        (curve[curve.len() - 1].0 - curve[0].0) / 3.0
    };
    let corners = stroked(&document, AMBER)[0].attribute("d").map(points).unwrap();
    let (base, upright) = (corners[1].0 - corners[0].0, corners[1].1 - corners[2].1);
    assert!((base / unit - 1.30).abs() < 1e-3, "{}", base / unit);
    assert!((upright / unit - 0.80).abs() < 1e-3, "{}", upright / unit);
    assert!(svg.contains(">ΔD 1.0") && svg.contains(": condition not met<"));
}

#[test]
fn png_has_twice_the_size_and_is_antialiased() {
    let scene = one().scene();
    let bytes = scene.to_png().unwrap();
    let mut reader = png::Decoder::new(std::io::Cursor::new(bytes)).read_info().unwrap();
    let info = reader.info();
    assert_eq!((info.width, info.height), (2 * scene.width() as u32, 2 * scene.height() as u32));
    assert_eq!(info.pixel_dims.map(|d| (d.xppu, d.yppu)), Some((7559, 7559)), "192 dpi");
    let row_length = 3 * info.width as usize;
    let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
    reader.next_frame(&mut pixels).unwrap();

    let svg = scene.to_svg();
    let curve = curve_points(&Document::parse(&svg).unwrap());
    let mut levels = BTreeSet::new();
    for &(x, y) in &curve[100..200] {
        let (column, row) = ((2.0 * x) as usize, (2.0 * y) as usize);
        levels.extend((column - 6..column + 6).map(|c| pixels[row * row_length + 3 * c]));
    }
    assert!(levels.len() > 8, "only {} levels along a slanted line", levels.len());
    assert_eq!(pixels[..3], [255, 255, 255], "the page is white");
}

#[test]
fn files_are_written_by_extension_and_others_refused() {
    let folder = tempfile::tempdir().unwrap();
    let scene = one().scene();
    let svg = folder.path().join("curve.svg");
    std::fs::write(&svg, "what stood here before").unwrap();
    scene.save(&svg).unwrap();
    assert_eq!(std::fs::read_to_string(&svg).unwrap(), scene.to_svg());
    let png = folder.path().join("curve.PNG");
    scene.save(&png).unwrap();
    assert!(std::fs::read(&png).unwrap().starts_with(b"\x89PNG"));

    for (name, wanted) in [("curve.gif", Some("gif")), ("curve", None)] {
        match scene.save(&folder.path().join(name)).unwrap_err() {
            FigureError::UnknownFormat { extension, .. } => {
                assert_eq!(extension.as_deref(), wanted)
            }
            other => panic!("{name}: {other}"),
        }
    }
    let nowhere = scene.save(&folder.path().join("absent").join("curve.svg")).unwrap_err();
    assert!(matches!(nowhere, FigureError::Write(_)), "{nowhere}");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 2, "nothing is left behind");
}

#[cfg(unix)]
#[test]
fn a_new_figure_has_the_permissions_of_any_new_file() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let (figure_file, other) = (folder.path().join("curve.svg"), folder.path().join("other"));
    characteristic(&[]).scene().save(&figure_file).unwrap();
    std::fs::write(&other, "").unwrap();
    let mode = |path| std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode(&figure_file), mode(&other));
}

#[test]
fn a_picture_without_pixels_is_refused() {
    let scene = characteristic(&[]).scene();
    for scale in [0.0, -1.0, f64::NAN, 1e6] {
        let refused = scene.to_png_at(scale).unwrap_err();
        assert!(matches!(refused, FigureError::PixelCount { .. }), "{scale}: {refused}");
    }
}
