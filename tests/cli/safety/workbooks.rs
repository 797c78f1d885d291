//! Workbooks that claim more than they hold, or hold more than fits: refused at once, in little memory.

use super::refused;
use crate::desk::Desk;
use std::fmt::Write as _;
use std::io::Write as _;
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

const MAIN: &str = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";

fn archive(parts: &[(&str, &str)]) -> Vec<u8> {
    let mut writer = ZipWriter::new(std::io::Cursor::new(Vec::new()));
    for (name, text) in parts {
        writer.start_file(*name, SimpleFileOptions::default()).unwrap();
        writer.write_all(text.as_bytes()).unwrap();
    }
    writer.finish().unwrap().into_inner()
}

/// A strip of twelve readings, then `more` rows; its shared texts are in the part `shared`.
fn xlsx(more: &str, (shared, texts): (&str, &str)) -> Vec<u8> {
    let office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
    let package = "http://schemas.openxmlformats.org/package/2006/relationships";
    let text = |at: &str, t: &str| format!("<c r=\"{at}\" t=\"inlineStr\"><is><t>{t}</t></is></c>");
    let mut rows =
        format!("<row r=\"1\">{}{}</row>", text("A1", "log_exposure"), text("B1", "density"));
    for i in 0..12 {
        let (x, d) = (f64::from(i) * 0.3 - 3.0, 0.2 + 0.02 * f64::from(i * i));
        let row = i + 2;
        write!(
            rows,
            "<row r=\"{row}\"><c r=\"A{row}\"><v>{x}</v></c><c r=\"B{row}\"><v>{d}</v></c></row>"
        )
        .unwrap();
    }
    archive(&[
        (
            "[Content_Types].xml",
            "<Types xmlns=\"http://schemas.openxmlformats.org/package/2006/content-types\"/>",
        ),
        (
            "_rels/.rels",
            &format!(
                "<Relationships xmlns=\"{package}\"><Relationship Id=\"rId1\" Type=\"{office}/officeDocument\" Target=\"xl/workbook.xml\"/></Relationships>"
            ),
        ),
        (
            "xl/workbook.xml",
            &format!(
                "<workbook xmlns=\"{MAIN}\" xmlns:r=\"{office}\"><sheets><sheet name=\"S\" sheetId=\"1\" r:id=\"rId1\"/></sheets></workbook>"
            ),
        ),
        (
            "xl/_rels/workbook.xml.rels",
            &format!(
                "<Relationships xmlns=\"{package}\"><Relationship Id=\"rId1\" Type=\"{office}/worksheet\" Target=\"worksheets/sheet1.xml\"/><Relationship Id=\"rId2\" Type=\"{office}/sharedStrings\" Target=\"{shared}\"/></Relationships>"
            ),
        ),
        (
            "xl/worksheets/sheet1.xml",
            &format!("<worksheet xmlns=\"{MAIN}\"><sheetData>{rows}{more}</sheetData></worksheet>"),
        ),
        (&format!("xl/{shared}"), texts),
    ])
}

/// The same strip as an OpenDocument sheet.
fn ods(more: &str) -> Vec<u8> {
    let text = |t: &str| {
        format!(
            "<table:table-cell office:value-type=\"string\"><text:p>{t}</text:p></table:table-cell>"
        )
    };
    let number =
        |v: f64| format!("<table:table-cell office:value-type=\"float\" office:value=\"{v}\"/>");
    let mut rows =
        format!("<table:table-row>{}{}</table:table-row>", text("log_exposure"), text("density"));
    for i in 0..12 {
        let (x, d) = (f64::from(i) * 0.3 - 3.0, 0.2 + 0.02 * f64::from(i * i));
        write!(rows, "<table:table-row>{}{}</table:table-row>", number(x), number(d)).unwrap();
    }
    let urn = "urn:oasis:names:tc:opendocument:xmlns";
    archive(&[
        ("mimetype", "application/vnd.oasis.opendocument.spreadsheet"),
        (
            "META-INF/manifest.xml",
            &format!("<manifest:manifest xmlns:manifest=\"{urn}:manifest:1.0\"/>"),
        ),
        (
            "content.xml",
            &format!(
                "<office:document-content xmlns:office=\"{urn}:office:1.0\" xmlns:table=\"{urn}:table:1.0\" xmlns:text=\"{urn}:text:1.0\"><office:body><office:spreadsheet><table:table table:name=\"S\">{rows}{more}</table:table></office:spreadsheet></office:body></office:document-content>"
            ),
        ),
    ])
}

const NO_TEXTS: (&str, &str) = ("sharedStrings.xml", "<sst/>");

