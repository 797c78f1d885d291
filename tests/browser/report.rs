//! The report in a browser: nothing leaves it, it is read without a script, and what is read out of a figure is
//! what the command writes.

use crate::desk::{Desk, data};
use crate::driver::{Browser, browser};
use html5ever::driver::ParseOpts;
use html5ever::tendril::TendrilSink;
use html5ever::tokenizer::TokenizerOpts;
use markup5ever_rcdom::RcDom;
use serde_json::{Value, json};

const DAY: [&str; 2] = ["--date", "2026-11-17"];

/// A report of two pairings, a bath, a paper and a strip.
pub fn report() -> Desk {
    Desk::with_report()
}

fn opened(desk: &Desk, name: &str, what: &str, width: u32) -> Option<Browser> {
    let browser = browser(what, width, 900)?;
    browser.open(&desk.path().join(name));
    Some(browser)
}

/// Lays out also what is far below the screen, which a browser else leaves until it comes near.
pub fn lay_out_all(browser: &Browser) {
    let script = "document.querySelectorAll('main > section').forEach((s) => { s.style.contentVisibility = 'visible'; });";
    browser.run(script, json!([]));
}

/// What a strict parser of HTML complains of, and names that stand twice.
fn faults(html: &str) -> Vec<String> {
    let opts = ParseOpts {
        tokenizer: TokenizerOpts { exact_errors: true, ..TokenizerOpts::default() },
        ..ParseOpts::default()
    };
    let dom = html5ever::parse_document(RcDom::default(), opts).one(html);
    let mut faults: Vec<String> = dom.errors.borrow().iter().map(ToString::to_string).collect();
    let mut names: Vec<&str> =
        html.split(" id=\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    names.sort_unstable();
    let twice = names.windows(2).filter(|pair| pair[0] == pair[1]);
    faults.extend(twice.map(|pair| format!("the id {} stands twice", pair[0])));
    faults
}

#[test]
fn pages_are_valid_html() {
    assert!(!faults("<p>no doctype<b></p></i>").is_empty(), "the parser finds faults");
    let desk = report();
    assert_eq!(faults(&desk.read("all.html")), Vec::<String>::new());
    desk.copy_all();
    for plan in ["data/session.toml", "data/class-night.toml"] {
        let args = ["bench", "--plan", plan, "--out", "bench.html", DAY[0], DAY[1]];
        assert_eq!(desk.run(&args).0, 0);
        assert_eq!(faults(&desk.read("bench.html")), Vec::<String>::new(), "{plan}");
    }
    desk.run(&["bath", "discard", "data/bath.csv", "--date", "2026-11-18"]);
    let args = ["bench", "pairing.toml", "--bath", "data/bath.csv", "--date", "2026-11-18"];
    assert_eq!(desk.run(&[&args[..], &["--out", "none.html"]].concat()).0, 1);
    assert_eq!(faults(&desk.read("none.html")), Vec::<String>::new());
}

#[test]
fn sizes_are_kept() {
    let desk = Desk::with_pairing();
    for (file, most) in [("pairing.toml", 600_000), (&data("bath.csv"), 2_000_000)] {
        let args = ["report", file, "--out", "one.html", DAY[0], DAY[1]];
        assert_eq!(desk.run(&args).0, 0);
        let size = desk.read("one.html").len();
        println!("{file}: {size} bytes");
        assert!(size < most, "{file}: {size}");
    }
    // That journal is of a year.
    let journal = std::fs::read_to_string(data("bath.csv")).unwrap();
    assert!(journal.contains("2025-11-18,mix") && journal.contains("2026-11-17,film"));
}

/// How long until something is seen, of both pages: printed, and held to no bound, for machines differ.
#[test]
fn first_paint_is_printed() {
    let desk = report();
    let args = ["bench", "pairing.toml", "--scene-stops", "7", "--out", "bench.html"];
    assert_eq!(desk.run(&args).0, 0);
    let Some(browser) = browser("the first paint", 360, 740) else { return };
    for page in ["bench.html", "all.html"] {
        let mut times: Vec<f64> = Vec::new();
        for _ in 0..10 {
            browser.open(&desk.path().join(page));
            let paint = browser.wait(
                "const done = arguments[0];
                 new PerformanceObserver((list) => done(list.getEntries()[0].startTime)).observe({ type: 'paint', buffered: true });",
                json!([]),
            );
            times.push(paint.as_f64().unwrap());
        }
        times.sort_by(f64::total_cmp);
        let (least, median, most) = (times[0], times[5], times[9]);
        println!("{page}: first paint after {median:.0} ms ({least:.0} to {most:.0}, 10 runs)");
    }
}

#[test]
fn nothing_leaves_the_report_and_it_fits_the_screen() {
    let desk = report();
    // Names of files are as long as their users like.
    let folder = "records_of_the_evening_class_darkroom_in_the_second_year_of_its_baths";
    desk.write(&format!("{folder}/bath.csv"), &std::fs::read_to_string(data("bath.csv")).unwrap());
    desk.write(
        &format!("{folder}/strip.csv"),
        &std::fs::read_to_string(data("strip.csv")).unwrap(),
    );
    let (bath, strip) = (format!("{folder}/bath.csv"), format!("{folder}/strip.csv"));
    let files = ["report", "pairing.toml", "other.toml", &bath, &data("paper.csv"), &strip];
    assert_eq!(desk.run(&[&files[..], &["--out", "all.html"], &DAY].concat()).0, 0);
    let Some(browser) = opened(&desk, "all.html", "the report", 360) else { return };
    lay_out_all(&browser);
    for width in [320, 360, 768, 1280] {
        browser.resize(width, 900);
        for scheme in ["light", "dark"] {
            browser.media("screen", scheme);
            for open in [true, false] {
                let script = "document.querySelectorAll('details').forEach((d) => { d.open = arguments[0]; });
                    return document.documentElement.scrollWidth - innerWidth;";
                let wide = browser.run(script, json!([open]));
                assert!(wide.as_f64().unwrap() <= 0.0, "{width} {scheme}: {wide}");
            }
            let colour = browser.get("getComputedStyle(document.body).backgroundColor");
            assert_eq!(colour == "rgb(255, 255, 255)", scheme == "light", "{scheme}: {colour}");
            crate::bench::shot(&browser, &format!("report-{width}-{scheme}"));
        }
    }
    let addresses = browser.requests();
    let other: Vec<&String> = addresses.iter().filter(|a| !a.ends_with("/all.html")).collect();
    assert!(!addresses.is_empty() && other.is_empty(), "{other:?}");
    assert_eq!(browser.complaints(), Vec::<String>::new());
    // Several pairings stand in one table and in one figure.
    let compared = browser.get(
        "[...document.querySelectorAll('section')].filter((s) => s.querySelector('h2').textContent.startsWith('Pairings compared'))
         .map((s) => [s.querySelectorAll('table').length, s.querySelectorAll('tbody tr').length, s.querySelectorAll('figure').length])",
    );
    assert_eq!(compared, json!([[1, 2, 1]]));
}

#[test]
fn without_a_script_all_is_there() {
    let desk = report();
    let Some(browser) = browser("the report without a script", 800, 900) else { return };
    browser.scripts(false);
    browser.open(&desk.path().join("all.html"));
    lay_out_all(&browser);
    let hidden = browser.get(
        "[...document.querySelectorAll('td, dd, li, p, h2, h3, dt')].filter((e) => !e.checkVisibility()).length",
    );
    assert_eq!(hidden, 0);
    let words = browser.get("document.body.innerText");
    for number in
        ["12:30", "0.615", "15:30", "Definitions and sources", "log exposure", "safety sheets"]
    {
        assert!(words.as_str().unwrap().contains(number), "{number}");
    }
    // What only a script can do is not offered.
    assert_eq!(browser.get("[...document.querySelectorAll('input, select')].filter((e) => e.checkVisibility()).length"), 0);
}

/// The rows of the curve that the command writes: log exposure, density, its interval, slope.
fn curve(desk: &Desk) -> Vec<[f64; 5]> {
    let args = ["curve", &data("strip.csv"), "--csv", "curve.csv"];
    assert_eq!(desk.run(&args).0, 0);
    let rows = desk.read("curve.csv");
    let row = |line: &str| {
        let cells: Vec<f64> = line.split(',').skip(1).map(|cell| cell.parse().unwrap()).collect();
        <[f64; 5]>::try_from(cells).unwrap()
    };
    rows.lines().skip(1).map(row).collect()
}

/// Numbers of what is read out.
fn numbers(words: &str) -> Vec<f64> {
    let plain = words.replace('−', "-");
    let number = |c: char| c.is_ascii_digit() || c == '.' || c == '-';
    let words = plain.split(|c: char| !number(c));
    words.filter_map(|word| word.trim_end_matches('.').parse().ok()).collect()
}

fn held(read: &str, rows: &[[f64; 5]]) {
    let read = numbers(read);
    assert_eq!(read.len(), 5, "{read:?}");
    let near = |row: &&[f64; 5]| (row[0] - read[0]).abs() < 0.006;
    let row = rows.iter().find(near).unwrap_or_else(|| panic!("{read:?}"));
    for (read, written) in read.iter().zip(row) {
        // Half of the last decimal that is shown, and of that of the file.
        assert!((read - written).abs() <= 0.005 + 0.00006, "{read} {written}: {row:?}");
    }
}

#[test]
fn what_is_read_out_is_what_the_command_writes() {
    let desk = Desk::empty();
    let strip = data("strip.csv");
    assert_eq!(desk.run(&["report", &strip, "--out", "one.html"]).0, 0);
    let rows = curve(&desk);
    let Some(browser) = opened(&desk, "one.html", "reading out a curve", 768) else { return };
    let said = || browser.get("document.querySelector('.readout output').textContent");
    // By the keyboard: Tab to the slider, then the arrows.
    let mut found = false;
    for _ in 0..30 {
        browser.key("\u{e004}", 0);
        if browser.get("document.activeElement.id") == "place-0" {
            found = true;
            break;
        }
    }
    assert!(found, "the slider is not reached by the keyboard");
    let mut before = Value::Null;
    for _ in 0..12 {
        for _ in 0..5 {
            browser.key("\u{e014}", 0);
        }
        let now = said();
        assert_ne!(now, before);
        held(now.as_str().unwrap(), &rows);
        let value = browser.get("document.activeElement.getAttribute('aria-valuetext')");
        assert_eq!(value, now, "a screen reader says the same");
        before = now;
    }
    // By touch.
    for share in [0.1, 0.5, 0.9] {
        browser.touch("place-0", share);
        let now = said();
        assert_ne!(now, before, "touched at {share}");
        held(now.as_str().unwrap(), &rows);
        before = now;
    }
    // The table beside it has the same numbers.
    browser.run("document.querySelector('details').open = true;", json!([]));
    let table =
        browser.get("[...document.querySelectorAll('details tbody tr')].map((r) => r.innerText)");
    for row in table.as_array().unwrap() {
        held(row.as_str().unwrap(), &rows);
    }
    assert_eq!(browser.complaints(), Vec::<String>::new());
}

#[test]
fn the_keyboard_reaches_all_and_is_seen() {
    let desk = report();
    let Some(browser) = opened(&desk, "all.html", "the report by the keyboard", 768) else {
        return;
    };
    let wanted = browser.get(
        "[...document.querySelectorAll('summary, select, input, [tabindex]')].filter((e) => e.checkVisibility()).length",
    );
    let wanted = wanted.as_u64().unwrap();
    let mut seen = 0;
    for _ in 0..wanted {
        browser.key("\u{e004}", 0);
        let outline = browser.get(
            "(() => { const s = getComputedStyle(document.activeElement); const r = document.activeElement.getBoundingClientRect();
              return document.activeElement !== document.body && s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 2
                && r.bottom > 0 && r.top < innerHeight; })()",
        );
        assert_eq!(
            outline,
            true,
            "{}",
            browser.get("document.activeElement.outerHTML.slice(0, 120)")
        );
        seen += 1;
    }
    assert!(seen > 10, "{seen}");
    // A fold opens by the keyboard.
    browser.run("document.querySelector('footer summary').focus();", json!([]));
    browser.key("\u{e007}", 0);
    assert_eq!(browser.get("document.querySelector('footer details').open"), true);
}

