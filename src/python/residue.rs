//! Residue and old oil for Python.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyList, PyTuple};

use super::arrays::{Column, ToArray, texts};
use super::circuit::Circuit;
use super::detach::run_detached;
use super::errors;
use super::events::{Events, wrap};
use super::rebuild::{reduce_call, reduce_method};
use super::service::Timeline;
use crate::service::{Event as CoreEvent, OldOil as CoreOldOil, Part, Residue as CoreResidue, ServiceError};

/// What a drain leaves in the circuit, and what it nominally leaves. Made by `Timeline.residue`; prints as a table.
///
/// Volumes are at the reference temperature, so that they compare with the service sheet.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct Residue {
    inner: CoreResidue,
    line: Py<Timeline>,
}

impl PartialEq for Residue {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner
    }
}

impl Residue {
    /// What a timeline holds after a row; one below 0 counts from the end.
    pub(super) fn new(line: &Bound<'_, Timeline>, row: Option<i64>) -> PyResult<Self> {
        let core = line.get().core();
        let rows = core.rows().len();
        let counted = |row: i64| {
            let from_start = if row < 0 { i64::try_from(rows).ok()?.checked_add(row)? } else { row };
            usize::try_from(from_start).ok()
        };
        let missing = |row: i64| errors::to_py(ServiceError::NoSuchRow { row, rows });
        let row = row.map(|row| counted(row).ok_or_else(|| missing(row))).transpose()?;
        let inner = core.residue(row).map_err(errors::to_py)?;
        Ok(Self { inner, line: line.clone().unbind() })
    }
}

#[pymethods]
impl Residue {
    /// Row of the timeline it is taken at.
    #[getter]
    fn row(&self) -> usize {
        self.inner.row
    }

    /// Whether the old filter stays on, and so belongs to it.
    #[getter]
    fn with_filter(&self) -> bool {
        self.inner.with_filter
    }

    /// All that stays [L].
    #[getter]
    fn total_l(&self) -> f64 {
        self.inner.volume_reference() * 1e3
    }

    /// All that stays [kg].
    #[getter]
    fn total_kg(&self) -> f64 {
        self.inner.mass()
    }

    /// In the sump, where the drain does not reach [L].
    #[getter]
    fn heel_l(&self) -> f64 {
        self.inner.part(Part::Heel) * 1e3
    }

    /// On walls of stores and of the filler path [L].
    #[getter]
    fn film_l(&self) -> f64 {
        self.inner.part(Part::Film) * 1e3
    }

    /// In stores, for good [L].
    #[getter]
    fn kept_l(&self) -> f64 {
        self.inner.part(Part::Kept) * 1e3
    }

    /// In stores, not yet back [L].
    #[getter]
    fn pool_l(&self) -> f64 {
        self.inner.part(Part::Pool) * 1e3
    }

    /// In the filter that was not changed [L].
    #[getter]
    fn filter_l(&self) -> f64 {
        self.inner.part(Part::Filter) * 1e3
    }

    /// Nominal residue by the book: dry less service capacity, else ``book.residue`` [L]; None where the book says neither.
    #[getter]
    fn nominal_by_book_l(&self) -> Option<f64> {
        self.inner.nominal.by_book.map(|v| v * 1e3)
    }

    /// Nominal residue by the drawing [L]: the volume at MAX with filter and stores, less the service capacity; None without one.
    #[getter]
    fn nominal_by_geometry_l(&self) -> Option<f64> {
        self.inner.nominal.by_geometry.map(|v| v * 1e3)
    }

    /// Residue less the nominal one [L], by the book where it says, else by the drawing; None where neither does.
    ///
    /// Above zero this drain was the worse one, and the service capacity overfills by as much.
    #[getter]
    fn beyond_nominal_l(&self) -> Option<f64> {
        self.inner.beyond_nominal().map(|v| v * 1e3)
    }

    /// One entry per place that holds something.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``place``, ``part`` (``heel``, ``film``, ``kept``, ``pool`` or ``filter``), ``kg``, ``volume_l`` at the place's own temperature,
    ///     ``reference_l`` at the reference temperature.
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let all = &self.inner.places;
        let columns = PyDict::new(py);
        columns.set_item("place", texts(py, all.iter().map(|p| p.place.as_str()).collect())?)?;
        columns.set_item("part", texts(py, all.iter().map(|p| p.part.word()).collect())?)?;
        columns.set_item("kg", all.iter().map(|p| p.mass).collect::<Vec<_>>().array(py)?)?;
        columns.set_item("volume_l", all.iter().map(|p| p.volume * 1e3).collect::<Vec<_>>().array(py)?)?;
        let reference = all.iter().map(|p| p.volume_reference * 1e3).collect::<Vec<_>>();
        columns.set_item("reference_l", reference.array(py)?)?;
        Ok(columns)
    }

    fn __str__(&self) -> String {
        let mut lines = vec![format!("residue {:.3} L ({:.3} kg)", self.total_l(), self.total_kg())];
        lines.extend(
            self.inner
                .places
                .iter()
                .map(|p| format!("  {:<24} {:<7} {:>8.3} L", p.place, p.part.word(), p.volume_reference * 1e3)),
        );
        let told = |v: Option<f64>| v.map_or_else(|| "not stated".to_string(), |l| format!("{l:.3} L"));
        let (book, drawing) = (told(self.nominal_by_book_l()), told(self.nominal_by_geometry_l()));
        lines.push(format!("nominal, by the book {book}, by the drawing {drawing}"));
        lines.extend(self.beyond_nominal_l().map(|beyond| format!("beyond the nominal one {beyond:+.3} L")));
        lines.join("\n") + "\n"
    }

    fn __repr__(&self) -> String {
        format!("<residue {:.3} L after row {}>", self.total_l(), self.inner.row)
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let keywords = PyDict::new(py);
        keywords.set_item("row", self.inner.row)?;
        reduce_method(py, self.line.bind(py), "residue", keywords)
    }
}

