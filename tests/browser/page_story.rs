//! The whole story at 360 px: strips are typed, a pairing is made, a film is timed while its temperature
//! drifts, it is entered, and all of it is reported. A reload in the middle of each step loses nothing, and
//! the binary reads the page's files with the same results.

use crate::desk::data;
use crate::driver::Browser;
use crate::page::{
    ask, drawn, files, go, on_desk, page, press, quiet, reload, shot, wait_for_file,
};
use serde_json::{Value, json};

/// The readings of one strip of the demonstration's family: of the unexposed film, then of each step from
/// the densest patch of the tablet on; and its time and temperature.
fn strip(name: &str) -> (Vec<String>, String, String) {
    let mut reader =
        csv::ReaderBuilder::new().comment(Some(b'#')).from_path(data("family.csv")).unwrap();
    let heads = reader.headers().unwrap().clone();
    let at = |name: &str| heads.iter().position(|head| head == name).unwrap();
    let rows: Vec<csv::StringRecord> =
        reader.records().map(Result::unwrap).filter(|row| &row[at("strip")] == name).collect();
    let mut steps: Vec<(f64, String)> = rows
        .iter()
        .map(|row| {
            let place = row[at("tablet_density")].parse().unwrap_or(f64::INFINITY);
            (place, row[at("density")].to_owned())
        })
        .collect();
    steps.sort_by(|a, b| b.0.total_cmp(&a.0));
    let densities = steps.into_iter().map(|(_, density)| density).collect();
    (densities, rows[0][at("minutes")].to_owned(), rows[0][at("celsius")].to_owned())
}

fn type_strip(browser: &Browser, densities: &[String]) {
    for (row, density) in densities.iter().enumerate() {
        browser.type_into(&format!("cell-{row}-0"), &density.replace('.', ","));
    }
}

fn json_of(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or_else(|_| panic!("{text}"))
}

/// The page's answer, which is the binary's to the last digit.
fn same(browser: &Browser, desk: &crate::desk::Desk, args: &[&str]) -> Value {
    let (status, out, err) = ask(browser, args);
    let (own_status, own, own_err) = desk.run(args);
    assert_eq!((status, err), (i64::from(own_status), own_err), "{args:?}");
    assert_eq!(out, own, "{args:?}");
    json_of(&out)
}

