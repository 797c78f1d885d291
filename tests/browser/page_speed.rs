//! How quick the page is: printed, and held to no bound, for machines differ.
//!
//! `WEDGEBOOK_STRIPS=1000` types so many strips before the memory is read.

use crate::driver::Browser;
use crate::page::{drawn, go, page, press, quiet};
use serde_json::{Value, json};

/// Milliseconds that a question takes, many times over, with the answer's own files left out.
const ASKED: &str = "const [args, names, times, done] = arguments;
    (async () => {
        const database = await new Promise((yes) => { const asked = indexedDB.open('wedgebook-folder'); asked.onsuccess = () => yes(asked.result); });
        const store = database.transaction('files').objectStore('files');
        const read = (name) => new Promise((yes) => { const asked = store.get(name); asked.onsuccess = () => yes(asked.result); });
        const files = new Map(await Promise.all(names.map(async (name) => [name, await read(name)])));
        database.close();
        const all = [];
        for (let n = 0; n < times; n += 1) {
            const begin = performance.now();
            const { status, err } = await wedgebook.ask(args, { files });
            all.push(performance.now() - begin);
            if (status !== 0) throw new Error(err);
        }
        return all;
    })().then(done, (error) => done(String(error)));";

/// Milliseconds from a key to the curve that has it.
const TYPED: &str = "const [cells, done] = arguments;
    (async () => {
        const all = [];
        for (const [row, density] of cells) {
            const input = document.getElementById(`cell-${row}-0`);
            const drawn = new Promise((yes) => new MutationObserver((_, own) => { own.disconnect(); yes(); }).observe(document.getElementById('curve'), { childList: true }));
            const begin = performance.now();
            input.value = density;
            input.dispatchEvent(new Event('input', { bubbles: true }));
            await drawn;
            all.push(performance.now() - begin);
            await new Promise((yes) => setTimeout(yes, 100));
        }
        return all;
    })().then(done, (error) => done(String(error)));";

fn spread(what: &str, times: &Value) {
    let mut times: Vec<f64> = times
        .as_array()
        .unwrap_or_else(|| panic!("{what}: {times}"))
        .iter()
        .map(|t| t.as_f64().unwrap())
        .collect();
    times.sort_by(f64::total_cmp);
    let (least, median, most) = (times[0], times[times.len() / 2], times[times.len() - 1]);
    println!("{what}: {median:.1} ms ({least:.1} to {most:.1}, {} times)", times.len());
}

/// Memory of the page's own scripts, in megabytes.
fn memory(browser: &Browser) -> f64 {
    browser.command("HeapProfiler.collectGarbage", json!({}));
    let metrics = browser.command("Performance.getMetrics", json!({}));
    let used =
        metrics["metrics"].as_array().unwrap().iter().find(|m| m["name"] == "JSHeapUsedSize");
    used.unwrap()["value"].as_f64().unwrap() / 1e6
}

#[test]
fn times_are_printed() {
    let Some(browser) = page("how quick the page is", 360, 740) else { return };
    go(&browser, "files");
    press(&browser, "take-demonstration");
    browser.until("document.querySelectorAll('#taken p').length > 10");
    let asked = |args: Value, names: Value| browser.wait(ASKED, json!([args, names, 40]));
    let strip = json!([
        "curve",
        "data/strip.csv",
        "--json",
        "--with-html",
        "--plot=strip.svg",
        "--csv=curve.csv"
    ]);
    spread("one strip with its figure", &asked(strip, json!(["data/strip.csv"])));
    let six = json!([
        "calibrate",
        "data/family.csv",
        "--log-exposure-clear=0",
        "--out=p.toml",
        "--plot=p.svg",
        "--json",
        "--with-html"
    ]);
    spread("six strips calibrated, with figures", &asked(six, json!(["data/family.csv"])));
    go(&browser, "strip");
    drawn(&browser, "strip");
    let densities = [
        0.29, 0.29, 0.30, 0.31, 0.33, 0.36, 0.41, 0.48, 0.56, 0.65, 0.74, 0.83, 0.92, 1.01, 1.10,
        1.19, 1.28, 1.37, 1.46, 1.55, 1.63, 1.71,
    ];
    let cells: Vec<Value> =
        densities.iter().enumerate().map(|(row, d)| json!([row, format!("{d:.2}")])).collect();
    for cell in &cells[..7] {
        browser.choose(&format!("cell-{}-0", cell[0]), cell[1].as_str().unwrap());
    }
    browser.until("document.querySelector('#curve svg')");
    std::thread::sleep(std::time::Duration::from_millis(500));
    spread("from a key to the curve", &browser.wait(TYPED, json!([cells[7..]])));
    let strips: usize = std::env::var("WEDGEBOOK_STRIPS").map_or(0, |n| n.parse().unwrap());
    if strips > 0 {
        let again: Vec<Value> = (0..strips)
            .map(|n| json!([12, format!("{:.3}", 0.88 + 0.0001 * (n % 800) as f64)]))
            .collect();
        browser.command("Performance.enable", json!({}));
        let before = memory(&browser);
        for some in again.chunks(20) {
            browser.wait(TYPED, json!([some]));
        }
        println!("scripts: {before:.1} MB, after {strips} strips {:.1} MB", memory(&browser));
    }
    quiet(&browser);
}
