//! What every screen of the page keeps: room, contrast, targets, the keyboard, and no request.

use crate::driver::Browser;
use crate::page::{drawn, file, go, page, press, quiet, ready, shot};
use serde_json::{Value, json};

pub const SCREENS: [&str; 12] = [
    "strip", "pairing", "today", "bath", "control", "paper", "evenness", "report", "files", "line",
    "help", "more",
];
const TAB: &str = "\u{e004}";
const ENTER: &str = "\u{e007}";

/// What stands on a screen with a contrast of less than 4.5, and targets of less than 48 px.
const FAULTS: &str = r"
    const lightness = (rgb) => { const [r, g, b] = rgb.map((v) => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; }); return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
    const colour = (text) => text.match(/[\d.]+/g).map(Number);
    const ground = (e) => { for (; e; e = e.parentElement) { const c = colour(getComputedStyle(e).backgroundColor); if (c.length < 4 || c[3] === 1) return c.slice(0, 3); } return [255, 255, 255]; };
    const faults = [];
    const seen = (e) => e.checkVisibility() && e.getBoundingClientRect().width > 1;
    for (const e of document.querySelectorAll('header *, main *, nav *')) {
        if (!seen(e) || e.closest('svg') || e.closest('[aria-hidden]')) continue;
        const own = [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim() !== '');
        if (own || e.matches('input:not([type=checkbox], [type=range]), select, textarea')) {
            const [a, b] = [lightness(colour(getComputedStyle(e).color).slice(0, 3)), lightness(ground(e))].sort((x, y) => y - x);
            const ratio = (a + 0.05) / (b + 0.05);
            if (ratio < 4.5) faults.push(`contrast ${ratio.toFixed(2)}: ${e.tagName} ${e.className} ${e.textContent.slice(0, 30)}`);
        }
        if (e.matches('button, a, input, select, textarea, summary') && !e.matches('.unseen, [type=checkbox], .skip')) {
            const r = e.getBoundingClientRect();
            if (r.height < 47.5 || r.width < 47.5) faults.push(`small: ${e.tagName} ${e.id} ${e.textContent.slice(0, 20)} ${r.width}×${r.height}`);
        }
        if (e.matches('input, select, textarea') && !(e.labels?.length || e.getAttribute('aria-label'))) faults.push(`unnamed: ${e.id}`);
    }
    const ids = [...document.querySelectorAll('main [id]')].filter((e) => !e.closest('svg')).map((e) => e.id);
    ids.filter((id, n) => ids.indexOf(id) !== n).forEach((id) => faults.push(`twice: ${id}`));
    if (document.documentElement.scrollWidth > innerWidth) faults.push(`wide: ${document.documentElement.scrollWidth}`);
    return faults;";

fn demonstration(browser: &Browser) {
    go(browser, "files");
    press(browser, "take-demonstration");
    browser.until("document.querySelectorAll('#taken p').length > 10");
}

/// The screens with something in them.
pub fn filled(browser: &Browser) {
    demonstration(browser);
    go(browser, "pairing");
    browser.run("document.querySelector('[data-file=\"data/family.csv\"]').click();", json!([]));
    browser.type_into("f-clear", "0");
    press(browser, "calibrate");
    browser.until("document.getElementById('keep-pairing')");
    press(browser, "keep-pairing");
    browser.until("document.getElementById('draw-card')");
    press(browser, "draw-card");
    browser.until("document.querySelector('#card svg')");
    go(browser, "strip");
    browser.choose("f-minutes", "9");
    for (row, d) in
        ["0.29", "0.29", "0.30", "0.31", "0.33", "0.36", "0.41", "0.74", "0.55", "0.64", "0.73"]
            .iter()
            .enumerate()
    {
        browser.choose(&format!("cell-{row}-0"), d);
    }
    browser.until("document.querySelector('.doubted') && document.querySelector('#curve svg')");
    go(browser, "today");
    browser.choose("f-celsius", "21.5");
    browser.choose("f-bath", "data/bath.csv");
    browser.choose("f-date", "2026-11-17");
    browser.until("document.querySelector('.today .first')");
    go(browser, "control");
    browser.choose("f-clear", "0");
    browser.choose("f-strip", "data/control.csv");
    browser.until("document.querySelector('#control-answer svg')");
    go(browser, "bath");
    browser.choose("f-bath", "data/bath.csv");
    browser.choose("f-day", "2026-11-17");
    browser.until("document.querySelector('#bath-answer .first')");
    go(browser, "paper");
    browser.run("[...document.querySelectorAll('.choice button')].find((b) => b.dataset.key === 'paper').click();", json!([]));
    browser.choose("f-paper", "data/paper.csv");
    browser.until("document.querySelector('#paper-answer svg')");
    go(browser, "evenness");
    browser.run("[...document.querySelectorAll('.choice button')].find((b) => b.dataset.key === 'file').click();", json!([]));
    browser.choose("f-file", "data/evenness.csv");
    browser.until("document.querySelector('#evenness-answer svg')");
    go(browser, "report");
    browser.run("document.querySelector('[data-file=\"data/strip.csv\"]').click();", json!([]));
    press(browser, "make-report");
    browser.until("document.getElementById('report')?.contentDocument?.querySelector('section')");
}

/// Waits for what a screen asks when it is shown.
pub fn answered(browser: &Browser, screen: &str) {
    let what = match screen {
        "strip" => "#curve svg",
        "pairing" => "#keep-pairing",
        "today" => "#start-timer",
        "bath" => "#bath-answer .answer",
        "control" => "#control-answer svg",
        "paper" => "#paper-answer svg",
        "evenness" => "#evenness-answer svg",
        _ => "h1",
    };
    browser.until(&format!("document.querySelector('{what}')"));
}

