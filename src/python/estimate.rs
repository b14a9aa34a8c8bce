//! Prediction for Python.

use std::fmt::Write;
use std::sync::Arc;
use std::sync::atomic::Ordering;

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyList, PyTuple};

use super::arrays::{Column, Grid, ToArray, Values};
use super::circuit::Circuit;
use super::detach::{run_detached, run_interruptible, run_reporting};
use super::errors;
use super::events::{Events, wrap};
use super::model::{Correlations, Progress, read_correlations};
use super::propagate::method_of;
use super::rebuild::{reduce, reduce_call, reduce_part};
use super::service::State;
use super::unit::One;
use crate::Error;
use crate::estimate::{Draws as CoreDraws, JudgementShares, PredictOptions, Prediction as CorePrediction};
use crate::service::Event as CoreEvent;

/// Predicts the readings of a service, by Monte Carlo (JCGM 101:2008) over every uncertain input.
///
/// Draw i of an input is a function of the seed, the input's path and i: the same seed gives the same bits for any number of
/// threads.
///
/// Parameters
/// ----------
/// circuit : Circuit
///     What is served.
/// events : sequence of Event
///     What is done, in order.
/// start : State, optional
///     Where every draw starts, as in `simulate`: the masses of a state of this circuit are taken as exact, so that uncertain inputs
///     act from there on.
/// draws : int, optional
///     Number of draws, 1 to 100 million; for ``"sobol"`` `scrambles` times a power of two. Where it is not stated 100 000, for
///     ``"sobol"`` `scrambles` times 8192. Not used with `digits`.
/// seed : int
///     Seed of every stream, 0 to 2**64 - 1.
/// correlations : mapping of pair of str to float, optional
///     Coefficients of pairs of inputs by path, such as ``{("stores.cooler.running", "stores.head.running"): 0.5}``; others are
///     independent. The inputs are tied by a Gaussian copula.
/// correlation_of : str
///     ``"scores"`` or ``"ranks"``, as in `propagate`.
/// method : str
///     ``"pseudo-random"`` or ``"sobol"``, as in `propagate`.
/// scrambles : int
///     Independent scrambles of Sobol' points, 2 to 1000; with `digits` each batch is one.
/// digits : int, optional
///     Draws in batches until mean, standard uncertainty and both ends of the coverage interval of every reading and of the
///     volume at the end are stable to half a unit of this many significant digits of the standard uncertainty (JCGM 101,
///     7.9): 1 to 4.
/// most_draws : int
///     With `digits`: after so many draws the work ends all the same, and `Prediction.settled` is False.
/// coverage : float
///     Coverage probability that `digits` watches, 0.5 to 0.9999.
/// progress : callable, optional
///     Is called with the number of draws done and the number asked for at most, while a long prediction runs and at its end.
///
/// Returns
/// -------
/// Prediction
///     Readings with their uncertainty, if the stated uncertainties are right.
///
/// Raises
/// ------
/// ServiceError
///     If the service cannot be carried out at nominal values, or the start is no state of this circuit.
/// EstimateError
///     If an option is out of range, a correlation contradicts another or names no uncertain input, or an attitude is stated
///     with an uncertainty that cannot be drawn there, which the message says with what to do.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> bus = fm.Circuit.demo("shuttle-bus")
/// >>> p = fm.predict(bus, [fm.Read(label="dip")], draws=1000, seed=1)
/// >>> abs(p.reading("dip").fraction.mean - 1.0) < 0.1
/// True
#[pyfunction]
#[pyo3(signature = (circuit, events, *, start=None, draws=None, seed=1, correlations=None, correlation_of="scores", method="pseudo-random", scrambles=16, digits=None, most_draws=10_000_000, coverage=0.95, progress=None))]
#[allow(clippy::too_many_arguments)] // keyword-only in Python
pub(super) fn predict(
    py: Python<'_>,
    circuit: &Bound<'_, Circuit>,
    events: Events<'_>,
    start: Option<&Bound<'_, State>>,
    draws: Option<i64>,
    seed: i128,
    correlations: Option<Correlations<'_>>,
    correlation_of: &str,
    method: &str,
    scrambles: i64,
    digits: Option<i64>,
    most_draws: i64,
    coverage: f64,
    progress: Option<Progress<'_>>,
) -> PyResult<Prediction> {
    let made = PyDict::new(py);
    if let Some(start) = start {
        made.set_item("start", start)?;
    }
    let chosen = if digits.is_some() { most_draws } else { draws.unwrap_or_else(|| usual_draws(method, scrambles)) };
    let (draws, seed) = counts(chosen, seed)?;
    if digits.is_none() {
        made.set_item("draws", draws)?;
    }
    made.set_item("seed", seed)?;
    if let Some(Correlations(pairs)) = &correlations {
        made.set_item("correlations", py.get_type::<PyDict>().call1((pairs,))?)?;
        made.set_item("correlation_of", correlation_of)?;
    }
    if method != "pseudo-random" {
        made.set_item("method", method)?;
        made.set_item("scrambles", scrambles)?;
    }
    if digits.is_some() {
        made.set_item("digits", digits)?;
        made.set_item("most_draws", most_draws)?;
        made.set_item("coverage", coverage)?;
    }
    let ties = read_correlations(correlations.as_ref(), correlation_of)?;
    let method = method_of(method, scrambles)?;
    let events = events.read("events")?;
    let core = circuit.get().inner.clone();
    let copy = events.clone();
    let from = start.map(|s| s.get().inner.clone());
    let inner = run_reporting(py, progress.as_ref().map(|p| &p.0), move |stop, report| {
        let mut options = PredictOptions::default().draws(draws).seed(seed).method(method).correlations(&ties);
        options.digits = digits.map(|d| u32::try_from(d).unwrap_or(0));
        options.coverage = coverage;
        options.start = from.as_ref();
        options.stop = Some(stop);
        options.progress = Some(report);
        crate::estimate::predict(&core, &copy, &options)
    })?;
    Ok(Prediction { inner: Arc::new(inner), circuit: circuit.clone().unbind(), events, made: made.unbind() })
}

