//! What drives the result of a Python function.

use std::fmt::Write;

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

use super::arrays::{Field, add_columns};
use super::errors;
use super::estimate::counts;
use super::model::{Calls, Correlations, Inputs, Model, Progress, read_inputs};
use super::propagate::method_of;
use super::rebuild::reduce;
use crate::estimate::{
    EstimateError, Index, Sensitivity as CoreSensitivity, SensitivityOptions, Shares, sensitivity_by,
};

/// Finds what drives a result: Sobol' indices of a model, with their coverage intervals.
///
/// With draws A and B, and AB which is A but for the inputs of one group, taken from B: the first-order index is
/// ``mean(f(B)*(f(AB) - f(A)))/V`` (Saltelli et al. 2010, Computer Physics Communications 181:259, with f counted from its
/// mean), the total index ``mean((f(A) - f(AB))**2)/(2*V)`` (Jansen 1999, Computer Physics Communications 117:35). Correlated
/// inputs cannot be told apart this way and make one group (Jacques, Lavergne and Devictor 2006, Reliability Engineering and
/// System Safety 91:1126).
///
/// Parameters
/// ----------
/// model : callable
///     As in `propagate`. It is evaluated ``replicates*draws*(groups + 2)`` times.
/// inputs : mapping of str to Uncertain, float or str
///     As in `propagate`.
/// result : str
///     Name of the result, where the model gives a dict.
/// correlations : mapping of pair of str to float, optional
///     As in `propagate`.
/// correlation_of : str
///     As in `propagate`.
/// method : str
///     ``"sobol"`` (up to 256 uncertain inputs) or ``"pseudo-random"``.
/// draws : int
///     Draws of each repetition, a power of two from 16 to 8 388 608.
/// replicates : int
///     Independent repetitions, from whose scatter the intervals come: 4 to 1000.
/// coverage : float
///     Coverage probability of the intervals, 0.5 to 0.9999.
/// seed : int
///     Seed of every stream, 0 to 2**64 - 1.
/// progress : callable, optional
///     Is called with the number of evaluations done and the number asked for.
///
/// Returns
/// -------
/// Sensitivity
///     The shares of every input in the variance of the result.
///
/// Raises
/// ------
/// EstimateError
///     If the result does not vary, or as in `propagate`.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> inputs = {"a": fm.Uncertain.normal(0, 2), "b": fm.Uncertain.normal(0, 1)}
/// >>> found = fm.sensitivity(lambda a, b: a + b, inputs)
/// >>> found.inputs, found.columns()["first"].round(2).tolist()
/// ([['a'], ['b']], [0.8, 0.2])
#[pyfunction]
#[pyo3(signature = (model, inputs, *, result="result", correlations=None, correlation_of="scores", method="sobol", draws=4096, replicates=16, coverage=0.95, seed=1, progress=None))]
#[allow(clippy::too_many_arguments)] // keyword-only in Python
pub(super) fn sensitivity(
    model: Model<'_>,
    inputs: Inputs<'_>,
    result: &str,
    correlations: Option<Correlations<'_>>,
    correlation_of: &str,
    method: &str,
    draws: i64,
    replicates: i64,
    coverage: f64,
    seed: i128,
    progress: Option<Progress<'_>>,
) -> PyResult<Sensitivity> {
    let inputs = read_inputs(&inputs, correlations.as_ref(), correlation_of)?;
    let mut options = SensitivityOptions::default();
    (options.draws, options.seed) = counts(draws, seed)?;
    options.method = method_of(method, replicates)?;
    options.replicates = usize::try_from(replicates).unwrap_or(0);
    options.coverage = coverage;
    let mut calls = Calls::new(&model, progress.as_ref(), &inputs)?;
    let all = sensitivity_by(&mut calls, &inputs, &options)?;
    let inner = of_name(all, result, |s| &s.result)?;
    Ok(Sensitivity { inner })
}

/// The one of this name.
pub(super) fn of_name<T>(all: Vec<T>, wanted: &str, name: impl Fn(&T) -> &String) -> PyResult<T> {
    let known: Box<[String]> = all.iter().map(|one| name(one).clone()).collect();
    let found = all.into_iter().find(|one| name(one) == wanted);
    found.ok_or_else(|| errors::to_py(EstimateError::UnknownResult { result: wanted.into(), known }))
}

