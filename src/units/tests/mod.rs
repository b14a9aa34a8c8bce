//! Tests of the units layer, one file for each idea.

mod conversions;
mod distributions;
mod grammar;
mod refusals;
mod values;
