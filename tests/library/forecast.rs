//! The forecast of a bath: the law of mixing, what must not matter, what is refused, what is absent.

use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use wedgebook::bath::forecast::{
    Assumptions, Bath, Event, EventKind, Forecast, ForecastError, ForecastNote, LONGEST_DAYS,
    MOST_FILMS, NoForecast, Question, ROLL_M2, Values, mixed, passed,
};

const FILM: EventKind = EventKind::Film { area_m2: ROLL_M2 };

fn at(day: f64, kind: EventKind) -> Event {
    Event { day, kind }
}

fn mix(day: f64, litres: f64) -> Event {
    at(day, EventKind::Mix { litres })
}

fn strip(day: f64, ln_activity: f64, sd: f64) -> Event {
    at(day, EventKind::Strip { ln_activity, sd })
}

fn replenish(day: f64, ml: f64) -> Event {
    let kind = EventKind::Replenish { added_ml: ml, removed_ml: ml };
    at(day, kind)
}

fn words(notes: &[ForecastNote]) -> String {
    notes.iter().map(|note| format!("{note}\n")).collect()
}

fn follow(events: &[Event], now: f64) -> Bath {
    Bath::follow(events, &Assumptions::default(), now).unwrap()
}

/// A bath of one litre that loses 4 % a film and 0.1 % a day, with a strip after each film.
fn plain(films: u32) -> Vec<Event> {
    let mut events = vec![mix(0.0, 1.0), strip(0.0, 0.003, 0.01)];
    for k in 1..=films {
        let day = 5.0 * f64::from(k);
        let wobble = 0.006 * (2.3 * f64::from(k)).sin();
        let x = -0.04 * f64::from(k) - 0.001 * day + wobble;
        events.extend([at(day, FILM), strip(day, x, 0.01)]);
    }
    events
}

/// Replacing a share w of the bath n times leaves (1 − w)ⁿ of what it lacked:
/// aₙ = 1 − (1 − a₀)(1 − w)ⁿ, the same as exp(−n·w) for small w.
#[test]
fn replacing_a_share_again_and_again_is_exponential() {
    let (litres, ml, a0) = (2.5, 60.0, 0.7_f64);
    let share = 1e-3 * ml / litres;
    let mut a = a0;
    let values = Values { by_use: 1.0, by_age: 1e-3, dispersion: 1e-3 };
    // Film that brings the bath to a0, then replenishments, and a strip after each.
    let lost = EventKind::Film { area_m2: -a0.ln() * litres };
    let mut events = vec![mix(0.0, litres), at(0.0, lost)];
    for n in 1..=80_i32 {
        a = mixed(a, litres, 1e-3 * ml, 1e-3 * ml, 1.0);
        let closed = 1.0 - (1.0 - a0) * (1.0 - share).powi(n);
        assert!((a - closed).abs() < 1e-13, "{n}: {a} {closed}");
        events.push(replenish(0.0, ml));
        let mut until = events.clone();
        until.push(strip(0.0, 0.0, 0.01));
        let seen = passed(&until, &Assumptions::default(), &values).unwrap();
        let filtered = seen[0].expected.0.exp();
        assert!((filtered - closed).abs() < 1e-12, "{n}: {filtered} {closed}");
    }
    let small = mixed(a0, 1.0, 1e-5, 1e-5, 1.0);
    assert!(((1.0 - small) / (1.0 - a0) - (-1e-5_f64).exp()).abs() < 1e-9);
}

#[test]
fn topping_up_changes_the_volume() {
    assert!((mixed(0.6, 1.0, 0.0, 0.25, 1.0) - 0.68).abs() < 1e-15);
    let events = [
        mix(0.0, 1.0),
        strip(0.0, 0.0, 0.01),
        at(1.0, EventKind::Replenish { added_ml: 250.0, removed_ml: 50.0 }),
    ];
    assert!((follow(&events, 1.0).litres - 1.2).abs() < 1e-12);
}

