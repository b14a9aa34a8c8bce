//! Attitudes for Python.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use uom::si::acceleration::meter_per_second_squared;
use uom::si::f64::{Acceleration, Length};
use uom::si::length::meter;

use super::errors;
use super::quantity::Scalar;
use super::rebuild::reduce;
use super::unit::{Degree, MetrePerSecondSquared, Millimetre, One};
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

    /// The nose-up attitude of a vehicle on level ground with its front axle raised.
    ///
    /// Parameters
    /// ----------
    /// lift_mm : quantity
    ///     How far the front axle is raised [mm]; negative where the rear is raised.
    /// wheelbase_mm : quantity
    ///     Distance between the axles [mm].
    ///
    /// Returns
    /// -------
    /// Attitude
    ///     With p = asin(lift / wheelbase).
    ///
    /// Raises
    /// ------
    /// QuantityError
    ///     If the lift exceeds the wheelbase.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> round(fm.Attitude.from_lift(lift_mm=150.0, wheelbase_mm=3000.0).nose_up_deg, 4)
    /// 2.866
    #[staticmethod]
    #[pyo3(signature = (*, lift_mm, wheelbase_mm))]
    fn from_lift(lift_mm: Scalar<'_, Millimetre>, wheelbase_mm: Scalar<'_, Millimetre>) -> PyResult<Self> {
        let metres = |given: &Scalar<'_, Millimetre>, name| given.si(name).map(Length::new::<meter>);
        let inner = CoreAttitude::from_lift(metres(&lift_mm, "lift_mm")?, metres(&wheelbase_mm, "wheelbase_mm")?);
        Ok(Self { inner: inner.map_err(errors::to_py)? })
    }

    /// The attitude of a vehicle standing on a slope.
    ///
    /// Parameters
    /// ----------
    /// along : quantity
    ///     Rise over run ahead, such as 0.05 or ``"5 %"`` uphill; -10 to 10.
    /// across : quantity
    ///     Rise over run towards the left; -10 to 10.
    ///
    /// Returns
    /// -------
    /// Attitude
    ///     Whose x axis rises at atan(along) and whose y axis at atan(across).
    ///
    /// Raises
    /// ------
    /// QuantityError, GeometryError
    ///     If a slope is out of range, or no plane has both.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> round(fm.Attitude.from_grade(along="5 %").nose_up_deg, 4)
    /// 2.8624
    #[staticmethod]
    #[pyo3(signature = (*, along=None, across=None))]
    fn from_grade(along: Option<Scalar<'_, One>>, across: Option<Scalar<'_, One>>) -> PyResult<Self> {
        let along = along.map_or(Ok(0.0), |slope| slope.si("along"))?;
        let across = across.map_or(Ok(0.0), |slope| slope.si("across"))?;
        Ok(Self { inner: CoreAttitude::from_grade(along, across).map_err(errors::to_py)? })
    }

    /// The attitude of a body installed like this in a vehicle, when the vehicle stands at `ground`.
    ///
    /// Parameters
    /// ----------
    /// ground : Attitude
    ///     How the vehicle stands.
    ///
    /// Returns
    /// -------
    /// Attitude
    ///     The vehicle's *up*, seen from the body.
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If the body would lie on its side or upside down.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> installed = fm.Attitude(nose_up_deg=8.0)
    /// >>> round(installed.on_ground(fm.Attitude(nose_up_deg=-3.0)).nose_up_deg, 9)
    /// 5.0
    fn on_ground(&self, ground: &Bound<'_, Self>) -> PyResult<Self> {
        Ok(Self { inner: self.inner.on_ground(ground.get().inner).map_err(errors::to_py)? })
    }

    /// The attitude that an inclinometer shows when it is read in place and again turned round by 180 deg.
    ///
    /// Half the difference of the two readings is the inclination; half their sum is the instrument's zero error, which
    /// so cancels.
    ///
    /// Parameters
    /// ----------
    /// along_deg : tuple of float
    ///     Lengthwise: the first reading counts nose up as positive, the second was taken turned round [deg]; -90 to 90.
    /// across_deg : tuple of float
    ///     Crosswise, the first counting right side down as positive [deg]; none where not given.
    ///
    /// Returns
    /// -------
    /// tuple of Attitude and tuple of float
    ///     The attitude, and the zero errors lengthwise and crosswise [deg].
    ///
    /// Raises
    /// ------
    /// QuantityError, GeometryError
    ///     If a reading is outside its range, or no plane has both inclinations.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> here, zero = fm.Attitude.from_turned_inclinometer(along_deg=(3.4, -2.6))
    /// >>> round(here.nose_up_deg, 9), round(zero[0], 9)
    /// (3.0, 0.4)
    #[staticmethod]
    #[pyo3(signature = (*, along_deg=(0.0, 0.0), across_deg=(0.0, 0.0)))]
    fn from_turned_inclinometer(along_deg: (f64, f64), across_deg: (f64, f64)) -> PyResult<(Self, (f64, f64))> {
        let read = CoreAttitude::from_turned_inclinometer(along_deg, across_deg).map_err(errors::to_py)?;
        Ok((Self { inner: read.attitude }, (read.zero_along_deg, read.zero_across_deg)))
    }

    /// The attitude whose level surfaces are those of liquid at rest in a body that stands like this and accelerates.
    ///
    /// Parameters
    /// ----------
    /// forward_m_s2, left_m_s2, up_m_s2 : quantity
    ///     Steady acceleration in the body frame [m/s2]; braking is a negative first one; 0 where not given.
    ///
    /// Returns
    /// -------
    /// Attitude
    ///     With ``up' = g up + a``, g = 9.80665 m/s2 (3rd CGPM, 1901).
    ///
    /// Raises
    /// ------
    /// QuantityError, GeometryError
    ///     If an acceleration is no number, or the body would be upside down or weightless.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> round(fm.Attitude().accelerated(forward_m_s2=-9.80665).nose_up_deg, 9)
    /// -45.0
    #[pyo3(signature = (*, forward_m_s2=None, left_m_s2=None, up_m_s2=None))]
    fn accelerated(
        &self,
        forward_m_s2: Option<Scalar<'_, MetrePerSecondSquared>>,
        left_m_s2: Option<Scalar<'_, MetrePerSecondSquared>>,
        up_m_s2: Option<Scalar<'_, MetrePerSecondSquared>>,
    ) -> PyResult<Self> {
        let read = |given: Option<Scalar<'_, MetrePerSecondSquared>>, name| {
            given.map_or(Ok(0.0), |a| a.si(name)).map(Acceleration::new::<meter_per_second_squared>)
        };
        let a = [read(forward_m_s2, "forward_m_s2")?, read(left_m_s2, "left_m_s2")?, read(up_m_s2, "up_m_s2")?];
        Ok(Self { inner: self.inner.accelerated(a).map_err(errors::to_py)? })
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
