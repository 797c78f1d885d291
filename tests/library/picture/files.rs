//! Picture files: fixtures written by other programs (`tests/support/tiff_variants.py`), refusals, damage.

use std::path::PathBuf;
use wedgebook::picture::bracket::{BracketFault, Exposure, Shutter, merge};
use wedgebook::picture::{
    Channel, Encoding, Image, Options, Origin, Picture, PictureError, Refusal, open, png_of, read,
    read_bytes,
};

const LINEAR: Options = Options { channel: Channel::Green, linear: true };

fn fixture(name: &str) -> PathBuf {
    PathBuf::from("tests/library/picture/data").join(name)
}

/// Rows of a fixture table, as cells.
fn rows(name: &str) -> Vec<Vec<String>> {
    let text = std::fs::read_to_string(fixture(name)).unwrap();
    let rows = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    rows.map(|row| row.split(',').map(str::to_owned).collect()).collect()
}

fn names(ending: &str) -> Vec<String> {
    let mut names: Vec<String> = rows("light.csv").into_iter().map(|row| row[0].clone()).collect();
    names.dedup();
    names.retain(|name| name.ends_with(ending));
    names
}

#[test]
fn every_file_has_the_light_that_numpy_calculates() {
    let rows = rows("light.csv");
    assert!(rows.len() > 250);
    for row in rows {
        let options = Options { linear: row[1] == "1", ..Options::default() };
        let image = read(&fixture(&row[0]), options).unwrap();
        assert_eq!((image.width, image.height), (37, 21), "{}", row[0]);
        let light: f64 = row[4].parse().unwrap();
        let found = f64::from(image.at(row[2].parse().unwrap(), row[3].parse().unwrap()));
        assert!((found - light).abs() < 1e-6, "{row:?}: {found}");
    }
}

#[test]
fn all_kinds_of_tiff_give_one_picture() {
    let first = read(&fixture("rgb-little.tif"), LINEAR).unwrap();
    let blue = Options { channel: Channel::Blue, linear: true };
    let in_blue = read(&fixture("rgb-little.tif"), blue).unwrap();
    assert_ne!(first, in_blue);
    let mut coloured = 0;
    for name in names(".tif").iter().filter(|name| !name.starts_with("profile")) {
        assert_eq!(read(&fixture(name), LINEAR).unwrap(), first, "{name}");
        let other = open(&fixture(name), blue).unwrap();
        if other.in_colour {
            coloured += 1;
            assert_eq!(other.image, in_blue, "{name}");
        } else {
            assert_eq!(other.image, first, "{name}");
        }
    }
    assert!(coloured > 15, "{coloured}");
}

#[test]
fn values_without_a_known_encoding_are_refused_unless_they_are_said_to_be_linear() {
    let silent = |row: &&Vec<String>| row[1] == "1";
    for row in rows("light.csv").iter().filter(silent).step_by(8) {
        let fault = read(&fixture(&row[0]), Options::default()).unwrap_err();
        assert!(
            matches!(fault, PictureError::Refused { why: Refusal::NoEncoding, .. }),
            "{row:?}: {fault}"
        );
    }
    let of = |name: &str, options| open(&fixture(name), options).unwrap();
    assert_eq!(of("srgb.png", LINEAR).origin, Origin::UserAgainstFile);
    assert_eq!(of("plain.png", LINEAR).origin, Origin::User);
    let linear = of("grey-linear.png", Options::default());
    assert_eq!(
        (linear.encoding, linear.origin, linear.in_colour),
        (Encoding::Linear, Origin::File, false)
    );
    assert_eq!(of("profile-linear.tif", Options::default()).origin, Origin::Profile);
}

#[test]
fn what_gives_no_densities_is_refused_with_reason_and_way_out() {
    for row in rows("refused.csv") {
        for options in [LINEAR, Options::default()] {
            // An encoding that cannot be undone is no obstacle where the user says that values are linear.
            if row[0] == "video.png" && options == LINEAR {
                assert!(read(&fixture(&row[0]), options).is_ok());
                continue;
            }
            let fault = read(&fixture(&row[0]), options).unwrap_err().to_string();
            assert!(fault.contains(&row[1]), "{}: {fault}", row[0]);
            assert!(fault.contains("export") || fault.contains("convert"), "{fault}");
            assert!(!fault.contains('\n'));
        }
    }
}

