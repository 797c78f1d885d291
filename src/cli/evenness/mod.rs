//! `wedgebook evenness`: how even development is over evenly exposed frames.

mod args;
mod figure;
mod json;
mod text;

pub use args::Args;

use super::{Failure, Outcome, print};
use crate::evenness::{Cause, Evenness, Finding, Options, Pattern, Transition, causes, measure};
use crate::measures::Measured;
use crate::readings::{Labels, read_frames};

/// As many findings as the answer names.
const TOLD: usize = 3;

/// What is told of a file of frames.
struct Report {
    labels: Labels,
    options: Options,
    evenness: Evenness,
    findings: Vec<Finding>,
    causes: Vec<Cause>,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let frames = read_frames(&args.readings, args.density_sigma)?;
    let options = args.options();
    let evenness = measure(&frames, &options)
        .map_err(|e| Failure(format!("{}: {e}", args.readings.display())))?;
    let findings = evenness.findings(&options.printing);
    let differ = evenness.together.as_ref().is_some_and(|t| t.different);
    let report = Report {
        causes: causes(&findings, differ && !findings.is_empty()),
        labels: frames.labels,
        options,
        evenness,
        findings,
    };
    if let Some(path) = &args.plot {
        figure::figure(&report).scene().save(path)?;
    }
    print(&if args.json { json::document(&report)? } else { text::report(&report) })?;
    let seen = report.findings.iter().any(Finding::is_seen);
    Ok(if seen { Outcome::No } else { Outcome::Done })
}

impl Report {
    /// Film, developer and date, as far as they are known.
    fn development(&self) -> String {
        let labels = &self.labels;
        let parts = [&labels.film, &labels.developer, &labels.date];
        let known: Vec<&str> = parts.into_iter().flatten().map(String::as_str).collect();
        known.join(", ")
    }

    /// The answer in a sentence.
    fn verdict(&self) -> String {
        let share = |f: &Finding| f.in_print / f.seen_from;
        let mut order: Vec<&Finding> = self.findings.iter().collect();
        // What all frames have in common goes first, then what is seen best.
        order.sort_by(|a, b| {
            let common = b.frame.is_none().cmp(&a.frame.is_none());
            common.then(share(b).total_cmp(&share(a)))
        });
        let seen: Vec<&Finding> = order.iter().copied().filter(|f| f.is_seen()).collect();
        let told = if seen.is_empty() { &order } else { &seen };
        if told.is_empty() {
            return if self.evenness.uneven() {
                "Uneven by more than reading noise, but in no form that can be named.".to_owned()
            } else {
                "Even: nothing stands out of the noise of reading.".to_owned()
            };
        }
        let mut parts: Vec<String> = told
            .iter()
            .take(TOLD)
            .map(|f| format!("{}{} ({:.2} in the print)", f.words(), self.scope(f), f.in_print))
            .collect();
        if let more @ 1.. = told.len().saturating_sub(TOLD) {
            parts.push(format!("and {more} more"));
        }
        format!(
            "Uneven, and {}seen in a print: {}.",
            if seen.is_empty() { "not " } else { "" },
            parts.join("; ")
        )
    }

    /// In which frames something stands out, where there are several.
    fn scope(&self, finding: &Finding) -> String {
        match (&finding.frame, self.evenness.frames.len()) {
            (_, 1) => String::new(),
            (None, _) => format!(" in {}", self.all_frames(finding)),
            (Some(frame), _) => format!(" in frame {frame}"),
        }
    }

    /// The frames that a common finding is of.
    fn all_frames(&self, finding: &Finding) -> &'static str {
        let own = |other: &Finding| other.frame.is_some() && other.form == finding.form;
        if self.findings.iter().any(own) { "the other frames" } else { "all frames" }
    }

    /// What the readings are too few or too noisy to rule out, though it would be seen in a print.
    fn not_ruled_out(&self) -> Vec<String> {
        let printing = &self.options.printing;
        let pattern = match &self.evenness.together {
            Some(together) => &together.pattern,
            None => match self.evenness.frames.first() {
                Some(frame) => &frame.pattern,
                None => return Vec::new(),
            },
        };
        let possible: Vec<String> = [
            ("a gradient along", &pattern.along, Transition::Gradual),
            ("a gradient across", &pattern.across, Transition::Gradual),
            ("long edges unlike the middle", &pattern.long_edges.both, Transition::Edge),
            ("sides unlike the middle", &pattern.sides.both, Transition::Edge),
        ]
        .into_iter()
        .filter_map(|(name, measured, transition)| {
            let q = measured.as_ref().ok()?;
            let most = q.low.abs().max(q.high.abs()) * printing.slope();
            let could = most >= printing.threshold(transition);
            could.then(|| format!("{name} (up to {most:.2} in the print)"))
        })
        .collect();
        if possible.is_empty() || self.evenness.uneven() {
            return Vec::new();
        }
        vec![format!(
            "not ruled out, though it would be seen: {}; more readings would tell",
            possible.join(", ")
        )]
    }

    /// Notes on the frames, on numbers that are missing everywhere, and on what is assumed.
    fn notes(&self) -> Vec<String> {
        let mut notes = self.not_ruled_out();
        let frames = &self.evenness.frames;
        let patterns: Vec<&Pattern> = frames.iter().map(|f| &f.pattern).collect();
        if let Some(first) = patterns.first() {
            for (k, (name, measured)) in rows(first).into_iter().enumerate() {
                let same = |p: &&Pattern| rows(p)[k].1 == measured;
                if let (Err(why), true) = (measured, patterns.iter().all(same)) {
                    notes.push(format!("{name}: {why}"));
                }
            }
        }
        notes.dedup_by(|a, b| reason(a) == reason(b));
        notes.extend(self.evenness.notes.iter().cloned());
        notes.extend(self.options.printing.assumptions());
        notes
    }
}

/// What follows the name in a note.
fn reason(note: &str) -> &str {
    note.split_once(": ").map_or(note, |(_, reason)| reason)
}

/// The numbers of a pattern with their names, in the order of the tables.
fn rows(pattern: &Pattern) -> [(&'static str, &Measured<String>); 14] {
    let p = pattern;
    [
        ("mean density", &p.mean),
        ("gradient along, per 10 mm", &p.along_per_10_mm),
        ("  over the frame", &p.along),
        ("gradient across, per 10 mm", &p.across_per_10_mm),
        ("  over the frame", &p.across),
        ("long edges above the middle", &p.long_edges.both),
        ("  lower edge", &p.long_edges.first),
        ("  upper edge", &p.long_edges.second),
        ("sides above the middle", &p.sides.both),
        ("  left side", &p.sides.first),
        ("  right side", &p.sides.second),
        ("wave with the perforations", &p.perforations),
        ("range of the smooth field", &p.range),
        ("scatter from place to place", &p.scatter),
    ]
}