/// Draws where their number is not stated; a number of scrambles that is refused is refused with it.
fn usual_draws(method: &str, scrambles: i64) -> i64 {
    if method == "sobol" { scrambles.clamp(2, 1000) * 8192 } else { 100_000 }
}

/// Mean, standard uncertainty and 95 % interval, as plain data; the same wherever a result becomes a dict.
pub(super) fn summary<'py>(py: Python<'py>, draws: &CoreDraws, factor: f64) -> PyResult<Bound<'py, PyDict>> {
    let (low, high) = draws.interval(0.95);
    let told = PyDict::new(py);
    told.set_item("mean", draws.mean() * factor)?;
    told.set_item("standard_uncertainty", draws.standard_uncertainty() * factor)?;
    told.set_item("interval_95", [low * factor, high * factor])?;
    Ok(told)
}

/// A coverage probability, or the error that says what is accepted.
pub(super) fn coverage(probability: f64) -> PyResult<f64> {
    crate::numeric::check::in_range("probability", probability, 1e-9, 1.0 - 1e-9, "").map_err(errors::to_py)
}

/// Number of draws and seed, or the error that says what is accepted.
pub(super) fn counts(draws: i64, seed: i128) -> PyResult<(usize, u64)> {
    let seed = u64::try_from(seed).map_err(|_| errors::option("seed", seed, 0, u64::MAX.into()))?;
    let draws = usize::try_from(draws).map_err(|_| errors::option("draws", draws.into(), 1, 100_000_000))?;
    Ok((draws, seed))
}

/// Readings of a service with their uncertainty. Made by `predict`.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct Prediction {
    inner: Arc<CorePrediction>,
    circuit: Py<Circuit>,
    events: Vec<CoreEvent>,
    /// The other keywords it was made with.
    made: Py<PyDict>,
}

impl PartialEq for Prediction {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner
    }
}

