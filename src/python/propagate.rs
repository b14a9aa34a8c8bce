//! Propagation of uncertainty through a Python function.

use std::sync::Arc;
use std::sync::atomic::Ordering;

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

use super::arrays::{Column, ToArray};
use super::detach::{run_interruptible, run_reporting};
use super::errors;
use super::estimate::{Draws, counts, coverage as probability_of};
use super::first_order::{FirstOrder, Whole, taken_apart, whole};
use super::model::{Calls, Correlations, Inputs, Model, Progress, read_correlations, read_inputs, service_of};
use super::rebuild::{reduce, reduce_part};
use crate::estimate::{
    Draws as CoreDraws, Method, PropagateOptions, Propagated, Propagation as CorePropagation, ServiceModel, Stopping,
    collect,
};

/// Propagates what is known of the inputs through a model, by draws (JCGM 101:2008) and to first order (JCGM 100:2008).
///
/// Draw i of an input depends on seed, name and i alone: the same seed gives the same bits. Inputs without correlation are
/// independent; a thing that enters twice, such as one jug used for two pours, is one input.
///
/// Parameters
/// ----------
/// model : Circuit or callable
///     A function is called with one array for each input, by name, in the unit of the input's text, and gives an array of the
///     same length, or a dict of such arrays. Each element must depend on the inputs' elements of the same index alone.
///     A circuit is served as the events say.
/// inputs : sequence of Event, or mapping of str to Uncertain, float or str
///     Of a function: what is known of each input; a number is exact. Of a circuit: the events; the inputs are then those of
///     the service that are uncertain, by path, in SI units. The results are ``"final fraction"`` and ``"final litres"`` (true
///     level at the end, drained back, filter full, in the reference condition), and for every reading ``"LABEL mm"``,
///     ``"LABEL fraction"`` and ``"LABEL litres_from_max"``, with its number where the label is missing or used twice.
/// correlations : mapping of pair of str to float, optional
///     Coefficients of pairs of inputs, strictly between -1 and 1, such as ``{("a", "b"): 0.9}``; other pairs have 0. The
///     matrix must be positive definite. The inputs are tied by a Gaussian copula.
/// correlation_of : str
///     ``"scores"``: coefficients are product-moment correlations of the normal scores, and so of the values where both inputs
///     are normal. ``"ranks"``: Spearman's rank correlations, whatever the distributions (the scores get
///     ``2*sin(pi*r/6)``).
/// method : str
///     ``"pseudo-random"``: ChaCha streams. ``"sobol"``: Sobol' points (Joe and Kuo 2008, up to 512 uncertain inputs) with
///     Owen's scrambling, which need fewer draws for smooth models.
/// draws : int
///     Number of draws, 2 to 100 million; for ``"sobol"`` `scrambles` times a power of two. Not used with `digits`.
/// digits : int, optional
///     Draws in batches until mean, standard uncertainty and both ends of the coverage interval of every result are stable to
///     half a unit of this many significant digits of the standard uncertainty (JCGM 101, 7.9): 1 to 4.
/// most_draws : int
///     With `digits`: after so many draws the work ends all the same, and `Propagation.settled` is False.
/// scrambles : int
///     Independent scrambles of Sobol' points, 2 to 1000; with `digits` each batch is one.
/// coverage : float
///     Coverage probability that `digits` watches, 0.5 to 0.9999.
/// seed : int
///     Seed of every stream, 0 to 2**64 - 1.
/// progress : callable, optional
///     Is called with the number of draws done and the number asked for at most.
///
/// Returns
/// -------
/// Propagation
///     The results with their uncertainty, if the stated uncertainties are right.
///
/// Raises
/// ------
/// EstimateError
///     If inputs or correlations contradict themselves, an option is out of range, or a result is not finite or of the wrong
///     length.
///
/// Examples
/// --------
/// The sum of four standard normal inputs, JCGM 101, 9.2.2: the 95 % interval is -3.92 to 3.92.
///
/// >>> import fillmark as fm
/// >>> four = {name: fm.Uncertain.normal(0, 1) for name in ("a", "b", "c", "d")}
/// >>> y = fm.propagate(lambda a, b, c, d: a + b + c + d, four, method="sobol").result()
/// >>> round(y.standard_uncertainty, 2), [round(end, 2) for end in y.first_order.interval(0.95)]
/// (2.0, [-3.92, 3.92])
#[pyfunction]
#[pyo3(signature = (model, inputs, *, correlations=None, correlation_of="scores", method="pseudo-random", draws=131_072, digits=None, most_draws=100_000_000, scrambles=16, coverage=0.95, seed=1, progress=None))]
#[allow(clippy::too_many_arguments)] // keyword-only in Python
pub(super) fn propagate(
    py: Python<'_>,
    model: Model<'_>,
    inputs: Inputs<'_>,
    correlations: Option<Correlations<'_>>,
    correlation_of: &str,
    method: &str,
    draws: i64,
    digits: Option<i64>,
    most_draws: i64,
    scrambles: i64,
    coverage: f64,
    seed: i128,
    progress: Option<Progress<'_>>,
) -> PyResult<Propagation> {
    let mut options = PropagateOptions::default();
    (options.coverage, options.method) = (coverage, method_of(method, scrambles)?);
    let draws = if digits.is_some() { most_draws } else { draws };
    let (draws, seed) = counts(draws, seed)?;
    options.seed = seed;
    options.stopping = match digits {
        None => Stopping::Draws(draws),
        Some(digits) => Stopping::Digits { digits: u32::try_from(digits).unwrap_or(0), most: draws },
    };
    if let Some((circuit, events)) = service_of(&model, &inputs)? {
        let ties = read_correlations(correlations.as_ref(), correlation_of)?;
        let inner = run_reporting(py, progress.as_ref().map(|p| &p.0), move |stop, report| {
            let model = ServiceModel::new(&circuit, &events)?.correlated(&ties)?;
            let options = PropagateOptions { stop: Some(stop), progress: Some(report), ..options };
            crate::estimate::propagate(&model, model.inputs(), &options)
        })?;
        return Ok(Propagation { inner: Arc::new(inner) });
    }
    let inputs = read_inputs(&inputs, correlations.as_ref(), correlation_of)?;
    let mut calls = Calls::new(&model, progress.as_ref(), &inputs)?;
    let collected = collect(&mut calls, &inputs, &options)?;
    let inner = run_interruptible(py, move |stop| collected.summarised(&|| stop.load(Ordering::Relaxed)))?;
    Ok(Propagation { inner: Arc::new(inner) })
}

