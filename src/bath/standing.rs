//! The standing of a bath: whether film may go in.
//!
//! A bath stands as its last control strip found it, not as the last command left it. A new mix
//! begins anew: a strip of an earlier bath says nothing about this one. Every answer that gives a
//! time, a number of films or a plan for a kept bath has it with it; *do not use* and *discarded*
//! withhold the time.

mod leader;

pub use leader::{LastLeader, Since};

use super::journal::{Act, Entry};
use super::verify::Action;
use jiff::civil::Date;
use leader::since_words;
use std::fmt;

/// Days after which a strip is old (assumed; common practice, no source).
pub const OLD_AFTER_DAYS: i32 = 14;
/// Film developed after a strip, in **square metres a litre**, from which it is old: about four
/// films of 135-36 in a litre (assumed; common practice, no source).
pub const OLD_AFTER_M2_A_LITRE: f64 = 0.224;

/// Whether film may go into a bath.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// No control strip of this bath is known.
    Unknown,
    /// The last strip was in spec.
    Good,
    /// The last strip was out of spec, and another time restores the aim.
    CorrectByTime,
    /// The bath is to be replenished before film goes in.
    Replenish,
    /// No time restores the aim: film that goes in is spoiled.
    DoNotUse,
    /// Only pieces of leader show its activity: fog and speed are not known.
    LeaderOnly,
    /// The bath was thrown away.
    Discarded,
}

impl State {
    /// For programs.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Unknown => "unknown",
            Self::Good => "good",
            Self::CorrectByTime => "correct_by_time",
            Self::Replenish => "replenish",
            Self::DoNotUse => "do_not_use",
            Self::LeaderOnly => "leader_only",
            Self::Discarded => "discarded",
        }
    }

    /// Whether times, numbers of films and plans are withheld.
    #[must_use]
    pub const fn withholds(self) -> bool {
        matches!(self, Self::DoNotUse | Self::Discarded)
    }
}

impl fmt::Display for State {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Unknown => "unknown",
            Self::Good => "good",
            Self::CorrectByTime => "correct by time",
            Self::Replenish => "replenish",
            Self::DoNotUse => "do not use",
            Self::LeaderOnly => "judged by leader only",
            Self::Discarded => "discarded",
        })
    }
}

/// What a standing rests on.
#[derive(Clone, Debug, PartialEq)]
pub enum Cause {
    /// Nothing was mixed up to that day.
    NoBath,
    /// No control strip was developed in this bath.
    NoStrip,
    /// A control strip with its verdict.
    Strip(LastStrip),
    /// No control strip was developed in this bath, but a piece of leader.
    Leader(Box<LastLeader>),
    /// The bath was thrown away.
    Discarded {
        /// The day.
        date: Date,
        /// What was written beside it.
        note: Option<String>,
    },
}

/// The last control strip of a bath.
#[derive(Clone, Debug, PartialEq)]
pub struct LastStrip {
    /// Its name.
    pub name: String,
    /// The day.
    pub date: Date,
    /// Line of the journal, from 1.
    pub line: u64,
    /// The verdict as the journal has it.
    pub verdict: String,
    /// What to do by that verdict; `None` where a verdict by hand is none of ours.
    pub action: Option<Action>,
    /// How old it is, in days.
    pub age_days: i32,
    /// Film developed since, in **square metres**.
    pub area_m2_since: f64,
    /// Replenisher added since, in **ml**.
    pub added_ml_since: f64,
    /// Whether it is old, by days or by the film since.
    pub old: bool,
}

/// The standing of a bath.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// Whether film may go in.
    pub state: State,
    /// What that rests on.
    pub cause: Cause,
    /// The last piece of leader since the last control strip.
    pub leader: Option<Box<LastLeader>>,
}