#[test]
fn how_events_are_cut_does_not_matter() {
    let whole = plain(6);
    let mut cut = Vec::new();
    for event in &whole {
        if event.kind == FILM {
            let half = EventKind::Film { area_m2: 0.5 * ROLL_M2 };
            cut.extend([at(event.day - 2.0, half), at(event.day, half)]);
        } else {
            cut.push(*event);
        }
    }
    let (whole, cut) = (follow(&whole, 33.0), follow(&cut, 33.0));
    let (a, b) = (whole.activity().unwrap(), cut.activity().unwrap());
    assert!((a.value - b.value).abs() < 1e-9 && (a.low - b.low).abs() < 1e-9);
}

#[test]
fn many_exact_strips_give_the_coefficients() {
    let mut events = vec![mix(0.0, 2.0)];
    let (mut day, mut films) = (0.0, 0.0);
    for k in 0..90_i32 {
        day += f64::from(1 + (k * 7) % 11);
        if k % 3 != 0 {
            events.push(at(day, FILM));
            films += 1.0;
        }
        let x = -0.3 * films * ROLL_M2 / 2.0 - 0.0009 * day;
        events.push(strip(day, x, 0.001));
    }
    let c = follow(&events, day).coefficients().unwrap();
    let near = |found: f64, truth: f64| (found / truth - 1.0).abs() < 0.05;
    assert!(near(c.by_use.quantity.value, 0.3), "{c:?}");
    assert!(near(c.by_age.quantity.value, 0.0009), "{c:?}");
    assert!(!c.by_use.assumed && !c.by_age.assumed && !c.dispersion.assumed);
    let roll = c.percent_per_roll().value;
    assert!((roll - 100.0 * (1.0 - (-0.3 * ROLL_M2).exp())).abs() < 0.1, "{roll}");
    let month = c.percent_per_month().value;
    assert!((month - 100.0 * (1.0 - (-0.027_f64).exp())).abs() < 0.15, "{month}");
    assert!(c.by_use.quantity.low < 0.3 && 0.3 < c.by_use.quantity.high);
}

#[test]
fn the_replenishment_holds_the_activity() {
    let bath = follow(&plain(5), 25.0);
    let question = |hold| bath.replenishment(ROLL_M2, Some(0.2), Some(hold)).unwrap();
    let c = bath.coefficients().unwrap();
    for hold in [0.7, 0.8, 0.9] {
        let ml = question(hold);
        let loss = c.by_use.quantity.value * ROLL_M2 + c.by_age.quantity.value * 5.0;
        let l = 1e-3 * ml.value;
        let next = mixed(hold * (-loss).exp(), 1.0, l, l, 1.0);
        assert!((next - hold).abs() < 0.004, "{hold}: {next}");
        assert!(ml.low < ml.value && ml.value < ml.high);
    }
    assert!(question(0.9).value > question(0.8).value);
    let why = bath.replenishment(ROLL_M2, Some(0.2), Some(0.99)).unwrap_err();
    assert!(matches!(why, NoForecast::CannotHold { activity: Some(_), .. }), "{why}");
}

#[test]
fn a_strip_today_narrows_and_a_long_pause_widens() {
    let width = |bath: &Bath| {
        let a = bath.activity().unwrap();
        (a.high / a.low).ln()
    };
    let mut events = plain(4);
    let (soon, late) = (follow(&events, 21.0), follow(&events, 80.0));
    events.push(strip(80.0, -0.25, 0.01));
    let seen = follow(&events, 80.0);
    assert!(width(&soon) < width(&late) && width(&seen) < width(&late));
    assert!((seen.activity().unwrap().value.ln() + 0.25).abs() < 0.01);
}

#[test]
fn more_strips_make_the_forecast_narrower() {
    let spread = |films| {
        let events = plain(films);
        let bath = follow(&events, 5.0 * f64::from(films));
        let count = bath.films_left(ROLL_M2, None, 0.5, 0.9).unwrap();
        f64::from(count.high - count.low) / f64::from(count.median)
    };
    let (few, many) = (spread(1), spread(6));
    assert!(many < 0.7 * few, "{few} {many}");
}

