//! What stands on the page of a figure: words with their boxes, and numbers.

use roxmltree::{Document, Node};
use wedgebook::figures::draw::{CAP_HEIGHT, MILLIMETRE, Scene, text_width};
use wedgebook::readings::{ReadOptions, Strip, read_bytes};

/// Numbers that no figure can show.
pub const WILD: [f64; 8] =
    [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300, -1e300, 0.0, -1.0, 1e-300];

/// The strips that a text of readings holds.
pub fn strips_of(text: &str) -> Vec<Strip> {
    read_bytes("strips.csv", text.as_bytes(), &ReadOptions::default()).unwrap().strips
}

/// Left, top, right and bottom.
pub type Edges = [f64; 4];

/// A line of text that is not turned, with its box.
pub struct Words {
    pub text: String,
    pub colour: u32,
    pub size: f64,
    pub edges: Edges,
}

fn is_turned(node: &Node<'_, '_>) -> bool {
    node.has_attribute("transform")
}

/// Every line of text that is not turned.
pub fn words(svg: &str) -> Vec<Words> {
    let document = Document::parse(svg).expect("well-formed");
    let texts = document.descendants().filter(|n| n.has_tag_name("text") && !is_turned(n));
    let words = texts.map(|node| {
        let text = node.text().unwrap_or_default().to_owned();
        let [x, y, size] = ["x", "y", "font-size"]
            .map(|name| node.attribute(name).and_then(|v| v.parse().ok()).expect("a number"));
        let width = text_width(&text, size);
        let left = match node.attribute("text-anchor") {
            Some("middle") => x - width / 2.0,
            Some("end") => x - width,
            _ => x,
        };
        let colour = node.attribute("fill").and_then(|c| u32::from_str_radix(&c[1..], 16).ok());
        let colour = colour.unwrap_or_default();
        Words { text, colour, size, edges: [left, y - CAP_HEIGHT * size, left + width, y] }
    });
    words.collect()
}

/// Whether there are words that are turned.
pub fn has_turned_words(svg: &str) -> bool {
    let document = Document::parse(svg).expect("well-formed");
    document.descendants().any(|n| n.has_tag_name("text") && is_turned(&n))
}

/// The words of this text.
pub fn find<'a>(all: &'a [Words], text: &str) -> &'a Words {
    all.iter().find(|w| w.text == text).expect(text)
}

/// Where the middle of these words, such as the label of a tick, stands across the page.
pub fn across(all: &[Words], text: &str) -> f64 {
    let edges = find(all, text).edges;
    (edges[0] + edges[2]) / 2.0
}

/// Contrast of a colour against white, as WCAG 2 defines it.
fn contrast(colour: u32) -> f64 {
    let linear = |shift: u32| {
        let v = f64::from(colour >> shift & 0xFF) / 255.0;
        if v <= 0.040_45 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
    };
    1.05 / (0.2126 * linear(16) + 0.7152 * linear(8) + 0.0722 * linear(0) + 0.05)
}

pub fn overlap(a: &Edges, b: &Edges) -> bool {
    a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3]
}

/// The words of a page, which all must stand inside it and on none of each other; `page` names it in
/// the message.
pub fn words_that_stand_free(scene: &Scene, page: &str) -> Vec<Words> {
    let all = words(&scene.to_svg());
    for (n, a) in all.iter().enumerate() {
        let [left, top, right, bottom] = a.edges;
        let inside = left > 0.0 && top > 0.0 && right < scene.width() && bottom < scene.height();
        assert!(inside, "{page}: \u{201c}{}\u{201d} at {:?}", a.text, a.edges);
        for b in &all[..n] {
            assert!(!overlap(&a.edges, &b.edges), "{page}: {} over {}", a.text, b.text);
        }
    }
    all
}

/// The same for words on white, which also must print at 7 points or more on A4 paper (upright or on
/// its side, within margins of 10 mm) and stand out against the white by 4.5 to 1 or more.
pub fn words_that_read_well(scene: &Scene, page: &str) -> Vec<Words> {
    let all = words_that_stand_free(scene, page);
    let fit = |across: f64, down: f64| (across / scene.width()).min(down / scene.height());
    let (short, long) = (190.0 * MILLIMETRE, 277.0 * MILLIMETRE);
    let scale = fit(short, long).max(fit(long, short)).min(1.0);
    for words in &all {
        let points = 0.75 * words.size * scale;
        assert!(points >= 7.0, "{page}: {} is printed at {points:.2} pt", words.text);
        let against_white = contrast(words.colour);
        assert!(against_white >= 4.5, "{page}: {} has {against_white:.2} to 1", words.text);
    }
    all
}

/// Every number in an attribute that holds only numbers and letters of a path or a unit.
pub fn numbers(data: &str) -> Vec<f64> {
    let parts = data.split(|c: char| c.is_ascii_alphabetic() || c == ' ');
    parts.filter(|p| !p.is_empty()).map(|p| p.parse().expect("a number")).collect()
}

/// The farthest place on the page, of every path and of everything else; there is no number that is
/// none.
pub fn farthest(svg: &str) -> f64 {
    assert!(!svg.contains("NaN") && !svg.contains("inf"));
    let document = Document::parse(svg).expect("well-formed");
    let names = ["x", "y", "width", "height", "font-size", "d"];
    let all = document.descendants().flat_map(|n| names.map(|name| n.attribute(name)));
    all.flatten().flat_map(numbers).fold(0.0, |far, v| far.max(v.abs()))
}

/// Asserts that awkward words (`<&"'>` among them) are escaped in an SVG and long ones shortened.
pub fn assert_words_are_escaped(svg: &str) {
    let all = words(svg);
    assert!(all.iter().any(|w| w.text.contains("<&\"'>")));
    assert!(svg.contains("&lt;&amp;&quot;&#39;&gt;"));
    assert!(all.iter().any(|w| w.text.ends_with('…')), "long words are shortened");
}

/// Asserts that the same figures give the same bytes.
pub fn assert_same_bytes(one: Vec<Scene>, other: Vec<Scene>) {
    assert_eq!(one.len(), other.len());
    for (one, other) in one.into_iter().zip(other) {
        assert_eq!(one.to_svg(), other.to_svg());
        let png = |scene: Scene| scene.to_png_at(1.0).unwrap();
        assert_eq!(png(one), png(other));
    }
}

/// Width in millimetres of a PNG for printing.
pub fn millimetres_wide(png: Vec<u8>) -> f64 {
    let reader = png::Decoder::new(std::io::Cursor::new(png)).read_info().unwrap();
    let info = reader.info();
    1000.0 * f64::from(info.width) / f64::from(info.pixel_dims.unwrap().xppu)
}
