//! Tests of the geometry against sources outside it.

mod prepared;
mod reference;
mod refusals;
mod responses;
mod stl_files;
mod support;
