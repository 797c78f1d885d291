//! The page's folder: names that would act, two windows, damaged files, a program that stops.

use crate::desk::{Desk, data};
use crate::driver::Browser;
use crate::page::{
    ask, drawn, file, files, give, go, names, page, press, quiet, ready, reload, shot,
    wait_for_file,
};
use serde_json::json;
use std::path::PathBuf;

const HOSTILE: [&str; 4] = [
    "<script>window.acted = 1;</script>",
    "\"'><img src=x onerror=acted=1>",
    "a\u{2028}b\u{202e}c",
    "--json",
];

fn seven_readings(browser: &Browser, last: &str) {
    for (row, density) in
        ["0,29", "0,29", "0,30", "0,32", "0,36", "0,42", "0,50", last].iter().enumerate()
    {
        browser.type_into(&format!("cell-{row}-0"), density);
    }
}

#[test]
fn names_that_would_act_are_shown_and_not_run() {
    let Some(browser) = page("hostile names in the page", 768, 1024) else { return };
    browser.run("window.acted = 0;", json!([]));
    let open = "document.querySelectorAll('details').forEach((d) => { d.open = true; });";
    for (n, name) in HOSTILE.iter().enumerate() {
        browser.run(open, json!([]));
        for field in ["f-film", "f-developer", "f-note"] {
            browser.choose(field, name);
        }
        browser.choose("f-name", name);
        for (field, value) in [("f-minutes", "9"), ("f-celsius", "20")] {
            browser.choose(field, value);
        }
        seven_readings(&browser, "0,60");
        browser.until("document.querySelector('#strip-answer h3, #strip-answer h2') && document.getElementById('strip-kept').textContent !== ''");
        let strips =
            |names: Vec<String>| names.iter().filter(|name| name.starts_with("strips/")).count();
        for _ in 0..100 {
            if strips(names(&browser)) > n {
                break;
            }
            std::thread::sleep(std::time::Duration::from_millis(100));
        }
        assert_eq!(strips(names(&browser)), n + 1, "{name}: {:?}", names(&browser));
        if n == 0 {
            let text = browser.get("document.querySelector('#strip-answer').textContent");
            assert!(text.as_str().unwrap().contains(name), "{text}");
            shot(&browser, "page-hostile");
        }
        press(&browser, "next-strip");
        browser.until("document.getElementById('main').dataset.done === 'true' && document.getElementById('cell-0-0')?.value === ''");
    }
    for screen in ["pairing", "files", "control", "report", "evenness", "paper", "bath", "today"] {
        go(&browser, screen);
        assert_eq!(
            browser.get("document.querySelectorAll('main script, main img').length"),
            0,
            "{screen}"
        );
    }
    go(&browser, "bath");
    for (field, value) in
        [("f-newLitres", "5"), ("f-newDeveloper", HOSTILE[0]), ("f-name", HOSTILE[0])]
    {
        browser.choose(field, value);
    }
    browser.run(open, json!([]));
    press(&browser, "mix");
    browser.until("document.getElementById('f-bath')");
    assert!(
        browser.text("bath-answer").contains(HOSTILE[0])
            || browser.text("main").contains("<script>")
    );
    assert_eq!(browser.get("window.acted"), 0);
    quiet(&browser);
}

