//! Every error of the crate to its Python class: one exhaustive match.
//!
//! The classes are written in `python/fillmark/_errors.py`, so they have documentation, attributes and more than one
//! base, and pickle as any exception does.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyList, PyString, PyTuple};
use pyo3::{PyErrArguments, import_exception};
use serde_json::{Map, Value};

use crate::Error;
use crate::circuit::CircuitError as CircuitFlaw;
use crate::fluid::FluidError as FluidFlaw;
use crate::geometry::GeometryError as GeometryFlaw;

import_exception!(fillmark._errors, CircuitError);
import_exception!(fillmark._errors, EstimateError);
import_exception!(fillmark._errors, ExplainError);
import_exception!(fillmark._errors, FileError);
import_exception!(fillmark._errors, FluidError);
import_exception!(fillmark._errors, GeometryError);
import_exception!(fillmark._errors, InternalError);
import_exception!(fillmark._errors, LearnError);
import_exception!(fillmark._errors, QuantityError);
import_exception!(fillmark._errors, ServiceError);

/// An element of an array argument.
pub(super) struct Place {
    pub(super) name: String,
    pub(super) index: usize,
}

/// What went wrong away from the interpreter, and at which element or in which file where that matters.
pub(super) struct Failure {
    error: Box<Error>,
    place: Option<Place>,
    file: Option<String>,
}

impl Failure {
    /// An error in an element of an array argument.
    pub(super) fn at(error: impl Into<Error>, place: Option<Place>) -> Self {
        Self { error: Box::new(error.into()), place, file: None }
    }

    /// An error in what a file says.
    pub(super) fn in_file(error: impl Into<Error>, file: &str) -> Self {
        Self { error: Box::new(error.into()), place: None, file: Some(file.to_owned()) }
    }
}

impl<E: Into<Error>> From<E> for Failure {
    fn from(error: E) -> Self {
        Self::at(error, None)
    }
}

impl From<Error> for PyErr {
    fn from(error: Error) -> Self {
        to_py(error)
    }
}

/// The arguments of an error class: message, code, fields.
struct Arguments {
    message: String,
    code: String,
    fields: Map<String, Value>,
}

impl PyErrArguments for Arguments {
    fn arguments(self, py: Python<'_>) -> Py<PyAny> {
        // If the fields cannot be converted (out of memory), the message and code still arrive.
        let fields = to_dict(py, &self.fields).unwrap_or_else(|_| PyDict::new(py));
        let message = PyString::new(py, &self.message).into_any();
        let code = PyString::new(py, &self.code).into_any();
        match PyTuple::new(py, [message, code, fields.into_any()]) {
            Ok(arguments) => arguments.into_any().unbind(),
            Err(_) => py.None(),
        }
    }
}

/// The Python exception for an error of the crate.
pub(super) fn to_py(failure: impl Into<Failure>) -> PyErr {
    let Failure { error, place, file } = failure.into();
    let mut arguments = Arguments { message: error.to_string(), code: error.code(), fields: error.fields() };
    if let Some(Place { name, index }) = place {
        arguments.message = format!("{} (element {index} of {name})", arguments.message);
        arguments.fields.insert("element".into(), index.into());
    }
    if let Some(file) = file {
        arguments.message = format!("{file}: {}", arguments.message);
        arguments.fields.insert("in_file".into(), file.into());
    }
    // A domain's enum may carry the flaw of a number, whose class is that of numbers wherever it was found.
    class(&error)(arguments)
}

/// The class of an error.
fn class(error: &Error) -> fn(Arguments) -> PyErr {
    match error {
        Error::AtLine { error, .. } => class(error),
        Error::Quantity(_) | Error::Geometry(GeometryFlaw::Quantity(_)) | Error::Fluid(FluidFlaw::Quantity(_)) => {
            QuantityError::new_err
        }
        Error::Geometry(_) => GeometryError::new_err,
        Error::Fluid(_) => FluidError::new_err,
        Error::Circuit(CircuitFlaw::FileUnreadable { .. }) => FileError::new_err,
        Error::Circuit(_) => CircuitError::new_err,
        Error::Service(_) => ServiceError::new_err,
        Error::Estimate(_) => EstimateError::new_err,
        Error::Learn(_) => LearnError::new_err,
        Error::Explain(_) => ExplainError::new_err,
    }
}