impl Standing {
    /// The standing on the day `today`; later entries are not looked at.
    ///
    /// # Example
    /// ```
    /// use jiff::civil::date;
    /// use wedgebook::bath::journal::Journal;
    /// use wedgebook::bath::standing::{Standing, State};
    ///
    /// let text = b"date,act,litres,strip,verdict\n2026-03-03,mix,1.5,,\n2026-03-05,strip,,A,out of spec: replace\n";
    /// let journal = Journal::parse("tray.csv", text, date(2026, 3, 31))?;
    /// let standing = Standing::of(&journal.entries, date(2026, 3, 31));
    /// assert_eq!(standing.state, State::DoNotUse);
    /// assert_eq!(Standing::of(&journal.entries, date(2026, 3, 4)).state, State::Unknown);
    /// # Ok::<(), wedgebook::bath::journal::JournalError>(())
    /// ```
    #[must_use]
    pub fn of(entries: &[Entry], today: Date) -> Self {
        let mut cause = Cause::NoBath;
        let mut litres = 0.0;
        let mut leader: Option<Box<LastLeader>> = None;
        for entry in entries.iter().take_while(|e| e.date <= today) {
            match &entry.act {
                Act::Mix { litres: mixed, .. } => {
                    litres = *mixed;
                    cause = Cause::NoStrip;
                    leader = None;
                }
                Act::Leader(found) => {
                    leader = Some(Box::new(LastLeader {
                        name: found.name.clone(),
                        date: entry.date,
                        line: entry.line,
                        activity: found.activity,
                        interval: found.activity_low.zip(found.activity_high),
                        since: Since {
                            age_days: days(entry.date, today),
                            area_m2: 0.0,
                            added_ml: 0.0,
                            old: false,
                        },
                    }));
                }
                Act::Strip(strip) => {
                    leader = None;
                    cause = Cause::Strip(LastStrip {
                        name: strip.name.clone(),
                        date: entry.date,
                        line: entry.line,
                        verdict: strip.verdict.clone(),
                        action: action(&strip.verdict),
                        age_days: days(entry.date, today),
                        area_m2_since: 0.0,
                        added_ml_since: 0.0,
                        old: false,
                    });
                }
                Act::Film { area_m2, .. } => {
                    if let Cause::Strip(strip) = &mut cause {
                        strip.area_m2_since += area_m2;
                    }
                    if let Some(leader) = &mut leader {
                        leader.since.area_m2 += area_m2;
                    }
                }
                Act::Replenish { added_ml, removed_ml } => {
                    litres += (added_ml - removed_ml) / 1000.0;
                    if let Cause::Strip(strip) = &mut cause {
                        strip.added_ml_since += added_ml;
                    }
                    if let Some(leader) = &mut leader {
                        leader.since.added_ml += added_ml;
                    }
                }
                Act::Discard => {
                    cause = Cause::Discarded { date: entry.date, note: entry.note.clone() };
                    leader = None;
                }
                Act::Note => {}
            }
        }
        let old = |age_days: i32, area_m2: f64| {
            age_days > OLD_AFTER_DAYS || area_m2 > OLD_AFTER_M2_A_LITRE * litres
        };
        if let Cause::Strip(strip) = &mut cause {
            strip.old = old(strip.age_days, strip.area_m2_since);
        }
        if let Some(leader) = &mut leader {
            leader.since.old = old(leader.since.age_days, leader.since.area_m2);
        }
        if let (Cause::NoStrip, Some(leader)) = (&cause, &leader) {
            cause = Cause::Leader(leader.clone());
        }
        Self { state: state(&cause), cause, leader }
    }

    /// Whether times, numbers of films and plans are withheld.
    #[must_use]
    pub const fn withholds(&self) -> bool {
        self.state.withholds()
    }

    /// The strip that it rests on.
    #[must_use]
    pub const fn strip(&self) -> Option<&LastStrip> {
        match &self.cause {
            Cause::Strip(strip) => Some(strip),
            _ => None,
        }
    }
}

