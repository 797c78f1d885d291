//! What exposure does film get behind the clear part of a step tablet?

use super::{Answer, Column, Description, Form, Gather, Table, Value};
use crate::elementary::{antilog, log10};
use crate::measures::exposing::ExposedBy;
use crate::measures::{Quantity, SPEED_CONSTANT};

/// Film speeds for which the table says where their speed point lies.
const SPEEDS: [f64; 7] = [12.0, 25.0, 50.0, 100.0, 200.0, 400.0, 800.0];
/// Density range of a usual step tablet.
const TABLET: f64 = 3.0;

/// What is asked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ExposureQuestion {
    /// How the exposure is known.
    pub by: ExposedBy,
    /// Density of what lies between light and film and was not before the meter.
    pub filter: f64,
}

/// The exposure behind clear tablet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Exposure {
    /// What was asked.
    pub question: ExposureQuestion,
    /// Its log10, in lux seconds.
    pub log_exposure: Quantity,
}

impl Exposure {
    /// The answer.
    #[must_use]
    pub fn of(question: ExposureQuestion) -> Self {
        Self { question, log_exposure: question.by.log_exposure(question.filter) }
    }
}

impl Answer for Exposure {
    fn describe(&self) -> Description {
        let Self { question, log_exposure } = self;
        let mut all = Description::new("Exposure behind clear tablet");
        let log = Value::quantity_as(log_exposure, Form::Decimals(2));
        all.leading("log_exposure_clear", "log exposure", log);
        let power = |x: f64| antilog(x);
        let Quantity { value, low, high } = *log_exposure;
        let exposure = Quantity { value: power(value), low: power(low), high: power(high) };
        let exposure = Value::quantity(&exposure).unit(" lux·s");
        all.field("exposure", "exposure", exposure);
        let sigma = Value::number(question.by.sd(), 2);
        all.field("exposure_sigma", "its standard uncertainty, in log exposure", sigma);
        let mut table = Table::new(vec![
            Column::new("iso_speed", "film of ISO speed"),
            Column::new("tablet_density", "has its speed point at tablet density"),
        ])
        .keyed("speed_points");
        for speed in SPEEDS {
            let density = value - log10(SPEED_CONSTANT / speed);
            let density = match density {
                d if d < 0.0 => Value::Missing.worded("none: too little exposure"),
                d if d > TABLET => Value::number(d, 2).worded("more than 3.00: too much exposure"),
                d => Value::number(d, 2),
            };
            table.row(vec![Value::plain(speed, 0), density]);
        }
        all.add(table);
        all.notes(question.by.notes());
        all.note(
            "the speed point lies well at a tablet density of 1.5 to 2.3: the toe is then on the tablet, and the shoulder as far as prints need it (common practice, no source)",
        );
        all
    }
}
