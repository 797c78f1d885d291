//! How much development has film had in a bath whose temperature drifts, and when is it taken out?

use super::adjust::{aim_fields, temperature};
use super::standing::{NotGiven, Withheld, standing_field};
use super::{Answer, BathToday, Description, Gather, Value};
use crate::development::aim::Target;
use crate::development::drift::{Reading, effective_minutes, remaining_minutes};
use crate::development::{Adjusted, Measure, Pairing, Unreachable, Wanted};
use crate::elementary::hypot;
use crate::measures::Quantity;
use crate::units::TemperatureUnit;
use crate::words::{number, rounded_clock};

/// What is asked.
#[derive(Clone, Debug)]
pub struct DriftQuestion<'a> {
    /// Film and developer.
    pub name: &'a str,
    /// The pairing.
    pub pairing: &'a Pairing,
    /// The measure of contrast.
    pub measure: Measure,
    /// The contrast that is wanted.
    pub target: Target,
    /// Readings of the thermometer, in the order of their times.
    pub readings: &'a [Reading],
    /// The unit that temperatures are shown in.
    pub unit: TemperatureUnit,
    /// The bath.
    pub bath: BathToday,
    /// Whether to calculate for a bath that is not to be used.
    pub anyway: bool,
}

/// What the film has had, and what is still to go.
#[derive(Clone, Debug)]
pub struct Drift<'a> {
    /// What was asked.
    pub question: DriftQuestion<'a>,
    /// The first and the last reading.
    pub ends: (Reading, Reading),
    /// The development that the aim takes at the last temperature.
    pub adjusted: Adjusted,
    /// Effective minutes so far.
    pub effective_minutes: f64,
    /// Minutes still to go at the last temperature; below 0 where the film has had too much.
    pub remaining_minutes: Quantity,
    /// The whole time if the bath had stayed at the first temperature.
    pub minutes_by_first: f64,
}

/// Why there is no answer.
#[derive(Clone, Debug, thiserror::Error)]
pub enum NoDrift {
    /// No reading of the thermometer.
    #[error("no temperature was given")]
    NoReading,
    /// The pairing cannot give the contrast.
    #[error(transparent)]
    Unreachable(#[from] Unreachable),
    /// The bath is not to be used.
    #[error("the time is {}", .0.why)]
    Withheld(Box<NotGiven>),
}

impl NoDrift {
    fn withheld(name: &str, why: Withheld) -> Self {
        let missing = ("take_out_minutes", "take out at");
        let title = name.to_owned();
        Self::Withheld(Box::new(NotGiven { title, heading: Vec::new(), missing, why }))
    }
}

impl<'a> Drift<'a> {
    /// The answer.
    ///
    /// # Errors
    /// [`NoDrift`].
    pub fn of(question: DriftQuestion<'a>) -> Result<Self, NoDrift> {
        let (Some(&first), Some(&last)) = (question.readings.first(), question.readings.last())
        else {
            return Err(NoDrift::NoReading);
        };
        if let Some(why) = question.bath.withheld(question.anyway) {
            return Err(NoDrift::withheld(question.name, why));
        }
        let known = question.bath.activity().unwrap_or_else(|| Quantity::around(1.0, 0.0));
        let (pairing, activity) = (question.pairing, known.value);
        let adjusted = pairing.adjust(&Wanted {
            measure: question.measure,
            contrast: question.target.contrast,
            celsius: last.celsius,
            activity,
            extrapolate: true,
        })?;
        let law = pairing.growth(question.measure).unwrap_or_else(|| pairing.law());
        let goal = adjusted.effective_minutes;
        let left = |activity: f64, target: f64| {
            remaining_minutes(law, question.readings, activity, target).unwrap_or(f64::NAN)
        };
        let best = left(activity, goal.value);
        // The errors of the aim's development and of the bath's activity are independent.
        let end = |target: f64, activity_end: f64| {
            let (by_aim, by_activity) = (left(activity, target), left(activity_end, goal.value));
            match activity_end == activity {
                true => by_aim,
                false => best + hypot(by_aim - best, by_activity - best).copysign(by_aim - best),
            }
        };
        Ok(Self {
            ends: (first, last),
            effective_minutes: effective_minutes(law, question.readings, activity),
            remaining_minutes: Quantity {
                value: best,
                low: end(goal.low, known.high),
                high: end(goal.high, known.low),
            },
            minutes_by_first: goal.value / (activity * law.rate(first.celsius)),
            adjusted,
            question,
        })
    }

    /// When the film is taken out, in minutes since it went in.
    #[must_use]
    pub fn take_out(&self) -> Quantity {
        let (after, left) = (self.ends.1.minutes, &self.remaining_minutes);
        Quantity { value: after + left.value, low: after + left.low, high: after + left.high }
    }

    /// By how many minutes the time at the first temperature is too long.
    #[must_use]
    pub fn error_by_first(&self) -> f64 {
        self.minutes_by_first - self.take_out().value
    }
}

impl Answer for Drift<'_> {
    fn describe(&self) -> Description {
        let q = &self.question;
        let (first, last) = self.ends;
        let mut all = Description::new(q.name);
        all.first = q.bath.standing().map(standing_field);
        let here = temperature(last.celsius.get(), q.unit);
        let remaining = Value::quantity(&self.remaining_minutes);
        if self.is_no() {
            let over = number(-self.remaining_minutes.value, 2);
            let words = format!("{over} min at {here}: take it out now");
            all.leading("remaining_minutes", "too much by", remaining.worded(words));
        } else {
            all.leading("take_out_minutes", "take out at", Value::time(&self.take_out()));
            let words = format!("{} at {here}", Value::time(&self.remaining_minutes).for_people());
            all.field("remaining_minutes", "still to develop", remaining.worded(words));
        }
        let goal = &self.adjusted.effective_minutes;
        let words = format!(
            "{} of {} effective minutes, after {}",
            number(self.effective_minutes, 2),
            number(goal.value, 2),
            rounded_clock(last.minutes)
        );
        let so_far = Value::number(self.effective_minutes, 2).worded(words);
        all.field("effective_minutes", "developed so far", so_far);
        all.data("target_effective_minutes", Value::quantity(goal));
        all.data("at_celsius", Value::number(last.celsius.get(), 1));
        q.bath.add_activity(&mut all);
        aim_fields(&mut all, q.measure, &q.target);
        let error = self.error_by_first();
        let words = format!(
            "{}: {} min too {}",
            rounded_clock(self.minutes_by_first),
            number(error.abs(), 2),
            if error > 0.0 { "long" } else { "short" }
        );
        let label = format!("if it had stayed at {}", temperature(first.celsius.get(), q.unit));
        let value = Value::number(error, 2).worded(words);
        all.field("error_by_first_temperature_minutes", label, value);
        all.notes(&self.adjusted.notes);
        all.notes(&q.target.assumptions);
        all.notes(q.bath.notes());
        all
    }

    fn is_no(&self) -> bool {
        self.remaining_minutes.value < 0.0
    }
}
