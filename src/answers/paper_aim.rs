//! The contrast that a scene needs on a paper, followed tone by tone.

use crate::development::aim::{OnPaper, Printing, Scene, Target};
use crate::development::{Measure, Pairing};
use crate::printing::PaperStrip;
use crate::printing::tone::{Camera, ChainError, Film, GREY, PrintFor, PrintSetup, Printed};

/// What is printed on.
#[derive(Clone, Copy, Debug)]
pub struct PaperAim<'a> {
    /// The film in its developer.
    pub pairing: &'a Pairing,
    /// The measure of contrast.
    pub measure: Measure,
    /// Flare and light.
    pub printing: Printing,
    /// The strips of the paper, one for each setting.
    pub papers: &'a [PaperStrip],
    /// The one that is printed on.
    pub paper: usize,
}

impl PaperAim<'_> {
    /// The contrast of the longest development that prints all tones of a scene; where there is none, of
    /// the one that loses least. The film is exposed by the pairing's own exposure index, and the metered
    /// grey prints as grey.
    ///
    /// # Errors
    /// [`ChainError`] where the tones cannot be followed.
    pub fn target(&self, stops: f64) -> Result<Target, ChainError> {
        let law = self.pairing.growth(self.measure).unwrap_or_else(|| self.pairing.law());
        let (low, high) = law.range();
        let flare = self.printing.flare_at(stops);
        let camera = Camera { stops, flare, grey: GREY, correction: 0.0 };
        // The setup's own time does not matter: all are tried.
        let theta = (low * high).sqrt();
        let film = Film { pairing: self.pairing, theta, exposure_index: None };
        let callier = self.printing.factor();
        let printed = Printed { callier, print_for: PrintFor::Middle, correction: 0.0 };
        let setup = PrintSetup { camera, film, printed, papers: self.papers, paper: self.paper };
        let kept = setup.keeping()?;
        let strip = &self.papers[self.paper];
        let range = strip.measures().and_then(|m| m.range_r.as_ref().ok());
        // The range has no part in it, so that it is not assumed.
        let range_r = range.map_or_else(|| self.printing.range_r(), |r| r.value);
        let printing = Printing { paper_range: Some(range_r), ..self.printing };
        let name = strip.strip.labels.film.as_deref().unwrap_or("the paper");
        let on = OnPaper {
            paper: format!("{name}, setting {}", strip.setting()),
            lost_stops: kept.lost_stops,
        };
        Ok(Target {
            contrast: law.value(kept.theta),
            scene: Some(Scene { stops, range_r, on: Some(on), whole: None }),
            assumptions: printing.assumptions(),
        })
    }
}
