//! Journals as a person or a spreadsheet leaves them.

use super::{Desk, bare, faults, film, mix, note, parse, replenish, words};
use jiff::civil::date;
use wedgebook::bath::journal::{Act, Entry, Journal, StripResult};

/// The entries that all the files here hold.
fn entries() -> Vec<Entry> {
    let mut entries = vec![mix(3, 1.5), film(5, "3 × 135-36", 0.168), replenish(6, 62.5, 62.5)];
    entries[2].note = Some("cool; 18 °C".to_owned());
    entries
}

const PLAIN: &str = "date,act,litres,what,dilution,films,area_m2,added_ml,removed_ml,note\n\
    2026-03-03,mix,1.5,Quillback 1+6,1+6,,,,,\n\
    2026-03-05,film,,,,3 × 135-36,0.168,,,\n\
    2026-03-06,replenish,,,,,,62.5,,cool; 18 °C\n";

/// The table with semicolons and decimal commas.
fn semicolons() -> String {
    let text = PLAIN.replace("cool; 18", "\"cool; 18").replace("°C\n", "°C\"\n");
    text.replace("1.5", "1{5")
        .replace("0.168", "0{168")
        .replace("62.5", "62{5")
        .replace(',', ";")
        .replace('{', ",")
}

#[test]
fn every_style_is_read() {
    let crlf = PLAIN.replace('\n', "\r\n");
    let tabs = PLAIN.replace(',', "\t");
    let latin1: Vec<u8> = PLAIN.chars().map(|c| u8::try_from(c).unwrap()).collect();
    for (name, bytes) in [
        ("plain", PLAIN.to_owned().into_bytes()),
        ("line ends of another system", crlf.into_bytes()),
        ("tabs", tabs.into_bytes()),
        ("byte order mark", format!("\u{FEFF}{PLAIN}").into_bytes()),
        ("semicolons and decimal commas", semicolons().into_bytes()),
        ("stated separator", format!("sep=;\r\n{}", semicolons()).into_bytes()),
        ("Latin-1", latin1),
        ("no last line end", PLAIN.trim_end().to_owned().into_bytes()),
        (
            "capitals",
            PLAIN.replacen("date,act", "Date, ACT", 1).replace("film", "Film").into_bytes(),
        ),
        (
            "blank lines and remarks",
            format!("# tray 2\n\n{PLAIN}\n,,,,,,,,,\n# end\n").into_bytes(),
        ),
    ] {
        assert_eq!(bare(&parse(bytes).entries), entries(), "{name}");
    }
}

#[test]
fn columns_in_any_order_and_further_ones() {
    let text = "note;tray;removed_ml;added_ml;act;area_m2;films;litres;date;dilution;what;activty\n\
        ;2;;;mix;;;1,5;2026-03-03;1+6;Quillback 1+6;\n\
        ;;;;film;0,168;3 × 135-36;;2026-03-05;;;0,9\n\
        \"cool; 18 °C\";;;62,5;replenish;;;;2026-03-06;;;\n";
    let journal = parse(text);
    assert_eq!(bare(&journal.entries), entries());
    assert_eq!(
        words(&journal.notes),
        [
            "bath.csv:1: column \"tray\" is not known; it is kept as it is",
            "bath.csv:1: column \"activty\" is not known (did you mean \"activity\"?); it is kept as it is",
        ]
    );
    let desk = Desk::with(text);
    let run = desk.bath(&[
        "replenish",
        "bath.csv",
        "--added-ml",
        "12.5",
        "--date",
        "2026-03-07",
        "--note",
        "a;b",
    ]);
    assert_eq!(run.status, 0);
    assert_eq!(
        run.err.lines().next(),
        Some("wedgebook: note: bath.csv:1: column \"tray\" is not known; it is kept as it is")
    );
    assert_eq!(desk.text(), format!("{text}\"a;b\";;12,5;12,5;replenish;;;;2026-03-07;;;\n"));
}

/// Entries follow the separator, line end, decimal mark and encoding of the file.
#[test]
fn entries_follow_the_style_of_the_file() {
    let after = |text: &[u8]| {
        let desk = Desk::with(text);
        let run = desk.bath(&[
            "replenish",
            "bath.csv",
            "--added-ml",
            "7.5",
            "--date",
            "2026-03-08",
            "--note",
            "at 19 °C",
        ]);
        assert_eq!(run.status, 0, "{}", run.err);
        let bytes = std::fs::read(desk.path("bath.csv")).unwrap();
        bytes.strip_prefix(text).unwrap().to_owned()
    };
    let plain = b"\"2026-03-08\",replenish,,,,,,7.5,7.5,\"at 19 \xC2\xB0C\"\n";
    assert_eq!(after(PLAIN.as_bytes()), plain);
    assert_eq!(after(PLAIN.replace('\n', "\r\n").as_bytes()).last_chunk(), Some(b"C\"\r\n"));
    assert_eq!(
        after(semicolons().as_bytes()),
        b"\"2026-03-08\";replenish;;;;;;7,5;7,5;\"at 19 \xC2\xB0C\"\n"
    );
    assert_eq!(
        after(PLAIN.replace(',', "\t").as_bytes()),
        b"\"2026-03-08\"\treplenish\t\t\t\t\t\t7.5\t7.5\t\"at 19 \xC2\xB0C\"\n"
    );
    let latin1: Vec<u8> = PLAIN.chars().map(|c| u8::try_from(c).unwrap()).collect();
    assert_eq!(after(&latin1), b"\"2026-03-08\",replenish,,,,,,7.5,7.5,\"at 19 \xB0C\"\n");
    // Semicolons without any decimal mark: a place where commas are decimal.
    assert_eq!(
        after(b"date;act;litres;added_ml;removed_ml;note\n2026-03-03;mix;2;;;\n"),
        "\"2026-03-08\";replenish;;7,5;7,5;\"at 19 °C\"\n".as_bytes()
    );
}

