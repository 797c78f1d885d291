//! Contrast, labels and the other rules of WCAG 2, levels A and AA, in each state of both pages.
//!
//! They are checked by axe-core, a package of npm that `.ci/run` installs in `target/axe`; `WEDGEBOOK_AXE`
//! names another place of its script. It is no part of the program.

use crate::bench::{enter, opened, page, pass};
use crate::desk::{Desk, data};
use crate::driver::{Browser, browser, skipped};
use crate::page_looks::{SCREENS, answered, filled};
use serde_json::{Value, json};
use std::path::Path;

/// What is allowed to break a rule: the state, the rule, and why.
const EXCEPTIONS: [(&str, &str, &str); 4] = [
    // A screen in a darkroom must be able to give less light than the eye can read by at a desk. Full red
    // on black has 5.25:1, the greatest that red alone can have; the page begins with it.
    ("dimmed once", "color-contrast", "dimmer by choice: 2.7:1"),
    ("dimmed twice", "color-contrast", "dimmer by choice: 1.6:1"),
    ("dimmed three times", "color-contrast", "dimmer by choice: 1.2:1"),
    ("covered", "color-contrast", "covered by choice: the button works wherever it is held"),
];

const RUN: &str = "const done = arguments[arguments.length - 1];
    const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];
    axe.run(document, { runOnly: { type: 'tag', values: tags }, resultTypes: ['violations'] }).then(
        (found) => done({ rules: found.passes.length, violations: found.violations.map((v) => [v.id,
            v.nodes.map((n) => `${n.html.slice(0, 90)}: ${n.failureSummary}`).slice(0, 5)]) }),
        (error) => done({ error: String(error) }));";

/// The script of axe-core, where it is installed.
fn axe(what: &str) -> Option<String> {
    let usual =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("target/axe/node_modules/axe-core/axe.min.js");
    let path = std::env::var_os("WEDGEBOOK_AXE").map_or(usual, Into::into);
    let script = std::fs::read_to_string(&path).ok();
    if script.is_none() {
        let ci = std::env::var("CI").is_ok_and(|ci| ci == "true");
        assert!(!ci, "{what}: {} is not there", path.display());
        skipped(what, "axe-core, which `.ci/run` installs with CI=true,");
    }
    script
}

/// Fails on what breaks a rule in this state, and on an exception that is none any more.
fn holds(browser: &Browser, axe: &str, state: &str) {
    browser.run(&format!("if (!window.axe) {{ {axe} }}"), json!([]));
    let found = browser.wait(RUN, json!([]));
    // Rules that found something to check: else nothing was checked.
    assert!(found["rules"].as_u64().unwrap_or(0) >= 3, "{state}: {found}");
    let broken: Vec<&Value> = found["violations"].as_array().unwrap().iter().collect();
    let allowed = EXCEPTIONS.iter().filter(|(of, ..)| *of == state);
    let allowed: Vec<&str> = allowed.map(|(_, rule, _)| *rule).collect();
    let rules: Vec<&str> = broken.iter().map(|v| v[0].as_str().unwrap()).collect();
    assert_eq!(rules, allowed, "{state}: {broken:#?}");
}

#[test]
fn the_page_at_the_bench_holds_to_wcag_in_every_state() {
    let what = "contrast and labels at the bench";
    let Some(axe) = axe(what) else { return };
    let desk = page(&["--plan", "data/session.toml", "--date", "2026-11-17"]);
    let Some(browser) = opened(&desk, what, 360, 740) else { return };
    let check = |state: &str| holds(&browser, &axe, state);
    check("before the start");
    let open = "document.querySelectorAll('details').forEach((d) => { d.open = arguments[0]; });";
    browser.run(open, json!([true]));
    check("with the settings open");
    browser.run(open, json!([false]));
    browser.click("start");
    pass(&browser, 60);
    check("running");
    enter(&browser, "29");
    check("asked whether a temperature is right");
    browser.click("ask-no");
    enter(&browser, "x");
    check("no temperature");
    enter(&browser, "21.9");
    browser.run(open, json!([true]));
    for state in ["dimmed once", "dimmed twice", "dimmed three times"] {
        browser.click("dimmer");
        check(state);
    }
    browser.click("cover");
    check("covered");
    browser.hold("uncover", 1500);
    for _ in 0..3 {
        browser.click("brighter");
    }
    browser.run(open, json!([false]));
    pass(&browser, 900);
    check("over the time");
    browser.hold("stop", 1500);
    check("after development");
    for _ in 0..10 {
        browser.click("step");
    }
    assert!(browser.is_seen("end"));
    check("finished");
    desk.run(&["bath", "discard", "data/bath.csv", "--date", "2026-11-18"]);
    let args = ["bench", "pairing.toml", "--bath", "data/bath.csv", "--date", "2026-11-18"];
    assert_eq!(desk.run(&[&args[..], &["--out", "none.html"]].concat()).0, 1);
    browser.open(&desk.path().join("none.html"));
    check("without a time");
}

#[test]
fn a_class_night_at_the_bench_holds_to_wcag() {
    let what = "contrast and labels of a class night";
    let Some(axe) = axe(what) else { return };
    let desk = page(&["--plan", "data/class-night.toml", "--date", "2026-11-17"]);
    let Some(browser) = opened(&desk, what, 360, 740) else { return };
    for tank in 1..=3 {
        holds(&browser, &axe, &format!("tank {tank}, before the start"));
        crate::night::develop(&browser);
        holds(&browser, &axe, &format!("tank {tank}, finished"));
        if tank < 3 {
            browser.click("next");
        }
    }
}

#[test]
fn the_page_that_needs_nothing_installed_holds_to_wcag() {
    let what = "contrast and labels of the page that needs nothing installed";
    let Some(axe) = axe(what) else { return };
    let Some(browser) = crate::page::page(what, 360, 740) else { return };
    filled(&browser);
    for (width, looks) in [(360, &["light", "dark", "red"][..]), (1280, &["light"])] {
        browser.resize(width, 800);
        for screen in SCREENS {
            crate::page::go(&browser, screen);
            answered(&browser, screen);
            let open =
                "document.querySelectorAll('details').forEach((d) => { d.open = arguments[0]; });";
            browser.run(open, json!([width > 360]));
            for look in looks {
                browser.click(&format!("scheme-{look}"));
                holds(&browser, &axe, &format!("page: {screen}, {width}, {look}"));
            }
        }
    }
}

#[test]
fn the_report_holds_to_wcag() {
    let what = "contrast and labels of the report";
    let Some(axe) = axe(what) else { return };
    let Some(browser) = browser(what, 800, 1000) else { return };
    let desk = Desk::with_pairing();
    let (bath, paper, strip) = (data("bath.csv"), data("paper.csv"), data("strip.csv"));
    let args = ["report", "pairing.toml", &bath, &paper, &strip, "--date", "2026-11-17"];
    assert_eq!(desk.run(&[&args[..], &["--out", "all.html"]].concat()).0, 0);
    for (scheme, width) in [("light", 800), ("dark", 800), ("dark", 360)] {
        browser.media("screen", scheme);
        browser.resize(width, 1000);
        browser.open(&desk.path().join("all.html"));
        crate::report::lay_out_all(&browser);
        holds(&browser, &axe, &format!("{scheme}, {width}"));
        let open = "document.querySelectorAll('details').forEach((d) => { d.open = true; });";
        browser.run(open, json!([]));
        holds(&browser, &axe, &format!("{scheme}, {width}, all open"));
    }
}
