//! Units of the trade, text with units, and uncertain values.

mod error;

pub use error::QuantityError;
