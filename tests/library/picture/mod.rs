//! Pictures: the renderer of test pictures, and files read.

mod light_box;
