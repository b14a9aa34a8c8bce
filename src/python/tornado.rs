//! One input at a time, for Python.

use std::fmt::Write;

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

use super::arrays::{Field, add_columns};
use super::model::{Calls, Inputs, Model, read_inputs};
use super::rebuild::reduce;
use super::sensitivity::of_name;
use crate::estimate::{Bar, Tornado as CoreTornado, tornado_by};

/// Moves one input at a time to the ends of its coverage interval, with every other at its nominal value.
///
/// A picture for the eye (common practice, no source): it shows no interaction and takes no notice of correlations. The
/// shares of the variance are in `sensitivity`.
///
/// Parameters
/// ----------
/// model : callable
///     As in `propagate`.
/// inputs : mapping of str to Uncertain, float or str
///     As in `propagate`.
/// result : str
///     Name of the result, where the model gives a dict.
/// coverage : float
///     Coverage probability of the inputs' intervals, 0.01 to 0.9999: 0.95 moves each between its 2.5 % and 97.5 % quantile.
///
/// Returns
/// -------
/// Tornado
///     The effect of every uncertain input, the largest first.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> inputs = {"a": fm.Uncertain.rectangular(0, 1), "b": fm.Uncertain.rectangular(0, 4)}
/// >>> fm.tornado(lambda a, b: a + b, inputs, coverage=0.5).columns()["input"]
/// ['b', 'a']
#[pyfunction]
#[pyo3(signature = (model, inputs, *, result="result", coverage=0.95))]
pub(super) fn tornado(model: Model<'_>, inputs: Inputs<'_>, result: &str, coverage: f64) -> PyResult<Tornado> {
    let inputs = read_inputs(&inputs, None, "scores")?;
    let mut calls = Calls::new(&model, None, &inputs)?;
    let all = tornado_by(&mut calls, &inputs, coverage)?;
    Ok(Tornado { inner: of_name(all, result, |t| &t.result)? })
}

/// The effects of every uncertain input on a result. Made by `tornado`; prints as a table.
#[pyclass(frozen, eq, module = "fillmark")]
#[derive(PartialEq)]
pub(super) struct Tornado {
    inner: CoreTornado,
}

/// What a bar is rebuilt from: input, its ends, the results there.
type BarParts = (String, (f64, f64), (f64, f64));

#[pymethods]
impl Tornado {
    /// Rebuilds what a pickle holds.
    #[staticmethod]
    fn _restore(result: String, nominal: f64, bars: Vec<BarParts>) -> Self {
        let bars = bars.into_iter().map(|(input, ends, results)| Bar { input, ends, results }).collect();
        Self { inner: CoreTornado { result, nominal, bars } }
    }

    /// Name of the result.
    #[getter]
    fn result(&self) -> &str {
        &self.inner.result
    }

    /// The result with every input at its nominal value.
    #[getter]
    fn nominal(&self) -> f64 {
        self.inner.nominal
    }

    /// One row for each uncertain input, the one that moves the result most first.
    ///
    /// Returns
    /// -------
    /// dict of str to list or numpy.ndarray
    ///     ``input``, ``low`` and ``high`` (the ends of its interval), ``at_low`` and ``at_high`` (the result there).
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let bars = &self.inner.bars;
        let columns = PyDict::new(py);
        columns.set_item("input", bars.iter().map(|bar| bar.input.clone()).collect::<Vec<_>>())?;
        let fields: [Field<Bar>; 4] = [
            ("low", |bar| bar.ends.0),
            ("high", |bar| bar.ends.1),
            ("at_low", |bar| bar.results.0),
            ("at_high", |bar| bar.results.1),
        ];
        add_columns(&columns, bars, &fields)?;
        Ok(columns)
    }

    fn __str__(&self) -> String {
        let width = self.inner.bars.iter().map(|bar| bar.input.chars().count()).max().unwrap_or(0).max(5);
        let mut text = format!("{} = {:.6} at nominal values\n", self.result(), self.nominal());
        let _ = write!(text, "{:width$}  {:>12}  {:>12}  {:>12}  {:>12}", "input", "low", "high", "at low", "at high");
        for bar in &self.inner.bars {
            let (ends, results) = (bar.ends, bar.results);
            let numbers = [ends.0, ends.1, results.0, results.1].map(|x| format!("{x:>12.6}")).join("  ");
            let _ = write!(text, "\n{:width$}  {numbers}", bar.input);
        }
        text
    }

    fn __repr__(&self) -> String {
        let bar = |bar: &Bar| format!("{} {:.6}", bar.input, bar.swing());
        let list: Vec<String> = self.inner.bars.iter().map(bar).collect();
        format!("<swing of {}: {}>", self.result(), list.join(", "))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let bars: Vec<_> = self.inner.bars.iter().map(|bar| (bar.input.clone(), bar.ends, bar.results)).collect();
        let keywords = PyDict::new(py);
        keywords.set_item("result", self.result())?;
        keywords.set_item("nominal", self.nominal())?;
        keywords.set_item("bars", bars)?;
        reduce::<Self>(py, "_restore", keywords)
    }
}
