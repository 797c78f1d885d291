//! Every fault with the message that a user gets.

use std::path::PathBuf;
use std::time::{Duration, Instant};

use wedgebook::readings::{ReadError, ReadOptions, SHOWN_FAULTS, read_bytes, read_files};

use super::{faults_of, faults_with, fixture};

/// The faults of files, without the directory that they lie in.
fn file_faults(paths: &[PathBuf]) -> String {
    let message = read_files(paths, &ReadOptions::default()).unwrap_err().to_string();
    let directory =
        paths[0].parent().unwrap().display().to_string() + std::path::MAIN_SEPARATOR_STR;
    message.replace(&directory, "")
}

#[test]
fn cells_that_are_no_numbers() {
    assert_eq!(
        faults_of(
            "log_exposure,density,sigma\n-1.5,0.6.2,\nx,0.4,\n-1.2,nan,\n-0.9,0.5,inf\n-0.6,\"0,7\",\n"
        ),
        "strips.csv:2, column \"density\": \"0.6.2\" is not a number; write one density, as 0.62\n\
         strips.csv:3, column \"log_exposure\": \"x\" is not a number; write one number, as 1.5, or leave the \
         cell empty for the unexposed film\n\
         strips.csv:4, column \"density\": \"nan\" is not a number; write one density, as 0.62\n\
         strips.csv:5, column \"sigma\": \"inf\" is not a number; write one number, as 0.01\n\
         strips.csv:6, column \"density\": \"0,7\" has a decimal comma; write a point, or separate the columns \
         with ; or tabs"
    );
}

#[test]
fn numbers_out_of_bounds() {
    assert_eq!(
        faults_of(
            "log_exposure,density,sigma,minutes\n-1.5,1e999,,\n-1.2,62,,\n-0.9,-0.6,,\n15,0.4,,\n-0.6,0.5,0,\n-0.3,0.6,,0\n"
        ),
        "strips.csv:2, column \"density\": 1e999 is not a density: it must be between -0.5 and 6; check the \
         decimal point\n\
         strips.csv:3, column \"density\": 62 is not a density: it must be between -0.5 and 6; check the \
         decimal point\n\
         strips.csv:4, column \"density\": -0.6 is not a density: it must be between -0.5 and 6; check the \
         decimal point\n\
         strips.csv:5, column \"log_exposure\": 15 is not a log exposure: it must be between -12 and 12; if these \
         are exposures in lux s, name the column exposure\n\
         strips.csv:6, column \"sigma\": 0 is not a standard uncertainty of a density: it must be between \
         0.0001 and 1; check what was typed\n\
         strips.csv:7, column \"minutes\": 0 is not a development time in minutes: it must be between 0.01 and \
         1440; check what was typed"
    );
    assert_eq!(
        faults_of("exposure,density\n0,0.2\n-3,0.3\n0.01,0.4\n"),
        "strips.csv:2, column \"exposure\": 0 is not an exposure in lux s: it must be between 0.000001 and \
         1000000; leave the cell empty for the unexposed film\n\
         strips.csv:3, column \"exposure\": -3 is not an exposure in lux s: it must be between 0.000001 and \
         1000000; leave the cell empty for the unexposed film"
    );
    assert_eq!(
        faults_of("exposure_index,stops,density\n0,1,0.2\n100,90,0.3\n"),
        "strips.csv:2, column \"exposure_index\": 0 is not an exposure index: it must be between 0.01 and \
         1000000; check what was typed\n\
         strips.csv:3, column \"stops\": 90 is not a number of stops: it must be between -30 and 30; check what \
         was typed"
    );
}

#[test]
fn empty_cells_that_must_not_be() {
    assert_eq!(
        faults_of("strip,exposure_index,stops,density\nA,100,1,\nA,,2,0.3\n,100,3,0.2\n"),
        "strips.csv:2, column \"density\": the cell is empty; write the density, or remove the row if the step \
         was not read\n\
         strips.csv:3, column \"exposure_index\": the cell is empty; write the exposure index that the meter was \
         set to\n\
         strips.csv:4, column \"strip\": the cell is empty; write the name of the strip in each of its rows"
    );
}

#[test]
fn rows_with_too_many_or_too_few_cells() {
    assert_eq!(
        faults_of("log_exposure,density\n-1,5,0,34\n-1.2\n-0.9,0.5\n"),
        "strips.csv:2: 4 cells for 2 columns; put a text with a comma in quotation marks; if these are \
         decimal commas, separate the columns with ; or tabs\n\
         strips.csv:3: 1 cell for 2 columns; leave an empty cell empty, but keep its separator"
    );
    assert_eq!(
        faults_of("log_exposure;density\n-1,5;0,34;0,4\n"),
        "strips.csv:2: 3 cells for 2 columns; put a text with a separator in quotation marks"
    );
}

