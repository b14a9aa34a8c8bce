//! Attitudes for Python.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

use super::errors;
use super::quantity::Scalar;
use super::rebuild::reduce;
use super::unit::Degree;
use crate::geometry::Attitude as CoreAttitude;

/// How the body stands: pitched, then rolled. Immutable, compared by value.
///
/// The body frame has x forward, y left and z up (axes of ISO 8855). In it *up* is
/// ``(sin p, cos p sin r, cos p cos r)`` for the nose-up angle p and the right-down angle r.
///
/// Parameters
/// ----------
/// nose_up_deg : quantity
///     Pitch, positive when the nose is higher [deg]; greater than -90, less than 90.
/// right_down_deg : quantity
///     Roll, positive when the right side is lower [deg]; greater than -90, less than 90.
///
/// Raises
/// ------
/// GeometryError
///     If an angle is outside its range.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> ramp = fm.Attitude(nose_up_deg=2.0)
/// >>> ramp
/// Attitude(nose_up_deg=2.0)
/// >>> fm.Attitude(nose_up_deg="2 deg") == ramp
/// True
#[pyclass(frozen, eq, hash, module = "fillmark")]
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct Attitude {
    pub(super) inner: CoreAttitude,
}

#[pymethods]
impl Attitude {
    #[new]
    #[pyo3(signature = (*, nose_up_deg=None, right_down_deg=None))]
    fn new(nose_up_deg: Option<Scalar<'_, Degree>>, right_down_deg: Option<Scalar<'_, Degree>>) -> PyResult<Self> {
        let nose_up = nose_up_deg.map_or(Ok(0.0), |angle| angle.number("nose_up_deg"))?;
        let right_down = right_down_deg.map_or(Ok(0.0), |angle| angle.number("right_down_deg"))?;
        let inner = CoreAttitude::from_degrees(nose_up, right_down).map_err(errors::to_py)?;
        Ok(Self { inner })
    }

    /// The attitude in which a direction of the body frame points up.
    ///
    /// Parameters
    /// ----------
    /// up : tuple of float
    ///     Three components, of any length; the third is positive.
    ///
    /// Returns
    /// -------
    /// Attitude
    ///     With p = asin(up_x), r = atan2(up_y, up_z) for a unit vector.
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If the body would lie on its side or upside down.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> fm.Attitude.from_up((0.0, 0.0, 9.8))
    /// Attitude()
    #[staticmethod]
    fn from_up(up: (f64, f64, f64)) -> PyResult<Self> {
        let inner = CoreAttitude::from_up([up.0, up.1, up.2]).map_err(errors::to_py)?;
        Ok(Self { inner })
    }

    /// Pitch, positive when the nose is higher [deg].
    #[getter]
    fn nose_up_deg(&self) -> f64 {
        self.inner.nose_up_deg()
    }

    /// Roll, positive when the right side is lower [deg].
    #[getter]
    fn right_down_deg(&self) -> f64 {
        self.inner.right_down_deg()
    }

    /// What an inclinometer lying across the body shows, positive when the right side is lower [deg].
    ///
    /// It is ``asin(cos p sin r)``, which is not the roll once the nose is up.
    #[getter]
    fn transverse_deg(&self) -> f64 {
        self.inner.transverse_deg()
    }

    /// Unit vector pointing up, in the body frame [1].
    #[getter]
    fn up(&self) -> (f64, f64, f64) {
        self.inner.up().into()
    }

    pub(super) fn __repr__(&self) -> String {
        let angles = [("nose_up_deg", self.nose_up_deg()), ("right_down_deg", self.right_down_deg())];
        let given: Vec<String> =
            angles.iter().filter(|(_, angle)| *angle != 0.0).map(|(name, angle)| format!("{name}={angle:?}")).collect();
        format!("Attitude({})", given.join(", "))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let keywords = PyDict::new(py);
        keywords.set_item("nose_up_deg", self.nose_up_deg())?;
        keywords.set_item("right_down_deg", self.right_down_deg())?;
        reduce::<Self>(py, "", keywords)
    }
}

/// The attitude of a keyword argument; level ground where none is given.
pub(super) fn or_level(attitude: Option<PyRef<'_, Attitude>>) -> CoreAttitude {
    attitude.map_or(CoreAttitude::LEVEL, |given| given.inner)
}
