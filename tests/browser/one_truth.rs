//! The page adds no second arithmetic: its own functions give the numbers of `drift`.

use crate::desk::{Desk, data};
use crate::driver::{browser, skipped};
use jiff::civil::date;
use rand::rngs::StdRng;
use rand::{Rng, SeedableRng};
use serde_json::{Value, json};
use std::io::Write;
use std::process::{Command, Stdio};
use wedgebook::answers::{BathToday, Drift, DriftQuestion, KeptBath};
use wedgebook::bath::journal::Journal;
use wedgebook::bath::standing::Standing;
use wedgebook::development::aim::Target;
use wedgebook::development::drift::Reading;
use wedgebook::development::file::PairingFile;
use wedgebook::measures::Quantity;
use wedgebook::show::json as shown;
use wedgebook::units::{Celsius, TemperatureUnit};

const LOGS: usize = 1000;
const CONTRAST: f64 = 0.58;

/// What the page makes of logs: its law and target, an activity and readings for each.
const ASK: &str = "arguments[1].map(({ readings, activity }) => ({
    effective: effectiveMinutes(arguments[0].law, readings, activity.value),
    remaining: remainingMinutes(arguments[0].law, readings, activity, arguments[0].target) }))";

/// A log of one to twelve readings, which may begin late.
fn log(rng: &mut StdRng) -> Vec<Reading> {
    let mut minutes = if rng.random_bool(0.5) { 0.0 } else { rng.random_range(0.0..2.0) };
    let mut celsius: f64 = rng.random_range(14.0..30.0);
    let count = rng.random_range(1..=12);
    let mut next = || {
        let reading = Reading { minutes, celsius: Celsius::new(celsius).unwrap() };
        minutes += rng.random_range(0.01..4.0);
        celsius = (celsius + rng.random_range(-3.0..3.0)).clamp(10.0, 34.0);
        reading
    };
    (0..count).map(|_| next()).collect()
}

/// Logs with the activity of the bath, and what `drift` says of each.
fn cases(desk: &Desk) -> (Vec<Value>, Vec<Value>) {
    let path = desk.path().join("pairing.toml");
    let file = PairingFile::read(&path).unwrap();
    let pairing = file.pairing(&path).unwrap();
    let day = date(2026, 11, 17);
    let bytes = std::fs::read(data("bath.csv")).unwrap();
    let journal = Journal::parse("bath.csv", &bytes, day).unwrap();
    let standing = Standing::of(&journal.entries, day);
    let mut rng = StdRng::seed_from_u64(16);
    let mut one = || {
        let readings = log(&mut rng);
        // To three decimals, as an answer takes it.
        let to = |value: f64| (value * 1e3).round() / 1e3;
        let value = to(rng.random_range(0.5..1.4));
        let wide = if rng.random_bool(0.3) { 0.0 } else { rng.random_range(0.01..0.2) };
        let activity = Quantity { value, low: to(value - wide), high: to(value + wide) };
        let kept = KeptBath {
            standing: standing.clone(),
            activity: Some(activity),
            others: Vec::new(),
            notes: Vec::new(),
        };
        let drift = Drift::of(DriftQuestion {
            name: &file.name,
            pairing: &pairing,
            measure: file.aims.measure,
            target: Target::contrast(CONTRAST),
            readings: &readings,
            unit: TemperatureUnit::Celsius,
            bath: BathToday::Kept(kept),
            anyway: true,
        })
        .unwrap();
        let readings: Vec<Value> = readings
            .iter()
            .map(|r| json!({ "minutes": r.minutes, "celsius": r.celsius.get() }))
            .collect();
        let q = |q: &Quantity| json!({ "value": q.value, "low": q.low, "high": q.high });
        let document = shown::value(&wedgebook::answers::Answer::describe(&drift));
        (json!({ "readings": readings, "activity": q(&activity) }), document)
    };
    (0..LOGS).map(|_| one()).unzip()
}

/// A desk with a page for the contrast.
fn page() -> Desk {
    let desk = Desk::with_pairing();
    let contrast = CONTRAST.to_string();
    let args = ["bench", "pairing.toml", "--contrast", &contrast, "--out", "bench.html"];
    let (status, _, err) = desk.run(&args);
    assert_eq!(status, 0, "{err}");
    desk
}

fn compared(found: &Value, expected: &[Value]) {
    let found = found.as_array().unwrap();
    assert_eq!(found.len(), expected.len());
    let mut greatest: f64 = 0.0;
    for (n, (found, drift)) in found.iter().zip(expected).enumerate() {
        let pairs = [
            (&found["effective"], &drift["effective_minutes"]),
            (&found["remaining"]["value"], &drift["remaining_minutes"]["value"]),
            (&found["remaining"]["low"], &drift["remaining_minutes"]["low"]),
            (&found["remaining"]["high"], &drift["remaining_minutes"]["high"]),
        ];
        for (found, drift) in pairs {
            let (found, drift) = (found.as_f64().unwrap(), drift.as_f64().unwrap());
            greatest = greatest.max((found - drift).abs());
            assert!((found - drift).abs() < 1e-9, "log {n}: {found} by the page, {drift} by drift");
        }
    }
    println!("greatest difference of {} logs: {greatest:.1e} min", expected.len());
}

#[test]
fn the_page_in_the_browser_counts_as_drift_does() {
    let Some(browser) = browser("the page's numbers against drift", 800, 600) else { return };
    let desk = page();
    let (asked, expected) = cases(&desk);
    browser.open(&desk.path().join("bench.html"));
    let found = browser.run(
        &format!("return (function () {{ return {ASK}; }})(answer, arguments[0]);"),
        json!([asked]),
    );
    compared(&found, &expected);
    assert!(browser.complaints().is_empty());
}

#[test]
fn the_page_in_node_counts_as_drift_does() {
    let desk = page();
    let (asked, expected) = cases(&desk);
    let html = desk.read("bench.html");
    let between = |begin: &str| {
        let from = html.split_once(begin).unwrap().1;
        from.split_once("</script>").unwrap().0
    };
    // The law and the timer; the rest is about the page.
    let script = between("<script>").split("// Sound, voice").next().unwrap();
    let document = html.split_once("id=\"answer\"").unwrap().1.split_once('>').unwrap().1;
    let document = document.split_once("</script>").unwrap().0;
    let given: Value = serde_json::from_str(document).unwrap();
    let law = json!({ "law": { "energy": given["law"]["activation_energy_kj_per_mol"]["value"],
        "reference": given["law"]["reference_celsius"] }, "target": given["effective_minutes"] });
    let program = format!(
        "{script}\nprocess.stdout.write(JSON.stringify((function () {{ return {ASK}; }})({law}, JSON.parse(require('fs').readFileSync(0, 'utf8')))));"
    );
    desk.write("run.js", &program);
    let started = Command::new("node")
        .arg(desk.path().join("run.js"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn();
    let Ok(mut node) = started else { return skipped("the page's numbers in Node", "node") };
    node.stdin.take().unwrap().write_all(json!(asked).to_string().as_bytes()).unwrap();
    let output = node.wait_with_output().unwrap();
    compared(&serde_json::from_slice(&output.stdout).unwrap(), &expected);
}
