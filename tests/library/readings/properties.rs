//! What holds for any readings and any bytes.

use std::io::{Cursor, Read, Write};

use proptest::prelude::*;
use wedgebook::readings::{ReadOptions, Reading, Strip, read_bytes};
use zip::write::SimpleFileOptions;
use zip::{ZipArchive, ZipWriter};

use super::fixture;

/// A strip to write: name, time in tenths of a minute, and its rows of step, exposure in hundredths
/// above the row before, density in thousandths.
#[derive(Clone, Debug)]
struct Written {
    name: String,
    tenths: u32,
    rows: Vec<(String, f64, f64)>,
    base: Option<f64>,
}

/// Tenths of a minute, rows of step and increments, base plus fog, and name of a strip.
type Drawn = (u32, Vec<(String, u32, u32)>, Option<u32>, String);

fn written() -> impl Strategy<Value = Vec<Written>> {
    let row = ("[a-z0-9 ,;\"]{0,6}", 10..40_u32, 0..90_u32);
    let strip = (
        1..900_u32,
        prop::collection::vec(row, 1..25),
        prop::option::of(100..300_u32),
        "[A-Za-z ,;'\"é]{0,8}",
    );
    prop::collection::vec(strip, 1..5).prop_map(|strips| {
        let one = |(index, (tenths, rows, base, name)): (usize, Drawn)| {
            let (mut x, mut d) = (-290, 200);
            let row = |(step, dx, dd): (String, u32, u32)| {
                x += dx as i32;
                d += dd;
                (step.trim().to_owned(), f64::from(x) / 100.0, f64::from(d) / 1000.0)
            };
            Written {
                name: format!("{index}{name}").trim().to_owned(),
                tenths,
                rows: rows.into_iter().map(row).collect(),
                base: base.map(|base| f64::from(base) / 1000.0),
            }
        };
        strips.into_iter().enumerate().map(one).collect()
    })
}

/// The strips as text: columns in the order of `order`, rows of the strips in turn.
fn as_text(strips: &[Written], separator: char, decimal_comma: bool, order: &[usize]) -> String {
    let number = |value: f64| match decimal_comma {
        true => value.to_string().replace('.', ","),
        false => value.to_string(),
    };
    let quoted = |text: &str| format!("\"{}\"", text.replace('"', "\"\""));
    let mut records =
        vec![["Strip", "step", "log_exposure", "density", "minutes"].map(str::to_owned)];
    let longest = strips.iter().map(|strip| strip.rows.len()).max().unwrap_or(0);
    for index in 0..longest {
        for strip in strips {
            let Some((step, x, d)) = strip.rows.get(index) else {
                continue;
            };
            let minutes = number(f64::from(strip.tenths) / 10.0);
            records.push([
                quoted(&strip.name),
                quoted(step),
                quoted(&number(*x)),
                quoted(&number(*d)),
                minutes,
            ]);
        }
    }
    for strip in strips {
        let base = strip.base.map(|base| {
            [quoted(&strip.name), String::new(), String::new(), number(base), String::new()]
        });
        records.extend(base);
    }
    let line = |record: &[String; 5]| {
        let cells: Vec<&str> = order.iter().map(|column| record[*column].as_str()).collect();
        cells.join(&separator.to_string()) + "\n"
    };
    records.iter().map(line).collect()
}

fn read_back(strip: &Strip) -> Written {
    let row = |r: &Reading| {
        (r.step.as_deref().unwrap_or("").to_owned(), r.log_exposure.unwrap().get(), r.density.get())
    };
    Written {
        name: strip.name.clone(),
        tenths: (strip.minutes.unwrap().get() * 10.0).round() as u32,
        rows: strip.readings.iter().map(row).collect(),
        base: strip.unexposed.first().map(|r| r.density.get()),
    }
}

/// Bytes of a fixture with a run of them replaced, or cut short.
fn spoiled(name: &'static str) -> impl Strategy<Value = Vec<u8>> {
    let bytes = std::fs::read(fixture(name)).unwrap();
    let length = bytes.len();
    (0..=length, prop::collection::vec(any::<u8>(), 0..6), any::<bool>()).prop_map(
        move |(at, new, cut)| {
            let mut bytes = bytes.clone();
            if cut {
                bytes.truncate(at);
            }
            let at = at.min(bytes.len());
            let end = (at + new.len()).min(bytes.len());
            bytes.splice(at..end, new);
            bytes
        },
    )
}