#[test]
fn every_screen_has_room_contrast_and_targets_in_three_looks() {
    let Some(browser) = page("the screens of the page", 360, 740) else { return };
    filled(&browser);
    for (width, height) in [(360, 740), (768, 1024), (1280, 800), (1920, 1080)] {
        browser.resize(width, height);
        for screen in SCREENS {
            go(&browser, screen);
            answered(&browser, screen);
            // Colours do not change with the width: other widths are checked in one look, unless somebody looks.
            let all =
                width == 360 || width == 1280 || std::env::var_os("WEDGEBOOK_SHOTS").is_some();
            let looks = if all { &["light", "dark", "red"][..] } else { &["light"] };
            for look in looks {
                browser.click(&format!("scheme-{look}"));
                browser.run("document.activeElement.blur(); scrollTo(0, 0);", json!([]));
                assert_eq!(browser.run(FAULTS, json!([])), json!([]), "{screen} {look} {width}");
                shot(&browser, &format!("page-{screen}-{look}-{width}"));
            }
        }
    }
    // In red no light but red leaves the screen.
    browser.click("scheme-red");
    for screen in ["strip", "today", "bath", "help"] {
        go(&browser, screen);
        answered(&browser, screen);
        let (_, _, samples, bytes) = crate::driver::pixels(&browser.screenshot());
        let other = bytes.chunks(samples).filter(|p| p[1] > 24 || p[2] > 24).count();
        assert_eq!(other, 0, "{screen}: pixels that are neither black nor red");
    }
    quiet(&browser);
}

#[test]
fn what_has_no_screen_of_its_own_is_asked_by_a_line() {
    let Some(browser) = page("a command line in the page", 360, 740) else { return };
    // No strip is needed for the time of a chart at another temperature.
    go(&browser, "today");
    for (field, value) in [("f-celsius", "21.3"), ("f-chart", "9:00"), ("f-from", "20")] {
        browser.choose(field, value);
    }
    press(&browser, "convert");
    browser.until("document.querySelector('#converted .answer')");
    assert!(browser.text("converted").contains("8:10"), "{}", browser.text("converted"));
    shot(&browser, "page-360-convert");
    demonstration(&browser);
    go(&browser, "line");
    let ask = |line: &str| {
        browser.run("document.getElementById('line-answer').replaceChildren();", json!([]));
        browser.choose("f-line", line);
        press(&browser, "ask-line");
        browser.until("document.getElementById('line-answer').textContent !== ''");
        browser.text("line-answer")
    };
    // Text as wide as the screen; files that are written stay.
    let plan = ask("wedgebook session --example");
    assert!(plan.contains("[") && plan.contains("title"), "{plan}");
    let args = "calibrate data/family.csv --log-exposure-clear 0 --out pairing.toml --plot 'two words.svg'";
    assert!(ask(args).contains("pairing.toml"));
    assert_eq!(browser.get("document.querySelectorAll('#line-answer svg').length"), 2);
    let kept = crate::page::names(&browser);
    assert!(
        kept.contains(&"pairing.toml".to_owned()) && kept.contains(&"two words.svg".to_owned())
    );
    let session = ask("session data/session.toml --date 2026-11-17");
    assert!(session.contains("21.5 °C"), "{session}");
    shot(&browser, "page-360-line");
    let wide = browser.get("document.querySelector('pre.line').scrollWidth - document.querySelector('pre.line').clientWidth");
    assert!(wide.as_f64().unwrap() <= 0.0, "{wide}");
    // What a page cannot do, and what is no command, is said.
    assert!(ask("read a.png --tablet b.csv --out c.csv").contains("reads no pictures"));
    assert!(ask("develop").contains("develop"));
    assert_eq!(browser.get("document.querySelectorAll('#line-answer [role=alert]').length"), 1);
    quiet(&browser);
}

fn tab_to(browser: &Browser, id: &str) {
    for _ in 0..80 {
        if browser.get("document.activeElement.id") == id {
            return;
        }
        browser.key(TAB, 0);
    }
    panic!("{id} is not reached by the keyboard");
}

#[test]
fn the_keyboard_alone_types_a_strip() {
    let Some(browser) = page("the keyboard alone in the page", 1280, 800) else { return };
    tab_to(&browser, "f-minutes");
    browser.key("9", 0);
    tab_to(&browser, "cell-0-0");
    let style = "getComputedStyle(document.activeElement).outlineStyle";
    assert_eq!(browser.get(style), "solid");
    for text in ["0,29", "0,29", "0,30", "0,32", "0,36", "0,42", "0,50", "0,60"] {
        for key in text.chars() {
            browser.key(&key.to_string(), 0);
        }
        browser.key(ENTER, 0);
    }
    assert_eq!(browser.get("document.activeElement.id"), "cell-8-0");
    browser.until("document.querySelector('#curve svg')");
    tab_to(&browser, "to-help");
    browser.key(ENTER, 0);
    drawn(&browser, "help");
    assert!(browser.text("cautions").contains("gloves"));
    quiet(&browser);
}

#[test]
fn it_is_seen_before_the_program_is_ready() {
    let Some(browser) = page("the first paint of the page", 360, 740) else { return };
    browser.choose("f-celsius", "21");
    // What is there before its script has run.
    let html = std::fs::read_to_string(file()).unwrap();
    let head = html.split_once("<script").unwrap().0;
    assert!(
        head.contains("unpacked and compiled") && head.contains("<style>"),
        "the page begins with what is seen"
    );
    browser.reload();
    ready(&browser);
    let order =
        browser.get("performance.getEntriesByType('paint')[0].startTime < performance.now()");
    assert_eq!(order, Value::Bool(true));
    assert_eq!(browser.get("document.getElementById('f-celsius').value"), "21");
    quiet(&browser);
}
