//! Arguments with units: a number in the unit of the keyword's suffix, text with a unit, or an object with pint's face.
//!
//! An argument is taken as it comes and read in the body of the binding, where its name is known; so every message
//! names it, on every Python version.

use std::marker::PhantomData;

use pyo3::exceptions::{PyOverflowError, PyTypeError};
use pyo3::prelude::*;
use pyo3::types::{PyBool, PyFloat, PyString};

use super::arrays::refuse_masked;
use super::errors::{self, Place};
use super::unit::Unit;
use crate::numeric::check;
use crate::units::{Dimension, QuantityError, parse_si};

/// One value in the unit `U`.
pub(super) struct Scalar<'py, U> {
    object: Bound<'py, PyAny>,
    unit: PhantomData<U>,
}

impl<'py, U: Unit> FromPyObject<'_, 'py> for Scalar<'py, U> {
    type Error = PyErr;
    #[cfg(feature = "stubs")]
    const INPUT_TYPE: pyo3::inspect::PyStaticExpr = pyo3::type_hint_identifier!("fillmark._types", "Quantity");

    fn extract(object: Borrowed<'_, 'py, PyAny>) -> PyResult<Self> {
        Ok(Self { object: object.to_owned(), unit: PhantomData })
    }
}

impl<U: Unit> Scalar<'_, U> {
    /// The finite value in the unit of the keyword's suffix; `name` is the argument's.
    pub(super) fn number(&self, name: &str) -> PyResult<f64> {
        match single::<U>(&self.object, name)? {
            Some(value) => checked(name, value),
            None => Err(refused::<U>(&self.object, name)),
        }
    }

    /// The finite value in SI (temperatures in deg C).
    pub(super) fn si(&self, name: &str) -> PyResult<f64> {
        Ok(U::to_si(self.number(name)?))
    }
}

/// A finite number, or the error that names the argument.
fn checked(name: &str, value: f64) -> PyResult<f64> {
    check::finite(name, value).map_err(errors::to_py)
}

/// Reads a single value in the unit `U`; `None` for anything that is no single value (an array, another type).
pub(super) fn single<U: Unit>(object: &Bound<'_, PyAny>, name: &str) -> PyResult<Option<f64>> {
    if let Ok(float) = object.cast_exact::<PyFloat>() {
        return Ok(Some(float.value()));
    }
    if is_bool(object)? {
        return Err(refused::<U>(object, name));
    }
    if let Ok(text) = object.cast::<PyString>() {
        return exact_text::<U>(name, &super::text::of(name, text)?).map(Some);
    }
    match magnitude::<U>(object, name)? {
        Some(inner) => plain(&inner, name),
        None => plain(object, name),
    }
}

/// The number in the unit `U` of a text with a unit, which must not be uncertain.
fn exact_text<U: Unit>(name: &str, text: &str) -> PyResult<f64> {
    let read = parse_si(name, text, U::Kind::ID).map_err(errors::to_py)?;
    if read.is_exact() {
        return Ok(shortest::<U>(read.nominal()));
    }
    let message = format!("{name} = {text:?} is an uncertain value; an exact one is wanted here");
    Err(errors::quantity(message, "quantity.uncertain"))
}

/// A number without a unit; `None` for anything else.
fn plain(object: &Bound<'_, PyAny>, name: &str) -> PyResult<Option<f64>> {
    let dimensions = object.getattr_opt("ndim")?.map(|n| n.extract::<usize>());
    if matches!(dimensions, Some(Ok(0))) {
        refuse_masked(object, name)?;
    }
    if is_bool(object)? || matches!(dimensions, Some(Ok(1..))) || object.is_instance_of::<PyString>() {
        return Ok(None);
    }
    match object.extract::<f64>() {
        Err(e) if e.is_instance_of::<PyOverflowError>(object.py()) => {
            let value = format!("{}, beyond 1.8e308", shown(object));
            Err(errors::to_py(QuantityError::NotFinite { what: name.into(), value, first_index: None, count: 1 }))
        }
        number => Ok(number.ok()),
    }
}

/// The number or numbers of an object with pint's face, converted to the unit `U`; `None` for other objects.
pub(super) fn magnitude<'py, U: Unit>(object: &Bound<'py, PyAny>, name: &str) -> PyResult<Option<Bound<'py, PyAny>>> {
    if !object.hasattr("to")? || !object.hasattr("magnitude")? {
        return Ok(None);
    }
    let converted = object.call_method1("to", (U::WORD,)).map_err(|cause| {
        let text =
            format!("{name} = {} cannot be converted to {}: {}", shown(object), U::SYMBOL, cause.value(object.py()));
        errors::with_cause(object.py(), errors::quantity(text, "quantity.not_convertible"), cause)
    })?;
    converted.getattr("magnitude").map(Some)
}

/// Whether this is a bool of Python or of NumPy.
fn is_bool(object: &Bound<'_, PyAny>) -> PyResult<bool> {
    Ok(object.is_instance_of::<PyBool>() || matches!(object.get_type().name()?.to_cow()?.as_ref(), "bool" | "bool_"))
}

/// The error for a type that is no quantity.
pub(super) fn refused<U: Unit>(object: &Bound<'_, PyAny>, name: &str) -> PyErr {
    let kind = object.get_type().name().map_or_else(|_| "object".into(), |n| n.to_string());
    PyTypeError::new_err(format!(
        "{name} = {} is of type {kind}; accepted are a number ({}), text with a unit, or an object with .to(unit) and \
         .magnitude",
        shown(object),
        U::SYMBOL
    ))
}

/// The start of an object's repr, for messages.
pub(super) fn shown(object: &Bound<'_, PyAny>) -> String {
    let full = object.repr().map_or_else(|_| "?".into(), |r| r.to_string());
    match full.char_indices().nth(60) {
        Some((end, _)) => format!("{}...", &full[..end]),
        None => full,
    }
}

/// The shortest decimal number that reads back as exactly this SI value, so that a repr can be pasted.
pub(super) fn shortest<U: Unit>(si: f64) -> f64 {
    let direct = U::from_si(si);
    let candidates = (14..=16).filter_map(|digits| format!("{direct:.digits$e}").parse::<f64>().ok());
    candidates.chain([direct]).find(|c| U::to_si(*c).to_bits() == si.to_bits()).unwrap_or(direct)
}

/// Where an element of an array stands, for messages.
pub(super) fn place(name: &str, index: usize) -> Place {
    Place { name: name.to_owned(), index }
}
