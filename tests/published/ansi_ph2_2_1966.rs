//! ANSI PH2.2-1966, appendix: grades of paper by log exposure range. Read: the outer ends and their
//! labels, grade 6 of a draft of 1978, and a medium paper of 1.05. The limits between grades are from
//! memory; nothing here fails on one of them alone.

use crate::shapes::{number, table};
use wedgebook::printing::Grade;

/// Rows whose limits or labels were read, at least in part.
fn row(grade: &str) -> csv::StringRecord {
    table("paper_grade_ranges.csv").into_iter().find(|row| &row[0] == grade).unwrap()
}

#[test]
fn the_softest_grade_ends_at_1_70() {
    let row = row("0");
    assert!(row[4].starts_with("outer end 1.70 and label read"));
    let end = number(&row, 3);
    let grade = Grade::of(100.0 * end).unwrap();
    assert_eq!((grade.number, grade.label), (0, &row[1]));
    assert!(Grade::of(100.0 * end + 1.0).is_err());
}

#[test]
fn the_hardest_grade_ends_at_0_50() {
    let row = row("5");
    assert!(row[4].starts_with("outer end 0.50 and label read"));
    let end = number(&row, 2);
    let grade = Grade::of(100.0 * end).unwrap();
    assert_eq!((grade.number, grade.label), (5, &row[1]));
    assert_ne!(Grade::of(100.0 * end - 1.0).unwrap().number, 5);
}

#[test]
fn the_draft_of_1978_goes_on_to_0_35() {
    let row = row("6");
    assert_eq!(&row[4], "read");
    for end in [number(&row, 2), number(&row, 3) - 0.01] {
        assert_eq!(Grade::of(100.0 * end).unwrap().number, 6);
    }
    assert!(Grade::of(100.0 * number(&row, 2) - 1.0).is_err());
}

/// The table's middle for grade 2 and the range that a forum text gives for it: 1.05 (read).
#[test]
fn a_range_of_1_05_is_a_medium_paper() {
    let read = table("tone_reproduction.csv")
        .into_iter()
        .find(|row| &row[0] == "grade_2_paper_log_exposure_range" && &row[3] == "read")
        .unwrap();
    let grade = Grade::of(100.0 * number(&read, 1)).unwrap();
    assert_eq!((grade.number, grade.label), (2, "medium"));
}
