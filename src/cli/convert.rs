//! `wedgebook convert`: a time at another temperature, without a calibration.

use super::{Failure, Outcome, here, show};
use crate::answers::{ConvertQuestion, Converted};
use crate::development::TimedTemperature;
use crate::development::convert::TimeLaw;
use crate::units::{Minutes, Temperature};

/// I know the time at one temperature: how long is it at another?
///
/// For a film that is not calibrated. By the law that published developers follow, or by a second time of
/// the maker's chart. Whether the bath is still good, and what contrast the film will have, cannot be known so.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  wedgebook convert 9:00 --from 20 --to 21.3\n  wedgebook convert 9:00 --from 20 --to 21.3 --chart 6:30=24\n\nExit status: 0 done, 2 wrong usage or unusable input."
)]
pub struct Args {
    /// The time that is known, as 9 or 9:30.
    #[arg(value_name = "MIN")]
    minutes: Minutes,
    /// The temperature that it is for, as 20 or 68F.
    #[arg(long, value_name = "T", value_parser = here::temperature)]
    from: Temperature,
    /// The temperature of the bath.
    #[arg(long, value_name = "T", value_parser = here::temperature)]
    to: Temperature,
    /// A second time of the same chart with its temperature, as 6:30=24.
    #[arg(long, value_name = "MIN=T")]
    chart: Option<TimedTemperature>,
    /// Print one JSON document instead of text.
    #[arg(long)]
    json: bool,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let known = (args.minutes, args.from.celsius);
    let law = match args.chart {
        Some(second) => {
            let minutes = Minutes::new(second.minutes.get())?;
            TimeLaw::of_chart(known, (minutes, second.temperature.celsius))
                .map_err(|why| Failure(format!("--chart: {why}")))?
        }
        None => TimeLaw::ASSUMED,
    };
    let question = ConvertQuestion {
        minutes: args.minutes,
        from: args.from.celsius,
        to: args.to.celsius,
        law,
        unit: args.to.unit,
    };
    show(&Converted::of(question), args.json)
}