#[test]
fn hostile_names_are_shown_and_never_run() {
    let bad = "</script><script>window.ran=1</script>\"'&<img src=x onerror=window.ran=1>\u{2028}\u{202e}{script}";
    let desk = Desk::empty();
    desk.copy_all();
    let quoted = format!("\"{}\"", bad.replace('"', "\"\""));
    for (from, to) in
        [("strip.csv", "strip.csv"), ("family.csv", "family.csv"), ("paper.csv", "paper.csv")]
    {
        let text = std::fs::read_to_string(data(from)).unwrap();
        let text = text.replace("Larkfold", &quoted).replace("Quillback 1+6", &quoted);
        desk.write(to, &text.replace("Stillwater Gloss", &quoted));
    }
    let args = [
        "calibrate",
        "family.csv",
        "--log-exposure-clear",
        "0",
        "--out",
        "pairing.toml",
        "--name",
        bad,
    ];
    let (status, _, err) = desk.run(&args);
    assert_eq!(status, 0, "{err}");
    let journal = std::fs::read_to_string(data("bath.csv")).unwrap();
    desk.write("bath.csv", &journal.replace("Quillback 1+6", &quoted));
    let args = ["report", "pairing.toml", "bath.csv", "strip.csv", "paper.csv", "--title", bad];
    let (status, _, err) = desk.run(&[&args[..], &["--out", "bad.html"], &DAY].concat());
    assert_eq!(status, 0, "{err}");
    assert_eq!(faults(&desk.read("bad.html")), Vec::<String>::new());
    let Some(browser) = opened(&desk, "bad.html", "hostile names in the report", 768) else {
        return;
    };
    lay_out_all(&browser);
    assert_eq!(browser.get("window.ran === undefined"), true);
    assert_eq!(browser.get("document.querySelectorAll('img, [onerror]').length"), 0);
    let title = browser.get("document.querySelector('h1').textContent");
    assert!(
        title.as_str().unwrap().starts_with("</script><script>window.ran=1</script>\"'&<img"),
        "{title}"
    );
    // Marks that turn the direction of what follows are shown, not obeyed.
    let turns =
        browser.get("/[\\u202a-\\u202e\\u2066-\\u2069]/.test(document.documentElement.outerHTML)");
    assert_eq!(turns, false);
    let shown =
        browser.get("document.body.innerText.split('<script>window.ran=1</script>').length");
    assert!(shown.as_u64().unwrap() > 6, "{shown}: shown in each part");
    // In the list of curves, and read out.
    let named = browser.get("document.querySelector('select option').textContent");
    assert!(!named.as_str().unwrap().is_empty());
    assert_eq!(browser.complaints(), Vec::<String>::new());
}
