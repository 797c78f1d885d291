//! The page for the bench, tapped and typed at.

use crate::desk::{Desk, data};
use crate::driver::{Browser, browser, pixels};
use serde_json::{Value, json};
use wedgebook::words::rounded_clock;

/// Keys of WebDriver.
const TAB: &str = "\u{e004}";
const ENTER: &str = "\u{e007}";

/// Makes time pass at once, for the wall clock and the monotonic one, and sets the wall clock back.
const CLOCK: &str = "(() => {
    const [wall, monotonic] = [Date.now.bind(Date), performance.now.bind(performance)];
    window.shift = [0, 0];
    Date.now = () => wall() + shift[0] - shift[1];
    performance.now = () => monotonic() + shift[0];
})();";

/// A desk with the demonstration, and the page that these arguments make.
pub fn page(args: &[&str]) -> Desk {
    let desk = Desk::with_pairing();
    desk.copy_all();
    let (status, _, err) = desk.run(&[&["bench"][..], args, &["--out", "bench.html"]].concat());
    assert_eq!(status, 0, "{err}");
    desk
}

/// The page in a browser whose time can be made to pass.
pub fn opened(desk: &Desk, what: &str, width: u32, height: u32) -> Option<Browser> {
    let browser = browser(what, width, height)?;
    browser.command("Page.addScriptToEvaluateOnNewDocument", json!({ "source": CLOCK }));
    browser.open(&desk.path().join("bench.html"));
    Some(browser)
}

/// Keeps what is seen for somebody to look at, where `WEDGEBOOK_SHOTS` names a folder.
pub fn shot(browser: &Browser, name: &str) {
    if let Ok(folder) = std::env::var("WEDGEBOOK_SHOTS") {
        std::fs::write(format!("{folder}/{name}.png"), browser.screenshot()).unwrap();
    }
}

pub fn pass(browser: &Browser, seconds: u32) {
    browser.run("shift[0] += arguments[0]; render(); showEnd();", json!([1000 * seconds]));
}

/// Loads the page again; time is not set back by that.
pub fn reload(browser: &Browser) {
    let source = format!("window.shift = {};", browser.get("shift"));
    browser.command("Page.addScriptToEvaluateOnNewDocument", json!({ "source": source }));
    browser.reload();
}

/// Seconds of a clock's figures.
pub fn seconds(figures: &str) -> i64 {
    let (minutes, seconds) = figures.trim_start_matches('+').split_once(':').unwrap();
    60 * minutes.parse::<i64>().unwrap() + seconds.parse::<i64>().unwrap()
}

pub fn enter(browser: &Browser, temperature: &str) {
    browser.type_into("celsius", temperature);
    browser.click("enter");
}

pub fn quiet(browser: &Browser) {
    assert_eq!(browser.complaints(), Vec::<String>::new());
}

const CHANGED: [&str; 5] = ["pairing.toml", "--contrast", "0.56", "-t", "21.5"];