/// A method by its name.
pub(super) fn method_of(name: &str, scrambles: i64) -> PyResult<Method> {
    match name {
        "pseudo-random" => Ok(Method::PseudoRandom),
        // A negative number is refused as 0 is, with the accepted range.
        "sobol" => Ok(Method::Sobol { scrambles: usize::try_from(scrambles).unwrap_or(0) }),
        other => Err(errors::quantity(
            format!("method = {other:?}; accepted are \"pseudo-random\" and \"sobol\""),
            "quantity.unknown_word",
        )),
    }
}

/// The results of a model with their uncertainty. Made by `propagate`.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct Propagation {
    inner: Arc<CorePropagation>,
}

impl PartialEq for Propagation {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner
    }
}

#[pymethods]
impl Propagation {
    /// Rebuilds what a pickle holds.
    #[staticmethod]
    fn _restore(
        names: Vec<String>,
        columns: Vec<Vec<f64>>,
        standard_errors: Vec<f64>,
        first_orders: Vec<Whole>,
        settled: Option<bool>,
    ) -> Self {
        let rest = standard_errors.into_iter().zip(first_orders);
        let results = names.into_iter().zip(columns).zip(rest);
        let results = results.map(|((name, column), (standard_error, first))| Propagated {
            name,
            draws: CoreDraws::new(column),
            standard_error,
            first_order: whole(first),
        });
        Self { inner: Arc::new(CorePropagation::of(results.collect(), settled)) }
    }

