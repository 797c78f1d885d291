//! How often intervals hold the truth, on emulsions whose curves are of none of our shapes.
#[path = "../support/emulsions/mod.rs"]
mod emulsions;
#[path = "../support/light_box/mod.rs"]
mod light_box;
#[path = "../support/tally.rs"]
mod tally;

mod atlas;
mod bath;
mod charts;
mod common;
mod compare;
mod coverage;
mod evenness;
mod frame;
mod leader;
mod pairing;
mod picture;
mod picture_family;
mod printing;
mod verify;