#[test]
fn paths_that_are_no_pictures() {
    let why = |path: &str| read(path.as_ref(), LINEAR).unwrap_err().to_string();
    assert_eq!(why("no-such.tif"), "no-such.tif: no such file; check the path");
    assert_eq!(why("tests"), "tests: this is a directory; name the picture in it");
    assert!(why("Cargo.toml").contains("neither a TIFF nor a PNG"));
    let empty = read_bytes("a.tif", b"", LINEAR).unwrap_err();
    assert!(matches!(empty, PictureError::Refused { why: Refusal::Empty, .. }));
}

/// A cut file is an error, unless what is lost has no part in the picture.
#[test]
fn cut_files_are_one_error_each() {
    for name in names("") {
        let whole = std::fs::read(fixture(&name)).unwrap();
        let picture = read_bytes(&name, &whole, LINEAR).unwrap();
        for length in (0..whole.len()).step_by(1 + whole.len() / 97) {
            match read_bytes(&name, &whole[..length], LINEAR) {
                Ok(same) => assert_eq!(same, picture, "{name} cut to {length}"),
                Err(fault) => assert!(!fault.to_string().contains('\n')),
            }
        }
        let half = read_bytes(&name, &whole[..whole.len() / 2], LINEAR);
        assert!(half.is_err(), "{name}");
    }
}

/// A little TIFF: grey, 16 bits, one strip; `more` replaces entries or adds to them.
fn tiff(
    width: u32,
    height: u32,
    pixels: &[u8],
    more: &[(u16, u16, u32, u32)],
    after: &[u8],
) -> Vec<u8> {
    let mut entries = vec![
        (256, 4, 1, width),
        (257, 4, 1, height),
        (258, 3, 1, 16),
        (259, 3, 1, 1),
        (262, 3, 1, 1),
        (273, 4, 1, 8),
        (277, 3, 1, 1),
        (278, 4, 1, height),
        (279, 4, 1, pixels.len() as u32),
    ];
    for new in more {
        entries.retain(|old| old.0 != new.0);
        entries.push(*new);
    }
    entries.sort_unstable();
    let at = 8 + pixels.len() + after.len();
    let mut file = b"II*\0".to_vec();
    file.extend((at as u32).to_le_bytes());
    file.extend(pixels);
    file.extend(after);
    file.extend((entries.len() as u16).to_le_bytes());
    for (tag, kind, count, value) in entries {
        file.extend(tag.to_le_bytes());
        file.extend(kind.to_le_bytes());
        file.extend(count.to_le_bytes());
        file.extend(value.to_le_bytes());
    }
    file.extend([0; 4]);
    file
}

fn four_pixels() -> Vec<u8> {
    [0_u16, 1000, 30_000, 65_535].iter().flat_map(|v| v.to_le_bytes()).collect()
}

#[test]
fn sizes_that_a_file_cannot_have_are_refused_before_memory_is_taken() {
    let of = |width, height, compression| {
        let file = tiff(width, height, &four_pixels(), &[(259, 3, 1, compression)], &[]);
        read_bytes("a.tif", &file, LINEAR).unwrap_err()
    };
    for compression in [1, 5, 8, 32_773] {
        for (width, height) in [(100_000, 100_000), (u32::MAX, u32::MAX), (1, u32::MAX)] {
            let fault = of(width, height, compression);
            assert!(
                matches!(fault, PictureError::Refused { why: Refusal::ImpossibleSize { .. }, .. }),
                "{fault}"
            );
        }
        assert!(matches!(of(0, 4, compression), PictureError::Damaged { .. }));
    }
    let tiles = [(322, 4, 1, u32::MAX), (323, 4, 1, 3), (324, 4, 1, 8), (325, 4, 1, 8)];
    let fault = read_bytes("a.tif", &tiff(2, 2, &four_pixels(), &tiles, &[]), LINEAR).unwrap_err();
    assert!(fault.to_string().contains("tiles of 4294967295"), "{fault}");
    // Sizes that the file could have, but has not.
    let fault =
        read_bytes("a.tif", &tiff(100, 100, &[1; 30], &[(259, 3, 1, 8)], &[0; 100]), LINEAR);
    assert!(
        matches!(fault, Err(PictureError::Damaged { .. } | PictureError::Cut { .. })),
        "{fault:?}"
    );
}