const fn state(cause: &Cause) -> State {
    match cause {
        Cause::NoBath | Cause::NoStrip => State::Unknown,
        Cause::Discarded { .. } => State::Discarded,
        Cause::Leader(_) => State::LeaderOnly,
        Cause::Strip(strip) => match strip.action {
            None => State::Unknown,
            Some(Action::Use) => State::Good,
            Some(Action::Lengthen | Action::Shorten) => State::CorrectByTime,
            Some(Action::Replenish) => State::Replenish,
            Some(Action::Replace) => State::DoNotUse,
        },
    }
}

/// What to do by a verdict of the journal: `in spec`, `out of spec: lengthen`, or the code alone.
fn action(verdict: &str) -> Option<Action> {
    let verdict = verdict.trim().to_lowercase();
    if verdict == "in spec" {
        return Some(Action::Use);
    }
    let code = verdict.strip_prefix("out of spec:").unwrap_or(&verdict).trim();
    let all = [Action::Use, Action::Lengthen, Action::Shorten, Action::Replenish, Action::Replace];
    all.into_iter().find(|action| action.code() == code)
}

fn days(from: Date, to: Date) -> i32 {
    from.until(to).map_or(0, |span| span.get_days())
}

impl fmt::Display for Standing {
    /// One sentence: `do not use: control strip 2026-11-17 was out of spec: replace (3 days ago)`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.state, self.cause)?;
        match self.strip() {
            Some(strip) if strip.old => f.write_str("; this strip is old: develop a new one"),
            Some(strip) if strip.added_ml_since > 0.0 && self.state == State::Replenish => {
                f.write_str("; develop a new strip to see what the replenishment has done")
            }
            _ => Ok(()),
        }?;
        match (&self.cause, &self.leader) {
            (Cause::Strip(_), Some(leader)) => write!(f, "; {leader}"),
            (Cause::Leader(leader), _) if leader.since.old => f.write_str(
                ": it shows neither fog nor speed; it is old: develop a new one, or a control strip",
            ),
            (Cause::Leader(_), _) => f.write_str(": it shows neither fog nor speed"),
            _ => Ok(()),
        }
    }
}

impl fmt::Display for Cause {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoBath => f.write_str("nothing was mixed up to this day"),
            Self::NoStrip => f.write_str("no control strip was developed in this bath"),
            Self::Discarded { date, note: None } => write!(f, "the bath was thrown away on {date}"),
            Self::Discarded { date, note: Some(note) } => {
                write!(f, "the bath was thrown away on {date} ({note})")
            }
            Self::Strip(strip) => strip.fmt(f),
            Self::Leader(leader) => leader.fmt(f),
        }
    }
}

