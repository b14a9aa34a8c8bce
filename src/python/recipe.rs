//! How a value was made: the constructor and its keywords, for its repr and its pickle.

use pyo3::prelude::*;
use pyo3::types::{PyBytes, PyDict, PyTuple};
use pyo3::{BoundObject, PyTypeInfo};

use super::rebuild::{reduce, reduce_call, reduce_method};

/// A class method (empty: the class itself) and the keywords it was called with, in their normal form (floats, text, bytes, tuples).
pub(super) struct Recipe {
    /// Whose method it is, where it is no class method.
    owner: Option<Py<PyAny>>,
    method: &'static str,
    keywords: Vec<(&'static str, Py<PyAny>)>,
}

impl Recipe {
    /// Starts with the class method.
    pub(super) fn of(method: &'static str) -> Self {
        Self { owner: None, method, keywords: Vec::new() }
    }

    /// Starts with a method of `owner`.
    pub(super) fn on(owner: &Bound<'_, PyAny>, method: &'static str) -> Self {
        Self { owner: Some(owner.clone().unbind()), method, keywords: Vec::new() }
    }

    /// The same call once more.
    pub(super) fn copied(&self, py: Python<'_>) -> Self {
        let owner = self.owner.as_ref().map(|o| o.clone_ref(py));
        Self {
            owner,
            method: self.method,
            keywords: self.keywords.iter().map(|(n, v)| (*n, v.clone_ref(py))).collect(),
        }
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

    /// `Class.method(name=value, ...)`, which makes an equal value when pasted. Of the contents of a file and of long arrays it
    /// only says how much there is; then it makes nothing when pasted, and stands in angle brackets.
    pub(super) fn repr(&self, py: Python<'_>, class: &str) -> PyResult<String> {
        let keyword = |(name, value): &(&str, Py<PyAny>)| match value.bind(py).cast::<PyBytes>() {
            Ok(bytes) => Ok(format!("{name}=<{} bytes>", bytes.as_bytes().len())),
            Err(_) if value.bind(py).hasattr("tolist")? => Ok(format!("{name}={}", of_array(value.bind(py))?)),
            Err(_) => Ok(format!("{name}={}", without_note(&value.bind(py).repr()?.to_string()))),
        };
        let keywords = self.keywords.iter().map(keyword).collect::<PyResult<Vec<_>>>()?;
        let dot = if self.method.is_empty() { "" } else { "." };
        let owner = self.owner.as_ref().map(|o| o.bind(py).repr()).transpose()?.map(|text| text.to_string());
        let class = without_note(owner.as_deref().unwrap_or(class));
        let stands_for = |text: &str| text.starts_with('<');
        let values = keywords.iter().filter_map(|k| k.split_once('='));
        let pastes = !stands_for(&class) && !values.map(|(_, value)| value).any(stands_for);
        let (open, close) = if pastes { ("", "") } else { ("<", ">") };
        Ok(format!("{open}{}{dot}{}({}){close}", bare(&class), self.method, keywords.join(", ")))
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
        if let Some(owner) = &self.owner {
            return reduce_method(py, owner.bind(py), self.method, keywords);
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

/// What a repr may say behind the call, as a comment that does not hinder pasting: how many faces a sump has.
pub(super) const NOTE: &str = "  # ";

/// Most rows of an array that a repr writes out.
const ROWS: usize = 100;

/// An array as nested lists; of a long one only how many rows there are.
fn of_array(array: &Bound<'_, PyAny>) -> PyResult<String> {
    let rows = array.len()?;
    if rows > ROWS { Ok(format!("<{rows} rows>")) } else { Ok(array.call_method0("tolist")?.repr()?.to_string()) }
}

/// A repr without its note, to stand inside another one.
fn without_note(text: &str) -> String {
    match text.rsplit_once(NOTE) {
        Some((call, note)) if note.ends_with(" faces") => call.to_owned(),
        Some((call, note)) if note.ends_with(" faces>") => format!("{call}>"),
        _ => text.to_owned(),
    }
}

/// A repr without its angle brackets.
fn bare(text: &str) -> &str {
    text.strip_prefix('<').and_then(|text| text.strip_suffix('>')).unwrap_or(text)
}
