//! The acts as a person types them.

use super::{Desk, bare, discard, film, mix, note, replenish, strip};
use serde_json::{Value, json};
use wedgebook::bath::journal::Journal;

/// Every act, written and read back.
#[test]
fn what_is_entered_is_read_back() {
    let desk = Desk::new();
    let mut entries = vec![
        mix(1, 1.5),
        film(2, "3 × 135-36", 0.168),
        replenish(2, 125.0, 125.0),
        strip(4),
        note(5, "yellow; \"brown\" at the rim, +5 °C"),
        discard(6),
        mix(6, 0.75),
    ];
    entries[1].note = Some("# of rolls from memory".to_owned());
    for (index, entry) in entries.iter().enumerate() {
        let appended = Journal::append(&desk.path("bath.csv"), entry).unwrap();
        assert_eq!(appended.line, 2 + index as u64);
        assert_eq!((appended.notes.len(), appended.torn), (0, None));
        assert_eq!(appended.balance, desk.journal().balance());
    }
    let journal = desk.journal();
    assert_eq!(bare(&journal.entries), entries);
    assert_eq!(journal.entries[6].line, 8);
    assert!(journal.notes.is_empty() && journal.torn.is_none());
    let temperatures = journal.balances().map(|(_, balance)| balance.celsius);
    let expected =
        [None, None, None, Some((20.5, 20.5)), Some((20.5, 20.5)), Some((20.5, 20.5)), None];
    assert_eq!(temperatures.collect::<Vec<_>>(), expected);
}

#[test]
fn a_bath_from_mix_to_discard() {
    let desk = Desk::new();
    let out = desk.bath(&[
        "mix",
        "bath.csv",
        "--litres",
        "1,5",
        "--what",
        "Quillback 1+6",
        "--dilution",
        "1+6",
        "--date",
        "2026-03-03",
    ]);
    assert_eq!(
        (out.status, out.out.as_str()),
        (
            0,
            "2026-03-03  mixed 1.5 litres of Quillback 1+6\n  bath: 1.5 litres, no film so far, mixed today\n"
        )
    );
    assert_eq!(
        desk.done("film bath.csv --rolls 3 --date 2026-03-05"),
        "2026-03-05  3 × 135-36, 0.168 m²\n  bath: 1.5 litres, 3 films and 0.168 m² so far, 2 days old\n  note: area from nominal dimensions\n"
    );
    assert_eq!(
        desk.done(
            "film bath.csv --rolls 120=2 --rolls 135-24=1 --sheets 4x5in=6 --date 2026-03-05"
        ),
        "2026-03-05  2 × 120 + 1 × 135-24 + 6 × 4x5in, 0.2195 m²\n  bath: 1.5 litres, 12 films and 0.3875 m² so far, 2 days old\n  note: area from nominal dimensions\n"
    );
    assert_eq!(
        desk.done("film bath.csv --area-m2 0.25 --date 2026-03-06"),
        "2026-03-06  film, 0.25 m²\n  bath: 1.5 litres, 12 films and more, 0.6375 m² so far, 3 days old\n"
    );
    assert_eq!(
        desk.done("replenish bath.csv --added-ml 125 --date 2026-03-06"),
        "2026-03-06  added 125 ml, removed 125 ml\n  bath: 1.5 litres, 12 films and more, 0.6375 m² so far, 3 days old\n"
    );
    assert_eq!(
        desk.done("replenish bath.csv --added-ml 125 --removed-ml 0 --date 2026-03-06"),
        "2026-03-06  added 125 ml, removed 0 ml\n  bath: 1.625 litres, 12 films and more, 0.6375 m² so far, 3 days old\n"
    );
    assert_eq!(
        desk.done("note bath.csv turned yellow --date 2026-03-07"),
        "2026-03-07  noted\n  bath: 1.625 litres, 12 films and more, 0.6375 m² so far, 4 days old\n"
    );
    let discarded = desk.done("discard bath.csv --date 2026-05-01 --note brown");
    assert!(
        discarded
            .contains("caution: dispose of it as the maker's safety sheet and the local rules"),
        "{discarded}"
    );
    assert!(
        discarded.starts_with(
            "2026-05-01  discarded\n  bath: discarded on 2026-05-01, 59 days old, after 12 films and more, 0.6375 m²\n"
        ),
        "{discarded}"
    );
    assert_eq!(
        desk.done("mix bath.csv --litres 2 --date 2026-05-01"),
        "2026-05-01  mixed 2 litres\n  bath: 2 litres, no film so far, mixed today\n"
    );
    let journal = desk.journal();
    assert_eq!(journal.entries.len(), 9);
    assert_eq!(journal.entries[6].note.as_deref(), Some("turned yellow"));
    assert_eq!(journal.entries[7].note.as_deref(), Some("brown"));
}

/// Without a date an entry is of today.
#[test]
fn today_is_the_usual_date() {
    let desk = Desk::new();
    let before = wedgebook::bath::journal::today();
    desk.done("mix bath.csv --litres 1");
    let after = wedgebook::bath::journal::today();
    assert!((before..=after).contains(&desk.journal().entries[0].date));
}

#[test]
fn json_keeps_its_keys() {
    let desk = Desk::mixed();
    let document = desk.done("film bath.csv --rolls 3 --date 2026-03-05 --note warm --json");
    let document: Value = serde_json::from_str(&document).unwrap();
    let entry = json!({
        "line": 3, "date": "2026-03-05", "act": "film", "films": "3 × 135-36",
        "area_m2": 0.168, "note": "warm",
    });
    let expected = json!({
        "bath": "bath.csv",
        "entry": entry,
        "entries": [entry],
        "balance": {
            "mixed": "2026-03-03", "discarded": null, "age_days": 2, "mixed_litres": 1.5,
            "litres": 1.5, "films": 3, "film_entries_without_number": 0, "area_m2": 0.168,
            "added_ml": 0.0, "removed_ml": 0.0, "strips": 0, "leaders": 0,
            "celsius_low": null, "celsius_high": null,
        },
        "notes": ["area from nominal dimensions"],
    });
    assert_eq!(document, expected);
    let discard = desk.done("discard bath.csv --date 2026-03-06 --json");
    assert!(discard.contains("safety sheet"), "{discard}");
}

/// The file that a first mix makes, to the byte: others read it too.
#[test]
fn the_file_is_plain_csv() {
    let desk = Desk::mixed();
    desk.done("note bath.csv a,b --date 2026-03-04");
    let text = desk.text();
    let lines: Vec<&str> = text.lines().collect();
    assert!(lines[0].starts_with("\u{FEFF}date,act,litres,what,dilution,films,area_m2,added_ml,"));
    assert!(lines[0].ends_with(
        ",high_density,high_density_off,note,verdict,numbers,load,vessel,development,temperatures"
    ));
    assert_eq!(lines[1], format!("2026-03-03,mix,1.5{}", ",".repeat(31)));
    let after = ",".repeat(6);
    assert_eq!(lines[2], format!("2026-03-04,note{}\"a,b\"{after}", ",".repeat(26)));
    assert_eq!(lines.len(), 3);
}
