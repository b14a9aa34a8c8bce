//! Tests of several layers at once, written as a user of the crate writes: by its public names only. They are compiled with the
//! units' tests, as test binaries of their own took half as long again to compile as to run.
// Outside the crate options cannot be written as a literal with the rest by default: they are made and then changed.
#![allow(clippy::field_reassign_with_default)]

mod allocation;
mod estimate;
mod predicted;
mod propagate;
mod responses;
mod unreached;
