//! The printing densities of a negative.

use super::{Framed, FramedNote};
use crate::answers::read::{NoDensities, ReadQuestion};
use crate::answers::{Answer, Description, Gather, Value};
use crate::measures::Quantity;
use crate::numerics::chance::NORMAL_95;
use crate::picture::frame::{Extreme, FrameReading, PrintingDensities, Shows};
use crate::units::{DensitySigma, FrameSize};
use crate::words::{no_formula, number};

/// A negative's lightest and darkest useful areas.
#[derive(Clone, Debug)]
pub struct NegativeRead {
    framed: Framed,
    found: PrintingDensities,
}

impl NegativeRead {
    /// Measures the negative in a picture; one of 36 × 24 mm where its size is `None`.
    ///
    /// # Errors
    /// [`NoDensities`].
    pub fn of(question: ReadQuestion<'_>, size: Option<FrameSize>) -> Result<Self, NoDensities> {
        let framed = Framed::of(question, size, Shows::Scene)?;
        let found = PrintingDensities::of(&framed.reading).map_err(NoDensities::Frame)?;
        Ok(Self { framed, found })
    }

    /// What was measured.
    #[must_use]
    pub const fn reading(&self) -> &FrameReading {
        &self.framed.reading
    }

    /// Its printing densities.
    #[must_use]
    pub const fn found(&self) -> &PrintingDensities {
        &self.found
    }

    /// The negative as a file for the proof: `negative`, `low`, `high`, and `sigma`, the standard uncertainty of each
    /// of the two that the uncertainty of their difference amounts to.
    #[must_use]
    pub fn csv(&self) -> String {
        let about = &self.framed.about;
        let base = self.found.base_plus_fog.map(|(base, _)| format!("base plus fog {base:.3}"));
        let labels = [&about.film, &about.developer, &about.date];
        let labels = labels.into_iter().flatten().map(|text| no_formula(text).into_owned());
        let parts: Vec<String> =
            ["from a picture".to_owned()].into_iter().chain(base).chain(labels).collect();
        let sigma = self.found.range_sigma / std::f64::consts::SQRT_2;
        let sigma = sigma.clamp(DensitySigma::LOWEST, DensitySigma::HIGHEST);
        let row = [
            no_formula(&about.name).into_owned(),
            format!("{:.3}", self.found.low.density),
            format!("{:.3}", self.found.high.density),
            format!("{sigma:.4}"),
            self.framed.note(&parts.join("; ")),
        ];
        let mut writer = csv::Writer::from_writer(Vec::new());
        let all = writer.write_record(["negative", "low", "high", "sigma", "note"]).is_ok()
            && writer.write_record(&row).is_ok();
        debug_assert!(all, "memory takes any number of records");
        String::from_utf8_lossy(&writer.into_inner().unwrap_or_default()).into_owned()
    }

    /// Both areas over the picture.
    #[cfg(feature = "figures")]
    #[must_use]
    pub fn overlay(&self, image: &crate::picture::Image) -> crate::figures::draw::Scene {
        let marked =
            |of: &Extreme, name: &str| (of.cell.area, format!("{name} {}", number(of.density, 2)));
        let base = self.framed.reading.unexposed.map(|(area, stated)| {
            let density = stated.found().map_or(String::new(), |f| number(f.density, 2));
            (area, format!("base plus fog {density}"))
        });
        let areas = [marked(&self.found.low, "lowest"), marked(&self.found.high, "highest")];
        let areas: Vec<_> = areas.into_iter().chain(base).collect();
        let title = format!("Printing densities in {}", self.framed.picture);
        let tablet = self.framed.tablet_boxes();
        crate::figures::frame_overlay(image, &tablet, &self.framed.reading, &areas, &title)
    }
}

impl Answer for NegativeRead {
    fn describe(&self) -> Description {
        let found = &self.found;
        let mut all = Description::new(format!(
            "{}: the negative has densities from {} to {}",
            self.framed.picture,
            number(found.low.density, 2),
            number(found.high.density, 2)
        ));
        all.data("picture", self.framed.picture.as_str());
        all.data("negative", self.framed.about.name.as_str());
        let quantity =
            |value: f64, sigma: f64| Value::quantity(&Quantity::around(value, NORMAL_95 * sigma));
        let place = |extreme: &Extreme| {
            let words =
                format!("x {}, y {} mm", number(extreme.cell.x, 1), number(extreme.cell.y, 1));
            let map = vec![
                ("x_mm".into(), Value::number(extreme.cell.x, 2)),
                ("y_mm".into(), Value::number(extreme.cell.y, 2)),
            ];
            Value::Map(map).worded(words)
        };
        all.field("low", "lowest density", quantity(found.low.density, found.low.sigma));
        all.field("low_at", "lowest density at", place(&found.low));
        all.field("high", "highest density", quantity(found.high.density, found.high.sigma));
        all.field("high_at", "highest density at", place(&found.high));
        all.field("density_range", "density range", quantity(found.range(), found.range_sigma));
        let base = found.base_plus_fog.map(|(base, sigma)| quantity(base, sigma));
        match base {
            Some(base) => all.field("base_plus_fog", "base plus fog", base),
            None => all.data("base_plus_fog", Value::Missing),
        }
        self.framed.fields(&mut all);
        all.note(self.framed.reading.place.lying);
        all.note(FramedNote::Tails);
        if found.base_plus_fog.is_none() {
            all.note(FramedNote::NoBase);
        }
        self.framed.notes(&mut all);
        all
    }
}