#[test]
fn from_typing_to_the_report() {
    let Some(browser) = page("the page from typing to the report", 360, 740) else { return };
    drawn(&browser, "strip");

    // Two strips are typed; a reload in the middle loses nothing.
    for (n, name) in ["B", "D", "F"].iter().enumerate() {
        let (densities, minutes, celsius) = strip(name);
        browser.retype("f-name", name);
        browser.retype("f-minutes", &minutes);
        browser.retype("f-celsius", &celsius);
        if n == 0 {
            open_all(&browser);
            browser.retype("f-film", "Larkfold");
            browser.retype("f-developer", "Quillback 1+6");
            browser.retype("f-clear", "0");
        }
        type_strip(&browser, &densities[..12]);
        wait_for_file(&browser, &format!("strips/{name}.csv"));
        reload(&browser, "strip");
        let kept = browser.get("document.getElementById('cell-11-0').value");
        assert_eq!(kept, densities[11].replace('.', ","));
        // A misread step is asked about at once, and corrected.
        browser.type_into("cell-12-0", "2,22");
        browser.until("document.querySelector('.step[data-row=\"12\"].doubted')");
        if n == 0 {
            shot(&browser, "page-360-misread");
        }
        browser.retype("cell-12-0", &densities[12]);
        browser.until("!document.querySelector('.doubted')");
        for (row, density) in densities.iter().enumerate().skip(13) {
            browser.type_into(&format!("cell-{row}-0"), density);
        }
        browser.until(&format!(
            "document.querySelector('#strip-answer dd[data-key=\"contrast_index\"] .interval') && document.querySelector('#strip-answer').textContent.includes('{}')",
            densities.len()
        ));
        assert_eq!(browser.get("document.documentElement.scrollWidth - innerWidth"), 0);
        press(&browser, "next-strip");
        browser.until("document.getElementById('main').dataset.done === 'true' && document.getElementById('cell-0-0')?.value === ''");
    }
    // What is kept has the very form of `type`.
    let desk = on_desk(&browser);
    let (densities, minutes, celsius) = strip("B");
    let typed = format!("{}\nend\n", densities.join("\n"));
    let out = assert_cmd::Command::cargo_bin("wedgebook")
        .unwrap()
        .args(["type", "own.csv", "--steps=21", "--increment=0.15", "--name=B", "--film=Larkfold"])
        .args([
            "--developer=Quillback 1+6",
            &format!("--minutes={minutes}"),
            &format!("--temperature={celsius}"),
        ])
        .current_dir(desk.path())
        .write_stdin(typed)
        .output()
        .unwrap();
    assert!(out.status.success());
    assert_eq!(desk.read("strips/B.csv"), desk.read("own.csv"));

    // Gathered to a pairing.
    go(&browser, "pairing");
    for name in ["B", "D", "F"] {
        let script =
            "document.querySelector(`[data-file=\"strips/${arguments[0]}.csv\"]`).click();";
        browser.run(script, json!([name]));
    }
    browser.type_into("f-clear", "0");
    reload(&browser, "pairing");
    press(&browser, "calibrate");
    browser.until(
        "document.querySelector('#pairing-answer svg') && document.getElementById('keep-pairing')",
    );
    shot(&browser, "page-360-pairing");
    press(&browser, "keep-pairing");
    wait_for_file(&browser, "Larkfold in Quillback 1+6.toml");
    let pairing = "Larkfold in Quillback 1+6.toml";

    // A bath is mixed.
    go(&browser, "bath");
    browser.type_into("f-newLitres", "5");
    browser.type_into("f-newDeveloper", "Quillback 1+6");
    press(&browser, "mix");
    wait_for_file(&browser, "bath.csv");

    // A control strip is judged and entered.
    go(&browser, "control");
    browser.choose("f-strip", "strips/D.csv");
    browser.until("document.querySelector('#control-answer svg')");
    reload(&browser, "control");
    browser.until("document.querySelector('#control-answer svg')");
    press(&browser, "enter-strip");
    browser.until("document.querySelector('#control-enter .answer')");

    // The time for today.
    go(&browser, "today");
    browser.type_into("f-celsius", "21,5");
    browser.choose("f-aim", "contrast");
    browser.type_into("f-contrast", "0.56");
    browser.choose("f-bath", "bath.csv");
    browser.until("document.querySelector('.today .first')");
    reload(&browser, "today");
    browser
        .until("document.getElementById('start-timer') && document.querySelector('.today .first')");
    assert_eq!(browser.get("document.getElementById('f-celsius').value"), "21,5");
    shot(&browser, "page-360-today");
    let desk = on_desk(&browser);
    let adjust = ["adjust", pairing, "--temperature=21,5", "--contrast=0.56", "--bath=bath.csv"];
    let (_, text, _) = desk.run(&adjust);
    let figures =
        browser.get("document.querySelector('#large-minutes .figures').firstChild.textContent");
    assert!(
        text.contains(&format!("develop for {}", ""))
            && text.contains(figures.as_str().unwrap().trim()),
        "{text} {figures}"
    );
    let answer = same(&browser, &desk, &[&adjust[..], &["--json"]].concat());

    // The timer, with a temperature that drifts.
    press(&browser, "start-timer");
    browser.until(
        "document.getElementById('timer')?.contentDocument?.body?.dataset.phase === 'before'",
    );
    browser.to_frame(Some("timer"));
    let clock = "const [wall, monotonic] = [Date.now.bind(Date), performance.now.bind(performance)]; window.shift = 0;
        Date.now = () => wall() + shift; performance.now = () => monotonic() + shift;";
    browser.run(clock, json!([]));
    let pass = |seconds: u32| browser.run("shift += 1000 * arguments[0];", json!([seconds]));
    browser.click("start");
    pass(120);
    browser.type_into("celsius", "21,2");
    press(&browser, "enter");
    browser.to_frame(None);
    shot(&browser, "page-360-timer");
    // A reload in the middle goes on where it was.
    reload(&browser, "today");
    browser.until(
        "document.getElementById('timer')?.contentDocument?.body?.dataset.phase === 'developing'",
    );
    browser.to_frame(Some("timer"));
    browser.run(clock, json!([]));
    assert_eq!(browser.text("now-celsius"), "21.2 °C");
    let seconds = 60.0 * answer["minutes"]["value"].as_f64().unwrap();
    pass(seconds as u32);
    browser.hold("stop", 1500);
    browser.to_frame(None);
    browser.until("document.getElementById('take-over')");
    press(&browser, "take-over");
    browser.until("document.getElementById('close-timer')");
    shot(&browser, "page-360-entered");
    press(&browser, "close-timer");
    drawn(&browser, "bath");

    // The entry, and the log of temperatures.
    let all = files(&browser);
    let (log, _) = all.iter().find(|(name, _)| name.starts_with("temperatures ")).unwrap();
    let desk = on_desk(&browser);
    let journal = same(&browser, &desk, &["bath", "log", "bath.csv", "--json"]);
    assert_eq!(journal["entries"].as_array().unwrap().last().unwrap()["act"], "film");
    same(&browser, &desk, &["drift", pairing, log, "--contrast=0.56", "--json"]);
    same(&browser, &desk, &["bath", "status", "bath.csv", "--json"]);
    same(&browser, &desk, &["curve", "strips/B.csv", "strips/D.csv", "--json"]);
    same(&browser, &desk, &["verify", pairing, "strips/D.csv", "--json"]);

    // The same again is refused, and its button enters it all the same.
    browser.type_into("f-rolls", "2");
    press(&browser, "enter");
    browser.until("document.querySelector('#bath-entered .answer')");
    browser.until("document.getElementById('f-rolls').value === ''");
    browser.type_into("f-rolls", "2");
    reload(&browser, "bath");
    assert_eq!(browser.get("document.getElementById('f-rolls').value"), "2");
    press(&browser, "enter");
    browser.until("document.querySelector('#bath-entered .ways button')");
    shot(&browser, "page-360-refused");
    browser.run("document.querySelector('#bath-entered .ways button').click();", json!([]));
    browser.until("document.querySelector('#bath-entered .answer')");
    let desk = on_desk(&browser);
    let journal = same(&browser, &desk, &["bath", "log", "bath.csv", "--json"]);
    assert_eq!(journal["entries"].as_array().unwrap().len(), 5);

    // The report.
    go(&browser, "report");
    browser.run("document.querySelectorAll('.files input').forEach((box) => { if (!/temperatures/.test(box.dataset.file)) box.click(); });", json!([]));
    browser.type_into("f-title", "Evening class");
    reload(&browser, "report");
    press(&browser, "make-report");
    browser.until("document.getElementById('report')?.contentDocument?.querySelectorAll('section svg').length > 1");
    assert_eq!(
        browser.get(
            "document.getElementById('report').contentDocument.querySelector('h1').textContent"
        ),
        "Evening class"
    );
    shot(&browser, "page-360-report");
    quiet(&browser);
}