/// Two earlier baths that lost 4 % a film tell of a third one that has seen no strip.
#[test]
fn earlier_baths_inform_the_present_one() {
    let mut events = plain(6);
    let shifted = plain(6).into_iter().map(|e| at(e.day + 40.0, e.kind));
    events.extend(shifted);
    events.extend([mix(80.0, 1.0), at(81.0, FILM), at(81.0, FILM)]);
    let bath = follow(&events, 82.0);
    let a = bath.activity().unwrap();
    assert!((a.value.ln() + 0.08).abs() < 0.02 && a.high / a.low < 1.25, "{a:?}");
    assert!(!bath.coefficients().unwrap().by_use.assumed);
    let notes = words(&bath.notes());
    assert!(notes.contains("no control strip since the bath was mixed"), "{notes}");
    assert!(notes.contains("14 strips of earlier baths"), "{notes}");
}

#[test]
fn without_strips_all_is_absent_and_says_why() {
    let events = [mix(0.0, 1.0), at(3.0, FILM), at(20.0, FILM)];
    let bath = follow(&events, 21.0);
    let forecast = bath.answer(&Question::default());
    let why = forecast.activity.unwrap_err();
    assert_eq!(
        why.to_string(),
        "no control strip has been read yet: read one now, and another after about 2 films of 36 exposures"
    );
    assert_eq!(forecast.films_left.unwrap_err(), why);
    assert_eq!(forecast.days_left.unwrap_err(), why);
    assert_eq!(forecast.replenishment_ml.unwrap_err(), why);
    assert!(forecast.coefficients.is_err() && forecast.notes.is_empty());
}

#[test]
fn what_rests_on_assumptions_says_so() {
    let events = [mix(0.0, 1.0), at(10.0, FILM), strip(10.0, -0.03, 0.01)];
    let forecast =
        Forecast::of(&events, &Assumptions::default(), 10.0, &Question::default()).unwrap();
    let notes = words(&forecast.notes);
    for part in [
        "the loss by use rests",
        "the loss by age rests more than half on an assumption",
        "an activity of 0.80 is assumed to be the lowest that is usable",
        "common practice, no source",
    ] {
        assert!(notes.contains(part), "{part}: {notes}");
    }
    let pace = forecast.films_per_day.unwrap_err();
    assert_eq!(pace, NoForecast::FewFilms { days: 10.0 });
    assert_eq!(forecast.films_left.unwrap_err(), pace);
    assert!(forecast.films_left_now.is_ok() && forecast.days_left_unused.is_ok());
}

#[test]
fn a_misread_strip_is_told() {
    let mut events = plain(8);
    assert!(follow(&events, 40.0).contradictions.is_empty());
    if let EventKind::Strip { ln_activity, .. } = &mut events[11].kind {
        *ln_activity += 0.15;
    }
    let bath = follow(&events, 42.0);
    assert!(
        bath.contradictions.iter().any(|c| c.day == events[11].day && c.off > 4.0),
        "{:?}",
        bath.contradictions
    );
    assert!(words(&bath.notes()).contains("read it again"));
}

/// A piece of leader is followed as a strip is, by its own standard deviation, and counted by itself.
#[test]
fn a_piece_of_leader_shows_the_activity_less_surely() {
    let read = |kind: EventKind| follow(&[mix(0.0, 1.0), at(0.0, FILM), at(1.0, kind)], 1.0);
    let ln_activity = -0.15;
    let strip = read(EventKind::Strip { ln_activity, sd: 0.015 });
    let leader = read(EventKind::Leader { ln_activity, sd: 0.05 });
    let width = |bath: &Bath| {
        let q = bath.activity().unwrap();
        (q.high / q.low).ln()
    };
    assert!(width(&leader) > 1.3 * width(&strip), "{} {}", width(&leader), width(&strip));
    assert_eq!((leader.strips.present, leader.leaders.present), (0, 1));
    assert_eq!((strip.strips.present, strip.leaders.present), (1, 0));
    assert!(!words(&leader.notes()).contains("no control strip since"));
    // In an earlier bath it is named as what it was.
    let later = [
        mix(0.0, 1.0),
        at(1.0, EventKind::Leader { ln_activity, sd: 0.05 }),
        mix(2.0, 1.0),
        at(3.0, EventKind::Strip { ln_activity: 0.0, sd: 0.015 }),
    ];
    let notes = words(&follow(&later, 3.0).notes());
    assert!(notes.contains("1 piece of leader of earlier baths"), "{notes}");
}

