//! Small tables: logs of temperatures, test strips and negatives, in every format.

use std::io::{Cursor, Write};

use proptest::prelude::*;
use wedgebook::development::temperatures_of_bytes;
use wedgebook::printing::proof::{negatives_of_bytes, test_strip_of_bytes};
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

use super::told;

/// Minutes and degrees Celsius of a log.
fn log(bytes: &[u8]) -> Vec<(f64, f64)> {
    let log = temperatures_of_bytes("log.csv", bytes).unwrap_or_else(|faults| panic!("{faults}"));
    assert!(log.notes.is_empty(), "{:?}", log.notes);
    log.readings.iter().map(|r| (r.minutes, r.celsius.get())).collect()
}

fn faults(text: &str) -> String {
    temperatures_of_bytes("log.csv", text.as_bytes()).unwrap_err().to_string()
}

/// A workbook of one sheet with these texts in its cells.
fn ods(rows: &[&[&str]]) -> Vec<u8> {
    let cell = |text: &&str| {
        format!(
            "<table:table-cell office:value-type=\"string\"><text:p>{text}</text:p></table:table-cell>"
        )
    };
    let row = |cells: &&[&str]| {
        let cells: String = cells.iter().map(cell).collect();
        format!("<table:table-row>{cells}</table:table-row>")
    };
    let rows: String = rows.iter().map(row).collect();
    let content = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?><office:document-content \
         xmlns:office=\"urn:oasis:names:tc:opendocument:xmlns:office:1.0\" \
         xmlns:table=\"urn:oasis:names:tc:opendocument:xmlns:table:1.0\" \
         xmlns:text=\"urn:oasis:names:tc:opendocument:xmlns:text:1.0\"><office:body>\
         <office:spreadsheet><table:table table:name=\"Tray\">{rows}</table:table>\
         </office:spreadsheet></office:body></office:document-content>"
    );
    archive(&[
        ("mimetype", "application/vnd.oasis.opendocument.spreadsheet"),
        (
            "META-INF/manifest.xml",
            "<manifest:manifest xmlns:manifest=\"urn:oasis:names:tc:opendocument:xmlns:manifest:1.0\"/>",
        ),
        ("content.xml", &content),
    ])
}

fn xlsx(rows: &[&[&str]]) -> Vec<u8> {
    let row = |(number, cells): (usize, &&[&str])| {
        let cells: String = cells
            .iter()
            .zip('A'..)
            .map(|(text, column)| match text.parse::<f64>() {
                Ok(value) => format!("<c r=\"{column}{number}\"><v>{value}</v></c>"),
                Err(_) => {
                    format!("<c r=\"{column}{number}\" t=\"inlineStr\"><is><t>{text}</t></is></c>")
                }
            })
            .collect();
        format!("<row r=\"{number}\">{cells}</row>")
    };
    let rows: String = (1..).zip(rows).map(row).collect();
    let main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
    let office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
    let package = "http://schemas.openxmlformats.org/package/2006/relationships";
    archive(&[
        (
            "_rels/.rels",
            &format!(
                "<Relationships xmlns=\"{package}\"><Relationship Id=\"rId1\" Type=\"{office}/officeDocument\" Target=\"xl/workbook.xml\"/></Relationships>"
            ),
        ),
        (
            "[Content_Types].xml",
            "<Types xmlns=\"http://schemas.openxmlformats.org/package/2006/content-types\"/>",
        ),
        (
            "xl/workbook.xml",
            &format!(
                "<workbook xmlns=\"{main}\" xmlns:r=\"{office}\"><sheets><sheet name=\"Tray\" sheetId=\"1\" r:id=\"rId1\"/></sheets></workbook>"
            ),
        ),
        (
            "xl/_rels/workbook.xml.rels",
            &format!(
                "<Relationships xmlns=\"{package}\"><Relationship Id=\"rId1\" Type=\"{office}/worksheet\" Target=\"worksheets/sheet1.xml\"/></Relationships>"
            ),
        ),
        (
            "xl/worksheets/sheet1.xml",
            &format!("<worksheet xmlns=\"{main}\"><sheetData>{rows}</sheetData></worksheet>"),
        ),
    ])
}

