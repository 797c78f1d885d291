//! `report`: one file with all that is known, and nothing in it that acts.

use crate::desk::{Desk, data};

const DAY: [&str; 2] = ["--date", "2026-11-17"];

#[test]
fn all_that_is_known_in_one_file() {
    let desk = Desk::with_report();
    let page = desk.read("all.html");
    for words in [
        "Larkfold in Quillback 1+6: a normal scene of 7 stops needs 12:30",
        "Pairings compared: Larkfold in Quillback 1+6 and Fenmoth in Quillback 1+6",
        "The bath bath.csv on 2026-11-17: correct by time",
        "Range R of the paper: setting 0 132",
        "Contrast index of strips: strip 0.523 (0.516 to 0.531)",
        "Definitions and sources",
        "flare of 0.40 log exposure is assumed",
    ] {
        assert!(page.contains(words), "{words}");
    }
    assert_eq!(page.matches("<section>").count(), 7, "a part each, the charts and the comparison");
    assert!(page.matches("<svg").count() >= 7);
    assert!(page.len() < 2_000_000, "{}", page.len());
    // Nothing is fetched: every address in it is the name of a standard.
    for address in page.split("http").skip(1) {
        assert!(
            address.starts_with("://www.w3.org/") || address.starts_with("-equiv"),
            "{address:.40}"
        );
    }
    let (_, text, _) = desk.run(&[
        "calibrate",
        &data("family.csv"),
        "--log-exposure-clear",
        "0",
        "--out",
        "x.toml",
    ]);
    for number in ["23:00 (19:00 to 28:00)", "169 (135 to 211)", "first order, to 0.80"] {
        assert!(text.contains(number) && page.contains(number), "{number}");
    }
    // A report replaces a report, and nothing else.
    desk.report();
    desk.write("mine.html", "<!DOCTYPE html>\n<html><p>a page of mine");
    let (status, _, err) =
        desk.run(&["report", "pairing.toml", "--out", "mine.html", DAY[0], DAY[1]]);
    assert_eq!(status, 2);
    assert!(err.contains("mine.html"), "{err}");
    let one = ["report", "pairing.toml", "--out", "one.html"];
    assert_eq!(desk.run(&one).0, 0);
    assert!(desk.read("one.html").len() < 600_000);
}

#[test]
fn hostile_names_are_shown_and_not_run() {
    let desk = Desk::empty();
    let hostile = "</script><script>alert(1)</script><img src=x onerror=alert(2)>'\u{2028}&amp;";
    let strip = std::fs::read_to_string(data("strip.csv")).unwrap();
    let named = format!("\"{}\"", hostile.replace('"', "\"\""));
    desk.write("strip.csv", &strip.replace("Larkfold", &named));
    let args = ["report", "strip.csv", "--out", "r.html", "--title", hostile];
    let (status, _, err) = desk.run(&args);
    assert_eq!(status, 0, "{err}");
    let page = desk.read("r.html");
    assert!(!page.contains("<script>alert") && !page.contains("<img"), "it acts");
    assert!(page.contains("&lt;script&gt;alert(1)"), "it is shown");
    assert_eq!(page.matches("<script").count(), 2, "the data of the curves and the page's own");
}

#[test]
fn what_cannot_be_reported_is_refused() {
    let desk = Desk::with_pairing();
    for (args, words) in [
        (["none.toml", "--out", "r.html"], "none.toml"),
        (["pairing.toml", "--out", "r.txt"], ".html"),
    ] {
        let (status, _, err) = desk.run(&[&["report"][..], &args].concat());
        assert_eq!(status, 2, "{args:?}");
        assert!(err.contains(words) && !desk.has(args[2]), "{err}");
    }
}
