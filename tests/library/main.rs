//! What the library gives, called as a user of it would.
#[path = "../support/desk.rs"]
mod desk;
#[path = "../support/emulsions/mod.rs"]
mod emulsions;
#[path = "../support/light_box/mod.rs"]
mod light_box;
#[path = "../support/page.rs"]
mod page;

mod bad_shapes;
mod control;
mod elementary;
mod evenness;
mod evenness_properties;
mod figures;
mod figures_area;
mod figures_control;
mod figures_evenness;
mod figures_pairing;
mod figures_printing;
mod forecast;
mod fuzz;
mod journal;
mod pairing;
mod picture;
mod printing;
mod readings;
mod session;
mod show;
mod suspects;
mod typed;
