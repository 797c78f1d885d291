//! `exposure` as a person meets it, and that `curve` finds the speed again with its answer.

use crate::desk::{Desk, data};

fn log_exposure(desk: &Desk, args: &[&str]) -> f64 {
    let json = desk.json(&[&["exposure", "--json"][..], args].concat());
    json["log_exposure_clear"]["value"].as_f64().unwrap()
}

#[test]
fn each_way_gives_an_exposure() {
    let desk = Desk::empty();
    let close = |found: f64, wanted: f64| assert!((found - wanted).abs() < 1e-9, "{found}");
    close(log_exposure(&desk, &["--lux", "2.5", "--seconds", "0.5"]), 1.25_f64.log10());
    // 2.5 lux at EV 0, twice as much with every step.
    close(log_exposure(&desk, &["--ev", "-1", "--seconds", "2"]), 2.5_f64.log10());
    let filtered = ["--ev", "-1", "--seconds", "2", "--filter-density", "0.3"];
    close(log_exposure(&desk, &filtered), 2.5_f64.log10() - 0.3);
    close(log_exposure(&desk, &["--exposure-index", "100"]), -1.0);
}

/// A film of known speed gives the exposure with which its own strip has that speed.
#[test]
fn a_film_of_known_speed_is_found_with_its_speed() {
    let desk = Desk::empty();
    let control = data("control.csv");
    let clear = log_exposure(&desk, &["--known", &control, "--speed", "125"]);
    let typed = clear.to_string();
    let curve = desk.json(&["curve", &control, "--log-exposure-clear", &typed, "--json"]);
    let point = curve["strips"][0]["speed_point_log_h"]["value"].as_f64().unwrap();
    assert!((0.8 / 10_f64.powf(point) - 125.0).abs() < 0.01, "{point}");
    let (_, out, err) = desk.run(&["exposure", "--known", &control, "--speed", "125"]);
    assert!(out.contains("holds for 0.80: developed"), "{out}");
    assert!(err.contains("--log-exposure-clear -"), "{err}");
}

#[test]
fn wrong_usage_is_refused() {
    let desk = Desk::empty();
    let (strip, controls) = (data("strip.csv"), data("controls.csv"));
    for (args, words) in [
        (&["--lux", "2"][..], "--seconds"),
        (&["--seconds", "2"], "--lux"),
        (&["--lux", "2", "--ev", "1", "--seconds", "1"], "cannot be used with"),
        (&["--lux", "-2", "--seconds", "1"], "-2"),
        (&["--known", &strip, "--speed", "100"], "must be tablet densities"),
        (&["--known", &controls, "--speed", "100"], "one strip"),
        (&["--known", "none.csv", "--speed", "100"], "none.csv"),
        (&["--exposure-index", "100", "--seconds", "1"], "cannot be used with"),
    ] {
        let (status, out, err) = desk.run(&[&["exposure"][..], args].concat());
        assert_eq!((status, out.as_str()), (2, ""), "{args:?}");
        assert!(err.contains(words), "{args:?}: {err}");
    }
}
