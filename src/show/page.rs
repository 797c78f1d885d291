//! An answer as printed pages: A4, black on white, with boxes to tick before the rows of tables.
//!
//! Cautions come first, in a frame; then what leads, one value large enough to be seen from afar; then
//! the parts of the description in their order, and its notes. What has no room on a page stands on the
//! next one: nothing is left out or shortened.

mod break_lines;
mod layout;
mod piece;
mod table;

use crate::answers::Description;
#[cfg(feature = "files")]
use crate::figures::FigureError;
use crate::figures::draw::{MILLIMETRE, Scene};
#[cfg(feature = "files")]
use crate::files;
use layout::{Layout, Look};
#[cfg(feature = "files")]
use std::path::{Path, PathBuf};

/// A4 paper, upright, in millimetres.
const A4: (f64, f64) = (210.0, 297.0);
/// Sizes of type that are tried, in **millimetres**, to have all on one page; 2.6 mm are 7.4 points.
const SIZES: [f64; 5] = [3.5, 3.3, 3.1, 2.8, 2.6];
/// The size where one page is not enough.
const SIZE_OF_SEVERAL: f64 = 3.3;

/// The pages of a description, one at least.
#[must_use]
pub fn render(description: &Description) -> Vec<Scene> {
    let in_size = |size: f64| Layout::of(description, Look::new(A4, size * MILLIMETRE));
    let fitting = SIZES.into_iter().map(in_size).find(|layout| layout.pages.len() == 1);
    let layout = fitting.unwrap_or_else(|| in_size(SIZE_OF_SEVERAL));
    let title = match description.title.trim() {
        "" => "Page",
        title => title,
    };
    let count = layout.pages.len();
    let page = |(n, pieces): (usize, &Vec<piece::Placed>)| {
        let mut scene = Scene::on_paper(A4, title, &layout.in_words(n));
        for piece in pieces {
            piece.draw(&mut scene, &layout.look);
        }
        if count > 1 {
            layout.draw_foot(&mut scene, n + 1, count);
        }
        scene
    };
    layout.pages.iter().enumerate().map(page).collect()
}

/// Writes pages as SVG or PNG, by the extension of the path: the first at the path itself, `page.svg`,
/// the others beside it, `page-2.svg`, `page-3.svg`. All are made before the first is written, and all
/// are on the disk before the first has its name.
///
/// # Errors
/// [`FigureError`] for any other extension, or where a file cannot be written.
#[cfg(feature = "files")]
pub fn save(pages: &[Scene], path: &Path) -> Result<Vec<PathBuf>, FigureError> {
    let named = |n: usize| match n {
        0 => path.to_owned(),
        n => files::named_beside(path, &(n + 1).to_string()),
    };
    let made = pages
        .iter()
        .enumerate()
        .map(|(n, page)| Ok((named(n), page.bytes(path)?)))
        .collect::<Result<Vec<_>, FigureError>>()?;
    files::replace_all(made.iter().map(|(path, bytes)| (path.as_path(), bytes.as_slice())))?;
    Ok(made.into_iter().map(|(path, _)| path).collect())
}
