//! How a value was made: the constructor and its keywords, for its repr and its pickle.

use pyo3::prelude::*;
use pyo3::types::{PyBytes, PyDict, PyTuple};
use pyo3::{BoundObject, PyTypeInfo};

use super::rebuild::reduce;

/// A class method and the keywords it was called with, in their normal form (floats, text, bytes, tuples).
pub(super) struct Recipe {
    method: &'static str,
    keywords: Vec<(&'static str, Py<PyAny>)>,
}

impl Recipe {
    /// Starts with the class method.
    pub(super) fn of(method: &'static str) -> Self {
        Self { method, keywords: Vec::new() }
    }

    /// Adds a keyword.
    pub(super) fn with<'py>(
        mut self,
        py: Python<'py>,
        name: &'static str,
        value: impl IntoPyObject<'py>,
    ) -> PyResult<Self> {
        let value = value.into_pyobject(py).map_err(Into::into)?.into_any().unbind();
        self.keywords.push((name, value));
        Ok(self)
    }

    /// `Class.method(name=value, ...)`, which makes an equal value when pasted; the contents of a file are only counted.
    pub(super) fn repr(&self, py: Python<'_>, class: &str) -> PyResult<String> {
        let keyword = |(name, value): &(&str, Py<PyAny>)| match value.bind(py).cast::<PyBytes>() {
            Ok(bytes) => Ok(format!("{name}=<{} bytes>", bytes.as_bytes().len())),
            Err(_) => Ok(format!("{name}={}", value.bind(py).repr()?)),
        };
        let keywords = self.keywords.iter().map(keyword).collect::<PyResult<Vec<_>>>()?;
        Ok(format!("{class}.{}({})", self.method, keywords.join(", ")))
    }

    /// What `__reduce__` returns.
    pub(super) fn reduce<'py, T: PyTypeInfo>(
        &self,
        py: Python<'py>,
    ) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let keywords = PyDict::new(py);
        for (name, value) in &self.keywords {
            keywords.set_item(name, value)?;
        }
        reduce::<T>(py, self.method, keywords)
    }
}
