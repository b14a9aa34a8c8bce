//! Simulation for Python: timelines, rows, states, readings, the ledger.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyList, PyTuple};

use super::arrays::{Column, ToArray, texts};
use super::assess::{Asked, Assessment};
use super::circuit::Circuit;
use super::detach::run_detached;
use super::errors;
use super::events::{Events, wrap};
use super::geometry::Attitude;
use super::quantity::Scalar;
use super::rebuild::{reduce, reduce_call, reduce_part};
use super::residue::Residue;
use super::row_pool::RowPool;
use super::unit::{Degree, DegreeCelsius};
use crate::service::{
    COMPONENTS, Contents, Event, State as CoreState, TakenReading, Timeline as Core, Wetting,
    simulate as core_simulate, simulate_from as core_simulate_from,
};

/// Carries a service out once, every input at its nominal value.
///
/// Parameters
/// ----------
/// circuit : Circuit
///     What is served.
/// events : Service or sequence of Event
///     What is done, in order.
/// start : State, optional
///     A state of this circuit, such as that of an earlier timeline's last row, plugs closed and filter fitted; at MAX in the
///     reference condition, all old oil, where not stated.
///
/// Returns
/// -------
/// Timeline
///     The state after every event, the readings and the ledger.
///
/// Raises
/// ------
/// ServiceError
///     If an event cannot be carried out in this order or amount, which the message names; or if the start is no state of this
///     circuit.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> bus = fm.Circuit.demo("shuttle-bus")
/// >>> line = fm.simulate(bus, [fm.Drain(minutes=10), fm.Pour(6.5), fm.Read(label="dip")])
/// >>> 0.0 < line.reading("dip").fraction < 1.0
/// True
/// >>> later = fm.simulate(bus, [fm.Rest(hours=12), fm.Read(label="next day")], start=line.rows[-1].state)
/// >>> later.reading("next day").mm >= line.reading("dip").mm
/// True
#[pyfunction]
#[pyo3(signature = (circuit, events, *, start=None))]
pub(super) fn simulate(
    py: Python<'_>,
    circuit: &Bound<'_, Circuit>,
    events: Events<'_>,
    start: Option<&Bound<'_, State>>,
) -> PyResult<Timeline> {
    let events = events.read("events")?;
    let core = circuit.get().inner.clone();
    let from = start.map(|s| s.get().inner.clone());
    let inner = run_detached(py, move || match from {
        Some(from) => core_simulate_from(&core, &events, &from),
        None => core_simulate(&core, &events),
    })?;
    Ok(Timeline { inner, circuit: circuit.clone().unbind(), start: start.map(|s| s.clone().unbind()) })
}

/// What happened in a service, row by row. Made by `simulate`; prints as a table.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct Timeline {
    inner: Core,
    circuit: Py<Circuit>,
    start: Option<Py<State>>,
}

impl Timeline {
    /// The core's timeline.
    pub(super) fn core(&self) -> &Core {
        &self.inner
    }
}

impl PartialEq for Timeline {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner
    }
}

#[pymethods]
impl Timeline {
    /// The circuit served.
    #[getter]
    fn circuit(&self, py: Python<'_>) -> Py<Circuit> {
        self.circuit.clone_ref(py)
    }

    /// The events carried out.
    #[getter]
    fn events(&self, py: Python<'_>) -> PyResult<Vec<Py<super::events::Event>>> {
        self.inner.events().iter().map(|e| wrap(py, e.clone())).collect()
    }

    /// The start, then one row per event.
    #[getter]
    fn rows(slf: &Bound<'_, Self>) -> Vec<Row> {
        (0..slf.get().inner.rows().len()).map(|index| Row { line: slf.clone().unbind(), index }).collect()
    }

