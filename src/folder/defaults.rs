//! What is usual in a folder, from its file.

use super::DefaultsError;
use crate::development::aim::Light;
use crate::session::plan::section::{Found, Section, Source};
use crate::units::typed::TemperatureUnit;
use crate::units::{
    Bounds, CallierFactor, DensityNoise, ExposureSigma, Flare, LogExposure, PaperRange, SceneStops,
};
use std::path::Path;
use toml::de::DeTable;

/// What is usual in a folder: what a command takes where nothing else is said. All of it may be absent.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Defaults {
    /// The pairing that is meant: its file, or how its name begins.
    pub pairing: Option<String>,
    /// The journal of the bath that film goes into: its file, or how its name begins.
    pub bath: Option<String>,
    /// The unit of temperatures that are written without one.
    pub unit: Option<TemperatureUnit>,
    /// Log exposure behind clear tablet, log10 of lux·s.
    pub log_exposure_clear: Option<LogExposure>,
    /// Standard uncertainty of a density reading.
    pub density_sigma: Option<DensityNoise>,
    /// Standard uncertainty of the log exposure that all readings have in common.
    pub exposure_sigma: Option<ExposureSigma>,
    /// Range of the scene in stops.
    pub scene_stops: Option<f64>,
    /// ISO range R of the paper.
    pub paper_range: Option<f64>,
    /// The light that negatives are printed with.
    pub light: Option<Light>,
    /// Its Callier factor.
    pub callier: Option<f64>,
    /// Log exposure lost to flare.
    pub flare: Option<f64>,
}

impl Defaults {
    /// Reads a file; `shown` stands for it in messages.
    pub(super) fn read(shown: &Path, path: &Path) -> Result<Self, DefaultsError> {
        let unreadable = |reason| DefaultsError::Unreadable { path: shown.to_owned(), reason };
        let text = crate::files::text(path).map_err(unreadable)?;
        Self::parse(shown, &text)
    }

    /// Reads the `text` of such a file; `path` stands for it in messages.
    ///
    /// # Errors
    /// [`DefaultsError`]: the first fault, with its line.
    pub fn parse(path: &Path, text: &str) -> Result<Self, DefaultsError> {
        let text = Source { path, text: text.trim_start_matches('\u{FEFF}') };
        let table = DeTable::parse(text.text).map_err(|error| {
            let at = error.span().map_or(0, |span| span.start);
            text.fault(at, error.message().replace('\n', " "))
        })?;
        let root = Section::root(text, &table);
        root.only(&["usual", "units", "readings", "scene", "printing"])?;
        let mut all = Self::default();
        if let Some(usual) = root.section("usual")? {
            usual.only(&["pairing", "bath"])?;
            all.pairing = usual.text("pairing", "larkfold")?.map(str::to_owned);
            all.bath = usual.text("bath", "bath.csv")?.map(str::to_owned);
        }
        if let Some(units) = root.section("units")? {
            units.only(&["temperature"])?;
            let choices = [("C", TemperatureUnit::Celsius), ("F", TemperatureUnit::Fahrenheit)];
            all.unit = units.choice("temperature", &choices)?;
        }
        if let Some(readings) = root.section("readings")? {
            readings.only(&["log_exposure_clear", "density_sigma", "exposure_sigma"])?;
            all.log_exposure_clear = readings.written("log_exposure_clear", "0.85")?;
            all.density_sigma = readings.written("density_sigma", "0.008")?;
            all.exposure_sigma = readings.written("exposure_sigma", "0.03")?;
        }
        if let Some(scene) = root.section("scene")? {
            scene.only(&["stops"])?;
            all.scene_stops = scene.number("stops", SceneStops::BOUNDS, "7")?;
        }
        if let Some(printing) = root.section("printing")? {
            printing.only(&["paper_range", "light", "callier", "flare"])?;
            let number = |key, bounds: Bounds, example| -> Found<f64> {
                printing.number(key, bounds, example)
            };
            all.paper_range = number("paper_range", PaperRange::BOUNDS, "105")?;
            all.callier = number("callier", CallierFactor::BOUNDS, "1.3")?;
            all.flare = number("flare", Flare::BOUNDS, "0.4")?;
            let lights = [("diffuse", Light::Diffuse), ("condenser", Light::Condenser)];
            all.light = printing.choice("light", &lights)?;
        }
        Ok(all)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parse(text: &str) -> Result<Defaults, String> {
        Defaults::parse(Path::new("wedgebook.toml"), text).map_err(|e| e.to_string())
    }

    #[test]
    fn everything_may_be_absent_or_said() {
        assert_eq!(parse(""), Ok(Defaults::default()));
        let all = parse(
            "[usual]\npairing = \"lark\"\n[units]\ntemperature = \"F\"\n[readings]\ndensity_sigma = \"0.005+1%\"\nexposure_sigma = 0.03\n[scene]\nstops = 8\n[printing]\npaper_range = 90\nlight = \"condenser\"\n",
        )
        .unwrap();
        assert_eq!(all.pairing.as_deref(), Some("lark"));
        assert_eq!(all.unit, Some(TemperatureUnit::Fahrenheit));
        assert_eq!(all.density_sigma, "0.005+1%".parse().ok());
        assert_eq!(all.exposure_sigma, "0.03".parse().ok());
        assert_eq!((all.scene_stops, all.paper_range), (Some(8.0), Some(90.0)));
        assert_eq!(all.light, Some(Light::Condenser));
    }

    #[test]
    fn what_is_typed_and_what_is_written_have_the_same_bounds() {
        for (text, fault) in [
            ("[printing]\npaper_range = 9000\n", "wedgebook.toml:2: printing.paper_range: "),
            ("[scene]\nstops = -1\n", "wedgebook.toml:2: scene.stops: "),
            ("[readings]\n\ndensity_sigma = -1\n", "wedgebook.toml:3: readings.density_sigma: "),
            (
                "[readings]\nexposure_sigma = true\n",
                "wedgebook.toml:2: readings.exposure_sigma: true cannot stand here",
            ),
            (
                "[usual]\npairng = \"x\"\n",
                "wedgebook.toml:2: [usual] has no key \"pairng\"; did you mean pairing?",
            ),
            ("[paper]\n", "wedgebook.toml:1: "),
            ("[units]\ntemperature = \"K\"\n", "write C or F"),
            ("nonsense", "wedgebook.toml:1: "),
        ] {
            let found = parse(text).unwrap_err();
            assert!(found.contains(fault), "{found}");
        }
    }
}
