//! Assessment for Python.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyList, PyTuple};

use super::arrays::{Column, ToArray};
use super::circuit::Circuit;
use super::detach::run_interruptible;
use super::errors;
use super::estimate::{Draws, counts, summary};
use super::events::{Events, wrap};
use super::geometry::Attitude;
use super::quantity::Scalar;
use super::rebuild::{reduce_call, reduce_method};
use super::service::{State, Timeline};
use super::unit::{Degree, DegreeCelsius};
use crate::estimate::{AssessOptions, Assessment as Core, Clearance};
use crate::service::Band;

/// Assesses what a service leaves behind, by Monte Carlo: level against the marks, gap to the crank, depth of the pickup.
///
/// The level is the true one, drained back, filter full, in the marks' reference condition, in spans: 0 at MIN, 1 at MAX. Bands above MAX: up to
/// 0.1 span is within reading error, 0.1 to 0.5 wants correcting soon; beyond 0.5 in more than half of the draws (1 % with the gap to the
/// crank unknown), or where the static hot level reaches the crank's path in more than 1 % of draws, the verdict is: do not start (common
/// practice, no source; half of the draws is a judgement). What the
/// circuit does not state is reported as unknown, never as in order. Whatever the level, an end with a plug open, with the filter off, or with
/// a leak or an ingress going on (stop it with `Stop`) is: do not start. So is a sump that holds more than its drawing, as an ingress or a
/// given start may leave it; its level goes on above the drawing's top by volume, as between the marks. A machine that states neither filter,
/// pump, pickup, crank nor a store that a pump fills, such as a gearbox, is told nothing of a crank or a pickup.
///
/// Parameters
/// ----------
/// circuit : Circuit
///     What is served; its ``[crank]`` and ``[pickup]`` are looked at.
/// events : sequence of Event
///     What is done, in order.
/// hot_temperature_c : quantity
///     Temperature of the static hot level [°C], 20 to 150; 90 where not given.
/// attitude : Attitude, optional
///     How the vehicle stands then; as the marks' reference where not given.
/// surge_deg : quantity
///     Tilt in any of four directions that surge adds to a run's attitude [deg], 0 to 45; none where not given.
/// start : State, optional
///     Where every draw starts, as in `predict`.
/// draws, seed : int
///     As in `predict`.
///
/// Returns
/// -------
/// Assessment
///     Probabilities, verdict, reasons, cautions.
///
/// Raises
/// ------
/// ServiceError
///     If the service cannot be carried out at nominal values.
/// EstimateError, QuantityError
///     If an option is out of range.
/// GeometryError
///     If the sump has no plan form and is asked about a tilt.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> bus = fm.Circuit.demo("shuttle-bus")
/// >>> over = fm.assess(bus, [fm.Pour(3.5), fm.Run(minutes=1), fm.Rest(minutes=15)], draws=500)
/// >>> over.verdict
/// 'do not start'
#[pyfunction]
#[pyo3(signature = (circuit, events, *, hot_temperature_c=None, attitude=None, surge_deg=None, start=None, draws=100_000, seed=1))]
#[allow(clippy::too_many_arguments)] // keyword-only in Python
pub(super) fn assess(
    py: Python<'_>,
    circuit: &Bound<'_, Circuit>,
    events: Events<'_>,
    hot_temperature_c: Option<Scalar<'_, DegreeCelsius>>,
    attitude: Option<PyRef<'_, Attitude>>,
    surge_deg: Option<Scalar<'_, Degree>>,
    start: Option<&Bound<'_, State>>,
    draws: i64,
    seed: i128,
) -> PyResult<Assessment> {
    let (draws, seed) = counts(draws, seed)?;
    let events = events.read("events")?;
    let asked = Asked::read(hot_temperature_c.as_ref(), attitude.as_deref(), surge_deg.as_ref())?;
    let made = asked.keywords(py)?;
    made.set_item("circuit", circuit)?;
    let wrapped = events.iter().map(|e| wrap(py, e.clone())).collect::<PyResult<Vec<_>>>()?;
    made.set_item("events", PyList::new(py, wrapped)?)?;
    if let Some(start) = start {
        made.set_item("start", start)?;
    }
    made.set_item("draws", draws)?;
    made.set_item("seed", seed)?;
    let from = start.map(|s| s.get().inner.clone());
    let core = circuit.get().inner.clone();
    let inner = run_interruptible(py, move |stop| {
        let mut options = asked.options();
        options.predict = options.predict.draws(draws).seed(seed);
        options.predict.start = from.as_ref();
        options.predict.stop = Some(stop);
        crate::estimate::assess(&core, &events, &options)
    })?;
    Ok(Assessment { inner, made: Made::Call(made.unbind()) })
}

