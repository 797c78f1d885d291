//! A small plot of letters.

/// Rows and columns of the plot.
const ROWS: usize = 10;
const COLUMNS: usize = 60;
const FEWEST_COLUMNS: usize = 10;
/// Columns before those of the plot.
const SCALE: usize = 7;
/// The density at the top rises in steps of this, and is this at least.
const TOP: f64 = 1.0;

/// Density against log exposure over the range of all exposures, so that the curve grows into the plot:
/// `*` a reading, `!` one out of line. Empty with fewer than two readings.
pub(super) fn plot(
    points: &[(f64, f64, bool)],
    exposures: impl Iterator<Item = f64>,
    width: usize,
) -> String {
    let (low, high) = exposures.fold((f64::MAX, f64::MIN), |(a, b), x| (a.min(x), b.max(x)));
    if points.len() < 2 || high <= low {
        return String::new();
    }
    // One that is out of line does not press the others down: it stands at the top.
    let in_line = points.iter().filter(|(.., is_out)| !is_out);
    let most = in_line.map(|(_, density, _)| *density).fold(0.0, f64::max);
    let top = TOP * (most / TOP).ceil().max(1.0);
    let columns = width.saturating_sub(SCALE).clamp(FEWEST_COLUMNS, COLUMNS);
    let mut grid = vec![vec![b' '; columns]; ROWS];
    for (x, density, is_out) in points {
        let column = ((x - low) / (high - low) * (columns - 1) as f64).round() as usize;
        let row = (density.max(0.0) / top * (ROWS - 1) as f64).round() as usize;
        let cell = &mut grid[ROWS - 1 - row.min(ROWS - 1)][column.min(columns - 1)];
        *cell = if *is_out || *cell == b'!' { b'!' } else { b'*' };
    }
    let mut text = String::new();
    for (k, row) in grid.iter().enumerate() {
        let label = match k {
            0 => format!("{top:.1}"),
            _ if k == ROWS - 1 => "0.0".to_owned(),
            _ => "   ".to_owned(),
        };
        let line = format!("  {label} |{}", String::from_utf8_lossy(row));
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text.push_str(&format!("      +{}\n", "-".repeat(columns)));
    text
}