/// Opens all that is folded.
fn open_all(browser: &Browser) {
    browser
        .run("document.querySelectorAll('details').forEach((d) => { d.open = true; });", json!([]));
}

#[test]
fn readings_are_pasted_from_a_sheet_with_repeats() {
    let Some(browser) = page("readings pasted into the page", 768, 1024) else { return };
    open_all(&browser);
    let pasted = "0.29\t0.30\n0.29\t0.29\n0.31\t0.30\n0.33\n0,36\t0,37\n0.41\n0.48\n0.56\n";
    browser.choose("paste-area", pasted);
    press(&browser, "paste-take");
    browser.until("document.getElementById('strip-kept').textContent !== ''");
    assert_eq!(browser.get("document.getElementById('cell-4-1').value"), "0,37");
    let sheet =
        files(&browser).into_iter().find(|(name, _)| name == "strips/strip 1.csv").unwrap().1;
    let sheet = String::from_utf8(sheet).unwrap();
    let rows: Vec<&str> = sheet.lines().collect();
    assert_eq!(rows.len(), 1 + 8 + 4, "{sheet}");
    assert!(
        rows.contains(&"strip 1,4,2.6,0.36") && rows.contains(&"strip 1,4,2.6,0.37"),
        "{sheet}"
    );
    // It comes back as it was.
    press(&browser, "next-strip");
    browser.until("document.getElementById('main').dataset.done === 'true' && document.getElementById('cell-0-0')?.value === ''");
    open_all(&browser);
    browser.until("document.querySelector('#strip-files button')");
    browser.run("document.querySelector('#strip-files button').click();", json!([]));
    browser.until("document.getElementById('cell-4-1')?.value === '0.37'");
    reload(&browser, "strip");
    let all = files(&browser);
    assert!(
        all.iter().any(|(name, bytes)| name == "strips/strip 1.csv" && *bytes == sheet.as_bytes())
    );
    assert_eq!(all.iter().filter(|(name, _)| name.starts_with("strips/")).count(), 1);
    quiet(&browser);
}
