//! The characteristic-curve figure, from outside: what its SVG and its PNG hold.

use crate::page::{WILD, farthest, numbers};
use roxmltree::{Document, Node};
use std::collections::BTreeSet;
use wedgebook::figures::{
    CharacteristicFigure, ContrastIndexMark, CurvePoint, FigureError, IsoTriangle, PlotPoint,
    StripCurve,
};
use wedgebook::measures::{ContrastCondition, ContrastIndexChord};

const FRAME: &str = "#8a939b";
const CURVE: &str = "#0072b2";

/// A toe that runs into a straight line of slope 1, exactly: density 0.1 up to log exposure −2.
fn bent(x: f64) -> f64 {
    0.1 + (x + 2.0).max(0.0)
}

fn strip(name: &str) -> StripCurve {
    let reading = |n: u8| {
        let x = -2.6 + 0.15 * f64::from(n);
        PlotPoint { log_exposure: x, density: bent(x), suspect: n == 6 || n == 9 }
    };
    let point = |n: u8| {
        let x = -2.6 + 0.013 * f64::from(n);
        CurvePoint { x, density: bent(x), low: bent(x) - 0.02, high: bent(x) + 0.02 }
    };
    StripCurve {
        name: name.to_owned(),
        points: (0..18).map(reading).collect(),
        unexposed: vec![0.09, 0.11],
        curve: (0..=200).map(point).collect(),
        base_plus_fog: Some(0.1),
        speed_point: Some((-1.9, 0.2)),
        contrast_index: Some(ContrastIndexMark {
            chord: ContrastIndexChord {
                origin: (-2.0, 0.1),
                near: (-1.858_579, 0.241_421),
                far: (-0.444_365, 1.655_635),
            },
            value: 1.0,
        }),
        iso: Some(IsoTriangle {
            m: (-1.9, 0.2),
            delta_d: 1.3,
            condition: ContrastCondition::TooHigh,
        }),
    }
}