/// What is asked of an assessment besides the draws.
pub(super) struct Asked {
    hot_c: f64,
    attitude: Option<crate::geometry::Attitude>,
    surge_deg: f64,
}

impl Asked {
    pub(super) fn read(
        hot: Option<&Scalar<'_, DegreeCelsius>>,
        attitude: Option<&Attitude>,
        surge: Option<&Scalar<'_, Degree>>,
    ) -> PyResult<Self> {
        let hot_c = hot.map_or(Ok(90.0), |t| t.number("hot_temperature_c"))?;
        let surge_deg = surge.map_or(Ok(0.0), |t| t.number("surge_deg"))?;
        Ok(Self { hot_c, attitude: attitude.map(|a| a.inner), surge_deg })
    }

    fn options<'a>(&self) -> AssessOptions<'a> {
        let mut options = AssessOptions::default();
        (options.hot_c, options.attitude, options.surge_deg) = (self.hot_c, self.attitude, self.surge_deg);
        options
    }

    fn keywords<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let made = PyDict::new(py);
        made.set_item("hot_temperature_c", self.hot_c)?;
        made.set_item("attitude", self.attitude.map(|inner| Attitude { inner }))?;
        made.set_item("surge_deg", self.surge_deg)?;
        Ok(made)
    }
}

/// How an assessment was made.
enum Made {
    Call(Py<PyDict>),
    OfLine(Py<Timeline>, Py<PyDict>),
}

/// What a service leaves behind, judged. Made by `assess` or `Timeline.assess`; prints as a page.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct Assessment {
    inner: Core,
    made: Made,
}

impl PartialEq for Assessment {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner
    }
}

impl Assessment {
    /// The assessment of a timeline's end.
    pub(super) fn of_line(line: &Bound<'_, Timeline>, asked: &Asked) -> PyResult<Self> {
        let inner = crate::estimate::assess_line(line.get().core(), &asked.options()).map_err(errors::to_py)?;
        Ok(Self { inner, made: Made::OfLine(line.clone().unbind(), asked.keywords(line.py())?.unbind()) })
    }

    fn bands(&self) -> impl Iterator<Item = (&'static str, f64)> {
        Band::ALL.into_iter().map(|b| (b.name(), self.inner.probability(b)))
    }
}

fn millimetres(clearance: Option<&Clearance>) -> Option<Draws> {
    clearance.map(|c| Draws::scaled(&c.distance, 1e3))
}

