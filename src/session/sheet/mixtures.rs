//! What is to be poured and mixed.

use super::Developing;
use crate::session::dilution::Dilution;
use crate::session::plan::{Plan, Source};
use crate::units::Celsius;

/// A solution of the session.
#[derive(Clone, Debug, PartialEq)]
pub struct Mixture {
    /// Its name.
    pub name: &'static str,
    /// How many times it is made; one for all batches, or one for each.
    pub times: usize,
    /// Volume of each, in **ml**.
    pub total_ml: f64,
    /// Stock and water, in **ml**; `None` where it is poured ready for use.
    pub parts: Option<(Dilution, f64, f64)>,
    /// Temperature of the water that brings it to the developer's, in °C.
    pub water_celsius: Option<f64>,
    /// Where it goes afterwards, in words.
    pub after: &'static str,
}

/// What is to be poured and mixed, in the order of its use.
pub(super) fn mixtures(
    plan: &Plan,
    developing: &Developing,
    batches: usize,
    notes: &mut Vec<String>,
) -> Vec<Mixture> {
    let total_ml = plan.vessel.limits.solution_ml;
    let mixed = |name, dilution: Option<Dilution>, after| Mixture {
        name,
        times: 1,
        total_ml,
        parts: dilution.map(|d| {
            let (stock, water) = d.volumes(total_ml);
            (d, stock, water)
        }),
        water_celsius: None,
        after,
    };
    let mut developer = match &plan.developer.source {
        Source::Bath { .. } => mixed("developer", None, "from the bath and back into it"),
        Source::OneShot { dilution, .. } => mixed("developer", Some(*dilution), "used once"),
    };
    if let Source::OneShot { dilution, stock_celsius, .. } = &plan.developer.source {
        developer.times = batches;
        let celsius = developing.celsius.get();
        let water = stock_celsius.and_then(|stock| dilution.water_celsius(celsius, stock.get()));
        developer.water_celsius = water.filter(|c| Celsius::new(*c).is_ok());
        if let (Some(water), None) = (water, developer.water_celsius) {
            notes.push(format!(
                "no water brings stock of that temperature to {celsius:.1} °C (it would have {water:.0} °C): bring the stock nearer to it first"
            ));
        }
    }
    vec![
        developer,
        mixed("stop bath", plan.stop.dilution, "kept while it works"),
        mixed("fixer", plan.fix.dilution, "kept until it is spent"),
        mixed("wetting agent", plan.wetting.dilution, "used once"),
    ]
}
