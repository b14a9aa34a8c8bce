//! Learning from pours, readings and services, for Python.

pub(super) mod band;
pub(super) mod calibrate;
pub(super) mod dips;
pub(super) mod trend;
pub(super) mod weighed;

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

use band::Band;

use super::arrays::Column;
use super::rebuild::reduce_call;
use crate::infer::learn::Band as Core;

/// The call that made a result, for its repr and its pickle.
struct Call {
    function: &'static str,
    keywords: Py<PyDict>,
}

impl Call {
    fn new(function: &'static str, keywords: Bound<'_, PyDict>) -> Self {
        Self { function, keywords: keywords.unbind() }
    }

    fn repr(&self, py: Python<'_>) -> PyResult<String> {
        let mut list = Vec::new();
        for (name, value) in self.keywords.bind(py) {
            list.push(format!("{name}={}", value.repr()?));
        }
        Ok(format!("{}({})", self.function, list.join(", ")))
    }

    fn reduce<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        reduce_call(py, self.function, self.keywords.bind(py).copy()?)
    }
}

/// Adds a value to the keywords of a call, where it was given.
fn keep<'py>(keywords: &Bound<'py, PyDict>, name: &str, value: Option<&Bound<'py, PyAny>>) -> PyResult<()> {
    value.map_or(Ok(()), |v| keywords.set_item(name, v))
}

/// Every entry of a column of names as text.
fn names(column: &Bound<'_, PyAny>) -> PyResult<Vec<String>> {
    column.try_iter()?.map(|item| Ok(item?.str()?.to_string())).collect()
}

/// Adds the middle and the ends of bands as three columns: `name`, `low_name` and `high_name`.
fn add_bands(columns: &Bound<'_, PyDict>, name: &str, bands: &[Core], factor: f64) -> PyResult<()> {
    let column = |of: &dyn Fn(&Core) -> f64| Column(bands.iter().map(|b| of(b) * factor).collect());
    columns.set_item(name, column(&|b| b.median))?;
    columns.set_item(format!("low_{name}"), column(&|b| b.low))?;
    columns.set_item(format!("high_{name}"), column(&|b| b.high))
}
