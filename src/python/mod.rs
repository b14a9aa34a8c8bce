//! The Python face: convert, call the core, convert back.