#[track_caller]
fn cannot(bytes: &[u8], name: &str, reason: &str) {
    let desk = Desk::empty();
    desk.write_bytes(name, bytes);
    let message = format!(
        "{name}: the workbook cannot be read ({reason}); open it in a spreadsheet and save it again"
    );
    refused(&desk, &["curve", name], &message);
}

#[test]
fn sound_workbooks_are_read() {
    let far = "<row r=\"1048576\"><c r=\"XFD1048576\"><v>1</v></c></row>";
    let empty = "<table:table-row table:number-rows-repeated=\"1048000\"><table:table-cell table:number-columns-repeated=\"16384\"/></table:table-row>";
    let texts =
        format!("<sst xmlns=\"{MAIN}\" count=\"900\" uniqueCount=\"900\"><si><t>a</t></si></sst>");
    for (name, bytes) in [
        ("a.xlsx", xlsx("", NO_TEXTS)),
        ("b.xlsx", xlsx(far, ("sharedStrings.xml", &texts))),
        ("c.ods", ods("")),
        ("d.ods", ods(empty)),
    ] {
        let desk = Desk::empty();
        desk.write_bytes(name, &bytes);
        let (status, out, err) = desk.run(&["curve", name]);
        assert!(
            status == 0 && out.contains("readings") && out.contains(" 12\n"),
            "{name}: {out}{err}"
        );
    }
}

#[test]
fn a_claim_is_held_against_what_is_there() {
    let texts = |count: &str| {
        format!(
            "<sst xmlns=\"{MAIN}\" count=\"{count}\" uniqueCount=\"{count}\"><si><t>a</t></si></sst>"
        )
    };
    for (count, shown) in
        [("4294967295", "4294967295"), ("99999999999999999999", "18446744073709551615")]
    {
        cannot(
            &xlsx("", ("sharedStrings.xml", &texts(count))),
            "a.xlsx",
            &format!("its part xl/sharedStrings.xml says that it has {shown} entries and has 1"),
        );
    }
}

/// A sheet whose tags do not end lets a reader wait for an end that never comes.
#[test]
fn a_sheet_that_does_not_end_is_damaged() {
    let whole = "<table:table-row><table:table-cell><text:p>a</text:p></table:table-cell></table:table-row>";
    for more in ["</table:table-row>", "<table:table-row>", "</table:tabel><table:x>"] {
        cannot(&ods(&format!("{whole}{more}")), "a.ods", "its part content.xml is damaged");
    }
    let parts = [(
        "content.xml",
        "x<office:document-content><table:table table:name=\"S\"><table:table-row>",
    )];
    cannot(&archive(&parts), "a.ods", "its part content.xml is damaged");
}

#[test]
fn a_part_of_any_name_counts() {
    // 150 MB, packed to less than 1 MB.
    let texts =
        format!("<sst>{}</sst>", format!("<si><t>{}</t></si>", "a".repeat(1000)).repeat(150_000));
    cannot(&xlsx("", ("odd.bin", &texts)), "a.xlsx", "unpacked it is larger than 128 MB");
    let many: Vec<String> = (0..1001).map(|k| format!("p{k}.xml")).collect();
    let many: Vec<(&str, &str)> = many.iter().map(|name| (name.as_str(), "<a/>")).collect();
    cannot(&archive(&many), "a.xlsx", "it has 1001 parts; at most 1000 are read");
}

#[test]
fn cells_are_counted_before_they_are_read() {
    let most = "a sheet has more than 2000000 cells with something in them; split it";
    let row = format!("<row>{}</row>", "<c><v>1</v></c>".repeat(10_000));
    cannot(&xlsx(&row.repeat(210), NO_TEXTS), "a.xlsx", most);
    let repeated = |rows: &str, columns: &str| {
        format!(
            "<table:table-row table:number-rows-repeated=\"{rows}\"><table:table-cell table:number-columns-repeated=\"{columns}\" office:value-type=\"float\" office:value=\"1\"/></table:table-row>"
        )
    };
    cannot(&ods(&repeated("1048000", "2")), "a.ods", most);
    cannot(&ods(&repeated("4294967295", "4294967295")), "a.ods", most);
}

#[test]
fn cells_that_lie_far_apart_are_not_joined() {
    let gap = "<table:table-row table:number-rows-repeated=\"6000\"><table:table-cell/></table:table-row><table:table-row><table:table-cell table:number-columns-repeated=\"15000\"/><table:table-cell office:value-type=\"float\" office:value=\"1\"/></table:table-row>";
    cannot(
        &ods(gap),
        "a.ods",
        "cells of a sheet lie too far apart: 6014 rows by 15001 columns; delete the stray ones",
    );
}
