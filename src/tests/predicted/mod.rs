//! Services under uncertainty against closed forms, on a box circuit whose volumes and readings are linear in every input.
#![allow(clippy::unwrap_used)] // a failed helper is a failed test

mod cuts;
mod judgement;
mod laws;
mod questions;
mod support;
mod wait;
