//! Pictures: the renderer of test pictures, and files read.

mod files;
mod frame;
mod light_box;