    /// The readings in order.
    #[getter]
    fn readings(slf: &Bound<'_, Self>) -> Vec<Reading> {
        (0..slf.get().inner.readings().len()).map(|index| Reading::of(slf, index)).collect()
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
    /// Reading
    ///     What the stick said.
    ///
    /// Raises
    /// ------
    /// ServiceError
    ///     If no reading, or more than one, carries the label.
    fn reading(slf: &Bound<'_, Self>, label: &str) -> PyResult<Reading> {
        let core = &slf.get().inner;
        let found = core.reading(label).map_err(errors::to_py)?;
        let index = core.readings().iter().position(|r| std::ptr::eq(r, found)).unwrap_or(0);
        Ok(Reading::of(slf, index))
    }

    /// Masses and volumes by row, place and component.
    #[getter]
    fn ledger(slf: &Bound<'_, Self>) -> Ledger {
        Ledger { line: slf.clone().unbind() }
    }

    /// Volume below MAX in the reference condition [L].
    #[getter]
    fn v_max_l(&self) -> f64 {
        self.inner.at_max_m3() * 1e3
    }

    /// Volume the sump would hold at the end, drained back, filter full, in the reference condition [L].
    ///
    /// Below zero the sump is dry, and filter and stores lack so much of what is theirs.
    #[getter]
    fn v_drained_l(&self) -> f64 {
        self.inner.drained_back_m3() * 1e3
    }

    /// What a drain leaves in the circuit, against the nominal residue that the service capacity contains.
    ///
    /// Parameters
    /// ----------
    /// row : int, optional
    ///     Row of the timeline, 0 the start, -1 the last; the one before the pour that follows the last drain where not given.
    ///
    /// Returns
    /// -------
    /// Residue
    ///     Heel, films, what stores keep or have not given back, and the filter unless it was changed or taken off.
    ///
    /// Raises
    /// ------
    /// ServiceError
    ///     If there is no such row.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> bus = fm.Circuit.demo("shuttle-bus")
    /// >>> left = fm.simulate(bus, [fm.Drain(minutes=10, temperature_c=60), fm.ChangeFilter()]).residue()
    /// >>> left.total_l > left.heel_l > 0.2
    /// True
    #[pyo3(signature = (row=None))]
    fn residue(slf: &Bound<'_, Self>, row: Option<i64>) -> PyResult<Residue> {
        Residue::new(slf, row)
    }

    /// What the end of this service means: level against the marks, gap to the crank, depth of the pickup.
    ///
    /// As `fillmark.assess`, with every input at its nominal value: every probability is 0 or 1.
    ///
    /// Parameters
    /// ----------
    /// hot_temperature_c : quantity
    ///     Temperature of the static hot level [°C], 20 to 150; 90 where not given.
    /// attitude : Attitude, optional
    ///     How the vehicle stands then; as the marks' reference where not given.
    /// surge_deg : quantity
    ///     Tilt in any of four directions that surge adds to a run's attitude [deg], 0 to 45; none where not given.
    ///
    /// Returns
    /// -------
    /// Assessment
    ///     Of one draw.
    ///
    /// Raises
    /// ------
    /// QuantityError
    ///     If an option is out of range.
    #[pyo3(signature = (*, hot_temperature_c=None, attitude=None, surge_deg=None))]
    fn assess(
        slf: &Bound<'_, Self>,
        hot_temperature_c: Option<Scalar<'_, DegreeCelsius>>,
        attitude: Option<PyRef<'_, Attitude>>,
        surge_deg: Option<Scalar<'_, Degree>>,
    ) -> PyResult<Assessment> {
        let asked = Asked::read(hot_temperature_c.as_ref(), attitude.as_deref(), surge_deg.as_ref())?;
        Assessment::of_line(slf, &asked)
    }

    /// One entry per row.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``event``, ``label``, ``level_mm``, ``sump_l``, ``circuit_l`` (everything in the circuit, each place at its temperature), and ``mm``, ``fraction`` of the reading (NaN where none).
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let rows = self.inner.rows();
        let events = self.inner.events();
        let name = |i: Option<usize>| i.map_or("start", |i| events[i].action.name());
        let label = |i: Option<usize>| i.and_then(|i| events[i].label.as_deref()).unwrap_or("");
        let taken = |i: Option<usize>| i.and_then(|i| self.inner.readings().iter().find(|r| r.event == i));
        let columns = PyDict::new(py);
        columns.set_item("event", texts(py, rows.iter().map(|r| name(r.event)).collect())?)?;
        columns.set_item("label", texts(py, rows.iter().map(|r| label(r.event)).collect())?)?;
        let numbers = |f: &dyn Fn(&crate::service::Row) -> f64| Column(rows.iter().map(f).collect());
        columns.set_item("level_mm", numbers(&|r| r.level_m * 1e3))?;
        columns.set_item("sump_l", numbers(&|r| r.volume_sump_m3 * 1e3))?;
        let all = (0..rows.len()).map(|row| self.inner.volume_in_circuit(row) * 1e3);
        columns.set_item("circuit_l", Column(all.collect()))?;
        columns.set_item("mm", numbers(&|r| taken(r.event).map_or(f64::NAN, |t| t.reading.s * 1e3)))?;
        columns.set_item("fraction", numbers(&|r| taken(r.event).map_or(f64::NAN, |t| t.reading.fraction)))?;
        Ok(columns)
    }