#[test]
fn a_transfer_function_is_undone() {
    let squares: Vec<u8> =
        (0..65_536_u64).flat_map(|v| ((v * v / 65_535) as u16).to_le_bytes()).collect();
    let at = 8 + four_pixels().len() as u32;
    let of = |table: &[u8], count| {
        let file = tiff(4, 1, &four_pixels(), &[(301, 3, count, at)], table);
        read_bytes("a.tif", &file, Options::default())
    };
    let Picture { image, encoding, .. } = of(&squares, 65_536).unwrap();
    assert!(matches!(encoding, Encoding::Table(_)));
    for (found, value) in image.light.iter().zip([0.0_f64, 1000.0, 30_000.0, 65_535.0]) {
        assert!((f64::from(*found) - (value / 65_535.0).powi(2)).abs() < 2e-5);
    }
    let same: Vec<u8> = (0..=u16::MAX).flat_map(u16::to_le_bytes).collect();
    assert_eq!(of(&same, 65_536).unwrap().encoding, Encoding::Linear);
    let falling: Vec<u8> = (0..=u16::MAX).rev().flat_map(u16::to_le_bytes).collect();
    for (table, count) in [(&falling, 65_536), (&same, 256)] {
        let fault = of(table, count).unwrap_err();
        assert!(
            matches!(fault, PictureError::Refused { why: Refusal::Encoding { .. }, .. }),
            "{fault}"
        );
    }
}

#[test]
fn what_is_written_is_read_again() {
    let light: Vec<f32> = (0..60_u16).map(|k| f32::from(k * 1110) / 65_535.0).collect();
    let image = Image { width: 10, height: 6, light, clipped_from: 1.0 };
    let file = png_of(&image).unwrap();
    assert_eq!(read_bytes("a.png", &file, Options::default()).unwrap().image, image);
    let none = Image { width: 0, height: 6, light: Vec::new(), clipped_from: 1.0 };
    assert!(png_of(&none).is_err());
}

#[test]
fn a_rendered_bracket_reaches_further_than_one_picture() {
    use crate::light_box::Scene;
    let scene = Scene {
        glare: 0.0,
        dust: 0,
        width: 480,
        height: 300,
        certificate_sd: 0.0,
        ..Scene::default()
    };
    let rendered = scene.render();
    let take = |seconds: f64| {
        // Through a file, as a user's would come.
        let file = png_of(&rendered.set_up.picture(seconds)).unwrap();
        (read_bytes("a.png", &file, Options::default()).unwrap().image, seconds)
    };
    let pictures = [take(1.0), take(8.0), take(64.0)];
    assert!(pictures[2].0.clipped_from < 1.0);
    let dark = rendered.set_up.dark();
    let inner = |image: &Image, k: usize| {
        let [a, _, c, _] = rendered.tablet[k].corners;
        let (mut sum, mut n) = (0.0, 0.0);
        for y in (a[1] as usize + 8)..(c[1] as usize - 8) {
            for x in (a[0] as usize + 6)..(c[0] as usize - 4) {
                sum += f64::from(image.at(x, y));
                n += 1.0;
            }
        }
        sum / n
    };
    fn exposure<'a>((image, seconds): &'a (Image, f64), dark: Option<&'a Image>) -> Exposure<'a> {
        Exposure { image, shutter: Shutter::new(*seconds).unwrap(), dark }
    }
    for dark in [Some(&dark), None] {
        let merged = merge(&[0, 1, 2].map(|k| exposure(&pictures[k], dark))).unwrap();
        let level = if dark.is_some() { 0.002 } else { 0.0 };
        let flat = inner(&rendered.flat, 20) - 0.002;
        let density = -((inner(&merged.image, 20) - level) / flat).log10();
        assert!((density - rendered.tablet[20].density).abs() < 0.02, "{density}");
    }
    let wrong = [take(1.0), (take(8.0).0, 20.0)];
    let wrong = merge(&[0, 1].map(|k| exposure(&wrong[k], None)));
    assert!(matches!(wrong, Err(BracketFault::Ratio { .. })));
}
