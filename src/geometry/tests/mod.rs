//! Tests of the geometry against sources outside it.

mod closed_forms;
mod displacers;
mod inspections;
mod invariance;
mod prepared;
mod reference;
mod refusals;
mod responses;
mod stl_files;
mod support;
mod surfaces;
