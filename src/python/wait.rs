//! How long to wait before reading, for Python.

use std::fmt::Write;

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyList, PyTuple};

use super::arrays::{Field, add_columns};
use super::circuit::Circuit;
use super::detach::run_reporting;
use super::estimate::{Draws, counts};
use super::events::{Events, wrap};
use super::model::Progress;
use super::quantity::Scalar;
use super::rebuild::reduce_call;
use super::unit::{Millimetre, Second};
use crate::estimate::{WaitAdvice as CoreWaitAdvice, WaitOptions, Waited};

/// Says how long to wait before reading: until what still drains back is less than the stick shows.
///
/// On its way back are the pools and films of the stores, what a leaking filter lets go and what hangs on the filler path, by the
/// laws of a rest: thicker as it cools, where the circuit cools. All of it together must raise the reading, at the attitude in
/// which the vehicle waits, by less than the stick shows.
///
/// Parameters
/// ----------
/// circuit : Circuit
///     What is served.
/// events : sequence of Event
///     What was done up to the beginning of the wait, such as a `Run`; no plug may be left open.
/// shows_mm : quantity, optional
///     What the stick shows [mm], 0.01 to 100 mm; where it is not stated the scatter of one reading, ``dipstick.scatter``.
/// longest_seconds : quantity
///     No longer wait is looked for [s], 1 s to 30 days.
/// draws : int
///     Draws over which the wait is taken, 2 to 100 million.
/// seed : int
///     Seed of every stream, 0 to 2**64 - 1.
/// progress : callable, optional
///     Is called with the number of draws done and the number asked for.
///
/// Returns
/// -------
/// WaitAdvice
///     The wait at nominal values and over all draws; prints as a page.
///
/// Raises
/// ------
/// EstimateError
///     If the stick shows nothing stated, a plug is left open, or an option is out of range.
/// ServiceError
///     If the service cannot be carried out at nominal values.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> bus = fm.Circuit.demo("shuttle-bus")
/// >>> advice = fm.wait_advice(bus, [fm.Run(minutes=1)], draws=200)
/// >>> 60 < advice.seconds < 3600
/// True
#[pyfunction]
#[pyo3(signature = (circuit, events, *, shows_mm=None, longest_seconds=None, draws=2000, seed=1, progress=None))]
#[allow(clippy::too_many_arguments)] // keyword-only in Python
pub(super) fn wait_advice(
    py: Python<'_>,
    circuit: &Bound<'_, Circuit>,
    events: Events<'_>,
    shows_mm: Option<Scalar<'_, Millimetre>>,
    longest_seconds: Option<Scalar<'_, Second>>,
    draws: i64,
    seed: i128,
    progress: Option<Progress<'_>>,
) -> PyResult<WaitAdvice> {
    let (draws, seed) = counts(draws, seed)?;
    let events = events.read("events")?;
    let shows = shows_mm.map(|shows| shows.si("shows_mm")).transpose()?;
    let longest = longest_seconds.map(|longest| longest.si("longest_seconds")).transpose()?;
    let made = PyDict::new(py);
    made.set_item("circuit", circuit)?;
    let wrapped = events.iter().map(|e| wrap(py, e.clone())).collect::<PyResult<Vec<_>>>()?;
    made.set_item("events", PyList::new(py, wrapped)?)?;
    made.set_item("shows_mm", shows.map(|shows| shows * 1e3))?;
    made.set_item("longest_seconds", longest)?;
    made.set_item("draws", draws)?;
    made.set_item("seed", seed)?;
    let core = circuit.get().inner.clone();
    let name = core.name().to_owned();
    let inner = run_reporting(py, progress.as_ref().map(|p| &p.0), move |stop, report| {
        let mut options = WaitOptions::default();
        (options.shows, options.longest) = (shows, longest.unwrap_or(options.longest));
        (options.draws, options.seed) = (draws, seed);
        (options.stop, options.progress) = (Some(stop), Some(report));
        crate::estimate::wait_advice(&core, &events, &options)
    })?;
    Ok(WaitAdvice { inner, name, made: made.unbind() })
}

/// How long to wait before reading. Made by `wait_advice`; prints as a page.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct WaitAdvice {
    inner: CoreWaitAdvice,
    name: String,
    /// The keywords it was made with.
    made: Py<PyDict>,
}