    fn __str__(&self) -> String {
        self.inner.to_string()
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        let events = PyList::new(py, self.events(py)?)?.repr()?;
        let start = match &self.start {
            Some(start) => format!(", start={}", start.bind(py).repr()?),
            None => String::new(),
        };
        Ok(format!("simulate({}, {events}{start})", self.circuit.bind(py).repr()?))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let keywords = PyDict::new(py);
        keywords.set_item("circuit", self.circuit(py))?;
        keywords.set_item("events", self.events(py)?)?;
        keywords.set_item("start", self.start.as_ref())?;
        reduce_call(py, "simulate", keywords)
    }
}

/// The state after one event of a timeline.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct Row {
    line: Py<Timeline>,
    index: usize,
}

impl PartialEq for Row {
    fn eq(&self, other: &Self) -> bool {
        self.row() == other.row()
    }
}

impl Row {
    fn core(&self) -> &Core {
        &self.line.get().inner
    }

    fn row(&self) -> &crate::service::Row {
        &self.core().rows()[self.index]
    }

    fn event_of(&self) -> Option<&Event> {
        self.row().event.map(|i| &self.core().events()[i])
    }
}

#[pymethods]
impl Row {
    /// What was done; None for the start.
    #[getter]
    fn event(&self, py: Python<'_>) -> PyResult<Option<Py<super::events::Event>>> {
        self.event_of().map(|e| wrap(py, e.clone())).transpose()
    }

    /// Level of the sump above its lowest point at the attitude of the event [mm].
    #[getter]
    fn level_mm(&self) -> f64 {
        self.row().level_m * 1e3
    }

    /// Volume in the sump at its own temperature [L].
    #[getter]
    fn sump_l(&self) -> f64 {
        self.row().volume_sump_m3 * 1e3
    }

    /// The pools of the sump, largest first, where it may hold several at the attitudes of this service; else empty.
    #[getter]
    fn pools(slf: &Bound<'_, Self>) -> Vec<RowPool> {
        RowPool::all(slf, &slf.get().row().pools)
    }

    /// Where everything is.
    #[getter]
    fn state(&self) -> PyResult<State> {
        let inner = self.core().state(self.index).ok_or_else(|| errors::internal("a row without a state"))?;
        Ok(State { inner })
    }

    fn __repr__(&self) -> String {
        let name = self.event_of().map_or("start", |e| e.action.name());
        format!("<row {}: {name}, {:.2} mm, {:.3} L in the sump>", self.index, self.level_mm(), self.sump_l())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        reduce_part(py, self.line.bind(py), "rows", Some(self.index))
    }
}

/// Where the liquid is: masses, temperature and age of every place. `simulate` may start from it.
///
/// Parameters
/// ----------
/// json : str
///     As `to_json` gives it.
///
/// Raises
/// ------
/// CircuitError
///     If the text is no state, with the line, the key and the nearest known key.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> line = fm.simulate(fm.Circuit.demo("shuttle-bus"), [fm.Drain(minutes=10)])
/// >>> kept = line.rows[-1].state.to_json()
/// >>> fm.State(kept) == line.rows[-1].state
/// True
#[pyclass(frozen, eq, module = "fillmark")]
#[derive(PartialEq)]
pub(super) struct State {
    pub(super) inner: CoreState,
}

#[pymethods]
impl State {
    #[new]
    fn new(json: &str) -> PyResult<Self> {
        crate::circuit::read_text(json).map(|inner| Self { inner }).map_err(errors::to_py)
    }

