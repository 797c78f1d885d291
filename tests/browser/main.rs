//! The pages in a real browser. Where the browser or its driver is missing, the tests say what they skip.
#[path = "../support/desk.rs"]
mod desk;
mod driver;

mod bench;
mod folder;
mod one_truth;
