//! Run rules, on sequences constructed for them.
//!
//! Rules: Nelson, L. S., Journal of Quality Technology 16(4), 1984, 237-239; Western Electric Co.,
//! Statistical Quality Control Handbook, 1956. The sequences come from no publication; which rules
//! they break, and where, was found with a checker of its own.

use crate::shapes::table;
use wedgebook::bath::control::{Rule, RuleSet, run_rules};

/// What the file calls a rule.
fn code(rule: Rule, set: RuleSet) -> &'static str {
    match (set, rule) {
        (RuleSet::Nelson, Rule::BeyondThree) => "N1",
        (RuleSet::Nelson, Rule::NineOnOneSide) => "N2",
        (RuleSet::Nelson, Rule::SixTrending) => "N3",
        (RuleSet::Nelson, Rule::FourteenAlternating) => "N4",
        (RuleSet::Nelson, Rule::TwoOfThreeBeyondTwo) => "N5",
        (RuleSet::Nelson, Rule::FourOfFiveBeyondOne) => "N6",
        (RuleSet::Nelson, Rule::FifteenWithinOne) => "N7",
        (RuleSet::Nelson, Rule::EightBeyondOne) => "N8",
        (RuleSet::WesternElectric, Rule::BeyondThree) => "W1",
        (RuleSet::WesternElectric, Rule::TwoOfThreeBeyondTwo) => "W2",
        (RuleSet::WesternElectric, Rule::FourOfFiveBeyondOne) => "W3",
        (RuleSet::WesternElectric, Rule::EightOnOneSide) => "W4",
        other => panic!("{other:?} is in no set"),
    }
}

/// `RULE@point+point` as (rule, point) pairs.
fn expected(cell: &str) -> Vec<(&str, usize)> {
    if cell == "none" {
        return Vec::new();
    }
    let (rule, points) = cell.split_once('@').unwrap();
    let points = points.split('+').map(|p| p.parse().unwrap());
    points.map(|p| (rule, p)).collect()
}

#[test]
fn only_the_listed_rules_fire_at_the_listed_points() {
    let mut seen = std::collections::BTreeSet::new();
    let rows = table("spc/run_rule_sequences.csv");
    assert_eq!(rows.len(), 15);
    for row in &rows {
        let z: Vec<f64> = row[3].split(' ').map(|v| v.parse().unwrap()).collect();
        for (set, cell) in [(RuleSet::Nelson, &row[1]), (RuleSet::WesternElectric, &row[2])] {
            let fired: Vec<(&str, usize)> =
                run_rules(&z, set).into_iter().map(|s| (code(s.rule, set), s.at + 1)).collect();
            assert_eq!(fired, expected(cell), "{} {set:?}", &row[0]);
            seen.extend(fired.into_iter().map(|f| f.0));
        }
    }
    assert_eq!(seen.len(), 12, "every rule of both sets is seen: {seen:?}");
}
