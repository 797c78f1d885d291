//! `wedgebook bath film`: film that was developed.

use super::super::{Failure, Outcome};
use super::args::FilmArgs;
use super::enter::{Told, enter};
use crate::bath::film::{Films, NOMINAL};
use crate::bath::journal::Act;
use crate::units::FilmArea;
use crate::words::trimmed;

pub fn run(args: &FilmArgs) -> Result<Outcome, Failure> {
    let films = Films::of_counts(&args.rolls, &args.sheets);
    let area_m2 = args.area_m2.map_or_else(|| films.area_m2(), FilmArea::get);
    let area = format!("{} m²", trimmed(area_m2, 4));
    let told = match args.area_m2 {
        Some(_) => Told::line(format!("film, {area}")),
        None => Told { line: format!("{films}, {area} ({NOMINAL})"), notes: vec![NOMINAL] },
    };
    let act = Act::Film { films: films.to_string(), area_m2 };
    enter(&args.place, act, args.note.clone(), told)
}
