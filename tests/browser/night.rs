//! A class night at the bench: tank after tank, each with its own film, time, law and aim.

use crate::bench::{light_pixels, opened, page, pass, quiet, reload, seconds, shot, small};
use crate::desk::{Desk, data};
use crate::driver::Browser;
use rand::rngs::StdRng;
use rand::{Rng, SeedableRng};
use serde_json::{Value, json};

const DAY: [&str; 2] = ["--date", "2026-11-17"];

/// Develops what is on the page to its end, and does all steps.
pub fn develop(browser: &Browser) {
    browser.click("start");
    let left = browser.get("timeLeft(answer, state, clock.now()).toGo").as_f64().unwrap();
    pass(browser, (60.0 * left).round() as u32);
    browser.hold("stop", 1500);
    while browser.is_seen("step") {
        browser.click("step");
    }
    assert!(browser.is_seen("end"));
}

fn lines(browser: &Browser) -> Vec<String> {
    let entry = browser.get("document.getElementById('entry').value");
    entry.as_str().unwrap().lines().map(str::to_owned).collect()
}

/// A night of two films, each with a law of its own: that of the second is assumed.
fn of_two_films() -> Desk {
    let desk = Desk::with_pairing();
    desk.copy_all();
    let family = std::fs::read_to_string(data("family.csv")).unwrap();
    let one_temperature: Vec<&str> =
        family.lines().filter(|line| !line.contains(",24,") && !line.contains(",24.0,")).collect();
    assert!(one_temperature.len() < family.lines().count(), "a strip at 24 °C is left out");
    desk.write(
        "other.csv",
        &format!("{}\n", one_temperature.join("\n")).replace("Larkfold", "Fenmoth"),
    );
    let made = ["calibrate", "other.csv", "--log-exposure-clear", "0", "--out", "other.toml"];
    assert_eq!(desk.run(&made).0, 0);
    let plan = std::fs::read_to_string(data("class-night.toml")).unwrap();
    let other = "# pairing = \"other.toml\"";
    assert!(plan.contains(other));
    desk.write("data/night.toml", &plan.replace(other, "pairing = \"../other.toml\""));
    let args = ["bench", "--plan", "data/night.toml", "--out", "bench.html"];
    let (status, _, err) = desk.run(&[&args[..], &DAY].concat());
    assert_eq!(status, 0, "{err}");
    desk
}

#[test]
fn tank_after_tank_is_ticked_off_and_entered() {
    let desk = page(&["--plan", "data/class-night.toml", DAY[0], DAY[1]]);
    let Some(browser) = opened(&desk, "a class night at the bench", 360, 740) else { return };
    let sheet = desk.json(&["session", "data/class-night.toml", "--json", DAY[0], DAY[1]]);
    let tanks = sheet["tanks"].as_array().unwrap();
    assert_eq!(tanks.len(), 3);
    for (n, tank) in (1..).zip(tanks) {
        let batch = browser.text("batch");
        assert!(batch.starts_with(&format!("tank {n} of 3: ")), "{batch}");
        for who in tank["who"].as_array().unwrap() {
            let name = who["name"].as_str().unwrap();
            assert!(batch.contains(name), "{batch}");
            assert!(browser.text("whose").contains(name), "{}", browser.text("whose"));
        }
        // The time is that of the sheet.
        let time = tank["seconds"].as_i64().unwrap();
        assert_eq!(seconds(&browser.text("figures")), time, "tank {n}");
        assert!(browser.text("tanks").contains(&format!("▶ tank {n}")));
        // What differs stands plainly, and before the start only.
        let differs = if n == 1 { String::new() } else { browser.text("differs") };
        match n {
            1 => assert!(!browser.is_seen("differs-from")),
            2 => assert_eq!(differs, "develop for: 13:15 (before: 10:00)"),
            _ => {
                assert!(differs.contains("developer: fresh (before: class bath)"), "{differs}");
                assert!(
                    differs.contains("activity: 1, as calibrated (before: 0.806)"),
                    "{differs}"
                );
            }
        }
        // A fresh developer has no journal, and so no standing.
        assert_eq!(browser.is_seen("standing"), n < 3);
        if n == 2 {
            // Temperatures of the tank are its own, also after a reload.
            browser.click("start");
            assert!(!browser.is_seen("tank"));
            pass(&browser, 60);
            crate::bench::enter(&browser, "21.1");
            reload(&browser);
            assert!(browser.text("batch").starts_with("tank 2 of 3"));
            assert_eq!(browser.text("now-celsius"), "21.1 °C");
            let left = browser.get("timeLeft(answer, state, clock.now()).toGo").as_f64().unwrap();
            pass(&browser, (60.0 * left) as u32);
            browser.hold("stop", 1500);
            while browser.is_seen("step") {
                browser.click("step");
            }
        } else {
            develop(&browser);
        }
        assert_eq!(small(&browser), json!([]), "tank {n}");
        let wide = browser.get("document.documentElement.scrollWidth - innerWidth");
        assert!(wide.as_f64().unwrap() <= 0.0, "{wide}");
        let lines = lines(&browser);
        assert_eq!(lines.len(), if n < 3 { n } else { 4 }, "{lines:?}");
        assert!(lines[n - 1].starts_with(&format!("2026-11-17, tank {n}, ")), "{lines:?}");
        shot(&browser, &format!("night-{n}"));
        if n < 3 {
            browser.click("next");
            assert_eq!(browser.get("document.activeElement.id"), "start");
        }
    }
    assert_eq!(browser.text("tanks").matches('☑').count(), 3);
    let lines = lines(&browser);
    assert!(lines[1].contains("class bath: Ben (1 × 135-36), Ada (2 × 135-36), films 3 4 5"));
    assert!(
        lines[1].contains("270 ml of replenisher: developed 13:")
            && lines[1].ends_with("at 21.1 to 21.5 °C")
    );
    assert!(lines[2].contains("fresh: Dan (1 × 120): developed 20:1"), "{lines:?}");
    assert_eq!(light_pixels(&browser), 0);
    // The last line enters the night, with the temperatures that were saved.
    let logs =
        "[...document.querySelectorAll('#log-files a')].map((a) => [a.download, a.dataset.csv])";
    for log in browser.get(logs).as_array().unwrap() {
        desk.write(log[0].as_str().unwrap(), log[1].as_str().unwrap());
    }
    let args: Vec<&str> = lines[3].split(' ').skip(1).collect();
    let (status, out, err) = desk.run(&args);
    assert_eq!(status, 0, "{}: {out}{err}", lines[3]);
    let journal = desk.read("data/bath.csv");
    assert!(journal.contains("class night, batch 2 of 2"), "{out}");
    assert!(journal.contains("temperatures-2.csv"), "{out}");
    quiet(&browser);
}