    /// Every result, in the model's order.
    #[getter]
    fn results(slf: &Bound<'_, Self>) -> Vec<PropagatedResult> {
        (0..slf.get().inner.results().len()).map(|index| PropagatedResult::of(slf, index)).collect()
    }

    /// The result of this name.
    ///
    /// Parameters
    /// ----------
    /// name : str
    ///     As the model names it; ``"result"`` where the model gives an array.
    ///
    /// Returns
    /// -------
    /// PropagatedResult
    ///     With its draws.
    ///
    /// Raises
    /// ------
    /// EstimateError
    ///     If there is no result of this name.
    #[pyo3(signature = (name="result"))]
    fn result(slf: &Bound<'_, Self>, name: &str) -> PyResult<PropagatedResult> {
        let core = &slf.get().inner;
        let found = core.result(name).map_err(errors::to_py)?;
        let index = core.results().iter().position(|r| std::ptr::eq(r, found)).unwrap_or(0);
        Ok(PropagatedResult::of(slf, index))
    }

    /// Number of draws.
    #[getter]
    fn draws(&self) -> usize {
        self.inner.draws()
    }

    /// With adaptive stopping, whether every result became stable before the most draws allowed.
    #[getter]
    fn settled(&self) -> Option<bool> {
        self.inner.settled()
    }

    /// Covariance of the draws of two results.
    ///
    /// Parameters
    /// ----------
    /// a, b : str
    ///     Names of the results.
    ///
    /// Returns
    /// -------
    /// float
    ///     In the product of their units.
    fn covariance(&self, a: &str, b: &str) -> PyResult<f64> {
        self.inner.covariance(a, b).map_err(errors::to_py)
    }

    /// Correlation coefficient of the draws of two results.
    ///
    /// Parameters
    /// ----------
    /// a, b : str
    ///     Names of the results.
    ///
    /// Returns
    /// -------
    /// float
    ///     Between -1 and 1; NaN where one does not vary.
    fn correlation(&self, a: &str, b: &str) -> PyResult<f64> {
        self.inner.correlation(a, b).map_err(errors::to_py)
    }

    /// The draws of every result.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     One column for each result.
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let columns = PyDict::new(py);
        for result in self.inner.results() {
            columns.set_item(&result.name, result.draws.values().to_vec().array(py)?)?;
        }
        Ok(columns)
    }

    fn __repr__(&self) -> String {
        let names: Vec<&str> = self.inner.results().iter().map(|r| r.name.as_str()).collect();
        let unsettled = if self.settled() == Some(false) { ", not settled" } else { "" };
        format!("<propagation of {} through {} draws{unsettled}>", names.join(", "), self.draws())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let results = self.inner.results();
        let keywords = PyDict::new(py);
        keywords.set_item("names", results.iter().map(|r| r.name.clone()).collect::<Vec<_>>())?;
        let columns = results.iter().map(|r| Column(r.draws.values().to_vec())).collect::<Vec<_>>();
        keywords.set_item("columns", columns)?;
        keywords.set_item("standard_errors", results.iter().map(|r| r.standard_error).collect::<Vec<_>>())?;
        keywords.set_item("first_orders", results.iter().map(|r| taken_apart(&r.first_order)).collect::<Vec<_>>())?;
        keywords.set_item("settled", self.settled())?;
        reduce::<Self>(py, "_restore", keywords)
    }
}

/// One result of a model with its uncertainty.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct PropagatedResult {
    owner: Py<Propagation>,
    all: Arc<CorePropagation>,
    index: usize,
}

impl PartialEq for PropagatedResult {
    fn eq(&self, other: &Self) -> bool {
        self.core() == other.core()
    }
}

impl PropagatedResult {
    fn of(owner: &Bound<'_, Propagation>, index: usize) -> Self {
        Self { owner: owner.clone().unbind(), all: Arc::clone(&owner.get().inner), index }
    }

    fn core(&self) -> &Propagated {
        &self.all.results()[self.index]
    }
}