/// A file that Python named cannot be read.
pub(super) fn file(path: &str, cause: &std::io::Error) -> PyErr {
    to_py(CircuitFlaw::FileUnreadable { file: path.into(), message: in_words(cause) })
}

/// Why a file cannot be read, without the system's number for it.
pub(super) fn in_words(cause: &std::io::Error) -> String {
    let all = cause.to_string();
    all.split_once(" (os error ").map_or(all.as_str(), |(words, _)| words).to_owned()
}

/// A quantity that only Python can hand over is wrong.
pub(super) fn quantity(message: String, code: &str) -> PyErr {
    QuantityError::new_err(Arguments { message, code: code.into(), fields: Map::new() })
}

/// Elements of an array are masked.
pub(super) fn masked(name: &str, first: usize, count: usize) -> PyErr {
    let many = if count == 1 { String::new() } else { format!(", the first of {count} such") };
    let message = format!(
        "{name}: element {first} is masked{many}; leave masked elements out (`.compressed()`) or give them a value \
         (`.filled(...)`)"
    );
    let mut fields = Map::new();
    fields.insert("what".into(), name.into());
    fields.insert("first_index".into(), first.into());
    fields.insert("count".into(), count.into());
    QuantityError::new_err(Arguments { message, code: "quantity.masked".into(), fields })
}

/// An integer option outside its range, told to the last digit.
pub(super) fn option(option: &str, value: i128, low: i128, high: i128) -> PyErr {
    let message = format!("{option} = {value} is outside {low} to {high}");
    let mut fields = Map::new();
    fields.insert("option".into(), option.into());
    for (name, number) in [("value", value), ("low", low), ("high", high)] {
        #[allow(clippy::cast_precision_loss)] // no field holds more digits
        let number = i64::try_from(number).map_or_else(|_| Value::from(number as f64), Value::from);
        fields.insert(name.into(), number);
    }
    EstimateError::new_err(Arguments { message, code: "estimate.option_out_of_range".into(), fields })
}

/// `error`, raised because of `cause`.
pub(super) fn with_cause(py: Python<'_>, error: PyErr, cause: PyErr) -> PyErr {
    error.set_cause(py, Some(cause));
    error
}

/// An error of the crate with a hint after its message.
pub(super) fn with_hint(py: Python<'_>, error: PyErr, hint: &str) -> PyErr {
    let value = error.value(py);
    let (Ok(code), Ok(fields)) = (value.getattr("code"), value.getattr("fields")) else { return error };
    let hinted = error.get_type(py).call1((format!("{value}; {hint}"), code, fields));
    hinted.map_or(error, PyErr::from_value)
}

/// A defect of fillmark itself.
pub(super) fn internal(what: &str) -> PyErr {
    let message = format!("this is a defect of fillmark, please report it with fillmark.build_info(): {what}");
    InternalError::new_err(Arguments { message, code: "internal.panic".into(), fields: Map::new() })
}

/// A JSON object as a Python dict.
pub(super) fn to_dict<'py>(py: Python<'py>, map: &Map<String, Value>) -> PyResult<Bound<'py, PyDict>> {
    let dict = PyDict::new(py);
    for (key, value) in map {
        dict.set_item(key, to_object(py, value)?)?;
    }
    Ok(dict)
}

/// A JSON value as the Python object that the `json` module would give.
pub(super) fn to_object<'py>(py: Python<'py>, value: &Value) -> PyResult<Bound<'py, PyAny>> {
    Ok(match value {
        Value::Null => py.None().into_bound(py),
        Value::Bool(b) => b.into_pyobject(py)?.to_owned().into_any(),
        Value::Number(n) => match (n.as_i64(), n.as_u64()) {
            (Some(i), _) => i.into_pyobject(py)?.into_any(),
            (None, Some(u)) => u.into_pyobject(py)?.into_any(),
            (None, None) => n.as_f64().unwrap_or(f64::NAN).into_pyobject(py)?.into_any(),
        },
        Value::String(s) => s.into_pyobject(py)?.into_any(),
        Value::Array(items) => {
            let items = items.iter().map(|item| to_object(py, item)).collect::<PyResult<Vec<_>>>()?;
            PyList::new(py, items)?.into_any()
        }
        Value::Object(map) => to_dict(py, map)?.into_any(),
    })
}