#[test]
fn the_timer_follows_a_drifting_temperature_as_drift_does() {
    let desk = page(&CHANGED);
    let Some(browser) = opened(&desk, "the timer with a drifting temperature", 360, 740) else {
        return;
    };
    let adjust =
        desk.json(&["adjust", "pairing.toml", "--contrast", "0.56", "-t", "21.5", "--json"]);
    let minutes = adjust["minutes"]["value"].as_f64().unwrap();
    let figures = |browser: &Browser| seconds(&browser.text("figures"));
    // Before the start the page says the time and its interval as the command does, rounded.
    let rounded = |end: &str| rounded_clock(adjust["minutes"][end].as_f64().unwrap());
    assert_eq!(browser.text("figures"), rounded("value"));
    let (low, high) = (rounded("low"), rounded("high"));
    let said = format!("{} (95 %: {low} to {high})", rounded("value"));
    assert!(browser.text("interval").ends_with(&said), "{}", browser.text("interval"));
    let args = ["adjust", "pairing.toml", "--contrast", "0.56", "-t", "21.5"];
    let (_, words, _) = desk.run(&args);
    assert!(words.contains(&format!("{} ({low} to {high})", rounded("value"))), "{words}");
    // Then it counts down to the second.
    browser.click("start");
    let left = (60.0 * minutes).round() as i64 - figures(&browser);
    assert!((0..=5).contains(&left), "{left}");
    let out = browser.text("interval");
    let end = out.strip_prefix("out of the bath at ").unwrap().split(' ').next().unwrap();
    assert!((seconds(end) - (60.0 * minutes).round() as i64).abs() <= 1, "{out}");
    pass(&browser, 120);
    enter(&browser, "21,2");
    pass(&browser, 120);
    let before = figures(&browser);
    enter(&browser, "20.6");
    let change = browser.text("change");
    assert!(change.starts_with("+0:") && figures(&browser) > before, "{change}");
    pass(&browser, 30);
    // Taps that follow each other are one reading.
    for _ in 0..3 {
        browser.click("more");
    }
    assert_eq!(browser.text("now-celsius"), "20.9 °C");
    let readings = browser.get("state.readings");
    assert_eq!(readings.as_array().unwrap().len(), 4, "{readings}");
    pass(&browser, 60);
    browser.click("undo");
    assert_eq!(browser.text("now-celsius"), "20.6 °C");
    enter(&browser, "20.5");
    // What the page says is what drift says of its log.
    let left = browser.get("timeLeft(answer, state, clock.now()).takeOut");
    let kept = browser.get("logAsCsv(state.readings)");
    desk.write("log.csv", kept.as_str().unwrap());
    let drift = desk.json(&["drift", "pairing.toml", "log.csv", "--contrast", "0.56", "--json"]);
    for end in ["value", "low", "high"] {
        let (page, drift) = (&left[end], &drift["take_out_minutes"][end]);
        assert!((page.as_f64().unwrap() - drift.as_f64().unwrap()).abs() < 1e-9, "{page} {drift}");
    }
    // On to the end, and over it; the end is heard once.
    browser.run("window.ends = 0; sound.end = () => { ends += 1; };", json!([]));
    pass(&browser, (figures(&browser) + 12) as u32);
    assert_eq!(browser.text("label"), "over by");
    assert!(browser.text("figures").starts_with("+0:1"), "{}", browser.text("figures"));
    assert_eq!(browser.get("ends"), 1);
    // A tap does not end it; holding does.
    browser.click("stop");
    assert_eq!(browser.get("state.stopped"), Value::Null);
    browser.hold("stop", 1500);
    assert!(browser.is_seen("end"));
    let log = browser.get("document.getElementById('log').value");
    desk.write("end.csv", log.as_str().unwrap());
    let (status, out, err) = desk.run(&["drift", "pairing.toml", "end.csv", "--contrast", "0.56"]);
    assert_eq!(status, 1, "over: {out}{err}");
    assert!(out.contains("too much by"), "{out}");
    let link =
        "const link = document.querySelector('#log-files a'); link.click(); return link.href;";
    assert!(browser.run(link, json!([])).as_str().unwrap().starts_with("blob:"));
    quiet(&browser);
}

#[test]
fn agitation_beats_from_the_start_and_a_temperature_does_not_move_it() {
    let desk = page(&CHANGED);
    let Some(browser) = opened(&desk, "the beats of agitation", 360, 740) else { return };
    browser.click("start");
    let on = |seconds: u32| {
        let script = "return beatAt(state.settings, 1000 * arguments[0]).on;";
        browser.run(script, json!([seconds])) == true
    };
    // 30 s at first, then 10 s in every minute.
    let agitated: Vec<u32> = (0..200).filter(|s| on(*s)).collect();
    let expected: Vec<u32> = (0..30).chain(60..70).chain(120..130).chain(180..190).collect();
    assert_eq!(agitated, expected);
    let listen = "window.tones = []; sound.agitate = () => tones.push('agitate'); sound.rest = () => tones.push('rest');
        state.started = clock.now(); heard = { on: null, second: null }; render();";
    browser.run(listen, json!([]));
    pass(&browser, 35);
    assert_eq!(browser.text("beat"), "rest");
    pass(&browser, 26);
    assert_eq!(browser.text("beat"), "agitate");
    enter(&browser, "20.9");
    assert_eq!(browser.text("beat"), "agitate");
    pass(&browser, 12);
    assert_eq!(browser.text("beat"), "rest");
    assert_eq!(browser.get("tones"), json!(["rest", "agitate", "rest"]));
    // Settings are kept to what they can be.
    let open = "document.querySelectorAll('details').forEach((d) => { d.open = true; });";
    browser.run(open, json!([]));
    for (id, typed, kept) in [("drain", "15", "15"), ("each", "-5", "10"), ("every", "x", "60")] {
        browser.run("document.getElementById(arguments[0]).value = '';", json!([id]));
        browser.type_into(id, typed);
        browser.run("document.activeElement.blur();", json!([]));
        let value = browser.run("return document.getElementById(arguments[0]).value;", json!([id]));
        assert_eq!(value, kept, "{id}");
    }
    assert_eq!(browser.text("label"), "until draining");
    quiet(&browser);
}