#[pymethods]
impl PropagatedResult {
    /// Name of the result; ``"result"`` where the model gives an array.
    #[getter]
    fn name(&self) -> &str {
        &self.core().name
    }

    /// Its draws.
    #[getter]
    fn draws(&self) -> Draws {
        Draws::of(&self.core().draws)
    }

    /// Mean of the draws.
    #[getter]
    fn mean(&self) -> f64 {
        self.core().draws.mean()
    }

    /// Standard deviation of the draws.
    #[getter]
    fn standard_uncertainty(&self) -> f64 {
        self.core().draws.standard_uncertainty()
    }

    /// Standard error of the mean of the draws; of Sobol' points from the scatter between their scrambles.
    #[getter]
    fn standard_error(&self) -> f64 {
        self.core().standard_error
    }

    /// Probabilistically symmetric coverage interval (JCGM 101:2008, 7.7).
    ///
    /// Parameters
    /// ----------
    /// probability : float
    ///     Greater than 0, less than 1.
    ///
    /// Returns
    /// -------
    /// tuple of float
    ///     Its two ends.
    #[pyo3(signature = (probability=0.95))]
    fn interval(&self, probability: f64) -> PyResult<(f64, f64)> {
        Ok(self.core().draws.interval(probability_of(probability)?))
    }

    /// Shortest coverage interval (JCGM 101:2008, 7.7.4).
    ///
    /// Parameters
    /// ----------
    /// probability : float
    ///     Greater than 0, less than 1.
    ///
    /// Returns
    /// -------
    /// tuple of float
    ///     Its two ends.
    #[pyo3(signature = (probability=0.95))]
    fn shortest_interval(&self, probability: f64) -> PyResult<(f64, f64)> {
        Ok(self.core().draws.shortest_interval(probability_of(probability)?))
    }

    /// The same result by the law of propagation of uncertainty to first order (JCGM 100:2008).
    #[getter]
    fn first_order(slf: &Bound<'_, Self>) -> FirstOrder {
        FirstOrder { owner: slf.clone().unbind(), inner: slf.get().core().first_order.clone() }
    }

    /// Whether first order is good enough for a coverage interval (JCGM 101:2008, clause 8).
    ///
    /// Parameters
    /// ----------
    /// probability : float
    ///     Coverage probability, greater than 0, less than 1.
    /// digits : int
    ///     Significant digits of the standard uncertainty that are meant, 1 to 4.
    ///
    /// Returns
    /// -------
    /// dict of str to float or bool
    ///     ``low_difference`` and ``high_difference``: how far the ends of the two symmetric intervals lie apart;
    ///     ``tolerance``: half a unit of the last digit meant; ``valid``: whether neither difference exceeds it.
    #[pyo3(signature = (probability=0.95, digits=2))]
    fn validity<'py>(&self, py: Python<'py>, probability: f64, digits: i64) -> PyResult<Bound<'py, PyDict>> {
        let p = probability_of(probability)?;
        #[allow(clippy::cast_precision_loss)] // only words the message
        let asked = crate::numeric::check::in_range("digits", digits as f64, 1.0, 4.0, "");
        asked.map_err(errors::to_py)?;
        let digits = u32::try_from(digits).unwrap_or(1);
        let validity = self.core().first_order.validity(&self.core().draws, p, digits);
        let found = PyDict::new(py);
        found.set_item("low_difference", validity.low_difference)?;
        found.set_item("high_difference", validity.high_difference)?;
        found.set_item("tolerance", validity.tolerance)?;
        found.set_item("valid", validity.is_valid())?;
        Ok(found)
    }

    fn __repr__(&self) -> String {
        let draws = &self.core().draws;
        let (low, high) = draws.interval(0.95);
        let (mean, u) = (draws.mean(), draws.standard_uncertainty());
        format!("<{}: mean {mean:.6}, standard uncertainty {u:.6}, 95 % {low:.6} to {high:.6}>", self.name())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        reduce_part(py, self.owner.bind(py).as_any(), "results", Some(self.index))
    }
}
