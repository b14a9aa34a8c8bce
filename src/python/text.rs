//! Text and paths of files as arguments. Python's text may hold half of a UTF-16 pair, which is no character and stands in no
//! file: it is refused by a `FillmarkError` that says where.

use std::ops::Deref;
use std::path::PathBuf;

use pyo3::exceptions::PyUnicodeError;
use pyo3::prelude::*;
use pyo3::types::PyString;

use super::errors;
use super::quantity::shown;
use crate::circuit::CircuitError;

/// The text of a file, an event or a value.
pub(super) struct Text(String);

impl<'py> FromPyObject<'_, 'py> for Text {
    type Error = PyErr;
    #[cfg(feature = "stubs")]
    const INPUT_TYPE: pyo3::inspect::PyStaticExpr = <String as FromPyObject<'_, 'py>>::INPUT_TYPE;

    fn extract(object: Borrowed<'_, 'py, PyAny>) -> PyResult<Self> {
        let text = object.extract::<String>();
        text.map(Self).map_err(|cause| refused(&object, cause, |message| errors::quantity(message, "quantity.no_text")))
    }
}

impl From<Text> for String {
    fn from(text: Text) -> Self {
        text.0
    }
}

impl Deref for Text {
    type Target = str;

    fn deref(&self) -> &str {
        &self.0
    }
}

/// The text of a Python string; `name` is the argument's.
pub(super) fn of(name: &str, text: &Bound<'_, PyString>) -> PyResult<String> {
    let no_text = |message: String| errors::quantity(format!("{name}: {message}"), "quantity.no_text");
    text.extract::<String>().map_err(|cause| refused(text, cause, no_text))
}

/// Where a file is.
pub(super) struct FilePath(pub(super) PathBuf);

impl<'py> FromPyObject<'_, 'py> for FilePath {
    type Error = PyErr;
    #[cfg(feature = "stubs")]
    const INPUT_TYPE: pyo3::inspect::PyStaticExpr = <PathBuf as FromPyObject<'_, 'py>>::INPUT_TYPE;

    fn extract(object: Borrowed<'_, 'py, PyAny>) -> PyResult<Self> {
        object.extract().map(Self).map_err(|cause| {
            let file = shown(&object);
            refused(&object, cause, |message| errors::to_py(CircuitError::FileUnreadable { file, message }))
        })
    }
}

/// The error for text that cannot be encoded; any other as it is.
fn refused(object: &Bound<'_, PyAny>, cause: PyErr, error: impl FnOnce(String) -> PyErr) -> PyErr {
    let py = object.py();
    if !cause.is_instance_of::<PyUnicodeError>(py) {
        return cause;
    }
    let place = cause.value(py).getattr("start").and_then(|at| at.extract::<usize>());
    let at = place.map_or_else(|_| String::new(), |at| format!(" at character {at}"));
    let message = format!("{} has half of a UTF-16 pair{at}; accepted is text that UTF-8 can hold", shown(object));
    errors::with_cause(py, error(message), cause)
}