impl fmt::Display for LastStrip {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "control strip {}", self.name)?;
        if !self.name.contains(&self.date.to_string()) {
            write!(f, " of {}", self.date)?;
        }
        match self.action {
            Some(_) => write!(f, " was {}", self.verdict)?,
            None => write!(f, " has the verdict {:?}, which is not known", self.verdict)?,
        }
        write!(f, " ({})", since_words(self.age_days, self.area_m2_since, self.added_ml_since))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bath::journal::Journal;
    use jiff::civil::date;

    fn standing(rows: &str, today: Date) -> Standing {
        let text = format!("date,act,litres,area_m2,films,added_ml,strip,verdict,note\n{rows}");
        let journal = Journal::parse("bath.csv", text.as_bytes(), date(2026, 12, 31)).unwrap();
        Standing::of(&journal.entries, today)
    }

    const STRIP: &str = "2026-03-01,mix,2,,,,,,\n2026-03-05,strip,,,,,A,VERDICT,\n";

    #[test]
    fn each_verdict_has_its_state() {
        for (verdict, state) in [
            ("in spec", State::Good),
            ("In spec", State::Good),
            ("out of spec: lengthen", State::CorrectByTime),
            ("out of spec: shorten", State::CorrectByTime),
            ("out of spec: replenish", State::Replenish),
            ("out of spec: replace", State::DoNotUse),
            ("replace", State::DoNotUse),
            ("looks fine to me", State::Unknown),
        ] {
            let found = standing(&STRIP.replace("VERDICT", verdict), date(2026, 3, 6));
            assert_eq!(found.state, state, "{verdict}");
        }
    }

    #[test]
    fn a_new_mix_begins_anew() {
        let fogged = STRIP.replace("VERDICT", "out of spec: replace");
        let today = date(2026, 3, 20);
        assert!(standing(&fogged, today).withholds());
        let thrown = fogged.clone() + "2026-03-08,discard,,,,,,,fixer got in\n";
        let found = standing(&thrown, today);
        assert_eq!(found.state, State::Discarded);
        assert!(found.withholds() && found.to_string().contains("fixer got in"), "{found}");
        let fresh = thrown + "2026-03-09,mix,2,,,,,,\n";
        let found = standing(&fresh, today);
        assert_eq!((found.state, found.cause), (State::Unknown, Cause::NoStrip));
        // As of an earlier day the later entries do not count.
        assert_eq!(standing(&fresh, date(2026, 3, 7)).state, State::DoNotUse);
        assert_eq!(standing(&fresh, date(2026, 2, 7)).cause, Cause::NoBath);
    }

    #[test]
    fn a_bath_that_only_leaders_judge_says_so() {
        let today = date(2026, 3, 6);
        let rows = |rows: &str| {
            let head = "date,act,litres,strip,activity,activity_low,activity_high,verdict\n2026-03-01,mix,2,,,,,\n";
            let text = format!("{head}{rows}");
            let journal = Journal::parse("bath.csv", text.as_bytes(), date(2026, 12, 31)).unwrap();
            Standing::of(&journal.entries, today)
        };
        let leader = "2026-03-05,leader,,L9,0.87,0.80,0.95,\n";
        let found = rows(leader);
        assert_eq!((found.state, found.withholds()), (State::LeaderOnly, false));
        assert_eq!(
            found.to_string(),
            "judged by leader only: a piece of leader (L9) of 2026-03-05 showed activity 0.87, 0.80 to 0.95 (1 day ago): it shows neither fog nor speed"
        );
        // A strip's verdict on fog is no leader's to lift, whatever its activity.
        let fogged = "2026-03-03,strip,,A,1.0,,,out of spec: replace\n";
        let found = rows(&format!("{fogged}{leader}"));
        assert_eq!(found.state, State::DoNotUse);
        assert!(found.to_string().ends_with("showed activity 0.87, 0.80 to 0.95 (1 day ago)"));
        // A strip after the leader is the better evidence.
        let good = "2026-03-06,strip,,B,0.9,,,in spec\n";
        let found = rows(&format!("{leader}{good}"));
        assert_eq!((found.state, found.leader), (State::Good, None));
        let anew = rows(&format!("{leader}2026-03-06,mix,2,,,,,\n"));
        assert_eq!((anew.state, anew.leader), (State::Unknown, None));
    }

    #[test]
    fn a_strip_grows_old_by_days_and_by_film() {
        let good = STRIP.replace("VERDICT", "in spec");
        let strip = |rows: &str, today| standing(rows, today).strip().cloned().unwrap();
        assert!(!strip(&good, date(2026, 3, 19)).old);
        assert!(strip(&good, date(2026, 3, 20)).old);
        let used = good.clone() + "2026-03-06,film,,0.44,,,,,\n";
        let found = strip(&used, date(2026, 3, 6));
        assert_eq!((found.old, found.area_m2_since, found.age_days), (false, 0.44, 1));
        let more = used + "2026-03-06,film,,0.02,,,,,\n2026-03-06,replenish,,,,70,,,\n";
        let found = strip(&more, date(2026, 3, 6));
        assert_eq!((found.old, found.added_ml_since), (true, 70.0));
        assert!(standing(&more, date(2026, 3, 6)).to_string().contains("old"));
    }
}
