//! The fitted curves as a CSV table.

use crate::measures::StripAnalysis;

/// Distance of rows in log exposure.
const STEP: f64 = 0.02;

/// One row every 0.02 of log exposure, from the first reading of each strip to its last.
pub fn table(analyses: &[StripAnalysis]) -> Result<Vec<u8>, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record([
        "strip",
        "log_exposure",
        "density",
        "density_low",
        "density_high",
        "slope",
    ])?;
    for analysis in analyses {
        let Ok(analysed) = &analysis.result else {
            continue;
        };
        let curve = analysed.fit.curve.as_ref();
        let (low, high) = curve.range();
        for k in 0..=((high - low) / STEP + 1e-9).floor() as u32 {
            let x = low + STEP * f64::from(k);
            let density = curve.density(x);
            let half = analysed.fit.quantile * curve.density_sd(x);
            let numbers = [x, density, density - half, density + half, curve.slope(x)]
                .map(|v| format!("{v:.4}"));
            writer.write_record(std::iter::once(&analysis.strip.name).chain(&numbers))?;
        }
    }
    writer.into_inner().map_err(|e| e.into_error().into())
}
