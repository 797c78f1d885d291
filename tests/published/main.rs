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
mod plane_fit;
mod processor_limits;
mod run_lengths;
mod run_rules;
mod strd;
mod tone_reproduction;
mod training_handbooks;