#[test]
fn a_reload_goes_on_where_it_was() {
    let desk = page(&CHANGED);
    let Some(browser) = opened(&desk, "a reload of the timer", 360, 740) else { return };
    browser.click("start");
    pass(&browser, 200);
    enter(&browser, "21.0");
    let state = browser.get("JSON.stringify(state)");
    let before = seconds(&browser.text("figures"));
    reload(&browser);
    let after = seconds(&browser.text("figures"));
    assert!((0..=5).contains(&(before - after)), "{before} {after}");
    assert_eq!(browser.get("JSON.stringify(state)"), state);
    // A clock that is set back by an hour changes nothing.
    browser.run("shift[1] += 3600000; render();", json!([]));
    let set_back = seconds(&browser.text("figures"));
    assert!((0..=5).contains(&(after - set_back)), "{after} {set_back}");
    assert!(browser.text("clock-moved").contains("3600 s back"));
    browser.click("more");
    reload(&browser);
    let again = seconds(&browser.text("figures"));
    assert!((again - set_back).abs() < 15, "{set_back} {again}");
    // What was kept by something else is not taken.
    browser.run("localStorage.setItem(storageKey, '{\"version\":1,\"readings\":7}');", json!([]));
    reload(&browser);
    assert_eq!(browser.text("label"), "develop for");
    quiet(&browser);
}

#[test]
fn a_jump_asks_and_what_is_no_temperature_is_refused() {
    let desk = page(&CHANGED);
    let Some(browser) = opened(&desk, "what is mistyped", 360, 740) else { return };
    browser.click("start");
    pass(&browser, 60);
    enter(&browser, "25.1");
    shot(&browser, "bench-ask");
    assert!(browser.text("ask-text").contains("3.6 °C from the last"));
    browser.click("ask-no");
    assert_eq!(browser.text("now-celsius"), "21.5 °C");
    enter(&browser, "24.5");
    assert_eq!(browser.text("now-celsius"), "24.5 °C", "three degrees are none");
    pass(&browser, 60);
    enter(&browser, "20");
    browser.click("ask-yes");
    assert_eq!(browser.text("now-celsius"), "20.0 °C");
    for text in ["x", "2 1", "99", "-3", ""] {
        browser.run("document.getElementById('celsius').value = '';", json!([]));
        if !text.is_empty() {
            browser.type_into("celsius", text);
        }
        browser.click("enter");
        assert!(browser.is_seen("not-taken"), "{text}");
    }
    browser.run("document.getElementById('celsius').value = '';", json!([]));
    enter(&browser, "68F");
    assert!(!browser.is_seen("not-taken"));
    quiet(&browser);
}

/// How many pixels of the screen are neither black nor red.
pub fn light_pixels(browser: &Browser) -> usize {
    let (_, _, samples, bytes) = pixels(&browser.screenshot());
    bytes.chunks(samples).filter(|p| p[1] > 24 || p[2] > 24).count()
}

