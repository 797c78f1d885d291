//! The report on paper: A4 and Letter, printed by the browser.

use crate::driver::{Browser, browser, skipped};
use crate::report::report;
use serde_json::json;
use std::path::Path;
use std::process::Command;

/// Width and height of a sheet in centimetres.
const SHEETS: [(&str, f64, f64); 2] = [("A4", 21.0, 29.7), ("Letter", 21.59, 27.94)];
/// Margins of a page in centimetres, left and right, above and below.
const MARGINS: (f64, f64) = (3.0, 3.3);
const PIXELS_A_CENTIMETRE: f64 = 96.0 / 2.54;

/// What a tool of the suite poppler makes of a file; none where it is missing.
fn poppler(tool: &str, args: &[&str]) -> Option<Vec<u8>> {
    match Command::new(tool).args(args).output() {
        Ok(output) => {
            assert!(output.status.success(), "{tool}: {}", String::from_utf8_lossy(&output.stderr));
            Some(output.stdout)
        }
        Err(_) => {
            skipped("the pages of the printed report", tool);
            None
        }
    }
}

/// The share of each page that is dark.
fn ink(pdf: &Path, folder: &Path) -> Option<Vec<f64>> {
    let begin = folder.join("page");
    poppler("pdftoppm", &["-r", "40", "-png", pdf.to_str()?, begin.to_str()?])?;
    let mut files: Vec<_> = std::fs::read_dir(folder).unwrap().map(|f| f.unwrap().path()).collect();
    files.retain(|f| f.extension().is_some_and(|e| e == "png"));
    files.sort();
    let share = |file: &std::path::PathBuf| {
        let (_, _, samples, bytes) = crate::driver::pixels(&std::fs::read(file).unwrap());
        let dark = bytes.chunks(samples).filter(|p| p[0] < 128).count();
        dark as f64 / (bytes.len() / samples) as f64
    };
    Some(files.iter().map(share).collect())
}

/// What the rules for paper do: on a page of this size, all folds are open and no figure is higher than a page.
fn laid_out(browser: &Browser, width: f64, height: f64) {
    let across = (width - MARGINS.0) * PIXELS_A_CENTIMETRE;
    let down = (height - MARGINS.1) * PIXELS_A_CENTIMETRE;
    browser.resize(across as u32, down as u32);
    browser.media("print", "dark");
    let high = browser.get(
        "Math.max(...[...document.querySelectorAll('figure, dl, tr')].map((f) => f.offsetHeight))",
    );
    assert!(high.as_f64().unwrap() < down, "{high} of {down}");
    let cut = browser.get(
        "[...document.querySelectorAll('figure, tr, .caution')].filter((e) => getComputedStyle(e).breakInside !== 'avoid').length
         + [...document.querySelectorAll('h2, h3')].filter((e) => getComputedStyle(e).breakAfter !== 'avoid').length",
    );
    assert_eq!(cut, 0, "a figure may be cut, or a heading stand alone");
    let folded = browser.get(
        "[...document.querySelectorAll('td, dd')].filter((e) => !e.checkVisibility({ contentVisibilityAuto: true })).length",
    );
    assert_eq!(folded, 0);
    let colours = browser.get(
        "[getComputedStyle(document.body).backgroundColor, getComputedStyle(document.body).color]",
    );
    assert_eq!(
        colours,
        json!(["rgb(255, 255, 255)", "rgb(0, 0, 0)"]),
        "also where the screen is dark"
    );
    browser.media("", "light");
}

#[test]
fn the_report_prints_on_a4_and_letter() {
    let desk = report();
    let Some(browser) = browser("the printed report", 800, 1000) else { return };
    for (name, width, height) in SHEETS {
        browser.open(&desk.path().join("all.html"));
        laid_out(&browser, width, height);
        let pdf = browser.print(width, height);
        assert!(pdf.starts_with(b"%PDF"));
        let file = desk.path().join(format!("{name}.pdf"));
        std::fs::write(&file, &pdf).unwrap();
        if let Ok(folder) = std::env::var("WEDGEBOOK_SHOTS") {
            std::fs::write(format!("{folder}/report-{name}.pdf"), &pdf).unwrap();
        }
        let Some(text) = poppler("pdftotext", &["-layout", file.to_str().unwrap(), "-"]) else {
            return;
        };
        let text = String::from_utf8_lossy(&text).into_owned();
        let pages: Vec<&str> = text.trim_end_matches('\u{c}').split('\u{c}').collect();
        for (n, page) in (1..).zip(&pages) {
            let number = format!("{n} / {}", pages.len());
            assert!(page.contains(&number), "{name}, page {n} has no number: {page}");
            // A heading is not the last of a page.
            let last = page.lines().rfind(|l| !l.trim().is_empty() && !l.contains(&number));
            let last = last.unwrap_or_default().trim().to_owned();
            let heads = browser.run(
                "return [...document.querySelectorAll('h2, h3')].some((h) => h.textContent === arguments[0]);",
                json!([last]),
            );
            assert_eq!(heads, false, "{name}, page {n} ends with the heading {last}");
        }
        for words in [
            "safety sheets come first",
            "Definitions and sources",
            "The curves as tables",
            "speed point",
        ] {
            assert!(text.contains(words), "{name}: {words}");
        }
        let folder = desk.path().join(name);
        std::fs::create_dir(&folder).unwrap();
        let Some(ink) = ink(&file, &folder) else { return };
        assert_eq!(ink.len(), pages.len());
        let most = ink.iter().copied().fold(0.0, f64::max);
        println!("{name}: {} pages, at most {:.1} % dark", pages.len(), 100.0 * most);
        assert!(most < 0.12, "{name}: {ink:?}");
        assert!(ink.iter().all(|share| *share > 0.0), "{name}: an empty page: {ink:?}");
    }
}
