//! What drives the result of a service or of a Python function.

use std::fmt::Write;

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

use super::arrays::{Field, ToArray, add_columns, texts};
use super::detach::run_reporting;
use super::errors;
use super::estimate::counts;
use super::model::{
    Calls, Correlations, Inputs, Model, Progress, RESULT, of_service, read_correlations, read_inputs, service_of,
};
use super::propagate::method_of;
use super::rebuild::reduce;
use crate::Error;
use crate::estimate::{
    EstimateError, Index, Sensitivity as CoreSensitivity, SensitivityOptions, Shares, sensitivity_by,
};

/// Finds what drives a result: Sobol' indices of a model, with their coverage intervals.
///
/// With draws A and B, and AB which is A but for the inputs of one group, taken from B: the first-order index is
/// ``mean(f(B)*(f(AB) - f(A)))/V`` (Saltelli et al. 2010, Computer Physics Communications 181:259, with f counted from its
/// mean), the total index ``mean((f(A) - f(AB))**2)/(2*V)`` (Jansen 1999, Computer Physics Communications 117:35). Correlated
/// inputs cannot be told apart this way and make one group (Jacques, Lavergne and Devictor 2006, Reliability Engineering and
/// System Safety 91:1126). What two events share, such as one jug, is one input.
///
/// Parameters
/// ----------
/// model : Circuit or callable
///     As in `propagate`. It is evaluated ``replicates*draws*(groups + 2)`` times.
/// inputs : sequence of Event, or mapping of str to Uncertain, float or str
///     As in `propagate`.
/// of : str, optional
///     Name of the result: of a service ``"final fraction"`` where none is named (see `propagate`; the label of a reading alone
///     means its millimetres), of a function that gives a dict one of its keys.
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
///
/// Of a service:
///
/// >>> bus = fm.Circuit.demo("shuttle-bus")
/// >>> service = [fm.Drain(minutes=10), fm.Pour(6.5, measured_with="jug"), fm.Run(minutes=1), fm.Rest(minutes=5)]
/// >>> shares = fm.sensitivity(bus, service, of="final fraction", draws=256)
/// >>> "instruments.jug.scale" in shares.columns()["input"]
/// True
#[pyfunction]
#[pyo3(signature = (model, inputs, *, of=None, correlations=None, correlation_of="scores", method="sobol", draws=4096, replicates=16, coverage=0.95, seed=1, progress=None))]
#[allow(clippy::too_many_arguments)] // keyword-only in Python
pub(super) fn sensitivity(
    py: Python<'_>,
    model: Model<'_>,
    inputs: Inputs<'_>,
    of: Option<String>,
    correlations: Option<Correlations<'_>>,
    correlation_of: &str,
    method: &str,
    draws: i64,
    replicates: i64,
    coverage: f64,
    seed: i128,
    progress: Option<Progress<'_>>,
) -> PyResult<Sensitivity> {
    let options = options_of(method, draws, replicates, coverage, seed)?;
    if let Some((circuit, events)) = service_of(&model, &inputs)? {
        let ties = read_correlations(correlations.as_ref(), correlation_of)?;
        let progress = progress.as_ref().map(|p| &p.0);
        return run_reporting(py, progress, move |stop, report| {
            let model = of_service(&circuit, &events, of.as_deref(), &ties)?;
            let options = SensitivityOptions { stop: Some(stop), progress: Some(report), ..options };
            let inner = the_one(crate::estimate::sensitivity(&model, model.inputs(), &options)?);
            let judgement = inner.iter().flat_map(|s| &s.shares).map(|s| model.any_judgement(&s.inputs)).collect();
            Ok::<_, Error>((inner, judgement))
        })
        .and_then(|(inner, judgement)| Sensitivity::found(inner, Some(judgement)));
    }
    let inputs = read_inputs(&inputs, correlations.as_ref(), correlation_of)?;
    let mut calls = Calls::new(&model, progress.as_ref(), &inputs)?;
    let all = sensitivity_by(&mut calls, &inputs, &options)?;
    let inner = of_name(all, of.as_deref().unwrap_or(RESULT), |s| &s.result)?;
    Ok(Sensitivity { inner, judgement: None })
}