#[pymethods]
impl Prediction {
    /// Every reading in order.
    #[getter]
    fn readings(slf: &Bound<'_, Self>) -> Vec<PredictedReading> {
        PredictedReading::all(slf.as_any(), &slf.get().inner)
    }

    /// The one reading of this label.
    ///
    /// Parameters
    /// ----------
    /// label : str
    ///     As given to the `Read` event.
    ///
    /// Returns
    /// -------
    /// PredictedReading
    ///     With its draws.
    ///
    /// Raises
    /// ------
    /// ServiceError
    ///     If no reading, or more than one, carries the label.
    fn reading(slf: &Bound<'_, Self>, label: &str) -> PyResult<PredictedReading> {
        let core = &slf.get().inner;
        let found = core.reading(label).map_err(errors::to_py)?;
        let index = core.readings().iter().position(|r| std::ptr::eq(r, found)).unwrap_or(0);
        Ok(PredictedReading { owner: slf.clone().into_any().unbind(), prediction: Arc::clone(core), index })
    }

    /// Share of the draws that end over MAX: true, noise-free, drained back, filter full, in the reference condition.
    #[getter]
    fn probability_over_max(&self) -> f64 {
        self.inner.probability_over_max()
    }

    /// Share of the draws that end under MIN in the same sense.
    #[getter]
    fn probability_under_min(&self) -> f64 {
        self.inner.probability_under_min()
    }

    /// With adaptive stopping, whether everything became stable before the most draws allowed.
    #[getter]
    fn settled(&self) -> Option<bool> {
        self.inner.settled()
    }

    /// Paths of the uncertain inputs that count as judgement.
    ///
    /// Defaults that nobody stated, those marked so in the circuit's file, and any correlated with one of them.
    /// Worked out, with the shares, when one of them is first asked for.
    #[getter]
    fn judgement_inputs(&self, py: Python<'_>) -> PyResult<Vec<String>> {
        Ok(judged(py, &self.inner)?.inputs.clone())
    }

    /// What share of the variance of the true level at the end rests on judgement inputs, 0 to 1.
    ///
    /// Their total Sobol' index as one group, with a standard error of about 0.02. Worked out when it is first asked for, by 4,096
    /// runs of the service.
    #[getter]
    fn judgement_share(&self, py: Python<'_>) -> PyResult<f64> {
        Ok(judged(py, &self.inner)?.final_fraction)
    }