#[test]
fn two_windows_do_not_overwrite_each_other() {
    let Some(browser) = page("two windows of the page", 768, 1024) else { return };
    let (one, two) = (browser.window(), browser.new_window());
    browser.to_window(&two);
    browser.open(&file());
    ready(&browser);
    // Both begin a strip of the same name.
    for (window, last) in [(&one, "0,60"), (&two, "0,61")] {
        browser.to_window(window);
        browser.choose("f-name", "same");
        seven_readings(&browser, last);
        browser.until(
            "document.getElementById('strip-kept').textContent.startsWith('Kept as strips/same')",
        );
    }
    browser.to_window(&one);
    browser.type_into("cell-8-0", "0,70");
    browser.until("document.querySelector('#strip-answer').textContent.includes('9')");
    let text = |browser: &Browser, name: &str| {
        let all = files(browser);
        let (_, bytes) =
            all.into_iter().find(|(other, _)| other == name).unwrap_or_else(|| panic!("{name}"));
        String::from_utf8(bytes).unwrap()
    };
    for _ in 0..100 {
        if text(&browser, "strips/same.csv").contains("0.70") {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(100));
    }
    let (first, second) = (text(&browser, "strips/same.csv"), text(&browser, "strips/same-2.csv"));
    assert!(first.contains("0.60") && first.contains("0.70") && !first.contains("0.61"), "{first}");
    assert!(second.contains("0.61") && !second.contains("0.60"), "{second}");
    // Both enter films into one journal, turn by turn; every entry is there.
    for window in [&one, &two] {
        browser.to_window(window);
        go(&browser, "bath");
    }
    browser.choose("f-newLitres", "5");
    browser.choose("f-newDeveloper", "Quillback");
    press(&browser, "mix");
    wait_for_file(&browser, "bath.csv");
    browser.to_window(&one);
    reload(&browser, "bath");
    browser.until("document.getElementById('f-bath')");
    for (n, window) in [&one, &two, &one, &two].iter().enumerate() {
        browser.to_window(window);
        browser.until("document.getElementById('f-rolls')");
        browser.choose("f-rolls", &(n + 1).to_string());
        press(&browser, "enter");
        browser.until("document.querySelector('#bath-entered .answer') && document.getElementById('f-rolls').value === ''");
        browser.run("document.getElementById('bath-entered').replaceChildren();", json!([]));
    }
    let journal = text(&browser, "bath.csv");
    for n in 1..=4 {
        assert!(
            journal.contains(&format!("{n} × 135-36")) || journal.contains(&format!(",{n},")),
            "{n}: {journal}"
        );
    }
    quiet(&browser);
}

/// The device keeps nothing more.
const FULL: &str = "IDBObjectStore.prototype.put = () => { throw new DOMException('full', 'QuotaExceededError'); };";

#[test]
fn what_the_device_does_not_keep_is_said_where_it_was_asked() {
    let Some(browser) = page("a device that is full", 360, 740) else { return };
    let before = names(&browser);
    browser.run(FULL, json!([]));
    go(&browser, "bath");
    for (field, value) in [("f-newLitres", "5"), ("f-newDeveloper", "Quillback")] {
        browser.choose(field, value);
    }
    press(&browser, "mix");
    browser.until("document.querySelector('#bath-entered .refusal')");
    assert!(browser.text("bath-entered").contains("no room left"));
    // No word of the command helps against that.
    std::thread::sleep(std::time::Duration::from_millis(500));
    assert_eq!(browser.get("document.querySelectorAll('#bath-entered .ways button').length"), 0);
    assert_eq!(browser.get("document.getElementById('f-newLitres').value"), "5");
    go(&browser, "line");
    browser.choose("f-line", "bath mix b.csv --litres 5");
    press(&browser, "ask-line");
    browser.until("document.querySelector('#line-answer [role=alert]')");
    assert!(browser.text("line-answer").contains("no room left"));
    go(&browser, "evenness");
    browser.run("const cell = document.querySelector('#map input'); cell.value = '0.8'; cell.dispatchEvent(new Event('input', { bubbles: true }));", json!([]));
    press(&browser, "keep-evenness");
    browser.until("document.getElementById('said').textContent.includes('no room left')");
    assert_eq!(names(&browser), before);
}

/// The same damage in each run: a step of a linear congruence.
struct Dice(u64);

impl Dice {
    fn below(&mut self, bound: usize) -> usize {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % bound
    }
}

/// A file of the demonstration, damaged in one of several ways.
fn damaged(dice: &mut Dice, n: usize) -> (String, Vec<u8>) {
    const WHOLE: [&str; 8] = [
        "strip.csv",
        "strip.ods",
        "family.csv",
        "bath.csv",
        "paper.csv",
        "session.toml",
        "evenness.csv",
        "proof-strip.csv",
    ];
    let name = WHOLE[dice.below(WHOLE.len())];
    let mut bytes = std::fs::read(data(name)).unwrap();
    match dice.below(5) {
        0 => bytes.truncate(dice.below(bytes.len())),
        1 => (0..20).for_each(|_| {
            let at = dice.below(bytes.len());
            bytes[at] = dice.below(256) as u8;
        }),
        2 => bytes = (0..dice.below(4000)).map(|_| dice.below(256) as u8).collect(),
        3 => {
            let at = dice.below(bytes.len());
            bytes.splice(at..at, vec![b'"'; 3]);
        }
        _ => bytes = [&b"PK\x03\x04"[..], &bytes[..bytes.len() / 2]].concat(),
    }
    let (stem, end) = name.split_once('.').unwrap();
    let end = if dice.below(6) == 0 { "zip" } else { end };
    (format!("{n}-{stem}.{end}"), bytes)
}

