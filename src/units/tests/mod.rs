//! Tests of the units layer, one file for each idea.
#![allow(clippy::float_cmp)] // conversions are exact, and equality is what is tested

mod conversions;
mod distributions;
mod grammar;
mod refusals;
mod uom_face;
mod values;