    /// Largest error of the prepared free surfaces at every attitude that is stated with an uncertainty, by its path [mm].
    ///
    /// Measured over the stick's tip at attitudes and volumes that had no part in preparing them; see `Response`.
    #[getter]
    fn attitude_errors_mm<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let errors = PyDict::new(py);
        for fit in self.inner.attitudes() {
            errors.set_item(&fit.path, fit.quality.worst_error_mm)?;
        }
        Ok(errors)
    }

    /// Covariances of the readings along the blade [mm²], in the order of `readings` (JCGM 102:2011, 7.6).
    ///
    /// Returns
    /// -------
    /// numpy.ndarray
    ///     Square and symmetric; the diagonal holds the squared standard uncertainties.
    fn covariance_mm2(&self, py: Python<'_>) -> PyResult<Grid> {
        let core = Arc::clone(&self.inner);
        let rows = run_detached(py, move || Ok::<_, Error>(core.covariance()))?;
        Ok(grid(&rows, 1e6))
    }

    /// Correlation coefficients of the readings along the blade, in the order of `readings`.
    ///
    /// Returns
    /// -------
    /// numpy.ndarray
    ///     Square and symmetric; NaN with a reading that does not vary.
    fn correlation(&self, py: Python<'_>) -> PyResult<Grid> {
        let core = Arc::clone(&self.inner);
        Ok(grid(&run_detached(py, move || Ok::<_, Error>(core.correlation()))?, 1.0))
    }

    /// Volume of the sump at the end, drained back, filter full, in the reference condition [L].
    ///
    /// Below zero the sump is dry, and filter and stores lack so much of what is theirs.
    #[getter]
    fn drained_back_l(&self) -> Draws {
        Draws::scaled(self.inner.drained_back(), 1e3)
    }

    /// Number of draws.
    #[getter]
    fn draws(&self) -> usize {
        self.inner.draws()
    }

    /// Seed of the streams.
    #[getter]
    fn seed(&self) -> u64 {
        self.inner.seed()
    }

    /// Draws in which an amount did not fit and was bent: excess to the floor, a withdrawal or prime cut to what there is.
    #[getter]
    fn bent(&self) -> usize {
        self.inner.bent()
    }

    /// One entry per draw.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``over_max``, ``under_min``, ``drained_back_l``, and for every reading ``LABEL mm``, ``LABEL fraction``, ``LABEL litres_from_max``
    ///     (its number where it has no label).
    fn columns<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyDict>> {
        let (py, this) = (slf.py(), slf.get());
        let columns = PyDict::new(py);
        columns.set_item("over_max", this.inner.over_max().to_vec().array(py)?)?;
        columns.set_item("under_min", this.inner.under_min().to_vec().array(py)?)?;
        columns.set_item("drained_back_l", this.drained_back_l().values())?;
        for (i, reading) in Self::readings(slf).iter().enumerate() {
            let label = reading.label().unwrap_or_else(|| i.to_string());
            columns.set_item(format!("{label} mm"), reading.mm().values())?;
            columns.set_item(format!("{label} fraction"), reading.fraction().values())?;
            columns.set_item(format!("{label} litres_from_max"), reading.litres_from_max().values())?;
        }
        Ok(columns)
    }

    fn __str__(&self, py: Python<'_>) -> PyResult<String> {
        let p = &self.inner;
        let judged = judged(py, p)?.final_fraction * 1e2;
        let name = self.circuit.bind(py).get().inner.name().to_owned();
        let unsettled = if p.settled() == Some(false) { ", not settled" } else { "" };
        let mut text = format!("Prediction for {name}, {} draws{unsettled}\n", p.draws());
        text += "  95 % intervals, if the stated uncertainties are right:\n";
        for (i, reading) in p.readings().iter().enumerate() {
            let label = reading.label.clone().unwrap_or_else(|| i.to_string());
            let ((low, high), (dry, full)) = (reading.s.interval(0.95), reading.fraction.interval(0.95));
            let (mm, fraction) = (reading.s.mean() * 1e3, reading.fraction.mean());
            let _ = writeln!(
                text,
                "    {label:<28} {mm:5.1} mm ({:.1} to {:.1}), {fraction:.2} of the span ({dry:.2} to {full:.2})",
                low * 1e3,
                high * 1e3
            );
        }
        let (low, high) = p.drained_back().interval(0.95);
        let mean = p.drained_back().mean() * 1e3;
        let _ =
            writeln!(text, "    {:<28} {mm:5.2} L ({:.2} to {:.2})", "drained back", low * 1e3, high * 1e3, mm = mean);
        if low < 0.0 {
            let _ = writeln!(text, "    below 0 L the sump is dry, and filter and stores lack so much");
        }
        let (over, under) = (p.probability_over_max() * 1e2, p.probability_under_min() * 1e2);
        let _ = writeln!(text, "  over MAX in {over:.2} %, under MIN in {under:.2} % of draws");
        let _ = write!(text, "  {judged:.0} % of the variance of the level at the end rests on judgement inputs");
        Ok(text)
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        let events = self.events.iter().map(|e| wrap(py, e.clone())).collect::<PyResult<Vec<_>>>()?;
        let events = PyList::new(py, events)?.repr()?;
        let circuit = self.circuit.bind(py).repr()?;
        let made = self.made.bind(py).iter().map(|(name, value)| Ok(format!("{name}={}", value.repr()?)));
        let made = made.collect::<PyResult<Vec<_>>>()?.join(", ");
        Ok(format!("predict({circuit}, {events}, {made})"))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let keywords = self.made.bind(py).copy()?;
        keywords.set_item("circuit", self.circuit.clone_ref(py))?;
        let events = self.events.iter().map(|e| wrap(py, e.clone())).collect::<PyResult<Vec<_>>>()?;
        keywords.set_item("events", events)?;
        reduce_call(py, "predict", keywords)
    }
}

