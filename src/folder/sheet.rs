//! A table as an OpenDocument sheet, to fill in and to print.
//!
//! # Source
//! OpenDocument 1.3, part 2 (packages) and part 3 (schema), 2021, from memory.

use std::io::{Cursor, Write};
use zip::result::ZipResult;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

const KIND: &str = "application/vnd.oasis.opendocument.spreadsheet";

/// The sheet of a table with commas, which has no cell in quotation marks.
pub(super) fn of_table(name: &str, table: &str) -> Option<Vec<u8>> {
    packed(&content(name, table)).ok()
}

fn packed(content: &str) -> ZipResult<Vec<u8>> {
    let manifest = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<manifest:manifest xmlns:manifest=\"urn:oasis:names:tc:opendocument:xmlns:manifest:1.0\" manifest:version=\"1.3\"><manifest:file-entry manifest:full-path=\"/\" manifest:media-type=\"{KIND}\"/><manifest:file-entry manifest:full-path=\"content.xml\" manifest:media-type=\"text/xml\"/></manifest:manifest>\n"
    );
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    // The kind comes first and as it is, so that whoever looks at the first bytes sees it.
    let as_it_is = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
    let deflated = SimpleFileOptions::default();
    for (path, text, options) in [
        ("mimetype", KIND, as_it_is),
        ("content.xml", content, deflated),
        ("META-INF/manifest.xml", manifest.as_str(), deflated),
    ] {
        zip.start_file(path, options)?;
        zip.write_all(text.as_bytes())?;
    }
    Ok(zip.finish()?.into_inner())
}

fn content(name: &str, table: &str) -> String {
    let cell = |text: &str| match text.parse::<f64>() {
        _ if text.is_empty() => "<table:table-cell/>".to_owned(),
        Ok(_) => format!(
            "<table:table-cell office:value-type=\"float\" office:value=\"{text}\"><text:p>{text}</text:p></table:table-cell>"
        ),
        Err(_) => format!(
            "<table:table-cell office:value-type=\"string\"><text:p>{text}</text:p></table:table-cell>"
        ),
    };
    let row = |line: &str| {
        let cells: String = line.split(',').map(cell).collect();
        format!("<table:table-row>{cells}</table:table-row>")
    };
    let rows: String = table.lines().map(row).collect();
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<office:document-content xmlns:office=\"urn:oasis:names:tc:opendocument:xmlns:office:1.0\" xmlns:table=\"urn:oasis:names:tc:opendocument:xmlns:table:1.0\" xmlns:text=\"urn:oasis:names:tc:opendocument:xmlns:text:1.0\" office:version=\"1.3\"><office:body><office:spreadsheet><table:table table:name=\"{name}\">{rows}</table:table></office:spreadsheet></office:body></office:document-content>\n"
    )
}
