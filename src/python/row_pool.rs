//! Pools of the sump after an event, for Python.

use pyo3::prelude::*;
use pyo3::types::PyTuple;

use super::rebuild::reduce_part;
use super::service::Row;
use crate::service::PoolRow;

/// One pool of the sump after an event: liquid that has its own level.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> bus = fm.Circuit.demo("shuttle-bus")
/// >>> on_a_ramp = fm.Drain(minutes=60, attitude=fm.Attitude(nose_up_deg=4))
/// >>> row = fm.simulate(bus, [on_a_ramp]).rows[-1]
/// >>> abs(sum(pool.volume_l for pool in row.pools) - row.sump_l) < 1e-9
/// True
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct RowPool {
    row: Py<Row>,
    index: usize,
    inner: PoolRow,
}

impl PartialEq for RowPool {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner
    }
}

impl RowPool {
    /// The pools of a row.
    pub(super) fn all(row: &Bound<'_, Row>, pools: &[PoolRow]) -> Vec<Self> {
        let of = |(index, pool): (usize, &PoolRow)| Self { row: row.clone().unbind(), index, inner: *pool };
        pools.iter().enumerate().map(of).collect()
    }
}

#[pymethods]
impl RowPool {
    /// A point at the bottom of its basin, body frame: x, y, z [mm].
    #[getter]
    fn bottom_mm(&self) -> [f64; 3] {
        self.inner.bottom.map(|x| x * 1e3)
    }

    /// Level of its surface above the sump's lowest point at the attitude of the event [mm].
    #[getter]
    fn level_mm(&self) -> f64 {
        self.inner.level_m * 1e3
    }

    /// Its volume at its own temperature [L].
    #[getter]
    fn volume_l(&self) -> f64 {
        self.inner.volume_m3 * 1e3
    }

    /// Its mass, all components [kg].
    #[getter]
    fn mass_kg(&self) -> f64 {
        self.inner.contents.total()
    }

    /// Its temperature [°C].
    #[getter]
    fn temperature_c(&self) -> f64 {
        self.inner.contents.temperature_c
    }

    /// Whether the stick's tip stands in it, or over it: the one pool that the stick sees.
    #[getter]
    fn under_tip(&self) -> bool {
        self.inner.under_tip
    }

    fn __repr__(&self) -> String {
        let seen = if self.under_tip() { ", under the stick" } else { "" };
        format!("<pool of {:.3} L at {:.1} mm, {:.1} °C{seen}>", self.volume_l(), self.level_mm(), self.temperature_c())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        reduce_part(py, self.row.bind(py), "pools", Some(self.index))
    }
}
