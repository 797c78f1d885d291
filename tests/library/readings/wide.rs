//! Wide sheets, titles above the row of headings, and what is given for strips without a time.

use super::{base, faults_of, names, points, read, read_with, told};
use rand::rngs::SmallRng;
use rand::{Rng, SeedableRng};
use std::fmt::Write as _;
use std::io::{Cursor, Write as _};
use wedgebook::readings::{ReadOptions, Readings, Strip, Tablet, TabletScale, read_bytes};
use wedgebook::units::{Celsius, Minutes};
use zip::write::SimpleFileOptions;

const WIDE: &str = "step,tablet_density,A,B 7:30 min\n,minutes,5,\n,celsius,20,68F\n,film,Larkfold,Brook\n,date,2026-03-10,\n0,,0.21,0.22\n1,3.05,0.22,0.24\n2,2.0,,0.61\n3,1.1,0.90,1.02\n";
const LONG: &str = "strip,step,tablet_density,density,minutes,celsius,film,date\nA,0,,0.21,5,20,Larkfold,2026-03-10\nA,1,3.05,0.22,,,,\nA,3,1.1,0.90,,,,\nB,0,,0.22,7:30,68F,Brook,\nB,1,3.05,0.24,,,,\nB,2,2.0,0.61,,,,\nB,3,1.1,1.02,,,,\n";

/// The strips without the lines on which their readings stand.
fn without_lines(readings: &Readings) -> Vec<Strip> {
    let mut strips = readings.strips.clone();
    for strip in &mut strips {
        strip.source = String::new();
        strip.readings.iter_mut().chain(&mut strip.unexposed).for_each(|r| r.line = 0);
    }
    strips
}

#[test]
fn a_wide_sheet_is_the_long_one() {
    let (wide, long) = (read(WIDE), read(LONG));
    assert_eq!(without_lines(&wide), without_lines(&long));
    assert_eq!(told(&wide.notes), told(&long.notes));
    assert_eq!(wide.strips[1].minutes.unwrap().get(), 7.5);
    // Semicolons with decimal commas, and tabs, are the same.
    let commas = WIDE.replace(',', ";").replace('.', ",");
    assert_eq!(without_lines(&read(&commas)), without_lines(&long));
    assert_eq!(without_lines(&read(&WIDE.replace(',', "\t"))), without_lines(&long));
    // The column of steps may be without a heading, or not be there.
    let unnamed = WIDE.replacen("step,", ",", 1);
    assert_eq!(without_lines(&read(&unnamed)), without_lines(&long));
    let none: String =
        WIDE.lines().map(|l| l.split_once(',').unwrap().1.to_owned() + "\n").collect();
    assert_eq!(points(&read(&none).strips[0]), points(&long.strips[0]));
    // Values may stand below the steps as well.
    let (values, steps): (Vec<&str>, Vec<&str>) =
        WIDE.lines().skip(1).partition(|line| line.starts_with(','));
    let head = WIDE.lines().next().unwrap();
    let below = format!("{head}\n{}\n{}\n", steps.join("\n"), values.join("\n"));
    assert_eq!(without_lines(&read(&below)), without_lines(&long));
}