#[pymethods]
impl Assessment {
    /// Short verdict: ``"do not start"``, ``"do not run"``, ``"correct"``, ``"add oil"``, ``"read again"`` or ``"within"``.
    #[getter]
    fn verdict(&self) -> &'static str {
        self.inner.verdict().name()
    }

    /// The verdict in words. It never tells anyone to start.
    #[getter]
    fn words(&self) -> &'static str {
        self.inner.verdict().words()
    }

    /// What the verdict rests on, and what is unknown.
    #[getter]
    fn reasons(&self) -> Vec<String> {
        self.inner.reasons().to_vec()
    }

    /// Cautions that apply, each with why.
    #[getter]
    fn cautions(&self) -> Vec<(&'static str, String)> {
        self.inner.cautions().iter().map(|c| (c.text, c.why.clone())).collect()
    }

    /// True level, drained back, in the reference condition: 0 at MIN, 1 at MAX.
    #[getter]
    fn spans(&self) -> Draws {
        Draws::scaled(self.inner.spans(), 1.0)
    }

    /// What share of the variance of `spans` rests on judgement inputs, 0 to 1; 0 of a timeline, in which nothing varies.
    #[getter]
    fn judgement_share(&self) -> f64 {
        self.inner.judgement_share()
    }

    /// Probability of every band.
    #[getter]
    fn probabilities<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let bands = PyDict::new(py);
        for (name, p) in self.bands() {
            bands.set_item(name, p)?;
        }
        Ok(bands)
    }

    /// Probability of ending over MAX.
    #[getter]
    fn probability_over_max(&self) -> f64 {
        self.inner.probability_over_max()
    }

    /// From the static hot level up to the crank's path [mm]; None where the circuit does not state ``[crank]``.
    #[getter]
    fn crank_gap_mm(&self) -> Option<Draws> {
        millimetres(self.inner.crank_gap())
    }

    /// Probability that the static hot level reaches the crank's path; None where that is unknown.
    #[getter]
    fn probability_crank_reached(&self) -> Option<f64> {
        self.inner.crank_gap().map(|c| c.used_up)
    }

    /// Depth of the pickup right after a run less ``pickup.margin``, the least of all runs [mm].
    ///
    /// None where the circuit does not state ``[pickup]`` or the engine does not run.
    #[getter]
    fn pickup_spare_mm(&self) -> Option<Draws> {
        millimetres(self.inner.pickup())
    }

    /// Probability that the pickup lacks its depth right after a run; None where that is unknown.
    #[getter]
    fn probability_pickup_uncovered(&self) -> Option<f64> {
        self.inner.pickup().map(|c| c.used_up)
    }

    /// Number of draws; 1 for a timeline.
    #[getter]
    fn draws(&self) -> usize {
        self.inner.draws()
    }

    /// One entry per draw.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``spans``, and where they are known ``crank_gap_mm`` and ``pickup_spare_mm``.
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let columns = PyDict::new(py);
        columns.set_item("spans", Column(self.inner.spans().values().to_vec()))?;
        for (name, clearance) in [("crank_gap_mm", self.inner.crank_gap()), ("pickup_spare_mm", self.inner.pickup())] {
            if let Some(c) = clearance {
                let values: Vec<f64> = c.distance.values().iter().map(|d| d * 1e3).collect();
                columns.set_item(name, values.array(py)?)?;
            }
        }
        Ok(columns)
    }

    /// All of it but the draws, as plain data.
    ///
    /// Returns
    /// -------
    /// dict
    ///     ``json.dumps`` takes it.
    fn to_dict<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let all = PyDict::new(py);
        all.set_item("circuit", self.inner.circuit().name())?;
        all.set_item("draws", self.draws())?;
        all.set_item("seed", self.inner.seed())?;
        all.set_item("verdict", self.verdict())?;
        all.set_item("words", self.words())?;
        all.set_item("reasons", self.reasons())?;
        all.set_item("probabilities", self.probabilities(py)?)?;
        all.set_item("probability_over_max", self.probability_over_max())?;
        all.set_item("hot_temperature_c", self.inner.hot_c())?;
        all.set_item("surge_deg", self.inner.surge_deg())?;
        all.set_item("spans", summary(py, self.inner.spans(), 1.0)?)?;
        for (name, clearance) in [("crank_gap_mm", self.inner.crank_gap()), ("pickup_spare_mm", self.inner.pickup())] {
            all.set_item(name, clearance.map(|c| summary(py, &c.distance, 1e3)).transpose()?)?;
        }
        all.set_item("probability_crank_reached", self.probability_crank_reached())?;
        all.set_item("probability_pickup_uncovered", self.probability_pickup_uncovered())?;
        let cautions = self.inner.cautions().iter().map(|c| {
            let one = PyDict::new(py);
            one.set_item("text", c.text)?;
            one.set_item("why", &c.why)?;
            Ok(one)
        });
        all.set_item("cautions", cautions.collect::<PyResult<Vec<_>>>()?)?;
        Ok(all)
    }

    fn __str__(&self) -> String {
        self.inner.to_string()
    }

    fn __repr__(&self) -> String {
        let over = self.probability_over_max() * 1e2;
        format!("<assessment of {}: {}, over MAX in {over:.1} % of draws>", self.inner.circuit().name(), self.verdict())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        match &self.made {
            Made::Call(keywords) => reduce_call(py, "assess", keywords.bind(py).copy()?),
            Made::OfLine(line, keywords) => reduce_method(py, line.bind(py), "assess", keywords.bind(py).copy()?),
        }
    }
}
