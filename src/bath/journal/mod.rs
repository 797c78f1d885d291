//! The journal of one bath.