/// How much old oil is left after several equal services.
///
/// The same service is carried out again and again, each time from the state in which the last one ended. It must end with all plugs
/// closed and the filter fitted.
///
/// Parameters
/// ----------
/// circuit : Circuit
///     What is served.
/// events : sequence of Event
///     One service, from drain to run.
/// changes : int
///     How often, 1 to 1000.
///
/// Returns
/// -------
/// OldOil
///     Shares of old oil after every change.
///
/// Raises
/// ------
/// ServiceError
///     If the service cannot be carried out.
/// QuantityError
///     If `changes` is out of range.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> bus = fm.Circuit.demo("shuttle-bus")
/// >>> change = [fm.Drain(minutes=10, temperature_c=60), fm.ChangeFilter(), fm.Pour(7.2), fm.Run(minutes=10), fm.Rest(minutes=15)]
/// >>> left = fm.old_oil(bus, change, changes=4)
/// >>> left.changes_below(0.01)
/// 2
#[pyfunction]
#[pyo3(signature = (circuit, events, *, changes=10))]
pub(super) fn old_oil(
    py: Python<'_>,
    circuit: &Bound<'_, Circuit>,
    events: Events<'_>,
    changes: i64,
) -> PyResult<OldOil> {
    let events = events.read("events")?;
    #[allow(clippy::cast_precision_loss)] // only words the message
    let count = usize::try_from(changes).map_err(|_| {
        errors::to_py(crate::units::QuantityError::OutOfRange {
            what: "changes".into(),
            value: changes as f64,
            low: 1.0,
            high: 1000.0,
            unit: String::new(),
        })
    })?;
    let (core, copy) = (circuit.get().inner.clone(), events.clone());
    let rows = run_detached(py, move || crate::service::old_oil(&core, &copy, count))?;
    Ok(OldOil { rows, circuit: circuit.clone().unbind(), events })
}

/// Shares of old oil after every change. Made by `old_oil`.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct OldOil {
    rows: Vec<CoreOldOil>,
    circuit: Py<Circuit>,
    events: Vec<CoreEvent>,
}

impl PartialEq for OldOil {
    fn eq(&self, other: &Self) -> bool {
        self.rows == other.rows && self.events == other.events
    }
}

#[pymethods]
impl OldOil {
    /// After how many changes the original oil makes up less than a share.
    ///
    /// Parameters
    /// ----------
    /// share : float
    ///     By mass, such as 0.01 for 1 %.
    ///
    /// Returns
    /// -------
    /// int or None
    ///     None where all the changes carried out do not suffice.
    #[pyo3(signature = (share=0.01))]
    fn changes_below(&self, share: f64) -> PyResult<Option<usize>> {
        let share = crate::numeric::check::in_range("share", share, 0.0, 1.0, "").map_err(errors::to_py)?;
        Ok(crate::service::changes_below(&self.rows, share))
    }

    /// One entry per change.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``change`` (1 the first); ``original_share``, by mass, of the oil from before the first change; ``previous_share`` of the oil from
    ///     before that change, its own fill being new; ``kg``, all that is in the circuit.
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let columns = PyDict::new(py);
        let change: Vec<i64> = self.rows.iter().map(|r| i64::try_from(r.change).unwrap_or(i64::MAX)).collect();
        columns.set_item("change", change.array(py)?)?;
        let column = |of: fn(&CoreOldOil) -> f64| Column(self.rows.iter().map(of).collect());
        columns.set_item("original_share", column(|r| r.original))?;
        columns.set_item("previous_share", column(|r| r.previous))?;
        columns.set_item("kg", column(|r| r.mass))?;
        Ok(columns)
    }

    fn __len__(&self) -> usize {
        self.rows.len()
    }

    fn __str__(&self) -> String {
        let mut lines = vec!["change   original oil   from before that change   in the circuit".to_string()];
        lines.extend(self.rows.iter().map(|r| {
            let [original, previous] = [r.original, r.previous].map(|share| share * 1e2);
            format!("{:>6} {original:>12.4} % {previous:>23.3} % {:>13.3} kg", r.change, r.mass)
        }));
        lines.join("\n") + "\n"
    }

    fn __repr__(&self) -> String {
        let last = self.rows.last().map_or(0.0, |r| r.original);
        format!("<old oil after {} changes: {:.4} % of the original>", self.rows.len(), last * 1e2)
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let keywords = PyDict::new(py);
        keywords.set_item("circuit", self.circuit.clone_ref(py))?;
        let events = self.events.iter().map(|e| wrap(py, e.clone())).collect::<PyResult<Vec<_>>>()?;
        keywords.set_item("events", PyList::new(py, events)?)?;
        keywords.set_item("changes", self.rows.len())?;
        reduce_call(py, "old_oil", keywords)
    }
}
