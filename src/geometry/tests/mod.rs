//! Tests of the geometry against sources outside it.

mod air;
mod basins;
mod closed_forms;
mod dished;
mod displacers;
mod flows;
mod heels;
mod inspections;
mod invariance;
pub(in crate::geometry) mod pans;
mod pools;
mod prepared;
mod reference;
mod refusals;
mod responses;
mod stl_files;
pub(in crate::geometry) mod support;
mod surfaces;
mod tables;
