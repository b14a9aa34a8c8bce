//! Prediction for Python.

use std::sync::Arc;

use numpy::IntoPyArray;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyList, PyTuple};

use super::arrays::{Column, Values};
use super::circuit::Circuit;
use super::detach::run_interruptible;
use super::errors;
use super::events::{Events, wrap};
use super::rebuild::{reduce, reduce_call, reduce_part};
use super::unit::One;
use crate::estimate::{Draws as CoreDraws, EstimateError, PredictOptions, Prediction as CorePrediction};
use crate::service::Event as CoreEvent;

/// Predicts the readings of a service, by Monte Carlo (JCGM 101:2008) over every uncertain input.
///
/// Every input is drawn from its own stream, keyed by the seed and the input's path: the same seed gives the same bits for
/// any number of threads.
///
/// Parameters
/// ----------
/// circuit : Circuit
///     What is served.
/// events : sequence of Event
///     What is done, in order.
/// draws : int
///     Number of draws, 1 to 100 million.
/// seed : int
///     Seed of every stream, 0 to 2**64 - 1.
///
/// Returns
/// -------
/// Prediction
///     Readings with their uncertainty, if the stated uncertainties are right.
///
/// Raises
/// ------
/// ServiceError
///     If the service cannot be carried out at nominal values.
/// EstimateError
///     If an option is out of range, or an attitude is stated with an uncertainty.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> bus = fm.Circuit.demo("shuttle-bus")
/// >>> p = fm.predict(bus, [fm.Read(label="dip")], draws=1000, seed=1)
/// >>> abs(p.reading("dip").fraction.mean - 1.0) < 0.1
/// True
#[pyfunction]
#[pyo3(signature = (circuit, events, *, draws=100_000, seed=1))]
pub(super) fn predict(
    py: Python<'_>,
    circuit: &Bound<'_, Circuit>,
    events: Events<'_>,
    draws: i64,
    seed: i128,
) -> PyResult<Prediction> {
    let (draws, seed) = counts(draws, seed)?;
    let events = events.read("events")?;
    let core = circuit.get().inner.clone();
    let copy = events.clone();
    let inner = run_interruptible(py, move |stop| {
        let mut options = PredictOptions::default().draws(draws).seed(seed);
        options.stop = Some(stop);
        crate::estimate::predict(&core, &copy, &options)
    })?;
    Ok(Prediction { inner: Arc::new(inner), circuit: circuit.clone().unbind(), events })
}

/// A coverage probability, or the error that says what is accepted.
pub(super) fn coverage(probability: f64) -> PyResult<f64> {
    crate::numeric::check::in_range("probability", probability, 1e-9, 1.0 - 1e-9, "").map_err(errors::to_py)
}

/// Number of draws and seed, or the error that says what is accepted.
pub(super) fn counts(draws: i64, seed: i128) -> PyResult<(usize, u64)> {
    let outside = |option: &str, value: f64, low: f64, high: f64| {
        errors::to_py(EstimateError::OptionOutOfRange { option: option.into(), value, low, high })
    };
    #[allow(clippy::cast_precision_loss)] // only words the message
    let seed = u64::try_from(seed).map_err(|_| outside("seed", seed as f64, 0.0, u64::MAX as f64))?;
    let draws = usize::try_from(draws).map_err(|_| outside("draws", draws as f64, 1.0, 1e8))?;
    Ok((draws, seed))
}

/// Readings of a service with their uncertainty. Made by `predict`.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct Prediction {
    inner: Arc<CorePrediction>,
    circuit: Py<Circuit>,
    events: Vec<CoreEvent>,
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

    /// Volume of the sump at the end, drained back, filter full, in the reference condition [L].
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
    ///     ``over_max``, ``drained_back_l``, and for every reading ``LABEL mm``, ``LABEL fraction``, ``LABEL litres_from_max``
    ///     (its number where it has no label).
    fn columns<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyDict>> {
        let (py, this) = (slf.py(), slf.get());
        let columns = PyDict::new(py);
        columns.set_item("over_max", this.inner.over_max().to_vec().into_pyarray(py))?;
        columns.set_item("drained_back_l", this.drained_back_l().values())?;
        for (i, reading) in Self::readings(slf).iter().enumerate() {
            let label = reading.label().unwrap_or_else(|| i.to_string());
            columns.set_item(format!("{label} mm"), reading.mm().values())?;
            columns.set_item(format!("{label} fraction"), reading.fraction().values())?;
            columns.set_item(format!("{label} litres_from_max"), reading.litres_from_max().values())?;
        }
        Ok(columns)
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        let events = self.events.iter().map(|e| wrap(py, e.clone())).collect::<PyResult<Vec<_>>>()?;
        let events = PyList::new(py, events)?.repr()?;
        let circuit = self.circuit.bind(py).repr()?;
        Ok(format!("predict({circuit}, {events}, draws={}, seed={})", self.draws(), self.seed()))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let keywords = PyDict::new(py);
        keywords.set_item("circuit", self.circuit.clone_ref(py))?;
        let events = self.events.iter().map(|e| wrap(py, e.clone())).collect::<PyResult<Vec<_>>>()?;
        keywords.set_item("events", events)?;
        keywords.set_item("draws", self.draws())?;
        keywords.set_item("seed", self.seed())?;
        reduce_call(py, "predict", keywords)
    }
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
#[derive(PartialEq)]
pub(super) struct Draws {
    inner: CoreDraws,
}

impl Draws {
    pub(super) fn of(draws: &CoreDraws) -> Self {
        Self { inner: draws.clone() }
    }

    pub(super) fn scaled(draws: &CoreDraws, factor: f64) -> Self {
        Self { inner: draws.scaled(factor) }
    }
}

#[pymethods]
impl Draws {
    #[new]
    fn new(values: Values<'_, One>) -> PyResult<Self> {
        let values = values.read("values")?.flat();
        if values.is_empty() {
            return Err(pyo3::exceptions::PyValueError::new_err("values is empty; at least one draw is needed"));
        }
        Ok(Self { inner: CoreDraws::new(values) })
    }

    /// Mean of the draws.
    #[getter]
    fn mean(&self) -> f64 {
        self.inner.mean()
    }

    /// Standard deviation of the draws.
    #[getter]
    fn standard_uncertainty(&self) -> f64 {
        self.inner.standard_uncertainty()
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
    fn interval(&self, probability: f64) -> PyResult<(f64, f64)> {
        Ok(self.inner.interval(coverage(probability)?))
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
    fn shortest_interval(&self, probability: f64) -> PyResult<(f64, f64)> {
        Ok(self.inner.shortest_interval(coverage(probability)?))
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
    fn quantile(&self, probability: f64) -> PyResult<f64> {
        let p = crate::numeric::check::in_range("probability", probability, 0.0, 1.0, "");
        Ok(self.inner.quantile(p.map_err(errors::to_py)?))
    }

    /// The draws in order, as a new array.
    fn values(&self) -> Column {
        Column(self.inner.values().to_vec())
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
