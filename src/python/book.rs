//! Book figures for Python: from a service sheet to a circuit, and from a circuit back to its sheet.

use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyString, PyTuple};
use uom::si::f64::{Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::arrays::{Column, ToArray, texts};
use super::circuit::{Circuit, quoted};
use super::detach::run_interruptible;
use super::errors;
use super::estimate::counts;
use super::quantity::{Scalar, shown};
use super::rebuild::reduce_call;
use super::unit::{DegreeCelsius, Litre, Millimetre, Minute, Unit};
use crate::circuit::Book;
use crate::circuit::spec::StoreKind;
use crate::estimate::{Closing, Compared, ReconcileOptions, Reconciliation as Core};
use crate::numeric::check;
use crate::units::Value;

/// The figures of a service sheet as Python gives them.
pub(super) struct Sheet<'py> {
    pub(super) volumes: [(&'static str, Option<Scalar<'py, Litre>>); 6],
    pub(super) span_mm: Option<Scalar<'py, Millimetre>>,
    pub(super) stores: Vec<String>,
}

/// The names given as `stores`; a text alone is no list, though Python would take its letters.
pub(super) struct Names(pub(super) Vec<String>);

impl<'py> FromPyObject<'_, 'py> for Names {
    type Error = PyErr;
    #[cfg(feature = "stubs")]
    const INPUT_TYPE: pyo3::inspect::PyStaticExpr = <Vec<String> as FromPyObject<'_, 'py>>::INPUT_TYPE;

    fn extract(object: Borrowed<'_, 'py, PyAny>) -> PyResult<Self> {
        object.extract().map(Self).map_err(|_| {
            let example = if object.is_instance_of::<PyString>() { shown(&object) } else { "'head'".into() };
            PyTypeError::new_err(format!(
                "stores = {} is no list of names; one is wanted, such as [{example}]",
                shown(&object)
            ))
        })
    }
}

impl Sheet<'_> {
    /// The circuit, and the call that makes it.
    pub(super) fn circuit(self, py: Python<'_>, name: &str) -> PyResult<(crate::circuit::Circuit, String)> {
        let mut book = Book::new(name);
        let mut said = Vec::new();
        let mut read = Vec::with_capacity(6);
        for (key, given) in &self.volumes {
            let litres = given.as_ref().map(|v| v.number(key)).transpose()?;
            if let Some(number) = litres {
                said.push(format!("{key}={number:?}"));
            }
            read.push(litres.map(|v| Volume::new::<cubic_meter>(Litre::to_si(v))));
        }
        if let [with, without, dry, filter, span, residue] = read[..] {
            (book.service_with_filter, book.service_without_filter, book.dry) = (with, without, dry);
            (book.filter, book.span, book.residue) = (filter, span, residue);
        }
        if let Some(span) = &self.span_mm {
            let mm = span.number("span_mm")?;
            check::in_range("span_mm", mm, 1.0, 1000.0, "mm").map_err(errors::to_py)?;
            said.push(format!("span_mm={mm:?}"));
            book.span_length = Length::new::<meter>(Millimetre::to_si(mm));
        }
        for kind in &self.stores {
            book.stores.push(StoreKind::named(kind).map_err(errors::to_py)?);
        }
        if !self.stores.is_empty() {
            let kinds = self.stores.iter().map(|k| quoted(py, k)).collect::<PyResult<Vec<_>>>()?;
            said.push(format!("stores=[{}]", kinds.join(", ")));
        }
        said.push(format!("name={}", quoted(py, name)?));
        Ok((book.circuit().map_err(errors::to_py)?, format!("Circuit.from_book({})", said.join(", "))))
    }
}