/// A fixture packed again with some bytes of one part replaced: what a checksum does not reveal.
fn spoiled_part(name: &'static str, part: &'static str) -> impl Strategy<Value = Vec<u8>> {
    let mut archive = ZipArchive::new(Cursor::new(std::fs::read(fixture(name)).unwrap())).unwrap();
    let mut parts = Vec::new();
    for index in 0..archive.len() {
        let mut file = archive.by_index(index).unwrap();
        let mut text = String::new();
        file.read_to_string(&mut text).unwrap();
        parts.push((file.name().unwrap().into_owned(), text));
    }
    let words = [
        "",
        "<",
        "\"",
        "-1",
        "99999999999",
        "&amp;",
        "&#x110000;",
        "1e400",
        "XFE1048577",
        "\" t=\"d\" a=\"",
        "</table:table>",
        "<text:s text:c=\"9\"/>",
        "<row r=\"0\">",
        "</c>",
        "<office:annotation>",
    ];
    let changes = prop::collection::vec(
        (any::<prop::sample::Index>(), prop::sample::select(words.to_vec())),
        1..4,
    );
    (changes, 0..12_usize).prop_map(move |(changes, removed)| {
        let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
        for (name, text) in &parts {
            let mut bytes = text.clone().into_bytes();
            for (at, word) in changes.iter().filter(|_| name == part) {
                let at = at.index(bytes.len());
                let end = (at + removed).min(bytes.len());
                bytes.splice(at..end, word.bytes());
            }
            writer.start_file(name.as_str(), SimpleFileOptions::default()).unwrap();
            writer.write_all(&bytes).unwrap();
        }
        writer.finish().unwrap().into_inner()
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn strips_written_in_any_style_are_read_back(
        strips in written(),
        style in prop::sample::select(vec![(',', false), (';', false), (';', true), ('\t', false), ('\t', true)]),
        order in Just(vec![0, 1, 2, 3, 4]).prop_shuffle(),
    ) {
        let text = as_text(&strips, style.0, style.1, &order);
        let readings = read_bytes("any.csv", text.as_bytes(), &ReadOptions::default());
        let readings = readings.map_err(|faults| TestCaseError::fail(format!("{faults}\n{text}")))?;
        let found: Vec<String> = readings.strips.iter().map(|s| format!("{:?}", read_back(s))).collect();
        let expected: Vec<String> = strips.iter().map(|s| format!("{s:?}")).collect();
        prop_assert_eq!(found, expected);
    }

    #[test]
    fn rising_strips_in_order_stay_as_written(strips in written()) {
        let text = as_text(&strips, ',', false, &[0, 1, 2, 3, 4]);
        let readings = read_bytes("any.csv", text.as_bytes(), &ReadOptions::default()).unwrap();
        for strip in &readings.strips {
            prop_assert!(strip.readings.windows(2).all(|w| w[0].log_exposure <= w[1].log_exposure));
        }
    }

    #[test]
    fn any_bytes_give_strips_or_faults(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        if let Err(faults) = read_bytes("any.csv", &bytes, &ReadOptions::default()) {
            prop_assert!(!faults.as_slice().is_empty() && !faults.to_string().is_empty());
        }
    }

    #[test]
    fn any_cells_give_strips_or_faults(
        cells in prop::collection::vec(r##"[-+0-9.,;:"#\t eEnaifF°C\r\n]{0,8}"##, 0..60),
        separator in prop::sample::select(vec![",", ";", "\t", " "]),
        head in prop::sample::select(vec![
            "strip,log_exposure,density,minutes,celsius",
            "exposure_index,stops,density,sigma,note",
            "tablet_density;density",
            "CGATS.17\nBEGIN_DATA_FORMAT\nLOG_EXPOSURE D_VIS\nEND_DATA_FORMAT\nBEGIN_DATA",
        ]),
        reversed in any::<bool>(),
    ) {
        let text = format!("{head}\n{}", cells.join(separator));
        let options = ReadOptions { reversed, ..ReadOptions::default() };
        match read_bytes("any.csv", text.as_bytes(), &options) {
            Ok(readings) => prop_assert!(readings.strips.iter().all(|strip| !strip.readings.is_empty())),
            Err(faults) => prop_assert!(faults.to_string().lines().count() <= 21),
        }
    }

    #[test]
    fn spoiled_xlsx_never_panics(bytes in spoiled("two_sheets.xlsx")) {
        let _ = read_bytes("any.xlsx", &bytes, &ReadOptions::default());
    }

    #[test]
    fn spoiled_ods_never_panics(bytes in spoiled("strip.ods")) {
        let _ = read_bytes("any.ods", &bytes, &ReadOptions::default());
    }

    #[test]
    fn spoiled_parts_of_xlsx_never_panic(
        bytes in prop_oneof![
            spoiled_part("two_sheets.xlsx", "xl/worksheets/sheet2.xml"),
            spoiled_part("two_sheets.xlsx", "xl/sharedStrings.xml"),
            spoiled_part("two_sheets.xlsx", "xl/styles.xml"),
            spoiled_part("two_sheets.xlsx", "xl/workbook.xml"),
        ]
    ) {
        let _ = read_bytes("any.xlsx", &bytes, &ReadOptions::default());
    }

    #[test]
    fn spoiled_parts_of_ods_never_panic(
        bytes in prop_oneof![spoiled_part("strip.ods", "content.xml"), spoiled_part("strip.ods", "META-INF/manifest.xml")]
    ) {
        let _ = read_bytes("any.ods", &bytes, &ReadOptions::default());
    }
}
