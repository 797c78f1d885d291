//! Checks against published values, one file per source. `data/README.md` says where each number
//! comes from and how far it can be trusted.

mod shapes;

mod ansi_ph2_2_1966;
mod army_ss0509;
mod blitzer_precalculus;
mod control_charts;
mod crossing_over;
mod evenness_fit;
mod hurter_driffield_1890;
mod iso_6846_1992;
mod iso_6_1993;
mod jones_condit_1941;
mod kinetics;
mod local_level;
mod monotone;
mod navedtra_14209;
mod nelson_simonds_1956;
mod niederpruem_nelson_yule_1966;
mod openstax_college_algebra;
mod picture_photometry;
mod plane_fit;
mod processor_limits;
mod run_lengths;
mod run_rules;
mod strd;
mod tone_reproduction;
mod training_handbooks;

/// `docs/checks.md` names tests that exist, and every file of checks has a row there.
#[test]
fn every_check_has_its_row() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let table = std::fs::read_to_string(root.join("docs/checks.md")).unwrap();
    let mut named = std::collections::BTreeSet::new();
    for cell in table.split('`').filter(|text| text.contains("::")) {
        let (file, test) = cell.split_once("::").unwrap();
        let source = root.join(format!("tests/published/{file}.rs"));
        let source = std::fs::read_to_string(&source).unwrap();
        assert!(source.contains(&format!("#[test]\nfn {test}()")), "{cell}");
        named.insert(file.to_owned());
    }
    for entry in std::fs::read_dir(root.join("tests/published")).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        let Some(file) = name.strip_suffix(".rs").filter(|f| !["main", "shapes"].contains(f))
        else {
            continue;
        };
        assert!(named.contains(file), "{file} has no row in docs/checks.md");
    }
}
