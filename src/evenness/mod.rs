//! Evenness of development over a frame.