/// Says how far a circuit's drawing is from its service sheet, and which single quantity would close the gap.
///
/// By the drawing, with a nominal drain at the reference attitude: the service capacity brings the sump from the end of that drain to
/// MAX in the reference condition, filter taken off or kept; the dry capacity is the volume at MAX with what filter and stores hold; the
/// span is the volume between the marks. Uncertainties of the drawing by Monte Carlo over every uncertain input.
///
/// Parameters
/// ----------
/// circuit : Circuit
///     With a ``[book]``, and a plug.
/// plug : str, optional
///     Plug of the nominal drain; the lowest where not given.
/// minutes : quantity
///     How long it is open [min]; 10 where not given (common practice, no source).
/// temperature_c : quantity
///     Temperature of the oil then [°C]; 60 where not given.
/// draws, seed : int
///     As in `predict`.
///
/// Returns
/// -------
/// Reconciliation
///     The figures side by side, and what would close each gap.
///
/// Raises
/// ------
/// CircuitError
///     If the circuit has no plug.
/// ServiceError
///     If it has no plug of that name, or the drain is out of range.
/// EstimateError
///     If an option is out of range.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> sheet = fm.Circuit.from_book(service_with_filter_l=5.4, service_without_filter_l=5.0, dry_l=5.9)
/// >>> figures = fm.reconcile(sheet, draws=100).columns()
/// >>> [round(float(gap), 6) + 0.0 for gap in figures["gap_l"]]
/// [0.0, 0.0, 0.0, 0.0]
#[pyfunction]
#[pyo3(signature = (circuit, *, plug=None, minutes=None, temperature_c=None, draws=10_000, seed=1))]
pub(super) fn reconcile(
    py: Python<'_>,
    circuit: &Bound<'_, Circuit>,
    plug: Option<String>,
    minutes: Option<Scalar<'_, Minute>>,
    temperature_c: Option<Scalar<'_, DegreeCelsius>>,
    draws: i64,
    seed: i128,
) -> PyResult<Reconciliation> {
    let (draws, seed) = counts(draws, seed)?;
    let mut options = ReconcileOptions::default();
    let made = PyDict::new(py);
    made.set_item("circuit", circuit)?;
    if let Some(minutes) = minutes {
        made.set_item("minutes", minutes.number("minutes")?)?;
        options.duration = Value::from_si(minutes.si("minutes")?).map_err(errors::to_py)?;
    }
    if let Some(t) = temperature_c {
        made.set_item("temperature_c", t.number("temperature_c")?)?;
        options.temperature = Some(Value::from_si(t.si("temperature_c")?).map_err(errors::to_py)?);
    }
    made.set_item("plug", &plug)?;
    made.set_item("draws", draws)?;
    made.set_item("seed", seed)?;
    options.plug = plug;
    let core = circuit.get().inner.clone();
    let inner = run_interruptible(py, move |stop| {
        let mut predict = options.predict.draws(draws).seed(seed);
        predict.stop = Some(stop);
        let options = ReconcileOptions { predict, ..options };
        crate::estimate::reconcile(&core, &options)
    })?;
    Ok(Reconciliation { inner, made: made.unbind() })
}

/// How far a drawing is from its service sheet. Made by `reconcile`; prints as a table.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct Reconciliation {
    inner: Core,
    made: Py<PyDict>,
}

impl PartialEq for Reconciliation {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner
    }
}

#[pymethods]
impl Reconciliation {
    /// One entry per figure of the sheet.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``figure``; ``geometry_l``, ``geometry_u_l`` (standard uncertainty); ``book_l``, ``book_u_l``, ``gap_l`` (drawing less book) and
    ///     ``gap_u_l``, NaN where the book does not say.
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let all = self.inner.figures();
        let columns = PyDict::new(py);
        columns.set_item("figure", texts(py, all.iter().map(|c| c.figure).collect())?)?;
        let column = |of: &dyn Fn(&Compared) -> f64| Column(all.iter().map(|c| of(c) * 1e3).collect());
        let said = |c: &Compared, v: f64| if c.book.is_some() { v } else { f64::NAN };
        columns.set_item("geometry_l", column(&|c| c.geometry))?;
        columns.set_item("geometry_u_l", column(&|c| c.geometry_u))?;
        columns.set_item("book_l", column(&|c| c.book.unwrap_or(f64::NAN)))?;
        columns.set_item("book_u_l", column(&|c| said(c, c.book_u)))?;
        columns.set_item("gap_l", column(&|c| c.gap().unwrap_or(f64::NAN)))?;
        columns.set_item("gap_u_l", column(&|c| said(c, c.gap_u())))?;
        Ok(columns)
    }

    /// What each quantity would have to be to close the gap of one figure alone.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``figure``; ``path`` of the quantity; ``now``, ``needed``, ``change`` and ``standard_uncertainty`` (as stated) in ``unit``;
    ///     ``possible``, whether it can be that at all.
    fn closing<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let all = self.inner.closings();
        let columns = PyDict::new(py);
        columns.set_item("figure", texts(py, all.iter().map(|c| c.figure).collect())?)?;
        columns.set_item("path", texts(py, all.iter().map(|c| c.path.as_str()).collect())?)?;
        columns.set_item("unit", texts(py, all.iter().map(|c| c.dimension.default_unit()).collect())?)?;
        let factor = |c: &Closing| if c.dimension.default_unit() == "1" { 1.0 } else { 1e3 };
        let column = |of: &dyn Fn(&Closing) -> f64| Column(all.iter().map(|c| of(c) * factor(c)).collect());
        columns.set_item("now", column(&|c| c.now))?;
        columns.set_item("needed", column(&|c| c.needed))?;
        columns.set_item("change", column(&|c| c.needed - c.now))?;
        columns.set_item("standard_uncertainty", column(&|c| c.u))?;
        columns.set_item("possible", all.iter().map(|c| c.possible).collect::<Vec<_>>().array(py)?)?;
        Ok(columns)
    }

    fn __str__(&self) -> String {
        self.inner.to_string()
    }

    fn __repr__(&self) -> String {
        format!("<reconciliation of {}>", self.inner.circuit().name())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        reduce_call(py, "reconcile", self.made.bind(py).copy()?)
    }
}