fn archive(parts: &[(&str, &str)]) -> Vec<u8> {
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, text) in parts {
        archive.start_file(*name, SimpleFileOptions::default()).unwrap();
        archive.write_all(text.as_bytes()).unwrap();
    }
    archive.finish().unwrap().into_inner()
}

#[test]
fn one_log_in_every_form() {
    let wanted = [(0.0, 23.5), (2.5, 22.75)];
    let plain = "minutes,celsius\n0,23.5\n2.5,22.75\n";
    for text in [
        plain.to_owned(),
        format!("\u{feff}{}", plain.replace('\n', "\r\n")),
        plain.replace('\n', "\r"),
        plain.replace(',', ";").replace('.', ","),
        plain.replace(',', "\t").replace('.', ","),
        format!("# the tray's thermometer\n\n{plain}# the end\n"),
        format!("sep=,\n{plain}"),
        "celsius;minutes\n23,5;0\n22,75;2:30\n".to_owned(),
        "note,Minutes,Fahrenheit\nfilm in,0,74.3\n,2.5,72.95\n".to_owned(),
        "minutes,fahrenheit\n0,23.5C\n2.5,22.75 °C\n".to_owned(),
        "time,celsius\n19:42,23.5\n19:44:30,22.75\n".to_owned(),
    ] {
        let found = log(text.as_bytes());
        assert!(
            found.iter().zip(wanted).all(|(f, w)| (f.0 - w.0).abs() + (f.1 - w.1).abs() < 1e-9)
                && found.len() == 2,
            "{text}: {found:?}"
        );
    }
    let utf16 = |mark: &[u8], bytes: fn(u16) -> [u8; 2]| {
        let text = plain.replace("22.75", "22.75 °C");
        [mark.to_vec(), text.encode_utf16().flat_map(bytes).collect()].concat()
    };
    for bytes in [
        utf16(b"\xFF\xFE", u16::to_le_bytes),
        utf16(b"\xFE\xFF", u16::to_be_bytes),
        utf16(b"", u16::to_le_bytes),
        utf16(b"", u16::to_be_bytes),
    ] {
        assert_eq!(log(&bytes), wanted);
    }
    let rows: [&[&str]; 3] = [&["minutes", "celsius"], &["0", "23.5"], &["2:30", "22.75"]];
    assert_eq!(log(&ods(&rows)), wanted);
    assert_eq!(log(&xlsx(&rows)), wanted);
}

#[test]
fn what_is_noticed_in_a_log() {
    let bytes = b"minutes;celsius;Thermom\xE8tre;tim\n0;20\xB0C;\x9C;\n1;20;;\n";
    let log = temperatures_of_bytes("log.csv", bytes).unwrap();
    assert_eq!(
        told(&log.notes),
        [
            "log.csv: not UTF-8, read as Windows-1252; save it as UTF-8 if letters look wrong",
            "log.csv: not used: \"Thermomètre\", \"tim\" (did you mean \"time\"?)"
        ]
    );
}

