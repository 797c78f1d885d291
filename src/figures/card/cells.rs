//! What stands in the cells of the table: times with their signs, and temperatures.

use super::footer::Sign;
use super::layout::fitted;
use super::table::Grid;
use super::{CardCell, TimeTemperatureCard};
use crate::figures::draw::{Anchor, BLACK, CAP_HEIGHT, MILLIMETRE, Scene, Text, WHITE, text_width};
use crate::units::Celsius;
use crate::words::number;

/// Largest type of the times: capitals of 10 mm.
const MOST_TIME: f64 = 10.0 * MILLIMETRE / CAP_HEIGHT;
/// Height of the times' capitals as a share of the row.
const TIME_SHARE: f64 = 0.64;
/// A sign's width as a share of the size of the times, and what it takes with its gap.
const SIGN: f64 = 0.34;
const SIGN_ROOM: f64 = 1.15 * SIGN;
/// °F in the size of °C.
const FAHRENHEIT: f64 = 0.78;

/// The size of type in which every time, with its signs, fits its cell.
pub(super) fn time_size(card: &TimeTemperatureCard, column: f64, row: f64) -> f64 {
    let widths = (0..card.columns.len()).map(|k| {
        let (time, signs) = widths(card, k);
        time + signs
    });
    let widest = widths.fold(text_width("0:00", 1.0), f64::max);
    let by_row = TIME_SHARE * row / CAP_HEIGHT;
    (0.91 * column / widest).min(by_row).min(MOST_TIME)
}

/// From the middle of a column to where its times end: with their signs they stand in the middle.
pub(super) fn time_end(card: &TimeTemperatureCard, column: usize, size: f64) -> f64 {
    let (time, signs) = widths(card, column);
    size * (time - signs) / 2.0
}

/// The widest time of a column, and the room for its signs, in type of size 1.
fn widths(card: &TimeTemperatureCard, column: usize) -> (f64, f64) {
    let cells = card.rows.iter().filter_map(|row| row.cells.get(column));
    let written = cells.filter_map(|cell| cell.written());
    written.fold((0.0, 0.0), |(widest, signs), (time, outside, short)| {
        let room = if outside || short { SIGN_ROOM } else { signs };
        (text_width(&time, 1.0).max(widest), room)
    })
}

/// Draws a cell: the time with its signs, or a dash.
pub(super) fn draw(scene: &mut Scene, grid: &Grid, (column, row): (usize, usize), cell: CardCell) {
    let (x, y) = grid.middle_of(column, row);
    let Some((time, outside, short)) = cell.written() else {
        Sign::Unreachable.draw(scene, (x, y), 0.55 * grid.time);
        return;
    };
    let end = x + grid.time_ends.get(column).copied().unwrap_or_default();
    let words = Text::new(&time, (end, y), grid.time).anchored(Anchor::End);
    scene.text(words.centred().coloured(BLACK));
    let cap = CAP_HEIGHT * grid.time;
    let at = |share: f64| (end + 0.65 * SIGN * grid.time, y + share * cap);
    if outside {
        Sign::Outside.draw(scene, at(-0.3), SIGN * grid.time);
    }
    if short {
        let share = if outside { 0.32 } else { -0.3 };
        Sign::Short.draw(scene, at(share), SIGN * grid.time);
    }
}

/// A temperature as the card writes it.
pub(super) fn temperature(celsius: f64) -> String {
    match Celsius::new(celsius) {
        Ok(c) if (c.get() - c.get().round()).abs() < 0.05 => format!("{} °C", number(c.get(), 0)),
        Ok(c) => format!("{} °C", number(c.get(), 1)),
        Err(_) => "–".to_owned(),
    }
}

/// The same in °F, if it is a temperature.
fn fahrenheit(celsius: f64) -> Option<String> {
    let known = Celsius::new(celsius).ok()?.get();
    Some(format!("{} °F", number(known * 1.8 + 32.0, 0)))
}

/// Writes the temperature of a row: °F below °C, or beside it where that allows larger type.
pub(super) fn draw_temperature(
    scene: &mut Scene,
    card: &TimeTemperatureCard,
    grid: &Grid,
    row: usize,
) {
    let celsius = card.rows[row].celsius;
    let ink = if card.is_reference(celsius) { WHITE } else { BLACK };
    let words = temperature(celsius);
    let (x, y) = (grid.left + grid.first / 2.0, grid.middle_of(0, row).1);
    let mut write = |words: &str, (x, y): (f64, f64), size: f64, room: f64| {
        scene.text(fitted(words, (x, y), size, room, 0.0).coloured(ink));
    };
    let room = 0.88 * grid.first;
    let Some(below) = fahrenheit(celsius).filter(|_| card.fahrenheit) else {
        write(&words, (x, y), grid.time, room);
        return;
    };
    let (first, second) = (text_width(&words, 1.0), FAHRENHEIT * text_width(&below, 1.0));
    let stacked = (grid.time.min(0.36 * grid.row / CAP_HEIGHT)).min(room / first);
    let gap = text_width(" ", 1.0);
    let beside = grid.time.min(room / (first + gap + second));
    if stacked >= beside {
        write(&words, (x, y - 0.19 * grid.row), stacked, room);
        write(&below, (x, y + 0.25 * grid.row), FAHRENHEIT * stacked, room);
    } else {
        let left = x - beside * (first + gap + second) / 2.0;
        let middles = (first / 2.0, first + gap + second / 2.0);
        write(&words, (left + beside * middles.0, y), beside, room);
        let low = y + CAP_HEIGHT * beside * (1.0 - FAHRENHEIT) / 2.0;
        write(&below, (left + beside * middles.1, low), FAHRENHEIT * beside, room);
    }
}