#[test]
fn quotation_marks_left_open() {
    let message = "a quotation mark opened here is not closed; close it, or double it where it belongs to the text";
    let at_the_end = "log_exposure,density,note\n-1.5,0.34,\n-1.2,0.52,\"soft\n-0.9,0.71,\n";
    assert_eq!(faults_of(at_the_end), format!("strips.csv:3: {message}"));
    let up_to_the_next =
        "log_exposure,density,note\n-1.5,0.34,\"soft\n-1.2,0.5,\n-0.9,0.71,\"hard\"\n-0.6,0.9,\n";
    assert_eq!(faults_of(up_to_the_next), format!("strips.csv:2: {message}"));
    assert_eq!(
        faults_of("log_exposure,density,note\n-1.5,0.34,\"so"),
        format!("strips.csv:2: {message}")
    );
}

#[test]
fn missing_columns() {
    assert_eq!(
        faults_of("step,log_exposure,densty\n1,-1.5,0.34\n"),
        "strips.csv:1: no column \"density\"; found step, log_exposure and densty; did you mean \"density\" by \
         \"densty\"?"
    );
    assert_eq!(
        faults_of("\nname;reading\nA;0.3\n"),
        "strips.csv:2: no column \"density\" and no column of exposure (log_exposure, relative_log_exposure, \
         exposure, tablet_density, or exposure_index with stops); found name and reading"
    );
    assert_eq!(
        faults_of("log H,density\n-1.5,0.34\n"),
        "strips.csv:1: no column of exposure (log_exposure, relative_log_exposure, exposure, tablet_density, or \
         exposure_index with stops); found log H and density; did you mean \"log_exposure\" by \"log H\"?"
    );
    assert_eq!(
        faults_of("stops,density\n1,0.34\n"),
        "strips.csv:1: no column \"exposure_index\" to go with the stops; found stops and density"
    );
    assert_eq!(
        faults_of("exposure_index,density\n100,0.34\n"),
        "strips.csv:1: no column \"stops\" to go with the exposure index; found exposure_index and density"
    );
    assert_eq!(
        faults_of("-1.5,0.34\n-1.2,0.52\n"),
        "strips.csv:1: the first row has numbers; it must have the names of the columns, as strip,log_exposure,density"
    );
}

#[test]
fn columns_that_contradict() {
    assert_eq!(
        faults_of("log_exposure,density,celsius,Fahrenheit\n-1,0.3,20,68\n"),
        "strips.csv:1: columns 3 \"celsius\" and 4 \"Fahrenheit\" both give the temperature; keep one (repeats \
         are rows of their own)"
    );
    assert_eq!(
        faults_of("log_exposure,density,Density\n-1,0.3,0.3\n"),
        "strips.csv:1: columns 2 \"density\" and 3 \"Density\" both give the density; keep one (repeats are rows \
         of their own)"
    );
    assert_eq!(
        faults_of("log_exposure,tablet_density,exposure_index,stops,density\n-1,0.3,100,1,0.3\n"),
        "strips.csv:1: the exposure is given in 3 ways, by log_exposure, tablet_density and stops; keep one \
         of them"
    );
}

#[test]
fn nothing_to_read() {
    let empty = "strips.csv: the file is empty; its first row must name the columns, as strip,log_exposure,density";
    for text in ["", "\n \n", "\u{FEFF}", "# only a remark\n", ",,,\n"] {
        assert_eq!(faults_of(text), empty, "{text:?}");
    }
    for text in ["log_exposure,density", "log_exposure,density\n,\n# remark\n"] {
        assert_eq!(
            faults_of(text),
            "strips.csv:1: no rows follow the names of the columns; write one row for each reading"
        );
    }
    assert_eq!(
        faults_of("strip,log_exposure,density\nA,,0.2\nB,-1,0.3\nA,,0.21\n"),
        "strips.csv:2: strip \"A\" has no exposed step, only unexposed film; write the exposure of each step in \
         the column log_exposure"
    );
    let none = read_files(&[], &ReadOptions::default()).unwrap_err();
    assert_eq!(none.to_string(), "no readings file was given; name at least one");
}

