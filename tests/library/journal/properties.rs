//! What holds for any entries and any bytes.

use super::{TODAY, bare};
use jiff::civil::{Date, date};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use wedgebook::bath::journal::{
    Act, Balance, Column, Entry, Journal, LeaderResult, Load, Numbered, StripResult,
};

/// A text of one line without blanks at its ends, with all that CSV makes much of.
fn text() -> impl Strategy<Value = String> {
    "[a-zA-Z0-9 ,;\"'#=+×°é-]{0,12}".prop_map(|text| text.trim().to_owned())
}

fn some_text() -> impl Strategy<Value = Option<String>> {
    text().prop_map(|text| Some(text).filter(|t| !t.is_empty()))
}

fn needed_text() -> impl Strategy<Value = String> {
    ("[a-z]", text()).prop_map(|(first, rest)| format!("{first}{rest}"))
}

fn strip() -> impl Strategy<Value = Act> {
    let numbers = prop::collection::vec(prop::option::of(0.02..1.9_f64), 15);
    (needed_text(), some_text(), some_text(), needed_text(), numbers).prop_map(
        |(name, batch, pairing, verdict, n)| {
            let (low, high) = match (n[3], n[4]) {
                (Some(a), Some(b)) => (Some(a.min(b)), Some(a.max(b))),
                ends => ends,
            };
            let within = |v: f64| v.clamp(low.unwrap_or(v), high.unwrap_or(v));
            Act::Strip(Box::new(StripResult {
                name,
                batch,
                pairing,
                minutes: n[0],
                celsius: n[1],
                activity: n[2].map(|v| if low.is_some() && high.is_some() { within(v) } else { v }),
                activity_low: low,
                activity_high: high,
                contrast: n[5],
                contrast_off: n[6].map(|v| -v),
                base_plus_fog: n[7],
                base_plus_fog_off: n[8].map(|v| -v * 1e-9),
                speed_log_h: n[9].map(|v| -v),
                speed_gain_log_h: n[10],
                low_density: n[11],
                low_density_off: n[12],
                high_density: n[13],
                high_density_off: n[14],
                verdict,
            }))
        },
    )
}

fn leader() -> impl Strategy<Value = Act> {
    let numbers = prop::collection::vec(prop::option::of(0.02..1.9_f64), 3);
    let activity = (0.1..1.0_f64, 0.0..0.5_f64, 0.0..0.5_f64, any::<bool>());
    (some_text(), some_text(), numbers, activity).prop_map(
        |(name, family, n, (a, down, up, sure))| {
            Act::Leader(Box::new(LeaderResult {
                name,
                family,
                minutes: n[0],
                celsius: n[1],
                density: n[2],
                activity: Some(a),
                activity_low: sure.then_some(a - down),
                activity_high: sure.then_some(a + up),
            }))
        },
    )
}

/// An act, with a share of the bath in place of what is removed.
fn act() -> impl Strategy<Value = Act> {
    let replenish = (0.001..900.0_f64, 0.0..=1.0_f64)
        .prop_map(|(added_ml, removed_ml)| Act::Replenish { added_ml, removed_ml });
    let film = (text(), 1e-6..20.0_f64, prop::option::of(load()))
        .prop_map(|(films, area_m2, load)| Act::Film { films, area_m2, load });
    prop_oneof![
        1 => mix(),
        4 => film,
        3 => replenish,
        2 => strip(),
        1 => leader(),
        1 => Just(Act::Note),
        1 => Just(Act::Discard),
    ]
}

/// What is known of film beside its area. Its numbers are given later: no two films have the same.
fn load() -> impl Strategy<Value = Box<Load>> {
    let lay = prop::collection::vec((prop::option::of(1..9_u32), prop::option::of(1..9_u32)), 1..4);
    let number = || prop::option::of(0.5..40.0_f64);
    let texts = (some_text(), some_text(), some_text(), some_text());
    (lay, prop::option::of(1..9_u32), texts, number(), number(), number()).prop_map(
        |(lay, batch, (vessel, pairing, development, temperatures), minutes, celsius, contrast)| {
            let film = |(reel, place)| Numbered { number: 1, reel, place };
            Box::new(Load {
                films: lay.into_iter().map(film).collect(),
                batch,
                vessel,
                pairing,
                minutes,
                celsius,
                contrast: contrast.map(|c| c / 10.0),
                development,
                temperatures,
            })
        },
    )
}

fn mix() -> impl Strategy<Value = Act> {
    (0.01..50.0_f64, some_text(), some_text()).prop_map(|(litres, what, dilution)| Act::Mix {
        litres,
        what,
        dilution,
    })
}

/// Entries that may follow each other: what may not is left out.
fn entries() -> impl Strategy<Value = Vec<Entry>> {
    let further = prop::collection::vec((0..4_i64, act(), some_text()), 0..12);
    (mix(), some_text(), further).prop_map(|(first, note, further)| {
        let mut on = date(2026, 1, 1);
        let mut entries = vec![Entry::new(on, first, note)];
        let (mut balance, mut number) = (Balance::default(), 0);
        balance.enter(&entries[0]);
        for (days, mut act, note) in further {
            let free = matches!(act, Act::Mix { .. } | Act::Note);
            if !free && !balance.in_use() || act == Act::Note && note.is_none() {
                continue;
            }
            if let Act::Replenish { removed_ml, .. } = &mut act {
                *removed_ml = (*removed_ml * balance.litres * 1e3 * 1e3).floor() / 1e3;
            }
            if let Act::Film { load: Some(load), .. } = &mut act {
                for film in &mut load.films {
                    number += 1;
                    film.number = number;
                }
            }
            on = on.checked_add(jiff::Span::new().days(days)).unwrap();
            let entry = Entry::new(on, act, note);
            balance.enter(&entry);
            entries.push(entry);
        }
        entries
    })
}