#[test]
fn what_cannot_be_is_refused() {
    let told = |events: &[Event], now: f64| {
        Bath::follow(events, &Assumptions::default(), now).unwrap_err().to_string()
    };
    for (events, now, words) in [
        (vec![], 0.0, "nothing has happened yet"),
        (vec![at(1.0, FILM)], 1.0, "a film on day 1, and no bath"),
        (vec![mix(0.0, 0.0)], 0.0, "the litres must be between 0.001 and a million, and is 0"),
        (vec![mix(0.0, f64::NAN)], 0.0, "the litres must be"),
        (vec![mix(f64::NAN, 1.0)], 0.0, "the day must be"),
        (vec![mix(5.0, 1.0), at(4.0, FILM)], 9.0, "put the events in order"),
        (vec![mix(0.0, 1.0), strip(1.0, 0.0, 0.0)], 9.0, "standard deviation"),
        (vec![mix(0.0, 1.0), strip(1.0, f64::INFINITY, 0.1)], 9.0, "log activity"),
        (vec![mix(0.0, 1.0), replenish(1.0, 1500.0)], 9.0, "out of a bath of 1 litres"),
        (vec![mix(0.0, 1.0), at(1.0, EventKind::Discard)], 9.0, "it was thrown away"),
        (vec![mix(0.0, 1.0), at(1.0, EventKind::Discard), at(2.0, FILM)], 9.0, "no bath"),
        (vec![mix(5.0, 1.0)], 4.0, "the last event is of day 5"),
    ] {
        let message = told(&events, now);
        assert!(message.contains(words), "{message}");
    }
    let unfit = Assumptions { mixing_sd: 0.0, ..Assumptions::default() };
    assert!(matches!(
        Bath::follow(&[mix(0.0, 1.0)], &unfit, 0.0),
        Err(ForecastError::Assumption(_))
    ));
    let bath = follow(&plain(3), 15.0);
    assert!(bath.films_left(0.0, None, 0.8, 0.9).is_err());
    assert!(bath.films_left(ROLL_M2, Some(-1.0), 0.8, 0.9).is_err());
    assert!(bath.films_left(ROLL_M2, None, f64::NAN, 0.9).is_err());
    assert!(bath.days_left(0.1, 0.8, 1.0).is_err());
}

#[test]
fn a_bath_below_its_limit_has_no_film_left() {
    let bath = follow(&plain(8), 41.0);
    let count = bath.films_left(ROLL_M2, Some(0.2), 0.95, 0.9).unwrap();
    assert_eq!((count.low, count.median, count.high), (0, 0, 0));
    let days = bath.days_left(0.0, 0.95, 0.9).unwrap();
    assert_eq!((days.low, days.median, days.high), (0.0, 0.0, 0.0));
}

#[test]
fn days_and_films_beyond_counting_stop() {
    let bath = follow(&plain(3), 15.0);
    let days = bath.days_left(0.0, 0.01, 0.9).unwrap();
    assert_eq!(days.high, LONGEST_DAYS);
    let count = bath.films_left(1e-6, None, 0.5, 0.9).unwrap();
    assert_eq!(count.high, MOST_FILMS);
}