#[test]
fn each_tank_counts_as_drift_does() {
    let desk = of_two_films();
    let Some(browser) = opened(&desk, "the tanks of a night against drift", 800, 600) else {
        return;
    };
    let tanks =
        browser.get("tanks.map((t) => [t.pairing, t.contrast, t.kept, t.law.energy, t.celsius])");
    let tanks = tanks.as_array().unwrap().clone();
    assert!(tanks.iter().any(|t| t[0] == "Fenmoth in Quillback 1+6"), "{tanks:?}");
    let mut energies: Vec<String> = tanks.iter().map(|t| t[3].to_string()).collect();
    energies.sort();
    energies.dedup();
    assert_eq!(energies.len(), 2, "two laws: {energies:?}");
    let mut rng = StdRng::seed_from_u64(31);
    let mut greatest: f64 = 0.0;
    for (n, tank) in tanks.iter().enumerate() {
        let pairing = match tank[0].as_str().unwrap() {
            "Fenmoth in Quillback 1+6" => "other.toml",
            _ => "pairing.toml",
        };
        let contrast = tank[1].to_string();
        for _ in 0..4 {
            let mut minutes = 0.0;
            let mut celsius: f64 = rng.random_range(18.0..24.0);
            let mut log = String::from("minutes,celsius\n");
            let mut readings = Vec::new();
            for _ in 0..rng.random_range(1..6) {
                log.push_str(&format!("{minutes:.4},{celsius:.2}\n"));
                readings.push(json!({ "minutes": (minutes * 1e4_f64).round() / 1e4,
                    "celsius": (celsius * 1e2).round() / 1e2 }));
                minutes += rng.random_range(0.1..2.0);
                celsius += rng.random_range(-1.0..1.0);
            }
            desk.write("log.csv", &log);
            let mut args = vec!["drift", pairing, "log.csv", "--contrast", &contrast, "--json"];
            if tank[2] == true {
                args.extend(["--bath", "data/bath.csv", DAY[0], DAY[1]]);
            }
            let drift = desk.json(&args);
            let script = "const t = tanks[arguments[0]], readings = arguments[1];
                return { effective: effectiveMinutes(t.law, readings, t.activity.value),
                    remaining: remainingMinutes(t.law, readings, t.activity, t.target) };";
            let found = browser.run(script, json!([n, readings]));
            for (found, expected) in [
                (&found["effective"], &drift["effective_minutes"]),
                (&found["remaining"]["value"], &drift["remaining_minutes"]["value"]),
                (&found["remaining"]["low"], &drift["remaining_minutes"]["low"]),
                (&found["remaining"]["high"], &drift["remaining_minutes"]["high"]),
            ] {
                let (found, expected) = (number(found), number(expected));
                greatest = greatest.max((found - expected).abs());
                assert!((found - expected).abs() < 1e-9, "tank {}: {found} {expected}", n + 1);
            }
        }
    }
    println!("greatest difference of {} tanks: {greatest:.1e} min", tanks.len());
    quiet(&browser);
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value}"))
}