/// Any table with missing readings, repeats and uncertainties.
#[test]
fn any_wide_sheet_is_the_long_one() {
    let mut rng = SmallRng::seed_from_u64(7);
    for _ in 0..200 {
        let strips = rng.random_range(1..6);
        let name = |k: usize| format!("{}{}", ["n", "7", "x y", "Q-", "é"][k % 5], k);
        let sigma = rng.random_bool(0.5);
        let mut wide = String::from("log_exposure");
        (0..strips).for_each(|k| write!(wide, ",{}", name(k)).unwrap());
        let mut rows = vec![String::new(); strips];
        if sigma {
            wide.push_str("\nsigma");
            (0..strips).for_each(|k| write!(wide, ",0.0{}", k + 1).unwrap());
        }
        for step in 0..rng.random_range(3..12) {
            let x = match rng.random_range(0..6) {
                0 => ["", "base", "Clear", "unexposed"][rng.random_range(0..4)].to_owned(),
                _ => format!("{:.2}", -3.0 + 0.15 * f64::from(step)),
            };
            write!(wide, "\n{x}").unwrap();
            for (k, rows) in rows.iter_mut().enumerate() {
                let density = 0.2 + 0.1 * f64::from(step) + 0.01 * rng.random_range(0..9) as f64;
                // The last strip has every reading, so that the file has one.
                match rng.random_bool(0.8) || k + 1 == strips {
                    true => {
                        write!(wide, ",{density:.2}").unwrap();
                        let given = if sigma { format!(",0.0{}", k + 1) } else { String::new() };
                        writeln!(rows, "{},{x},{density:.2}{given}", name(k)).unwrap();
                    }
                    false => wide.push(','),
                }
            }
        }
        let head = if sigma { ",sigma" } else { "" };
        let long = format!("strip,log_exposure,density{head}\n{}", rows.concat());
        let both = [wide.as_bytes(), long.as_bytes()]
            .map(|bytes| read_bytes("a.csv", bytes, &ReadOptions::default()));
        match both {
            [Ok(wide), Ok(long)] => assert_eq!(without_lines(&wide), without_lines(&long)),
            [Err(wide), Err(long)] => {
                assert_eq!(wide.as_slice().len(), long.as_slice().len(), "{wide}\n{long}");
            }
            [wide, long] => panic!("{wide:?}\n{long:?}"),
        }
    }
}

fn cell(text: &str, number: impl Fn(&str) -> String, word: impl Fn(&str) -> String) -> String {
    if text.parse::<f64>().is_ok() { number(text) } else { word(text) }
}