#[test]
fn it_is_dark_from_the_first_paint_on() {
    let desk = page(&["--plan", "data/session.toml", "--date", "2026-11-17"]);
    let html = desk.read("bench.html");
    // What is there when no more than the style has come.
    let (head, _) = html.split_once("</style>").unwrap();
    desk.write("head.html", &format!("{head}</style>"));
    let Some(browser) = opened(&desk, "the dark page", 360, 740) else { return };
    let dark = |what: &str| {
        assert_eq!(light_pixels(&browser), 0, "{what}: pixels that are neither black nor red");
        let (_, _, samples, bytes) = pixels(&browser.screenshot());
        bytes.chunks(samples).map(|p| p[0]).max().unwrap()
    };
    assert_eq!(dark("begun"), 255);
    shot(&browser, "bench-begun");
    browser
        .run("document.querySelectorAll('details').forEach((d) => { d.open = true; });", json!([]));
    for y in 0..8 {
        browser.run("window.scrollTo(0, 600 * arguments[0]);", json!([y]));
        dark("settings");
    }
    // Each dimmer setting is.
    let mut before = 256;
    for _ in 0..4 {
        browser.run("window.scrollTo(0, 0);", json!([]));
        let brightest = i32::from(dark("dimmer"));
        assert!(brightest < before, "{brightest} {before}");
        before = brightest;
        browser.click("dimmer");
    }
    browser.click("cover");
    assert!(dark("covered") < 0x40);
    browser.hold("uncover", 1500);
    assert_eq!(browser.get("document.getElementById('covered').hidden"), true);
    quiet(&browser);
    browser.open(&desk.path().join("head.html"));
    assert_eq!(dark("the style alone"), 0);
}

/// Controls that are seen and smaller than a wet finger: 18 of 100 of the width, or as high as fits.
pub fn small(browser: &Browser) -> Value {
    browser.get(
        "[...document.querySelectorAll('button, a.button, summary, input')].filter((e) => e.offsetParent !== null)
             .map((e) => [e.id, e.getBoundingClientRect()])
             .filter(([, r]) => r.width < 0.179 * innerWidth || r.height < Math.min(0.179 * innerWidth, (innerWidth < 1.25 * innerHeight ? 0.219 : 0.159) * innerHeight))
             .map(([id, r]) => `${id} ${r.width} ${r.height}`)",
    )
}

#[test]
fn nothing_leaves_the_file_and_targets_are_large() {
    let desk = page(&["--plan", "data/session.toml", "--date", "2026-11-17"]);
    for (width, height) in [(360, 740), (768, 1024), (1280, 800)] {
        let Some(browser) = opened(&desk, "targets and requests", width, height) else { return };
        browser.run(
            "document.querySelectorAll('details').forEach((d) => { d.open = true; });",
            json!([]),
        );
        assert_eq!(small(&browser), json!([]), "{width}");
        let wide = browser.get("document.documentElement.scrollWidth - innerWidth");
        assert!(wide.as_f64().unwrap() <= 0.0, "{width}: {wide}");
        browser.click("start");
        pass(&browser, 61);
        browser.run("document.querySelectorAll('details').forEach((d) => { d.open = false; }); window.scrollTo(0, 0);", json!([]));
        shot(&browser, &format!("bench-{width}"));
        let seen = browser.get(
            "['less', 'more', 'celsius', 'enter', 'stop'].filter((id) => document.getElementById(id).getBoundingClientRect().bottom > innerHeight)",
        );
        assert_eq!(seen, json!([]), "{width}: what is needed is on the screen");
        let addresses = browser.requests();
        let other: Vec<&String> = addresses.iter().filter(|a| !a.starts_with("file://")).collect();
        assert!(!addresses.is_empty() && other.is_empty(), "{other:?}");
        let files = addresses.iter().filter(|a| !a.ends_with("/bench.html")).count();
        assert_eq!(files, 0, "{addresses:?}");
        quiet(&browser);
    }
}

#[test]
fn a_session_is_ticked_off_batch_after_batch() {
    let desk = page(&["--plan", "data/session.toml", "--date", "2026-11-17"]);
    let Some(browser) = opened(&desk, "a session at the bench", 768, 1024) else { return };
    assert!(browser.text("standing").contains("correct by time"));
    for batch in 1..=2 {
        assert!(browser.text("batch").starts_with(&format!("batch {batch} of 2")));
        browser.click("start");
        pass(&browser, 700);
        browser.hold("stop", 1500);
        for step in ["stop", "fix", "wash", "wetting agent", "dry"] {
            assert_eq!(browser.text("step"), format!("Begin: {step}"));
            browser.click("step");
            assert_eq!(browser.text("step"), format!("Done: {step}"));
            if batch == 1 && step == "fix" {
                pass(&browser, 40);
                assert!(browser.text("steps").contains("▶ fix: 1:"), "{}", browser.text("steps"));
                reload(&browser);
                assert_eq!(browser.text("step"), "Done: fix");
            }
            browser.click("step");
        }
        assert!(browser.is_seen("end"));
        for (width, height) in [(360, 740), (1280, 800), (768, 1024)] {
            browser.resize(width, height);
            assert_eq!(small(&browser), json!([]), "the end, {width}");
            let wide = browser.get("document.documentElement.scrollWidth - innerWidth");
            assert!(wide.as_f64().unwrap() <= 0.0, "{width}: {wide}");
        }
        if batch == 1 {
            browser.click("next");
        }
    }
    shot(&browser, "bench-end");
    let entry = browser.get("document.getElementById('entry').value");
    assert!(entry.as_str().unwrap().starts_with("wedgebook session data/session.toml --enter"));
    let files = "[...document.querySelectorAll('#log-files a')].map((a) => a.download)";
    assert_eq!(browser.get(files), json!(["temperatures-1.csv", "temperatures-2.csv"]));
    assert_eq!(light_pixels(&browser), 0);
    quiet(&browser);
}