#[test]
fn every_fault_of_a_log_has_its_place() {
    for (text, message) in [
        ("", "log.csv: the file is empty; its first row must name the columns, as minutes,celsius"),
        (
            "0,20\n1,21\n",
            "log.csv:1: the first row has numbers; it must have the names of the columns, as minutes,celsius",
        ),
        (
            "minutes,celcius\n0,20\n",
            "log.csv:1: no column \"celsius\" or \"fahrenheit\"; found minutes and celcius; did you mean \"celsius\" by \"celcius\"?",
        ),
        (
            "minutes,time,celsius\n0,9:00,20\n",
            "log.csv:1: columns 1 \"minutes\" and 2 \"time\" both give the time; keep one (repeats are rows of their own)",
        ),
        (
            "minutes,celsius\n",
            "log.csv:1: no rows follow the names of the columns; write one row for each reading",
        ),
        (
            "minutes;celsius\n0;20\n1;warm\n;21\n3;70\n2;21\n4;21;9\n5;99C\n",
            "log.csv:3, column \"celsius\": \"warm\" is not a number; write degrees, as 20, 20C or 68F\n\
             log.csv:4, column \"minutes\": the cell is empty; write when the temperature was read, or remove the row\n\
             log.csv:5, column \"celsius\": \"70\" is too hot for a bath in °C but would be 21.1 °C if it is in °F; name the column fahrenheit, or write the unit in the cell, as 68F\n\
             log.csv:7: 3 cells for 2 columns; put a text with a separator in quotation marks\n\
             log.csv:8, column \"celsius\": 99C is not a temperature of a bath in °C: it must be between 0 and 60; check what was typed",
        ),
        (
            "minutes,celsius\n3,20\n2,20\n",
            "log.csv:3, column \"minutes\": times must rise, and \"2\" does not come after the time before it; correct the time, or put the rows in order",
        ),
        (
            "time,celsius\n24:10,20\n",
            "log.csv:2, column \"time\": \"24:10\" is not a time of day; write 19:42 or 19:42:30",
        ),
    ] {
        assert_eq!(faults(text), message, "{text}");
    }
    let rows: [&[&str]; 2] = [&["minutes", "warmth"], &["0", "23.5"]];
    let fault = temperatures_of_bytes("log.ods", &ods(&rows)).unwrap_err().to_string();
    assert_eq!(
        fault,
        "log.ods: no sheet has a row that names a column \"celsius\" or \"fahrenheit\"; sheets: Tray"
    );
}

#[test]
fn test_strips_and_negatives_from_sheets() {
    let rows: [&[&str]; 6] = [
        &["density", "seconds"],
        &["0.06", "0"],
        &["1.35", "4"],
        &["1.88", "8"],
        &["2.06", "16"],
        &["2.07", "32"],
    ];
    let text = "density;seconds\n0,06;\n1,35;4\n1,88;8\n2,06;16\n2,07;32\n";
    let strips = [
        test_strip_of_bytes("strip.csv", text.as_bytes(), None, 0.01).unwrap(),
        test_strip_of_bytes("strip.csv", &ods(&rows), None, 0.01).unwrap(),
        test_strip_of_bytes("strip.csv", &xlsx(&rows), None, 0.01).unwrap(),
    ];
    assert!(strips.iter().all(|strip| *strip == strips[0]));
    let rows: [&[&str]; 3] =
        [&["high", "low", "negative"], &["1.21", "0.42", "quay"], &["1", "0.2"]];
    let negatives = negatives_of_bytes("negatives.ods", &ods(&rows)).unwrap().negatives;
    assert_eq!(negatives[0].name, "quay");
    assert_eq!((negatives[1].name.as_str(), negatives[1].low), ("negative 2", 0.2));
    let fault = negatives_of_bytes("negatives.ods", &ods(&[&["low", "high"], &["1.2", "0.4"]]));
    assert_eq!(
        fault.unwrap_err().to_string(),
        "negatives.ods, sheet \"Tray\", cell A2, column \"low\": the lowest density 1.2 is not below the highest, 0.4; exchange the two, or correct one"
    );
    let fault =
        test_strip_of_bytes("s.csv", b"seconds,density\n0,0.06\n4,1\n8,2\n6,2\n", None, 0.01);
    assert_eq!(
        fault.unwrap_err().to_string(),
        "s.csv:5: times must rise, and 6 s does not come after 8 s"
    );
}

proptest! {
    /// A file of any bytes is a table or has a fault; it never ends the program.
    #[test]
    fn any_bytes_are_answered(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        let _ = temperatures_of_bytes("any", &bytes);
        let _ = test_strip_of_bytes("any", &bytes, None, 0.01);
        let _ = negatives_of_bytes("any", &bytes);
    }

    /// Any text of the characters of tables is answered too, and one fault is one line.
    #[test]
    fn any_table_is_answered(body in "[0-9,;.:\n\"#a-c°CF]{0,120}") {
        for text in [format!("minutes,celsius\n{body}"), format!("time;fahrenheit\n{body}")] {
            if let Err(errors) = temperatures_of_bytes("any", text.as_bytes()) {
                let shown = errors.as_slice().len().min(wedgebook::readings::SHOWN_FAULTS + 1);
                prop_assert_eq!(errors.to_string().lines().count(), shown, "{}", errors);
            }
        }
    }
}
