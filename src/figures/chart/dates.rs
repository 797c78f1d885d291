//! An axis of dates: days as numbers, and ticks from days to centuries.

use super::scale::Ticks;
use jiff::ToSpan;
use jiff::civil::Date;

const EPOCH: Date = Date::constant(1970, 1, 1);
const MONTHS: [&str; 12] =
    ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
/// More short ticks than this are a smear.
const MOST_MINOR: usize = 70;

/// Days since 1970-01-01: the coordinate of the beginning of a day.
#[must_use]
pub fn day_number(date: Date) -> f64 {
    (date.duration_since(EPOCH).as_secs() / 86_400) as f64
}

/// The date of a day number, if there is one.
fn date_of(day: f64) -> Option<Date> {
    if !(day.abs() < 4e6) {
        return None;
    }
    EPOCH.checked_add((day as i64).days()).ok()
}

/// The distance of two ticks.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Step {
    /// Days; by weeks they are Mondays.
    Days(i64),
    Months(i64),
}

/// From the finest to the coarsest.
const STEPS: [Step; 19] = [
    Step::Days(1),
    Step::Days(2),
    Step::Days(7),
    Step::Days(14),
    Step::Months(1),
    Step::Months(3),
    Step::Months(6),
    Step::Months(12),
    Step::Months(24),
    Step::Months(60),
    Step::Months(120),
    Step::Months(240),
    Step::Months(600),
    Step::Months(1_200),
    Step::Months(2_400),
    Step::Months(6_000),
    Step::Months(12_000),
    Step::Months(24_000),
    Step::Months(60_000),
];

/// Ticks with dates for names, and the years that are written below them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DateTicks {
    /// The ticks: of days in the middle of the day, of months and years at their beginning.
    pub ticks: Ticks,
    /// Where a year is written below a tick, with the year: at the first tick, and at the first one
    /// of every year; none where the ticks are years themselves.
    pub years: Vec<(f64, String)>,
}

impl DateTicks {
    /// At most `most` ticks, between two day numbers.
    #[must_use]
    pub fn new((from, to): (f64, f64), most: usize) -> Self {
        let (Some(first), Some(last)) = (date_of(from.floor()), date_of(to.ceil())) else {
            return Self::default();
        };
        let fits = |step: &Step| step.estimate(to - from) <= most as f64 + 1.0;
        for (n, step) in STEPS.iter().enumerate().filter(|(_, s)| fits(s)) {
            let inside = |s: Step| -> Vec<(f64, Date)> {
                let within = |(at, _): &(f64, Date)| (from..=to).contains(at);
                s.between(first, last).into_iter().filter(within).collect()
            };
            let major = inside(*step);
            if major.len() <= most {
                let finer =
                    if n > 0 { inside_minor(STEPS[n - 1], to - from, inside) } else { Vec::new() };
                let minor =
                    finer.into_iter().filter(|at| major.iter().all(|(m, _)| m != at)).collect();
                return Self::named(*step, &major, minor);
            }
        }
        Self::default()
    }

    fn named(step: Step, major: &[(f64, Date)], minor: Vec<f64>) -> Self {
        let mut years: Vec<(f64, String)> = Vec::new();
        let yearly = matches!(step, Step::Months(m) if m % 12 == 0);
        let mut written = None;
        for (at, date) in major.iter().filter(|_| !yearly) {
            if written != Some(date.year()) {
                years.push((*at, date.year().to_string()));
                written = Some(date.year());
            }
        }
        let name = |date: &Date| match step {
            Step::Days(_) => format!("{} {}", date.day(), month(date)),
            Step::Months(_) if yearly => date.year().to_string(),
            Step::Months(_) => month(date).to_owned(),
        };
        let named = major.iter().map(|(at, date)| (*at, name(date)));
        Self { ticks: Ticks::named(named.collect(), minor), years }
    }
}

