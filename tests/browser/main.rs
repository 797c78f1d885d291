//! The pages in a real browser. Where the browser or its driver is missing, the tests say what they skip.
#[path = "../support/desk.rs"]
mod desk;
mod driver;

mod accessible;
mod bench;
mod folder;
mod night;
mod one_truth;
mod page;
mod page_folder;
mod page_looks;
mod page_speed;
mod page_story;
mod printed;
mod report;
