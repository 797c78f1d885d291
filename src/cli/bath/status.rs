//! `wedgebook bath status`: how the bath stands.

use super::super::inputs::{quantity, time};
use super::super::{Failure, Outcome, print};
use super::args::StatusArgs;
use super::journal::Opened;
use super::words::{json as balance_json, standing as stands};
use crate::bath::control::{Basis, Chart, Standing, standing};
use crate::bath::forecast::Assumptions;
use crate::bath::history::chart;
use crate::bath::journal::Act;
use crate::bath::watched::Watched;
use crate::development::{Adjusted, Wanted};
use crate::measures::{Measured, Quantity};
use crate::words::trimmed;
use serde_json::{Value, json};
use std::fmt::Write;

/// What is asked of a bath: all but the densities of fixed steps, which say the same once more.
const WATCHED: [Watched; 4] =
    [Watched::Activity, Watched::Contrast, Watched::BasePlusFog, Watched::Speed];

/// How long to develop today, and for what.
struct Today {
    adjusted: Adjusted,
    label: String,
    assumptions: Vec<crate::development::aim::Assumption>,
}

struct Status {
    opened: Opened,
    activity: Measured<String>,
    charts: Vec<Chart>,
    today: Result<Today, String>,
    notes: Vec<String>,
}

pub fn run(args: &StatusArgs) -> Result<Outcome, Failure> {
    let opened = Opened::view(&args.view)?;
    if !opened.balance.in_use() {
        print(&no_bath(args, &opened))?;
        return Ok(Outcome::No);
    }
    let status = status(args, opened)?;
    print(&if args.view.json { format!("{:#}\n", status.document()) } else { status.text() })?;
    Ok(if status.in_control() { Outcome::Done } else { Outcome::No })
}

fn no_bath(args: &StatusArgs, opened: &Opened) -> String {
    let path = args.view.journal.display();
    if args.view.json {
        let bath = balance_json(&opened.balance, opened.on);
        return format!(
            "{:#}\n",
            json!({ "bath": bath, "activity": null, "in_control": false, "signals": [], "notes": ["there is no bath"] })
        );
    }
    format!("{path} on {}\n  bath              {}\n", opened.on, stands(&opened.balance, opened.on))
}

fn status(args: &StatusArgs, opened: Opened) -> Result<Status, Failure> {
    let (_, bath) = opened.follow(&Assumptions::default())?;
    let limits = opened.limits()?;
    let activity = bath.activity();
    let mut notes = bath.notes();
    let mut charts = Vec::new();
    for charted in WATCHED {
        match chart(&opened.entries, charted, &limits, Basis::Aim) {
            Ok(chart) => charts.push(chart),
            Err(why) => notes.push(format!("{}: {why}", charted.charted_name())),
        }
    }
    let today = match &activity {
        Ok(activity) => today(args, &opened, activity)?,
        Err(why) => Err(why.clone()),
    };
    if let Ok(today) = &today {
        notes.extend(today.adjusted.notes.iter().map(ToString::to_string));
        notes.extend(today.assumptions.iter().map(ToString::to_string));
    }
    Ok(Status { opened, activity, charts, today, notes })
}

/// The time for the aim in the bath as it is.
fn today(
    args: &StatusArgs,
    opened: &Opened,
    activity: &Quantity,
) -> Result<Result<Today, String>, Failure> {
    let (file, pairing) = match &opened.pairing {
        Ok(pairing) => pairing,
        Err(why) => return Ok(Err(why.clone())),
    };
    let aims = super::super::aims::aims(&file.aims, &args.aims);
    let target = super::super::aims::target(&args.target, &aims)?;
    let celsius = match args.temperature.temperature {
        Some(typed) => typed.celsius,
        None => pairing.reference,
    };
    let wanted = Wanted {
        measure: aims.measure,
        contrast: target.contrast,
        celsius,
        activity: activity.value,
        extrapolate: false,
    };
    let found = pairing.adjust(&wanted).map(|adjusted| {
        let adjusted = adjusted.allowing_for(activity);
        let aim = target.scene.map_or(String::new(), |scene| format!(", for {scene}"));
        let (measure, contrast) = (aims.measure.name(), target.contrast);
        let label = format!("{measure} {contrast:.3} at {celsius} °C{aim}");
        Today { adjusted, label, assumptions: target.assumptions }
    });
    Ok(found.map_err(|why| why.to_string()))
}

