//! Pictures: the renderer of test pictures, and files read.

mod files;
mod light_box;
