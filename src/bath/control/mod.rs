//! Control charts: whether a bath varies as it always did.