#[test]
fn the_line_for_the_journal_enters_the_film() {
    let desk = page(&["pairing.toml", "--bath", "data/bath.csv", "--date", "2026-11-17"]);
    let Some(browser) = opened(&desk, "the line for the journal", 768, 1024) else { return };
    browser.click("start");
    pass(&browser, 900);
    browser.hold("stop", 1500);
    browser.run("document.getElementById('rolls').value = '';", json!([]));
    browser.type_into("rolls", "2");
    let line = browser.get("document.getElementById('entry').value");
    let line = line.as_str().unwrap();
    let (command, note) = line.split_once(" --note ").unwrap();
    let mut args: Vec<&str> = command.split(' ').skip(1).collect();
    args.extend(["--note", note.trim_matches('"')]);
    let (status, out, err) = desk.run(&args);
    assert_eq!(status, 0, "{line}: {out}{err}");
    assert!(desk.read("data/bath.csv").contains("developed 15:0"), "{out}");
    quiet(&browser);
}

/// Tab until the focus is on an element.
fn tab_to(browser: &Browser, id: &str) {
    for _ in 0..40 {
        if browser.get("document.activeElement.id") == id {
            return;
        }
        browser.key(TAB, 0);
    }
    panic!("{id} is not reached by the keyboard");
}

#[test]
fn the_keyboard_alone_is_enough() {
    let desk = page(&CHANGED);
    let Some(browser) = opened(&desk, "the keyboard alone", 1280, 800) else { return };
    tab_to(&browser, "start");
    browser.key(ENTER, 0);
    pass(&browser, 90);
    tab_to(&browser, "celsius");
    for key in ["2", "1", ".", "1", ENTER] {
        browser.key(key, 0);
    }
    assert_eq!(browser.text("now-celsius"), "21.1 °C");
    pass(&browser, 20);
    tab_to(&browser, "undo");
    browser.key("+", 0);
    assert_eq!(browser.text("now-celsius"), "21.2 °C");
    browser.key(" ", 0);
    assert_eq!(browser.text("now-celsius"), "21.1 °C");
    tab_to(&browser, "celsius");
    for key in ["2", "9", ENTER] {
        browser.key(key, 0);
    }
    assert_eq!(browser.get("document.activeElement.id"), "ask-no");
    browser.key("\u{e00c}", 0);
    assert!(!browser.is_seen("ask"));
    tab_to(&browser, "stop");
    browser.key(ENTER, 0);
    assert_eq!(browser.get("state.stopped"), Value::Null);
    browser.key(ENTER, 1600);
    assert!(browser.is_seen("end"));
    quiet(&browser);
}

/// Whether the focus is seen: an outline that can be seen, on the screen.
fn focus_is_seen(browser: &Browser) {
    let seen = browser.get(
        "(() => { const e = document.activeElement, s = getComputedStyle(e), r = e.getBoundingClientRect();
          return e !== document.body && s.outlineStyle === 'solid' && parseFloat(s.outlineWidth) >= 4
            && s.outlineColor === 'rgb(255, 0, 0)' && r.bottom > 0 && r.top < innerHeight; })()",
    );
    let what = browser.get("document.activeElement.outerHTML.slice(0, 100)");
    assert_eq!(seen, true, "the focus is not seen: {what}");
}

