//! `wedgebook bath forecast`: films left, days left, and what replenishment would hold the bath.

use super::super::inputs::quantity;
use super::super::{Failure, Outcome, print};
use super::args::ForecastArgs;
use super::journal::Opened;
use super::words::standing;
use crate::bath::forecast::{Assumptions, Coefficient, Forecast, LOWEST_ACTIVITY, Question, Span};
use crate::bath::history::BathHistory;
use crate::development::Wanted;
use crate::units::{Activity, Minutes};
use crate::words::trimmed;
use serde_json::{Value, json};
use std::fmt::Write;

const WEEK: f64 = 7.0;

struct Told {
    opened: Opened,
    life: BathHistory,
    now: f64,
    forecast: Forecast,
    question: Question,
    limit: f64,
    film: String,
    /// Where the limit comes from.
    limit_from: String,
    litres: f64,
}

pub fn run(args: &ForecastArgs) -> Result<Outcome, Failure> {
    let opened = Opened::view(&args.view)?;
    let (limit, limit_from) = limit(args, &opened)?;
    let mut assumptions = Assumptions::default();
    if let Some(strength) = args.replenisher_strength {
        assumptions.replenisher = strength.get();
    }
    let (life, bath) = opened.follow(&assumptions)?;
    let question = Question {
        film_m2: args.film.area_m2(),
        limit: Some(limit),
        films_per_day: args.films_per_week.map(|n| n.get() / WEEK),
        hold: args.hold_activity.map(Activity::get),
        ..Question::default()
    };
    let told = Told {
        now: life.day(opened.on),
        forecast: bath.answer(&question),
        litres: bath.litres,
        film: args.film.to_string(),
        opened,
        life,
        question,
        limit,
        limit_from,
    };
    print(&if args.view.json { format!("{:#}\n", told.document()) } else { told.text() })?;
    let spent = matches!(&told.forecast.films_left, Ok(count) if count.median == 0)
        || matches!(&told.forecast.films_left_now, Ok(count) if count.median == 0);
    Ok(if spent { Outcome::No } else { Outcome::Done })
}

/// The lowest usable activity, and where it comes from.
fn limit(args: &ForecastArgs, opened: &Opened) -> Result<(f64, String), Failure> {
    if let Some(lowest) = args.lowest_activity {
        return Ok((lowest.get(), "as given".to_owned()));
    }
    let Some(longest) = args.longest_min.map(Minutes::get) else {
        let words = "development then takes a quarter longer (assumed)";
        return Ok((LOWEST_ACTIVITY, words.to_owned()));
    };
    let (file, pairing) = opened.pairing.as_ref().map_err(|why| Failure(why.clone()))?;
    let aims = super::super::aims::aims(&file.aims, &args.aims);
    let target = super::super::aims::target(&args.target, &aims)?;
    let wanted = Wanted {
        measure: aims.measure,
        contrast: target.contrast,
        celsius: pairing.reference,
        activity: 1.0,
        extrapolate: false,
    };
    let fresh = pairing.adjust(&wanted)?.minutes.value;
    if fresh >= longest {
        return Err(Failure(format!(
            "--longest-min {longest:.2}: a fresh bath already needs {fresh:.2} minutes for the aim"
        )));
    }
    let words = format!(
        "{} {:.3} at {} °C then takes {longest:.2} minutes instead of {fresh:.2}",
        aims.measure.name(),
        target.contrast,
        pairing.reference
    );
    Ok((fresh / longest, words))
}

impl Told {
    fn date(&self, days: f64) -> String {
        match days >= crate::bath::forecast::LONGEST_DAYS {
            true => "later than ten years".to_owned(),
            false => self.life.date(self.now + days).to_string(),
        }
    }

    fn dates(&self, span: &Span) -> String {
        let [median, low, high] = [span.median, span.low, span.high].map(|d| self.date(d));
        format!("{median} ({low} to {high})")
    }

