//! The program, run as a person would.
#[path = "../support/desk.rs"]
mod desk;
#[path = "../support/light_box/mod.rs"]
mod light_box;

mod asking;
mod bath;
mod bench;
mod class_night;
mod compare;
mod curve;
mod evenness;
mod exposure;
mod folder;
mod frame;
mod help;
mod journal_crash;
mod leader;
mod pairing;
mod printing;
mod quiet;
mod read;
mod readme;
mod report;
mod safety;
mod schema;
mod session;
mod sheets;
mod shells;
mod story_fogged_bath;
mod trace;
mod verify;
mod width;
