//! What each format may look like, and what is read from it.

use wedgebook::readings::{ExposureScale, ReadOptions, read_bytes, read_files};

use super::{base, fixture, names, points, read, read_with, told};

const CURVE: [(f64, f64); 3] = [(-1.5, 0.34), (-1.2, 0.52), (-0.9, 0.71)];

#[test]
fn comma_semicolon_and_tab() {
    let comma = "step,log_exposure,density\n1,-1.5,0.34\n2,-1.2,0.52\n3,-0.9,0.71\n";
    for separator in [",", ";", "\t"] {
        let readings = read(&comma.replace(',', separator));
        assert_eq!(points(&readings.strips[0]), CURVE, "{separator:?}");
        assert_eq!(names(&readings), ["strips"]);
        assert!(readings.notes.is_empty(), "{:?}", readings.notes);
    }
}

#[test]
fn decimal_comma_where_it_cannot_separate() {
    let text = "log_exposure;density\n-1,5;0,34\n-1,2;0,52\n-0.9;0.71\n";
    assert_eq!(points(&read(text).strips[0]), CURVE);
    assert_eq!(points(&read(&text.replace(';', "\t")).strips[0]), CURVE);
}

#[test]
fn byte_order_marks_and_line_ends() {
    let text = "log_exposure,density\n-1.5,0.34\n-1.2,0.52\n-0.9,0.71";
    for variant in [
        format!("\u{FEFF}{text}"),
        text.replace('\n', "\r\n"),
        text.replace('\n', "\r"),
        format!("{text}\n\n\n"),
        format!("sep=,\r\n{}", text.replace('\n', "\r\n")),
    ] {
        let strip = &read(&variant).strips[0];
        assert_eq!(points(strip), CURVE, "{variant:?}");
        let first = if variant.starts_with("sep") { 3 } else { 2 };
        assert_eq!(
            strip.readings.iter().map(|r| r.line).collect::<Vec<_>>(),
            [first, first + 1, first + 2]
        );
    }
    for big_endian in [false, true] {
        let words = format!("\u{FEFF}{text}");
        let bytes = |word: u16| {
            if big_endian { word.to_be_bytes() } else { word.to_le_bytes() }
        };
        let utf16: Vec<u8> = words.encode_utf16().flat_map(bytes).collect();
        let readings = read_bytes("strips.csv", &utf16, &ReadOptions::default()).unwrap();
        assert_eq!(points(&readings.strips[0]), CURVE);
    }
}

#[test]
fn headings_in_any_order_and_case_and_rows_in_any_order() {
    let text = " DENSITY ,Film,Log-Exposure,Strip\n0.52,Grey 100,-1.2,b\n0.9,,-1.2,a\n0.34,Grey 100,-1.5,b\n";
    let readings = read(text);
    assert_eq!(names(&readings), ["b", "a"]);
    assert_eq!(points(&readings.strips[0]), CURVE[..2]);
    assert_eq!(readings.strips[0].labels.film.as_deref(), Some("Grey 100"));
    assert_eq!(readings.strips[1].labels.film, None);
}

#[test]
fn repeats_unexposed_film_blank_lines_and_comments() {
    let text = "# spring strips\n\nstep,log_exposure,density\n\n1,-1.5,0.34\n,,\n# remark, as it goes, on\n\
                2,-1.2,0.52\n2,-1.2,0.53\nbase,,0.21\n#3,-0.9,0.71\n  \n,,0.22\n";
    let strip = &read(text).strips[0];
    assert_eq!(points(strip), [(-1.5, 0.34), (-1.2, 0.52), (-1.2, 0.53), (-0.9, 0.71)]);
    assert_eq!(base(strip), [0.21, 0.22]);
    let lines: Vec<u32> = strip.readings.iter().chain(&strip.unexposed).map(|r| r.line).collect();
    assert_eq!(lines, [5, 8, 9, 11, 10, 13]);
    let steps: Vec<Option<&str>> = strip.readings.iter().map(|r| r.step.as_deref()).collect();
    assert_eq!(
        steps,
        [Some("1"), Some("2"), Some("2"), Some("#3")],
        "a row that starts with # is not lost"
    );
    assert_eq!(strip.unexposed[1].step, None);
}

