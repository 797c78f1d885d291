//! An evenly exposed frame as the readings that `evenness` takes.

use super::{Framed, FramedNote};
use crate::answers::read::{NoDensities, ReadQuestion};
use crate::answers::{Answer, Block, Column, Description, Gather, Table, Value};
use crate::picture::frame::{FrameReading, Shows};
use crate::units::{DensitySigma, FrameSize};
use crate::words::{counted, no_formula};

/// The densities of an evenly exposed frame.
#[derive(Clone, Debug)]
pub struct EvenFrame(Framed);

impl EvenFrame {
    /// Measures the frame in a picture; one of 36 × 24 mm where its size is `None`.
    ///
    /// # Errors
    /// [`NoDensities`].
    pub fn of(question: ReadQuestion<'_>, size: Option<FrameSize>) -> Result<Self, NoDensities> {
        Framed::of(question, size, Shows::Even).map(Self)
    }

    /// What was measured.
    #[must_use]
    pub const fn reading(&self) -> &FrameReading {
        &self.0.reading
    }

    /// The readings as a file of frames: `frame`, `x_mm`, `y_mm`, `density`, `sigma`.
    #[must_use]
    pub fn csv(&self) -> String {
        let Framed { reading, about, .. } = &self.0;
        let text = |text: &Option<String>| text.as_ref().map(|t| no_formula(t).into_owned());
        let labels: Vec<(&str, String)> = [
            ("film", text(&about.film)),
            ("developer", text(&about.developer)),
            ("date", text(&about.date)),
            ("note", Some(self.0.note("from a picture"))),
        ]
        .into_iter()
        .filter_map(|(name, value)| Some((name, value?)))
        .collect();
        let mut writer = csv::Writer::from_writer(Vec::new());
        let headings = ["frame", "x_mm", "y_mm", "density", "sigma"].into_iter();
        let headings: Vec<&str> = headings.chain(labels.iter().map(|(name, _)| *name)).collect();
        let mut all = writer.write_record(&headings).is_ok();
        for cell in &reading.cells {
            let Some(found) = cell.stated.found() else { continue };
            let sigma = self.sigma().unwrap_or(found.sigma);
            let mut cells = vec![
                no_formula(&about.name).into_owned(),
                format!("{:.2}", cell.x),
                format!("{:.2}", cell.y),
                format!("{:.4}", found.density.max(0.0)),
                format!("{sigma:.4}"),
            ];
            cells.extend(labels.iter().map(|(_, value)| value.clone()));
            all &= writer.write_record(&cells).is_ok();
        }
        debug_assert!(all, "memory takes any number of records");
        String::from_utf8_lossy(&writer.into_inner().unwrap_or_default()).into_owned()
    }

    /// Standard uncertainty of a cell by itself, within the bounds of a file of readings.
    fn sigma(&self) -> Option<f64> {
        let sigma = self.0.reading.sigma()?;
        Some(sigma.clamp(DensitySigma::LOWEST, DensitySigma::HIGHEST))
    }

    /// The cells over the picture, with the names of the frame's sides.
    #[cfg(feature = "figures")]
    #[must_use]
    pub fn overlay(&self, image: &crate::picture::Image) -> crate::figures::draw::Scene {
        let title = format!("Cells of the frame in {}", self.0.picture);
        let tablet = self.0.tablet_boxes();
        crate::figures::frame_overlay(image, &tablet, &self.0.reading, &[], &title)
    }
}

impl Answer for EvenFrame {
    fn describe(&self) -> Description {
        let reading = &self.0.reading;
        let found: Vec<f64> = reading.densities().into_iter().flatten().collect();
        let mut all = Description::new(format!(
            "{}: {} over a frame of {}",
            self.0.picture,
            counted(found.len() as u64, "density"),
            self.0.size()
        ));
        all.data("picture", self.0.picture.as_str());
        all.data("frame", self.0.about.name.as_str());
        let mean = found.iter().sum::<f64>() / found.len().max(1) as f64;
        all.field("mean_density", "mean density", Value::number(mean, 3));
        let least = found.iter().copied().fold(f64::INFINITY, f64::min);
        let most = found.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        all.field("lowest", "lowest of a cell", Value::number(least, 3));
        all.field("highest", "highest of a cell", Value::number(most, 3));
        all.field("sigma", "sigma of a cell", self.sigma().map(|s| Value::number(s, 4)));
        self.0.fields(&mut all);
        let mut table = Table::new(vec![
            Column::new("x_mm", "along, mm"),
            Column::new("y_mm", "across, mm"),
            Column::new("density", "density"),
        ])
        .keyed("readings");
        for cell in &reading.cells {
            let density = cell.stated.found().map(|found| Value::number(found.density, 4));
            table.row(vec![
                Value::number(cell.x, 2),
                Value::number(cell.y, 2),
                Value::or_missing(density),
            ]);
        }
        // People look at them in the overlay, and at what evenness says of them.
        all.add(Block::Twofold { people: Vec::new(), programs: vec![table.into()] });
        all.note(reading.place.lying);
        all.note(FramedNote::LowerEdge);
        all.note(FramedNote::Sigma);
        all.note(FramedNote::Common);
        self.0.notes(&mut all);
        all
    }
}
