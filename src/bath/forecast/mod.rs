//! How long a bath of developer will last that is kept, used again and perhaps replenished.
//!
//! # The model
//! The activity a of a bath is its rate of development over that of the bath of the calibration; what
//! is followed is x = ln a.
//!
//! | event | what it does |
//! |---|---|
//! | new bath | x = 0, give or take the error of mixing |
//! | film of A m² in V litres | x falls by c_use·A/V |
//! | Δt days | x falls by c_age·Δt |
//! | r ml taken out, f ml put in | a becomes ((V − r)·a + f·s)/(V − r + f), s the strength of what is put in |
//! | control strip | x is seen, with the strip's standard deviation |
//!
//! **What is lost is lost in grains.** One film carries more exposure than another, one bottle is
//! opened oftener: where a loss ℓ is expected, its variance is g·ℓ, with the dispersion g the same for use
//! and age. So the noise vanishes where nothing is lost, does not depend on how events are cut into
//! pieces, and has one number only, which is all that a few strips can give.
//!
//! Given c_use, c_age and g, x and s are followed by a Kalman filter (R. E. Kalman 1960); the law of
//! mixing is linearised about the mean, which is exact to 3e-4 in x while x is known to 0.05. The
//! coefficients are integrated over by Gauss and Hermite's rule about their posterior's mean
//! (J. C. Naylor and A. F. M. Smith 1982), so that every interval includes their uncertainty. Weak
//! log-normal priors stand in where strips are few: see [`Assumptions`].
//!
//! Earlier baths of the same journal inform the coefficients of the present one, but not fully: from
//! bath to bath (and from one hundred strips to the next of a bath that goes on for years) they
//! wander. Work grows in proportion to the number of events. Nothing here is random.

mod answer;
mod assumptions;
mod bath;
mod belief;
mod coefficients;
mod contradiction;
mod event;
mod filter;
mod frame;
mod gauss_hermite;
mod learn;
mod mixture;
mod note;
mod outlook;
mod pace;
mod passed;
mod posterior;
mod replenish;
mod stretch;
mod why;

pub use answer::{Forecast, Question};
pub use assumptions::{Assumptions, LOWEST_ACTIVITY, Prior, ROLL_M2};
pub use bath::{Bath, Strips};
pub use coefficients::{Coefficient, Coefficients, Values};
pub use contradiction::Contradiction;
pub use event::{Event, EventKind, ForecastError};
pub use note::{ForecastNote, evidence};
pub use outlook::{Count, LONGEST_DAYS, MOST_FILMS, Span};
pub use passed::{Passed, passed};
pub use replenish::mixed;
pub use why::NoForecast;