/// A last line that is whole gets its line end, whatever it lacks of it.
#[test]
fn a_last_line_without_its_end_is_an_entry() {
    for (ending, given) in [("\n", ""), ("\r\n", ""), ("\r\n", "\r")] {
        let text = PLAIN.replace('\n', ending);
        let cut = format!("{}{given}", text.trim_end());
        let desk = Desk::with(&cut);
        let journal = desk.journal();
        assert_eq!((bare(&journal.entries), journal.torn), (entries(), None));
        Journal::append(&desk.path("bath.csv"), &note(9, "still clear")).unwrap();
        let line = format!("\"2026-03-09\",note,,,,,,,,\"still clear\"{ending}");
        assert_eq!(desk.text(), format!("{text}{line}"));
        assert!(!desk.path("bath.csv.torn").exists());
    }
}

/// A bath begins in a file that holds only its headings, or nothing, or remarks.
#[test]
fn a_journal_may_be_begun_by_hand() {
    let desk = Desk::with("act;date;litres;note");
    desk.bath(&["mix", "bath.csv", "--litres", "1.5", "--date", "2026-03-03"]);
    assert_eq!(desk.text(), "act;date;litres;note\nmix;2026-03-03;1,5;\n");
    for (start, mark) in [("", "\u{FEFF}"), ("# tray 2", "# tray 2\n")] {
        let desk = Desk::with(start);
        let empty = "wedgebook: bath.csv: the journal is empty; begin it with a mix: wedgebook bath mix bath.csv --litres N";
        assert_eq!(desk.refused("note bath.csv hello"), empty);
        desk.done("mix bath.csv --litres 1.5 --date 2026-03-03");
        let text = desk.text();
        assert!(text.starts_with(&format!("{mark}date,act,litres,")), "{text}");
        let journal = desk.journal();
        assert_eq!(journal.entries.len(), 1);
        assert_eq!(text.lines().count() as u64, journal.entries[0].line);
    }
}

#[test]
fn cells_without_a_use_are_noted() {
    let text = "date,act,litres,celsius,note\n2026-03-03,mix,1.5,21,\n2026-03-04,note,,20,ok\n2026-03-05,note,,19,ok\n";
    assert_eq!(
        words(&parse(text).notes),
        [
            "bath.csv:2, column \"celsius\": an entry of type mix does not use it; it is ignored",
            "bath.csv:3 and 1 more, column \"celsius\": an entry of type note does not use it; it is ignored",
        ]
    );
}

#[test]
fn a_quoted_text_may_have_several_lines() {
    let text =
        "date,act,litres,note\n2026-03-03,mix,1.5,\"one\ntwo\"\n2026-03-04,note,,\"three\nfour\"";
    let journal = parse(text);
    assert_eq!(journal.entries[0].note.as_deref(), Some("one\ntwo"));
    assert_eq!(journal.entries[1].note.as_deref(), Some("three\nfour"));
    assert_eq!((journal.entries[1].line, journal.torn), (4, None));
    let open = text.trim_end_matches('"');
    assert_eq!(
        faults(open),
        "bath.csv:4: a quotation mark opened here is not closed; close it, or double it where it belongs to the text"
    );
}

/// Journals once had speed with the other sign, in a column of another name. They are read and
/// continued as they are.
#[test]
fn an_old_journal_keeps_its_sign_of_speed() {
    let head = "date,act,litres,strip,activity,speed_off,note,verdict\n2026-03-03,mix,1.5,,,,,\n";
    let desk = Desk::with(format!("{head}2026-03-04,strip,,a,0.98,0.0179,,in spec\n"));
    let speeds = |journal: &Journal| -> Vec<Option<f64>> {
        let of = |entry: &Entry| match &entry.act {
            Act::Strip(strip) => Some(strip.speed_gain_log_h),
            _ => None,
        };
        journal.entries.iter().filter_map(of).collect()
    };
    assert_eq!(speeds(&desk.journal()), [Some(-0.0179)]);
    let strip = |speed_gain_log_h| {
        let strip = StripResult {
            name: "b".to_owned(),
            speed_gain_log_h: Some(speed_gain_log_h),
            verdict: "in spec".to_owned(),
            ..StripResult::default()
        };
        Entry::new(date(2026, 3, 5), Act::Strip(Box::new(strip)), None)
    };
    Journal::append(&desk.path("bath.csv"), &strip(0.25)).unwrap();
    Journal::append(&desk.path("bath.csv"), &strip(0.0)).unwrap();
    let text = desk.text();
    assert!(text.contains(",b,,-0.25,,") && text.contains(",b,,0,,"), "{text}");
    assert_eq!(speeds(&desk.journal()), [Some(-0.0179), Some(0.25), Some(0.0)]);
}