/// What rests on judgement, worked out where Ctrl-C can stop it.
fn judged<'p>(py: Python<'_>, prediction: &'p CorePrediction) -> PyResult<&'p JudgementShares> {
    run_interruptible(py, |stop| prediction.judgement_until(Some(stop)))
}

/// A square array.
fn grid(rows: &[Vec<f64>], factor: f64) -> Grid {
    Grid(rows.len(), rows.len(), rows.iter().flatten().map(|x| x * factor).collect())
}

/// One reading over all draws.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct PredictedReading {
    /// The prediction or plan it belongs to.
    owner: Py<PyAny>,
    prediction: Arc<CorePrediction>,
    index: usize,
}

impl PartialEq for PredictedReading {
    fn eq(&self, other: &Self) -> bool {
        self.core() == other.core()
    }
}

impl PredictedReading {
    /// Every reading of a prediction, which `owner` has as its attribute `readings`.
    pub(super) fn all(owner: &Bound<'_, PyAny>, prediction: &Arc<CorePrediction>) -> Vec<Self> {
        let one = |index| Self { owner: owner.clone().unbind(), prediction: Arc::clone(prediction), index };
        (0..prediction.readings().len()).map(one).collect()
    }

    fn core(&self) -> &crate::estimate::PredictedReading {
        &self.prediction.readings()[self.index]
    }
}

#[pymethods]
impl PredictedReading {
    /// Label of the `Read` event, if any.
    #[getter]
    fn label(&self) -> Option<String> {
        self.core().label.clone()
    }

    /// Distance from the tip along the blade [mm].
    #[getter]
    fn mm(&self) -> Draws {
        Draws::scaled(&self.core().s, 1e3)
    }

    /// 0 at MIN, 1 at MAX.
    #[getter]
    fn fraction(&self) -> Draws {
        Draws::scaled(&self.core().fraction, 1.0)
    }

    /// Volume from MAX at the attitude of the reading [L].
    #[getter]
    fn litres_from_max(&self) -> Draws {
        Draws::scaled(&self.core().from_max, 1e3)
    }

    /// What share of the variance of `mm` rests on judgement inputs, 0 to 1; see `Prediction.judgement_share`.
    #[getter]
    fn judgement_share(&self, py: Python<'_>) -> PyResult<f64> {
        Ok(judged(py, &self.prediction)?.readings.get(self.index).copied().unwrap_or_default())
    }

    /// Draws in which the stick came out dry.
    #[getter]
    fn below_tip(&self) -> usize {
        self.core().below_tip
    }

    /// Draws in which the surface stood above the blade.
    #[getter]
    fn above_blade(&self) -> usize {
        self.core().above_blade
    }

    fn __repr__(&self) -> String {
        let (low, high) = self.core().s.interval(0.95);
        format!(
            "<predicted reading {:?}: {:.1} mm, 95 % {:.1} to {:.1} mm>",
            self.label().unwrap_or_default(),
            self.core().s.mean() * 1e3,
            low * 1e3,
            high * 1e3
        )
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        reduce_part(py, self.owner.bind(py), "readings", Some(self.index))
    }
}

/// Draws of one quantity: mean, standard uncertainty and coverage intervals (JCGM 101:2008, clause 7).
///
/// Parameters
/// ----------
/// values : sequence of float
///     At least one, all finite.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> d = fm.Draws([5.0, 1.0, 3.0, 2.0, 4.0])
/// >>> d.mean, d.quantile(0.5), d.interval(0.5)
/// (3.0, 3.0, (2.0, 4.0))
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct Draws {
    inner: CoreDraws,
    /// From the unit of the draws to that shown, above 0.
    factor: f64,
}

impl PartialEq for Draws {
    fn eq(&self, other: &Self) -> bool {
        self.shown().eq(other.shown())
    }
}

