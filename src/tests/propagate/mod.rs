//! Propagation and sensitivity against exact values of published examples and closed forms.
#![allow(clippy::unwrap_used)] // a failed helper is a failed test

mod determinism;
mod examples;
mod refusals;
mod sensitivities;
mod support;
mod ties;
