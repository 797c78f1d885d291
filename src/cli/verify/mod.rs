//! `wedgebook verify`: does the bath still develop to spec, and can time restore it?

mod args;
mod control;
mod json;
mod plot;
mod text;

pub use args::{Args, ControlArgs};
pub use control::{Controls, Verified};
pub use text::report;

use super::{Failure, Outcome, print};

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let controls = Controls::verify(&args.control, args.bath.as_deref())?;
    if let Some(path) = &args.plot {
        plot::save(path, &controls)?;
    }
    print(&if args.json {
        json::document(&controls)
    } else {
        let reports: Vec<String> = controls.strips.iter().map(|s| report(&controls, s)).collect();
        reports.join("\n")
    })?;
    Ok(controls.outcome())
}
