//! Everything that can be wrong with a number or with the text of a quantity.

use serde::Serialize;

use crate::error::Coded;

/// What is wrong with a number or a quantity. `what` is the argument's name or the input's path.
#[derive(Debug, Clone, PartialEq, Serialize, thiserror::Error)]
#[non_exhaustive]
pub enum QuantityError {
    /// A value is NaN or infinite. For an array: the first bad index and how many are bad.
    #[error("{what} must be finite: {}", not_finite(value, *first_index, *count))]
    NotFinite {
        /// Name of the argument or path of the input.
        what: String,
        /// The offending value as text (`NaN`, `inf`).
        value: String,
        /// Index of the first offending element; `None` for a scalar.
        first_index: Option<usize>,
        /// How many elements are not finite.
        count: usize,
    },
    /// A value lies outside its accepted range.
    #[error("{what} = {value} {unit} is outside {low} to {high} {unit}")]
    OutOfRange {
        /// Name of the argument or path of the input.
        what: String,
        /// The value given, in `unit`.
        value: f64,
        /// Lowest accepted value, in `unit`.
        low: f64,
        /// Highest accepted value, in `unit`.
        high: f64,
        /// Unit of the three numbers.
        unit: String,
    },
}

impl Coded for QuantityError {
    const DOMAIN: &'static str = "quantity";
}

fn not_finite(value: &str, first_index: Option<usize>, count: usize) -> String {
    match first_index {
        None => format!("it is {value}"),
        Some(i) if count == 1 => format!("element {i} is {value}"),
        Some(i) => format!("element {i} is {value}, the first of {count} such"),
    }
}