#[test]
fn damaged_files_give_an_error_each_and_nothing_is_lost() {
    let Some(browser) = page("damaged files in the page", 768, 1024) else { return };
    let count: usize = std::env::var("WEDGEBOOK_DAMAGED").map_or(30, |n| n.parse().unwrap());
    go(&browser, "files");
    let before = files(&browser);
    let desk = Desk::empty();
    let mut dice = Dice(17);
    let mut given: Vec<(PathBuf, Vec<u8>)> = Vec::new();
    for n in 0..count {
        let (name, bytes) = damaged(&mut dice, n);
        desk.write_bytes(&name, &bytes);
        given.push((desk.path().join(&name), bytes));
    }
    for some in given.chunks(100) {
        let paths: Vec<PathBuf> = some.iter().map(|(path, _)| path.clone()).collect();
        browser.run("document.getElementById('taken').replaceChildren();", json!([]));
        give(&browser, "take-files", &paths);
        browser.until(&format!("document.querySelectorAll('#taken p').length >= {}", some.len()));
    }
    let after = files(&browser);
    for (name, bytes) in &before {
        assert!(after.iter().any(|one| one == &(name.clone(), bytes.clone())), "{name} is lost");
    }
    let mut refused = 0;
    for (path, bytes) in &given {
        let name = path.file_name().unwrap().to_str().unwrap();
        let Some((_, kept)) = after.iter().find(|(other, _)| other == name) else {
            refused += 1;
            continue;
        };
        assert_eq!(kept, bytes, "{name}");
        for command in ["curve", "paper", "evenness", "calibrate --out=x.toml", "bath log"] {
            let mut args: Vec<&str> = command.split(' ').collect();
            args.extend([name, "--json"]);
            let (status, out, err) = ask(&browser, &args);
            assert!((0..=2).contains(&status), "{args:?}: {status}");
            // Of several strips, one that cannot be used is an error, and the others are answered.
            assert!(status < 2 || !err.trim().is_empty(), "{args:?}: {out}");
        }
    }
    assert!(refused > 0, "no file was a damaged zip");
    quiet(&browser);
}

/// Where `stops` is set, the program ends in a state that must not be, beside the page or within it.
const STOPS: &str = "(() => {
    const [Beside, Within] = [Worker, WebAssembly.Instance];
    window.Worker = class extends Beside {
        postMessage(message) {
            if (!(window.stops && message.number)) return super.postMessage(message);
            setTimeout(() => this.onmessage({ data: { number: message.number, broken: true, message: 'unreachable' } }));
        }
    };
    WebAssembly.Instance = function (...all) {
        if (window.stops) throw Object.assign(new Error('unreachable'), { broken: true });
        return new Within(...all);
    };
})();";

#[test]
fn a_program_that_stops_says_so_and_goes_on_after_a_reload() {
    let Some(browser) = page("a program that stops", 360, 740) else { return };
    browser.command("Page.addScriptToEvaluateOnNewDocument", json!({ "source": STOPS }));
    reload(&browser, "strip");
    seven_readings(&browser, "0,60");
    browser.until("document.getElementById('strip-kept').textContent !== ''");
    let before = files(&browser);
    browser.run("window.stops = true;", json!([]));
    browser.type_into("cell-8-0", "0,70");
    browser.until("document.getElementById('save-everything')");
    assert!(browser.text("over").contains("stopped"));
    shot(&browser, "page-360-stopped");
    let saved = "window.saved = null; const make = URL.createObjectURL; URL.createObjectURL = (blob) => { saved = blob.size; return make(blob); };";
    browser.run(saved, json!([]));
    press(&browser, "save-everything");
    browser.until("saved > 1000");
    press(&browser, "load-again");
    ready(&browser);
    drawn(&browser, "strip");
    for (name, bytes) in before {
        let same = files(&browser).contains(&(name.clone(), bytes));
        assert!(same || name == "strips/strip 1.csv", "{name}");
    }
    for (cell, value) in [("cell-7-0", "0,60"), ("cell-8-0", "0,70")] {
        let kept =
            browser.run("return document.getElementById(arguments[0]).value;", json!([cell]));
        assert_eq!(kept, value);
    }
}