    /// Path of every place, such as ``sump`` or ``stores.head.pool``.
    #[getter]
    fn places(&self) -> Vec<String> {
        self.inner.places.to_vec()
    }

    /// One entry per place.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``place``; ``old_oil_kg``, ``new_oil_kg``, ``fuel_kg``, ``coolant_kg``, ``water_kg``; ``temperature_c``; ``age``
    ///     (of a film, in units of its time scale).
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let columns = PyDict::new(py);
        columns.set_item("place", texts(py, self.inner.places.iter().map(String::as_str).collect())?)?;
        let all = &self.inner.contents;
        for (c, component) in COMPONENTS.iter().enumerate() {
            columns.set_item(format!("{component}_kg"), numbers(all, |p| p.mass[c]))?;
        }
        columns.set_item("temperature_c", numbers(all, |p| p.temperature_c))?;
        columns.set_item("age", numbers(all, |p| p.age))?;
        Ok(columns)
    }

    /// The state as JSON text.
    ///
    /// Returns
    /// -------
    /// str
    ///     ``State(text)`` reads it back.
    fn to_json(&self) -> PyResult<String> {
        serde_json::to_string(&self.inner).map_err(|e| errors::internal(&e.to_string()))
    }

    fn __repr__(&self) -> PyResult<String> {
        Ok(format!("State({:?})", self.to_json()?))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let keywords = PyDict::new(py);
        keywords.set_item("json", self.to_json()?)?;
        reduce::<Self>(py, "", keywords)
    }
}

fn numbers(all: &[Contents], of: impl Fn(&Contents) -> f64) -> Column {
    Column(all.iter().map(of).collect())
}

/// One reading of the stick.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct Reading {
    line: Py<Timeline>,
    index: usize,
    inner: TakenReading,
}

impl PartialEq for Reading {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner
    }
}

impl Reading {
    fn of(line: &Bound<'_, Timeline>, index: usize) -> Self {
        let inner = line.get().inner.readings()[index].clone();
        Self { line: line.clone().unbind(), index, inner }
    }
}

/// A flagged reading in the words of the trade; `None` for an ordinary one.
fn flag(wetting: Wetting) -> Option<&'static str> {
    match wetting {
        Wetting::OnBlade => None,
        Wetting::BelowTip => Some("below tip"),
        Wetting::AboveBlade => Some("above blade"),
    }
}

#[pymethods]
impl Reading {
    /// Label of the `Read` event, if any.
    #[getter]
    fn label(&self) -> Option<&str> {
        self.inner.label.as_deref()
    }

    /// Distance from the tip along the blade [mm].
    #[getter]
    fn mm(&self) -> f64 {
        self.inner.reading.s * 1e3
    }

    /// 0 at MIN, 1 at MAX.
    #[getter]
    fn fraction(&self) -> f64 {
        self.inner.reading.fraction
    }

    /// Volume from MAX at the attitude of the reading [L]; negative below MAX.
    #[getter]
    fn litres_from_max(&self) -> f64 {
        self.inner.reading.from_max * 1e3
    }

    /// ``"below tip"`` (a dry stick), ``"above blade"``, or None.
    #[getter]
    fn flag(&self) -> Option<&'static str> {
        flag(self.inner.reading.wetting)
    }

    /// Whether liquid lies in the sump that the stick does not see, apart from the pool its tip stands in.
    #[getter]
    fn apart(&self) -> bool {
        self.inner.reading.apart
    }

    fn __repr__(&self) -> String {
        let label = self.label().map_or_else(String::new, |l| format!(" {l:?}"));
        let flag = self.flag().map_or_else(String::new, |f| format!(", {f}"));
        let apart = if self.apart() { ", more liquid lies apart" } else { "" };
        format!(
            "<reading{label}: {:.1} mm, {:.2} of the span, {:+.2} L from MAX{flag}{apart}>",
            self.mm(),
            self.fraction(),
            self.litres_from_max()
        )
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        reduce_part(py, self.line.bind(py), "readings", Some(self.index))
    }
}

/// Who holds what: masses and volumes by row, place and component. Nothing in it is computed by difference.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct Ledger {
    line: Py<Timeline>,
}

