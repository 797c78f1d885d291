//! What is in a file, by its first bytes.

use std::fmt;
use std::fs::File;
use std::io::{Read, Result};
use std::path::Path;

/// What stands near the beginning of each page for the bench.
pub(crate) const BENCH_MARK: &str = "data-page=\"wedgebook-bench\"";
/// What stands at the head of a report.
const REPORT_MARK: &str = "data-page=\"wedgebook-report\"";
/// What heads each page of the manual.
const MANUAL_MARK: &str = ".TH wedgebook";
/// How much of a file is looked at.
const HEAD: u64 = 64 * 1024;

/// What is in a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Nothing, or only blanks.
    Empty,
    /// The journal of a bath.
    Journal,
    /// A pairing.
    Pairing,
    /// The plan of a session.
    Plan,
    /// The layout of a picture.
    Layout,
    /// Fitted curves as a table.
    CurveTable,
    /// Times, or what they give, over temperatures as a table.
    TimesTable,
    /// Measures of strips as a table.
    MeasureTable,
    /// Readings: densities, or temperatures.
    Readings,
    /// Another table with separators.
    Table,
    /// A picture as SVG.
    Svg,
    /// A picture as PNG.
    Png,
    /// A document as PDF.
    Pdf,
    /// A page that follows a development at the bench.
    BenchPage,
    /// A report.
    Report,
    /// A page of the manual.
    ManPage,
    /// Another page as HTML.
    Html,
    /// A workbook.
    Workbook,
    /// A text that is none of these.
    Text,
    /// None of these.
    Unknown,
}

impl fmt::Display for Kind {
    /// With its article: `the journal of a bath`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Empty => "an empty file",
            Self::Journal => "the journal of a bath",
            Self::Pairing => "a pairing",
            Self::Plan => "the plan of a session",
            Self::Layout => "the layout of a picture",
            Self::CurveTable => "a table of curves",
            Self::TimesTable => "a table of times",
            Self::MeasureTable => "a table of measures",
            Self::Readings => "a file of readings",
            Self::Table => "a table",
            Self::Svg => "an SVG picture",
            Self::Png => "a PNG picture",
            Self::Pdf => "a PDF document",
            Self::BenchPage => "a page for the bench",
            Self::Report => "a report",
            Self::ManPage => "a page of the manual",
            Self::Html => "an HTML page",
            Self::Workbook => "a workbook",
            Self::Text => "a text",
            Self::Unknown => "a file of another kind",
        })
    }
}

impl Kind {
    /// What is in the file at `path`.
    ///
    /// # Errors
    /// Those of the file system.
    pub fn of_file(path: &Path) -> Result<Self> {
        let mut head = Vec::new();
        File::open(path)?.take(HEAD).read_to_end(&mut head)?;
        Ok(Self::of(&head))
    }

