//! Litre scale, marks at an attitude and the delay to pressure, for Python.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use uom::si::f64::Volume;
use uom::si::volume::cubic_meter;

use super::arrays::ToArray;
use super::circuit::Circuit;
use super::detach::run_detached;
use super::errors;
use super::geometry::Attitude;
use super::rebuild::reduce_method;
use crate::circuit::{Circuit as Core, Mark, PressureDelay as CoreDelay, ScaleLine};
use crate::geometry::Attitude as CoreAttitude;
use crate::units::{self, Value};

/// The attitude asked for; that of the marks where none is.
pub(super) fn or_reference(circuit: &Core, attitude: Option<PyRef<'_, Attitude>>) -> CoreAttitude {
    attitude.map_or(circuit.reference_attitude(), |a| a.inner)
}

/// A litre scale for a circuit's stick. Made by `Circuit.litre_scale`; prints as a table.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct LitreScale {
    lines: Vec<ScaleLine>,
    circuit: Py<Circuit>,
    keywords: Py<PyDict>,
}

impl PartialEq for LitreScale {
    fn eq(&self, other: &Self) -> bool {
        self.lines == other.lines && self.circuit.get() == other.circuit.get()
    }
}

impl LitreScale {
    /// The scale of a circuit.
    pub(super) fn new(
        circuit: &Bound<'_, Circuit>,
        step: f64,
        from_mark: &str,
        attitude: CoreAttitude,
        keywords: Bound<'_, PyDict>,
    ) -> PyResult<Self> {
        let zero = match from_mark {
            "MAX" => Mark::Max,
            "MIN" => Mark::Min,
            other => {
                return Err(errors::quantity(
                    format!("from_mark = {other:?}; accepted are \"MAX\" and \"MIN\""),
                    "quantity.unknown_word",
                ));
            }
        };
        let core = circuit.get().inner.clone();
        let step = Volume::new::<cubic_meter>(step);
        let lines = run_detached(circuit.py(), move || core.litre_scale(step, zero, attitude))?;
        Ok(Self { lines, circuit: circuit.clone().unbind(), keywords: keywords.unbind() })
    }

    fn column(&self, of: impl Fn(&ScaleLine) -> f64) -> Vec<f64> {
        self.lines.iter().map(of).collect()
    }
}

#[pymethods]
impl LitreScale {
    /// One entry per line, from the tip upwards.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``mm`` (from the tip along the blade), ``from_max_l``, ``from_min_l``, ``volume_l`` (in the sump), ``ml_per_mm``.
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let columns = PyDict::new(py);
        columns.set_item("mm", self.column(|l| l.along * 1e3).array(py)?)?;
        columns.set_item("from_max_l", self.column(|l| l.from_max * 1e3).array(py)?)?;
        columns.set_item("from_min_l", self.column(|l| l.from_min * 1e3).array(py)?)?;
        columns.set_item("volume_l", self.column(|l| l.volume * 1e3).array(py)?)?;
        columns.set_item("ml_per_mm", self.column(|l| l.per_blade * 1e3).array(py)?)?;
        Ok(columns)
    }

    fn __len__(&self) -> usize {
        self.lines.len()
    }

    fn __str__(&self) -> String {
        let head = format!("{:>8} {:>10} {:>10} {:>8}\n", "mm", "from MAX L", "from MIN L", "mL/mm");
        let line = |l: &ScaleLine| {
            let (mm, max, min, per) = (l.along * 1e3, l.from_max * 1e3, l.from_min * 1e3, l.per_blade * 1e3);
            format!("{mm:>8.1} {max:>+10.2} {min:>+10.2} {per:>8.1}\n")
        };
        std::iter::once(head).chain(self.lines.iter().rev().map(line)).collect()
    }

    fn __repr__(&self) -> String {
        format!("<litre scale of {} lines>", self.lines.len())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        reduce_method(py, self.circuit.bind(py), "litre_scale", self.keywords.bind(py).copy()?)
    }
}

/// Time until the oil pressure comes up after a filter change. Made by `Circuit.pressure_delay`.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct PressureDelay {
    inner: CoreDelay,
    circuit: Py<Circuit>,
    keywords: Py<PyDict>,
}

impl PartialEq for PressureDelay {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner && self.circuit.get() == other.circuit.get()
    }
}

impl PressureDelay {
    /// The delay of a circuit.
    pub(super) fn new(
        circuit: &Bound<'_, Circuit>,
        primed: &Value<units::Volume>,
        empty_galleries: &Value<units::Volume>,
        keywords: Bound<'_, PyDict>,
    ) -> PyResult<Self> {
        let inner = circuit.get().inner.pressure_delay(primed, empty_galleries).map_err(super::errors::to_py)?;
        Ok(Self { inner, circuit: circuit.clone().unbind(), keywords: keywords.unbind() })
    }
}

#[pymethods]
impl PressureDelay {
    /// With the filter primed as stated [s].
    #[getter]
    fn seconds(&self) -> f64 {
        self.inner.primed_s
    }

    /// Standard uncertainty of `seconds` [s].
    #[getter]
    fn standard_uncertainty(&self) -> f64 {
        self.inner.primed_u_s
    }

    /// With a dry filter [s].
    #[getter]
    fn dry_seconds(&self) -> f64 {
        self.inner.dry_s
    }

    /// Flow of the pump at idle [L/min].
    #[getter]
    fn flow_l_min(&self) -> f64 {
        self.inner.flow * 6e4
    }

    /// Without pressure after this time: stop [s].
    #[getter]
    #[allow(clippy::unused_self)] // a getter
    fn stop_limit_seconds(&self) -> f64 {
        crate::circuit::STOP_LIMIT_S
    }

    /// What to heed.
    #[getter]
    fn caution(&self) -> &'static str {
        self.inner.caution()
    }

    fn __str__(&self) -> String {
        let i = &self.inner;
        format!(
            "pressure after {:.1} s ({:.1} s) at idle, {:.1} s with a dry filter. {}",
            i.primed_s,
            i.primed_u_s,
            i.dry_s,
            i.caution()
        )
    }

    fn __repr__(&self) -> String {
        format!("<pressure delay {:.2} s, standard uncertainty {:.2} s>", self.inner.primed_s, self.inner.primed_u_s)
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        reduce_method(py, self.circuit.bind(py), "pressure_delay", self.keywords.bind(py).copy()?)
    }
}