#[test]
fn quoted_cells_may_hold_separators_quotes_and_line_ends() {
    let text = "log_exposure,note,density\n-1.5,\"soft, \"\"flat\"\"\nlight\",0.34\n-1.2,,0.52\n";
    let strip = &read(text).strips[0];
    assert_eq!(strip.labels.note.as_deref(), Some("soft, \"flat\"\nlight"));
    assert_eq!(strip.readings[1].line, 4);
    let inches = "log_exposure,density,note\n-1.5,0.34,\n-1.2,0.52,a 5\" tablet";
    assert_eq!(read(inches).strips[0].labels.note.as_deref(), Some("a 5\" tablet"));
}

#[test]
fn blank_surplus_cells_are_no_fault() {
    assert_eq!(
        points(&read("log_exposure,density\n-1.5,0.34,,\n-1.2,0.52, \n").strips[0]),
        CURVE[..2]
    );
}

#[test]
fn windows_1252_is_read_with_a_note() {
    let bytes = b"log_exposure,density,celsius,film\n-1.5,0.34,20\xB0C,Gr\xFCn\n-1.2,0.52,,\n";
    let readings = read_bytes("strips.csv", bytes, &ReadOptions::default()).unwrap();
    assert_eq!(readings.strips[0].labels.film.as_deref(), Some("Grün"));
    assert_eq!(readings.strips[0].celsius.unwrap().get(), 20.0);
    assert_eq!(
        told(&readings.notes),
        ["strips.csv: not UTF-8, read as Windows-1252; save it as UTF-8 if letters look wrong"]
    );
}

#[test]
fn unknown_columns_are_noted_once_a_file() {
    let text =
        "log_exposure,density,operator,sigm,Temperature,\n-1.5,0.34,K,0.02,20,\n-1.2,0.52,K,,20,\n";
    assert_eq!(
        told(&read(text).notes),
        ["strips.csv: not used: \"operator\", \"sigm\" (did you mean \"sigma\"?), \
          \"Temperature\" (did you mean \"celsius\"?)"]
    );
}

#[test]
fn sigma_of_the_row_goes_before_the_one_for_all() {
    let text = "strip,log_exposure,density,sigma\na,-1.5,0.34,0.02\na,-1.2,0.52,\nb,-1.5,0.34,0.03\nb,,0.2,0.03\n";
    let readings = read(text);
    let sigmas =
        |i: usize| readings.strips[i].readings.iter().map(|r| r.sigma.get()).collect::<Vec<_>>();
    assert_eq!(sigmas(0), [0.02, 0.010]);
    assert_eq!(sigmas(1), [0.03]);
    assert!(readings.strips[0].sigma_is_assumed);
    assert!(!readings.strips[1].sigma_is_assumed);
    assert_eq!(
        told(&readings.strips[0].notes),
        ["sigma is given for 1 of 2 readings; the others have the common value"]
    );

    let options = ReadOptions {
        density_sigma: Some(readings.strips[0].readings[0].sigma.into()),
        ..Default::default()
    };
    let strip = &read_with("log_exposure,density\n-1.5,0.34\n", &options).strips[0];
    assert_eq!(strip.readings[0].sigma.get(), 0.02);
    assert!(!strip.sigma_is_assumed);
}

#[test]
fn iso_28178_tables_become_strips() {
    let readings = read_files(&[fixture("control.txt")], &ReadOptions::default()).unwrap();
    assert_eq!(names(&readings), ["first bath", "second bath"]);
    let [first, second] = readings.strips.as_slice() else { panic!("two strips") };
    assert_eq!(points(first), [(-1.5, 0.34), (-1.2, 0.52), (-1.2, 0.53)]);
    assert_eq!(base(first), [0.21]);
    assert_eq!(first.readings[1].step.as_deref(), Some("2"));
    assert_eq!(first.readings[1].line, 19);
    assert_eq!((first.minutes.unwrap().get(), first.celsius.unwrap().get()), (6.5, 20.0));
    assert_eq!(first.labels.developer.as_deref(), Some("Stock A, 1+1"));
    assert_eq!(first.labels.date.as_deref(), Some("2026-03-15"));
    assert_eq!(first.scale, ExposureScale::Absolute);
    assert_eq!(points(second), [(-1.5, 0.41), (-1.2, 0.68)]);
    assert_eq!((second.minutes.unwrap().get(), second.celsius), (9.0, None));
    assert_eq!(readings.notes.len(), 1, "{:?}", readings.notes);
    assert!(
        readings.notes[0].to_string().ends_with("control.txt: not used: \"SAMPLE_NAME\""),
        "{:?}",
        readings.notes
    );
}