    /// What the first bytes of a file show.
    #[must_use]
    pub fn of(head: &[u8]) -> Self {
        let signatures: [(&[u8], Self); 4] = [
            (b"\x89PNG\r\n\x1A\n", Self::Png),
            (b"%PDF-", Self::Pdf),
            (b"PK\x03\x04", Self::Workbook),
            (b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1", Self::Workbook),
        ];
        if let Some((_, kind)) = signatures.iter().find(|(start, _)| head.starts_with(start)) {
            return *kind;
        }
        let text = match head {
            [0xFF, 0xFE, rest @ ..] | [0xFE, 0xFF, rest @ ..] => {
                rest.iter().filter(|b| **b != 0).map(|b| char::from(*b)).collect()
            }
            _ => String::from_utf8_lossy(head).into_owned(),
        };
        if text.contains('\0') {
            return Self::Unknown;
        }
        of_text(text.trim_start_matches('\u{FEFF}').trim())
    }
}

/// The row of headings of readings is looked for in so many lines.
const MOST_ABOVE: usize = 50;
/// The title of a page of the manual is looked for in so many lines.
const MANUAL_LINES: usize = 5;
/// Columns that only a table of measures has.
const MEASURE_TABLE: [&str; 4] = ["strip", "base_plus_fog", "gamma_low", "contrast_index"];

/// A heading as names are compared.
fn normalised(cell: &str) -> String {
    cell.trim().trim_matches('"').trim().to_lowercase().replace([' ', '-'], "_")
}

fn of_text(text: &str) -> Kind {
    if text.is_empty() {
        return Kind::Empty;
    }
    if text.starts_with('<') {
        let start = text.get(..text.len().min(2048)).unwrap_or(text).to_ascii_lowercase();
        return match (start.contains("<svg"), start.contains("<html")) {
            (true, _) => Kind::Svg,
            (_, true) if start.contains(BENCH_MARK) => Kind::BenchPage,
            (_, true) if start.contains(REPORT_MARK) => Kind::Report,
            (_, true) => Kind::Html,
            _ => Kind::Text,
        };
    }
    let is_comment = |line: &&str| line.starts_with('#') || line.starts_with("sep=");
    let mut lines = text.lines().map(str::trim).filter(|l| !l.is_empty() && !is_comment(l));
    let first = lines.clone().next().unwrap_or("");
    let has_in = |line: &str, names: &[&str]| {
        [';', ',', '\t'].into_iter().any(|delimiter| {
            let cells: Vec<String> = line.split(delimiter).map(normalised).collect();
            names.iter().all(|name| cells.iter().any(|cell| cell == name))
        })
    };
    let has = |names: &[&str]| has_in(first, names);
    if lines.clone().take(MANUAL_LINES).any(|line| line.starts_with(MANUAL_MARK)) {
        return Kind::ManPage;
    }
    if has(&["date", "act"]) {
        return Kind::Journal;
    }
    // Readings may have titles above the row of headings.
    let heads: Vec<&str> = lines.clone().take(MOST_ABOVE).collect();
    if let Some(kind) = lines.find_map(of_toml_line) {
        return kind;
    }
    let readings = [
        ["density"].as_slice(),
        &["densities"],
        &["minutes", "celsius"],
        &["minutes", "fahrenheit"],
        &["time", "celsius"],
        &["time", "fahrenheit"],
        &["negative", "low"],
        // One column a strip.
        &["tablet_density"],
        &["log_exposure"],
        &["relative_log_exposure"],
    ];
    let is_cgats = || text.contains("BEGIN_DATA_FORMAT");
    if has(&["strip", "log_exposure", "density", "density_low", "density_high", "slope"]) {
        Kind::CurveTable
    } else if has(&["celsius", "contrast", "scene_stops", "exposure_index"]) {
        Kind::TimesTable
    } else if has(&MEASURE_TABLE) {
        Kind::MeasureTable
    } else if heads.iter().any(|line| readings.iter().any(|names| has_in(line, names)))
        || is_cgats()
    {
        Kind::Readings
    } else if first.contains([';', ',', '\t']) {
        Kind::Table
    } else {
        Kind::Text
    }
}

/// What a line of TOML that only one kind of file has shows.
fn of_toml_line(line: &str) -> Option<Kind> {
    let key = line.split(['=', '#']).next().unwrap_or("").trim();
    match key {
        "reference_celsius" if line.contains('=') => Some(Kind::Pairing),
        "layout_format" if line.contains('=') => Some(Kind::Layout),
        "[[strip]]" => Some(Kind::Pairing),
        "[[film]]" | "[vessel]" | "[one_shot]" | "[bath]" => Some(Kind::Plan),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_by_content() {
        for (kind, text) in [
            (Kind::Empty, "\u{FEFF} \n"),
            (Kind::Journal, "\u{FEFF}date,act,litres\n2026-03-03,mix,1\n"),
            (Kind::Journal, "sep=;\r\n\"Date\";\"Act\";litres\r\n"),
            (Kind::Journal, "# remark\n\nact\tdate\n"),
            (Kind::Pairing, "# results\nformat = 2\nname = \"x\"\nreference_celsius = 20.0\n"),
            (Kind::Pairing, "name = \n[[strip]]\n"),
            (Kind::Layout, "# where\nlayout_format = 1\nwidth = 9\n[tablet]\n"),
            (Kind::Plan, "title = \"x\"\n\n[[film]]\nformat = \"120\"\n"),
            (Kind::CurveTable, "strip,log_exposure,density,density_low,density_high,slope\n"),
            (Kind::Readings, "log_exposure;density\n;0,21\n"),
            (Kind::Readings, "minutes,celsius\n0,20\n"),
            (Kind::Readings, "Bath 3, March\n\nstep;Tablet Density;A;B\n;minutes;5;7\n"),
            (Kind::MeasureTable, "strip,film,base_plus_fog,gamma,gamma_low,contrast_index\n"),
            (Kind::Table, "a,b\n1,2\n"),
            (Kind::Svg, "<?xml version=\"1.0\"?>\n<svg xmlns=\"x\"/>"),
            (Kind::Html, "<!DOCTYPE html>\n<html>"),
            (Kind::BenchPage, "<!DOCTYPE html>\n<html lang=\"en\" data-page=\"wedgebook-bench\">"),
            (
                Kind::ManPage,
                ".ie \\n(.g .ds Aq \\(aq\n.el .ds Aq '\n.TH wedgebook-curve 1  \"Wedgebook 1\" \n",
            ),
            (Kind::Text, ".TH other 1\n"),
            (Kind::Text, "Dear reader\n"),
        ] {
            assert_eq!(Kind::of(text.as_bytes()), kind, "{text}");
        }
        assert_eq!(Kind::of(b"\x89PNG\r\n\x1A\n\0\0"), Kind::Png);
        assert_eq!(Kind::of(b"%PDF-1.7\n"), Kind::Pdf);
        assert_eq!(Kind::of(b"PK\x03\x04\0"), Kind::Workbook);
        assert_eq!(Kind::of(b"\xFF\xD8\xFF\xE0\0"), Kind::Unknown);
        assert_eq!(Kind::of(b"\xFF\xFEd\0a\0t\0e\0,\0a\0c\0t\0"), Kind::Journal);
    }
}