fn packed(parts: &[(&str, String)]) -> Vec<u8> {
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (path, text) in parts {
        zip.start_file(*path, SimpleFileOptions::default()).unwrap();
        zip.write_all(text.as_bytes()).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

/// A table as an OpenDocument workbook.
fn ods(table: &str) -> Vec<u8> {
    let row = |line: &str| {
        let cells = line.split(',').map(|text| {
            cell(
                text,
                |n| format!("<table:table-cell office:value-type=\"float\" office:value=\"{n}\"/>"),
                |w| match w {
                    "" => "<table:table-cell/>".to_owned(),
                    w => format!("<table:table-cell office:value-type=\"string\"><text:p>{w}</text:p></table:table-cell>"),
                },
            )
        });
        format!("<table:table-row>{}</table:table-row>", cells.collect::<String>())
    };
    let rows: String = table.lines().map(row).collect();
    let spaces = ["office", "table", "text"]
        .map(|n| format!(" xmlns:{n}=\"urn:oasis:names:tc:opendocument:xmlns:{n}:1.0\""));
    let content = format!(
        "<office:document-content{}><office:body><office:spreadsheet><table:table table:name=\"S\">{rows}</table:table></office:spreadsheet></office:body></office:document-content>",
        spaces.concat()
    );
    let kind = "application/vnd.oasis.opendocument.spreadsheet";
    let manifest = format!(
        "<manifest:manifest xmlns:manifest=\"urn:oasis:names:tc:opendocument:xmlns:manifest:1.0\"><manifest:file-entry manifest:full-path=\"/\" manifest:media-type=\"{kind}\"/></manifest:manifest>"
    );
    packed(&[
        ("mimetype", kind.to_owned()),
        ("content.xml", content),
        ("META-INF/manifest.xml", manifest),
    ])
}

/// A table as an Office Open XML workbook.
fn xlsx(table: &str) -> Vec<u8> {
    let row = |(r, line): (usize, &str)| {
        let cells = line.split(',').enumerate().filter(|(_, text)| !text.is_empty());
        let cells = cells.map(|(c, text)| {
            let at = format!("{}{}", char::from(b'A' + c as u8), r + 1);
            cell(
                text,
                |n| format!("<c r=\"{at}\"><v>{n}</v></c>"),
                |w| format!("<c r=\"{at}\" t=\"inlineStr\"><is><t>{w}</t></is></c>"),
            )
        });
        format!("<row r=\"{}\">{}</row>", r + 1, cells.collect::<String>())
    };
    let rows: String = table.lines().enumerate().map(row).collect();
    let main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
    let office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
    let package = "http://schemas.openxmlformats.org/package/2006";
    let relation = |kind: &str, target: &str| {
        format!(
            "<Relationships xmlns=\"{package}/relationships\"><Relationship Id=\"rId1\" Type=\"{office}/{kind}\" Target=\"{target}\"/></Relationships>"
        )
    };
    packed(&[
        ("[Content_Types].xml", format!("<Types xmlns=\"{package}/content-types\"/>")),
        ("_rels/.rels", relation("officeDocument", "xl/workbook.xml")),
        (
            "xl/workbook.xml",
            format!(
                "<workbook xmlns=\"{main}\" xmlns:r=\"{office}\"><sheets><sheet name=\"S\" sheetId=\"1\" r:id=\"rId1\"/></sheets></workbook>"
            ),
        ),
        ("xl/_rels/workbook.xml.rels", relation("worksheet", "worksheets/sheet1.xml")),
        (
            "xl/worksheets/sheet1.xml",
            format!("<worksheet xmlns=\"{main}\"><sheetData>{rows}</sheetData></worksheet>"),
        ),
    ])
}

#[test]
fn workbooks_may_be_wide() {
    let long = without_lines(&read(LONG));
    let titled = format!("Bath 3\n\nRead in March,by hand\n{WIDE}");
    for bytes in [ods(WIDE), xlsx(WIDE), ods(&titled), xlsx(&titled)] {
        let read = read_bytes("strips.any", &bytes, &ReadOptions::default()).unwrap();
        assert_eq!(without_lines(&read), long);
    }
    for bytes in [ods(&titled), xlsx(&titled)] {
        let read = read_bytes("b", &bytes, &ReadOptions::default()).unwrap();
        let notes = told(&read.notes);
        assert_eq!(notes[0], "b: rows 1 to 3, above the names of the columns, are not used");
        let broken = WIDE.replace("0.90", "0,9x");
        let faults =
            read_bytes("b", &ods(&broken.replace("0,9x", "0.9x")), &ReadOptions::default());
        assert_eq!(
            faults.unwrap_err().to_string(),
            "b, sheet \"S\", cell C9, column \"A\": \"0.9x\" is not a number; write one density, as 0.62"
        );
    }
}

#[test]
fn a_time_in_the_heading_and_unexposed_film_by_its_name() {
    let read = read(
        "log_exposure,7 min,N (9:30 min),plain\nbase,0.2,0.21,0.22\n-2,0.3,0.31,0.32\n-1,0.8,0.9,1.0\n",
    );
    assert_eq!(names(&read), ["7 min", "N", "plain"]);
    let minutes = |k: usize| read.strips[k].minutes.map(Minutes::get);
    assert_eq!([minutes(0), minutes(1), minutes(2)], [Some(7.0), Some(9.5), None]);
    assert_eq!(base(&read.strips[2]), [0.22]);
    // In a long sheet the words mean the same.
    let long = super::read("log_exposure,density\nbase,0.2\n-1,0.5\n");
    assert_eq!(base(&long.strips[0]), [0.2]);
}

#[test]
fn faults_of_wide_sheets_have_their_place() {
    for (text, fault) in [
        (
            "tablet_density,A,B,A\n3.05,0.2,0.3,0.4\n",
            "strips.csv:1: columns 2 \"A\" and 4 \"A\" are both of strip \"A\"; give each strip a name of its own (repeats of a step are rows of their own)",
        ),
        (
            "tablet_density,A,B\nminuts,5,7\n3.05,0.2,0.3\n",
            "strips.csv:2, column \"tablet_density\": \"minuts\" is neither an exposure nor the name of a value for each strip (minutes, celsius, fahrenheit, film, developer, date, sigma, note); did you mean \"minutes\"?",
        ),
        (
            "tablet_density,A 5 min,B\nminutes,6,7\n3.05,0.2,0.3\n",
            "strips.csv:2, column \"A 5 min\": strip \"A\" has the time \"6\" here but 5 min in line 1; a strip is developed once: correct one of them, or give two strips two names",
        ),
        (
            "tablet_density,A,B\nminutes,0,7\ncelsius,20,120\n3.05,0.2,0.3\n2.0,0.2x,0.4\n1.0,0.5,9\n",
            "strips.csv:2, column \"A\": 0 is not a development time in minutes: it must be between 0.01 and 1440; check what was typed\nstrips.csv:3, column \"B\": \"120\" is too hot for a bath in °C but would be 48.9 °C if it is in °F; name the column fahrenheit, or write the unit in the cell, as 68F\nstrips.csv:5, column \"A\": \"0.2x\" is not a number; write one density, as 0.62\nstrips.csv:6, column \"B\": 9 is not a density: it must be between -0.5 and 6; check the decimal point",
        ),
        (
            "tablet_density,A,B\n3.05.1,0.2,0.3\n",
            "strips.csv:2, column \"tablet_density\": \"3.05.1\" is not a number; write one number, as 1.5, or leave the cell empty for the unexposed film",
        ),
        (
            "tablet_density,A,,B\n3.05,0.2,0.3,0.4\n",
            "strips.csv:2: column 3 has a number and no name of a strip at its head; write the name, or clear the column",
        ),
        (
            "tablet_density,A,B\nminutes,5,7\n3.05,,\n",
            "strips.csv:1: no strip has a density; write one for each step, below the name of the strip",
        ),
        (
            "log_exposure,A\n,0.2\n",
            "strips.csv:1: strip \"A\" has no exposed step, only unexposed film; write the exposure of each step in the column log_exposure",
        ),
        (
            "step,tablet_density,Tablet Density,A\n1,3.05,3.0,0.2\n",
            "strips.csv:1: columns 2 \"tablet_density\" and 3 \"Tablet Density\" both give the tablet_density; keep one (repeats are rows of their own)",
        ),
        // Slips in a long sheet are not taken for strips.
        (
            "log_exposure,densty\n-1,0.3\n",
            "strips.csv:1: no column \"density\"; found log_exposure and densty; did you mean \"density\" by \"densty\"?",
        ),
        (
            "log_exposure,D\n-1,0.3\n",
            "strips.csv:1: no column \"density\"; found log_exposure and D; did you mean \"density\" by \"D\"?",
        ),
    ] {
        assert_eq!(faults_of(text), fault, "{text}");
    }
    // A strip may be named D where others stand beside it.
    assert_eq!(names(&read("log_exposure,C,D\n-1,0.3,0.4\n0,0.5,0.6\n")), ["C", "D"]);
    // A strip that is still to be read is left out, with a note.
    let read = read("log_exposure,A,B\nminutes,5,7\n-1,0.3,\n0,0.5,\n");
    assert_eq!(names(&read), ["A"]);
    assert_eq!(told(&read.notes), ["strips.csv: no density is written for B"]);
}

#[test]
fn titles_above_the_headings_are_passed_over() {
    let table = "strip,log_exposure,density\nA,-1.5,0.34\nA,-1.2,0.52\n";
    let titled = |above: &str| read(&format!("{above}{table}"));
    for (above, note) in [
        ("My strips\n", "row 1, above the names of the columns, is not used"),
        (
            "\"Bath 3, mixed in March\"\n\n# a remark\nread by,me,twice\n",
            "rows 1 to 4, above the names of the columns, are not used",
        ),
        ("Density\n", "row 1, above the names of the columns, is not used"),
        ("exposure;1/50 s\n", "row 1, above the names of the columns, is not used"),
    ] {
        let read = titled(above);
        assert_eq!(points(&read.strips[0]), [(-1.5, 0.34), (-1.2, 0.52)], "{above}");
        assert_eq!(told(&read.notes), [format!("strips.csv: {note}")], "{above}");
    }
    // The separator is that of the headings, and faults have their lines.
    let semicolons = "one, two, three\nlog_exposure;density\n-1,5;0,34\n-1,2;0,5x\n";
    assert_eq!(
        faults_of(semicolons),
        "strips.csv:4, column \"density\": \"0,5x\" is not a number; write one density, as 0.62"
    );
    // Numbers are no titles: their headings are missing.
    assert_eq!(
        faults_of(&format!("-1,0.3\n{table}")),
        "strips.csv:1: the first row has numbers; it must have the names of the columns, as strip,log_exposure,density"
    );
    assert!(faults_of("1,2\n3,4\n").contains("the first row has numbers"));
    assert!(faults_of("a title\nanother\n").contains("no column \"density\""));
}

#[test]
fn what_is_given_is_for_strips_without_it() {
    let options = ReadOptions {
        minutes: Minutes::new(9.0).ok(),
        celsius: Celsius::new(20.0).ok(),
        ..ReadOptions::default()
    };
    let read =
        read_with("log_exposure,A,B 7 min,C 9 min\n-1,0.3,0.4,0.5\n0,0.5,0.6,0.7\n", &options);
    let minutes: Vec<f64> = read.strips.iter().map(|s| s.minutes.unwrap().get()).collect();
    assert_eq!(minutes, [9.0, 7.0, 9.0]);
    assert!(read.strips.iter().all(|s| s.celsius.unwrap().get() == 20.0));
    assert_eq!(told(&read.notes), ["9 min is not used for B, whose file gives another time"]);
    let long = read_with("log_exposure,density,celsius\n-1,0.3,21\n0,0.5,21\n", &options);
    assert_eq!(long.strips[0].celsius.unwrap().get(), 21.0);
    assert_eq!(
        told(&long.notes),
        ["20 °C is not used for strips, whose file gives another temperature"]
    );
}

#[test]
fn tablets_are_read_from_any_table_of_steps() {
    let of = |text: &str| Tablet::of_bytes("t.csv", text.as_bytes()).map(|(tablet, _)| tablet);
    let values = |text: &str| -> Vec<f64> {
        of(text).unwrap().steps.iter().map(|step| step.value).collect()
    };
    assert_eq!(values("step,density\n1,3.05\n2,2.90\n3,2.75\n"), [3.05, 2.9, 2.75]);
    // The steps of readings: those of all strips are one tablet.
    assert_eq!(values(LONG), [3.05, 1.1, 2.0]);
    let log = of("log_exposure,density\n,0.2\n-2,\n-1,\n").unwrap();
    assert_eq!((log.scale, log.steps[1].name.as_str()), (TabletScale::LogExposure, "2"));
    for (text, fault) in [
        (
            "a,b\n1,2\n",
            "t.csv:1: no column \"tablet_density\", \"log_exposure\" or \"relative_log_exposure\"",
        ),
        ("tablet_density\n3.0\n", "a tablet has 2 to 200 steps, and this one has 1"),
        (
            "tablet_density\n3.0\n12\n",
            "t.csv:3, column \"tablet_density\": 12 is not a tablet density",
        ),
    ] {
        let found = of(text).unwrap_err().to_string();
        assert!(found.starts_with(fault), "{found}");
    }
    let even = Tablet::even(21, 0.15, 0.05).unwrap();
    assert_eq!((even.steps[0].value, even.steps[20].value), (3.05, 0.05));
    assert!(Tablet::even(21, 0.5, 0.05).is_err() && Tablet::even(1, 0.15, 0.05).is_err());
}