#[test]
fn iso_28178_is_told_by_its_data_format_alone() {
    let text = "BEGIN_DATA_FORMAT\nTABLET_DENSITY DENSITY\nEND_DATA_FORMAT\nBEGIN_DATA\n0.05 1.2\n0.35 1.0\nEND_DATA\n";
    let strip = &read(text).strips[0];
    assert_eq!(strip.name, "strips");
    assert_eq!(points(strip), [(-0.35, 1.0), (-0.05, 1.2)]);
}

#[test]
fn workbook_with_a_cover_sheet() {
    let readings = read_files(&[fixture("two_sheets.xlsx")], &ReadOptions::default()).unwrap();
    assert_eq!(names(&readings), ["short", "long"]);
    let [short, long] = readings.strips.as_slice() else { panic!("two strips") };
    assert_eq!(points(short), [(-1.5, 0.34), (-1.2, 0.52)]);
    assert_eq!(base(short), [0.21]);
    assert_eq!((short.minutes.unwrap().get(), short.celsius.unwrap().get()), (5.0, 20.0));
    assert_eq!(short.labels.date.as_deref(), Some("2026-03-15"));
    assert_eq!(short.unexposed[0].line, 6);
    assert_eq!(points(long), [(-1.5, 0.41), (-1.2, 0.68)]);
    assert_eq!((long.minutes.unwrap().get(), long.celsius.unwrap().get()), (9.5, 20.0));
    assert_eq!(long.readings[0].step.as_deref(), Some("1a"));
    let told = told(&readings.notes);
    let ends: Vec<&str> = told.iter().filter_map(|note| note.split("xlsx: ").nth(1)).collect();
    assert_eq!(
        ends,
        [
            "of the sheets Cover and Strips, \"Strips\" is read",
            "row 1, above the names of the columns, is not used",
            "not used: \"Operator\"",
        ]
    );
}

#[test]
fn opendocument_sheet() {
    let readings = read_files(&[fixture("strip.ods")], &ReadOptions::default()).unwrap();
    let strip = &readings.strips[0];
    assert_eq!(strip.name, "strip");
    assert_eq!(points(strip), [(-0.65, 1.08), (-0.35, 1.52), (-0.05, 1.87)]);
    assert_eq!(strip.readings[0].line, 7, "after three blank rows");
    assert_eq!(base(strip), [0.19]);
    assert_eq!(strip.celsius.unwrap().get(), 20.0);
    assert_eq!(strip.labels.date.as_deref(), Some("2026-03-15"));
    assert_eq!(strip.scale, ExposureScale::Relative);
}

#[test]
fn strips_of_one_name_in_two_files_are_kept_apart() {
    let directory = tempfile::tempdir().unwrap();
    let text = "strip,log_exposure,density\nA,-1.5,0.34\nA,-1.2,0.52\nB,-1.5,0.3\n";
    let mut paths = Vec::new();
    for name in ["monday.csv", "friday.csv", "copy/friday.csv"] {
        let path = directory.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(&path, if name == "monday.csv" { text } else { &text[..text.len() - 11] })
            .unwrap();
        paths.push(path);
    }
    let readings = read_files(&paths, &ReadOptions::default()).unwrap();
    assert_eq!(names(&readings), ["monday: A", "B", "friday: A", "friday: A (2)"]);
    assert_eq!(
        told(&readings.notes),
        ["3 strips are named \"A\"; they are kept apart by their files"]
    );
    assert_eq!(readings.strips[0].source, paths[0].display().to_string());
}