/// The headings of a file, in some order, separated and ended in some way.
fn head() -> impl Strategy<Value = String> {
    let names = |columns: usize| -> Vec<&str> {
        Column::ALL[..columns].iter().map(|c| c.name()).chain(["tray", "who"]).collect()
    };
    // The first 29 columns are those of journals from before films had numbers.
    let order = prop_oneof![Just(names(34)), Just(names(29))].prop_shuffle();
    let style = prop::sample::select(vec![
        (",", "\n"),
        (";", "\n"),
        ("\t", "\r\n"),
        (",", "\r\n"),
        (";", "\r\n"),
    ]);
    let mark = prop::sample::select(vec!["", "\u{FEFF}"]);
    (order, style, mark)
        .prop_map(|(names, (separator, end), mark)| format!("{mark}{}{end}", names.join(separator)))
}

fn config(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(20_260_303),
        ..ProptestConfig::default()
    }
}

proptest! {
    #![proptest_config(config(64))]

    /// Whatever is entered, in whatever style of file, is read back.
    #[test]
    fn entries_are_read_back(entries in entries(), head in prop::option::of(head())) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("bath.csv");
        if let Some(head) = head {
            std::fs::write(&path, head).unwrap();
        }
        let mut balance = Balance::default();
        for entry in &entries {
            balance.enter(entry);
            let appended = Journal::append(&path, entry).map_err(|e| TestCaseError::fail(e.to_string()))?;
            prop_assert_eq!(appended.balance, balance);
        }
        let journal = Journal::read(&path).unwrap();
        prop_assert_eq!(bare(&journal.entries), entries);
        prop_assert_eq!(journal.balance(), balance);
        prop_assert!(journal.torn.is_none());
        prop_assert!(balance.litres >= 0.0);
    }
}

fn day() -> Date {
    TODAY
}

proptest! {
    #![proptest_config(config(512))]

    #[test]
    fn any_bytes_give_a_journal_or_a_message(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        if let Err(error) = Journal::parse("any.csv", &bytes, day()) {
            prop_assert!(!error.to_string().is_empty());
        }
    }

    #[test]
    fn any_cells_give_a_journal_or_a_message(
        cells in prop::collection::vec(prop_oneof![
            "[-+0-9.,;:\"#\t eEnaif\r\n\u{0}×]{0,8}",
            prop::sample::select(vec!["2026-03-03", "mix", "film", "replenish", "discard", "1.5", "\n", "\n2026-03-04"])
                .prop_map(str::to_owned),
        ], 0..60),
        separator in prop::sample::select(vec![",", ";", "\t"]),
        head in prop::sample::select(vec!["date,act,litres,area_m2,added_ml,note\n", "act;date;litres\r\n", "sep=;\ndate;act\n", "date\tact"]),
    ) {
        let text = format!("{head}{}", cells.join(separator));
        match Journal::parse("any.csv", text.as_bytes(), day()) {
            Ok(journal) => prop_assert!(journal.balance().litres >= 0.0),
            Err(error) => prop_assert!(error.to_string().lines().count() <= 21),
        }
    }
}

proptest! {
    #![proptest_config(config(128))]

    /// A good journal with a run of bytes replaced: an entry is made after what was there, or the
    /// file stays as it is.
    #[test]
    fn nothing_is_lost_in_a_spoiled_file(
        at in any::<prop::sample::Index>(),
        new in prop::collection::vec(any::<u8>(), 0..8),
        cut in any::<bool>(),
    ) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("bath.csv");
        for entry in [super::mix(3, 1.0), super::film(4, "120", 0.05), super::strip(5), super::note(6, "a,\"b\"")] {
            Journal::append(&path, &entry).unwrap();
        }
        let mut bytes = std::fs::read(&path).unwrap();
        let at = at.index(bytes.len());
        if cut {
            bytes.truncate(at);
        }
        let end = (at + new.len()).min(bytes.len());
        bytes.splice(at..end, new);
        std::fs::write(&path, &bytes).unwrap();
        let outcome = Journal::append(&path, &super::note(7, "after"));
        let after = std::fs::read(&path).unwrap();
        match outcome {
            Err(_) => prop_assert_eq!(after, bytes),
            Ok(appended) => {
                let torn = std::fs::read(folder.path().join("bath.csv.torn")).unwrap_or_default();
                let kept = bytes.len() - torn.len().saturating_sub(1);
                prop_assert_eq!(&after[..kept], &bytes[..kept]);
                prop_assert_eq!(&bytes[kept..], torn.strip_suffix(b"\n").unwrap_or_default());
                let journal = Journal::read(&path).unwrap();
                prop_assert_eq!(journal.entries.last().unwrap().line, appended.line);
            }
        }
    }
}