#[test]
fn files_that_cannot_be_opened() {
    let directory = tempfile::tempdir().unwrap();
    let (inner, missing) = (directory.path().join("inner"), directory.path().join("missing.csv"));
    std::fs::create_dir(&inner).unwrap();
    assert_eq!(
        file_faults(&[inner, missing]),
        "inner: this is a directory; name the readings file in it\n\
         missing.csv: no such file; check the path"
    );
}

#[cfg(unix)]
#[test]
fn files_without_permission() {
    use std::os::unix::fs::PermissionsExt;
    let directory = tempfile::tempdir().unwrap();
    let path = directory.path().join("locked.csv");
    std::fs::write(&path, "log_exposure,density\n-1,0.3\n").unwrap();
    std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o000)).unwrap();
    // Whoever may read any file, such as the superuser, gets the readings.
    if std::fs::File::open(&path).is_ok() {
        assert!(read_files(&[path], &ReadOptions::default()).is_ok());
    } else {
        let expected = "locked.csv: no permission to read it; change its permissions or copy it";
        assert_eq!(file_faults(&[path]), expected);
    }
}

#[test]
fn what_is_not_text_is_refused_at_once() {
    let noise: Vec<u8> =
        (0..10_000_000_u32).map(|i| (i.wrapping_mul(2_654_435_761) >> 13) as u8).collect();
    let start = Instant::now();
    let faults = read_bytes("noise.csv", &noise, &ReadOptions::default()).unwrap_err();
    assert!(start.elapsed() < Duration::from_secs(1));
    assert_eq!(
        faults.to_string(),
        "noise.csv: this is neither text nor a workbook; save the table as CSV, .xlsx or .ods"
    );
    let old =
        read_bytes("old.xls", b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1rest", &ReadOptions::default())
            .unwrap_err();
    assert_eq!(
        old.to_string(),
        "old.xls: a workbook of the old binary kind; save it as .xlsx or .ods"
    );
}

#[test]
fn many_faults_are_counted_and_all_kept() {
    let text = format!("log_exposure,density\n{}", "-1,x\n".repeat(50));
    let faults = read_bytes("strips.csv", text.as_bytes(), &ReadOptions::default()).unwrap_err();
    assert_eq!(faults.as_slice().len(), 50);
    let message = faults.to_string();
    assert_eq!(message.lines().count(), SHOWN_FAULTS + 1);
    assert_eq!(message.lines().last(), Some("and 30 more"));
}

#[test]
fn a_place_has_column_number_and_text_of_the_line() {
    let text = "# remark\r\nstep,log_exposure,density\r\n\r\n1,-1.5,x\r\n";
    let faults = read_bytes("strips.csv", text.as_bytes(), &ReadOptions::default()).unwrap_err();
    let place = faults.as_slice()[0].place().unwrap();
    assert_eq!((place.line, place.column.as_ref().unwrap().number), (4, 3));
    assert_eq!(place.excerpt.as_deref(), Some("1,-1.5,x"));
}

#[test]
fn a_tablet_read_from_its_other_end() {
    let falling = "log_exposure,density\n0,1.4\n0.3,1.0\n0.6,0.6\n0.9,0.3\n,0.2\n";
    assert_eq!(
        faults_of(falling),
        "strips.csv:2: strip \"strips\": density falls as exposure rises, as if the tablet was read from its \
         other end; reverse the order of the densities"
    );
    let rising = "log_exposure,density\n0,0.3\n0.3,0.6\n0.6,1.0\n0.9,1.4\n,0.2\n";
    let options = ReadOptions { reversed: true, ..Default::default() };
    assert_eq!(
        faults_with(rising, &options),
        "strips.csv:2: strip \"strips\": density falls as exposure rises, as if the tablet was read from its \
         other end; take the densities in the order of the rows"
    );
    assert_eq!(
        faults_of("log_exposure,density\n0,0.9\n0.3,0.7\n0.6,0.4\n0.9,0.2\n"),
        "strips.csv:2: strip \"strips\": density falls as exposure rises, as if the tablet was read from its \
         other end; reverse the order of the densities (if these are transmittances, write \
         density = -log10(transmittance))"
    );
}

#[test]
fn transmittances() {
    let text = "log_exposure,density\n0,0.6\n0.3,0.4\n0.6,0.1\n0.9,0.02\n";
    assert_eq!(
        faults_of(&format!("{text},0.63\n")),
        "strips.csv:2: strip \"strips\": values from 0 to 1 that fall as exposure rises are transmittances, not \
         densities; write density = -log10(transmittance)"
    );
    assert_eq!(
        faults_of(text),
        "strips.csv:2: strip \"strips\": values from 0 to 1 that fall as exposure rises are transmittances, not \
         densities; write density = -log10(transmittance) (if these are densities, the tablet was read from its \
         other end: reverse their order)"
    );
    assert_eq!(
        faults_of("log_exposure,density\n0,60\n0.3,40\n0.6,10\n0.9,2\n,63\n"),
        "strips.csv:2: strip \"strips\": values from 0 to 100 that fall as exposure rises are transmittances, \
         not densities; write density = -log10(percent/100)"
    );
    let options = ReadOptions { reversed: true, ..Default::default() };
    assert!(faults_with(&format!("{text},0.63\n"), &options).contains("are transmittances"));
}

#[test]
fn exposures_in_a_column_of_logarithms() {
    let rows: String = (0..12)
        .map(|i| format!("{},{:.2}\n", 0.01 * 2_f64.powi(i), 0.2 + 0.1 * f64::from(i)))
        .collect();
    assert_eq!(
        faults_of(&format!("log_exposure,density\n{rows},0.2\n")),
        "strips.csv:2: strip \"strips\": the values of \"log_exposure\" run from 0.01 to 20.48 like exposures, \
         not like their logarithms; name the column exposure (lux s)"
    );
    assert_eq!(
        faults_of("relative_log_exposure,density\n2,0.3\n40,0.4\n160,0.6\n"),
        "strips.csv:2: strip \"strips\": the values of \"relative_log_exposure\" run from 2 to 160 like \
         exposures, not like their logarithms; name the column exposure (lux s)"
    );
}

#[test]
fn faults_that_another_explains_are_left_out_and_others_are_not() {
    let text = "log_exposure,density,minutes\n0.5,60,x\n8,40,\n64,10,\n512,-2,\n1024,1,\n";
    assert_eq!(
        faults_of(text),
        "strips.csv:2, column \"minutes\": \"x\" is not a time; write minutes, as 6.5 or 6:30 (in a workbook only 6.5: there 6:30 is a time of day)\n\
         strips.csv:2: strip \"strips\": the values of \"log_exposure\" run from 0.5 to 1024 like exposures, not \
         like their logarithms; name the column exposure (lux s)\n\
         strips.csv:2: strip \"strips\": density falls as exposure rises, as if the tablet was read from its other \
         end; reverse the order of the densities\n\
         strips.csv:2, column \"density\": 60 is not a density: it must be between -0.5 and 6; check the decimal \
         point\n\
         strips.csv:3, column \"density\": 40 is not a density: it must be between -0.5 and 6; check the decimal \
         point\n\
         strips.csv:4, column \"density\": 10 is not a density: it must be between -0.5 and 6; check the decimal \
         point\n\
         strips.csv:5, column \"density\": -2 is not a density: it must be between -0.5 and 6; check the decimal \
         point"
    );
}

#[test]
fn times_and_temperatures() {
    assert_eq!(
        faults_of(
            "strip,log_exposure,density,minutes,celsius\nA,-1.5,0.3,6 min,68\nA,-1.2,0.4,6 min,68\n\
             B,-1.5,0.3,6:75,-5\nC,-1.5,0.3,6,hot\n"
        ),
        "strips.csv:2, column \"minutes\": \"6 min\" is not a time; write minutes, as 6.5 or 6:30 (in a workbook \
         only 6.5: there 6:30 is a time of day)\n\
         strips.csv:2, column \"celsius\": \"68\" is too hot for a bath in °C but would be 20.0 °C if it is in \
         °F; name the column fahrenheit, or write the unit in the cell, as 68F\n\
         strips.csv:4, column \"minutes\": \"6:75\" is not a time; write minutes, as 6.5 or 6:30 (in a workbook \
         only 6.5: there 6:30 is a time of day)\n\
         strips.csv:4, column \"celsius\": -5 is not a temperature of a bath in °C: it must be between 0 and 60; \
         check what was typed\n\
         strips.csv:5, column \"celsius\": \"hot\" is not a number; write degrees, as 20, 20C or 68F"
    );
    assert_eq!(
        faults_of(
            "log_exposure,density,minutes,celsius\n-1.5,0.3,6:30,20\n-1.2,0.4,7,20\n-0.9,0.5,6.5,21\n"
        ),
        "strips.csv:3, column \"minutes\": strip \"strips\" has the time \"7\" here but 6.5 min in line 2; a \
         strip is developed once: correct one of them, or give two strips two names\n\
         strips.csv:4, column \"celsius\": strip \"strips\" has the temperature \"21\" here but 20 °C in line 2; \
         a strip is developed once: correct one of them, or give two strips two names"
    );
}

#[test]
fn iso_28178_files_cut_short() {
    let whole = "CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID LOG_EXPOSURE D_VIS\nEND_DATA_FORMAT\nNUMBER_OF_SETS 2\n\
                 BEGIN_DATA\n1 -1.5 0.34\n2 -1.2 0.52\nEND_DATA\n";
    let missing =
        |keyword: &str| format!("{keyword} is missing; the file may be cut short: export it again");
    assert_eq!(
        faults_of("CGATS.17\nORIGINATOR \"x\"\n"),
        format!("strips.csv:2: {}", missing("BEGIN_DATA_FORMAT"))
    );
    assert_eq!(
        faults_of(&whole[..whole.len() - 9]),
        format!("strips.csv:8: {}", missing("END_DATA"))
    );
    assert_eq!(
        faults_of(&whole.replace("2 -1.2 0.52\n", "")),
        "strips.csv:5: NUMBER_OF_SETS is 2, but the file has 1; the file may be cut short: export it again, or \
         correct the number"
    );
    assert_eq!(
        faults_of(&whole.replace("NUMBER_OF_SETS 2", "NUMBER_OF_FIELDS 4")),
        "strips.csv:5: NUMBER_OF_FIELDS is 4, but the file has 3; the file may be cut short: export it again, or \
         correct the number"
    );
    assert_eq!(
        faults_of(&whole.replace("1 -1.5 0.34", "1 -1.5").replace("0.52", "O.52")),
        "strips.csv:7: 2 cells for 3 columns; write one set in a line, \"\" for an empty value, and \
         quotation marks round a text with blanks\n\
         strips.csv:8, column \"D_VIS\": \"O.52\" is not a number; write one density, as 0.62"
    );
}

#[test]
fn iso_28178_files_without_visual_density() {
    let text = "ISO28178\nBEGIN_DATA_FORMAT\nSAMPLE_ID LOG_EXPOSURE D_RED D_GREEN D_BLUE\nEND_DATA_FORMAT\n\
                BEGIN_DATA\n1 -1.5 0.3 0.3 0.3\nEND_DATA\n";
    assert_eq!(
        faults_of(text),
        "strips.csv:3: only colour densities (D_RED, D_GREEN and D_BLUE); visual density is needed, in a field \
         D_VIS"
    );
}

#[test]
fn iso_28178_keyword_at_fault_is_reported_once_at_its_line() {
    let text = "CGATS.17\nCELSIUS 68\nBEGIN_DATA_FORMAT\nSTRIP LOG_EXPOSURE D_VIS\nEND_DATA_FORMAT\nBEGIN_DATA\n\
                A -1.5 0.3\nB -1.5 0.3\nEND_DATA\n";
    assert_eq!(
        faults_of(text),
        "strips.csv:2, column \"CELSIUS\": \"68\" is too hot for a bath in °C but would be 20.0 °C if it is in \
         °F; name the column fahrenheit, or write the unit in the cell, as 68F"
    );
}

#[test]
fn workbook_cells_by_sheet_and_letter() {
    assert_eq!(
        file_faults(&[fixture("faults.xlsx")]),
        "faults.xlsx, sheet \"Readings\", cell B2, column \"minutes\": \"6:30:00\" is not a time; write minutes, \
         as 6.5 or 6:30 (in a workbook only 6.5: there 6:30 is a time of day)\n\
         faults.xlsx, sheet \"Readings\", cell C3, column \"density\": \"o.4\" is not a number; write one \
         density, as 0.62\n\
         faults.xlsx, sheet \"Readings\", cell C4, column \"density\": \"#DIV/0!\" is not a number; write one \
         density, as 0.62\n\
         faults.xlsx, sheet \"Readings\", cell C5, column \"density\": \"2026-03-15\" is not a number; write one \
         density, as 0.62"
    );
    assert_eq!(
        file_faults(&[fixture("no_density.xlsx")]),
        "no_density.xlsx: no sheet has a row that names a column \"density\"; sheets: One and Two; did you mean \
         \"density\" by \"densty\"?"
    );
}

#[test]
fn damaged_workbooks() {
    assert_eq!(
        file_faults(&[fixture("open_table.ods")]),
        "open_table.ods: the workbook cannot be read (its part content.xml is damaged); open it in a spreadsheet \
         and save it again"
    );
    let cut = read_bytes("cut.xlsx", b"PK\x03\x04cut", &ReadOptions::default()).unwrap_err();
    assert!(matches!(cut.as_slice(), [ReadError::Workbook { .. }]), "{cut}");
}
