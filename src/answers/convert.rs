//! How long at another temperature, without a calibration?

use super::adjust::temperature;
use super::{Answer, Description, Form, Gather, Value};
use crate::development::convert::TimeLaw;
use crate::development::temperature::{assumed_law, factor_per_ten_degrees};
use crate::measures::Quantity;
use crate::numerics::chance::NORMAL_95;
use crate::units::{Celsius, Minutes, TemperatureUnit};
use crate::words::rounded_clock;

/// What is asked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ConvertQuestion {
    /// A time that is known.
    pub minutes: Minutes,
    /// Its temperature.
    pub from: Celsius,
    /// The temperature of the bath.
    pub to: Celsius,
    /// How the rate changes with temperature.
    pub law: TimeLaw,
    /// The unit that temperatures are shown in.
    pub unit: TemperatureUnit,
}

/// The time at another temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Converted {
    /// What was asked.
    pub question: ConvertQuestion,
    /// The time, in **minutes**.
    pub minutes: Quantity,
}

impl Converted {
    /// Converts.
    #[must_use]
    pub fn of(question: ConvertQuestion) -> Self {
        let ConvertQuestion { minutes, from, to, law, .. } = question;
        Self { question, minutes: law.time_at(to, minutes, from) }
    }
}

impl Answer for Converted {
    fn describe(&self) -> Description {
        let q = &self.question;
        let degrees = |celsius: Celsius| {
            Value::plain(celsius.get(), 2).worded(temperature(celsius.get(), q.unit))
        };
        let mut all = Description::new(format!(
            "Develop for {} at {}",
            rounded_clock(self.minutes.value),
            temperature(q.to.get(), q.unit)
        ));
        all.leading("minutes", "develop for", Value::time(&self.minutes));
        all.field("celsius", "at", degrees(q.to));
        all.field("known_minutes", "instead of", Value::in_form(q.minutes.get(), Form::Clock));
        all.field("known_celsius", "at", degrees(q.from));
        let energy = Quantity::around(q.law.energy, NORMAL_95 * q.law.sd);
        let energy = Value::quantity_as(&energy, Form::Decimals(0)).unit(" kJ/mol");
        all.field("activation_energy_kj_per_mol", "activation energy", energy);
        let factor = factor_per_ten_degrees(q.law.energy);
        all.field(
            "factor_per_10_celsius",
            "faster by 10 °C, a factor of",
            Value::number(factor, 2),
        );
        all.data("law_is_assumed", q.law.assumed);
        match q.law.assumed {
            true => all.note(format!(
                "{}, as published developers have it (from memory). A second time of the maker's chart, or one strip at another temperature in a calibration, makes it surer",
                assumed_law()
            )),
            false => all.note(
                "the law is that of the two times, which are taken as rounded to a quarter of a minute",
            ),
        }
        all.note(
            "this converts a time; whether it is the right one for your film, bath and paper, only strips can say",
        );
        all
    }
}