/// Draws from which sorting takes long enough to be interrupted.
const MANY: usize = 1 << 18;

impl Draws {
    pub(super) fn of(draws: &CoreDraws) -> Self {
        Self::scaled(draws, 1.0)
    }

    pub(super) fn scaled(draws: &CoreDraws, factor: f64) -> Self {
        Self { inner: draws.clone(), factor }
    }

    fn shown(&self) -> impl Iterator<Item = f64> {
        self.inner.values().iter().map(|x| x * self.factor)
    }

    /// The draws in the order of their size too.
    fn sorted(&self, py: Python<'_>) -> PyResult<&CoreDraws> {
        if !self.inner.is_sorted() && self.inner.values().len() >= MANY {
            let draws = self.inner.clone();
            run_interruptible(py, move |stop| {
                let _ = draws.sort_unless(&|| stop.load(Ordering::Relaxed));
                Ok::<_, Error>(())
            })?;
        }
        Ok(&self.inner)
    }
}

#[pymethods]
impl Draws {
    #[new]
    fn new(values: Values<'_, One>) -> PyResult<Self> {
        let values = values.read("values")?.flat();
        if values.is_empty() {
            return Err(errors::quantity("values is empty; at least one draw is needed".into(), "quantity.empty"));
        }
        Ok(Self { inner: CoreDraws::new(values), factor: 1.0 })
    }

    /// Mean of the draws.
    #[getter]
    fn mean(&self) -> f64 {
        self.inner.mean() * self.factor
    }

    /// Standard deviation of the draws.
    #[getter]
    fn standard_uncertainty(&self) -> f64 {
        self.inner.standard_uncertainty() * self.factor
    }

    /// Probabilistically symmetric coverage interval.
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
    ///
    /// Raises
    /// ------
    /// QuantityError
    ///     If the probability is out of range.
    #[pyo3(signature = (probability=0.95))]
    fn interval(&self, py: Python<'_>, probability: f64) -> PyResult<(f64, f64)> {
        let p = coverage(probability)?;
        let (low, high) = self.sorted(py)?.interval(p);
        Ok((low * self.factor, high * self.factor))
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
    ///     Its two ends, which are draws.
    ///
    /// Raises
    /// ------
    /// QuantityError
    ///     If the probability is out of range.
    #[pyo3(signature = (probability=0.95))]
    fn shortest_interval(&self, py: Python<'_>, probability: f64) -> PyResult<(f64, f64)> {
        let p = coverage(probability)?;
        let (low, high) = self.sorted(py)?.shortest_interval(p);
        Ok((low * self.factor, high * self.factor))
    }

    /// Quantile of the draws, interpolated between order statistics.
    ///
    /// Parameters
    /// ----------
    /// probability : float
    ///     0 to 1.
    ///
    /// Returns
    /// -------
    /// float
    ///     The value that this share of the draws does not exceed.
    fn quantile(&self, py: Python<'_>, probability: f64) -> PyResult<f64> {
        let p = crate::numeric::check::in_range("probability", probability, 0.0, 1.0, "").map_err(errors::to_py)?;
        Ok(self.sorted(py)?.quantile(p) * self.factor)
    }

    /// The draws in order, as a new array.
    fn values(&self) -> Column {
        Column(self.shown().collect())
    }

    fn __array__<'py>(
        &self,
        py: Python<'py>,
        dtype: Option<Bound<'py, PyAny>>,
        copy: Option<bool>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let _ = copy; // always a copy
        let values = self.values().into_pyobject(py)?;
        match dtype {
            Some(dtype) => values.call_method1("astype", (dtype,)),
            None => Ok(values),
        }
    }

    fn __len__(&self) -> usize {
        self.inner.values().len()
    }

    fn __repr__(&self) -> String {
        format!(
            "<{} draws: mean {:.4}, standard uncertainty {:.4}>",
            self.__len__(),
            self.mean(),
            self.standard_uncertainty()
        )
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let keywords = PyDict::new(py);
        keywords.set_item("values", self.values())?;
        reduce::<Self>(py, "", keywords)
    }
}