impl PartialEq for WaitAdvice {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner
    }
}

#[pymethods]
impl WaitAdvice {
    /// The wait with every input at its nominal value [s]; None where the longest is too short.
    #[getter]
    fn seconds(&self) -> Option<f64> {
        self.inner.nominal
    }

    /// The wait over all draws [s]; the longest in draws in which that is too short.
    #[getter]
    fn wait_seconds(&self) -> Draws {
        Draws::of(&self.inner.wait)
    }

    /// Share of the draws in which the longest wait is too short.
    #[getter]
    fn beyond_longest(&self) -> f64 {
        self.inner.beyond
    }

    /// What the stick shows [mm].
    #[getter]
    fn shows_mm(&self) -> f64 {
        self.inner.shows * 1e3
    }

    /// By how much the reading would still rise after the wait of the marks' own condition, which the marks allow for [mm].
    #[getter]
    fn left_after_reference_wait_mm(&self) -> f64 {
        self.inner.reference.on_stick * 1e3
    }

    /// Some waits at nominal values.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``seconds``, ``returning_l`` (still on its way back), ``on_stick_mm`` (by which it would raise the reading) and
    ///     ``sump_c``.
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let columns = PyDict::new(py);
        let fields: [Field<Waited>; 4] = [
            ("seconds", |w| w.wait),
            ("returning_l", |w| w.returning * 1e3),
            ("on_stick_mm", |w| w.on_stick * 1e3),
            ("sump_c", |w| w.sump_c),
        ];
        add_columns(&columns, &self.inner.rows, &fields)?;
        Ok(columns)
    }

    fn __str__(&self) -> String {
        let a = &self.inner;
        let minutes = |seconds: f64| format!("{:.0} min", (seconds / 60.0).ceil());
        let wait = a.nominal.map_or_else(|| format!("more than {}", minutes(a.longest)), minutes);
        let mut text = format!("Wait before reading {}: {wait} at nominal values\n", self.name);
        let late = a.wait.quantile(0.95);
        let late = if late >= a.longest { format!("more than {}", minutes(a.longest)) } else { minutes(late) };
        let _ = writeln!(text, "  in 95 % of draws {late} are enough, if the stated uncertainties are right");
        let _ = writeln!(
            text,
            "  what still drains back is then less than the {:.1} mm that the stick shows",
            a.shows * 1e3
        );
        let _ = match a.cooling {
            Some((time, ambient)) => writeln!(
                text,
                "  it cools meanwhile towards {ambient:.0} degC with a time constant of {:.0} min, and drains more slowly",
                time / 60.0
            ),
            None => writeln!(text, "  nothing cools: the circuit states no cooling; where it does cool, wait longer"),
        };
        let left = a.reference;
        let to_come = left.on_stick * 1e3;
        let _ = if a.condition.is_running() {
            writeln!(
                text,
                "  but the marks hold with the engine running: read it so, at idle, {}, keeping clear of moving and hot parts, and only \
                 where it may be started\n  stopped and after such a wait it reads {to_come:.1} mm higher than they mean",
                a.condition.stick
            )
        } else {
            writeln!(
                text,
                "  after the {} of the marks' own condition {to_come:.1} mm are still to come, which the marks allow for ({})",
                minutes(left.wait),
                a.condition.stick
            )
        };
        let _ = write!(text, "  {:>10}  {:>12}  {:>10}  {:>8}", "wait", "to come", "on stick", "sump");
        for row in &a.rows {
            let _ = write!(
                text,
                "\n  {:>6.1} min  {:>9.0} mL  {:>7.2} mm  {:>3.0} degC",
                row.wait / 60.0,
                row.returning * 1e6,
                row.on_stick * 1e3,
                row.sump_c
            );
        }
        text
    }

    fn __repr__(&self) -> String {
        let wait = self
            .inner
            .nominal
            .map_or_else(|| format!("more than {:.0} s", self.inner.longest), |wait| format!("{wait:.0} s"));
        format!("<wait before reading {}: {wait}>", self.name)
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        reduce_call(py, "wait_advice", self.made.bind(py).copy()?)
    }
}
