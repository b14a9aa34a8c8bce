//! How a value was made: the constructor and its keywords, for its repr and its pickle.

use pyo3::prelude::*;
use pyo3::types::{PyBytes, PyDict, PyTuple};
use pyo3::{BoundObject, PyTypeInfo};

use super::rebuild::{reduce, reduce_call, reduce_method};

/// A class method (empty: the class itself) and the keywords it was called with, in their normal form (floats, text, bytes, tuples).
pub(super) struct Recipe {
    method: &'static str,
    keywords: Vec<(&'static str, Py<PyAny>)>,
}

impl Recipe {
    /// Starts with the class method.
    pub(super) fn of(method: &'static str) -> Self {
        Self { method, keywords: Vec::new() }
    }

    /// The same call once more.
    pub(super) fn copied(&self, py: Python<'_>) -> Self {
        Self { method: self.method, keywords: self.keywords.iter().map(|(n, v)| (*n, v.clone_ref(py))).collect() }
    }

    /// Adds a keyword.
    pub(super) fn with<'py>(
        mut self,
        py: Python<'py>,
        name: &'static str,
        value: impl IntoPyObject<'py>,
    ) -> PyResult<Self> {
        self.add(py, name, value)?;
        Ok(self)
    }

    /// Adds a keyword in place.
    pub(super) fn add<'py>(
        &mut self,
        py: Python<'py>,
        name: &'static str,
        value: impl IntoPyObject<'py>,
    ) -> PyResult<()> {
        let value = value.into_pyobject(py).map_err(Into::into)?.into_any().unbind();
        self.keywords.push((name, value));
        Ok(())
    }

    /// `Class.method(name=value, ...)`, which makes an equal value when pasted; the contents of a file are only counted.
    pub(super) fn repr(&self, py: Python<'_>, class: &str) -> PyResult<String> {
        let keyword = |(name, value): &(&str, Py<PyAny>)| match value.bind(py).cast::<PyBytes>() {
            Ok(bytes) => Ok(format!("{name}=<{} bytes>", bytes.as_bytes().len())),
            Err(_) => Ok(format!("{name}={}", value.bind(py).repr()?)),
        };
        let keywords = self.keywords.iter().map(keyword).collect::<PyResult<Vec<_>>>()?;
        let dot = if self.method.is_empty() { "" } else { "." };
        Ok(format!("{class}{dot}{}({})", self.method, keywords.join(", ")))
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

    /// What `__reduce__` returns for the result of a method of `owner`.
    pub(super) fn reduce_method<'py>(
        &self,
        py: Python<'py>,
        owner: &Bound<'py, PyAny>,
    ) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let keywords = PyDict::new(py);
        for (name, value) in &self.keywords {
            keywords.set_item(name, value)?;
        }
        reduce_method(py, owner, self.method, keywords)
    }

    /// What `__reduce__` returns for the result of a function of the package.
    pub(super) fn reduce_call<'py>(
        &self,
        py: Python<'py>,
        function: &str,
    ) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let keywords = PyDict::new(py);
        for (name, value) in &self.keywords {
            keywords.set_item(name, value)?;
        }
        reduce_call(py, function, keywords)
    }
}