impl PartialEq for Ledger {
    fn eq(&self, other: &Self) -> bool {
        self.core().rows() == other.core().rows()
    }
}

impl Ledger {
    fn core(&self) -> &Core {
        &self.line.get().inner
    }
}

#[pymethods]
impl Ledger {
    /// Mass drained or withdrawn: what the catch pan gained [kg].
    #[getter]
    fn drained_kg(&self) -> f64 {
        self.core().ledger().balance().drained.iter().sum()
    }

    /// Mass of new oil poured, and put into filters beforehand [kg].
    #[getter]
    fn poured_kg(&self) -> f64 {
        self.core().ledger().balance().poured.iter().sum()
    }

    /// What came out against what went in over the whole service, by component.
    ///
    /// A drained mass short of the poured one points to a poor drain of that day.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``component``; ``drained_kg``, ``old_filter_kg`` (went away inside filters), ``floor_kg``, ``poured_kg``, ``difference_kg`` (poured less
    ///     drained less old filter).
    fn balance<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let balance = self.core().ledger().balance();
        let columns = PyDict::new(py);
        columns.set_item("component", texts(py, COMPONENTS.to_vec())?)?;
        for (name, masses) in [
            ("drained_kg", balance.drained),
            ("old_filter_kg", balance.old_filter),
            ("floor_kg", balance.floor),
            ("poured_kg", balance.poured),
            ("difference_kg", balance.difference()),
        ] {
            columns.set_item(name, masses.to_vec().array(py)?)?;
        }
        Ok(columns)
    }

    /// The largest imbalance over all rows and components, as a share of all that was ever in.
    #[getter]
    fn imbalance(&self) -> f64 {
        self.core().ledger().imbalance()
    }

    /// One entry per row and place.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``row`` (0 the start), ``event``, ``place``; ``old_oil_kg`` to ``water_kg``; ``old_oil_l`` to ``water_l`` at the place's temperature,
    ///     ``old_oil_15c_l`` to ``water_15c_l`` at 15 °C; ``temperature_c``; ``volume_l`` at that temperature and ``volume_15c_l``.
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let entries: Vec<_> = self.core().ledger().entries().collect();
        let events = self.core().events();
        let rows = self.core().rows();
        let name = |row: usize| rows[row].event.map_or("start", |i| events[i].action.name());
        let columns = PyDict::new(py);
        let index: Vec<i64> = entries.iter().map(|e| i64::try_from(e.row).unwrap_or(i64::MAX)).collect();
        columns.set_item("row", index.array(py)?)?;
        columns.set_item("event", texts(py, entries.iter().map(|e| name(e.row)).collect())?)?;
        columns.set_item("place", texts(py, entries.iter().map(|e| e.place).collect())?)?;
        for (c, component) in COMPONENTS.iter().enumerate() {
            let masses: Vec<f64> = entries.iter().map(|e| e.mass[c]).collect();
            columns.set_item(format!("{component}_kg"), masses.array(py)?)?;
            let volumes: Vec<f64> = entries.iter().map(|e| e.volumes_m3[c] * 1e3).collect();
            columns.set_item(format!("{component}_l"), volumes.array(py)?)?;
            let volumes: Vec<f64> = entries.iter().map(|e| e.volumes_15c_m3[c] * 1e3).collect();
            columns.set_item(format!("{component}_15c_l"), volumes.array(py)?)?;
        }
        let column = |f: &dyn Fn(&crate::service::Entry<'_>) -> f64| Column(entries.iter().map(f).collect());
        columns.set_item("temperature_c", column(&|e| e.temperature_c))?;
        columns.set_item("volume_l", column(&|e| e.volume_m3 * 1e3))?;
        columns.set_item("volume_15c_l", column(&|e| e.volume_15c_m3 * 1e3))?;
        Ok(columns)
    }

    fn __str__(&self) -> String {
        self.core().ledger().to_string()
    }

    fn __repr__(&self) -> String {
        format!("<ledger of {} rows, imbalance {:.1e} of the charge>", self.core().rows().len(), self.imbalance())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        reduce_part(py, self.line.bind(py), "ledger", None)
    }
}