fn kind() -> impl Strategy<Value = EventKind> {
    prop_oneof![
        1 => (0.2..10.0_f64).prop_map(|litres| EventKind::Mix { litres }),
        5 => (0.001..0.5_f64).prop_map(|area_m2| EventKind::Film { area_m2 }),
        3 => (0.0..200.0_f64, 0.0..150.0_f64).prop_map(|(added_ml, removed_ml)| {
            EventKind::Replenish { added_ml, removed_ml }
        }),
        4 => (-1.5..0.5_f64, 1e-4..0.5_f64)
            .prop_map(|(ln_activity, sd)| EventKind::Strip { ln_activity, sd }),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 80,
        rng_seed: RngSeed::Fixed(31),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    /// Whatever happened, the answers are finite and in order, come out the same twice, and a lower
    /// limit never leaves fewer films.
    #[test]
    fn any_journal_has_an_answer(
        kinds in proptest::collection::vec((0.0..60.0_f64, kind()), 0..40),
        litres in 0.3..5.0_f64,
        pace in 0.01..5.0_f64,
    ) {
        let mut events = vec![mix(0.0, litres)];
        let mut day = 0.0;
        for (days, kind) in kinds {
            day += days;
            events.push(at(day, kind));
        }
        let Ok(bath) = Bath::follow(&events, &Assumptions::default(), day + 1.0) else {
            // Only too much taken out can be wrong with it.
            let emptied = matches!(
                Bath::follow(&events, &Assumptions::default(), day + 1.0),
                Err(ForecastError::Emptied { .. })
            );
            prop_assert!(emptied);
            return Ok(());
        };
        let again = Bath::follow(&events, &Assumptions::default(), day + 1.0).unwrap();
        let question = Question { films_per_day: Some(pace), ..Question::default() };
        let forecast = bath.answer(&question);
        prop_assert_eq!(&forecast, &again.answer(&question));
        let quantities = [forecast.activity.ok(), forecast.replenishment_ml.ok()];
        for q in quantities.into_iter().flatten() {
            prop_assert!(q.low.is_finite() && q.high.is_finite(), "{:?}", q);
            prop_assert!(0.0 < q.low && q.low <= q.value && q.value <= q.high, "{:?}", q);
        }
        if let (Ok(left), Ok(now)) = (forecast.films_left, forecast.films_left_now) {
            for c in [left, now] {
                prop_assert!(c.low <= c.median && c.median <= c.high, "{:?}", c);
            }
            prop_assert!(left.median <= now.median);
            let lower = bath.films_left(ROLL_M2, None, 0.7, 0.9).unwrap();
            prop_assert!(lower.median >= now.median);
        }
        if let (Ok(left), Ok(unused)) = (forecast.days_left, forecast.days_left_unused) {
            for d in [left, unused] {
                prop_assert!(d.low <= d.median && d.median <= d.high, "{:?}", d);
            }
            prop_assert!(left.median <= unused.median + 1e-3);
        }
    }

    /// Numbers that can be typed but hardly be meant: no panic, and no number that is none.
    #[test]
    fn wild_numbers_are_borne(
        kinds in proptest::collection::vec(
            (
                prop_oneof![Just(0.0), 0.0..1e4_f64],
                prop_oneof![
                    (-3.0..6.0_f64).prop_map(|l| EventKind::Mix { litres: 10_f64.powf(l) }),
                    (-9.0..6.0_f64).prop_map(|l| EventKind::Film { area_m2: 10_f64.powf(l) }),
                    (-9.0..9.0_f64, -9.0..9.0_f64).prop_map(|(f, r)| EventKind::Replenish {
                        added_ml: 10_f64.powf(f),
                        removed_ml: 10_f64.powf(r),
                    }),
                    (-5.0..5.0_f64, -4.0..0.6_f64).prop_map(|(ln_activity, l)| EventKind::Strip {
                        ln_activity,
                        sd: 10_f64.powf(l),
                    }),
                ],
            ),
            0..30,
        ),
    ) {
        let mut events = vec![mix(0.0, 1.0)];
        let mut day = 0.0;
        for (days, kind) in kinds {
            day += days;
            events.push(at(day, kind));
        }
        let Ok(bath) = Bath::follow(&events, &Assumptions::default(), day) else {
            return Ok(());
        };
        if let Ok(a) = bath.activity() {
            prop_assert!(a.low <= a.value && a.value <= a.high, "{:?}", a);
            prop_assert!(a.low >= 0.0 && a.high < f64::INFINITY, "{:?}", a);
            let c = bath.films_left(ROLL_M2, Some(0.1), 0.8, 0.9).unwrap();
            prop_assert!(c.low <= c.median && c.median <= c.high, "{:?}", c);
        }
    }
}
