//! Control charts: whether a bath varies as it always did.
//!
//! | module | holds |
//! |---|---|
//! | [`constants`] | the constants of control charts, computed |
//! | [`individuals`] | single values and their moving ranges |
//! | [`ewma`], [`cusum`] | weighted average and cumulative sums |
//! | [`reproducibility`], [`trends`] | the scatter from strip to strip, and trends beyond it |
//! | [`run_rules`] | patterns that a bath in control seldom shows |
//! | [`crossover`] | from one batch of control strips to the next |
//! | [`Plan`], [`Chart`] | the chart of one quantity, over batches of strips and fresh baths |
//! | [`sparkline`] | a chart in one line of text |

mod batches;
mod chart;
mod constants;
mod crossover;
mod cusum;
mod error;
mod ewma;
mod individuals;
mod plan;
mod rules;
mod runs;
mod scatter;
mod sparkline;
mod trend;

pub use batches::BatchChange;
pub use chart::{
    ASSUMED_STRIPS, Chart, ChartNote, ChartSignal, ChartState, Control, LEAST_STRIPS, Point,
    Standing, Stretch,
};
pub use constants::{Constants, constants};
pub use crossover::{Crossover, Uncertainty, crossover};
pub use cusum::{Cusum, cusum, cusum_restarting};
pub use error::ControlError;
pub use ewma::{Ewma, ewma};
pub use individuals::{Individuals, SETTLED, individuals, individuals_about, individuals_given};
pub use plan::{Aim, Basis, Plan, Sample, Tolerance};
pub use rules::{Rule, RuleSet, Signal};
pub use runs::run_rules;
pub use scatter::reproducibility;
pub use sparkline::{Alphabet, sparkline};
pub use trend::{LEAST_OF_TREND, MOST_OF_TREND, Trend, trends};

/// Refuses values that are no finite numbers.
fn finite(values: &[f64]) -> Result<(), ControlError> {
    match values.iter().position(|v| !v.is_finite()) {
        Some(n) => Err(ControlError::NotFinite { place: n + 1, found: values[n] }),
        None => Ok(()),
    }
}