fn figure(strips: Vec<StripCurve>) -> CharacteristicFigure {
    CharacteristicFigure {
        title: "Evening class of Lower Quill".to_owned(),
        subtitle: Some("nine minutes".to_owned()),
        absolute: true,
        strips,
    }
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
fn a_slope_of_one_stands_at_45_degrees() {
    for extra_density in [0.3, 1.9, 4.6] {
        let mut strip = strip("a");
        strip.unexposed.push(extra_density);
        let svg = figure(vec![strip]).scene().to_svg();
        let curve = curve_points(&Document::parse(&svg).unwrap());
        let (start, end) = (curve[60], curve[200]);
        let (across, up) = (end.0 - start.0, start.1 - end.1);
        assert!(across > 50.0, "the line is long enough to judge: {across}");
        assert!((across - up).abs() < 0.02, "{across} across, {up} up");
    }
}

#[test]
fn one_stop_of_the_top_axis_is_log_2_of_the_bottom_axis() {
    let svg = figure(vec![strip("a")]).scene().to_svg();
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
    let speed_point = x_of("−1.8", bottom) - 0.1 * decade;
    assert!((x_of("0", top) - speed_point).abs() < 0.02, "zero stands at the speed point");
}

#[test]
fn same_figure_same_bytes() {
    let (one, other) = (figure(vec![strip("a"), strip("b")]), figure(vec![strip("a"), strip("b")]));
    assert_eq!(one.scene().to_svg(), other.scene().to_svg());
    assert_eq!(one.scene().to_png().unwrap(), other.scene().to_png().unwrap());
}

#[test]
fn names_are_escaped_and_long_ones_shortened() {
    let mut odd = figure(vec![strip("<&\"'> \u{1}"), strip(&"long ".repeat(40)), strip("")]);
    odd.title = "A & B < C".to_owned();
    let svg = odd.scene().to_svg();
    let document = Document::parse(&svg).expect("well-formed");
    let title = document.descendants().find(|n| n.has_tag_name("title")).unwrap();
    assert_eq!(title.text(), Some("A & B < C"));
    let texts: Vec<&str> = document
        .descendants()
        .filter(|n| n.has_tag_name("text"))
        .filter_map(|n| n.text())
        .collect();
    assert!(texts.contains(&"<&\"'> \u{FFFD}"), "{texts:?}");
    assert!(texts.iter().any(|t| t.starts_with("long") && t.ends_with('…')), "{texts:?}");
    assert!(texts.contains(&"strip 3"), "a strip without a name gets its place");
    assert!(!svg.contains('\r') && svg.ends_with("</svg>\n"));
}

#[test]
fn curves_keep_their_decimals() {
    let svg = figure(vec![strip("a")]).scene().to_svg();
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
fn words_of_the_legend_stand_outside_the_plot_area_and_inside_the_page() {
    for count in [1, 3, 8, 30] {
        let strips: Vec<StripCurve> =
            (0..count).map(|n| strip(&format!("strip no. {n}"))).collect();
        let scene = figure(strips).scene();
        let svg = scene.to_svg();
        let document = Document::parse(&svg).unwrap();
        let (_, _, right, _) = plot_area(&document);
        let legend: Vec<Node<'_, '_>> = document
            .descendants()
            .filter(|n| {
                n.has_tag_name("text") && n.text().is_some_and(|t| t.starts_with("strip no."))
            })
            .collect();
        assert_eq!(legend.len(), count.min(8));
        for node in legend {
            let at = |name: &str| -> f64 { node.attribute(name).unwrap().parse().unwrap() };
            assert!(at("x") > right && at("x") < scene.width(), "{count} strips: x {}", at("x"));
            assert!(at("y") > 0.0 && at("y") < scene.height(), "{count} strips: y {}", at("y"));
        }
    }
}

#[test]
fn many_strips_are_counted() {
    let strips: Vec<StripCurve> = (0..30).map(|n| strip(&format!("no. {n}"))).collect();
    let svg = figure(strips).scene().to_svg();
    assert!(svg.contains(">first 8 of 30 strips<") && svg.contains(">and 22 more<"));
}

#[test]
fn what_is_not_finite_or_not_possible_is_left_out() {
    let mut wild = strip("wild");
    for (n, value) in WILD.into_iter().take(5).enumerate() {
        wild.points[n].density = value;
        wild.points[n + 8].log_exposure = value;
        wild.unexposed.push(value);
        wild.curve[10 * n].x = value;
        wild.curve[10 * n + 3].density = value;
        wild.curve[10 * n + 5].low = value;
        wild.curve[10 * n + 7].high = value;
        for strips in [vec![wild.clone()], vec![wild.clone(), strip("tame")]] {
            let svg = figure(strips).scene().to_svg();
            assert!(farthest(&svg) < 10_000.0, "{value} reached the page");
        }
        wild.base_plus_fog = Some(value);
        wild.speed_point = Some((value, 0.2));
        wild.contrast_index.as_mut().unwrap().chord.far.0 = value;
        wild.iso.as_mut().unwrap().delta_d = value;
    }
}

#[test]
fn a_strip_of_nothing_and_no_strip_have_axes() {
    for strips in [vec![], vec![StripCurve::default()], vec![StripCurve::default(); 3]] {
        let svg = figure(strips).scene().to_svg();
        let document = Document::parse(&svg).unwrap();
        assert!(!stroked(&document, FRAME).is_empty());
        assert!(svg.contains(">log exposure (lux·s)<") && svg.contains(">density<"));
    }
}

#[test]
fn suspect_readings_are_marked_and_explained() {
    let with = figure(vec![strip("a")]).scene().to_svg();
    assert!(with.contains(">suspect reading<"));
    let document = Document::parse(&with).unwrap();
    let vermillion = stroked(&document, "#d55e00");
    let count = |step: char| -> usize {
        let data = vermillion.iter().filter_map(|n| n.attribute("d"));
        data.map(|d| d.matches(step).count()).sum()
    };
    // A circle is closed, a cross is two lines.
    assert_eq!((count('Z'), count('L')), (3, 6), "two readings and the sample in the legend");
    let mut clean = strip("a");
    clean.points.iter_mut().for_each(|p| p.suspect = false);
    let without = figure(vec![clean]).scene().to_svg();
    assert!(!without.contains("suspect") && !without.contains("#d55e00"));
}

#[test]
fn the_iso_triangle_is_1_30_by_0_80() {
    let svg = figure(vec![strip("a")]).scene().to_svg();
    let document = Document::parse(&svg).unwrap();
    let unit = {
        let curve = curve_points(&document);
        (curve[200].0 - curve[0].0) / 2.6
    };
    let corners = stroked(&document, "#b46900")[0].attribute("d").map(points).unwrap();
    let (base, upright) = (corners[1].0 - corners[0].0, corners[1].1 - corners[2].1);
    assert!((base / unit - 1.30).abs() < 1e-3, "{}", base / unit);
    assert!((upright / unit - 0.80).abs() < 1e-3, "{}", upright / unit);
    assert!(svg.contains(">ΔD 1.30: condition not met<"));
}

#[test]
fn png_has_twice_the_size_and_is_antialiased() {
    let scene = figure(vec![strip("a")]).scene();
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
    for &(x, y) in &curve[60..200] {
        let (column, row) = ((2.0 * x) as usize, (2.0 * y) as usize);
        levels.extend((column - 6..column + 6).map(|c| pixels[row * row_length + 3 * c]));
    }
    assert!(levels.len() > 8, "only {} levels along a slanted line", levels.len());
    assert_eq!(pixels[..3], [255, 255, 255], "the page is white");
}

#[test]
fn files_are_written_by_extension_and_others_refused() {
    let folder = tempfile::tempdir().unwrap();
    let scene = figure(vec![strip("a")]).scene();
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
    assert!(matches!(nowhere, FigureError::Write { .. }), "{nowhere}");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 2, "nothing is left behind");
}

#[cfg(unix)]
#[test]
fn a_new_figure_has_the_permissions_of_any_new_file() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let (figure_file, other) = (folder.path().join("curve.svg"), folder.path().join("other"));
    figure(vec![]).scene().save(&figure_file).unwrap();
    std::fs::write(&other, "").unwrap();
    let mode = |path| std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode(&figure_file), mode(&other));
}

#[test]
fn a_picture_without_pixels_is_refused() {
    let scene = figure(vec![]).scene();
    for scale in [0.0, -1.0, f64::NAN, 1e6] {
        let refused = scene.to_png_at(scale).unwrap_err();
        assert!(matches!(refused, FigureError::PixelCount { .. }), "{scale}: {refused}");
    }
}