/// What drives a result. Made by `sensitivity`; prints as a table.
#[pyclass(frozen, eq, module = "fillmark")]
#[derive(PartialEq)]
pub(super) struct Sensitivity {
    inner: CoreSensitivity,
}

/// What shares are rebuilt from: inputs; first-order and total index, each with its half-width.
type Part = (Vec<String>, (f64, f64), (f64, f64));

#[pymethods]
impl Sensitivity {
    /// Rebuilds what a pickle holds.
    #[staticmethod]
    fn _restore(result: String, mean: f64, standard_uncertainty: f64, shares: Vec<Part>) -> Self {
        let index = |(value, half_width)| Index { value, half_width };
        let shares = shares
            .into_iter()
            .map(|(inputs, first, total)| Shares { inputs, first: index(first), total: index(total) })
            .collect();
        Self { inner: CoreSensitivity { result, mean, standard_uncertainty, shares } }
    }

    /// Name of the result.
    #[getter]
    fn result(&self) -> &str {
        &self.inner.result
    }

    /// Mean of the result.
    #[getter]
    fn mean(&self) -> f64 {
        self.inner.mean
    }

    /// Standard deviation of the result.
    #[getter]
    fn standard_uncertainty(&self) -> f64 {
        self.inner.standard_uncertainty
    }

    /// Names of the inputs, those that are correlated in one list.
    #[getter]
    fn inputs(&self) -> Vec<Vec<String>> {
        self.inner.shares.iter().map(|s| s.inputs.clone()).collect()
    }

    /// The shares, one row for each input or group of inputs.
    ///
    /// Returns
    /// -------
    /// dict of str to list or numpy.ndarray
    ///     ``input`` (names joined by ``" + "``); ``first``, the share of the variance that knowing the inputs would remove
    ///     on average; ``total``, the share that stays when everything else is known; each with the half-width of its
    ///     coverage interval, ``first_half_width`` and ``total_half_width``.
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let shares = &self.inner.shares;
        let columns = PyDict::new(py);
        columns.set_item("input", shares.iter().map(|s| s.inputs.join(" + ")).collect::<Vec<_>>())?;
        let fields: [Field<Shares>; 4] = [
            ("first", |s| s.first.value),
            ("first_half_width", |s| s.first.half_width),
            ("total", |s| s.total.value),
            ("total_half_width", |s| s.total.half_width),
        ];
        add_columns(&columns, shares, &fields)?;
        Ok(columns)
    }

    fn __str__(&self) -> String {
        let names: Vec<String> = self.inner.shares.iter().map(|s| s.inputs.join(" + ")).collect();
        let width = names.iter().map(|name| name.chars().count()).max().unwrap_or(0).max(5);
        let mut text =
            format!("share of the variance of {}\n{:width$}  {:>15}  {:>15}", self.result(), "input", "first", "total");
        for (name, s) in names.iter().zip(&self.inner.shares) {
            let index = |i: &Index| format!("{:.3} ± {:.3}", i.value, i.half_width);
            let _ = write!(text, "\n{name:width$}  {:>15}  {:>15}", index(&s.first), index(&s.total));
        }
        text
    }

    fn __repr__(&self) -> String {
        let index = |s: &Shares| format!("{} {:.3}", s.inputs.join(" + "), s.total.value);
        let list: Vec<String> = self.inner.shares.iter().map(index).collect();
        format!("<total shares of the variance of {}: {}>", self.result(), list.join(", "))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let index = |i: &Index| (i.value, i.half_width);
        let parts: Vec<Part> =
            self.inner.shares.iter().map(|s| (s.inputs.clone(), index(&s.first), index(&s.total))).collect();
        let keywords = PyDict::new(py);
        keywords.set_item("result", self.result())?;
        keywords.set_item("mean", self.mean())?;
        keywords.set_item("standard_uncertainty", self.standard_uncertainty())?;
        keywords.set_item("shares", parts)?;
        reduce::<Self>(py, "_restore", keywords)
    }
}
