//! Grades of paper by their log exposure range.

use super::why::NoGrade;

/// A grade with the log exposure ranges that it is made for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grade {
    /// Its number.
    pub number: u8,
    /// What the table calls it; the softest and the hardest as read, the others as usual.
    pub label: &'static str,
    /// From this range (in log exposure, inclusive)
    pub from: f64,
    /// to this one.
    pub to: f64,
}

/// What rests on memory in [`GRADES`], in words for output.
pub const GRADES_ASSUMED: &str = "grades by the table of 1966 (ANSI PH2.2): its limits between grades are from memory, and makers differ";

/// Grades by log exposure range, the softest first.
///
/// # Source
/// Appendix of ANSI PH2.2-1966; grade 6 of an unpublished draft of 1978. The outer limits 1.70, 0.50
/// and 0.35 were read in an encyclopedia; the limits between grades are from memory.
pub const GRADES: [Grade; 7] = [
    grade(0, "very soft", 1.40, 1.70),
    grade(1, "soft", 1.15, 1.40),
    grade(2, "medium", 0.95, 1.15),
    grade(3, "hard", 0.80, 0.95),
    grade(4, "very hard", 0.65, 0.80),
    grade(5, "extra hard", 0.50, 0.65),
    grade(6, "harder than the table of 1966", 0.35, 0.50),
];

const fn grade(number: u8, label: &'static str, from: f64, to: f64) -> Grade {
    Grade { number, label, from, to }
}

impl Grade {
    /// The grade of a paper of range R, 100 times its log exposure range; at a limit the softer one.
    ///
    /// # Errors
    /// Which way R lies outside the table.
    pub fn of(range_r: f64) -> Result<Self, NoGrade> {
        // 1.15 is 115/100, whatever the last binary digit says.
        let range = range_r / 100.0 + 1e-9;
        let found = GRADES.into_iter().find(|g| range >= g.from);
        match found {
            Some(grade) if range <= GRADES[0].to + 2e-9 => Ok(grade),
            Some(_) => Err(NoGrade::Softer { range_r }),
            None => Err(NoGrade::Harder { range_r }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_has_no_gaps_and_its_limits_go_to_the_softer_grade() {
        for pair in GRADES.windows(2) {
            assert_eq!(pair[0].from, pair[1].to);
            assert_eq!(pair[0].number + 1, pair[1].number);
        }
        let number = |r: f64| Grade::of(r).map(|g| g.number);
        assert_eq!(number(115.0), Ok(1));
        assert_eq!(number(114.9), Ok(2));
        assert_eq!((number(170.0), number(35.0)), (Ok(0), Ok(6)));
        assert_eq!(number(171.0), Err(NoGrade::Softer { range_r: 171.0 }));
        assert_eq!(number(34.0), Err(NoGrade::Harder { range_r: 34.0 }));
        assert!(number(f64::NAN).is_err());
    }
}
