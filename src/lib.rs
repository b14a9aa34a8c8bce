//! `fillmark` answers four questions about a reservoir that is read with a dipstick, with numbers and their uncertainty:
//! how much stays in, how much to pour, what will the stick read, and what explains the reading we got.
//!
//! Layers, each using only those below it:
//!
//! ```text
//! python                       bindings only: convert, call, convert back
//! infer                        record, hypotheses, diagnosis
//! estimate                     predict, plan
//! service                      state, events, program, simulate
//! circuit                      dipstick, plug, filter, store, book, file format
//! geometry  fluid
//! numeric  units  error
//! ```
//!
//! Conventions, stated once: body frame x forward, y left, z up (axes of ISO 8855); inside the crate every number is
//! SI (`f64`), temperatures in degrees Celsius are named `_c`; public Rust signatures take `uom` quantities.
#![forbid(unsafe_code)]
// Tests count small things and build short texts.
#![cfg_attr(
    test,
    allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::format_push_string,
        clippy::items_after_statements
    )
)]

pub mod circuit;
pub mod error;
pub mod estimate;
pub mod fluid;
pub mod geometry;
pub mod infer;
pub mod numeric;
pub mod service;
pub mod units;

#[cfg(feature = "python")]
mod python;
#[cfg(test)]
mod schema;
#[cfg(test)]
mod tests;
// The tests of the public interface name the crate as its users do.
#[cfg(test)]
extern crate self as fillmark;

pub use error::Error;
/// SI quantities of the public interface (re-exported so that callers need no matching version of their own).
pub use uom;

/// The Rust examples of the README run as documentation tests.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
pub struct Readme;
