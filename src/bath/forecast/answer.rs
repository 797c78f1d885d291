//! All questions at once.

use super::outlook::{Count, Span, check_use};
use super::{
    Assumptions, Bath, Coefficients, Event, ForecastError, ForecastNote, LOWEST_ACTIVITY,
    NoForecast, ROLL_M2, Strips,
};
use crate::measures::Measured;

/// What is asked of a bath.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Question {
    /// Area of one film, in m².
    pub film_m2: f64,
    /// Lowest usable activity; if absent, [`LOWEST_ACTIVITY`] is assumed.
    pub limit: Option<f64>,
    /// Films a day; if absent, the journal's own pace.
    pub films_per_day: Option<f64>,
    /// Probability of the intervals of films and days.
    pub level: f64,
    /// Activity that replenishment is to hold; if absent, the present one.
    pub hold: Option<f64>,
}

impl Default for Question {
    fn default() -> Self {
        Self { film_m2: ROLL_M2, limit: None, films_per_day: None, level: 0.9, hold: None }
    }
}

/// All that a forecast gives.
#[derive(Clone, Debug, PartialEq)]
pub struct Forecast {
    /// Activity now, with its 95 % interval.
    pub activity: Measured<NoForecast>,
    /// Films a day, as given or by the journal.
    pub films_per_day: Result<f64, NoForecast>,
    /// Films left, the first of them now and the others at that pace.
    pub films_left: Result<Count, NoForecast>,
    /// Films left if they are all developed now.
    pub films_left_now: Result<Count, NoForecast>,
    /// Days until the limit if no more film is developed.
    pub days_left_unused: Result<Span, NoForecast>,
    /// Days until the limit at the pace.
    pub days_left: Result<Span, NoForecast>,
    /// Replenisher after each film, in ml, that holds the activity at the pace, with its 95 % interval.
    pub replenishment_ml: Measured<NoForecast>,
    /// The coefficients of loss.
    pub coefficients: Result<Coefficients, NoForecast>,
    /// How many strips it rests on.
    pub strips: Strips,
    /// How many pieces of leader it rests on too.
    pub leaders: Strips,
    /// What is assumed, and what to know.
    pub notes: Vec<ForecastNote>,
}

impl Forecast {
    /// Follows `events` until `now` and answers `question`.
    ///
    /// # Errors
    /// [`ForecastError`] where the events cannot be followed. What the strips cannot give is no error:
    /// it is absent, with its reason.
    pub fn of(
        events: &[Event],
        assumptions: &Assumptions,
        now: f64,
        question: &Question,
    ) -> Result<Self, ForecastError> {
        Ok(Bath::follow(events, assumptions, now)?.answer(question))
    }
}

impl Bath {
    /// Answers all of a question.
    #[must_use]
    pub fn answer(&self, question: &Question) -> Forecast {
        let Question { film_m2, level, .. } = *question;
        let limit = question.limit.unwrap_or(LOWEST_ACTIVITY);
        let pace = match question.films_per_day {
            Some(pace) => check_use(film_m2, Some(pace)).map(|()| pace),
            None => check_use(film_m2, None).and_then(|()| self.usual_films_per_day(film_m2)),
        };
        let mut notes = self.notes();
        if question.limit.is_none() && self.carried().is_ok() {
            notes.push(ForecastNote::LowestAssumed);
        }
        if let (Ok(usual), None, Ok(())) = (&self.pace, question.films_per_day, self.carried()) {
            notes.push(ForecastNote::UsualPace { days: usual.days });
        }
        let at_pace = || pace;
        Forecast {
            activity: self.activity(),
            films_left: self
                .carried()
                .and_then(|()| at_pace())
                .and_then(|p| self.films_left(film_m2, Some(p), limit, level)),
            films_left_now: self.films_left(film_m2, None, limit, level),
            days_left_unused: self.days_left(0.0, limit, level),
            days_left: self
                .carried()
                .and_then(|()| at_pace())
                .and_then(|p| self.days_left(p * film_m2, limit, level)),
            replenishment_ml: self
                .carried()
                .and_then(|()| at_pace())
                .and_then(|p| self.replenishment(film_m2, Some(p), question.hold)),
            films_per_day: pace,
            coefficients: self.coefficients(),
            strips: self.strips,
            leaders: self.leaders,
            notes,
        }
    }
}