#[test]
fn a_whole_session_by_the_keyboard() {
    let desk = page(&["--plan", "data/session.toml", "--date", "2026-11-17"]);
    let Some(browser) = opened(&desk, "a session by the keyboard", 768, 1024) else { return };
    let press = |id: &str, milliseconds: u32| {
        tab_to(&browser, id);
        focus_is_seen(&browser);
        browser.key(ENTER, milliseconds);
    };
    for batch in 1..=2 {
        press("start", 0);
        pass(&browser, 300);
        press("more", 0);
        pass(&browser, 500);
        press("stop", 1600);
        assert_ne!(browser.get("state.stopped"), Value::Null);
        while browser.is_seen("step") {
            press("step", 0);
        }
        assert!(browser.is_seen("end"));
        for id in ["entry", "copy-entry", "log", "copy-log"] {
            tab_to(&browser, id);
            focus_is_seen(&browser);
        }
        if batch == 1 {
            press("next", 0);
            assert!(browser.text("batch").starts_with("batch 2 of 2"));
        }
    }
    // What is folded, and what stands in it.
    let fold = "document.querySelector('summary').focus();";
    browser.run(fold, json!([]));
    browser.key(ENTER, 0);
    for id in ["dimmer", "brighter", "cover"] {
        press(id, 0);
    }
    assert_eq!(browser.get("document.activeElement.id"), "uncover");
    browser.key(" ", 1600);
    assert_eq!(browser.get("document.getElementById('covered').hidden"), true);
    press("again", 1600);
    assert_eq!(browser.text("label"), "develop for");
    quiet(&browser);
}

#[test]
fn hostile_names_are_shown_and_never_run() {
    let name = "</script><script>window.ran=1</script>\"'&<img src=x onerror=window.ran=1>\u{2028}{script}";
    let desk = Desk::empty();
    desk.copy_all();
    let args = ["calibrate", "data/family.csv", "--log-exposure-clear", "0", "--name", name];
    let (status, _, err) = desk.run(&[&args[..], &["--out", "pairing.toml"]].concat());
    assert_eq!(status, 0, "{err}");
    let plan = std::fs::read_to_string(data("session.toml")).unwrap();
    let plan = plan.replace("Ottermouth Wharf, Tuesday class", "<script>window.ran=1</script>");
    let plan = plan.replace("[fix]", "[fix]\nagitation = \"<b onclick=window.ran=1>30 s\"");
    desk.write("data/<b>'plan.toml", &plan);
    let args = ["bench", "--plan", "data/<b>'plan.toml", "--date", "2026-11-17"];
    let (status, _, err) = desk.run(&[&args[..], &["--out", "bench.html"]].concat());
    assert_eq!(status, 0, "{err}");
    let Some(browser) = opened(&desk, "hostile names", 360, 740) else { return };
    assert_eq!(browser.get("window.ran === undefined"), true);
    let shown = browser.get("document.getElementById('name').textContent");
    assert_eq!(shown, name);
    assert_eq!(browser.get("document.title.startsWith('</script>')"), true);
    browser.click("start");
    browser.hold("stop", 1500);
    assert!(browser.text("steps").contains("<b onclick"), "{}", browser.text("steps"));
    assert_eq!(browser.get("document.querySelectorAll('img, main b, main script').length"), 0);
    assert_eq!(browser.get("window.ran === undefined"), true);
    quiet(&browser);
}

#[test]
fn a_bath_that_is_not_to_be_used_has_no_start() {
    let desk = Desk::with_pairing();
    desk.copy_all();
    let (_, _, err) = desk.run(&["bath", "discard", "data/bath.csv", "--date", "2026-11-18"]);
    assert_eq!(err, "");
    let args = ["bench", "pairing.toml", "--bath", "data/bath.csv", "--date", "2026-11-18"];
    let (status, _, _) = desk.run(&[&args[..], &["--out", "bench.html"]].concat());
    assert_eq!(status, 1);
    let Some(browser) = opened(&desk, "a bath not to be used", 360, 740) else { return };
    assert!(browser.text("standing").contains("discarded"), "{}", browser.text("standing"));
    assert_eq!(browser.get("document.querySelectorAll('button, script, input').length"), 0);
    shot(&browser, "bench-withheld");
    quiet(&browser);
}
