//! The checks that every layer applies to a number before using it.

use crate::units::QuantityError;

/// Accepts a finite number.
pub fn finite(what: &str, value: f64) -> Result<f64, QuantityError> {
    if value.is_finite() {
        return Ok(value);
    }
    Err(QuantityError::NotFinite { what: what.into(), value: value.to_string(), first_index: None, count: 1 })
}

/// Accepts an array of finite numbers; otherwise names the first bad index and how many are bad.
pub fn all_finite(what: &str, values: &[f64]) -> Result<(), QuantityError> {
    let Some(first) = values.iter().position(|v| !v.is_finite()) else {
        return Ok(());
    };
    Err(QuantityError::NotFinite {
        what: what.into(),
        value: values[first].to_string(),
        first_index: Some(first),
        count: values.iter().filter(|v| !v.is_finite()).count(),
    })
}

/// Accepts a finite number within `[low, high]`, all three in `unit` (which only words the message).
pub fn in_range(what: &str, value: f64, low: f64, high: f64, unit: &str) -> Result<f64, QuantityError> {
    finite(what, value)?;
    if (low..=high).contains(&value) {
        return Ok(value);
    }
    Err(QuantityError::OutOfRange { what: what.into(), value, low, high, unit: unit.into() })
}