    fn text(&self) -> String {
        let f = &self.forecast;
        let Opened { path, on, balance, .. } = &self.opened;
        let mut out = format!("{} on {on}: {}\n", path.display(), standing(balance, *on));
        let mut row = |name: &str, value: Result<String, &String>| {
            let value = value.unwrap_or_else(|why| format!("none: {why}"));
            let _ = writeln!(out, "  {name:<20}{value}");
        };
        row("activity now", f.activity.as_ref().map(|q| quantity(q, 3)));
        row("lowest usable", Ok(format!("{:.3}: {}", self.limit, self.limit_from)));
        if let Err(why) = &f.activity {
            row("films left", Err(why));
            return out;
        }
        let pace = f.films_per_day.as_ref().map(|p| trimmed(p * WEEK, 1));
        let at_pace =
            pace.as_ref().map_or(String::new(), |p| format!(" of {} at {p} a week", self.film));
        row("films left", f.films_left.as_ref().map(|c| format!("{c}{at_pace}")));
        row("", f.films_left_now.as_ref().map(|c| format!("{c} if they all go in today")));
        row(
            "until",
            f.days_left
                .as_ref()
                .map(|s| format!("{} at that pace, without replenishment", self.dates(s))),
        );
        row("", f.days_left_unused.as_ref().map(|s| format!("{} by age alone", self.dates(s))));
        let hold = self.question.hold.or(f.activity.as_ref().ok().map(|q| q.value)).unwrap_or(1.0);
        row(
            &format!("to hold {hold:.2}"),
            f.replenishment_ml
                .as_ref()
                .map(|q| format!("{} ml of replenisher after each film", quantity(q, 0))),
        );
        if let Ok(c) = &f.coefficients {
            let film = self.question.film_m2 / self.litres;
            row("a film takes", Ok(format!("{} of its activity", share(&c.by_use, film))));
            row("a week takes", Ok(format!("{} by age", share(&c.by_age, WEEK))));
        }
        let _ = writeln!(
            out,
            "  rests on {} strips of this bath and {} of earlier ones; intervals of films and dates are 90 %, the others 95 %",
            f.strips.present, f.strips.earlier
        );
        for note in &f.notes {
            let _ = writeln!(out, "  note: {note}");
        }
        out
    }

    fn document(&self) -> Value {
        let f = &self.forecast;
        let until = |span: &Result<Span, String>| {
            let span = span.as_ref().ok()?;
            Some(
                json!({ "value": self.date(span.median), "low": self.date(span.low), "high": self.date(span.high) }),
            )
        };
        let count = |c: &Result<crate::bath::forecast::Count, String>| {
            let c = c.as_ref().ok()?;
            Some(json!({ "value": c.median, "low": c.low, "high": c.high }))
        };
        let balance = &self.opened.balance;
        let mut notes = f.notes.clone();
        let reasons = [
            f.activity.as_ref().err(),
            f.films_left.as_ref().err(),
            f.replenishment_ml.as_ref().err(),
        ];
        for why in reasons.into_iter().flatten() {
            if !notes.contains(why) {
                notes.push(why.clone());
            }
        }
        json!({
            "bath": self.opened.path.display().to_string(),
            "on": self.opened.on.to_string(),
            "activity": f.activity.as_ref().ok(),
            "films": balance.films,
            "area_m2": balance.area_m2,
            "age_days": balance.age_days(self.opened.on),
            "lowest_activity": self.limit,
            "film": self.film,
            "films_per_week": f.films_per_day.as_ref().ok().map(|p| p * WEEK),
            "films_left": count(&f.films_left),
            "films_left_today": count(&f.films_left_now),
            "until": until(&f.days_left),
            "until_by_age": until(&f.days_left_unused),
            "replenishment_ml_per_film": f.replenishment_ml.as_ref().ok(),
            "coefficients": f.coefficients.as_ref().ok(),
            "strips": f.strips,
            "interval_level": { "films_left": self.question.level, "until": self.question.level, "others": 0.95 },
            "notes": notes,
        })
    }
}

/// The share of the activity that so much of a cause takes, in per cent.
fn share(c: &Coefficient, amount: f64) -> String {
    let percent = |v: f64| -100.0 * (-v * amount).exp_m1();
    let q = &c.quantity;
    let assumed = if c.assumed { ", mostly assumed" } else { "" };
    format!("{:.2} % ({:.2} to {:.2}{assumed})", percent(q.value), percent(q.low), percent(q.high))
}