/// The places of a finer step, if there are not too many.
fn inside_minor(step: Step, span: f64, inside: impl Fn(Step) -> Vec<(f64, Date)>) -> Vec<f64> {
    if step.estimate(span) > MOST_MINOR as f64 {
        return Vec::new();
    }
    inside(step).into_iter().map(|(at, _)| at).collect()
}

fn month(date: &Date) -> &'static str {
    MONTHS[usize::from(date.month().unsigned_abs()) - 1]
}

impl Step {
    /// About how many there are in so many days.
    fn estimate(self, days: f64) -> f64 {
        match self {
            Self::Days(n) => days / n as f64,
            Self::Months(n) => days / (30.44 * n as f64),
        }
    }

    /// Its places from one date to another.
    fn between(self, first: Date, last: Date) -> Vec<(f64, Date)> {
        match self {
            Self::Days(n) => {
                let (start, end) = (day_number(first) as i64, day_number(last) as i64);
                // Day 4 of the count was a Monday.
                let offset = (4 - start).rem_euclid(n);
                let days = (start + offset..=end).step_by(n as usize);
                let placed = |day: i64| Some((day as f64 + 0.5, date_of(day as f64)?));
                days.filter_map(placed).collect()
            }
            Self::Months(n) => {
                let count = |d: Date| i64::from(d.year()) * 12 + i64::from(d.month()) - 1;
                let start = count(first).div_euclid(n) * n;
                let months = (start..=count(last)).step_by(n as usize);
                let placed = |m: i64| {
                    let year = i16::try_from(m.div_euclid(12)).ok()?;
                    let date = Date::new(year, m.rem_euclid(12) as i8 + 1, 1).ok()?;
                    Some((day_number(date), date))
                };
                months.filter_map(placed).collect()
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::{Weekday, date};

    fn names(from: Date, to: Date, most: usize) -> Vec<String> {
        DateTicks::new((day_number(from), day_number(to)), most).ticks.names
    }

    #[test]
    fn units_run_from_days_to_years() {
        let start = date(2026, 2, 26);
        assert_eq!(
            names(start, date(2026, 3, 3), 9),
            ["26 Feb", "27 Feb", "28 Feb", "1 Mar", "2 Mar"]
        );
        assert_eq!(names(start, date(2026, 4, 1), 9)[..2], ["2 Mar", "9 Mar"]);
        assert_eq!(names(start, date(2026, 9, 1), 9)[..3], ["Mar", "Apr", "May"]);
        assert_eq!(names(start, date(2028, 2, 1), 9)[..2], ["Apr", "Jul"]);
        assert_eq!(names(start, date(2034, 2, 1), 9)[..2], ["2027", "2028"]);
        assert_eq!(names(date(1000, 1, 1), date(3000, 1, 1), 9).len(), 5);
    }

    #[test]
    fn weeks_begin_on_mondays() {
        let range = (day_number(date(2026, 3, 1)), day_number(date(2026, 4, 20)));
        for at in DateTicks::new(range, 9).ticks.major {
            assert_eq!(date_of(at.floor()).unwrap().weekday(), Weekday::Monday);
        }
    }

    #[test]
    fn a_year_is_written_where_it_begins() {
        let range = (day_number(date(2025, 10, 5)), day_number(date(2026, 6, 1)));
        let ticks = DateTicks::new(range, 9);
        let years: Vec<&str> = ticks.years.iter().map(|y| y.1.as_str()).collect();
        assert_eq!(years, ["2025", "2026"]);
        assert_eq!(ticks.years[1].0, day_number(date(2026, 1, 1)));
        assert_eq!(ticks.ticks.names[0], "Nov");
    }

    #[test]
    fn what_is_no_range_has_no_ticks() {
        for range in [(f64::NAN, 3.0), (0.0, f64::INFINITY), (-1e12, 1e12)] {
            assert_eq!(DateTicks::new(range, 9), DateTicks::default());
        }
        assert_eq!(date_of(day_number(date(2024, 2, 29))), Some(date(2024, 2, 29)));
        assert_eq!(day_number(date(1969, 12, 31)), -1.0);
    }
}
