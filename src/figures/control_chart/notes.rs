//! Below the panels: what the names of rules mean, and what has to be known.

use crate::bath::control::{Chart, ChartSignal, Rule};
use crate::figures::draw::shortened;

/// Widest list of charts before a note, in page units.
const NAMES: f64 = 380.0;
const NOTE: f64 = 11.5;

/// The points at which rules begin to fire, each with the gravest of them and how many more begin
/// there; the gravest of all come first.
pub(super) fn onsets(chart: &Chart) -> Vec<(usize, Rule, usize)> {
    let mut onsets = Vec::new();
    let mut before: &[ChartSignal] = &[];
    for now in chart.signals().chunk_by(|a, b| a.index == b.index) {
        let went_on = |rule: Rule| {
            let follows = before.first().is_some_and(|b| b.index + 1 == now[0].index);
            follows && before.iter().any(|b| b.rule == rule)
        };
        let new: Vec<Rule> = now.iter().map(|s| s.rule).filter(|r| !went_on(*r)).collect();
        if let Some(gravest) = new.first() {
            onsets.push((now[0].index, *gravest, new.len() - 1));
        }
        before = now;
    }
    onsets.sort_by_key(|(index, rule, _)| (*rule, *index));
    onsets
}

/// The names of rules in plain words, then the notes of the charts: one that several share names them
/// all.
pub(super) fn notes(charts: &[Chart]) -> Vec<String> {
    let mut lines = Vec::new();
    let mut rules: Vec<(&str, &str)> = Vec::new();
    let mut more = false;
    let heads = charts.iter().filter_map(|c| Some((0, c.last_signals().first()?.rule, 0)));
    for (_, rule, others) in charts.iter().flat_map(onsets).chain(heads) {
        more |= others > 0;
        let words = match rule {
            Rule::AboveTolerance | Rule::BelowTolerance => "beyond the tolerance",
            Rule::CusumHigh | Rule::CusumLow => "the cumulative sum is beyond its limit",
            rule => rule.words(),
        };
        if !rules.contains(&(rule.short(), words)) {
            rules.push((rule.short(), words));
        }
    }
    if !rules.is_empty() {
        let rules: Vec<String> =
            rules.into_iter().map(|(name, words)| format!("{name}: {words}")).collect();
        let more = if more { "; +1, +2 …: so many more rules begin there" } else { "" };
        lines.push(format!("Rules, named where they begin. {}{more}.", rules.join("; ")));
    }
    let mut shared: Vec<(String, Vec<&str>)> = Vec::new();
    for chart in charts {
        for note in chart.notes() {
            let (name, note) = (chart.plan().name.as_str(), note.to_string());
            match shared.iter_mut().find(|(known, _)| *known == note) {
                Some((_, names)) => names.push(name),
                None => shared.push((note, vec![name])),
            }
        }
    }
    lines.extend(shared.into_iter().map(|(note, names)| {
        let names = match names.len() {
            n if n > 1 && n == charts.len() => "all".to_owned(),
            _ => names.join(", "),
        };
        format!("{}: {note}", shortened(&names, NOTE, NAMES))
    }));
    lines
}
