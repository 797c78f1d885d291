//! What the journal says of the bath: `status`, `chart`, `forecast`.

use super::super::aims::{aims, target};
use super::super::inputs::draw;
use super::super::{Failure, Outcome, hint, show};
use super::args::{BasisArg, ChartArgs, ForecastArgs, LogArgs, StatusArgs};
use super::journal::{read, record};
use crate::answers::bath::chart::{ChartQuestion, ControlCharts};
use crate::answers::bath::forecast::{BathForecast, ForecastQuestion, Lowest};
use crate::answers::bath::log::BathLog;
use crate::answers::bath::status::{BathStatus, StatusQuestion};
use crate::bath::control::{Alphabet, Basis};
use crate::bath::watched::Watched;
use crate::files::{Output, Outputs};
use crate::units::{Activity, FilmsPerWeek, Minutes, ReplenisherStrength, TemperatureUnit};

pub fn status(args: &StatusArgs) -> Result<Outcome, Failure> {
    let record = record(&args.view)?;
    let aim = match &record.pairing {
        Ok((file, _)) => {
            let aims = aims(&file.aims, &args.aims)?;
            Some((aims.measure, target(&args.target, &aims)?))
        }
        Err(_) => None,
    };
    let typed = args.temperature.temperature;
    let status = BathStatus::of(StatusQuestion {
        limits: record.limits()?,
        record,
        aim,
        celsius: typed.map(|typed| typed.celsius),
        unit: typed.map_or(TemperatureUnit::Celsius, |typed| typed.unit),
        anyway: args.anyway,
    })?;
    let outcome = show(&status, args.view.json)?;
    if !args.anyway {
        hint::anyway(&status.question.record.standing);
    }
    Ok(outcome)
}

pub fn chart(args: &ChartArgs) -> Result<Outcome, Failure> {
    Outputs::beside(args.view.files()).writes(args.plot.as_ref(), Output::Picture).check()?;
    let record = record(&args.view)?;
    let wanted = |watched: &Watched| {
        args.only.is_empty() || args.only.iter().any(|q| Watched::from(*q) == *watched)
    };
    let charts = ControlCharts::of(ChartQuestion {
        limits: record.limits()?,
        record,
        watched: Watched::CHARTED.into_iter().filter(wanted).collect(),
        basis: match args.basis {
            BasisArg::Aim => Basis::Aim,
            BasisArg::History => Basis::FirstStrips,
            BasisArg::Tolerances => Basis::Tolerances,
        },
        alphabet: match (args.no_drawing, args.ascii) {
            (true, _) => None,
            (false, true) => Some(Alphabet::Ascii),
            (false, false) => Some(Alphabet::Blocks),
        },
    });
    if let Some(path) = &args.plot {
        draw(&crate::cli::scene(charts.figure()), path)?;
    }
    show(&charts, args.view.json)
}

pub fn forecast(args: &ForecastArgs) -> Result<Outcome, Failure> {
    let record = record(&args.view)?;
    let lowest = match (args.lowest_activity, args.longest_min.map(Minutes::get)) {
        (Some(lowest), _) => Lowest::Given(lowest.get()),
        (None, None) => Lowest::Assumed,
        (None, Some(longest)) => {
            let (file, pairing) = record.pairing.as_ref().map_err(super::journal::no_pairing)?;
            let aims = aims(&file.aims, &args.aims)?;
            let target = target(&args.target, &aims)?;
            Lowest::of_longest(pairing, aims.measure, &target, longest)?
        }
    };
    let forecast = BathForecast::of(ForecastQuestion {
        record,
        film: args.format,
        lowest,
        films_per_week: args.films_per_week.map(FilmsPerWeek::get),
        hold: args.hold_activity.map(Activity::get),
        replenisher: args.replenisher_strength.map(ReplenisherStrength::get),
        anyway: args.anyway,
    })?;
    let outcome = show(&forecast, args.view.json)?;
    if !args.anyway {
        hint::anyway(&forecast.question.record.standing);
    }
    Ok(outcome)
}

pub fn log(args: &LogArgs) -> Result<Outcome, Failure> {
    let journal = read(&args.journal)?;
    hint::journal_notes(&journal);
    show(&BathLog::of(args.journal.display().to_string(), &journal, args.all), args.json)
}