/// Options from what Python gives.
pub(super) fn options_of(
    method: &str,
    draws: i64,
    replicates: i64,
    coverage: f64,
    seed: i128,
) -> PyResult<SensitivityOptions<'static>> {
    let mut options = SensitivityOptions::default();
    (options.draws, options.seed) = counts(draws, seed)?;
    options.method = method_of(method, replicates)?;
    options.replicates = usize::try_from(replicates).unwrap_or(0);
    options.coverage = coverage;
    Ok(options)
}

/// The result of a model of one result.
pub(super) fn the_one<T>(all: Vec<T>) -> Option<T> {
    all.into_iter().next()
}

/// What a model of one result must have given.
pub(super) fn given<T>(found: Option<T>) -> PyResult<T> {
    found.ok_or_else(|| errors::to_py(EstimateError::NoResults))
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
    /// For every row of a service, whether it rests on judgement.
    judgement: Option<Vec<bool>>,
}

impl Sensitivity {
    fn found(inner: Option<CoreSensitivity>, judgement: Option<Vec<bool>>) -> PyResult<Self> {
        Ok(Self { inner: given(inner)?, judgement })
    }
}

/// What shares are rebuilt from: inputs; first-order and total index, each with its half-width.
type Part = (Vec<String>, (f64, f64), (f64, f64));

#[pymethods]
impl Sensitivity {
    /// Rebuilds what a pickle holds.
    #[staticmethod]
    fn _restore(
        result: String,
        mean: f64,
        standard_uncertainty: f64,
        shares: Vec<Part>,
        judgement: Option<Vec<bool>>,
    ) -> Self {
        let index = |(value, half_width)| Index { value, half_width };
        let shares = shares
            .into_iter()
            .map(|(inputs, first, total)| Shares { inputs, first: index(first), total: index(total) })
            .collect();
        Self { inner: CoreSensitivity { result, mean, standard_uncertainty, shares }, judgement }
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
    /// dict of str to numpy.ndarray
    ///     ``input`` (names joined by ``" + "``); ``first``, the share of the variance that knowing the inputs would remove
    ///     on average; ``total``, the share that stays when everything else is known; each with the half-width of its
    ///     coverage interval, ``first_half_width`` and ``total_half_width``. Of a service also ``judgement``: whether the input
    ///     is a default that nobody stated, or marked as judgement in the circuit's file.
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let shares = &self.inner.shares;
        let columns = PyDict::new(py);
        let names: Vec<String> = shares.iter().map(|s| s.inputs.join(" + ")).collect();
        columns.set_item("input", texts(py, names.iter().map(String::as_str).collect())?)?;
        let fields: [Field<Shares>; 4] = [
            ("first", |s| s.first.value),
            ("first_half_width", |s| s.first.half_width),
            ("total", |s| s.total.value),
            ("total_half_width", |s| s.total.half_width),
        ];
        add_columns(&columns, shares, &fields)?;
        if let Some(judgement) = &self.judgement {
            columns.set_item("judgement", judgement.clone().array(py)?)?;
        }
        Ok(columns)
    }

    fn __str__(&self) -> String {
        let names: Vec<String> = self.inner.shares.iter().map(|s| s.inputs.join(" + ")).collect();
        let width = names.iter().map(|name| name.chars().count()).max().unwrap_or(0).max(5);
        let mut text =
            format!("share of the variance of {}\n{:width$}  {:>15}  {:>15}", self.result(), "input", "first", "total");
        for (row, (name, s)) in names.iter().zip(&self.inner.shares).enumerate() {
            let index = |i: &Index| format!("{:.3} ± {:.3}", i.value, i.half_width);
            let judged = self.judgement.as_ref().and_then(|j| j.get(row)).is_some_and(|j| *j);
            let mark = if judged { "  judgement" } else { "" };
            let _ = write!(text, "\n{name:width$}  {:>15}  {:>15}{mark}", index(&s.first), index(&s.total));
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
        keywords.set_item("judgement", self.judgement.clone())?;
        reduce::<Self>(py, "_restore", keywords)
    }
}