impl Status {
    fn in_control(&self) -> bool {
        let out = |c: &Chart| matches!(c.standing(), Ok(Standing::Out | Standing::Watch));
        !self.charts.iter().any(out)
    }

    fn text(&self) -> String {
        let Opened { path, on, balance, .. } = &self.opened;
        let mut out = format!("{} on {on}\n", path.display());
        let mut row = |name: &str, value: &str| {
            let _ = writeln!(out, "  {name:<18}{value}");
        };
        row("bath", &self.what());
        row("stands", &stands(balance, *on));
        if balance.added_ml > 0.0 {
            let litres = |ml: f64| trimmed(ml / 1e3, 2);
            let (added, removed) = (litres(balance.added_ml), litres(balance.removed_ml));
            row("replenished", &format!("{added} litres in, {removed} out"));
        }
        if let Some((low, high)) = balance.celsius {
            row("temperature", &format!("{low:.1} to {high:.1} °C at its strips"));
        }
        row(
            "activity now",
            &match &self.activity {
                Ok(q) => quantity(q, 3),
                Err(why) => format!("none: {why}"),
            },
        );
        if let Some(last) = self.last_strip() {
            row("last strip", &last);
        }
        let steady = if self.in_control() { "yes" } else { "no" };
        row(
            "in control",
            if self.charts.is_empty() { "cannot be told without strips" } else { steady },
        );
        for chart in &self.charts {
            row(&format!("  {}", chart.plan().name.trim_end_matches(" off aim")), &standing(chart));
        }
        match &self.today {
            Ok(today) => {
                row("develop today", &time(&today.adjusted.minutes));
                row("", &format!("for {}", today.label));
            }
            Err(why) => row("develop today", &format!("none: {why}")),
        }
        for note in &self.notes {
            let _ = writeln!(out, "  note: {note}");
        }
        out
    }

    /// What was mixed last.
    fn what(&self) -> String {
        let mixed = self.opened.entries.iter().rev().find_map(|e| match &e.act {
            Act::Mix { what, dilution, .. } => Some((e.date, what.clone().or(dilution.clone()))),
            _ => None,
        });
        mixed.map_or(String::new(), |(date, what)| {
            format!("{}, mixed {date}", what.unwrap_or_else(|| "unnamed".to_owned()))
        })
    }

    fn last_strip(&self) -> Option<String> {
        self.opened.entries.iter().rev().find_map(|e| match &e.act {
            Act::Strip(s) => {
                let activity = s.activity.map_or(String::new(), |a| format!("activity {a:.3}, "));
                Some(format!("{activity}{} ({})", s.verdict, e.date))
            }
            _ => None,
        })
    }

    fn document(&self) -> Value {
        let signals: Vec<Value> = self
            .charts
            .iter()
            .flat_map(|chart| {
                let last = chart.last_signals().iter();
                last.map(|s| json!({ "rule": s.rule.words(), "event": { "quantity": chart.plan().name, "date": s.date.to_string() } }))
            })
            .collect();
        let balance = &self.opened.balance;
        json!({
            "bath": self.opened.path.display().to_string(),
            "on": self.opened.on.to_string(),
            "what": self.what(),
            "activity": self.activity.as_ref().ok(),
            "films": balance.films,
            "area_m2": balance.area_m2,
            "age_days": balance.age_days(self.opened.on),
            "balance": balance_json(balance, self.opened.on),
            "in_control": self.in_control(),
            "signals": signals,
            "minutes_today": self.today.as_ref().ok().map(|t| t.adjusted.minutes),
            "notes": self.notes,
        })
    }
}
